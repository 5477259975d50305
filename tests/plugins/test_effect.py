from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.kinds.testing import check_kind
from planner.model.place import Severity
from planner.model.quantity import Quantity, Standing
from planner_plugins.effect import Effect

if TYPE_CHECKING:
    from planner.kinds import Estimate

FLAME = {"sort": "flame", "hazards": ["flame"], "risk": "fire", "waits_for": "fire_permit"}
PERMIT = {"fire_permit": ("permit", {})}


@pytest.fixture
def estimate(make, quantity):
    def of(facts=None, **surroundings):
        planned = {
            "stands_for": quantity(4.0, "1:N"),
            "event": quantity(3.0, "s"),
            "run_up": quantity(2.0, "s"),
            "wedge": (quantity(34.0, "fps"), quantity(48.0, "fps"), quantity(68.0, "fps")),
            "takes": 4,
        }
        surroundings.setdefault("elements", PERMIT)
        every = {**FLAME, **planned, **(facts or {})}
        given = {name: value for name, value in every.items() if value is not None}
        camera = {"format": "academy-35", "focal_length": quantity(50.0, "mm")}
        surroundings.setdefault("shot_camera", camera)
        return Effect().estimate(make("effect", given, **surroundings))

    return of


def codes(estimate: Estimate) -> list[str]:
    return [each.code for each in estimate.problems]


def test_rate_front_and_length_follow_the_scale(estimate, quantity) -> None:
    found = estimate({"speed": quantity(8000.0, "mm/s")}).quantities
    # 1:4 -> 48 fps (VES Handbook, Appendix A); 8 m/s over sqrt 4 = 4 m/s; 3 s become 1.5 s.
    assert found["rate"].value == 48
    assert found["speed of the front on the stage"].value == pytest.approx(4000)
    assert found["event on the stage"].value == pytest.approx(1.5)


def test_a_scale_nobody_gave_is_not_told_as_given(estimate, quantity) -> None:
    """Flame has no depth to match, so full size stands for its scale; nobody stated that."""
    taking = {"focal_length": quantity(50.0, "mm"), "stop": quantity(4.0, "f")}
    stop = estimate(shot_camera=taking).quantities["matching stop"]
    (scale,) = (each for each in stop.parts() if each.name == "scale")
    assert (scale.value, scale.standing) == (1.0, Standing.RECKONED)


def test_what_it_is_to_hold_is_held_at_the_scale_it_reads_at(estimate, quantity) -> None:
    held = {"from": quantity(7000.0, "mm"), "to": quantity(9000.0, "mm")}
    stop = estimate({"holds": held}).quantities["holding stop"]
    # 7 to 9 m of the picture are 1750 to 2250 mm of the stage at 1:4, focused at the harmonic mean
    # 2 x 1750 x 2250 / 4000 = 1968.75. Thin lens: f^2 (far - near) / ((far + near) c (focus - f)) =
    # 2500 x 500 / (4000 x 0.022 x 1918.75) = 7.40, c being 0.025 mm x 21.95 / 24.892.
    assert stop.value == pytest.approx(7.40, abs=0.005)


def test_film_covers_run_up_action_and_every_take_of_the_wedge(estimate) -> None:
    found = estimate().quantities
    # 116 frames are kept (100 and two handles of 8); the action takes 1.5 s x 48 = 72 of them.
    assert found["frames of the action"].value == 72
    # (2 s run-up + 1 s run-out) x 48 fps = 144 beyond the 116: 260 / 16 = 16.25 ft.
    assert found["film of a pass"].value == pytest.approx(16.25)
    # Each rate of the wedge rolls its own 3 s, its action within the 116 frames kept at each:
    # (116 + 102) + (116 + 144) + (116 + 204) = 798 frames, 49.875 ft; and 4 takes of 16.25 ft.
    assert found["film of the wedge"].value == pytest.approx(49.875)
    assert found["film exposed"].value == pytest.approx(114.875)


def test_an_action_that_outruns_the_cut_does_so_at_the_fast_end_of_a_wedge_alone(
    estimate, quantity
) -> None:
    found = estimate({"event": quantity(4.0, "s")}).quantities
    # 4 s / sqrt 4 = 2 s: 68 frames at 34 fps, 96 at 48, 136 at 68, which is 20 beyond the 116 kept.
    # Run of 3 s: 102; 144; 204 + 20.
    runs = [found[f"wedge at {each} fps, run"].value for each in (34, 48, 68)]
    assert runs == [102, 144, 224]


def test_a_slower_rate_of_a_wedge_is_so_much_denser(estimate, quantity) -> None:
    found = estimate({"wedge": (quantity(24.0, "fps"), quantity(96.0, "fps"))}).quantities
    # 48 / 24 is a stop more on each frame, 48 / 96 a stop less; neither is told below nothing.
    assert found["wedge at 24 fps, over the takes"].value == pytest.approx(1)
    assert found["wedge at 96 fps, under the takes"].value == pytest.approx(1)


