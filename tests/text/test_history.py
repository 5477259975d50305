"""The history of finished shots: read beside show.yaml, every fault at its place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.text.history import load_history

if TYPE_CHECKING:
    from pathlib import Path

    from planner.model.facts import Facts

RODS = """\
rod_removals:
  - {shot: OB010, frames: 96, rods: 3, clear: 280 px, crossing: 30 %,
     background: locked_plate, clean_plate: locked, hours: 90 min}
"""


def read(folder: Path, text: str) -> tuple[Facts | None, list[str]]:
    (folder / "history.yaml").write_text(text, encoding="utf-8")
    facts, problems = load_history(folder)
    return facts, [f"{each.place.line}: {each.message}" for each in problems]


def test_a_finished_shot_is_read_in_canonical_units(tmp_path: Path) -> None:
    facts, problems = read(tmp_path, RODS)
    assert problems == []
    assert facts is not None
    (shot,) = facts.groups("rod_removals")
    assert shot.word("shot") == "OB010"
    assert shot.amount("crossing", 0) == 0.3
    assert shot.amount("hours", 0) == 1.5  # 90 min
    assert shot.place_of("hours").line == 3


def test_parts_of_a_set_up_are_counted_by_name(tmp_path: Path) -> None:
    text = (
        "set_ups:\n"
        "  - {shot: OB010.town, kind: miniature, parts: {set_up: 1, pass_line_up: 2}, hours: 9 h}\n"
    )
    facts, problems = read(tmp_path, text)
    assert problems == []
    assert facts is not None
    parts = facts.groups("set_ups")[0].group("parts")
    assert {name: parts.amount(name, 0) for name in parts.values} == {
        "set_up": 1,
        "pass_line_up": 2,
    }


def test_without_a_history_the_user_is_told_what_to_write(tmp_path: Path) -> None:
    facts, (problem,) = load_history(tmp_path)
    assert facts is None
    assert problem.code == "history-missing"
    assert "no history.yaml" in problem.message


def test_a_misspelt_key_is_told_where_it_stands(tmp_path: Path) -> None:
    _facts, problems = read(tmp_path, RODS.replace("frames:", "frame:"))
    assert any(each.startswith("2: ") and "frame" in each for each in problems)


def test_a_number_without_its_unit_is_told_where_it_stands(tmp_path: Path) -> None:
    _facts, problems = read(tmp_path, RODS.replace("90 min", "90"))
    assert any(each.startswith("3: ") and "90" in each for each in problems)


def test_what_is_no_yaml_is_told_and_gives_nothing(tmp_path: Path) -> None:
    _facts, problems = read(tmp_path, "rod_removals: [")
    assert problems
