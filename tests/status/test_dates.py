"""Working hours between moments told on different clocks, and what things done would gain."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from planner.estimate import estimate_show
from planner.graph import build_graph
from planner.kinds import Registry
from planner.ledger import What
from planner.order import ask
from planner.schedule import Budget, Replay, placed_again
from planner.status import states_of
from planner.status.dates import Dates, back_on, dates_of, hours_between
from planner.text.show_folder import load_show
from tests.ledger.told import event

if TYPE_CHECKING:
    from planner.schedule import Answer
    from tests.status.conftest import Floor


def test_hours_between_leave_out_nights_and_follow_one_clock(floor: Floor) -> None:
    floor.read()
    here = timezone(timedelta(hours=1))
    now = datetime(2027, 3, 2, 10, tzinfo=here)
    # Monday 16:00 there is 15:00 UTC; until 18:00 two hours, and Tuesday from 8:00 two more.
    assert hours_between(floor.show, datetime(2027, 3, 1, 15, tzinfo=UTC), now) == 4
    assert hours_between(floor.show, now, now) == 0


def test_a_thing_lost_without_a_day_to_come_is_away_for_three_working_days(floor: Floor) -> None:
    floor.read()
    monday, friday = date(2027, 3, 1), date(2027, 3, 5)

    def back(day: date, **values: str) -> date | None:
        lost = states_of([event(1, What.LOST, "cam", values=values)])["cam"]
        return back_on(floor.show, lost, day)

    assert back(monday) == date(2027, 3, 4)
    # Friday, Monday and Tuesday: back on Wednesday.
    assert back(friday) == date(2027, 3, 10)
    assert back(monday, back="2027-03-15") == date(2027, 3, 15)
    # The day that was posted has come, and nobody posted its return.
    assert back(friday, back="2027-03-04") == date(2027, 3, 10)
    assert back(friday, back="2027-03-05") == friday
    assert back_on(floor.show, states_of([event(1, What.FREED, "cam")])["cam"], monday) is None


EXAMPLE = Path(__file__).parents[2] / "example_shows" / "nine_bells_under"


@pytest.fixture(scope="module")
def bells() -> Dates:
    """The example with nothing done, in the first order found."""
    kinds = Registry()
    show, _problems = load_show(EXAMPLE, kinds)
    assert show is not None
    graph, _found = build_graph(show)
    estimates = estimate_show(show, graph, kinds)
    found = dates_of(show, graph, estimates, lambda _calls: Budget(evaluations=0))
    assert found is not None
    return found


def _ends(dates: Dates, work: object, answer: Answer) -> dict[str, int]:
    ends: dict[str, int] = {}
    own: dict[str, int] = {}
    for id_, (element, _work) in work.items():  # type: ignore[attr-defined]
        own[element] = max(own.get(element, 0), answer.finishes[id_])
    for id_ in dates.graph.order:
        before = (ends[each] for each in dates.graph.arrows.predecessors(id_))
        ends[id_] = max(own.get(id_, 0), *before, 0)
    return ends


def test_what_is_done_gains_as_much_as_asking_everything_again_would_show(bells: Dates) -> None:
    was = _ends(bells, bells.question.work, bells.placed)
    undone = [id_ for id_, each in bells.estimates.by_element.items() if each.work]
    assert len(undone) > 100
    gaining = 0
    for ids in (*((id_,) for id_ in undone[::6]), tuple(undone[10:40]), tuple(undone[::2])):
        without = {id_: replace(bells.estimates.by_element[id_], work=()) for id_ in ids}
        left = replace(bells.estimates, by_element={**bells.estimates.by_element, **without})
        question = ask(bells.show, bells.graph, left)
        ends = _ends(bells, question.work, placed_again(question.instance, bells.answer))
        sooner = {
            id_: bells.working_days(was[id_] - end) for id_, end in ends.items() if end < was[id_]
        }
        assert bells.gained(ids) == sooner
        gaining += bool(sooner)
    assert gaining > 5


def test_work_placed_again_in_an_order_stays_in_that_order(bells: Dates) -> None:
    again = Replay(bells.question.instance, bells.placed).answer()
    assert (again.starts, again.priorities) == (bells.placed.starts, bells.placed.priorities)
    assert bells.gained(()) == {}
