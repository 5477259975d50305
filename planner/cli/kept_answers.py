"""Answers of earlier searches, kept in the user's cache so that the same search is not made twice.

Takes a question, a budget and, for planning again, what it stays close to; gives the answer that
this program gave before. Only what does not depend on the clock is kept.
"""

from __future__ import annotations

import json
from dataclasses import asdict, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner import __version__
from planner.cli import cache

if TYPE_CHECKING:
    from planner.schedule import Answer, Budget, Instance

FORMAT = 2
KEPT = cache.Cache("orders", most=60)


def key_of(how: str, instance: Instance, budget: Budget, beside: tuple[object, ...] = ()) -> str:
    """A name that no other question has; empty where the answer depends on the clock.

    Args:
        how: which search it is.
        instance: the question.
        budget: how long it searches.
        beside: whatever else the answer depends on.
    """
    if not budget.is_repeatable:
        return ""
    limits = (budget.evaluations, budget.effort, budget.seed)
    return cache.key_of(FORMAT, _program(), how, limits, beside, instance)


def _program() -> tuple[object, ...]:
    """This very program: its version, and its solver's files, which change between versions too."""
    import planner.schedule as solver

    return __version__, *cache.stamps_in(Path(solver.__file__).parent)


def recall(key: str, instance: Instance) -> tuple[Instance, Answer] | None:
    """What was kept: the question as it was answered, and the answer, which keeps its rules."""
    from planner.schedule import verify

    try:
        told = json.loads(KEPT.recall(key) or "null")
        found = _fixed(instance, told["fixed"]), _answer(told["answer"])
        return None if verify(*found) else found
    except (ValueError, KeyError, TypeError):
        return None


def keep(key: str, instance: Instance, answer: Answer) -> None:
    """Keep an answer where the disk allows.

    Args:
        key: of the question asked.
        instance: the question as it was answered: with other locks and releases, perhaps.
        answer: to it.
    """
    if not key:
        return
    fixed = [
        [each.release, each.locked and [each.locked.start, each.locked.mode]]
        for each in instance.activities
    ]
    KEPT.keep(key, json.dumps({"fixed": fixed, "answer": asdict(answer)}))


def _fixed(instance: Instance, rows: list[Any]) -> Instance:
    from planner.schedule import Lock

    activities = tuple(
        replace(each, release=release, locked=Lock(*lock) if lock else None)
        for each, (release, lock) in zip(instance.activities, rows, strict=True)
    )
    return replace(instance, activities=activities)


def _answer(told: dict[str, Any]) -> Answer:
    from planner.schedule import Answer, Parts

    thawed = tuple(told["thawed"])
    return Answer(**{**told, "parts": Parts(**told["parts"]), "thawed": thawed})
