"""What `check` said, kept so that asking again answers at once while no file of the show differs.

Takes the contents of a show's files, the question, and this very program with its kinds and
schemas. Gives what was printed for them, findings and all, with the code it ended with.
"""

from __future__ import annotations

import hashlib
import json
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.cli import cache
from planner.cli.watch import FILES

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    from planner.model.place import Problem

FORMAT = 3
KEPT = cache.Cache("findings", most=24)
UNSURE = "kind-"
"""Codes of what is wrong with a plugin begin so. It may be mended without a file that we look at,
and a plugin that took too long may not the next time."""
_TINT = re.compile("\x1b\\[[0-9;]*m")


@dataclass(frozen=True, slots=True)
class Said:
    """What was printed, the code the command ended with, and where show.yaml has the ledger."""

    text: str
    code: int
    ledger: str = ""


@dataclass(frozen=True, slots=True)
class Asked:
    """A question to a show as it is.

    Attributes:
        folder: the show's.
        key: a name that no other question has; empty where nothing is to be kept.
        times: stamps of its files when it was asked.
    """

    folder: Path
    key: str
    times: tuple[object, ...]


def ask(folder: Path, *question: object) -> Asked:
    """Look at a show before any of its files is read.

    Args:
        folder: the show's, as the user typed it: places are told by it.
        question: whatever else the answer depends on.
    """
    try:
        times = _stamps(folder)
        digests = [hashlib.sha256(path.read_bytes()).hexdigest() for path in _files(folder)]
    except OSError:
        return Asked(folder, "", ())
    where = str(folder), str(folder.resolve()), [str(each) for each in _files(folder)]
    key = cache.key_of(FORMAT, cache.program(), where, digests, question)
    return Asked(folder, key, times)


def recall(asked: Asked) -> Said | None:
    """What was said; None where it is not kept."""
    try:
        told = json.loads(KEPT.recall(asked.key) or "null")
        text, code, ledger = told["text"], told["code"], told["ledger"]
    except (ValueError, KeyError, TypeError):
        return None
    if not isinstance(text, str) or not isinstance(ledger, str) or code not in {0, 1}:
        return None
    return None if cache.UNPRINTED.search(_TINT.sub("", text)) else Said(text, code, ledger)


def keep(asked: Asked, said: Said, problems: Iterable[Problem]) -> None:
    """Keep what was said, where the disk allows.

    Nothing is kept where a file was written meanwhile, as the answer may be of either, and nothing
    where a plugin failed.

    Args:
        asked: the question.
        said: the answer.
        problems: that it tells.
    """
    if not asked.key or any(each.code.startswith(UNSURE) for each in problems):
        return
    try:
        if _stamps(asked.folder) != asked.times:
            return
    except OSError:
        return
    told = {"code": said.code, "ledger": said.ledger, "text": said.text}
    KEPT.keep(asked.key, json.dumps(told))


def _files(folder: Path) -> list[Path]:
    return sorted(each for pattern in FILES for each in folder.glob(pattern))


def _stamps(folder: Path) -> tuple[object, ...]:
    return tuple(cache.stamp(each) for each in _files(folder))
