"""Puppets: arms, rods, contacts, and the floor they share with miniatures."""

from __future__ import annotations

import pytest

from planner.kinds.testing import check_estimate, check_kind, numbers_stated
from planner.model.facts import FrameRange
from planner.model.place import Severity
from planner_plugins.puppet import Puppet

M = 1000.0  # mm in a metre
CAMERA = "full-aperture-35"


@pytest.fixture
def heron(make, quantity):
    """A 4.8 m wading bird at 1/4, weighed as a sample of 3.5 kg at 1/6."""

    def build(facts=None, builds=None, **changes):
        stated = {
            "build": "bird",
            "sort": "rod",
            "stage": "north",
            "camera": "quick",
            "operators": 3,
            "takes": 6,
            "rods": [
                {"name": "head", "frames": FrameRange(1, 60), "crosses": FrameRange(51, 70)},
                {"name": "tail", "side": "behind", "frames": FrameRange(1, 100)},
            ],
        }
        stated.update(facts or {})
        bird = {
            "makes": "puppet",
            "scale": quantity(4, "1:N"),
            "mass": quantity(3.5, "kg"),
            "mass_at": quantity(6, "1:N"),
            "full_size": {"height": quantity(4.8 * M, "mm")},
        }
        bird.update(builds or {})
        resources = {
            "north": {"sort": "stage", "width": quantity(14 * M, "mm")},
            "quick": {"sort": "camera", "top_rate": quantity(120, "fps")},
        }
        camera = {"focal_length": quantity(35, "mm"), "format": CAMERA}
        return make(
            "puppet",
            stated,
            shot_camera=camera,
            builds={"bird": bird},
            resources=resources,
            **changes,
        )

    return build


def estimate(context):
    return Puppet().estimate(context)


def codes(found):
    return {each.code for each in found.problems}


def test_it_keeps_to_the_door(heron, make) -> None:
    check_kind(Puppet(), [heron(), heron({"sort": "insert"}), heron(cut=None), make("puppet", {})])


def test_mass_goes_by_the_cube(heron, quantity, finding) -> None:
    # 3.5 x (6/4)^3 = 11.81 kg; three pairs of arms at 3 kg hold 9 kg: N = 6 (3.5/9)^(1/3) = 4.380.
    found = estimate(heron())
    assert found.quantities["mass"].value == pytest.approx(11.8125)
    told = finding(found, "too-heavy-to-hold")
    assert "11.8 kg" in told.message
    assert "1:4.38 or smaller" in told.remedy
    bound = next(each for each in found.bounds if each.limit.name == "mass on its rods")
    assert bound.at_least
    assert bound.limit.value == pytest.approx(4.380, abs=0.001)


def test_the_rods_own_limit_comes_before_the_arms(heron, quantity) -> None:
    # .60 m weighs 3.5 kg, rods bear 8 kg: 6.0 m / .6 x (3.5/8)^(1/3) = 7.59.
    found = estimate(
        heron(
            builds={
                "mass_at": quantity(10, "1:N"),
                "most_mass": quantity(8, "kg"),
                "scale": quantity(9, "1:N"),
            }
        )
    )
    bound = next(each for each in found.bounds if each.limit.name == "mass on its rods")
    assert bound.limit.value == pytest.approx(7.59, abs=0.005)
    assert found.quantities["mass"].value == pytest.approx(4.80, abs=0.005)  # 3.5 (10/9)^3
    assert "too-heavy-to-hold" not in codes(found)


def test_rods_are_counted_within_the_cut(heron) -> None:
    # head 1-60 and tail 1-100: 160 rod frames; the head crosses 51-70: 20.
    found = estimate(heron())
    assert found.quantities["rods"].value == 2
    assert found.quantities["rod frames"].value == 160
    assert found.quantities["crossing frames"].value == 20


def test_a_rod_before_the_figure_is_told(heron, finding) -> None:
    rods = [{"name": "beak", "side": "front", "crosses": FrameRange(91, 120)}]
    told = finding(estimate(heron({"rods": rods})), "rod-over-figure")
    assert "on 10 frames" in told.message  # 91 to 100 of the cut


def test_rods_nobody_takes_out_are_told(heron) -> None:
    roto = {"S010.out": ("roto", {"removes_rods_of": "S010.it"})}
    assert "rods-left-in" in codes(estimate(heron()))
    assert "rods-left-in" not in codes(estimate(heron(elements=roto)))


def test_unlisted_rods_are_missing_and_assumed(heron) -> None:
    found = estimate(heron({"rods": []}))
    assert "rods" in {each.name for each in found.missing}
    assert found.quantities["rods"].value == 3


