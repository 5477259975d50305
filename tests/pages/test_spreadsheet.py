from __future__ import annotations

import csv
import io
import re
import shutil
import subprocess
import zipfile
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from planner.bid import SIDES, price, rollup
from planner.kinds import Risk
from planner.model.facts import Facts, Money
from planner.model.place import Place
from planner.model.quantity import Quantity
from planner.model.show import Loads
from planner.pages.spreadsheet import bid_csv, spreadsheet
from tests.bid.conftest import Board

if TYPE_CHECKING:
    from pathlib import Path

    from planner.bid import Bid

MONDAY, TUESDAY = date(2026, 3, 2), date(2026, 3, 3)
HERE = Place("show/show.yaml", 1, 1)
OFFICE = shutil.which("soffice")
CACHED = re.compile(r"(</f>)<v>[^<]*</v>")


@pytest.fixture
def bid() -> Bid:
    """Odd cents, shares, escalation, three risks, and names that look like formulas."""
    board = Board()
    board.loads = Loads(
        Decimal("0.125"),
        {"ordinary": Decimal("0.08"), "untried": Decimal("0.15"), "fire": Decimal("0.2")},
        True,
    )
    board.facts = Facts(
        HERE,
        {
            "escalation": Facts(HERE, {"share": Quantity("share", 0.04), "base": date(2024, 9, 1)}),
            "costs": Facts(HERE, {"stills": Facts(HERE, {"each": "shot"})}),
        },
    )
    board.resource("stage", "north")
    board.rate("north", "day", "1450.01", account="=1+1")
    board.rate("camera", "hour", "38.333", (TUESDAY, "39.5"), account="05100")
    board.rate("effects", "day", "247.77", account="5100")
    board.rate("negative", "foot", "0.46", account="Stock <&> films")
    board.rate("stills", "item", "35.005", account="stock <&> films")
    for shot in ("A_010", "A_020", "A_030"):
        board.shot(shot)
        board.element(
            f"{shot}.dam",
            board.work("=photograph", "camera", (4.1, 6.3, 9.7), heads=3),
            board.work("+burn", "effects", (1, 1.25, 2.75), risk=Risk.FIRE),
            board.charge("@negative", "negative", 430.5, "ft", risk=Risk.UNTRIED),
            board.charge("-fee", "", amount=Money(Decimal("99.995"), "GBP")),
        )
        board.call(f"{shot}.dam", "+burn", TUESDAY, holds=("north",))
    board.call("A_010.dam", "=photograph", MONDAY, holds=("north",))
    board.days_held["north"] = (MONDAY, TUESDAY)
    board.element("town", board.work("make", "nobody", 5), kind="build")
    return price(*board.given())


def recalculated(data: bytes, folder: Path) -> dict[str, list[list[str]]]:
    """Every sheet as LibreOffice reckons it, no figure of ours left in any formula's cell."""
    book = folder / "bid.xlsx"
    with zipfile.ZipFile(io.BytesIO(data)) as held, zipfile.ZipFile(book, "w") as bare:
        for entry in held.infolist():
            text = held.read(entry)
            if entry.filename.startswith("xl/worksheets/"):
                text = CACHED.sub(r"\1", text.decode()).encode()
            bare.writestr(entry, text)
    # Comma, quotes, UTF-8, from row 1, all text quoted, values and not what is shown, every sheet.
    form = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,true,false,false,false,false,-1"
    away = f"-env:UserInstallation=file://{folder}/profile"
    subprocess.run(
        ["soffice", away, "--headless", "--convert-to", form, "--outdir", str(folder), str(book)],
        check=True,
        capture_output=True,
        timeout=120,
    )
    return {
        each.stem.removeprefix("bid-"): list(csv.reader(io.StringIO(each.read_text("utf-8"))))
        for each in folder.glob("bid-*.csv")
    }


def cents(row: list[str], first: int) -> list[str]:
    return [f"{float(cell):.2f}" for cell in row[first : first + 3]]


def sums(figures) -> list[str]:
    return [f"{each:.2f}" for each in (figures.low, figures.likely, figures.high)]


@pytest.mark.skipif(OFFICE is None, reason="needs LibreOffice")
def test_another_program_comes_to_the_same_cent_everywhere(bid: Bid, tmp_path: Path) -> None:
    sheets = recalculated(spreadsheet(bid, growth=Decimal("0.04")), tmp_path)
    assert [cents(row, 21) for row in sheets["Lines"][1:]] == [
        sums(line.figures) for line in bid.lines
    ]
    assert cents(sheets["Loads"][9], 5) == sums(bid.cost)
    loads = {row[0]: cents(row, 5) for row in sheets["Loads"][10:15]}
    assert loads == {load.name: sums(load.figures) for load in bid.loads}
    assert cents(sheets["Loads"][15], 5) == sums(bid.total)
    assert cents(sheets["Summary"][8], 1) == sums(bid.total)
    for by in SIDES:
        rows = {row[0]: cents(row, 2) for row in sheets[f"By {by}"][1:-1]}
        assert rows == {name: sums(each) for name, each in rollup(bid, by).items()}
        assert cents(sheets[f"By {by}"][-1], 2) == sums(bid.cost)


