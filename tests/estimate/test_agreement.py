"""Agreement as a whole: which pieces are compared, and that nothing stated can upset it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planner.estimate.agreement import RULES

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.model.place import Problem
    from tests.estimate.conftest import OneShot

    Find = Callable[..., dict[str, Problem]]

LENGTHS = st.sampled_from(["0 m", "1 um", "35 mm", "5 m", "40 m", "9000 km", "'?'"])
ANGLES = st.sampled_from(["0 deg", "-90 deg", "89.999 deg", "180 deg", "-720 deg", "'?'"])
SPEEDS = st.sampled_from(["0 m/s", "1 mm/s", "8000 km/h", "'?'"])
STOPS = st.sampled_from(["-3 stops", "0 stops", "40 stops"])
FRAMES = st.sampled_from(["1-96", "1-1", "90-4000", "97-98"])
SIDE = st.fixed_dictionaries(
    {}, optional={"distance": LENGTHS, "speed": SPEEDS, "size": LENGTHS, "faces": ANGLES}
)
LIGHT = st.fixed_dictionaries({"from": ANGLES}, optional={"height": ANGLES})
PLACE = st.fixed_dictionaries(
    {}, optional={"distance": LENGTHS, "height": LENGTHS, "tilt": ANGLES, "roll": ANGLES}
)
PIECE = st.fixed_dictionaries(
    {},
    optional={
        "in_frame": FRAMES,
        "frames_in_hand": FRAMES,
        "focal_length": LENGTHS,
        "stop": st.sampled_from(["f/0.7", "f/8", "T11", "f/128"]),
        "camera_place": PLACE,
        "ground": LENGTHS,
        "key_light": LIGHT,
        "contrast": STOPS,
        "wind_from": ANGLES,
        "blur": st.sampled_from(["real", "none", "added"]),
        "stands_for": st.sampled_from(["1/1", "1/9000"]),
        "hand_over": st.fixed_dictionaries(
            {}, optional={"entry": SIDE, "exit": SIDE, "distance": LENGTHS}
        ),
    },
)
CAMERA = st.fixed_dictionaries(
    {},
    optional={
        "focal_length": LENGTHS,
        "height": LENGTHS,
        "tilt": ANGLES,
        "roll": ANGLES,
        "distance": LENGTHS,
        "focus": LENGTHS,
        "stop": st.sampled_from(["f/1", "f/22"]),
    },
)


def flow(facts: object) -> str:
    """Facts as YAML on one line, without the outer braces."""
    assert isinstance(facts, dict)
    return ", ".join(
        f"{name}: {{{flow(value)}}}" if isinstance(value, dict) else f"{name}: {value}"
        for name, value in facts.items()
    )


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(camera=CAMERA, sky=PIECE, town=PIECE)
def test_nothing_one_may_state_upsets_it_or_prints_infinity(
    one_shot: OneShot, camera: dict[str, str], sky: dict[str, str], town: dict[str, str]
) -> None:
    one_shot.write(camera=flow(camera), sky=flow(sky), town=flow({**town, "hands_over_to": "sky"}))
    for problem in one_shot.found():
        said = f"{problem.message} {problem.remedy}"
        assert not re.search(r"\b(inf|nan|[\d.]+e[-+]\d+)\b", said), said
        assert problem.about in {"HL010.sky", "HL010.town"}
        assert problem.place.line > 0


def test_pieces_are_reached_through_their_outlines(one_shot: OneShot) -> None:
    one_shot.write(
        more="""\
          far: {kind: plate, sort: live, on: location, focal_length: 50 mm}
          outline: {kind: roto, sort: garbage, roto_of: far}
        """
    )
    one_shot.folder.replace("sequences/hill.yaml", "joins: [sky, town]", "joins: [sky, outline]")
    assert "HL010.far" in {each.about for each in one_shot.found()}


def test_what_no_composite_joins_is_not_compared(find: Find) -> None:
    assert find(more="  far: {kind: plate, sort: live, on: location, focal_length: 50 mm}\n") == {}


def test_a_shot_that_is_omitted_is_not_compared(find: Find) -> None:
    assert find(shot="state: omitted", town="focal_length: 50 mm") == {}


def test_every_rule_lets_more_pass_the_higher_it_is_set() -> None:
    assert all(0 < each.low <= each.likely <= each.high for each in RULES)
    assert len({each.name for each in RULES}) == len(RULES)


def test_what_comes_from_a_library_must_agree_too(one_shot: OneShot) -> None:
    one_shot.write(
        sky="wind_from: 0 deg",
        more="  smoke: {kind: stock, library: our own, wind_from: 90 deg}\n",
    )
    one_shot.folder.replace("sequences/hill.yaml", "joins: [sky, town]", "joins: [sky, smoke]")
    assert [(each.code, each.about) for each in one_shot.found()] == [
        ("wind-differs", "HL010.smoke")
    ]


def test_a_check_of_a_piece_is_no_recording_of_its_camera(one_shot: OneShot) -> None:
    one_shot.write(more="  seen: {kind: check_composite, of: town, against: sky}\n")
    assert one_shot.found() == ()
