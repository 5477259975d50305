"""Files written whole or not at all.

Takes text or bytes and a path. What stood there before stays until the new file is complete.
"""

from __future__ import annotations

import os
import tempfile
from pathlib import Path


def write_bytes(path: Path, data: bytes) -> None:
    """Write `data` beside `path`, force it to disk, and put it in place in one step.

    Raises:
        OSError: the disk refuses; whatever stood at `path` is untouched.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(name).chmod(0o644)
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def write_once(path: Path, data: bytes) -> None:
    """Write a file that is never written again: read-only, whole or not at all.

    Raises:
        FileExistsError: a file stands there; it is untouched.
        OSError: the disk refuses; nothing is left behind.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(name).chmod(0o444)
        # A link, unlike a move, refuses to take the place of a file that is there.
        path.hardlink_to(name)
    finally:
        Path(name).unlink()


def write_text(path: Path, text: str) -> None:
    """`write_bytes` of UTF-8 text."""
    write_bytes(path, text.encode("utf-8"))
