"""Which stages, cameras, rigs and screens fit a set-up."""

from __future__ import annotations

import pytest

from planner.kinds import Worksheet
from planner.kinds.floor import SetUp, lay_out, least_scale
from planner.kinds.subject import FULL_SIZE, Subject
from planner.kinds.view import view_of

M = 1000.0  # mm in a metre


@pytest.fixture
def laid(make, quantity):
    """Lay out an element at 1/8 and 24 fps; give the floor and the estimate."""

    def build(facts, *, n=8, rate=24, dam=None, **changes):
        resources = {
            "north": {
                "sort": "stage",
                "width": quantity(10 * M, "mm"),
                "depth": quantity(20 * M, "mm"),
                "height": quantity(6 * M, "mm"),
            },
            "south": {
                "sort": "stage",
                "width": quantity(5 * M, "mm"),
                "depth": quantity(5 * M, "mm"),
                "height": quantity(4 * M, "mm"),
                "forbids": ("flame",),
            },
            "slow": {"sort": "camera", "top_rate": quantity(24, "fps")},
            "quick": {"sort": "camera", "top_rate": quantity(120, "fps")},
        }
        resources.update(changes.pop("resources", {}))
        camera = {"focal_length": quantity(35, "mm"), "format": "full-aperture-35"}
        context = make(
            "miniature",
            {"build": "dam", **facts},
            shot_camera=camera,
            builds={"dam": {"makes": "miniature", "scale": quantity(n, "1:N"), **(dam or {})}},
            resources=resources,
            **changes,
        )
        sheet = Worksheet(context)
        subject = FULL_SIZE if n == 1 else Subject(quantity(n, "1:N"), "dam")
        set_up = SetUp(view_of(sheet), subject, quantity(rate, "fps"), gravity=rate > 24)
        return lay_out(sheet, set_up), sheet.estimate()

    return build


def codes(found):
    return {each.code for each in found.problems}


def test_all_stages_that_fit_are_offered_where_none_is_named(laid, quantity) -> None:
    # 36 m at 1/8 is 4.5 m: both; 48 m is 6 m: the larger only.
    floor, _ = laid({"extent": {"width": quantity(36 * M, "mm")}})
    assert options(floor, "stage") == ("north", "south")
    floor, found = laid(
        {"extent": {"width": quantity(48 * M, "mm"), "depth": quantity(48 * M, "mm")}}
    )
    assert options(floor, "stage") == ("north",)
    assert "stage-too-small" not in codes(found)


def test_a_stage_named_stays_though_it_is_too_small(laid, quantity) -> None:
    # 56 m by 56 m at 1/8 is 7 m square, against 5 m.
    extent = {"width": quantity(56 * M, "mm"), "depth": quantity(56 * M, "mm")}
    floor, found = laid({"extent": extent, "stage": "south"})
    assert options(floor, "stage") == ("south",)
    assert "stage-too-small" in codes(found)


def test_a_stage_that_forbids_the_hazard_is_not_offered(laid, quantity) -> None:
    floor, found = laid({"hazards": ("flame",), "extent": {"width": quantity(8 * M, "mm")}})
    assert options(floor, "stage") == ("north",)
    assert "stage-forbids" not in codes(found)


def test_a_stage_that_forbids_what_the_build_brings_is_not_offered(laid, quantity) -> None:
    extent = {"width": quantity(8 * M, "mm")}
    floor, _ = laid({"extent": extent}, dam={"hazards": ("flame",)})
    assert options(floor, "stage") == ("north",)
    _, found = laid({"extent": extent, "stage": "south"}, dam={"hazards": ("flame",)})
    assert "stage-forbids" in codes(found)
    # Nothing burns: both have the room.
    assert options(laid({"extent": extent})[0], "stage") == ("north", "south")


def test_what_a_stage_named_forbids_is_told_as_a_list(laid, quantity) -> None:
    small = {
        "sort": "stage",
        "width": quantity(5 * M, "mm"),
        "forbids": ("water", "smoke", "flame"),
    }
    hazards = ("flame", "smoke", "water")
    _, found = laid({"hazards": hazards, "stage": "small"}, resources={"small": small})
    (told,) = (each for each in found.problems if each.code == "stage-forbids")
    assert told.message.endswith("forbids flame, smoke and water")


