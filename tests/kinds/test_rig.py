"""Moves repeated at another size: frames that count, limits of rigs, fineness, openings."""

from __future__ import annotations

import pytest

from planner.cli.opening import open_show
from planner.kinds import Worksheet
from planner.kinds.move import Pace, demands
from planner.kinds.rig import rigs_that_follow
from planner.kinds.subject import Subject
from planner.kinds.view import view_of
from planner.model.facts import FrameRange
from planner.model.place import Place, Severity
from planner.model.show import Move, MoveAxis

M = 1000.0  # mm in a metre


def move_of(first_frame=1, **axes) -> Move:
    """A move by axis: lengths in mm, turns in degrees."""
    turns = {"pan", "tilt", "roll"}
    return Move(
        "push",
        first_frame,
        {name: MoveAxis("deg" if name in turns else "mm", v) for name, v in axes.items()},
        Place("moves/push.csv"),
    )


STEADY = tuple(100.0 * frame for frame in range(11))
"""10 frames of 100 mm each."""


@pytest.fixture
def followed(make, quantity):
    """Judge one rig against a move at 1/N; give the sheet's estimate."""

    def build(move, axes, *, n=10, gravity=False, facts=None, rig=None, source=None):
        context = make(
            "miniature",
            {"build": "dam", "move_from": "S010.cam", **(facts or {})},
            shot_camera={"focal_length": quantity(50, "mm"), "format": "full-aperture-35"},
            builds={"dam": {"makes": "miniature", "scale": quantity(n, "1:N")}},
            resources={"dolly": {"sort": "rig", "axes": axes, **(rig or {})}},
            elements={
                "S010.cam": (
                    "camera_move",
                    {"origin": "recorded", "data": "push", **(source or {})},
                )
            },
            moves={"push": move},
        )
        sheet = Worksheet(context)
        pace = Pace(Subject(quantity(n, "1:N"), "dam"), quantity(24, "fps"), gravity)
        wanted = demands(sheet, view_of(sheet), pace)
        rigs_that_follow(sheet, wanted, pace)
        return sheet.estimate()

    return build


def codes(estimate) -> set[str]:
    return {each.code for each in estimate.problems}


def test_only_frames_on_which_it_is_seen_count(followed, quantity) -> None:
    # A jump of 1 m between frames 1 and 2, then 10 mm a frame: at 1/10 and 24 fps 2.4 m/s where
    # all counts, 1 mm x 24 = 24 mm/s where it is seen from frame 2 on. The rig does 1 m/s.
    move = move_of(track=(0.0, *(1000 + 10.0 * frame for frame in range(10))))
    axes = {"track": {"speed": quantity(1 * M, "mm/s")}}
    whole = followed(move, axes)
    assert "rig-too-slow" in codes(whole)
    assert "judged-over-whole-move" in codes(whole)
    seen = followed(move, axes, facts={"in_frame": FrameRange(2, 11)})
    assert codes(seen) == set()
    # 24 x 1000 / 24 = 1000 fps
    assert seen.quantities["fastest rate of the rig"].value == pytest.approx(1000)


def test_a_moving_camera_without_frames_seen_is_remarked(followed, quantity, finding) -> None:
    found = followed(move_of(track=STEADY), {"track": {"speed": quantity(1 * M, "mm/s")}})
    told = finding(found, "judged-over-whole-move")
    assert told.severity is Severity.NOTE
    assert "11 frames of moves/" in told.message


def test_frames_seen_that_the_file_lacks_leave_the_whole_move(followed, quantity) -> None:
    axes = {"track": {"speed": quantity(1 * M, "mm/s")}}
    found = followed(move_of(track=STEADY), axes, facts={"in_frame": FrameRange(500, 600)})
    # 10 mm a frame at 1/10 and 24 fps: 0.24 m/s, 24 x 1000 / 240 = 100 fps.
    assert found.quantities["fastest rate of the rig"].value == pytest.approx(100)


