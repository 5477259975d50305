"""The stage order as text: calls by stage and day, work off stage, what is late.

Takes the stage order, the show for names and what is said of its elements, gives text of 80
columns. Works nothing out.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from itertools import groupby
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.kinds.strike import BY_LAMPS
from planner.model.names import counted, day_words, in_names, name_of, set_up_words, title_of
from planner.model.place import Severity
from planner.order import why_then
from planner.pages.wording import figure, folded, inert, plain

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from planner.model.place import Problem
    from planner.model.show import Show
    from planner.order.stage_order import Call, StageOrder


MOST_EXPLAINED = 10
"""Late shots, latest first, that are told with what holds them; each costs a walk of its chain."""
NO_HAZARDS: Mapping[str, Sequence[str]] = MappingProxyType({})
LAMPS = f"wherever lamps are lit take care: {BY_LAMPS}; see the call sheet"
_GUESSED = "scale-undecided"


@dataclass(frozen=True, slots=True)
class Notes:
    """What is said where things are called.

    Attributes:
        of: by element, what whoever is called for it must know.
        lit: elements to which lamps alone bring electricity: `LAMPS` is said once for all of them.
    """

    of: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    lit: frozenset[str] = frozenset()

    def for_all(self, elements: Iterable[str]) -> tuple[str, ...]:
        """What is said once, where these are called."""
        return () if self.lit.isdisjoint(elements) else (LAMPS,)

    def about(self, call: Call) -> Iterator[tuple[str, tuple[str, ...]]]:
        """What is said of a call's element and of builds that stand before it, by their ids."""
        for id_ in dict.fromkeys((call.element, *call.holds)):
            if said := self.of.get(id_):
                yield id_, said

    def once(self, calls: Iterable[Call], show: Show) -> dict[str, tuple[str, ...]]:
        """By id of a call, what is said under it on paper: of each thing at its first call alone.

        Args:
            calls: in the order they are printed; the element of each is named there.
            show: for the names of builds, which their notes begin with.
        """
        told: set[str] = set()
        found: dict[str, tuple[str, ...]] = {}
        for call in calls:
            lines = [
                f"! {said}" if id_ == call.element else f"! {name_of(id_, show)} {said}"
                for id_, every in self.about(call)
                if id_ not in told
                for said in every
            ]
            told |= {call.element, *call.holds}
            found.setdefault(call.id, tuple(lines))
        return found


NO_NOTES = Notes()


AS_CALLED = (
    "what is left stands where it was called, or as soon after as it fits; `order --from` looks for"
    " other days"
)
PLANNED_AGAIN = (
    "What began stays, and other calls move where that is worth its price; `blocking` and"
    " `forecast` move none that can stay, so that their dates may differ."
)
IN_TURN = "what is left is done as soon as it fits, in the turns of an order arranged now"


def dates_rule(order: int | None) -> str:
    """By what rule `blocking` and `forecast` date what is left, a clause.

    Args:
        order: number of the issued order that is gone by; None for none.
    """
    return IN_TURN if order is None else f"by order {order}, {AS_CALLED}"


def over_text(order: StageOrder) -> str:
    """That a day to plan again from is after the last call; empty where anything is left."""
    if order.planned_from is None or not order.is_over:
        return ""
    since = f"Nothing is left to order from {day_words(order.planned_from)} on"
    if not order.calls:
        return "\n".join([*folded(f"{since}."), ""])
    last = max(each.ends for each in order.calls)
    return "\n".join([*folded(f"{since}: the last call was on {day_words(last)}."), ""])


def order_text(
    order: StageOrder,
    show: Show,
    notes: Notes = NO_NOTES,
) -> str:
    """The order of work by stage and day, work off stage by craft, then what is late.

    Args:
        order: dated.
        show: for the names of resources.
        notes: what is said at calls, as `notes_of` has it.
    """
    if not order.calls:
        return "No work to order.\n"
    first = min(each.starts for each in order.calls)
    last = max(each.ends for each in order.calls)
    best = "proven the best" if order.proven else "not proven the best"
    opening = (
        f"{counted(len(order.calls), 'call')}, {day_words(first)} to {day_words(last)};"
        f" {order.method}, {best}. The longest chain of work alone takes"
        f" {counted_days(order.bound_days)}.{_meals(show, first.date())}"
    )
    if order.planned_from is not None and not order.is_issued:
        opening += f" {PLANNED_AGAIN}"
    blocks = ["\n".join(folded(opening))]
    busy = {each.stage for each in order.calls} | order.days_held.keys()
    blocks.extend(
        stage_text(order, show, stage.id, notes).rstrip()
        for stage in show.resources_of("stage")
        if stage.id in busy
    )
    off_stage = sorted(
        (each for each in order.calls if not each.stage and not each.work.beside),
        key=lambda each: (each.work.craft, each.starts),
    )
    for craft, group in groupby(off_stage, key=lambda each: each.work.craft):
        lines = [f"Off stage, {inert(craft.replace('_', ' '))}"]
        lines.extend(row for each in group for row in _off_stage_call(each, show))
        blocks.append("\n".join(lines))
    blocks.extend(_lateness(order, show))
    return "\n\n".join(blocks) + "\n"


