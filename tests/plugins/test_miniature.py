"""Miniatures: rate, room, lens, light, rig and what goes wrong."""

from __future__ import annotations

import math

import pytest

from planner.kinds.testing import check_estimate, check_kind, numbers_stated
from planner.model.facts import FrameRange
from planner.model.place import Severity
from planner.model.show import Move, MoveAxis
from planner_plugins.miniature import Miniature

M = 1000.0  # mm in a metre


@pytest.fixture
def shed(make, quantity):
    """A model of a dam at 1/16 on a 14 x 18 x 5.5 m stage, with everything stated."""

    def build(facts=None, **changes):
        length = {"width": quantity(32 * M, "mm"), "height": quantity(16 * M, "mm")}
        stated = {
            "build": "dam",
            "action": "gravity",
            "event": quantity(4, "s"),
            "extent": length,
            "camera": "quick",
            "stage": "north",
            "light": quantity(20000, "lx"),
            "takes": 2,
        }
        stated.update(facts or {})
        resources = {
            "north": {
                "sort": "stage",
                "width": quantity(14 * M, "mm"),
                "depth": quantity(18 * M, "mm"),
                "height": quantity(5.5 * M, "mm"),
            },
            "quick": {
                "sort": "camera",
                "top_rate": quantity(120, "fps"),
                "magazine": quantity(400 * 304.8, "mm"),
            },
        }
        resources.update(changes.pop("resources", {}))
        builds = changes.pop(
            "builds", {"dam": {"makes": "miniature", "scale": quantity(16, "1:N")}}
        )
        camera = {
            "focal_length": quantity(35, "mm"),
            "exposure_index": quantity(500),
            "format": "full-aperture-35",
            "stop": quantity(4, "f"),
        }
        camera.update(changes.pop("shot_camera", {}))
        return make(
            "miniature", stated, shot_camera=camera, builds=builds, resources=resources, **changes
        )

    return build


def estimate(context):
    return Miniature().estimate(context)


def bounds_of(found, name):
    return [each for each in found.bounds if each.limit.name == name]


def codes(found):
    return {each.code for each in found.problems}


def test_it_keeps_to_the_door(shed, make) -> None:
    check_kind(
        Miniature(),
        [shed(), shed({"action": "still"}), shed(cut=None), make("miniature", {}), shed(builds={})],
    )


def test_a_sixteenth_falls_at_four_times_the_rate(shed) -> None:
    # 24 x sqrt(16) = 96 fps; 4 s of story take 4 / sqrt(16) = 1 s on the stage.
    found = estimate(shed())
    assert found.quantities["rate"].value == pytest.approx(96)
    assert found.quantities["event on the stage"].value == pytest.approx(1)


def test_a_rate_past_the_camera_is_an_error_with_the_scale_that_would_do(
    shed, quantity, finding
) -> None:
    # (72 / 24) squared = 9.
    slow = {"quick": {"sort": "camera", "top_rate": quantity(72, "fps")}}
    found = estimate(shed(resources=slow))
    told = finding(found, "rate-over-camera")
    assert told.severity is Severity.ERROR
    assert "96 fps" in told.message
    assert "72 fps" in told.message
    assert "1:9 or larger" in told.remedy
    assert bounds_of(found, "top rate of the camera")[0].limit.value == pytest.approx(9)


def test_a_stage_bounds_the_scale_by_its_tightest_side(shed, quantity, finding) -> None:
    # 120 m wide in 18 m (turned) = 6.67, in 14 m = 8.57; 150 m deep in 18 m = 8.33: either way
    # round the worse is 8.57 or 10.71, so 8.57.
    extent = {"width": quantity(120 * M, "mm"), "depth": quantity(150 * M, "mm")}
    builds = {"dam": {"makes": "miniature", "scale": quantity(8, "1:N")}}
    found = estimate(shed({"extent": extent}, builds=builds))
    assert bounds_of(found, "room on the stage")[0].limit.value == pytest.approx(120 / 14)
    assert "1:9 or smaller" in finding(found, "stage-too-small").remedy


def test_a_long_narrow_set_is_turned_to_fit(shed, quantity) -> None:
    # 272 m wide and 16 m deep: 272 / 18 = 15.1 turned, 19.4 unturned; it is built at 16.
    extent = {"width": quantity(272 * M, "mm"), "depth": quantity(16 * M, "mm")}
    assert "stage-too-small" not in codes(estimate(shed({"extent": extent})))


