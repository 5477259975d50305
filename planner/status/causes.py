"""Why a piece is not done: what stands in its own way, who has it, and the next act.

Takes a show's findings and missing facts, the work that is left and where every piece stands, gives
the causes of each piece that others wait for. What it merely waits for upstream is no cause of its
own. Of days it knows those that are stated, and today.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from planner.ledger.event import day_back
from planner.model.names import in_names
from planner.model.place import Severity
from planner.status.dates import back_on
from planner.status.limits import within
from planner.status.mending import next_act
from planner.status.standing import is_far_enough
from planner.status.state import Step

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from datetime import date, datetime

    from planner.estimate import Estimates
    from planner.kinds import MissingFact
    from planner.model.place import Problem
    from planner.model.show import Show
    from planner.status.outline import Piece
    from planner.status.standing import Standing
    from planner.status.state import Ruling, State

Sort = Literal[
    "held",
    "lost",
    "refused",
    "notes",
    "dead",
    "stale",
    "circled",
    "error",
    "fact",
    "unread",
    "resource",
    "grant",
    "work",
    "overdue",
    "limit",
]


@dataclass(frozen=True, slots=True)
class Cause:
    """One thing in a piece's own way.

    Attributes:
        sort: what sort of thing.
        says: what it is, a clause.
        by: who has it; a craft where it is work.
        since: since when; None where nobody said.
        act: what would be done next, a clause.
        thing: the shot on hold or the thing lost, where it stands in the way of several pieces.
    """

    sort: Sort
    says: str
    by: str
    since: datetime | None
    act: str
    thing: str = ""


WITHOUT_HOURS = frozenset({"fact", "error"})
"""Causes that are settled with a pen: they hold work up, and take none of it themselves."""


class Causes:
    """Finds what stands in the way of pieces, each looked at once."""

    def __init__(
        self,
        show: Show,
        estimates: Estimates,
        standing: Standing,
        findings: Iterable[Problem],
        today: date,
    ) -> None:
        self.show = show
        self.today = today
        self.starts = max(show.calendar.starts, today)
        self.estimates = estimates
        self.standing = standing
        self.errors: dict[str, list[Problem]] = defaultdict(list)
        for each in findings:
            if each.severity is Severity.ERROR:
                self.errors[each.about].append(each)
        self.facts: dict[str, list[MissingFact]] = defaultdict(list)
        for fact in estimates.missing:
            if not fact.assumed:
                self.facts[fact.about].append(fact)
        self.known: dict[str, tuple[Cause, ...]] = {}

    def of(self, id_: str) -> tuple[Cause, ...]:
        """What stands in the way of an undone piece, the worst first.

        A piece that waits for others has no work as a cause: nobody could do it yet.
        """
        if id_ not in self.known:
            ahead = tuple(self._blocks(id_))
            found = (*ahead, *self._doable(id_, ahead), *self._facts(id_))
            self.known[id_] = found
        return self.known[id_]

    def _blocks(self, id_: str) -> Iterator[Cause]:
        state = self.standing.of(id_)
        piece = self.standing.outline.pieces[id_]
        of_shot = self.standing.states.get(piece.shot) if piece.shot else None
        for each in _held(state):
            shared = of_shot is not None and each in tuple(_held(of_shot))
            yield replace(each, thing=piece.shot) if shared else each
        yield from self._resources(id_)
        if id_ in self.show.unreadable:
            yield Cause("unread", "its file cannot be read", "", None, "mend what check tells")
        shot = piece.shot
        is_sink = self.standing.outline.shots.get(shot) == id_
        for wrong in (*self.errors[id_], *(self.errors[shot] if is_sink else ())):
            says, remedy = (in_names(e, self.show) for e in (wrong.message, wrong.remedy))
            yield Cause("error", says, "", None, remedy or "mend it")

    def _doable(self, id_: str, ahead: Iterable[Cause]) -> Iterator[Cause]:
        """What is next, without work that cannot begin for want of a thing lost or on hold."""
        works = self.estimates.by_element[id_].work
        missing = {each.thing for each in ahead if each.sort == "resource"}
        first = {need.options[0] for need in works[0].needs if need.options} if works else set()
        is_stopped = bool(missing & first)
        for each in self._next(id_):
            if not (is_stopped and each.sort == "work"):
                yield each

    def _facts(self, id_: str) -> Iterator[Cause]:
        for fact in self.facts[id_]:
            name = fact.name.replace("_", " ")
            act = f"settle it, and write it at {within(self.show, fact.place)}"
            who = f", {fact.by} is to find it" if fact.by else ""
            yield Cause("fact", f"{name} is missing{who}: {fact.rests}", "", None, act)

    def _resources(self, id_: str) -> Iterator[Cause]:
        """Things that its work cannot do without, and that are lost or on hold."""
        needs = (need for work in self.estimates.by_element[id_].work for need in work.needs)
        for options in dict.fromkeys(need.options for need in needs):
            if options and all(map(self._is_gone, options)):
                yield self.gone(options)

    def _is_gone(self, id_: str) -> bool:
        """Whether a thing is on hold, or lost and not said to be back this very day."""
        state = self.standing.of(id_)
        is_away = state.lost is not None and day_back(state.lost.back) != self.starts
        return is_away or bool(state.holds)

    def gone(self, options: tuple[str, ...]) -> Cause:
        """That things are lost or on hold, any of which would do: told of the first."""
        state = self.standing.of(options[0])
        hold = state.lost or state.holds[0]
        verb = "lost" if state.lost else "on hold"
        why = f": {hold.why}" if hold.why else ""
        back = f", back {hold.back} as posted" if hold.back else self._guessed(options[0], state)
        is_ = "is" if len(options) == 1 else "are"
        says = f"{' and '.join(options)} {is_} {verb}{back}{why}"
        act = self._found_again(options[0], hold.back) if state.lost else f"free {options[0]}"
        return Cause("resource", says, hold.by, hold.since, act, options[0])

    def _guessed(self, id_: str, state: State) -> str:
        """When dates take a thing to be back that nobody gave a day for, a clause."""
        if state.lost is None or id_ not in self.show.resources:
            return ""
        return f", back {back_on(self.show, state, self.starts)} by our guess"

    def _found_again(self, id_: str, back: str) -> str:
        """What is done where a thing is lost; a build is made again, nobody replaced as a part."""
        if id_ not in self.show.resources:
            return f"make {id_} again"
        sort = self.show.resources[id_].sort
        acts = {
            "person": f"find who can do what {id_} is called for",
            "crew": f"find other hands for what {id_} are called for",
            "stage": f"find another stage for what {id_} is called for",
        }
        mended = f"mend {id_}, or hire one until {back}" if back else f"mend or replace {id_}"
        return acts.get(sort, mended)

    def _next(self, id_: str) -> Iterator[Cause]:
        """What would be done on it now; nothing where others come first."""
        state, piece = self.standing.of(id_), self.standing.outline.pieces[id_]
        if state.is_refused and state.ruling is not None:
            told = state.ruling
            notes = _asked_for(told)
            of = f" of take {told.take}" if told.take else ""
            says = f"not approved{of}{f': {notes}' if notes else ''}"
            act = f"{self._again(piece)}, or ask again"
            yield Cause("refused", says, told.by, told.at, act)
        elif state.has_notes and state.ruling is not None and not self.standing.is_done(id_):
            told = state.ruling
            says = f"approved with notes: {_asked_for(told)}"
            yield Cause("notes", says, told.by, told.at, "answer them")
        elif state.dead and self.standing.judgements[id_].is_own:
            yield self._stale(id_)
        elif take := _circled(piece, state):
            says = f"take {take} is circled, and nobody has said that it is in the can"
            act = "post it in the can if nothing more of it is to be shot"
            yield Cause("circled", says, "", state.since, act)
        elif not self.standing.waits_for(id_) and not self._is_only_held(piece, state):
            overtaken = state.dead or state.work
            yield self._stale(id_) if overtaken else self._work(id_, state, piece.grantor)
            yield from self._overdue(id_, piece.grantor)

    def _again(self, piece: Piece) -> str:
        if self.standing.outline.shots.get(piece.shot) == piece.id:
            return "join it again"
        return "photograph it again" if piece.is_photographed else "make it again"

    def _is_only_held(self, piece: Piece, state: State) -> bool:
        """Whether nothing but a hold keeps a piece from being done."""
        is_kept = bool(state.holds) and not (state.lost or state.dead or state.work)
        return is_kept and is_far_enough(piece, state)

    def _stale(self, id_: str) -> Cause:
        """What was made of it, and no longer stands as it is."""
        told, state = self.standing.judgements[id_], self.standing.of(id_)
        work = self.estimates.by_element[id_].work
        craft = work[0].craft.replace("_", " ") if work else ""
        says = "; ".join((told.reasons[0], *state.remarks[:1] * (state.overtaken is not None)))
        if told.is_dead:
            return Cause(
                "dead", f"dead: {says}", craft, None, next_act(self.show.elements[id_], told)
            )
        return Cause("stale", says, craft, None, next_act(self.show.elements[id_], told))

    def _overdue(self, id_: str, grantor: str) -> Iterator[Cause]:
        """A day by which it was to be done, or was expected from outside, and that is past."""
        facts, work = self.show.elements[id_].facts, self.estimates.by_element[id_].work
        by = grantor or (work[0].craft.replace("_", " ") if work else "")
        for name, verb in (("expected", "expected"), ("ready", "to arrive"), ("due", "due")):
            day = facts.day(name)
            if day is not None and day < self.today:
                says = f"it was {verb} on {day}, {within(self.show, facts.place_of(name))}"
                yield Cause(
                    "overdue", says, by, None, f"ask {by or 'whoever has it'} for a new day"
                )

    def _work(self, id_: str, state: State, grantor: str) -> Cause:
        kind = self.standing.outline.pieces[id_].kind
        work = self.estimates.by_element[id_].work
        first = work[0] if work else None
        facts = self.show.elements[id_].facts
        if kind == "permit":
            what = facts.word("for", id_)
            act = f"get it from {grantor or 'whoever grants it'} in writing"
            says = f"leave for {what} is not in hand{self._awaited(id_, 'expected')}"
            return Cause("grant", says, grantor, state.since, act)
        if kind == "decision":
            act = f"have {grantor or 'one named person'} choose"
            says = f"still open: {facts.word('question', id_)}{self._awaited(id_, 'due')}"
            return Cause("grant", says, grantor, state.since, act)
        is_shown = first is None or (state.takes and state.ruling is None)
        if is_shown and self.standing.outline.pieces[id_].shot_at is Step.APPROVED:
            who = grantor or "whoever approves it"
            says = f"{self.standing.words(id_)} waits to be approved"
            return Cause("grant", says, grantor, state.since, f"show it to {who}")
        craft = first.craft.replace("_", " ") if first else ""
        act = first.name if first else "post what has been done"
        return Cause("work", self.standing.words(id_), craft, state.since, act)

    def _awaited(self, id_: str, name: str) -> str:
        """The day on which it is still to come; what is past is a cause of its own."""
        day = self.show.elements[id_].facts.day(name)
        return f"; {name} on {day}" if day is not None and day >= self.today else ""


def _circled(piece: Piece, state: State) -> str:
    """The circled take of what is to be in the can and is not; empty where there is none."""
    is_shot = piece.shot_at is Step.IN_THE_CAN and state.step is Step.SHOOTING
    if not is_shot or state.dead or state.work:
        return ""
    return next((e.number for e in state.takes if e.circled and e.number == state.in_use), "")


def _asked_for(ruling: Ruling) -> str:
    """What its notes ask for, a clause."""
    return "; ".join(each.says or each.amount for each in ruling.notes)


def _held(state: State) -> Iterator[Cause]:
    for hold in state.holds:
        why = f": {hold.why}" if hold.why else ""
        yield Cause("held", f"on hold{why}", hold.by, hold.since, f"have {hold.by} free it")
    if state.lost is not None:
        lost = state.lost
        why = f": {lost.why}" if lost.why else ""
        yield Cause("lost", f"lost{why}", lost.by, lost.since, "make it again")
