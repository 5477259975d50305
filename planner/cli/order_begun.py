"""What has begun by a day: as posted to the show's ledger, else as the issued order called it.

Takes an opened show, the order people work by and events, gives `Started`. Building, joining and
the like are posted when they are over only: they count as begun while the order has them under way.
"""

from __future__ import annotations

from datetime import datetime, time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
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
    from planner.status.unposted import tells_of_work, untold

    told = until(told, day)
    if not told.events:
        return started_by_dates(issued, day)
    _judged, stands = judged_standing(opened, told)
    if not tells_of_work(stands):
        return started_by_dates(untold(issued, stands), day)
    calls = {call.id: call for call in issued.calls}
    at: dict[str, datetime] = {}
    done: set[str] = set()
    for id_, estimate in opened.estimates.by_element.items():
        piece = stands.outline.pieces.get(id_)
        if piece is None or not estimate.work:
            continue
        mine = {work.name: calls.get(f"{id_}/{work.name}") for work in estimate.work}
        over, begun = _progress(piece, stands.of(id_), estimate.work, _going_on(mine, day))
        done |= {f"{id_}/{name}" for name in over}
        at |= {
            f"{id_}/{name}": _began(call, stands.of(id_), day)
            for name, call in mine.items()
            if name in over or (name in begun and call is not None and call.starts.date() < day)
        }
    return Started(at, frozenset(done), is_posted=True)


def _going_on(calls: Mapping[str, IssuedCall | None], day: date) -> frozenset[str]:
    """Work that the order has under way when a day begins."""
    from planner.status.unposted import is_under_way

    return frozenset(
        name for name, call in calls.items() if call is not None and is_under_way(call, day)
    )


def _progress(
    piece: Piece, state: State, works: Sequence[Work], going_on: frozenset[str]
) -> tuple[frozenset[str], frozenset[str]]:
    """Names of the work of one piece that is over, and of what is under way."""
    from planner.kinds import Phase
    from planner.status import Step
    from planner.status.remaining import work_left

    left = {work.name for work in work_left(piece, state, tuple(works))}
    over = {work.name for work in works} - left
    floor = {work.name for work in works if work.phase in {Phase.STAGE, Phase.LOCATION}}
    begun = (going_on & left) - floor
    if state.wants_take:
        # What was called for it is past: it is called again, unless it goes on that day.
        begun |= going_on & left & floor
    elif state.step in {Step.ON_STAGE, Step.SHOOTING} and not state.dead:
        begun |= {
            work.name for work in works if work.name in floor & left and not left & {*work.after}
        }
    waited_for = _before(works, over | begun)
    return frozenset(over | waited_for), frozenset(begun - waited_for)


def _before(works: Sequence[Work], names: set[str]) -> set[str]:
    """All that some work of a piece waited for."""
    after = {work.name: work.after for work in works}
    found: set[str] = set()
    ahead = list(names)
    while ahead:
        new = set(after.get(ahead.pop(), ())) - found
        found |= new
        ahead += new
    return found


def _began(call: IssuedCall | None, state: State, day: date) -> datetime:
    """When work began: where the order called it, or when it was posted if that was sooner."""
    if call is not None and call.starts.date() < day:
        return call.starts
    if state.since is not None:
        return state.since.replace(tzinfo=None)
    return datetime.combine(day, time())
