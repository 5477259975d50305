"""What began with one thing, and whose element now names another.

Takes a show, the order people work by and what has begun, gives what still counts as begun, what is
done again, and estimates in which what is over keeps what it had. Knows nothing of why another
thing is named: one was hired, or somebody chose another.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.model.alike import is_like
from planner.order.goes_on import beside_them, done_again

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from datetime import date

    from planner.estimate import Estimates
    from planner.kinds import Need, Work
    from planner.model.show import Resource, Show
    from planner.order.again import Started
    from planner.order.issued import IssuedCall, IssuedOrder

_SORTS = frozenset({"stage", "rig", "camera", "person"})


@dataclass(frozen=True, slots=True)
class NamedElse:
    """How work goes on whose elements name other things than it was begun with.

    Attributes:
        estimates: in which what is over keeps what it had.
        started: what still counts as begun, and what is done again.
        redone: ids of calls that are done again.
    """

    estimates: Estimates
    started: Started
    redone: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Other:
    """A call that began with something that its element does not name any more."""

    call: IssuedCall
    need: Need
    was: Resource


def named_else(
    show: Show, estimates: Estimates, issued: IssuedOrder, started: Started, day: date
) -> NamedElse:
    """How what began with things goes on that its elements do not name any more.

    On another stage, or on a rig unlike the one it began on, all is set up again. With a rig,
    camera or person like the first it goes on; with a camera unlike it, what is under way is begun
    again.

    Args:
        show: as its files now stand.
        estimates: of it.
        issued: the order people work by.
        started: what has begun.
        day: the first that may be planned.
    """
    others = tuple(_others(show, estimates, issued, started))
    if not others:
        return NamedElse(estimates, started)
    over = {
        each.call.id
        for each in others
        if each.call.id in started.over or (not started.is_posted and each.call.ends.date() < day)
    }
    anew = {(each.call.element, each.was.id) for each in others if _is_set_up_anew(show, each)}
    stands = [
        call.id
        for call in issued.calls
        if call.id in started.at and any((call.element, each) in anew for each in call.holds)
    ]
    under_way = [
        each.call.id
        for each in others
        if each.call.id not in over and not _is_like_the_rest(show, each)
    ]
    again = beside_them(estimates, issued, started, (*stands, *under_way))
    kept: defaultdict[str, dict[str, str]] = defaultdict(dict)
    for each in others:
        if each.call.id in over and each.call.id not in again:
            kept[each.call.id][each.need.sort] = each.was.id
    return NamedElse(_keeping(estimates, kept), done_again(started, again), again)


def _others(
    show: Show, estimates: Estimates, issued: IssuedOrder, started: Started
) -> Iterator[_Other]:
    for call in issued.calls:
        estimate = estimates.by_element.get(call.element)
        if call.id not in started.at or estimate is None:
            continue
        needs = [need for work in estimate.work if work.name == call.work for need in work.needs]
        named = {each for need in needs for each in need.options}
        for need in needs:
            if need.sort in _SORTS and need.options and not set(need.options) & set(call.holds):
                was = (show.resources[each] for each in call.holds if each in show.resources)
                free = (each for each in was if each.sort == need.sort and each.id not in named)
                yield from (_Other(call, need, each) for each in free)


def _is_set_up_anew(show: Show, other: _Other) -> bool:
    sort = other.need.sort
    return sort == "stage" or (sort == "rig" and not _is_like_the_rest(show, other))


def _is_like_the_rest(show: Show, other: _Other) -> bool:
    """Whether whatever may be taken now is like what it was begun with."""
    return all(
        each in show.resources and is_like(show.resources[each], other.was)
        for each in other.need.options
    )


def _keeping(estimates: Estimates, kept: Mapping[str, Mapping[str, str]]) -> Estimates:
    """Estimates in which some calls want what they were done with, by sort."""

    def now(id_: str, work: Work) -> Work:
        mine = kept.get(f"{id_}/{work.name}", {})
        needs = (replace(n, options=(mine[n.sort],)) if n.sort in mine else n for n in work.needs)
        return replace(work, needs=tuple(needs)) if mine else work

    ids = {id_.partition("/")[0] for id_ in kept}
    return estimates.replacing(
        {
            id_: replace(known, work=tuple(now(id_, work) for work in known.work))
            for id_ in sorted(ids)
            if (known := estimates.by_element[id_])
        }
    )
