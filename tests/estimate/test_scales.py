"""Scales compared, on the worked window of three shots: 1:8.57 to 1:9.95.

All derived: the shots are invented, their bounds are worked one by one in tests/craft/test_window.
Full aperture, 2048 px, circle 0.025 mm, T-stop 1.1 times the f-number.
"""

from __future__ import annotations

import math
from textwrap import dedent
from typing import TYPE_CHECKING

import pytest

from planner.estimate import estimate_show
from planner.estimate.scales import Ground, show_at, study_scale, users_of
from planner.graph import build_graph
from planner.kinds import Registry
from planner.model.quantity import Quantity
from planner.text.show_folder import load_show

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.estimate.scales import Use
    from tests.conftest import ShowFolder

STAGES = """\
    stages:
      north: {width: 14 m, depth: 18 m, height: 5.5 m}
    rigs:
      rail:
        axes: {track: {travel: 12 m, speed: 9 m/s}}
        lens_to_body: 0.27 m
        lowest_lens: 0.15 m
    cameras:
      cam: {top_rate: 120 fps}
    lenses:
      prime_28: {focal_length: 28 mm, smallest_stop: f/22, widest_stop: f/2, close_focus: 0.6 m}
      prime_35: {focal_length: 35 mm, smallest_stop: f/22, widest_stop: f/2, close_focus: 0.6 m}
    """
BUILDS = """\
    builds:
      rock_face:
        makes: miniature
        scale: 1/9
        full_size: {width: 120 m, depth: 150 m, height: 40 m}
        mass: 900 kg
        drawing: sheet 1
      spare_rock: {makes: miniature, scale: 1/9, drawing: sheet 2}
    """
SHOTS = """\
    sequence: hill
    title: The cliff
    shots:
      A010:
        says: The cliff from afar.
        cut: 1-96
        camera: {lens: prime_28, exposure_index: 200}
        elements:
          cliff:
            kind: miniature
            build: rock_face
            action: still
            nearest: 30 m
            camera_height: 6 m
            travel: 60 m
            holds: {from: 30 m, to: 150 m}
            extent: {width: 120 m, depth: 150 m, height: 40 m}
            light: 250 fc
            longest_exposure: 2 s
            rig: rail
          final: {kind: composite, joins: [cliff]}
      B010:
        says: Nearer.
        cut: 1-96
        camera: {lens: prime_35, exposure_index: 200}
        elements:
          cliff:
            kind: miniature
            build: rock_face
            action: still
            nearest: 8 m
            camera_height: 1.8 m
            travel: 10 m
            holds: {from: 8 m, to: 25 m}
            extent: {width: 40 m, depth: 60 m, height: 15 m}
            light: 250 fc
            longest_exposure: 2 s
            rig: rail
          final: {kind: composite, joins: [cliff]}
      C010:
        says: It falls.
        cut: 1-96
        camera: {lens: prime_35, exposure_index: 500}
        elements:
          cliff:
            kind: miniature
            build: rock_face
            action: gravity
            nearest: 12 m
            camera_height: 2.5 m
            holds: {from: 12 m, to: 40 m}
            extent: {width: 60 m, depth: 80 m, height: 25 m}
            light: 2000 fc
            rig: rail
          final: {kind: composite, joins: [cliff]}
    """


@pytest.fixture
def cliff(show: ShowFolder) -> ShowFolder:
    """The three shots of one cliff."""
    show.write("resources.yaml", dedent(STAGES))
    show.write("builds.yaml", dedent(BUILDS))
    show.write("sequences/hill.yaml", dedent(SHOTS))
    return show


def ground_of(folder: ShowFolder) -> Ground:
    kinds = Registry()
    read, problems = load_show(folder.path, kinds)
    assert read is not None, problems
    assert problems == ()
    graph, _problems = build_graph(read)
    return Ground(read, graph, kinds, estimate_show(read, graph, kinds))


@pytest.fixture
def ground(cliff: ShowFolder) -> Ground:
    return ground_of(cliff)


@pytest.fixture
def narrow(cliff: ShowFolder) -> Ground:
    """The same on a stage of 10 m, where 120 m fit from 1:12."""
    cliff.replace("resources.yaml", "width: 14 m", "width: 10 m")
    return ground_of(cliff)