def test_a_lens_cannot_sink_into_the_ground(shed, quantity, finding) -> None:
    # 1.6 m at 1/16 is 100 mm; the rig comes to 150 mm, so N is 1600 / 150 = 10.67 at most.
    rig = {"crane": {"sort": "rig", "lowest_lens": quantity(150, "mm"), "axes": {}}}
    facts = {"camera_height": quantity(1.6 * M, "mm"), "rig": "crane"}
    told = finding(estimate(shed(facts, resources=rig)), "lens-cannot-go-low-enough")
    assert "100 mm" in told.message
    assert "1:10.6 or larger" in told.remedy


def test_close_focus_counts_from_the_film(shed, quantity, finding) -> None:
    # 50 mm lens marked .6 m: m .1010, subject 545 mm before the lens (published table of the
    # trade's depth pages). 4 m at 1/16 is 250 mm.
    lens = {
        "fifty": {
            "sort": "lens",
            "focal_length": quantity(50, "mm"),
            "close_focus": quantity(600, "mm"),
        }
    }
    found = estimate(shed({"nearest": quantity(4 * M, "mm"), "lens": "fifty"}, resources=lens))
    told = finding(found, "inside-close-focus")
    assert "250 mm away" in told.message
    assert "545 mm" in told.message


def test_the_holding_stop_is_judged_and_the_matching_one_told(shed, quantity, finding) -> None:
    # 35 mm, c .025, 8 m to 25 m at 1/16: z .5 to 1.5625 m, u = 2/(1/.5 + 1/1.5625) = .7576 m,
    # N = 35^2 (2 - .64)/1000 / (2 x .025 x (1 - 35/757.6)) = 1.666 / .04769 = 34.93.
    # Matching: 4 x 16 = 64. Past f/22 by 2 log2(34.93/22) = 1.33 stops.
    holds = {"from": quantity(8 * M, "mm"), "to": quantity(25 * M, "mm")}
    found = estimate(shed({"holds": holds}, shot_camera={"circle_of_confusion": quantity(0.025)}))
    assert found.quantities["holding stop"].value == pytest.approx(34.93, abs=0.02)
    assert found.quantities["matching stop"].value == pytest.approx(64)
    told = finding(found, "matching-stop-past-lens")
    assert "f/34.9" in told.message
    assert "f/64" in told.message
    assert "1.3 stops" in told.message


def test_depth_and_light_bound_the_scale_as_in_the_worked_window(shed, quantity) -> None:
    # Full aperture, c .025, f 35, hold 12 to 40 m, 2000 fc, EI 500, 180 degrees at 24 sqrt N:
    # f/22 gives 14.96, the light 9.95 (derived, found also by a forward scan).
    facts = {
        "holds": {"from": quantity(12 * M, "mm"), "to": quantity(40 * M, "mm")},
        "light": quantity(2000 * 10.7639, "lx"),
    }
    found = estimate(shed(facts, shot_camera={"circle_of_confusion": quantity(0.025)}))
    limits = sorted(each.limit.value for each in found.bounds if "holding" in each.limit.name)
    assert limits == pytest.approx([9.95, 14.96], abs=0.01)


def test_short_light_is_told_in_stops_and_lux(shed, quantity, finding) -> None:
    # f/8 is T8.8; e = 25 x 8.8^2 / (1000/10.7639 fc x 500) = 1936 / 46452 = .04168 s;
    # a frame at 96 fps, 180 degrees has 1/192 s: log2(.04168 x 192) = 3.00 stops; 8 x 1000 lx.
    found = estimate(shed({"light": quantity(1000, "lx"), "stop": quantity(8, "f")}))
    told = finding(found, "light-short")
    assert "3.0 stops" in told.message
    assert "(8,002 lx)" in told.remedy


def test_a_still_model_takes_as_long_as_the_light_asks(shed, quantity) -> None:
    # 200 fc, EI 100, T16: e = 25 x 256 / 20000 = .32 s; at 180 degrees a frame takes .64 s.
    facts = {
        "action": "still",
        "light": quantity(200 * 10.7639, "lx"),
        "stop": quantity(16, "T"),
    }
    found = estimate(shed(facts, shot_camera={"exposure_index": quantity(100)}))
    assert found.quantities["exposure of a frame"].value == pytest.approx(0.32)
    assert found.quantities["rate"].value == pytest.approx(1 / 0.64)
    # 100 frames + 2 x 8 handles + 40 run frames = 156, at .64 s: 99.84 s.
    assert found.quantities["pass time"].value == pytest.approx(99.84)


