"""Installed kinds that misbehave, met by the commands: no traceback, and JSON stays JSON."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.stranger.conftest import Home

KITES = Path(__file__).parent / "platewright_kites"


@pytest.fixture(scope="module")
def flown(tmp_path_factory):
    """A show with a kite in it, and the folder where its kind is installed."""
    home = Home(tmp_path_factory.mktemp("home"))
    home.install(KITES)
    home.platewright("new", "show")
    sheet = home.folder / "show" / "sequences" / "hill.yaml"
    text = sheet.read_text(encoding="utf-8").replace("[sky, town]", "[sky, town, kite]")
    kite = "      kite: {kind: kite, line_length: 20 m, flown_from: sky}\n"
    sheet.write_text(text.replace("      final:\n", f"{kite}      final:\n"), encoding="utf-8")
    (installed,) = (home.folder / "env" / "lib").glob("*/site-packages/platewright_kites")
    return home, installed


@pytest.fixture
def change(flown):
    """Change a file of the installed kind for one test."""
    home, installed = flown
    kept = {}

    def changed(name: str, was: str, becomes: str) -> Home:
        file = installed / name
        kept[file] = text = file.read_text(encoding="utf-8")
        assert was in text
        file.write_text(text.replace(was, becomes, 1), encoding="utf-8")
        return home

    yield changed
    for file, text in kept.items():
        file.write_text(text, encoding="utf-8")


def test_a_kind_that_prints_wherever_it_can_leaves_json_whole(change) -> None:
    shouts = "print('imported')\n\n\nclass Kite:\n    def __init__(self):\n        print('made')\n"
    done = change("__init__.py", "class Kite:\n", shouts).platewright("check", "show", "--json")
    # The new show has no crew of effects, who fly the kite.
    told = json.loads(done.stdout)["problems"]
    assert [each["code"] for each in told] == ["nobody-to-call"]
    assert done.stderr == "imported\nmade\n"


@pytest.mark.parametrize(
    ("name", "was", "becomes", "words"),
    [
        ("__init__.py", "class Kite:\n", "raise SystemExit(0)\nclass Kite:\n", "tried to end the"),
        ("__init__.py", "door = DOOR", "door = DOOR + 1", "was written for door 2; this is door 1"),
        ("schema.json", '"type": "object"', '"type": "obj', "gave no schema: JSONDecodeError"),
        ("schema.json", "$defs/length", "$defs/no_such", "gave a schema that cannot be used"),
        ("schema.json", '"waits": true', '"type": 7', "gave a schema that cannot be used"),
        ("__init__.py", "metres = line", "return 7\n        metres = line", "returned int"),
    ],
)
def test_a_kind_that_is_broken_is_told_with_its_distribution(
    change, name: str, was: str, becomes: str, words: str
) -> None:
    done = change(name, was, becomes).platewright("check", "show", "--json", code=1)
    (broken,) = [
        each for each in json.loads(done.stdout)["problems"] if each["code"] == "kind-broken"
    ]
    assert words in broken["message"]
    assert "of platewright-kites" in broken["message"]
    assert done.stderr == ""
