"""A question without an answer becomes findings, never a failure."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from planner.estimate import Estimates
from planner.graph import build_graph
from planner.kinds import Estimate, Registry
from planner.order.dating import unanswered
from planner.order.question import ask
from planner.schedule import Precedence
from planner.text.show_folder import load_show
from tests.order.test_arrange import work

if TYPE_CHECKING:
    from tests.conftest import ShowFolder


def test_work_that_waits_for_itself_is_told_with_its_place_and_what_to_let_go_of(
    show: ShowFolder,
) -> None:
    read, _problems = load_show(show.path, Registry())
    assert read is not None
    graph, _problems = build_graph(read)
    works = {"hill_town": (work("build it", 10, "model_making"),)}
    estimates = {id_: Estimate(id_, work=works.get(id_, ())) for id_ in read.elements}
    question = ask(read, graph, Estimates(estimates, {}, (), ()))
    (build,) = question.instance.activities
    ring = replace(build, after=(Precedence(build.id),))
    order = unanswered(
        read, replace(question, instance=replace(question.instance, activities=(ring,)))
    )
    assert order.calls == ()
    (problem,) = order.problems
    assert problem.code == "no-order"
    assert problem.about == "hill_town"
    assert problem.remedy == "let go of one of them: build it of hill_town"
