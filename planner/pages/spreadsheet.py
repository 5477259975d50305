"""The bid as a spreadsheet whose totals move when a rate is changed, and as a plain table.

Takes a bid and what it says, gives the bytes of an XLSX file, or CSV text. Works nothing out: every
cell that is a formula holds the bid's own figure too. Text is always text, whatever it begins with.
"""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING, NamedTuple

from planner.bid import SIDES, side_of, total_of
from planner.bid.escalation import share_behind
from planner.bid.lines import NOTHING
from planner.kinds import Risk
from planner.pages.bid_text import side_words
from planner.pages.sheet_lines import (
    COLUMNS,
    NUMBERS,
    SHOWN,
    SUMS_OF_MONEY,
    TITLES,
    LineRows,
    written_into,
)
from planner.pages.wording import folded, inert

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from datetime import date
    from decimal import Decimal

    from xlsxwriter.format import Format  # type: ignore[import-untyped, unused-ignore]
    from xlsxwriter.workbook import Workbook  # type: ignore[import-untyped, unused-ignore]
    from xlsxwriter.worksheet import Worksheet  # type: ignore[import-untyped, unused-ignore]

    from planner.bid import Bid, BidLine, By, Figures
    from planner.bid.revision import Said

SUMMARY, LINES, RATES, LOADS = "Summary", "Lines", "Rates", "Loads"
_SUMS = ("low", "likely", "high")
_HOW_TO_READ = (
    "Every line is rounded to the cent, halves up, and every total is a sum of lines.",
    f"Change a rate in {RATES}, or a share in {LOADS}, in the yellow cells; every total moves.",
)
_HEADS = tuple(each.capitalize() for each in _SUMS)
_SUM_COLUMNS = tuple(COLUMNS[name] for name in _SUMS)
_RISKS = tuple(Risk)
_OPENS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")
_TO_BE_CHANGED = "#FFF7D6"
_A3, _A4 = 8, 9
_LINE_HIGH = 15
"""Height of a line of text, points."""
_ACROSS = 108
"""How many letters of a text fit across the summary."""
_TITLE_LONG = 60
"""Letters of a show's title in a header, which holds 255 with all its orders."""


class _Book:
    """A workbook under construction, its formats, and where things stand in it."""

    def __init__(self, book: Workbook, bid: Bid, growth: Decimal) -> None:
        self.book = book
        self.bid = bid
        self.growth = growth
        self.last = len(bid.lines) + 1
        top = {"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"}
        self.head: Format = book.add_format(top)
        self.head_of_sums: Format = book.add_format({**top, "align": "right"})
        self.title: Format = book.add_format({"bold": True, "font_size": 14})
        self.bold: Format = book.add_format({"bold": True})
        self.money: Format = book.add_format({"num_format": "#,##0.00"})
        self.number: Format = book.add_format({"num_format": "#,##0.00##_)"})
        self.unpriced: Format = book.add_format({"bold": True, "font_color": "#A33C00"})
        self.total: Format = book.add_format({"num_format": "#,##0.00", "bold": True, "top": 1})
        self.sum_up: Format = book.add_format({"bold": True, "top": 1})
        self.share: Format = book.add_format({"num_format": "0.0###%"})
        changed = {"bg_color": _TO_BE_CHANGED}
        self.share_given: Format = book.add_format({"num_format": "0.0###%", **changed})
        self.given: Format = book.add_format({"num_format": "#,##0.00##", **changed})
        self.chosen: Format = book.add_format(changed)
        self.day: Format = book.add_format({"num_format": "yyyy-mm-dd", "align": "left"})
        self.wrapped: Format = book.add_format({"text_wrap": True, "valign": "top"})

    def column(self, letter: str) -> str:
        """All of one column of the lines."""
        return f"{LINES}!${letter}$2:${letter}${max(self.last, 2)}"

    def add_sheet(self, name: str) -> Worksheet:
        """A sheet that prints one page wide on A4, with the show's title and page numbers."""
        sheet = self.book.add_worksheet(name)
        sheet.set_paper(_A4)
        sheet.set_margins(left=0.5, right=0.5, top=0.8, bottom=0.7)
        sheet.fit_to_pages(1, 0)
        # An ampersand begins an order in a header; two are one to be printed.
        title = inert(self.bid.title).replace("&", "&&")[:_TITLE_LONG]
        sheet.set_header(f"&L{title}: bid, in {self.bid.currency}&R&A")
        sheet.set_footer("&RPage &P of &N")
        return sheet

    def write_heads(self, sheet: Worksheet, row: int, titles: Iterable[str], sums: int) -> None:
        """Heads of columns; the last `sums` of them stand over sums in the bid's currency."""
        heads = tuple(titles)
        for column, title in enumerate(heads):
            of_sums = column >= len(heads) - sums
            said = f"{title}, {self.bid.currency}" if of_sums else title
            sheet.write_string(row, column, said, self.head_of_sums if of_sums else self.head)


