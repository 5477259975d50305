"""The work that is left of every estimate.

Takes estimates and where every piece stands, gives estimates of what is still to be done: what the
stage order dates from today on. Knows nothing of dates.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from planner.kinds import Hours, Phase, Work
from planner.kinds.estimate import FLOOR
from planner.model.quantity import Quantity
from planner.status.mending import mending_work
from planner.status.outlining import PROVING
from planner.status.standing import is_far_enough
from planner.status.state import Step

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from datetime import datetime

    from planner.estimate import Estimates
    from planner.kinds import Estimate
    from planner.status.judging import Judgement
    from planner.status.outline import Piece
    from planner.status.standing import Standing
    from planner.status.state import State

COMING_BACK = "come back from the laboratory"


def remaining(
    estimates: Estimates, standing: Standing, passed: Callable[[datetime], float]
) -> Estimates:
    """Estimates with only the work that is left.

    What is on hold or lost keeps its work: it goes on, or begins again, once that is settled. Of
    what is in the can but not back from the laboratory, the rest of the wait is left.

    Args:
        estimates: of the whole show.
        standing: where every piece stands.
        passed: working hours since a moment.
    """
    left = {
        id_: _left(estimate, standing, passed) for id_, estimate in estimates.by_element.items()
    }
    return replace(estimates, by_element=left)


def _left(estimate: Estimate, standing: Standing, passed: Callable[[datetime], float]) -> Estimate:
    id_ = estimate.element
    if not estimate.work:
        return estimate
    if not standing.is_wanted(id_):
        return replace(estimate, work=())
    piece, state = standing.outline.pieces[id_], standing.of(id_)
    work = work_left(piece, state, estimate.work)
    if state.work:
        return replace(estimate, work=_mended(work, standing.judgements[id_], estimate))
    if not work and state.step is Step.IN_THE_CAN and state.since is not None:
        work = _on_its_way(estimate.work, passed(state.since))
    return replace(estimate, work=work)


def _mended(left: tuple[Work, ...], told: Judgement, estimate: Estimate) -> tuple[Work, ...]:
    """What makes it good again, before whatever else is left."""
    mending = mending_work(told, estimate.work)
    if mending is None:
        return left
    first = [replace(each, after=(*each.after, mending.name)) for each in left[:1]]
    return (mending, *first, *left[1:])


def _on_its_way(works: tuple[Work, ...], passed: float) -> tuple[Work, ...]:
    """The rest of the wait for the laboratory, as work of no length."""
    wait = max(work.wait_hours for work in works) - passed
    if wait <= 0:
        return ()
    reason = Quantity("hours until it is back", wait, "h", reason="laboratory and scanning")
    return (Work(COMING_BACK, "", Phase.LAB, Hours(0, 0, 0), reason, wait_hours=wait),)


def work_left(piece: Piece, state: State, works: tuple[Work, ...]) -> tuple[Work, ...]:
    """The stretches of one piece's work that are still to be done, in their order."""
    if state.dead:
        return works
    if state.lost is None and not state.is_refused and is_far_enough(piece, state):
        return ()
    hosts = {work.name: work for work in works}
    # Hands beside other work are wanted as long as that is.
    kept = [work for work in works if _is_left(piece, state, hosts.get(work.beside, work), works)]
    names = {work.name for work in kept}
    return tuple(
        replace(work, after=tuple(name for name in work.after if name in names)) for work in kept
    )


def _is_left(piece: Piece, state: State, work: Work, works: Iterable[Work]) -> bool:
    if work.phase is Phase.BUILD:
        is_undone = state.made < Step.BUILT or state.is_refused
        return is_undone or work.name.startswith(PROVING)
    if piece.shot_at is Step.APPROVED:
        return not (state.takes and _is_first(work, works))
    if work.phase not in FLOOR:
        return True
    if state.wants_take and not state.is_standing:
        # Nobody posted that it stands: it is set up again, as what was refused is.
        return True
    if state.step >= Step.SHOOTING:
        return state.step < Step.IN_THE_CAN and not _is_followed(work, works)
    return not (state.step is Step.SET_UP and _is_first(work, works))


def _is_first(work: Work, works: Iterable[Work]) -> bool:
    """Whether work begins the piece, and more of it follows."""
    return not work.after and _is_followed(work, works)


def _is_followed(work: Work, works: Iterable[Work]) -> bool:
    return any(work.name in each.after for each in works if each.phase is work.phase)
