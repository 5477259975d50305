"""Where each thing stands, folded from what happened to it.

Takes events, gives a `State` for each thing they are about: the furthest step that holds, its
takes, who approved which, who holds it. A state is told in the trade's words and is never a share
of anything. Knows nothing of shows, databases or dates to come.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field, replace
from enum import IntEnum
from typing import TYPE_CHECKING

from planner.ledger import Verdict, What
from planner.ledger.event import BACK

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
    from datetime import datetime

    from planner.ledger import Event, Note


class Step(IntEnum):
    """How far a thing has come; later ones stand further on."""

    BOARDED = 0
    MEASURED = 1
    SETTLED = 2
    BUILT = 3
    PROVEN = 4
    ON_STAGE = 5
    SET_UP = 6
    SHOOTING = 7
    IN_THE_CAN = 8
    SCANNED = 9
    APPROVED = 10

    def __str__(self) -> str:
        return self.name.lower().replace("_", " ")


_MADE = {
    What.MEASURED: Step.MEASURED,
    What.SETTLED: Step.SETTLED,
    What.BUILT: Step.BUILT,
    What.PROVEN: Step.PROVEN,
}


@dataclass(frozen=True, slots=True)
class Take:
    """A take as last spoken of.

    Attributes:
        number: on the slate.
        at: when it was last spoken of.
        verdict: good, no good or kept; None where nobody said.
        circled: whether it is to be used.
        notes: on it.
        plate_take: plate and take it was checked against.
        program: revision of the move.
    """

    number: str
    at: datetime
    verdict: Verdict | None
    circled: bool
    notes: tuple[Note, ...]
    plate_take: str
    program: str


@dataclass(frozen=True, slots=True)
class Ruling:
    """An approval, or a refusal of one.

    Attributes:
        by: who gave it.
        at: when.
        take: of which take; empty where none was spoken of.
        notes: what is still asked for.
        is_approval: whether it approves.
    """

    by: str
    at: datetime
    take: str
    notes: tuple[Note, ...]
    is_approval: bool


@dataclass(frozen=True, slots=True)
class Hold:
    """Somebody keeps a thing from going on.

    Attributes:
        by: who.
        since: from when.
        why: as told.
        back: of a thing lost, the first day it is there again, as written; empty where unsaid.
    """

    by: str
    since: datetime
    why: str
    back: str = ""


@dataclass(frozen=True, slots=True)
class State:
    """Where one thing stands.

    Attributes:
        step: the furthest that holds.
        since: when it came to that; None where nothing has happened.
        made: furthest step of making: boarded to proven.
        is_standing: whether a set-up of it stands.
        takes: in the order first spoken of.
        in_use: number of the take that is used; empty where none is said.
        ruling: the last approval or refusal of the take in use; None where there is none.
        past_rulings: those of other takes, which do not hold of this one.
        holds: who keeps it, first come first.
        lost: when it was lost, and how; None where it is not.
        omitted: who omitted it, and when; None where it is not.
        recut: when its cut was last changed.
        measured: what was measured, as written, by name.
        unapproved: the furthest step that holds but for approvals, and since when.
        dead: why what was made no longer serves, in a few words; empty where it does.
        work: why it serves only with work, likewise.
        is_begun: whether any work on it was ever posted, whatever became of it.
        overtaken: the approval that does not count, as the facts it was given against changed.
        early: the approval that does not count, as what it joins was not there.
    """

    step: Step = Step.BOARDED
    since: datetime | None = None
    made: Step = Step.BOARDED
    is_standing: bool = False
    takes: tuple[Take, ...] = ()
    in_use: str = ""
    ruling: Ruling | None = None
    past_rulings: tuple[Ruling, ...] = ()
    holds: tuple[Hold, ...] = ()
    lost: Hold | None = None
    omitted: Hold | None = None
    recut: datetime | None = None
    measured: Mapping[str, str] = field(default_factory=dict)
    unapproved: tuple[Step, datetime | None] = (Step.BOARDED, None)
    is_begun: bool = False
    dead: str = ""
    work: str = ""
    overtaken: Ruling | None = None
    early: Ruling | None = None

    def after_changes(self, *, dead: str, work: str) -> State:
        """The same where facts changed: an approval given against the old ones does not count."""
        ruling = self.ruling
        if ruling is None or not ruling.is_approval:
            return replace(self, dead=dead, work=work)
        step, since = self.unapproved
        return replace(
            self, dead=dead, work=work, step=step, since=since, ruling=None, overtaken=ruling
        )

    def before_its_pieces(self) -> State:
        """The same, where it was approved and what it joins is not there: it is still to come."""
        step, since = self.unapproved
        return replace(self, step=step, since=since, ruling=None, early=self.ruling)

    @property
    def is_refused(self) -> bool:
        """Whether the take in use was not approved."""
        return self.ruling is not None and not self.ruling.is_approval

    @property
    def has_notes(self) -> bool:
        """Whether the approval that holds asks for more."""
        return self.ruling is not None and self.ruling.is_approval and bool(self.ruling.notes)

    @property
    def wants_take(self) -> bool:
        """Whether photography began and no take there is will do: each is no good or refused."""
        rulings = (self.ruling, *self.past_rulings)
        refused = {each.take for each in rulings if each is not None and not each.is_approval}
        return self.step is Step.SHOOTING and all(
            each.verdict is Verdict.NO_GOOD or each.number in refused for each in self.takes
        )

    @property
    def words(self) -> str:
        """The state in the trade's words."""
        if self.omitted is not None:
            return "omitted"
        if self.lost is not None:
            return "lost"
        if self.holds:
            return "on hold" if self.step is Step.BOARDED else f"{self._step_words}, on hold"
        if self.dead:
            return f"{self._step_words}, dead: {self.dead}"
        if self.work:
            return f"{self._step_words}, good with work: {self.work}"
        return self._step_words

    @property
    def _step_words(self) -> str:
        if self.early is not None:
            return "approved before its pieces were there"
        if self.is_refused:
            again = self.since is not None and self.ruling is not None
            begun = again and self.since > self.ruling.at  # type: ignore[operator,union-attr]
            return f"{self.step} again" if begun else "not approved"
        if self.step is Step.APPROVED and self.has_notes:
            return "approved with notes"
        return str(self.step)

    @property
    def remarks(self) -> tuple[str, ...]:
        """What a reader could mistake, in sentences."""
        return tuple(self._remarks())

    def _remarks(self) -> Iterator[str]:
        if self.overtaken is not None:
            of = f" of take {self.overtaken.take}" if self.overtaken.take else ""
            yield (
                f"the approval{of} by {self.overtaken.by} on {self.overtaken.at:%Y-%m-%d} does not"
                f" count: facts it was given against have changed: {self.dead or self.work}"
            )
        for each in self.past_rulings:
            if each.is_approval and (self.ruling is None or not self.ruling.is_approval):
                of = f"take {each.take}" if each.take else "no take by number"
                now = f"take {self.in_use} is in use and is not approved by it"
                yield f"{each.by} approved {of} on {each.at:%Y-%m-%d}; {now}"
        if self.recut is not None and self.ruling is not None and self.recut > self.ruling.at:
            verb = "approved" if self.ruling.is_approval else "refused"
            yield (
                f"recut on {self.recut:%Y-%m-%d}, after {self.ruling.by} {verb} it on"
                f" {self.ruling.at:%Y-%m-%d}: look at it again"
            )


