"""A show held in memory is after every save as if it were opened for the first time."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planner.cli.opening import Held, Opened, open_show
from planner.estimate import memory, run
from planner.text import show_folder
from tests.conftest import ShowFolder

EXAMPLE = Path(__file__).parents[2] / "example_shows" / "nine_bells_under"
HILL = "sequences/hill.yaml"


@pytest.fixture(scope="module")
def example(tmp_path_factory: pytest.TempPathFactory) -> tuple[ShowFolder, Held]:
    """The example show with all its troubles, and one memory of it for all edits."""
    folder = tmp_path_factory.mktemp("shows") / "example"
    shutil.copytree(EXAMPLE, folder)
    held = Held()
    open_show(folder, held)
    return ShowFolder(folder), held


def same(one: Opened | None, other: Opened | None) -> bool:
    if one is None or other is None:
        return one is other
    return (
        one.findings == other.findings
        and one.found == other.found
        and one.estimates == other.estimates
        and list(one.estimates.by_element) == list(other.estimates.by_element)
        and one.show == other.show
        and one.graph.order == other.graph.order
        and one.graph.composites == other.graph.composites
    )


def opened_alike(folder: Path, held: Held) -> bool:
    again, told_again = open_show(folder, held)
    fresh, told = open_show(folder)
    return told_again == told and same(again, fresh)


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    file=st.integers(0, 40),
    at=st.integers(0, 400),
    edit=st.sampled_from(["drop", "repeat", "cut short", "swap", "digit", "remark", "restore"]),
)
def test_after_any_edit_it_is_as_if_opened_for_the_first_time(
    example: tuple[ShowFolder, Held], file: int, at: int, edit: str
) -> None:
    show, held = example
    # Edits pile up from one example to the next, as a folder's do; `restore` takes them back.
    paths = sorted((*show.path.glob("*.yaml"), *show.path.glob("sequences/*.yaml")))
    path = paths[file % len(paths)]
    if edit == "restore":
        shutil.rmtree(show.path)
        shutil.copytree(EXAMPLE, show.path)
    else:
        lines = path.read_text(encoding="utf-8").splitlines() or [""]
        at %= len(lines)
        line, after = lines[at], lines[at + 1 :]
        now = {
            "drop": [],
            "repeat": [line, line],
            "cut short": [line[:-1]],
            "swap": [*after[:1], line],
            "digit": [line.replace("1", "7").replace("2", "1")],
            "remark": ["# a remark", line],
        }[edit]
        text = "\n".join([*lines[:at], *now, *(after[1:] if edit == "swap" else after)])
        path.write_text(text + "\n", encoding="utf-8")
    assert opened_alike(show.path, held)


@settings(max_examples=6, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    edits=st.lists(
        st.sampled_from(
            ["copy", "copy away", "rename a shot", "give a name twice", "date", "break", "restore"]
        ),
        min_size=1,
        max_size=4,
    )
)
def test_after_files_come_go_break_and_clash_it_is_as_if_opened_for_the_first_time(
    edits: list[str], tmp_path_factory: pytest.TempPathFactory
) -> None:
    # A copy of a whole file clashes with it in every name: nothing of it may be taken unlooked at.
    folder = tmp_path_factory.mktemp("shows") / "example"
    shutil.copytree(EXAMPLE, folder)
    first, last = (sorted(folder.glob("sequences/*.yaml"))[at] for at in (0, -1))
    copy = folder / "sequences" / "a_copy.yaml"
    was = first.read_text(encoding="utf-8")
    shot = was.partition("shots:\n  ")[2].partition(":")[0]
    assert shot
    held = Held()
    open_show(folder, held)
    for edit in edits:
        now = first.read_text(encoding="utf-8")
        if edit == "copy":
            copy.write_text(last.read_text(encoding="utf-8"), encoding="utf-8")
        elif edit == "copy away":
            copy.unlink(missing_ok=True)
        else:
            text = {
                "rename a shot": now.replace(f"  {shot}:", f"  {shot}X:", 1),
                "give a name twice": last.read_text(encoding="utf-8"),
                "date": now.replace("kind: plate\n", "kind: plate\n        due: 1990-01-01\n", 1),
                "break": now.replace("elements:", "elements: {", 1),
                "restore": was,
            }[edit]
            first.write_text(text, encoding="utf-8")
        assert opened_alike(folder, held)


def test_a_fault_in_a_file_that_did_not_change_is_told_again(show: ShowFolder) -> None:
    held = Held()
    show.replace(HILL, "nearest: 40 m", "nearest: 40 kg")
    _opened, first = open_show(show.path, held)
    show.replace("rates.yaml", "35.50", "36.50")
    _opened, second = open_show(show.path, held)
    assert first == second
    assert any("40 kg is a mass" in each.message for each in second)


def test_only_the_file_saved_is_read_again(
    show: ShowFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    held = Held()
    open_show(show.path, held)
    read: list[str] = []
    real = show_folder.read_yaml

    def counting(data: bytes, file: str) -> object:
        read.append(file)
        return real(data, file)

    monkeypatch.setattr(show_folder, "read_yaml", counting)
    show.replace(HILL, "nearest: 40 m", "nearest: 41 m")
    open_show(show.path, held)
    assert read == [str(show.path / HILL)]


def test_only_elements_that_look_at_what_changed_are_asked_again(
    show: ShowFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    held = Held()
    open_show(show.path, held)
    asked: list[str] = []
    real = run.estimate_safely

    def counting(kind: object, context: object, origin: str) -> object:
        asked.append(context.element.id)  # type: ignore[attr-defined]
        return real(kind, context, origin)  # type: ignore[arg-type]

    monkeypatch.setattr(run, "estimate_safely", counting)
    # Of the same length, so that nothing else of the file changes its place.
    show.replace(HILL, "nearest: 40 m", "nearest: 41 m")
    open_show(show.path, held)
    # The town, the build it bounds, and the composite that joins it; never the sky.
    assert "HL010.town" in asked
    assert "HL010.sky" not in asked
    assert len(asked) == len(set(asked))


def test_a_new_file_a_file_gone_and_one_back_are_all_seen(show: ShowFolder) -> None:
    held = Held()
    open_show(show.path, held)
    text = (show.path / HILL).read_text(encoding="utf-8")
    show.write("sequences/vale.yaml", text.replace("hill\n", "vale\n").replace("HL0", "VA0"))
    assert opened_alike(show.path, held)
    (show.path / HILL).unlink()
    assert opened_alike(show.path, held)
    show.write(HILL, text)
    assert opened_alike(show.path, held)
    (show.path / "show.yaml").unlink()
    assert opened_alike(show.path, held)


def test_a_shot_omitted_in_one_file_is_seen_by_elements_of_another(show: ShowFolder) -> None:
    held = Held()
    text = (show.path / HILL).read_text(encoding="utf-8")
    show.write("sequences/vale.yaml", text.replace("hill\n", "vale\n").replace("HL0", "VA0"))
    open_show(show.path, held)
    # The build bounded by both towns loses the bounds of one.
    show.replace(HILL, "says: The town below.", "says: The town below.\n    state: omitted")
    assert opened_alike(show.path, held)


def test_an_empty_name_looked_up_is_not_all_names() -> None:
    looked: list[tuple[str, str]] = []
    noted = memory._Noted("elements", looked.append)
    assert noted.get("") is None
    list(noted)
    assert len(set(looked)) == 2
