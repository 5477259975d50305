"""The stage order: asked, solved and dated.

Takes a show, its graph and its estimates, gives a `StageOrder`. Knows nothing of money sums or
pages.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.order.dating import dated, unanswered
from planner.order.question import ask
from planner.schedule import Budget, solve

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.estimate import Estimates
    from planner.graph import ElementGraph
    from planner.model.show import Show
    from planner.order.stage_order import StageOrder
    from planner.schedule import Answer, Instance


# Common practice here: about five seconds of trials, and the constraint solver where it pays.
CALLS_TRIED = 450_000
FEW_CALLS = 150


def usual_budget(calls: int, seed: int = 0) -> Budget:
    """Trials that take about five seconds whatever the size of the show; repeatable."""
    tries = min(2_000, max(20, CALLS_TRIED // max(calls, 1)))
    return Budget(evaluations=tries, effort=2.0 if calls <= FEW_CALLS else None, seed=seed)


def arrange(
    show: Show,
    graph: ElementGraph,
    estimates: Estimates,
    budget: Callable[[int], Budget] = usual_budget,
    search: Callable[[Instance, Budget], Answer] = solve,
) -> StageOrder:
    """Date every stretch of work; what cannot be ordered at all is told in the order's problems.

    Args:
        show: the show.
        graph: its element graph.
        estimates: what its elements need.
        budget: how long to improve on the first feasible order, by the number of its calls.
        search: finds the answer.

    Raises:
        RuntimeError: the solver's answer breaks a rule; a fault of ours, never of the show's.
    """
    question = ask(show, graph, estimates)
    try:
        answer = search(question.instance, budget(len(question.instance.activities)))
    except ValueError:
        return unanswered(show, question)
    return dated(show, graph, question, answer)
