"""``platewright calibrate``, on invented finished shots."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner

from planner.cli.calibrate import command
from planner.cli.opening import open_show

HISTORY = Path(__file__).parents[1] / "estimate" / "history.yaml"


@pytest.fixture
def finished(show) -> Path:
    shutil.copy(HISTORY, show.path / "history.yaml")
    return show.path


def printed(folder: Path, code: int = 0) -> str:
    result = CliRunner().invoke(command, [str(folder)])
    assert result.exit_code == code, result.output
    return result.output


def pasted(text: str) -> dict:
    return yaml.safe_load(text[text.index("rules:\n") :])["rules"]


def test_each_rule_is_told_before_and_after_within_eighty_columns(finished: Path) -> None:
    text = printed(finished)
    assert "Rod removal: 9 finished shots" in text
    assert "roto.removal_start 36 / 60 / 132 -> " in text
    assert "Set-ups, miniature: 5 finished shots" in text
    assert "miniature.set_up 3 / 5 / 8 -> " in text
    # 23 + 6 h spent over 20 + 7 h estimated.
    assert "rod removal: 1.074 (29 h over 27 h, 2 shots, 0.8571 to 1.15)" in text
    assert max(map(len, text.splitlines())) <= 80


def test_the_block_is_yaml_with_low_likely_and_high_in_order(finished: Path) -> None:
    rules = pasted(printed(finished))
    assert set(rules) >= {"roto.removal_start", "roto.removal_key", "miniature.set_up"}
    for each in rules.values():
        assert 0 <= each["low"] <= each["likely"] <= each["high"]
        assert "finished shots" in each["by"]


def test_the_block_pasted_into_the_show_is_taken(finished: Path, show) -> None:
    text = printed(finished)
    show.replace("show.yaml", "handles: 8", f"handles: 8\n{text[text.index('rules:') :]}")
    opened, problems = open_show(finished)
    assert problems == ()
    assert opened is not None
    # The small show has no kind that takes rods out; it says so, and takes the rest.
    unused = [each.message for each in opened.findings if "rule" in each.code]
    assert all("roto." in each for each in unused)
    town = opened.estimates.by_element["HL010.town"]
    hours = next(work.hours for work in town.work if work.name == "set up")
    rules = pasted(text)["miniature.set_up"]
    assert (hours.low, hours.likely, hours.high) == pytest.approx(
        (rules["low"], rules["likely"], rules["high"])
    )
    # What is stated now is what a second calibration starts from.
    assert f"miniature.set_up {rules['low']:g} / {rules['likely']:g}" in printed(finished)


def test_without_a_history_it_ends_with_one_and_says_what_to_write(show) -> None:
    result = CliRunner().invoke(command, [str(show.path)])
    assert result.exit_code == 1
    assert "there is no history.yaml" in " ".join(result.output.split())


def test_too_few_shots_are_told_and_nothing_is_printed_to_paste(show) -> None:
    history = yaml.safe_load(HISTORY.read_text(encoding="utf-8"))
    few = {"rod_removals": history["rod_removals"][:4]}
    show.write("history.yaml", yaml.safe_dump(few))
    text = " ".join(printed(show.path).split())
    assert "4 finished shots with rods are too few to fix 5 rules" in text
    assert "rules:" not in text
