"""Running the kinds over a show: unread elements, show's own rules, scale windows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.estimate import estimate_show
from planner.graph import build_graph
from planner.kinds import Registry
from planner.text.show_folder import load_show

if TYPE_CHECKING:
    from planner.estimate import Estimates
    from tests.conftest import ShowFolder


def estimates_of(show: ShowFolder) -> Estimates:
    kinds = Registry()
    read, _problems = load_show(show.path, kinds)
    assert read is not None
    graph, _graph_problems = build_graph(read)
    return estimate_show(read, graph, kinds)


def test_an_element_with_errors_in_its_text_is_not_judged_and_the_rest_is(show: ShowFolder) -> None:
    show.replace("sequences/hill.yaml", "nearest: 40 m", "nearest: 40 kg")
    estimates = estimates_of(show)
    assert estimates.by_element["HL010.town"].work == ()
    assert estimates.by_element["hill_town"].work != ()


def test_a_show_puts_its_own_figure_in_place_of_a_rule(show: ShowFolder) -> None:
    def set_up_hours() -> float:
        (work,) = [
            w for w in estimates_of(show).by_element["HL010.town"].work if w.name == "set up"
        ]
        return work.hours.likely

    before = set_up_hours()
    own = "rules: {miniature.set_up: {low: 20, likely: 21, high: 30, by: the gaffer}}\n"
    show.replace("show.yaml", "handles: 8\n", f"handles: 8\n{own}")
    assert before != 21
    assert set_up_hours() == 21


def test_a_misspelt_rule_is_told_with_the_nearest(show: ShowFolder) -> None:
    show.replace("show.yaml", "handles: 8\n", "handles: 8\nrules: {miniature.setup: {likely: 4}}\n")
    (problem,) = [each for each in estimates_of(show).problems if each.code == "rule-unknown"]
    assert problem.remedy == "did you mean miniature.set_up?"
    assert problem.place.line == 5


def test_bounds_of_every_user_make_the_window_of_a_build(show: ShowFolder) -> None:
    window = estimates_of(show).windows["hill_town"]
    assert {bound.element for bound in window.bounds} == {"HL010.town"}
    assert window.at_least is not None
    assert window.at_most is not None
    assert window.at_most.limit.value == min(
        bound.limit.value for bound in window.bounds if not bound.at_least
    )


def test_a_scale_outside_the_window_is_told_at_the_scale(show: ShowFolder) -> None:
    show.replace("builds.yaml", "scale: 1/24", "scale: 1/400")
    problems = [each for each in estimates_of(show).problems if each.code == "scale-outside-window"]
    assert problems
    assert all((each.place.line, each.place.column) == (4, 12) for each in problems)


def test_what_a_build_is_asked_to_be_serves_when_built_as_written(show: ShowFolder) -> None:
    show.replace("builds.yaml", "scale: 1/24", "scale: 1/400")
    estimates = estimates_of(show)
    problems = [each for each in estimates.problems if each.code == "scale-outside-window"]
    broken = estimates.windows["hill_town"].broken_by(400)
    assert len(problems) == len(broken) > 0
    for problem, bound in zip(problems, broken, strict=True):
        assert problem.message.startswith("hill_town at 1:400 does not serve HL010.town, which")
        # All of these are the most N may be; what is written is that or less.
        wanted = float(problem.message.split("which needs 1:")[1].split(" or larger")[0])
        assert wanted <= bound.limit.value