BOARDED = State()


def in_force(events: Iterable[Event]) -> tuple[Event, ...]:
    """Events that stand, oldest first: without corrections, and without what is corrected.

    A correction may itself be corrected; what it took back then stands again. Cost is linear in
    events, and sorting them.
    """
    told = sorted({each.id: each for each in events}.values(), key=lambda each: each.order)
    known = {each.id for each in told}
    targets: dict[str, str] = {}
    against: defaultdict[str, list[str]] = defaultdict(list)
    for each in told:
        if each.what is What.CORRECTED and (target := full_id(each.details.corrects, known)):
            targets[each.id] = target
            against[target].append(each.id)
    fallen: set[str] = set()
    waiting = {id_: len(against[id_]) for id_ in targets}
    ready = [id_ for id_, count in waiting.items() if count == 0]
    while ready:
        id_ = ready.pop()
        target = targets[id_]
        if id_ not in fallen:
            fallen.add(target)
        if target in waiting:
            waiting[target] -= 1
            if waiting[target] == 0:
                ready.append(target)
    return tuple(each for each in told if each.id not in fallen and each.what is not What.CORRECTED)


def full_id(beginning: str, known: Set[str]) -> str:
    """The id that begins so; empty where none does, or several; whole ids are found at once."""
    if beginning in known:
        return beginning
    found = [each for each in known if each.startswith(beginning)] if beginning else []
    return found[0] if len(found) == 1 else ""


def states_of(events: Iterable[Event]) -> dict[str, State]:
    """The state of each thing that anything happened to."""
    return states_in_force(by_thing(in_force(events)))


def by_thing(events: Iterable[Event]) -> dict[str, list[Event]]:
    """Events by what they are about, in the order given."""
    told: defaultdict[str, list[Event]] = defaultdict(list)
    for each in events:
        told[each.about].append(each)
    return dict(told)


def states_in_force(told: Mapping[str, Sequence[Event]]) -> dict[str, State]:
    """The state of each thing, by events `in_force` that are sorted by what they are about."""
    return {about: _fold(mine) for about, mine in told.items()}