def test_film_is_counted_by_the_foot(shed) -> None:
    # (100 + 16 + 4 s x 96) / 16 = 31.25 ft a pass, two takes: 62.5 ft.
    found = estimate(shed())
    assert found.quantities["film of a pass"].value == pytest.approx(31.25)
    assert {each.rate: each.quantity.value for each in found.charges} == pytest.approx(
        {"negative": 62.5, "processing": 62.5, "print": 31.25, "scan": 116}
    )


def test_a_take_longer_than_the_magazine_is_told(shed, quantity, finding) -> None:
    small = {
        "quick": {
            "sort": "camera",
            "top_rate": quantity(120, "fps"),
            "magazine": quantity(30 * 304.8, "mm"),
        }
    }
    told = finding(estimate(shed(resources=small)), "take-longer-than-magazine")
    assert "31 ft" in told.message
    assert "30 ft" in told.message


@pytest.fixture
def moved(shed, quantity):
    """The dam with a 3 m track in 121 frames and a track of 2 m/s and 1 m/s2."""

    def build(scale, rate, limits=(2.0, 1.0), travel=None):
        ease = tuple(3000 * (3 * (i / 120) ** 2 - 2 * (i / 120) ** 3) for i in range(121))
        move = Move("push", 1001, {"track": MoveAxis("mm", ease)}, shed().element.place)
        track = {
            "speed": quantity(limits[0] * M, "mm/s"),
            "acceleration": quantity(limits[1] * M, "mm/s2"),
        }
        if travel:
            track["travel"] = quantity(travel * M, "mm")
        return shed(
            {"action": "driven", "move_from": "S010.cam", "rate": quantity(rate, "fps")},
            builds={"dam": {"makes": "miniature", "scale": quantity(scale, "1:N")}},
            resources={"dolly": {"sort": "rig", "axes": {"track": track}}},
            elements={"S010.cam": ("camera_move", {"origin": "recorded", "data": "push"})},
            moves={"push": move},
        )

    return build


def test_the_rig_follows_up_to_the_rate_its_acceleration_allows(moved, finding) -> None:
    # max|d2x| = .00122917 m: sqrt(1 / .00122917) = 28.52 fps; velocity would allow 53.34.
    found = estimate(moved(1, 48))
    assert found.quantities["fastest rate of the rig"].value == pytest.approx(28.52, abs=0.01)
    told = finding(found, "rig-too-slow")
    assert "track must do" in told.message
    assert "at frame 1002" in told.message
    assert "28.5 fps or slower" in told.message
    assert "rig-too-slow" not in codes(estimate(moved(1, 28)))


def test_a_tenth_of_the_move_is_root_ten_faster_when_acceleration_binds(moved) -> None:
    found = estimate(moved(10, 24))
    expected = 28.5229 * math.sqrt(10)
    assert found.quantities["fastest rate of the rig"].value == pytest.approx(expected, abs=0.01)


def test_a_rig_speed_bounds_the_scale(moved) -> None:
    # At a fixed 48 fps acceleration falls as 1/N: N = 48^2 x .00122917 / 1 = 2.832.
    found = estimate(moved(1, 48))
    assert bounds_of(found, "speed of the rig")[0].limit.value == pytest.approx(2.832, abs=0.001)


def test_track_short_of_the_move_is_told(moved, finding) -> None:
    # 3 m at 1/2 is 1.5 m, on 1.2 m of track. The ease starts at 3000 x 2.07e-4 = .62 mm a frame
    # at 24 fps: 7.5 mm/s at 1/2, a run-up of 28 um: nothing to speak of.
    told = finding(estimate(moved(2, 24, travel=1.2)), "rig-too-short")
    assert "1.5 m" in told.message
    assert "1.2 m" in told.message