@pytest.mark.skipif(OFFICE is None, reason="needs LibreOffice")
def test_a_rate_changed_in_the_sheet_moves_the_total_as_repricing_does(
    bid: Bid, tmp_path: Path
) -> None:
    data = spreadsheet(bid, growth=Decimal("0.04"))
    changed = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as held, zipfile.ZipFile(changed, "w") as other:
        for entry in held.infolist():
            text = held.read(entry).decode() if entry.filename.endswith("sheet3.xml") else None
            if text is not None:
                assert text.count("<v>1450.01</v>") == 1
                text = text.replace("<v>1450.01</v>", "<v>1600.02</v>")
            other.writestr(entry, held.read(entry) if text is None else text)
    sheets = recalculated(changed.getvalue(), tmp_path)
    lines = [
        replace(line, reckoning=replace(line.reckoning, stated=Decimal("1600.02")))
        if line.rate == "north"
        else line
        for line in bid.lines
    ]
    expected = [each.reckoning.figures() if each.reckoning else each.figures for each in lines]
    assert [cents(row, 21) for row in sheets["Lines"][1:]] == [sums(each) for each in expected]


@pytest.mark.skipif(OFFICE is None, reason="needs LibreOffice")
def test_names_that_look_like_formulas_stay_text(bid: Bid, tmp_path: Path) -> None:
    sheets = recalculated(spreadsheet(bid), tmp_path)
    assert {row[4] for row in sheets["Lines"]} >= {"=photograph", "+burn", "@negative", "-fee"}
    assert "=1+1" in {row[0] for row in sheets["By account"]}


def test_every_formula_holds_our_own_figure_beside_it(bid: Bid) -> None:
    with zipfile.ZipFile(io.BytesIO(spreadsheet(bid))) as held:
        text = held.read("xl/worksheets/sheet2.xml").decode()
    likely = re.findall(r'<c r="W\d+" s="\d+">(?:<f>[^<]*</f>)?<v>([^<]*)</v>', text)
    assert [Decimal(each) for each in likely] == [line.figures.likely for line in bid.lines]


def test_every_sheet_prints_one_page_wide_with_its_heads_on_each_page(bid: Bid) -> None:
    with zipfile.ZipFile(io.BytesIO(spreadsheet(bid))) as held:
        names = [each for each in held.namelist() if each.startswith("xl/worksheets/sheet")]
        sheets = {name: held.read(name).decode() for name in names}
        book = held.read("xl/workbook.xml").decode()
    assert len(sheets) == 4 + len(SIDES)
    assert [name for name, text in sheets.items() if 'fitToHeight="0"' not in text] == []
    # Summary and loads are a page each; every other sheet may run on to a next one.
    assert book.count("_xlnm.Print_Titles") == len(sheets) - 2


def test_heads_say_the_currency_of_what_stands_under_them(bid: Bid) -> None:
    with zipfile.ZipFile(io.BytesIO(spreadsheet(bid))) as held:
        text = held.read("xl/sharedStrings.xml").decode()
    said = set(re.findall(r"<t[^>]*>([^<]*)</t>", text))
    assert said >= {"Low, GBP", "Likely, GBP", "High, GBP", "One costs, GBP", "Is, GBP"}


@pytest.mark.skipif(OFFICE is None, reason="needs LibreOffice")
def test_a_bid_opened_again_grows_by_the_share_its_lines_grew_by(bid: Bid, tmp_path: Path) -> None:
    # An issued bid keeps the growth of each line, not the show's share; it was grown by 4 % a year.
    sheets = recalculated(spreadsheet(bid), tmp_path)
    assert sheets["Loads"][5][:2] == ["escalation a year", "4%"]
    assert cents(sheets["Summary"][8], 1) == sums(bid.total)


def test_a_bid_of_nothing_is_still_a_workbook() -> None:
    with zipfile.ZipFile(io.BytesIO(spreadsheet(price(*Board().given())))) as held:
        assert held.testzip() is None


def test_control_characters_cannot_break_the_file() -> None:
    board = Board()
    board.element("dam", board.work("make\x00<b>\x1b", "camera", 1), kind="build")
    with zipfile.ZipFile(io.BytesIO(spreadsheet(price(*board.given())))) as held:
        text = held.read("xl/sharedStrings.xml").decode()
    assert "make\ufffd&lt;b&gt;\ufffd" in text


def test_the_plain_table_guards_names_that_look_like_formulas(bid: Bid) -> None:
    rows = list(csv.DictReader(io.StringIO(bid_csv(bid))))
    assert len(rows) == len(bid.lines)
    assert rows[0]["what"] == "'=photograph"
    assert sum(Decimal(row["likely"]) for row in rows) == bid.cost.likely
