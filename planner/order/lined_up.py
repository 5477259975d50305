"""How a set was lined up for its first pass, which another pass wants again where it was struck.

What is looked at on the stage, as a check laid over its plate, wants the set as well. Takes an
element's stretches of work, gives `LinedUp`. Knows nothing of stages, dates or solvers.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from planner.kinds.floor import PASS_OF

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from planner.kinds import Work
    from planner.model.show import Element


CHECKED = "of"
"""Fact that names the element that is looked at."""


class LinedUp(NamedTuple):
    """A set as it stands when it is first photographed.

    Attributes:
        element: what it was lined up for; of passes of passes, the first.
        set_up: how the stage stands.
        quarters: working time of setting it up, programming and rehearsing, before the first take.
    """

    element: str
    set_up: str
    quarters: int


def lining_up(element: str, works: Iterable[Work]) -> LinedUp | None:
    """All its work on a stage but the last, which runs the camera; None where there is none."""
    staged = [work for work in works if work.set_up]
    if not staged:
        return None
    set_up = staged[-1].set_up
    followed = {name for work in staged for name in work.after}
    before = (work for work in staged if work.name in followed and work.set_up == set_up)
    return LinedUp(element, set_up, sum(math.ceil(round(w.hours.likely * 4, 6)) for w in before))


def while_it_stands(
    element: Element, works: tuple[Work, ...], known: Mapping[str, LinedUp | None]
) -> tuple[Work, ...]:
    """The same, what holds a stage to look at another element done in the set-up of that."""
    first = known.get(element.target(CHECKED))
    if first is None:
        return works
    return tuple(
        replace(work, set_up=first.set_up) if not work.set_up and _is_staged(work) else work
        for work in works
    )


def _is_staged(work: Work) -> bool:
    return any(need.sort == "stage" for need in work.needs)


def lined_up_before(
    element: Element, works: Iterable[Work], known: Mapping[str, LinedUp | None]
) -> LinedUp | None:
    """How the set was lined up that an element is another pass of, or looks at; None where none.

    Args:
        element: that is to be photographed.
        works: its stretches of work.
        known: how sets stand, by the elements they were lined up for.
    """
    set_ups = {work.set_up for work in works}
    every = (known.get(element.target(role)) for role in (*PASS_OF, CHECKED))
    return next((each for each in every if each and each.set_up in set_ups), None)
