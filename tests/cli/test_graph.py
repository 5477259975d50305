"""``platewright graph``: what a composite still waits for, drawn thick; each shot by itself."""

from __future__ import annotations

import re
import subprocess

import pytest
from click.testing import CliRunner

from planner.cli import group
from tests.pages.report_shows import said_to


def drawn(show, *words: str) -> str:
    to = show.path / "drawn.dot"
    said_to(show.path, "graph", "HL010", "--to", str(to), *words)
    return to.read_text(encoding="utf-8")


def thick(dot: str) -> set[str]:
    """Names of the nodes with thick borders."""
    return set(re.findall(r'^ *"([^"]+)" \[id=.*penwidth=3.5', dot, re.MULTILINE))


def test_what_is_undone_is_drawn_thick_and_what_is_done_is_not(show) -> None:
    assert thick(drawn(show)) == set()
    everything = {"hill_town", "HL010.sky", "HL010.town", "HL010.final"}
    assert thick(drawn(show, "--blocked")) == everything
    said_to(show.path, "post", "built", "hill_town")
    dot = drawn(show, "--blocked")
    assert thick(dot) == everything - {"hill_town"}
    arrow = next(line for line in dot.splitlines() if '"HL010.town" -> "HL010.final"' in line)
    done = next(line for line in dot.splitlines() if '"hill_town" -> "HL010.town"' in line)
    assert "penwidth" in arrow
    assert "penwidth" not in done


def test_what_is_in_the_way_is_said_in_words(show) -> None:
    said_to(show.path, "post", "lost", "hill_town", "--why", "dropped")
    dot = drawn(show, "--blocked")
    node = next(line for line in dot.splitlines() if line.lstrip().startswith('"hill_town" [id'))
    assert "lost" in node
    assert "dropped" in node


def test_the_whole_show_is_too_much_to_draw_what_is_blocked_in(show) -> None:
    result = CliRunner().invoke(group, ["graph", str(show.path), "--blocked"])
    assert result.exit_code == 2
    assert "say a shot or a sequence" in result.output


def test_split_draws_each_shot_by_itself_as_it_is_drawn_alone(show) -> None:
    to = show.path / "drawn"
    # The show has one shot.
    assert "wrote 1 drawing to" in said_to(show.path, "graph", "--split", "--to", str(to))
    said_to(show.path, "graph", "HL010", "--to", str(show.path / "alone.svg"))
    assert [each.name for each in to.iterdir()] == ["HL010.svg"]
    assert (to / "HL010.svg").read_bytes() == (show.path / "alone.svg").read_bytes()


def test_split_draws_the_shots_of_the_sequence_asked_for(show) -> None:
    for sequence in ("bell", "moor"):
        text = (show.path / "sequences" / "hill.yaml").read_text(encoding="utf-8")
        other = text.replace("sequence: hill", f"sequence: {sequence}").replace("HL", sequence)
        (show.path / "sequences" / f"{sequence}.yaml").write_text(other, encoding="utf-8")
    to = show.path / "drawn"
    said_to(show.path, "graph", "moor", "--split", "--to", str(to))
    assert [each.name for each in to.iterdir()] == ["moor010.svg"]


def test_a_shot_is_drawn_without_graphviz_and_a_sequence_is_not(show, monkeypatch) -> None:
    monkeypatch.setattr("planner.pages.render.graphviz", lambda: None)
    to = show.path / "drawn"
    said_to(show.path, "graph", "--split", "--to", str(to))
    assert "<svg" in (to / "HL010.svg").read_text(encoding="utf-8")
    refused = CliRunner().invoke(
        group, ["graph", str(show.path), "hill", "--to", str(to / "a.svg")]
    )
    assert refused.exit_code == 1
    assert "there is no Graphviz" in refused.output


def test_a_shot_is_the_same_drawing_in_every_format(show, monkeypatch) -> None:
    """The legend, which Graphviz does not draw, and the words on arrows stand in the PDF too."""
    monkeypatch.setattr("planner.pages.render.graphviz", lambda: None)
    said_to(show.path, "graph", "HL010", "--to", str(show.path / "a.svg"))
    svg = (show.path / "a.svg").read_text(encoding="utf-8")
    said_to(show.path, "graph", "HL010", "--to", str(show.path / "a.pdf"))
    try:
        told = subprocess.run(
            ["pdftotext", "-layout", str(show.path / "a.pdf"), "-"],
            capture_output=True,
            text=True,
            check=True,
        )
    except FileNotFoundError:
        pytest.skip("pdftotext is not on this machine")
    words = re.findall(r"<text[^>]*>([^<]+)</text>", svg)
    assert "is used in what it reaches" in words
    printed = "".join(told.stdout.split())
    assert [each for each in words if "".join(each.split()) not in printed] == []
    said_to(show.path, "graph", "HL010", "--to", str(show.path / "a.png"))
    assert (show.path / "a.png").read_bytes().startswith(b"\x89PNG")


def test_what_is_blocked_is_thick_in_a_drawing_that_stands_alone(show) -> None:
    said_to(show.path, "post", "lost", "hill_town", "--why", "dropped")
    to = show.path / "a.svg"
    said_to(show.path, "graph", "HL010", "--blocked", "--to", str(to))
    svg = to.read_text(encoding="utf-8")
    town = svg[svg.index('<g id="hill_town"') :]
    assert re.search(r'<rect class="[a-z] y"', town[: town.index("</g>")])
    assert "dropped" in town[: town.index("</g>")]
