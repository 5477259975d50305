"""What was made of an element, held against the facts as they are now.

Takes facts as text by name (see `planner.status.rested`), as they were when something was made and
as they are, gives a judgement for each element: still good, good with work, or dead, with the
frames it lacks, the hours it asks for, and why. What was derived follows what it was derived from.
Knows nothing of events, money or dates.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from graphlib import CycleError, TopologicalSorter
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.status.downstream import Upstream, follow
from planner.status.its_frames import frame_findings, frames_short
from planner.status.its_making import making_findings
from planner.status.rested import NAMES
from planner.status.shifted import camera_findings
from planner.status.sorts import Sort, sort_of
from planner.status.verdicts import Change, Finding, Made, Thumb, Verdict, added

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from planner.kinds import Hours
    from planner.model.quantity import Quantity

__all__ = ["Change", "Judgement", "Made", "Verdict", "judged", "judged_show"]

NOTHING_MORE = Made()


@dataclass(frozen=True, slots=True)
class Judgement:
    """What became of one element.

    Attributes:
        id: of the element.
        verdict: whether what was made still serves.
        reasons: why, a sentence each, the worst first; empty where nothing that matters changed.
        hours: of work that would make it good again; None where no work would, or none is needed.
        frames_short_head: frames wanted before the first that exists.
        frames_short_tail: frames wanted after the last that exists.
        because: ids upstream whose own judgement or take made it so.
        short: the worst reason in a few words; empty where it is good.
        is_own: whether its own facts alone make it as bad; else what lies upstream does.
        changes: the facts that changed.
        numbers: what the verdict rests on, each open to its arithmetic.
    """

    id: str
    verdict: Verdict
    reasons: tuple[str, ...] = ()
    hours: Hours | None = None
    frames_short_head: int = 0
    frames_short_tail: int = 0
    because: tuple[str, ...] = ()
    short: str = ""
    is_own: bool = True
    changes: tuple[Change, ...] = field(default=(), repr=False)
    numbers: tuple[Quantity, ...] = field(default=(), repr=False)

    @property
    def is_dead(self) -> bool:
        """Whether it must be made again."""
        return self.verdict is Verdict.DEAD


def judged(
    id_: str,
    was: Mapping[str, str],
    now: Mapping[str, str],
    made: Made = NOTHING_MORE,
    thumb: Thumb | None = None,
) -> Judgement:
    """One element by its own facts; what lies upstream of it is left aside.

    Args:
        id_: of the element.
        was: its facts when it was made.
        now: its facts.
        made: what exists of it.
        thumb: rules of thumb; those that are shipped where not given.
    """
    changes = _changes(was, now)
    if not changes and made.frames is None:
        return Judgement(id_, Verdict.GOOD)
    found = tuple(_findings(was, now, made, thumb or Thumb()))
    head, tail = frames_short(was, now, made)
    told = _summed(id_, found, changes)
    return replace(told, frames_short_head=head, frames_short_tail=tail)


def judged_show(
    before: Mapping[str, Mapping[str, str]],
    after: Mapping[str, Mapping[str, str]],
    made: Mapping[str, Made] = MappingProxyType({}),
    rules: Mapping[str, Hours] = MappingProxyType({}),
    takes: Mapping[str, str] = MappingProxyType({}),
) -> dict[str, Judgement]:
    """Every element of which something was made, upstream first, so that what was derived follows.

    Args:
        before: per element of which something was made, its facts at that time.
        after: per element of the show, its facts now.
        made: what exists of each, where more is known than its facts.
        rules: a show's own figures for rules of thumb, by name (`verdicts.own_rules`).
        takes: the take of each that is in use now, where that is known.

    Returns:
        Judgements by id, upstream first; none of elements of which nothing was made.
    """
    thumb = Thumb(rules)
    found: dict[str, Judgement] = {}
    verdicts: dict[str, tuple[Verdict, str]] = {}
    for id_ in _upstream_first(after):
        if id_ not in before:
            continue
        mine = made.get(id_, NOTHING_MORE)
        own = judged(id_, before[id_], after[id_], mine, thumb)
        upstream = Upstream(verdicts, mine, takes)
        told = _joined(own, tuple(follow(before[id_], after[id_], upstream, thumb)))
        found[id_], verdicts[id_] = told, (told.verdict, told.short)
    return found


def _changes(was: Mapping[str, str], now: Mapping[str, str]) -> tuple[Change, ...]:
    names = sorted({*was, *now})
    return tuple(
        Change(name, was.get(name, ""), now.get(name, ""))
        for name in names
        if was.get(name, "") != now.get(name, "")
    )


def _findings(
    was: Mapping[str, str], now: Mapping[str, str], made: Made, thumb: Thumb
) -> Iterator[Finding]:
    yield from frame_findings(was, now, made, thumb)
    if sort_of(now) is Sort.PICTURE:
        yield from camera_findings(was, now, thumb)
    yield from making_findings(was, now, made, thumb)


def _summed(id_: str, found: tuple[Finding, ...], changes: tuple[Change, ...]) -> Judgement:
    ranked = sorted(found, key=lambda each: -each.verdict.weight)
    worst = ranked[0].verdict if ranked else Verdict.GOOD
    return Judgement(
        id_,
        worst,
        tuple(dict.fromkeys(each.says for each in ranked)),
        added(each.hours for each in ranked) if worst is Verdict.WORK else None,
        because=tuple(dict.fromkeys(name for each in ranked for name in each.because)),
        short=ranked[0].short if ranked and worst is not Verdict.GOOD else "",
        changes=changes,
        numbers=tuple(number for each in ranked for number in each.numbers),
    )


def _joined(own: Judgement, followed: tuple[Finding, ...]) -> Judgement:
    """Its own judgement and what follows from upstream, the worse of the two first."""
    if not followed:
        return own
    other = _summed(own.id, followed, own.changes)
    first, second = (own, other) if own.verdict.weight >= other.verdict.weight else (other, own)
    is_dead = Verdict.DEAD in (own.verdict, other.verdict)
    return replace(
        own,
        verdict=first.verdict,
        reasons=tuple(dict.fromkeys((*first.reasons, *second.reasons))),
        hours=None if is_dead else added((own.hours, other.hours)),
        because=other.because,
        short=first.short or second.short,
        is_own=first is own,
        numbers=(*first.numbers, *second.numbers),
    )


def _upstream_first(after: Mapping[str, Mapping[str, str]]) -> tuple[str, ...]:
    """Ids, each after what it names; as given where the names go round in a ring."""
    sorter: TopologicalSorter[str] = TopologicalSorter()
    for id_, facts in after.items():
        named = (text for name, text in facts.items() if name.startswith(NAMES))
        targets = {each for text in named for each in text.split(", ")} & after.keys()
        sorter.add(id_, *sorted(targets - {id_}))
    try:
        return tuple(sorter.static_order())
    except CycleError:
        return tuple(after)
