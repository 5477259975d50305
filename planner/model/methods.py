"""Several ways of making one thing, of which one is made.

Takes elements with what each is an alternative to and the verdict on it, gives the groups, the one
of each group that is made, and all that stands aside with the others. Knows nothing of cost.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from planner.model.show import Element

SETTLING = frozenset({"test", "decision"})
"""Kinds that settle which method is taken, and are wanted whatever the answer."""


@dataclass(frozen=True, slots=True)
class Methods:
    """Elements that are alternatives to one another.

    Attributes:
        members: ids, in the order written; two or more, or one with a verdict on it alone.
        made: id of the one that is made; empty where every one is rejected.
    """

    members: tuple[str, ...]
    made: str


def verdict_on(element: Element) -> str:
    """``chosen``, ``rejected`` or ``open``."""
    return element.facts.group("method").word("verdict", "open")


def methods_of(elements: Mapping[str, Element]) -> tuple[Methods, ...]:
    """Groups of alternatives, in the order written. Cost linear in the elements."""
    group_of: dict[str, list[str]] = {}
    for id_, element in elements.items():
        if not element.target("alternative_to") and not element.facts.has("method"):
            continue
        rivals = [each for each in element.targets("alternative_to") if each in elements]
        if not rivals and not element.facts.has("method"):
            continue
        known = (each for name in (*rivals, id_) for each in group_of.get(name, [name]))
        together = list(dict.fromkeys(known))
        group_of.update(dict.fromkeys(together, together))
    position = {id_: n for n, id_ in enumerate(elements)} if group_of else {}
    groups = {id(group): sorted(group, key=position.__getitem__) for group in group_of.values()}
    found = sorted(groups.values(), key=lambda group: position[group[0]])
    return tuple(Methods(tuple(group), _made(elements, group)) for group in found)


def _made(elements: Mapping[str, Element], group: list[str]) -> str:
    """The one chosen, else the one most of the others name, the first written of equals."""
    verdicts = {name: verdict_on(elements[name]) for name in group}
    left = [name for name in group if verdicts[name] == "chosen"]
    left = left or [name for name in group if verdicts[name] == "open"]
    named = [target for name in group for target in elements[name].targets("alternative_to")]
    return max(left, key=named.count, default="")


def stand_aside(elements: Mapping[str, Element]) -> frozenset[str]:
    """Ids of all methods that are not taken, their parts, and what only they wait for."""
    groups = methods_of(elements)
    made = frozenset(each.made for each in groups)
    aside = {name for each in groups for name in each.members} - made
    return wanted_only_by(elements, aside, kept=made) if aside else frozenset()


def wanted_only_by(
    elements: Mapping[str, Element],
    methods: Iterable[str],
    kept: Iterable[str] = (),
    *,
    candidates: bool = False,
) -> frozenset[str]:
    """`methods`, what is ``made_for`` them, and what nothing but these waits for, near or far.

    Tests and decisions are never among them.

    Args:
        elements: all of the show, by id.
        methods: ids to begin with.
        kept: ids that are never added.
        candidates: whether candidate builds may be among them; they are made in competition until
            one is chosen, whatever becomes of the methods.
    """
    waiting: defaultdict[str, list[str]] = defaultdict(list)
    parts: defaultdict[str, list[str]] = defaultdict(list)
    never = set(kept)
    for id_, element in elements.items():
        if element.kind in SETTLING or (element.facts.has("candidate_for") and not candidates):
            never.add(id_)
        for reference in element.references:
            if reference.role == "made_for":
                parts[reference.target].append(id_)
            elif reference.waits:
                waiting[reference.target].append(id_)
    found = set(methods)
    edge = list(found)
    while edge:
        name = edge.pop()
        near = {ref.target for ref in elements[name].references if ref.waits} & elements.keys()
        new = {each for each in near if set(waiting[each]) <= found} | set(parts[name])
        new -= found | never
        found |= new
        edge += sorted(new)
    return frozenset(found)