def spreadsheet(bid: Bid, said: Said | None = None, growth: Decimal | None = None) -> bytes:
    """The bid as XLSX: summary, lines, rates, loads, and a sheet for each way of summing.

    Args:
        bid: priced.
        said: what it is given on; left out where None.
        growth: share by which prices rise a year; read off the lines where None.
    """
    import xlsxwriter  # type: ignore[import-untyped, unused-ignore]

    out = io.BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True, "strings_to_formulas": False}) as book:
        work = _Book(book, bid, _growth_of(bid.lines) if growth is None else growth)
        sheets = {name: work.add_sheet(name) for name in (SUMMARY, LINES, RATES, LOADS)}
        sides = [_side(by, bid.lines) for by in SIDES]
        places = _write_rates(work, sheets[RATES])
        _write_heads(work, sheets[LINES])
        rows = _write_loads(work, sheets[LOADS])
        _write_summary(work, sheets[SUMMARY], rows, said)
        for side in sides:
            _write_side(work, side)
    filed = tuple(zip(*(side.filed for side in sides), strict=True))
    return written_into(out.getvalue(), 2, LineRows(places, filed), bid.lines)


def _growth_of(lines: Sequence[BidLine]) -> Decimal:
    counted = (line.reckoning for line in lines if line.reckoning is not None)
    return share_behind({each.months: each.growth for each in counted if each.months})


def _write_rates(work: _Book, sheet: Worksheet) -> dict[tuple[str, date], str]:
    """Each rate as each of its days has it; gives the cell by rate and day."""
    sheet.freeze_panes(1, 0)
    sheet.repeat_rows(0)
    sheet.set_column(0, 0, 32)
    sheet.set_column(1, 3, 14)
    work.write_heads(sheet, 0, ("Rate", "Per", "From", "Is"), 1)
    found: dict[tuple[str, date], tuple[Decimal, str]] = {}
    for line in work.bid.lines:
        counted = line.reckoning
        if counted is not None and counted.since is not None:
            per = _per(line)
            found.setdefault((line.rate, counted.since), (counted.stated, per))
    places = {}
    for row, ((name, since), (amount, per)) in enumerate(sorted(found.items()), 1):
        sheet.write_string(row, 0, name.replace("_", " "))
        sheet.write_string(row, 1, per)
        sheet.write_datetime(row, 2, since, work.day)
        sheet.write_number(row, 3, float(amount), work.given)
        places[name, since] = f"{RATES}!$D${row + 1}"
    return places


def _per(line: BidLine) -> str:
    counted = line.reckoning
    if counted is None:
        return ""
    unit = "hour" if counted.unit == "h" else counted.unit.replace("_", " ")
    return unit if counted.in_one == 1 else f"{counted.in_one.normalize():f} {unit}"


def _write_heads(work: _Book, sheet: Worksheet) -> None:
    # Their arithmetic is two dozen columns wide, which A4 would shrink to five points.
    sheet.set_paper(_A3)
    sheet.set_landscape()
    sheet.freeze_panes(1, 5)
    sheet.repeat_rows(0)
    sheet.autofilter(0, 0, max(work.last - 1, 1), SHOWN - 1)
    sheet.set_row(0, 2 * _LINE_HIGH)
    for column, (title, width) in enumerate(TITLES):
        said = title[0].upper() + title[1:]
        if title in SUMS_OF_MONEY:
            said = f"{said}, {work.bid.currency}"
        sheet.write_string(0, column, said, work.head_of_sums if title in NUMBERS else work.head)
        sheet.set_column(column, column, width, None, {} if width else {"hidden": True})
    # The formats of the lines are taken from this row, which the lines then stand in place of.
    for column, form in enumerate((work.money, work.number, work.unpriced)):
        sheet.write_number(1, column, 0, form)


