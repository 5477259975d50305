"""Size of a board: wide enough for the widest framing, fine enough for the tightest.

Takes the framings, the finest mark and what the picture resolves, gives widths, the mark's size on
screen and the area to paint, with findings. Knows nothing of camera moves in depth or of hours.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.craft import paint
from planner.kinds.view import of_format
from planner.model.quantity import Quantity
from planner_plugins.painting import rules

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.kinds.view import View


@dataclass(frozen=True, slots=True)
class Board:
    """A painted board.

    Attributes:
        width: painted, mm.
        widest: width framed at the widest, mm.
        tightest: width framed at the tightest, mm.
        area: painted, square metres.
    """

    width: Quantity
    widest: Quantity
    tightest: Quantity
    area: Quantity


def measure_board(sheet: Worksheet, view: View) -> Board:
    """The board as stated, or as large as its marks ask for where no width is stated."""
    facts = sheet.element.facts
    mark = sheet.positive(facts.number("finest_mark"), "finest_mark")
    mark = mark or sheet.rule(rules.FINEST_MARK)[0]
    lines = _lines(sheet, view)
    stated = facts.number("width") or facts.number("widest")
    needed = paint.painting_width_mm(lines.value, mark.value)
    if stated is None or stated.value <= 0:
        asked = Quantity("width", needed, "mm", reason="finest mark x lines", inputs=(mark, lines))
        sheet.miss("width", rests="area and hours", assumed=f"{needed:.0f} mm")
        stated = sheet.note(asked)
    widest = facts.number("widest") or stated
    tightest = facts.number("tightest") or widest
    width = facts.number("width") or widest
    board = Board(width, widest, tightest, _area(sheet, view, width))
    if min(widest.value, tightest.value) <= 0 or tightest.value > widest.value:
        sheet.error(
            "framings-crossed",
            f"the tightest framing, {tightest.value:g} mm, is not within the widest,"
            f" {widest.value:g} mm",
            "give both as widths on the board, the tightest the smaller",
            at="tightest",
        )
        return board
    _check_tight_end(sheet, view, _pushed_in(sheet, board), (mark, lines))
    _check_wide_end(sheet, board)
    _check_pan(sheet, view, board)
    return board


def _pushed_in(sheet: Worksheet, board: Board) -> Board:
    """The board as tight as it is seen once the finished shot is enlarged."""
    shot = sheet.context.shot
    push_in = shot.facts.number("push_in") if shot else None
    if push_in is None or push_in.value <= 0:
        return board
    seen = sheet.reckon(
        "width seen once enlarged",
        board.tightest.value / (1 + push_in.value),
        "mm",
        "width framed at the tightest / (1 + push in)",
        board.tightest,
        push_in,
    )
    return replace(board, tightest=seen)


def _lines(sheet: Worksheet, view: View) -> Quantity:
    """Lines across the frame: by what the picture must resolve, else its pixels."""
    resolution = sheet.element.facts.number("resolution")
    if resolution is None or resolution.value <= 0:
        return view.image
    film = of_format(view.frame, "frame width on film", view.frame.width_mm, "mm")
    return sheet.reckon(
        "lines across the frame",
        paint.lines_across(film.value, resolution.value),
        "1",
        "2 x frame width on film x line pairs per mm",
        film,
        resolution,
    )


def _area(sheet: Worksheet, view: View, width: Quantity) -> Quantity:
    ratio = view.height.value / view.width.value
    value = max(width.value, 0.0) ** 2 * ratio / 1e6
    reason = "width squared x frame height / frame width"
    return sheet.reckon("area painted", value, "m2", reason, width, view.height, view.width)


def _check_tight_end(
    sheet: Worksheet, view: View, board: Board, marks: tuple[Quantity, Quantity]
) -> None:
    mark, lines = marks
    shows = paint.finest_mark_mm(board.tightest.value, lines.value)
    sheet.reckon(
        "finest mark on screen",
        mark.value / board.tightest.value * view.image.value,
        "px",
        "finest mark / width framed at the tightest x image width",
        mark,
        board.tightest,
        view.image,
    )
    pull = board.widest.value / board.tightest.value
    framed = paint.painting_width_mm(lines.value, mark.value)
    whole = framed * pull
    sheet.reckon(
        "width needed",
        whole,
        "mm",
        "finest mark x lines x widest / tightest",
        mark,
        lines,
        board.widest,
        board.tightest,
    )
    if mark.value <= shows * (1 + 1e-9):
        return
    sheet.error(
        "painting-too-small-for-tight-end",
        f"at the tightest, {board.tightest.value:g} mm across, marks down to {shows:.2f} mm"
        f" show and the finest painted is {mark.value:g} mm",
        f"frame no tighter than {framed:.0f} mm, on a board {whole:.0f} mm wide for this pull",
        at="tightest",
    )


def _check_wide_end(sheet: Worksheet, board: Board) -> None:
    if board.width.value < board.widest.value:
        sheet.error(
            "painting-ends",
            f"the board is painted {board.width.value:g} mm wide and framed"
            f" {board.widest.value:g} mm wide",
            f"paint {board.widest.value - board.width.value:g} mm more, or frame tighter",
            at="width",
        )


def _check_pan(sheet: Worksheet, view: View, board: Board) -> None:
    """A turning camera frames more and more of a flat board towards its ends."""
    pan = sheet.element.facts.number("pan")
    if pan is None or pan.value == 0:
        return
    if view.focal is None:
        sheet.miss("focal_length", rests="whether the painting is wide enough for the pan")
        return
    half = math.atan(view.width.value / 2 / view.focal.value)
    end = half + math.radians(abs(pan.value)) / 2
    if end >= math.pi / 2:
        sheet.error(
            "painting-ends-in-pan",
            f"a pan of {abs(pan.value):g} deg looks past the end of any flat board",
            "paint it on a curved backing, or on several boards",
            at="pan",
        )
        return
    needed = sheet.reckon(
        "width the pan needs",
        board.widest.value * math.tan(end) / math.tan(half),
        "mm",
        "width framed x tan(half the angle of view + half the pan) / tan(half the angle of view)",
        board.widest,
        pan,
        view.focal,
        view.width,
    )
    if needed.value > board.width.value * (1 + 1e-9):
        sheet.error(
            "painting-ends-in-pan",
            f"over the pan of {abs(pan.value):g} deg the camera sees {needed.value:,.0f} mm of a"
            f" board painted {board.width.value:,.0f} mm wide",
            f"paint {needed.value - board.width.value:,.0f} mm more, or stop the pan sooner",
            at="pan",
        )
