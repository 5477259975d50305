"""Paintings: size for the tightest framing, parallax, drying, and what goes wrong."""

from __future__ import annotations

from datetime import date

import pytest

from planner.kinds.testing import check_estimate, check_kind, numbers_stated
from planner.model.facts import FrameRange
from planner.model.place import Place, Severity
from planner.model.show import Move, MoveAxis
from planner_plugins.painting import Painting

M = 1000.0  # mm in a metre


@pytest.fixture
def valley(make, quantity):
    """A valley painted 1.6 m wide, pulled back three times, on an Academy frame at 40 lp/mm."""

    def build(facts=None, **changes):
        stated = {
            "width": quantity(1600, "mm"),
            "widest": quantity(1600, "mm"),
            "tightest": quantity(1600 / 3, "mm"),
            "finest_mark": quantity(0.3, "mm"),
            "resolution": quantity(40),
            "detail": "medium",
            "stage": "north",
            "camera": "rostrum",
            "colour_from": "S010.plate",
            "protection_copy": True,
            "takes": 2,
        }
        stated.update(facts or {})
        camera = {"format": "academy-35", "focal_length": quantity(35, "mm")}
        camera.update(changes.pop("shot_camera", {}))
        return make(
            "painting",
            stated,
            shot_camera=camera,
            resources={
                "north": {"sort": "stage", "width": quantity(14 * M, "mm")},
                "rostrum": {
                    "sort": "camera",
                    "top_rate": quantity(24, "fps"),
                    "stand_travel": quantity(2 * M, "mm"),
                },
                "loose": {"sort": "camera", "top_rate": quantity(24, "fps")},
            },
            elements={"S010.plate": ("plate", {}), **changes.pop("elements", {})},
            **changes,
        )

    return build


def estimate(context):
    return Painting().estimate(context)


def codes(found):
    return {each.code for each in found.problems}


def test_it_keeps_to_the_door(valley, make, quantity) -> None:
    contexts = [
        valley(),
        make("painting", {}),
        valley({"width": quantity(0, "mm")}),
        valley(cut=None),
    ]
    check_kind(Painting(), contexts)


def test_a_three_to_one_pull_back_asks_for_a_metre_and_a_half(valley) -> None:
    # 21.95 mm at 40 lp/mm: 1756 lines; x .3 mm = 526.8 mm at the tightest, x 3 = 1580 mm.
    found = estimate(valley())
    assert found.quantities["width needed"].value == pytest.approx(1580.4)
    assert codes(found) == set()


def test_a_board_too_small_for_its_tight_end_is_an_error_with_the_width(
    valley, quantity, finding
) -> None:
    # 400 mm over 1756 lines: .228 mm shows, .3 mm is painted; 526.8 mm x 4 = 2107 mm.
    told = finding(
        estimate(valley({"tightest": quantity(400, "mm")})), "painting-too-small-for-tight-end"
    )
    assert told.severity is Severity.ERROR
    assert "0.23 mm" in told.message
    assert "527 mm" in told.remedy
    assert "2107 mm" in told.remedy


def test_the_finest_mark_is_told_in_pixels(valley, quantity) -> None:
    # .3 mm of 400 mm x 2048 px = 1.536 px.
    found = estimate(valley({"tightest": quantity(400, "mm")}))
    assert found.quantities["finest mark on screen"].value == pytest.approx(1.536)


def test_a_board_narrower_than_its_widest_framing_ends(valley, quantity, finding) -> None:
    told = finding(estimate(valley({"width": quantity(1500, "mm")})), "painting-ends")
    assert "100 mm more" in told.remedy


def test_two_framings_and_no_move_are_told_with_how_far_the_camera_goes(
    valley, quantity, finding
) -> None:
    """Of a thin lens the distance is f (1 + width / frame width), so two widths are apart by
    f x (widest - tightest) / frame width: 35 x (1600 - 533.33) / 21.95 = 1701 mm."""
    loose = {"camera": "loose"}
    told = finding(estimate(valley(loose)), "framings-without-move")
    assert told.severity is Severity.WARNING
    assert "travels 1.7 m within 116 frames" in told.message  # 100 of the cut, 8 at each end
    assert "no rig is held for it, and its programming is not counted" in told.message
    one = valley({**loose, "tightest": quantity(1600, "mm")})
    assert "framings-without-move" not in codes(estimate(one))
    move = {"S010.move": ("camera_move", {})}
    moved = valley({**loose, "move_from": "S010.move"}, elements=move)
    assert "framings-without-move" not in codes(estimate(moved))


