"""Files checked against JSON Schema 2020-12, each fault at its exact place and in plain words.

Takes a schema and a located value, gives every `Problem`. Knows nothing of shows: the sentences are
built from the schema's own titles and examples ("wants a length such as 3.6 m").

A valid value is passed by the fast validator alone; only for an invalid one does the slower, more
exact one say why. The schemas' own keywords (`measure`, `waits`) are not looked at: units are
read later. A value written `?` is not known, and satisfies whatever its property asks.
"""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any

import jsonschema_rs

from planner.model.place import Place, Problem, Severity

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

    from jsonschema import ValidationError

    from planner.text.node import Node

UNKNOWN = "?"
_VAGUE = "value-not-allowed"
"""Code of what no other sentence fits; told only where no other is."""
_MOST_CHOICES = 12
_LONGEST = 60  # characters of a value repeated in a sentence
_NEAR = 0.7
"""Least likeness (`difflib`, 0 to 1) of a word that may have been meant: `takes` is to `notes` 0.6,
`hight` to `height` 0.91."""

_NAMES = {
    **dict.fromkeys(
        ("reference", "references"),
        "name a piece of this shot, SHOT.PIECE of another, or a thing in builds.yaml",
    ),
    **dict.fromkeys(
        ("resource", "resources"),
        "write a name that stands in resources.yaml, or ? if nobody knows it yet",
    ),
    "move": "write the name of a file in moves/, without .csv, or ? if nobody knows it yet",
}
"""What to write where a thing is wanted by its name, by the `measure` of its property."""

_SORTS = {
    "string": "text",
    "number": "a number",
    "integer": "a whole number",
    "boolean": "true or false",
    "array": "a list",
    "object": "keys with values",
    "null": "nothing",
}


class Checker:
    """One schema, compiled once, to check any number of values against."""

    __slots__ = ("_exact", "_is_valid", "_resources", "_schema")

    def __init__(
        self, schema: Mapping[str, Any], resources: Mapping[str, Mapping[str, Any]]
    ) -> None:
        """Compile a schema.

        Args:
            schema: JSON Schema 2020-12.
            resources: the schemas that its ``$ref`` may name, by ``$id``.

        Raises:
            ValueError: the schema itself is wrong, or refers to nothing; a mistake of its author.
        """
        self._schema = dict(schema)
        self._resources = {uri: dict(each) for uri, each in resources.items()}
        registry = jsonschema_rs.Registry(list(self._resources.items()))
        self._is_valid: Callable[[Any], bool] = jsonschema_rs.Draft202012Validator(
            self._schema, registry=registry
        ).is_valid
        self._exact: Callable[[Any], Iterable[ValidationError]] | None = None

    def check(self, node: Node, about: str = "") -> tuple[Problem, ...]:
        """Every fault of a value, in the order of the file; none if it fits the schema.

        Args:
            node: the value.
            about: the element, shot or build concerned, for `Problem.about`.
        """
        if self._is_valid(node.value):
            return ()
        found = dict.fromkeys(
            Problem(Severity.ERROR, told.place, told.code, told.message, told.remedy, about)
            for error in self._errors(node.value)
            for told in self._told(error, node)
        )
        said = {each.place for each in found if each.code != _VAGUE}
        told = (each for each in found if each.code != _VAGUE or each.place not in said)
        return tuple(sorted(told, key=lambda problem: problem.place))

    def _errors(self, value: Any) -> Iterable[ValidationError]:
        if self._exact is None:
            # Some 60 ms to import, and never needed while every file is well.
            from jsonschema import Draft202012Validator
            from referencing import Registry
            from referencing.jsonschema import DRAFT202012

            registry: Registry[Any] = Registry().with_resources(
                (uri, DRAFT202012.create_resource(each)) for uri, each in self._resources.items()
            )
            self._exact = Draft202012Validator(self._schema, registry=registry).iter_errors
        return self._exact(value)

    def _told(self, error: ValidationError, node: Node) -> Iterator[_Told]:
        """One sentence for each thing that is wrong."""
        if error.validator in {"anyOf", "oneOf"} and error.context:
            # The branch that got farthest is most likely the one that was meant.
            depth = max(len(inner.absolute_path) for inner in error.context)
            if depth > len(error.absolute_path) or not _wanted(error.schema):
                inner = next(each for each in error.context if len(each.absolute_path) == depth)
                yield from self._told(inner, node)
                return
        if "propertyNames" in error.absolute_schema_path:
            key = str(error.instance)
            wanted = _wanted(error.schema)
            message = f"`{_short(key)}` cannot stand here as a key{wanted and f', wants {wanted}'}"
            place = node.down(list(error.absolute_path)).key_place(key)
            yield _Told(place, "key-misshapen", message)
            return
        if error.instance == UNKNOWN:
            return
        yield from _SENTENCES.get(str(error.validator), _otherwise)(_Fault(self, error, node))

    def resolved(self, schema: Any) -> Mapping[str, Any]:
        """A property's schema with its ``$ref`` followed, for its title and examples."""
        if not isinstance(schema, dict):
            return {}
        reference = schema.get("$ref")
        if not isinstance(reference, str):
            return schema
        file, _, pointer = reference.partition("#")
        starts = [self._resources[file]] if file in self._resources else []
        for start in starts or [self._schema, *self._resources.values()]:
            target = _under(start, pointer)
            if target is not None:
                return {**self.resolved(target), **schema}
        return schema


