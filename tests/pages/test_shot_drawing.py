"""One shot's drawing that stands alone: places, words, looks, and whatever a name may hold."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from types import MappingProxyType

import pytest

from planner.estimate.estimates import Estimates
from planner.kinds import Phase
from planner.pages.graph_nodes import slug
from planner.pages.shot_drawing import shot_drawings
from planner.pages.wording import inert
from tests.pages.test_graph_drawing import HOSTILE, SVG, Drawing, many_shots, one_shot

NOBODY_WAITS = MappingProxyType({})


def drawn(drawing: Drawing, shot: str = "A_010", waiting=NOBODY_WAITS) -> ET.Element:
    estimates = Estimates(drawing.estimates, {}, (), ())
    (svg,) = shot_drawings(drawing.show(), drawing.arrows, (shot,), estimates, waiting)
    return ET.fromstring(svg)  # noqa: S314 - our own drawing


def box(root: ET.Element, id_: str) -> ET.Element:
    return next(each for each in root.iter(f"{SVG}g") if each.get("id") == slug(id_))


def frame(root: ET.Element, id_: str) -> str:
    return box(root, id_).find(f"{SVG}rect").get("class")


def lines_of(element: ET.Element) -> list[str]:
    return [each.text or "" for each in element.findall(f"{SVG}text")]


def words_on_arrows(root: ET.Element) -> dict[str, str]:
    """By the whole sentence of an arrow, what is written where it ends."""
    found = [each for each in root.iter(f"{SVG}text") if each.get("class") == "w"]
    return {each.find(f"{SVG}title").text: each.find(f"{SVG}title").tail for each in found}


def left_of(root: ET.Element, id_: str) -> int:
    return int(re.match(r"translate\((\d+)", box(root, id_).get("transform"))[1])


def test_time_runs_from_left_to_right_under_the_names_of_its_phases() -> None:
    root = drawn(one_shot())
    order = ("dam", "A_010.plate", "A_010.model", "A_010.comp")
    lefts = [left_of(root, each) for each in order]
    assert lefts == sorted(set(lefts))
    heads = [each for each in root.iter(f"{SVG}text") if each.get("class") == "h"]
    said = ["made", "photographed on location", "photographed on stage", "finished"]
    assert [each.text for each in heads] == said
    assert [int(each.get("x")) for each in heads] == lefts


def test_arrows_say_the_relation_in_words_and_from_afar_their_start() -> None:
    # From the dam, past the plate's column, to the model; from the model to the column after it.
    assert words_on_arrows(drawn(one_shot())) == {
        "dam is photographed as A_010.model": "dam is photographed as",
        "A_010.plate is joined into A_010.comp": "plate is joined into",
        "A_010.model is joined into A_010.comp": "is joined into",
    }


def test_words_on_arrows_into_one_box_stand_apart() -> None:
    root = drawn(one_shot())
    joined = [each for each in root.iter(f"{SVG}text") if (each[0].tail if len(each) else "")]
    heights = sorted(int(each.get("y")) for each in joined if "joined" in each[0].tail)
    # Ten pixels of type, fourteen from line to line.
    assert heights[1] - heights[0] == 14


def test_what_is_waited_for_is_thick_with_what_stands_in_its_way() -> None:
    root = drawn(one_shot(), waiting={"A_010.model": "the pond leaks", "A_010.comp": ""})
    assert frame(root, "A_010.model").split() == ["d", "y"]
    assert "the pond leaks" in lines_of(box(root, "A_010.model"))
    assert frame(root, "A_010.plate") == "c"
    thick = [each for each in root.iter(f"{SVG}path") if each.get("class") == "u y"]
    assert len(thick) == 2  # the line from model to comp, and its head
    assert "thick: not done, and waited for" in "".join(root.itertext())
    assert "thick" not in "".join(drawn(one_shot()).itertext()).replace("stroke", "")


def test_errors_and_what_is_not_made_are_said_in_words_and_in_the_key() -> None:
    drawing = one_shot()
    drawing.add("sky", "painting", Phase.BUILD, shot="A_010", errors=2)
    root = drawn(drawing)
    assert lines_of(box(root, "A_010.sky")) == ["sky", "painting, 8 h", "2 errors"]
    assert frame(root, "A_010.sky").split() == ["b", "x"]
    drawing.shot("A_010", "the dam gives way", state="omitted")
    drawing.add("late", "plate", Phase.LOCATION, shot="A_010")
    off = drawn(drawing)
    assert lines_of(box(off, "A_010.late")) == ["late", "plate, 8 h", "not made"]
    assert frame(off, "A_010.late") == "z"
    assert "not made" in [each.text for each in off.iter(f"{SVG}text") if each.get("class") == "k"]


def test_what_only_comes_before_is_dashed() -> None:
    drawing = one_shot()
    drawing.join("A_010.plate", "waits_for", "A_010.model")
    dashed = [each for each in drawn(drawing).iter(f"{SVG}path") if each.get("class") == "v"]
    # One from plate to model; the other is the sample in the key.
    assert len(dashed) == 2
    assert "only has to come before" in "".join(drawn(drawing).itertext())


@pytest.mark.parametrize("name", HOSTILE)
def test_any_name_and_sentence_is_shown_and_nothing_of_it_obeyed(name: str) -> None:
    drawing = one_shot()
    drawing.shot("A_010", name)
    for id_ in ("A_010.plate", "A_010.model", "A_010.comp"):
        drawing.add(id_.partition(".")[2], "plate", Phase.LOCATION, shot="A_010")
    drawing.add(name, "build", Phase.BUILD)
    drawing.join(name, name, "A_010.model")
    root = drawn(drawing, waiting={name: name})
    plain = inert(name)
    assert root.find(f"{SVG}title").text == f"A_010: {plain}"
    assert box(root, name).find(f"{SVG}title").text == f"{plain}; {plain}"
    assert f"{plain} {inert(name.replace('_', ' '))} A_010.model" in words_on_arrows(root)
    marks = {each.tag.removeprefix(SVG) for each in root.iter()}
    assert marks == {"svg", "title", "desc", "style", "rect", "text", "g", "path"}
    ids = [each.get("id") for each in root.iter() if each.get("id")]
    assert all(re.fullmatch(r"[A-Za-z0-9_.-]+", each) for each in ids)


def test_nothing_is_asked_of_any_other_place() -> None:
    (svg,) = shot_drawings(
        one_shot().show(), one_shot().arrows, ("A_010",), Estimates({}, {}, (), ())
    )
    assert re.findall(r"https?://[^\"]*", svg) == ["http://www.w3.org/2000/svg"]
    assert "url(" not in svg
    assert "href" not in svg


def test_a_shot_is_drawn_with_everything_it_needs_and_nothing_else() -> None:
    drawing = many_shots(6)
    arrows, show = drawing.arrows, drawing.show()
    estimates = Estimates(drawing.estimates, {}, (), ())
    shots = ("A_002", "A_005", "A_002")
    told = list(shot_drawings(show, arrows, shots, estimates))
    held = re.findall(r'<g id="([^"]+)"', told[0])
    assert held == ["dam", "A_002.model", "A_002.comp"]
    assert told[0] == told[2] != told[1]


def test_a_shot_without_pieces_is_its_title() -> None:
    drawing = one_shot()
    drawing.shot("A_020", "nothing yet")
    root = drawn(drawing, "A_020")
    assert "".join(root.find(f"{SVG}text").itertext()) == "A_020: nothing yet"
