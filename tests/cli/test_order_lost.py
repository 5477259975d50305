"""``platewright order --without``: the ways out of a loss, as its user meets them."""

from __future__ import annotations

import json
import re
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from planner.cli.opening import open_sound
from tests.cli.test_commands import QUICK, run
from tests.cli.test_way_out_taken import take, ways_out

if TYPE_CHECKING:
    from tests.conftest import ShowFolder

NORTH = "  north: {width: 18 m, depth: 24 m, height: 7 m}\n"
BOTH = """\
  north: {width: 18 m, depth: 24 m, height: 7 m, title: North stage}
  south: {width: 18 m, depth: 24 m, height: 7 m, title: South stage}
"""

VILLAGE = """\
      village:
        kind: miniature
        build: hill_town
        action: still
        nearest: 40 m
        holds: {from: 40 m, to: 90 m}
        extent: {width: 50 m, depth: 40 m, height: 12 m}
        light: 250 fc
"""


def busy_days(show: ShowFolder) -> tuple[str, str]:
    """The stage the town is photographed on, and the day."""
    calls = json.loads(run("order", show.path, "--json", *QUICK).stdout)["calls"]
    call = next(each for each in calls if each["element"] == "HL010.town" and each["stage"])
    return call["stage"], call["starts"][:10]


def test_a_lost_stage_comes_back_with_three_ways_out_in_80_columns(show: ShowFolder) -> None:
    show.replace("resources.yaml", NORTH, BOTH)
    stage, day = busy_days(show)
    told = run("order", show.path, "--without", f"{stage.title()} stage", day, *QUICK)
    assert told.exit_code == 0, told.output
    assert told.stdout.startswith(f"Without {stage.title()} stage ")
    for way in ("Wait until", "Hire another like", "Go on with what else fits"):
        assert way in told.stdout
    assert all(len(line) <= 80 for line in told.stdout.splitlines())


def test_a_stage_an_element_insists_on_is_changed_for_another_that_fits(show: ShowFolder) -> None:
    show.replace("resources.yaml", NORTH, BOTH)
    show.replace("sequences/hill.yaml", "nearest: 40 m", "nearest: 40 m\n        stage: north")
    _stage, day = busy_days(show)
    told = json.loads(run("order", show.path, "--without", "north", day, "--json", *QUICK).stdout)
    (change,) = [way for way in told["ways"] if way["way"] == "change"]
    assert change["says"] == "go on with what else fits: South stage"


def test_what_is_posted_as_lost_is_away_in_every_way_out_unless_asked_about(
    show: ShowFolder,
) -> None:
    show.replace("resources.yaml", NORTH, BOTH)
    run("order", show.path, "--issue", *QUICK)
    stage, day = busy_days(show)
    (other,) = {"north", "south"} - {stage}
    assert day == "2027-03-12"  # a Friday
    asked = ("order", show.path, "--without", stage, f"{day}..2027-03-16", *QUICK)
    lost = ("post", show.path, "lost")
    run(*lost, other, "--at", "2026-11-02 10:00", "--value", "back=2027-03-22")
    # The stage of the town is back on Wednesday 17 March; the other only on Monday 22 March.
    assert stage_days(run(*asked, "--json").stdout) == {
        "wait": (stage, "2027-03-17"),
        "change": (other, "2027-03-22"),
        "hire": (f"hired_{stage}", day),
    }
    said = f"In every way out: {other.title()} stage: lost, posted 2026-11-02, back 2027-03-22"
    assert said in " ".join(run(*asked).stderr.split())
    # What is asked about a stage holds, whatever was posted of it; the other is there again.
    run("post", show.path, "freed", other, "--at", "2026-11-02 11:00")
    run(*lost, stage, "--at", "2026-11-02 12:00", "--value", "back=2027-03-22")
    days = stage_days(run(*asked, "--json").stdout)
    assert days["wait"] == (stage, "2027-03-17")
    assert days["change"] == (other, day)


def stage_days(told: str) -> dict[str, tuple[str, str]]:
    """By each way out the stage that the town is set up on, and the day."""
    found = {}
    for way in json.loads(told)["ways"]:
        (call,) = [each for each in way["changes"]["moved"] if each["call"] == "HL010.town/set up"]
        (stage,) = [each for each in call["holds"] if each.endswith(("north", "south"))]
        found[way["way"]] = stage, call["now"][:10]
    return found


def test_a_hire_costs_the_price_stated_and_its_loads(show: ShowFolder) -> None:
    _stage, day = busy_days(show)
    at = [
        json.loads(
            run(
                *("order", show.path, "--without", "cam", day, "--hire", price, "--json", *QUICK)
            ).stdout
        )
        for price in ("100 GBP", "300 GBP")
    ]
    cheap, dear = (
        float(next(way for way in told["ways"] if way["way"] == "hire")["cost"]["likely"])
        for told in at
    )
    # 200 GBP more a day for whole days, with 12 % and 10 % on it: 244 GBP each.
    days = (dear - cheap) / 244
    assert days >= 1
    assert abs(days - round(days)) < 1e-9


