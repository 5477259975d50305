"""A change list in YAML: what editorial did, shot by shot.

Takes the bytes of one file, gives `CutChange`s in the order written and every problem at its place.
Knows nothing of the show they are meant for.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.model.cut import Act, CutChange
from planner.model.facts import FrameRange
from planner.model.place import Problem, Severity
from planner.text.checked import Checker
from planner.text.facts_reader import FactsReader
from planner.text.located import read_yaml
from planner.text.plans import compile_plan
from planner.text.show_folder import file_schemas

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from planner.model.facts import Facts

FIELDS = 12.0
"""Fields of a whole frame's width, as camera stands are marked."""


@dataclass(frozen=True, slots=True)
class ChangeList:
    """What one file asks for.

    Attributes:
        by: who asks; empty where nobody says.
        why: the reason, as a clause.
        changes: in the order written.
    """

    by: str
    why: str
    changes: tuple[CutChange, ...]


class _UnfitError(Exception):
    """A change that does not say enough; its text is a sentence for people."""


def read_changes(
    data: bytes, file: str, show_fps: float
) -> tuple[ChangeList | None, tuple[Problem, ...]]:
    """Read a change list; bad input is told, never raised.

    Args:
        data: the file.
        file: its name, for the places.
        show_fps: rate the picture is shown at, which a retime to a rate is measured by.

    Returns:
        The list, None where there are problems; and the problems.
    """
    node, problems = read_yaml(data, file)
    if node is None or problems:
        return None, tuple(problems)
    schemas = file_schemas()
    schema = schemas["changes.json"]
    reader = FactsReader()
    faults = [*Checker(schema, schemas).check(node)]
    facts = reader.facts(node, compile_plan(schema, schemas))
    faults += reader.problems
    if faults:
        return None, tuple(faults)
    changes: list[CutChange] = []
    for each in facts.groups("changes"):
        try:
            changes.append(_change(each, show_fps))
        except _UnfitError as fault:
            faults.append(Problem(Severity.ERROR, each.place, "change-unreadable", str(fault)))
    if faults:
        return None, tuple(faults)
    return ChangeList(facts.word("by"), facts.word("why"), tuple(changes)), ()


def _change(facts: Facts, show_fps: float) -> CutChange:
    verbs = [verb for verb in _VERBS if facts.has(verb)]
    if len(verbs) != 1:
        said = " and ".join(verbs) if verbs else "nothing that is done to a shot"
        listed = ", ".join(_VERBS)
        raise _UnfitError(f"one change says {said}; write one of {listed}")
    verb = verbs[0]
    needed, allowed, reader = _VERBS[verb]
    if extra := sorted(set(facts.values) - {verb, *needed, *allowed}):
        raise _UnfitError(f"{extra[0]} says nothing of a shot to {verb}; leave it out")
    if missing := [name for name in needed if not facts.has(name)]:
        raise _UnfitError(f"{verb} wants {' and '.join(f'`{name}:`' for name in missing)}")
    change = replace(reader(facts, facts.word(verb)), place=facts.place_of(verb))
    rate = facts.number("rate")
    return change if rate is None else replace(change, speed=rate.value / show_fps)


def _count(facts: Facts, name: str) -> int:
    return int(facts.amount(name, 0))


def _longer(facts: Facts, shot: str) -> CutChange:
    return _length(facts, shot, 1)


def _shorter(facts: Facts, shot: str) -> CutChange:
    return _length(facts, shot, -1)


def _length(facts: Facts, shot: str, sign: int) -> CutChange:
    head, tail = sign * _count(facts, "head"), sign * _count(facts, "tail")
    if not head and not tail:
        raise _UnfitError(f"{shot} changes by no frames; write `head: 4`, `tail: 12` or both")
    return CutChange(Act.LENGTH, shot, head, tail)


def _take(facts: Facts, name: str) -> CutChange:
    shot, dot, element = name.partition(".")
    if not dot or not element:
        raise _UnfitError(f"{name} is no plate; write its shot and name, such as NB110.plate")
    to, frames = facts.word("to"), facts.frames("frames")
    return CutChange(Act.TAKE, shot, element=name, take=to, frames=frames)


def _split(facts: Facts, shot: str) -> CutChange:
    return CutChange(Act.SPLIT, shot, at=_count(facts, "at"), other=facts.word("new"))


def _join(facts: Facts, shot: str) -> CutChange:
    return CutChange(Act.JOIN, shot, other=facts.word("with"))


def _order(facts: Facts, shot: str) -> CutChange:
    after, before = facts.word("after"), facts.word("before")
    if bool(after) == bool(before):
        raise _UnfitError(f"where does {shot} go? write `after:` or `before:` another shot")
    says = f"after {after}" if after else f"before {before}"
    return CutChange(Act.ORDER, shot, other=after or before, says=says)


def _flop(_facts: Facts, shot: str) -> CutChange:
    return CutChange(Act.FLOP, shot, flop=True)


def _reposition(facts: Facts, shot: str) -> CutChange:
    fields = facts.number("fields")
    if fields is None and not facts.has("push_in"):
        raise _UnfitError(f"by how much is {shot} enlarged? write `push_in: 8 %` or `fields: 11`")
    if fields is None:
        return CutChange(Act.REPOSITION, shot, push_in=facts.amount("push_in", 0.0))
    if not 0 < fields.value <= FIELDS:
        raise _UnfitError(f"{fields.value:g} fields cannot be kept of {FIELDS:g}")
    return CutChange(Act.REPOSITION, shot, push_in=FIELDS / fields.value - 1)


def _retime(facts: Facts, shot: str) -> CutChange:
    speed, rate = facts.number("speed"), facts.number("rate")
    if (speed is None) == (rate is None):
        raise _UnfitError(f"how fast is {shot} shown? write `speed: 50 %` or `rate: 12 fps`")
    if any(each is not None and each.value <= 0 for each in (speed, rate)):
        raise _UnfitError(f"at no speed {shot} stands still; hold a frame by making it anew")
    return CutChange(Act.RETIME, shot, speed=speed.value if speed else 1.0)


def _add(facts: Facts, shot: str) -> CutChange:
    count = _count(facts, "count")
    frames = FrameRange(1, count) if count else None
    return CutChange(
        Act.ADD, shot, other=facts.word("after"), frames=frames, says=facts.word("says")
    )


def _omit(_facts: Facts, shot: str) -> CutChange:
    return CutChange(Act.OMIT, shot)


def _un_omit(_facts: Facts, shot: str) -> CutChange:
    return CutChange(Act.UN_OMIT, shot)


# Verb: what it needs, what else it may say, how it is read.
_VERBS: Mapping[str, tuple[tuple[str, ...], tuple[str, ...], Callable[[Facts, str], CutChange]]] = {
    "lengthen": ((), ("head", "tail"), _longer),
    "shorten": ((), ("head", "tail"), _shorter),
    "take": (("to",), ("frames",), _take),
    "split": (("at", "new"), (), _split),
    "join": (("with",), (), _join),
    "order": ((), ("after", "before"), _order),
    "flop": ((), (), _flop),
    "reposition": ((), ("push_in", "fields"), _reposition),
    "retime": ((), ("speed", "rate"), _retime),
    "omit": ((), (), _omit),
    "un-omit": ((), (), _un_omit),
    "add": ((), ("after", "count", "says"), _add),
}
