"""What was made on a show and no longer stands, since the facts it rested on have changed.

Takes a show, what happened to it and the facts each event rested on, gives a judgement for each
element of which something was made, and which approvals no longer count. Knows nothing of money,
dates to come or printing.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from planner.ledger import What
from planner.status.its_frames import exists_of, wanted_of
from planner.status.judging import Made, judged_show
from planner.status.rested import NAMES, facts_of, paths_of
from planner.status.sorts import Sort, sort_of
from planner.status.state import Step, by_thing, in_force, states_in_force
from planner.status.verdicts import added, own_rules, times

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from datetime import datetime

    from planner.estimate import Estimates
    from planner.kinds import Estimate, Hours
    from planner.ledger import Basis, Event
    from planner.model.facts import FrameRange
    from planner.model.show import Show
    from planner.status.judging import Judgement
    from planner.status.state import State

_MAKING = (What.BUILT, What.PROVEN)
_SHOOTING = (What.TAKE, What.IN_THE_CAN, What.SCANNED)


@dataclass(frozen=True, slots=True)
class Judged:
    """Every element of which something was made.

    Attributes:
        judgements: by id, upstream first.
        made: the event by which each was made.
        unknown: ids of what was made against facts that nobody kept, and so cannot be judged;
            of what is still wanted.
        unwanted: the event by which each was made that is omitted by now, it or its shot, in the
            show's files or as posted: spent, whatever it rested on.
        states: of each thing that anything happened to, by what happened alone.
    """

    judgements: Mapping[str, Judgement] = field(default_factory=dict)
    made: Mapping[str, Event] = field(default_factory=dict)
    unknown: tuple[str, ...] = ()
    unwanted: Mapping[str, Event] = field(default_factory=dict)
    states: Mapping[str, State] = field(default_factory=dict)

    @property
    def wanted(self) -> dict[str, Judgement]:
        """Judgements of what is still wanted: what is omitted is spent, not to be mended."""
        return {id_: each for id_, each in self.judgements.items() if id_ not in self.unwanted}


@dataclass(frozen=True, slots=True)
class _Record:
    """What was made of one element, by what event, and against which facts."""

    event: Event
    facts: Mapping[str, str]
    vouched: datetime
    frames: FrameRange | None
    plate_take: str


def judge(
    show: Show, estimates: Estimates, events: Iterable[Event], bases: Iterable[Basis]
) -> Judged:
    """What became of everything that was made.

    A take counts by the facts it was photographed against; once somebody approved it, by those it
    was approved against: who approves has seen it as it is. Frames that do not exist no approval
    makes.

    Args:
        show: with its facts as they are.
        estimates: of its elements; tell what making each takes.
        events: that happened.
        bases: facts they rested on.
    """
    told = by_thing(in_force(events))
    states = states_in_force(told)
    facts = {each.mark: each.facts for each in bases}
    found: dict[str, _Record] = {}
    unknown: list[str] = []
    for id_, mine in told.items():
        if id_ not in show.elements or not _is_made(states[id_]):
            continue
        record = _record(mine, states[id_], facts)
        if record is not None:
            found[id_] = record
        else:
            unknown.append(id_)
    judged = _judged(show, estimates, found, told, states)
    unwanted = dict(_unwanted(show, told, states))
    known = tuple(id_ for id_ in unknown if id_ not in unwanted)
    return replace(judged, unknown=known, unwanted=unwanted)


def _unwanted(
    show: Show, told: Mapping[str, Sequence[Event]], states: Mapping[str, State]
) -> Iterator[tuple[str, Event]]:
    """What was made and is omitted, with the event by which it was made."""
    omitted = {id_ for id_, state in states.items() if state.omitted is not None}
    for id_, mine in told.items():
        element = show.elements.get(id_)
        if element is None or states[id_].lost is not None or not _is_begun(states[id_]):
            continue
        if show.is_live(element) and omitted.isdisjoint({id_, element.shot}):
            continue
        event = _maker(_since_lost(mine), states[id_])
        if event is not None:
            yield id_, event


def _judged(
    show: Show,
    estimates: Estimates,
    found: Mapping[str, _Record],
    told: Mapping[str, Sequence[Event]],
    states: Mapping[str, State],
) -> Judged:
    paths = paths_of(show) if found else {}
    before = {id_: each.facts for id_, each in found.items() if show.is_live(show.elements[id_])}
    after = {id_: facts_of(show, show.elements[id_], paths) for id_ in before}
    made = {
        id_: _made(found[id_], _hours(estimates.by_element.get(id_), before[id_], after[id_]), told)
        for id_ in before
    }
    takes = {id_: state.in_use for id_, state in states.items() if state.in_use}
    judgements = judged_show(before, after, made, own_rules(show.facts), takes)
    return Judged(judgements, {id_: found[id_].event for id_ in before}, states=states)


def _is_made(state: State) -> bool:
    """Whether there is anything to be judged."""
    if state.lost is not None or state.omitted is not None:
        return False
    return _is_begun(state)


def _is_begun(state: State) -> bool:
    return state.made >= Step.BUILT or state.step >= Step.SHOOTING


def _since_lost(events: Sequence[Event]) -> Sequence[Event]:
    since = max((n for n, each in enumerate(events) if each.what is What.LOST), default=-1)
    return events[since + 1 :]


def _record(
    events: Sequence[Event], state: State, facts: Mapping[str, Mapping[str, str]]
) -> _Record | None:
    """By what it was made, since it was last lost; None where its facts were not kept."""
    events = _since_lost(events)
    event = _maker(events, state)
    if event is None or event.against not in facts:
        return None
    was, vouched = facts[event.against], event.at
    frames = _frames(events, state.in_use) or exists_of(was, {}, Made())
    approvals = [each for each in events if each.what is What.APPROVED and _is_of(each, state)]
    if approvals and approvals[-1].against in facts and approvals[-1].at >= event.at:
        was, vouched = facts[approvals[-1].against], approvals[-1].at
    told = [each.details.plate_take for each in events if each.details.take == state.in_use]
    plate_take = next((each for each in reversed(told) if each), "")
    is_vouched = was is not facts[event.against]
    kept = frames if is_vouched or _frames(events, state.in_use) else None
    return _Record(event, was, vouched, kept, plate_take)


def _maker(events: Sequence[Event], state: State) -> Event | None:
    """The event by which what is in use came to be."""
    takes = [each for each in events if each.what is What.TAKE]
    of_use = [each for each in takes if each.details.take == state.in_use]
    if state.in_use and of_use:
        return of_use[0]
    shot = [each for each in events if each.what in _SHOOTING]
    made = [each for each in events if each.what in _MAKING]
    canned = [each for each in shot if each.what is What.IN_THE_CAN]
    return next((each[-1] for each in (canned, shot, made) if each), None)


def _is_of(event: Event, state: State) -> bool:
    return event.details.take in {"", state.in_use}


def _frames(events: Sequence[Event], in_use: str) -> FrameRange | None:
    """Frames that somebody told exist, the last word first."""
    told = [
        each.details.frames
        for each in events
        if each.details.frames is not None and each.details.take in {"", in_use}
    ]
    return told[-1] if told else None


def _in_use(events: Iterable[Event]) -> str:
    """The take in use by what happened to one thing."""
    return next((state.in_use for state in states_in_force(by_thing(events)).values()), "")


def _made(record: _Record, hours: Hours | None, told: Mapping[str, Sequence[Event]]) -> Made:
    named = [text for name, text in record.facts.items() if name.startswith(NAMES)]
    ids = dict.fromkeys(each for text in named for each in text.split(", ") if each in told)
    takes = {
        each: take
        for each in ids
        if (take := _in_use(event for event in told[each] if event.at <= record.vouched))
    }
    return Made(record.frames, hours, takes, _checked(record.plate_take, told))


def _hours(
    estimate: Estimate | None, was: Mapping[str, str], now: Mapping[str, str]
) -> Hours | None:
    """What making all of it took, of a composite the first join, reckoned from what it takes now.

    What is made frame by frame takes hours by its frames.
    """
    if estimate is None or not estimate.work:
        return None
    sort = sort_of(now)
    works = estimate.work[:1] if sort is Sort.JOIN else estimate.work
    whole = added(work.hours for work in works)
    then, frames = wanted_of(was), wanted_of(now)
    if whole is None or then is None or frames is None or sort not in {Sort.HAND, Sort.JOIN}:
        return whole
    return times(whole, then.count / frames.count)


def _checked(text: str, told: Mapping[str, object]) -> dict[str, str]:
    """The plate and take of ``NB110.doors 4``, ``NB110.doors take 4`` or ``doors, take 4``."""
    words = text.replace(",", " ").split()
    if len(words) < 2:
        return {}
    name, take = words[0], words[-1]
    ids = [id_ for id_ in told if name in {id_, id_.rpartition(".")[2]}]
    return {ids[0]: take} if len(ids) == 1 else {}