def test_framings_and_a_move_that_go_two_ways_are_told(valley, quantity, finding) -> None:
    """The framings want 35 x 1066.67 / 21.95 = 1700.8 mm. At 20 m the frame is 21.95 x
    (20,000 - 35) / 35 = 12,521 mm wide, 1:23.48 of the tightest; 2 m of approach are 85 mm there,
    for which the widest is 533.33 + 85.2 x 21.95 / 35 = 587 mm. 39.9 m of it would be 1700.8 mm."""
    near = {"nearest": quantity(20 * M, "mm")}
    told = finding(
        estimate(valley({**near, "approach": quantity(2 * M, "mm")})), "framings-against-move"
    )
    assert "goes 1.7 m toward the board, and its approach at 1:23.5 takes it 0.0852 m" in (
        told.message
    )
    assert "frame from 587 mm" in told.remedy
    agreed = valley({**near, "approach": quantity(-39.93 * M, "mm")})
    assert "framings-against-move" not in codes(estimate(agreed))
    unknown = valley({"approach": quantity(2 * M, "mm")})
    assert "framings-against-move" not in codes(estimate(unknown))


def test_framings_are_held_against_the_file_of_the_move(valley, quantity, finding) -> None:
    # On 24.89 mm of frame 20 m off: 24.89 x 19,965 / 35 = 14,198 mm, 1:26.62; 2 m are 75.1 mm.
    moved = repeating(quantity, track=(0.0, M, 2 * M), pan=(0.0, 0.0, 0.0))
    told = finding(estimate(valley(**moved)), "framings-against-move")
    assert "and S010.cam at 1:26.6 takes it 0.0751 m" in told.message
    # A move that only turns leaves the way to a stand, where there is one.
    turned = repeating(quantity, pan=(0.0, 5.0, 10.0))
    turned["facts"]["camera"] = "loose"
    told = finding(estimate(valley(**turned)), "framings-against-move")
    assert "takes it 0 m" in told.message
    turned["facts"]["camera"] = "rostrum"
    assert "framings-against-move" not in codes(estimate(valley(**turned)))


def test_a_camera_on_a_stand_that_goes_so_far_needs_no_rig(make, quantity) -> None:
    """From 1500 mm to 1000 mm across at 50 mm and 25 mm of frame: 50 x 500 / 24.89 = 1004 mm."""

    def found(stand: float):
        facts = {
            "width": quantity(1500, "mm"),
            "tightest": quantity(1000, "mm"),
            "camera": "process",
        }
        process = {"sort": "camera", "stand_travel": quantity(stand, "mm")}
        context = make(
            "painting",
            facts,
            shot_camera={"format": "full-aperture-35", "focal_length": quantity(50, "mm")},
            resources={"process": process},
        )
        return codes(estimate(context))

    assert "framings-without-move" in found(1003)
    assert "framings-without-move" not in found(1005)


def test_half_a_metre_of_travel_asks_for_twenty_nine_layers(valley, quantity, finding) -> None:
    # 35 mm on 24.892 mm and 2048 px: f_px 2879.64; x .5 x (1/20 - 1/100) = 57.59 px; / 2 -> 29.
    facts = {
        "travel": quantity(500, "mm"),
        "nearest": quantity(20 * M, "mm"),
        "farthest": quantity(100 * M, "mm"),
    }
    found = estimate(valley(facts, shot_camera={"format": "full-aperture-35"}))
    assert found.quantities["slide of near against far"].value == pytest.approx(57.6, abs=0.01)
    assert found.quantities["flat layers needed"].value == 29
    told = finding(found, "painting-shows-parallax")
    assert "57.6 px" in told.message
    assert "model" in told.remedy


def test_two_centimetres_of_drift_are_hidden_by_two_layers(valley, quantity) -> None:
    # 2879.64 x .02 x .04 = 2.30 px -> 2 layers.
    facts = {
        "travel": quantity(20, "mm"),
        "nearest": quantity(20 * M, "mm"),
        "farthest": quantity(100 * M, "mm"),
        "layers": 2,
    }
    found = estimate(valley(facts, shot_camera={"format": "full-aperture-35"}))
    assert found.quantities["flat layers needed"].value == 2
    assert "painting-shows-parallax" not in codes(found)


def test_hours_go_by_area_and_detail(valley) -> None:
    # 1.6 m x 1.6 x 16/21.95 = 1.8661 m2; 6 + 20 x 1.8661 + 8 = 51.32 h, then it dries.
    paint = next(each for each in estimate(valley()).work if each.name == "paint")
    assert paint.hours.likely == pytest.approx(51.32, abs=0.01)
    assert paint.wait_hours == 24


def test_drying_is_waited_for_before_the_camera(valley, quantity) -> None:
    work = {each.name: each for each in estimate(valley({"drying": quantity(40, "h")})).work}
    assert work["paint"].wait_hours == 40
    assert work["set up"].after == ("paint",)


