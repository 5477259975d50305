"""A cut list from editorial, read through OpenTimelineIO.

Takes the bytes of a timeline in OpenTimelineIO's own JSON or of an edit list (SMPTE 258M), gives a
`Cut` in frames at the show's rate, and every problem in a sentence. Knows nothing of the show's
shots.

Frames of a source are counted as its timecode counts them, whole hours left out: an hour names the
reel. 01:00:04:05 at 24 fps is frame 101.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from planner.model.cut import Clip, Cut
from planner.model.facts import FrameRange
from planner.model.place import Place, Problem, Severity

if TYPE_CHECKING:
    from collections.abc import Iterator

MAX_BYTES = 32_000_000
"""A feature's cut holds a few thousand clips, a few kilobytes each."""
SAME_RATE = 0.002
"""Share by which rates may differ and count the same frames: 23.976 is 24 (1000/1001)."""
EDIT_LIST = ".edl"
_CODE_WORDS = re.compile(r" \(of type '[^']*'\)|[\"<>]|\bN14opentimelineio\S*")
_TIMECODE = re.compile(r"\d\d:\d\d:\d\d[:;.]\d\d").fullmatch
_FLOPPED = re.compile(r"(?<![^\W\d_])flop(?:s|ped|ping)?(?![^\W\d_])", re.IGNORECASE)
"""As a word, so that no floppy and no flophouse turns a picture round."""
_UNFLOPPED = re.compile(
    r"\b(?:not|no|never|without|un|non)[\s-]+(?:(?:to|be|been|a|longer|yet)\s+){0,2}flop\w*"
    r"|\bflop\w*\s*[:=]?\s*(?:no|off|removed|false)\b",
    re.IGNORECASE,
)
"""What says that it is not, or no longer, turned round."""
_MOST_REMARKS = 6
_MOST_NAMES = 200
_DEEPEST = 6


class _UnfitError(Exception):
    """A timeline that cannot be taken; its text is a sentence for people."""


def read_cut(
    data: bytes, file: str, suffix: str, show_fps: float
) -> tuple[Cut | None, tuple[Problem, ...]]:
    """Read a cut list; bad input is told, never raised.

    Args:
        data: the file.
        file: its name, for the places.
        suffix: ``.edl`` or ``.otio``.
        show_fps: rate the picture is shown at, in which an edit list is taken to count.

    Returns:
        The cut, None where it cannot be read; and the problems.
    """
    if len(data) > MAX_BYTES:
        message = f"the file is longer than {MAX_BYTES:,} bytes"
        return None, (_problem(file, message, "export the reel alone"),)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        message = f"byte {data[fault.start]:#04x} at {fault.start:,} is not text"
        return None, (_problem(file, message, "export the cut as .edl or .otio"),)
    if "\x00" in text:
        return None, (_problem(file, "the file holds bytes that are not text", "export it again"),)
    try:
        read = _read if suffix == EDIT_LIST else _read_apart
        cut = read(text, file, suffix, show_fps)
    except _UnfitError as fault:
        return None, (_problem(file, str(fault), ""),)
    if not cut.clips:
        message = "the file holds no clip of picture"
        return None, (_problem(file, message, "export the cut with its picture track"),)
    return cut, ()


def _read(text: str, file: str, suffix: str, show_fps: float) -> Cut:
    timeline = _parsed(text, suffix, show_fps)
    return Cut(str(timeline.name or ""), tuple(_clips(timeline, file, show_fps)))


def _read_apart(text: str, file: str, suffix: str, show_fps: float) -> Cut:
    """The same in a process of its own: some damaged timelines kill the compiled reader's."""
    from concurrent.futures import ProcessPoolExecutor
    from concurrent.futures.process import BrokenProcessPool
    from multiprocessing import get_context

    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
        try:
            return pool.submit(_read, text, file, suffix, show_fps).result()
        except BrokenProcessPool:
            message = "it cannot be read as a cut: it is damaged inside, and stopped the reader"
            raise _UnfitError(message) from None