def at(*ns: float) -> tuple[Quantity, ...]:
    return tuple(Quantity("scale", n, "1:N") for n in ns)


def use_of(ground: Ground, element: str, n: float) -> Use:
    (trial,) = study_scale(ground, "rock_face", at(n)).trials
    return next(each for each in trial.uses if each.element == element)


def test_the_window_of_the_worked_example(ground: Ground) -> None:
    common = study_scale(ground, "rock_face").common
    # 120 m of width on 14 m of stage; the light of the falling shot
    assert common.low.scale_denominator == pytest.approx(8.571, abs=1e-3)
    assert (common.low.shot, common.low.reason) == ("A010.cliff", "room on the stage")
    assert common.high.scale_denominator == pytest.approx(9.952, abs=2e-3)
    assert common.high.shot == "C010.cliff"
    assert "in the light there is" in common.high.reason


def test_each_shot_has_its_own_window(ground: Ground) -> None:
    found = study_scale(ground, "rock_face").by_element
    assert list(found) == ["A010.cliff", "B010.cliff", "C010.cliff"]
    # A ends at its camera height 6 / .15; B begins at its depth 60 / 18 and ends at f/22.
    assert found["A010.cliff"].high.scale_denominator == pytest.approx(40)
    assert found["B010.cliff"].low.scale_denominator == pytest.approx(3.333, abs=1e-3)
    assert found["B010.cliff"].high.scale_denominator == pytest.approx(10.25, abs=5e-3)


def test_what_a_build_limits_itself_limits_it_in_every_shot(cliff: ShowFolder) -> None:
    cliff.replace("builds.yaml", "mass: 900 kg", "mechanism: 300 mm\n    cavity: 2.6 m")
    found = study_scale(ground_of(cliff), "rock_face").by_element
    # 2.6 / .3 = 8.667
    assert [each.high.reason for each in found.values()] == ["mechanism inside"] * 3
    assert found["A010.cliff"].high.scale_denominator == pytest.approx(8.667, abs=1e-3)


def test_an_open_window_needs_no_opening_and_one_build(ground: Ground) -> None:
    study = study_scale(ground, "rock_face")
    assert study.opening is None
    assert [each.elements for each in study.covers] == [("A010.cliff", "B010.cliff", "C010.cliff")]
    assert study.unserved == ()
    assert study.mends == ()


def test_a_build_nothing_uses_has_no_window(ground: Ground) -> None:
    study = study_scale(ground, "spare_rock")
    assert study.window.bounds == ()
    assert dict(study.by_element) == {}
    assert study.covers == ()
    assert [each.scale.value for each in study.trials] == [9]


def test_only_live_elements_use_a_build(cliff: ShowFolder) -> None:
    cliff.replace("sequences/hill.yaml", "says: It falls.", "says: It falls.\n    state: omitted")
    ground = ground_of(cliff)
    assert users_of(ground, "rock_face") == ("A010.cliff", "B010.cliff")
    # Without the falling shot B's f/22 ends the window.
    common = study_scale(ground, "rock_face").common
    assert common.high.scale_denominator == pytest.approx(10.25, abs=5e-3)


def test_a_narrow_stage_leaves_no_scale_and_tells_three_ways_out(narrow: Ground) -> None:
    opening = study_scale(narrow, "rock_face").opening
    assert opening is not None
    (stage,) = opening.larger
    # At 1:9.952 120 m take 12.06 m; there are 10.
    assert stage.needed.value == pytest.approx(12_058, abs=5)
    assert stage.had is not None
    assert stage.had.value == pytest.approx(10_000)
    smaller = {each.bound.element: each.needed for each in opening.smaller}
    # To reach 1:12 B stops down 2 log2(12 / 10.25) further, and C wants 2.5 log2(12 / 9.952) more
    # light, for depth and for its rate.
    assert set(smaller) == {"B010.cliff", "C010.cliff"}
    assert smaller["B010.cliff"].value == pytest.approx(2 * math.log2(12 / 10.251), abs=2e-3)
    assert smaller["C010.cliff"].value == pytest.approx(0.675, abs=2e-3)
    assert smaller["C010.cliff"].unit == "stops"
    assert opening.left_out == ("A010.cliff",)
    assert opening.rest.high.scale_denominator == pytest.approx(9.952, abs=2e-3)


