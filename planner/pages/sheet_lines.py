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
from typing import TYPE_CHECKING

from planner.bid import SIDES, side_of
from planner.kinds import Risk

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping
    from datetime import date

    from planner.bid import BidLine, By
    from planner.bid.lines import Reckoning

TITLES: tuple[tuple[str, float], ...] = (
    ("element", 24),
    ("shot", 10),
    ("sequence", 14),
    ("kind", 12),
    ("what", 30),
    ("craft", 16),
    ("phase", 10),
    ("month", 9),
    ("account", 20),
    ("risk", 9),
    ("rate", 18),
    ("quantity, low", 11),
    ("quantity, likely", 11),
    ("quantity, high", 11),
    ("unit", 8),
    ("of those in one", 8),
    ("one costs", 11),
    ("escalation", 10),
    ("share from", 9),
    ("share to", 9),
    ("share of", 9),
    ("low", 14),
    ("likely", 14),
    ("high", 14),
    *((f"{by} no.", 0) for by in SIDES),
    ("risk no.", 0),
)
"""Columns of the sheet with their widths; those without one are hidden."""
_RISK_NUMBERS = {risk: number for number, risk in enumerate(Risk, 1)}
_CONTROLS = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]")
_SPECIAL = re.compile("[&<>\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]")
_ROW_OF_FORMATS = re.compile(r'<row r="2".*?</row>', re.DOTALL)
_DIMENSION = re.compile(r'<dimension ref="[^"]*"/>')


def _letter(column: int) -> str:
    """``A`` for 0, ``AB`` for 27."""
    tens, ones = divmod(column, 26)
    return (chr(64 + tens) if tens else "") + chr(65 + ones)


COLUMNS: Mapping[str, str] = MappingProxyType(
    {title: _letter(column) for column, (title, _) in enumerate(TITLES)}
)
"""Letter of each column."""
_QUANTITIES = ("L", "M", "N")
_SUMS = ("V", "W", "X")


@dataclass(frozen=True, slots=True)
class LineRows:
    """What the rows refer to.

    Attributes:
        rates: cell by rate and day from which it holds.
        numbers: number of each sum a line goes into, by side.
    """

    rates: Mapping[tuple[str, date], str]
    numbers: Mapping[By, Mapping[str, int]]


def written_into(workbook: bytes, sheet: int, rows: LineRows, lines: Iterable[BidLine]) -> bytes:
    """The workbook with a row a line, from the second on, in one of its sheets.

    Args:
        workbook: XLSX whose sheet holds heads, and one cell in the second row that shows the format
            of sums.
        sheet: its number, from 1.
        rows: what the rows refer to.
        lines: of the bid.
    """
    name = f"xl/worksheets/sheet{sheet}.xml"
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(workbook)) as before,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as after,
    ):
        for entry in before.infolist():
            data = before.read(entry)
            if entry.filename != name:
                after.writestr(entry, data)
                continue
            with after.open(entry, "w") as file:
                for part in _sheet(data.decode(), rows, lines):
                    file.write(part.encode())
    return out.getvalue()


def _sheet(text: str, rows: LineRows, lines: Iterable[BidLine]) -> Iterator[str]:
    found = _ROW_OF_FORMATS.search(text)
    if found is None:
        raise ValueError("the sheet of lines has no row of formats")
    form = re.search(r's="(\d+)"', found.group())
    yield _DIMENSION.sub("", text[: found.start()], count=1)
    for number, line in enumerate(lines, 2):
        yield _row(number, line, rows, form.group(1) if form else "0")
    yield text[found.end() :]


def _row(number: int, line: BidLine, rows: LineRows, form: str) -> str:
    cells = [
        _text(letter, number, word)
        for letter, word in zip(
            "ABCDEFGHIJK",
            (
                line.element,
                line.shot,
                line.sequence,
                line.kind,
                line.what,
                line.craft,
                line.phase_name,
                line.month,
                line.account,
                line.risk.value,
                line.rate,
            ),
            strict=True,
        )
        if word
    ]
    if line.reckoning is None:
        cells.append(_text("O", number, "no rate"))
        cells += [f'<c r="{letter}{number}" s="{form}"><v>0</v></c>' for letter in _SUMS]
    else:
        cells += _arithmetic(number, line, line.reckoning, (rows, form))
    for by in SIDES:
        place = rows.numbers[by][side_of(by)(line)]
        cells.append(f'<c r="{COLUMNS[f"{by} no."]}{number}"><v>{place}</v></c>')
    risk = _RISK_NUMBERS[line.risk]
    cells.append(f'<c r="{COLUMNS["risk no."]}{number}"><v>{risk}</v></c>')
    return f'<row r="{number}">{"".join(cells)}</row>'


def _arithmetic(
    number: int, line: BidLine, counted: Reckoning, where: tuple[LineRows, str]
) -> Iterator[str]:
    """Quantity, price and share, and the sums as formulas of them."""
    rows, form = where
    for letter, many in zip(_QUANTITIES, (counted.low, counted.likely, counted.high), strict=True):
        yield f'<c r="{letter}{number}"><v>{float(many)!r}</v></c>'
    yield _text("O", number, counted.unit)
    yield f'<c r="P{number}"><v>{counted.in_one}</v></c>'
    if counted.since is None:
        yield f'<c r="Q{number}" s="{form}"><v>{counted.stated}</v></c>'
    else:
        cell = rows.rates[line.rate, counted.since]
        yield f'<c r="Q{number}" s="{form}"><f>{cell}</f><v>{counted.stated}</v></c>'
    if counted.months:
        formula = f"ROUND((1+Loads!$B$6)^({counted.months}/12),6)"
        yield f'<c r="R{number}"><f>{formula}</f><v>{counted.growth}</v></c>'
    else:
        yield f'<c r="R{number}"><v>1</v></c>'
    if counted.cut is not None:
        for letter, edge in zip("STU", counted.cut, strict=True):
            yield f'<c r="{letter}{number}"><v>{float(edge)!r}</v></c>'
    figures = line.figures
    sums = (figures.low, figures.likely, figures.high)
    for letter, many_, sum_ in zip(_SUMS, _QUANTITIES, sums, strict=True):
        whole = f"ROUND({many_}{number}*Q{number}*R{number}/P{number},2)"
        if counted.cut is not None:
            whole = f"ROUND({whole}*T{number}/U{number},2)-ROUND({whole}*S{number}/U{number},2)"
        yield f'<c r="{letter}{number}" s="{form}"><f>{whole}</f><v>{sum_}</v></c>'


def _text(letter: str, number: int, text: str) -> str:
    if _SPECIAL.search(text):
        text = _CONTROLS.sub("\ufffd", text)
        text = text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return f'<c r="{letter}{number}" t="inlineStr"><is><t xml:space="preserve">{text}</t></is></c>'
