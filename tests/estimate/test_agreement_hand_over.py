"""One subject carried on from one element to another.

Expected numbers are worked by hand (derived). The subject is 12 m high at full size, the lens
2879.64 px, the picture shown at 24 fps.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.model.place import Problem
    from tests.estimate.conftest import OneShot

    Hand = Callable[[str, str], dict[str, Problem]]

BUILD = "kind: miniature, build: hill_town, action: still, light: 250 fc"


@pytest.fixture
def hand(one_shot: OneShot) -> Hand:
    """What is found where ``one`` hands over to ``other``, with some facts added, by code."""

    def found(one: str, other: str) -> dict[str, Problem]:
        one_shot.write(
            more=f"  one: {{{BUILD}, hands_over_to: other, {one}}}\n  other: {{{BUILD}, {other}}}\n"
        )
        one_shot.folder.replace(
            "sequences/hill.yaml", "joins: [sky, town]", "joins: [sky, one, other]"
        )
        one_shot.folder.replace("sequences/hill.yaml", "  town:", "  aside:")
        problems = one_shot.found()
        by_code = {each.code: each for each in problems}
        assert len(by_code) == len(problems), [str(each) for each in problems]
        return by_code

    return found


def test_way_and_frames_out_of_sight_imply_a_speed(hand: Hand) -> None:
    problem = hand(
        "in_frame: 1-40, hand_over: {distance: 6 m, exit: {speed: 1.2 m/s}}", "in_frame: 61-96"
    )["hand-over-speed"]
    # From frame 40 to 61 are 21 steps, 20 frames out of sight, 0.875 s: 6 / 0.875 = 6.86 m/s.
    # At 1.2 m/s it wants 5 s, 120 frames: it enters on 160; in 0.875 s it covers 1.05 m.
    assert "21 frames (20 out of sight, 0.875 s)" in problem.message
    assert "6.86 m/s" in problem.message
    assert "1.2 m/s" in problem.message
    assert "frame 160, 119 frames out of sight" in problem.remedy
    assert "1.05 m" in problem.remedy
    assert problem.about == "HL010.other"


def test_a_way_at_the_speed_stated_agrees(hand: Hand) -> None:
    # 21 / 24 s x 1.2 m/s = 1.05 m
    leaves = "in_frame: 1-40, hand_over: {distance: 1.05 m, exit: {speed: 1.2 m/s}}"
    assert hand(leaves, "in_frame: 61-96") == {}


def test_a_speed_between_those_at_both_ends_agrees(hand: Hand) -> None:
    # 2 m in 0.875 s is 2.29 m/s, between 1.2 and 3
    leaves = "in_frame: 1-40, hand_over: {distance: 2 m, exit: {speed: 1.2 m/s}}"
    assert hand(leaves, "in_frame: 61-96, hand_over: {entry: {speed: 3 m/s}}") == {}


def test_the_way_runs_straight_from_place_to_place_where_it_is_not_stated(hand: Hand) -> None:
    problem = hand(
        "in_frame: 1-40, hand_over: {exit: {place: [0 m, 0 m, 40 m], speed: 1 m/s}}",
        "in_frame: 61-96, hand_over: {entry: {place: [3 m, 0 m, 44 m]}}",
    )["hand-over-speed"]
    # 3, 4, 5: 5 m in 0.875 s is 5.71 m/s
    assert "5 m out of sight" in problem.message
    assert "5.71 m/s" in problem.message


def test_a_straight_hand_over_compares_sizes_on_screen(hand: Hand) -> None:
    problem = hand(
        "in_frame: 1-40, hand_over: {exit: {distance: 40 m}}",
        "in_frame: 41-96, hand_over: {entry: {distance: 44 m}}",
    )["hand-over-size"]
    # 2879.64 x 12 / 40 = 863.9 px and / 44 = 785.4 px: 40 / 44, 9.1 % smaller
    assert "864 px high (12 m at 40 m)" in problem.message
    assert "785 px high (12 m at 44 m)" in problem.message
    assert "9.1 % smaller" in problem.message
    assert "set HL010.other 40 m off" in problem.remedy
    assert "110.0 % of its size" in problem.remedy


def test_three_per_cent_of_size_passes(hand: Hand) -> None:
    assert (
        hand(
            "in_frame: 1-40, hand_over: {exit: {distance: 40 m}}",
            "in_frame: 41-96, hand_over: {entry: {distance: 41 m}}",
        )
        == {}
    )


def test_what_it_walked_from_the_lens_out_of_sight_is_undone(hand: Hand) -> None:
    leaves = "in_frame: 1-40, hand_over: {distance: 4 m, exit: {distance: 40 m}}"
    assert hand(leaves, "in_frame: 61-96, hand_over: {entry: {distance: 44 m}}") == {}
    found = hand(leaves, "in_frame: 61-96, hand_over: {entry: {distance: 44 m, size: 13 m}}")
    # 13 / 12 = 1.083 at the same distance; set 44 x 1.083 = 47.7 m off it would match
    assert "8.3 % larger" in found["hand-over-size"].message
    assert "47.7 m" in found["hand-over-size"].remedy


def test_another_lens_on_the_second_element_shows_in_its_size(hand: Hand) -> None:
    found = hand(
        "in_frame: 1-40, hand_over: {exit: {distance: 40 m}}",
        "in_frame: 41-96, focal_length: 50 mm, hand_over: {entry: {distance: 40 m}}",
    )
    # 50 / 35 = 1.429
    assert "42.9 % larger" in found["hand-over-size"].message


def test_both_seen_at_once_are_two_of_one_subject(hand: Hand) -> None:
    problem = hand("in_frame: 1-40", "in_frame: 31-96")["hand-over-overlaps"]
    assert "31-40" in problem.message
    assert "10 frames" in problem.message
    assert "frame 41" in problem.remedy


def test_a_hand_over_to_what_was_seen_before_is_backwards(hand: Hand) -> None:
    assert "hand-over-backwards" in hand("in_frame: 41-96", "in_frame: 1-40")


def test_a_hand_over_without_frames_is_told(hand: Hand) -> None:
    problem = hand("in_frame: 1-40", "takes: 2")["hand-over-without-frames"]
    assert problem.remedy == "write in_frame for HL010.other"


def test_a_subject_that_turned_out_of_sight_is_told_in_degrees(hand: Hand) -> None:
    problem = hand(
        "in_frame: 1-40, hand_over: {exit: {faces: 350 deg}}",
        "in_frame: 41-96, hand_over: {entry: {faces: 20 deg}}",
    )["hand-over-attitude"]
    assert "turned 30 deg" in problem.message


def test_light_that_jumps_is_told_once(hand: Hand) -> None:
    found = hand(
        "in_frame: 1-40, key_light: {from: 0 deg}", "in_frame: 41-96, key_light: {from: 40 deg}"
    )
    assert set(found) == {"key-light-differs"}
    assert "40 deg" in found["key-light-differs"].message


def test_light_that_jumps_to_what_no_camera_photographs_is_told_too(one_shot: OneShot) -> None:
    one_shot.write(
        town="in_frame: 1-40, key_light: {from: 0 deg}, hands_over_to: drawn",
        more="  drawn: {kind: roto, sort: split, roto_of: sky, in_frame: 41-96,"
        " key_light: {from: 40 deg}}\n",
    )
    (problem,) = one_shot.found()
    assert problem.code == "hand-over-light"
    assert "jumps 40 deg" in problem.message


def test_between_shots_only_the_subject_itself_is_compared(one_shot: OneShot) -> None:
    one_shot.write(town="hands_over_to: HL020.town, hand_over: {exit: {size: 12 m}}")
    text = (one_shot.folder.path / "sequences/hill.yaml").read_text(encoding="utf-8")
    second = text[text.index("  HL010:") :].replace("HL010", "HL020")
    second = second.replace("hands_over_to: HL020.town", "nearest: 20 m").replace(
        "hand_over: {exit: {size: 12 m}}", "hand_over: {entry: {size: 15 m}}"
    )
    second = second.replace("nearest: 40 m, ", "")
    one_shot.folder.write("sequences/hill.yaml", text + second)
    found = [each for each in one_shot.found() if each.code.startswith("hand-over")]
    assert [each.code for each in found] == ["hand-over-subject-size"]
    # 15 / 12 = 1.25
    assert "25.0 % apart" in found[0].message