def _parsed(text: str, suffix: str, show_fps: float) -> Any:
    """The timeline, by OpenTimelineIO; what it refuses is told in its own words."""
    import opentimelineio as otio  # type: ignore[import-untyped, unused-ignore]

    # What its readers raise on bad text; anything else would be a fault of theirs or ours.
    refusals = (
        otio.exceptions.OTIOError,
        ValueError,
        KeyError,
        IndexError,
        AttributeError,
        TypeError,
        ZeroDivisionError,
        OverflowError,
        RecursionError,
        NotImplementedError,
    )
    if suffix == EDIT_LIST:
        _check_entries(text)
    try:
        if suffix == EDIT_LIST:
            found = otio.adapters.read_from_string(text, "cmx_3600", rate=show_fps)
        else:
            found = otio.adapters.read_from_string(text, "otio_json")
    except refusals as fault:
        said = _CODE_WORDS.sub("", " ".join(str(fault).split())) or type(fault).__name__
        raise _UnfitError(f"it cannot be read as a cut: {said:.200}") from None
    if isinstance(found, otio.schema.SerializableCollection) and len(found) == 1:
        found = found[0]
    if not isinstance(found, otio.schema.Timeline):
        raise _UnfitError("it holds no timeline; export one sequence")
    return found


def _check_entries(text: str) -> None:
    """Every entry of an edit list ends with four timecodes; bare numbers would pass for frames."""
    for n, line in enumerate(text.splitlines(), start=1):
        words = line.split()
        if not words or not words[0].isdecimal():
            continue
        codes = words[-4:]
        if len(words) < 8 or not all(map(_TIMECODE, codes)):
            raise _UnfitError(
                f"line {n} is no entry: {' '.join(words):.60} does not end with four timecodes"
                " such as 01:00:04:05"
            )


def _clips(timeline: Any, file: str, show_fps: float) -> Iterator[Clip]:
    """Clips of the first picture track that holds any, in their order."""
    import opentimelineio as otio

    tracks = [each for each in timeline.tracks if isinstance(each, otio.schema.Track)]
    picture = [each for each in tracks if each.kind == otio.schema.TrackKind.Video]
    full = [each for each in picture if any(isinstance(c, otio.schema.Clip) for c in each)]
    if len(full) > 1:
        raise _UnfitError(
            f"it has {len(full)} picture tracks; export the cut as one track, composites flattened"
        )
    number = 0
    for track in full:
        items = [None, *track, None]
        for (before, item), after in zip(pairwise(items), items[2:], strict=False):
            if not isinstance(item, otio.schema.Clip):
                continue
            number += 1
            reach = (
                before.in_offset if isinstance(before, otio.schema.Transition) else None,
                after.out_offset if isinstance(after, otio.schema.Transition) else None,
            )
            yield _clip(item, number, (file, show_fps), reach)


def _clip(item: Any, number: int, where: tuple[str, float], reach: tuple[Any, Any]) -> Clip:
    """One entry.

    Args:
        item: clip of OpenTimelineIO.
        number: its position, from 1.
        where: the file, and the rate shown.
        reach: how far the transitions before and after it overlap its neighbours, each of which
            shows frames of this clip beyond its own; see `_beyond`.
    """
    file, show_fps = where
    name = str(item.name or "")
    span = item.source_range
    if span is None and item.media_reference is not None:
        span = item.media_reference.available_range
    if span is None:
        raise _UnfitError(f"clip {number} ({name or 'without a name'}) has no source range")
    first = _frames(span.start_time, show_fps, f"clip {number} ({name})")
    count = _frames(span.duration, show_fps, f"clip {number} ({name})")
    if count < 1:
        raise _UnfitError(f"clip {number} ({name or 'without a name'}) lasts no frame")
    speed = _speed(item)
    used = max(math.ceil(count * abs(speed) - 1e-6), 1)
    hour = round(show_fps * 3600)
    first = first % hour
    clip = Clip(
        _names(item),
        FrameRange(first, first + used - 1),
        count,
        speed,
        _is_flopped(item),
        _remarks(item),
        Place(file, number, 0),
    )
    return _beyond(clip, reach, show_fps)


