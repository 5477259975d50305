"""Scales as text of 80 columns, as a drawing and as JSON."""

from __future__ import annotations

import json
from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING
from xml.etree import ElementTree

import pytest

from planner.cli.opening import open_show
from planner.craft.window import Bound, Window
from planner.estimate.estimates import ScaleWindow
from planner.estimate.scales import Ground, Opening, Relaxation, ScaleStudy, study_scale
from planner.kinds import Registry, ScaleBound
from planner.model.quantity import Quantity
from planner.pages.scale_drawing import studies_svg
from planner.pages.scale_json import studies_json
from planner.pages.scale_text import ratio, span, studies_text
from planner.pages.wording import columns

if TYPE_CHECKING:
    from planner.model.show import Show
    from tests.conftest import ShowFolder

SVG = "{http://www.w3.org/2000/svg}"


def parsed(drawing: str) -> ElementTree.Element:
    return ElementTree.fromstring(drawing)  # noqa: S314 - a drawing of our own


def bound(element: str, name: str, n: float, *, low: bool) -> ScaleBound:
    limit = Quantity(name, n, "1:N", reason=f"{name} reckoned")
    return ScaleBound("dam", element, at_least=low, limit=limit, relax=f"another {name}")


def window(low: tuple[str, str, float], high: tuple[str, str, float]) -> Window:
    return Window(Bound(*low[:2], "low", low[2]), Bound(*high[:2], "high", high[2]))


FREE = ("", "full size", 1.0), ("", "nothing", float("inf"))


def study_of(by_element: dict[str, Window], common: Window, **rest: object) -> ScaleStudy:
    bounds = tuple(
        bound(element, end.reason, end.scale_denominator, low=end.side == "low")
        for element, each in by_element.items()
        for end in (each.low, each.high)
        if end.shot
    )
    scales = ScaleWindow("dam", None, None, bounds, Quantity("scale", 8, "1:N"), ())
    plain = ScaleStudy(scales, common, MappingProxyType(by_element), None, (), (), (), ())
    return replace(plain, **rest)


# Limits are said rounded to where they serve: 8.571 as least N is 8.58, 6.04 as most N is itself.
WIDE = window(("A.dam", "stage", 8.571), ("A.dam", "lowest lens", 40))
NEAR = window(("B.dam", "stage", 3.333), ("B.dam", "f/22", 6.04))


@pytest.fixture
def empty() -> ScaleStudy:
    """Two elements whose scales do not meet."""
    common = window(("A.dam", "stage", 8.571), ("B.dam", "f/22", 6.04))
    light = Quantity("more light", 1.26, "stops")
    room = Quantity("stage for its width", 19_870, "mm")
    had = Quantity("stage for its width", 14_000, "mm")
    opening = Opening(
        (Relaxation(bound("B.dam", "f/22", 6.04, low=False), 8.571, light, None),),
        (Relaxation(bound("A.dam", "stage", 8.571, low=True), 6.04, room, had),),
        ("A.dam",),
        NEAR,
    )
    return study_of({"A.dam": WIDE, "B.dam": NEAR}, common, opening=opening)


@pytest.fixture
def opened(show: ShowFolder) -> tuple[Show, ScaleStudy]:
    """The small show's town, tried at three scales."""
    found, problems = open_show(show.path)
    assert found is not None, problems
    ground = Ground(found.show, found.graph, Registry(), found.estimates)
    tried = tuple(Quantity("scale", n, "1:N") for n in (6, 24, 60))
    return found.show, study_scale(ground, "hill_town", tried)


def text_of(study: ScaleStudy, show: Show, *, full: bool = False) -> str:
    return studies_text([study], show, full=full)


@pytest.mark.parametrize(
    ("n", "said"),
    [
        (24, "1:24"),
        (8.5714, "1:8.57"),
        (166.28, "1:166"),
        (2400, "1:2400"),
        (0.5, "2:1"),
    ],
)
def test_scales_are_said_to_three_figures(n: float, said: str) -> None:
    assert ratio(n) == said


def test_a_window_without_an_end_says_so() -> None:
    assert span(WIDE) == "1:8.58 to 1:40"
    assert span(Window(WIDE.low, Bound("", "nothing", "high", float("inf")))) == (
        "1:8.58 and smaller"
    )
    assert span(window(("A", "x", 9), ("B", "y", 8))) == "none"


def test_everything_fits_eighty_columns(opened: tuple[Show, ScaleStudy]) -> None:
    show, study = opened
    text = text_of(study, show, full=True)
    assert max(columns(line) for line in text.splitlines()) <= 80


def test_every_limit_is_told_with_its_reason(opened: tuple[Show, ScaleStudy]) -> None:
    show, study = opened
    text = " ".join(text_of(study, show, full=True).split())
    assert study.window.bounds
    for each in study.window.bounds:
        assert f"{each.limit.name}; {each.limit.reason}" in text
        assert f"To move it: {each.relax}" in text


def test_candidates_stand_side_by_side(opened: tuple[Show, ScaleStudy]) -> None:
    show, study = opened
    lines = text_of(study, show, full=True).splitlines()
    head = next(line.split() for line in lines if line.split() == ["1:6", "1:24", "1:60"])
    assert len(head) == 3
    # The town is 60 m wide: 10 m, 2.5 m and 1 m; the stage takes 50 x 40 m of it at 1:6.
    assert ["width", "10", "m", "2.5", "m", "1", "m"] in [line.split() for line in lines]
    assert any(line.startswith("HL010.town") for line in lines)


