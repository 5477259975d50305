"""Changes of a cut that nobody can have meant: of what is not there, or far too long.

Takes a show and the changes of a list, gives a problem for each at its place. Nothing is worked
out, so that a slip is told at once.
"""

from __future__ import annotations

from difflib import get_close_matches
from typing import TYPE_CHECKING

from planner.model.cut import Act
from planner.model.place import Place, Problem, Severity

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from planner.model.cut import CutChange
    from planner.model.show import Show

LONGEST_MINUTES = 10
"""A reel of film holds no more than some ten minutes, so that no shot lasts longer."""
_NAMES_ANOTHER = frozenset({Act.JOIN, Act.ORDER, Act.ADD})


def slips(show: Show, changes: Sequence[CutChange], show_fps: float) -> tuple[Problem, ...]:
    """Every change that names what is not there, or makes a shot longer than any is.

    Args:
        show: as it is; what a list puts in may be named by the changes after it.
        changes: in order; a shot changed twice is held to what both make of it.
        show_fps: frames per second the picture is shown at.
    """
    return (*_unknown(show, changes), *_too_long(show, changes, show_fps))


def _unknown(show: Show, changes: Iterable[CutChange]) -> Iterator[Problem]:
    known = set(show.shots)
    for change in changes:
        if change.act is Act.ADD:
            known.add(change.shot)
        elif change.shot not in known:
            yield _of_nothing(change, "no shot is called", change.shot, known)
        elif change.element and change.shot in show.shots:
            pieces = show.shots[change.shot].elements
            if change.element not in pieces:
                yield _of_nothing(change, "no piece is called", change.element, pieces)
        if change.act in _NAMES_ANOTHER and change.other and change.other not in known:
            yield _of_nothing(change, "no shot is called", change.other, known)
        if change.act is Act.SPLIT and change.other:
            known.add(change.other)


def _of_nothing(change: CutChange, said: str, word: str, known: Iterable[str]) -> Problem:
    near = get_close_matches(word, sorted(known), n=1)
    remedy = f"did you mean {near[0]}?" if near else "write one that the show has"
    return _slip(change, "change-of-nothing", f"{said} {word}", remedy)


def _too_long(show: Show, changes: Iterable[CutChange], show_fps: float) -> Iterator[Problem]:
    most = round(LONGEST_MINUTES * 60 * show_fps)
    counts = {id_: shot.cut.count for id_, shot in show.shots.items() if shot.cut is not None}
    for change in changes:
        was = counts.get(change.shot, 0)
        counts[change.shot] = now = _frames(change, counts)
        if now > max(was, most):
            yield _slip(
                change,
                "change-too-long",
                f"{change.shot} would be {now:,} frames long; no shot lasts more than"
                f" {LONGEST_MINUTES} minutes, {most:,} frames at {show_fps:g} fps",
                "write how many frames are put on, as in `tail: 12`"
                if change.act is Act.LENGTH
                else "write how many frames it has, as in `count: 48`",
            )


def _frames(change: CutChange, counts: Mapping[str, int]) -> int:
    """How many frames a shot has once it is changed."""
    was = counts.get(change.shot, 0)
    if change.act is Act.LENGTH and was:
        return was + change.head + change.tail
    if change.act is Act.ADD and change.frames is not None:
        return change.frames.count
    return was


def _slip(change: CutChange, code: str, message: str, remedy: str) -> Problem:
    place = change.place or Place("")
    return Problem(Severity.ERROR, place, code, message, remedy, change.shot)
