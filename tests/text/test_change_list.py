"""Change lists: one act to a shot, read with its place; what is not said is asked for."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.model.cut import Act, CutChange
from planner.model.facts import FrameRange
from planner.text.change_list import read_changes


def one(text: str) -> CutChange:
    listed, problems = read_changes(f"changes:\n  - {text}\n".encode(), "list.yaml", 24.0)
    assert problems == ()
    assert listed is not None
    return listed.changes[0]


def fault(text: str) -> str:
    listed, problems = read_changes(f"changes:\n  - {text}\n".encode(), "list.yaml", 24.0)
    assert listed is None
    assert str(problems[0].place).startswith("list.yaml:2:")
    return f"{problems[0].message}; {problems[0].remedy}"


def test_lengths_are_signed_at_each_end() -> None:
    assert (one("{lengthen: A1, head: 4}").head, one("{lengthen: A1, tail: 9}").tail) == (4, 9)
    shorter = one("{shorten: A1, head: 4, tail: 9}")
    assert (shorter.act, shorter.head, shorter.tail) == (Act.LENGTH, -4, -9)


def test_each_act_is_read() -> None:
    take = one('{take: A1.plate, to: "5", frames: 93-228}')
    assert (take.shot, take.element, take.take) == ("A1", "A1.plate", "5")
    assert take.frames == FrameRange(93, 228)
    assert one("{split: A1, at: 40, new: A2}").at == 40
    assert one("{join: A1, with: A2}").other == "A2"
    assert one("{order: A1, before: A2}").says == "before A2"
    assert one("{flop: A1}").flop
    assert one("{un-omit: A1}").act is Act.UN_OMIT
    assert one("{omit: A1}").act is Act.OMIT
    assert one("{add: A3, count: 48}").frames == FrameRange(1, 48)


def test_fields_and_rates_become_shares() -> None:
    # Eleven fields of twelve fill the frame: 12 / 11 - 1 = 9.09 % larger.
    assert one("{reposition: A1, fields: 11}").push_in == pytest.approx(1 / 11)
    assert one("{reposition: A1, push_in: 8 %}").push_in == pytest.approx(0.08)
    # 12 fps where 24 are shown is half speed.
    assert one("{retime: A1, rate: 12 fps}").speed == 0.5
    assert one("{retime: A1, speed: 200 %}").speed == 2.0


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("{lengthen: A1}", "changes by no frames"),
        ("{lengthen: A1, flop: A1}", "says lengthen and flop"),
        ("{tail: 4}", "nothing that is done to a shot"),
        ("{flop: A1, at: 3}", "at says nothing of a shot to flop"),
        ("{split: A1, at: 3}", "split wants `new:`"),
        ('{take: A1, to: "5"}', "A1 is no plate"),
        ("{take: A1.b, to: 5}", 'write "5" in quotes'),
        ("{order: A1}", "where does A1 go"),
        ("{order: A1, after: A2, before: A3}", "where does A1 go"),
        ("{reposition: A1}", "by how much"),
        ("{reposition: A1, fields: 13}", "13 fields cannot be kept of 12"),
        ("{retime: A1}", "how fast"),
        ("{retime: A1, speed: 0 %}", "stands still"),
        ("{lengthen: A1, tail: many}", "many"),
        ("{lengthn: A1}", "lengthn"),
    ],
)
def test_what_does_not_say_enough_is_asked_for(text: str, says: str) -> None:
    assert says in fault(text)


@given(st.text(max_size=200))
def test_any_text_is_a_list_or_a_problem(text: str) -> None:
    data = text.encode("utf-8", "surrogatepass")
    listed, problems = read_changes(data, "list.yaml", 24.0)
    assert (listed is None) == bool(problems)


@given(
    st.dictionaries(
        st.sampled_from(["lengthen", "take", "retime", "split", "at", "to", "speed", "tail"]),
        st.sampled_from(["A1", "A1.b", "?", "3", "-3", "50 %", "~", "[]", "{}", "true", '""']),
        max_size=4,
    )
)
def test_any_change_is_read_or_refused(values: dict[str, str]) -> None:
    inner = ", ".join(f"{name}: {value}" for name, value in values.items())
    data = f"changes: [{{{inner}}}]".encode()
    listed, problems = read_changes(data, "list.yaml", 24.0)
    assert (listed is None) == bool(problems)
