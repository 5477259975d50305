"""Issued revisions of the bid on the disk: ``issued/bid_001.json`` and on, in the show's folder.

Takes a show's folder, gives and keeps revisions, and reads actuals.csv. A revision once written is
never written again.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from planner.bid.actuals import read_actuals
from planner.bid.frozen import RevisionError, from_text, to_text
from planner.model.place import Place, Problem, Severity
from planner.pages.files import write_once

if TYPE_CHECKING:
    from pathlib import Path

    from planner.bid.actuals import Posting
    from planner.bid.revision import Issued

FOLDER = "issued"
ACTUALS = "actuals.csv"
_NAME = re.compile(r"bid_(\d{3,})\.json")


def numbers(show: Path) -> tuple[int, ...]:
    """Numbers of the revisions issued, rising."""
    folder = show / FOLDER
    names = [each.name for each in folder.iterdir()] if folder.is_dir() else []
    found = (_NAME.fullmatch(name) for name in names)
    return tuple(sorted(int(match[1]) for match in found if match))


def path_of(show: Path, number: int) -> Path:
    """Where a revision stands."""
    return show / FOLDER / f"bid_{number:03d}.json"


def fetch(show: Path, number: int) -> Issued | Problem:
    """A revision; or why there is none."""
    path, issued = path_of(show, number), numbers(show)
    if number not in issued:
        known = f"the last one is {issued[-1]}" if issued else "issue one with `bid SHOW --issue`"
        says = f"no revision {number} of the bid was issued"
        return Problem(Severity.ERROR, Place(str(show / FOLDER)), "not-issued", says, known)
    try:
        return from_text(path.read_text(encoding="utf-8"))
    except RevisionError as error:
        says = f"cannot be trusted: {error}"
        remedy = "take it from a copy; a revision is never edited"
        return Problem(Severity.ERROR, Place(str(path)), "revision-unreadable", says, remedy)
    except (OSError, UnicodeDecodeError) as error:
        return _unreadable(path, error)


def keep(show: Path, issued: Issued) -> Path:
    """Write a revision whole, or not at all.

    Raises:
        FileExistsError: a revision of that number stands there; it is untouched.
        OSError: the disk refuses; nothing is left behind.
    """
    path = path_of(show, issued.stamp.number)
    write_once(path, to_text(issued).encode("utf-8"))
    return path


def fetch_actuals(show: Path) -> tuple[tuple[Posting, ...], tuple[Problem, ...]]:
    """What was posted; nothing where there is no actuals.csv."""
    path = show / ACTUALS
    if not path.exists():
        return (), ()
    try:
        return read_actuals(path.read_text(encoding="utf-8-sig"), str(path))
    except (OSError, UnicodeDecodeError) as error:
        return (), (_unreadable(path, error),)


def _unreadable(path: Path, error: OSError | UnicodeDecodeError) -> Problem:
    why = error.strerror if isinstance(error, OSError) else "it is not text in UTF-8"
    says = f"cannot be read: {why}"
    return Problem(Severity.ERROR, Place(str(path)), "file-unreadable", says)
