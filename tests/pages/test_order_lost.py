"""A thing lost and the ways out, as they are read."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from planner.bid.lines import Figures
from planner.bid.made_of import Part, Row
from planner.bid.what_if import Difference
from planner.kinds import Need
from planner.model.facts import DateRange
from planner.model.place import Place
from planner.order import compare, started_by_dates
from planner.order.lost import Loss, blow_of
from planner.order.taking import Step
from planner.order.ways_out import wait
from planner.pages.order_lost import Outcome, lost_json, lost_text
from tests.order.floor import floor_of, usual_work, with_south
from tests.order.test_ways_out import Case

if TYPE_CHECKING:
    from planner.order.ways_out import WayOut
    from tests.conftest import ShowFolder

TUESDAY = date(2027, 3, 2)
AGAINST = "order 1"


def money(low: int, likely: int, high: int) -> Figures:
    return Figures(Decimal(low), Decimal(likely), Decimal(high))


def lost_south(show: ShowFolder) -> Case:
    """The town is photographed on south on Tuesday, which is lost for that week."""
    with_south(show, south=", title: South stage")
    floor = floor_of(show, usual_work())
    issued = floor.issued()
    losses = (Loss("south", DateRange(TUESDAY, date(2027, 3, 5))),)
    return Case(floor, blow_of(losses, issued, TUESDAY, started_by_dates(issued, TUESDAY)))


def outcome(it: Case, way: WayOut | None, differs: Difference) -> Outcome:
    assert way is not None
    order = it.ordered(way)
    changes = compare(way.show.calendar, it.blow.issued, order)
    return Outcome(way, changes, differs, date(2027, 3, 5), ())


def both(it: Case) -> list[Outcome]:
    waiting = wait(it.floor.show, it.floor.estimates, it.blow)
    hiring = it.hires()
    return [
        outcome(it, waiting, Difference(money(0, 0, 0), 9000)),
        outcome(it, hiring, Difference(money(2200, 2688, 3100), 0)),
    ]


GOLDEN = """\
Without South stage Tue 2 Mar 2027 to Fri 5 Mar 2027.
1 call holds it on those days, of 1 element: HL010.town.

1. Hire another like South stage at 2,400.00 GBP a day
   cost        +2,688.00 GBP likely (+2,200.00 to +3,100.00)
   displaced   1 call, 0 to another day
   composites  none slips

2. Wait until it is back
   cost        +0.00 GBP likely
   lateness    +9,000 GBP by the show's own weight
   displaced   2 calls, 2 to another day, 2 of these from before Fri 5 Mar 2027
   composites  HL010 4 working days later