def test_the_longest_pass_of_a_wedge_must_go_on_a_magazine_too(estimate, finding) -> None:
    # A take is 16.25 ft and the pass at 68 fps (116 + 204) / 16 = 20 ft; the magazine holds 18.
    camera = {"sort": "camera", "magazine": Quantity("magazine", 18 * 304.8, "mm")}
    result = estimate({"camera": "cam"}, resources={"cam": camera})
    assert "one pass runs 20 ft" in finding(result, "take-longer-than-magazine").message


def test_a_rate_of_a_wedge_that_no_camera_reaches_is_told(estimate, finding) -> None:
    camera = {"sort": "camera", "top_rate": Quantity("top_rate", 60.0, "fps")}
    told = finding(estimate({"camera": "cam"}, resources={"cam": camera}), "wedge-over-camera")
    assert told.message.startswith("the wedge tries 68 fps")
    assert "60 fps" in told.remedy
    quick = {"sort": "camera", "top_rate": Quantity("top_rate", 68.0, "fps")}
    assert "wedge-over-camera" not in codes(estimate({"camera": "cam"}, resources={"cam": quick}))


def test_a_wedge_nobody_listed_is_counted_at_the_rate_of_the_takes(estimate) -> None:
    found = estimate({"wedge": None}).quantities
    # The rule's three rates at 16.25 ft each, and four takes.
    assert found["film of the wedge"].value == pytest.approx(48.75)
    assert found["film exposed"].value == pytest.approx(113.75)


def test_an_action_longer_than_the_cut_lengthens_the_take(estimate, quantity) -> None:
    found = estimate({"event": quantity(10.0, "s")}).quantities
    # 10 s / sqrt 4 x 48 fps = 240 frames, 124 beyond the 116 kept: 144 + 124.
    assert found["frames of run"].value == 268


def test_two_heights_make_the_scale(estimate, quantity) -> None:
    sizes = {"size": quantity(1500.0, "mm"), "appears": quantity(13500.0, "mm")}
    found = estimate({**sizes, "stands_for": None}).quantities
    assert found["scale"].value == pytest.approx(9)
    assert found["rate"].value == pytest.approx(72)  # 24 x sqrt 9


def test_heights_that_contradict_the_scale_are_told(estimate, finding, quantity) -> None:
    sizes = {"size": quantity(1500.0, "mm"), "appears": quantity(13500.0, "mm")}
    told = finding(estimate(sizes), "effect-size-and-scale-differ")
    assert "1:9" in told.message
    assert "1:4" in told.message


def test_work_is_rigged_lit_photographed_and_stood_by(estimate) -> None:
    result = estimate()
    assert [(each.name, each.craft) for each in result.work] == [
        ("set up", "stage"),
        ("light and line up", "camera"),
        ("rig the effect", "effects"),
        ("photograph", "camera"),
        ("stand by with the effect", "effects"),
    ]
    # Four takes of 260 / 48 s, the wedge's three passes each at its rate, six resets of 20 minutes.
    wedge = 218 / 34 + 260 / 48 + 320 / 68
    running = (4 * 260 / 48 + wedge + 6 * 1200) / 3600
    assert result.quantities["running time"].value == pytest.approx(running)
    assert {each.name for each in result.charges} >= {"negative", "processing", "prints"}


def test_a_well_planned_flame_has_only_its_own_light_to_tell_of(estimate) -> None:
    assert codes(estimate()) == ["flame-lights-itself"]


def test_no_light_is_wanting_on_what_gives_its_own(estimate, finding, quantity) -> None:
    # A hundredth of a lux would leave anything else many stops short.
    dark = {"light": quantity(0.01, "lx"), "exposure_index": quantity(200.0)}
    flame = estimate(dark)
    assert "exposure of a frame" not in flame.quantities
    assert "light-short" not in codes(flame)
    assert "by a test" in finding(flame, "flame-lights-itself").remedy
    assert not {"light", "exposure_index"} & {each.name for each in estimate().missing}
    smoke = codes(estimate({**dark, "sort": "smoke"}))
    assert "light-short" in smoke
    assert "flame-lights-itself" not in smoke


def test_one_take_no_wedge_and_no_run_up_are_each_told(estimate, finding) -> None:
    result = estimate({"takes": 1, "wedge": None, "run_up": None})
    assert "allow for 5 takes" in finding(result, "one-take-planned").remedy
    # Half a stop either way: 48 / 1.414 = 33.9 and 48 x 1.414 = 67.9.
    assert "34, 48, 68 fps" in finding(result, "no-rate-wedge").remedy
    # 2 s x 48 fps = 96 frames = 6 ft.
    told = finding(result, "run-up-missing")
    assert "96 frames" in told.remedy
    assert "6 ft" in told.remedy


