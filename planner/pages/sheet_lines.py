"""Rows of the sheet of lines, written straight into a workbook's XML.

Takes a workbook with an empty sheet of lines and the lines of a bid, gives the workbook with a row
for each. A long bid has millions of cells, which the library that writes the other sheets takes
minutes over. Works nothing out.
"""

from __future__ import annotations

import io
import re
import zipfile
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from planner.bid import SIDES
from planner.kinds import Risk

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from datetime import date

    from planner.bid import BidLine
    from planner.bid.lines import Figures, Reckoning

TITLES: tuple[tuple[str, float], ...] = (
    ("element", 22),
    ("shot", 8),
    ("sequence", 13),
    ("kind", 13),
    ("what", 30),
    ("craft", 15),
    ("phase", 9),
    ("month", 9),
    ("account", 27),
    ("risk", 9),
    ("rate", 17),
    ("quantity, low", 10),
    ("quantity, likely", 10),
    ("quantity, high", 10),
    ("unit", 7),
    ("of those in one", 9),
    ("one costs", 11),
    ("escalation", 10),
    ("share from", 8),
    ("share to", 8),
    ("share of", 8),
    ("low", 13),
    ("likely", 13),
    ("high", 13),
    *((f"{by} no.", 0) for by in SIDES),
    ("risk no.", 0),
)
"""Columns of the sheet with their widths; those without one are hidden."""
SUMS_OF_MONEY = frozenset({"one costs", "low", "likely", "high"})
"""Titles of columns that hold sums in the bid's currency."""
NUMBERS = frozenset(title for title, _ in TITLES[11:]) - {"unit"}
"""Titles of columns that hold numbers, sums among them."""
SHOWN = sum(1 for _, width in TITLES if width)
"""How many columns are not hidden; they come first."""
_RISK_NUMBERS = {risk: number for number, risk in enumerate(Risk, 1)}
_CONTROLS = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]")
_SPECIAL = re.compile("[&<>\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]")
_ROW_OF_FORMATS = re.compile(r'<row r="2".*?</row>', re.DOTALL)
_TEXTS = re.compile(r'<sst (.*?) count="\d+" uniqueCount="(\d+)">')
_STYLE = re.compile(r's="(\d+)"')
_DIMENSION = re.compile(r'<dimension ref="[^"]*"/>')


def _letter(column: int) -> str:
    """``A`` for 0, ``AB`` for 27."""
    tens, ones = divmod(column, 26)
    return (chr(64 + tens) if tens else "") + chr(65 + ones)


COLUMNS: Mapping[str, str] = MappingProxyType(
    {title: _letter(column) for column, (title, _) in enumerate(TITLES)}
)
"""Letter of each column."""
_WORDS = "ABCDEFGHIJK"
_RISK = COLUMNS["risk no."]
_AT_ONCE = 500
_NUMBERS = tuple(COLUMNS[f"{by} no."] for by in SIDES)
_SPACED = frozenset("CDFGK")
"""Columns of names that people say with spaces: sequence, kind, craft, phase, rate."""


@dataclass(frozen=True, slots=True)
class LineRows:
    """What the rows refer to.

    Attributes:
        rates: cell by rate and day from which it holds.
        filed: for each line, the number of the sum it goes into on each of its sides.
    """

    rates: Mapping[tuple[str, date], str]
    filed: Sequence[tuple[int, ...]]


class _Styles(NamedTuple):
    """How a cell is shown, as its attribute: a sum, another number, a line with no rate."""

    money: str
    number: str
    unpriced: str


class _Words(dict[str, str]):
    """Number in the workbook's table of texts by text, a new text the next number."""

    def __init__(self, first: int) -> None:
        super().__init__()
        self.first = first

    def __missing__(self, text: str) -> str:
        found = self[text] = str(self.first + len(self))
        return found


def written_into(workbook: bytes, sheet: int, rows: LineRows, lines: Iterable[BidLine]) -> bytes:
    """The workbook with a row a line, from the second on, in one of its sheets.

    Args:
        workbook: XLSX whose sheet holds heads, and three cells in the second row that show the
            formats of sums, of other numbers, and of the words that stand where no rate is known.
        sheet: its number, from 1.
        rows: what the rows refer to.
        lines: of the bid.
    """
    name, texts = f"xl/worksheets/sheet{sheet}.xml", "xl/sharedStrings.xml"
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(workbook)) as before,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as after,
    ):
        table = before.read(texts).decode()
        words = _Words(_known(table))
        for entry in before.infolist():
            if entry.filename not in {name, texts}:
                after.writestr(entry, before.read(entry))
        with after.open(name, "w") as file:
            for part in _sheet(before.read(name).decode(), rows, lines, words):
                file.write(part.encode())
        after.writestr(texts, _with_words(table, words))
    return out.getvalue()


def _known(table: str) -> int:
    found = _TEXTS.search(table)
    if found is None:
        raise ValueError("the workbook has no table of texts")
    return int(found.group(2))


