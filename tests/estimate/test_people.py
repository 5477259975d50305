"""People whom work waits for, in shows built by hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.estimate.people import people_problems
from planner.kinds import Estimate, Hours, Need, Phase, Registry, Work
from planner.model.quantity import Quantity
from planner.text.show_folder import load_show

if TYPE_CHECKING:
    from planner.model.place import Problem
    from tests.conftest import ShowFolder

PEOPLE = "crews:\n"


def work(*people: str) -> tuple[Work, ...]:
    hours = Quantity("hours", 2, "h")
    needs = (Need("person", people),)
    return (Work("photograph", "camera", Phase.STAGE, Hours(2, 2, 2), hours, needs=needs),)


def found(show: ShowFolder, person: str, **works: tuple[Work, ...]) -> list[Problem]:
    """Findings where the works of shot HL010 rest on people, one of them stated as `person`."""
    show.replace("resources.yaml", PEOPLE, f"people:\n  lead: {{{person}}}\n{PEOPLE}")
    read, problems = load_show(show.path, Registry())
    assert problems == ()
    assert read is not None
    by_element = {id_: Estimate(id_) for id_ in read.elements}
    for name, its in works.items():
        by_element[f"HL010.{name}"] = Estimate(f"HL010.{name}", work=its)
    return list(people_problems(read, by_element))


ALONE = "title: Lead puppeteer, craft: puppeteering"
AWAY = "away: [2027-06-14..2027-06-18]"


def test_work_that_waits_for_one_person_who_is_away_is_told_with_its_count(
    show: ShowFolder,
) -> None:
    (told,) = found(show, f"{ALONE}, {AWAY}", town=work("lead"), sky=(*work("lead"), *work("lead")))
    assert (told.code, told.about) == ("no-stand-in", "lead")
    # Two elements, one of them with two stretches of work.
    assert told.message == (
        "2 elements wait for Lead puppeteer, who is away 2027-06-14 to 2027-06-18, and nobody can"
        " stand in"
    )
    assert "before 2027-06-14" in told.remedy


def test_one_element_may_wait_for_one_person_who_is_always_there(show: ShowFolder) -> None:
    assert found(show, ALONE, town=work("lead")) == []


def test_two_elements_may_not(show: ShowFolder) -> None:
    (told,) = found(show, ALONE, town=work("lead"), sky=work("lead"))
    assert told.message.startswith("2 elements wait for Lead puppeteer, and nobody")


@pytest.mark.parametrize(
    "person", [f"{ALONE}, {AWAY}, stand_in: the second puppeteer", f"{ALONE}, {AWAY}"]
)
def test_a_stand_in_or_a_choice_of_people_is_no_trouble(show: ShowFolder, person: str) -> None:
    people = ("lead",) if "stand_in" in person else ("lead", "other")
    assert found(show, person, town=work(*people), sky=work(*people)) == []


def test_what_nobody_wants_any_more_waits_for_nobody(show: ShowFolder) -> None:
    show.replace("sequences/hill.yaml", "cut: 1-96", "cut: 1-96\n    state: omitted")
    assert found(show, f"{ALONE}, {AWAY}", town=work("lead"), sky=work("lead")) == []