The lightest stands first: money and lateness together, a day late at the price
in show.yaml. Costs are in GBP, against order 1.
"""


def test_the_ways_out_read_so_the_lightest_first(show: ShowFolder) -> None:
    it = lost_south(show)
    assert lost_text(it.blow, both(it), it.floor.show, AGAINST) == GOLDEN


def test_a_way_says_what_makes_its_sum_and_what_to_do_to_take_it(show: ShowFolder) -> None:
    it = lost_south(show)
    hiring = it.hires()
    found = outcome(it, hiring, Difference(money(2688, 2688, 2688), 0))
    days = Row("", "hired_south, 2027-03: 1 day at 2,400.00", Decimal(2400))
    parts = (Part("hire", Decimal(2400), (days,)), Part("overhead", Decimal(288)))
    steps = (Step("write it down", Place("resources.yaml", 4, 3)), Step("plan again"))
    found = replace(found, parts=parts, steps=steps)
    text = lost_text(it.blow, [found], it.floor.show, AGAINST, opened=True)
    assert (
        "   of which    hire +2,400.00; overhead +288.00\n"
        "   displaced   1 call, 0 to another day\n"
        "   composites  none slips\n"
        "   to take it  resources.yaml:4:3: write it down\n"
        "               plan again\n"
        "   hire                                                                +2,400.00\n"
        "     another like South stage, 2027-03: 1 day at 2,400.00              +2,400.00\n"
        "   overhead                                                              +288.00\n"
    ) in text


def test_many_steps_alike_are_folded_on_a_terminal_and_whole_in_json(show: ShowFolder) -> None:
    it = lost_south(show)
    states = "`stage: hired_south` and nothing else"
    names = [f"HL{number:03}.town" for number in range(8)]
    alike = tuple(Step(f"{each}: {states}", Place("hill.yaml", 9, 5), states) for each in names)
    found = outcome(it, it.hires(), Difference(money(2688, 2688, 2688), 0))
    found = replace(found, steps=(Step("write it down"), *alike, Step("plan again")))
    text = lost_text(it.blow, [found], it.floor.show, AGAINST)
    assert text.count("and nothing else") == 6
    after = (
        "the same for 2 more elements that want it; --json names all\n               plan again\n"
    )
    assert after in text
    (way,) = json.loads(json.dumps(lost_json(it.blow, [found], AGAINST)))["ways"]
    said = [step["says"] for step in way["to_take_it"]]
    assert said == ["write it down", *(f"{each}: {states}" for each in names), "plan again"]


def test_calls_done_again_are_named(show: ShowFolder) -> None:
    it = lost_south(show)
    found = outcome(it, it.hires(), Difference(money(2688, 2688, 2688), 0))
    redone = ("HL010.town/set up", *(f"HL010.town/pass {number}" for number in range(7)))
    found = replace(found, way=replace(found.way, redone=redone))
    text = " ".join(lost_text(it.blow, [found], it.floor.show, AGAINST).split())
    told = "done again 8 calls, in the cost, called by planning again: HL010.town, set up; "
    assert told in text
    assert "HL010.town, pass 4; 2 more" in text


def test_a_way_that_saves_more_where_all_goes_badly_is_told_from_less_to_more(
    show: ShowFolder,
) -> None:
    it = lost_south(show)
    hiring = it.hires()
    saves = [outcome(it, hiring, Difference(money(-356, -369, -397), 0))]
    text = lost_text(it.blow, saves, it.floor.show, AGAINST)
    assert "cost        -369.00 GBP likely (-397.00 to -356.00)\n" in text


def test_the_json_says_the_same(show: ShowFolder) -> None:
    it = lost_south(show)
    told = json.loads(json.dumps(lost_json(it.blow, both(it), AGAINST)))
    assert told["met"] == ["HL010.town/photograph"]
    assert [(way["way"], way["cost"]["likely"]) for way in told["ways"]] == [
        ("hire", "2688"),
        ("wait", "0"),
    ]


def test_a_single_way_says_that_there_is_no_other(show: ShowFolder) -> None:
    it = lost_south(show)
    text = lost_text(it.blow, both(it)[:1], it.floor.show, AGAINST)
    assert "There is no other way" in text


def test_a_loss_that_meets_nobody_is_two_sentences(show: ShowFolder) -> None:
    it = lost_south(show)
    losses = (Loss("north", DateRange(TUESDAY, TUESDAY)),)
    blow = blow_of(losses, it.blow.issued, TUESDAY, it.blow.started)
    assert lost_text(blow, [], it.floor.show, AGAINST) == (
        "Without north Tue 2 Mar 2027.\nNo call holds it on those days; nothing moves.\n"
    )


def test_of_a_person_lost_it_is_said_that_nobody_stands_in(show: ShowFolder) -> None:
    text = (show.path / "resources.yaml").read_text(encoding="utf-8")
    show.write("resources.yaml", f"{text}people:\n  ada: {{craft: camera}}\n")
    works = usual_work()
    needs = (*works["HL010.town"][0].needs, Need("person", ("ada",)))
    works["HL010.town"] = (replace(works["HL010.town"][0], needs=needs), *works["HL010.town"][1:])
    floor = floor_of(show, works)
    issued = floor.issued()
    day = next(call.starts.date() for call in issued.calls if "ada" in call.holds)
    started = started_by_dates(issued, day)
    it = Case(floor, blow_of((Loss("ada", DateRange(day, day)),), issued, day, started))
    waiting = outcome(it, wait(floor.show, floor.estimates, it.blow), Difference(money(0, 0, 0), 0))
    # She has no stand-in and no piece may take another in her place; she can be waited for.
    said = " ".join(lost_text(it.blow, [waiting], floor.show, AGAINST).split())
    assert "There is no other way: nobody is named to stand in; nobody else fits. Costs" in said
    none = " ".join(lost_text(it.blow, [], floor.show, AGAINST).split())
    assert "the loss is for good; nobody is named to stand in; nobody else fits." in none
    assert "made again" not in none
