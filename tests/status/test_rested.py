"""Facts that are kept with what happens, so that it can be judged once they change."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.model.facts import FrameRange
from planner.status.rested import NAMES, frames_of
from planner.status.shifted import read_path

if TYPE_CHECKING:
    from tests.status.conftest import Floor


def test_the_focal_length_of_the_lens_is_kept_with_its_name(floor: Floor) -> None:
    facts = floor.basis("HL010.town").facts
    assert facts["shot camera.lens"] == "prime_35"
    assert facts["lens prime_35 focal_length"] == "35 mm"


def test_what_it_names_is_kept_by_role(floor: Floor) -> None:
    assert floor.basis("HL010.final").facts[f"{NAMES}joins"] == "HL010.sky, HL010.town"
    assert floor.basis("HL010.town").facts[f"{NAMES}build"] == "hill_town"


def test_a_move_is_kept_every_eight_frames_and_at_its_ends(floor: Floor) -> None:
    rows = "".join(f"{frame},{frame / 10}\n" for frame in range(-7, 105))
    floor.folder.write("moves/push.csv", f"frame,track [mm]\n{rows}")
    floor.folder.replace(
        "sequences/hill.yaml",
        "      town:\n",
        "      push: {kind: camera_move, origin: designed, data: push}\n      town:\n"
        "        move_from: push\n",
    )
    path = read_path(floor.basis("HL010.town").facts["path push"])
    # -7 and 104 are its ends; of multiples of 8 there are 0 to 104.
    assert list(path) == [-7, *range(0, 105, 8)]
    assert path[48] == {"track mm": pytest.approx(4.8)}
    assert (
        floor.basis("HL010.push").facts["path push"] == floor.basis("HL010.town").facts["path push"]
    )


def test_a_move_that_differs_between_the_kept_frames_is_another_move(floor: Floor) -> None:
    floor.folder.replace(
        "sequences/hill.yaml",
        "      town:\n",
        "      push: {kind: camera_move, origin: designed, data: push}\n      town:\n",
    )
    rows = [f"{frame},{frame / 10}" for frame in range(1, 97)]
    floor.folder.write("moves/push.csv", "\n".join(["frame,track [mm]", *rows]) + "\n")
    before = floor.basis("HL010.push").mark
    rows[20] = "21,9.9"
    floor.folder.write("moves/push.csv", "\n".join(["frame,track [mm]", *rows]) + "\n")
    assert floor.basis("HL010.push").mark != before


@given(st.integers(-500, 5000), st.integers(0, 500))
def test_frames_are_read_as_they_are_written(first: int, more: int) -> None:
    written = FrameRange(first, first + more)
    assert frames_of(str(written)) == written


@pytest.mark.parametrize("text", ["", "many", "9-3", "1-2-3"])
def test_what_is_no_range_of_frames_is_none(text: str) -> None:
    assert frames_of(text) is None


def test_a_rule_of_the_shows_own_stands_for_handles_that_are_not_stated(floor: Floor) -> None:
    assert floor.basis("HL010.town").facts["show handles"] == "8"
    floor.folder.replace("show.yaml", "handles: 8", "rules: {takes.handles: {likely: 12}}")
    assert floor.basis("HL010.town").facts["show handles"] == "12"
    # Where nothing is said, nothing is kept: the usual rule may change.
    floor.folder.replace("show.yaml", "rules: {takes.handles: {likely: 12}}", "")
    assert "show handles" not in floor.basis("HL010.town").facts


def test_the_speed_at_which_a_shot_is_shown_is_kept(floor: Floor) -> None:
    assert "shot speed" not in floor.basis("HL010.town").facts
    floor.folder.replace("sequences/hill.yaml", "cut: 1-96", "cut: 1-96\n    speed: 50 %")
    assert floor.basis("HL010.town").facts["shot speed"] == "0.5"
