"""Makings that are over and count no more, with the calls they were done by, for whoever prices.

Takes an opened show, what is posted and the order it is priced on, gives `Done`s: lost, refused,
dead, or not wanted any more. Joins what the status room knows of takes with what issued orders
called.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from datetime import date
    from pathlib import Path

    from planner.bid.done import Done
    from planner.cli.opening import Opened
    from planner.cli.told import Told
    from planner.estimate import Estimates
    from planner.kinds import Estimate, Work
    from planner.order import StageOrder
    from planner.order.stage_order import Call
    from planner.status import Standing
    from planner.status.makings import Making
    from planner.status.staleness import Judged


def done_of(
    opened: Opened, told: Told, standing: Standing, order: StageOrder | None = None
) -> tuple[Done, ...]:
    """Every making that is over and counts no more.

    Args:
        opened: the show, with the work of what is omitted.
        told: what is posted.
        standing: where every piece stands by that.
        order: that the show is priced on; None for none.
    """
    from planner.bid.done import Done
    from planner.status.makings import past_makings
    from planner.status.state import by_thing, in_force

    if not told.events:
        return ()
    facts = {each.mark: each.facts for each in told.bases}
    called = _Called(opened.folder, opened.estimates, order)
    events = by_thing(in_force(told.events))
    found = past_makings(opened.estimates, standing, events, facts, called.as_one)
    return tuple(
        Done(
            each.id,
            each.works,
            each.over,
            each.why,
            each.is_again,
            each.is_scanned,
            each.is_last,
            called.calls_of(each),
        )
        for each in found
    )


def last_called(opened: Opened) -> StageOrder:
    """The calls of the last issued order, and the days they hold; an empty order without one."""
    from planner.order import StageOrder
    from planner.order.held import days_held

    calls = _Called(opened.folder, opened.estimates, None).orders()[0].values()
    known = tuple(sorted(calls, key=lambda call: call.starts))
    held = days_held(opened.show, known)
    return StageOrder(known, held, {}, {}, 0.0, proven=False, method="", problems=())


def film_in_hand(
    opened: Opened, told: Told, judged: Judged, standing: Standing
) -> tuple[dict[str, Estimate], dict[str, Estimate]]:
    """What was photographed for another cut: estimates of what stands of it, and of all of it.

    What stands keeps the film it was photographed with; what is dead was made for that cut.

    Args:
        opened: the show.
        told: what is posted.
        judged: what became of what was made.
        standing: where every piece stands.
    """
    from planner.cli.opening import worked_out
    from planner.ledger import What
    from planner.status.as_shot import as_shot, portable, with_film_in_hand
    from planner.status.state import Step, by_thing, in_force

    facts = {each.mark: each.facts for each in told.bases}
    made = {
        id_: facts[event.against]
        for id_, event in {**judged.made, **judged.unwanted}.items()
        if standing.states[id_].takes or standing.states[id_].unapproved[0] >= Step.IN_THE_CAN
        if opened.show.elements[id_].shot and event.against in facts
    }
    then = {
        id_: portable(estimates.by_element[id_])
        for each in as_shot(opened.show, made)
        if (estimates := worked_out(opened, each.show).estimates)
        for id_ in each.ids
    }
    if not then:
        return {}, {}
    events = by_thing(in_force(told.events))
    scanned = {
        id_: each.details.frames
        for id_ in then
        for each in events[id_]
        if each.what is What.SCANNED and each.details.frames is not None
    }
    stands = {id_: each for id_, each in then.items() if _stands(judged, standing, id_)}
    return with_film_in_hand(opened.show, opened.estimates, stands, scanned), then


def _stands(judged: Judged, standing: Standing, id_: str) -> bool:
    """Whether what is in the can of a piece serves."""
    from planner.status.state import Step

    known = judged.judgements.get(id_)
    is_dead = known is not None and known.is_dead
    return standing.states[id_].unapproved[0] >= Step.IN_THE_CAN and not is_dead


@dataclass(slots=True)
class _Called:
    """Calls of the orders issued, read once and only where any are asked for."""

    folder: Path
    estimates: Estimates
    order: StageOrder | None
    known: tuple[Mapping[str, Call], ...] | None = None

    def orders(self) -> tuple[Mapping[str, Call], ...]:
        """Calls by id, of the last order first; without any issued, of the one priced on."""
        if self.known is None:
            issued = tuple(self._issued())
            given = {call.id: call for call in self.order.calls} if self.order else {}
            self.known = issued or (given,)
        return self.known

    def _issued(self) -> Iterator[Mapping[str, Call]]:
        from planner.cli.order_issuing import issued_order
        from planner.order.stage_order import Call
        from planner.pages.order_files import numbers

        works = self._works()
        for number in sorted(numbers(self.folder), reverse=True):
            yield {
                each.id: Call(
                    each.element,
                    works[each.id],
                    each.starts,
                    each.ends,
                    each.hours,
                    each.holds,
                    each.stage,
                )
                for each in issued_order(self.folder, number).calls
                if each.id in works
            }

    def _works(self) -> dict[str, Work]:
        return {
            f"{id_}/{work.name}": work
            for id_, estimate in self.estimates.by_element.items()
            for work in estimate.work
        }

    def calls_of(self, making: Making) -> tuple[Call, ...]:
        """By the last order that called all of it before it was over; later ones call the next."""
        ids = [f"{making.id}/{name}" for name in making.works]
        for calls in self.orders():
            mine = [calls[each] for each in ids if each in calls]
            if mine and all(call.ends.date() <= making.over.date() for call in mine):
                return tuple(sorted(mine, key=lambda call: call.starts))
        return ()

    def as_one(self, id_: str, first: date, last: date) -> bool:
        """Whether one call of a piece holds both days: its photography then goes on."""
        return any(
            call.starts.date() <= first and last <= call.ends.date()
            for calls in self.orders()
            for call in calls.values()
            if call.element == id_ and call.stage
        )
