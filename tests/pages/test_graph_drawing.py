from __future__ import annotations

import re
import shutil
import subprocess
import sysconfig
import xml.etree.ElementTree as ET
from dataclasses import replace
from datetime import date, time
from decimal import Decimal
from types import MappingProxyType

import networkx as nx
import pytest

from planner.estimate.estimates import Estimates
from planner.kinds import Estimate, Hours, Phase, Work
from planner.model.facts import Facts
from planner.model.place import Place, Problem, Severity
from planner.model.quantity import Quantity
from planner.model.show import Element, Loads, Sequence, Shot, Show, WorkCalendar
from planner.pages import render
from planner.pages.graph_drawing import dot_source, draw_part
from planner.pages.graph_nodes import in_words, slug
from planner.pages.wording import inert

SVG = "{http://www.w3.org/2000/svg}"
XLINK = "{http://www.w3.org/1999/xlink}"
HERE = Place("a.yaml", 1, 1)
NOTHING_ESTIMATED = Estimates({}, {}, (), ())
LOADS = Loads(Decimal(0), MappingProxyType({}), False)
WEEK = WorkCalendar(date(2026, 3, 2), frozenset(range(5)), (), time(8), 8.0)
HOSTILE = (
    'say "dam"',
    "<b>bold</b> & <script>alert(1)</script>",
    "already &amp; written &#65; &lt;x&gt;",
    r"back \N \G \L \n \\ slash \"",
    "two\nlines\tand a tab",
    "הברזל של הסכר",
    "turned \u202e round",
    "鷺と時計",
    "bell \x07 escape \x1b[31m",
    "'quoted'; ]} -> {[",
    "x" * 300,
    "a long name " * 24 + "ends",
)
BESIDE = shutil.which("graphviz-pure", path=sysconfig.get_path("scripts"))
PROGRAMS = [each for each in (shutil.which("dot"), BESIDE) if each]


class Drawing:
    """A small show and its arrows, drawn."""

    def __init__(self) -> None:
        self.shots: dict[str, Shot] = {}
        self.elements: dict[str, Element] = {}
        self.estimates: dict[str, Estimate] = {}
        self.arrows: nx.DiGraph[str] = nx.DiGraph()

    def shot(self, name: str, says: str = "", state: str = "live", sequence: str = "A") -> None:
        self.shots[name] = Shot(name, sequence, says, None, state, Facts(HERE), (), HERE)

    def add(self, name: str, kind: str, phase: Phase | None = None, *, shot: str = "", errors=0):
        id_ = f"{shot}.{name}" if shot else name
        self.elements[id_] = Element(id_, kind, shot, Facts(HERE), (), HERE)
        if shot in self.shots:
            held = self.shots[shot]
            self.shots[shot] = replace(held, elements=(*held.elements, id_))
        found = tuple(Problem(Severity.ERROR, HERE, f"c{each}", "m") for each in range(errors))
        hours = Hours(8, 8, 8)
        work = (Work("do", "c", phase, hours, Quantity("hours", 8, "h")),) if phase else ()
        self.estimates[id_] = Estimate(id_, work=work, problems=found)
        self.arrows.add_node(id_)

    def join(self, needed: str, role: str, needs: str) -> None:
        self.arrows.add_edge(needed, needs, role=role)

    def show(self) -> Show:
        names = dict.fromkeys(shot.sequence for shot in self.shots.values())
        sequences = {
            name: Sequence(
                name,
                name,
                tuple(each.id for each in self.shots.values() if each.sequence == name),
                Facts(HERE),
                HERE,
            )
            for name in names
        }
        return Show(
            "s", "Dam", "GBP", WEEK, sequences, self.shots, self.elements, {}, {}, {}, (), LOADS,
            Facts(HERE),
        )  # fmt: skip

    def dot(self, title: str = "A drawing", *, collapse: bool = False) -> str:
        estimates = Estimates(self.estimates, {}, (), ())
        return dot_source(self.show(), self.arrows, estimates, title=title, collapse=collapse)


