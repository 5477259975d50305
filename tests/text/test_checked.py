"""Schema faults in plain words at exact places. Positions are counted by hand in the text."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st
from referencing import Registry
from referencing.jsonschema import DRAFT202012

from planner.model.place import Place, Problem, Severity
from planner.text.checked import Checker
from planner.text.located import read_yaml

FACTS: dict[str, Any] = {
    "$id": "facts.json",
    "$defs": {
        "length": {
            "title": "a length",
            "measure": "length",
            "examples": ["3.6 m", "28 mm"],
            "type": ["string", "number", "object"],
            "properties": {"is": {"type": ["string", "number"]}, "by": {"type": "string"}},
            "required": ["is"],
            "additionalProperties": False,
        },
        "name": {
            "title": "a name",
            "type": "string",
            "pattern": "^[a-z][a-z0-9_]*$",
            "examples": ["wide_town"],
        },
    },
}
SCHEMA: dict[str, Any] = {
    "$id": "shot.json",
    "type": "object",
    "properties": {
        "kind": {"$ref": "facts.json#/$defs/name"},
        "lens": {"$ref": "facts.json#/$defs/length"},
        "width": {"$ref": "facts.json#/$defs/length"},
        "says": {"type": "string"},
        "state": {"enum": ["live", "omitted", "on hold"]},
        "quiet": {"type": "boolean"},
        "rods": {"type": "integer", "minimum": 1, "maximum": 12},
        "days": {"type": "array", "items": {"type": "string"}, "minItems": 1, "uniqueItems": True},
        "of": {"type": "string", "minLength": 1},
        "pieces": {
            "type": "object",
            "propertyNames": {"$ref": "facts.json#/$defs/name"},
            "additionalProperties": {"$ref": "facts.json#/$defs/length"},
        },
        "either": {"anyOf": [{"type": "object", "required": ["a"]}, {"type": "array"}]},
        "near": {"title": "a near thing", "anyOf": [{"type": "boolean"}, {"type": "null"}]},
    },
    "required": ["kind"],
    "additionalProperties": False,
}
CHECKER = Checker(SCHEMA, {"facts.json": FACTS})


def check(text: str) -> tuple[Problem, ...]:
    node, problems = read_yaml(text.encode(), "f.yaml")
    assert problems == ()
    assert node is not None
    return CHECKER.check(node)


def test_a_value_that_fits_has_no_problem() -> None:
    assert check("kind: plate\nlens: 28 mm\nwidth: {is: 3 m, by: Ada}\npieces: {town: 2 m}") == ()


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        (
            "lense: 28 mm",
            "2:1 property-unknown unknown property `lense`; did you mean `lens`?",
        ),
        (
            "zzz: 28 mm",
            (
                "2:1 property-unknown unknown property `zzz`; known here: kind, lens, width, says,"
                " state, quiet, rods, days, of, pieces, either, near"
            ),
        ),
        (
            # `ta` and `e` are in `state` as well: 2 x 3 letters of 10 are not near enough.
            "takes: 3",
            (
                "2:1 property-unknown unknown property `takes`; known here: kind, lens, width,"
                " says, state, quiet, rods, days, of, pieces, either, near"
            ),
        ),
        (
            "lens: [28 mm]",
            "2:7 value-of-wrong-sort lens: found a list, wants a length such as 3.6 m or 28 mm; ",
        ),
        (
            "lens:",
            (
                "2:6 value-of-wrong-sort lens: nothing is written here, wants a length such as"
                " 3.6 m or 28 mm; write ? if nobody knows it yet"
            ),
        ),
        (
            "lens: {is: 28 mm, bye: Ada}",
            "2:19 property-unknown unknown property `bye`; did you mean `by`?",
        ),
        ("lens: {by: Ada}", "2:7 property-missing lens: `is` is missing; add it"),
        ("says: [a]", "2:7 value-of-wrong-sort says: found a list, wants text; "),
        (
            "says: 010",
            (
                "2:7 value-of-wrong-sort says: found `010`, which is a number, wants text;"
                ' write "010" in quotes to make it text'
            ),
        ),
        (
            "state: omited",
            (
                "2:8 value-not-a-choice state: `omited` is not one of live, omitted, on hold;"
                " did you mean `omitted`?"
            ),
        ),
        ("state: x", "2:8 value-not-a-choice state: `x` is not one of live, omitted, on hold; "),
        ("quiet: no", "2:8 value-of-wrong-sort quiet: found text, wants true or false; "),
        ("rods: 0", "2:7 value-out-of-bounds rods: `0` is not at least 1; "),
        ("rods: 13", "2:7 value-out-of-bounds rods: `13` is not at most 12; "),
        ("rods: 1.5", "2:7 value-of-wrong-sort rods: found a number, wants a whole number; "),
        ("days: []", "2:7 value-empty days: is empty; "),
        (
            "days: [a, b, a]",
            "2:14 value-repeated days: `a` stands twice in one list; keep one of them",
        ),
        ("days: [a, {}]", "2:11 value-of-wrong-sort days: found keys with values, wants text; "),
        ('of: ""', "2:5 value-empty of: is empty; "),
        (
            "pieces: {town: 2 m, Old Mill: 3 m}",
            (
                "2:21 key-misshapen `Old Mill` cannot stand here as a key, wants a name such as"
                " wide_town; "
            ),
        ),
        ("either: {b: 1}", "2:9 property-missing either: `a` is missing; add it"),
        (
            "near: far",
            "2:7 value-not-allowed near: `far` is not allowed here, wants a near thing; ",
        ),
    ],
)
def test_a_fault_is_told_in_one_sentence_at_its_place(line: str, expected: str) -> None:
    (problem,) = check(f"kind: plate\n{line}\n")
    place = f"{problem.place.line}:{problem.place.column}"
    assert f"{place} {problem.code} {problem.message}; {problem.remedy}" == expected


def test_a_missing_property_says_what_to_write() -> None:
    (problem,) = check("lens: 28 mm\n")
    assert problem == Problem(
        Severity.ERROR,
        Place("f.yaml", 1, 1),
        "property-missing",
        "`kind` is missing",
        "write a name such as wide_town",
    )


def test_a_text_of_the_wrong_form_says_what_form_is_wanted() -> None:
    (problem,) = check("kind: Old Mill\n")
    assert problem.message == (
        "kind: `Old Mill` does not have the right form, wants a name such as wide_town"
    )
    assert problem.place == Place("f.yaml", 1, 7)


def test_a_whole_file_of_the_wrong_sort_is_told_once() -> None:
    (problem,) = check("- a\n- b\n")
    assert (problem.place, problem.message) == (
        Place("f.yaml", 1, 1),
        "found a list, wants keys with values",
    )


def test_every_fault_is_told_at_once_in_the_order_of_the_file_and_none_twice() -> None:
    problems = check("lense: 1 m\nstate: x\nstaet: live\npieces:\n  town: [1]\n  mill: [1]\n")
    assert [(each.code, each.place.line, each.place.column) for each in problems] == [
        ("property-missing", 1, 1),
        ("property-unknown", 1, 1),
        ("value-not-a-choice", 2, 8),
        ("property-unknown", 3, 1),
        ("value-of-wrong-sort", 5, 9),
        ("value-of-wrong-sort", 6, 9),
    ]


@pytest.mark.parametrize(
    "line", ["state: ?", "quiet: ?", "rods: ?", "days: ?", "lens: ?", "lens: {is: ?}", "near: ?"]
)
def test_what_is_not_known_satisfies_whatever_is_asked(line: str) -> None:
    assert check(f"kind: plate\n{line}\n") == ()


def test_a_question_mark_does_not_hide_a_fault_beside_it() -> None:
    assert [each.code for each in check("kind: ?\nquiet: ?\nrods: 0\n")] == ["value-out-of-bounds"]


def test_problems_say_which_element_they_concern() -> None:
    node, _ = read_yaml(b"kind: plate\nrods: 0\n", "f.yaml")
    assert node is not None
    assert [each.about for each in CHECKER.check(node, "BEL010.heron")] == ["BEL010.heron"]


def test_a_part_of_a_file_is_checked_at_its_own_places() -> None:
    node, _ = read_yaml(b"a:\n  b:\n    kind: plate\n    rods: 0\n", "f.yaml")
    assert node is not None
    (problem,) = CHECKER.check(node.down(["a", "b"]))
    assert problem.place == Place("f.yaml", 4, 11)


def test_a_long_text_is_not_repeated_whole() -> None:
    (problem,) = check(f"kind: plate\nstate: {'x' * 500}\n")
    assert len(problem.message) < 130


def test_a_rule_without_a_sentence_of_its_own_is_still_told() -> None:
    node, _ = read_yaml(b"a: 1\n", "f.yaml")
    assert node is not None
    (problem,) = Checker({"not": {"required": ["a"]}}, {}).check(node)
    assert problem.message == "keys with values is not allowed here"


@pytest.mark.parametrize("schema", [{"type": "strin"}, {"$ref": "nowhere.json#/x"}])
def test_a_wrong_schema_is_its_authors_mistake(schema: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match=r"strin|nowhere"):
        Checker(schema, {})


KEYS = st.sampled_from([*SCHEMA["properties"], "lense", "is", "a", "Old Mill", "town"])
LEAVES = st.sampled_from([None, True, 0, 1, 13, 1.5, "", "live", "a b", "town", "3 m"])
VALUES = st.recursive(
    LEAVES, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=4)
)


@given(VALUES)
def test_whatever_does_not_fit_is_told_and_nothing_else(value: object) -> None:
    node, _ = read_yaml(json.dumps(value).encode(), "f.yaml")
    assert node is not None
    registry = Registry().with_resource("facts.json", DRAFT202012.create_resource(FACTS))
    fits = jsonschema.Draft202012Validator(SCHEMA, registry=registry).is_valid(value)
    problems = CHECKER.check(node)
    assert fits == (problems == ())
    assert len(set(problems)) == len(problems)


def test_every_shipped_schema_compiles_and_refuses_a_list() -> None:
    schemas = {
        path.name: json.loads(path.read_text())
        for path in files("planner_schemas").iterdir()
        if path.name.endswith(".json")
    }
    node, _ = read_yaml(b"- a\n", "f.yaml")
    assert node is not None
    for name, schema in schemas.items():
        if schema.get("type") == "object":
            assert Checker(schema, schemas).check(node)[0].code == "value-of-wrong-sort", name