def test_the_frame_and_the_axis_that_bind_are_told(followed, quantity, finding) -> None:
    # pan: 0, 0, 4, 4 degrees: 96 deg/s at frame 12 to 13; the first of its frames is named.
    move = move_of(11, track=(0.0, 1.0, 2.0, 3.0), pan=(0.0, 0.0, 4.0, 4.0))
    axes = {
        "track": {"speed": quantity(1 * M, "mm/s")},
        "pan": {"speed": quantity(60, "deg/s")},
    }
    told = finding(followed(move, axes), "rig-too-slow")
    assert "pan must do 96 deg/s at frame 12 and does 60 deg/s" in told.message
    assert "15 fps or slower" in told.remedy  # 24 x 60 / 96


def test_jerk_counts_where_the_rig_states_it(followed, quantity, finding) -> None:
    # 0, 0, 0, 10, 20 mm on the stage: third differences 10, -10: 10 x 24^3 = 138 240 mm/s3, at 8
    # times the rig's 17 280: it follows at 24 / cbrt 8 = 12 fps.
    move = move_of(track=(0.0, 0.0, 0.0, 100.0, 200.0))
    axes = {"track": {"speed": quantity(1 * M, "mm/s"), "jerk": quantity(17_280, "mm/s3")}}
    found = followed(move, axes)
    assert found.quantities["fastest rate of the rig"].value == pytest.approx(12)
    assert "m/s3" in finding(found, "rig-too-slow").message


def test_a_gravity_rate_leaves_acceleration_of_lengths_as_it_is(followed, quantity) -> None:
    # Lengths a second squared shrink as 1/N and grow as N at the gravity rate: no scale helps.
    move = move_of(track=(0.0, 0.0, 100.0, 100.0))
    axes = {"track": {"speed": quantity(99 * M, "mm/s"), "acceleration": quantity(1 * M, "mm/s2")}}
    assert [b.limit.name for b in followed(move, axes, gravity=True).bounds] == []
    fixed = followed(move, axes)
    assert [b.limit.name for b in fixed.bounds] == ["speed of the rig"]


def test_the_run_up_is_told_in_distance_and_frames(followed, quantity) -> None:
    # The published pair: 0.9 m/s at 0.5 m/s2 takes 0.81 m and 43.2 frames, so 44. At 1/10 and
    # 24 fps 0.9 m/s is 37.5 mm a frame, 375 mm in the picture.
    move = move_of(track=tuple(375.0 * frame for frame in range(5)))
    axes = {"track": {"speed": quantity(2 * M, "mm/s"), "acceleration": quantity(500, "mm/s2")}}
    numbers = followed(move, axes).quantities
    assert numbers["track run-up"].value == pytest.approx(810)
    assert numbers["run-up frames"].value == 44


def test_the_track_must_hold_move_run_up_and_run_out(followed, quantity, finding) -> None:
    # 150 mm of move + 810 + 810 = 1.77 m
    move = move_of(track=tuple(375.0 * frame for frame in range(5)))

    def axes(travel):
        return {
            "track": {
                "speed": quantity(2 * M, "mm/s"),
                "acceleration": quantity(500, "mm/s2"),
                "travel": quantity(travel * M, "mm"),
            }
        }

    assert "1.77 m" in finding(followed(move, axes(1.76)), "rig-too-short").message
    assert "rig-too-short" not in codes(followed(move, axes(1.78)))


def test_a_move_that_ends_at_rest_needs_no_run_out(followed, quantity) -> None:
    # 37.5 mm a frame, then still: 150 + 810 = 0.96 m
    move = move_of(track=(*(375.0 * frame for frame in range(5)), 1500.0))
    track = {
        "speed": quantity(2 * M, "mm/s"),
        "acceleration": quantity(500, "mm/s2"),
        "travel": quantity(0.97 * M, "mm"),
    }
    assert "rig-too-short" not in codes(followed(move, {"track": track}))


# 50 mm on 24.892 mm at 2048 px is 4113.8 px long. At 1/10 a thing 5 m away stands 0.5 m from the
# lens, where a millimetre covers 8.23 px.