def test_a_hired_crew_costs_the_price_stated_for_each_head(show: ShowFolder) -> None:
    lost = ("order", show.path, "--without", "modellers", "2027-03-01..2027-12-31")
    hired = [
        next(
            way
            for way in json.loads(run(*lost, "--hire", at, "--json", *QUICK).stdout)["ways"]
            if way["way"] == "hire"
        )
        for at in ("4 at 300 GBP", "4 at 500 GBP")
    ]
    says = "hire another like modellers, 4 heads at 300.00 GBP a day each"
    assert hired[0]["says"] == f"{says}, in place of the rate of their craft"
    cheap, dear = (float(way["cost"]["likely"]) for way in hired)
    # 200 GBP more for a head's day of ten hours, with 12 % and 10 % on it: 24.40 GBP an hour, for
    # every hour of model making, all of which the hired heads do.
    estimates = open_sound(show.path).estimates.by_element.values()
    works = [each for estimate in estimates for each in estimate.work]
    hours = sum(w.hours.likely * w.heads for w in works if w.craft == "model_making")
    assert hours > 0
    assert abs((dear - cheap) / 24.40 - hours) < 0.01


def test_the_show_and_its_issued_orders_are_left_alone(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    stage, day = busy_days(show)
    before = {path: path.read_bytes() for path in show.path.rglob("*") if path.is_file()}
    run("order", show.path, "--without", stage, day, *QUICK)
    assert {path: path.read_bytes() for path in show.path.rglob("*") if path.is_file()} == before


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (("--without", "norht", "2027-03-02"), "did you mean north?"),
        (("--without", "north", "Tuesday"), "is not a date"),
        (("--without", "north", "2027-03-02", "--hire", "90"), "has no currency"),
        (("--without", "north", "2027-03-02", "--hire", "90 EUR"), "not in GBP"),
        (("--without", "north", "2027-03-02", "--hire", "3 at 90 GBP"), "north is none"),
        (("--without", "modellers", "2027-03-02", "--hire", "no at 90 GBP"), "no number of heads"),
        (("--without", "modellers", "2027-03-02", "--hire", "0 at 90 GBP"), "no number of heads"),
        (("--without", "modellers", "2027-03-02", "--hire", "3 at 90"), "has no currency"),
    ],
)
def test_what_cannot_be_read_is_wrong_usage(
    show: ShowFolder, options: tuple[str, ...], says: str
) -> None:
    told = run("order", show.path, *options, *QUICK)
    assert told.exit_code == 2
    assert says in " ".join(told.output.split())


def test_a_build_lost_for_good_is_made_again_at_a_price_and_not_waited_for(
    show: ShowFolder,
) -> None:
    calls = json.loads(run("order", show.path, "--json", *QUICK).stdout)["calls"]
    day = next(each for each in calls if each["element"] == "HL010.town")["starts"][:10]
    told = run("order", show.path, "--without", "hill_town", f"{day}..", *QUICK)
    assert told.exit_code == 0, told.output
    assert "on, for good." in " ".join(told.stdout.split())
    assert "Make hill town again" in told.stdout
    as_json = run("order", show.path, "--without", "hill_town", f"{day}..", "--json", *QUICK)
    said = json.loads(as_json.stdout)
    assert said["without"][0]["last"] is None
    assert [each["way"] for each in said["ways"]] == ["rebuild"]
    assert float(said["ways"][0]["cost"]["likely"]) > 0


def total(show: ShowFolder) -> Decimal:
    return Decimal(json.loads(run("bid", show.path, "--json").stdout)["total"]["likely"])


def ways_if_north_is_lost(show: ShowFolder) -> tuple[date, dict[str, dict[str, Any]]]:
    """North is asked about for the two days from which the town is on it, which it insists on."""
    show.replace("resources.yaml", NORTH, BOTH)
    show.replace("sequences/hill.yaml", "nearest: 40 m", "nearest: 40 m\n        stage: north")
    run("order", show.path, "--issue", *QUICK)
    first = date.fromisoformat(busy_days(show)[1])
    days = f"{first}..{first + timedelta(days=1)}"
    told = json.loads(run("order", show.path, "--without", "north", days, "--json", *QUICK).stdout)
    return first, {each["way"]: each for each in told["ways"]}


def posted_and_planned_again(show: ShowFolder, way: dict[str, Any]) -> None:
    """Do what a way says that is to be done, and issue the order planned again last of all."""
    for step in way["to_take_it"]:
        if step["place"]:
            edit(step)
            continue
        (words,) = re.findall("`platewright (.*)`", step["says"])
        command, _show, *more = words.split()
        quick = (*QUICK, "--issue") if command == "order" else ("--at", "2026-11-02 10:00")
        told = run(command, show.path, *more, *quick)
        assert told.exit_code == 0, told.output


