"""What a print holds, before anybody sets it in type.

Takes nothing, gives `Sheet` and the few blocks it is made of, and all of them as JSON. Text is made
inert here, at the last door. Knows nothing of shows, fonts or paper.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, TypeAlias

from planner.pages.wording import inert

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

Cell: TypeAlias = "str | tuple[str, ...]"
"""Text, or lines of text one under the other."""
BLANK = "____"
"""Room to write a word or a number by hand."""
LONG_WORD = 24
"""Characters of a word beyond which it may be broken, so that no name runs off the paper."""
PIECE = 12
"""Characters of each piece of a long word that has no marks to be broken after."""
NARROW, MOST_WHOLE = 20, 40
"""Characters a line of a narrow column holds, and lines that surely fit on a page: a row of no more
is never split over two."""
FOOT_NAME = 60
"""Characters of the show's name, and of what a sheet is about, at the foot of a page."""
_BREAK = "\u200b"


@dataclass(frozen=True, slots=True)
class Rows:
    """Labels with their text; cells of a row are set side by side; no label where one goes on."""

    rows: tuple[tuple[str, Cell], ...]
    title: str = ""


@dataclass(frozen=True, slots=True)
class Under:
    """What the rows below it share, across the table; said again where they run over a page.

    Attributes:
        title: in bold.
        says: a sentence after it; may be empty.
    """

    title: str
    says: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A table under headings, which come again on every page it runs over.

    Attributes:
        heads: headings, one a column.
        rows: as many cells each as there are headings, or what the rows below it share.
        widths: a share of what is left for each column; 0 for as wide as its text.
        title: over it; may be empty.
        right: columns set to the right, counted from 0.
        sums: last rows that are sums, ruled off.
    """

    heads: tuple[str, ...]
    rows: tuple[tuple[Cell, ...] | Under, ...]
    widths: tuple[float, ...]
    title: str = ""
    right: tuple[int, ...] = ()
    sums: int = 0


@dataclass(frozen=True, slots=True)
class Listed:
    """Sentences under one another: to read, to tick off, or cautions, which are framed."""

    title: str
    items: tuple[str, ...]
    sort: Literal["read", "tick", "care"] = "read"


@dataclass(frozen=True, slots=True)
class Said:
    """A paragraph."""

    text: str
    title: str = ""


Block: TypeAlias = "Rows | Table | Listed | Said"


@dataclass(frozen=True, slots=True)
class Sheet:
    """What begins on a page of its own.

    Attributes:
        title: what kind of sheet it is: ``Day order``.
        about: what it is of: a day and stage, a shot, an element.
        says: a sentence under the title; may be empty.
        blocks: from top to foot; empty ones are left out.
        foot: small, at the foot of every page: what it was printed from.
        fits: whether it is set somewhat smaller, its ticks two abreast and its rows closer, where
            that brings it onto one page.
    """

    title: str
    about: str
    says: str
    blocks: tuple[Block, ...]
    foot: str = ""
    fits: bool = False


def sheets_json(show_title: str, title: str, sheets: Sequence[Sheet], office: str = "") -> str:
    """Sheets as JSON for the template, every text inert.

    Args:
        show_title: of the show.
        title: of the whole document.
        sheets: in order.
        office: who hands them out; may be empty.
    """
    return json.dumps(
        {
            "show": printable(show_title),
            "office": printable(office),
            "title": inert(title),
            "sheets": [_sheet(each, show_title) for each in sheets],
        },
        ensure_ascii=False,
    )


def printable(text: str) -> str:
    """`text` on one line, nothing in it obeyed, long words breakable."""
    return re.sub(rf"\S{{{LONG_WORD + 1},}}", _broken, inert(text))


def _broken(word: re.Match[str]) -> str:
    """Places to break: after the marks inside names, and every so many characters without any."""
    marked = re.sub(r"([._/,:;-])", rf"\1{_BREAK}", word[0])
    return re.sub(rf"([^{_BREAK}]{{{PIECE}}})(?=[^{_BREAK}])", rf"\1{_BREAK}", marked)


def _shortened(text: str) -> str:
    whole = inert(text)
    return whole if len(whole) <= FOOT_NAME else f"{whole[: FOOT_NAME - 1]}…"


def _sheet(sheet: Sheet, show_title: str) -> dict[str, object]:
    named = f"{_shortened(show_title)} · {sheet.title}, {_shortened(sheet.about)}. {sheet.foot}"
    return {
        "title": printable(sheet.title),
        "about": printable(sheet.about),
        "says": printable(sheet.says),
        "foot": printable(named),
        "fits": sheet.fits,
        "blocks": [told for each in sheet.blocks if (told := _block(each))],
    }


def _block(block: Block) -> dict[str, object]:
    """A block by its sort; nothing where it holds nothing."""
    tellers: dict[type, Callable[..., dict[str, object]]] = {
        Rows: _rows,
        Table: _table,
        Listed: _listed,
        Said: _said,
    }
    return tellers[type(block)](block)


def _rows(block: Rows) -> dict[str, object]:
    rows = [{"label": printable(label), "cells": _cell(cell)} for label, cell in block.rows]
    return {"sort": "rows", "title": printable(block.title), "rows": rows} if rows else {}


def _table(block: Table) -> dict[str, object]:
    if not block.rows:
        return {}
    return {
        "sort": "table",
        "title": printable(block.title),
        "heads": [printable(each) for each in block.heads],
        "rows": [
            {"title": printable(row.title), "says": printable(row.says)}
            if isinstance(row, Under)
            else [_cell(cell) for cell in row]
            for row in block.rows
        ],
        "widths": list(block.widths),
        "right": list(block.right),
        "sums": block.sums,
        "whole": all(isinstance(row, Under) or _lines(row) <= MOST_WHOLE for row in block.rows),
    }


def _lines(row: tuple[Cell, ...]) -> int:
    """Lines of its highest cell in a narrow column."""
    cells = [(cell,) if isinstance(cell, str) else cell for cell in row]
    return max(sum(1 + len(line) // NARROW for line in cell) for cell in cells)


def _listed(block: Listed) -> dict[str, object]:
    items = [printable(each) for each in block.items]
    return {"sort": block.sort, "title": printable(block.title), "items": items} if items else {}


def _said(block: Said) -> dict[str, object]:
    said = printable(block.text)
    return {"sort": "said", "title": printable(block.title), "text": said} if said else {}


def _cell(cell: Cell) -> list[str]:
    return [printable(each) for each in ((cell,) if isinstance(cell, str) else cell)]
