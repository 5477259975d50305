"""What was worked out before is worked out again only where something it looked at changed."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING

import pytest

from planner.estimate.memory import Memory
from planner.kinds import Registry
from planner.text.show_folder import load_show

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.model.show import Show


@pytest.fixture
def read(show) -> Show:
    found, _problems = load_show(show.path, Registry())
    assert found is not None
    return found


def with_element(show: Show, id_: str, **fields: object) -> Show:
    elements = dict(show.elements)
    elements[id_] = replace(elements[id_], **fields)  # type: ignore[arg-type]
    return replace(show, elements=MappingProxyType(elements))


@pytest.mark.parametrize(
    ("look", "change", "is_asked_again"),
    [
        (lambda s: s.elements["HL010.sky"].kind, lambda s: s, False),
        (lambda s: s.elements["HL010.sky"].kind, lambda s: replace(s, title="Another"), False),
        (lambda s: s.title, lambda s: replace(s, title="Another"), True),
        (
            lambda s: s.elements["HL010.sky"].kind,
            lambda s: with_element(s, "HL010.town", kind="roto"),
            False,
        ),
        (
            lambda s: s.elements["HL010.sky"].kind,
            lambda s: with_element(s, "HL010.sky", kind="roto"),
            True,
        ),
        (
            lambda s: sum(1 for _each in s.elements.values()),
            lambda s: with_element(s, "HL010.sky", kind="roto"),
            True,
        ),
        (
            lambda s: "HL010.sky" in s.aside,
            lambda s: replace(s, aside=frozenset({"HL010.sky"})),
            True,
        ),
        (
            lambda s: "HL010.sky" in s.aside,
            lambda s: replace(s, aside=frozenset({"HL010.town"})),
            False,
        ),
        (lambda s: len(s.unreadable), lambda s: replace(s, unreadable=frozenset({"x"})), True),
        (
            lambda s: replace(s, title="Mine").currency,
            lambda s: replace(s, currency="EUR"),
            True,
        ),
    ],
)
def test_an_answer_is_asked_again_only_where_what_it_looked_at_changed(
    read: Show,
    look: Callable[[Show], object],
    change: Callable[[Show], Show],
    is_asked_again: bool,
) -> None:
    memory = Memory()
    asked: list[object] = []

    def work() -> object:
        asked.append(look(memory.show))
        return asked[-1]

    memory.begin(read, {}, None)
    memory.answer("estimate", "it", work)
    memory.begin(change(read), {}, None)
    again = memory.answer("estimate", "it", work)
    assert len(asked) == 1 + is_asked_again
    assert again == look(change(read))


def test_an_equal_answer_is_no_change_to_those_that_look_at_it(read: Show) -> None:
    memory = Memory()
    asked: list[str] = []

    def first() -> str:
        asked.append("first")
        return "shot" if memory.show.elements["HL010.sky"].shot else ""

    def second() -> str:
        asked.append("second")
        memory.look(("estimate", "first"))
        return "seen"

    for show in (read, with_element(read, "HL010.sky", kind="roto")):
        memory.begin(show, {}, None)
        memory.answer("estimate", "first", first)
        memory.answer("estimate", "second", second)
    assert asked == ["first", "second", "first"]


def test_other_kinds_make_every_answer_old(read: Show) -> None:
    memory = Memory()
    asked: list[int] = []
    for chosen in ({}, {}, {"miniature": "another"}):
        memory.begin(read, {}, chosen)
        memory.answer("estimate", "it", lambda: asked.append(1))
    assert len(asked) == 2


def test_a_doubtful_answer_is_asked_again(read: Show) -> None:
    memory = Memory()
    asked: list[int] = []
    for _time in range(2):
        memory.begin(read, {}, None)
        memory.answer("estimate", "it", lambda: asked.append(1))
        memory.doubt("estimate", "it")
    assert len(asked) == 2