def states_along(events: Iterable[Event]) -> Iterator[State]:
    """The state of one thing after each event in turn, by events `in_force` about it alone."""
    folding = _Folding()
    for each in events:
        folding = _folded(folding, each)
        yield folding.state()


def _fold(events: Sequence[Event]) -> State:
    folding = _Folding()
    for each in events:
        folding = _folded(folding, each)
    return folding.state()


def _folded(folding: _Folding, event: Event) -> _Folding:
    if event.what is What.LOST:
        return folding.without(event)
    _DOING[event.what](folding, event)
    return folding


class _Folding:
    """What is known of one thing so far; `state` reads it out."""

    def __init__(self) -> None:
        self.made = Step.BOARDED
        self.shot = Step.BOARDED
        self.reached: dict[Step, datetime] = {}
        self.takes: dict[str, Take] = {}
        self.in_use = ""
        self.doubted: frozenset[str] = frozenset()  # no good, and told as in the can
        self.scanned: str | None = None
        self.rulings: list[Ruling] = []
        self.holds: dict[str, Hold] = {}
        self.is_standing = False
        self.lost: Hold | None = None
        self.omitted: Hold | None = None
        self.recut: datetime | None = None
        self.measured: dict[str, str] = {}
        self.is_begun = False

    def make(self, event: Event) -> None:
        step = _MADE[event.what]
        self.measured.update(event.details.values)
        self.is_begun, self.lost = True, None
        self.made = max(self.made, step)
        self.reached.setdefault(step, event.at)
        if step >= Step.BUILT and self.is_refused(self.in_use):
            self.do_again()
            self.reached[step] = event.at

    def do_again(self) -> None:
        """What was refused is done again, whatever takes were called: nobody ruled on that yet."""
        self.rulings = [each for each in self.rulings if each.take != self.in_use]

    def stage(self, event: Event) -> None:
        """On stage, or set up; what stands on a stage has been built."""
        step = Step.SET_UP if event.what is What.SET_UP else Step.ON_STAGE
        self.is_begun, self.lost = True, None
        self.made = max(self.made, Step.BUILT)
        self.is_standing = self.is_standing or step is Step.SET_UP
        self.advance(step, event)

    def take(self, event: Event) -> None:
        told = event.details
        known = self.takes.get(told.take)
        self.takes[told.take] = Take(
            told.take,
            event.at,
            told.verdict or _left_of(known, circled=told.circled),
            told.circled or (known is not None and known.circled),
            (known.notes if known else ()) + told.notes,
            told.plate_take or (known.plate_take if known else ""),
            told.program or (known.program if known else ""),
        )
        self.is_begun, self.lost = True, None
        self.advance(Step.SHOOTING, event)
        was_used = self.in_use == told.take or (known is not None and not self.in_use)
        was_bad = known is not None and known.verdict is Verdict.NO_GOOD
        self.choose(told.take, circled=told.circled)
        if told.take in self.doubted and not self.is_bad(told.take):
            self.doubted -= {told.take}
            self.advance(Step.IN_THE_CAN, event)
        if was_used and not was_bad and not self.in_use and self.are_all_bad():
            self.uncan(event)

    def uncan(self, event: Event) -> None:
        """Nothing of what is in the can will do: it is photographed again."""
        if self.shot > Step.SHOOTING:
            self.shot = Step.SHOOTING
            self.reached[self.shot] = event.at

    def are_all_bad(self) -> bool:
        """Whether every take is no good by the last word on it."""
        return all(each.verdict is Verdict.NO_GOOD for each in self.takes.values())

    def choose(self, number: str, *, circled: bool) -> None:
        """The take in use: the last one circled, else the last that was good or kept."""
        known = self.takes.get(number)
        bad = self.is_bad(number)
        if bad and number == self.in_use:
            left = [e for e in self.takes.values() if e.verdict not in {None, Verdict.NO_GOOD}]
            self.in_use = max(left, key=lambda e: (e.circled, e.at)).number if left else ""
        elif not bad and (circled or (_is_good(known) and not self.is_settled())):
            self.in_use = number

    def is_settled(self) -> bool:
        """Whether the take in use is circled and nobody has refused it since."""
        take = self.takes.get(self.in_use)
        return take is not None and take.circled and not self.is_refused(take.number)

    def is_refused(self, number: str) -> bool:
        """Whether the last word on a take is that it is not approved."""
        return any(each.take == number and not each.is_approval for each in self.rulings)

    def is_bad(self, number: str) -> bool:
        """Whether a take is no good by the last word on it."""
        known = self.takes.get(number)
        return known is not None and known.verdict is Verdict.NO_GOOD

    def can(self, event: Event) -> None:
        self.is_begun, self.lost = True, None
        number = event.details.take
        if self.is_bad(number):
            # Film alone makes nothing of it: somebody must first say that the take will do.
            self.doubted |= {number}
            return
        if number:
            self.in_use = number
        elif self.is_refused(self.in_use):
            self.do_again()
        self.advance(Step.IN_THE_CAN, event)

    def scan(self, event: Event) -> None:
        self.is_begun = True
        self.scanned = event.details.take or self.in_use
        self.reached[Step.SCANNED] = event.at
        if self.is_bad(self.scanned):
            self.doubted |= {self.scanned}
            return
        self.in_use = self.in_use or self.scanned
        self.advance(Step.IN_THE_CAN, event)

    def rule(self, event: Event) -> None:
        told = event.details
        take = told.take or self.in_use
        self.in_use = self.in_use or take
        notes = told.notes
        approves = event.what is What.APPROVED
        self.rulings = [each for each in self.rulings if each.take != take]
        self.rulings.append(Ruling(told.by, event.at, take, notes, approves))
        if not approves and take == self.in_use:
            # What was refused is to be photographed again, where it still stands or from cold.
            self.shot = min(self.shot, Step.SHOOTING) if self.is_standing else Step.BOARDED
            self.reached[self.shot] = event.at

    def advance(self, step: Step, event: Event) -> None:
        if step > self.shot:
            self.reached[step] = event.at
            self.shot = step

    def hold(self, event: Event) -> None:
        told = event.details
        self.holds.setdefault(told.by, Hold(told.by, event.at, told.why))

    def free(self, event: Event) -> None:
        """Let go by one who holds it, or by all where nobody is named; what broke is mended."""
        if event.details.by:
            self.holds.pop(event.details.by, None)
        else:
            self.holds.clear()
            self.lost = None

    def strike(self, _event: Event) -> None:
        self.is_standing = False
        if self.shot < Step.IN_THE_CAN:
            self.shot = Step.BOARDED

    def without(self, event: Event) -> _Folding:
        """All is to be made again; what it once was does not count."""
        new = _Folding()
        new.holds, new.omitted, new.recut = self.holds, self.omitted, self.recut
        new.is_begun = self.is_begun
        told = event.details
        new.lost = Hold(told.by, event.at, told.why, told.values.get(BACK, ""))
        return new

    def omit(self, event: Event) -> None:
        by = event.details.by or event.author
        self.omitted = Hold(by, event.at, event.details.why)

    def take_back(self, _event: Event) -> None:
        self.omitted = None

    def cut(self, event: Event) -> None:
        self.recut = event.at

    def state(self) -> State:
        of_this = [each for each in self.rulings if each.take == self.in_use]
        ruling = of_this[-1] if of_this else None
        step = self._step(ruling)
        return State(
            step,
            self._since(step, ruling),
            self.made,
            self.is_standing,
            tuple(self.takes.values()),
            self.in_use,
            ruling,
            tuple(each for each in self.rulings if each.take != self.in_use),
            tuple(self.holds.values()),
            self.lost,
            self.omitted,
            self.recut,
            dict(self.measured),
            (bare := self._step(None), self._since(bare, None)),
            self.is_begun,
        )

    def _since(self, step: Step, ruling: Ruling | None) -> datetime | None:
        if self.lost is not None:
            return self.lost.since
        if step is Step.APPROVED and ruling is not None:
            return ruling.at
        return self.reached.get(step)

    def _step(self, ruling: Ruling | None) -> Step:
        if ruling is not None and ruling.is_approval:
            return Step.APPROVED
        if self.shot is Step.IN_THE_CAN and self.scanned == self.in_use:
            return Step.SCANNED
        return max(self.made, self.shot)


def _left_of(known: Take | None, *, circled: bool) -> Verdict | None:
    """The verdict on a take of which none is told now; circling says that it will do after all."""
    if known is None or (circled and known.verdict is Verdict.NO_GOOD):
        return None
    return known.verdict


def _is_good(take: Take | None) -> bool:
    # A long ledger asks this of every take: comparing is quicker than looking up in a set.
    return take is not None and (take.verdict is Verdict.GOOD or take.verdict is Verdict.KEPT)


_DOING = {
    What.MEASURED: _Folding.make,
    What.SETTLED: _Folding.make,
    What.BUILT: _Folding.make,
    What.PROVEN: _Folding.make,
    What.ON_STAGE: _Folding.stage,
    What.SET_UP: _Folding.stage,
    What.TAKE: _Folding.take,
    What.IN_THE_CAN: _Folding.can,
    What.SCANNED: _Folding.scan,
    What.APPROVED: _Folding.rule,
    What.NOT_APPROVED: _Folding.rule,
    What.HELD: _Folding.hold,
    What.FREED: _Folding.free,
    What.STRUCK: _Folding.strike,
    What.OMITTED: _Folding.omit,
    What.UN_OMITTED: _Folding.take_back,
    What.RECUT: _Folding.cut,
}
