"""Files written whole or not at all.

Takes text or bytes and a path. What stood there before stays until the new file is complete.
"""

from __future__ import annotations

import errno
import os
import tempfile
from pathlib import Path


def write_bytes(path: Path, data: bytes) -> None:
    """Write `data` beside `path`, force it to disk, and put it in place in one step.

    Raises:
        OSError: the disk refuses; whatever stood at `path` is untouched.
    """
    whole = _written_beside(path, data, 0o644)
    try:
        whole.replace(path)
    except BaseException:
        whole.unlink(missing_ok=True)
        raise


def write_once(path: Path, data: bytes) -> None:
    """Write a file that is never written again: read-only, whole or not at all.

    Raises:
        FileExistsError: a file stands there; it is untouched.
        OSError: the disk refuses; nothing is left behind.
    """
    if path.parent.is_file():
        # Not `FileExistsError`, as making the folder would say: nothing stands at `path`.
        raise NotADirectoryError(errno.ENOTDIR, f"{path.parent} is a file")
    whole = _written_beside(path, data, 0o444)
    try:
        # A link, unlike a move, refuses to take the place of a file that is there.
        path.hardlink_to(whole)
    finally:
        whole.unlink()


def write_text(path: Path, text: str) -> None:
    """`write_bytes` of UTF-8 text."""
    write_bytes(path, text.encode("utf-8"))


def _written_beside(path: Path, data: bytes, mode: int) -> Path:
    """A new file in the folder of `path`, complete and on the disk; its folder is made."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    whole = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        whole.chmod(mode)
    except BaseException:
        whole.unlink(missing_ok=True)
        raise
    return whole
