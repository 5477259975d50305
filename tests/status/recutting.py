"""The small show made ready to be recut, with what happened told in events."""

from __future__ import annotations

from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from planner.bid import price
from planner.estimate import apply_waivers, estimate_show
from planner.graph import build_graph
from planner.kinds import Registry
from planner.order import arrange
from planner.schedule import Budget
from planner.status import Standing, states_of
from planner.status.outlining import outline
from planner.status.recut import Asked, Priced, Recut, Situation, recut
from planner.status.recut_frames import Floor
from planner.status.recut_money import spent_by_work, still_called
from planner.status.remaining import remaining
from planner.text.show_folder import load_show

if TYPE_CHECKING:
    from planner.ledger import Basis, Event
    from planner.model.cut import CutChange
    from planner.model.show import Show
    from planner.order import StageOrder
    from planner.status.recut_frames import ElementAfter
    from tests.conftest import ShowFolder

ASKED = Asked(date(2027, 3, 9), "the editor")


def situation(folder: ShowFolder, *told: Event, bases: tuple[Basis, ...] = ()) -> Situation:
    kinds = Registry()
    show, problems = load_show(folder.path, kinds)
    assert show is not None
    assert [each for each in problems if each.severity == 0] == []
    graph, _ = build_graph(show)
    estimates = estimate_show(show, graph, kinds)
    standing = Standing(outline(show, graph, estimates), states_of(told))
    left = remaining(estimates, standing, lambda _: 0.0)
    order = arrange(show, graph, estimates, lambda _: Budget(evaluations=5))
    called = partial(still_called, order=order, left=left)
    priced = _priced(show, called(show))
    events: dict[str, list[Event]] = {}
    for each in told:
        events.setdefault(each.about, []).append(each)
    spent = spent_by_work(priced.bid, estimates, left, standing)
    floor = Floor(standing, events, {each.mark: each for each in bases})
    return Situation(show, priced, lambda other: _priced(other, called(other)), floor, left, spent)


def _priced(show: Show, order: StageOrder) -> Priced:
    graph, problems = build_graph(show)
    estimates = estimate_show(show, graph, Registry())
    bid = price(show, estimates, order)
    judged = apply_waivers(show, (*problems, *estimates.problems, *bid.problems))
    return Priced(estimates, bid, (*judged.standing, *judged.told))


def recut_of(folder: ShowFolder, told: tuple[Event, ...], *changes: CutChange) -> Recut:
    return recut(situation(folder, *told), changes, ASKED)


def element(found: Recut, id_: str) -> ElementAfter:
    return next(each for shot in found.shots for each in shot.elements if each.id == id_)
