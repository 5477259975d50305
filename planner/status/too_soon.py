"""Composites approved before what they join was there: what they wait for is still to come.

Takes where every piece stands, gives the same without such approvals. Leave, choices and tests are
no pieces: whoever approved the shot did without them. A version that is posted was joined of what
there was, whether or not somebody posted that as well.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from planner.status.standing import is_far_enough

if TYPE_CHECKING:
    from datetime import datetime

    from planner.status.standing import Standing


def without_early(standing: Standing) -> Standing:
    """Where pieces stand; composites of no version count as approved once all they join is there.

    What was there at the time and came back since, refused or lost, leaves an approval alone.
    """
    early = {}
    for sink in standing.outline.shots.values():
        state = standing.states.get(sink)
        ruling = state.ruling if state else None
        if state is None or ruling is None or not ruling.is_approval or state.takes:
            continue
        waits = standing.outline.pieces[sink].waits
        if any(_was_missing(standing, id_, ruling.at) for id_ in waits):
            early[sink] = state.before_its_pieces()
    return replace(standing, states={**standing.states, **early}) if early else standing


def _was_missing(standing: Standing, id_: str, at: datetime) -> bool:
    """Whether a piece had not come as far as others need, as far as is known by now."""
    piece, state = standing.outline.pieces[id_], standing.of(id_)
    if piece.is_asked or not standing.is_wanted(id_) or state.dead or state.work:
        return False
    if state.lost is not None:
        return state.lost.since <= at
    if state.is_refused and state.ruling is not None:
        return state.ruling.at <= at
    return not is_far_enough(piece, state)
