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


ELSEWHERE = (
    "What stages, screens, cameras, rigs, people, crews and rates may state, in resources.yaml and"
    " rates.yaml, is no kind: `platewright reference` writes every fact of every file."
)


def kinds_text(titles: Mapping[str, str]) -> str:
    """Kinds by name, with the title of their schema, and where the rest is told."""
    widest = max((len(name) for name in titles), default=0)
    lines = [
        line
        for name, title in titles.items()
        for line in folded(title, f"{name:<{widest}}  ", " " * (widest + 2))
    ]
    return _lines([*lines, "", *folded(ELSEWHERE)])


def kind_text(name: str, schema: Mapping[str, Any], shared: Mapping[str, Mapping[str, Any]]) -> str:
    """What one kind may state: each property, how it is written, and what it means.

    Args:
        name: of the kind.
        schema: its own.
        shared: the file schemas, by ``$id``, whose ``element.json`` every element shares.
    """
    common = shared["element.json"]["properties"]
    own = {key: each for key, each in schema.get("properties", {}).items() if key not in common}
    parts = [f"{name}: {schema.get('title', '')}", ""]
    parts += _properties(own, schema.get("required", ()), shared, 2)
    parts += ["", "and, as every element (`platewright kinds every` tells what each means):", ""]
    parts += folded(", ".join(common), "  ")
    return _lines(parts)


def every_kind_text(shared: Mapping[str, Mapping[str, Any]]) -> str:
    """What every element may state, whatever its kind."""
    parts = ["every element may state", ""]
    parts += _properties(shared["element.json"]["properties"], ("kind",), shared, 2)
    return _lines(parts)


def _properties(
    properties: Mapping[str, Any],
    required: Iterable[str],
    shared: Mapping[str, Mapping[str, Any]],
    indent: int,
) -> Iterable[str]:
    must = set(required)
    margin = " " * indent
    for name, each in properties.items():
        own = {**_definition(each, shared), **each}
        how = _how_written(own)
        # A shared sort of fact describes itself at length; its example says as much.
        said = each.get("description", "" if how else own.get("description", ""))
        said = f"{said}{f' [{how}]' if how else ''}".strip()
        yield f"{margin}{name}{' (must be stated)' if name in must else ''}"
        yield from folded(said, f"{margin}    ") if said else ()
        inner = _inner(own, shared)
        if inner:
            by_name = "additionalProperties" in own and "properties" not in own
            if by_name:
                yield f"{margin}      each under a name:"
            yield from _properties(
                inner["properties"],
                inner.get("required", ()),
                shared,
                indent + (10 if by_name else 6),
            )


def _inner(
    schema: Mapping[str, Any], shared: Mapping[str, Mapping[str, Any]]
) -> Mapping[str, Any] | None:
    """The keys of a nested thing, or of each thing in a list or map; None where it has none."""
    if "measure" in schema:
        return None
    for each in (schema, schema.get("items"), schema.get("additionalProperties")):
        if isinstance(each, dict):
            whole = {**_definition(each, shared), **each}
            if "properties" in whole and "measure" not in whole:
                return whole
    return None


def _definition(
    schema: Mapping[str, Any], shared: Mapping[str, Mapping[str, Any]]
) -> Mapping[str, Any]:
    """What a schema refers to; itself where that is nothing, which `check` tells the author of."""
    file, _, pointer = schema.get("$ref", "").partition("#/$defs/")
    found: Mapping[str, Any] = shared.get(file, {}).get("$defs", {}).get(pointer, schema)
    return found


def _how_written(schema: Mapping[str, Any]) -> str:
    if "enum" in schema:
        return " or ".join(str(each) for each in schema["enum"])
    measure = schema.get("measure", "")
    if measure in _NAMES:
        return _NAMES[measure]
    if "examples" in schema:
        return " or ".join(_yaml(each) for each in schema["examples"])
    if schema.get("type") == "boolean":
        return "true or false"
    if schema.get("type") == "array":
        choices = ", ".join(map(str, schema.get("items", {}).get("enum", ())))
        return f"a list: any of {choices}" if choices else "a list"
    return ""


# How a name is written; whose name it is, the description says.
_NAMES = {
    "reference": "its name",
    "references": "a name, or a list: [one, two]",
    "resource": "its name in resources.yaml",
    "resources": "a name in resources.yaml, or a list: [one, two]",
}


def _yaml(example: object) -> str:
    if isinstance(example, list):
        return f"[{', '.join(map(str, example))}]"
    return str(example)


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
            lines.append(f"  {rule.name}  {span.removesuffix(' 1')}")
            lines += folded(f"{rule.says}; {rule.source}", "      ")
    return _lines(lines)


def _lines(lines: Iterable[str]) -> str:
    return "".join(f"{line}\n" for line in lines)
