"""A new kind: what is written passes its own tests, and nothing is written over."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from planner.cli.new_kind import command


def run(*words: object):
    return CliRunner().invoke(command, [str(word) for word in words])


@pytest.mark.parametrize("name", ["kite", "hand_puppet_2"])
def test_what_is_written_passes_its_own_tests_once_installed(home, name: str) -> None:
    folder = home.folder / "mine"
    assert run(name, "--to", folder).exit_code == 0
    home.install(folder)
    assert "4 passed" in home.tests_of(folder)


@pytest.mark.parametrize(
    "name", ["Kite", "2kites", "kite-line", "kite__line", "_kite", "kite_", "../kite", "", "k" * 41]
)
def test_a_name_that_cannot_be_a_kinds_is_refused(tmp_path, name: str) -> None:
    result = run(name, "--to", tmp_path / "mine")
    assert result.exit_code == 2
    assert f"a kind cannot be called {name!r}; write small letters" in " ".join(
        result.output.split()
    )
    assert not (tmp_path / "mine").exists()


def test_a_word_of_python_is_refused(tmp_path) -> None:
    result = run("class", "--to", tmp_path / "mine")
    assert (result.exit_code, result.output) == (
        2,
        "a kind cannot be called class, which is a word of Python; name it otherwise\n",
    )


def test_a_kind_that_is_installed_is_not_made_again(tmp_path) -> None:
    result = run("miniature", "--to", tmp_path / "mine")
    assert (result.exit_code, result.output) == (
        2,
        "platewright has a kind called miniature already; name yours otherwise\n",
    )


def test_a_folder_that_holds_something_is_left_alone(tmp_path) -> None:
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")
    result = run("kite", "--to", tmp_path)
    assert result.exit_code == 2
    assert "is there already and not an empty folder" in " ".join(result.output.split())
    assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]


def test_a_folder_that_cannot_be_written_is_told_in_a_sentence(tmp_path) -> None:
    (tmp_path / "file").write_text("mine", encoding="utf-8")
    result = run("kite", "--to", tmp_path / "file" / "below")
    assert result.exit_code == 1
    assert "cannot be written: Not a directory" in " ".join(result.output.split())
