"""Prices grown from the day they were agreed to the month they are paid in.

Takes the show's ``escalation``, gives months and a factor. Knows nothing of rates or lines. Growth
is reckoned by whole months, so that all of one month is paid alike, and only past the day on which
a rate was last stated: a rise written in rates.yaml is never counted twice.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING

from planner.bid.lines import ONE
from planner.craft.planning import escalation_factor

if TYPE_CHECKING:
    from datetime import date

    from planner.model.facts import Facts

_TENTH_OF_A_HUNDREDTH = Decimal("0.000001")


@dataclass(frozen=True, slots=True)
class Escalation:
    """A rise of prices by a share a year.

    Attributes:
        share: a year; 0.04 is four per cent. 0 for none.
        base: day to whose prices the rates belong.
    """

    share: Decimal
    base: date
    _factors: dict[int, Decimal] = field(default_factory=dict, compare=False, repr=False)

    def months(self, since: date | None, day: date) -> int:
        """Whole months from the base, or from the day a rate was stated if later, to `day`'s month.

        Args:
            since: day a rate holds from; None for a sum stated outright.
            day: of spending.
        """
        if not self.share:
            return 0
        start = self.base if since is None else max(self.base, since)
        return max(0, 12 * (day.year - start.year) + day.month - start.month)

    def growth(self, months: int) -> Decimal:
        """``(1 + share)^(months / 12)`` to six places, as the spreadsheet has it."""
        if not months:
            return ONE
        found = self._factors.get(months)
        if found is None:
            grown = Decimal(escalation_factor(float(self.share), months / 12))
            found = self._factors[months] = grown.quantize(_TENTH_OF_A_HUNDREDTH)
        return found


def escalation_of(facts: Facts, starts: date) -> Escalation:
    """As show.yaml states it; its base is the show's first day where it states none.

    Args:
        facts: of show.yaml.
        starts: first day of the show.
    """
    stated = facts.group("escalation")
    share = stated.number("share")
    # To a ten-thousandth of a per cent, so that no binary fraction reaches money.
    exact = Decimal(0) if share is None else round(Decimal(share.value), 6).normalize()
    return Escalation(exact, stated.day("base") or starts)