@dataclass(frozen=True, slots=True)
class _Told:
    place: Place
    code: str
    message: str
    remedy: str = ""


class _Fault:
    """One error with what its sentence needs.

    Attributes:
        target: what the keyword asks for.
        value: what was found.
        raw: the validator's own sentence.
        at: the node found.
        names: of the properties it stands under, and its own last.
        lead: the property's name, to begin the sentence; empty for the whole file.
    """

    __slots__ = ("at", "checker", "lead", "names", "raw", "schema", "target", "value")

    def __init__(self, checker: Checker, error: ValidationError, node: Node) -> None:
        self.checker = checker
        self.target: Any = error.validator_value
        self.value: Any = error.instance
        self.raw = error.message
        self.schema: Mapping[str, Any] = error.schema if isinstance(error.schema, dict) else {}
        self.at = node.down(list(error.absolute_path))
        self.names = [step for step in error.absolute_path if isinstance(step, str)]
        self.lead = f"{self.names[-1]}: " if self.names else ""

    @property
    def found(self) -> str:
        """The value in words, as it was written."""
        if isinstance(self.value, str):
            return f"`{_short(self.value)}`" if self.value else "an empty text"
        return f"`{_short(self.at.written)}`" if self.at.written else _sort_of(self.value)

    def told(self, code: str, message: str, remedy: str = "") -> _Told:
        return _Told(self.at.place, code, f"{self.lead}{message}", remedy)


def _unknown_properties(fault: _Fault) -> Iterator[_Told]:
    known = list(fault.schema.get("properties", {}))
    for key in fault.value:
        # Keys may also be known by a pattern or by another branch of the schema.
        if key not in known and repr(key) in fault.raw:
            message = f"unknown property `{_short(key)}`"
            remedy = _nearest(key, known) or f"known here: {_listed(known)}"
            yield _Told(fault.at.key_place(key), "property-unknown", message, remedy)


def _missing_properties(fault: _Fault) -> Iterator[_Told]:
    properties = fault.schema.get("properties", {})
    for key in fault.target:
        if key not in fault.value:
            wanted = _wanted(fault.checker.resolved(properties.get(key)))
            remedy = f"write {wanted}" if wanted else "add it"
            yield fault.told("property-missing", f"`{key}` is missing", remedy)


def _wrong_sort(fault: _Fault) -> Iterator[_Told]:
    sorts = _as_list(fault.target)
    wanted = _wanted(fault.schema) or " or ".join(_SORTS[each] for each in sorts)
    remedy = ""
    if fault.value is None:
        message = f"nothing is written here, wants {wanted}"
        remedy = "write ? if nobody knows it yet"
    elif fault.at.written and "string" in sorts:
        message = f"found {fault.found}, which is {_sort_of(fault.value)}, wants {wanted}"
        # Quotes make text of it; what has a spelling of its own, or is named, it is not by that.
        quoted = f'write "{_short(fault.at.written)}" in quotes to make it text'
        measure = fault.schema.get("measure")
        remedy = _NAMES.get(str(measure), "") if measure else quoted
    else:
        message = f"found {_sort_of(fault.value)}, wants {wanted}"
        remedy = _a_name_between(fault)
    yield fault.told("value-of-wrong-sort", message, remedy)


def _a_name_between(fault: _Fault) -> str:
    """What to write where the parts of a thing stand in place of the things, kept by name."""
    *above, own = fault.names or [""]
    if not above or own not in fault.schema.get("properties", {}):
        return ""
    thing = f"{above[-1]}: {{NAME: {{{own}: {_short(fault.at.written)}}}}}"
    return f"each stands under a name of its own, as in `{thing}`"


def _no_choice(fault: _Fault) -> Iterator[_Told]:
    choices = [str(each) for each in _as_list(fault.target)]
    code = "value-not-a-choice"
    if fault.value is None:
        message = f"nothing is written here, wants one of {_listed(choices)}"
        yield fault.told(code, message, "write ? if nobody knows it yet")
        return
    message = f"{fault.found} is not one of {_listed(choices)}"
    yield fault.told(code, message, _nearest(str(fault.value), choices))