def _meals(show: Show, day: date) -> str:
    """When nobody works, in the hours of every day."""
    times = show.calendar.meal_times(day)
    said = [f"{begins:%H:%M} to {ends:%H:%M}" for begins, ends in times]
    return f" Meal {' and '.join(said)}, which no call counts as hours." if said else ""


def stage_text(
    order: StageOrder,
    show: Show,
    stage: str,
    notes: Notes,
) -> str:
    """One stage's days, with its set-ups, who is called with them and what is found of each."""
    here = {each.id for each in order.calls if each.stage == stage}
    calls = [each for each in order.calls if each.during in here]
    days = order.days_held.get(stage, ())
    title = f"{inert(title_of(stage, show))}: {counted(len(days), 'day')} held"
    lines = folded(title)
    for said in notes.for_all(each.element for each in calls):
        lines += folded(said, "  ! ", "    ")
    lines += _stage(calls, days, show, notes)
    return "".join(f"{line}\n" for line in lines)


def notes_of(
    findings: Iterable[Problem],
    show: Show | None = None,
    hazards: Mapping[str, Sequence[str]] = NO_HAZARDS,
    lit: frozenset[str] = frozenset(),
) -> Notes:
    """Of each element, why it cannot be done as planned or what is guessed, then the hazards.

    Args:
        findings: about elements.
        show: for names; ids stand where there is none.
        hazards: by element, on the floor, as `kinds.strike.hazards_of_pieces` has them.
        lit: elements whose electricity is told once for all, as `kinds.strike.lit_alone` has them.
    """
    errors: dict[str, list[str]] = {}
    for each in findings:
        message = in_names(each.message, show)
        if each.code == _GUESSED:
            errors.setdefault(each.about, []).append(f"is guessed at: {message} [{each.code}]")
        elif each.severity is Severity.ERROR:
            said = f"cannot be done as planned: {message} [{each.code}]"
            errors.setdefault(each.about, []).append(said)
    for about, every in hazards.items():
        names = [each for each in every if about not in lit or each != BY_LAMPS]
        said = (
            f"take care: {', '.join(each.replace('_', ' ') for each in names)}; see the call sheet"
        )
        errors.setdefault(about, []).extend([said] if names else [])
    return Notes({about: tuple(dict.fromkeys(said)) for about, said in errors.items()}, lit)


def _stage(
    calls: Sequence[Call],
    days: Iterable[date],
    show: Show,
    notes: Notes,
) -> list[str]:
    """Calls under their dates; set-ups and things held named where they change, idle days too."""
    noted: set[str] = set()
    begun: dict[date, list[Call]] = {}
    busy: set[date] = set()
    for call in sorted(calls, key=lambda each: (each.starts, each.during, each.work.beside)):
        begun.setdefault(call.starts.date(), []).append(call)
        span = (call.ends.date() - call.starts.date()).days
        busy |= {call.starts.date() + timedelta(each) for each in range(span + 1)}
    lines: list[str] = []
    stands = ("", "")
    for day in sorted({*begun, *days}):
        if day not in busy:
            lines.append(f"  {day_words(day)}  held, idle")
        if day not in begun:
            continue
        lines.append(f"  {day_words(day)}")
        for call in begun[day]:
            if call.work.beside:
                lines.extend(_company(call))
                continue
            set_up = set_up_words(call.work.set_up, show)
            now = (set_up or stands[0], ", ".join(held_names(call, show)))
            if now[0] != stands[0]:
                noted.clear()
            lines.extend(_changed(stands, now))
            lines.extend(_noted(call, show, (notes, noted)))
            lines.extend(_stage_call(call, show))
            stands = now
    return lines


