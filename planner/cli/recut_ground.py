"""What a new cut is judged on: the show as it stands, priced on an order that has its days.

Takes an opened show and the changes asked for, gives the `Situation` that the status room judges
them in. Writes nothing; a ledger or actuals.csv that cannot be read ends the command with code 1.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, TypeAlias

from planner.cli.opening import arrange_opened, arrange_whole, has_errors, tell
from planner.cli.told import judged_standing, told_of_opened

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from datetime import datetime
    from decimal import Decimal
    from pathlib import Path

    from planner.bid import Bid
    from planner.cli.opening import Effort, Opened
    from planner.cli.told import Told
    from planner.estimate import Estimates
    from planner.model.cut import CutChange
    from planner.model.show import Show
    from planner.order import StageOrder
    from planner.status import Standing
    from planner.status.recut import Priced, Situation
    from planner.status.recut_edits import Asked

    WorkOut: TypeAlias = Callable[[Show], Opened]
    """Graph and estimates of a show that is not written yet."""


def once_wanted(
    opened: Opened, work_out: WorkOut, changes: Sequence[CutChange], asked: Asked
) -> Opened:
    """The show once omitted shots are wanted again; as it is where none is.

    Only an order that has their days can price them; the others keep theirs in it.
    """
    from planner.model.cut import Act
    from planner.status.recut_edits import written

    back = [each for each in changes if each.act is Act.UN_OMIT]
    return work_out(written(opened.show, back, asked).show) if back else opened


def situation(
    opened: Opened, work_out: WorkOut, effort: Effort, then: tuple[datetime, Opened]
) -> Situation:
    """The show as it stands, priced on the days of an order of `then`, when and what is asked."""
    from planner.bid import price
    from planner.status.dates import hours_between
    from planner.status.recut import Situation
    from planner.status.recut_frames import Floor
    from planner.status.recut_money import spent_by_work, still_called
    from planner.status.remaining import remaining
    from planner.status.state import by_thing, in_force

    now, once = then
    told = told_of_opened(opened, None)
    passed = partial(hours_between, opened.show, last=now)
    _judged, standing = judged_standing(opened, told)
    left = remaining(opened.estimates, standing, passed)
    if once is not opened:
        left = _left_once(once, standing, left, passed)
    # What is wanted again is posted as omitted until that is accepted.
    order = (arrange_opened if once is opened else arrange_whole)(once, effort)
    called = partial(still_called, order=order, left=left)
    bid = price(opened.show, opened.estimates, called(opened.show))
    worked = spent_by_work(bid, opened.estimates, left, standing)
    bases = {each.mark: each for each in told.bases}
    ground = opened.show, opened.estimates, order
    past = _spent_before(opened, told, standing, ground)
    return Situation(
        opened.show,
        _priced(opened, called),
        lambda show: _priced(work_out(show), called),
        Floor(standing, by_thing(in_force(told.events)), bases),
        left,
        {**worked, **_posted(opened.folder, bid)},
        past,
        _order_words(order),
    )


def _order_words(order: StageOrder) -> str:
    """Which order it is, without what it costs."""
    is_known = order.is_issued or order.planned_from is not None
    return order.method.partition(";")[0] if is_known else "an order arranged from scratch"


def _spent_before(
    opened: Opened, told: Told, standing: Standing, ground: tuple[Show, Estimates, StageOrder]
) -> dict[str, Decimal]:
    """By element, what was spent on makings that counted no more before the change."""
    from planner.bid.done import past_of
    from planner.cli.done import done_of
    from planner.pages.bid_files import fetch_actuals

    postings, _problems = fetch_actuals(opened.folder)
    found: dict[str, Decimal] = {}
    for each in past_of(ground, done_of(opened, told, standing, ground[2]), postings):
        found[each.element] = found.get(each.element, each.cost - each.cost) + each.cost
    return found


def _left_once(
    once: Opened, standing: Standing, left: Estimates, passed: Callable[[datetime], float]
) -> Estimates:
    """The work left, that of shots which are wanted again included."""
    from planner.status.outlining import outline
    from planner.status.remaining import remaining

    back = {id_ for id_, each in once.show.shots.items() if each.is_live}
    wanted = {
        id_: replace(each, omitted=None) if id_ in back else each
        for id_, each in standing.states.items()
    }
    drawn = outline(once.show, once.graph, once.estimates)
    all_left = remaining(once.estimates, replace(standing, outline=drawn, states=wanted), passed)
    return replace(left, by_element=all_left.by_element)


def _priced(opened: Opened, called: Callable[[Show], StageOrder]) -> Priced:
    """A show priced on the days of an order that stands."""
    from planner.bid import price
    from planner.estimate import apply_waivers
    from planner.status.recut import Priced

    bid = price(opened.show, opened.estimates, called(opened.show))
    judged = apply_waivers(opened.show, (*opened.found, *bid.problems), more_to_come=True)
    return Priced(opened.estimates, bid, (*judged.standing, *judged.told))


def _posted(folder: Path, bid: Bid) -> dict[tuple[str, str], Decimal]:
    """What actuals.csv says was spent, by element and what is paid for."""
    from planner.bid.actuals import standing_of
    from planner.pages.bid_files import fetch_actuals

    postings, problems = fetch_actuals(folder)
    if has_errors(problems):
        tell(problems)
        sys.exit(1)
    if not postings:
        return {}
    standing, strays = standing_of(bid.lines, postings)
    tell(strays)
    return {(row.element, row.what): row.cost for row in standing.rows}