def test_more_scales_than_fit_go_on_in_another_table(show: ShowFolder) -> None:
    found, _ = open_show(show.path)
    assert found is not None
    ground = Ground(found.show, found.graph, Registry(), found.estimates)
    tried = tuple(Quantity("scale", n, "1:N") for n in (6, 12, 24, 48, 60, 72))
    lines = text_of(study_scale(ground, "hill_town", tried), found.show, full=True).splitlines()
    heads = [line.split() for line in lines if line.strip().startswith(("1:6 ", "1:60 "))]
    assert ["1:6", "1:12", "1:24", "1:48"] in heads
    assert max(map(len, lines)) <= 80


def test_an_empty_window_tells_its_pair_and_each_way_out(
    empty: ScaleStudy, opened: tuple[Show, ScaleStudy]
) -> None:
    text = text_of(empty, opened[0])
    assert "No single scale serves every element" in text
    assert "no larger: 1:8.58, A.dam: stage" in text
    assert "no smaller: 1:6.04, B.dam: f/22" in text
    assert "make it smaller, 1:8.58: B.dam, more light: 1.3 stops" in text
    assert "stage for its width: 19.9 m in place of 14 m" in text.replace("\n    ", " ")
    assert "leave out A.dam: 1:3.34 to 1:6.04 serves the rest" in text


def test_the_chart_can_be_read_without_its_bars(
    empty: ScaleStudy, opened: tuple[Show, ScaleStudy]
) -> None:
    text = text_of(empty, opened[0])
    rows = [line for line in text.splitlines() if line.endswith("|") and "|-" in line]
    assert [row.split("|")[0].split() for row in rows] == [
        ["A.dam", "1:8.58", "to", "1:40"],
        ["B.dam", "1:3.34", "to", "1:6.04"],
        ["all", "none"],
    ]
    assert all(char.isascii() for row in rows for char in row)
    assert "=" not in rows[2]


def test_a_build_that_nothing_limits_is_named(opened: tuple[Show, ScaleStudy]) -> None:
    plain = study_of({}, Window(Bound("", "full size", "low", 1), Bound("", "", "high", 9e9)))
    assert "Nothing limits the scale of dam." in text_of(plain, opened[0])
    assert "state what is nearest" in text_of(plain, opened[0], full=True)


def test_control_characters_of_a_file_are_spelled_out(opened: tuple[Show, ScaleStudy]) -> None:
    wild = study_of({"A.\x1b[2J": WIDE}, WIDE)
    assert "\x1b" not in text_of(wild, opened[0])


def test_hours_stated_outright_are_said_not_to_follow_the_scale(
    opened: tuple[Show, ScaleStudy],
) -> None:
    show, study = opened
    said = "and do not follow the scale."
    build = show.elements[study.window.build]
    without = replace(
        build.facts, values={k: v for k, v in build.facts.values.items() if k != "hours"}
    )
    hours = replace(build.facts, values={**without.values, "hours": without})
    for facts, is_said in ((without, False), (hours, True)):
        changed = replace(show, elements={**show.elements, build.id: replace(build, facts=facts)})
        assert (said in " ".join(text_of(study, changed, full=True).split())) == is_said


def test_the_drawing_has_title_description_and_no_script(
    opened: tuple[Show, ScaleStudy], empty: ScaleStudy
) -> None:
    drawing = studies_svg([opened[1], empty])
    root = parsed(drawing)
    assert root.get("role") == "img"
    named = root.get("aria-labelledby", "").split()
    assert [root.find(f".//*[@id='{each}']") is not None for each in named] == [True, True]
    told = root.findtext(f"{SVG}desc", "")
    assert "A.dam 1:8.58 to 1:40" in told
    assert "All together: none" in told
    assert not list(root.iter(f"{SVG}script"))


def test_the_drawing_says_its_numbers_in_words(empty: ScaleStudy) -> None:
    words = {each.text for each in parsed(studies_svg([empty])).iter(f"{SVG}text")}
    assert {"A.dam", "1:8.58", "1:40", "1:3.34", "1:6.04", "no scale serves all"} <= words
    assert "not at 1:8; no larger: stage; no smaller: f/22" in words


def test_the_drawing_takes_any_text_for_text() -> None:
    drawing = studies_svg([study_of({'<b a="1">&\x07': WIDE}, WIDE)])
    words = [each.text for each in parsed(drawing).iter(f"{SVG}text")]
    assert '<b a="1">&<U+0007>' in words


def test_words_stay_inside_the_drawing(opened: tuple[Show, ScaleStudy]) -> None:
    root = parsed(studies_svg([opened[1]]))
    _, _, wide, high = (float(each) for each in root.get("viewBox", "").split())
    for each in root.iter(f"{SVG}text"):
        assert 0 < float(each.get("x", "-1")) < wide
    assert high > 100


def test_a_show_of_unlimited_builds_still_draws() -> None:
    drawing = studies_svg([study_of({}, window(*FREE))])
    assert "Nothing limits any build" in parsed(drawing).findtext(f"{SVG}desc", "")


def test_json_tells_what_the_text_tells(opened: tuple[Show, ScaleStudy], empty: ScaleStudy) -> None:
    town, dam = json.loads(studies_json([opened[1], empty]))
    assert town["build"] == "hill_town"
    assert [each["scale"] for each in town["scales"]] == [6, 24, 60]
    assert town["scales"][1]["numbers"]["width"]["value"] == 2500
    assert dam["opening"]["left_out"] == ["A.dam"]
    assert dam["window"] == {
        "empty": True,
        "at_least": {"n": 8.571, "element": "A.dam", "reason": "stage"},
        "at_most": {"n": 6.04, "element": "B.dam", "reason": "f/22"},
    }


def test_json_has_no_endless_number() -> None:
    text = studies_json([study_of({"A": window(*FREE)}, window(*FREE))])
    assert "Infinity" not in text
    assert json.loads(text)[0]["window"]["at_most"] is None
