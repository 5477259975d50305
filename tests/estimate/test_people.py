"""People whom work waits for, in shows built by hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.estimate.people import people_problems, unasked_problems, uncalled_problems
from planner.kinds import Estimate, Hours, Need, Phase, Registry, Work
from planner.model.place import Severity
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


def uncalled(show: ShowFolder, **works: Work) -> list[Problem]:
    """Findings where pieces of shot HL010 have one stretch of work each."""
    read, problems = load_show(show.path, Registry())
    assert problems == ()
    assert read is not None
    by_element = {id_: Estimate(id_) for id_ in read.elements}
    for name, its in works.items():
        by_element[f"HL010.{name}"] = Estimate(f"HL010.{name}", work=(its,))
    return list(uncalled_problems(read, by_element))


def one(craft: str, hours: float = 2, needs: tuple[Need, ...] = ()) -> Work:
    reason = Quantity("hours", hours, "h")
    return Work("sort it", craft, Phase.FINISH, Hours(hours, hours, hours), reason, needs=needs)


def test_a_craft_that_no_crew_practises_is_told_once_with_its_work(show: ShowFolder) -> None:
    # The small show has a stage crew and modellers.
    (told,) = uncalled(show, town=one("drawing"), sky=one("drawing"), final=one("stage"))
    assert (told.code, told.about) == ("nobody-to-call", "drawing")
    assert "no crew of drawing is listed, and sort it of HL010.sky and 1 more are" in told.message
    assert "craft: drawing" in told.remedy


def test_work_that_names_no_craft_is_told_at_its_element(show: ShowFolder) -> None:
    (told,) = uncalled(show, town=one(""))
    assert (told.code, told.about) == ("work-without-craft", "HL010.town")
    assert told.message.startswith("sort it names no craft")


def test_waiting_takes_no_hands_and_a_person_is_somebody(show: ShowFolder) -> None:
    named = one("", needs=(Need("person", ("lead",)),))
    assert uncalled(show, town=one("", hours=0), sky=named) == []


def test_a_show_that_lists_no_crews_has_not_come_to_that(show: ShowFolder) -> None:
    text = (show.path / "resources.yaml").read_text(encoding="utf-8")
    show.replace("resources.yaml", text[text.index("crews:") :], "")
    assert uncalled(show, town=one("drawing")) == []


def test_a_craft_that_is_nearly_a_crew_s_is_asked_about(show: ShowFolder) -> None:
    (told,) = uncalled(show, town=one("model_makers"), sky=one("stage"))
    assert "did you mean model_making, of which there is a crew?" in told.remedy
    # Nothing that is listed is anything like it.
    (told,) = uncalled(show, town=one("drawing"))
    assert "did you mean" not in told.remedy


def test_a_craft_that_is_called_is_no_slip_of_the_pen_for_one_less_like_it(
    show: ShowFolder,
) -> None:
    text = (show.path / "resources.yaml").read_text(encoding="utf-8")
    show.write("resources.yaml", text + "  puppeteers: {craft: puppeteering, heads: 3}\n")
    # Puppeteers are called as well: who makes puppets is another craft, as like as it sounds.
    (told,) = uncalled(show, town=one("puppet_making"), sky=one("puppeteering"))
    assert "did you mean" not in told.remedy
    (told,) = uncalled(show, town=one("puppet_making"))
    assert "did you mean puppeteering" in told.remedy


def unasked(show: ShowFolder, **works: Work) -> list[Problem]:
    """Findings on hands where pieces of shot HL010 have one stretch of work each."""
    read, problems = load_show(show.path, Registry())
    assert problems == ()
    assert read is not None
    by_element = {
        f"HL010.{name}": Estimate(f"HL010.{name}", work=(its,)) for name, its in works.items()
    }
    return list(unasked_problems(read, by_element))


def test_hands_of_a_craft_that_nothing_asks_for_are_told(show: ShowFolder) -> None:
    # Of the small show's other crews, each has a rate: they may merely have nothing to do yet.
    assert unasked(show, town=one("stage")) == []
    hands = "crews:\n  jugglers: {craft: juggling, heads: 2}"
    people = "people:\n  lead: {title: Lead puppeteer, craft: puppeter}\ncrews:"
    show.replace("resources.yaml", "crews:", hands)
    show.replace("resources.yaml", "crews:", people)
    crew, person = unasked(show, town=one("stage"), sky=one("puppeteering"))
    assert (crew.code, crew.about, crew.severity) == ("craft-not-asked", "jugglers", Severity.NOTE)
    assert crew.message == "no work asks for juggling, the craft of jugglers"
    assert crew.remedy == "crafts asked for are puppeteering, stage"
    assert (person.about, person.remedy) == ("lead", "did you mean puppeteering?")