def test_touching_nothing_is_an_error(heron, quantity, finding) -> None:
    # f_px = 35 x 2048 / 24.892 = 2879.6; 1 px at 8 m and 1/4: 8000 / 2879.6 / 4 = .6945 mm.
    contact = {"with": "roof", "frames": FrameRange(20, 40), "tolerance": quantity(1, "px")}
    found = estimate(heron({"contacts": [contact], "nearest": quantity(8 * M, "mm")}))
    told = finding(found, "contact-with-nothing")
    assert told.severity is Severity.ERROR
    assert "roof on 20-40" in told.message
    assert found.quantities["tolerance of contact with roof"].value == pytest.approx(
        0.6945, abs=1e-4
    )
    fixed = heron({"contacts": [{**contact, "fixture": True}]})
    assert "contact-with-nothing" not in codes(estimate(fixed))


def test_a_take_longer_than_arms_is_told(heron, quantity, finding) -> None:
    # 100 + 16 frames and 4 s of roll at 24 fps: 116/24 + 4 = 8.83 s.
    found = estimate(heron({"longest_take": quantity(8, "s")}))
    assert "runs 9 s" in finding(found, "take-longer-than-arms").message
    assert "take-longer-than-arms" not in codes(estimate(heron()))


def test_handling_past_what_a_day_allows_is_told(heron, quantity, finding) -> None:
    # 2400 frames: 2416/24 + 4 = 104.67 s a take, pace 60 s: 36000/164.67 = 218.6 takes fit the
    # day; 50 takes are wanted: 50 x 104.67 / 60 = 87.2 min, of 60 a day: two days, not 1.5.
    context = heron({"takes": 50, "pace": quantity(60, "s")}, cut=FrameRange(1, 2400))
    found = estimate(context)
    assert found.quantities["handling in a day"].value == pytest.approx(87.2, abs=0.05)
    assert "over 2 days" in finding(found, "handling-past-limit").remedy


def test_an_insert_is_full_size_and_limits_nothing(heron) -> None:
    found = estimate(heron({"sort": "insert"}))
    assert found.bounds == ()
    assert "1/1" in found.work[0].set_up


def test_speed_and_blur_are_told(heron, quantity, finding) -> None:
    # 1.2 m/s at 1/4 and 48 fps: .6 m/s on the stage. Blur: 1.2/24 m a frame at 8 m,
    # x 2879.6 px = 18.0 px, half of it: 9.0.
    facts = {
        "speed": quantity(1200, "mm/s"),
        "nearest": quantity(8 * M, "mm"),
        "action": "gravity",
    }
    found = estimate(heron(facts))
    assert found.quantities["rate"].value == pytest.approx(48)
    assert found.quantities["speed on the stage"].value == pytest.approx(600)
    assert found.quantities["motion blur"].value == pytest.approx(9.0, abs=0.01)
    assert "9 px" in finding(found, "blur-due").message
    assert "2 times as fast" in finding(found, "worked-faster").message


def test_the_same_figure_cannot_stand_on_two_stages(heron) -> None:
    needs = {need.sort: need.options for need in estimate(heron()).work[0].needs}
    assert needs["build"] == ("bird",)
    assert needs["stage"] == ("north",)


@pytest.mark.parametrize(("name", "unit"), numbers_stated(Puppet()))
def test_nothing_at_all_is_no_fault_of_the_kind(heron, quantity, name, unit) -> None:
    context = heron({name: quantity(0, unit)})
    check_estimate(estimate(context), context)


def test_resets_take_their_share_of_the_running_time(heron, quantity) -> None:
    # 100 + 16 frames and 4 s of rolling at 24 fps: 212 / 24 = 8.833 s a take; 6 takes 53 s and
    # 5 resets of 60 s 300 s: 300 / 353 = 0.8499
    found = estimate(heron({"pace": quantity(60, "s")}))
    share = found.quantities["share of the running time spent resetting"]
    assert share.value == pytest.approx(300 / 353)
    assert share.reason.startswith("(takes - 1) x reset")


def test_rest_stated_is_added_to_the_hours(heron, quantity) -> None:
    # 53 s of handling at 15 min an hour: 53 / 3600 x 15 = 0.2208 min
    plain, rested = estimate(heron()), estimate(heron({"rest": quantity(900, "s")}))
    assert rested.quantities["rest owed"].value == pytest.approx(0.2208, abs=1e-4)
    assert plain.quantities["hours of rest"].value == 0
    hours = [next(w for w in each.work if w.name == "photograph") for each in (plain, rested)]
    more = hours[1].hours.likely - hours[0].hours.likely
    assert more == pytest.approx(0.2208 / 60, abs=1e-6)


def test_fewer_takes_than_like_performances_needed_is_told(heron, finding) -> None:
    ours = {"rules": {"puppet.takes_hard": {"low": 8, "likely": 12, "high": 30}}}
    told = finding(
        estimate(heron({"performance": "hard"}, show_facts=ours)), "takes-below-like-shots"
    )
    assert "6 takes are allowed for" in told.message
    assert "8 to 30" in told.message
    assert "allow for 12" in told.remedy
    assert "takes-below-like-shots" not in codes(estimate(heron({"performance": "hard"})))


