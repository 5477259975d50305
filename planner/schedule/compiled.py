"""Functions compiled when first called, and whether that was done before.

Takes functions, gives them compiled; what was compiled is kept on disk. Knows nothing of what they
do. Compiling takes long: import what uses this where it is needed.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar, cast

from numba import njit

if TYPE_CHECKING:
    from collections.abc import Callable

F = TypeVar("F", bound="Callable[..., object]")


def compiled(function: F) -> F:
    """Compile when first called, keep it on disk, and let other threads run meanwhile.

    References to arrays are not counted, which took most of the time: nothing compiled here may
    make or keep an array.
    """
    compiling = cast("Callable[..., Callable[[F], F]]", njit)
    return compiling(cache=True, nogil=True, _nrt=False)(function)
