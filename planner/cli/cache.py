"""The user's cache: texts under keys, and what a key is made of beside the question.

Takes a key and a text, gives the text back as it was written or nothing. It may be thrown away at
any time; a file of it that is not as it was written is passed over, and where the disk refuses
nothing is kept. Text is kept and never anything that runs.
"""

from __future__ import annotations

import functools
import hashlib
import os
import re
import sys
from contextlib import suppress
from dataclasses import dataclass
from importlib.metadata import entry_points
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from planner import __version__

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

SWITCH = "PLATEWRIGHT_CACHE"
"""Variable of the environment that turns all keeping off where it says ``off``."""
UNPRINTED = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f]")
"""In no answer: a text that holds any was put there by others, and must reach no terminal."""
_OURS = ("planner", "planner_schemas")


@dataclass(frozen=True, slots=True)
class Cache:
    """One kind of texts.

    Attributes:
        name: of their folder.
        most: how many are kept, the oldest thrown away first.
    """

    name: str
    most: int

    @property
    def folder(self) -> Path:
        """Where they lie; XDG_CACHE_HOME moves it."""
        stated = os.environ.get("XDG_CACHE_HOME")
        if stated:
            base = Path(stated)
        elif sys.platform == "win32":
            base = Path(os.environ.get("LOCALAPPDATA") or Path.home())
        elif sys.platform == "darwin":
            base = Path.home() / "Library" / "Caches"
        else:
            base = Path.home() / ".cache"
        return base / "platewright" / self.name

    def recall(self, key: str) -> str | None:
        """What was kept under a key; None where nothing is, the key is empty or keeping is off."""
        if not key or _is_off():
            return None
        try:
            mark, _, text = (self.folder / f"{key}.json").read_bytes().partition(b"\n")
            return text.decode() if mark == _mark(key, text) else None
        except (OSError, ValueError):
            return None

    def keep(self, key: str, text: str) -> None:
        """Keep a text where the disk allows; nothing where the key is empty or keeping is off."""
        from planner.pages.files import write_bytes

        if not key or _is_off():
            return
        data = text.encode()
        try:
            write_bytes(self.folder / f"{key}.json", b"\n".join((_mark(key, data), data)))
            kept = sorted(self.folder.glob("*.json"), key=lambda each: each.stat().st_mtime_ns)
            for path in kept[: -self.most]:
                path.unlink(missing_ok=True)
        except OSError:
            return


def _is_off() -> bool:
    return os.environ.get(SWITCH, "").strip().lower() == "off"


def _mark(key: str, data: bytes) -> bytes:
    return hashlib.sha256(b" ".join((key.encode(), data))).hexdigest().encode()


def key_of(*what: object) -> str:
    """A name that nothing else has that differs in `what`."""
    return hashlib.sha256(repr(what).encode()).hexdigest()


def stamp(path: Path) -> tuple[object, ...]:
    """A file's name, size and times; that of change is the disk's own, and is not set back."""
    it = path.stat()
    return str(path), it.st_size, it.st_mtime_ns, it.st_ctime_ns


@functools.cache
def program() -> tuple[object, ...]:
    """This very program, and the kinds installed beside it, which change between versions too."""
    kinds = entry_points(group="platewright.kinds")
    versions = sorted({(each.dist.name, each.dist.version) for each in kinds if each.dist})
    packages = sorted({*_OURS, *(each.module.partition(".")[0] for each in kinds)})
    folders = (Path(folder) for name in packages for folder in _folders(name))
    return __version__, versions, [each for folder in folders for each in stamps_in(folder)]


def _folders(package: str) -> Iterable[str]:
    found = find_spec(package)
    return (found.submodule_search_locations or ()) if found else ()


def stamps_in(folder: Path) -> Iterator[tuple[object, ...]]:
    """Stamps of a folder's modules and schemas, however deep."""
    for kept in ("*.py", "*.json"):
        for path in sorted(folder.rglob(kept)):
            # What an editor leaves beside a file it holds is a link to nothing, and no code.
            with suppress(OSError):
                yield stamp(path)
