"""A new cut held against the show's own.

Takes a show and a cut list, gives the changes that make the one into the other, and what of the
list could not be placed. Knows nothing of what a change costs.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.model.cut import Act, CutChange
from planner.model.facts import FrameRange

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping, Sequence

    from planner.model.cut import Clip, Cut
    from planner.model.show import Element, Shot, Show

_TAKE = re.compile(r"(?:\btake|\btk)[ _.-]*([0-9A-Za-z]+)", re.IGNORECASE)
_SPEEDS_ALIKE = 0.005


@dataclass(frozen=True, slots=True)
class Differences:
    """What a cut list changes.

    Attributes:
        changes: in the order of the list, then what is absent from it.
        same: shots in the list that stay as they are.
        unplaced: clips that name no shot of the show, by their best name.
        unlisted: sequences of which the list holds nothing; they are left alone.
        remarks: what people should look at, in sentences.
    """

    changes: tuple[CutChange, ...]
    same: tuple[str, ...]
    unplaced: tuple[str, ...]
    unlisted: tuple[str, ...]
    remarks: tuple[str, ...]


def differences(show: Show, cut: Cut, slip: int = 0) -> Differences:
    """What `cut` changes against the ``cut:`` of the show's shots.

    Clips are matched to shots by name: the whole of it, else its beginning, capitals or not. Frames
    of a source are those of the shot's own count.

    Args:
        show: the show.
        cut: the new cut.
        slip: frames added to every source frame, for a list that counts from elsewhere.
    """
    finder = _Finder(show)
    placed: defaultdict[str, list[Clip]] = defaultdict(list)
    changes: list[CutChange] = []
    unplaced: list[str] = []
    remarks: list[str] = []
    previous = ""
    for clip in (replace(each, source=_slipped(each.source, slip)) for each in cut.clips):
        shot = finder.shot(clip)
        if shot:
            placed[shot].append(clip)
            previous = shot
        elif new := finder.likely_new(clip):
            frames = FrameRange(clip.source.first, clip.source.first + clip.shown - 1)
            place = clip.place
            changes.append(CutChange(Act.ADD, new, other=previous, frames=frames, place=place))
        else:
            unplaced.append(clip.names[0] if clip.names else f"clip {clip.place.line}")
    touched = {show.shots[each].sequence for each in placed}
    same: list[str] = []
    for shot, clips in placed.items():
        mine, said = _of_shot(show, show.shots[shot], clips)
        changes += mine
        remarks += said
        if not mine:
            same.append(shot)
    absent = list(_absent(show, touched, placed))
    if absent:
        remarks.insert(0, _told_absent(absent))
    changes += absent
    changes += _moved(show, list(placed))
    unlisted = tuple(id_ for id_ in show.sequences if id_ not in touched)
    return Differences(
        tuple(changes),
        tuple(same),
        tuple(dict.fromkeys(unplaced)),
        unlisted,
        tuple(dict.fromkeys(remarks)),
    )


def _told_absent(absent: list[CutChange]) -> str:
    names = ", ".join(each.shot for each in absent[:6])
    more = f" and {len(absent) - 6} more" if len(absent) > 6 else ""
    return (
        f"not in the list, though their sequence is: {names}{more}; taken as omitted (for a part"
        " of a sequence write a change list)"
    )


def _slipped(span: FrameRange, slip: int) -> FrameRange:
    return FrameRange(span.first + slip, span.last + slip)


class _Finder:
    """Which shot a clip speaks of, by its names."""

    def __init__(self, show: Show) -> None:
        self.ids = {id_.casefold(): id_ for id_ in show.shots}
        self.shapes = {_shape(id_) for id_ in show.shots}
        self.longest = sorted(self.ids, key=len, reverse=True)
        self.found: dict[str, str] = {}

    def shot(self, clip: Clip) -> str:
        """Id of its shot; empty where none of its names tells."""
        for name in clip.names:
            if id_ := self.ids.get(name.casefold()):
                return id_
        for name in clip.names:
            if id_ := self._begins(name.casefold()):
                return id_
        return ""

    def _begins(self, name: str) -> str:
        """The longest shot that a name begins with, if the name goes on with no letter or digit."""
        if name not in self.found:
            fits = (
                self.ids[each]
                for each in self.longest
                if name.startswith(each) and not name[len(each) : len(each) + 1].isalnum()
            )
            self.found[name] = next(fits, "")
        return self.found[name]

    def likely_new(self, clip: Clip) -> str:
        """A name that is written as the show's shot numbers are, and is none of them."""
        return next((name for name in clip.names if _shape(name) in self.shapes), "")


def _shape(name: str) -> str:
    """``NB155`` and ``NB150`` are of one shape; so is nothing in ``crowd plate 3``."""
    return re.sub(r"[0-9]", "9", name)