def test_a_board_of_its_own_build_is_not_painted_twice(valley) -> None:
    found = estimate(valley({"build": "board"}, builds={"board": {"makes": "painting"}}))
    assert "paint" not in {each.name for each in found.work}


def test_an_only_copy_and_a_missing_reference_are_told(valley, finding) -> None:
    found = estimate(valley({"protection_copy": False, "colour_from": ()}))
    assert finding(found, "no-protection-copy").severity is Severity.WARNING
    assert finding(found, "no-colour-reference").severity is Severity.WARNING


def test_framings_the_wrong_way_round_are_told(valley, quantity, finding) -> None:
    told = finding(estimate(valley({"tightest": quantity(1700, "mm")})), "framings-crossed")
    assert "1700 mm" in told.message


@pytest.mark.parametrize(("name", "unit"), numbers_stated(Painting()))
def test_nothing_at_all_is_no_fault_of_the_kind(valley, quantity, name, unit) -> None:
    context = valley({name: quantity(0, unit)})
    check_estimate(estimate(context), context)


def test_zones_are_painted_at_their_own_detail(valley, quantity) -> None:
    # 1.8661 m2: a fifth fine, .3732 m2 x 45 = 16.79 h; the rest 1.4929 x 20 = 29.86 h; + 6 + 8.
    zone = {
        "name": "the gate",
        "share": quantity(0.2),
        "detail": "fine",
        "frames": FrameRange(40, 100),
    }
    found = estimate(valley({"zones": [zone]}))
    assert found.quantities["area of the gate"].value == pytest.approx(0.3732, abs=1e-4)
    paint = next(each for each in found.work if each.name == "paint")
    assert paint.hours.likely == pytest.approx(60.65, abs=0.01)


def test_action_that_a_recut_moved_out_of_the_fine_zone_is_told(valley, quantity, finding) -> None:
    # Frames 30 to 60 are looked at and 40 to 100 painted for: 30 to 39, ten frames, are not.
    zone = {
        "name": "the gate",
        "share": quantity(0.2),
        "detail": "fine",
        "frames": FrameRange(40, 100),
    }
    told = finding(
        estimate(valley({"zones": [zone], "action": FrameRange(30, 60)})), "action-outside-zone"
    )
    assert "10 of these frames, from 30 to 39" in told.message
    assert "action-outside-zone" not in codes(
        estimate(valley({"zones": [zone], "action": FrameRange(40, 60)}))
    )


def test_zones_are_not_more_than_the_board(valley, quantity, finding) -> None:
    zone = {"name": "all", "share": quantity(0.7), "detail": "fine"}
    told = finding(
        estimate(valley({"zones": [zone, {**zone, "name": "more"}]})), "zones-over-board"
    )
    assert "140 %" in told.message


def test_near_paint_does_not_outgrow_far_paint(valley, quantity, finding) -> None:
    # 1024 px x (20 / 18 - 1) = 113.78 px at 20 m; 1024 x (100 / 98 - 1) = 20.90 px; 92.9 px apart.
    facts = {
        "approach": quantity(2 * M, "mm"),
        "nearest": quantity(20 * M, "mm"),
        "farthest": quantity(100 * M, "mm"),
    }
    found = estimate(valley(facts))
    assert found.quantities["growth of near over far"].value == pytest.approx(92.88, abs=0.01)
    assert "92.9 px" in finding(found, "painting-shows-growth").message
    told = finding(
        estimate(valley({**facts, "approach": quantity(20 * M, "mm")})), "camera-reaches-painting"
    )
    assert "20 m" in told.message


def test_haze_cannot_move_among_flat_paint(valley, quantity, finding) -> None:
    told = finding(estimate(valley({"moving_haze": True})), "moving-haze-over-flat")
    assert "2 layers" in told.remedy
    layered = estimate(valley({"moving_haze": True, "layers": quantity(2)}))
    assert "moving-haze-over-flat" not in codes(layered)


def test_a_pan_needs_more_board_at_its_ends(valley, quantity, finding) -> None:
    # 21.95 mm behind 35 mm: half the view is 17.41 deg; half of 20 deg more, 27.41 deg:
    # 1600 mm x tan 27.41 / tan 17.41 = 1600 x .51863 / .31357 = 2646 mm.
    found = estimate(valley({"pan": quantity(20, "deg")}))
    needed = found.quantities["width the pan needs"].value
    assert needed == pytest.approx(2646, abs=3)
    assert "1,046 mm more" in finding(found, "painting-ends-in-pan").remedy
    wide = estimate(valley({"pan": quantity(20, "deg"), "width": quantity(2700, "mm")}))
    assert "painting-ends-in-pan" not in codes(wide)
    assert (
        "any flat board"
        in finding(estimate(valley({"pan": quantity(150, "deg")})), "painting-ends-in-pan").message
    )