def _write_loads(work: _Book, sheet: Worksheet) -> list[tuple[str, int, Figures]]:
    """Shares that may be changed, and what they come to; gives name, row and sums of each."""
    terms = work.bid.terms
    sheet.set_landscape()
    sheet.set_column(0, 0, 34)
    sheet.set_column(1, 7, 16)
    work.write_heads(sheet, 0, ("Load", "Share"), 0)
    shares = [(f"contingency, {r.value}", terms.contingency.get(r.value)) for r in _RISKS]
    shares += [("overhead", terms.overhead), ("escalation a year", work.growth)]
    for row, (name, share) in enumerate(shares, 1):
        sheet.write_string(row, 0, name)
        sheet.write_number(row, 1, float(share or 0), work.share_given)
    sheet.write_string(6, 0, "contingency carries overhead")
    sheet.write_boolean(6, 1, terms.contingency_carries_overhead, work.chosen)
    heads = ("What", "Share", *(f"On, {each}" for each in _SUMS), *_HEADS)
    work.write_heads(sheet, 8, heads, 6)
    return list(_write_sums(work, sheet))


def _write_sums(work: _Book, sheet: Worksheet) -> Iterator[tuple[str, int, Figures]]:
    """Cost, each load with what it is on, and the total, from the tenth row on."""
    bid = work.bid
    _write_row(sheet, 9, ("cost", work.total, bid.cost), work, "=SUM({lines})")
    yield "cost", 9, bid.cost
    by_name = {load.name: load.figures for load in bid.loads}
    held_back = total_of(load.figures for load in bid.loads if load.name.startswith("contingency"))
    loads = [
        (
            f"contingency, {risk.value}",
            total_of(line.figures for line in bid.lines if line.risk is risk),
            f"=SUMIF({work.column(COLUMNS['risk no.'])},{number},{{lines}})",
            f"=$B${number + 1}",
        )
        for number, risk in enumerate(_RISKS, 1)
    ]
    loads.append(("overhead", bid.cost, "={sum}10", "=$B$5"))
    loads.append(
        ("overhead on contingency", held_back, "=SUM({sum}11:{sum}13)", "=IF($B$7,$B$5,0)")
    )
    shares = {load.name: float(load.share) for load in bid.loads}
    for row, (name, base, on, share) in enumerate(loads, 10):
        figures = by_name.get(name, NOTHING)
        sheet.write_formula(row, 1, share, work.share, shares.get(name, 0.0))
        _write_row(
            sheet, row, (name, work.money, figures), work, f"=ROUND({{on}}{row + 1}*$B{row + 1},2)"
        )
        for place, letter in enumerate(_SUM_COLUMNS):
            formula = on.format(lines=work.column(letter), sum=chr(ord("F") + place))
            sheet.write_formula(row, 2 + place, formula, work.money, _of(base, place))
        yield name, row, figures
    _write_row(sheet, 15, ("total", work.total, bid.total), work, "=SUM({sum}10:{sum}15)")
    yield "total", 15, bid.total


def _write_row(
    sheet: Worksheet, row: int, said: tuple[str, Format, Figures], work: _Book, formula: str
) -> None:
    """A name and three sums; ``{lines}``, ``{on}`` and ``{sum}`` are that column's."""
    name, form, figures = said
    sheet.write_string(row, 0, name, work.sum_up if form is work.total else None)
    for place, letter in enumerate(_SUM_COLUMNS):
        own = {
            "lines": work.column(letter),
            "on": chr(ord("C") + place),
            "sum": chr(ord("F") + place),
        }
        sheet.write_formula(row, 5 + place, formula.format(**own), form, _of(figures, place))


def _of(figures: Figures, place: int) -> float:
    return float((figures.low, figures.likely, figures.high)[place])


def _write_summary(
    work: _Book, sheet: Worksheet, rows: Sequence[tuple[str, int, Figures]], said: Said | None
) -> None:
    bid = work.bid
    sheet.set_column(0, 0, 46)
    sheet.set_column(1, 3, 18)
    sheet.write_string(0, 0, f"{bid.title}: bid, in {bid.currency}", work.title)
    work.write_heads(sheet, 1, ("What", *_HEADS), 3)
    for row, (name, there, figures) in enumerate(rows, 2):
        is_sum = name in {"cost", "total"}
        sheet.write_string(row, 0, name, work.sum_up if is_sum else None)
        for place in range(3):
            letter = chr(ord("F") + place)
            formula = f"={LOADS}!{letter}{there + 1}"
            form = work.total if is_sum else work.money
            sheet.write_formula(row, 1 + place, formula, form, _of(figures, place))
    row = len(rows) + 3
    for heading, texts in (("", _HOW_TO_READ), *_said(said)):
        if heading:
            sheet.write_string(row, 0, heading, work.bold)
            row += 1
        for each in texts:
            _write_text(sheet, row, each, work.wrapped)
            row += 1
        row += 1