def test_height_binds_whichever_way_it_is_turned(laid, quantity) -> None:
    # 60 m high in 6 m: 10; 20 m wide in 10 or 20 m: less.
    stage = laid({})[0]
    assert options(stage, "stage")
    limit, because = least_scale(
        {"width": quantity(20 * M), "height": quantity(60 * M)},
        _facts(quantity, width=10, depth=20, height=6),
    )
    assert limit == pytest.approx(10)
    assert "60 m of height in 6 m" in because


def options(floor, sort):
    """What of a sort would do for the set-up, best first."""
    return next((need.options for need in floor.needs if need.sort == sort), ())


def _facts(quantity, **sides):
    from planner.model.facts import Facts
    from planner.model.place import Place

    values = {side: quantity(metres * M, "mm") for side, metres in sides.items()}
    return Facts(Place("resources.yaml"), values)


def test_only_cameras_that_reach_the_rate_are_offered(laid) -> None:
    floor, found = laid({}, rate=67.9)
    assert options(floor, "camera") == ("quick",)
    assert "rate-over-camera" not in codes(found)


def test_a_rig_bound_to_one_stage_draws_the_set_up_there(laid, quantity) -> None:
    rig = {"rail": {"sort": "rig", "axes": {}, "stages": "south"}}
    floor, _ = laid({"rig": "rail"}, resources=rig)
    assert options(floor, "stage") == ("south",)


def test_a_rig_and_a_stage_that_never_meet_are_told(laid, quantity, finding) -> None:
    rig = {"rail": {"sort": "rig", "axes": {}, "stages": ("south",)}}
    _, found = laid({"rig": "rail", "stage": "north"}, resources=rig)
    assert "rail works on south" in finding(found, "not-on-that-stage").message


def test_no_camera_is_put_on_a_rig_that_carries_the_subject_unless_it_is_named(
    laid, quantity
) -> None:
    axes = {"track": {"travel": quantity(20 * M, "mm")}}
    rigs = {
        "mover": {"sort": "rig", "axes": axes, "carries": "subject"},
        "rail": {"sort": "rig", "axes": axes},
    }
    move = {"travel": quantity(8 * M, "mm")}
    assert options(laid(move, resources=rigs)[0], "rig") == ("rail",)
    assert options(laid({**move, "rig": "mover"}, resources=rigs)[0], "rig") == ("mover",)


def test_a_rig_without_the_axis_is_told(laid, quantity, finding) -> None:
    head = {"head": {"sort": "rig", "axes": {"pan": {"speed": quantity(60, "deg/s")}}}}
    _, found = laid({"travel": quantity(8 * M, "mm"), "rig": "head"}, resources=head)
    assert "track" in finding(found, "rig-lacks-axis").message


def test_a_move_from_a_peak_speed_is_scaled_and_quickened(laid, quantity, finding) -> None:
    # 8 m/s at 1/8 and 48 fps: 8/8 x 2 = 2 m/s on the stage, on a track of 1.5 m/s:
    # 48 x 1.5 / 2 = 36 fps. The speed falls as 1/sqrt N at the gravity rate: N = 8 x (2/1.5)^2.
    rail = {"rail": {"sort": "rig", "axes": {"track": {"speed": quantity(1500, "mm/s")}}}}
    cam = {
        "S010.cam": ("camera_move", {"origin": "designed", "peak_speed": quantity(8000, "mm/s")})
    }
    _, found = laid({"move_from": "S010.cam"}, rate=48, resources=rail, elements=cam)
    told = finding(found, "rig-too-slow")
    assert "2 m/s" in told.message
    assert "1.5 m/s" in told.message
    assert "36 fps or slower" in told.remedy
    bound = next(each for each in found.bounds if each.limit.name == "speed of the rig")
    assert bound.at_least
    assert bound.limit.value == pytest.approx(8 * 16 / 9)


def test_angles_do_not_shrink(laid, quantity, finding) -> None:
    # 20 deg/s at 48 fps: 40 deg/s whatever the scale. Angles per second grow as sqrt N at the
    # gravity rate: N = 8 x (30/40)^2 = 4.5 at most.
    head = {"head": {"sort": "rig", "axes": {"pan": {"speed": quantity(30, "deg/s")}}}}
    cam = {"S010.cam": ("camera_move", {"origin": "designed", "peak_turn": quantity(20, "deg/s")})}
    _, found = laid({"move_from": "S010.cam"}, rate=48, resources=head, elements=cam)
    assert "40 deg/s" in finding(found, "rig-too-slow").message
    bound = next(each for each in found.bounds if each.limit.name == "speed of the rig")
    assert not bound.at_least
    assert bound.limit.value == pytest.approx(4.5)


