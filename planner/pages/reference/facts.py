"""What may be stated in a show's files, fact by fact.

Takes the schemas of files and kinds, gives one `Table` for each file, for what every element may
state, and for each kind, a row to a fact, however deep it stands. Knows nothing of HTML.
"""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, TypeAlias

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

Schema: TypeAlias = "Mapping[str, Any]"


@dataclass(frozen=True, slots=True)
class Row:
    """One fact.

    Attributes:
        id: unique on the page, to be linked to.
        name: of the fact alone.
        path: from the top of its file or thing; ``NAME`` stands for a name of one's own, ``[]``
            for each thing of a list.
        sort: what sort of value it is, and the words it may be where they are fixed.
        says: what it means.
        example: as it is written; empty where the fact only holds others.
        must: whether it has to be stated.
        waits: whether the work waits for the thing it names.
        is_fixed: whether it is one of a few fixed words.
    """

    id: str
    name: str
    path: str
    sort: str
    says: str
    example: str
    must: bool
    waits: bool
    is_fixed: bool


@dataclass(frozen=True, slots=True)
class Table:
    """What may be stated in one place.

    Attributes:
        id: unique on the page.
        title: its heading.
        says: a sentence, or nothing.
        rows: in the order of the schema.
    """

    id: str
    title: str
    says: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class FactsPage:
    """All of it.

    Attributes:
        files: a table for each file.
        every: what every element may state.
        kinds: a table for each kind.
        sorts: of value: a row with its title, meaning and example.
        by_name: the name of each fact, with the tables and ids where it may stand.
    """

    files: tuple[Table, ...]
    every: Table
    kinds: tuple[Table, ...]
    sorts: tuple[Row, ...]
    by_name: Mapping[str, tuple[tuple[str, str], ...]]


def facts_pages(
    shared: Mapping[str, Schema], kinds: Mapping[str, tuple[Schema, str]], shows: str = ""
) -> FactsPage:
    """Every fact of every file and kind.

    Args:
        shared: the file schemas, by ``$id``.
        kinds: of each kind by its name, its schema and the distribution it comes from.
        shows: text of show files, from which measured facts take their examples where they can.
    """
    names = [name for name in sorted(shared) if name not in ("facts.json", "element.json")]
    files = tuple(_table(name.removesuffix(".json"), shared[name], shared, "") for name in names)
    every = _table("every", shared["element.json"], shared, "")
    own = tuple(
        _table(f"kind-{name}", schema, shared, f"From {origin}.")
        for name, (schema, origin) in kinds.items()
    )
    sorts = tuple(
        _row("sort", name, name, {**each, "$sort": True}, must=False)
        for name, each in shared["facts.json"]["$defs"].items()
    )
    seen = _as_stated(shows)
    files, own = (tuple(_with_examples(each, seen) for each in some) for some in (files, own))
    every = _with_examples(every, seen)
    return FactsPage(files, every, own, sorts, _by_name((*files, every, *own)))


def _as_stated(shows: str) -> Mapping[tuple[str, str], str]:
    """The first value stated of each fact, by its name and the value's shape."""
    found: dict[tuple[str, str], str] = {}
    for name, value in _STATED.findall(shows):
        found.setdefault((name, _shape(value)), value.strip())
    return found


def _with_examples(table: Table, seen: Mapping[tuple[str, str], str]) -> Table:
    """A table whose measured facts show what a show states of them, where it is of their shape."""
    rows = []
    for row in table.rows:
        shapes = [_shape(row.example), *_ALIKE.get(_shape(row.example), ())]
        if "or a list of names" in row.sort:
            shapes.append("name")
        stated = next((seen[row.name, each] for each in shapes if (row.name, each) in seen), "")
        rows.append(replace(row, example=stated) if stated and not row.is_fixed else row)
    return replace(table, rows=tuple(rows))


def _shape(value: str) -> str:
    """A value with its numbers left out: ``# mm``; a name alone is ``name``."""
    bare = value.strip()
    if re.fullmatch(r"[A-Za-z]\w*(\.\w+)?", bare):
        return "name"
    return re.sub(r"-?\d+(\.\d+)?", "#", bare)


_STATED = re.compile(r"\b([a-z_]+): ([^\s{}\[\],#>|?][^{}\[\],#\n]*)")
_ALIKE = {"# m": ("# mm",), "# s": ("# min", "# h"), "f/#": ("T#",), "# h": ("# min",)}


