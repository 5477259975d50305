"""When what is left will be done, how likely, and what moved since an earlier day.

Takes a show with its estimates and the events of its ledger, gives for each delivery and composite
the date of what is left, its chance, and the date as it was by the events up to the earlier day;
the difference is split by cause. The show's files are taken as they are now on both days. Knows
nothing of printing or of the clock.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import UTC
from functools import cached_property, partial
from typing import TYPE_CHECKING, Literal

from planner.order import ask
from planner.order.risk import Risk, not_before, risk_of
from planner.order.scarce import axis
from planner.schedule import placed_again
from planner.status.arrows_left import arrows_left
from planner.status.dates import dates_of, hours_between, show_from, solved
from planner.status.left_by_order import left_by_order
from planner.status.outlining import outline
from planner.status.remaining import remaining
from planner.status.shown import with_shown
from planner.status.staleness import judge
from planner.status.standing import Standing
from planner.status.state import full_id
from planner.status.too_soon import without_early

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence, Set
    from datetime import date, datetime

    from planner.estimate import Estimates
    from planner.graph import ElementGraph
    from planner.ledger import Basis, Event
    from planner.model.show import Delivery, Show
    from planner.order import IssuedOrder, Question
    from planner.order.risk import Chance, Terms
    from planner.schedule import Answer, Budget, Replay
    from planner.status.dates import Dates

Sort = Literal["done", "lost", "came back", "went on", "changed", "told"]
_SORTS: tuple[Sort, ...] = ("lost", "came back", "changed", "done", "went on", "told")


@dataclass(frozen=True, slots=True)
class Happened:
    """What became of one piece between the two days.

    Attributes:
        id: of the piece, or of a rig, stage, crew or person that it is made with.
        sort: ``done``: what waits for it may go on; ``lost``: it is to be made again; ``came
            back``: it was done, or further on, and is so no more; ``went on``: further on but not
            done; ``changed``: held, let go, recut, omitted or measured; ``told``: as far as it was,
            and only now posted, or posted anew.
        was: its state on the earlier day, in words.
        now: its state now.
        at: when the last of it happened.
    """

    id: str
    sort: Sort
    was: str
    now: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Split:
    """Working days that a date moved by cause, later ones above nought; together all of it.

    Attributes:
        passed: had nothing been posted since the earlier day.
        posted: by what was posted since, everything placed in the turns it had.
        turns: by turns on stages, rigs and crews taken anew; where an order was issued between
            the two days, by that.
    """

    passed: int
    posted: int
    turns: int

    @property
    def days(self) -> int:
        """All of it."""
        return self.passed + self.posted + self.turns


@dataclass(frozen=True, slots=True)
class Expected:
    """One composite that is still to come.

    Attributes:
        id: of the composite.
        words: its state.
        chance: its date at likely durations, and how likely; None where it has none.
        was: the same by the events up to the earlier day; None where it had none.
        moved: why its date is another; None unless it has both.
        happened: what became of it and of what it waits for, what came back first.
    """

    id: str
    words: str
    chance: Chance | None
    was: Chance | None
    moved: Split | None
    happened: tuple[Happened, ...]


@dataclass(frozen=True, slots=True)
class Due:
    """One delivery of which something is still to come.

    Attributes:
        delivery: as the show states it.
        chance: of what is left of it; None where it has no date.
        was: by the events up to the earlier day; None where it had none.
        moved: working days later; None unless it has both.
    """

    delivery: Delivery
    chance: Chance | None
    was: Chance | None
    moved: int | None


@dataclass(frozen=True, slots=True)
class Forecast:
    """What is to be expected.

    Attributes:
        today: from which everything goes on.
        since: the earlier day.
        deliveries: by day; those wholly approved are left out.
        composites: in story order; those approved are left out.
        approved: composites approved, or no longer wanted, by today.
        terms: how chances were drawn.
        reissued: number of the order people work by, where another was in force on the earlier
            day; None where it was the same, or none is issued.
        order: number of the issued order that dates go by; None where they go by none.
    """

    today: date
    since: date
    deliveries: tuple[Due, ...]
    composites: tuple[Expected, ...]
    approved: tuple[str, ...]
    terms: Terms
    reissued: int | None = None
    order: int | None = None


@dataclass(frozen=True, slots=True)
class Ground:
    """All that a forecast rests on but the day.

    Attributes:
        show: as its files are now.
        graph: of its elements.
        estimates: of all its work.
        events: all there are, by one clock: that of the moments asked about.
        budget: how long to look for an order, by the number of its calls.
        terms: how to draw.
        bases: facts the events rested on; what was made against others than those of now, and no
            longer stands, is work again.
        search: how to order what is left within a budget; from scratch unless told.
        issued: the order people work by; None where none is issued.
        earlier: the same by the order that was in force on the earlier day; None where that is
            still the order people work by.
        as_called: an issued order that everything is taken to have gone by, its past calls being
            among the events; None where what is posted is all that is known.
    """

    show: Show
    graph: ElementGraph
    estimates: Estimates
    events: Sequence[Event]
    budget: Callable[[int], Budget]
    terms: Terms
    bases: Sequence[Basis] = ()
    search: Callable[[Question, Budget], Answer | Replay] = solved
    as_called: IssuedOrder | None = None
    issued: IssuedOrder | None = None
    earlier: Ground | None = None


def forecast(ground: Ground, now: datetime, since: datetime, what: Iterable[str]) -> Forecast:
    """When the composites asked about will be done, and what moved since an earlier day.

    Two orders are looked for, and three more placed without looking.

    Args:
        ground: what it rests on.
        now: everything goes on from its day; events of later days are left out.
        since: any time of the earlier day, with a zone.
        what: ids of composites.
    """
    today, then = _Day(ground, now), _Day(ground.earlier or ground, since)
    drift = _Drift(ground, then, today)
    became = _Became(then, today)
    wanted = [each for each in what if ground.show.is_live(ground.show.elements[each])]
    undone = dict.fromkeys(each for each in wanted if not today.stands.is_done(each))
    return Forecast(
        now.date(),
        since.date(),
        tuple(_dues(ground, (then, today), drift, undone.keys())),
        tuple(_expected(ground.graph, became, drift, each) for each in undone),
        tuple(each for each in wanted if each not in undone),
        ground.terms,
        ground.issued.stamp.number if ground.issued and ground.earlier else None,
        ground.issued.stamp.number if ground.issued else None,
    )


class _Day:
    """What was known on a day, and what was to be expected then."""

    def __init__(self, ground: Ground, moment: datetime) -> None:
        self.ground = ground
        self.moment = moment
        # A day includes its evening.
        self.events = [each for each in ground.events if each.at.date() <= moment.date()]
        drawn = outline(ground.show, ground.graph, ground.estimates)
        judged = judge(ground.show, ground.estimates, self.events, ground.bases)
        stands = with_shown(Standing(drawn, judged.states, judged.judgements))
        self.stands = without_early(stands)
        self.graph = arrows_left(ground.graph, self.stands)
        self.show = show_from(ground.show, moment.date(), self.stands)
        self.left = self.left_on(moment)
        self.dates = dates_of(self.show, self.graph, self.left, ground.budget, ground.search)

    def left_on(self, moment: datetime) -> Estimates:
        """The work left by what was known, on another moment."""
        ground = self.ground
        passed = partial(hours_between, ground.show, last=moment)
        left = remaining(ground.estimates, self.stands, passed)
        morning = moment.replace(hour=0, minute=0, second=0, microsecond=0)
        at = (moment.date(), partial(hours_between, ground.show, morning))
        return left_by_order(left, ground.issued, ground.as_called, self.stands, at)

    @cached_property
    def risk(self) -> Risk | None:
        """Chances of the dates; None where there are none."""
        if self.dates is None:
            return None
        question = self.dates.question
        if self.dates.is_standing and self.ground.issued is not None:
            question = _not_before_called(question, self.dates.answer, self.ground.issued)
        ordered = question, self.dates.answer
        return risk_of(self.show, self.graph, ordered, self.ground.terms, ())

    @cached_property
    def chances(self) -> Mapping[str, Chance]:
        """Of composites, by id."""
        return {each.id: each for each in self.risk.composites} if self.risk else {}

    @cached_property
    def dues(self) -> Mapping[str, Chance]:
        """Of deliveries, by id."""
        return {each.id: each for each in self.risk.deliveries} if self.risk else {}

    @cached_property
    def held(self) -> Mapping[str, set[str]]:
        """Per piece, the resources that the work left of it is placed on."""
        found: defaultdict[str, set[str]] = defaultdict(set)
        if self.dates is None:
            return found
        question, answer = self.dates.question, self.dates.answer
        for activity in question.instance.activities:
            element = question.work[activity.id][0]
            found[element].update(activity.modes[answer.modes[activity.id]].uses)
        return found


def _not_before_called(question: Question, answer: Answer, issued: IssuedOrder) -> Question:
    """A question of which nothing begins before the day and hour that it was called for.

    What is pushed beyond its call may be drawn to begin as soon after the call as it fits.
    """
    calendar = question.calendar
    called = {
        each.id: min(calendar.quarter_at(each.starts), answer.starts[each.id])
        for each in issued.calls
        if each.id in answer.starts and each.starts.date() >= calendar.days[0]
    }
    return not_before(question, called)


class _Drift:
    """Working days between two forecasts, split by placing the same work in the same turns."""

    def __init__(self, ground: Ground, then: _Day, today: _Day) -> None:
        self.graph = ground.graph
        self.calendar = axis(ground.show)
        self.steps: list[Mapping[str, date]] | None = None
        if then.dates is None or today.dates is None:
            return
        idle = then.left_on(today.moment)
        # Had nothing been posted since, nothing lost since would be away.
        unmoved = show_from(ground.show, today.moment.date(), then.stands)
        if today.dates.is_standing:
            self.steps = _standing((then, today), unmoved, idle)
            return
        turns = then.dates.answer
        self.steps = [
            _finals(then.dates),
            _finals(then.dates, then.dates.placed),
            _placed(then.graph, unmoved, idle, turns),
            _placed(today.graph, today.show, today.left, turns),
            _finals(today.dates),
        ]

    def days(self, first: date, last: date) -> int:
        """Working days from one to the other; below nought where it is earlier."""
        quarters = self.calendar.quarter_at(last) - self.calendar.quarter_at(first)
        return quarters // self.calendar.quarters_per_day

    def of(self, composite: str) -> Split | None:
        """Why a composite's date moved; None where it has not always had one."""
        if self.steps is None or any(composite not in each for each in self.steps):
            return None
        was, placed, idle, posted, now = (each[composite] for each in self.steps)
        turns = self.days(posted, now) + self.days(was, placed)
        return Split(self.days(placed, idle), self.days(idle, posted), turns)


