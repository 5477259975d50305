"""Issued orders on the disk: ``issued/order_001.json`` and on, in the show's folder.

Takes a show's folder, gives and keeps issued orders. A file once written is never written again.
"""

from __future__ import annotations

import hashlib
import re
from typing import TYPE_CHECKING

from planner.model.place import Place, Problem, Severity
from planner.pages.files import write_once
from planner.pages.order_issued import issued_json, read_issued

if TYPE_CHECKING:
    from pathlib import Path

    from planner.order import IssuedOrder

FOLDER = "issued"
_NAME = re.compile(r"order_(\d{3,})\.json")
_FILES = ("*.yaml", "sequences/*.yaml", "moves/*.csv")


def numbers(show: Path) -> tuple[int, ...]:
    """Numbers of the orders issued, rising."""
    folder = show / FOLDER
    names = [each.name for each in folder.iterdir()] if folder.is_dir() else []
    found = (_NAME.fullmatch(name) for name in names)
    return tuple(sorted(int(match[1]) for match in found if match))


def path_of(show: Path, number: int) -> Path:
    """Where an issued order stands."""
    return show / FOLDER / f"order_{number:03d}.json"


def fetch(show: Path, number: int | None = None) -> IssuedOrder | Problem:
    """An issued order, the last one where no number is given; or why there is none."""
    issued = numbers(show)
    wanted = number if number is not None else max(issued, default=None)
    if wanted is None or wanted not in issued:
        what = "no order has been issued" if wanted is None else f"no order {wanted} was issued"
        known = f"the last one is {issued[-1]}" if issued else "issue one with `order SHOW --issue`"
        return Problem(Severity.ERROR, Place(str(show / FOLDER)), "not-issued", what, known)
    path = path_of(show, wanted)
    try:
        return read_issued(path.read_bytes(), str(path))
    except OSError as error:
        says = f"cannot be read: {error.strerror}"
        return Problem(Severity.ERROR, Place(str(path)), "file-unreadable", says)


def keep(show: Path, issued: IssuedOrder) -> Path:
    """Write an issued order whole, or not at all.

    Raises:
        FileExistsError: an order of that number stands there; it is untouched.
        OSError: the disk refuses; nothing is left behind.
    """
    path = path_of(show, issued.stamp.number)
    write_once(path, issued_json(issued).encode("utf-8"))
    return path


def fingerprint(show: Path) -> str:
    """SHA-256 of the show's own files with their names, in hexadecimal."""
    marks = hashlib.sha256()
    for path in sorted(each for pattern in _FILES for each in show.glob(pattern)):
        data = path.read_bytes()
        marks.update(f"{path.relative_to(show).as_posix()}\n{len(data)}\n".encode())
        marks.update(data)
    return marks.hexdigest()
