"""Calls to what other people wrote, held so that nothing of theirs stops a plan.

Takes a call and the seconds it may take, gives its answer or a clause that says how it failed. What
it prints goes to standard error, as standard output may be JSON. Knows nothing of kinds or pages.
"""

from __future__ import annotations

import signal
import sys
import threading
from contextlib import contextmanager, redirect_stdout
from dataclasses import dataclass
from typing import TYPE_CHECKING, Generic, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from importlib.metadata import EntryPoint
    from types import FrameType

T = TypeVar("T")

BUDGET_SECONDS = 2.0
LOADING_SECONDS = 20.0
"""For imports, which on a cold and busy disk take longer than any sum."""


@dataclass(frozen=True, slots=True)
class Failed:
    """A call that gave no answer.

    Attributes:
        how: a clause, such as ``took more than 2 s``.
    """

    how: str


@dataclass(frozen=True, slots=True)
class Answered(Generic[T]):
    """A call that gave one."""

    value: T


def held(call: Callable[[], T], seconds: float = BUDGET_SECONDS) -> Answered[T] | Failed:
    """The answer of a call into a plugin, or how it failed.

    It may raise anything, try to end the program, go round for ever or print.

    Args:
        call: takes nothing.
        seconds: time allowed, anew while modules are still being imported; enforced where the
            platform has interval timers (not on Windows, and only on the main thread).
    """
    try:
        # Not where standard error is closed: then what is printed goes where it went before.
        with redirect_stdout(sys.stderr or sys.stdout), _time_limit(seconds):
            return Answered(call())
    except _TooSlow:
        return Failed(f"took more than {seconds:g} s")
    except SystemExit:
        return Failed("tried to end the program")
    except Exception as error:  # noqa: BLE001 - plugins may raise anything
        return Failed(_said(error))


def origin_of(point: EntryPoint) -> str:
    """Distribution an entry point comes from, for messages; its module where none is known."""
    return point.dist.name if point.dist is not None else point.value.partition(":")[0]


def door_refusal(asked: object, door: int) -> str:
    """Why what was written for door `asked` cannot pass this one; empty where it can."""
    if type(asked) is not int:
        return f"says no door number; this is door {door}"
    return "" if asked == door else f"was written for door {asked}; this is door {door}"


def door_remedy(asked: object, door: int) -> str:
    """What to do about it."""
    if type(asked) is int and asked > door:
        return "install a newer platewright"
    return f"ask its author for one written for door {door}"


def _said(error: Exception) -> str:
    name = type(error).__name__
    try:
        return f"{name}: {error}".removesuffix(": ")
    except Exception:  # noqa: BLE001 - even the words of an error are the plugin's
        return name


class _TooSlow(BaseException):
    """Not an Exception, so that a plugin's own ``except Exception`` lets it pass."""


@contextmanager
def _time_limit(seconds: float) -> Iterator[None]:
    if (
        not hasattr(signal, "setitimer")
        or threading.current_thread() is not threading.main_thread()
    ):
        yield
        return

    loaded, more = len(sys.modules), round(LOADING_SECONDS / seconds)

    def stop(_signal: int, _frame: FrameType | None) -> None:
        nonlocal loaded, more
        known, loaded = loaded, len(sys.modules)
        # A library imported where it is first needed is no sum that goes on for ever.
        if loaded > known and more > 0:
            more -= 1
            signal.setitimer(signal.ITIMER_REAL, seconds)
            return
        raise _TooSlow

    before = signal.signal(signal.SIGALRM, stop)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)
