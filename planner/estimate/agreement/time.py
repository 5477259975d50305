"""Whether all pieces of a shot run in one time and are as long as the cut.

Takes a shot's pieces, gives findings on time scale, motion blur, and frames. Knows nothing of where
cameras stand, of light or of focus.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.estimate.agreement import rules
from planner.estimate.agreement.moves import slide_px
from planner.estimate.agreement.readings import Reading, apart, figures, of_piece, warning
from planner.kinds.dial import is_photographed
from planner.kinds.takes import HANDLES
from planner.model.facts import FrameRange
from planner.model.names import counted, noun
from planner.model.place import Problem, Severity
from planner.model.ratio import in_ratio

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.estimate.agreement.pieces import Joined, Piece
    from planner.estimate.agreement.readings import Apart
    from planner.model.show import Element, Shot


def check_time(joined: Joined) -> Iterator[Problem]:
    """Everything about rates, blur and frames."""
    yield from _rates(joined)
    yield from _blurs(joined)
    yield from _cut(joined)
    for piece in joined.pieces:
        yield from _in_hand(joined, piece)


def _wanted_fps(piece: Piece) -> float | None:
    """Rate at which what happens in a piece looks natural, fps; None where any rate may do.

    What falls wants the root of the scale; people and drops of a plate the rate shown, by the root
    of what they stand for. What is driven or still is made to suit its rate.
    """
    gravity = piece.estimate.quantities.get("gravity rate")
    if gravity is not None:
        return gravity.value
    is_clean = piece.element.facts.word("sort") == "clean"
    if piece.element.kind == "plate" and not is_clean:
        return piece.view.frame_rate.value * math.sqrt(piece.scale)
    return None


def _slowness(piece: Piece) -> float | None:
    """How many times slower than nature it runs; 1 for natural, None where any rate may do."""
    rate, wanted = piece.estimate.quantities.get("rate"), _wanted_fps(piece)
    if rate is None or wanted is None or min(rate.value, wanted) <= 0:
        return None
    return rate.value / wanted


def _rates(joined: Joined) -> Iterator[Problem]:
    readings = [
        each for piece in joined.pieces for each in of_piece(piece, _slowness(piece), "rate")
    ]

    def percent(one: Reading[float], other: Reading[float]) -> float:
        return (max(one.value, other.value) / min(one.value, other.value) - 1) * 100

    for pair in apart(readings, percent, joined.allowed(rules.RATE)):
        # Blame the piece that is farther from nature, whichever was joined first.
        one, other = sorted((pair.one, pair.other), key=lambda each: abs(math.log(each.value)))
        if one.piece is None or other.piece is None:
            continue
        frames = joined.frames(one.piece, other.piece)
        yield warning(other, *_rate_words(one, other, frames))


def _rate_words(
    one: Reading[float], other: Reading[float], frames: FrameRange | None
) -> tuple[str, str, str]:
    """Code, message and remedy."""
    message = f"{_runs(other)} and {_runs(one)}"
    if frames is not None:
        drift = frames.count * abs(1 / one.value - 1 / other.value)
        message += f": they drift {drift:.0f} {noun(round(drift), 'frame')} apart over the"
        message += f" {frames.count} seen together"
    wanted = (_wanted_fps(other.piece) or 0.0) * one.value if other.piece else 0.0
    remedy = f"shoot {other.who} at {figures(wanted)} fps"
    if other.piece and other.value > one.value and other.piece.element.kind == "plate":
        larger = other.piece.scale * (other.value / one.value) ** 2
        remedy += (
            f", or state `stands_for: {in_ratio(larger, 2)}` if it is to read as that much larger"
        )
    return "time-scale-differs", message, remedy


def _runs(of: Reading[float]) -> str:
    piece = of.piece
    rate = piece.estimate.quantities["rate"].value if piece else 0.0
    wanted = (_wanted_fps(piece) or 0.0) if piece else 0.0
    if abs(of.value - 1) < 0.005:
        how = "as in nature"
    elif of.value > 1:
        how = f"{of.value:.2f} times slower than nature"
    else:
        how = f"{1 / of.value:.2f} times quicker than nature"
    return f"{of.who} runs {how} ({figures(rate)} fps where {figures(wanted)} looks natural)"


def _blurs(joined: Joined) -> Iterator[Problem]:
    """Share of a frame's time that the shutter is open; nothing for a piece without blur."""
    readings = [
        each for piece in joined.pieces for each in of_piece(piece, _open(piece), "shutter")
    ]
    speed = _fastest_px(joined)

    def share(one: Reading[float], other: Reading[float]) -> float:
        return abs(one.value - other.value)

    allowed = joined.allowed(rules.BLUR) / speed if speed else joined.allowed(rules.SHUTTER) / 360
    for pair in apart(readings, share, allowed):
        yield _blur_differs(pair, speed)