def _standing(
    days: tuple[_Day, _Day], unmoved: Show, idle: Estimates
) -> list[Mapping[str, date]] | None:
    """The same where work stands on the days of an issued order: turns are those it gives."""
    then, today = days
    was = then.ground
    passed = dates_of(unmoved, then.graph, idle, was.budget, was.search)
    posted = (today if today.ground is was else _Day(was, today.moment)).dates
    if then.dates is None or today.dates is None or passed is None or posted is None:
        return None
    return [*[_finals(then.dates)] * 2, *map(_finals, (passed, posted, today.dates))]


def _finals(dates: Dates, answer: Answer | None = None) -> dict[str, date]:
    """Per piece with work of its own, the day on which it ends."""
    finishes = (answer or dates.answer).finishes
    return _ends(dates.question.work, finishes, dates.day_of)


def _placed(graph: ElementGraph, show: Show, left: Estimates, turns: Answer) -> dict[str, date]:
    """The same for work placed from a day on in turns that it had before."""
    question = ask(show, graph, left)
    try:
        finishes = placed_again(question.instance, turns).finishes
    except ValueError:
        return {}
    return _ends(question.work, finishes, question.calendar.finish_datetime)


def _ends(
    work: Mapping[str, tuple[str, object]],
    finishes: Mapping[str, int],
    clock: Callable[[int], datetime],
) -> dict[str, date]:
    last: dict[str, int] = {}
    for id_, (element, _work) in work.items():
        last[element] = max(finishes[id_], last.get(element, 0))
    return {element: clock(quarter).date() for element, quarter in last.items()}


