"""Dated work as prints and calendars want it: by day.

Takes an order, as worked out or as issued, gives calls and what each is on each of its days. Plans
nothing.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from planner.kinds import Hours, Phase, Work
from planner.model.names import day_words
from planner.model.quantity import Quantity, Standing
from planner.order import Call

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from planner.estimate import Estimates
    from planner.model.show import WorkCalendar
    from planner.order import IssuedCall, IssuedOrder, StageOrder
    from planner.pages.prints.sheet import Cell

DAY = timedelta(days=1)
NOT_ISSUED = "Worked out anew, not an issued order"


@dataclass(frozen=True, slots=True)
class Dated:
    """The order that people work by.

    Attributes:
        calls: by start.
        by_element: the same, per element.
        set_ups: those that have a set-up, per stage.
        days_held: per stage, the days it is held without a call too; empty for an issued order.
        finals: per shot, when its composite is done.
        source: which order it is, a sentence.
    """

    calls: tuple[Call, ...]
    by_element: Mapping[str, Sequence[Call]]
    set_ups: Mapping[str, Sequence[Call]]
    days_held: Mapping[str, tuple[date, ...]]
    finals: Mapping[str, datetime]
    source: str


@dataclass(frozen=True, slots=True)
class Stretch:
    """One day of a call.

    Attributes:
        call: whose.
        starts: wall clock on that day.
        ends: the same.
        number: 1 on its first day.
        begins: whether the call begins on it.
        is_last: whether it ends on it.
    """

    call: Call
    starts: datetime
    ends: datetime
    number: int
    begins: bool
    is_last: bool


def worked_out(order: StageOrder, source: str = NOT_ISSUED) -> Dated:
    """An order as just worked out, with which it is."""
    return indexed(order.calls, order.days_held, order.finals, source)


def as_issued(issued: IssuedOrder, estimates: Estimates) -> Dated:
    """An order as people have it; work is told as the show now has it, where it still does."""
    by = f" by {issued.stamp.by}" if issued.stamp.by else ""
    calls = tuple(_call(each, estimates) for each in issued.calls)
    source = f"Order {issued.stamp.number}, issued on {day_words(issued.stamp.on)}{by}"
    return indexed(calls, {}, issued.finals, source)


def indexed(
    calls: Iterable[Call],
    days_held: Mapping[str, tuple[date, ...]],
    finals: Mapping[str, datetime],
    source: str,
) -> Dated:
    """Looked through once: sheets ask by element and by stage, and there are thousands of both."""
    in_turn = tuple(sorted(calls, key=lambda each: each.starts))
    by_element: defaultdict[str, list[Call]] = defaultdict(list)
    set_ups: defaultdict[str, list[Call]] = defaultdict(list)
    for call in in_turn:
        by_element[call.element].append(call)
        if call.work.set_up:
            set_ups[call.stage].append(call)
    return Dated(in_turn, dict(by_element), dict(set_ups), days_held, finals, source)


def _call(call: IssuedCall, estimates: Estimates) -> Call:
    estimate = estimates.by_element.get(call.element)
    works = {each.name: each for each in estimate.work} if estimate else {}
    work = works.get(call.work) or _work(call)
    holds, stage = call.holds, call.stage
    return Call(call.element, work, call.starts, call.ends, call.hours, holds, stage)


def _work(call: IssuedCall) -> Work:
    """Work that the show no longer has."""
    phase = Phase.STAGE if call.stage else Phase.FINISH
    hours = Hours(call.hours, call.hours, call.hours)
    reason = Quantity("hours", call.hours, "h", Standing.GIVEN, reason="as issued")
    return Work(call.work, call.craft, phase, hours, reason, set_up=call.set_up)


def stretches(call: Call, calendar: WorkCalendar) -> Iterator[Stretch]:
    """The days of a call, in order; nights and days nobody works are left out."""
    first, last = call.starts.date(), call.ends.date()
    days = [first + DAY * n for n in range((last - first).days + 1)]
    held = [day for day in days if day in {first, last} or calendar.is_working(day)]
    for number, day in enumerate(held, start=1):
        begins, ends = calendar.opens(day), calendar.closes(day)
        starts = call.starts if day == first else begins
        stops = call.ends if day == last else max(ends, starts)
        yield Stretch(call, starts, stops, number, day == first, day == last)


def call_and_wrap(stretches: Sequence[Stretch]) -> str:
    """When the first are called on a day and the last go home, a sentence; empty where none are."""
    if not stretches:
        return ""
    first, last = min(each.starts for each in stretches), max(each.ends for each in stretches)
    return f"First call {first:%H:%M}, wrap {last:%H:%M}."


def by_day(dated: Dated, calendar: WorkCalendar) -> dict[date, tuple[Stretch, ...]]:
    """Every day something is called, in order, with what is; by hour, then by element."""
    days: dict[date, list[Stretch]] = {}
    for call in dated.calls:
        for each in stretches(call, calendar):
            days.setdefault(each.starts.date(), []).append(each)
    return {
        day: tuple(sorted(days[day], key=lambda each: (each.starts, each.call.id)))
        for day in sorted(days)
    }


def called_words(dated: Dated, element: str, work: str) -> str:
    """``; called Thu 25 Mar 2027 08:00 to Wed 31 Mar 2027 12:00``; says so where it is not."""
    calls = dated.by_element.get(element, ())
    call = next((each for each in calls if each.work.name == work), None)
    if call is None:
        return "; not called"
    first, last = day_words(call.starts), day_words(call.ends)
    until = f"{call.ends:%H:%M}" if first == last else f"{last} {call.ends:%H:%M}"
    return f"; called {first} {call.starts:%H:%M} to {until}"


def with_against(said: str, calls: Iterable[Call]) -> Cell:
    """What is said of calls, with lines for what stands against their coming about as called."""
    lines = dict.fromkeys(f"! {each}" for call in calls for each in call.against)
    return (said, *lines) if lines else said


def clock(stretch: Stretch) -> tuple[str, str]:
    """From and until, in words where they lie on another day."""
    call = stretch.call
    starts = f"{stretch.starts:%H:%M}" if stretch.begins else "goes on"
    ends = f"{stretch.ends:%H:%M}" if stretch.is_last else _on_until(call.ends)
    return starts, ends


def _on_until(moment: datetime) -> str:
    weekday, day, month, _year = day_words(moment).split()
    return f"{weekday} {day} {month} {moment:%H:%M}"


def meal_words(calendar: WorkCalendar, stretches: Iterable[Stretch]) -> str:
    """``Meal 13:00 to 14:00.`` of a day, where its work goes on on both sides; empty for none."""
    held = tuple(stretches)
    if not held:
        return ""
    first, last = min(each.starts for each in held), max(each.ends for each in held)
    times = calendar.meal_times(first.date())
    kept = [f"{a:%H:%M} to {b:%H:%M}" for a, b in times if first < a and b < last]
    return f"Meal {' and '.join(kept)}." if kept else ""
