"""Things carried from stage to stage in an order though nobody says what that takes.

Takes a show and dated calls, gives a note for each such thing. Knows nothing of solvers.
"""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise
from typing import TYPE_CHECKING

from planner.model.place import Problem, Severity
from planner.order.scarce import capacity

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from planner.model.show import Element, Resource, Show
    from planner.order.stage_order import Call


def carry_notes(show: Show, calls: Iterable[Call]) -> Iterator[Problem]:
    """One note for all rigs and builds that are carried, and state no ``move_time``.

    Of several alike none is carried, as one may be on either stage. A stated time of nothing is
    enough.

    Args:
        show: the show.
        calls: by start.
    """
    carries = {
        id_: [(was, then) for was, then in pairwise(mine) if was.stage != then.stage]
        for id_, mine in _calls_in_turn(show, calls).items()
    }
    carried = sorted((id_ for id_ in carries if carries[id_]), key=lambda id_: -len(carries[id_]))
    if not carried:
        return
    first = _known(show, carried[0])
    said = "; ".join(f"{id_} {_carried_words(carries[id_])}" for id_ in carried)
    yield Problem(
        Severity.NOTE,
        first.place if first else show.facts.place,
        "move-time-assumed",
        f"carried from one stage to another, and nothing says how long that takes: {said}; the"
        " order takes it to need no time",
        "state `move_time` of each, such as 2 h, in builds.yaml or resources.yaml; 0 h where it is"
        " nothing",
    )


def _calls_in_turn(show: Show, calls: Iterable[Call]) -> Mapping[str, list[Call]]:
    """Per thing that takes an unknown time to carry, its calls on stages in turn."""
    found: defaultdict[str, list[Call]] = defaultdict(list)
    for call in calls:
        for id_ in call.holds if call.stage else ():
            if _is_untold(show, id_):
                found[id_].append(call)
    return found


def _is_untold(show: Show, id_: str) -> bool:
    """Whether there is one of a rig or build, and nothing says what carrying it takes."""
    known = _known(show, id_)
    if known is None or capacity(show, id_) != 1:
        return False
    is_fixed = id_ in show.resources and show.resources[id_].sort != "rig"
    return not is_fixed and not known.facts.has("move_time")


def _known(show: Show, id_: str) -> Resource | Element | None:
    return show.resources.get(id_) or show.elements.get(id_)


def _carried_words(carries: Sequence[tuple[Call, Call]]) -> str:
    """How often, and the two calls that the first time lies between."""
    was, then = carries[0]
    between = f"{was.element}, {was.work.name} and {then.element}, {then.work.name}"
    count = len(carries)
    if count == 1:
        return f"once, between {between}"
    return f"{'twice' if count == 2 else f'{count} times'}, first between {between}"
