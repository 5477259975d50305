"""Agreement of a shot: whether its pieces look as if photographed together.

Takes a show, its graph and the estimates of its elements, gives findings that name two pieces and
by how much they differ, in pixels, stops, degrees, metres or frames. Knows nothing of schedules or
money.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.estimate.agreement.camera import check_camera
from planner.estimate.agreement.chosen import check_chosen
from planner.estimate.agreement.hand_over import check_hand_overs
from planner.estimate.agreement.hidden import check_hidden
from planner.estimate.agreement.moves import check_moves
from planner.estimate.agreement.picture import check_picture
from planner.estimate.agreement.pieces import common_of, joined_in, joined_of
from planner.estimate.agreement.rules import RULES
from planner.estimate.agreement.time import check_time

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from planner.estimate.agreement.pieces import Joined
    from planner.estimate.memory import Memory
    from planner.graph import ElementGraph
    from planner.kinds import Estimate
    from planner.model.place import Problem
    from planner.model.show import Show

__all__ = ["RULES", "disagreements", "disagreements_again"]


def disagreements(
    show: Show, graph: ElementGraph, by_element: Mapping[str, Estimate]
) -> tuple[Problem, ...]:
    """What is out of step in every live shot.

    Each piece is held against the shot's one camera, light and wind where they are stated, else
    against the first piece that states them; so are two pieces that pass beside the shot's own and
    not beside one another. Subjects handed from one element to another are followed across shots.

    Args:
        show: the show.
        graph: its element graph.
        by_element: estimates of all elements, by id.

    Returns:
        Warnings; cost linear in elements and references, quadratic in the differing cameras of one
        shot.
    """
    shots = tuple(joined_of(show, graph, by_element))
    problems = [problem for joined in shots for problem in _within(joined)]
    return (*problems, *check_hand_overs(show, shots))


def disagreements_again(
    show: Show, graph: ElementGraph, by_element: Mapping[str, Estimate], memory: Memory
) -> tuple[Problem, ...]:
    """The same, by looking only at shots of which something has changed.

    Args:
        show: the show, which `memory` has begun with.
        graph: its element graph.
        by_element: estimates of all elements, by id.
        memory: of the same show as it was.
    """
    noting, held = memory.show, memory.estimates(by_element)
    common = memory.answer("common", "", lambda: common_of(noting))

    def look(ends: tuple[str, str]) -> tuple[Joined | None, tuple[Problem, ...]]:
        memory.look(("common", ""))
        joined = joined_in(noting, graph, held, ends[0], common)
        return joined, tuple(_within(joined)) if joined is not None else ()

    shots: list[Joined] = []
    problems: list[Problem] = []
    for _ends, (joined, found) in memory.answers("shot", graph.composites.items(), look):
        problems += found
        if joined is not None:
            shots.append(joined)
    return (*problems, *check_hand_overs(show, shots))


def _within(joined: Joined) -> Iterator[Problem]:
    for check in (
        check_camera,
        check_moves,
        check_time,
        check_picture,
        check_chosen,
        check_hidden,
    ):
        yield from check(joined)