def _by_name(tables: tuple[Table, ...]) -> Mapping[str, tuple[tuple[str, str], ...]]:
    found: defaultdict[str, list[tuple[str, str]]] = defaultdict(list)
    for table in tables:
        for row in table.rows:
            found[row.name].append((f"{table.id.removeprefix('kind-')}: {row.path}", row.id))
    return {name: tuple(found[name]) for name in sorted(found)}


def _table(name: str, schema: Schema, shared: Mapping[str, Schema], says: str) -> Table:
    title = str(schema.get("title", name))
    if name.startswith("kind-"):
        title = f"{name.removeprefix('kind-')}: {title}"
    return Table(name, title, says, tuple(_Walk(name, schema, shared).rows(schema, "")))


@dataclass(frozen=True, slots=True)
class _Walk:
    """Down one schema; `home` is where ``#/$defs`` of it are."""

    table: str
    home: Schema
    shared: Mapping[str, Schema]

    def rows(self, schema: Schema, above: str) -> Iterator[Row]:
        must = set(schema.get("required", ()))
        for name, stated in schema.get("properties", {}).items():
            whole = self.resolved(stated)
            path = f"{above}.{name}" if above else name
            yield _row(self.table, name, path, whole, must=name in must)
            yield from self.within(whole, path)
        yield from self._named(schema, above)

    def within(self, schema: Schema, path: str) -> Iterator[Row]:
        """Rows of what a nested thing holds; of a measured value only its sort is told."""
        if "measure" in schema:
            return
        if schema.get("properties"):
            yield from self.rows(schema, path)
        else:
            yield from self._named(schema, path)
        items = schema.get("items")
        if isinstance(items, dict):
            for each in (items, *items.get("anyOf", ())):
                yield from self.within(self.resolved(each), f"{path}[]")

    def _named(self, schema: Schema, path: str) -> Iterator[Row]:
        """What stands under names of one's own."""
        each = schema.get("additionalProperties")
        if isinstance(each, dict):
            whole = self.resolved(each)
            under = f"{path}.NAME" if path else "NAME"
            if not whole.get("properties"):
                yield _row(self.table, "NAME", under, whole, must=False)
            yield from self.within(whole, under)

    def resolved(self, schema: Schema) -> Schema:
        file, _, pointer = schema.get("$ref", "").partition("#")
        if "$ref" not in schema:
            return schema
        found: Any = self.shared.get(file, {}) if file else self.home
        for step in pointer.strip("/").split("/") if pointer else ():
            found = found.get(step, {})
        own = {key: each for key, each in schema.items() if key != "$ref"}
        # How a sort of value is written is told once, among the sorts, and not beside each fact.
        words = {"description": ""} if "measure" in found else {}
        return {**found, **words, **own}


def _row(table: str, name: str, path: str, schema: Schema, *, must: bool) -> Row:
    says = str(schema.get("description", ""))
    return Row(
        id=f"{table}:{path}",
        name=name,
        path=path,
        sort=_sort(schema),
        says=says,
        example=_example(schema),
        must=must,
        waits=bool(schema.get("waits")),
        is_fixed="enum" in schema or schema.get("type") == "boolean",
    )


def _sort(schema: Schema) -> str:
    if "enum" in schema:
        return "one of " + ", ".join(map(str, schema["enum"]))
    items = schema.get("items")
    if "measure" not in schema and isinstance(items, dict):
        inner = {} if "$ref" in items else items
        within = f", each {_sort(inner)}" if inner.get("enum") else ""
        return f"a list{within}"
    if "measure" in schema or schema.get("$sort"):
        return str(schema.get("title", ""))
    if "properties" in schema or "additionalProperties" in schema:
        return "holds the facts below" if _holds(schema) else "holds names and values"
    return _PLAIN.get(
        str(schema.get("type", "")), str(schema.get("title", "") or "words or a number")
    )


def _holds(schema: Schema) -> bool:
    return bool(schema.get("properties")) or isinstance(schema.get("additionalProperties"), dict)


_PLAIN = {
    "string": "words",
    "boolean": "true or false",
    "integer": "a whole number",
    "number": "a number",
    "object": "holds names and values",
}


def _example(schema: Schema) -> str:
    """One example as it is written; made of the first word it may be where the schema has none."""
    if schema.get("examples"):
        return _written(schema["examples"][0])
    if schema.get("enum"):
        return _written(schema["enum"][0])
    if schema.get("type") == "boolean":
        return "true"
    items = schema.get("items")
    if isinstance(items, dict) and items.get("enum"):
        return _written([items["enum"][0]])
    return ""


def _written(example: object) -> str:
    if isinstance(example, list):
        return f"[{', '.join(map(_written, example))}]"
    if isinstance(example, bool):
        return "true" if example else "false"
    return str(example)
