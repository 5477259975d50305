"""What is scarce, on the work-time axis: calendar, absences, capacities, hours of a change.

Takes a show, gives values in plain scheduling words. Knows nothing of elements' work or of solvers.
"""

from __future__ import annotations

import math
from collections import defaultdict
from datetime import date, datetime, timedelta
from itertools import permutations
from typing import TYPE_CHECKING, NamedTuple

from planner.model.facts import Facts
from planner.model.place import Problem, Severity
from planner.order import prices
from planner.schedule import Calendar, Changeovers, Resource, working_days

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from planner.model.facts import DateRange
    from planner.model.show import Show

HORIZON_DAYS = 3 * 366
# Past any date a show could mean; a resource gone for good is blocked until here.
END = 40 * 366 * 24
# Common practice: an hour to strike one set-up before the next is brought in.
STRIKE_HOURS = 1.0


def axis(show: Show) -> Calendar:
    """The show's work-time axis, meals left out, three years long; it goes on by week-days after.

    A day is no longer than the rest between two calls leaves it, where show.yaml states that rest.
    """
    stated = show.calendar
    closed: set[date] = set()
    for span in stated.holidays:
        length = (span.last - span.first).days + 1
        closed.update(span.first + timedelta(days=n) for n in range(length))
    last = stated.starts + timedelta(days=HORIZON_DAYS)
    days = working_days(stated.starts, last, stated.week, closed)
    pauses = tuple((round(each.after * 4), round(each.lasts * 4)) for each in stated.meals)
    return Calendar(days, max(1, round(_day_hours(show) * 4)), stated.day_starts, pauses)


def _day_hours(show: Show) -> float:
    rest = show.facts.group("calendar").amount("rest", 0.0)
    return min(show.calendar.day_hours, max(24.0 - rest - _meal_hours(show), 0.25))


def _meal_hours(show: Show) -> float:
    return sum(each.lasts for each in show.calendar.meals)


def rest_problems(show: Show) -> Iterator[Problem]:
    """A working day that leaves less rest than the show's own calendar asks for."""
    calendar = show.facts.group("calendar")
    worked = _day_hours(show)
    left = 24 - show.calendar.day_hours - _meal_hours(show)
    if worked < show.calendar.day_hours:
        yield Problem(
            Severity.WARNING,
            calendar.place_of("rest"),
            "rest-too-short",
            f"a working day of {show.calendar.day_hours:g} h leaves"
            f" {left:g} h before the next call, and"
            f" {calendar.amount('rest', 0.0):g} h of rest are wanted",
            f"shorten the day to {worked:g} h, as the stage order does",
        )


def spell(calendar: Calendar, span: DateRange) -> tuple[int, int]:
    """Quarters of some days, half-open."""
    return calendar.quarter_at(span.first), calendar.quarter_at(span.last + timedelta(days=1))


def capacity(show: Show, id_: str) -> int:
    """How many of a resource or build there are."""
    known = show.resources.get(id_)
    if known is not None:
        return known.capacity
    build = show.elements.get(id_)
    return int(build.facts.amount("copies", 1)) if build else 1


def absences(show: Show, id_: str) -> tuple[DateRange, ...]:
    """Days on which a resource or build is away, as its file states them."""
    known = show.resources.get(id_)
    if known is not None:
        return known.away
    build = show.elements.get(id_)
    return build.facts.ranges("away") if build else ()


def blocked(show: Show, calendar: Calendar, id_: str) -> tuple[tuple[int, int], ...]:
    """Spells in which none of it is there.

    Absences; of resources also what lies outside their first and last day, and outside the hours of
    the day in which they can be had.
    """
    spells = [spell(calendar, span) for span in absences(show, id_)]
    known = show.resources.get(id_)
    if known is not None:
        since, until = known.facts.day("from"), known.facts.day("until")
        if since is not None and until is not None and until < since:
            since = until = None
        if since is not None:
            spells.append((0, calendar.quarter_at(since)))
        if until is not None:
            spells.append((calendar.quarter_at(until + timedelta(days=1)), END))
        spells += _out_of_hours(known.facts.group("called_between"), calendar)
    return tuple(each for each in spells if each[0] < each[1])


