"""What is told as in the can, and can hardly be: a take that is no good, or a thing never built.

Takes an outline with the events there were and the events told now, gives sentences by event. They
only ask: whoever posts may know better, and says so of the take. Knows nothing of files.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.ledger import Verdict, What
from planner.status.news import concerned
from planner.status.shown import stood_before, with_shown
from planner.status.standing import Standing
from planner.status.state import BOARDED, Step, by_thing, in_force, states_in_force

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from planner.ledger import Event
    from planner.status.outline import Outline
    from planner.status.state import State

MOST_NAMED = 4
STAYS_CALLED = " It stays called until that take, or another, is told as good, kept or circled."


def doubts(
    outline: Outline, before: Sequence[Event], told: Sequence[Event]
) -> dict[str, tuple[str, ...]]:
    """By the id of an event told now, what makes one doubt that the thing is in the can.

    Args:
        outline: of the show.
        before: events known already, of everything concerned.
        told: events told now; those known already are asked about no more.
    """
    known = {each.id for each in before}
    new = [each for each in told if each.what is What.IN_THE_CAN and each.id not in known]
    if not new:
        return {}
    every = by_thing(in_force((*before, *told)))
    found: dict[str, tuple[str, ...]] = {}
    for event in new:
        # A file of a whole season tells thousands: only what is near is looked through for each.
        near = concerned(outline, (event,)).intersection(every)
        until = {id_: [each for each in every[id_] if each.order < event.order] for id_ in near}
        states = states_in_force({id_: events for id_, events in until.items() if events})
        state = states.get(event.about, BOARDED)
        found[event.id] = (
            *_of_its_take(state, event.details.take),
            *_of_its_builds(with_shown(Standing(outline, states)), event.about),
        )
    return found


def _of_its_take(state: State, number: str) -> Iterator[str]:
    takes = {each.number: each for each in state.takes}
    called = "" if state.step >= Step.IN_THE_CAN else STAYS_CALLED
    bad = {each.number for each in state.takes if each.verdict is Verdict.NO_GOOD}
    if not number and takes and len(bad) == len(takes):
        yield "every take of it that was posted is marked no good: which one is in the can?"
    elif number in bad:
        yield f"take {number} is marked no good: is it the one in the can?{called}"
    elif number and number not in takes:
        others = f"; posted: {', '.join(takes)}" if takes else ""
        yield f"take {number} of it was never posted, so nobody has said it is good{others}"


def _of_its_builds(standing: Standing, about: str) -> Iterator[str]:
    if about not in standing.outline.pieces:
        return
    direct = standing.outline.pieces[about].waits
    unmade = [
        each.id
        for each in stood_before(standing.outline, about)
        if each.id in direct and not each.shot and not standing.is_made(each.id)
    ]
    if unmade:
        named = ", ".join(f"{each} ({standing.words(each)})" for each in unmade[:MOST_NAMED])
        more = f" and {len(unmade) - MOST_NAMED} more" if len(unmade) > MOST_NAMED else ""
        yield f"it is told as photographed before what it is made of was there: {named}{more}"
