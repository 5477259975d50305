"""What `blocking` said, kept so that asking again while nothing has changed answers at once.

Takes all that an answer rests on: the show's files and issued orders, how far its ledger has
come, the question, the day, and this very program with its kinds. Gives what was printed for it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.cli import cache

if TYPE_CHECKING:
    from pathlib import Path

FORMAT = 2
KEPT = cache.Cache("blocking", most=24)


def seen(folder: Path) -> tuple[object, ...]:
    """All files that an answer rests on, as they are now, by name, size and times.

    To be asked before any of them is read: what changes meanwhile then leaves an answer under a
    name that nobody asks for again.
    """
    paths = (*folder.rglob("*.yaml"), *folder.glob("moves/*.csv"), *folder.glob("issued/*"))
    # An editor may hold a lock beside a file: a link to nothing, which is no file of the show.
    found = sorted(each for each in paths if each.is_file())
    return str(folder.resolve()), *(cache.stamp(each) for each in found)


def key_of(files: tuple[object, ...], *question: object) -> str:
    """A name that no other question has.

    Args:
        files: as they were `seen`.
        question: whatever else the answer depends on.
    """
    return cache.key_of(FORMAT, cache.program(), files, question)


def recall(key: str) -> str | None:
    """What was said; None where it is not kept."""
    said = KEPT.recall(key)
    return None if said is None or cache.UNPRINTED.search(said) else said


def keep(key: str, said: str) -> None:
    """Keep what was said, where the disk allows."""
    KEPT.keep(key, said)
