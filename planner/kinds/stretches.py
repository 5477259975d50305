"""Stretches of stage work, one after another, holding the same stage.

Takes efforts with their crafts, gives the element's work. Knows nothing of what is photographed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.kinds.estimate import Phase, Work
from planner.kinds.worksheet import Rule

if TYPE_CHECKING:
    from collections.abc import Iterable

    from planner.kinds.floor import Floor
    from planner.kinds.worksheet import Effort, Worksheet


LINE_UP_HANDS = Rule(
    "stage.line_up_hands", "camera hands who light and line up during a set-up", 1, 1, 2, "1"
)


@dataclass(frozen=True, slots=True)
class Hands:
    """Hands of another craft during a stretch of work; the stage is already held for that.

    Attributes:
        name: what they do, a verb phrase.
        craft: whose they are.
        heads: hands at once.
    """

    name: str
    craft: str
    heads: int


@dataclass(frozen=True, slots=True)
class Stretch:
    """One craft's part of it.

    Attributes:
        name: a verb phrase.
        craft: who does it.
        effort: elapsed hours.
        heads: hands at once.
        after: names of other work of the element that it follows.
        beside: hands called with it.
    """

    name: str
    craft: str
    effort: Effort
    heads: int = 1
    after: tuple[str, ...] = ()
    beside: tuple[Hands, ...] = ()


def on_stage(
    sheet: Worksheet,
    floor: Floor,
    stretches: Iterable[Stretch],
    *,
    wait_hours: float = 0.0,
) -> None:
    """Add stretches that follow one another on one stage, at least one.

    The first is the set-up, which is lit and lined up through the camera while it is made. The last
    is what runs the camera: a take is not left half-way for the night.

    Args:
        sheet: of the element.
        floor: what they hold.
        stretches: in order.
        wait_hours: until what follows the last of them may begin.
    """
    parts = tuple(stretches)
    after: tuple[str, ...] = ()
    for part in parts:
        is_last = part is parts[-1]
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
                wait_hours=wait_hours if is_last else 0.0,
                day_sized=is_last,
            )
        )
        is_set_up = part is parts[0] and not is_last
        lining_up = (_lining_up(sheet),) if is_set_up else ()
        for hands in (*lining_up, *part.beside):
            sheet.do(_beside(work, hands))
        after = (part.name,)


def _lining_up(sheet: Worksheet) -> Hands:
    return Hands("light and line up", "camera", heads(sheet, LINE_UP_HANDS))


def _beside(work: Work, hands: Hands) -> Work:
    return Work(
        name=hands.name,
        craft=hands.craft,
        phase=work.phase,
        hours=work.hours,
        reason=work.reason,
        heads=hands.heads,
        after=work.after,
        beside=work.name,
    )


def heads(sheet: Worksheet, rule: Rule) -> int:
    """Hands at once by a rule, at least one."""
    return max(round(sheet.rule(rule)[0].value), 1)
