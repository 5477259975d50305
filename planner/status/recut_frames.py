"""Frames of every element against a new cut: those in hand, those wanted, those short.

Takes the show before and after a change of the cut, what happened on the floor and the estimates of
both, gives for each element of a shot whether it stays, wants hours of work or is to be made anew.
Frames are counted per element, not per shot. Knows nothing of money.

A frame short is one that the new cut shows and that does not exist; handles may be eaten into, and
what is left of them is told.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import IntEnum
from typing import TYPE_CHECKING

from planner.kinds.dial import is_photographed
from planner.ledger import What
from planner.model.facts import Facts, FrameRange
from planner.model.names import counted
from planner.model.quantity import Quantity
from planner.status.its_frames import at_speed, beyond, exists_of, saving_hours
from planner.status.rested import handles_of
from planner.status.state import Step
from planner.status.verdicts import Made, Thumb, own_rules

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from planner.estimate import Estimates
    from planner.kinds import Hours
    from planner.ledger import Basis, Event
    from planner.model.facts import Value
    from planner.model.show import Element, Shot, Show
    from planner.status.standing import Standing

_EXISTS_BY = {What.TAKE, What.IN_THE_CAN}


class Outcome(IntEnum):
    """What a change asks of an element; later ones ask more."""

    SAME = 0
    GONE = 1
    CHEAP = 2
    NEW = 3

    def __str__(self) -> str:
        return _OUTCOMES[self]


_OUTCOMES = {
    Outcome.SAME: "same",
    Outcome.GONE: "not wanted",
    Outcome.CHEAP: "cheap",
    Outcome.NEW: "new photography",
}


@dataclass(frozen=True, slots=True)
class InHand:
    """Frames of an element that exist.

    Attributes:
        frames: in the shot's own count.
        known_by: who or what says so, as a clause.
        scanned: those scanned, where somebody said; more can be scanned of the same negative.
    """

    frames: FrameRange
    known_by: str
    scanned: FrameRange | None = None


@dataclass(frozen=True, slots=True)
class ElementAfter:
    """One element of a shot that was recut.

    Attributes:
        id: of the element.
        kind: of the element.
        outcome: what is asked of it.
        reasons: why, a sentence each.
        in_hand: frames that exist; None where none do, or where it is not photographed.
        wanted: frames the new cut shows of it; None where it shows none.
        short_head: frames wanted before the first in hand.
        short_tail: frames wanted after the last in hand.
        hours: of hands, more or fewer than before.
        mend: hours by which the frames short are held or slowed; None where that is not asked.
    """

    id: str
    kind: str
    outcome: Outcome
    reasons: tuple[str, ...] = ()
    in_hand: InHand | None = None
    wanted: FrameRange | None = None
    short_head: int = 0
    short_tail: int = 0
    hours: float = 0.0
    mend: Hours | None = None


@dataclass(frozen=True, slots=True)
class Floor:
    """What is known of what was made.

    Attributes:
        standing: where every piece stands.
        events: those in force, oldest first.
        bases: facts that events rested on, by mark.
    """

    standing: Standing
    events: Mapping[str, Sequence[Event]]
    bases: Mapping[str, Basis]


@dataclass(frozen=True, slots=True)
class Sides:
    """The show before and after, with what its elements need.

    Attributes:
        before: the show as it is.
        after: as it would be.
        needs: estimates of both, before and after, of all the work.
        left: per element, hands x hours still to do before and after; see `recut_money`.
        takes: frames of the takes swapped in, by element; None where nobody says.
    """

    before: Show
    after: Show
    needs: tuple[Estimates, Estimates]
    left: Mapping[str, tuple[float, float]]
    takes: Mapping[str, FrameRange | None]


def seen(element: Element, shot: Shot) -> FrameRange | None:
    """Frames of the cut on which an element is seen; None where it is on none."""
    if shot.cut is None:
        return element.facts.frames("in_frame")
    span = element.facts.frames("in_frame")
    return shot.cut if span is None else span.overlap(shot.cut)


def wanted(element: Element, shot: Shot) -> FrameRange | None:
    """Frames of its own that an element must have: those seen, at the speed they are shown."""
    span = seen(element, shot)
    if span is None or shot.cut is None:
        return span
    return at_speed(span, shot.cut.first, shot.facts.amount("speed", 1.0))


def in_hand(show: Show, element: Element, floor: Floor) -> InHand | None:
    """Frames of an element that exist; None where nothing is photographed that may be used.

    The floor's word on the take in use comes first, then what the file states, then what was
    ordered when it was photographed, with its handles: nobody wrote down less or more.
    """
    state = floor.standing.of(element.id)
    report = element.facts.group("report")
    stated = element.facts.frames("frames_in_hand")
    exists = state.in_use != "" or state.step >= Step.IN_THE_CAN
    if state.lost is not None or state.is_refused:
        return None
    told = list(floor.events.get(element.id, ()))
    said = _said(told, state.in_use, _EXISTS_BY)
    scanned = _said(told, state.in_use, {What.SCANNED})
    take = f"take {state.in_use}" if state.in_use else "what is in the can"
    if said is not None:
        return InHand(said, f"{take}, as posted", scanned)
    if scanned is not None and exists:
        return InHand(scanned, f"{take}, as scanned", scanned)
    if stated is not None:
        return InHand(stated, "as frames_in_hand says")
    if exists or report.flag("taken"):
        ordered = _ordered(show, element, told, floor.bases)
        by = take if exists else f"take {report.word('take')}".replace("take ?", "its take")
        if ordered is not None:
            return InHand(ordered, f"{by.strip()}, as ordered: nobody recorded its frames")
    return None


def _said(told: Sequence[Event], take: str, whats: set[What]) -> FrameRange | None:
    """Frames last told of the take in use; of no take by number, of all there is."""
    found = [
        each.details.frames
        for each in told
        if each.what in whats and each.details.frames and each.details.take in {take, ""}
    ]
    return found[-1] if found else None


def _ordered(
    show: Show, element: Element, told: Sequence[Event], bases: Mapping[str, Basis]
) -> FrameRange | None:
    """Frames it was to have when it was photographed, handles included."""
    marks = [each.against for each in told if each.what in _EXISTS_BY and each.against in bases]
    if marks and (found := exists_of(bases[marks[-1]].facts, {}, Made())) is not None:
        return found
    span, handle = wanted(element, show.shots[element.shot]), int(handles_of(show))
    return None if span is None else FrameRange(span.first - handle, span.last + handle)


def judged_shot(sides: Sides, floor: Floor, shot: str) -> tuple[ElementAfter, ...]:
    """Every live element of a shot, in the order written."""
    after = sides.after.shots[shot]
    return tuple(
        _judged(sides, floor, id_) for id_ in after.elements if id_ not in sides.after.aside
    )


def _judged(sides: Sides, floor: Floor, id_: str) -> ElementAfter:
    element = sides.after.elements[id_]
    was, now = sides.before.shots[element.shot], sides.after.shots[element.shot]
    found = ElementAfter(id_, element.kind, Outcome.SAME, hours=_hours(sides, id_))
    if not now.is_live:
        held = in_hand(sides.before, sides.before.elements[id_], floor)
        return replace(found, outcome=Outcome.GONE, in_hand=held)
    if is_photographed(sides.needs[1].by_element[id_]):
        found = _photographed(sides, floor, element, found)
    elif element.kind == "camera_move":
        found = _move(sides, element, found)
    elif element.kind == "stock":
        found = _stock(sides, element, found)
    else:
        found = _by_hand(sides, floor, element, found)
    if not was.is_live and found.outcome is Outcome.SAME and found.in_hand is None:
        found = replace(found, reasons=(*found.reasons, "wanted again, and still to be made"))
    reasons = (
        *found.reasons,
        *_parting(sides, element),
        *cut_away(sides.before, sides.after, element),
    )
    return replace(found, reasons=reasons)


def _parting(sides: Sides, element: Element) -> Iterator[str]:
    """A part that hands its subject over, or takes it, on other frames than before."""
    part = element.target("hands_over_to")
    if not part:
        return
    for id_ in (element.id, part):
        before, after = sides.before.elements[id_], sides.after.elements[id_]
        was = seen(before, sides.before.shots[before.shot]) if before.shot else None
        now = seen(after, sides.after.shots[after.shot]) if after.shot else None
        if was != now:
            said = f"{now.first} to {now.last}" if now else "no frame"
            yield f"the hand-over to {part} is to be met anew: {id_} is seen on {said} now"
            return


def _hours(sides: Sides, id_: str) -> float:
    before, after = sides.left.get(id_, (0.0, 0.0))
    return after - before


def _photographed(
    sides: Sides, floor: Floor, element: Element, found: ElementAfter
) -> ElementAfter:
    shot = sides.after.shots[element.shot]
    want = wanted(element, shot)
    held = in_hand(sides.before, sides.before.elements[element.id], floor)
    if element.id in sides.takes:
        held = _swapped_in(sides, floor, element)
        found = _doubt(found, sides.takes[element.id])
    found = replace(found, in_hand=held, wanted=want)
    if held is None:
        return replace(found, reasons=(*found.reasons, *_to_be_ordered(sides, element, want)))
    if want is None:
        return replace(found, reasons=("the new cut shows none of it",))
    head, tail = beyond(want, held.frames)
    if head or tail:
        return _short(sides, floor, element, replace(found, short_head=head, short_tail=tail))
    return _enough(sides, element, replace(found, in_hand=held))


def _swapped_in(sides: Sides, floor: Floor, element: Element) -> InHand | None:
    """Frames of the take swapped in; where nobody says, those that every take was to have."""
    frames = sides.takes[element.id]
    if frames is not None:
        return InHand(frames, "the take swapped in")
    told = list(floor.events.get(element.id, ()))
    ordered = _ordered(sides.before, sides.before.elements[element.id], told, floor.bases)
    return None if ordered is None else InHand(ordered, "the take swapped in, as ordered")


def _doubt(found: ElementAfter, frames: FrameRange | None) -> ElementAfter:
    said = "nobody recorded the frames of the take swapped in: look before you accept"
    return found if frames else replace(found, reasons=(said,))


def _to_be_ordered(sides: Sides, element: Element, want: FrameRange | None) -> tuple[str, ...]:
    before = wanted(sides.before.elements[element.id], sides.before.shots[element.shot])
    if want is None or want == before:
        return ()
    handle = int(handles_of(sides.after))
    said = (
        f"not photographed yet: order {want.first - handle} to {want.last + handle},"
        f" {want.count + 2 * handle} frames"
    )
    return (said,)


def _short(sides: Sides, floor: Floor, element: Element, found: ElementAfter) -> ElementAfter:
    ends = [
        f"{counted(count, 'frame')} short at the {end}"
        for count, end in ((found.short_head, "head"), (found.short_tail, "tail"))
        if count
    ]
    says = f"{' and '.join(ends)}: {_held_words(found)}"
    stands = floor.standing.of(element.id).is_standing
    again = "; its set-up still stands: photograph it before it is struck" if stands else ""
    if is_still(element):
        says = f"{says}; nothing in it moves, so a frame may be printed on"
        again = ""
    mend = _mend(sides.after, element, found)
    if mend is not None:
        few = counted(found.short_head + found.short_tail, "frame")
        told = f"hold or slow {few}, or photograph again: {says}{again}"
        hours = found.hours + mend.likely
        reasons = (*found.reasons, told)
        return replace(found, outcome=Outcome.CHEAP, reasons=reasons, hours=hours, mend=mend)
    is_any_length = element.kind == "painting" and is_still(element)
    outcome = Outcome.CHEAP if is_any_length else Outcome.NEW
    return replace(found, outcome=outcome, reasons=(*found.reasons, f"{says}{again}"))


def _mend(show: Show, element: Element, found: ElementAfter) -> Hours | None:
    """What makes the frames short of those there are, as `stale` has it once the cut is so.

    One exposure of a painting serves any length; of what has not one frame of those wanted,
    nothing is held.
    """
    held, want = found.in_hand, found.wanted
    still = is_still(element)
    if held is None or want is None or held.frames.overlap(want) is None:
        return None
    if still and element.kind == "painting":
        return None
    thumb = Thumb(own_rules(show.facts))
    return saving_hours(found.short_head, found.short_tail, thumb, is_still=still)


def _held_words(found: ElementAfter) -> str:
    held, want = found.in_hand, found.wanted
    if held is None or want is None:
        return ""
    return (
        f"{held.frames.first} to {held.frames.last} exist ({held.known_by}) and {want.first} to"
        f" {want.last} are wanted"
    )


def is_still(element: Element) -> bool:
    """Whether every frame of it is like every other: nothing moves, the camera neither."""
    facts = element.facts
    moves = facts.has("travel") or bool(element.target("move_from")) or bool(facts.words("life"))
    return (element.kind == "painting" or facts.word("action") == "still") and not moves


def _enough(sides: Sides, element: Element, found: ElementAfter) -> ElementAfter:
    held, want = found.in_hand, found.wanted
    if held is None or want is None:
        return found
    before = wanted(sides.before.elements[element.id], sides.before.shots[element.shot])
    if want == before:
        return found
    head, tail = want.first - held.frames.first, held.frames.last - want.last
    said = (
        f"in hand {held.frames.first} to {held.frames.last} ({held.known_by}); handles left"
        f" {head} at the head, {tail} at the tail"
    )
    reasons = [said]
    outcome = Outcome.SAME
    if held.scanned is not None:
        more = sum(beyond(want, held.scanned))
        if more:
            outcome = Outcome.CHEAP
            reasons.append(f"scan {counted(more, 'frame')} more of the same negative")
    return replace(found, outcome=outcome, reasons=(*found.reasons, *reasons))


def _stock(sides: Sides, element: Element, found: ElementAfter) -> ElementAfter:
    """A library has so many frames of a thing; none more can be had."""
    want = wanted(element, sides.after.shots[element.shot])
    length = element.facts.number("length")
    held = element.facts.frames("frames_in_hand")
    found = replace(found, wanted=want)
    if want is None or (held is None and length is None):
        return found
    if held is None and length is not None:
        held = FrameRange(want.first, want.first + int(length.value) - 1)
    if held is None:
        return found
    head, tail = beyond(want, held)
    in_hand_ = InHand(held, element.facts.word("library") or "the library")
    found = replace(found, in_hand=in_hand_, short_head=head, short_tail=tail)
    if not head and not tail:
        return found
    said = (
        f"{counted(held.count, 'frame')} of it exist and {want.count} are wanted: other stock, or"
        " hold it slower"
    )
    return replace(found, outcome=Outcome.NEW, reasons=(said,))


def _move(sides: Sides, element: Element, found: ElementAfter) -> ElementAfter:
    """A program must run as long as the cut; frames of its file are those of the shot."""
    cut = sides.after.shots[element.shot].cut
    move = sides.after.moves.get(element.facts.word("data"))
    if cut is None or move is None or not move.axes:
        return found
    rows = min(len(axis.values) for axis in move.axes.values())
    has = FrameRange(move.first_frame, move.first_frame + rows - 1)
    head, tail = beyond(cut, has)
    held = InHand(has, f"moves/{move.id}.csv")
    found = replace(found, in_hand=held, wanted=cut, short_head=head, short_tail=tail)
    if not head and not tail:
        return found
    said = (
        f"the program runs {has.first} to {has.last}: write {counted(head + tail, 'frame')} more;"
        " what is already photographed on it keeps the rest"
    )
    return replace(found, outcome=Outcome.CHEAP, reasons=(said,))


def _by_hand(sides: Sides, floor: Floor, element: Element, found: ElementAfter) -> ElementAfter:
    """Outlines, paint and composites: hours, never photography."""
    shot = sides.after.shots[element.shot]
    found = replace(found, wanted=seen(element, shot))
    if found.hours > 0.005:
        return replace(found, outcome=Outcome.CHEAP, reasons=(f"{found.hours:.1f} h more",))
    if found.hours < -0.005:
        return replace(found, reasons=(f"{-found.hours:.1f} h fewer",))
    before, begun = sides.before.shots[element.shot], floor.standing.of(element.id).step
    if begun > Step.BOARDED and element.kind == "composite" and _is_shown_otherwise(before, shot):
        hours = one_version(sides.needs[1], element)
        said = f"one more version, {hours:.1f} h"
        return replace(found, outcome=Outcome.CHEAP, reasons=(said,), hours=hours)
    return found


def _is_shown_otherwise(before: Shot, after: Shot) -> bool:
    names = ("flop", "push_in", "speed", "cut")
    return any(before.facts.values.get(name) != after.facts.values.get(name) for name in names)


def one_version(estimates: Estimates, element: Element) -> float:
    """Hands x hours of one version of a composite: all of its work over the versions planned."""
    work = estimates.by_element[element.id].work
    versions = max(element.facts.amount("versions", 1.0), 1.0)
    return sum(each.hours.likely * each.heads for each in work) / versions


def cut_away(before: Show, after: Show, element: Element) -> Iterator[str]:
    """Cues, contacts, zones and the like that the old cut showed and the new one does not."""
    old, new = before.shots[element.shot].cut, after.shots[element.shot].cut
    if old is None or new is None or old == new:
        return
    for what, span in _happenings(element.facts, ""):
        shown, kept = span.overlap(old), span.overlap(new)
        lost = (shown.count if shown else 0) - (kept.count if kept else 0)
        if lost > 0 and kept is None:
            yield f"{what} on {span} is cut away"
        elif lost > 0 and span.first != old.first and span.last != old.last:
            yield f"{what} on {span} loses {counted(lost, 'frame')}"


_NOT_SEEN = {"frames_in_hand", "report", "pass_log", "edge_checks"}


def _happenings(facts: Facts, of: str) -> Iterator[tuple[str, FrameRange]]:
    """Every range of frames a thing states, and single frames of cues, with what they are of."""
    for name, value in facts.values.items():
        if name not in _NOT_SEEN:
            yield from _happening(name, value, of)


def _happening(name: str, value: Value, of: str) -> Iterator[tuple[str, FrameRange]]:
    words = name.replace("_", " ")
    if isinstance(value, FrameRange):
        yield (of if name == "frames" and of else f"{of} {words}".strip()), value
    elif isinstance(value, Quantity) and name == "cue":
        frame = int(value.value)
        yield f"{of} cue".strip(), FrameRange(frame, frame)
    elif isinstance(value, Facts):
        yield from _happenings(value, words)
    elif isinstance(value, tuple):
        for each in value:
            if isinstance(each, Facts):
                yield from _happenings(each, _named(words, each))


def _named(words: str, each: Facts) -> str:
    """``contact with rope``, ``rod neck``, ``cue``: one thing of a list."""
    one = words.removesuffix("s")
    name = each.values.get("name") or each.values.get("what") or each.values.get("with")
    return f"{one} {name}" if isinstance(name, str) else one
