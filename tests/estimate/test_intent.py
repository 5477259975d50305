"""What a sequence wants of its shots, by hand on the small show: one shot, frames 1 to 96."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.estimate.intent import intent_problems, share_of_frames

if TYPE_CHECKING:
    from planner.model.place import Problem
    from tests.conftest import ShowFolder
    from tests.estimate.conftest import OneShot

SEQUENCE = "title: On the hill\n"


def found(one_shot: OneShot, folder: ShowFolder, wants: str = "", **facts: str) -> list[Problem]:
    one_shot.write(**facts)
    folder.replace("sequences/hill.yaml", SEQUENCE, SEQUENCE + wants)
    return list(intent_problems(one_shot.load()))


def only(problems: list[Problem], code: str) -> Problem:
    assert [each.code for each in problems] == [code]
    return problems[0]


def test_a_sequence_that_wants_nothing_finds_nothing(one_shot: OneShot, show: ShowFolder) -> None:
    assert found(one_shot, show) == []


def test_a_locked_shot_in_a_sequence_of_moving_cameras_is_told(
    one_shot: OneShot, show: ShowFolder
) -> None:
    problem = only(found(one_shot, show, "requires: [moving_camera]\n"), "camera-locked")
    assert "nothing in HL010 moves it" in problem.message


def test_the_axis_that_is_wanted_and_not_moved_is_named(
    one_shot: OneShot, show: ShowFolder
) -> None:
    more = "pan: {kind: camera_move, origin: recorded, axes: [pan, tilt]}\n"
    wants = "requires: [moving_camera, track, pan]\n"
    problem = only(found(one_shot, show, wants, more=more), "camera-axis-wanted")
    assert "wants track and the camera of HL010 does pan, tilt only" in problem.message


def test_frames_by_method_are_counted_once_each(one_shot: OneShot, show: ShowFolder) -> None:
    # 1-24 and 13-36 together are 36 of 96 frames: 37.5 %
    wants = "shares: [{kind: miniature, least: 50 %}]\n"
    more = "barn: {kind: miniature, build: hill_town, in_frame: 13-36}\n"
    problems = found(one_shot, show, wants, town="in_frame: 1-24", more=more)
    problem = only(problems, "share-below-target")
    assert "on 36 of 96 frames of hill, 38%; 50% is meant" in problem.message
    assert "make 12 frames more" in problem.remedy
    read = one_shot.load()
    share = share_of_frames(read, read.sequences["hill"], "miniature")
    assert share.value == pytest.approx(0.375)
    assert [each.value for each in share.inputs] == [36, 96]


def test_a_share_short_by_part_of_a_frame_wants_a_whole_one(
    one_shot: OneShot, show: ShowFolder
) -> None:
    # 25.4 % of 96 frames are 24.4, and 24 are seen.
    wants = "shares: [{kind: miniature, least: 25.4 %}]\n"
    problem = only(found(one_shot, show, wants, town="in_frame: 1-24"), "share-below-target")
    assert "make 1 frame more" in problem.remedy


def test_a_share_reached_is_silent(one_shot: OneShot, show: ShowFolder) -> None:
    assert found(one_shot, show, "shares: [{kind: miniature, least: 100 %}]\n") == []


def test_work_booked_on_an_idea_nobody_agreed_to_is_told(
    one_shot: OneShot, show: ShowFolder
) -> None:
    idea = "state: unplaced\nidea: {from: a sketch of the director}"
    problems = found(one_shot, show, shot=idea, town="not_before: 2027-04-01")
    assert "work is booked on town" in only(problems, "idea-without-agreement").message


def test_an_idea_agreed_to_may_be_worked_on(one_shot: OneShot, show: ShowFolder) -> None:
    idea = "state: unplaced\nidea: {from: a sketch, agreed_by: the producer, on: 2027-03-02}"
    assert found(one_shot, show, shot=idea, town="not_before: 2027-04-01") == []


def test_an_idea_of_nobodys_is_noted(one_shot: OneShot, show: ShowFolder) -> None:
    assert only(found(one_shot, show, shot="state: unplaced"), "idea-from-nobody")


def test_one_alias_for_two_plain_names_is_told(one_shot: OneShot, show: ShowFolder) -> None:
    problem = only(found(one_shot, show, sky="alias: BG", town="alias: BG"), "alias-of-two")
    assert "BG stands for town and for sky (HL010.sky)" in problem.message
    assert problem.about == "HL010.town"


def test_a_method_without_one_of_its_parts_is_told(one_shot: OneShot, show: ShowFolder) -> None:
    method = "method: {verdict: chosen, by: the supervisor, parts: [miniature, shadow, roto]}"
    shade = "shade: {kind: shadow, shadow_of: town, falls_on: sky}\n"
    problem = only(found(one_shot, show, town=method, more=shade), "method-lacks-part")
    assert problem.message == "it is made of miniature, shadow, roto and has no roto"
