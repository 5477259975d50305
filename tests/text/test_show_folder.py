"""A show's folder read from disk: what it becomes, and what is said of faulty ones."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from planner.kinds import Registry
from planner.model.facts import FrameRange, Missing
from planner.model.quantity import Standing
from planner.text.show_folder import load_show

if TYPE_CHECKING:
    from pathlib import Path

    from planner.model.place import Problem
    from planner.model.show import Show
    from tests.conftest import ShowFolder


def loaded(folder: Path) -> Show:
    show, problems = load_show(folder, Registry())
    assert problems == ()
    assert show is not None
    return show


def told(folder: Path) -> tuple[Problem, ...]:
    _show, problems = load_show(folder, Registry())
    return problems


def test_a_sound_show_reads_without_problems(show: ShowFolder) -> None:
    read = loaded(show.path)
    assert read.title == "A small show"
    assert read.shots["HL010"].cut == FrameRange(1, 96)
    assert read.shots["HL010"].elements == ("HL010.sky", "HL010.town", "HL010.final")
    assert read.elements["hill_town"].kind == "build"


def test_quantities_arrive_in_canonical_units_with_their_place(show: ShowFolder) -> None:
    nearest = loaded(show.path).elements["HL010.town"].facts.number("nearest")
    assert nearest is not None
    assert (nearest.value, nearest.unit) == (40_000.0, "mm")  # 40 m
    assert nearest.standing is Standing.GIVEN
    # Line 14 of sequences/hill.yaml: eight spaces, `nearest: `, then the value in column 18.
    assert nearest.place is not None
    assert (nearest.place.line, nearest.place.column) == (14, 18)


def test_a_standing_and_its_spread_are_kept(show: ShowFolder) -> None:
    show.replace(
        "sequences/hill.yaml",
        "nearest: 40 m",
        "nearest: {is: 40 m, standing: reconstructed, spread: 39 mm, by: the surveyor}",
    )
    nearest = loaded(show.path).elements["HL010.town"].facts.number("nearest")
    assert nearest is not None
    assert (nearest.standing, nearest.spread) == (Standing.RECONSTRUCTED, 39.0)
    assert nearest.reason == "the surveyor"


def test_a_question_mark_is_a_missing_fact_and_no_problem(show: ShowFolder) -> None:
    show.replace("sequences/hill.yaml", "nearest: 40 m", "nearest: ?")
    facts = loaded(show.path).elements["HL010.town"].facts
    assert facts.is_unknown("nearest")
    assert facts.number("nearest") is None


@pytest.mark.parametrize(
    ("written", "by"), [("{is: ?}", ""), ("{is: ?, by: Ada}", "Ada"), ("{is: ?, by: ?}", "")]
)
def test_a_question_mark_with_who_is_to_find_it_is_a_missing_fact_too(
    show: ShowFolder, written: str, by: str
) -> None:
    show.replace("sequences/hill.yaml", "nearest: 40 m", f"nearest: {written}")
    facts = loaded(show.path).elements["HL010.town"].facts
    assert facts.values["nearest"] == Missing(by)
    assert facts.is_unknown("nearest")
    assert facts.number("nearest") is None


def test_a_bare_name_means_the_piece_of_the_same_shot_first(show: ShowFolder) -> None:
    final = loaded(show.path).elements["HL010.final"]
    assert final.targets("joins") == ("HL010.sky", "HL010.town")
    assert loaded(show.path).elements["HL010.town"].target("build") == "hill_town"


def test_rates_are_dated_and_exact(show: ShowFolder) -> None:
    rate = loaded(show.path).rates["model_making"]
    before, after = rate.on(date(2027, 5, 31)), rate.on(date(2027, 6, 1))
    assert before is not None
    assert after is not None
    assert (before.amount, after.amount) == (Decimal("35.50"), Decimal("36.25"))
    assert rate.on(date(2026, 12, 31)) is None


def test_a_sequence_in_a_delivery_is_spelled_out(show: ShowFolder) -> None:
    (delivery,) = loaded(show.path).deliveries
    assert delivery.shots == ("HL010",)


def test_an_empty_folder_is_not_a_show(tmp_path: Path) -> None:
    (problem,) = told(tmp_path)
    assert problem.code == "not-a-show"
    assert "no show.yaml" in problem.message


def test_the_folder_above_a_show_points_to_it(show: ShowFolder) -> None:
    (problem,) = told(show.path.parent)
    assert problem.remedy == f"did you mean {show.path}?"


# Each row: file, what stood there, what is written instead, code, where the finger points, words.
FAULTS = {
    "a typo in a kind": (
        "sequences/hill.yaml",
        "kind: miniature",
        "kind: minature",
        "kind-unknown",
        "minature",
        "did you mean miniature?",
    ),
    "a reference to nothing": (
        "sequences/hill.yaml",
        "build: hill_town",
        "build: hill_twon",
        "reference-to-nothing",
        "hill_twon",
        "did you mean hill_town?",
    ),
    "a wrong unit": (
        "sequences/hill.yaml",
        "nearest: 40 m",
        "nearest: 40 kg",
        "value-unreadable",
        "40 kg",
        "length",
    ),
    "a number without its unit": (
        "sequences/hill.yaml",
        "nearest: 40 m\n        holds: {from: 40 m, to: 90 m}",
        "nearest: 41\n        holds: {from: 40 m, to: 90 m}",
        "value-unreadable",
        "41",
        "unit",
    ),
    "a negative length": (
        "sequences/hill.yaml",
        "nearest: 40 m",
        "nearest: -40 m",
        "value-unreadable",
        "-40 m",
        "below zero",
    ),
    "a scale of 3 instead of 1/3": (
        "builds.yaml",
        "scale: 1/24",
        "scale: 3",
        "value-unreadable",
        "3",
        "1/3",
    ),
    "a date before the show starts": (
        "show.yaml",
        "date: 2027-12-01",
        "date: 2026-12-01",
        "date-before-start",
        "{date: 2026-12-01",
        "2027-03-01",
    ),
    "a lens that nobody owns": (
        "sequences/hill.yaml",
        "kind: miniature",
        "kind: miniature\n        lens: prime_53",
        "resource-unknown",
        "prime_53",
        "did you mean prime_35?",
    ),
    "money in another currency": (
        "rates.yaml",
        "40.00 GBP",
        "40.00 EUR",
        "currency-differs",
        "40.00 EUR",
        "GBP",
    ),
    "an unknown key": (
        "builds.yaml",
        "drawing:",
        "drawign:",
        "unknown",
        "drawign",
        "did you mean",
    ),
}


@pytest.mark.parametrize("fault", FAULTS.values(), ids=FAULTS)
def test_a_fault_is_told_at_its_place_with_what_would_do(
    show: ShowFolder, fault: tuple[str, str, str, str, str, str]
) -> None:
    file, old, new, code, at, words = fault
    show.replace(file, old, new)
    problems = told(show.path)
    assert problems, "nothing was said"
    first = problems[0]
    assert code in first.code
    assert str(first.place) == show.place(file, at)
    assert words in f"{first.message} {first.remedy}"
    assert len(problems) == 1


def test_all_faults_of_all_files_come_at_once(show: ShowFolder) -> None:
    show.replace("builds.yaml", "scale: 1/24", "scale: 24")
    show.replace("sequences/hill.yaml", "nearest: 40 m", "nearest: 40 kg")
    show.replace("show.yaml", "handles: 8", "handles: many")
    show.write("moves/tilt.csv", "frame,tilt\n1,0\n")
    files = {problem.place.file.rpartition("/")[2] for problem in told(show.path)}
    assert files == {"builds.yaml", "hill.yaml", "show.yaml", "tilt.csv"}


def test_a_broken_file_does_not_hide_the_others(show: ShowFolder) -> None:
    show.write("builds.yaml", "builds: {a: 1, a: 2}\n")
    show.replace("sequences/hill.yaml", "nearest: 40 m", "nearest: 40 kg")
    codes = {problem.code for problem in told(show.path)}
    assert {"yaml-duplicate-key", "value-unreadable"} <= codes


def test_names_in_a_file_that_cannot_be_read_are_not_told_as_unknown(show: ShowFolder) -> None:
    show.write("resources.yaml", "stages:\n\tnorth: {}\n")
    show.write("builds.yaml", "builds: [\n")
    assert {problem.code for problem in told(show.path)} == {"yaml-tab", "yaml-syntax"}


def test_resources_that_are_gone_are_one_error(show: ShowFolder) -> None:
    (show.path / "resources.yaml").unlink()
    read, problems = load_show(show.path, Registry())
    (problem,) = problems
    assert problem.code == "file-missing"
    assert problem.place.file == str(show.path / "resources.yaml")
    assert "there is no such file, and the show names what it should list: " in problem.message
    assert read is not None
    assert read.lost_files == {"resources.yaml"}


def test_what_a_sequence_that_cannot_be_read_may_hold_is_not_told_as_unknown(
    show: ShowFolder,
) -> None:
    # The delivery in show.yaml is of the sequence, and of its shot.
    show.replace("show.yaml", "of: [hill]", "of: [hill, HL010]")
    show.replace("sequences/hill.yaml", "joins: [sky, town]", "joins: [sky, town")
    (problem,) = told(show.path)
    assert problem.code == "yaml-syntax"
    assert "/sequences/hill.yaml" in problem.place.file
    read, _problems = load_show(show.path, Registry())
    assert read is not None
    assert read.lost_files == {"sequences"}


def test_what_rests_on_a_name_in_a_lost_file_is_not_worked_out(show: ShowFolder) -> None:
    # The town names a build of the lost file, and the final joins the town; the sky names none.
    show.write("builds.yaml", "builds: [\n")
    read, _problems = load_show(show.path, Registry())
    assert read is not None
    assert read.unreadable == {"HL010.town", "HL010.final"}


@pytest.mark.parametrize(
    ("written", "says", "remedy"),
    [
        (
            "stage: 5",
            (
                "stage: found `5`, which is a number, wants a name, or a list of names, from"
                " resources.yaml such as `[north_stage, south_stage]`"
            ),
            "write a name that stands in resources.yaml, or ? if nobody knows it yet",
        ),
        (
            "build: 5",
            (
                "build: found `5`, which is a number, wants a name of another thing such as"
                " `town_plate or NB010.town_plate`"
            ),
            "name a piece of this shot, SHOT.PIECE of another, or a thing in builds.yaml",
        ),
        (
            "nearest: true",
            "nearest: found `true`, which is true or false, wants a length such as 3.6 m or 28 mm",
            "",
        ),
        (
            "says: 5",
            "says: found `5`, which is a number, wants text",
            'write "5" in quotes to make it text',
        ),
    ],
)
def test_a_value_that_its_schema_refuses_is_told_once_with_what_would_help(
    show: ShowFolder, written: str, says: str, remedy: str
) -> None:
    name = written.partition(":")[0]
    lines = (show.path / "sequences/hill.yaml").read_text(encoding="utf-8").splitlines()
    first = lines.index("      town:")
    own = [n for n in range(first, first + 9) if lines[n].strip().startswith(f"{name}:")]
    if own:
        lines[own[0]] = f"        {written}"
    else:
        lines.insert(first + 1, f"        {written}")
    show.write("sequences/hill.yaml", "\n".join([*lines, ""]))
    (problem,) = told(show.path)
    assert (problem.message, problem.remedy) == (says, remedy)


def test_what_names_a_resource_that_cannot_be_read_is_not_worked_out(show: ShowFolder) -> None:
    show.replace("sequences/hill.yaml", "build: hill_town", "build: hill_town\n        camera: cam")
    show.replace("resources.yaml", "cam: {top_rate: 120 fps}", "cam: {top_rate: fast}")
    read, problems = load_show(show.path, Registry())
    assert [each.code for each in problems] == ["value-unreadable"]
    assert read is not None
    assert read.unreadable == {"HL010.town"}


def test_what_is_no_name_in_a_list_of_them_is_told_as_that(show: ShowFolder) -> None:
    show.replace("sequences/hill.yaml", "joins: [sky, town]", "joins: [sky, town, 7]")
    (problem,) = told(show.path)
    said = "joins: found `7`, which is a number, wants a name of another thing such as `town`"
    assert problem.message == said
    assert str(problem.place) == show.place("sequences/hill.yaml", "7]")


def test_a_lens_misspelt_in_a_shots_camera_is_told(show: ShowFolder) -> None:
    show.replace("sequences/hill.yaml", "lens: prime_35,", "lens: prime_53,")
    (problem,) = told(show.path)
    assert problem.code == "resource-unknown"
    assert problem.remedy == "did you mean prime_35?"
    assert str(problem.place) == show.place("sequences/hill.yaml", "prime_53")


def test_a_piece_may_carry_the_name_of_the_build_it_shows(show: ShowFolder) -> None:
    show.replace("builds.yaml", "hill_town:", "town:")
    show.replace("sequences/hill.yaml", "build: hill_town", "build: town")
    assert loaded(show.path).elements["HL010.town"].target("build") == "town"


def test_a_thing_that_waits_for_itself_is_told(show: ShowFolder) -> None:
    show.replace("sequences/hill.yaml", "joins: [sky, town]", "joins: [sky, town, final]")
    (problem,) = told(show.path)
    assert "HL010.final names itself" in problem.message


@pytest.mark.parametrize(
    ("name", "was", "now", "says"),
    [
        (
            "sequences/hill.yaml",
            "holds: {from: 40 m, to: 90 m}",
            "holds: far",
            "holds: found text, wants a range of distances such as {from: 40 m, to: 90 m}",
        ),
        (
            "builds.yaml",
            "makes: miniature",
            "makes:",
            "makes: nothing is written here, wants one of miniature, puppet, painting",
        ),
        (
            "show.yaml",
            "overhead: 12 %",
            "overhead: 12 %\ncosts: {stills: each shot}",
            "stills: found text, wants keys with values",
        ),
        (
            "show.yaml",
            "of: [hill]",
            "of: [hill, {b: 2}]",
            "of: found keys with values, wants text",
        ),
        (
            "rates.yaml",
            "  stage: {",
            "  stage:\x07 {",
            "an invisible control character (code 7) stands here",
        ),
    ],
)
def test_one_slip_is_told_once(show: ShowFolder, name: str, was: str, now: str, says: str) -> None:
    show.replace(name, was, now)
    (problem,) = told(show.path)
    assert problem.message.startswith(says)
