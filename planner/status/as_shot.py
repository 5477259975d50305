"""The show as it was cut when what stands was photographed, and what film need not be bought again.

Takes a show, what was made of it and the facts that rested on, gives shows with the cuts of then;
and of estimates of now and of then, those by which a bid buys no frame twice: what is in hand keeps
its footage, and only frames that were not scanned are. Knows nothing of money or events.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.kinds import Phase
from planner.kinds.estimate import FLOOR
from planner.model.quantity import Quantity
from planner.status.its_frames import beyond, wanted_of
from planner.status.rested import facts_of, frames_of
from planner.status.shifted import number

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from planner.estimate import Estimates
    from planner.kinds import Charge, Estimate
    from planner.model.facts import Facts, FrameRange, Value
    from planner.model.show import Element, Shot, Show

SCANS = "scans"
_OF_THE_NEGATIVE = FLOOR | {Phase.LAB}


@dataclass(frozen=True, slots=True)
class Then:
    """A show with the cuts of then.

    Attributes:
        show: with them.
        ids: of what was photographed for them.
    """

    show: Show
    ids: frozenset[str]


def as_shot(show: Show, made: Mapping[str, Mapping[str, str]]) -> Iterator[Then]:
    """Shows with the cuts for which pieces were photographed, where those are others now.

    Most often there is one; more where pieces of one shot were photographed for several cuts.

    Args:
        show: as it is.
        made: facts that each photographed piece rested on, by its id.
    """
    rest = {id_: was for id_, was in made.items() if _differs(show, show.elements[id_], was)}
    while rest:
        shots, elements = dict(show.shots), dict(show.elements)
        taken: dict[str, Mapping[str, str]] = {}
        for id_, was in rest.items():
            element = elements[id_]
            first = next((e for e in taken if elements[e].shot == element.shot), None)
            if first is not None and _cut(taken[first]) != _cut(was):
                continue
            taken[id_] = was
            shots[element.shot] = _shot(show.shots[element.shot], was)
            elements[id_] = replace(element, facts=_in_frame(element.facts, was))
        rest = {id_: was for id_, was in rest.items() if id_ not in taken}
        then = replace(show, shots=MappingProxyType(shots), elements=MappingProxyType(elements))
        yield Then(then, frozenset(taken))


def _cut(facts: Mapping[str, str]) -> tuple[str, str]:
    return facts.get("shot cut", ""), facts.get("shot speed", "")


def _differs(show: Show, element: Element, was: Mapping[str, str]) -> bool:
    if not element.shot or frames_of(was.get("shot cut", "")) is None:
        return False
    now = facts_of(show, element)
    return _cut(now) != _cut(was) or now.get("in_frame", "") != was.get("in_frame", "")


def _shot(shot: Shot, was: Mapping[str, str]) -> Shot:
    speed = number(was, "shot speed")
    stated = None if speed is None else Quantity("speed", speed, "1")
    return replace(shot, cut=frames_of(was["shot cut"]), facts=_with(shot.facts, "speed", stated))


def _in_frame(facts: Facts, was: Mapping[str, str]) -> Facts:
    return _with(facts, "in_frame", frames_of(was.get("in_frame", "")))


def _with(facts: Facts, name: str, value: Value | None) -> Facts:
    values = {each: known for each, known in facts.values.items() if each != name}
    if value is not None:
        values[name] = value
    return replace(facts, values=MappingProxyType(values))


def with_film_in_hand(
    show: Show,
    estimates: Estimates,
    then: Mapping[str, Estimate],
    scanned: Mapping[str, FrameRange],
) -> dict[str, Estimate]:
    """Estimates by which what stands keeps the work and film that it was photographed with, by id.

    Args:
        show: as it is.
        estimates: of it.
        then: estimates of what stands, by id, of the cut it was photographed for.
        scanned: frames told as scanned of it, where somebody told them.
    """
    found = {}
    for id_, was in then.items():
        wanted = wanted_of(facts_of(show, show.elements[id_]))
        told = scanned.get(id_)
        new = sum(beyond(wanted, told)) if wanted is not None and told is not None else 0
        found[id_] = _in_hand(estimates.by_element[id_], was, new)
    return found


def _in_hand(now: Estimate, was: Estimate, new: int) -> Estimate:
    works = {work.name: work for work in was.work if work.phase in _OF_THE_NEGATIVE}
    charges = {each.name: each for each in was.charges if each.phase in _OF_THE_NEGATIVE}
    return replace(
        portable(now),
        work=tuple(works.get(work.name, work) for work in now.work),
        charges=tuple(_bought(charges.get(each.name, each), was, new) for each in now.charges),
    )


def portable(estimate: Estimate) -> Estimate:
    """The same for another process, which no view of a mapping reaches."""
    return replace(estimate, quantities=dict(estimate.quantities))


def _bought(charge: Charge, was: Estimate, new: int) -> Charge:
    """A purchase of then, with so many frames more of scans for each pass."""
    frames = was.quantities.get("frames")
    if charge.name != SCANS or not new or frames is None or frames.value <= 0:
        return charge
    first = charge.quantity
    more = Quantity("frames not scanned yet", new, "1", reason="wanted, in hand, not scanned")
    value = first.value + new * first.value / frames.value
    scans = Quantity(
        first.name, value, first.unit, reason="as scanned + what is new", inputs=(first, more)
    )
    return replace(charge, quantity=scans)