def _open(piece: Piece) -> float | None:
    if piece.is_flat or piece.element.facts.word("blur") == "added":
        return None
    if piece.element.facts.word("blur") == "none":
        return 0.0
    return piece.view.open_share


def _fastest_px(joined: Joined) -> float:
    """Pixels a frame by the fastest thing or move of the shot; 0 where nobody states a speed."""
    found = [0.0]
    for piece in joined.pieces:
        speed, distance = piece.element.facts.number("speed"), piece.distance_mm()
        focal, shown = joined.focal_px(piece), piece.view.frame_rate.value
        if speed and distance and focal and shown > 0:
            found.append(focal * speed.value / distance / shown)
        frames = joined.frames(piece)
        if piece.moves and frames is not None and frames.count > 1:
            found.append((slide_px(joined, piece, piece) or 0.0) / (frames.count - 1))
    return max(found)


def _blur_differs(pair: Apart[float], speed: float) -> Problem:
    one, other = pair.one, pair.other
    degrees = [each.value * 360 for each in (other, one)]
    message = f"the shutter of {other.who} is open {degrees[0]:.0f} deg and that of {one.who}"
    message += f" {degrees[1]:.0f} deg"
    if speed:
        message += (
            f": at {speed:.0f} px a frame their blurs are {other.value * speed:.1f} and"
            f" {one.value * speed:.1f} px"
        )
    by = f"{pair.by * speed:.1f} px" if speed else f"{pair.by * 360:.0f} deg"
    remedy = (
        f"set the shutter to {degrees[1]:.0f} deg, or put {by} of blur in and state `blur: added`"
    )
    if other.piece and other.piece.is_taken:
        remedy = f"put {by} of blur in when it is joined, and state `blur: added`"
    return warning(other, "motion-blur-differs", message, remedy)


def _cut(joined: Joined) -> Iterator[Problem]:
    """Pieces said to be in frame on frames that the cut no longer has."""
    shot = joined.shot
    if shot.cut is None:
        return
    for id_ in shot.elements:
        element = joined.show.elements[id_]
        seen = element.facts.frames("in_frame")
        if seen is None:
            continue
        kept = seen.overlap(shot.cut)
        lost = seen.count - (kept.count if kept else 0)
        if lost:
            yield _cut_away(shot, element, seen, lost)


def _cut_away(shot: Shot, element: Element, seen: FrameRange, lost: int) -> Problem:
    kept = seen.overlap(shot.cut) if shot.cut else None
    recut = shot.facts.group("recut")
    day, by = recut.day("on"), recut.word("by")
    since = f", since {by or 'somebody'} recut it on {day}" if day else ""
    return Problem(
        Severity.WARNING,
        element.facts.place_of("in_frame"),
        "in-frame-outside-cut",
        f"it is in frame on {seen} and the cut is {shot.cut}{since}: {lost} of its {seen.count}"
        " frames are gone",
        f"bring what matters into {kept} and write `in_frame: {kept}`"
        if kept
        else "take it out of the shot, or write the frames on which it is seen now",
        element.id,
    )


def _in_hand(joined: Joined, piece: Piece) -> Iterator[Problem]:
    """Frames that exist against those wanted, first in the cut and then in the handles."""
    held = piece.element.facts.frames("frames_in_hand")
    seen = joined.frames(piece)
    # What comes from a library is judged by its own kind, which knows how it is stretched.
    if held is None or seen is None or not is_photographed(piece.estimate):
        return
    stated = joined.show.facts.number("handles")
    handle = int(stated.value if stated else joined.allowed(HANDLES))
    wanted = FrameRange(seen.first - handle, seen.last + handle)
    code, against = ("frames-short", seen) if _short(held, seen) else ("handles-short", wanted)
    if not (short := _short(held, against)):
        return
    what = f"the cut shows it on {seen}"
    if code == "handles-short":
        what = f"with handles of {handle} {noun(handle, 'frame')} {wanted} is wanted"
    yield warning(
        Reading(piece.id, 0.0, "frames_in_hand", piece),
        code,
        f"frames {held} of it exist and {what}: {short}",
        f"print {against} from the negative, photograph it again, or recut to {_kept(held, seen)}",
    )


def _short(held: FrameRange, wanted: FrameRange) -> str:
    """How many frames are short at each end, as a clause; empty where none are."""
    head, tail = held.first - wanted.first, wanted.last - held.last
    ends = [
        f"{counted(count, 'frame')} short at the {end}"
        for count, end in ((head, "head"), (tail, "tail"))
        if count > 0
    ]
    return " and ".join(ends)


def _kept(held: FrameRange, seen: FrameRange) -> str:
    kept = held.overlap(seen)
    return str(kept) if kept else "other frames"