def _of_shot(show: Show, shot: Shot, clips: Sequence[Clip]) -> tuple[list[CutChange], list[str]]:
    runs = _joined(clips)
    first, place = runs[0], runs[0].place
    changes, remarks = [], []
    if not shot.is_live:
        changes.append(CutChange(Act.UN_OMIT, shot.id, place=place))
    changes += list(_lengths(shot, runs))
    for each in runs[1:]:
        changes.append(
            CutChange(Act.SPLIT, shot.id, at=each.source.first, other="", place=each.place)
        )
    speed = abs(first.speed)
    if any(each.speed == 0 for each in clips):
        remarks.append(f"{shot.id} holds one frame in the list; make that in the composite")
    if speed and abs(speed / _speed_of(shot) - 1) > _SPEEDS_ALIKE:
        changes.append(CutChange(Act.RETIME, shot.id, speed=speed, place=place))
    if first.speed < 0:
        remarks.append(f"{shot.id} runs backwards in the list; make that in the composite")
    if first.flop != shot.facts.flag("flop"):
        changes.append(CutChange(Act.FLOP, shot.id, flop=first.flop, place=place))
    changes += list(_takes(show, shot, first))
    if shot.cut is not None and runs[0].source.overlap(shot.cut) is None:
        remarks.append(
            f"{shot.id} is cut from source frames {first.source} and the show counts it"
            f" {shot.cut}: where the list counts from elsewhere, say --slip"
            f" {shot.cut.first - first.source.first}; what follows is reckoned without"
        )
    remarks += [f"{shot.id}, says the list: {each}" for each in first.remarks]
    return changes, remarks


def _joined(clips: Sequence[Clip]) -> list[Clip]:
    """Clips of one shot in the order of their frames; those that run on into another are one."""
    done: list[Clip] = []
    for clip in sorted(clips, key=lambda each: (each.source, each.place)):
        last = done[-1] if done else None
        if last is not None and clip.source.first <= last.source.last + 1:
            more = max(clip.source.last - last.source.last, 0)
            source = FrameRange(last.source.first, last.source.last + more)
            # Of a clip that is slowed or held, each frame of the source is shown several times.
            shown = round(clip.shown * more / clip.source.count)
            done[-1] = replace(last, source=source, shown=last.shown + shown)
        else:
            done.append(clip)
    return done


def _lengths(shot: Shot, runs: Sequence[Clip]) -> Iterator[CutChange]:
    """Frames put on or taken off at either end, as the shot counts what is shown."""
    first = runs[0].source.first
    last = runs[-1].source.last if len(runs) > 1 else first + runs[0].shown - 1
    cut = shot.cut
    if cut is None:
        return
    head, tail = cut.first - first, last - cut.last
    if head or tail:
        yield CutChange(Act.LENGTH, shot.id, head, tail, place=runs[0].place)


def _speed_of(shot: Shot) -> float:
    speed = shot.facts.number("speed")
    return speed.value if speed and speed.value > 0 else 1.0


def _takes(show: Show, shot: Shot, clip: Clip) -> Iterator[CutChange]:
    """Another take of the shot's one plate, where a name of the clip says which."""
    plates = [each for each in _plates(show, shot) if each.facts.group("report").word("take")]
    if len(plates) != 1:
        return
    for name in clip.names:
        found = _TAKE.search(name)
        if found and found[1] != plates[0].facts.group("report").word("take"):
            plate, take = plates[0].id, found[1]
            yield CutChange(Act.TAKE, shot.id, element=plate, take=take, place=clip.place)
        if found:
            return


def _plates(show: Show, shot: Shot) -> Iterator[Element]:
    for name in shot.elements:
        if show.elements[name].kind == "plate":
            yield show.elements[name]


def _absent(
    show: Show, sequences: Collection[str], placed: Mapping[str, object]
) -> Iterator[CutChange]:
    for id_, sequence in show.sequences.items():
        for name in sequence.shots if id_ in sequences else ():
            if name not in placed and show.shots[name].is_live:
                yield CutChange(Act.OMIT, name)


def _moved(show: Show, listed: Sequence[str]) -> Iterator[CutChange]:
    """Shots that stand elsewhere: as few as set the story in the order of the list."""
    story = {id_: n for n, id_ in enumerate(show.shots)}
    kept = _longest_rising([story[each] for each in listed])
    for n, id_ in enumerate(listed):
        if story[id_] not in kept:
            other = listed[n - 1] if n else listed[1]
            says = f"after {other}" if n else f"before {other}"
            yield CutChange(Act.ORDER, id_, other=other, says=says)


def _longest_rising(numbers: Sequence[int]) -> set[int]:
    """A longest run of `numbers` that rises, gaps allowed (patience sorting)."""
    ends: list[int] = []
    before: dict[int, int | None] = {}
    for each in numbers:
        n = bisect_left(ends, each)
        before[each] = ends[n - 1] if n else None
        ends[n : n + 1] = [each]
    found: set[int] = set()
    last = ends[-1] if ends else None
    while last is not None:
        found.add(last)
        last = before[last]
    return found
