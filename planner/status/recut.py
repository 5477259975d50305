"""What a new cut does to a show: shot by shot, element by element, in frames, money and days.

Takes the show, the changes and what happened on the floor, gives a `Recut`: what stays, what wants
hours of work and what is photographed anew, what was spent for nothing, and what to ask editorial
for in return. Everything is priced on the days of one stage order, so that nothing moves but what
the change moves. Nothing is written here.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from planner.bid.outlook import moved
from planner.model.cut import Act
from planner.model.names import counted
from planner.status.its_frames import short_words
from planner.status.judging import Made, Verdict, judged_show
from planner.status.mending import Pricing, good_by
from planner.status.recut_edits import Asked, Writing, with_edits, written
from planner.status.recut_frames import (
    ElementAfter,
    Floor,
    Outcome,
    Sides,
    in_hand,
    judged_shot,
    seen,
)
from planner.status.recut_money import (
    Fates,
    Money,
    Spent,
    camera_hours,
    hours_left,
    reckoned,
)
from planner.status.rested import facts_of
from planner.status.state import Step

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
    from decimal import Decimal

    from planner.bid import Bid
    from planner.bid.lines import BidLine
    from planner.bid.outlook import Moved, Outlook
    from planner.estimate import Estimates
    from planner.model.cut import CutChange
    from planner.model.facts import FrameRange
    from planner.model.place import Problem
    from planner.model.show import Element, Show
    from planner.status.recut_money import Hours

MOST_ASKED = 6
"""Alternatives priced, the dearest shots first; each costs as much as pricing the show again."""


@dataclass(frozen=True, slots=True)
class Priced:
    """A show estimated and priced.

    Attributes:
        estimates: what its elements need.
        bid: what it costs, on the days of the order that stands.
        findings: what nobody has waived, and waivers that do not fit.
    """

    estimates: Estimates
    bid: Bid
    findings: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class Situation:
    """The show as it stands, and how to price another.

    Attributes:
        show: as it is.
        priced: the show as it is.
        price: prices another show on the same days.
        floor: what was made.
        left: estimates of the work still to do.
        spent: so far.
        past: spent on makings that count no more, by element.
        basis: the order whose days everything is priced on, a clause.
    """

    show: Show
    priced: Priced
    price: Callable[[Show], Priced]
    floor: Floor
    left: Estimates
    spent: Spent
    past: Mapping[str, Decimal] = field(default_factory=dict)
    basis: str = "the stage order as it is now"


@dataclass(frozen=True, slots=True)
class Return:
    """What editorial could give so that nothing is photographed anew, or held or slowed.

    Attributes:
        says: the change, a sentence.
        saves: what is paid less than for the change as asked, loads included; None where it was not
            priced.
    """

    says: str
    saves: Decimal | None


@dataclass(frozen=True, slots=True)
class ShotAfter:
    """What becomes of one shot.

    Attributes:
        shot: its id.
        changes: of it, in order.
        was: its cut before.
        now: its cut after.
        elements: each of its live elements.
        falls: approvals that no longer stand, in sentences.
        by_hand: what people must write or decide, in sentences.
        give_back: what to ask editorial for; None where there is nothing to ask.
    """

    shot: str
    changes: tuple[CutChange, ...]
    was: FrameRange | None
    now: FrameRange | None
    elements: tuple[ElementAfter, ...]
    falls: tuple[str, ...]
    by_hand: tuple[str, ...]
    give_back: Return | None = None

    @property
    def outcome(self) -> Outcome:
        """The most that any element asks."""
        return max((each.outcome for each in self.elements), default=Outcome.SAME)


@dataclass(frozen=True, slots=True)
class Planned:
    """What the whole bid comes to and when, by the order people work by.

    Attributes:
        now: as it stands.
        then: once the change is accepted, its order planned again where the one issued no longer
            fits, or arranged anew where none is.
        sides: without the change and with it, both planned on from one day where either is: as it
            stands now and then, where both go by the issued order or by none.
        order: which order `then` goes by, a clause.
        is_issued: whether an issued order gives the days; where none does, nobody is called on any
            of them yet, and two searches differ by more than the change.
    """

    now: Outlook
    then: Outlook
    sides: tuple[Outlook, Outlook]
    order: str
    is_issued: bool = True

    @property
    def is_alike(self) -> bool:
        """Whether now and then differ by the change alone."""
        return self.sides == (self.now, self.then)

    @property
    def more(self) -> Decimal:
        """What the change makes the bid dearer by; below nought, cheaper."""
        without, beside = self.sides
        return beside.total - without.total

    @property
    def more_anyway(self) -> Decimal:
        """By how much it is dearer then for being planned again, or for being so no more."""
        return self.then.total - self.now.total - self.more

    @property
    def by_change(self) -> tuple[Moved, ...]:
        """Composites that the change moves."""
        without, beside = self.sides
        return moved(without.finals, beside.finals)

    @property
    def anyway(self) -> tuple[Moved, ...]:
        """Those that planning on moves, without the change, or back with it."""
        without, beside = self.sides
        return moved(self.now.finals, without.finals) or moved(beside.finals, self.then.finals)


@dataclass(frozen=True, slots=True)
class Recut:
    """What a new cut does.

    Attributes:
        writing: what would be written, and what cannot be.
        shots: those it touches, in the order of the changes.
        money: sums, in the show's currency.
        currency: ISO 4217 code.
        camera_hours: hours before a camera, more or fewer.
        day_hours: working hours of a day.
        new_findings: what `check` and the bid would find that they do not find now.
        gone_findings: how many findings would be gone.
        stray_waivers: waivers that would no longer fit, in sentences.
        planned: the bid as it will be; None where that is not worked out.
        basis: the order whose days the sums are on, a clause.
    """

    writing: Writing
    shots: tuple[ShotAfter, ...]
    money: Money
    currency: str
    camera_hours: float
    day_hours: float
    new_findings: tuple[Problem, ...] = ()
    gone_findings: int = 0
    stray_waivers: tuple[str, ...] = ()
    planned: Planned | None = None
    basis: str = ""

    @property
    def stage_days(self) -> float:
        """The same in working days."""
        return self.camera_hours / self.day_hours


def recut(situation: Situation, changes: Sequence[CutChange], asked: Asked) -> Recut:
    """Judge and price `changes`, and look for what would avoid the dearest of it.

    Args:
        situation: the show as it stands.
        changes: in order.
        asked: who wants them, and when.
    """
    found = _judged(situation, changes, asked)
    dear = [each for each in found.shots if any(_is_short(one) for one in each.elements)]
    dear.sort(key=lambda each: -_net(found, each))
    asks = {each.shot: _ask(situation, found, changes, asked, each) for each in dear[:MOST_ASKED]}
    for each in dear[MOST_ASKED:]:
        gentle = _gentler(situation.show, each)
        asks[each.shot] = Return(gentle[0], None) if gentle else None
    shots = tuple(replace(each, give_back=asks.get(each.shot)) for each in found.shots)
    return replace(found, shots=shots)


def _is_short(found: ElementAfter) -> bool:
    """Whether editorial could spare something by taking less of it."""
    return found.outcome is Outcome.NEW or found.mend is not None


def _net(found: Recut, shot: ShotAfter) -> float:
    sums = found.money.by_element
    return sum(float(sums[each.id].net) for each in shot.elements if each.id in sums)


def _judged(situation: Situation, changes: Sequence[CutChange], asked: Asked) -> Recut:
    writing = written(situation.show, changes, asked)
    unfit = {id(change) for change, _why in writing.unfit}
    fit = [each for each in changes if id(each) not in unfit]
    before, after = situation.priced, situation.price(writing.show)
    needs = (before.estimates, after.estimates)
    back = _back(situation.show, writing.show)
    left = hours_left(needs, situation.left, back)
    takes = {each.element: _take_frames(situation, each) for each in fit if each.act is Act.TAKE}
    sides = Sides(
        situation.show,
        writing.show,
        needs,
        {id_: each.hands for id_, each in left.items()},
        takes,
    )
    swapped = _swapped(situation, writing, takes)
    shots = tuple(_shots(situation, sides, writing, fit, swapped))
    elements = [each for shot in shots for each in shot.elements]
    fates = Fates(
        {each.id for each in elements if each.outcome is Outcome.NEW},
        {each.id for each in elements if each.outcome is Outcome.GONE},
        {each.id for each in elements if _is_kept(each)},
        {each.id for each in elements if _is_kept(each) and each.outcome is Outcome.CHEAP},
        {each.id for each in elements},
        back,
    )
    mending = _mending(writing.show, after.estimates, elements, asked)
    bid = replace(after.bid, lines=(*after.bid.lines, *mending))
    money = reckoned(before.bid, bid, situation.spent, fates, situation.past)
    return Recut(
        writing,
        shots,
        money,
        situation.show.currency,
        sum(_camera(each, left, after.estimates) for each in elements),
        situation.show.calendar.day_hours,
        *_findings(before.findings, after.findings),
        basis=situation.basis,
    )


def _mending(
    show: Show, needs: Estimates, elements: Iterable[ElementAfter], asked: Asked
) -> Iterator[BidLine]:
    """What it costs to hold or slow the frames that are short, priced as `stale` prices it."""
    pricing = Pricing(show, needs, (), asked.on)
    for each in elements:
        if each.mend is not None:
            short = short_words(each.short_head, each.short_tail)
            work = good_by(each.mend, short, needs.by_element[each.id].work)
            yield from pricing.lines(show.elements[each.id], work)


def _back(before: Show, after: Show) -> frozenset[str]:
    """Elements that were not wanted before and are after."""
    known = before.elements
    return frozenset(
        id_
        for id_, each in after.elements.items()
        if id_ in known and after.is_live(each) and not before.is_live(known[id_])
    )


def _is_kept(found: ElementAfter) -> bool:
    """Whether frames in hand of it serve; a program is not photographed."""
    serves = found.outcome in {Outcome.SAME, Outcome.CHEAP}
    return found.in_hand is not None and serves and found.kind != "camera_move"


def _take_frames(situation: Situation, change: CutChange) -> FrameRange | None:
    """Frames of a take swapped in: as the change says, else as the floor posted."""
    if change.frames is not None:
        return change.frames
    told = situation.floor.events.get(change.element, ())
    found = [
        each.details.frames
        for each in told
        if each.details.take == change.take and each.details.frames
    ]
    return found[-1] if found else None


def _shots(
    situation: Situation,
    sides: Sides,
    writing: Writing,
    changes: Sequence[CutChange],
    swapped: Mapping[str, tuple[Outcome, str]],
) -> Iterator[ShotAfter]:
    by_shot: dict[str, list[CutChange]] = {}
    for change in changes:
        by_shot.setdefault(change.shot, []).append(change)
        if change.act is Act.JOIN:
            by_shot.setdefault(change.other, [])
    for id_, mine in by_shot.items():
        by_hand = writing.by_hand.get(id_, ())
        if id_ not in situation.show.shots:
            frames = mine[0].frames if mine else None
            yield ShotAfter(id_, tuple(mine), None, frames, (), (), by_hand)
            continue
        elements = tuple(
            _worse(each, swapped.get(each.id)) for each in judged_shot(sides, situation.floor, id_)
        )
        before, after = sides.before.shots[id_], sides.after.shots[id_]
        falls = tuple(_falls(situation, elements, mine))
        yield ShotAfter(id_, tuple(mine), before.cut, after.cut, elements, falls, by_hand)


def _worse(found: ElementAfter, other: tuple[Outcome, str] | None) -> ElementAfter:
    if other is None or other[0] <= found.outcome:
        return found
    return replace(found, outcome=other[0], reasons=(other[1], *found.reasons))


def _swapped(
    situation: Situation, writing: Writing, takes: Mapping[str, FrameRange | None]
) -> dict[str, tuple[Outcome, str]]:
    """What rests on a plate whose take is swapped, by the rules for facts that change."""
    if not takes:
        return {}
    edits = [each for each in writing.edits if each.owner in takes]
    after = with_edits(situation.show, edits)
    shots = {situation.show.elements[id_].shot for id_ in takes}
    near = [each for each in situation.show.elements.values() if each.shot in shots]
    begun = {each.id: each for each in near if each.id not in takes and _is_begun(situation, each)}
    found = judged_show(
        {id_: facts_of(situation.show, each) for id_, each in begun.items()},
        {id_: facts_of(after, after.elements[id_]) for id_ in begun},
        {id_: _made(situation, each, takes) for id_, each in begun.items()},
        takes={id_: after.elements[id_].facts.group("report").word("take") for id_ in takes},
    )
    said = {}
    for id_, each in found.items():
        if each.verdict is not Verdict.GOOD:
            outcome = Outcome.NEW if each.verdict is Verdict.DEAD else Outcome.CHEAP
            said[id_] = (outcome, next(iter(each.reasons), "it was made to the other take"))
    for id_, each_ in begun.items():
        if id_ not in said and (named := _names_plate(each_, takes)):
            said[id_] = (Outcome.CHEAP, f"made to the other take of {named}: look at it again")
    return said


def _names_plate(element: Element, takes: Iterable[str]) -> str:
    named = {each.target for each in element.references}
    return next((each for each in takes if each in named), "")


def _is_begun(situation: Situation, element: Element) -> bool:
    standing = situation.floor.standing
    return standing.of(element.id).step > Step.BOARDED or (
        in_hand(situation.show, element, situation.floor) is not None
    )


def _made(situation: Situation, element: Element, takes: Iterable[str]) -> Made:
    """What exists of an element, and the takes of plates it was made from."""
    held = in_hand(situation.show, element, situation.floor)
    named = {each.target for each in element.references} & set(takes)
    plates = {id_: situation.show.elements[id_].facts.group("report") for id_ in named}
    return Made(
        frames=held.frames if held else None,
        takes={id_: take for id_, report in plates.items() if (take := report.word("take"))},
    )


def _falls(
    situation: Situation, elements: Iterable[ElementAfter], changes: Iterable[CutChange]
) -> Iterator[str]:
    """Approvals that were given of what is not so any more."""
    if all(each.act is Act.ORDER for each in changes):
        return
    for each in elements:
        ruling = situation.floor.standing.of(each.id).ruling
        if ruling is None or not ruling.is_approval:
            continue
        take = f" take {ruling.take}" if ruling.take else ""
        given = f"{ruling.by} approved {each.id}{take} on {ruling.at:%Y-%m-%d}"
        if each.kind == "composite" and each.outcome is not Outcome.GONE:
            yield f"{given}, of the old cut: show it again"
        elif each.outcome is Outcome.NEW:
            yield f"{given}: it is photographed anew"
        elif each.mend is not None:
            yield f"{given}: frames of it are held or slowed, so show it again"


def _camera(found: ElementAfter, left: Mapping[str, Hours], needs: Estimates) -> float:
    """Hours before a camera, more or fewer, of one element."""
    hours = left.get(found.id)
    if hours is None:
        return 0.0
    before, after = hours.camera
    if found.outcome is Outcome.GONE:
        return -before
    if found.outcome is Outcome.NEW:
        return camera_hours(needs.by_element[found.id]) - before
    return after - before


def _findings(
    before: Iterable[Problem], after: Iterable[Problem]
) -> tuple[tuple[Problem, ...], int, tuple[str, ...]]:
    """New ones, how many are gone, and waivers that stray now."""
    known = {(each.code, each.about, each.message) for each in before}
    now = {(each.code, each.about, each.message): each for each in after}
    new = [each for key, each in now.items() if key not in known]
    stray = tuple(f"{each.about}: {each.message}" for each in new if each.code.startswith("waiver"))
    rest = (each for each in new if not each.code.startswith("waiver"))
    return tuple(sorted(rest, key=lambda each: each.severity)), len(known - now.keys()), stray


def _ask(
    situation: Situation,
    found: Recut,
    changes: Sequence[CutChange],
    asked: Asked,
    shot: ShotAfter,
) -> Return | None:
    """The smallest change of this cut with which nothing of the shot is photographed anew.

    Where nothing is anyway, that with which nothing is held or slowed. None where it saves nothing.
    """
    gentle = _gentler(situation.show, shot)
    if gentle is None:
        return None
    says, mine = gentle
    others = [each for each in changes if each.shot != shot.shot]
    instead = _judged(situation, [*others, *mine], asked)
    again = next((each for each in instead.shots if each.shot == shot.shot), None)
    if again is not None and again.outcome is Outcome.NEW:
        return None
    saves = found.money.all.net - instead.money.all.net
    return Return(says, saves) if saves > 0 else None


def _gentler(show: Show, shot: ShotAfter) -> tuple[str, list[CutChange]] | None:
    """In words, and the shot's changes as they would then be; None where nothing would help."""
    new = [each for each in shot.elements if each.outcome is Outcome.NEW]
    short = new or [each for each in shot.elements if each.mend is not None]
    if not short or any(each.act in {Act.UN_OMIT, Act.ADD} for each in shot.changes):
        return None
    plates = {each.element: each for each in shot.changes if each.act is Act.TAKE}
    if plates:
        kept = [each for each in shot.changes if each.act is not Act.TAKE]
        names = " and ".join(_take_kept(show, each) for each in plates)
        return f"keep {names} in {shot.shot}", kept
    retimed = next((each for each in shot.changes if each.act is Act.RETIME), None)
    if retimed is not None:
        return _slower(show, shot, retimed, short)
    head = max(each.short_head for each in short)
    tail = max(each.short_tail for each in short)
    if not head and not tail:
        return None
    ends = [
        f"{counted(count, 'frame')} at the {end}"
        for count, end in ((head, "head"), (tail, "tail"))
        if count
    ]
    return f"give back {' and '.join(ends)} of {shot.shot}", _given_back(shot.changes, head, tail)