def _out_of_hours(hours: Facts, calendar: Calendar) -> Iterator[tuple[int, int]]:
    """What every listed working day has before and after some hours of it."""
    first, last = hours.clock("from"), hours.clock("to")
    if first is None or last is None or first >= last:
        return
    length = calendar.quarters_per_day
    opens = calendar.quarter_at(datetime.combine(calendar.days[0], first))
    # What begins before it closes is not all there: down to a whole quarter, not up.
    closes = calendar.quarter_at(datetime.combine(calendar.days[0], last) - timedelta(minutes=14))
    for begins in range(0, len(calendar.days) * length, length):
        yield begins, begins + min(opens, length)
        yield begins + min(closes, length), begins + length


def backwards_problems(show: Show) -> Iterator[Problem]:
    """First and last days, and hours of the day, that end before they begin; they bind nothing."""
    for known in show.resources.values():
        since, until = known.facts.day("from"), known.facts.day("until")
        if since is not None and until is not None and until < since:
            yield Problem(
                Severity.ERROR,
                known.facts.place_of("until"),
                "days-end-first",
                f"{known.id} can be had from {since} to {until}, which ends first",
                "write the first day after `from`, the last after `until`",
            )
        hours = known.facts.group("called_between")
        first, last = hours.clock("from"), hours.clock("to")
        if first is not None and last is not None and first >= last:
            yield Problem(
                Severity.ERROR,
                hours.place_of("to"),
                "hours-end-first",
                f"{known.id} can be had from {first:%H:%M} to {last:%H:%M}, which ends first",
                "write hours of one day, the earlier first",
            )


def resources(show: Show, calendar: Calendar, used: Iterable[str]) -> Iterator[Resource]:
    """Everything that some work may hold, with what holding it costs."""
    for id_ in used:
        yield Resource(
            id_,
            capacity(show, id_),
            blocked(show, calendar, id_),
            held_day_cost=prices.held_day(show, id_),
            overtime=prices.late_hours(show, id_),
        )


def state_on(stage: str, set_up: str) -> str:
    """A set-up as it stands on one stage; stages take different hours to change."""
    return f"{stage}: {set_up}"


class Standing(NamedTuple):
    """A state of a stage.

    Attributes:
        stage: which.
        set_up: what stands on it; equal texts are one set.
        anew: quarters to line it up as it was lined up before, where it is brought up for another
            pass; 0 for all else.
    """

    stage: str
    set_up: str
    anew: int = 0


def move_quarters(show: Show, id_: str) -> int:
    """Quarters to carry a thing from one stage to another; 0 where none is stated.

    Of several alike, one may be on either stage, and none is carried.
    """
    known = show.resources.get(id_) or show.elements.get(id_)
    if known is None or capacity(show, id_) != 1:
        return 0
    return _quarters(known.facts, "move_time", 0.0)


def changeovers(
    show: Show, states: Mapping[str, Standing], stands: Mapping[str, Iterable[str]]
) -> Changeovers:
    """Hours to bring each state up and to strike it, by the stage it stands on; and to carry over.

    States of one set on one stage are gone between for nothing: it stands.

    Args:
        show: with its stages.
        states: what stands, by state.
        stands: per thing that takes time to carry from stage to stage, its state on each.
    """
    bring, strike = {}, {}
    alike: defaultdict[tuple[str, str], list[str]] = defaultdict(list)
    for state, (stage, set_up, anew) in states.items():
        known = show.resources.get(stage)
        facts = known.facts if known else Facts(show.facts.place)
        loading = _quarters(facts, "load_in", 0.0) + _quarters(facts, "pre_light", 0.0)
        bring[state] = loading + anew
        strike[state] = _quarters(facts, "strike", STRIKE_HOURS)
        alike[stage, set_up].append(state)
    carried = {
        (thing, before, after): move_quarters(show, thing)
        for thing, there in stands.items()
        for before, after in permutations(there, 2)
    }
    kept = {
        (stage, before, after): 0
        for (stage, _set_up), states_of_it in alike.items()
        for before, after in permutations(states_of_it, 2)
    }
    return Changeovers(set_up=bring, strike=strike, pairs={**carried, **kept})


def _quarters(facts: Facts, name: str, default: float) -> int:
    return math.ceil(round(facts.amount(name, default) * 4, 6))
