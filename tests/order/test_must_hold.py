"""Promises that cannot all be kept; days argued by hand.

The small show works Monday to Friday, ten hours from 08:00, from Monday 1 March 2027. The town is
built on Monday, photographed on Tuesday and joined on Wednesday morning, and no sooner.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds import Need
from planner.order import ask
from planner.order.must_hold import contradictions
from tests.order.floor import floor_of, usual_work
from tests.order.test_arrange import work

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Work
    from planner.order.must_hold import Contradiction
    from tests.conftest import ShowFolder


def found(
    show: ShowFolder, works: Mapping[str, tuple[Work, ...]] | None = None
) -> tuple[Contradiction, ...]:
    floor = floor_of(show, works or usual_work())
    return tuple(contradictions(floor.show, ask(floor.show, floor.graph, floor.estimates)))


def test_promises_that_can_be_kept_are_not_told(show: ShowFolder) -> None:
    show.replace("show.yaml", "date: 2027-12-01", "date: 2027-03-03")
    assert found(show) == ()


def test_a_delivery_sooner_than_the_work_can_be_done_is_given_the_days_it_wants(
    show: ShowFolder,
) -> None:
    show.replace("show.yaml", "date: 2027-12-01", "date: 2027-03-01")
    (told,) = found(show)
    (promise,) = told.promises
    assert promise.says == "HL010 is wanted for the reel delivery on 2027-03-01"
    assert str(promise.place).startswith(f"{show.path / 'show.yaml'}:")
    # From Monday evening to Wednesday 13:00 are fifteen hours, so two days, the second begun.
    (easing,) = told.easings
    assert easing.says == "give HL010 2 working days more, to 2027-03-03"
    assert easing.working_days == 2
    assert told.short_of == ()
    assert told.because == (
        "At the soonest it is done on 2027-03-03, were nothing scarce: build it of hill_town"
        " begins at the soonest on 2027-03-01"
    )
    assert told.is_fewest


def test_a_lock_before_what_it_waits_for_may_be_let_go_of_or_moved(show: ShowFolder) -> None:
    show.replace(
        "sequences/hill.yaml", "nearest: 40 m", "nearest: 40 m\n        locked: {date: 2027-03-01}"
    )
    (told,) = found(show)
    (promise,) = told.promises
    assert (promise.kind, promise.about) == ("lock", "HL010.town")
    assert promise.says == "photograph of HL010.town is locked on 2027-03-01 08:00"
    assert str(promise.place).startswith(f"{show.path / 'sequences/hill.yaml'}:")
    # Building ends on Monday evening, so that Tuesday morning is the first that will do.
    (easing,) = told.easings
    assert easing.says == "unlock HL010.town, or lock it 1 working day elsewhere"


def test_an_absence_is_told_by_its_days_and_ended_by_as_many_as_are_wanted(
    show: ShowFolder,
) -> None:
    # Two days of photography, the stage away on the second, due on that day.
    show.replace("resources.yaml", "height: 7 m}", "height: 7 m, away: [2027-03-02..2027-03-08]}")
    show.replace("sequences/hill.yaml", "nearest: 40 m", "nearest: 40 m\n        due: 2027-03-02")
    on_north = (Need("stage", ("north",)),)
    works = {"HL010.town": (work("photograph", 20, needs=on_north, set_up="town"),)}
    (told,) = found(show, works)
    says = {each.kind: each for each in told.promises}
    assert says["due"].says == "HL010.town is due on 2027-03-02"
    assert says["absence"].says == "north is away from 2027-03-02 to 2027-03-08"
    assert str(says["absence"].place).startswith(f"{show.path / 'resources.yaml'}:")
    # Away to Monday the 8th, so that the second day is Tuesday the 9th, five working days on.
    assert "give HL010.town 5 working days more, to 2027-03-09" in {
        each.says for each in told.easings
    }


def test_two_elements_due_on_one_day_with_hands_for_one_are_short_of_hands(
    show: ShowFolder,
) -> None:
    show.replace("resources.yaml", "heads: 6", "heads: 1")
    show.replace("sequences/hill.yaml", "on: location", "on: location, due: 2027-03-01")
    show.replace("sequences/hill.yaml", "nearest: 40 m", "nearest: 40 m\n        due: 2027-03-01")
    works = {"HL010.sky": (work("photograph", 10),), "HL010.town": (work("photograph", 10),)}
    (told,) = found(show, works)
    assert {each.says for each in told.promises} == {
        "HL010.sky is due on 2027-03-01",
        "HL010.town is due on 2027-03-01",
    }
    assert told.short_of == ("stage crew",)
    # Either may be done on Tuesday instead.
    assert {each.says for each in told.easings} == {
        "give HL010.sky 1 working day more, to 2027-03-02",
        "give HL010.town 1 working day more, to 2027-03-02",
    }


def test_every_contradiction_is_told_with_those_before_it_out_of_the_way(
    show: ShowFolder,
) -> None:
    show.replace("show.yaml", "date: 2027-12-01", "date: 2027-03-01")
    show.replace("sequences/hill.yaml", "nearest: 40 m", "nearest: 40 m\n        due: 2027-03-01")
    told = found(show)
    # Photographed on Tuesday at the soonest, and joined on Wednesday.
    assert {each.promises[0].about for each in told} == {"HL010.town", "HL010.final"}
