"""Scenarios: named sets of facts that are other than the show states.

Takes the bytes of a scenarios file and of a show's files, gives scenarios with every change found
in the files, and for each the files as they would be. What is changed is then read and checked as
any show is. Knows nothing of the disk, or of what the facts do.
"""

from __future__ import annotations

import json
import re
from copy import deepcopy
from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any, TypeAlias

from planner.model.place import Place, Problem, Severity
from planner.text.checked import Checker
from planner.text.located import read_yaml
from planner.text.sections import RESOURCE_SORTS, SECTION_KINDS
from planner.text.show_folder import file_schemas

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from planner.text.node import Node

Tree: TypeAlias = "dict[str, Tree] | list[Tree] | str"
"""A document without places: mappings, lists, and scalars as they are written in YAML."""
Steps: TypeAlias = "tuple[str, ...]"

COUNT = "count"
_SECTIONS: Mapping[str, Iterable[str]] = {
    "show.yaml": ("deliveries",),
    "resources.yaml": RESOURCE_SORTS,
    "builds.yaml": SECTION_KINDS,
}
_MOST = 20
"""Of one thing; more is a slip of the finger."""


@dataclass(frozen=True, slots=True)
class Change:
    """One fact that is otherwise.

    Attributes:
        path: as written.
        file: of the show, such as ``builds.yaml``.
        steps: keys from the root of the file.
        value: what stands there instead.
        count: how many there are of the thing at `steps`; None where `value` is what changes.
        place: in the scenarios file.
    """

    path: str
    file: str
    steps: Steps
    value: Tree
    count: int | None
    place: Place


@dataclass(frozen=True, slots=True)
class Scenario:
    """A named set of changes.

    Attributes:
        name: in the table.
        says: what it is; may be empty.
        changes: in the order written.
        place: in the scenarios file.
        problems: changes that could not be found in the show.
    """

    name: str
    says: str
    changes: tuple[Change, ...]
    place: Place
    problems: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True)
class Changed:
    """A show's files with a scenario's changes made.

    Attributes:
        files: by name; those untouched are as they were.
        alike: by id of a resource, ids of the others like it that there are now.
    """

    files: Mapping[str, bytes]
    alike: Mapping[str, tuple[str, ...]]


def read_scenarios(
    data: bytes, name: str, files: Mapping[str, bytes]
) -> tuple[tuple[Scenario, ...], tuple[Problem, ...]]:
    """Every scenario of a file, its paths looked up in the show's files.

    Args:
        data: the scenarios file.
        name: of it, for places.
        files: of the show, by name.

    Returns:
        The scenarios, and what is wrong with the file itself. A path that leads nowhere is a
        problem of its scenario alone.
    """
    root, problems = read_yaml(data, name)
    if root is None:
        return (), problems
    schemas = file_schemas()
    faults = Checker(schemas["scenarios.json"], schemas).check(root)
    if problems or faults:
        return (), (*problems, *faults)
    known = _Known(files)
    listed = root.get("scenarios")
    assert listed is not None  # noqa: S101 - its schema wants it
    return tuple(_scenario(key, place, node, known) for key, place, node in listed.items()), ()


def _scenario(name: str, place: Place, node: Node, known: _Known) -> Scenario:
    says, facts = node.get("says"), node.get("set")
    changes: list[Change] = []
    problems: list[Problem] = []
    for path, where, value in facts.items() if facts is not None else ():
        found = known.change(path, where, value)
        if isinstance(found, Change):
            found = _again(found, changes) or found
        if isinstance(found, Change):
            changes.append(found)
        else:
            problems.append(replace(found, about=name))
    return Scenario(name, says.written if says else "", tuple(changes), place, tuple(problems))


def _again(change: Change, changes: Iterable[Change]) -> Problem | None:
    """What is wrong with counting a thing once more under another of its names."""
    counted = (each for each in changes if each.count is not None)
    if change.count is None or all(each.steps != change.steps for each in counted):
        return None
    said = f"{change.path} counts what this scenario has counted already"
    return Problem(Severity.ERROR, change.place, "scenario-count", said, "keep one of them")


