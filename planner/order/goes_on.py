"""What goes on as it was begun, and with what, once something is lost.

Takes the blow and what is taken instead, gives what still counts as begun and the estimates of
those who go on with something else. Knows nothing of prices or solvers; see `ways_out`.
"""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable, Mapping, Sequence

    from planner.estimate import Estimates
    from planner.kinds import Need, Work
    from planner.model.show import Show
    from planner.order.again import Started
    from planner.order.issued import IssuedCall, IssuedOrder
    from planner.order.lost import Blow


def still_begun(
    show: Show, estimates: Estimates, blow: Blow, moved: Sequence[IssuedCall]
) -> tuple[Started, tuple[str, ...]]:
    """What still counts as begun when work goes on with something else, and what is done again.

    On another stage or rig all of an element is set up again: it stands elsewhere, and knows
    nothing of the move. A camera takes the place of another. What is under way with a lost rig,
    camera or person is begun again. Whoever worked beside what is done again works beside it again.

    Args:
        show: for its stages and rigs.
        estimates: tell what is done beside what.
        blow: what is lost.
        moved: those met that take something else.
    """
    stood_on = blow.ids & {each.id for sort in ("stage", "rig") for each in show.resources_of(sort)}
    met = {call.element for call in moved}
    under_way = {call.id for call in moved}
    begun = blow.started.at
    again = [
        call.id
        for call in blow.holding
        if call.id in begun
        and ((call.element in met and stood_on & set(call.holds)) or call.id in under_way)
    ]
    redone = beside_them(estimates, blow.issued, blow.started, again)
    return done_again(blow.started, redone), redone


def beside_them(
    estimates: Estimates, issued: IssuedOrder, started: Started, again: Iterable[str]
) -> tuple[str, ...]:
    """Ids of calls that are done again, and of those begun that were worked beside them, by start.

    Who lights or lines up beside a set-up holds nothing of it, and comes again all the same.
    """
    ids = set(again)
    works = {
        f"{id_}/{work.name}": f"{id_}/{work.beside}"
        for id_ in {each.partition("/")[0] for each in ids} & estimates.by_element.keys()
        for work in estimates.by_element[id_].work
        if work.beside
    }
    ids |= {id_ for id_, other in works.items() if other in ids and id_ in started.at}
    return tuple(call.id for call in issued.calls if call.id in ids)


def done_again(started: Started, again: Collection[str]) -> Started:
    """What still counts as begun, and when that began which is done again."""
    at = {id_: when for id_, when in started.at.items() if id_ not in again}
    began = {**started.again, **{id_: started.at[id_] for id_ in again}}
    return replace(started, at=MappingProxyType(at), again=MappingProxyType(began))


def standing_as_issued(
    estimates: Estimates, issued: IssuedOrder, begun: Collection[str]
) -> Estimates:
    """Estimates in which what has begun on a stage stands there as it was set up.

    How a set-up is called tells which rigs would do. That more would do since changes nothing of
    what stands.

    Args:
        estimates: as the show's files now have it.
        issued: the order by which it began.
        begun: ids of calls that have begun and are not done again.
    """
    changed: dict[str, tuple[Work, ...]] = {}
    for call in issued.calls:
        if call.id not in begun or not call.set_up or call.element not in estimates.by_element:
            continue
        works = changed.get(call.element, estimates.by_element[call.element].work)
        now = next((work.set_up for work in works if work.name == call.work), "")
        if now and now != call.set_up:
            changed[call.element] = tuple(
                replace(work, set_up=call.set_up) if work.set_up == now else work for work in works
            )
    return with_work(estimates, changed) if changed else estimates


def with_needs(
    estimates: Estimates,
    blow: Blow,
    done: frozenset[str],
    instead: Callable[[Need, str], tuple[str, ...]],
) -> Estimates:
    """Estimates in which those whose days are lost take something else for what is lost.

    What is done keeps what it had; of an element part-way, the rest keeps everything but what is
    lost. Whoever is not met keeps what is lost, and waits where that delays it.

    Args:
        estimates: as they are.
        blow: what is lost.
        done: ids of calls that are done, or begun and staying as they are.
        instead: of a need and what was held for it, what may be held now; empty leaves it.
    """
    calls = {call.id: call for call in blow.holding}
    met = {call.element for call in blow.met}
    part_way = {id_.partition("/")[0] for id_ in done}

    def options(need: Need, call: IssuedCall) -> tuple[str, ...]:
        held = next((each for each in need.options if each in call.holds), "")
        if held in blow.ids:
            is_moved = call.element in met and call.id not in done
            return instead(need, held) if is_moved else (held,)
        return (held,) if held and call.element in part_way else ()

    def work_now(id_: str, work: Work) -> Work:
        call = calls.get(f"{id_}/{work.name}")
        if call is None:
            return work
        needs = [replace(n, options=options(n, call) or n.options) for n in work.needs]
        return replace(work, needs=tuple(needs))

    touched = {call.element for call in calls.values()} & estimates.by_element.keys()
    return with_work(
        estimates,
        {
            id_: tuple(work_now(id_, work) for work in estimates.by_element[id_].work)
            for id_ in touched
        },
    )


def with_work(estimates: Estimates, work: Mapping[str, tuple[Work, ...]]) -> Estimates:
    """Estimates with other work for some elements."""
    return estimates.replacing(
        {id_: replace(estimates.by_element[id_], work=works) for id_, works in work.items()}
    )
