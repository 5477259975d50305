"""A thing lost for some days, and whom that meets.

Takes a show, the order people work by and what is lost, gives the `Blow` and the show without it.
Knows nothing of ways out; see `ways_out`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.model.facts import DateRange, Facts
from planner.order.scarce import absences

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date

    from planner.model.show import Element, Show
    from planner.order.again import Started
    from planner.order.issued import IssuedCall, IssuedOrder


# Past the end of any show, and within the axis that questions are asked on.
_FOR_GOOD_DAYS = 20 * 366


@dataclass(frozen=True, slots=True)
class Loss:
    """Something that cannot be had on some days.

    Attributes:
        id: of a resource or a build.
        days: first and last, both counted.
        is_for_good: whether it never comes back; the last day is then a far one.
    """

    id: str
    days: DateRange
    is_for_good: bool = False


@dataclass(frozen=True, slots=True)
class Blow:
    """What is lost, and whom it meets.

    Attributes:
        losses: at least one.
        issued: the order people work by.
        day: the first that may still be planned.
        started: what has begun by then.
        calls: calls still to be done, wholly or in part, that hold what is lost; all later ones
            too, whether their days are lost or not, and those past that have not begun.
        met: those of them whose own days are lost; what is past is due on `day`.
    """

    losses: tuple[Loss, ...]
    issued: IssuedOrder
    day: date
    started: Started
    calls: tuple[IssuedCall, ...]
    met: tuple[IssuedCall, ...]

    @property
    def ids(self) -> frozenset[str]:
        """What is lost."""
        return frozenset(loss.id for loss in self.losses)

    @property
    def holding(self) -> tuple[IssuedCall, ...]:
        """Every call that holds what is lost, those long done included."""
        return tuple(call for call in self.issued.calls if self.ids & set(call.holds))


def lost_for_good(id_: str, first: date) -> Loss:
    """The loss of a thing that never comes back."""
    return Loss(id_, DateRange(first, first + timedelta(days=_FOR_GOOD_DAYS)), is_for_good=True)


def find_lost(show: Show, name: str) -> str:
    """Id of a resource or build by its id or title, however capitals stand; empty for none."""
    wanted = name.strip().casefold()
    for resource in show.resources.values():
        if wanted in {resource.id.casefold(), resource.title.casefold()}:
            return resource.id
    return next(
        (
            each.id
            for each in show.elements.values()
            if each.id.casefold() == wanted and not each.shot
        ),
        "",
    )


def blow_of(losses: tuple[Loss, ...], issued: IssuedOrder, day: date, started: Started) -> Blow:
    """Whom the losses meet in the order people work by."""
    ids = {loss.id for loss in losses}
    calls = tuple(
        call
        for call in issued.calls
        if ids & set(call.holds)
        and call.id not in started.over
        and (call.ends.date() >= day or call.id not in started.at)
    )
    met = tuple(call for call in calls if any(_meets(call, loss, day) for loss in losses))
    return Blow(losses, issued, day, started, calls, met)


def _meets(call: IssuedCall, loss: Loss, day: date) -> bool:
    """Whether a call's own days are lost; what is past and still to be done is due on `day`."""
    return (
        loss.id in call.holds
        and call.starts.date() <= loss.days.last
        and max(call.ends.date(), day) >= loss.days.first
    )


def without(show: Show, losses: Iterable[Loss]) -> Show:
    """The show with what is lost away on those days."""
    resources, elements = dict(show.resources), dict(show.elements)
    for loss in losses:
        known = resources.get(loss.id)
        if known is not None:
            resources[loss.id] = replace(known, away=(*known.away, loss.days))
        else:
            elements[loss.id] = _away_too(show, elements[loss.id], loss.days)
    return replace(show, resources=MappingProxyType(resources), elements=MappingProxyType(elements))


def _away_too(show: Show, element: Element, days: DateRange) -> Element:
    facts = element.facts
    stated = {**facts.values, "away": (*absences(show, element.id), days)}
    return replace(element, facts=Facts(facts.place, MappingProxyType(stated), facts.places))