def one_shot() -> Drawing:
    drawing = Drawing()
    drawing.shot("A_010", "the dam gives way")
    drawing.add("dam", "build", Phase.BUILD)
    drawing.add("plate", "plate", Phase.LOCATION, shot="A_010")
    drawing.add("model", "miniature", Phase.STAGE, shot="A_010")
    drawing.add("comp", "composite", Phase.FINISH, shot="A_010")
    drawing.join("dam", "build", "A_010.model")
    drawing.join("A_010.plate", "joins", "A_010.comp")
    drawing.join("A_010.model", "joins", "A_010.comp")
    return drawing


def many_shots(count: int) -> Drawing:
    drawing = Drawing()
    drawing.add("dam", "build", Phase.BUILD)
    for number in range(count):
        shot = f"A_{number:03d}"
        drawing.shot(shot, "the dam", sequence=f"S{number // 5}")
        drawing.add("model", "miniature", Phase.STAGE, shot=shot)
        drawing.add("comp", "composite", Phase.FINISH, shot=shot)
        drawing.join("dam", "build", f"{shot}.model")
        drawing.join(f"{shot}.model", "joins", f"{shot}.comp")
    return drawing


def drawn(dot: str, program: str) -> ET.Element:
    done = subprocess.run([program, "-Tsvg"], input=dot.encode(), capture_output=True, check=True)
    return ET.fromstring(done.stdout)  # noqa: S314 - our own drawing


def texts(root: ET.Element) -> list[str]:
    return ["".join(each.itertext()) for each in root.iter(f"{SVG}text")]


def tooltips(root: ET.Element) -> list[str]:
    return [each.get(f"{XLINK}title", "") for each in root.iter(f"{SVG}a")]


def left_of(root: ET.Element, text: str) -> float:
    return next(
        float(each.get("x", "nan"))
        for each in root.iter(f"{SVG}text")
        if "".join(each.itertext()) == text
    )


@pytest.mark.parametrize("program", PROGRAMS)
@pytest.mark.parametrize("name", HOSTILE)
def test_any_name_comes_out_as_it_went_in(name: str, program: str) -> None:
    drawing = Drawing()
    drawing.add(name, "build", Phase.BUILD)
    drawing.add("model", "miniature", Phase.STAGE)
    drawing.join(name, name, "model")
    root = drawn(drawing.dot(title=name), program)
    plain = inert(name)
    assert f"{plain}" in tooltips(root)
    assert f"{plain} {plain.replace('_', ' ')} model" in tooltips(root)
    said = "".join("".join(texts(root)).split())
    start = "".join(plain.split())[:40]
    assert said.count(start) >= 2 if len(plain) > 60 else said.count(start) == 3


@pytest.mark.parametrize("program", PROGRAMS)
@pytest.mark.parametrize("name", HOSTILE)
def test_any_sentence_comes_out_of_the_collapsed_show(name: str, program: str) -> None:
    drawing = many_shots(2)
    drawing.shot("A_000", name, state="omitted")
    root = drawn(drawing.dot(title=name, collapse=True), program)
    wanted = f"A_000: omitted: {inert(name)}; rests on dam"
    assert wanted in tooltips(root)


@pytest.mark.parametrize("name", HOSTILE)
def test_links_and_ids_hold_nothing_but_slugs(name: str) -> None:
    drawing = Drawing()
    drawing.add(name, "build", Phase.BUILD)
    for found in re.findall(r'(?:URL|id)="([^"]*)"', drawing.dot()):
        assert re.fullmatch(r"#?[A-Za-z0-9_.-]+", found)


def test_different_ids_have_different_slugs() -> None:
    names = ["a b", "a-b", "a/b", "", "x" * 300, "x" * 299 + "y", "é" * 50, "é" * 51]
    assert len({slug(each) for each in names}) == len(names)
    assert slug("A_010.dam") == "A_010.dam"