def test_a_screen_smaller_than_the_field_is_short_by_so_much(shed, quantity, finding) -> None:
    # 35 mm on 24.892 mm at 7 m: 24.892 x (7 - .035) / 35 = 4.953 m; the screen is 4.5 m.
    facts = {"screen": "blue", "screen_distance": quantity(7 * M, "mm")}
    blue = {
        "blue": {"sort": "screen", "width": quantity(4500, "mm"), "height": quantity(4000, "mm")}
    }
    told = finding(estimate(shed(facts, resources=blue)), "screen-too-small")
    assert "4.95 m" in told.message
    assert "0.45 m short" in told.message
    assert "39 mm or longer" in told.remedy  # 35 x 4.953 / 4.5 = 38.5


def test_flame_wants_a_stage_that_allows_it_and_looks_small(shed, quantity, finding) -> None:
    stage = {"north": {"sort": "stage", "width": quantity(14 * M, "mm"), "forbids": ("flame",)}}
    found = estimate(shed({"hazards": ("flame",)}, resources=stage))
    assert finding(found, "stage-forbids").severity is Severity.ERROR
    assert finding(found, "flame-looks-small").severity is Severity.WARNING


def test_drops_look_small_beyond_an_eighth(shed, quantity) -> None:
    eighth = {"dam": {"makes": "miniature", "scale": quantity(8, "1:N")}}
    assert "drops-look-small" in codes(estimate(shed({"hazards": ("water",)})))
    assert "drops-look-small" not in codes(estimate(shed({"hazards": ("water",)}, builds=eighth)))


def test_one_copy_does_not_last_two_takes(shed, quantity, finding) -> None:
    told = finding(estimate(shed({"one_off": True})), "one-off-without-spare")
    assert "2 takes" in told.message
    two = {"dam": {"makes": "miniature", "scale": quantity(16, "1:N"), "copies": quantity(2)}}
    assert "one-off-without-spare" not in codes(estimate(shed({"one_off": True}, builds=two)))


def test_no_scale_at_all_is_an_error_and_the_plan_goes_on(shed) -> None:
    found = estimate(shed(builds={"dam": {"makes": "miniature"}}))
    assert "scale-missing" in codes(found)
    assert found.work
    assert "scale" in {each.name for each in found.missing}


def test_a_stated_rate_unlike_gravity_is_told(shed, quantity, finding) -> None:
    told = finding(estimate(shed({"rate": quantity(48, "fps")})), "rate-not-gravity")
    assert "96 fps" in told.message
    assert "small and quick" in told.message


def test_a_foreground_model_hangs_at_a_scaled_distance(shed, quantity, finding) -> None:
    # 24 m at 1/16: 1.5 m.
    facts = {"sort": "hanging_foreground", "nearest": quantity(24 * M, "mm")}
    found = estimate(shed(facts))
    assert found.quantities["hanging distance"].value == pytest.approx(1500)
    assert "1.50 m" in finding(found, "nodal-head").message


@pytest.mark.parametrize(
    ("waits", "report", "is_told"),
    [
        ({}, {}, True),
        ({}, {"report": {"taken": True}}, False),
        ({"waits_for": "S010.bank"}, {}, False),
        ({"move_from": "S010.path"}, {}, False),
    ],
)
def test_a_model_hung_before_a_plate_waits_for_it(
    shed, quantity, waits, report, *, is_told: bool
) -> None:
    others = {
        "S010.bank": ("plate", {"sort": "live", **report}),
        "S010.path": ("camera_move", {"of": "S010.bank"}),
    }
    hung = {"sort": "hanging_foreground", "nearest": quantity(24 * M, "mm")}
    facts = {**hung, "in_front_of": "S010.bank", **waits}
    found = estimate(shed(facts, elements=others))
    assert ("hung-before-its-plate" in codes(found)) is is_told
    # On a table it stands where the build has it, whatever the plate.
    table = estimate(shed({**facts, "sort": "table"}, elements=others))
    assert "hung-before-its-plate" not in codes(table)


def test_a_mark_too_coarse_for_the_distance_shows(shed, quantity, finding) -> None:
    # f_px = 35 x 2048 / 24.892 = 2879.6; .3 mm at 1/16 and 5 m: 2879.6 x .3 x 16 / 5000 = 2.76 px;
    # 2 px x 5000 / (2879.6 x .3) = 11.58.
    found = estimate(shed({"nearest": quantity(5 * M, "mm")}))
    assert "2.8 px" in finding(found, "detail-shows").message
    assert bounds_of(found, "detail")[0].limit.value == pytest.approx(11.58, abs=0.01)


