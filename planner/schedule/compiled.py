"""Functions compiled when first called and kept on disk, and whether they are.

Takes functions, gives them compiled. Knows nothing of what they do. Importing numba takes part of a
second and compiling far longer: import what uses this where it is needed.
"""

from __future__ import annotations

import sys
from concurrent.futures import ThreadPoolExecutor, wait
from contextlib import suppress
from functools import cache, partial
from pathlib import Path
from threading import Event
from typing import TYPE_CHECKING, Protocol, TypeVar, cast

from numba import njit, typeof

if TYPE_CHECKING:
    from collections.abc import Callable

F = TypeVar("F", bound="Callable[..., object]")
Made = TypeVar("Made")

LOOK_SECONDS = 0.05

SOURCES = (
    frozenset(
        {
            *("compiled", "flat", "pad", "rows", "putting", "choosing", "moves"),
            *("placing", "pushing", "changing", "ordering"),
        }
    ),
    frozenset({"compiled", "flat", "pad", "herds"}),
)
"""Modules whose functions and numbers go into what is compiled together."""


class _Stats(Protocol):
    cache_path: str | None


class _Compiled(Protocol):
    """What numba makes of a function."""

    __name__: str
    __module__: str
    stats: _Stats

    def compile(self, types: tuple[object, ...]) -> object: ...


def called_from_python(function: F) -> F:
    """As `compiled`, for what is called from Python as well: its arguments are taken apart there.

    Half of all compiling went into doing so for functions that only compiled code calls.
    """
    return _compiled(function, is_inner=False)


def compiled(function: F) -> F:
    """Compile when first called, keep it on disk if there is room, let other threads run meanwhile.

    Only other compiled functions may call it: called from Python it ends the program.

    References to arrays are not counted, which took most of the time: nothing compiled here may
    make or keep an array.
    """
    return _compiled(function, is_inner=True)


def _compiled(function: F, *, is_inner: bool) -> F:
    compiling = partial(
        cast("Callable[..., Callable[[F], F]]", njit),
        nogil=True,
        _nrt=False,
        no_cpython_wrapper=is_inner,
        no_cfunc_wrapper=True,
    )
    try:
        made = compiling(cache=True)(function)
    except RuntimeError:
        # Neither beside the text nor in the user's cache may anything be written.
        return compiling()(function)
    where = cast("_Compiled", made).stats.cache_path
    if where is not None:
        _forget_outdated(where)
    return made


def is_kept(function: Callable[..., object]) -> bool:
    """Whether a function was compiled before and kept; another numba is not told apart."""
    one = cast("_Compiled", function)
    where, module = one.stats.cache_path, one.__module__.rpartition(".")[2]
    python = f"py{sys.version_info.major}{sys.version_info.minor}"
    return where is not None and any(Path(where).glob(f"{module}.{one.__name__}-*.{python}*.nbi"))


def compile_for(function: Callable[..., object], like: tuple[object, ...]) -> None:
    """Compile a function now, for arguments like these, or read it from disk."""
    type_of = cast("Callable[[object], object]", typeof)
    cast("_Compiled", function).compile(tuple(map(type_of, like)))


def made_aside(
    make: Callable[[Callable[[], bool]], Made], is_over: Callable[[], bool]
) -> Made | None:
    """What is made on a thread of its own; None if it is over before.

    Whoever waits can stop waiting, and a command that ends has to wait for one part at most.

    Args:
        make: is given what it is to ask, between its parts, whether it is given up.
        is_over: asked meanwhile.
    """
    thread, given_up = ThreadPoolExecutor(1), Event()
    making = thread.submit(make, given_up.is_set)
    thread.shutdown(wait=False)
    try:
        while wait([making], LOOK_SECONDS).not_done:
            if is_over():
                return None
    finally:
        given_up.set()
    return making.result()


@cache
def _forget_outdated(where: str) -> None:
    """Remove what was compiled from another text than the present.

    numba looks at the module that a function is in, but not at those that it calls into or has
    numbers from, and would go on with what was made of their former text.
    """
    here = Path(__file__).parent
    with suppress(OSError):
        every = frozenset[str]().union(*SOURCES)
        written = {name: (here / f"{name}.py").stat().st_mtime for name in every}
        for kept in Path(where).glob("*.nbi"):
            name = kept.name.partition(".")[0]
            groups = [group for group in SOURCES if name in group]
            made_of = frozenset.intersection(*groups) if groups else every
            if kept.stat().st_mtime < max(written[each] for each in made_of):
                kept.unlink()