def _changed(was: tuple[str, str], now: tuple[str, str]) -> Iterator[str]:
    """The set-up where it changes, and what is held beside the stage where that or it changes."""
    if now[0] != was[0]:
        yield from folded(now[0], "    set-up: ")
    if now[1] != ("" if now[0] != was[0] else was[1]):
        yield from folded(now[1] or "nothing else", "    with ")


def _noted(call: Call, show: Show, told: tuple[Notes, set[str]]) -> Iterator[str]:
    """What is said of an element and of builds that stand before it, once in a set-up."""
    notes, noted = told
    for id_, every in notes.about(call):
        if id_ not in noted:
            noted.add(id_)
            for note in every:
                yield from folded(f"{name_of(id_, show)} {note}", "    ! ", "      ")


def _stage_call(call: Call, show: Show) -> list[str]:
    ends = f"{call.ends:%H:%M}"
    until = (
        "" if call.ends.date() == call.starts.date() else f", until {day_words(call.ends)} {ends}"
    )
    clock = f"    {call.starts:%H:%M}-{ends}" if not until else f"    {call.starts:%H:%M}-     "
    head = f"{clock} {figure(call.hours, 'h'):>7}  "
    said = f"{name_of(call.element, show)}: {call.work.name}{until}"
    return [*folded(said, head), *against_rows(call)]


def against_rows(call: Call) -> list[str]:
    """What stands against a call coming about as it is called, each on lines of its own."""
    said = call.against
    return [row for each in said for row in folded(each, "    ! ", "      ")]


def _company(call: Call) -> list[str]:
    craft = inert(call.work.craft.replace("_", " "))
    said = f"with {counted(call.work.heads, 'hand')} of {craft}: {call.work.name}"
    return [*folded(said, " " * 26), *against_rows(call)]


def _off_stage_call(call: Call, show: Show) -> list[str]:
    starts, ends = call.starts.date(), call.ends.date()
    days = day_words(starts) if starts == ends else f"{day_words(starts)} to {day_words(ends)}"
    beside = ", ".join(held_names(call, show))
    said = f"{name_of(call.element, show)}: {call.work.name}{f', with {beside}' if beside else ''}"
    if call.work.wait_hours:
        said += f"; then {figure(call.work.wait_hours, 'h')} before what follows"
    head = f"  {days}, {figure(call.hours, 'h')}"
    return [head, *folded(said, "    "), *against_rows(call)]


def held_names(call: Call, show: Show) -> tuple[str, ...]:
    """What a call holds beside its stage, by the names people use; crews go without saying."""
    return tuple(
        title_of(each, show)
        for each in call.holds
        if each != call.stage and not _is_crew(each, show)
    )


def _is_crew(id_: str, show: Show) -> bool:
    resource = show.resources.get(id_)
    return resource is not None and resource.sort == "crew"


def _lateness(order: StageOrder, show: Show) -> Iterator[str]:
    if order.late:
        latest = sorted(order.late.items(), key=lambda each: (-each[1], each[0]))
        rows: list[str] = []
        for at, (shot, days) in enumerate(latest):
            rows += folded(_late(order, shot, days))
            held = held_by(order, show, shot) if at < MOST_EXPLAINED else ""
            rows += folded(held, "  ", "    ") if held else []
        yield "\n".join(rows)
    elif order.finals:
        last = day_words(max(order.finals.values()))
        yield f"Every composite is in time; the last is done on {last}."


def held_by(order: StageOrder, show: Show, shot: str) -> str:
    """What began the chain that holds a shot's composite, and where its date is written."""
    calls = (each for each in order.calls if each.element in show.elements)
    mine = [
        each
        for each in calls
        if show.elements[each.element].shot == shot
        and show.elements[each.element].kind == "composite"
    ]
    chain = why_then(order, min(mine, key=lambda each: each.starts)) if mine else ()
    if not chain:
        return ""
    root = chain[-1]
    facts = next(
        (
            show.elements[each.element].facts
            for each in order.calls
            if each.element in show.elements
            and root.startswith(f"{each.element}, {each.work.name} starts ")
        ),
        None,
    )
    is_dated = facts is not None and facts.has("not_before")
    where = f" ({facts.place_of('not_before')})" if facts is not None and is_dated else ""
    return f"Behind it: {in_names(root, show)}{where}"


def _late(order: StageOrder, shot: str, days: float) -> str:
    final = order.finals.get(shot)
    done = f", done on {day_words(final)}" if final else ""
    return f"{shot} is late by {counted_days(days)}{done}."


def counted_days(days: float) -> str:
    """``1 working day``, ``2.5 working days``."""
    return f"{plain(days)} working day{'' if days == 1 else 's'}"
