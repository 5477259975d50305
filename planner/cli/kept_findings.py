"""What `check` said, kept so that asking again answers at once while no file of the show differs.

Takes the contents of a show's files, the question, and this very program with its kinds and
schemas. Gives what was printed for them, findings and all, with the code it ended with. Kept in
the user's cache, a few answers; it may be thrown away at any time, and what is not as it was
written is passed over. Text is kept and never anything that runs.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.cli import kept_answers, kept_blocking
from planner.cli.watch import FILES

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    from planner.model.place import Problem

FORMAT = 1
MOST_KEPT = 24
"""Answers, the oldest thrown away first."""
SWITCH = "PLATEWRIGHT_CACHE"
"""Variable of the environment that turns keeping off where it says ``off``."""
UNSURE = "kind-"
"""Codes of what is wrong with a plugin begin so. It may be mended without a file that we look at,
and a plugin that took too long may not the next time."""
_TINT = re.compile("\x1b\\[[0-9;]*m")
_UNPRINTED = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f]")


@dataclass(frozen=True, slots=True)
class Said:
    """What was printed, and the code that the command ended with."""

    text: str
    code: int


@dataclass(frozen=True, slots=True)
class Asked:
    """A question to a show as it is.

    Attributes:
        folder: the show's.
        key: a name that no other question has; empty where nothing is to be kept.
        times: sizes and times of its files when it was asked.
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
    if os.environ.get(SWITCH, "").lower() == "off":
        return Asked(folder, "", ())
    try:
        times = _times(folder)
        digests = [hashlib.sha256(path.read_bytes()).hexdigest() for path in _files(folder)]
    except OSError:
        return Asked(folder, "", ())
    where = str(folder), str(folder.resolve()), [str(each) for each in _files(folder)]
    asked = repr((FORMAT, kept_blocking.program(), where, digests, question))
    return Asked(folder, hashlib.sha256(asked.encode()).hexdigest(), times)


def recall(asked: Asked) -> Said | None:
    """What was said; None where it is not kept."""
    if not asked.key:
        return None
    try:
        told = json.loads((_folder() / f"{asked.key}.json").read_bytes())
        text, code, mark = told["text"], told["code"], told["mark"]
    except (OSError, ValueError, KeyError, TypeError):
        return None
    if not isinstance(text, str) or code not in {0, 1} or mark != _mark(asked.key, text, code):
        return None
    return None if _UNPRINTED.search(_TINT.sub("", text)) else Said(text, code)


def keep(asked: Asked, said: Said, problems: Iterable[Problem]) -> None:
    """Keep what was said, where the disk allows.

    Nothing is kept where a file was written meanwhile, as the answer may be of either, and nothing
    where a plugin failed.

    Args:
        asked: the question.
        said: the answer.
        problems: that it tells.
    """
    from planner.pages.files import write_text

    if not asked.key or any(each.code.startswith(UNSURE) for each in problems):
        return
    mark = _mark(asked.key, said.text, said.code)
    try:
        if _times(asked.folder) != asked.times:
            return
        told = {"mark": mark, "code": said.code, "text": said.text}
        write_text(_folder() / f"{asked.key}.json", json.dumps(told))
        kept = sorted(_folder().glob("*.json"), key=lambda each: each.stat().st_mtime_ns)
        for path in kept[:-MOST_KEPT]:
            path.unlink(missing_ok=True)
    except OSError:
        return


def _files(folder: Path) -> list[Path]:
    return sorted(each for pattern in FILES for each in folder.glob(pattern))


def _times(folder: Path) -> tuple[object, ...]:
    """The time of change is the disk's own: no copying or touching sets it back."""
    about = ((str(each), each.stat()) for each in _files(folder))
    return tuple((name, it.st_size, it.st_mtime_ns, it.st_ctime_ns) for name, it in about)


def _folder() -> Path:
    return kept_answers.folder().with_name("findings")


def _mark(key: str, text: str, code: int) -> str:
    return hashlib.sha256(f"{key} {code} {text}".encode()).hexdigest()
