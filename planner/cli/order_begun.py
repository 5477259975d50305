"""What has begun by a day: as posted to the show's ledger, else as the issued order called it.

Takes an opened show, the order people work by and events, gives `Started`. Building, joining and
the like are posted when they are over only: they count as begun while the order has them under way
and all that they wait for is posted as made.
"""

from __future__ import annotations

from datetime import datetime, time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from planner.cli.opening import Opened
    from planner.cli.told import Told
    from planner.kinds import Work
    from planner.order import IssuedCall, IssuedOrder, Started
    from planner.status import Piece, State


def started(opened: Opened, issued: IssuedOrder, day: date, told: Told) -> Started:
    """What has begun by a day.

    Args:
        opened: the show.
        issued: the order people work by.
        day: the first that may still be planned; what was posted later is left aside.
        told: what is posted; where none of it tells of work, the dates of the order are all there
            is to go by. What is dead since facts changed has not begun again.
    """
    from planner.cli.told import judged_standing, until
    from planner.order import Started, started_by_dates
    from planner.status.unposted import tells_of_work, under_way, untold, wants_lost

    told = until(told, day)
    if not told.events:
        return started_by_dates(issued, day)
    _judged, stands = judged_standing(opened, told)
    if not tells_of_work(stands):
        return started_by_dates(untold(issued, stands), day)
    calls = {call.id: call for call in issued.calls}
    on_its_way = under_way(issued, day, opened.estimates, stands)
    at: dict[str, datetime] = {}
    done: set[str] = set()
    for id_, estimate in opened.estimates.by_element.items():
        piece = stands.outline.pieces.get(id_)
        if piece is None or not estimate.work:
            continue
        mine = {work.name: calls.get(f"{id_}/{work.name}") for work in estimate.work}
        going_on = frozenset(name for name in mine if f"{id_}/{name}" in on_its_way)
        over, begun = _progress(piece, stands.of(id_), estimate.work, going_on)
        if wants_lost(id_, stands):
            begun = frozenset()
        again = _to_be_done_again(issued, id_, stands.of(id_))
        over, begun = over - again, begun - again
        done |= {f"{id_}/{name}" for name in over}
        at |= {
            f"{id_}/{name}": _began(call, stands.of(id_), day)
            for name, call in mine.items()
            if name in over or (name in begun and call is not None and call.starts.date() < day)
        }
    lost = frozenset(id_ for id_, state in stands.states.items() if state.lost is not None)
    return Started(at, frozenset(done), is_posted=True, lost=lost)


def _to_be_done_again(issued: IssuedOrder, id_: str, state: State) -> frozenset[str]:
    """Names of the work of one piece that an order calls once more, and nothing posted tells of.

    What is posted from before that order was planned is of the first time.
    """
    since, planned = state.since, issued.stamp.planned_from
    if planned is None or since is None or since.date() >= planned:
        return frozenset()
    ids = (each.id.partition("/") for each in issued.redone)
    return frozenset(work for element, _slash, work in ids if element == id_)


def _progress(
    piece: Piece, state: State, works: Sequence[Work], going_on: frozenset[str]
) -> tuple[frozenset[str], frozenset[str]]:
    """Names of the work of one piece that is over, and of what is under way."""
    from planner.kinds.estimate import FLOOR
    from planner.status import Step
    from planner.status.remaining import work_left
    from planner.status.unposted import waited_for

    left = {work.name for work in work_left(piece, state, tuple(works))}
    over = {work.name for work in works} - left
    floor = {work.name for work in works if work.phase in FLOOR}
    begun = set(going_on)
    # Where a take is wanted, what was called for it is past: it is called again, unless it goes on.
    if state.step in {Step.ON_STAGE, Step.SHOOTING} and not (state.dead or state.wants_take):
        begun |= {
            work.name for work in works if work.name in floor & left and not left & {*work.after}
        }
    before = waited_for(works, over | begun)
    return frozenset(over | before), frozenset(begun - before)


def _began(call: IssuedCall | None, state: State, day: date) -> datetime:
    """When work began: where the order called it, or when it was posted if that was sooner."""
    if call is not None and call.starts.date() < day:
        return call.starts
    if state.since is not None:
        return state.since.replace(tzinfo=None)
    return datetime.combine(day, time())
