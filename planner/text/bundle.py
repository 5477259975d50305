"""Schemas for text editors: one self-contained file per sort of show file.

Takes the file schemas and those of every kind, gives JSON Schemas that an editor can use alone:
shared definitions are carried along, and an element is checked by the kind it names, through
``if``/``then``. Knows nothing of the disk.
"""

from __future__ import annotations

from copy import deepcopy
from typing import TYPE_CHECKING, Any

from planner.text.parts import element_schema
from planner.text.sections import SECTION_KINDS

if TYPE_CHECKING:
    from collections.abc import Mapping

FILES = (
    "show",
    "resources",
    "builds",
    "rates",
    "sequence",
    "history",
    "changes",
    "scenarios",
    "events",
)
"""Written in an editor; a ledger's schema is of its lines, which the planner writes."""
_OWN = ("/$defs/kind/", "/$defs/facts/", "/$defs/events/", "/$defs/ledger/")
"""Where a bundle keeps what its parts refer to."""


def bundles(
    schemas: Mapping[str, Mapping[str, Any]], kinds: Mapping[str, Mapping[str, Any]]
) -> dict[str, dict[str, Any]]:
    """One schema per sort of file.

    Args:
        schemas: the file schemas, by ``$id``.
        kinds: schemas of element kinds, by name.
    """
    return {name: _bundle(name, schemas, kinds) for name in FILES}


def _bundle(
    name: str, schemas: Mapping[str, Mapping[str, Any]], kinds: Mapping[str, Mapping[str, Any]]
) -> dict[str, Any]:
    whole = deepcopy(dict(schemas[f"{name}.json"]))
    shared = {"facts": schemas["facts.json"]["$defs"], "camera": _bare(schemas["camera.json"])}
    used = {}
    if name == "sequence":
        elements = whole["properties"]["shots"]["additionalProperties"]["properties"]["elements"]
        elements["additionalProperties"] = _dispatch(kinds)
        used = dict(kinds)
    if name == "builds":
        for section, kind in SECTION_KINDS.items():
            if kind in kinds:
                whole["properties"][section]["additionalProperties"] = {
                    "$ref": f"#/$defs/kind/{kind}"
                }
                used[kind] = kinds[kind]
    if name == "events":
        shared |= {"ledger": _of_lines(schemas["ledger.json"]), **whole["$defs"]}
    element = schemas["element.json"]
    own = {kind: _bare(element_schema(schema, element)) for kind, schema in used.items()}
    whole["$defs"] = deepcopy({**shared, "kind": own})
    bundle: dict[str, Any] = _pointed_within(whole)
    return bundle


def _dispatch(kinds: Mapping[str, object]) -> dict[str, Any]:
    return {
        "type": "object",
        "required": ["kind"],
        "properties": {"kind": {"enum": sorted(kinds), "description": "Which kind estimates it."}},
        "allOf": [
            {
                "if": {"properties": {"kind": {"const": kind}}, "required": ["kind"]},
                "then": {"$ref": f"#/$defs/kind/{kind}"},
            }
            for kind in sorted(kinds)
        ],
    }


def _of_lines(ledger: Any) -> Any:
    """A ledger's schema to lie inside another: what it refers to in itself goes with it."""
    if isinstance(ledger, list):
        return [_of_lines(each) for each in ledger]
    if not isinstance(ledger, dict):
        return ledger
    return {
        key: value.replace("#/", "#/$defs/ledger/", 1) if key == "$ref" else _of_lines(value)
        for key, value in _bare(ledger).items()
    }


def _bare(schema: Mapping[str, Any]) -> dict[str, Any]:
    """A schema without its own identity, to lie inside another."""
    return {key: value for key, value in schema.items() if key not in {"$id", "$schema"}}


def _pointed_within(schema: Any) -> Any:
    """The same schema with every reference pointing inside the bundle."""
    if isinstance(schema, list):
        return [_pointed_within(each) for each in schema]
    if not isinstance(schema, dict):
        return schema
    return {
        key: _within(value) if key == "$ref" and isinstance(value, str) else _pointed_within(value)
        for key, value in schema.items()
    }


def _within(reference: str) -> str:
    file, _, pointer = reference.partition("#")
    if file == "camera.json":
        return "#/$defs/camera"
    if file == "ledger.json":
        return f"#/$defs/ledger{pointer}"
    if (
        file in {"", "facts.json"}
        and pointer.startswith("/$defs/")
        and not pointer.startswith(_OWN)
    ):
        return f"#/$defs/facts/{pointer.removeprefix('/$defs/')}"
    return reference