def _dues(
    ground: Ground, days: tuple[_Day, _Day], drift: _Drift, undone: Set[str]
) -> Iterator[Due]:
    then, today = days
    composites = ground.graph.composites
    for each in sorted(ground.show.deliveries, key=lambda each: (each.day, each.id)):
        if undone.isdisjoint(composites.get(shot, "") for shot in each.shots):
            continue
        chance, was = today.dues.get(each.id), then.dues.get(each.id)
        both = chance is not None and was is not None
        moved = drift.days(was.ordered.date(), chance.ordered.date()) if both else None  # type: ignore[union-attr]
        yield Due(each, chance, was, moved)


def _expected(graph: ElementGraph, became: _Became, drift: _Drift, composite: str) -> Expected:
    then, today = became.then, became.today
    return Expected(
        composite,
        today.stands.words(composite),
        today.chances.get(composite),
        then.chances.get(composite),
        drift.of(composite),
        became.of({composite, *graph.upstream(composite)}),
    )


class _Became:
    """What became of pieces since, and of what they are made with, by what was posted of them."""

    def __init__(self, then: _Day, today: _Day) -> None:
        self.then = then
        self.today = today
        self.last = _last_told(then, today)
        self.known: dict[str, Happened | None] = {}

    def of(self, pieces: Set[str]) -> tuple[Happened, ...]:
        """Of each that is not as it was, what came back first; each is looked at but once."""
        days = (self.then, self.today)
        held = {each for day in days for id_ in pieces for each in day.held.get(id_, ())}
        ids = (*sorted(pieces), *sorted(held & self.today.show.resources.keys()))
        for id_ in ids:
            if id_ not in self.known:
                self.known[id_] = self._happened(id_)
        told = [each for id_ in ids if (each := self.known[id_]) is not None]
        return tuple(
            sorted(told, key=lambda each: (_SORTS.index(each.sort), each.at.astimezone(UTC)))
        )

    def _happened(self, id_: str) -> Happened | None:
        was, now = self.then.stands, self.today.stands
        if was.of(id_) == now.of(id_):
            return None
        piece = now.outline.pieces.get(id_)
        about = (id_, piece.shot) if piece else (id_,)
        told = (self.last[each] for each in about if each in self.last)
        sort: Sort = _sort(was, now, id_) if piece else "changed"
        if piece and now.of(id_).lost is not None and was.of(id_).lost is None:
            sort = "lost"
        at = max(told, default=self.today.moment)
        return Happened(id_, sort, _words(was, id_), _words(now, id_), at)