def test_a_step_of_the_rig_larger_than_the_move_s_shows(followed, quantity, finding) -> None:
    near = {"nearest": quantity(5 * M, "mm")}
    move = move_of(track=(0.0, 0.2, 0.4, 0.6))  # .02 mm a frame on the stage

    def axes(step):
        return {"track": {"speed": quantity(1 * M, "mm/s"), "resolution": quantity(step, "mm")}}

    told = finding(followed(move, axes(0.05), facts=near), "rig-too-coarse")
    assert "0.41 px" in told.message  # .05 x 8.2276
    assert "0.03 mm or finer" in told.remedy  # .25 / 8.2276
    assert "rig-too-coarse" not in codes(followed(move, axes(0.02), facts=near))
    assert "rig-too-coarse" not in codes(followed(move, axes(0.05)))  # nothing is said to be near


def test_a_step_of_a_turn_shows_at_any_distance(followed, quantity, finding) -> None:
    # .01 deg x 4113.8 px x pi / 180 = 0.718 px
    axes = {"pan": {"speed": quantity(60, "deg/s"), "resolution": quantity(0.01, "deg")}}
    told = finding(followed(move_of(pan=(0.0, 0.001, 0.002)), axes), "rig-too-coarse")
    assert "0.72 px" in told.message


def test_passes_that_miss_each_other_show_at_the_nearest(followed, quantity, finding) -> None:
    axes = {"track": {"speed": quantity(1 * M, "mm/s")}}
    near = {"nearest": quantity(5 * M, "mm"), "passes": ("beauty", "matte")}
    rig = {"repeats_within": quantity(0.1, "mm")}
    found = followed(move_of(track=STEADY), axes, facts=near, rig=rig)
    assert found.quantities["repeat error"].value == pytest.approx(0.823, abs=1e-3)
    assert "0.061 mm" in finding(found, "repeat-error-shows").remedy  # .5 / 8.2276
    once = {**near, "passes": ("beauty",)}
    assert "repeat-error-shows" not in codes(
        followed(move_of(track=STEADY), axes, facts=once, rig=rig)
    )


def test_a_head_wider_than_the_opening_does_not_pass(followed, quantity, finding) -> None:
    # 5 m at 1/10 is 500 mm; the arm carries the lens 1 m, 100 mm, across; a head of 420 mm wants
    # 520: 20 too little. It passes at (5 - 1) / .42 = 9.52.
    axes = {name: {"speed": quantity(9 * M, "mm/s")} for name in ("track", "arm")}
    move = move_of(track=STEADY, arm=tuple(100.0 * frame for frame in range(11)))
    opening = {"opening": {"width": quantity(5 * M, "mm"), "height": quantity(8 * M, "mm")}}
    head = {"head_width": quantity(420, "mm")}
    found = followed(move, axes, facts=opening, rig=head)
    told = finding(found, "head-does-not-pass")
    assert "500 mm wide" in told.message
    assert "20 mm too little" in told.message
    assert "1:9.52 or larger" in told.remedy
    # height: (800 - 420) / 2 = 190 mm clear above and below
    assert found.quantities["clear of the opening's height"].value == pytest.approx(190)
    limits = [b.limit.value for b in found.bounds if b.limit.name == "head through the opening"]
    assert limits == pytest.approx([4000 / 420, 8000 / 420])
    assert "head-does-not-pass" not in codes(followed(move, axes, n=9, facts=opening, rig=head))


def test_wild_sides_part_by_what_the_head_is_too_wide(followed, quantity, finding) -> None:
    # 5 m at 1/12 is 416.7 mm and the arm crosses 83.3 mm of it at once with a head of 420 mm:
    # 86.7 mm too little, told as 87 mm.
    axes = {name: {"speed": quantity(9 * M, "mm/s")} for name in ("track", "arm")}
    move = move_of(track=STEADY, arm=(*(0.0,) * 9, 500.0, 1000.0))
    opening = {"width": quantity(5 * M, "mm"), "wild": True}
    head = {"head_width": quantity(420, "mm")}
    found = followed(move, axes, facts={"opening": opening}, n=12, rig=head)
    assert "87 mm too wide" in finding(found, "wild-sides-part").message
    assert "head-does-not-pass" not in codes(found)


