"""What any element may state, by hand arithmetic on the shot of `OneShot`.

35 mm on 24.892 mm scanned to 2048 px is 2879.64 px; the model stands at 1/24; the cut is frames 1
to 96, shown at 24 fps.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.estimate import estimate_show
from planner.graph import build_graph
from planner.kinds import Registry

if TYPE_CHECKING:
    from planner.kinds import Estimate
    from planner.model.place import Problem
    from tests.conftest import ShowFolder
    from tests.estimate.conftest import OneShot


def estimate_of(one_shot: OneShot, element: str = "HL010.town", **facts: str) -> Estimate:
    one_shot.write(**facts)
    show = one_shot.load()
    graph, _problems = build_graph(show)
    return estimate_show(show, graph, Registry()).by_element[element]


def found(estimate: Estimate, code: str) -> Problem:
    mine = [each for each in estimate.problems if each.code == code]
    assert len(mine) == 1, [each.code for each in estimate.problems]
    return mine[0]


def codes(estimate: Estimate) -> set[str]:
    return {each.code for each in estimate.problems}


def number(estimate: Estimate, name: str) -> float:
    quantity = estimate.quantities[name]
    assert quantity.reason, f"{name} stands without a reason"
    return quantity.value


def test_an_element_that_states_nothing_of_them_keeps_its_estimate(one_shot: OneShot) -> None:
    plain = estimate_of(one_shot)
    assert not [name for name in plain.quantities if name.startswith(("roll added", "drop by"))]


RODS = (
    "rods: [{name: head, attach: [0 m, 0 m, 0 m], toward: [0 m, 0.5 m, 0 m]},"
    " {name: wing, attach: [0 m, 0 m, 0 m], toward: [-0.5 m, -0.1 m, 0 m]}]"
)
FIGURE = "bird: {kind: puppet, build: hill_town, nearest: 40 m, action: driven, "


def test_a_camera_rolled_adds_its_roll_to_the_program(one_shot: OneShot) -> None:
    of = estimate_of(one_shot, town="turned: {by: camera, angle: 30 deg, hangs: [cloth]}")
    assert number(of, "roll added to the program") == -30
    assert "hangs-wrong" not in codes(of)  # what hangs follows gravity, and so does the picture


def test_cloth_on_a_set_rolled_by_thirty_degrees_hangs_thirty_degrees_wrong(
    one_shot: OneShot,
) -> None:
    of = estimate_of(one_shot, town="turned: {by: set, angle: 30 deg, hangs: [cloth, hair]}")
    assert number(of, "roll added to the program") == 0
    assert "cloth and hair: hanging 30 deg off" in found(of, "hangs-wrong").message


def test_rods_hang_or_push_by_where_their_hands_are_once_it_is_turned(one_shot: OneShot) -> None:
    # upright: the hand on the head is above what it holds, that on the wing 0.1 m below it.
    # turned 90 deg clockwise: up becomes right (the head rod is level: neither above), and what
    # pointed left points up: the wing's hand rises 0.5 m over what it holds
    upright = estimate_of(
        one_shot, "HL010.bird", more=f"{FIGURE}turned: {{by: camera, angle: 90 deg}}, {RODS}}}\n"
    )
    assert (number(upright, "rods that hang"), number(upright, "rods that push")) == (1, 1)
    assert "head" in upright.quantities["rods that hang"].reason
    turned = estimate_of(
        one_shot, "HL010.bird", more=f"{FIGURE}turned: {{by: set, angle: 91 deg}}, {RODS}}}\n"
    )
    assert "wing" in turned.quantities["rods that hang"].reason
    assert (number(turned, "rods that hang"), number(turned, "rods that push")) == (1, 1)


def test_a_support_between_subject_and_lens_is_told(one_shot: OneShot) -> None:
    of = estimate_of(one_shot, town="turned: {by: set, angle: 90 deg, support: camera_side}")
    assert "held from the camera's side" in found(of, "support-on-camera-side").message


def test_a_fall_of_twenty_metres_takes_48_frames(one_shot: OneShot) -> None:
    # square root of (2 x 19.6133 / 9.80665) = 2 s = 48 frames at 24; half of them fall a quarter:
    # 19.6133 / 4 / 24 = 204.3 mm on a 1/24 model; let go it wants 24 x sqrt 24 = 117.6 fps
    of = estimate_of(one_shot, town="falls: {height: 19.6133 m}")
    assert number(of, "frames of the fall") == pytest.approx(48)
    assert number(of, "drop by frame 24 of the fall") == pytest.approx(204.305, abs=0.01)
    assert number(of, "rate of the fall") == pytest.approx(117.576, abs=0.001)


def test_a_fall_let_down_over_72_frames_floats(one_shot: OneShot) -> None:
    of = estimate_of(one_shot, town="falls: {height: 19.6133 m, driven: true, frames: 1-72}")
    problem = found(of, "fall-slower-than-gravity")
    assert "72 frames (1-72)" in problem.message
    assert "in 48.0" in problem.message
    quick = estimate_of(one_shot, town="falls: {height: 19.6133 m, driven: true, frames: 1-24}")
    assert "thrown down" in found(quick, "fall-quicker-than-gravity").message
    right = estimate_of(one_shot, town="falls: {height: 19.6133 m, driven: true, frames: 1-49}")
    assert not {each for each in codes(right) if each.startswith("fall-")}


def test_a_path_is_brought_down_to_the_model(show: ShowFolder, one_shot: OneShot) -> None:
    # 24 m east and 7 m up, straight: 25 m; at 1/24 it is 1 m and 0.2917 m, 1.0417 m in all,
    # from a mark at 4.8 m / 24 = 200 mm
    show.write("moves/walk.csv", "frame,east [m],up [m]\n1,4.8,0\n2,16.8,3.5\n3,28.8,7\n")
    of = estimate_of(one_shot, town="path: walk, reach: 1.05 m")
    assert number(of, "start mark of the path, east") == pytest.approx(200)
    assert number(of, "travel of the path, up") == pytest.approx(291.667, abs=0.001)
    assert number(of, "length of the path") == pytest.approx(1041.667, abs=0.001)
    assert "path-past-reach" not in codes(of)


def test_a_path_past_the_reach_of_rods_says_which_scale_fits(
    show: ShowFolder, one_shot: OneShot
) -> None:
    # 25 m at 1/24 is 1.042 m; rods that reach 0.8 m want 1:(25 / 0.8) = 1:31.25, rounded up
    show.write("moves/walk.csv", "frame,east [m],up [m]\n1,4.8,0\n2,16.8,3.5\n3,28.8,7\n")
    problem = found(estimate_of(one_shot, town="path: walk, reach: 0.8 m"), "path-past-reach")
    assert "1.04 m" in problem.message
    assert "1:31.3" in problem.remedy


MOVE = "crane: {kind: camera_move, origin: designed, revision: c, travel: 1 m}\n"


def test_passes_of_two_revisions_do_not_lie_over_one_another(one_shot: OneShot) -> None:
    log = "pass_log: [{name: beauty, program: b}, {name: matte, program: c, rezeroed: true}]"
    of = estimate_of(one_shot, town=f"move_from: crane, {log}", more=MOVE)
    assert number(of, "programs its passes ran on") == 2
    assert "beauty on b, matte on c" in found(of, "passes-on-other-programs").message
    assert "before matte" in found(of, "rezeroed-between-passes").message


def test_passes_of_an_old_revision_are_told(one_shot: OneShot) -> None:
    log = "pass_log: [{name: beauty, program: b}, {name: matte, program: b}]"
    of = estimate_of(one_shot, town=f"move_from: crane, {log}", more=MOVE)
    assert "ran on b and HL010.crane is c now" in found(of, "passes-on-other-programs").message


def test_an_angle_divided_by_the_scale_is_taken_for_a_mistake(one_shot: OneShot) -> None:
    # a tilt of -12 deg over 24 is -0.5 deg
    camera = "lens: prime_35, tilt: -12 deg"
    of = estimate_of(one_shot, camera=camera, town="camera_place: {tilt: -0.5 deg}")
    problem = found(of, "angle-scaled")
    assert "-0.5 deg, which is -12 deg / 24" in problem.message
    assert "set the tilt to -12 deg" in problem.remedy
    right = estimate_of(one_shot, camera=camera, town="camera_place: {tilt: -12 deg}")
    assert "angle-scaled" not in codes(right)


RIG = """\
rigs:
  rail:
    axes: {track: {travel: 3 m, speed: 1 m/s}}
    pupil_offset: 10 mm
    tail: 2.4 m
