"""Every making of a thing that is over and counts no more: lost, refused, dead or not wanted.

Takes estimates, where every piece stands and what happened to each, gives for each such making the
work that was done in it, when it was over and why it does not count. What is wanted still is made
once more than that. Knows nothing of money or orders.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.kinds import Phase
from planner.kinds.estimate import FLOOR
from planner.ledger import Verdict, What
from planner.status.judging import judged
from planner.status.remaining import work_left
from planner.status.shown import with_shown
from planner.status.standing import Standing
from planner.status.state import BOARDED, Step, states_along, states_in_force
from planner.status.unposted import waited_for

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from datetime import date, datetime
    from typing import TypeAlias

    from planner.estimate import Estimates
    from planner.kinds import Work
    from planner.ledger import Event
    from planner.status.outline import Outline, Piece
    from planner.status.state import State

    Facts: TypeAlias = Mapping[str, Mapping[str, str]]
    """Facts that events rested on, by their mark."""
    OneCall: TypeAlias = Callable[[str, date, date], bool]
    """Whether a piece was called to its camera from one day to another without a break."""


@dataclass(frozen=True, slots=True)
class Making:
    """A making that is over and does not count any more.

    Attributes:
        id: of the element.
        works: names of the stretches of work that were done in it.
        over: when it was last worked on, or came to count no more.
        why: it does not count, a few words: ``lost``, ``take 4 no good``.
        is_again: whether it is, or was, made again; else nobody wants it any more.
        is_scanned: whether what was photographed was scanned too.
        is_last: whether nothing of it was done since.
    """

    id: str
    works: frozenset[str]
    over: datetime
    why: str
    is_again: bool
    is_scanned: bool
    is_last: bool = False


def past_makings(
    estimates: Estimates,
    standing: Standing,
    told: Mapping[str, Sequence[Event]],
    facts: Facts,
    one_call: OneCall,
) -> tuple[Making, ...]:
    """Makings that count no more, in the order of the estimates, the oldest of each first.

    Args:
        estimates: of the whole show, what is omitted included.
        standing: where every piece stands, judged by its facts.
        told: events in force, by what they are about.
        facts: that events rested on.
        one_call: days of photography that one call covers are one making.
    """
    found: list[Making] = []
    for id_, estimate in estimates.by_element.items():
        mine, piece = told.get(id_), standing.outline.pieces.get(id_)
        if mine and piece is not None and estimate.work:
            course = _Course(piece, estimate.work, facts, one_call)
            for event, state in zip(mine, states_along(mine), strict=True):
                if event.what is What.LOST:
                    course.state = _as_shown(standing.outline, told, event, course.state)
                course.goes_on(event, state)
            found += course.ended(standing.of(id_), is_wanted=standing.is_wanted(id_))
    return tuple(found)


def _as_shown(
    outline: Outline, told: Mapping[str, Sequence[Event]], event: Event, own: State
) -> State:
    """How a thing stood that is lost, which nobody may have posted as made and a take shows so."""
    piece = outline.pieces[event.about]
    if piece.made_at is None or own.made >= piece.made_at:
        return own
    until = {id_: [e for e in mine if e.order < event.order] for id_, mine in told.items()}
    states = states_in_force({id_: mine for id_, mine in until.items() if mine})
    return with_shown(Standing(outline, states)).of(event.about)


class _Course:
    """What was made of one piece, event by event; holds the makings that are over."""

    def __init__(
        self, piece: Piece, works: tuple[Work, ...], facts: Facts, one_call: OneCall
    ) -> None:
        self.piece = piece
        self.works = works
        self.facts = facts
        self.one_call = one_call
        self.is_shown = piece.shot_at is Step.APPROVED
        self.makings: list[Making] = []
        self.state = BOARDED
        self.takes: dict[str, datetime] = {}
        self.session: datetime | None = None
        """When the photography began that is not accounted for: not refused so far."""
        self.struck: Making | None = None
        self.built: Event | None = None
        self.last: datetime | None = None

    def goes_on(self, event: Event, state: State) -> None:
        """One more event, and the state after it."""
        before = self.state
        self._settle_struck(event)
        if event.what is What.TAKE and event.details.take not in self.takes:
            self._photographed(event, before)
        gone = _done(self.piece, before, self.works) - _done(self.piece, state, self.works)
        if event.what is What.LOST:
            # Once it is lost, nothing tells any more how far it had come.
            gone = self._did(before)
            self.takes, self.built = {}, None
        elif self.is_shown:
            gone = frozenset()
        if gone:
            self._over(event, gone, before)
        elif event.what is What.BUILT:
            self._built(event)
        if event.what in {What.BUILT, What.PROVEN}:
            self.built = event
        self.state, self.last = state, event.at

    def ended(self, state: State, *, is_wanted: bool) -> list[Making]:
        """All that counts no more, of a piece that stands so in the end."""
        if self.struck is not None:
            self.makings.append(self.struck)
        if self.last is not None and (not is_wanted or state.dead):
            why = f"dead: {state.dead}" if is_wanted else "not wanted now"
            if state.omitted is not None:
                why = f"omitted by {state.omitted.by}"
            self._ends(self._did(self.state), self._worked_last(), why, is_again=is_wanted)
        elif self.session is not None and self.state.wants_take:
            day = self.session.date()
            if not self.one_call(self.piece.id, day, _next(day)):
                self._ends(self._floor_left(self.state), self.session, _refused(self.state))
        if self.makings:
            counts = _done(self.piece, state, self.works) if is_wanted else frozenset()
            last = self.makings[-1]
            self.makings[-1] = replace(last, is_last=counts.isdisjoint(last.works))
        return self.makings

    def _photographed(self, event: Event, before: State) -> None:
        """A take nobody spoke of before: of the photography that goes on, or of the next."""
        if self.session is not None and self.session.date() != event.at.date():
            goes_on = self.one_call(self.piece.id, self.session.date(), event.at.date())
            if before.wants_take and not goes_on:
                self._ends(self._floor_left(before), self.session, _refused(before))
            elif before.step >= Step.IN_THE_CAN and not (goes_on or self.is_shown):
                self._ends(self._did(before), self.session, "photographed again")
            elif goes_on:
                event = replace(event, at=self.session)
        self.takes[event.details.take] = event.at
        self.session = event.at

    def _over(self, event: Event, gone: frozenset[str], before: State) -> None:
        """What was done is to be done again."""
        if self.session is not None and event.what is not What.LOST:
            gone |= self._floor_left(before)
        why = {
            What.LOST: f"lost {event.at:%Y-%m-%d}{_reason(event)}",
            What.STRUCK: f"struck {event.at:%Y-%m-%d}",
            What.NOT_APPROVED: f"not approved by {event.details.by}",
            What.TAKE: f"take {event.details.take} no good",
        }.get(event.what, _refused(before))
        making = self._making(gone, event.at, why)
        if event.what is What.STRUCK:
            self.struck = making
        elif making is not None:
            self.makings.append(making)
        self.session = None

    def _settle_struck(self, event: Event) -> None:
        """What was struck counts as lost once it is set up again: it may be in the can untold."""
        if event.what in {What.ON_STAGE, What.SET_UP, What.TAKE}:
            self.makings += [self.struck] if self.struck is not None else []
            self.struck = None
        elif event.what in {What.IN_THE_CAN, What.SCANNED, What.APPROVED, What.LOST}:
            self.struck = None

    def _built(self, event: Event) -> None:
        """A build told as made once more, where the first was dead by the facts of the second."""
        was = self.facts.get(self.built.against) if self.built is not None else None
        now = self.facts.get(event.against)
        if was is None or now is None or self.built is None:
            return
        if judged(self.piece.id, was, now).is_dead:
            self._ends(self._did(self.state), self.built.at, "made again as facts changed")

    def _did(self, state: State) -> frozenset[str]:
        """All the work that was done of it, what comes after a negative left out."""
        done = _done(self.piece, state, self.works)
        if state.takes:
            done |= {work.name for work in self.works if work.phase in FLOOR}
        done |= waited_for(self.works, done)
        if any(work.phase in FLOOR for work in self.works):
            done -= {work.name for work in self.works if work.phase is Phase.FINISH}
        return done

    def _floor_left(self, state: State) -> frozenset[str]:
        """Work before the camera that is called again, so that it was done for nothing."""
        left = work_left(self.piece, state, self.works)
        return frozenset(work.name for work in left if work.phase in FLOOR)

    def _worked_last(self) -> datetime:
        """When it was last made, for what came to count no more at a time that nobody told."""
        moments = (self.session, self.built.at if self.built else None, self.last)
        known = [each for each in moments if each is not None]
        return known[0]

    def _ends(
        self, works: frozenset[str], over: datetime, why: str, *, is_again: bool = True
    ) -> None:
        making = self._making(works, over, why, is_again=is_again)
        if making is not None:
            self.makings.append(making)

    def _making(
        self, works: frozenset[str], over: datetime, why: str, *, is_again: bool = True
    ) -> Making | None:
        if not works:
            return None
        is_scanned = self.state.unapproved[0] >= Step.SCANNED
        return Making(self.piece.id, works, over, why, is_again, is_scanned)


def _done(piece: Piece, state: State, works: tuple[Work, ...]) -> frozenset[str]:
    """Names of the stretches of work that are done, whatever facts are since."""
    if state.step is Step.BOARDED:
        return frozenset()
    left = {work.name for work in work_left(piece, state, works)}
    return frozenset(work.name for work in works if work.name not in left)


def _reason(event: Event) -> str:
    """What people gave as the reason, after a colon; empty where they gave none."""
    return f": {event.details.why}" if event.details.why else ""


def _refused(state: State) -> str:
    bad = [each.number for each in state.takes if each.verdict is Verdict.NO_GOOD]
    return f"take {bad[-1]} no good" if bad else "refused"


def _next(day: date) -> date:
    return day.fromordinal(day.toordinal() + 1)
