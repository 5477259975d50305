"""How each property of a schema is to be read.

Takes JSON Schemas whose properties carry our ``measure`` keyword, gives a `Slot` for each property.
Compiled once per schema, so that reading ten thousand shots does no schema look-ups. Knows nothing
of files or positions.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True)
class Slot:
    """How one value is read.

    Attributes:
        sort: a `measure` keyword (``length``, ``frames``, ``reference`` …), or ``word``, ``flag``,
            ``group``, ``named``, ``list``.
        waits: for references, whether the namer's work waits for the named.
        inner: what a list or map holds.
        plan: slots of a group.
    """

    sort: str
    waits: bool = False
    inner: Slot | None = None
    plan: Mapping[str, Slot] | None = None


WORD = Slot("word")


def compile_plan(
    schema: Mapping[str, Any], library: Mapping[str, Mapping[str, Any]]
) -> Mapping[str, Slot]:
    """Slots of an object schema's properties.

    Args:
        schema: an object schema.
        library: schemas that ``$ref`` may name, by ``$id``.

    Raises:
        KeyError: a ``$ref`` names nothing; a mistake in a shipped schema.
    """
    return {name: _slot(each, library) for name, each in schema.get("properties", {}).items()}


def _slot(schema: Mapping[str, Any], library: Mapping[str, Mapping[str, Any]]) -> Slot:
    schema = _resolved(schema, library)
    if measure := schema.get("measure"):
        return Slot(measure, waits=schema.get("waits", False))
    sort = schema.get("type")
    if sort == "boolean":
        return Slot("flag")
    if sort in {"number", "integer"}:
        return Slot("number")
    if sort == "array":
        return Slot("list", inner=_slot(schema.get("items", {}), library))
    if sort == "object":
        return _object_slot(schema, library)
    return WORD


def _object_slot(schema: Mapping[str, Any], library: Mapping[str, Mapping[str, Any]]) -> Slot:
    if "properties" in schema:
        return Slot("group", plan=compile_plan(schema, library))
    rest = schema.get("additionalProperties")
    return Slot("named", inner=_slot(rest, library) if isinstance(rest, dict) else WORD)


def _resolved(
    schema: Mapping[str, Any], library: Mapping[str, Mapping[str, Any]]
) -> Mapping[str, Any]:
    reference = schema.get("$ref")
    if reference is None:
        return schema
    file, _, pointer = reference.partition("#")
    found: Any = library[file]
    for step in pointer.strip("/").split("/"):
        found = found[step] if step else found
    return {**_resolved(found, library), **{k: v for k, v in schema.items() if k != "$ref"}}
