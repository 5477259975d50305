"""Answers kept between runs: the same as without, and never those of another question."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from planner.cli import kept_answers
from planner.cli.searching import replanned, solved
from planner.schedule import Activity, Budget, Instance, Mode, MovePrice, Precedence, Resource

if TYPE_CHECKING:
    from pathlib import Path

    from planner.schedule import Answer

BUDGET = Budget(evaluations=30, seed=4)
STAGE = Resource("stage")


def instance(last: int = 3) -> Instance:
    works = (2, 5, 4, last)
    activities = tuple(
        Activity(f"work {n}", (Mode(quarters, {"stage": 1}),), due=6, weight=n + 1)
        for n, quarters in enumerate(works)
    )
    joined = Activity("join", (Mode(2),), (Precedence("work 3", 1),))
    return Instance((*activities, joined), (STAGE,))


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    return kept_answers.KEPT.folder


def kept_files(cache: Path) -> list[Path]:
    return sorted(cache.glob("*.json"))


def forbid_searching(monkeypatch: pytest.MonkeyPatch) -> None:
    def search(*_args: object, **_others: object) -> Answer:
        raise AssertionError("searched again")

    monkeypatch.setattr("planner.schedule.solve", search)
    monkeypatch.setattr("planner.schedule.replan", search)


def test_what_was_found_once_is_not_searched_for_again_and_is_the_same(
    cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = solved(instance(), BUDGET)
    assert len(kept_files(cache)) == 1
    forbid_searching(monkeypatch)
    assert solved(instance(), BUDGET) == found


def test_an_order_planned_again_is_kept_with_what_had_started(
    cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    was = solved(instance(), BUDGET)
    found = replanned(instance(5), was, 3, MovePrice(10), BUDGET)
    assert any(each.locked for each in found[0].activities)
    assert len(kept_files(cache)) == 2
    forbid_searching(monkeypatch)
    assert replanned(instance(5), was, 3, MovePrice(10), BUDGET) == found


@pytest.mark.usefixtures("cache")
def test_another_seed_number_of_tries_question_or_order_before_is_another_search() -> None:
    was = solved(instance(), BUDGET)
    other = replace(was, changeover_patience=9.0)
    price = (was, 3, MovePrice(10))
    keys = {
        kept_answers.key_of("solve", instance(), BUDGET),
        kept_answers.key_of("solve", instance(), replace(BUDGET, seed=5)),
        kept_answers.key_of("solve", instance(), replace(BUDGET, evaluations=31)),
        kept_answers.key_of("solve", instance(4), BUDGET),
        kept_answers.key_of("replan", instance(), BUDGET, price),
        kept_answers.key_of("replan", instance(), BUDGET, (other, *price[1:])),
        kept_answers.key_of("replan", instance(), BUDGET, (was, 4, MovePrice(10))),
        kept_answers.key_of("replan", instance(), BUDGET, (was, 3, MovePrice(11))),
    }
    assert len(keys) == 8


def test_what_depends_on_the_clock_is_not_kept(cache: Path) -> None:
    solved(instance(), Budget(seconds=0.0))
    assert kept_files(cache) == []


@pytest.mark.parametrize("spoiled", [b"", b"{}", b"\xff\x00", b'[1]\n{"answer": 3}'])
def test_a_spoiled_file_is_passed_over_and_mended(cache: Path, spoiled: bytes) -> None:
    found = solved(instance(), BUDGET)
    (file,) = kept_files(cache)
    good = file.read_bytes()
    for data in (spoiled, good[: len(good) // 2], good.replace(b'"join"', b'"jion"', 1)):
        file.write_bytes(data)
        assert solved(instance(), BUDGET) == found
        assert file.read_bytes() == good


def test_an_answer_that_breaks_a_rule_of_the_question_is_passed_over(cache: Path) -> None:
    found = solved(instance(), BUDGET)
    (file,) = kept_files(cache)
    # Well written, and of another question: its last work takes a quarter less.
    kept_answers.keep(file.stem, instance(2), solved(instance(2), BUDGET))
    assert solved(instance(), BUDGET) == found


def test_a_cache_that_cannot_be_written_only_costs_the_search(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "platewright").write_text("a file where the folder should be")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    assert solved(instance(), BUDGET) == solved(instance(), BUDGET)


def test_the_oldest_are_thrown_away(cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kept_answers, "KEPT", replace(kept_answers.KEPT, most=2))
    for seed in range(4):
        solved(instance(), replace(BUDGET, seed=seed))
    assert len(kept_files(cache)) == 2
