"""Planning again from a day on, close to an order already issued.

Takes the question as it now is, the issued order and the terms, gives a `StageOrder`: what has
begun stays, calls move for a price only, those near at hand for the highest, locked rows hold, and
what is left is placed in the order it was placed in before. Knows nothing of what happened on the
floor; `Started` says it.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import timedelta
from typing import TYPE_CHECKING

from planner.order import prices
from planner.order.dating import dated, unanswered
from planner.order.issued import reopened
from planner.order.kept import not_kept
from planner.schedule import Lock, MovePrice, replan

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable, Mapping
    from datetime import date, datetime
    from typing import TypeAlias

    from planner.graph import ElementGraph
    from planner.model.show import Show, WorkCalendar
    from planner.order.changes import Moved
    from planner.order.issued import IssuedOrder
    from planner.order.question import Question
    from planner.order.stage_order import StageOrder
    from planner.schedule import Activity, Answer, Budget, Calendar, Instance, Mode, Precedence

    Search: TypeAlias = Callable[
        [Instance, Answer, int, MovePrice, Budget], tuple[Instance, Answer]
    ]


FAR_PART = 3
"""As what part of a call near at hand one further off counts where somebody holds only so many
days: nobody has made ready for it, but people have taken its day to be free of other work."""
DOUBLING_DAYS = 20
"""Working days after which a move is held to cost as much again. To be called for tomorrow or for
the day after is one changed call; who is called a month later has taken other work by then. Nobody
publishes a figure: this one is weak enough to leave a far move that saves a stage day."""


@dataclass(frozen=True, slots=True)
class Started:
    """What has begun.

    Attributes:
        at: when each call began, by its id; what is not named has not begun, whatever any order
            said.
        done: those of them that are over too: what follows need not wait for the hours they were
            called for.
        is_posted: whether people posted it; else it is what an order called.
        again: when each call began that is to be done again from its start, as the thing it stood
            on is lost; it has not begun any more, and what it held until then is spent.
        lost: ids of elements that are lost: what was set up with them before waits for them anew.
    """

    at: Mapping[str, datetime]
    done: frozenset[str] = frozenset()
    is_posted: bool = False
    again: Mapping[str, datetime] = field(default_factory=dict)
    lost: frozenset[str] = frozenset()

    @property
    def over(self) -> frozenset[str]:
        """What is over and still counts as begun; what is to be done again does not."""
        return self.done & self.at.keys()


def started_by_dates(issued: IssuedOrder, day: date) -> Started:
    """What an issued order calls before a day: all there is to go by without a record of work."""
    return Started({call.id: call.starts for call in issued.calls if call.starts.date() < day})


def planned(
    instance: Instance, previous: Answer, start: int, price: MovePrice, budget: Budget
) -> tuple[Instance, Answer]:
    """The question as it was asked, what had started locked, and the new answer.

    Raises:
        ValueError: the question has no answer on its face.
    """
    found = replan(instance, previous, start, price, budget)
    return found.instance, found.answer


@dataclass(frozen=True, slots=True)
class Terms:
    """How to plan again.

    Attributes:
        day: the first that may still be planned.
        started: what has begun and stays.
        held_until: calls before this day move for a price only, later ones for a part of it; None
            for all calls at the whole price, `day` for none at any.
        budget: how long to improve.
        search: finds the new answer.
    """

    day: date
    started: Started
    held_until: date | None
    budget: Budget
    search: Search = planned


def working_days_on(calendar: WorkCalendar, day: date, count: int) -> date:
    """The day after so many working days from `day` on, which is the first of them."""
    while count > 0:
        count -= calendar.is_working(day)
        day += timedelta(days=1)
    return day


def rearrange(
    show: Show, graph: ElementGraph, question: Question, issued: IssuedOrder, terms: Terms
) -> StageOrder:
    """Order again from a day on.

    Args:
        show: as it now is; prices of moves are its own.
        graph: of its elements.
        question: what it asks now.
        issued: the order people work by.
        terms: from which day, what has begun, what is held.

    Returns:
        The new order. What had begun and cannot go on as it was is in its problems, as a lock that
        was not kept.
    """
    start = question.calendar.quarter_at(terms.day)
    was = _as_begun(reopened(issued, question), question, terms, start)
    near, far = _prices(show, terms)
    price = MovePrice(near, far, _window(question, terms.held_until, start), DOUBLING_DAYS)
    called = {call.id: question.calendar.quarter_at(call.starts) for call in issued.calls}
    done = terms.started.over & was.starts.keys()
    over = {id_: called.get(id_) == was.starts[id_] for id_ in done}
    try:
        while True:
            wanted = _waiting_for_lost(question, over, terms.started.lost)
            instance = _with_done(wanted, was, over, start)
            asked, answer = terms.search(instance, was, start, price, terms.budget)
            in_the_way = [id_ for id_ in answer.thawed if over.get(id_)]
            if not in_the_way:
                break
            # It is over, whatever else is now said to have been there at the time.
            over |= dict.fromkeys(in_the_way, False)
    except ValueError:
        return unanswered(show, question)
    gave_way = {id_ for id_ in answer.thawed if was.starts.get(id_, start) < start}
    return _told(show, graph, (replace(question, instance=asked), answer), gave_way)


def _told(
    show: Show, graph: ElementGraph, row: tuple[Question, Answer], gave_way: Collection[str]
) -> StageOrder:
    """The order found; what had begun and gave way is told as that, not as a lock of the show."""
    question, answer = row
    if not gave_way:
        return dated(show, graph, question, answer)
    broken = {each.together for each in question.instance.activities if each.id in gave_way}
    free = tuple(
        replace(each, locked=None if each.id in gave_way else each.locked, unbroken=False)
        if each.id in gave_way or (each.together and each.together in broken)
        else each
        for each in question.instance.activities
    )
    freed = replace(question, instance=replace(question.instance, activities=free))
    kept = tuple(id_ for id_ in answer.thawed if id_ not in gave_way)
    order = dated(show, graph, freed, replace(answer, thawed=kept))
    told = not_kept(show, question, answer, begun=gave_way)
    return replace(order, problems=(*order.problems, *told))


def _as_begun(was: Answer, question: Question, terms: Terms, start: int) -> Answer:
    """Where calls began, or were to begin, `start` for what was to go on then and is not begun.

    What was to be over by then and is not has no place any more: nobody is called for it on any day
    to come, so that it pushes nobody who is. Of what is over, the finish says by when.
    """
    calendar, started = question.calendar, terms.started
    known = {each.id: each for each in question.instance.activities}
    starts = {
        id_: max(at, start)
        for id_, at in was.starts.items()
        if id_ not in started.at and was.finishes[id_] > start
    }
    finishes, modes = dict(was.finishes), dict(was.modes)
    for id_, when in started.at.items():
        if id_ in known and id_ in started.over:
            began, ended = _done(calendar, when, was.starts.get(id_), known[id_])
            starts[id_], finishes[id_] = began, start if began < start else ended
            modes.setdefault(id_, 0)
        elif id_ in known and id_ in was.starts:
            starts[id_] = calendar.quarter_at(when)
    return replace(was, starts=starts, finishes=finishes, modes=modes)


def _done(
    calendar: Calendar, when: datetime, called: int | None, activity: Activity
) -> tuple[int, int]:
    """From when to when work that is over was done, were planning to begin no later.

    On the day that it was called for it was done as called. On another it was over when that was
    posted, and begun on that day: nobody was called for it sooner.

    Args:
        calendar: counts the quarters.
        when: it began as called, or was posted.
        called: quarter that it was called for; None where it was not called.
        activity: the work.
    """
    posted, morning = calendar.quarter_at(when), calendar.quarter_at(when.date())
    if called is None or calendar.to_datetime(called).date() != when.date():
        shortest = min(mode.duration_quarters for mode in activity.modes)
        return max(morning, posted - shortest), posted
    return called, posted if posted > called else morning + calendar.quarters_per_day


def _prices(show: Show, terms: Terms) -> tuple[int, int]:
    """What moving a call near at hand is held to cost, and one further off.

    Further off it costs a part where some days are held, and nothing where none is.
    """
    near = prices.move(show)
    holds_days = terms.held_until is not None and terms.held_until > terms.day
    return near, near // FAR_PART if holds_days else 0


def _window(question: Question, until: date | None, start: int) -> int | None:
    return None if until is None else max(0, question.calendar.quarter_at(until) - start)


def moves_cost(show: Show, terms: Terms, moved: Iterable[Moved]) -> int:
    """What calls that moved are held to cost, in whole units of the show's currency.

    Args:
        show: with its price of a move.
        terms: on which they were planned again.
        moved: on another day or with other things.
    """
    near, far = _prices(show, terms)
    price, until = MovePrice(near, far, doubling_days=DOUBLING_DAYS), terms.held_until
    return sum(
        price.of(abs(each.days), is_near=until is None or each.was.starts.date() < until)
        for each in moved
    )


def _waiting_for_lost(question: Question, over: Collection[str], lost: Collection[str]) -> Instance:
    """The question where what goes on after work that is over waits for what that stood on.

    What is over waits for nothing any more, and what follows it waits for that alone; but what was
    set up with a thing that is lost cannot be photographed before it is there again. That holds
    within an element only: what others do with its film wants the thing no more.
    """
    if not lost:
        return question.instance
    ahead: dict[str, tuple[Precedence, ...]] = {}

    def element_of(each: Activity | Precedence) -> str:
        return question.work[each.id][0]

    def now(activity: Activity) -> Activity:
        mine = (each for each in activity.after if element_of(each) in lost)
        own = (before.id for before in activity.after if element_of(before) == element_of(activity))
        passed = (each for before in own for each in ahead.get(before, ()))
        gone = {each.id: each for each in (*passed, *mine) if each.id not in over}
        if activity.id in over:
            ahead[activity.id] = tuple(gone.values())
            return activity
        known = {each.id for each in activity.after}
        more = tuple(each for each in gone.values() if each.id not in known)
        return replace(activity, after=(*activity.after, *more)) if more else activity

    # What an activity follows in its own element stands before it.
    return replace(question.instance, activities=tuple(map(now, question.instance.activities)))


def _with_done(instance: Instance, was: Answer, over: Mapping[str, bool], start: int) -> Instance:
    """The question with what is over as long as it took, and waiting for nothing.

    Args:
        instance: the question.
        was: with where each began, and by when what is over was over.
        over: what is, and whether it still takes up what it took up.
        start: first quarter that may be planned; what was done after it stays there too.
    """

    def now(activity: Activity) -> Activity:
        id_ = activity.id
        if id_ not in over:
            return activity
        began = was.starts[id_]
        took = was.finishes[id_] - began
        modes = tuple(_over(mode, took, keeps=over[id_]) for mode in activity.modes)
        locked = Lock(began, was.modes[id_]) if began >= start else None
        return replace(activity, modes=modes, after=(), release=0, locked=locked)

    return replace(instance, activities=tuple(map(now, instance.activities)))


def _over(mode: Mode, took: int, *, keeps: bool) -> Mode:
    quarters = min(mode.duration_quarters, took)
    if keeps:
        return replace(mode, duration_quarters=quarters)
    return replace(mode, duration_quarters=quarters, uses={}, set_ups={})
