"""Stretches of stage work, one after another, holding the same stage.

Takes efforts with their crafts, gives the element's work. Knows nothing of what is photographed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.kinds.estimate import Phase, Risk, Work

if TYPE_CHECKING:
    from collections.abc import Iterable

    from planner.kinds.floor import Floor
    from planner.kinds.worksheet import Effort, Rule, Worksheet


@dataclass(frozen=True, slots=True)
class Stretch:
    """One craft's part of it.

    Attributes:
        name: a verb phrase.
        craft: who does it.
        effort: elapsed hours.
        heads: hands at once.
        after: names of other work of the element that it follows.
    """

    name: str
    craft: str
    effort: Effort
    heads: int = 1
    after: tuple[str, ...] = ()


def on_stage(
    sheet: Worksheet,
    floor: Floor,
    stretches: Iterable[Stretch],
    *,
    risk: Risk = Risk.ORDINARY,
    wait_hours: float = 0.0,
) -> Work:
    """Add stretches that follow one another on one stage, at least one; gives back the last.

    The last is what runs a camera: a take is not left half-way for the night.

    Args:
        sheet: of the element.
        floor: what they hold.
        stretches: in order.
        risk: class of contingency.
        wait_hours: until what follows the last of them may begin.
    """
    parts = tuple(stretches)
    after: tuple[str, ...] = ()
    for part in parts:
        work = sheet.do(
            Work(
                name=part.name,
                craft=part.craft,
                phase=Phase.STAGE,
                hours=part.effort.hours,
                reason=part.effort.reason,
                heads=part.heads,
                needs=floor.needs,
                set_up=floor.state,
                after=after + part.after,
                wait_hours=wait_hours if part is parts[-1] else 0.0,
                day_sized=part is parts[-1],
                risk=risk,
            )
        )
        after = (part.name,)
    return work


def beside_stage(
    sheet: Worksheet, stretch: Stretch, beside: Work, *, risk: Risk = Risk.ORDINARY
) -> None:
    """Add hands of another craft during stage work; the stage is already held for that."""
    sheet.do(
        Work(
            name=stretch.name,
            craft=stretch.craft,
            phase=Phase.STAGE,
            hours=stretch.effort.hours,
            reason=stretch.effort.reason,
            heads=stretch.heads,
            after=beside.after,
            beside=beside.name,
            risk=risk,
        )
    )


def heads(sheet: Worksheet, rule: Rule) -> int:
    """Hands at once by a rule, at least one."""
    return max(round(sheet.rule(rule)[0].value), 1)
