"""What `blocking` said, kept so that asking again while nothing has changed answers at once.

Takes all that an answer rests on: the show's files and issued orders, how far its ledger has
come, the question, the day, and this very program with its kinds. Gives what was printed for it.
Kept in the user's cache, a few answers; it may be thrown away at any time, and what is not as it
was written is passed over.
"""

from __future__ import annotations

import hashlib
import json
import re
from functools import cache
from importlib.metadata import entry_points
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from planner import __version__
from planner.cli import kept_answers

if TYPE_CHECKING:
    from collections.abc import Iterator

FORMAT = 1
MOST_KEPT = 24
"""Answers, the oldest thrown away first."""
_OURS = ("planner", "planner_schemas")
_UNPRINTED = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f]")


def seen(folder: Path) -> tuple[object, ...]:
    """All files that an answer rests on, as they are now, by name, size and times.

    To be asked before any of them is read: what changes meanwhile then leaves an answer under a
    name that nobody asks for again. The time of change is the disk's own, and is not set back.
    """
    paths = (*folder.rglob("*.yaml"), *folder.glob("moves/*.csv"), *folder.glob("issued/*"))
    return str(folder.resolve()), *(_about(each) for each in sorted(paths))


def key_of(files: tuple[object, ...], *question: object) -> str:
    """A name that no other question has.

    Args:
        files: as they were `seen`.
        question: whatever else the answer depends on.
    """
    asked = repr((FORMAT, program(), files, question))
    return hashlib.sha256(asked.encode()).hexdigest()


def recall(key: str) -> str | None:
    """What was said; None where it is not kept."""
    if not key:
        return None
    try:
        told = json.loads((_folder() / f"{key}.json").read_bytes())
        said, mark = told["said"], told["mark"]
    except (OSError, ValueError, KeyError, TypeError):
        return None
    sound = isinstance(said, str) and mark == _mark(key, said) and not _UNPRINTED.search(said)
    return said if sound else None


def keep(key: str, said: str) -> None:
    """Keep what was said, where the disk allows."""
    from planner.pages.files import write_text

    if not key:
        return
    try:
        write_text(_folder() / f"{key}.json", json.dumps({"mark": _mark(key, said), "said": said}))
        kept = sorted(_folder().glob("*.json"), key=lambda each: each.stat().st_mtime_ns)
        for path in kept[:-MOST_KEPT]:
            path.unlink(missing_ok=True)
    except OSError:
        return


def _folder() -> Path:
    return kept_answers.folder().with_name("blocking")


def _mark(key: str, said: str) -> str:
    return hashlib.sha256(f"{key} {said}".encode()).hexdigest()


def _about(path: Path) -> tuple[object, ...]:
    it = path.stat()
    return str(path), it.st_size, it.st_mtime_ns, it.st_ctime_ns


@cache
def program() -> tuple[object, ...]:
    """This very program, and the kinds installed beside it, which change between versions too."""
    kinds = entry_points(group="platewright.kinds")
    versions = sorted({(each.dist.name, each.dist.version) for each in kinds if each.dist})
    packages = sorted({*_OURS, *(each.module.partition(".")[0] for each in kinds)})
    return __version__, versions, [_about(each) for name in packages for each in _files(name)]


def _files(package: str) -> Iterator[Path]:
    found = find_spec(package)
    for folder in (found.submodule_search_locations or ()) if found else ():
        for kept in ("*.py", "*.json"):
            yield from sorted(Path(folder).rglob(kept))
