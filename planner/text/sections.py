"""The files of a show, each by itself, and sequences joined.

Takes the node of one file, gives its `Part`; takes the parts of all sequences, adds their shots and
elements to the `Gathering`. Knows nothing of the disk, and nothing of how references resolve.
"""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING, TypeAlias

from planner.model.place import Problem, Severity
from planner.model.show import Rate, Resource, Sequence, Shot
from planner.text.facts_reader import FactsReader, entries
from planner.text.parts import Part, SequenceRead, ShotRead, ShowRead, together

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from planner.model.facts import Facts
    from planner.model.place import Place
    from planner.text.gathering import Gathering
    from planner.text.node import Node
    from planner.text.parts import PartReader, Pieces
    from planner.text.plans import Slot

Problems: TypeAlias = tuple[Problem, ...]

# A section of builds.yaml says the kind of what it holds, unless the thing itself does.
SECTION_KINDS = {
    "builds": "build",
    "tests": "test",
    "permits": "permit",
    "sets": "standing_set",
    "decisions": "decision",
}
RESOURCE_SORTS = {
    "stages": "stage",
    "rigs": "rig",
    "cameras": "camera",
    "lenses": "lens",
    "screens": "screen",
    "crews": "crew",
    "people": "person",
}


def read_show(reader: PartReader, node: Node, faults: Problems) -> Part[ShowRead]:
    """Everything of show.yaml."""
    problems = reader.check("show.json", node)
    facts = FactsReader(problems)
    kinds = node.get("kinds") if isinstance(node.value, dict) else None
    chosen = None
    if kinds is not None and isinstance(kinds.value, dict):
        chosen = {name: str(origin) for name, origin in kinds.value.items()}
    says = ShowRead(facts.facts(node, reader.plan("show.json")), chosen)
    return Part(faults, says, (*problems, *facts.problems), tuple(facts.resources))


def read_builds(reader: PartReader, node: Node, faults: Problems) -> Part[Pieces]:
    """Everything of builds.yaml."""
    problems = reader.check("builds.json", node)
    pieces = tuple(
        reader.piece(name, thing, default_kind=SECTION_KINDS.get(section, ""))
        for section, things in node.children()
        for name, thing in things.children()
    )
    return Part(faults, together(pieces), problems)


def read_sequence(reader: PartReader, node: Node, faults: Problems) -> Part[SequenceRead]:
    """Everything of one file of sequences/."""
    problems = reader.check("sequence.json", node)
    plan = dict(reader.plan("sequence.json"))
    shot_plan = _inner(plan.pop("shots"))
    shot_plan.pop("elements")
    read = FactsReader(problems)
    facts = read.facts(node, plan)
    id_ = facts.word("sequence")
    listed = node.get("shots") if isinstance(node.value, dict) else None
    shots = tuple(
        _read_shot(reader, child, (name, id_, key_place), shot_plan, problems)
        for name, key_place, child in entries(listed)
    )
    by_id = {each.shot.id: each.shot for each in shots}
    sequence = Sequence(id_, facts.word("title"), tuple(by_id), facts, facts.place)
    says = SequenceRead(
        sequence,
        shots,
        by_id,
        together(tuple(piece for each in shots for piece in each.pieces)),
        tuple(problem for each in shots for problem in _told_in(each)),
        tuple(named for each in shots for named in each.named),
    )
    return Part(faults, says, (*problems, *read.problems), tuple(read.resources))


def _told_in(shot: ShotRead) -> Iterator[Problem]:
    for piece in shot.pieces:
        yield from piece.problems
    yield from shot.problems


def _read_shot(
    reader: PartReader,
    node: Node,
    about: tuple[str, str, Place],
    plan: Mapping[str, Slot],
    faults: Problems,
) -> ShotRead:
    """One shot; `about` is its id, its sequence's, and where its id stands.

    Args:
        reader: of its elements.
        node: what is written of it.
        about: as above.
        plan: of what a shot states.
        faults: that the schema found in its file.
    """
    id_, sequence, place = about
    listed = node.get("elements") if isinstance(node.value, dict) else None
    things = list(listed.children()) if listed is not None else []
    own = frozenset(name for name, _each in things)
    pieces = tuple(reader.piece(name, each, shot=id_, own=own) for name, each in things)
    read = FactsReader(faults)
    facts = read.facts(node, plan)
    shot = Shot(
        id_,
        sequence,
        facts.word("says"),
        facts.frames("cut"),
        facts.word("state", "live"),
        facts,
        tuple(each.pending.element.id for each in pieces),
        place,
    )
    return ShotRead(shot, pieces, tuple(read.problems), tuple(read.resources))