def _words(stands: Standing, id_: str) -> str:
    """A state in words, of a thing lost with the day on which it is back."""
    lost = stands.of(id_).lost
    back = f", back {lost.back}" if lost and lost.back else ""
    return f"{stands.words(id_)}{back}"


def _last_told(then: _Day, today: _Day) -> dict[str, datetime]:
    """When anything was last posted of each thing since the earlier day, corrections included."""
    ids = {each.id: each for each in today.events}
    earlier = {each.id for each in then.events}
    last: dict[str, datetime] = {}
    for each in today.events:
        if each.id in earlier:
            continue
        corrected = ids.get(full_id(each.details.corrects, ids.keys()))
        about = corrected.about if corrected else each.about
        last[about] = max(each.at, last.get(about, each.at))
    return last


def _sort(was: Standing, now: Standing, id_: str) -> Sort:
    before, after = was.of(id_), now.of(id_)
    if (before.holds, before.omitted, before.recut) != (after.holds, after.omitted, after.recut):
        return "changed"
    if was.is_done(id_) and not now.is_done(id_):
        return "came back"
    if was.is_done(id_) and was.words(id_) == now.words(id_) and before.measured == after.measured:
        return "told"
    if now.is_done(id_):
        return "changed" if was.is_done(id_) else "done"
    refused = after.is_refused and not before.is_refused
    if refused or after.step < before.step:
        return "came back"
    return "went on"
