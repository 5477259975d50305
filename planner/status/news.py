"""What events change, and for whom.

Takes an outline with the events there were and the events told now, gives for each thing touched
its state before and after, what may now go on, and what still waits for what. Knows nothing of
dates or of printing.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.ledger import What
from planner.status.shown import with_shown
from planner.status.standing import Standing
from planner.status.state import Step, full_id, in_force, states_of
from planner.status.too_soon import without_early

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from planner.ledger import Event
    from planner.status.outline import Outline
    from planner.status.state import State

MOST_MISSING = 4
_TURNED_BY: Mapping[What, frozenset[What]] = MappingProxyType(
    {
        What.HELD: frozenset({What.FREED}),
        What.FREED: frozenset({What.HELD, What.LOST}),
        What.OMITTED: frozenset({What.UN_OMITTED}),
        What.UN_OMITTED: frozenset({What.OMITTED}),
        What.APPROVED: frozenset({What.NOT_APPROVED}),
        What.NOT_APPROVED: frozenset({What.APPROVED}),
    }
)
"""Events after which another, told of a moment before them, changes nothing."""
_TOO_SOON = "it is approved, and what it waits for is not all there"
_EARLY = "the approval counts once all that it joins is there; still to come"


@dataclass(frozen=True, slots=True)
class Follower:
    """A piece that waits for what was touched.

    Attributes:
        id: of the piece.
        waits_for: what it still waits for, with the state of each in words.
        waited: whether it was waiting for the thing before.
        waits: whether it waits for the thing now.
    """

    id: str
    waits_for: tuple[tuple[str, str], ...]
    waited: bool
    waits: bool


@dataclass(frozen=True, slots=True)
class News:
    """What changed for one thing.

    Attributes:
        about: id of the thing.
        was: its state before, in words.
        now: its state after.
        remarks: what could be mistaken, in sentences.
        followers: pieces that directly wait for it, of those still to be done.
        freed: pieces outside it that nothing waits for any more, as its shot is omitted.
        spared: pieces with work still to do, its own and those freed, that an omitted shot leaves
            without a use.
    """

    about: str
    was: str
    now: str
    remarks: tuple[str, ...]
    followers: tuple[Follower, ...]
    freed: tuple[str, ...] = ()
    spared: tuple[str, ...] = ()


def concerned(outline: Outline, events: Iterable[Event], known: Iterable[Event] = ()) -> set[str]:
    """Everything whose events must be known to tell the news of `events`.

    Args:
        outline: of the show.
        events: told now.
        known: events they correct.
    """
    touched = {each.about for each in (*events, *known)}
    pieces = [id_ for about in touched for id_ in _pieces_of(outline, about)]
    followers = outline.followers()
    after = {follower for id_ in pieces for follower in followers.get(id_, ())}
    waited = {each for id_ in pieces for each in outline.pieces[id_].waits}
    after |= {follower for id_ in waited for follower in followers.get(id_, ())}
    near = {*pieces, *after, *(each for id_ in after for each in outline.pieces[id_].waits)}
    # Whether the approval of a composite counts is seen from what it joins.
    composites = near.intersection(outline.shots.values())
    near |= {each for id_ in composites for each in outline.pieces[id_].waits}
    return touched | near | {shot for id_ in near if (shot := outline.pieces[id_].shot)}


def _pieces_of(outline: Outline, about: str) -> tuple[str, ...]:
    """A piece itself; of a shot, all its pieces."""
    if about in outline.pieces:
        return (about,)
    if about in outline.shots:
        # By name first: pieces of a shot are called by it, and most need not be looked at.
        named = [id_ for id_ in outline.pieces if id_.startswith(f"{about}.")]
        return tuple(id_ for id_ in named if outline.pieces[id_].shot == about)
    return ()


def news(outline: Outline, before: Sequence[Event], told: Sequence[Event]) -> tuple[News, ...]:
    """What `told` changes.

    Args:
        outline: of the show.
        before: events known already, of everything `concerned`.
        told: events told now.
    """
    ids = {each.id: each for each in before}
    new = [each for each in told if each.id not in ids]
    states = states_of(before)
    was = _standing(outline, states)
    now = _standing(outline, _states_after(states, before, new))
    touched = dict.fromkeys(_touched(each, ids) for each in told)
    followers = outline.followers()
    late = _overtaken(before, new)
    found = (_news(was, now, about, followers) for about in touched)
    return tuple(
        replace(each, remarks=(*each.remarks, *late.get(each.about, ()))) for each in found
    )


def _overtaken(before: Sequence[Event], new: Iterable[Event]) -> dict[str, tuple[str, ...]]:
    """By thing, what is told as of a moment before what turned it: a slip, or a clock gone back."""
    found: dict[str, tuple[str, ...]] = {}
    known = in_force(before)
    for each in new:
        turned = [
            other
            for other in known
            if other.about == each.about
            and other.order > each.order
            and other.what in _TURNED_BY.get(each.what, ())
        ]
        if turned:
            last = max(turned, key=lambda other: other.order)
            said = (
                f"{each.what} is told as of {each.at:%Y-%m-%d %H:%M}, before {last.what} of"
                f" {last.at:%Y-%m-%d %H:%M}, which stands: is the day right?"
            )
            found[each.about] = (*found.get(each.about, ()), said)
    return found


def _standing(outline: Outline, states: Mapping[str, State]) -> Standing:
    return without_early(with_shown(Standing(outline, states)))


def _states_after(
    was: Mapping[str, State], before: Sequence[Event], told: Sequence[Event]
) -> Mapping[str, State]:
    """States with what is told now; only of what it is about are they other than before."""
    if any(each.what is What.CORRECTED for each in told):
        return states_of((*before, *told))
    about = {each.about for each in told}
    again = [each for each in before if each.about in about or each.what is What.CORRECTED]
    return {**was, **states_of((*again, *told))}


def _touched(told: Event, known: dict[str, Event]) -> str:
    """What an event is about; of a correction, what the corrected event was about."""
    if told.what is not What.CORRECTED:
        return told.about
    target = full_id(told.details.corrects, known.keys())
    return known[target].about if target else told.about


def _news(was: Standing, now: Standing, about: str, followers: Mapping[str, Sequence[str]]) -> News:
    outline = now.outline
    pieces = set(_pieces_of(outline, about))
    after = dict.fromkeys(each for id_ in pieces for each in followers.get(id_, ()))
    sink = outline.shots.get(about, "")
    wanted = [id_ for id_ in sorted(after) if now.is_wanted(id_)]
    counts = [id_ for id_ in wanted if was.of(id_).early and not now.of(id_).early]
    told = [
        _follower(was, now, id_, pieces)
        for id_ in wanted
        if (id_ not in pieces or id_ == sink)
        and not (now.is_done(id_) and (was.is_done(id_) or id_ in counts))
    ]
    freed = _freed(was, now, pieces, followers)
    return News(
        about,
        was.words(about),
        now.words(about),
        (
            *now.of(about).remarks,
            *_no_good_after_all(was, now, about),
            *_too_soon(was, now, about),
            *(f"the approval of {id_} counts now" for id_ in counts if now.is_done(id_)),
        ),
        tuple(each for each in told if each.waited or each.waits),
        freed,
        was.undone(sorted({*pieces, *freed})) if _is_omitted_now(was, now, about) else (),
    )


def _no_good_after_all(was: Standing, now: Standing, about: str) -> Iterator[str]:
    """Said of a piece that was in the can, of which no take will do now."""
    before, state = was.of(about), now.of(about)
    if before.step >= Step.IN_THE_CAN and state.wants_take:
        which = f"take {before.in_use}" if before.in_use else "the take"
        yield f"{which} in the can is no good and no other will do: it is called again"


def _too_soon(was: Standing, now: Standing, about: str) -> Iterator[str]:
    """Said of a piece approved now, where what it waits for is not there yet."""
    piece, state, before = now.outline.pieces.get(about), now.of(about), was.of(about)
    is_early = state.early is not None and state.early != before.early
    is_new = state.step is Step.APPROVED and before.step is not Step.APPROVED
    missing = now.undone(piece.waits) if piece and (is_early or is_new) else ()
    if missing:
        named = ", ".join(f"{id_} ({now.words(id_)})" for id_ in missing[:MOST_MISSING])
        more = len(missing) - MOST_MISSING
        rest = f" and {more} more" if more > 0 else ""
        yield f"{_EARLY if is_early else _TOO_SOON}: {named}{rest}"


def _is_omitted_now(was: Standing, now: Standing, about: str) -> bool:
    return now.of(about).omitted is not None and was.of(about).omitted is None


def _freed(
    was: Standing, now: Standing, pieces: set[str], followers: Mapping[str, Sequence[str]]
) -> tuple[str, ...]:
    """What `pieces` waited for and nothing waits for now."""
    waited = dict.fromkeys(each for id_ in pieces for each in now.outline.pieces[id_].waits)
    return tuple(
        id_
        for id_ in sorted(waited)
        if id_ not in pieces
        and any(was.is_wanted(each) for each in followers.get(id_, ()))
        and not any(now.is_wanted(each) for each in followers.get(id_, ()))
    )


def _follower(was: Standing, now: Standing, id_: str, pieces: set[str]) -> Follower:
    waits_for = now.waits_for(id_)
    return Follower(
        id_,
        tuple((each, now.words(each)) for each in waits_for),
        bool(pieces & set(was.waits_for(id_))),
        bool(pieces & set(waits_for)),
    )
