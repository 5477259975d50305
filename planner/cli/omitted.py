"""A show without what people posted as omitted, for commands that order its work.

Takes an opened show and its ledger, gives the show with the work that is still wanted, and what to
say of the rest, and of what is on hold or lost and called all the same.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from planner.cli.sentences import say
from planner.cli.told import Told, read_told, until

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping
    from datetime import date

    from planner.cli.opening import Opened
    from planner.ledger import What
    from planner.model.place import Problem
    from planner.order import Call, StageOrder
    from planner.status import State
    from planner.status.left_out import LeftOut


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is still wanted of a show.

    Attributes:
        opened: the show, without the work of what is posted as omitted.
        omitted: what is left out by that.
        states: of what anything was posted as omitted, on hold or lost of.
        posted: the last day on which anything was posted; None where nothing is lost.
    """

    opened: Opened
    omitted: tuple[LeftOut, ...] = ()
    states: Mapping[str, State] = field(default_factory=dict)
    posted: date | None = None

    @property
    def notes(self) -> tuple[Problem, ...]:
        """One for each thing left out."""
        from planner.status.left_out import left_out_notes

        return tuple(left_out_notes(self.opened.show, self.omitted))

    def told_with(self, order: StageOrder) -> StageOrder:
        """An order that says what it leaves out, and what it calls though it is on hold or lost.

        Args:
            order: what is still wanted, dated; where it is planned around what is lost, it says
                itself what waits.
        """
        told = (*self.notes, *self.called_all_the_same(order))
        calls = self.with_losses(order, order.calls)
        # An order planned again on the way here may have said the same.
        problems = tuple(dict.fromkeys((*order.problems, *told)))
        return replace(order, calls=calls, problems=problems)

    def called_all_the_same(self, order: StageOrder) -> tuple[Problem, ...]:
        """A warning for each thing that is called on hold, or lost and not planned around."""
        from planner.status.held_back import called_while_lost, held_back

        show = self.opened.show
        held = tuple(held_back(show, order, self.states))
        if order.is_around_lost:
            return held
        return (*held, *called_while_lost(show, order, self.states, self.posted))

    def with_losses(self, order: StageOrder, calls: tuple[Call, ...]) -> tuple[Call, ...]:
        """An order's calls, with what is lost of what they hold unless it is planned around."""
        from planner.status.held_back import with_losses

        return calls if order.is_around_lost else with_losses(self.opened.show, calls, self.states)


def still_wanted(opened: Opened, address: str | None = None, day: date | None = None) -> Wanted:
    """The show without the work of what is posted as omitted.

    Of a show that was given before, nothing more is left out and nothing told again. A ledger that
    cannot be read is told, and the show is ordered by its files.

    Args:
        opened: the show.
        address: where its ledger is, as the command line says; None for where the show says.
        day: what was posted later is left aside; None for all.
    """
    states, posted = _states(opened, address, day)
    if not states:
        return Wanted(opened)
    from planner.status.left_out import left_out, without

    omitted = left_out(opened.show, opened.estimates, states)
    if omitted:
        ids = [id_ for each in omitted for id_ in each.pieces]
        graph, estimates = without(opened.graph, opened.estimates, ids)
        opened = replace(opened, graph=graph, estimates=estimates)
    return Wanted(opened, omitted, states, posted)


def _states(
    opened: Opened, address: str | None, day: date | None
) -> tuple[Mapping[str, State], date | None]:
    """Who omitted, holds or lost what; of all that is posted, only what says so is read.

    Where something is lost, the last day on which anything was posted comes with it.
    """
    from planner.ledger import What
    from planner.ledger.store import LedgerError

    posted = None
    asked = {What.OMITTED, What.UN_OMITTED, What.HELD, What.FREED, What.LOST, What.CORRECTED}
    try:
        told = _events_of(opened, address, asked)
        if any(each.what is What.LOST for each in told.events):
            # It is there again once it is freed, but also once it is made or stands on a stage.
            asked |= {What.BUILT, What.ON_STAGE, What.SET_UP}
            told = until(_events_of(opened, address), day)
            posted = max((each.at.date() for each in told.events), default=None)
            told = replace(told, events=tuple(e for e in told.events if e.what in asked))
    except LedgerError as fault:
        say(f"{fault}; what is posted as omitted is ordered all the same.")
        return {}, None
    told = until(told, day)
    if not told.events:
        return {}, None
    from planner.status import states_of

    return states_of(told.events), posted


def _events_of(opened: Opened, address: str | None, sorts: Collection[What] | None = None) -> Told:
    """What a ledger tells of some sorts, or all of it; read here where the show came without."""
    if opened.told is None:
        return read_told(opened.folder, opened.show.facts.word("ledger"), address, sorts)
    if sorts is None:
        return opened.told
    return Told(tuple(each for each in opened.told.events if each.what in sorts))
