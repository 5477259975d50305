"""The strict YAML subset under arbitrary input: never an exception, always a node or a reason.

The oracle for values is PyYAML's own constructor under the core schema's resolvers (YAML 1.2.2,
section 10.3.2, published), which shares the event parser but neither builder nor scalar rules.
"""

from __future__ import annotations

import re
import string
from typing import TYPE_CHECKING, Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.text import located
from planner.text.located import read_yaml

if TYPE_CHECKING:
    import random
    from collections.abc import Iterator

    from planner.model.place import Place, Problem
    from planner.text.node import Node, Value


class CoreLoader(yaml.SafeLoader):
    """PyYAML with the implicit types of the YAML 1.2 core schema, for keys too."""

    yaml_implicit_resolvers: dict[str, list[tuple[str, re.Pattern[str]]]] = {}  # noqa: RUF012

    def construct_mapping(self, node: Any, deep: bool = False) -> dict[str, Any]:
        return {key.value: self.construct_object(value, deep=True) for key, value in node.value}


def number(loader: CoreLoader, node: yaml.ScalarNode) -> float:
    text = node.value
    if text.startswith(("0x", "0o")):
        return int(text, 0)
    return float(text) if set(text) & set(".eE") else int(text)


for tag, pattern, first in (
    ("null", r"null|Null|NULL|~|", ["n", "N", "~", ""]),
    ("bool", r"true|True|TRUE|false|False|FALSE", list("tTfF")),
    (
        "number",
        r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+|[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?",
        list("-+.0123456789"),
    ),
):
    CoreLoader.add_implicit_resolver(
        f"tag:yaml.org,2002:{tag}", re.compile(f"(?:{pattern})\\Z"), first
    )
CoreLoader.add_constructor("tag:yaml.org,2002:number", number)
CoreLoader.add_constructor("tag:yaml.org,2002:map", lambda loader, n: loader.construct_mapping(n))
CoreLoader.add_constructor(
    "tag:yaml.org,2002:bool", lambda loader, node: node.value.lower() == "true"
)

SCALARS = st.one_of(
    st.sampled_from(
        ["no", "on", "1:24", "12:30", "1e3", "010", "08", "2026-03-01", "~", "null", "true", "0x1F"]
    ),
    st.none(),
    st.booleans(),
    st.integers(-(10**12), 10**12),
    st.floats(allow_nan=False, allow_infinity=False, width=32),
    st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"]), max_size=12),
    st.text(string.ascii_lowercase + " :#,[]{}'\"|>-?&*!%@\n", max_size=12),
)
KEYS = st.text(string.ascii_letters + "0123456789_ /", min_size=1, max_size=8)
DOCUMENTS = st.dictionaries(
    KEYS,
    st.recursive(
        SCALARS,
        lambda inner: st.lists(inner, max_size=4) | st.dictionaries(KEYS, inner, max_size=4),
        max_leaves=12,
    ),
    min_size=1,
    max_size=5,
)


def dumped(document: object, flow: bool | None) -> str:
    dumper = yaml.SafeDumper
    dumper.ignore_aliases = lambda *_: True  # type: ignore[method-assign]
    return yaml.dump(document, Dumper=dumper, default_flow_style=flow, allow_unicode=True)


def places(node: Node) -> Iterator[Place]:
    yield node.place
    for _, place, child in node.items():
        yield place
        yield from places(child)
    for child in node:
        yield from places(child)


def check_bounds(text: str, node: Node | None, problems: tuple[Problem, ...]) -> None:
    """Every place lies in the file: on a line that exists, at most one past its end."""
    lines = re.split(r"\r\n?|\n", text)
    told = [problem.place for problem in problems]
    for place in told + (list(places(node)) if node else []):
        if place.line == 0:
            assert place.column == 0
            continue
        assert 1 <= place.line <= len(lines)
        # A file may end in the middle of a CRLF pair's line; one past the break is still in it.
        assert 1 <= place.column <= len(lines[place.line - 1]) + 2


@given(st.binary(max_size=200))
def test_random_bytes_give_a_node_or_a_reason(data: bytes) -> None:
    node, problems = read_yaml(data, "f.yaml")
    assert node is not None or problems
    check_bounds(data.decode("utf-8-sig", errors="replace"), node, problems)


@pytest.mark.parametrize("parser", [located._Parser, yaml.SafeLoader], ids=["libyaml", "python"])
@given(st.text(st.sampled_from("ab1 \t\n\r:-?#,[]{}'\"|>&*!%@`~.\\é\x07\ufeff\ue000"), max_size=60))
@settings(max_examples=300)
def test_random_punctuation_gives_a_node_or_a_reason(parser: Any, text: str) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(located, "_Parser", parser)
        node, problems = read_yaml(text.encode(), "f.yaml")
    assert node is not None or problems
    check_bounds(text.removeprefix("\ufeff"), node, problems)


@given(DOCUMENTS, st.sampled_from([True, False, None]), st.randoms(use_true_random=False))
def test_a_mutated_document_gives_a_node_or_a_reason(
    document: dict[str, Value], flow: bool | None, chance: random.Random
) -> None:
    data = bytearray(dumped(document, flow).encode())
    for _ in range(3):
        spot = chance.randrange(len(data))
        data[spot : spot + chance.randrange(3)] = chance.choice(
            [b"\t", b"?", b"? ", b"*x ", b"&x ", b"!t ", b"\n---\n", b"'", b"\xff", b"a: 1\na: 2\n"]
        )
    node, problems = read_yaml(bytes(data), "f.yaml")
    assert node is not None or problems
    check_bounds(data.decode("utf-8-sig", errors="replace"), node, problems)


@given(DOCUMENTS, st.sampled_from([True, False, None]), st.booleans())
def test_a_document_of_the_subset_means_what_the_core_schema_says(
    document: dict[str, Value], flow: bool | None, crlf: bool
) -> None:
    text = dumped(document, flow)
    if crlf:
        text = text.replace("\n", "\r\n")
    node, problems = read_yaml(text.encode(), "f.yaml")
    assert problems == ()
    assert node is not None
    assert node.value == yaml.load(text, CoreLoader)  # noqa: S506  a safe loader's subclass
    assert all(node.at([key]).line == node.get(key).place.line for key in node.value)


@given(st.lists(st.text(st.sampled_from("0123456789+-.eExoinfnulltrase:~_/AFN"), max_size=7)))
@settings(max_examples=400)
def test_a_plain_scalar_is_typed_as_the_core_schema_says(scalars: list[str]) -> None:
    plain = [text for text in scalars if not text.startswith("-") or text[1:2].isdigit()]
    text = "a:\n" + "".join(f"- {text}\n" for text in plain if not text.endswith(":"))
    node, problems = read_yaml(text.encode(), "f.yaml")
    if {problem.code for problem in problems} - {"yaml-number-not-finite"}:
        return  # a colon in an unlucky place
    assert node is not None
    found, expected = node.value["a"] or [], yaml.load(text, CoreLoader)["a"] or []  # noqa: S506
    refused = {problem.place.line for problem in problems}
    assert [v for line, v in enumerate(found, 2) if line not in refused] == [
        v for line, v in enumerate(expected, 2) if line not in refused
    ]