def test_a_board_is_copied_before_it_is_altered(valley, finding) -> None:
    days = {"copied_on": date(2027, 2, 9), "altered_on": date(2027, 2, 5)}
    assert "by 2027-02-05" in finding(estimate(valley(days)), "altered-before-copy").remedy
    assert "altered-before-copy" not in codes(
        estimate(valley({**days, "copied_on": date(2027, 2, 4)}))
    )
    undated = estimate(valley({"altered_on": date(2027, 2, 5)}))
    assert "copied_on" in {each.name for each in undated.missing}


def test_light_is_lost_by_the_board_s_own_nearness(valley, quantity) -> None:
    lit = {"light": quantity(1076.391, "lx"), "stop": quantity(8, "T")}
    camera = {"exposure_index": quantity(200)}
    # 21.95 mm of frame over 533.33 mm of board: m = 0.041156, (1 + m)^2 = 1.084007.
    # 25 x 8^2 / (100 fc x 200) = 0.08 s, x 1.084007 = 0.0867205 s; 300 m of story are no matter.
    for stated in (lit, {**lit, "nearest": quantity(300 * M, "mm")}):
        found = estimate(valley(stated, shot_camera=camera)).quantities
        assert found["exposure of a frame"].value == pytest.approx(0.0867205, rel=1e-5)
    # Half of each frame the shutter is open: 0.5 / 0.0867205 = 5.766 fps.
    assert found["rate"].value == pytest.approx(5.766, abs=0.001)


def repeating(quantity, **axes):
    """What a painting states that repeats a move of three frames, 20 to 100 m deep."""
    path = {name: MoveAxis("deg" if name == "pan" else "mm", each) for name, each in axes.items()}
    return {
        "facts": {
            "move_from": "S010.cam",
            "nearest": quantity(20 * M, "mm"),
            "farthest": quantity(100 * M, "mm"),
        },
        "shot_camera": {"format": "full-aperture-35"},
        "elements": {
            "S010.cam": ("camera_move", {"data": "push", "travel": quantity(2 * M, "mm")})
        },
        "moves": {"push": Move("push", 1001, path, Place("moves/push.csv"))},
    }


def test_a_straight_push_slides_nothing_sideways_and_grows(valley, quantity) -> None:
    # 2 m ahead along the lens: 1024 px x (20 / 18 - 1) - 1024 x (100 / 98 - 1) = 92.88 px.
    found = estimate(valley(**repeating(quantity, track=(0.0, M, 2 * M), pan=(0.0, 0.0, 0.0))))
    assert found.quantities["travel across the axis"].value == pytest.approx(0)
    assert "painting-shows-parallax" not in codes(found)
    assert found.quantities["growth of near over far"].value == pytest.approx(92.88, abs=0.01)


def test_a_track_looked_across_is_a_slide(valley, quantity) -> None:
    # Panned 30 degrees off the track, 2 m of it is 2 sin 30 = 1 m across and 2 cos 30 = 1.732 m on;
    # 2879.64 px x 1 x (1/20 - 1/100) = 115.19 px.
    found = estimate(valley(**repeating(quantity, track=(0.0, M, 2 * M), pan=(30.0, 30.0, 30.0))))
    assert found.quantities["travel across the axis"].value == pytest.approx(M)
    assert found.quantities["travel along the axis"].value == pytest.approx(1732.05, abs=0.01)
    assert found.quantities["slide of near against far"].value == pytest.approx(115.19, abs=0.01)


def test_of_a_move_without_a_file_the_approach_is_no_slide(valley, quantity) -> None:
    told = repeating(quantity, track=(0.0, M))
    told["moves"] = {}
    told["facts"]["approach"] = quantity(1.6 * M, "mm")
    # 2 m in all, 1.6 m of it toward the board: root of (4 - 2.56) = 1.2 m across.
    found = estimate(valley(**told))
    assert found.quantities["travel across the axis"].value == pytest.approx(1200)


def test_lines_of_a_squeezed_frame_are_counted_on_the_film_and_say_so(valley) -> None:
    found = estimate(valley(shot_camera={"format": "scope-239"})).quantities
    lines = found["lines across the frame"]
    # 2 x 20.95 mm x 40 lp/mm; the squeeze of 2 spreads them over 41.9 mm of picture.
    assert lines.value == pytest.approx(1676)
    width, resolution = lines.inputs
    assert 2 * width.value * resolution.value == pytest.approx(lines.value)
