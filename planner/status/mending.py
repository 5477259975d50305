"""What would be done next about something that no longer stands, and what that costs.

Takes judgements with a show's estimates and rates, gives for each piece that is not good the money
that is lost on it, the money that makes it good, and the next act; worst first. Knows nothing of
events or printing.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TYPE_CHECKING

from planner.bid.actuals import standing_of
from planner.bid.alternatives import lines_by_itself
from planner.bid.change_order import first_making
from planner.bid.desk import Desk
from planner.bid.lines import NOTHING, Figures, total_of
from planner.kinds import Phase, Work
from planner.model.names import counted
from planner.model.quantity import Quantity
from planner.order.stage_order import StageOrder
from planner.status.sorts import Sort, sort_of_kind
from planner.status.verdicts import Verdict

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import date

    from planner.bid.actuals import Posting
    from planner.bid.lines import BidLine
    from planner.bid.revision import Issued
    from planner.estimate import Estimates
    from planner.kinds import Hours
    from planner.ledger import Event
    from planner.model.show import Element, Show
    from planner.status.judging import Judgement
    from planner.status.standing import Standing

MENDERS = "compositing"
"""The craft that warps, holds and grades what was photographed."""
_SHOWN = frozenset({"composite", "check_composite"})
_BY_HAND = (Phase.FINISH, Phase.BUILD, Phase.PREPARE)
_UNDATED = StageOrder((), {}, {}, {}, 0.0, proven=False, method="", problems=())


@dataclass(frozen=True, slots=True)
class Stale:
    """One piece that no longer stands as it was made.

    Attributes:
        judgement: on it.
        words: its state.
        made: the event by which it was made.
        lost: what was spent on it and is lost; None where it is not dead.
        is_posted: whether that was posted as spent; else it is what it was bid at.
        bid_in: the revision it was bid in, its shares of days held with it; empty where none was
            issued, and it is by the facts and rates of the day.
        costs: what making it good, or again, costs at the rates of the day; before loads.
        act: what would be done next, a clause.
        remarks: approvals that do not count, in sentences.
    """

    judgement: Judgement
    words: str
    made: Event
    lost: Decimal | None
    is_posted: bool
    costs: Figures
    act: str
    remarks: tuple[str, ...]
    bid_in: str = ""


@dataclass(frozen=True, slots=True)
class Unwanted:
    """One piece that was made and is omitted since.

    Attributes:
        id: of the element.
        made: the event by which it was made.
        lost: what was spent on it.
        is_posted: as of `Stale`.
        bid_in: as of `Stale`.
    """

    id: str
    made: Event
    lost: Decimal
    is_posted: bool
    bid_in: str = ""


def next_act(element: Element, told: Judgement) -> str:
    """What would be done next, a clause."""
    # Kinds of others may state something else under that name.
    word = element.facts.word("sort") if element.kind == "shadow" else ""
    sort = sort_of_kind(element.kind, word, is_in_shot=bool(element.shot))
    short = told.frames_short_head + told.frames_short_tail
    if told.verdict is Verdict.DEAD:
        if sort is not Sort.PICTURE:
            return "make it again"
        return "find other stock" if element.kind == "stock" else "photograph it again"
    if sort is Sort.THING:
        return "bring it to its drawing"
    if sort is Sort.PICTURE:
        return "hold or slow its frames" if short else "look at it, and warp or grade it"
    if element.kind in _SHOWN and told.because:
        return "join it again and show it"
    return f"make the {counted(short, 'frame')} it lacks" if short else "mend it"


def mending_work(told: Judgement, works: Iterable[Work]) -> Work | None:
    """The work that makes a piece good again; None where there is none.

    Args:
        told: what was judged of it.
        works: by which all of it is made.
    """
    return None if told.hours is None else good_by(told.hours, told.short, works)


def good_by(hours: Hours, short: str, works: Iterable[Work]) -> Work:
    """So many hours' work that makes a piece good, by the craft that works on it by hand.

    Args:
        hours: it takes.
        short: what is wrong with it, a few words.
        works: by which all of it is made.
    """
    by_phase = {work.phase: work.craft for work in reversed(tuple(works))}
    found = ((each, by_phase[each]) for each in _BY_HAND if each in by_phase)
    phase, craft = next(found, (Phase.FINISH, MENDERS))
    reason = Quantity("hours to make it good", hours.likely, "h", reason=short)
    return Work(f"make it good: {short}", craft, phase, hours, reason)


class Pricing:
    """Prices what no longer stands of one show, by the rates of one day within it.

    What is lost is as posted, else as the last issued revision has it, as change orders say; where
    there is none, by the facts and rates of that day.
    """

    def __init__(
        self,
        show: Show,
        estimates: Estimates,
        postings: Iterable[Posting],
        today: date,
        accepted: Issued | None = None,
    ) -> None:
        self.show = show
        self.estimates = estimates
        day = max(today, show.calendar.starts)
        self.desk = Desk.opened(show, _UNDATED, day, frozenset())
        self.posted: defaultdict[str, list[Posting]] = defaultdict(list)
        for each in postings:
            self.posted[each.element].append(each)
        self.accepted = accepted
        self.bid_in = accepted.stamp.name if accepted else ""

    def stale(
        self,
        judgements: Mapping[str, Judgement],
        made: Mapping[str, Event],
        standing: Standing,
    ) -> tuple[Stale, ...]:
        """Every piece that is not good, the dead first, the dearest of them first."""
        found = [
            self._one(told, made[id_], standing)
            for id_, told in judgements.items()
            if told.verdict is not Verdict.GOOD
        ]
        found.sort(
            key=lambda each: (
                -each.judgement.verdict.weight,
                -(each.lost or Decimal(0)) - each.costs.likely,
            )
        )
        return tuple(found)

    def _one(self, told: Judgement, made: Event, standing: Standing) -> Stale:
        element = self.show.elements[told.id]
        lines = lines_by_itself(self.desk, self.estimates, element)
        state = standing.of(told.id)
        remarks = state.remarks[:1] if state.overtaken is not None else ()
        is_dead = told.verdict is Verdict.DEAD
        costs = (
            total_of(line.figures for line in lines) if is_dead else self._mending(told, element)
        )
        posted = bool(self.posted.get(told.id))
        lost = self._lost(told.id, lines) if is_dead else None
        act, words = next_act(element, told), standing.words(told.id)
        return Stale(told, words, made, lost, posted, costs, act, remarks, self.bid_in)

    def unwanted(self, made: Mapping[str, Event]) -> tuple[Unwanted, ...]:
        """Every piece that was made and is omitted, the dearest first."""
        found = [self._omitted(id_, event) for id_, event in made.items()]
        return tuple(sorted(found, key=lambda each: (-each.lost, each.id)))

    def _omitted(self, id_: str, made: Event) -> Unwanted:
        lines = lines_by_itself(self.desk, self.estimates, self.show.elements[id_])
        posted = bool(self.posted.get(id_))
        return Unwanted(id_, made, self._lost(id_, lines), posted, self.bid_in)

    def _lost(self, id_: str, lines: Sequence[BidLine]) -> Decimal:
        """What making it took: as posted, else as bid where a revision is, else by its lines."""
        posted = self.posted.get(id_, [])
        if self.accepted is None:
            return _spent(posted, lines)
        bid = self.accepted.bid
        mine = [line for line in bid.lines if line.element == id_]
        return first_making(bid, id_, standing_of(mine, posted)[0]).whole

    def _mending(self, told: Judgement, element: Element) -> Figures:
        estimate = self.estimates.by_element[element.id]
        work = mending_work(told, estimate.work)
        return NOTHING if work is None else total_of(x.figures for x in self.lines(element, work))

    def lines(self, element: Element, work: Work) -> tuple[BidLine, ...]:
        """What one stretch of work on an element costs, line by line."""
        estimate = self.estimates.by_element[element.id]
        only = replace(estimate, work=(work,), charges=())
        by_element = {element.id: only}
        return lines_by_itself(self.desk, replace(self.estimates, by_element=by_element), element)


def _spent(postings: Iterable[Posting], lines: Iterable[BidLine]) -> Decimal:
    """What was posted, hours without a cost at the rate of their line; else what was bid."""
    found, bid = list(postings), tuple(lines)
    if not found:
        return total_of(line.figures for line in bid).likely
    return standing_of(bid, found)[0].spent