def join_sequences(
    work: Gathering, parts: Iterable[Part[SequenceRead]]
) -> tuple[dict[str, Sequence], dict[str, Shot]]:
    """Sequences and shots by id; their elements are added. The first of each name stands."""
    sequences: dict[str, Sequence] = {}
    shots: dict[str, Shot] = {}
    for part in parts:
        if part.says is None:
            continue
        work.problems += part.problems
        work.named += part.named
        sequence = part.says.sequence
        if sequence.id in sequences:
            place = sequence.facts.place_of("sequence")
            message = f"{sequence.id} is already the name of a sequence"
            work.error("name-used-twice", place, message)
            continue
        if _join_whole(work, part.says, shots):
            sequences[sequence.id] = sequence
            continue
        mine = [each for each in part.says.shots if _join_shot(work, each, shots)]
        sequences[sequence.id] = replace(sequence, shots=tuple(each.shot.id for each in mine))
    return sequences, shots


def _join_whole(work: Gathering, read: SequenceRead, shots: dict[str, Shot]) -> bool:
    """Add all shots of a file and their elements, unless a name of them is taken."""
    if not shots.keys().isdisjoint(read.by_id) or not work.take(read.pieces):
        return False
    work.problems += read.problems
    work.named += read.named
    shots.update(read.by_id)
    return True


def _join_shot(work: Gathering, read: ShotRead, shots: dict[str, Shot]) -> bool:
    """Add a shot and its elements, unless its number is taken."""
    shot = read.shot
    if shot.id in shots:
        message = f"{shot.id} is already the number of a shot"
        work.error("name-used-twice", shot.place, message)
        return False
    for piece in read.pieces:
        work.add(piece)
    work.problems += read.problems
    work.named += read.named
    shots[shot.id] = shot
    return True


def read_resources(
    reader: PartReader, node: Node, faults: Problems
) -> Part[Mapping[str, Resource]]:
    """Everything of resources.yaml, by id."""
    resources: dict[str, Resource] = {}
    problems = list(reader.check("resources.json", node))
    plan = reader.plan("resources.json")
    read = FactsReader(problems)
    for section, _place, things in entries(node):
        if section not in plan:
            continue
        slots = _inner(plan[section])
        for name, key_place, thing in entries(things):
            if name in resources:
                message = f"{name} is already the name of a resource"
                problems.append(Problem(Severity.ERROR, key_place, "name-used-twice", message))
                continue
            known = len(read.problems)
            facts = read.facts(thing, slots)
            problems += read.problems[known:]
            resources[name] = _resource(name, section, facts, key_place)
    return Part(faults, MappingProxyType(resources), tuple(problems), tuple(read.resources))


def _resource(name: str, section: str, facts: Facts, place: Place) -> Resource:
    return Resource(
        name,
        RESOURCE_SORTS[section],
        facts.word("title", name.replace("_", " ")),
        int(facts.amount("heads", 1)),
        facts.word("craft"),
        facts.ranges("away"),
        facts,
        place,
    )


def read_rates(
    reader: PartReader, node: Node, faults: Problems, currency: str
) -> Part[Mapping[str, Rate]]:
    """Everything of rates.yaml, by id; a sum in another currency than the show's is an error."""
    faults = reader.check("rates.json", node)
    read = FactsReader(faults)
    read.problems += faults
    facts = read.facts(node, reader.plan("rates.json"))
    rates = {name: _rate(read, name, each, currency) for name, each in facts.named("rates").items()}
    return Part(faults, MappingProxyType(rates), tuple(read.problems), tuple(read.resources))


def _rate(read: FactsReader, name: str, facts: Facts, currency: str) -> Rate:
    amounts = []
    for entry in facts.groups("amounts"):
        since, money = entry.day("from"), entry.money("is")
        if since is None or money is None:
            continue
        if money.currency != currency:
            message = f"{money} is not in {currency}, the show's currency"
            remedy = f"write the sum in {currency}"
            place = entry.place_of("is")
            problem = Problem(Severity.ERROR, place, "currency-differs", message, remedy)
            read.problems.append(problem)
        amounts.append((since, money))
    amounts.sort(key=lambda pair: pair[0])
    return Rate(name, facts.word("per"), tuple(amounts), facts.word("account"), facts.place)


def _inner(slot: Slot) -> dict[str, Slot]:
    """Slots of what a map by name holds."""
    return dict((slot.inner.plan if slot.inner else None) or {})