def test_a_lens_nose_needs_room(laid, quantity, finding) -> None:
    # 1.6 m at 1/8 is 200 mm and the rig touches at 270 mm: N = 1600 / 270 = 5.926, at most.
    rig = {"crane": {"sort": "rig", "axes": {}, "lens_to_body": quantity(270, "mm")}}
    _, found = laid({"rig": "crane", "nearest": quantity(1600, "mm")}, resources=rig)
    told = finding(found, "lens-touches")
    assert "200 mm" in told.message
    assert "1:5.92 or larger" in told.remedy


@pytest.mark.parametrize(
    ("fact", "metres", "least"),
    [("camera_height", 2.0, "lowest_lens"), ("nearest", 2.0, "lens_to_body")],
)
def test_only_rigs_that_come_low_and_near_enough_are_offered(
    laid, quantity, fact: str, metres: float, least: str
) -> None:
    # 2 m at 1/8 is 250 mm: one rig comes to 300 mm and the other to 120 mm.
    rigs = {
        "crane": {"sort": "rig", "axes": {}, least: quantity(300, "mm")},
        "arm": {"sort": "rig", "axes": {}, least: quantity(120, "mm")},
    }
    wanted = {fact: quantity(metres * M, "mm")}
    floor, found = laid({**wanted, "rig": ("crane", "arm")}, resources=rigs)
    assert options(floor, "rig") == ("arm",)
    assert not {"lens-cannot-go-low-enough", "lens-touches"} & codes(found)
    # Where none does, what is named stays, and it is told what the best of them lacks.
    floor, found = laid({**wanted, "rig": "crane"}, resources=rigs)
    assert options(floor, "rig") == ("crane",)
    assert {"lens-cannot-go-low-enough", "lens-touches"} & codes(found)
    # At 1/4 both would do.
    floor, _ = laid({**wanted, "rig": ("crane", "arm")}, n=4, resources=rigs)
    assert options(floor, "rig") == ("crane", "arm")


def test_a_camera_comes_no_lower_than_the_rig_that_carries_it(laid, quantity) -> None:
    # 2 m at 1/8 is 250 mm; on its own stand the camera comes to 150 mm, on the rig to 300 mm.
    things = {
        "crane": {"sort": "rig", "axes": {}, "lowest_lens": quantity(300, "mm")},
        "slow": {"sort": "camera", "lowest_lens": quantity(150, "mm")},
    }
    wanted = {"camera_height": quantity(2 * M, "mm"), "camera": "slow"}
    _, found = laid({**wanted, "rig": "crane"}, resources=things)
    assert "lens-cannot-go-low-enough" in codes(found)
    _, found = laid(wanted, resources=things)
    assert "lens-cannot-go-low-enough" not in codes(found)


def test_the_state_of_the_stage_names_build_scale_and_lens(laid) -> None:
    floor, _ = laid({})
    assert floor.state == "dam 1/8 35 mm"


def test_the_only_person_who_can_do_it_is_needed(laid) -> None:
    floor, _ = laid({"people": "ada"}, resources={"ada": {"sort": "person"}})
    assert ("person", ("ada",)) in {(need.sort, need.options) for need in floor.needs}


def test_travel_bounds_the_scale_by_the_tightest_axis_of_the_roomiest_rig(laid, quantity) -> None:
    # 24 m of track: 24/6 = 4 on one rig, 24/2 = 12 on the other; 4 holds.
    def rail(metres):
        track = {"speed": quantity(9000, "mm/s"), "travel": quantity(metres * M, "mm")}
        return {"sort": "rig", "axes": {"track": track}}

    rigs = {"long": rail(6), "short": rail(2)}
    facts = {"travel": quantity(24 * M, "mm"), "rig": ("short", "long")}
    floor, found = laid(facts, resources=rigs)
    bound = next(each for each in found.bounds if each.limit.name == "travel of the rig")
    assert bound.limit.value == pytest.approx(4)
    # At 1/8 the move is 3 m: the short rail is no option.
    assert options(floor, "rig") == ("long",)