def test_a_long_name_is_shortened_and_kept_whole_in_the_tooltip() -> None:
    drawing = Drawing()
    drawing.add("x" * 300, "build")
    dot = drawing.dot()
    assert f'tooltip="{"x" * 300}"' in dot
    assert "…" in dot
    assert f"<B>{'x' * 24}</B>" in dot


@pytest.mark.skipif(not PROGRAMS, reason="no Graphviz")
def test_time_runs_from_left_to_right() -> None:
    root = drawn(one_shot().dot(), PROGRAMS[0])
    order = [left_of(root, each) for each in ("dam", "plate", "model", "comp")]
    assert order == sorted(order)
    headings = ("made", "photographed on location", "photographed on stage", "finished")
    assert [left_of(root, each) for each in headings] == sorted(
        left_of(root, each) for each in headings
    )


def test_arrows_say_the_relation_in_words() -> None:
    dot = one_shot().dot()
    assert '"dam" -> "A_010.model"' in dot
    assert "label=<is photographed as>" in dot
    assert "label=<is joined into>" in dot


def test_a_role_nobody_knows_is_said_as_written() -> None:
    drawing = one_shot()
    drawing.join("dam", "cue_from", "A_010.comp")
    assert "label=<cue from>" in drawing.dot()


def test_kinds_differ_in_shape_and_not_in_hue_alone() -> None:
    dot = one_shot().dot()
    shapes = {
        name: re.search(rf'"{name}" \[.*?shape=(\w+)', dot)[1]
        for name in ("dam", "A_010.model", "A_010.comp")
    }
    assert len(set(shapes.values())) == 3


def test_errors_and_states_are_said_in_words() -> None:
    drawing = one_shot()
    drawing.add("sky", "painting", Phase.BUILD, shot="A_010", errors=2)
    assert "<B>2 errors</B>" in drawing.dot()
    drawing.shot("A_010", "the dam gives way", state="omitted")
    assert "composite, 8 h, omitted" in drawing.dot()


def test_a_few_shots_share_one_node_of_a_build() -> None:
    dot = many_shots(3).dot()
    assert dot.count('"dam" -> ') == 3


def test_in_many_shots_a_build_is_named_again_in_each() -> None:
    dot = many_shots(6).dot()
    assert '"dam" -> ' not in dot
    assert dot.count("label=<dam>") == 6
    assert dot.count('id="dam"') == 1


@pytest.mark.skipif(not PROGRAMS, reason="no Graphviz")
def test_bands_stand_in_the_order_of_the_story() -> None:
    root = drawn(many_shots(8).dot(), PROGRAMS[0])
    heights = [
        float(each.get("y", "nan"))
        for number in range(8)
        for each in root.iter(f"{SVG}text")
        if "".join(each.itertext()) == f"A_{number:03d}: the dam"
    ]
    assert heights == sorted(heights)
    assert len(heights) == 8


def test_collapsed_there_is_one_row_a_shot_and_one_node_a_shared_build() -> None:
    drawing = many_shots(6)
    drawing.add("boat", "build", Phase.BUILD)
    drawing.join("boat", "build", "A_001.model")
    dot = drawing.dot(collapse=True)
    assert re.findall(r'ID="([^"]+)"', dot) == [f"A_{each:03d}" for each in range(6)]
    # The boat serves one shot only, and is drawn within it.
    assert re.findall(r'\[id="([^"]+)"', dot) == ["dam"]
    assert dot.count('"dam" -> "list ') == 6


def test_collapsed_what_has_no_arrow_is_framed_and_said_to_have_none() -> None:
    drawing = many_shots(2)
    assert "nothing here waits for these" not in drawing.dot(collapse=True)
    drawing.add("bank", "build", Phase.BUILD)
    _before, apart = drawing.dot(collapse=True).split("nothing here waits for these")
    framed, _rest = apart.split("  }", 1)
    assert '"bank" [' in framed
    assert '"dam" [' not in framed


