"""Scenarios found in a show's files, and the files as they would be."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from textwrap import dedent
from typing import TYPE_CHECKING

import pytest

from planner.cli.sweeping import files_of
from planner.kinds import Registry
from planner.model.place import Place, Problem, Severity
from planner.text.located import read_yaml
from planner.text.scenarios import (
    Changed,
    Scenario,
    changed,
    read_scenarios,
    told_where_changed,
)
from planner.text.show_folder import load_show

if TYPE_CHECKING:
    from planner.model.show import Show
    from tests.conftest import ShowFolder


SHOT = ("shots", "HL010", "elements", "town", "nearest")
BUILD = ("builds", "hill_town", "scale")


def read(show: ShowFolder, text: str) -> tuple[Scenario, ...]:
    found, problems = read_scenarios(dedent(text).encode(), "what.yaml", files_of(show.path))
    assert problems == ()
    return found


def one(show: ShowFolder, *facts: str) -> Scenario:
    """The scenario that sets these facts."""
    rows = "".join(f"      {fact}\n" for fact in facts)
    (scenario,) = read(show, f"scenarios:\n  other:\n    set:\n{rows}")
    return scenario


def made(show: ShowFolder, *facts: str) -> Changed:
    return changed(files_of(show.path), one(show, *facts))


def loaded(found: Changed, folder: Path) -> tuple[Show | None, tuple[Problem, ...]]:
    for name, data in found.files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return load_show(folder, Registry())


def sound(found: Changed, folder: Path) -> Show:
    show, problems = loaded(found, folder)
    assert problems == ()
    assert show is not None
    return show


def test_a_show_without_changes_stays_as_it_is_to_the_byte(show: ShowFolder) -> None:
    files = files_of(show.path)
    assert changed(files, Scenario("none", "", (), one(show, "overhead: 9 %").place)).files == files


def test_a_changed_file_still_says_all_else(show: ShowFolder, tmp_path: Path) -> None:
    # The number of a drawing keeps its noughts, a `?` stays unknown, a folded text its lines.
    show.replace("sequences/hill.yaml", "light: 250 fc", "light: ?")
    show.replace("sequences/hill.yaml", "says: The town below.", "says: >-\n      The\n      town.")
    show.replace("builds.yaml", "drawing: sheet 1 revision a", 'drawing: "010"')
    facts = ("HL010.town.nearest: 30 m", "hill_town.scale: 1/16")
    found = made(show, *facts)
    for file, path in (("sequences/hill.yaml", SHOT), ("builds.yaml", BUILD)):
        was, now = (read_yaml(files[file], file)[0] for files in (files_of(show.path), found.files))
        assert was is not None
        assert now is not None
        assert now.down(path).value in {"30 m", "1/16"}
        was.down(path[:-1]).value[path[-1]] = now.down(path).value  # type: ignore[index,call-overload]
        assert now.value == was.value
    other = sound(found, tmp_path / "other")
    assert other.elements["HL010.town"].facts.is_unknown("light")
    assert other.elements["hill_town"].facts.word("drawing") == "010"


@pytest.mark.parametrize(
    ("fact", "file"),
    [
        ("hill_town.scale: 1/16", "builds.yaml"),
        ("north.width: 20 m", "resources.yaml"),
        ("HL010.state: omitted", "sequences/hill.yaml"),
        ("reel.date: 2027-11-01", "show.yaml"),
        ("calendar.day_hours: 12 h", "show.yaml"),
        ("rates.rates.stage.per: day", "rates.yaml"),
        ("resources.stages.south: {width: 9 m, depth: 9 m, height: 5 m}", "resources.yaml"),
    ],
)
def test_paths_lead_to_the_file_that_states_the_fact(
    show: ShowFolder, tmp_path: Path, fact: str, file: str
) -> None:
    scenario = one(show, fact)
    assert [each.file for each in scenario.changes] == [file]
    sound(changed(files_of(show.path), scenario), tmp_path / "other")


def test_a_resource_goes_by_its_title_too(show: ShowFolder) -> None:
    show.replace("resources.yaml", "north: {width", "north: {title: North stage, width")
    (change,) = one(show, "North Stage.width: 20 m").changes
    assert change.steps == ("stages", "north", "width")


def test_a_count_has_others_like_it_with_their_rate(show: ShowFolder, tmp_path: Path) -> None:
    found = made(show, "north.count: 3")
    assert found.alike == {"north": ("north_2", "north_3")}
    other = sound(found, tmp_path / "other")
    assert [each.id for each in other.resources_of("stage")] == ["north", "north_2", "north_3"]
    assert other.resources["north_2"].title == "north 2"
    assert other.rates["north_3"].amounts == other.rates["north"].amounts


def test_a_count_of_none_takes_a_thing_away(show: ShowFolder, tmp_path: Path) -> None:
    other = sound(made(show, "north.count: 0"), tmp_path / "other")
    assert other.resources_of("stage") == ()


def test_a_thing_counted_twice_is_told_by_whatever_names(show: ShowFolder) -> None:
    show.replace("resources.yaml", "north: {width", "north: {title: North stage, width")
    scenario = one(show, "North stage.count: 0", "north.count: 2")
    assert [each.count for each in scenario.changes] == [0]
    said = "north.count counts what this scenario has counted already"
    assert [each.message for each in scenario.problems] == [said]


def test_a_truth_is_no_count(show: ShowFolder) -> None:
    (problem,) = one(show, "north.count: true").problems
    assert problem.message == "north.count is a whole number from 0 to 20, not true"


@pytest.mark.parametrize("before", ["resources.stages: 3", "resources.stages.north: ?"])
def test_what_another_change_made_no_thing_is_told_by_the_show(
    show: ShowFolder, tmp_path: Path, before: str
) -> None:
    # The show so changed is wrong, and whoever reads it tells so at the file.
    _show, problems = loaded(made(show, before, "north.count: 2"), tmp_path / "other")
    assert {Path(each.place.file).name for each in problems} >= {"resources.yaml"}


def test_a_path_that_leads_nowhere_is_told_where_it_stands(show: ShowFolder) -> None:
    scenario = one(show, "hil_town.scale: 1/16", "modellers.count: 2", "cam.count: many")
    assert [(str(each.place), each.message) for each in scenario.problems] == [
        ("what.yaml:4:7", "nothing in the show is called hil_town"),
        ("what.yaml:5:7", "modellers.count: hands have no count"),
        ("what.yaml:6:18", "cam.count is a whole number from 0 to 20, not many"),
    ]
    assert scenario.problems[0].remedy == "did you mean hill_town?"


def test_a_name_of_two_things_asks_which(show: ShowFolder) -> None:
    show.replace("show.yaml", "reel: {date", "north: {date")
    (problem,) = one(show, "north.width: 20 m").problems
    assert "write resources.stages.north or show.deliveries.north" in str(problem)


def test_a_wrong_value_is_told_at_the_scenario_that_wants_it(
    show: ShowFolder, tmp_path: Path
) -> None:
    scenario = one(show, "hill_town.scale: 40 kg")
    found = changed(files_of(show.path), scenario)
    _show, problems = loaded(found, tmp_path)
    found_there = [_in_show(each, tmp_path) for each in problems]
    (told,) = told_where_changed(found_there, scenario, found)
    assert str(told.place) == "what.yaml:4:24"
    assert told.code == "value-unreadable"


@pytest.mark.parametrize(
    ("message", "line"),
    [
        ("nothing in the show is called cam", 4),
        ("cam: no camera has this name", 4),
        ("nothing in the show is called camera_two", 2),
        ("HL010.cam has no shutter", 2),
        ("the build is 1:cam of full size", 2),
        ("web-cam is no camera", 2),
    ],
)
def test_what_is_gone_is_blamed_only_where_its_whole_name_is_told(
    show: ShowFolder, message: str, line: int
) -> None:
    # The change that takes the camera away stands in line 4 of the file, the scenario in line 2.
    scenario = one(show, "cam.count: 0")
    found = changed(files_of(show.path), scenario)
    problem = Problem(Severity.ERROR, Place("sequences/hill.yaml", 1, 1), "any", message)
    (told,) = told_where_changed((problem,), scenario, found)
    assert told.place.line == line


def _in_show(problem: Problem, folder: Path) -> Problem:
    file = Path(problem.place.file).relative_to(folder).as_posix()
    return replace(problem, place=replace(problem.place, file=file))


def test_a_file_that_is_no_list_of_scenarios_says_so(show: ShowFolder) -> None:
    found, problems = read_scenarios(b"scenarios: {a: {}}\n", "what.yaml", files_of(show.path))
    assert found == ()
    assert [each.place.line for each in problems] == [1]