def _misshapen(fault: _Fault) -> Iterator[_Told]:
    wanted = _wanted(fault.schema)
    message = f"{fault.found} does not have the right form"
    yield fault.told("value-misshapen", f"{message}, wants {wanted}" if wanted else message)


def _bounds(words: str) -> Callable[[_Fault], Iterator[_Told]]:
    def sentence(fault: _Fault) -> Iterator[_Told]:
        message = f"{fault.found} is not {words} {fault.target}"
        yield fault.told("value-out-of-bounds", message)

    return sentence


def _size(fewest_or_most: str, things: str) -> Callable[[_Fault], Iterator[_Told]]:
    def sentence(fault: _Fault) -> Iterator[_Told]:
        if not fault.value:
            wanted = _wanted(fault.schema)
            yield fault.told("value-empty", "is empty", f"write {wanted}" if wanted else "")
            return
        count = f"{len(fault.value)} {things}"
        yield fault.told("value-out-of-bounds", f"has {count}, {fewest_or_most} {fault.target}")

    return sentence


def _repeated(fault: _Fault) -> Iterator[_Told]:
    seen: list[Any] = []
    for each in fault.at:
        if each.value in seen:
            message = f"{fault.lead}`{_short(each.written)}` stands twice in one list"
            yield _Told(each.place, "value-repeated", message, "keep one of them")
        seen.append(each.value)


def _otherwise(fault: _Fault) -> Iterator[_Told]:
    wanted = _wanted(fault.schema)
    message = f"{fault.found} is not allowed here"
    yield fault.told(_VAGUE, f"{message}, wants {wanted}" if wanted else message)


_SENTENCES: Mapping[str, Callable[[_Fault], Iterator[_Told]]] = {
    "additionalProperties": _unknown_properties,
    "unevaluatedProperties": _unknown_properties,
    "required": _missing_properties,
    "type": _wrong_sort,
    "enum": _no_choice,
    "const": _no_choice,
    "pattern": _misshapen,
    "minimum": _bounds("at least"),
    "maximum": _bounds("at most"),
    "exclusiveMinimum": _bounds("more than"),
    "exclusiveMaximum": _bounds("less than"),
    "multipleOf": _bounds("a multiple of"),
    "minLength": _size("wants at least", "characters"),
    "maxLength": _size("wants at most", "characters"),
    "minItems": _size("wants at least", "entries"),
    "maxItems": _size("wants at most", "entries"),
    "minProperties": _size("wants at least", "entries"),
    "maxProperties": _size("wants at most", "entries"),
    "uniqueItems": _repeated,
}


def _sort_of(value: Any) -> str:
    """A value's sort in words."""
    if isinstance(value, bool):
        return "true or false"
    if isinstance(value, int | float):
        return "a number"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, dict):
        return "keys with values"
    return "nothing" if value is None else "text"


def _wanted(schema: Any) -> str:
    """What a schema asks for in its own words: ``a length such as 3.6 m or 28 mm``."""
    if not isinstance(schema, dict) or "title" not in schema:
        return ""
    examples = " or ".join(_example(each) for each in schema.get("examples", ())[:2])
    if examples and schema.get("measure") in _NAMES:
        examples = f"`{examples}`"  # To be typed as it is, and not called by anybody's title.
    return f"{schema['title']} such as {examples}" if examples else str(schema["title"])


def _as_list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else [value]


def _example(value: Any) -> str:
    if isinstance(value, list):
        return f"[{', '.join(_example(each) for each in value)}]"
    if isinstance(value, dict):
        return f"{{{', '.join(f'{name}: {_example(each)}' for name, each in value.items())}}}"
    return str(value)


def _listed(words: Sequence[str]) -> str:
    rest = len(words) - _MOST_CHOICES
    shown = ", ".join(words[:_MOST_CHOICES])
    return f"{shown} and {rest} more" if rest > 0 else shown


def _nearest(word: str, known: Sequence[str]) -> str:
    near = get_close_matches(word[:_LONGEST], known, n=1, cutoff=_NEAR)
    return f"did you mean `{near[0]}`?" if near else ""


def _short(text: str) -> str:
    line = " ".join(text.split())
    return line if len(line) <= _LONGEST else f"{line[:_LONGEST]}…"


def _under(schema: Any, pointer: str) -> Any:
    """What a JSON pointer leads to, or None."""
    for step in pointer.strip("/").split("/"):
        if step:
            schema = schema.get(step) if isinstance(schema, dict) else None
    return schema