def edit(step: dict[str, Any]) -> None:
    """Write what a step says in the place that it names."""
    file, line, column = step["place"].rsplit(":", 2)
    found = re.fullmatch(r".*: `\w+: (.*)` in place of (.*)", step["says"])
    assert found is not None
    new, old = found.groups()
    rows = Path(file).read_text(encoding="utf-8").split("\n")
    row, at = rows[int(line) - 1], int(column) - 1
    assert row[at:] == old
    rows[int(line) - 1] = row[:at] + new
    Path(file).write_text("\n".join(rows), encoding="utf-8")


@pytest.mark.parametrize("name", ["wait", "change"])
def test_doing_what_a_way_says_comes_to_the_sum_that_it_said(show: ShowFolder, name: str) -> None:
    _first, ways = ways_if_north_is_lost(show)
    before = total(show)
    posted_and_planned_again(show, ways[name])
    assert total(show) - before == Decimal(ways[name]["cost"]["likely"])
    calls = json.loads(run("order", show.path, "--json").stdout)["calls"]
    stages = {each["stage"] for each in calls if each["element"] == "HL010.town"} - {""}
    assert stages == {"north" if name == "wait" else "south"}


def test_what_is_stated_is_told_with_its_place_where_a_way_sets_it_aside(show: ShowFolder) -> None:
    _first, ways = ways_if_north_is_lost(show)
    file, line, column = show.place("sequences/hill.yaml", "stage: north").rsplit(":", 2)
    assert ways["change"]["to_take_it"][0] == {
        "says": "HL010.town: `stage: [north, south]` in place of north",
        "place": f"{file}:{line}:{int(column) + len('stage: ')}",
    }


def test_what_is_stated_and_would_do_is_gone_by(show: ShowFolder) -> None:
    south = "  south: {width: 18 m, depth: 24 m, height: 7 m, title: South stage}\n"
    show.replace("resources.yaml", NORTH, f"{BOTH}{south.replace('outh', 'ide')}")
    insists = "nearest: 40 m\n        stage: [north, south]"
    show.replace("sequences/hill.yaml", "nearest: 40 m", insists)
    stage, day = busy_days(show)
    told = json.loads(run("order", show.path, "--without", stage, day, "--json", *QUICK).stdout)
    (change,) = [way for way in told["ways"] if way["way"] == "change"]
    (other,) = {"North", "South"} - {stage.title()}
    # Side stage fits as well, and nobody named it.
    assert change["says"] == f"go on with what else fits: {other} stage"
    assert not any(step["place"] for step in change["to_take_it"])


def test_the_parts_of_a_sum_come_to_it_and_its_lines_to_them(show: ShowFolder) -> None:
    _first, ways = ways_if_north_is_lost(show)
    for way in ways.values():
        parts = way["of_which"]
        assert sum(Decimal(part["likely"]) for part in parts) == Decimal(way["cost"]["likely"])
        for part in parts:
            lines = [Decimal(line["likely"]) for line in part["lines"]]
            assert not lines or sum(lines) == Decimal(part["likely"])
    # South has no rate: a day of north at 2400 GBP is saved, and 12 % and 10 % on it.
    told = [(part["name"], Decimal(part["likely"])) for part in ways["change"]["of_which"]]
    assert told == [("stage days", Decimal(-2400)), ("overhead and contingency", Decimal(-528))]


def test_compare_opens_each_sum_to_its_lines(show: ShowFolder) -> None:
    first, _ways = ways_if_north_is_lost(show)
    days = f"{first}..{first + timedelta(days=1)}"
    asked = ("order", show.path, "--without", "north", days, *QUICK)
    plain, opened = run(*asked).stdout, run(*asked, "--compare").stdout
    assert all(len(line) <= 80 for line in opened.splitlines())
    assert "North stage, 2027-03: " not in plain
    assert "North stage, 2027-03: " in opened
    assert "against order 1 as issued on " in " ".join(plain.split())
    told = run(*asked, "--compare", "1")
    assert told.exit_code == 2
    assert "takes no number" in " ".join(told.output.split())


def test_what_is_hired_serves_whoever_names_no_stage(show: ShowFolder) -> None:
    """The town is called on the one stage; what is added since has room on the hired one too."""
    in_lines = "  north:\n    width: 18 m\n    depth: 24 m\n    height: 7 m\n"
    show.replace("resources.yaml", NORTH, in_lines)
    show.replace("sequences/hill.yaml", "nearest: 40 m", "nearest: 40 m\n        stage: north")
    run("order", show.path, "--issue", *QUICK)
    _stage, day = busy_days(show)
    show.replace("sequences/hill.yaml", "      final: {kind", VILLAGE + "      final: {kind")
    before, ways = ways_out(show.path, "north", f"{day}..2027-04-30")
    take(show.path, ways["hire"], f"{day} 08:20")
    assert total(show) - before == Decimal(ways["hire"]["cost"]["likely"])
    calls = json.loads(run("order", show.path, "--json", *QUICK).stdout)["calls"]
    stages = {each["element"]: each["stage"] for each in calls if each["stage"]}
    assert stages == {"HL010.town": "hired_north", "HL010.village": "hired_north"}