def test_a_wedge_is_about_the_rate_stated_and_within_the_camera(
    estimate, finding, quantity
) -> None:
    def told(**resources):
        facts = {"wedge": None, "rate": quantity(120.0, "fps"), "camera": "fast"}
        return finding(estimate(facts, resources=resources), "no-rate-wedge")

    # 120 / 1.414 = 84.9 and 120 x 1.414 = 169.7; 1:4 asks for 48 fps, so 120 follows from nothing.
    free = told(fast={"sort": "camera", "top_rate": quantity(200.0, "fps")})
    assert free.remedy == "shoot a wedge first: 85, 120, 170 fps"
    assert "120 fps is stated" in free.message
    assert "follows" not in free.message
    # At 120 fps the camera's best, nothing quicker is tried; at 150 fps its best is.
    for top, rates in ((120.0, "85, 120 fps"), (150.0, "85, 120, 150 fps")):
        bound = told(fast={"sort": "camera", "top_rate": quantity(top, "fps")})
        assert bound.remedy == f"shoot a wedge first: {rates}"


def test_a_rate_nobody_stated_follows_from_the_scale(estimate, finding) -> None:
    said = finding(estimate({"wedge": None}), "no-rate-wedge").message
    assert said.startswith("48 fps follows from its scale")  # 24 x sqrt 4


def test_what_is_shown_at_its_own_size_wants_no_wedge(estimate, quantity) -> None:
    full = {"wedge": None, "size": None, "appears": None, "stands_for": quantity(1.0, "1:N")}
    result = estimate(full)
    assert "no-rate-wedge" not in codes(result)
    assert result.quantities["rates in the wedge"].value == 0


def test_a_rate_unlike_gravity_s_is_told(estimate, finding, quantity) -> None:
    assert "48" in finding(estimate({"rate": quantity(24.0, "fps")}), "rate-not-gravity").message


def test_small_flame_gives_itself_away(estimate, finding, quantity) -> None:
    small = {"stands_for": quantity(16.0, "1:N"), "size": quantity(500.0, "mm")}
    told = finding(estimate(small), "effect-does-not-scale")
    assert "1:16" in told.message
    assert "1 m high instead of 0.5 m" in told.remedy  # 0.5 x 16 / 8


def test_flame_without_permit_is_told(estimate) -> None:
    assert "flame-without-permit" in codes(estimate({"waits_for": ()}))


def test_smoke_before_blue_is_told(estimate, finding) -> None:
    result = estimate({"sort": "smoke", "hazards": [], "risk": "ordinary", "backing": "blue"})
    assert finding(result, "thin-before-blue").severity is Severity.WARNING


def test_nothing_stated_still_gives_a_whole_estimate(make) -> None:
    bare = make("effect", {"sort": "debris"}, cut=None)
    zero = make("effect", {"sort": "water", "size": 0, "appears": 0, "rate": 0, "event": 0})
    check_kind(Effect(), [bare, zero])
    assert "scale" in [each.name for each in Effect().estimate(bare).missing]


def test_an_effect_at_full_size_runs_at_the_rate_shown(estimate) -> None:
    full = Quantity("stands for", 1.0, "1:N")
    assert estimate({"stands_for": full}).quantities["rate"].value == 24


def test_light_is_lost_by_where_the_lens_stands_on_the_stage(estimate, quantity) -> None:
    lit = {
        "sort": "debris",
        "stands_for": quantity(8.0, "1:N"),
        "nearest": quantity(30_000.0, "mm"),
        "light": quantity(1076.391, "lx"),
        "stop": quantity(8.0, "T"),
    }
    camera = {"focal_length": quantity(35.0, "mm"), "exposure_index": quantity(200.0)}
    found = estimate(lit, shot_camera=camera).quantities["exposure of a frame"]
    # 30 m at 1:8 is 3.75 m: m = 35 / (3750 - 35) = 0.009421, (1 + m)^2 = 1.018931.
    # 25 x 8^2 / (100 fc x 200) = 0.08 s, x 1.018931 = 0.0815145 s.
    assert found.value == pytest.approx(0.0815145, rel=1e-5)
    closeness = next(each for each in found.inputs if each.name == "magnification")
    assert [each.value for each in closeness.inputs] == [35, 30_000, 8]


def test_nobody_is_told_to_build_a_flame(estimate, finding, quantity) -> None:
    # At 1:9 it wants 24 x 3 = 72 fps; a camera of 48 fps is quick enough for (48 / 24) squared = 4.
    slow = {"slow": {"sort": "camera", "top_rate": quantity(48, "fps")}}
    found = estimate({"stands_for": quantity(9.0, "1:N")}, resources=slow)
    told = finding(found, "rate-over-camera")
    assert told.remedy == (
        "photograph it, and what it is joined to, at 1:4 or larger, or find a camera that runs at"
        " 72 fps"
    )
