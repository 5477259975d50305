"""What was promised, against the days on which work is called.

Takes a show and its dated calls, gives what a look, an arrival, a test or a person allows and the
calls that do not keep to it. Knows nothing of solvers: the calls stand where they stand.
"""

from __future__ import annotations

from collections import defaultdict
from datetime import timedelta
from typing import TYPE_CHECKING, TypeAlias

from planner.estimate.any_kind.custody import LINE_UP, first_set_up
from planner.kinds import Context, Phase, Worksheet
from planner.kinds.sentences import listed
from planner.model.names import counted, in_tenths
from planner.model.place import Problem, Severity
from planner.model.quantity import Quantity

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from datetime import date

    from planner.model.show import Element, Resource, Show
    from planner.model.show import Sequence as Scenes
    from planner.order.stage_order import Call

Calls: TypeAlias = "Mapping[str, tuple[Call, ...]]"
Waiting: TypeAlias = "Mapping[str, tuple[str, ...]]"
PASSED = "passed"


def promise_problems(show: Show, calls: Sequence[Call]) -> Iterator[Problem]:
    """Calls that do not keep to a look, an arrival, a test or somebody's hours.

    Cost linear in calls and references.

    Args:
        show: the show.
        calls: by start.
    """
    mine = by_element(calls)
    principal = _first_principal(show, calls)
    for sequence in show.sequences.values():
        yield from _look(show, mine, sequence, principal.get(sequence.id))
    waiting = _waiting(show)
    yield from _arrivals(show, mine, waiting)
    for test, day in must_pass_by(show, mine, waiting).items():
        yield _must_pass(show, mine, test, day)
    held = _by_holder(calls)
    for person in show.resources_of("person"):
        yield from _presence(show, held.get(person.id, ()), person)


def by_element(calls: Iterable[Call]) -> Mapping[str, tuple[Call, ...]]:
    """Calls of each element, by start."""
    found: dict[str, list[Call]] = defaultdict(list)
    for call in calls:
        found[call.element].append(call)
    return {element: tuple(mine) for element, mine in found.items()}


def _by_holder(calls: Iterable[Call]) -> Mapping[str, tuple[Call, ...]]:
    """Calls that hold each thing, by start."""
    found: dict[str, list[Call]] = defaultdict(list)
    for call in calls:
        for thing in call.holds:
            found[thing].append(call)
    return {thing: tuple(mine) for thing, mine in found.items()}


def look_test_days(show: Show, calls: Calls, sequence: Scenes) -> Quantity:
    """Working days of the look tests of a sequence that have not passed.

    Args:
        show: the show.
        calls: by element.
        sequence: of the show.
    """
    tests = _look_tests(show, sequence)
    hours = sum(call.hours for test in tests for call in calls.get(test, ()))
    length = Quantity("hours in a working day", show.calendar.day_hours, "h", reason="calendar")
    called = Quantity("hours called", hours, "h", reason=", ".join(tests) or "no tests")
    days = hours / show.calendar.day_hours
    return Quantity("days of look tests", days, "d", reason="hours / day", inputs=(called, length))


def _look_tests(show: Show, sequence: Scenes) -> tuple[str, ...]:
    named = sequence.facts.group("look").words("tests")
    known = (show.elements[name] for name in named if name in show.elements)
    return tuple(each.id for each in known if each.facts.word("result") != PASSED)


def _look(show: Show, calls: Calls, sequence: Scenes, first: Call | None) -> Iterator[Problem]:
    look = sequence.facts.group("look")
    if not look.values or first is None:
        return
    tests = _look_tests(show, sequence)
    approved = look.day("approved")
    ends = [call.ends.date() for test in tests for call in calls.get(test, ())]
    last = max(ends, default=None)
    ready = approved or last
    if ready is None or ready <= first.starts.date():
        return
    days = look_test_days(show, calls, sequence)
    took = in_tenths(days.value, "day")
    why = f"approved on {approved}" if approved else f"tested until {last} ({took})"
    yield Problem(
        Severity.WARNING,
        sequence.facts.place_of("look"),
        "set-up-before-look",
        f"the first principal set-up of {sequence.id} is called on {first.starts:%Y-%m-%d}"
        f" ({first.element}) and its look is {why}",
        f"let {first.element} wait for {listed(tests) if tests else 'the approval'}, or write"
        f" `not_before: {ready}`",
        sequence.id,
    )


def _first_principal(show: Show, calls: Iterable[Call]) -> Mapping[str, Call]:
    """First call on a stage of each sequence."""
    found: dict[str, Call] = {}
    for call in calls:
        shot = show.shots.get(show.elements[call.element].shot)
        if shot is not None and call.work.phase is Phase.STAGE:
            found.setdefault(shot.sequence, call)
    return found


