"""Orders planned again, weighed by the bid against leaving all that can stay where it is.

Takes what is planned on and the terms, gives the order that is lightest with its price, and says
what it costs beside waiting. A search knows of the bid what single calls tell; the bid itself is
asked before anybody is called for another day.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.cli.progress import going_on
from planner.model.names import counted

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from datetime import date
    from decimal import Decimal

    from planner.bid.what_if import Costed
    from planner.cli.opening import Effort, Opened
    from planner.graph import ElementGraph
    from planner.order import IssuedOrder, Question, StageOrder, Started, Terms
    from planner.order.around import Missed
    from planner.order.lost import Blow
    from planner.order.ways_out import WayOut

_MOST_NAMED = 4


@dataclass(frozen=True, slots=True)
class Ground:
    """What is planned again.

    Attributes:
        way: the show as it is to be, by which estimates it goes on, and from which order.
        graph: of its elements.
        question: what it asks.
    """

    way: WayOut
    graph: ElementGraph
    question: Question

    @classmethod
    def of(cls, way: WayOut, graph: ElementGraph) -> Ground:
        """With its question asked."""
        from planner.order import ask
        from planner.order.goes_on import standing_as_issued

        with going_on("asking for an order"):
            estimates = standing_as_issued(way.estimates, way.issued, way.started.at)
            return cls(way, graph, ask(way.show, graph, estimates))

    def terms(self, day: date, held_until: date | None, effort: Effort) -> Terms:
        """From which day it is planned again, with how long a search."""
        from planner.cli.searching import replanned
        from planner.order import Terms

        budget = effort.budget(len(self.question.instance.activities))
        return Terms(day, self.way.started, held_until, budget, replanned)

    def ordered(self, terms: Terms) -> Costed:
        """Planned again as the terms say, and priced."""
        from planner.bid import price
        from planner.bid.what_if import Costed
        from planner.order import compare, moves_cost
        from planner.order.prices import unpaid
        from planner.order.working import planned_again

        way = self.way
        terms = replace(terms, started=way.started)
        order = planned_again(way.show, self.graph, self.question, way.issued, terms)
        with going_on("pricing an order"):
            bid = price(way.show, way.estimates, order)
        moved = compare(way.show.calendar, way.issued, order).moved
        held_to_cost = moves_cost(way.show, terms, moved) + unpaid(way.show, order)
        return Costed(order, bid, way.redone, held_to_cost, len(moved))

    def standing(self, terms: Terms) -> Costed:
        """The same where all that can stay stays: nothing is searched."""
        from planner.schedule import Budget

        return self.ordered(replace(terms, budget=Budget(evaluations=0, seed=terms.budget.seed)))


@dataclass(frozen=True, slots=True)
class Grounds:
    """What is planned again around what is lost.

    Attributes:
        blow: whom what is lost meets.
        around: on which those go on with what else will do.
        waits: on which they wait for it; `around` itself where there is no choice.
    """

    blow: Blow
    around: Ground
    waits: Ground


def grounds(
    opened: Opened, issued: IssuedOrder, begun: tuple[Started, date], missed: Sequence[Missed]
) -> Grounds:
    """What an order is planned again on, around what is posted as lost.

    Args:
        opened: the show without what is not wanted any more.
        issued: the order to go on from.
        begun: what has begun, and the first day that may be planned.
        missed: what is posted as lost.
    """
    from planner.order.around import around, losses_of
    from planner.order.issued import still_there
    from planner.order.lost import blow_of
    from planner.order.named_else import named_else
    from planner.order.ways_out import WayOut

    show, day = opened.show, begun[1]
    there = still_there(issued, opened.estimates)
    now = named_else(show, opened.estimates, there, *begun)
    blow = blow_of(losses_of(missed, day), there, day, now.started)
    ways: tuple[WayOut, ...] = (WayOut("wait", "", show, now.estimates, now.started, issued),)
    if missed:
        ways = around(show, now.estimates, blow, missed)
    found = [
        Ground.of(replace(way, issued=issued, redone=(*now.redone, *way.redone)), opened.graph)
        for way in ways
    ]
    return Grounds(blow, found[0], found[-1])


def settled(ground: Ground, terms: Terms, found: Costed | None = None) -> Costed:
    """Planned again, or left where it can stay if that is no heavier by the bid.

    Args:
        ground: what is planned again.
        terms: how.
        found: the same planned again so already; None to do it now.
    """
    from planner.bid.what_if import lightest

    found = found or ground.ordered(terms)
    return found if _is_still(found) else lightest(ground.standing(terms), found)


def settled_beside(waits: Ground, ground: Ground, terms: Terms) -> StageOrder:
    """The lightest of planning again and of waiting, which says what it costs beside waiting.

    Args:
        waits: on which everybody waits for what is lost; the same as `ground` where nothing is.
        ground: on which those whom a loss meets go on with what else will do.
        terms: of planning again.
    """
    from planner.bid.what_if import lightest

    found = ground.ordered(terms)
    if found.order.answer is None or (_is_still(found) and waits is ground):
        return found.order
    still = waits.standing(terms)
    # Each is settled as the same way out is for who asks what a loss would cost: whichever is
    # taken then comes to the sum that was said.
    both = (found,) if waits is ground else (settled(waits, terms), settled(ground, terms, found))
    best = lightest(still, *both)
    said = "; ".join((best.order.method, *_beside(still, best)))
    return replace(best.order, method=said)


def _is_still(costed: Costed) -> bool:
    return not costed.moved and not costed.redone


def _beside(still: Costed, best: Costed) -> Iterator[str]:
    """What an order costs beside waiting, a clause."""
    from planner.bid.what_if import difference

    if best is still:
        yield "only what must move moves, as nothing found costs less, all counted"
        return
    beside = difference(still, best)
    currency = best.bid.currency
    said = [f"{_more(beside.money.likely, currency)} by the bid"]
    if best.redone:
        said[0] += f" and {counted(len(best.redone), 'call')} done again"
    if beside.lateness:
        said.append(f"{_more(beside.lateness, currency)} for days late")
    if beside.unpaid:
        said.append(
            f"{_more(beside.unpaid, currency)} for calls moved, stage days and changes of set-up"
        )
    held = ", as the show prices them" if beside.lateness or beside.unpaid else ""
    told = ", ".join((f"{', '.join(said)}{held}", *_slips(still, best)))
    yield f"beside moving only what must move it comes to {told}"


def _more(sum_: Decimal | int, currency: str) -> str:
    """``5,856.00 GBP more`` or ``less``; prices that nobody is paid have no hundredths."""
    amount = f"{abs(sum_):,}" if isinstance(sum_, int) else f"{abs(sum_):,.2f}"
    return f"{amount} {currency} {'less' if sum_ < 0 else 'more'}"


def _slips(still: Costed, best: Costed) -> Iterator[str]:
    """Composites that are more or less late for it."""
    was, now = still.order.late, best.order.late
    days = {shot: now.get(shot, 0.0) - was.get(shot, 0.0) for shot in {**was, **now}}
    slips = [
        f"{shot} {counted(abs(round(more)), 'working day')} {'more' if more > 0 else 'less'} late"
        for shot, more in days.items()
        if more
    ]
    yield from slips[:_MOST_NAMED]
    if len(slips) > _MOST_NAMED:
        yield f"and {len(slips) - _MOST_NAMED} more composites otherwise late"