class _Known:
    """Everything in a show's files that has a name, and where it stands."""

    def __init__(self, files: Mapping[str, bytes]) -> None:
        self.roots: dict[str, Node] = {}
        for name, data in files.items():
            if name.endswith(".yaml"):
                root, _problems = read_yaml(data, name)
                if root is not None:
                    self.roots[name] = root
        self.named: dict[str, list[tuple[str, Steps]]] = {}
        for name, root in self.roots.items():
            for said, steps in _names(name, root):
                self.named.setdefault(said.casefold(), []).append((name, steps))

    def change(self, path: str, place: Place, value: Node) -> Change | Problem:
        """Where a path leads, or why it leads nowhere."""
        found = self._thing(path)
        if isinstance(found, str):
            return Problem(Severity.ERROR, place, "scenario-path", *found.split("; ", 1))
        file, steps, rest = found
        if rest != (COUNT,) or file != "resources.yaml":
            return Change(path, file, (*steps, *rest), _tree_of(value), None, value.place)
        section = self.roots[file].down(steps[:1]).value
        if isinstance(section, dict) and steps[0] not in {"crews", "people"}:
            if type(value.value) is int and 0 <= value.value <= _MOST:
                return Change(path, file, steps, "", value.value, value.place)
            said = f"{path} is a whole number from 0 to {_MOST}, not {value.written or 'this'}"
            return Problem(Severity.ERROR, value.place, "scenario-count", said)
        remedy = "state the heads of a crew: `stage_crew.heads: 8`"
        return Problem(
            Severity.ERROR, place, "scenario-count", f"{path}: hands have no count", remedy
        )

    def _thing(self, path: str) -> tuple[str, Steps, Steps] | str:
        """File and keys of the thing a path begins with, and the rest; or a sentence and remedy."""
        steps = tuple(each.strip() for each in path.split("."))
        file = next((name for name in self.roots if name.removesuffix(".yaml") == steps[0]), "")
        if file and len(steps) > 1:
            return file, steps[1:], ()
        for size in range(len(steps), 0, -1):
            places = self.named.get(".".join(steps[:size]).casefold(), [])
            if len(places) > 1:
                ways = " or ".join(".".join((f.removesuffix(".yaml"), *s)) for f, s in places)
                return f"{'.'.join(steps[:size])} is the name of several things; write {ways}"
            if places:
                return (*places[0], steps[size:])
        root = self.roots.get("show.yaml")
        if root is not None and root.get(steps[0]) is not None:
            return "show.yaml", steps, ()
        near = get_close_matches(steps[0].casefold(), self.named, n=1)
        hint = f"did you mean {near[0]}?" if near else "write it as the show's files do"
        return f"nothing in the show is called {steps[0]}; {hint}"


def _names(file: str, root: Node) -> Iterator[tuple[str, Steps]]:
    """What can be called by name in one file, with its keys."""
    if file.startswith("sequences/"):
        for shot in _keys(root, ("shots",)):
            yield shot, ("shots", shot)
            for piece in _keys(root, ("shots", shot, "elements")):
                yield f"{shot}.{piece}", ("shots", shot, "elements", piece)
    for section in _SECTIONS.get(file, ()):
        for name in _keys(root, (section,)):
            yield name, (section, name)
            title = root.down((section, name)).get("title")
            if title is not None and title.written.casefold() != name.casefold():
                yield title.written, (section, name)


def _keys(root: Node, steps: Steps) -> Iterable[str]:
    node: Node | None = root
    for step in steps:
        node = node.get(step) if node is not None else None
    return list(node.value) if node is not None and isinstance(node.value, dict) else []


def changed(files: Mapping[str, bytes], scenario: Scenario) -> Changed:
    """The show's files with a scenario's changes made; each changed file is written anew."""
    new = dict(files)
    trees: dict[str, Tree] = {}
    alike: dict[str, tuple[str, ...]] = {}
    for change in scenario.changes:
        tree = _tree(trees, files, change.file)
        if change.count is None:
            _put(tree, change.steps, change.value)
        elif others := _counted(tree, change):
            alike[change.steps[-1]] = others
            if "rates.yaml" in files:
                _priced_alike(_tree(trees, files, "rates.yaml"), change.steps[-1], others)
    new |= {name: _written(tree).encode() for name, tree in trees.items()}
    return Changed(new, alike)


def _tree(trees: dict[str, Tree], files: Mapping[str, bytes], file: str) -> Tree:
    if file not in trees:
        root, _problems = read_yaml(files.get(file, b"{}"), file)
        trees[file] = _tree_of(root) if root is not None else {}
    return trees[file]