def test_work_follows_in_order_and_waits_for_the_lab(shed) -> None:
    found = estimate(shed({"hazards": ("smoke",)}))
    order = {each.name: each for each in found.work}
    assert order["photograph"].after == ("rig the effect",)
    assert order["photograph"].wait_hours == 8
    assert {need.sort for need in order["photograph"].needs} == {"stage", "camera", "build"}
    # Two takes of 5.208 s ((116 + 384) / 96) and one reset of 3600 + 600 s: 1.1696 h; wedge 1 h.
    assert order["photograph"].hours.likely == pytest.approx(1 + (2 * 500 / 96 + 4200) / 3600)


def test_frames_out_of_the_cut_are_not_shot(shed) -> None:
    found = estimate(shed({"in_frame": FrameRange(81, 140)}))
    # frames 81 to 100 are seen: 20, and two handles of 8.
    assert found.quantities["frames"].value == 36


def test_diffraction_is_told_before_the_lens_runs_out(shed, quantity, finding) -> None:
    # 8 to 25 m at 1/9, 35 mm, c .025: f/19.2 (derived, worked window); the disc is .025 mm wide
    # at f/18.6 before the close-up factor.
    holds = {"from": quantity(8 * M, "mm"), "to": quantity(25 * M, "mm")}
    found = estimate(
        shed(
            {"holds": holds},
            builds={"dam": {"makes": "miniature", "scale": quantity(9, "1:N")}},
            shot_camera={"circle_of_confusion": quantity(0.025)},
        )
    )
    assert "f/19.2" in finding(found, "diffraction-softens").message
    assert "matching-stop-past-lens" not in codes(found)


def test_a_model_nearer_than_the_focal_length_is_a_finding(shed, quantity, finding) -> None:
    # .5 m at 1/16 is 31 mm before a 35 mm lens.
    holds = {"from": quantity(500, "mm"), "to": quantity(550, "mm")}
    told = finding(estimate(shed({"holds": holds})), "nothing-sharp")
    assert "35 mm lens forms no image" in told.message


def test_no_light_is_a_finding_and_not_endless(shed, quantity, finding) -> None:
    told = finding(estimate(shed({"light": quantity(0, "lx")})), "no-light")
    assert "0 lx" in told.message


def test_an_exposure_nobody_waits_for_is_short_of_light(shed, quantity, finding) -> None:
    # e = 25 x 22^2 / ((100 / 10.7639) x 100) with T22: 13.02 s against 4 s: 1.7 stops.
    facts = {"action": "still", "light": quantity(100, "lx"), "stop": quantity(22, "T")}
    told = finding(
        estimate(shed(facts, shot_camera={"exposure_index": quantity(100)})), "light-short"
    )
    assert "13 s" in told.message
    assert "1.7 stops" in told.message


def test_a_one_off_has_no_second_pass(shed, finding) -> None:
    found = estimate(shed({"one_off": True, "passes": ("beauty", "matte")}))
    assert "2 passes" in finding(found, "pass-after-destruction").message


def test_smoke_is_given_time_to_settle(shed, quantity) -> None:
    # 10 minutes of reset and 10 of settling.
    facts = {"passes": ("beauty", "smoke"), "reset": quantity(600, "s")}
    assert estimate(shed(facts)).quantities["reset"].value == 1200


def test_the_show_puts_its_own_rules_first(shed, quantity) -> None:
    own = {"rules": {"miniature.set_up": {"likely": quantity(12)}}}
    work = {each.name: each for each in estimate(shed(show_facts=own)).work}
    assert work["set up"].hours.likely == 12


@pytest.mark.parametrize(("name", "unit"), numbers_stated(Miniature()))
def test_nothing_at_all_is_no_fault_of_the_kind(shed, quantity, name, unit) -> None:
    context = shed({name: quantity(0, unit)})
    check_estimate(estimate(context), context)


def test_a_fall_runs_as_many_frames_at_any_scale(shed, quantity) -> None:
    # sqrt(2 x 19.6133 / 9.80665) = 2 s in the picture; at 1/16 0.5 s, at 96 fps 48 frames.
    gag = {"cue": quantity(20), "fall": quantity(19613.3, "mm"), "proven": True}
    found = estimate(shed({"gag": gag}))
    assert found.quantities["fall on the stage"].value == pytest.approx(0.5)
    assert found.quantities["fall on the screen"].value == pytest.approx(48)
    assert not {"cue-outside-handles", "gag-not-proven"} & codes(found)