def test_the_path_across_counts_on_the_frames_of_passage_only(followed, quantity) -> None:
    axes = {name: {"speed": quantity(9 * M, "mm/s")} for name in ("track", "arm")}
    move = move_of(track=STEADY, arm=(*(0.0,) * 9, 500.0, 1000.0))
    opening = {"width": quantity(5 * M, "mm")}
    head = {"head_width": quantity(420, "mm")}
    assert "head-does-not-pass" in codes(followed(move, axes, facts={"opening": opening}, rig=head))
    passing = {"opening": {**opening, "frames": FrameRange(3, 8)}}
    assert "head-does-not-pass" not in codes(followed(move, axes, facts=passing, rig=head))


def test_a_head_of_unknown_width_is_missing(followed, quantity) -> None:
    axes = {"track": {"speed": quantity(9 * M, "mm/s")}}
    opening = {"opening": {"width": quantity(5 * M, "mm")}}
    found = followed(move_of(track=STEADY), axes, facts=opening)
    assert "head_width" in [each.name for each in found.missing]


def test_the_pupil_s_offset_shrinks_with_the_scale(followed, quantity) -> None:
    axes = {"track": {"speed": quantity(9 * M, "mm/s")}}
    found = followed(
        move_of(track=STEADY), axes, source={"pupil_error": quantity(30, "mm")}
    ).quantities
    assert found["pupil offset on the stage"].value == pytest.approx(3)


def test_a_focus_axis_shrinks_and_needs_no_axis_of_the_rig(followed, quantity) -> None:
    axes = {"track": {"speed": quantity(9 * M, "mm/s")}}
    found = followed(move_of(track=STEADY, focus=(9000.0, 8000.0)), axes)
    assert "rig-lacks-axis" not in codes(found)


SIGHTED = """\
      cam:
        kind: camera_move
        origin: reconstructed
        of: sky
        sightings:
          - {at: [0 m, 0 m, 0 m], pixel: [505.1, 1115.6]}
          - {at: [2 m, 0 m, 0 m], pixel: [1142.1, 1098.3]}
          - {at: [2 m, 1.2 m, 0 m], pixel: [1136.0, 719.3]}
          - {at: [0 m, 1.2 m, 0.5 m], pixel: [514.0, 725.4]}
          - {at: [1 m, 2 m, 1.5 m], pixel: [820.4, 486.8]}
          - {at: [3 m, 0.3 m, 2.5 m], pixel: [1331.0, 910.4]}
      town:
        move_from: cam
"""
"""The camera of tests/craft, found from six points by a 35 mm lens."""


def test_a_camera_found_from_a_picture_comes_down_to_the_model_with_its_spread(show) -> None:
    show.replace("sequences/hill.yaml", "      town:\n", SIGHTED)
    opened, problems = open_show(show.path)
    assert problems == ()
    assert opened is not None
    numbers = opened.estimates.by_element["HL010.town"].quantities
    # 1.6 m at 1/24 is 66.7 mm; a spread of 16.9 mm is 0.70 mm there.
    height = numbers["camera height on the stage"]
    assert height.value == pytest.approx(1600 / 24, abs=0.1)
    assert height.spread == pytest.approx(16.9 / 24, abs=0.03)
    assert numbers["camera forward on the stage"].value == pytest.approx(-9000 / 24, abs=0.1)


def test_a_travel_over_a_cut_nobody_settled_is_eased_over_the_usual_one(make, quantity) -> None:
    def speed(rules) -> float:
        stated = {"travel": quantity(9600, "mm")}
        context = make("plate", stated, cut=None, show_facts={"rules": rules})
        sheet = Worksheet(context)
        pace = Pace(Subject(quantity(1, "1:N")), quantity(24, "fps"))
        (track,) = demands(sheet, view_of(sheet), pace)
        return track.speed

    # 72 frames are 3 s: 1.5 x 9.6 m / 3 s; 144 frames, as this show has it, are 6 s.
    assert speed({}) == pytest.approx(4800)
    assert speed({"takes.cut": {"likely": quantity(144)}}) == pytest.approx(2400)
