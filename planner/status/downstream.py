"""What becomes of a thing when what it was made from is no longer what it was.

Takes the facts of an element, the judgements of what it names, and the takes that were and are in
use, gives a finding for each thing upstream that makes it stale. Knows nothing of what happened to
those things.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.estimate.stale_rules import DRAW, LOOK, REJOIN
from planner.status.its_frames import wanted_of
from planner.status.rested import NAMES
from planner.status.sorts import Sort, sort_of
from planner.status.verdicts import Finding, Made, Thumb, Verdict, product, times

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from planner.kinds import Hours

_NO_PICTURE = frozenset(
    {"waits_for", "in_front_of", "held_out_by", "hides", "hands_over_to", "alternative_to"}
    | {"made_for", "set", "between", "needs_test", "size_of", "builds", "replaced_by", "build"}
)
"""Roles under which nothing is named that a picture was made from."""
_REMADE = frozenset({"pass_of", "move_from", "shadow_of", "falls_on", "into", "people_plate"})
"""Roles by which what is photographed must be photographed again with what it names."""


@dataclass(frozen=True, slots=True)
class Upstream:
    """What is known of the things an element names.

    Attributes:
        verdicts: verdict on each of which something was made, and why in a few words.
        made: what exists of the element, with the takes it was made from.
        takes: of each, the take in use now.
    """

    verdicts: Mapping[str, tuple[Verdict, str]]
    made: Made
    takes: Mapping[str, str]


def follow(
    was: Mapping[str, str], now: Mapping[str, str], upstream: Upstream, thumb: Thumb
) -> Iterator[Finding]:
    """What makes an element stale upstream of it.

    What is drawn from a picture dies with it; what joins pieces is joined again; what was
    photographed beside something is held against what takes its place.

    Args:
        was: facts it was made by.
        now: facts as they are.
        upstream: what is known of what it names.
        thumb: rules of thumb.
    """
    news = _news(was, now, upstream)
    if not news:
        return
    if sort_of(now) is Sort.JOIN:
        yield _joined_again(was, news, upstream.made, thumb)
        return
    for (role, id_), (says, is_new) in news.items():
        if not is_new:
            continue
        is_made_of_it = sort_of(now) in {Sort.HAND, Sort.MOVE} or role in _REMADE
        if is_made_of_it:
            short = f"made from {says.partition(';')[0].partition(', which')[0]}"
            yield Finding(Verdict.DEAD, short, f"made from {says}", None, (), (id_,))
        elif sort_of(now) is Sort.PICTURE:
            told = f"photographed to go with {says}: hold it against what takes its place"
            short = f"{id_} is not what it was"
            yield Finding(Verdict.WORK, short, told, thumb.of(LOOK), (), (id_,))


def _news(
    was: Mapping[str, str], now: Mapping[str, str], upstream: Upstream
) -> dict[tuple[str, str], tuple[str, bool]]:
    """By role and id, what became of a thing named, and whether it is another picture now."""
    found: dict[tuple[str, str], tuple[str, bool]] = {}
    for role, id_ in _named(now):
        verdict, short = upstream.verdicts.get(id_, (Verdict.GOOD, ""))
        if verdict is Verdict.DEAD:
            found[role, id_] = (f"{id_}, which is dead: {short}", True)
        elif takes := _other_take(was, now, upstream, role, id_):
            found[role, id_] = (takes, True)
        elif verdict is Verdict.WORK:
            found[role, id_] = (f"{id_}, which needs work: {short}", False)
    checked = upstream.made.checked_against
    for id_, take in checked.items():
        in_use = upstream.takes.get(id_, "")
        if in_use and take and in_use != take and not any(name == id_ for _role, name in found):
            found["plate take", id_] = (f"take {take} of {id_}; take {in_use} is in use", True)
    return found


def _named(now: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    for name, text in now.items():
        role = name.removeprefix(NAMES)
        if role != name and role not in _NO_PICTURE:
            for id_ in text.split(", "):
                yield role, id_


def _other_take(
    was: Mapping[str, str], now: Mapping[str, str], upstream: Upstream, role: str, id_: str
) -> str:
    """That another take or revision of a thing is in use, where it is; else empty."""
    then, since = upstream.made.takes.get(id_, ""), upstream.takes.get(id_, "")
    if then and since and then != since:
        return f"take {then} of {id_}; take {since} is in use"
    for word in ("take", "revision"):
        name = f"{role} {id_} {word}"
        before, after = was.get(name, ""), now.get(name, "")
        if before and after and before != after:
            return f"{word} {before} of {id_}; {word} {after} is in use"
    return ""


def _joined_again(
    was: Mapping[str, str],
    news: Mapping[tuple[str, str], tuple[str, bool]],
    made: Made,
    thumb: Thumb,
) -> Finding:
    ids = tuple(dict.fromkeys(id_ for _role, id_ in news))
    says = "; ".join(dict.fromkeys(text for text, _is_new in news.values()))
    hours = product(_whole(was, made, thumb), thumb.of(REJOIN))
    pieces = ids[0] if len(ids) == 1 else f"{len(ids)} pieces"
    short = f"to be joined again with {pieces}"
    numbers = (thumb.likely(REJOIN),)
    return Finding(Verdict.WORK, short, f"to be joined again: it has {says}", hours, numbers, ids)


def _whole(was: Mapping[str, str], made: Made, thumb: Thumb) -> Hours:
    """Hours of joining all of it."""
    if made.hours is not None:
        return made.hours
    frames = wanted_of(was)
    return times(thumb.of(DRAW), frames.count if frames else 1)
