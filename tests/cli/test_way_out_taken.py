"""What a way out of a loss is said to cost is what the bid comes to once it is taken.

On the example show as ordered, the square of NB180 is set up on the table rig from Friday 9 April
16:30 to Monday 12 April, and photographed that day; its lamps are lit from Monday 16:45 on.
"""

from __future__ import annotations

import json
import re
import shutil
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from tests.cli.test_commands import QUICK, run

if TYPE_CHECKING:
    from collections.abc import Iterable

EXAMPLE = Path(__file__).parents[2] / "example_shows" / "nine_bells_under"
SQUARE = ["NB180.square/light and line up", "NB180.square/set up"]
LAMPS = ["NB180.lamps/light and line up", "NB180.lamps/set the light"]


@pytest.fixture(scope="module")
def issued(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The example show with its first order issued, and nothing posted."""
    folder = tmp_path_factory.mktemp("bells") / "nine_bells"
    shutil.copytree(EXAMPLE, folder)
    # Else the long rig comes too high for NB180, and nothing could go on with it.
    resources = folder / "resources.yaml"
    text = resources.read_text(encoding="utf-8")
    assert text.count("lowest_lens: 0.30 m") == 1
    text = text.replace("lowest_lens: 0.30 m", "lowest_lens: 0.12 m")
    resources.write_text(text, encoding="utf-8")
    told = run("order", folder, "--issue", *QUICK)
    assert told.exit_code == 0, told.output
    return folder


@pytest.fixture
def show(issued: Path, tmp_path: Path) -> Path:
    """A copy of that to write in."""
    return Path(shutil.copytree(issued, tmp_path / "nine_bells"))


def ways_out(show: Path, lost: str, days: str) -> tuple[Decimal, dict[str, dict[str, Any]]]:
    """What every sum is against, and the ways out of a loss."""
    told = run("order", show, "--without", lost, days, "--hire", "650 GBP", "--json", *QUICK)
    assert told.exit_code == 0, told.output
    said = json.loads(told.stdout)
    against = re.findall(r"([\d,]+\.\d\d) likely in all", said["against"])[-1]
    return Decimal(against.replace(",", "")), {each["way"]: each for each in said["ways"]}


def bid(show: Path) -> dict[str, Any]:
    told: dict[str, Any] = json.loads(run("bid", show, "--json", *QUICK).stdout)
    return told


def total(show: Path) -> Decimal:
    return Decimal(bid(show)["total"]["likely"])


def take(show: Path, way: dict[str, Any], at: str) -> None:
    """Write, post and issue what a way says, the edits from the last line up."""
    steps = way["to_take_it"]
    for step in sorted(steps, key=_line, reverse=True):
        if step["place"]:
            _edit(step)
    for step in steps:
        if step["place"]:
            continue
        if rate := re.fullmatch(r"in rates.yaml, `(\w+)` per day: (.*)", step["says"]):
            amounts = f"[{{from: 2027-03-01, is: {rate[2].replace(',', '')}}}]"
            with (show / "rates.yaml").open("a", encoding="utf-8") as file:
                file.write(f"  {rate[1]}: {{per: day, amounts: {amounts}}}\n")
            continue
        (words,) = re.findall("`platewright (.*)`", step["says"])
        command, _show, *more = words.split()
        is_order = command == "order"
        told = run(command, show, *more, *(QUICK if is_order else ("--on", at[:10], "--at", at)))
        assert told.exit_code == 0, told.output


def _line(step: dict[str, Any]) -> int:
    return int(step["place"].rsplit(":", 2)[1]) if step["place"] else 0


def _edit(step: dict[str, Any]) -> None:
    file, line, _column = step["place"].rsplit(":", 2)
    rows = Path(file).read_text(encoding="utf-8").split("\n")
    row, says = int(line) - 1, step["says"]
    if hired := re.fullmatch(r"under `\w+`, one more called `(\w+)`, .*, from (\S+)", says):
        (new, day), like = hired.groups(), rows[row].strip().removesuffix(":")
        rows[row:row] = [*_copied(rows[row:], like, new), f"    from: {day}"]
    else:
        found = re.fullmatch(r".*: `(\w+): (.*?)` (?:in place of .*|and nothing else)", says)
        assert found is not None, says
        rows[row] = re.sub(rf"\b{found[1]}: .*", f"{found[1]}: {found[2]}", rows[row])
        assert found[2] in rows[row]
    Path(file).write_text("\n".join(rows), encoding="utf-8")


def _copied(rows: list[str], like: str, new: str) -> Iterable[str]:
    """A thing of resources.yaml under another name, its title left out."""
    yield rows[0].replace(f"{like}:", f"{new}:")
    for row in rows[1:]:
        if not row.startswith("    "):
            return
        if not row.lstrip().startswith("title:"):
            yield row


@pytest.mark.parametrize(
    ("lost", "first", "name", "redone"),
    [
        ("table_rig", "2027-04-12", "hire", []),
        ("table_rig", "2027-04-12", "change", SQUARE),
        ("table_rig", "2027-04-12", "wait", []),
        # Another pass of a set that is done; more rigs would do for the one, and not for the other.
        ("table_rig", "2027-04-13", "hire", []),
        ("table_rig", "2027-04-13", "change", LAMPS),
        ("north_stage", "2027-04-12", "change", SQUARE),
        ("north_stage", "2027-04-12", "hire", SQUARE),
    ],
)
def test_a_way_out_taken_comes_to_what_was_said(
    show: Path, lost: str, first: str, name: str, redone: list[str]
) -> None:
    before, ways = ways_out(show, lost, f"{first}..2027-04-15")
    way = ways[name]
    assert way["redone"] == redone
    take(show, way, f"{first} 08:20")
    assert total(show) - before == Decimal(way["cost"]["likely"])
    # Nothing moved without the loss, so that the bid says the same of it, whatever was written.
    lost = bid(show)["lost"]
    assert (lost["cost"], lost["beside_order"]) == (way["cost"]["likely"], 1)


def test_a_stage_hired_where_planning_again_moves_calls_anyway_comes_to_what_was_said(
    show: Path,
) -> None:
    before, ways = ways_out(show, "south_stage", "2027-04-14..2027-04-16")
    take(show, ways["hire"], "2027-04-14 08:20")
    assert total(show) - before == Decimal(ways["hire"]["cost"]["likely"])


def test_what_works_on_stages_stated_works_on_the_hired_one_too(show: Path) -> None:
    """NB160.roofs is called to the north stage with the long rig, bolted down on two of three."""
    _before, ways = ways_out(show, "north_stage", "2027-04-12..2027-04-15")
    stated = "long_rig: `stages: [north_stage, tank_stage, hired_north_stage]`"
    steps = [each["says"] for each in ways["hire"]["to_take_it"]]
    assert f"{stated} in place of [north_stage, tank_stage]" in steps
    take(show, ways["hire"], "2027-04-12 08:20")
    assert "not-on-that-stage" not in run("check", show).output


def test_what_was_worked_on_friday_stays_paid_whoever_worked_it(show: Path) -> None:
    _before, ways = ways_out(show, "table_rig", "2027-04-12..2027-04-15")
    take(show, ways["change"], "2027-04-12 08:20")
    paid = {
        line["what"]: line["quantity"]["likely"]
        for line in bid(show)["lines"]
        if line["element"] == "NB180.square" and "done again" in line["what"]
    }
    assert set(paid) == {
        "set up, begun before and done again",
        "light and line up, begun before and done again",
        "overtime, set up, begun before and done again",
        "overtime, light and line up, begun before and done again",
    }
