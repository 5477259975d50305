"""A show with two stages on disk, and the question its work makes, for tests of planning again."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from planner.estimate import Estimates
from planner.graph import build_graph
from planner.kinds import Estimate, Need, Registry
from planner.order import Stamp, Terms, arrange, ask, issue, rearrange, started_by_dates
from planner.schedule import Budget
from planner.text.show_folder import load_show
from tests.order.test_arrange import work

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.graph import ElementGraph
    from planner.kinds import Work
    from planner.model.show import Show
    from planner.order import IssuedOrder, StageOrder
    from tests.conftest import ShowFolder

EITHER = (Need("stage", ("north", "south")),)
STAMP = Stamp(1, date(2027, 2, 26), "the manager", "", "0", 0, "")
BUDGET = Budget(evaluations=60)


@dataclass(frozen=True, slots=True)
class Floor:
    """A show and what its elements need."""

    show: Show
    graph: ElementGraph
    estimates: Estimates

    def arranged(self) -> StageOrder:
        return arrange(self.show, self.graph, self.estimates, lambda _calls: BUDGET)

    def issued(self) -> IssuedOrder:
        return issue(self.arranged(), self.show.title, STAMP)

    def again(self, issued: IssuedOrder, day: date, held_until: date | None = None) -> StageOrder:
        question = ask(self.show, self.graph, self.estimates)
        terms = Terms(day, started_by_dates(issued, day), held_until, BUDGET)
        return rearrange(self.show, self.graph, question, issued, terms)

    def needing(self, works: Mapping[str, tuple[Work, ...]]) -> Floor:
        by_element = {id_: Estimate(id_, work=works.get(id_, ())) for id_ in self.show.elements}
        return replace(self, estimates=Estimates(by_element, {}, (), ()))


def floor_of(folder: ShowFolder, works: Mapping[str, tuple[Work, ...]]) -> Floor:
    """As its files now stand."""
    show, problems = load_show(folder.path, Registry())
    assert problems == ()
    assert show is not None
    graph, _problems = build_graph(show)
    return Floor(show, graph, Estimates({}, {}, (), ())).needing(works)


def with_south(folder: ShowFolder, north: str = "", south: str = "") -> None:
    """A second stage, and facts of either."""
    folder.replace(
        "resources.yaml",
        "  north: {width: 18 m, depth: 24 m, height: 7 m}\n",
        f"  north: {{width: 18 m, depth: 24 m, height: 7 m{north}}}\n"
        f"  south: {{width: 18 m, depth: 24 m, height: 7 m{south}}}\n",
    )


def usual_work() -> dict[str, tuple[Work, ...]]:
    """A day of building, a day of photography on either stage, half a day of joining."""
    return {
        "hill_town": (work("build it", 10, "model_making"),),
        "HL010.town": (work("photograph", 10, needs=EITHER, set_up="town"),),
        "HL010.final": (work("join", 5, "compositing"),),
    }
