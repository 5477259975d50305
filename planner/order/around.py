"""Planning on around what is posted as lost: with what else will do, else once it is back.

Takes a show, its estimates and whom the loss meets, gives the same `WayOut` that a loss asked about
has, and a warning for what waits. Knows nothing of ledgers or solvers.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from typing import TYPE_CHECKING

from planner.model.facts import DateRange
from planner.model.place import Problem, Severity
from planner.order.lost import Loss, lost_for_good, without
from planner.order.ways_out import change, wait

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from datetime import date

    from planner.estimate import Estimates
    from planner.model.show import Show
    from planner.order.lost import Blow
    from planner.order.stage_order import Call, StageOrder
    from planner.order.ways_out import WayOut


@dataclass(frozen=True, slots=True)
class Missed:
    """A resource that is posted as lost, its return not yet.

    Attributes:
        id: of the resource.
        posted: day on which it was posted as lost.
        back: the first day on which it is held to be there again.
        is_stated: whether people posted that day; else it is assumed.
        until: the same as a clause, ``back 2027-04-16 as posted``.
    """

    id: str
    posted: date
    back: date
    is_stated: bool
    until: str


def losses_of(missed: Iterable[Missed], day: date) -> tuple[Loss, ...]:
    """Days from `day` on on which other things are taken instead.

    Where nobody says when a thing is back, nothing that can do without it is called on it at all.
    """
    return tuple(
        _away(each, day) if each.is_stated else lost_for_good(each.id, day) for each in missed
    )


def around(
    show: Show, estimates: Estimates, blow: Blow, missed: Sequence[Missed]
) -> tuple[WayOut, ...]:
    """Those met go on with what else will do by what they state; the others wait until it is back.

    Where people stated when all of it is back, the second way is that everybody waits for it.

    Args:
        show: as it is.
        estimates: as they are.
        blow: of the `losses_of` what is missed.
        missed: what is lost.
    """
    away = tuple(_away(each, blow.day) for each in missed)
    changed = change(show, estimates, estimates, blow)
    waited = wait(show, estimates, replace(blow, losses=away))
    if waited is None:
        raise ValueError("what comes back can be waited for")
    if changed is None:
        return (waited,)
    changed = replace(changed, show=without(show, away))
    return (changed, waited) if all(each.is_stated for each in missed) else (changed,)


def _away(missed: Missed, day: date) -> Loss:
    return Loss(missed.id, DateRange(day, max(day, missed.back - timedelta(days=1))))


def _needs(call: Call, id_: str) -> bool:
    """Whether nothing else would do for it."""
    return any(need.options == (id_,) for need in call.work.needs)


def waiting(show: Show, order: StageOrder, blow: Blow, missed: Missed) -> Iterator[Problem]:
    """A warning with the calls that wait for a thing, or that rest on when it is said to be back.

    What was not in the issued order waits for it where nothing else would do.

    Args:
        show: the show.
        order: planned around it.
        blow: whom the loss meets.
        missed: what is lost.
    """
    met, known_then = ({call.id for call in calls} for calls in (blow.met, blow.issued.calls))
    calls = [each for each in order.calls if missed.id in each.holds]
    waits = dict.fromkeys(each.id for each in calls if each.id in met)
    added = dict.fromkeys(
        f"{each.id} (not in order {blow.issued.stamp.number})"
        for each in calls
        if each.id not in known_then and _needs(each, missed.id)
    )
    if not waits and not added:
        return
    known = show.resources[missed.id]
    names = ", ".join((*waits, *added))
    day = (
        f"once it is back, `platewright post SHOW freed {missed.id}`"
        if missed.is_stated
        else f"post it as lost once more with `--value back={missed.back}`, or the day that is said"
    )
    yield Problem(
        Severity.WARNING,
        known.place,
        "waits-for-lost",
        f"{known.called} is lost, {missed.until}, and what cannot be done without it"
        f" waits until then: {names}",
        f"{day}; see `platewright order --without` for other ways out",
        missed.id,
    )