def _take_kept(show: Show, id_: str) -> str:
    take = show.elements[id_].facts.group("report").word("take")
    return f"take {take} of {id_}" if take else f"the take of {id_}"


def _given_back(changes: Iterable[CutChange], head: int, tail: int) -> list[CutChange]:
    """Changes of length less so many frames, those of no frames left out."""
    kept = []
    for each in changes:
        if each.act is not Act.LENGTH:
            kept.append(each)
            continue
        less = (min(head, max(each.head, 0)), min(tail, max(each.tail, 0)))
        head, tail = head - less[0], tail - less[1]
        now = replace(each, head=each.head - less[0], tail=each.tail - less[1])
        if now.head or now.tail:
            kept.append(now)
    return kept


def _slower(
    show: Show, shot: ShotAfter, retimed: CutChange, short: Iterable[ElementAfter]
) -> tuple[str, list[CutChange]] | None:
    """The fastest whole per cent at which the frames in hand serve the cut."""
    cut = shot.now
    fits = []
    for each in short:
        span = each.in_hand.frames if each.in_hand else None
        shown = seen(show.elements[each.id], show.shots[shot.shot])
        if cut is None or span is None or shown is None or each.short_head:
            return None
        last = min(shown.last, cut.last)
        fits.append((span.last - cut.first + 1) / (last - cut.first + 1))
    percent = int(min(fits, default=0.0) * 100 + 1e-9)
    if percent <= 0:
        return None
    rest = [each for each in shot.changes if each is not retimed]
    speed = percent / 100
    mine = [*rest, replace(retimed, speed=speed)]
    return f"show {shot.shot} at {percent} % of the speed", mine


__all__ = ["Asked", "Priced", "Recut", "Return", "ShotAfter", "Situation", "recut"]
