"""Ways of making one thing: each priced whole, on one day, by its own hours."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from planner.bid import by_use, price, price_methods
from planner.kinds import Need, Phase
from planner.model.facts import Facts
from planner.model.methods import stand_aside
from planner.model.place import Place
from planner.model.show import Loads, Reference

if TYPE_CHECKING:
    from planner.bid import Choice
    from tests.bid.conftest import Board

HERE = Place("show/a.yaml", 1, 1)


def refer(board: Board, name: str, role: str, target: str, *, waits: bool = False) -> None:
    element = board.elements[name]
    more = Reference(role, target, HERE, waits)
    board.elements[name] = replace(element, references=(*element.references, more))


def decide(board: Board, name: str, **said: str) -> None:
    facts = Facts(HERE, {"method": Facts(HERE, said)})
    board.elements[name] = replace(board.elements[name], facts=facts)


@pytest.fixture
def two_ways(board: Board) -> Board:
    """A puppet of 10 h with a build of 20 h and rods to paint out, or 30 h by computer."""
    board.shot("S_1")
    board.resource("stage", "north")
    board.rate("puppeteering", "hour", "30", (date(2026, 3, 9), "60"))
    board.rate("puppet_making", "hour", "20")
    board.rate("paint_out", "hour", "25")
    board.rate("computer", "hour", "40")
    board.rate("north", "day", "800")
    board.element("heron", board.work("make", "puppet_making", 20.0), kind="build")
    on_stage = board.work("photograph", "puppeteering", (8.0, 10.0, 14.0), wait_hours=8.0)
    board.element("S_1.heron", replace(on_stage, needs=(Need("stage", ("north",)),)))
    refer(board, "S_1.heron", "build", "heron", waits=True)
    board.element("S_1.rods", board.work("paint", "paint_out", 6.0), kind="roto")
    refer(board, "S_1.rods", "removes_rods_of", "S_1.heron", waits=True)
    refer(board, "S_1.rods", "made_for", "S_1.heron")
    board.element("S_1.drawn", board.work("compute", "computer", 30.0), kind="drawn")
    refer(board, "S_1.drawn", "alternative_to", "S_1.heron")
    return board


def choices_of(board: Board, **options: date) -> tuple[Choice, ...]:
    show, estimates, order = board.given()
    aside = stand_aside(show.elements)
    return price_methods(replace(show, aside=aside), estimates, order, **options)


def test_each_way_is_priced_with_all_that_it_alone_wants(two_ways: Board) -> None:
    ((puppet, drawn),) = (each.methods for each in choices_of(two_ways))
    assert puppet.is_made
    assert puppet.parts == ("heron", "S_1.heron", "S_1.rods")
    # 20 h x 20, 10 h x 30, 6 h x 25, and the stage for 10 of its 8 hours a day at 800: 1000.
    assert puppet.total.likely == 400 + 300 + 150 + 1000
    assert drawn.parts == ("S_1.drawn",)
    assert drawn.total.likely == 1200  # 30 h x 40
    assert drawn.dearer == -650


def test_the_three_figures_are_those_of_the_hours(two_ways: Board) -> None:
    puppet = choices_of(two_ways)[0].methods[0]
    # 8 and 14 h of puppeteering and stage beside the certain 550.
    assert puppet.total.low == 550 + 240 + 800
    assert puppet.total.high == 550 + 420 + 1400


def test_days_are_those_of_the_longest_chain(two_ways: Board) -> None:
    puppet, drawn = choices_of(two_ways)[0].methods
    # 20 h to make, 10 h to photograph, 8 h at the laboratory, 6 h of painting, in days of 8.
    assert puppet.days.value == pytest.approx(5.5)
    assert drawn.days.value == pytest.approx(3.75)


def test_nobody_on_location_waits_for_the_laboratory(two_ways: Board) -> None:
    measured = replace(
        two_ways.work("measure", "puppeteering", 3.0), after=("photograph",), phase=Phase.LOCATION
    )
    taken = two_ways.work("photograph", "puppeteering", 10.0, wait_hours=8.0)
    two_ways.element("S_1.heron", replace(taken, phase=Phase.LOCATION), measured)
    refer(two_ways, "S_1.heron", "build", "heron", waits=True)
    puppet = choices_of(two_ways)[0].methods[0]
    # 20 + 10 + 8 + 6 h as before: the three hours are over before the film is back.
    assert puppet.days.value == pytest.approx(5.5)


def test_what_differs_is_told_by_craft(two_ways: Board) -> None:
    drawn = choices_of(two_ways)[0].methods[1]
    assert drawn.differs == {
        "puppet_making": Decimal(-400),
        "puppeteering": Decimal(-300),
        "stage by the day": Decimal(-1000),
        "paint_out": Decimal(-150),
        "computer": Decimal(1200),
    }


def test_loads_are_carried_by_every_way(two_ways: Board) -> None:
    two_ways.loads = Loads(Decimal("0.1"), {}, contingency_carries_overhead=False)
    puppet, drawn = choices_of(two_ways)[0].methods
    assert (puppet.total.likely, drawn.total.likely) == (2035, 1320)


def test_all_ways_are_priced_on_the_day_of_the_one_made(two_ways: Board) -> None:
    two_ways.call("S_1.heron", "photograph", date(2026, 3, 10), holds=("north",))
    (choice,) = choices_of(two_ways)
    assert choice.day == date(2026, 3, 10)
    assert choice.methods[0].total.likely == 1850 + 300  # puppeteering is 60 an hour by then
    (other,) = choices_of(two_ways, rates_on=date(2026, 3, 2))
    assert other.methods[0].total.likely == 1850


def test_the_bid_holds_the_way_that_is_made_and_no_other(two_ways: Board) -> None:
    decide(two_ways, "S_1.drawn", verdict="chosen", by="the producer")
    show, estimates, order = two_ways.given()
    show = replace(show, aside=stand_aside(show.elements))
    assert show.aside == {"S_1.heron", "S_1.rods", "heron"}
    bid = price(show, estimates, order)
    assert bid.cost.likely == 1200
    assert sum(each.likely for each in by_use(bid).values()) == bid.cost.likely
    made, other = choices_of(two_ways)[0].methods
    assert (made.element, made.verdict) == ("S_1.drawn", "chosen")
    assert other.dearer == 650


def test_what_both_ways_want_is_in_both(two_ways: Board) -> None:
    refer(two_ways, "S_1.drawn", "waits_for", "heron", waits=True)
    puppet, drawn = choices_of(two_ways)[0].methods
    assert "heron" in puppet.parts
    assert "heron" in drawn.parts
    assert drawn.dearer == -650 + 400


def test_what_others_want_too_is_in_neither(two_ways: Board) -> None:
    two_ways.element("S_1.foot", two_ways.work("shoot", "computer", 1.0))
    refer(two_ways, "S_1.foot", "build", "heron", waits=True)
    puppet = choices_of(two_ways)[0].methods[0]
    assert "heron" not in puppet.parts


def test_candidate_builds_are_priced_with_the_way_that_wants_them(two_ways: Board) -> None:
    heron = two_ways.elements["heron"]
    facts = Facts(HERE, {"candidate_for": "the heron"})
    two_ways.elements["heron"] = replace(heron, facts=facts)
    assert "heron" in choices_of(two_ways)[0].methods[0].parts


def test_a_show_without_alternatives_has_no_choices(board: Board) -> None:
    board.shot("S_1")
    board.element("S_1.town", board.work("shoot", "computer", 1.0))
    assert choices_of(board) == ()


def test_choices_of_omitted_shots_are_left_out(two_ways: Board) -> None:
    two_ways.shot("S_1", state="omitted")
    assert choices_of(two_ways) == ()
