"""What people keep on hold, or posted as lost, and an order calls all the same.

Takes a show, a dated order and what became of things, gives a warning for each hold or loss. Knows
nothing of ledgers.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from planner.ledger.event import day_back
from planner.model.names import title_of
from planner.model.place import Problem, Severity
from planner.status.freed_calls import is_taken

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from datetime import date

    from planner.model.place import Place
    from planner.model.show import Show
    from planner.order import Call, StageOrder
    from planner.status.state import Hold, State


def held_back(show: Show, order: StageOrder, states: Mapping[str, State]) -> Iterator[Problem]:
    """A warning for each shot, piece or resource on hold that is called on the hold's day or later.

    A hold may end any day, so that nothing is struck for it: who sends people out decides.
    """
    held = {id_: state.holds[0] for id_, state in states.items() if state.holds}
    called: dict[str, list[str]] = {}
    for call in order.calls if held else ():
        shot = show.elements[call.element].shot
        for id_ in held.keys() & {shot, call.element, *call.holds}:
            if call.ends.date() >= held[id_].since.date():
                called.setdefault(id_, []).append(f"{call.element}, {call.work.name}")
    for id_, calls in called.items():
        hold = held[id_]
        why = f": {hold.why}" if hold.why else ""
        more = f" and {len(calls) - 1} more" if len(calls) > 1 else ""
        yield Problem(
            Severity.WARNING,
            _place(show, id_),
            "held-is-called",
            f"on hold by {hold.by} since {hold.since:%Y-%m-%d}, as posted{why}; called all the"
            f" same: {calls[0]}{more}",
            f"have {hold.by} free it, or post it as omitted",
            id_,
        )


def called_while_lost(
    show: Show, order: StageOrder, states: Mapping[str, State], posted: date | None = None
) -> Iterator[Problem]:
    """A warning for each resource posted as lost, with the calls of it until it is back.

    Args:
        show: the show.
        order: dated, and not planned around what is lost.
        states: of what anything was posted of.
        posted: the last day on which anything was posted, if it is known: what lies before is past.
    """
    past = [day for day in (posted, order.planned_from, show.calendar.starts) if day is not None]
    for id_, state in _lost(show, states).items():
        calls = [
            f"{call.element}, {call.work.name} on {call.starts:%Y-%m-%d}"
            for call in order.calls
            if _is_without(call, id_, state)
        ]
        if calls:
            yield Problem(
                Severity.WARNING,
                show.resources[id_].place,
                "called-while-lost",
                f"{_lost_words(show, id_, state)}; called all the same: {'; '.join(calls)}",
                f"`platewright order --from {max(state.since.date(), *past)}` plans around it",
                id_,
            )


def with_losses(show: Show, calls: Iterable[Call], states: Mapping[str, State]) -> tuple[Call, ...]:
    """Calls, each with what is wanted for it that is posted as lost until after it begins."""
    lost, calls = _lost(show, states), tuple(calls)
    if not lost:
        return calls
    told = {id_: _lost_words(show, id_, state) for id_, state in lost.items()}
    wanting = {id_: _wanting(show, calls, id_, state) for id_, state in lost.items()}
    return tuple(
        replace(call, against=tuple(told[id_] for id_ in lost if call.id in wanting[id_]))
        for call in calls
    )


def _wanting(show: Show, calls: Sequence[Call], id_: str, lost: Hold) -> frozenset[str]:
    """Ids of calls that hold what is lost, and of those beside them in the craft of who is lost.

    A set-up holds a person; what that person does is often called beside it, with other hands.
    """
    held = {call.id for call in calls if _is_without(call, id_, lost)}
    thing = show.resources[id_]
    craft = thing.facts.word("craft") if thing.sort == "person" else ""
    own = {call.id for call in calls if call.during in held and call.work.craft == craft}
    return frozenset(held | own)


def _lost(show: Show, states: Mapping[str, State]) -> Mapping[str, Hold]:
    return {
        id_: state.lost
        for id_, state in states.items()
        if state.lost is not None and id_ in show.resources
    }


def _is_without(call: Call, id_: str, lost: Hold) -> bool:
    return is_taken(call, id_, lost.since.date(), day_back(lost.back))


def _lost_words(show: Show, id_: str, lost: Hold) -> str:
    back = day_back(lost.back)
    until = f"back {back} as posted" if back else "no day given when it is back"
    return f"{title_of(id_, show)} was posted as lost on {lost.since:%Y-%m-%d}, {until}"


def _place(show: Show, id_: str) -> Place:
    known = show.shots.get(id_) or show.elements.get(id_) or show.resources[id_]
    return known.place