def _beyond(clip: Clip, reach: tuple[Any, Any], show_fps: float) -> Clip:
    """A clip with the frames that dissolves and wipes show of it beyond its own ends.

    A transition runs from before the cut to after it: the clip that ends is seen so much longer,
    the clip that begins so much sooner.
    """
    before, after = reach
    head = _frames(before, show_fps, "a transition") if before is not None else 0
    tail = _frames(after, show_fps, "a transition") if after is not None else 0
    more, longer = (math.ceil(each * abs(clip.speed)) for each in (head, tail))
    source = FrameRange(max(clip.source.first - more, 0), clip.source.last + longer)
    shown = clip.shown + head + tail
    return replace(clip, source=source, shown=shown)


def _frames(time: Any, show_fps: float, what: str) -> int:
    """A time as whole frames; another rate than the show's is refused."""
    rate, value = float(time.rate), float(time.value)
    if not (math.isfinite(rate) and math.isfinite(value)) or rate <= 0:
        raise _UnfitError(f"{what} has no rate; export the cut with its frame rate")
    if abs(rate / show_fps - 1) > SAME_RATE:
        raise _UnfitError(
            f"{what} counts at {rate:g} fps and the show is shown at {show_fps:g}; export the cut"
            f" at {show_fps:g} fps"
        )
    if abs(value) > 1e9:
        raise _UnfitError(f"{what} stands at frame {value:g}, which is no frame of a reel")
    return round(value)


def _speed(item: Any) -> float:
    import opentimelineio as otio

    speed = 1.0
    for effect in item.effects:
        if isinstance(effect, otio.schema.LinearTimeWarp):
            scalar = float(effect.time_scalar)
            speed *= scalar if math.isfinite(scalar) and abs(scalar) < 1000 else 1.0
    return speed


def _is_flopped(item: Any) -> bool:
    said = [f"{each.name} {each.effect_name}" for each in item.effects]
    texts = (*said, *_texts(item.metadata))
    return any(_FLOPPED.search(_UNFLOPPED.sub(" ", each)) for each in texts)


def _names(item: Any) -> tuple[str, ...]:
    """What a clip may be known by: its own name, what the list says beside, its media."""
    told = list(_texts(item.metadata))
    media = getattr(item.media_reference, "name", "") if item.media_reference else ""
    names = [str(item.name or ""), *told, str(media or "")]
    return tuple(dict.fromkeys(each.strip() for each in names if each.strip()))[:_MOST_NAMES]


def _remarks(item: Any) -> tuple[str, ...]:
    effects = [each for each in item.effects if "TimeWarp" not in type(each).__name__]
    said = [str(each.name or each.effect_name) for each in effects]
    comments = [str(each) for each in _comments(item.metadata)]
    # Writers of edit lists note here what they did to reels' names; nobody wants to read it.
    told = (each for each in (*said, *comments) if each.strip() and not each.startswith("OTIO "))
    return tuple(told)[:_MOST_REMARKS]


def _comments(metadata: Mapping[str, Any]) -> Iterator[object]:
    edit_list = metadata.get("cmx_3600")
    comments = edit_list.get("comments") if isinstance(edit_list, Mapping) else None
    if comments is not None and not isinstance(comments, str):
        yield from comments


def _texts(value: Any, depth: int = 0) -> Iterator[str]:
    """Every text in a clip's metadata, as far down as people put names."""
    if isinstance(value, str):
        yield value
    elif depth > _DEEPEST:
        return
    elif isinstance(value, Mapping):
        for each in value.values():
            yield from _texts(each, depth + 1)
    elif hasattr(value, "__iter__"):
        for each in value:
            yield from _texts(each, depth + 1)


def _problem(file: str, message: str, remedy: str) -> Problem:
    return Problem(Severity.ERROR, Place(file), "cut-unreadable", message, remedy)