def test_the_light_told_is_the_light_that_opens_the_window(cliff: ShowFolder) -> None:
    # 12 / 9.952 asks for .675 stops by the rule; 2000 fc x 2^.675 = 3193. But for the close-up
    # factor, which takes a thirtieth of a stop more at 1:12, the falling shot then ends there.
    cliff.replace("sequences/hill.yaml", "light: 2000 fc", "light: 3193 fc")
    found = study_scale(ground_of(cliff), "rock_face").window.bounds
    (light,) = [
        each.limit.value
        for each in found
        if each.element == "C010.cliff" and "in the light" in each.limit.name
    ]
    assert light == pytest.approx(12, abs=0.1)


def test_two_builds_serve_what_one_cannot(narrow: Ground) -> None:
    study = study_scale(narrow, "rock_face")
    assert [each.elements for each in study.covers] == [
        ("B010.cliff", "C010.cliff"),
        ("A010.cliff",),
    ]
    # The largest whole N of each (C has 60 m of width on 10 m), and what it is made at.
    assert [each.scale.value for each in study.trials] == [6, 9, 12]


def test_a_shot_that_no_scale_serves_is_set_apart(cliff: ShowFolder) -> None:
    # From 3 m on at f/22: 2 x .025 x 22 / (35^2 x (1/3000 - 1/900000)) = 2.70 at most (the term of
    # the focal length takes a little more), and 60 m of depth fit 18 m from 3.33.
    cliff.replace("sequences/hill.yaml", "{from: 8 m, to: 25 m}", "{from: 3 m, to: 900 m}")
    study = study_scale(ground_of(cliff), "rock_face")
    assert study.unserved == ("B010.cliff",)
    assert [each.elements for each in study.covers] == [("A010.cliff", "C010.cliff")]
    assert study.opening is not None
    assert study.opening.left_out == ("B010.cliff",)


def test_a_scale_chosen_outside_the_window_tells_what_would_mend_it(cliff: ShowFolder) -> None:
    cliff.replace("builds.yaml", "scale: 1/9\n    full", "scale: 1/16\n    full")
    mends = study_scale(ground_of(cliff), "rock_face").mends
    told = {(each.bound.element, each.needed.name): each.needed.value for each in mends}
    # B's lens would stand at 1.8 m / 16 = 112.5 mm.
    assert told["B010.cliff", "lowest lens"] == pytest.approx(112.5)
    # B's nearest thing would be 500 mm away; close focus at .6 m from the film is .545 from the
    # lens (m = .0692): it holds, as 1:14.2 does not.
    assert told["B010.cliff", "close focus from the lens"] == pytest.approx(500)


def test_a_faster_camera_is_told_in_frames_a_second(cliff: ShowFolder) -> None:
    cliff.replace("resources.yaml", "top_rate: 120 fps", "top_rate: 60 fps")
    (mend,) = [
        each
        for each in study_scale(ground_of(cliff), "rock_face").mends
        if each.needed.name == "top rate of the camera"
    ]
    assert mend.needed.value == pytest.approx(72)  # 24 sqrt 9
    assert mend.had is not None
    assert mend.had.value == pytest.approx(60)


def test_trying_a_scale_changes_only_the_build(ground: Ground) -> None:
    tried = show_at(ground.show, "rock_face", at(12)[0])
    assert tried.elements["rock_face"].facts.number("scale") == at(12)[0]
    assert tried.elements["spare_rock"] is ground.show.elements["spare_rock"]
    stands = ground.show.elements["rock_face"].facts.number("scale")
    assert stands is not None
    assert stands.value == 9


def test_size_and_mass_follow_the_scale(ground: Ground) -> None:
    first, second = study_scale(ground, "rock_face", at(9, 18)).trials
    assert first.numbers["width"].value == pytest.approx(120_000 / 9)
    # Half the size, an eighth of the mass.
    assert first.numbers["mass"].value == pytest.approx(900)
    assert second.numbers["mass"].value == pytest.approx(112.5)


