"""What was made of an element, held against the facts as they are now.

Takes facts as text by name (see `planner.status.rested`), as they were when something was made and
as they are, gives a judgement for each element: still good, good with work, or dead, with the frames
it lacks, the hours it asks for, and why. Knows nothing of events, money or dates.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.status.rested import frames_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from planner.kinds import Hours
    from planner.model.facts import FrameRange
    from planner.model.quantity import Quantity


class Verdict(Enum):
    """Whether what was made still serves."""

    GOOD = "still good"
    WORK = "good with work"
    DEAD = "dead"

    def __str__(self) -> str:
        return self.value

    @property
    def weight(self) -> int:
        """0 for good, 2 for dead."""
        return list(Verdict).index(self)


@dataclass(frozen=True, slots=True)
class Change:
    """A fact that is not what it was; empty text where it was not known."""

    name: str
    was: str
    now: str


@dataclass(frozen=True, slots=True)
class Judgement:
    """What became of one element.

    Attributes:
        id: of the element.
        verdict: whether what was made still serves.
        reasons: why, a sentence each, the worst first; empty where nothing changed.
        hours: of work that would make it good again; None where no work would, or none is needed.
        frames_short_head: frames wanted before the first that exists.
        frames_short_tail: frames wanted after the last that exists.
        because: ids upstream whose own judgement made it so.
        changes: the facts that changed and were judged.
        numbers: what the verdict rests on, each open to its arithmetic.
    """

    id: str
    verdict: Verdict
    reasons: tuple[str, ...] = ()
    hours: Hours | None = None
    frames_short_head: int = 0
    frames_short_tail: int = 0
    because: tuple[str, ...] = ()
    changes: tuple[Change, ...] = ()
    numbers: tuple[Quantity, ...] = ()


@dataclass(frozen=True, slots=True)
class Made:
    """What exists of an element, beside the facts it rested on.

    Attributes:
        frames: those that exist, where somebody said; None where the facts must tell.
        hours: what making all of it takes; None where nobody reckoned that.
        takes: of what it was made from, the take that was in use then, by id.
    """

    frames: FrameRange | None = None
    hours: Hours | None = None
    takes: Mapping[str, str] = field(default_factory=dict)


NOTHING_MORE = Made()


def judged(
    id_: str, was: Mapping[str, str], now: Mapping[str, str], made: Made = NOTHING_MORE
) -> Judgement:
    """One element by its own facts; what lies upstream of it is left aside.

    Args:
        id_: of the element.
        was: its facts when it was made.
        now: its facts.
        made: what exists of it.
    """
    wanted = frames_of(now.get("shot cut", ""))
    exists = made.frames or frames_of(was.get("shot cut", ""))
    if wanted is None or exists is None:
        return Judgement(id_, Verdict.GOOD)
    head, tail = max(exists.first - wanted.first, 0), max(wanted.last - exists.last, 0)
    verdict = Verdict.DEAD if head or tail else Verdict.GOOD
    return Judgement(id_, verdict, (), None, head, tail)


def judged_show(
    before: Mapping[str, Mapping[str, str]],
    after: Mapping[str, Mapping[str, str]],
    made: Mapping[str, Made] = MappingProxyType({}),
    rules: Mapping[str, Hours] = MappingProxyType({}),
) -> dict[str, Judgement]:
    """Every element of which something was made, upstream first, so that what was derived follows.

    Args:
        before: per element of which something was made, its facts at that time.
        after: per element of the show, its facts now.
        made: what exists of each, where more is known than its facts.
        rules: a show's own figures for rules of thumb, by name.

    Returns:
        Judgements by id, in the order of `after`; none of elements of which nothing was made.
    """
    del rules
    known: Iterable[str] = (id_ for id_ in after if id_ in before)
    return {id_: judged(id_, before[id_], after[id_], made.get(id_, Made())) for id_ in known}