def test_a_bearing_foot_that_drifts_slides_on_the_screen(heron, quantity, finding) -> None:
    # 2 mm at 1/4 are 8 mm of the picture; at 8 m x 2879.6 px: 2.88 px. Half a millimetre: 0.72
    feet = [
        {"foot": "left", "frames": FrameRange(1, 30), "drift": quantity(2, "mm")},
        {"foot": "right", "frames": FrameRange(31, 60), "drift": quantity(0.5, "mm")},
    ]
    found = estimate(heron({"feet": feet, "nearest": quantity(8 * M, "mm")}))
    assert found.quantities["slide of the left foot on 1-30"].value == pytest.approx(2.88, abs=0.01)
    told = finding(found, "foot-slides")
    assert "left foot bears on 1-30" in told.message
    assert "within 1.39 mm" in told.remedy  # 2 x 2 / 2.88


def test_an_operator_in_frame_is_split_out_over_a_clean_plate(heron, finding) -> None:
    found = estimate(heron({"operator_in_frame": FrameRange(40, 63)}))
    assert found.quantities["frames with an operator in frame"].value == 24
    assert "24 frames of split" in finding(found, "operator-without-split").message
    told = finding(found, "operator-without-clean-plate").remedy
    assert told.startswith("photograph the set behind it without it")  # its shot has none yet
    assert "`clean_plate`" in told


def test_a_clean_plate_lies_behind_only_on_the_same_program(heron, finding) -> None:
    facts = {
        "operator_in_frame": FrameRange(40, 63),
        "clean_plate": "S010.clean",
        "move_from": "S010.walk",
    }
    others = {
        "S010.walk": ("camera_move", {}),
        "S010.clean": ("plate", {"sort": "clean"}),
        "S010.split": ("roto", {"sort": "split", "roto_of": "S010.it"}),
    }
    told = finding(estimate(heron(facts, elements=others)), "clean-plate-on-other-program")
    assert "no program and this on S010.walk" in told.message
    others["S010.clean"] = ("plate", {"sort": "clean", "move_from": "S010.walk"})
    codes_found = {each.code for each in estimate(heron(facts, elements=others)).problems}
    assert (
        not {
            "clean-plate-on-other-program",
            "operator-without-split",
            "operator-without-clean-plate",
        }
        & codes_found
    )


def test_a_rod_held_from_behind_the_lens_runs_through_the_camera(heron, quantity, finding) -> None:
    toward = tuple(quantity(value, "mm") for value in (0, 500, -9000))
    rods = [{"name": "neck", "toward": toward}]
    # 16 m at 1/4 leaves the figure 4 m from the lens; a hand 9 m this way is 5 m behind it.
    facts = {"rods": rods, "nearest": quantity(16_000, "mm"), "scale": quantity(4, "1:N")}
    told = finding(estimate(heron(facts)), "rod-through-camera")
    assert "5,000 mm behind the lens" in told.message


def test_a_rod_from_behind_the_figure_keeps_clear_of_the_camera(heron, quantity) -> None:
    toward = tuple(quantity(value, "mm") for value in (0, 500, 2000))
    facts = {"rods": [{"name": "neck", "toward": toward}], "nearest": quantity(16_000, "mm")}
    codes = {each.code for each in estimate(heron(facts)).problems}
    assert "rod-through-camera" not in codes


def test_a_figure_is_rigged_in_and_lit_while_it_is_set_up(heron) -> None:
    beside = [(w.name, w.craft, w.heads, w.beside) for w in estimate(heron()).work if w.beside]
    # One who lights and lines up, one who rigs in, and the usual three hands on a rod puppet.
    assert beside == [
        ("light and line up", "camera", 1, "set up"),
        ("rig the figure in", "puppeteering", 1, "set up"),
        ("work the figure", "puppeteering", 3, "photograph"),
    ]


def test_a_show_may_call_more_hands_to_a_set_up(heron, quantity) -> None:
    own = {
        "stage.line_up_hands": {"likely": quantity(2, "1")},
        "puppet.rig_in_hands": {"likely": quantity(3, "1")},
    }
    found = estimate(heron(show_facts={"rules": own}))
    assert [w.heads for w in found.work if w.beside == "set up"] == [2, 3]


def test_rods_are_told_which_pass_lies_behind_them(heron, finding) -> None:
    """The mud on the same program; not the sky, whose camera is at rest, nor the rain on black."""
    others = {
        "S010.walk": ("camera_move", {}),
        "S010.sky": ("plate", {"sort": "live"}),
        "S010.rain": ("plate", {"sort": "black_drape", "move_from": "S010.walk"}),
        "S010.mud": ("miniature", {"move_from": "S010.walk"}),
    }
    facts = {"sort": "rod", "move_from": "S010.walk"}
    told = finding(estimate(heron(facts, elements=others)), "rods-without-clean-plate")
    assert told.remedy == "write `clean_plate: mud`, photographed without it"
    del others["S010.mud"]
    alone = finding(estimate(heron(facts, elements=others)), "rods-without-clean-plate")
    assert "`move_from: walk`" in alone.remedy