def _arrivals(show: Show, calls: Calls, waiting: Waiting) -> Iterator[Problem]:
    for element in show.elements.values():
        days = [day for each in element.facts.groups("custody") if (day := each.day("arrives"))]
        if not days or not show.is_live(element):
            continue
        sheet = Worksheet(Context(show, element, {}))
        line_up = element.facts.number("line_up") or sheet.rule(LINE_UP)[0]
        first = first_set_up(max(days), line_up.value, show.calendar.day_hours)
        for name in (element.id, *waiting.get(element.id, ())):
            early = next((c for c in calls.get(name, ()) if c.work.phase is Phase.STAGE), None)
            if early is not None and early.starts.date() < first:
                yield Problem(
                    Severity.WARNING,
                    element.facts.place_of("custody"),
                    "set-up-before-arrival",
                    f"{early.work.name} of {name} is called on {early.starts:%Y-%m-%d} and what it"
                    f" needs arrives on {max(days)}, with {line_up.value:g} h of line-up",
                    f"write `not_before: {first}` for {name}, or bring it sooner",
                    name,
                )


def _waiting(show: Show) -> Waiting:
    """Elements that wait for each, directly."""
    found: dict[str, list[str]] = defaultdict(list)
    for element in show.elements.values():
        for reference in element.references:
            if reference.waits:
                found[reference.target].append(element.id)
    return {target: tuple(names) for target, names in found.items()}


def must_pass_by(show: Show, calls: Calls, waiting: Waiting | None = None) -> Mapping[str, date]:
    """Per test not passed, the day of the first call that rests on it, near or far.

    Args:
        show: the show.
        calls: by element.
        waiting: elements that wait for each; worked out where it is not given.
    """
    starts = {name: mine[0].starts.date() for name, mine in calls.items()}
    waiting = _waiting(show) if waiting is None else waiting
    tests = (each for each in show.elements.values() if each.kind == "test")
    found = {each.id: _first_of(each, waiting, starts) for each in tests if _is_open(show, each)}
    return {test: day for test, day in found.items() if day is not None}


def _is_open(show: Show, test: Element) -> bool:
    return show.is_live(test) and test.facts.word("result", "not yet") != PASSED


def _first_of(test: Element, waiting: Waiting, starts: Mapping[str, date]) -> date | None:
    """First start among what waits for it; what has no call of its own is looked through."""
    ahead, seen, days = list(waiting.get(test.id, ())), {test.id}, []
    while ahead:
        name = ahead.pop()
        if name in seen:
            continue
        seen.add(name)
        if name in starts:
            days.append(starts[name])
        else:
            ahead += waiting.get(name, ())
    return min(days, default=None)


def _must_pass(show: Show, calls: Calls, test: str, day: date) -> Problem:
    ends = max((call.ends.date() for call in calls.get(test, ())), default=None)
    hand = f"; it is called until {ends}" if ends else ""
    return Problem(
        Severity.NOTE,
        show.elements[test].facts.place_of("result"),
        "test-holds-stage",
        f"it must have passed by {day}, when the first work that rests on it is called{hand}",
        "keep another method open until it has",
        test,
    )


def presence(
    show: Show, calls: Iterable[Call], person: str
) -> Mapping[date, tuple[tuple[Call, float], ...]]:
    """Set-ups that need somebody, by day, with the hours of each on that day.

    Args:
        show: the show.
        calls: any; those that do not hold the person are passed over.
        person: id.
    """
    found: dict[date, list[tuple[Call, float]]] = defaultdict(list)
    for call in calls:
        if person not in call.holds:
            continue
        length = (call.ends.date() - call.starts.date()).days + 1
        days = [call.starts.date() + timedelta(days=n) for n in range(length)]
        worked = [day for day in days if show.calendar.is_working(day)] or days[:1]
        for day in worked:
            found[day].append((call, call.hours / len(worked)))
    return {day: tuple(rows) for day, rows in sorted(found.items())}


def _presence(show: Show, calls: Iterable[Call], person: Resource) -> Iterator[Problem]:
    limit = person.facts.number("hours")
    days = presence(show, calls, person.id)
    over = {}
    for day, rows in days.items():
        hours = sum(each for _call, each in rows)
        if limit is not None and hours > limit.value * (1 + 1e-9):
            over[day] = hours
    if over and limit is not None:
        day, hours = max(over.items(), key=lambda each: each[1])
        wanted = listed(list(dict.fromkeys(call.element for call, _hours in days[day])))
        yield Problem(
            Severity.WARNING,
            person.facts.place_of("hours"),
            "presence-past-hours",
            f"{person.title} is wanted {hours:.1f} h on {day} ({wanted}) and can be there"
            f" {limit.value:g} h; so on {counted(len(over), 'day')}",
            f"let somebody stand in for {hours - limit.value:.1f} h, or move one of them",
            person.id,
        )
    yield from _two_stages(person, days)


def _two_stages(
    person: Resource, days: Mapping[date, tuple[tuple[Call, float], ...]]
) -> Iterator[Problem]:
    for day, rows in days.items():
        stages = list(dict.fromkeys(call.stage for call, _hours in rows if call.stage))
        if len(stages) > 1:
            learning = person.facts.number("learning")
            how = f", {learning.value:g} h of learning" if learning else ""
            yield Problem(
                Severity.NOTE,
                person.place,
                "wanted-on-two-stages",
                f"{person.title} is wanted on {' and '.join(stages)} on {day}",
                f"call a stand-in for one of them{how}, or leave time to walk over",
                person.id,
            )
            return
