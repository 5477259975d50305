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
    from collections.abc import Iterable, Iterator, Mapping

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
    times = {
        id_: sum(before != after for before, after in pairwise(stages))
        for id_, stages in _stages_in_turn(show, calls).items()
    }
    carried = sorted((id_ for id_, count in times.items() if count), key=lambda id_: -times[id_])
    if not carried:
        return
    first = _known(show, carried[0])
    said = ", ".join(f"{id_} {_times(times[id_])}" for id_ in carried)
    yield Problem(
        Severity.NOTE,
        first.place if first else show.facts.place,
        "move-time-assumed",
        f"carried from one stage to another, and nothing says how long that takes: {said}; the"
        " order takes it to need no time",
        "state `move_time` of each, such as 2 h, in builds.yaml or resources.yaml; 0 h where it is"
        " nothing",
    )


def _stages_in_turn(show: Show, calls: Iterable[Call]) -> Mapping[str, list[str]]:
    """Per thing that takes an unknown time to carry, the stages of its calls in turn."""
    stages: defaultdict[str, list[str]] = defaultdict(list)
    for call in calls:
        for id_ in call.holds if call.stage else ():
            if _is_untold(show, id_):
                stages[id_].append(call.stage)
    return stages


def _is_untold(show: Show, id_: str) -> bool:
    """Whether there is one of a rig or build, and nothing says what carrying it takes."""
    known = _known(show, id_)
    if known is None or capacity(show, id_) != 1:
        return False
    is_fixed = id_ in show.resources and show.resources[id_].sort != "rig"
    return not is_fixed and not known.facts.has("move_time")


def _known(show: Show, id_: str) -> Resource | Element | None:
    return show.resources.get(id_) or show.elements.get(id_)


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{count} times")
