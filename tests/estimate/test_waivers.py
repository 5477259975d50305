"""Waivers: who accepts which finding, until its numbers change."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planner.estimate import Estimates, apply_waivers, mark_of
from planner.model.place import Place, Problem, Severity
from planner.text.located import read_yaml

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.estimate import AfterWaivers
    from tests.estimate.conftest import OneShot

    Judge = Callable[..., AfterWaivers]

HERE = Place("show.yaml", 8, 12)
WORDS = st.text("abc -.0123456789", max_size=40)
SEVERITIES = st.sampled_from([Severity.WARNING, Severity.NOTE])


def finding(
    message: str = "the field is 1.22 m short",
    about: str = "HL010.town",
    code: str = "screen-too-small",
    severity: Severity = Severity.WARNING,
) -> Problem:
    return Problem(severity, HERE, code, message, "hang a larger screen", about)


def waiver(mark: str, **changed: str) -> str:
    """The text of a waiver; a fact changed to nothing is left out."""
    facts = {
        "finding": "screen-too-small",
        "of": "town",
        "mark": mark,
        "by": "the supervisor",
        "on": "2027-03-11",
        "why": "the edge is garbage matted",
        **changed,
    }
    return "{" + ", ".join(f"{name}: {value}" for name, value in facts.items() if value) + "}"


@pytest.fixture
def judge(one_shot: OneShot) -> Judge:
    """What the findings given come to in a shot with the waivers given."""

    def judged(problems: list[Problem], *waivers: str, more_to_come: bool = False) -> AfterWaivers:
        one_shot.write(shot=f"waivers: [{', '.join(waivers)}]")
        return apply_waivers(one_shot.load(), problems, more_to_come=more_to_come)

    return judged


def test_a_mark_is_six_small_hex_digits_that_begin_with_a_letter() -> None:
    assert re.fullmatch(r"[a-f][0-9a-f]{5}", mark_of(finding()))


@given(code=WORDS, about=WORDS, message=WORDS)
def test_yaml_reads_every_mark_as_text(code: str, about: str, message: str) -> None:
    mark = mark_of(finding(message, about, code))
    node, problems = read_yaml(f"mark: {mark}\n".encode(), "marks.yaml")
    assert problems == ()
    assert node is not None
    written = node.get("mark")
    assert written is not None
    assert written.value == mark


def test_the_mark_follows_the_numbers_and_not_the_words() -> None:
    same = mark_of(finding("the screen is 1.22 m too narrow"))
    assert same == mark_of(finding())
    assert mark_of(finding("the field is 1.23 m short")) != same
    assert mark_of(finding(about="HL010.sky")) != same
    assert mark_of(finding(code="screen-too-low")) != same


def test_the_mark_follows_every_digit_of_a_long_number() -> None:
    assert mark_of(finding("1,234.5 ft")) != mark_of(finding("1,234.6 ft"))
    assert mark_of(finding("1,234.5 ft")) != mark_of(finding("2,234.5 ft"))
    assert mark_of(finding("tilted -4 deg")) != mark_of(finding("tilted 4 deg"))


def test_without_waivers_everything_stands(judge: Judge) -> None:
    problems = [finding(), finding(about="HL010.sky")]
    judged = judge(problems)
    assert judged.standing == tuple(problems)
    assert judged.waived == ()
    assert judged.told == ()


def test_a_waiver_that_fits_silences_its_finding_and_keeps_who_when_and_why(judge: Judge) -> None:
    other = finding(about="HL010.sky")
    judged = judge([finding(), other], waiver(mark_of(finding())))
    assert judged.standing == (other,)
    assert judged.told == ()
    (waived,) = judged.waived
    assert waived.problem == finding()
    assert waived.by == "the supervisor"
    assert waived.on == date(2027, 3, 11)
    assert waived.why == "the edge is garbage matted"
    assert waived.place.line == 8  # of the sequence's file, under camera


def test_the_first_four_digits_of_a_mark_are_enough(judge: Judge) -> None:
    assert judge([finding()], waiver(mark_of(finding())[:4].upper())).standing == ()


def test_a_waiver_of_no_element_is_of_the_shot_or_of_its_composite(judge: Judge) -> None:
    for about in ("HL010", "HL010.final"):
        late = finding("3 working days late", about, "delivery-late")
        judged = judge([late], waiver(mark_of(late), finding="delivery-late", of=""))
        assert judged.standing == ()


def test_what_stands_outside_shots_can_be_waived_by_its_name(judge: Judge) -> None:
    build = finding("1:24 does not serve 1:17.9", "hill_town", "scale-outside-window")
    waived = waiver(mark_of(build), finding="scale-outside-window", of="hill_town")
    assert judge([build], waived).standing == ()


def test_a_waiver_whose_numbers_changed_no_longer_stands(judge: Judge) -> None:
    old, new = finding(), finding("the field is 1.40 m short")
    judged = judge([new], waiver(mark_of(old)))
    assert judged.standing == (new,)
    assert judged.waived == ()
    (told,) = judged.told
    assert told.code == "waiver-no-longer-stands"
    assert told.severity is Severity.NOTE
    for said in ("the supervisor", "2027-03-11", mark_of(old), mark_of(new)):
        assert said in told.message
    assert f"mark: {mark_of(new)}" in told.remedy


def test_one_of_two_findings_of_a_code_keeps_its_waiver(judge: Judge) -> None:
    kept, changed = finding(), finding("the field is 0.50 m low")
    judged = judge([kept, changed], waiver(mark_of(kept)), waiver("abcdef"))
    assert judged.standing == (changed,)
    (told,) = judged.told
    assert mark_of(changed) in told.message
    assert mark_of(kept) not in told.message


def test_errors_cannot_be_waived(judge: Judge) -> None:
    error = finding(severity=Severity.ERROR)
    judged = judge([error], waiver(mark_of(error)))
    assert judged.standing == (error,)
    (told,) = judged.told
    assert told.code == "waiver-of-error"
    assert "errors cannot be waived" in told.message


@pytest.mark.parametrize("lacking", ["by", "on", "why"])
def test_a_waiver_without_name_day_or_reason_does_not_stand(judge: Judge, lacking: str) -> None:
    judged = judge([finding()], waiver(mark_of(finding()), **{lacking: ""}))
    assert judged.standing == (finding(),)
    (told,) = judged.told
    assert told.code == "waiver-incomplete"
    assert f"does not say {lacking}" in told.message


def test_a_waiver_without_a_mark_is_told_the_mark_to_write(judge: Judge) -> None:
    judged = judge([finding()], waiver(""))
    assert judged.standing == (finding(),)
    (told,) = judged.told
    assert told.code == "waiver-incomplete"
    assert f"mark: {mark_of(finding())}" in told.remedy


def test_a_waiver_is_not_said_to_match_nothing_while_a_file_cannot_be_read(
    one_shot: OneShot,
) -> None:
    one_shot.write(shot=f"waivers: [{waiver('abcdef')}]")
    whole = one_shot.load()
    assert len(apply_waivers(whole, []).told) == 1
    assert apply_waivers(replace(whole, lost_files=frozenset({"builds.yaml"})), []).told == ()
    assert apply_waivers(replace(whole, unreadable=frozenset({"HL010.town"})), []).told == ()


def test_a_waiver_of_nothing_found_is_told(judge: Judge) -> None:
    (told,) = judge([], waiver("abcdef")).told
    assert told.code == "waiver-matches-nothing"
    assert "screen-too-small about HL010.town" in told.message
    assert "plan" not in told.message


def test_a_waiver_of_nothing_found_yet_may_be_of_the_order_or_the_bid(judge: Judge) -> None:
    (told,) = judge([], waiver("abcdef"), more_to_come=True).told
    assert "platewright plan" in told.message


def test_waivers_of_a_shot_that_is_omitted_wait_with_it(one_shot: OneShot) -> None:
    one_shot.write(shot=f"state: omitted\nwaivers: [{waiver('abcdef')}]")
    assert apply_waivers(one_shot.load(), []).told == ()


def test_estimates_keep_what_is_waived_beside_what_stands(judge: Judge) -> None:
    other = finding(about="HL010.sky")
    judged = judge([finding(), other], waiver(mark_of(finding())))
    kept = judged.applied_to(Estimates({}, {}, (finding(), other), ()))
    assert kept.problems == (other,)
    assert [each.problem for each in kept.waived] == [finding()]


FINDINGS = st.lists(
    st.builds(
        finding,
        message=WORDS,
        about=st.sampled_from(["HL010", "HL010.town", "hill_town"]),
        severity=SEVERITIES,
    ),
    unique=True,
    max_size=6,
)
NAMES = {"HL010": "", "HL010.town": "town", "hill_town": "hill_town"}


@settings(max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(problems=FINDINGS)
def test_what_is_waived_by_the_marks_printed_is_silent(
    judge: Judge, problems: list[Problem]
) -> None:
    texts = [waiver(mark_of(each), of=NAMES[each.about]) for each in problems]
    judged = judge(problems, *texts)
    assert judged.standing == ()
    assert {each.problem for each in judged.waived} == set(problems)
    assert judged.told == ()