def test_collapsed_arrows_of_one_pair_are_merged() -> None:
    drawing = many_shots(2)
    drawing.add("second", "miniature", Phase.STAGE, shot="A_000")
    drawing.join("dam", "build", "A_000.second")
    drawing.join("dam", "waits_for", "A_000.comp")
    dot = drawing.dot(collapse=True)
    assert dot.count('"dam" -> ') == 2
    assert "label=<is photographed as, comes before>" in dot


def test_many_collapsed_arrows_run_to_the_lists_with_their_count() -> None:
    dot = many_shots(45).dot(collapse=True)
    assert dot.count("label=<is photographed as in 5 shots>") == 9
    assert dot.count('ID="') == 45


@pytest.mark.parametrize("program", PROGRAMS)
@pytest.mark.parametrize("count", [1, 6, 45, 200])
def test_collapsed_every_shot_is_seen_however_few_lists_stand_in_a_column(
    count: int, program: str
) -> None:
    # One sequence makes one column of one list, 40 make several columns.
    said = texts(drawn(many_shots(count).dot(collapse=True), program))
    assert [shot for shot in many_shots(count).shots if shot not in said] == []


@pytest.mark.parametrize("program", PROGRAMS)
@pytest.mark.parametrize("count", [1, 6, 45])
@pytest.mark.parametrize("collapse", [False, True])
def test_every_drawing_is_accepted_without_a_word(count: int, collapse: bool, program: str) -> None:
    dot = many_shots(count).dot(collapse=collapse)
    done = subprocess.run([program, "-Tsvg"], input=dot.encode(), capture_output=True, check=True)
    complaints = [
        each for each in done.stderr.decode().splitlines() if each and "non-ASCII" not in each
    ]
    assert complaints == []


def test_nothing_to_draw_is_an_empty_drawing(tmp_path) -> None:
    dot = Drawing().dot()
    assert Drawing().dot(collapse=True).startswith("digraph")
    if PROGRAMS:
        assert render.render(dot, "svg", tmp_path / "empty.svg") is None


def test_the_same_show_gives_the_same_text() -> None:
    assert many_shots(20).dot() == many_shots(20).dot()


def test_what_one_shot_alone_needs_stands_in_its_band() -> None:
    drawing = many_shots(6)
    drawing.add("boat", "build", Phase.BUILD)
    drawing.join("boat", "build", "A_001.model")
    dot = drawing.dot()
    band = dot[dot.index('subgraph "cluster A_001"') :]
    assert 'id="boat"' in band[: band.index("  }\n")]
    assert '"boat" -> "A_001.model"' in dot


def test_a_part_is_drawn_with_everything_it_needs_and_nothing_else() -> None:
    drawing = many_shots(6)
    show = drawing.show()
    shot = draw_part(show, drawing.arrows, "A_002", NOTHING_ESTIMATED)
    assert sorted(re.findall(r'\[id="([^"]+)"', shot)) == ["A_002.comp", "A_002.model", "dam"]
    sequence = draw_part(show, drawing.arrows, "S0", NOTHING_ESTIMATED)
    assert "A_004.comp" in sequence
    assert "A_005" not in sequence
    assert 'ID="A_005"' in draw_part(show, drawing.arrows, "", NOTHING_ESTIMATED)


def test_without_estimates_a_kind_stands_where_it_usually_falls() -> None:
    drawing = one_shot()
    dot = draw_part(drawing.show(), drawing.arrows, "A_010", NOTHING_ESTIMATED)
    for heading in ("made", "photographed on location", "photographed on stage", "finished"):
        assert f"<I>{heading}</I>" in dot


def test_every_relation_by_which_work_waits_is_said_in_words() -> None:
    from planner.kinds import Registry

    kinds = Registry()
    roles = {
        name
        for kind in (kinds.get(name, Place("")) for name in kinds.names)
        if not isinstance(kind, Problem)
        for name, stated in kind.schema()["properties"].items()
        if isinstance(stated, dict) and stated.get("waits") is True
    }
    assert {"pass_of", "into", "people_plate"} <= roles
    assert [role for role in roles if in_words((role,)) == role.replace("_", " ")] == []
