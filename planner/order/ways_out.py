"""Ways out when something is lost: wait, make it again, go on with what else fits.

Takes a show, its estimates and the blow, gives for each way the show and the estimates as they
would be then. Knows nothing of prices or solvers; another is hired in `hired`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

from planner.model.facts import Facts
from planner.model.names import counted, title_of
from planner.order.goes_on import beside_them, done_again, still_begun, with_needs, with_work
from planner.order.lost import without

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Mapping
    from datetime import date

    from planner.estimate import Estimates
    from planner.kinds import Estimate
    from planner.model.place import Place
    from planner.model.show import Element, Show
    from planner.order.again import Started
    from planner.order.issued import IssuedCall, IssuedOrder
    from planner.order.lost import Blow

Name = Literal["wait", "hire", "rebuild", "change"]
AGAIN = "again_"
NAMED = ("stage", "rig", "camera")
"""Facts by which an element names what it wants, and which say nothing of the picture."""
_MOST_NAMED = 4


@dataclass(frozen=True, slots=True)
class SetAside:
    """A stage, rig or camera that an element states, and that a way does not go by.

    Attributes:
        element: id.
        fact: ``stage``, ``rig`` or ``camera``.
        stated: ids, as written.
        fitting: ids of all that fits where nothing is stated, the best-liked first.
        place: where it is written.
    """

    element: str
    fact: str
    stated: tuple[str, ...]
    fitting: tuple[str, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class WayOut:
    """One way to go on.

    Attributes:
        name: ``wait``, ``hire``, ``rebuild`` or ``change``.
        says: what is done, a sentence without its full stop.
        show: as it would be.
        estimates: as they would be.
        started: what still counts as begun; what must be set up again does not.
        issued: the order to plan on from, with hired hands in place of those lost.
        redone: ids of calls that were begun and are done once more.
        set_aside: what elements state and is not gone by, as nothing stated would do.
    """

    name: Name
    says: str
    show: Show
    estimates: Estimates
    started: Started
    issued: IssuedOrder
    redone: tuple[str, ...] = ()
    set_aside: tuple[SetAside, ...] = ()


def wait(show: Show, estimates: Estimates, blow: Blow) -> WayOut | None:
    """Everything stays with what it was to be done with, and waits until that is back.

    None where something never comes back.
    """
    if any(loss.is_for_good for loss in blow.losses):
        return None
    kept = with_needs(estimates, blow, frozenset(), lambda _need, held: (held,))
    says, now = "wait until it is back", without(show, blow.losses)
    return WayOut("wait", says, now, kept, blow.started, blow.issued)


def rebuild(show: Show, estimates: Estimates, blow: Blow) -> WayOut | None:
    """Each build lost is made again from the first day on, for those whose days are lost.

    It takes the work that making it took, and costs what that cost. Those who had begun with the
    one that is lost begin again with the new one. None where anything but builds is lost, or
    nothing says what making them takes.

    Args:
        show: as it is.
        estimates: as they are.
        blow: what is lost.
    """
    known = [estimates.by_element.get(loss.id) for loss in blow.losses]
    made = [each for each in known if each is not None and each.work]
    if len(made) < len(blow.losses):
        return None
    elements, by_element = dict(show.elements), dict(estimates.by_element)
    for estimate in made:
        new = _made_again(show.elements[estimate.element], blow.day)
        elements[new.id] = new
        by_element[new.id] = replace(estimate, element=new.id, problems=(), missing=())
    for id_ in dict.fromkeys(call.element for call in blow.met):
        elements[id_] = _waiting_for_new(elements[id_], blow)
    now = replace(show, elements=MappingProxyType(elements))
    met = {call.element for call in blow.met}
    begun = blow.started.at
    theirs = [call.id for call in blow.issued.calls if call.element in met and call.id in begun]
    again = beside_them(estimates, blow.issued, blow.started, theirs)
    started = done_again(blow.started, again)
    with_new = replace(estimates, by_element=MappingProxyType(by_element))
    kept = frozenset(started.at)
    needs = with_needs(with_new, blow, kept, lambda _need, held: (f"{AGAIN}{held}",))
    says = f"make {' and '.join(title_of(each.id, show) for each in blow.losses)} again"
    return WayOut("rebuild", says, without(now, blow.losses), needs, started, blow.issued, again)


def _made_again(element: Element, day: date) -> Element:
    """A build like another, to be made from a day on."""
    facts = Facts(element.facts.place, MappingProxyType({"not_before": day}), MappingProxyType({}))
    return replace(element, id=f"{AGAIN}{element.id}", facts=facts, references=())


def _waiting_for_new(element: Element, blow: Blow) -> Element:
    """An element that waits for what is made again, in place of what is lost."""
    references = tuple(
        replace(each, target=f"{AGAIN}{each.target}") if each.target in blow.ids else each
        for each in element.references
    )
    return replace(element, references=references)


def opened_up(show: Show, estimates: Estimates, blow: Blow) -> Show:
    """The show whose elements no longer insist on what is lost, so that all that fits is allowed.

    Only where nothing stated would do in its place, and only for stages, rigs and cameras: another
    lens or puppet is another picture.
    """
    elements = dict(show.elements)
    for id_, insists in _insisting(show, estimates, blow).items():
        element = elements[id_]
        if insists:
            values = {k: v for k, v in element.facts.values.items() if k not in insists}
            facts = Facts(element.facts.place, MappingProxyType(values), element.facts.places)
            elements[id_] = replace(element, facts=facts)
    return replace(show, elements=MappingProxyType(elements))


def _insisting(show: Show, estimates: Estimates, blow: Blow) -> Mapping[str, tuple[str, ...]]:
    """Of each element that is met and has nothing else stated, the facts that name what is lost."""
    short = [call for call in blow.met if not _has_others(estimates, blow, call)]
    return {
        id_: tuple(name for name in NAMED if blow.ids & set(_named(show.elements[id_], name)))
        for id_ in dict.fromkeys(call.element for call in short)
    }


def _named(element: Element, name: str) -> tuple[str, ...]:
    value = element.facts.values.get(name)
    return (value,) if isinstance(value, str) else element.facts.words(name)


def change(show: Show, estimates: Estimates, opened: Estimates, blow: Blow) -> WayOut | None:
    """Those whose days are lost go on with what else fits; None where nothing else does.

    None too where something never comes back that one of them has nothing else for: it would wait
    for good.

    Args:
        show: as it is.
        estimates: as they are.
        opened: estimates of the show `opened_up`.
        blow: what is lost.
    """
    met = dict.fromkeys(call.element for call in blow.met)
    insisting = {
        id_: facts
        for id_, facts in _insisting(show, estimates, blow).items()
        if id_ in opened.by_element and _is_as_sound(estimates, opened, id_)
    }
    fitting = with_work(estimates, {id_: opened.by_element[id_].work for id_ in insisting})
    works = (work for id_ in met for work in fitting.by_element[id_].work)
    lists = [need.options for work in works for need in work.needs]
    others = dict.fromkeys(each for options in lists if blow.ids & set(options) for each in options)
    titles = [
        show.resources[each].title
        for each in others
        if each not in blow.ids and each in show.resources
    ]
    if not titles:
        return None
    able = [call for call in blow.met if _has_others(fitting, blow, call)]
    if len(able) < len(blow.met) and any(loss.is_for_good for loss in blow.losses):
        return None
    started, again = still_begun(show, fitting, blow, able)
    now = with_needs(
        fitting,
        blow,
        frozenset(started.at),
        lambda need, _held: tuple(each for each in need.options if each not in blow.ids),
    )
    says = f"go on with what else fits: {', '.join(titles)}{_waiting(met, able)}"
    aside = tuple(_set_aside(show, fitting, insisting, {call.element for call in able}))
    return WayOut(
        "change", says, without(show, blow.losses), now, started, blow.issued, again, aside
    )


def _waiting(met: Collection[str], able: Iterable[IssuedCall]) -> str:
    """Which of those met wait all the same, a clause; empty where none does."""
    left = [id_ for id_ in met if id_ not in {call.element for call in able}]
    if not left:
        return ""
    *others, last = left
    named = f"{', '.join(others)} and {last}" if others else last
    told = named if len(left) <= _MOST_NAMED else counted(len(left), "element")
    return f"; {told} {'waits' if len(left) == 1 else 'wait'}, as nothing else fits"


def _set_aside(
    show: Show,
    fitting: Estimates,
    insisting: Mapping[str, tuple[str, ...]],
    able: Collection[str],
) -> Iterator[SetAside]:
    """What is stated of those that go on with something else, and not gone by."""
    for id_, names in insisting.items():
        element, works = show.elements[id_], fitting.by_element[id_].work
        for name in names if id_ in able else ():
            needs = (need for work in works for need in work.needs if need.sort == name)
            options = dict.fromkeys(each for need in needs for each in need.options)
            stated = _named(element, name)
            yield SetAside(id_, name, stated, tuple(options), element.facts.place_of(name))


def _has_others(estimates: Estimates, blow: Blow, call: IssuedCall) -> bool:
    """Whether something else will do for what a call holds of what is lost."""
    works = estimates.by_element[call.element].work
    needs = [need for work in works if work.name == call.work for need in work.needs]
    lost = blow.ids & set(call.holds)
    wants = [set(need.options) for need in needs if lost & set(need.options)]
    return bool(wants) and all(options - blow.ids for options in wants)


def _is_as_sound(estimates: Estimates, opened: Estimates, id_: str) -> bool:
    """Whether nothing is found wrong with it that was not: else what fits does not truly fit."""
    return _errors(opened.by_element[id_]) <= _errors(estimates.by_element[id_])


def _errors(estimate: Estimate) -> frozenset[str]:
    return frozenset(each.code for each in estimate.problems if each.severity == 0)
