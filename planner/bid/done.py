"""What is done is spent: makings that are over and count no more, priced beside what is ahead.

Takes makings of things that were lost, refused, dead or are not wanted any more, with the calls by
which they were done, gives their lines: as posted, else at the rates of their days. The order pays
for one making of each, the one that counts; days it holds no more were held all the same. Knows
nothing of ledgers.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.bid.actuals import standing_of
from planner.bid.alternatives import held_by_itself
from planner.bid.desk import Desk
from planner.bid.holding import HELD, days_of, days_paid, lines_of_days
from planner.bid.lines import NOTHING, Bid, PastMaking, at_posted, total_of
from planner.bid.pricing import lines_of
from planner.bid.rollup import with_lines
from planner.kinds import Phase
from planner.kinds.estimate import FLOOR
from planner.order.held import days_held
from planner.order.stage_order import Call, StageOrder

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Sequence
    from datetime import date, datetime
    from decimal import Decimal

    from planner.bid.actuals import Posting
    from planner.bid.lines import BidLine
    from planner.estimate import Estimates
    from planner.kinds import Charge, Estimate
    from planner.model.show import Resource, Show

SCANS = "scans"
SPENT = "spent by actuals.csv"


@dataclass(frozen=True, slots=True)
class Done:
    """A making that is over and counts no more.

    Attributes:
        element: id.
        works: names of the stretches of work done in it.
        over: when it was over.
        why: it counts no more, a few words.
        is_again: whether it is made again; else nobody wants it.
        is_scanned: whether what was photographed was scanned too.
        is_last: whether nothing of it was done since, so that all that is posted is of this one.
        calls: by which it was done; none of what was done on another day than called.
    """

    element: str
    works: frozenset[str]
    over: datetime
    why: str
    is_again: bool
    is_scanned: bool = False
    is_last: bool = False
    calls: tuple[Call, ...] = ()


def with_done(
    bid: Bid,
    ground: tuple[Show, Estimates, StageOrder],
    done: Sequence[Done],
    postings: Sequence[Posting] = (),
    *,
    rates_on: date | None = None,
) -> Bid:
    """The bid with what was spent on makings that count no more.

    Args:
        bid: of one making of each thing that is wanted.
        ground: the show, estimates of all of it, what is omitted included, and the order that the
            bid is priced on.
        done: the makings.
        postings: what was spent, in any order; what is posted on a making stands for what it is
            priced at.
        rates_on: take every rate as it stands on this day.
    """
    show, estimates, order = ground
    made = [each for each in done if each.element in show.elements]
    if not made:
        return bid
    pricing = _Pricing(show, estimates, order, rates_on)
    kept = {(line.element, line.what) for line in bid.lines if line.is_dead}
    own: list[list[BidLine]] = []
    for each in made:
        theirs = _as_posted(pricing.own_lines(each), each, made, postings, bid.currency)
        # Of what is omitted, sums that are posted are in the bid already.
        own.append([x for x in theirs if each.is_again or (x.element, x.what) not in kept])
    held, lost = pricing.held_lines(made)
    spent = [[*own[number], *held.get(number, ())] for number in range(len(made))]
    over = (replace(line, is_spent=True) for mine in spent for line in mine)
    lines = (*bid.lines, *pricing.ahead_lines(made), *over)
    return replace(
        with_lines(bid, lines),
        past=tuple(
            PastMaking(
                each.element,
                each.why,
                each.is_again,
                _sum(mine),
                tuple(lost.get(n, ())),
                _sum(line for line in mine if line.craft.endswith(HELD)),
            )
            for n, (each, mine) in enumerate(zip(made, spent, strict=True))
            if mine
        ),
    )


def past_of(
    ground: tuple[Show, Estimates, StageOrder],
    done: Sequence[Done],
    postings: Sequence[Posting] = (),
) -> tuple[PastMaking, ...]:
    """What was spent on makings that count no more, without the bid of anything else.

    Args:
        ground: as of `with_done`.
        done: the makings.
        postings: what was spent, in any order.
    """
    show = ground[0]
    nothing = Bid(
        title=show.title,
        currency=show.currency,
        lines=(),
        loads=(),
        cost=NOTHING,
        total=NOTHING,
        problems=(),
        unpriced=(),
        not_in_bid=(),
        users={},
        terms=show.loads,
    )
    return with_done(nothing, ground, done, postings).past


def _sum(lines: Iterable[BidLine]) -> Decimal:
    return total_of(line.figures for line in lines).likely


class _Pricing:
    """Prices makings that are over by the calls they were done by."""

    def __init__(
        self, show: Show, estimates: Estimates, order: StageOrder, rates_on: date | None
    ) -> None:
        self.show = show
        self.estimates = estimates
        self.order = order
        self.rates_on = rates_on
        self.ends = {call.id: call.ends for call in order.calls}

    def own_lines(self, made: Done) -> list[BidLine]:
        """Hands and purchases of a making; and what it held, where nobody knows on which days."""
        desk = self._desk(made, made.calls)
        only = self._only(made)
        element = self.show.elements[made.element]
        lines = list(lines_of(desk, [element], only))
        if not any(call.stage for call in made.calls):
            on_its_day = replace(desk, rates_on=self.rates_on or made.over.date())
            month = f"{made.over:%Y-%m}"
            held = held_by_itself(on_its_day, only, [element])
            lines += [replace(line, month=line.month or month) for line in held]
        return lines

    def held_lines(
        self, made: Sequence[Done]
    ) -> tuple[dict[int, list[BidLine]], dict[int, list[tuple[str, date]]]]:
        """Lines of days that were held and that the order holds no more; and such days of stages.

        By the place of the making that held them; a day that two held is the earlier one's.
        """
        paid = {name: set(days) for name, days in days_paid(self.show, self.order).items()}
        lines: defaultdict[int, list[BidLine]] = defaultdict(list)
        lost: defaultdict[int, list[tuple[str, date]]] = defaultdict(list)
        for number, each in enumerate(made):
            desk = self._desk(each, each.calls)
            stood = days_held(self.show, each.calls)
            for name in {name: None for call in each.calls for name in (call.stage, *call.holds)}:
                if name not in paid:
                    continue
                resource = self.show.resources[name]
                calls = [call for call in each.calls if name in {call.stage, *call.holds}]
                were = (
                    stood.get(name, ())
                    if resource.sort == "stage"
                    else days_of(self.show, map(_first_and_last, calls))
                )
                days = [day for day in were if day not in paid[name]]
                paid[name].update(days)
                if resource.sort == "stage":
                    lost[number] += [(name, day) for day in days]
                lines[number] += self._days(desk, resource, days, calls)
        return lines, lost

    def ahead_lines(self, made: Sequence[Done]) -> Iterator[BidLine]:
        """What the making to come holds by its own hours, where no order has given it days yet."""
        undated = {each.element: each for each in made if each.is_again and self._is_past(each)}
        for each in undated.values():
            desk = self._desk(each, ())
            yield from held_by_itself(desk, self._only(each), [self.show.elements[each.element]])

    def _is_past(self, made: Done) -> bool:
        """Whether the order has it where it was done, and no call for the making to come."""
        mine = [
            self.ends[id_] for each in made.works if (id_ := f"{made.element}/{each}") in self.ends
        ]
        return bool(made.calls and mine) and max(mine).date() <= made.over.date()

    def _days(
        self, desk: Desk, resource: Resource, days: Sequence[date], calls: Sequence[Call]
    ) -> Iterator[BidLine]:
        worked = self.show.calendar.working_days
        there = [x for x in calls if not set(days).isdisjoint(worked(*_first_and_last(x)))]
        yield from lines_of_days(desk, resource, days, there or calls)

    def _only(self, made: Done) -> Estimates:
        estimate = self.estimates.by_element[made.element]
        only = replace(
            estimate,
            work=tuple(work for work in estimate.work if work.name in made.works),
            charges=tuple(each for each in estimate.charges if _is_bought(each, estimate, made)),
        )
        return replace(self.estimates, by_element={made.element: only})

    def _desk(self, made: Done, calls: Sequence[Call]) -> Desk:
        """With the calls it was done by; without any, all of it on the day it was over."""
        known = {call.work.name for call in calls}
        at = made.over.replace(tzinfo=None)
        then = tuple(
            Call(made.element, work, at, at, 0.0, (), "")
            for work in self.estimates.by_element[made.element].work
            if work.name in made.works - known
        )
        # What the order itself does once more, it pays for itself.
        order = replace(self.order, calls=(*calls, *then), days_held={}, redone=())
        return Desk.opened(self.show, order, self.rates_on, frozenset())


def _first_and_last(call: Call) -> tuple[date, date]:
    return call.starts.date(), call.ends.date()


def _is_bought(charge: Charge, estimate: Estimate, made: Done) -> bool:
    """Whether a purchase went with the work done; film goes with the last work before a camera."""
    if charge.name == SCANS and not made.is_scanned:
        return False
    phases: Collection[Phase] = {charge.phase}
    if charge.phase in FLOOR | {Phase.LAB}:
        phases = FLOOR
    mine = [work for work in estimate.work if work.phase in phases]
    if not mine:
        rest = (work.name for work in estimate.work if work.phase is not Phase.FINISH)
        return charge.phase is not Phase.FINISH and made.works.issuperset(rest)
    followed = {name for work in mine for name in work.after}
    return all(work.name in made.works for work in mine if work.name not in followed)


def _as_posted(
    lines: Sequence[BidLine],
    made: Done,
    every: Iterable[Done],
    postings: Iterable[Posting],
    currency: str,
) -> list[BidLine]:
    """Lines of a making, each name with a sum posted on it until it was over as one line of that.

    What was posted before an earlier making of it was over is of that one.
    """
    since = max(
        (x.over.date() for x in every if x.element == made.element and x.over < made.over),
        default=None,
    )
    mine = [
        each
        for each in postings
        if each.element == made.element
        and (made.is_last or each.week <= made.over.date())
        and (since is None or each.week > since)
    ]
    named = {line.what for line in lines}
    rows, _strays = standing_of(lines, [each for each in mine if each.what in named])
    posted = {row.what: row.cost for row in rows.rows}
    found: dict[str, BidLine] = {}
    kept: list[BidLine] = []
    for line in lines:
        if line.what not in posted:
            kept.append(line)
        elif line.what not in found:
            found[line.what] = at_posted(line, posted[line.what], currency, SPENT)
            kept.append(found[line.what])
    return kept
