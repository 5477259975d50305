"""Frames that are wanted of an element and do not exist.

Takes the facts it was made by, the facts as they are and what exists of it, gives how many frames
are short at which end, and what that means for it. Frames are in the shot's own count. Knows
nothing of cameras, or of what lies upstream.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.estimate.stale_rules import DRAW, HOLD, STRETCH, STRETCHED
from planner.kinds.takes import HANDLES
from planner.model.facts import FrameRange
from planner.model.names import counted, noun
from planner.model.quantity import Quantity, Standing, reckoned
from planner.status.rested import NAMES, frames_of
from planner.status.shifted import number, read_path
from planner.status.sorts import Sort, sort_of
from planner.status.verdicts import Finding, Made, Thumb, Verdict, times

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from planner.kinds import Hours

_DRAWN = {"roto", "derived_matte", "drawn", "performer", "record_out"}
"""Kinds whose ``frames`` says which frames are made."""


def wanted_of(facts: Mapping[str, str]) -> FrameRange | None:
    """Frames of an element that the picture shows; None while the cut is not known.

    Of what is photographed, as many of its own as the speed asks at which the shot is shown.
    """
    own = frames_of(facts.get("frames", "")) if facts.get("kind") in _DRAWN else None
    seen = own or frames_of(facts.get("in_frame", ""))
    cut = frames_of(facts.get("shot cut", ""))
    span = cut if cut is None or seen is None else seen.overlap(cut)
    if cut is None or span is None or sort_of(facts) is not Sort.PICTURE:
        return span
    return at_speed(span, cut.first, number(facts, "shot speed") or 1.0)


def at_speed(span: FrameRange, begins: int, speed: float) -> FrameRange:
    """Frames of its own that are shown on a span of the cut.

    At half speed each frame stands twice, counted from the first of the cut; the last one begun is
    wanted whole.

    Args:
        span: frames of the cut.
        begins: its first frame, which is shown whatever the speed.
        speed: own frames to a frame shown, above 0.
    """
    if speed == 1.0:
        return span
    first = begins + math.floor((span.first - begins) * speed + 1e-9)
    last = begins + math.ceil((span.last - begins + 1) * speed - 1e-9) - 1
    return FrameRange(first, max(first, last))


def exists_of(was: Mapping[str, str], now: Mapping[str, str], made: Made) -> FrameRange | None:
    """Frames that exist: those somebody told, else what was wanted then, with its handles."""
    told = made.frames or _path_frames(now) or frames_of(now.get("frames_in_hand", ""))
    wanted = wanted_of(was)
    if told is not None or wanted is None or sort_of(was) not in {Sort.PICTURE, Sort.MOVE}:
        return told or wanted
    stated = number(was, "show handles")
    handles = int(HANDLES.likely if stated is None else stated)
    return FrameRange(wanted.first - handles, wanted.last + handles)


def _path_frames(facts: Mapping[str, str]) -> FrameRange | None:
    """Of a camera's move, the frames its file holds: the move is what is made of it."""
    path = facts.get(f"path {facts.get('data', '')}", "")
    if sort_of(facts) is not Sort.MOVE or not path:
        return None
    frames = read_path(path)
    return FrameRange(min(frames), max(frames)) if frames else None


def beyond(wanted: FrameRange, exists: FrameRange) -> tuple[int, int]:
    """Frames by which what is wanted goes beyond what exists, at the head and at the tail."""
    return max(exists.first - wanted.first, 0), max(wanted.last - exists.last, 0)


def frames_short(was: Mapping[str, str], now: Mapping[str, str], made: Made) -> tuple[int, int]:
    """Frames wanted and not there, at the head and at the tail."""
    wanted, exists = wanted_of(now), exists_of(was, now, made)
    if wanted is None or exists is None or not _has_length(now):
        return 0, 0
    if wanted.overlap(exists) is None:
        return (wanted.count, 0) if wanted.last < exists.first else (0, wanted.count)
    return beyond(wanted, exists)


def frame_findings(
    was: Mapping[str, str], now: Mapping[str, str], made: Made, thumb: Thumb
) -> Iterator[Finding]:
    """What the frames that are short come to.

    Of what is drawn or joined, only those frames are made. What was photographed may be held where
    nothing moves in it, slowed by a few frames, and must else be photographed again.
    """
    wanted, exists = wanted_of(now), exists_of(was, now, made)
    if wanted is None or exists is None or not _has_length(now):
        return
    head, tail = frames_short(was, now, made)
    if not head and not tail:
        yield from _handles(wanted, exists, was, now)
        return
    short = short_words(head, tail)
    says = f"{short}: {exists} exist, and {wanted} are wanted"
    numbers = _numbers((head, tail), wanted, exists)
    if wanted.overlap(exists) is None:
        yield Finding(Verdict.DEAD, short, f"{says}; not one of them exists", None, numbers)
    elif sort_of(now) is Sort.PICTURE:
        yield _photographed(
            Finding(Verdict.DEAD, short, says, None, numbers), head, tail, now, thumb
        )
    else:
        each = _hours_a_frame(was, made, thumb)
        told = f"{says}; only those are made"
        yield Finding(Verdict.WORK, short, told, times(each, head + tail), numbers)