def test_a_swing_has_the_period_of_its_length(shed, quantity) -> None:
    # 4 m: 2 pi sqrt(4 / 9.80665) = 4.0128 s in the picture, 1.0032 s at 1/16.
    gag = {"cue": quantity(1), "swing": quantity(4 * M, "mm"), "proven": True}
    found = estimate(shed({"gag": gag}))
    assert found.quantities["swing on the stage"].value == pytest.approx(1.0032, abs=1e-4)


def test_a_gag_that_ends_after_the_handles_is_cued_earlier(shed, quantity, finding) -> None:
    # Cut 1-100 and handles of 8: frames -7 to 108. Cued on 80, 48 frames run to 127; 61 at latest.
    gag = {"cue": quantity(80), "fall": quantity(19613.3, "mm")}
    told = finding(estimate(shed({"gag": gag})), "cue-outside-handles")
    assert "runs to frame 127" in told.message
    assert "between frames -7 and 61" in told.remedy


def test_a_gag_that_takes_no_time_is_cued_on_a_frame_that_is_photographed(
    shed, quantity, finding
) -> None:
    # Frames -7 to 108 are photographed: 108 is the last that a cue may fall on.
    last = shed({"gag": {"cue": quantity(108), "proven": True}})
    assert "cue-outside-handles" not in codes(estimate(last))
    past = finding(estimate(shed({"gag": {"cue": quantity(109)}})), "cue-outside-handles")
    assert "cued on frame 109" in past.message
    assert "between frames -7 and 108" in past.remedy


def test_an_event_that_nobody_calls_gravity_is_rigged_as_what_falls(shed) -> None:
    called, uncalled = (estimate(shed({"action": word})).work for word in ("gravity", ""))
    assert "rig the effect" in [each.name for each in called]
    assert [each.name for each in uncalled] == [each.name for each in called]


def test_a_gag_is_proven_or_has_a_test(shed, quantity, finding) -> None:
    gag = {"cue": quantity(20)}
    assert "shooting rate" in finding(estimate(shed({"gag": gag})), "gag-not-proven").remedy
    tried = shed({"gag": gag, "waits_for": "drop_test"}, elements={"drop_test": ("test", {})})
    assert "gag-not-proven" not in codes(estimate(tried))


def test_takes_in_a_day_go_by_the_reset(shed, quantity) -> None:
    # Frames 100 + 16, and 4 s x 96 of rolling: 500 at 96 fps, 5.208 s; + 3600 s: 9 in 10 h.
    found = estimate(shed({"gag": {"cue": quantity(20)}, "reset": quantity(3600, "s")}))
    assert found.quantities["takes in a day"].value == 9


def test_haze_is_cleared_and_settled_between_takes(shed, quantity) -> None:
    haze = {"level": "0.6 stop at 10 m", "settle": quantity(240, "s"), "clear": quantity(360, "s")}
    found = estimate(shed({"reset": quantity(100, "s"), "haze": haze}))
    assert found.quantities["reset"].value == 700  # 100 + 360 + 240
    assert "haze-not-logged" not in codes(found)


@pytest.mark.parametrize(("clear", "reset"), [(360, 700), (900, 1000)])
def test_the_time_by_rule_clears_smoke_as_well_as_settling_it(
    shed, quantity, clear: float, reset: float
) -> None:
    # The rule's 600 s are for both: 100 + 600, and 100 + 900 where clearing alone takes longer.
    haze = {"level": "0.6 stop at 10 m", "clear": quantity(clear, "s")}
    found = estimate(shed({"reset": quantity(100, "s"), "haze": haze}))
    assert found.quantities["reset"].value == reset
    assert "haze.settle" in [each.name for each in found.missing]


def test_haze_of_no_level_fans_and_screens_are_told(shed, quantity, finding) -> None:
    screen = {"blue": {"sort": "screen"}}
    facts = {"haze": {"fans": "on"}, "screen": "blue"}
    found = estimate(shed(facts, resources=screen))
    assert "meter" in finding(found, "haze-not-logged").remedy
    assert "switch them off" in finding(found, "fans-move-haze").remedy
    assert "before black" in finding(found, "smoke-before-screen").remedy
    apart = estimate(shed({**facts, "passes": ("beauty", "smoke")}, resources=screen))
    assert "smoke-before-screen" not in codes(apart)
