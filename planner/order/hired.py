"""Another hired in place of a thing that is lost.

Takes a show and the blow, gives the show as its files are once another is hired, written down and
named, and how it goes on so. Knows nothing of prices but that of the hire, or of solvers.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.model.facts import DateRange, Facts, Money
from planner.model.names import counted
from planner.model.show import Rate, Resource
from planner.order.goes_on import with_needs
from planner.order.lost import without
from planner.order.named_else import named_else
from planner.order.ways_out import NAMED, WayOut

if TYPE_CHECKING:
    from collections.abc import Collection
    from datetime import date

    from planner.estimate import Estimates
    from planner.model.facts import Value
    from planner.model.show import Element, Show
    from planner.order.issued import IssuedCall, IssuedOrder
    from planner.order.lost import Blow, Loss

HIRED = "hired_"
_BOUNDS = frozenset({"from", "until"})


@dataclass(frozen=True, slots=True)
class Offer:
    """What a hire is offered at.

    Attributes:
        price: of each thing a day; of a crew, of each head a day.
        heads: of a crew; None for as many as the one lost has.
    """

    price: Money
    heads: int | None = None


def with_hired(show: Show, blow: Blow, offer: Offer | None) -> Show | None:
    """The show as its files are once another like each thing lost is hired; None where none can be.

    Those whose days are lost name the stage, rig or camera that is hired and nothing else; any
    other piece may take it where it names none, as everything in the files may be taken. Rigs and
    screens that they are called with on the lost stage work on the hired one too. A build cannot be
    hired, nor a person for whom nobody stands in.

    Args:
        show: as it is.
        blow: what is lost.
        offer: where none is stated, a thing's own rate or the dearest of its sort, and a crew as
            many heads at the rate of their craft.
    """
    known = [each for loss in blow.losses if (each := show.resources.get(loss.id)) is not None]
    if len(known) < len(blow.losses) or not all(map(_has_like, known)):
        return None
    resources, rates = dict(show.resources), dict(show.rates)
    elements = dict(show.elements)
    for resource, loss in zip(known, blow.losses, strict=True):
        like = _like(resource, _days_hired(blow, loss, resource), offer)
        resources[like.id] = like
        paid = offer.price if offer else _usual_price(show, resource, loss.days.first)
        if paid is not None:
            amounts = ((show.calendar.starts, paid),)
            rates[like.id] = Rate(like.id, "day", amounts, "", resource.place)
        if resource.sort in NAMED:
            met = (call.element for call in blow.met if loss.id in call.holds)
            elements |= {id_: _naming(elements[id_], like) for id_ in met}
        if resource.sort == "stage":
            there = bound_to(show, blow, loss)
            resources |= {id_: _also_on(resources[id_], like) for id_ in there}
    return replace(
        show,
        resources=MappingProxyType(resources),
        rates=MappingProxyType(rates),
        elements=MappingProxyType(elements),
    )


def bound_to(show: Show, blow: Blow, loss: Loss) -> tuple[str, ...]:
    """Ids of things that work on stages stated of them alone, and are called to the lost one."""
    met = [call for call in blow.met if loss.id in call.holds]
    held = dict.fromkeys(id_ for call in met for id_ in call.holds if id_ in show.resources)
    return tuple(id_ for id_ in held if loss.id in stages_of(show.resources[id_]))


def stages_of(thing: Resource) -> tuple[str, ...]:
    """Ids of the stages that a thing is stated to work on; none where it works on any."""
    value = thing.facts.values.get("stages")
    return (value,) if isinstance(value, str) else thing.facts.words("stages")


def _also_on(thing: Resource, stage: Resource) -> Resource:
    facts = thing.facts
    values = {**facts.values, "stages": (*stages_of(thing), stage.id)}
    return replace(thing, facts=Facts(facts.place, MappingProxyType(values), facts.places))


def _naming(element: Element, thing: Resource) -> Element:
    """An element that states one thing and nothing else that would do."""
    facts = element.facts
    values = {**facts.values, thing.sort: thing.id}
    return replace(element, facts=Facts(facts.place, MappingProxyType(values), facts.places))


def hire(hired: Show, opened: Estimates, blow: Blow, show: Show) -> WayOut:
    """Another like each thing lost, for those whose days are lost.

    What began with a thing that is lost goes on as planning again has it go on once its element
    names what is hired.

    Args:
        hired: the show `with_hired`.
        opened: estimates of that.
        blow: what is lost.
        show: as it is.
    """
    known = [show.resources[loss.id] for loss in blow.losses]
    said = []
    for resource, loss in zip(known, blow.losses, strict=True):
        like = hired.resources[f"{HIRED}{resource.id}"]
        rate = hired.rates.get(like.id)
        paid = rate.on(loss.days.first) if rate is not None else None
        said.append(
            f"{like.title}{_at(like, paid)}{_instead(show, resource, paid, loss.days.first)}"
        )
    now = named_else(hired, opened, blow.issued, blow.started, blow.day)
    # Whoever else holds what is lost waits for it; hands and the like are named by no element.
    unnamed = {each.id for each in known if each.sort not in NAMED}
    done = frozenset(now.started.at) - {call.id for call in blow.met} if unnamed else frozenset()
    beside = with_needs(
        now.estimates,
        blow,
        done,
        lambda _need, held: (f"{HIRED}{held}" if held in unnamed else held,),
    )
    says = f"hire {' and '.join(said)}"
    crews = frozenset(each.id for each in known if each.sort == "crew")
    issued = _with_hired_hands(blow, crews)
    return WayOut(
        "hire", says, without(hired, blow.losses), beside, now.started, issued, now.redone
    )


def _days_hired(blow: Blow, loss: Loss, resource: Resource) -> DateRange:
    """Those lost, and for as long as what meets them takes: begun before, or over after.

    A thing is not there before the first day that may be planned: what began without it goes on
    with it.
    """
    met = [call for call in blow.met if loss.id in call.holds]
    first = min((call.starts.date() for call in met), default=loss.days.first)
    last = max((call.ends.date() for call in met), default=loss.days.last)
    if resource.sort in NAMED:
        first = max(first, blow.day)
    return DateRange(min(first, loss.days.first), max(last, loss.days.last))


def _with_hired_hands(blow: Blow, crews: Collection[str]) -> IssuedOrder:
    """The order with the hired hands on what those lost were called for on the days lost.

    Work names its craft and not its crew, so that the call alone says whose hands are on it.
    """

    def now(call: IssuedCall) -> IssuedCall:
        holds = (f"{HIRED}{each}" if each in crews else each for each in call.holds)
        return replace(call, holds=tuple(holds)) if call in met else call

    met = frozenset(blow.met)
    return replace(blow.issued, calls=tuple(map(now, blow.issued.calls)))


def _has_like(resource: Resource) -> bool:
    return resource.sort != "person" or bool(resource.facts.word("stand_in").strip())


def _like(resource: Resource, days: DateRange, offer: Offer | None) -> Resource:
    """Another: hands for so many days, a thing from the first of them for as long as it is used."""
    facts = resource.facts
    values: dict[str, Value] = {k: v for k, v in facts.values.items() if k not in _BOUNDS}
    capacity = resource.capacity
    if resource.sort in NAMED:
        values["from"] = days.first
    if resource.sort == "crew":
        values |= {"from": days.first, "until": days.last}
        capacity = (offer.heads if offer else None) or capacity
    title = f"another like {resource.title}"
    if resource.sort == "person":
        title = f"{facts.word('stand_in')} in place of {resource.title}"
    return replace(
        resource,
        id=f"{HIRED}{resource.id}",
        title=title,
        capacity=capacity,
        away=(),
        facts=Facts(facts.place, MappingProxyType(values), facts.places),
    )


def _usual_price(show: Show, resource: Resource, day: date) -> Money | None:
    """Its own rate by the day, else the dearest of its sort; a crew's is that of its craft."""
    if resource.sort == "crew":
        return None
    same = [resource, *show.resources_of(resource.sort)]
    rates = [show.rates.get(each.id) for each in same]
    sums = [rate.on(day) if rate and rate.per == "day" else None for rate in rates]
    if sums[0] is not None:
        return sums[0]
    return max((each for each in sums if each is not None), key=lambda m: m.amount, default=None)


def _instead(show: Show, resource: Resource, paid: Money | None, day: date) -> str:
    """What is not paid meanwhile, as nobody holds the lost one; the hire costs so much less."""
    if resource.sort == "crew":
        return ", in place of the rate of their craft" if paid is not None else ""
    rate = show.rates.get(resource.id)
    own = rate.on(day) if rate is not None and rate.per in {"day", "week"} else None
    if paid is None or rate is None or own is None:
        return ""
    is_same = rate.per == "day" and own == paid
    said = "the same" if is_same else f"{own} a {rate.per}"
    return f", in place of {said} for the lost one"


def _at(like: Resource, paid: Money | None) -> str:
    if like.sort == "crew":
        heads = f", {counted(like.capacity, 'head')}"
        return f"{heads} at {paid} a day each" if paid else f"{heads} at the rate of their craft"
    return f" at {paid} a day" if paid is not None else ", price not known: state it with --hire"
