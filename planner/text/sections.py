"""The files beside show.yaml: builds, sequences, resources and rates.

Takes their nodes, gives the model's values; problems gather on the `Gathering`. Knows nothing of
the disk, and nothing of how references resolve.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.model.show import Rate, Resource, Sequence, Shot
from planner.text.facts_reader import entries

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.model.facts import Facts
    from planner.text.gathering import Gathering
    from planner.text.located import Node
    from planner.text.plans import Slot

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


def read_builds(work: Gathering, node: Node | None) -> None:
    """Add everything of builds.yaml."""
    if node is None:
        return
    work.check("builds.json", node)
    for section, _place, things in entries(node):
        for name, _key_place, thing in entries(things):
            work.add_element(name, thing, "", SECTION_KINDS.get(section, ""))


def read_sequences(
    work: Gathering, nodes: tuple[Node, ...]
) -> tuple[dict[str, Sequence], dict[str, Shot]]:
    """Sequences and shots by id; their elements are added."""
    sequences: dict[str, Sequence] = {}
    shots: dict[str, Shot] = {}
    plan = dict(work.plan("sequence.json"))
    shot_plan = _inner(plan.pop("shots"))
    shot_plan.pop("elements")
    for node in nodes:
        work.check("sequence.json", node)
        facts = work.read(node, plan)
        id_ = facts.word("sequence")
        if id_ in sequences:
            place = facts.place_of("sequence")
            work.error("name-used-twice", place, f"{id_} is already the name of a sequence")
            continue
        mine = _read_shots(work, node, id_, shot_plan, shots)
        sequences[id_] = Sequence(id_, facts.word("title"), mine, facts, node.place)
    return sequences, shots


def _read_shots(
    work: Gathering, node: Node, sequence: str, plan: Mapping[str, Slot], shots: dict[str, Shot]
) -> tuple[str, ...]:
    mine = []
    listed = node.get("shots") if isinstance(node.value, dict) else None
    for id_, key_place, child in entries(listed):
        if id_ in shots:
            work.error("name-used-twice", key_place, f"{id_} is already the number of a shot")
            continue
        pieces = child.get("elements") if isinstance(child.value, dict) else None
        elements = tuple(
            work.add_element(name, each, id_, "") for name, _place, each in entries(pieces)
        )
        facts = work.read(child, plan)
        shots[id_] = Shot(
            id_,
            sequence,
            facts.word("says"),
            facts.frames("cut"),
            facts.word("state", "live"),
            facts,
            elements,
            key_place,
        )
        mine.append(id_)
    return tuple(mine)


def read_resources(work: Gathering, node: Node | None) -> dict[str, Resource]:
    """Everything of resources.yaml, by id."""
    resources: dict[str, Resource] = {}
    if node is None:
        return resources
    work.check("resources.json", node)
    plan = work.plan("resources.json")
    for section, _place, things in entries(node):
        if section not in plan:
            continue
        slots = _inner(plan[section])
        for name, key_place, thing in entries(things):
            if name in resources:
                message = f"{name} is already the name of a resource"
                work.error("name-used-twice", key_place, message)
                continue
            facts = work.read(thing, slots)
            resources[name] = Resource(
                name,
                RESOURCE_SORTS[section],
                facts.word("title", name.replace("_", " ")),
                int(facts.amount("heads", 1)),
                facts.word("craft"),
                facts.ranges("away"),
                facts,
                key_place,
            )
    return resources


def read_rates(work: Gathering, node: Node | None, currency: str) -> dict[str, Rate]:
    """Everything of rates.yaml, by id; a sum in another currency than the show's is an error."""
    if node is None:
        return {}
    work.check("rates.json", node)
    facts = work.read(node, work.plan("rates.json"))
    return {name: _rate(work, name, each, currency) for name, each in facts.named("rates").items()}


def _rate(work: Gathering, name: str, facts: Facts, currency: str) -> Rate:
    amounts = []
    for entry in facts.groups("amounts"):
        since, money = entry.day("from"), entry.money("is")
        if since is None or money is None:
            continue
        if money.currency != currency:
            message = f"{money} is not in {currency}, the show's currency"
            remedy = f"write the sum in {currency}"
            work.error("currency-differs", entry.place_of("is"), message, remedy)
        amounts.append((since, money))
    amounts.sort(key=lambda pair: pair[0])
    return Rate(name, facts.word("per"), tuple(amounts), facts.word("account"), facts.place)


def _inner(slot: Slot) -> dict[str, Slot]:
    """Slots of what a map by name holds."""
    return dict((slot.inner.plan if slot.inner else None) or {})