"""


def test_a_head_that_cannot_scale_the_pupil_slides_the_nearest_subject(
    show: ShowFolder, one_shot: OneShot
) -> None:
    # recorded 24 mm, at 1/24 1 mm; the rig has 10 mm: 9 mm off. Over a sweep of 30 deg:
    # 2 x 9 x sin 15 = 4.658 mm of travel, at 40 m / 24 = 1666.7 mm: 2879.64 x 4.658 / 1666.7 = 8.05
    old = "stages:\n  north: {width: 18 m"
    show.replace("resources.yaml", old, f"{RIG}{old}")
    crane = "crane: {kind: camera_move, origin: designed, travel: 1 m, pupil_error: 24 mm}\n"
    of = estimate_of(one_shot, town="move_from: crane, rig: rail", more=crane)
    assert number(of, "pupil off its place at scale") == pytest.approx(9)
    assert number(of, "slide from the rig's pupil") == pytest.approx(8.05, abs=0.01)
    assert "9.0 mm off" in found(of, "pupil-not-to-scale").message


def test_a_tail_longer_than_the_floor_behind_it_strikes(
    show: ShowFolder, one_shot: OneShot
) -> None:
    old = "stages:\n  north: {width: 18 m"
    show.replace("resources.yaml", old, f"{RIG}{old}")
    of = estimate_of(one_shot, town="rig: rail, room_behind: 2.1 m")
    assert number(of, "room behind rail to spare") == pytest.approx(-300)
    assert "300 mm too little" in found(of, "tail-strikes").message
    assert "tail-strikes" not in codes(estimate_of(one_shot, town="rig: rail, room_behind: 3 m"))


def test_a_recording_that_counts_the_other_way_is_told(show: ShowFolder, one_shot: OneShot) -> None:
    old = "stages:\n  north: {width: 18 m"
    signed = RIG.replace("speed: 1 m/s", "speed: 1 m/s, sign: forward, zero: at the stop")
    show.replace("resources.yaml", old, f"{signed}    run_by: the rig's operator\n{old}")
    crane = "crane: {kind: camera_move, origin: recorded, travel: 1 m, signs: {track: back}}\n"
    of = estimate_of(one_shot, town="move_from: crane, rig: rail", more=crane)
    problem = found(of, "axis-sign-differs")
    assert "track (back against forward)" in problem.message
    assert "with the rig's operator" in problem.remedy
    same = crane.replace("back", "forward")
    right = estimate_of(one_shot, town="move_from: crane, rig: rail", more=same)
    assert "axis-sign-differs" not in codes(right)


def test_a_track_recorded_in_degrees_cannot_be_compared(
    show: ShowFolder, one_shot: OneShot
) -> None:
    old = "stages:\n  north: {width: 18 m"
    show.replace("resources.yaml", old, f"{RIG}{old}")
    show.write("moves/wheel.csv", "frame,track [deg]\n1,0\n2,10\n3,20\n")
    wheel = "wheel: {kind: camera_move, origin: recorded, data: wheel}\n"
    of = estimate_of(one_shot, town="move_from: wheel, rig: rail", more=wheel)
    assert "track of wheel is recorded in degrees" in found(of, "axis-unit-unlike").message


def test_heads_that_the_rig_would_pass_through_are_told(
    show: ShowFolder, one_shot: OneShot
) -> None:
    # 48 m up in the picture is 2 m at 1/24; 0.35 m hang below the lens: 1.65 m, heads reach 1.8 m
    old = "stages:\n  north: {width: 18 m"
    show.replace("resources.yaml", old, f"{RIG}    below_lens: 0.35 m\n{old}")
    over = "rig: rail, camera_height: 48 m, heads_below: "
    of = estimate_of(one_shot, town=f"{over}1.8 m")
    assert number(of, "clear over heads under rail") == pytest.approx(-150)
    assert "down to 1.65 m and heads reach 1.80 m" in found(of, "rig-passes-through-heads").message
    assert "rig-passes-through-heads" not in codes(estimate_of(one_shot, town=f"{over}1.6 m"))


def test_a_hand_beside_the_mark_is_in_the_picture_and_one_past_the_edge_is_not(
    one_shot: OneShot,
) -> None:
    # the mark is 40 m / 24 = 1.667 m off; half the frame is 1024 / 2879.64 x 1.667 = 0.593 m
    at = "stations: [{who: head rod, at: [0.58 m, 0 m, 0 m]}, {who: wing, at: [0.60 m, 0 m, 0 m]}]"
    of = estimate_of(one_shot, town=at)
    assert number(of, "frames that show head rod") == 1
    assert number(of, "frames that show wing") == 0
    assert "head rod is in the picture" in found(of, "station-in-frame").message


def test_a_pan_brings_a_hand_into_the_picture_on_some_frames(
    show: ShowFolder, one_shot: OneShot
) -> None:
    # 0.60 m at 1.667 m lies 19.8 deg to the right and the frame ends at 19.57 deg: panned right
    # by 1 deg and more, frames 2 and 3 show it
    show.write("moves/turn.csv", "frame,pan [deg]\n1,0\n2,1\n3,2\n")
    pan = "pan: {kind: camera_move, origin: designed, data: turn}\n"
    at = "move_from: pan, stations: [{who: wing, at: [0.60 m, 0 m, 0 m]}]"
    of = estimate_of(one_shot, town=at, more=pan)
    assert number(of, "frames that show wing") == 2
    assert "on 2 frames, 2 to 3" in found(of, "station-in-frame").message


def test_the_hand_on_a_rod_counts_once_stations_are_laid_out(one_shot: OneShot) -> None:
    # half the frame's height is 768 / 2879.64 x 1.667 = 0.444 m: the head's hand, 0.5 m up, is
    # past it, and the wing's, 0.5 m to the left, is not past 0.593 m
    more = f"{FIGURE}stations: [{{who: wing}}], {RODS}}}\n"
    of = estimate_of(one_shot, "HL010.bird", more=more)
    assert number(of, "frames that show the hand on head") == 0
    assert any(
        each.code == "hand-in-frame" and "the hand on wing" in each.message for each in of.problems
    )


def test_a_station_on_a_side_that_is_not_free_is_told(one_shot: OneShot) -> None:
    stations = "free_sides: [left, back], stations: [{who: wing, side: right}]"
    ledge = (
        "ledge: {kind: set_piece, sort: shapes_only,"
        " fixtures: [{name: sill, plane_of: the sill, measured: true, blocks: right}]}\n"
    )
    of = estimate_of(one_shot, town=stations, more=ledge)
    assert "free from left and back only" in found(of, "station-not-free").message
    assert "where the fixture sill stands" in found(of, "fixture-blocks-station").message


def test_two_handlers_at_one_place_on_one_frame_are_told(one_shot: OneShot) -> None:
    cues = (
        "cues: [{frames: 1-20, who: ann, what: lift, at: pit},"
        " {frames: 16-30, who: ben, what: turn, at: pit},"
        " {frames: 20-40, who: ann, what: door, at: left wall}]"
    )
    of = estimate_of(one_shot, town=cues)
    assert (number(of, "cues"), number(of, "people with cues")) == (3, 2)
    assert number(of, "clashes of cues") == 2
    assert "both at pit on 16-20: 5 frames" in found(of, "two-in-one-place").message
    assert "ann is at pit (lift) and at left wall" in found(of, "one-in-two-places").message


def test_the_last_arrival_and_the_line_up_give_the_first_day(one_shot: OneShot) -> None:
    # working days of 10 h: 12 h of line-up after 10 March take until the 11th
    held = (
        "line_up: 12 h, custody: [{what: negative, with: the courier, copies: 1, sent: 2027-03-08,"
        " arrives: 2027-03-10}, {what: drawings, with: the office, arrives: 2027-03-09}]"
    )
    of = estimate_of(one_shot, town=held)
    assert "2027-03-11" in of.quantities["first day to set up"].reason
    assert "from 2027-03-08 until 2027-03-10" in found(of, "only-copy-in-transit").message


def test_a_set_up_wrapped_with_checks_open_is_told(show: ShowFolder, one_shot: OneShot) -> None:
    # of everything three checks are asked; one is ticked and one of the show's own comes on top
    show.replace(
        "show.yaml",
        "overhead: 12 %",
        "overhead: 12 %\nchecks: [{of: miniature, ask: dust off the lens, since: HL004}]",
    )
    ticked = "checked: ['measure sheet: lens height'], wrapped: true"
    of = estimate_of(one_shot, town=ticked)
    assert (number(of, "checks before strike"), number(of, "checks still open")) == (4, 3)
    assert "3 of 4 checks are open" in found(of, "wrapped-with-checks-open").message


def test_dropping_every_other_frame_of_a_live_plate_doubles_its_speed(one_shot: OneShot) -> None:
    # 96 + 16 frames kept of 224 shot at 24 fps: 9.33 s of action in 4.67 s
    of = estimate_of(one_shot, "HL010.sky", sky="conform: {keep_every: 2}")
    assert number(of, "time of the action") == pytest.approx(224 / 24)
    assert number(of, "time on the screen") == pytest.approx(112 / 24)
    assert number(of, "speed on the screen") == pytest.approx(2)
    problem = found(of, "conform-changes-speed")
    assert "2 times as fast" in problem.message
    assert "shoot at 48 fps" in problem.remedy


def test_a_conform_that_brings_back_the_speed_meant_is_sound(one_shot: OneShot) -> None:
    of = estimate_of(one_shot, "HL010.sky", sky="rate: 48 fps, conform: {keep_every: 2}")
    assert number(of, "speed on the screen") == pytest.approx(1)
    assert "conform-changes-speed" not in codes(of)


def test_a_pass_shorter_than_the_camera_holds_steady_is_told(
    show: ShowFolder, one_shot: OneShot
) -> None:
    # 112 frames and 4 s of rolling at 24 fps run 8.67 s
    show.replace("resources.yaml", "{top_rate: 120 fps}", "{top_rate: 120 fps, shortest_take: 9 s}")
    of = estimate_of(one_shot, "HL010.sky", sky="camera: cam")
    problem = found(of, "take-too-short")
    assert "runs 8.7 s" in problem.message
    assert "roll 216 frames at 24 fps" in problem.remedy
