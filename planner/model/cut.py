"""The cut as editorial has it, and what changes it.

Takes nothing, gives `Clip` and `Cut` (a list of what is seen when), `CutChange` (one thing that
editorial did to one shot) and `Edit` (one value of the show's files that is to be another). Knows
nothing of files, or of what a change costs.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from planner.model.facts import FrameRange, Value
    from planner.model.place import Place


class Act(Enum):
    """What editorial may do to a shot."""

    LENGTH = "length"
    TAKE = "take"
    SPLIT = "split"
    JOIN = "join"
    ORDER = "order"
    FLOP = "flop"
    REPOSITION = "reposition"
    RETIME = "retime"
    OMIT = "omit"
    UN_OMIT = "un-omit"
    ADD = "add"

    def __str__(self) -> str:
        return self.value


@dataclass(frozen=True, slots=True)
class CutChange:
    """One thing done to one shot; each field has a meaning only where the act gives it one.

    Attributes:
        act: what is done.
        shot: id of the shot, the new one's where it is added.
        head: frames put on at the head; below nought, taken off.
        tail: frames put on at the tail; below nought, taken off.
        element: plate whose take is swapped.
        take: number on the slate of the take that is wanted.
        frames: that exist of that take; that a shot added is to have; None where nobody says.
        at: first frame of the second part of a split.
        other: shot it is joined with, stands after, or the name of a split's second part.
        flop: whether left and right change places.
        push_in: by how much the picture is enlarged; 0.08 is eight per cent.
        speed: at which it is shown, over that at which it was meant; 0.5 is half.
        says: what is seen in a shot added.
        place: where it was read.
    """

    act: Act
    shot: str
    head: int = 0
    tail: int = 0
    element: str = ""
    take: str = ""
    frames: FrameRange | None = None
    at: int = 0
    other: str = ""
    flop: bool = False
    push_in: float = 0.0
    speed: float = 1.0
    says: str = ""
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Clip:
    """One entry of a cut list.

    Attributes:
        names: what it may be known by, best first.
        source: frames of its source that are used, whole hours left out, transitions included.
        shown: frames it lasts on the screen.
        speed: source frames to a frame shown; 1 for as photographed.
        flop: whether left and right change places.
        remarks: what the list says of it beside, in its own words.
        place: the list, and the entry's number as its line where no line is known.
    """

    names: tuple[str, ...]
    source: FrameRange
    shown: int
    speed: float
    flop: bool
    remarks: tuple[str, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class Cut:
    """A cut list.

    Attributes:
        title: as the list has it.
        clips: in the order they are seen.
    """

    title: str
    clips: tuple[Clip, ...]


@dataclass(frozen=True, slots=True)
class Edit:
    """One value in the show's files that is to be another.

    Attributes:
        owner: id of the shot or element.
        path: from the owner to the value: keys, and positions in lists.
        was: the value now; None where it is not written.
        now: the value wanted; None where it is to be taken out.
    """

    owner: str
    path: tuple[str | int, ...]
    was: Value | None
    now: Value | None
