"""What the planner knows before any show is read: kinds, formats, rules of thumb.

Takes schemas, formats and rules, gives text of 80 columns. Works nothing out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from planner.pages.wording import folded

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from planner.craft.formats import FrameFormat
    from planner.kinds import Rule


def kinds_text(titles: Mapping[str, str]) -> str:
    """Kinds by name, with the title of their schema."""
    widest = max((len(name) for name in titles), default=0)
    return _lines(
        line
        for name, title in titles.items()
        for line in folded(title, f"{name:<{widest}}  ", " " * (widest + 2))
    )


def kind_text(name: str, schema: Mapping[str, Any], shared: Mapping[str, Mapping[str, Any]]) -> str:
    """What one kind may state: each property, how it is written, and what it means.

    Args:
        name: of the kind.
        schema: its own.
        shared: the file schemas, by ``$id``, whose ``element.json`` every element shares.
    """
    required = schema.get("required", ())
    parts = [f"{name}: {schema.get('title', '')}", ""]
    parts += _properties(schema.get("properties", {}), required, shared)
    parts += ["", "and, as every element:", ""]
    parts += _properties(shared["element.json"]["properties"], ("kind",), shared)
    return _lines(parts)


def _properties(
    properties: Mapping[str, Any], required: Iterable[str], shared: Mapping[str, Mapping[str, Any]]
) -> Iterable[str]:
    must = set(required)
    for name, each in properties.items():
        own = _definition(each, shared)
        said = each.get("description", own.get("description", ""))
        how = _how_written(own)
        yield f"  {name}{' (must be stated)' if name in must else ''}"
        yield from folded(f"{said}{f' [{how}]' if how else ''}", "      ")


def _definition(
    schema: Mapping[str, Any], shared: Mapping[str, Mapping[str, Any]]
) -> Mapping[str, Any]:
    file, _, pointer = schema.get("$ref", "").partition("#/$defs/")
    found: Mapping[str, Any] = shared[file]["$defs"][pointer] if pointer else schema
    return found


def _how_written(schema: Mapping[str, Any]) -> str:
    if "enum" in schema:
        return ", ".join(str(each) for each in schema["enum"])
    if "examples" in schema:
        return " or ".join(str(each) for each in schema["examples"])
    if schema.get("type") == "boolean":
        return "true or false"
    if "properties" in schema:
        return ", ".join(schema["properties"])
    items = schema.get("items", {})
    return f"any of {', '.join(map(str, items['enum']))}" if "enum" in items else ""


def formats_text(formats: Iterable[FrameFormat]) -> str:
    """Frame formats with their size on film and where that comes from."""
    lines: list[str] = []
    for each in formats:
        size = f"{each.width_mm:g} x {each.height_mm:g} mm"
        squeeze = f", {each.squeeze:g}:1 squeeze" if each.squeeze != 1 else ""
        lines.append(f"{each.slug}: {each.name}, {size}{squeeze}")
        lines += folded(f"{each.mark}: {each.source}", "    ")
    return _lines(lines)


def rules_text(rules: Mapping[str, Iterable[Rule]]) -> str:
    """Rules of thumb by kind, with their range and source."""
    lines: list[str] = []
    for kind, each_kind in rules.items():
        lines.append(kind.replace("_", " "))
        for rule in each_kind:
            span = f"{rule.low:g} / {rule.likely:g} / {rule.high:g} {rule.unit}"
            lines.append(f"  {rule.name}  {span}")
            lines += folded(f"{rule.says}; {rule.source}", "      ")
    return _lines(lines)


def _lines(lines: Iterable[str]) -> str:
    return "".join(f"{line}\n" for line in lines)
