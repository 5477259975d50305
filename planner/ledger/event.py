"""What happened: one thing at one time, told by one person.

Takes words and times, gives frozen `Event`s. Knows nothing of files, databases or what a show makes
of them.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass, field
from datetime import date
from enum import Enum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from planner.model.facts import FrameRange

MARK_LENGTH = 16


class What(Enum):
    """What may happen to a thing, in the trade's words."""

    MEASURED = "measured"
    SETTLED = "settled"
    BUILT = "built"
    PROVEN = "proven"
    ON_STAGE = "on stage"
    SET_UP = "set up"
    TAKE = "take"
    IN_THE_CAN = "in the can"
    SCANNED = "scanned"
    APPROVED = "approved"
    NOT_APPROVED = "not approved"
    HELD = "held"
    FREED = "freed"
    STRUCK = "struck"
    LOST = "lost"
    OMITTED = "omitted"
    UN_OMITTED = "un-omitted"
    RECUT = "recut"
    CORRECTED = "corrected"

    def __str__(self) -> str:
        return self.value


class Verdict(Enum):
    """What the floor says of a take."""

    GOOD = "good"
    NO_GOOD = "no good"
    KEPT = "kept"

    def __str__(self) -> str:
        return self.value


@dataclass(frozen=True, slots=True)
class Note:
    """One remark on a take or composite.

    Attributes:
        says: what is wrong or wanted.
        frames: where; None for all of it.
        direction: which way: ``left``, ``darker`` …; empty where it has none.
        amount: how much, with its unit, as people say it: ``3 px``, ``half a stop``.
    """

    says: str
    frames: FrameRange | None = None
    direction: str = ""
    amount: str = ""


@dataclass(frozen=True, slots=True)
class Details:
    """What else is known of an event; each field has a meaning only where the event gives it one.

    Attributes:
        take: number on the slate: of this take, or of the one approved, scanned or kept.
        verdict: on a take.
        circled: whether the take is the one to use.
        notes: on a take or an approval.
        plate_take: the plate and its take that it was checked against.
        program: revision of the move it was photographed with.
        frames: frames that exist.
        by: who approved it, holds it or measured it.
        why: the reason, as a clause.
        values: what was measured, as written, by name.
        corrects: id of the event that does not stand.
        words: anything else people should know.
    """

    take: str = ""
    verdict: Verdict | None = None
    circled: bool = False
    notes: tuple[Note, ...] = ()
    plate_take: str = ""
    program: str = ""
    frames: FrameRange | None = None
    by: str = ""
    why: str = ""
    values: Mapping[str, str] = field(default_factory=dict)
    corrects: str = ""
    words: str = ""


NOTHING_ELSE = Details()

BACK = "back"
"""Name of the value that says, of a thing posted as lost, the first day it is there again."""


DAYS_AWAY = 3
"""Working days for which a thing lost is taken to be away where nobody gives a day: a guess."""


def day_back(written: str) -> date | None:
    """The day that a value of `BACK` says; None where it says none, or is no date."""
    try:
        return date.fromisoformat(written)
    except ValueError:
        return None


NEEDED: Mapping[What, tuple[str, ...]] = {
    What.TAKE: ("take",),
    What.APPROVED: ("by",),
    What.NOT_APPROVED: ("by",),
    What.HELD: ("by",),
    What.CORRECTED: ("corrects",),
}
"""Details without which an event says nothing."""


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that happened. Nothing is ever changed or taken away; a correction is an event too.

    Attributes:
        client: word by which the teller knows it; told twice, it is kept once.
        what: what happened.
        about: id of the element, shot, build or resource.
        at: when, with its zone.
        author: who tells it.
        details: what else is known.
        against: mark of the facts it rested on; see `Basis`. Empty where none were looked at.
        told: when it was told, which sets the order of what happened in one moment; None where
            nobody kept it.
        id: follows from `client`, so that every copy of a ledger knows it by the same.
    """

    client: str
    what: What
    about: str
    at: datetime
    author: str
    details: Details = NOTHING_ELSE
    against: str = ""
    told: datetime | None = None
    id: str = field(init=False)

    def __post_init__(self) -> None:
        if self.at.tzinfo is None or (self.told is not None and self.told.tzinfo is None):
            raise ValueError("the times of an event have zones")
        object.__setattr__(self, "id", _digest(self.client))

    @property
    def order(self) -> tuple[datetime, datetime, str]:
        """Oldest first; of one moment as they were told, else by id, so that every copy agrees.

        Times with zones compare as moments, whatever their zones.
        """
        return self.at, self.told or self.at, self.id

    def tells_as(self, other: Event) -> bool:
        """Whether it says what another of the same client says; a retry may come later."""
        mine, theirs = (
            (self.what, self.about, self.details),
            (other.what, other.about, other.details),
        )
        return mine == theirs


@dataclass(frozen=True, slots=True)
class Basis:
    """Facts that events rested on, as they stood when the events were told.

    Attributes:
        facts: as text, by name.
        mark: follows from the facts; equal facts have one mark.
    """

    facts: Mapping[str, str]
    mark: str = field(init=False)

    def __post_init__(self) -> None:
        written = json.dumps(dict(self.facts), sort_keys=True, ensure_ascii=False)
        object.__setattr__(self, "mark", _digest(written))


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:MARK_LENGTH]
