"""Somebody else adds an element kind and a report section, by the guide alone."""

from __future__ import annotations

import ast
import json
import re
import shutil
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
KITES = Path(__file__).parent / "platewright_kites"
FILES = sorted(
    str(path.relative_to(KITES))
    for path in KITES.rglob("*")
    if path.is_file() and path.suffix in {".py", ".toml", ".json"}
)
GUIDED = re.compile(
    r"^ *`(?P<name>[\w./]+)`:\n\n(?P<fence>```)\w+\n(?P<text>.*?)```$", re.MULTILINE | re.DOTALL
)


def guide() -> dict[str, str]:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    return {match["name"]: match["text"] for match in GUIDED.finditer(text)}


def test_the_guide_shows_every_file_there_is_and_no_other() -> None:
    assert sorted(guide()) == FILES


@pytest.mark.parametrize("name", FILES)
def test_the_guide_is_followed_word_for_word(name: str) -> None:
    assert guide()[name] == (KITES / name).read_text(encoding="utf-8")


def test_the_planner_knows_nothing_of_kites() -> None:
    sources = [*(ROOT / "planner").rglob("*.py"), *(ROOT / "plugins").rglob("*.py")]
    assert not [path for path in sources if "platewright_kites" in path.read_text(encoding="utf-8")]


def test_a_stranger_reaches_through_the_promised_doors_only() -> None:
    doors = {"planner.kinds", "planner.kinds.testing", "planner.pages.report.added"}
    for name in FILES:
        if name.endswith(".py"):
            for node in ast.walk(ast.parse((KITES / name).read_text(encoding="utf-8"))):
                if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("planner"):
                    assert node.module in doors


def test_installed_the_kind_is_estimated_and_the_section_stands_in_the_report(home) -> None:
    distribution = home.folder / "platewright_kites"
    shutil.copytree(KITES, distribution)
    home.install(distribution)
    shutil.rmtree(distribution / "platewright_kites")  # what is installed is tried, not the source
    assert "2 passed" in home.tests_of(distribution)

    home.platewright("new", "show")
    sheet = home.folder / "show" / "sequences" / "hill.yaml"
    text = sheet.read_text(encoding="utf-8")
    kite = "      kite:\n        kind: kite\n        line_length: 40 m\n        flown_from: sky\n"
    joined = text.replace("joins: [sky, town]", "joins: [sky, town, kite]")
    sheet.write_text(joined.replace("      final:\n", f"{kite}      final:\n"), encoding="utf-8")

    told = json.loads(home.platewright("check", "show", "--json").stdout)
    # The new show has no crew of effects, who fly the kite.
    assert [each["code"] for each in told["problems"]] == ["line-too-long", "nobody-to-call"]
    # 2 h to rig and fly, 40 m x 0.01 h of waiting for wind.
    assert "2.4 h" in home.platewright("why", "show", "HL010.kite").stdout
    home.platewright("report", "show", "--tries", "0")
    page = (home.folder / "report.html").read_text(encoding="utf-8")
    assert '<h2 id="head:added_kites">Kites</h2>' in page
    assert "<p>1 to fly; 1 have a line of known length.</p>" in page
    assert '<a href="#HL010.kite">HL010.kite</a><td class=num>40 m<td>2027-' in page


def test_a_section_that_prints_and_fails_leaves_the_report_whole(home) -> None:
    distribution = home.folder / "platewright_kites"
    shutil.copytree(KITES, distribution)
    lines = distribution / "platewright_kites" / "lines.py"
    text = lines.read_text(encoding="utf-8")
    head = "print('hello')\n        raise SystemExit(0)\n        kites = ["
    lines.write_text(text.replace("kites = [", head, 1), encoding="utf-8")
    home.install(distribution)
    home.platewright("new", "show")
    done = home.platewright("report", "show", "--tries", "0")
    assert done.stdout == "wrote report.html\n"
    assert "the report section kites of platewright-kites failed: tried to end" in " ".join(
        done.stderr.split()
    )
    page = (home.folder / "report.html").read_text(encoding="utf-8")
    assert page.endswith("</html>")
    assert "kites of platewright-kites failed: tried to end the program" in page