def _write_text(sheet: Worksheet, row: int, text: str, form: Format) -> None:
    """A text across the sheet; joined cells do not grow with what they hold, so the row is set."""
    sheet.merge_range(row, 0, row, 3, "", form)
    sheet.write_string(row, 0, text, form)
    sheet.set_row(row, _LINE_HIGH * len(folded(text, width=_ACROSS)))


def _said(said: Said | None) -> Iterator[tuple[str, tuple[str, ...]]]:
    if said is None:
        return
    until = (f"valid until {said.valid_until}",) if said.valid_until else ()
    for heading, each in (
        ("Terms", (*said.terms, *until)),
        ("The production supplies", said.supplied),
        ("Not in the bid", said.excludes),
        ("Taken for granted", said.assumes),
    ):
        if each:
            yield heading, each


class _Side(NamedTuple):
    """One way of summing: its keys, numbered from 1, and the number of each line's key."""

    by: By
    keys: tuple[str, ...]
    filed: tuple[int, ...]


def _side(by: By, lines: Sequence[BidLine]) -> _Side:
    numbers: dict[str, int] = {}
    key = side_of(by)
    filed = tuple(numbers.setdefault(key(line), len(numbers) + 1) for line in lines)
    return _Side(by, tuple(numbers), filed)


def _write_side(work: _Book, side: _Side) -> None:
    """Sums by one side of the lines, and that they come to the cost."""
    by, keys = side.by, side.keys
    sheet = work.add_sheet(f"By {by}")
    sheet.freeze_panes(1, 0)
    sheet.repeat_rows(0)
    sheet.set_column(0, 0, 40)
    sheet.set_column(1, 1, None, None, {"hidden": True})
    sheet.set_column(2, 4, 18)
    work.write_heads(sheet, 0, (by.capitalize(), "no.", *_HEADS), 3)
    groups: list[list[Figures]] = [[] for _ in keys]
    for line, number in zip(work.bid.lines, side.filed, strict=True):
        groups[number - 1].append(line.figures)
    where = work.column(COLUMNS[f"{by} no."])
    for row, (key, group) in enumerate(zip(keys, groups, strict=True), 1):
        sheet.write_string(row, 0, side_words(key, by))
        sheet.write_number(row, 1, row)
        sums = total_of(group)
        for place, letter in enumerate(_SUM_COLUMNS):
            formula = f"=SUMIF({where},$B{row + 1},{work.column(letter)})"
            sheet.write_formula(row, 2 + place, formula, work.money, _of(sums, place))
    last = len(keys) + 1
    sheet.write_string(last, 0, "cost", work.sum_up)
    for place in range(3):
        letter = chr(ord("C") + place)
        formula = f"=SUM({letter}2:{letter}{last})" if keys else "=0"
        sheet.write_formula(last, 2 + place, formula, work.total, _of(work.bid.cost, place))


def bid_csv(bid: Bid) -> str:
    """Every line as a row; text that a spreadsheet would take for a formula gets an apostrophe."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(
        (
            *("element", "shot", "sequence", "kind", "what", "craft", "phase", "month"),
            *("account", "risk", "rate", "quantity", "unit", "each", *_SUMS, bid.currency),
        )
    )
    for line in bid.lines:
        counted = line.reckoning
        quantity = (
            (f"{counted.likely:f}", counted.unit, f"{counted.each:f}") if counted else ("",) * 3
        )
        figures = line.figures
        words = (
            *(line.element, line.shot, line.sequence, line.kind, line.what, line.craft),
            *(line.phase_name, line.month, line.account, line.risk.value, line.rate),
        )
        sums = (figures.low, figures.likely, figures.high)
        writer.writerow(
            (*map(_inert, words), *quantity, *sums, "" if line.is_priced else "no rate")
        )
    return out.getvalue()


def _inert(text: str) -> str:
    return f"'{text}" if text.startswith(_OPENS_A_FORMULA) else text