def _with_words(table: str, words: _Words) -> str:
    """The workbook's table of texts with ours behind its own."""
    added = "".join(f'<si><t xml:space="preserve">{_escaped(word)}</t></si>' for word in words)
    table = _TEXTS.sub(rf'<sst \1 uniqueCount="{words.first + len(words)}">', table, count=1)
    return table.replace("</sst>", f"{added}</sst>")


def _sheet(
    text: str, rows: LineRows, lines: Iterable[BidLine], words: Mapping[str, str]
) -> Iterator[str]:
    found = _ROW_OF_FORMATS.search(text)
    if found is None:
        raise ValueError("the sheet of lines has no row of formats")
    styles = _Styles(*(f' s="{each}"' for each in _STYLE.findall(found.group())[-3:]))
    yield _DIMENSION.sub("", text[: found.start()], count=1)
    held: list[str] = []
    for number, (line, filed) in enumerate(zip(lines, rows.filed, strict=True), 2):
        held.append(_row(number, line, (words, rows.rates, styles), filed))
        if len(held) == _AT_ONCE:
            yield "".join(held)
            held.clear()
    yield "".join(held)
    yield text[found.end() :]


def _row(
    number: int,
    line: BidLine,
    where: tuple[Mapping[str, str], Mapping[tuple[str, date], str], _Styles],
    filed: tuple[int, ...],
) -> str:
    words, rates, styles = where
    said = (
        *(line.element, line.shot, line.sequence, line.kind, line.what, line.craft),
        *(line.phase_name, line.month, line.account, line.risk.value, line.rate),
    )
    cells = [
        f'<c r="{letter}{number}" t="s"><v>'
        f"{words[word.replace('_', ' ') if letter in _SPACED else word]}</v></c>"
        for letter, word in zip(_WORDS, said, strict=True)
        if word
    ]
    counted = line.reckoning
    if counted is None:
        none, sum_ = words["no rate"], f"{styles.money}><v>0</v></c>"
        cells.append(
            f'<c r="O{number}"{styles.unpriced} t="s"><v>{none}</v></c>'
            f'<c r="V{number}"{sum_}<c r="W{number}"{sum_}<c r="X{number}"{sum_}'
        )
    else:
        cell = "" if counted.since is None else f"<f>{rates[line.rate, counted.since]}</f>"
        cells.append(_arithmetic(number, counted, words[counted.unit], (cell, styles)))
        cells.append(_sums(number, line.figures, counted, styles.money))
    cells += [
        f'<c r="{letter}{number}"><v>{place}</v></c>'
        for letter, place in zip(_NUMBERS, filed, strict=True)
    ]
    risk = f'<c r="{_RISK}{number}"><v>{_RISK_NUMBERS[line.risk]}</v></c>'
    return f'<row r="{number}">{"".join(cells)}{risk}</row>'


def _arithmetic(number: int, counted: Reckoning, unit: str, where: tuple[str, _Styles]) -> str:
    """Quantity, price and share."""
    cell, (money, many, _) = where
    growth = ""
    if counted.months:
        growth = f"<f>ROUND((1+Loads!$B$6)^({counted.months}/12),6)</f>"
    cells = (
        f'<c r="L{number}"{many}><v>{float(counted.low)!r}</v></c>'
        f'<c r="M{number}"{many}><v>{float(counted.likely)!r}</v></c>'
        f'<c r="N{number}"{many}><v>{float(counted.high)!r}</v></c>'
        f'<c r="O{number}" t="s"><v>{unit}</v></c>'
        f'<c r="P{number}"><v>{counted.in_one}</v></c>'
        f'<c r="Q{number}"{money}>{cell}<v>{counted.stated}</v></c>'
        f'<c r="R{number}">{growth}<v>{counted.growth if growth else 1}</v></c>'
    )
    for letter, edge in zip("STU", counted.cut or (), strict=False):
        cells += f'<c r="{letter}{number}"{many}><v>{float(edge)!r}</v></c>'
    return cells


def _sums(number: int, figures: Figures, counted: Reckoning, style: str) -> str:
    """The three sums, as formulas of what stands before them."""
    one, share = f"*Q{number}*R{number}/P{number},2)", ""
    if counted.cut is not None:
        share = "*T{0}/U{0},2)-ROUND({1}*S{0}/U{0},2)"
    cells = ""
    for letter, many, sum_ in (
        ("V", "L", figures.low),
        ("W", "M", figures.likely),
        ("X", "N", figures.high),
    ):
        whole = f"ROUND({many}{number}{one}"
        if share:
            whole = f"ROUND({whole}{share.format(number, whole)}"
        cells += f'<c r="{letter}{number}"{style}><f>{whole}</f><v>{sum_}</v></c>'
    return cells


def _escaped(text: str) -> str:
    if _SPECIAL.search(text):
        text = _CONTROLS.sub("\ufffd", text)
        text = text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return text