def saving_hours(head: int, tail: int, thumb: Thumb, *, is_still: bool) -> Hours | None:
    """Hours that make so few frames of those there are; None where it is photographed again.

    Args:
        head: frames short there.
        tail: likewise.
        thumb: rules by which frames are held and slowed.
        is_still: whether nothing moves in it, so that a frame is held however long.
    """
    if is_still:
        return thumb.of(HOLD)
    if max(head, tail) > thumb.likely(STRETCHED).value:
        return None
    return times(thumb.of(STRETCH), head + tail)


def _photographed(
    found: Finding, head: int, tail: int, now: Mapping[str, str], thumb: Thumb
) -> Finding:
    is_still = _is_still(now)
    hours = saving_hours(head, tail, thumb, is_still=is_still)
    if is_still:
        says = f"{found.says}; nothing moves in it, so a frame is held"
        return Finding(Verdict.WORK, found.short, says, hours, found.numbers)
    most = thumb.likely(STRETCHED)
    numbers = (*found.numbers, most)
    if hours is not None:
        says = f"{found.says}; up to {most.value:g} at an end are made by slowing it"
        return Finding(Verdict.WORK, found.short, says, hours, numbers)
    says = f"{found.says}; no more than {most.value:g} at an end can be made by slowing it"
    return Finding(Verdict.DEAD, found.short, says, None, numbers)


def _has_length(facts: Mapping[str, str]) -> bool:
    """Whether it is made frame by frame; one exposure of a painting serves any length."""
    if sort_of(facts) is Sort.THING:
        return False
    return not (facts.get("kind") == "painting" and not _moves(facts))


def _is_still(facts: Mapping[str, str]) -> bool:
    return facts.get("action") == "still" and not _moves(facts)


def _moves(facts: Mapping[str, str]) -> bool:
    return bool(facts.get(f"{NAMES}move_from") or number(facts, "travel"))


def short_words(head: int, tail: int) -> str:
    """``4 frames short at the tail``."""
    parts = [(head, "head"), (tail, "tail")]
    said = [f"{counted(n, 'frame')} short at the {end}" for n, end in parts if n]
    return " and ".join(said)


def _numbers(
    short: tuple[int, int], wanted: FrameRange, exists: FrameRange
) -> tuple[Quantity, ...]:
    head, tail = short
    found = []
    if head:
        first = (_frame("first that exists", exists.first), _frame("first wanted", wanted.first))
        formula = "first that exists - first wanted"
        found.append(reckoned("frames short at the head", head, "1", formula, *first))
    if tail:
        last = (_frame("last wanted", wanted.last), _frame("last that exists", exists.last))
        formula = "last wanted - last that exists"
        found.append(reckoned("frames short at the tail", tail, "1", formula, *last))
    return tuple(found)


def _frame(name: str, number_of: int) -> Quantity:
    return Quantity(f"frame {name}", number_of, "1", Standing.GIVEN)


def _hours_a_frame(was: Mapping[str, str], made: Made, thumb: Thumb) -> Hours:
    """Its own making, shared over the frames it was made of, else a rule of thumb."""
    frames = wanted_of(was)
    if made.hours is None or frames is None:
        return thumb.of(DRAW)
    return times(made.hours, 1 / frames.count)


def _handles(
    wanted: FrameRange, exists: FrameRange, was: Mapping[str, str], now: Mapping[str, str]
) -> Iterator[Finding]:
    """What is left of the handles, where the cut has eaten into them."""
    stated = number(now, "show handles")
    asked = HANDLES.likely if stated is None else stated
    if sort_of(now) is not Sort.PICTURE or wanted_of(was) == wanted:
        return
    head, tail = wanted.first - exists.first, exists.last - wanted.last
    left = [f"{n} at the {end}" for n, end in ((head, "head"), (tail, "tail")) if n < asked]
    if left:
        says = (
            f"its frames cover the cut, {exists} of {wanted}; of {asked:g}"
            f" {noun(asked, 'frame')} of handle there are left {' and '.join(left)}"
        )
        yield Finding(Verdict.GOOD, "", says)