@pytest.mark.parametrize(
    ("element", "f_number"), [("A010.cliff", 3.8), ("B010.cliff", 19.2), ("C010.cliff", 13.1)]
)
def test_stops_to_hold_at_a_ninth(ground: Ground, element: str, f_number: float) -> None:
    # The worked example: f/3.8, f/19.2, and T14.4 over 1.1 = f/13.1
    found = use_of(ground, element, 9).numbers["stop to hold"]
    assert found.value == pytest.approx(f_number, abs=0.05)


def test_rate_light_and_nearest_at_a_ninth(ground: Ground) -> None:
    found = use_of(ground, "C010.cliff", 9).numbers
    assert found["gravity rate"].value == pytest.approx(72)
    # T14.4 wanted of the T16.4 the light allows: 2 log2 (14.4 / 16.4) = -.375, to spare
    assert found["stops short"].value == pytest.approx(-0.375, abs=0.02)
    assert found["nearest to lens"].value == pytest.approx(12_000 / 9)
    # .6 m from the film: 1 / m + m + 2 = 600 / 35, m = .06633, u = 35 x (1 + 1 / m) = 562.7
    assert found["focuses from"].value == pytest.approx(562.7, abs=0.1)


def test_a_scale_too_large_fits_no_stage(ground: Ground) -> None:
    assert use_of(ground, "A010.cliff", 8).stages == ()
    assert use_of(ground, "A010.cliff", 9).stages == ("north",)
    width = use_of(ground, "A010.cliff", 8).numbers["width"]
    assert width.value == pytest.approx(15_000)  # 120 m / 8, on 14 m


def test_each_scale_tells_its_limits_and_findings(ground: Ground) -> None:
    large, small = study_scale(ground, "rock_face", at(8, 12)).trials
    assert {each.element for each in large.broken} == {"A010.cliff"}
    assert {each.element for each in small.broken} == {"B010.cliff", "C010.cliff"}
    assert "stage-too-small" in {each.code for each in large.problems}
    assert "light-short" in {each.code for each in small.problems}


def test_charges_change_with_the_rate_of_the_camera(ground: Ground) -> None:
    # The falling shot runs at 24 sqrt N; more frames are rolled about the action at 1:16.
    stands, smaller = study_scale(ground, "rock_face", at(9, 16)).trials
    assert dict(stands.changes) == {}
    assert smaller.changes["negative, units"].value > 0


def test_a_build_not_settled_is_tried_at_its_candidates(cliff: ShowFolder) -> None:
    cliff.replace("builds.yaml", "scale: 1/9\n    full", "candidates: [1/8, 1/9, 1/12]\n    full")
    study = study_scale(ground_of(cliff), "rock_face")
    assert study.window.chosen is None
    assert [each.scale.value for each in study.trials] == [8, 9, 12]


def test_a_settled_build_is_tried_at_the_whole_scales_of_its_window(ground: Ground) -> None:
    # 8.571 to 9.952 holds one whole N.
    assert [each.scale.value for each in study_scale(ground, "rock_face").trials] == [9]


def test_trying_what_stands_gives_what_stands(ground: Ground) -> None:
    (trial,) = study_scale(ground, "rock_face", at(9)).trials
    stage = [
        work.hours.likely
        for name in ("A010.cliff", "B010.cliff", "C010.cliff")
        for work in ground.estimates.by_element[name].work
        if work.phase.value == "stage"
    ]
    assert trial.numbers["stage hours"].value == pytest.approx(math.fsum(stage))


@pytest.fixture
def costs(ground: Ground) -> Callable[[float], dict[str, float]]:
    def of(n: float) -> dict[str, float]:
        (trial,) = study_scale(ground, "rock_face", at(n)).trials
        return {name: each.value for name, each in trial.numbers.items()}

    return of


def test_trying_a_scale_leaves_nothing_behind(
    costs: Callable[[float], dict[str, float]],
) -> None:
    before = costs(9)
    assert costs(16) != before
    assert costs(9) == before