def _tree_of(node: Node) -> Tree:
    """A node without its places, scalars as they are written."""
    if isinstance(node.value, dict):
        return {key: _tree_of(child) for key, child in node.children()}
    if isinstance(node.value, list):
        return [_tree_of(child) for child in node]
    if isinstance(node.value, str):
        return node.value if node.value == "?" else json.dumps(node.value, ensure_ascii=False)
    return node.written or "null"


def _put(tree: Tree, steps: Sequence[str], value: Tree) -> None:
    """Put a value under its keys; keys that are not there are made."""
    for step in steps[:-1]:
        if not isinstance(tree, dict):
            return
        inner = tree.get(step)
        if not isinstance(inner, dict):
            inner = tree[step] = {}
        tree = inner
    if isinstance(tree, dict):
        tree[steps[-1]] = value


def _counted(tree: Tree, change: Change) -> tuple[str, ...]:
    """Take a thing away, or put others like it beside it; ids of the others."""
    section, id_ = change.steps
    things: Any = tree.get(section) if isinstance(tree, dict) else None
    if not isinstance(things, dict) or id_ not in things:  # the same scenario put others there
        return ()
    if not change.count:
        del things[id_]
        return ()
    others = tuple(f"{id_}_{number}" for number in range(2, change.count + 1))
    thing = things[id_] if isinstance(things[id_], dict) else {}
    title = thing.get("title", "")
    said = json.loads(title) if str(title).startswith('"') else id_.replace("_", " ")
    for number, other in enumerate(others, 2):
        named = json.dumps(f"{said} {number}", ensure_ascii=False)
        things[other] = {**deepcopy(thing), "title": named}
    return others


def _priced_alike(tree: Tree, id_: str, others: Iterable[str]) -> None:
    """Give others like a thing its rate."""
    rates: Any = tree.get("rates", {}) if isinstance(tree, dict) else {}
    if id_ in rates:
        rates.update({other: deepcopy(rates[id_]) for other in others})


def _written(tree: Tree, indent: str = "") -> str:
    """A tree as YAML in flow form, an entry a line."""
    if isinstance(tree, str):
        return tree
    inner = f"{indent} "
    if isinstance(tree, list):
        rows = [f"{inner}{_written(each, inner)}" for each in tree]
        return "[\n" + ",\n".join(rows) + f"\n{indent}]" if rows else "[]"
    rows = [
        f"{inner}{json.dumps(key, ensure_ascii=False)}: {_written(each, inner)}"
        for key, each in tree.items()
    ]
    return "{\n" + ",\n".join(rows) + f"\n{indent}}}" if rows else "{}"


def told_where_changed(
    problems: Iterable[Problem], scenario: Scenario, made: Changed
) -> tuple[Problem, ...]:
    """Problems of a changed show, each at the change it stands in, else at the scenario."""
    spans = [(change, *_lines(change, made)) for change in scenario.changes]
    gone = [change for change in scenario.changes if change.count == 0]
    return tuple(_told(each, scenario, spans, gone) for each in problems)


def _told(
    problem: Problem,
    scenario: Scenario,
    spans: Iterable[tuple[Change, int, int]],
    gone: Iterable[Change],
) -> Problem:
    for change in gone:
        if _is_named(change.steps[-1], problem.message):
            remedy = "name another for it in the same scenario"
            return replace(problem, place=change.place, remedy=remedy)
    for change, first, last in spans:
        if problem.place.file == change.file and first <= problem.place.line <= last:
            return replace(problem, place=change.place)
    return replace(problem, place=scenario.place)


def _is_named(name: str, message: str) -> bool:
    """Whether a sentence holds a name whole: not as part of another, of an id or of a scale."""
    around = rf"(?<!\w)(?<!\w[.:/-]){re.escape(name)}(?![.:/-]?\w)"
    return re.search(around, message) is not None


def _lines(change: Change, made: Changed) -> tuple[int, int]:
    """First and last line that a change takes up in its file as written anew."""
    root, _problems = read_yaml(made.files[change.file], change.file)
    if root is None or change.count is not None:
        return 1, 0
    first = root.at(change.steps).line
    return first, first + _written(change.value).count("\n")
