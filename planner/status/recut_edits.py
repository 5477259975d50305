"""What a change of the cut writes into the show, value by value.

Takes a show and changes, gives `Edit`s, what people must write themselves, and the show as it would
be. The same edits are applied to the show in memory and to its files, so that what was judged is
what is written. Knows nothing of YAML or of money.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.model.cut import Act, Edit
from planner.model.facts import Facts, FrameRange, Missing
from planner.model.names import noun
from planner.model.quantity import Quantity, Standing
from planner.model.show import Shot

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
    from datetime import date

    from planner.model.cut import CutChange
    from planner.model.facts import Value
    from planner.model.show import Element, Show

RUNS_ON = ("in_frame", "frames", "operator_in_frame")
"""Frames on which something goes on: where they end with the cut, they end with the new one."""
_LISTS_THAT_RUN_ON = ("rods", "contacts", "feet", "stations")


@dataclass(frozen=True, slots=True)
class Asked:
    """Who wants a change of the cut, and when.

    Attributes:
        on: the day.
        by: who asks; may be empty.
        why: the reason, as a clause; may be empty.
    """

    on: date
    by: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class Stub:
    """A shot to be written for people to fill.

    Attributes:
        id: its number.
        sequence: it belongs to.
        after: shot it stands after in the file; empty for the last.
        cut: its frames; None while unknown.
        says: what is seen; empty where nobody says.
        state: ``live`` or ``unplaced``.
        why: why it is there, a sentence.
    """

    id: str
    sequence: str
    after: str
    cut: FrameRange | None
    says: str
    state: str
    why: str


@dataclass(frozen=True, slots=True)
class Writing:
    """Everything a set of changes writes.

    Attributes:
        edits: values to be another, one for each path.
        stubs: shots to be written for people to fill.
        by_hand: per shot, what people must write or decide, in sentences.
        unfit: changes that cannot be made, in sentences.
        show: the show with the edits, and with the shots that are left for people to fill.
    """

    edits: tuple[Edit, ...]
    stubs: tuple[Stub, ...]
    by_hand: Mapping[str, tuple[str, ...]]
    unfit: tuple[tuple[CutChange, str], ...]
    show: Show


def written(show: Show, changes: Iterable[CutChange], asked: Asked) -> Writing:
    """What `changes` write, made one after the other.

    Args:
        show: as it is.
        changes: in order; the second change of a shot is of what the first left.
        asked: who wants them, and when.
    """
    edits: dict[tuple[str, tuple[str | int, ...]], Edit] = {}
    stubs: list[Stub] = []
    by_hand: dict[str, tuple[str, ...]] = {}
    unfit: list[tuple[CutChange, str]] = []
    now = show
    for change in changes:
        if fault := _fault(now, change, {each.id for each in stubs}):
            unfit.append((change, fault))
            continue
        mine = tuple(_WRITERS[change.act](now, change, asked))
        for each in mine:
            if isinstance(each, Stub):
                stubs.append(each)
            elif isinstance(each, str):
                by_hand[change.shot] = (*by_hand.get(change.shot, ()), each)
            else:
                key = (each.owner, each.path)
                first = edits[key].was if key in edits else each.was
                edits[key] = Edit(each.owner, each.path, first, each.now)
        now = with_edits(now, (each for each in mine if isinstance(each, Edit)))
        now = with_stubs(now, (each for each in mine if isinstance(each, Stub)))
    real = tuple(each for each in edits.values() if each.was != each.now)
    return Writing(real, tuple(stubs), MappingProxyType(by_hand), tuple(unfit), now)


def _fault(show: Show, change: CutChange, added: Collection[str]) -> str:
    """Why a change cannot be made; empty where it can."""
    shot = show.shots.get(change.shot)
    if change.act is Act.ADD:
        return f"{change.shot} is there already" if shot else ""
    if change.shot in added:
        return f"{change.shot} is put in by the same list; say it all where it is put in"
    if shot is None:
        return f"no shot is called {change.shot}"
    check = _CHECKS.get(change.act)
    return check(show, shot, change) if check else ""


def _length_fault(_show: Show, shot: Shot, change: CutChange) -> str:
    if shot.cut is None:
        return f"{shot.id} has no cut yet; write it first, such as `cut: 101-148`"
    first, last = shot.cut.first - change.head, shot.cut.last + change.tail
    if first < 0:
        head = f"{change.head} {noun(change.head, 'frame')} at the head of {shot.cut}"
        return f"{head} would begin before frame 0; count {shot.id} from a higher frame first"
    if last < first:
        lasts = f"{shot.cut.count} {noun(shot.cut.count, 'frame')}"
        return f"{shot.id} is {lasts} long; nothing would be left of it"
    return ""


def _take_fault(show: Show, shot: Shot, change: CutChange) -> str:
    if change.element not in shot.elements:
        return f"{shot.id} has no element {change.element.rpartition('.')[2]}"
    kind = show.elements[change.element].kind
    return "" if kind == "plate" else f"{change.element} is a {kind}, and plates have takes swapped"


def _split_fault(show: Show, shot: Shot, change: CutChange) -> str:
    if shot.cut is None or not shot.cut.first < change.at <= shot.cut.last:
        return f"{shot.id} is cut {shot.cut or 'nowhere'}; frame {change.at} does not split it"
    return f"{change.other} is there already" if change.other in show.shots else ""


def _other_fault(show: Show, shot: Shot, change: CutChange) -> str:
    if change.other == shot.id:
        return f"{shot.id} cannot be placed by itself"
    return "" if change.other in show.shots else f"no shot is called {change.other}"


def _omit_fault(_show: Show, shot: Shot, _change: CutChange) -> str:
    return f"{shot.id} is omitted already" if shot.state == "omitted" else ""


def _un_omit_fault(_show: Show, shot: Shot, _change: CutChange) -> str:
    # It may be posted as omitted all the same: `post SHOW un-omitted` takes that back.
    return f"{shot.id} is wanted already by its file" if shot.is_live else ""


_CHECKS: Mapping[Act, Callable[[Show, Shot, CutChange], str]] = {
    Act.LENGTH: _length_fault,
    Act.TAKE: _take_fault,
    Act.SPLIT: _split_fault,
    Act.JOIN: _other_fault,
    Act.ORDER: _other_fault,
    Act.OMIT: _omit_fault,
    Act.UN_OMIT: _un_omit_fault,
}


def _length(show: Show, change: CutChange, asked: Asked) -> Iterator[Edit | Stub | str]:
    shot = show.shots[change.shot]
    old = shot.cut
    if old is None:
        return
    new = FrameRange(old.first - change.head, old.last + change.tail)
    yield Edit(shot.id, ("cut",), old, new)
    said: dict[str, Value] = {"on": asked.on, "was": old, "by": asked.by}
    known = shot.facts.group("recut").values
    for name, value in said.items():
        if value or name in known:
            yield Edit(shot.id, ("recut", name), known.get(name), value)
    for id_ in shot.elements:
        for path, span in running_on(show.elements[id_], old):
            first = new.first if span.first == old.first else span.first
            last = new.last if span.last == old.last else span.last
            if (first, last) != (span.first, span.last) and first <= last:
                yield Edit(id_, path, span, FrameRange(first, last))


def running_on(
    element: Element, cut: FrameRange
) -> Iterator[tuple[tuple[str | int, ...], FrameRange]]:
    """Frames an element states that begin or end with the cut and go on with it."""
    found: list[tuple[tuple[str | int, ...], Value | None]] = [
        ((name,), element.facts.values.get(name)) for name in RUNS_ON
    ]
    for name in _LISTS_THAT_RUN_ON:
        found += [
            ((name, n, "frames"), each.values.get("frames"))
            for n, each in enumerate(element.facts.groups(name))
        ]
    for path, value in found:
        if isinstance(value, FrameRange) and (value.first == cut.first or value.last == cut.last):
            yield path, value


def _take(show: Show, change: CutChange, _asked: Asked) -> Iterator[Edit | Stub | str]:
    element = show.elements[change.element]
    report = element.facts.group("report")
    if not report.has("take"):
        yield (
            f"{element.place}: write the report of take {change.take} under `report:` of"
            f" {element.id}"
        )
        return
    yield Edit(element.id, ("report", "take"), report.values["take"], change.take)
    held = element.facts.values.get("frames_in_hand")
    if change.frames is not None:
        yield Edit(element.id, ("frames_in_hand",), held, change.frames)
    elif held is not None:
        place = element.facts.place_of("frames_in_hand")
        yield f"{place}: frames_in_hand was of the other take; write those of take {change.take}"
    yield (
        f"{report.place}: the rest of the report is of take {report.word('take')}; see that stop,"
        f" focus, height and tilt hold of take {change.take}"
    )


def _split(show: Show, change: CutChange, asked: Asked) -> Iterator[Edit | Stub | str]:
    shot = show.shots[change.shot]
    cut = shot.cut
    if cut is None:
        return
    second = FrameRange(change.at, cut.last)
    new = change.other
    place = shot.facts.place_of("cut")
    yield (
        f"{place}: shorten {shot.id} to {cut.first}-{change.at - 1}, and move what is seen on"
        f" {second} to {new or 'a shot with a number of its own'}; what both use stays in one and"
        " is named by the other"
    )
    if new:
        says = shot.says and f"Second part of: {shot.says}"
        why = f"split from {shot.id} at frame {change.at} on {asked.on}; its pieces stand there"
        yield Stub(new, shot.sequence, shot.id, second, says, "unplaced", why)


def _join(show: Show, change: CutChange, _asked: Asked) -> Iterator[Edit | Stub | str]:
    shot, other = show.shots[change.shot], show.shots[change.other]
    more = other.cut.count if other.cut else 0
    last = shot.cut.last + more if shot.cut else more
    yield (
        f"{shot.place}: lengthen {shot.id} to frame {last} and move the pieces of {other.id}"
        f" ({other.place}) into it, their frames counted on from {last - more + 1}; omit {other.id}"
    )


def _order(show: Show, change: CutChange, _asked: Asked) -> Iterator[Edit | Stub | str]:
    shot, other = show.shots[change.shot], show.shots[change.other]
    where = change.says.partition(" ")[0] or "after"
    yield f"{shot.place}: move the lines of {shot.id} {where} those of {other.id} ({other.place})"


def _flop(show: Show, change: CutChange, _asked: Asked) -> Iterator[Edit | Stub | str]:
    shot = show.shots[change.shot]
    yield Edit(shot.id, ("flop",), shot.facts.values.get("flop"), change.flop)


def _reposition(show: Show, change: CutChange, _asked: Asked) -> Iterator[Edit | Stub | str]:
    shot = show.shots[change.shot]
    yield Edit(
        shot.id, ("push_in",), shot.facts.values.get("push_in"), _share("push in", change.push_in)
    )


def _retime(show: Show, change: CutChange, _asked: Asked) -> Iterator[Edit | Stub | str]:
    shot = show.shots[change.shot]
    yield Edit(shot.id, ("speed",), shot.facts.values.get("speed"), _share("speed", change.speed))


def _share(name: str, value: float) -> Quantity:
    """A share as it would be read back."""
    value = round(value, 6)
    return Quantity(name, value, "1", Standing.GIVEN, text=f"{value * 100:.10g} %")


def _omit(show: Show, change: CutChange, asked: Asked) -> Iterator[Edit | Stub | str]:
    yield from _state(show.shots[change.shot], "omitted", asked)


def _un_omit(show: Show, change: CutChange, asked: Asked) -> Iterator[Edit | Stub | str]:
    yield from _state(show.shots[change.shot], "live", asked)


def _state(shot: Shot, state: str, asked: Asked) -> Iterator[Edit]:
    yield Edit(shot.id, ("state",), shot.facts.values.get("state"), state)
    done = "Omitted" if state == "omitted" else "Wanted again"
    by = f" by {asked.by}" if asked.by else ""
    why = f": {asked.why}" if asked.why else ""
    said = f"{done} on {asked.on}{by}{why}."
    yield Edit(shot.id, ("why",), shot.facts.values.get("why"), said)


def _add(show: Show, change: CutChange, asked: Asked) -> Iterator[Edit | Stub | str]:
    near = show.shots.get(change.other)
    sequence = near.sequence if near else list(show.sequences)[-1]
    by = f" by {asked.by}" if asked.by else ""
    why = f"added on {asked.on}{by}; say what it is made of"
    yield Stub(change.shot, sequence, change.other, change.frames, change.says, "live", why)
    yield f"no work on {change.shot} is priced until somebody says what it is made of"


_WRITERS: Mapping[Act, Callable[[Show, CutChange, Asked], Iterator[Edit | Stub | str]]] = {
    Act.LENGTH: _length,
    Act.TAKE: _take,
    Act.SPLIT: _split,
    Act.JOIN: _join,
    Act.ORDER: _order,
    Act.FLOP: _flop,
    Act.REPOSITION: _reposition,
    Act.RETIME: _retime,
    Act.OMIT: _omit,
    Act.UN_OMIT: _un_omit,
    Act.ADD: _add,
}


def with_edits(show: Show, edits: Iterable[Edit]) -> Show:
    """The show with every edit made; one of no shot or element is passed over."""
    shots, elements = dict(show.shots), dict(show.elements)
    touched = False
    for each in edits:
        touched = True
        if each.owner in shots:
            shots[each.owner] = _shot_with(shots[each.owner], each)
        elif each.owner in elements:
            element = elements[each.owner]
            facts = _set(element.facts, each.path, each.now)
            elements[each.owner] = replace(element, facts=facts)
    if not touched:
        return show
    return replace(show, shots=MappingProxyType(shots), elements=MappingProxyType(elements))


def with_stubs(show: Show, stubs: Iterable[Stub]) -> Show:
    """The show with shots as they would be read back before anybody fills them."""
    for each in stubs:
        sequence = show.sequences[each.sequence]
        values: dict[str, Value] = {"says": each.says or Missing(), "cut": each.cut or Missing()}
        if each.state != "live":
            values["state"] = each.state
        facts = Facts(sequence.place, MappingProxyType(values))
        shot = Shot(
            each.id, each.sequence, each.says, each.cut, each.state, facts, (), sequence.place
        )
        names = _put_after(sequence.shots, each.after, each.id)
        last = sequence.shots[-1] if sequence.shots else ""
        after = each.after if each.after in sequence.shots else last
        order = _put_after(tuple(show.shots), after, each.id)
        shots = {**show.shots, each.id: shot}
        sequences = {**show.sequences, sequence.id: replace(sequence, shots=names)}
        show = replace(
            show,
            shots=MappingProxyType({id_: shots[id_] for id_ in order}),
            sequences=MappingProxyType(sequences),
        )
    return show


def _put_after(ids: tuple[str, ...], after: str, new: str) -> tuple[str, ...]:
    """Ids with another after one of them, or after the last."""
    at = ids.index(after) + 1 if after in ids else len(ids)
    return (*ids[:at], new, *ids[at:])


def _shot_with(shot: Shot, edit: Edit) -> Shot:
    facts = _set(shot.facts, edit.path, edit.now)
    return replace(shot, facts=facts, cut=facts.frames("cut"), state=facts.word("state", "live"))


def _set(facts: Facts, path: tuple[str | int, ...], now: Value | None) -> Facts:
    """Facts with the value under a path another, or taken out; empty groups go with it."""
    head, *rest = path
    name = str(head)
    values = dict(facts.values)
    old = values.get(name)
    new = now
    if rest and isinstance(old, tuple) and isinstance(rest[0], int):
        items = list(old)
        inner = items[rest[0]]
        if isinstance(inner, Facts):
            items[rest[0]] = _set(inner, tuple(rest[1:]), now)
        new = tuple(items)
    elif rest:
        group = old if isinstance(old, Facts) else Facts(facts.place)
        new = _set(group, tuple(rest), now)
    if new is None or (rest and isinstance(new, Facts) and not new.values):
        values.pop(name, None)
    else:
        values[name] = new
    return Facts(facts.place, MappingProxyType(values), facts.places)
