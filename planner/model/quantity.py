"""Numbers that know how they were reached.

Takes values with their standing, gives `Quantity` trees that open to their arithmetic. Knows
nothing of files, units as text, or printing.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from typing import TYPE_CHECKING

from planner.model.frozen import quickly_made

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.model.place import Place


class Standing(IntEnum):
    """How far a number may be trusted, best first.

    The order is that of trust: a reckoned number is no better than the worst it rests on.
    """

    MEASURED = 0
    RECORDED = 1
    RECONSTRUCTED = 2
    GIVEN = 3
    RECKONED = 4
    ASSUMED = 5
    MISSING = 6

    def __str__(self) -> str:
        return self.name.lower()


@quickly_made
@dataclass(frozen=True, slots=True)
class Quantity:
    """One number, its unit, its standing and its reason.

    Attributes:
        name: what it is, in the trade's words.
        value: in `unit`.
        unit: canonical unit: ``mm``, ``deg``, ``kg``, ``s``, ``fps``, ``lx``, ``mm/s``, ``1`` …
            (see `planner.text.measures`).
        standing: how it was obtained.
        spread: one standard deviation in `unit`, where known.
        place: where it was written; None for reckoned numbers.
        text: as the user wrote it; empty for reckoned numbers.
        reason: for a written fact who gave it; for a reckoned one the formula in words.
        source: published source or ``common practice`` for the rule behind it.
        inputs: the numbers it was reckoned from.
    """

    name: str
    value: float
    unit: str = "1"
    standing: Standing = Standing.RECKONED
    spread: float | None = None
    place: Place | None = None
    text: str = ""
    reason: str = ""
    source: str = ""
    inputs: tuple[Quantity, ...] = ()

    @property
    def weakest(self) -> Standing:
        """Worst standing this number rests on, its own included.

        A reckoned number reached only from measured ones is `RECKONED`; one that used an assumption
        anywhere is `ASSUMED`.
        """
        return max((part.standing for part in self.parts()), default=self.standing)

    def parts(self) -> Iterator[Quantity]:
        """This number and everything under it, depth first; cost linear in the tree."""
        yield self
        for part in self.inputs:
            yield from part.parts()


def reckoned(name: str, value: float, unit: str, reason: str, *inputs: Quantity) -> Quantity:
    """A number in `unit` worked out from `inputs` by the formula in `reason`."""
    return Quantity(name, value, unit, reason=reason, inputs=inputs)
