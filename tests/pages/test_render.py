from __future__ import annotations

import stat
from pathlib import Path

import pytest

from planner.model.place import Problem
from planner.pages import render

DRAWING = "digraph { a -> b }"


@pytest.mark.parametrize(
    ("program", "fmt", "sign"),
    [
        ("dot", "svg", b"<?xml"),
        ("dot", "pdf", b"%PDF"),
        ("dot", "png", b"\x89PNG"),
        ("graphviz-pure", "svg", b"<?xml"),
        ("graphviz-pure", "png", b"\x89PNG"),
    ],
)
def test_each_graphviz_writes_its_formats(program, fmt, sign, tmp_path, monkeypatch) -> None:
    if program == "graphviz-pure":
        monkeypatch.setenv("PATH", str(tmp_path))
    found = render.graphviz()
    if found is None or Path(found).name != program:
        pytest.skip(f"{program} is not installed")
    target = tmp_path / f"drawing.{fmt}"
    assert render.render(DRAWING, fmt, target) is None
    assert target.read_bytes().startswith(sign)


def test_a_pdf_without_the_systems_graphviz_is_refused_in_words(tmp_path, monkeypatch) -> None:
    monkeypatch.setattr(render, "graphviz", lambda: "/somewhere/graphviz-pure")
    problem = render.render(DRAWING, "pdf", tmp_path / "a.pdf")
    assert isinstance(problem, Problem)
    assert problem.code == "graphviz-writes-no-pdf"
    assert "draw an svg" in problem.remedy


@pytest.mark.parametrize("fmt", ["jpg", ""])
def test_a_format_nobody_draws_is_refused_in_words(fmt, tmp_path) -> None:
    problem = render.render(DRAWING, fmt, tmp_path / "a")
    assert isinstance(problem, Problem)
    assert problem.code == "drawing-format-unknown"
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("size", "dots"), [((300, 200), (600, 400)), ((20_000, 400), (10_000, 200))]
)
def test_an_svg_becomes_a_picture_of_twice_its_units_but_no_more_than_memory_bears(
    size, dots, tmp_path
) -> None:
    """Twice 300 by 200; of 20,000 by 400 half of each, as 10,000 dots are the most."""
    wide, high = size
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}" height="{high}"></svg>'
    assert render.render_svg(svg.encode(), "png", tmp_path / "a.png") is None
    # A PNG tells its width and height in its bytes 16 to 23.
    told = (tmp_path / "a.png").read_bytes()[16:24]
    assert (int.from_bytes(told[:4]), int.from_bytes(told[4:])) == dots


def test_an_svg_in_a_format_nobody_draws_is_refused_in_words(tmp_path) -> None:
    problem = render.render_svg(b"<svg/>", "jpg", tmp_path / "a.jpg")
    assert isinstance(problem, Problem)
    assert problem.code == "drawing-format-unknown"


def test_without_graphviz_the_problem_says_what_to_install(tmp_path, monkeypatch) -> None:
    monkeypatch.setattr(render, "graphviz", lambda: None)
    problem = render.render(DRAWING, "svg", tmp_path / "a.svg")
    assert isinstance(problem, Problem)
    assert problem.code == "graphviz-missing"
    assert "graphviz-pure" in problem.remedy


def test_a_drawing_that_fails_leaves_what_stood_there(tmp_path) -> None:
    target = tmp_path / "a.svg"
    target.write_text("the old drawing")
    problem = render.render("digraph { this is not", "svg", target)
    assert isinstance(problem, Problem)
    assert problem.code == "graphviz-failed"
    assert target.read_text() == "the old drawing"
    assert list(tmp_path.iterdir()) == [target]


def test_a_graphviz_that_says_nothing_is_a_problem(tmp_path, monkeypatch) -> None:
    silent = tmp_path / "silent"
    silent.write_text("#!/bin/sh\nexit 0\n")
    silent.chmod(silent.stat().st_mode | stat.S_IXUSR)
    monkeypatch.setattr(render, "graphviz", lambda: str(silent))
    problem = render.render(DRAWING, "svg", tmp_path / "a.svg")
    assert isinstance(problem, Problem)
    assert "it says nothing" in problem.message


def test_a_folder_that_cannot_be_made_is_a_problem(tmp_path) -> None:
    (tmp_path / "file").write_text("in the way")
    problem = render.render(DRAWING, "svg", tmp_path / "file" / "a.svg")
    assert isinstance(problem, Problem)
    assert problem.code == "cannot-write"


@pytest.mark.parametrize("program", ["dot", "graphviz-pure"])
def test_many_drawings_come_out_as_each_does_by_itself(program, tmp_path, monkeypatch) -> None:
    if program == "graphviz-pure":
        monkeypatch.setenv("PATH", str(tmp_path))
    found = render.graphviz()
    if found is None or Path(found).name != program:
        pytest.skip(f"{program} is not installed")
    # Some 30 letters a drawing: three runs, of two drawings each.
    monkeypatch.setattr(render, "_AT_ONCE", 60)
    dots = {f"{name}.svg": f'digraph one {{ a -> "{name}<?xml" }}' for name in "pqrstu"}
    drawings = [(tmp_path / "all" / name, dot) for name, dot in dots.items()]
    assert list(render.render_all(drawings)) == [None] * 6
    for name, dot in dots.items():
        assert render.render(dot, "svg", tmp_path / name) is None
        # Some of the later ones of a run have their outermost group called by its page.
        together = (tmp_path / "all" / name).read_bytes().replace(b"page0,1_", b"")
        assert together == (tmp_path / name).read_bytes()


def test_of_many_drawings_only_the_one_that_fails_is_missing(tmp_path) -> None:
    if render.graphviz() is None:
        pytest.skip("no Graphviz")
    dots = {"a.svg": DRAWING, "b.svg": "digraph { no end", "c.svg": DRAWING}
    problems = list(render.render_all((tmp_path / name, dot) for name, dot in dots.items()))
    assert [problem and problem.code for problem in problems] == [None, "graphviz-failed", None]
    assert sorted(each.name for each in tmp_path.iterdir()) == ["a.svg", "c.svg"]
