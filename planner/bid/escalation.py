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
    from collections.abc import Mapping
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
            found = self._factors[months] = _grown(self.share, months)
        return found


def _grown(share: Decimal, months: int) -> Decimal:
    return Decimal(escalation_factor(float(share), months / 12)).quantize(_TENTH_OF_A_HUNDREDTH)


def share_behind(growth: Mapping[int, Decimal]) -> Decimal:
    """The share a year that prices grew by, where only the growth is known.

    Args:
        growth: by months, as `Escalation.growth` reckons it.

    Returns:
        The share of the fewest digits, at most six, that grows so; 0 where nothing grew.
    """
    if not growth:
        return Decimal(0)
    longest = max(growth)
    share = float(growth[longest]) ** (12 / longest) - 1
    likely = (round(Decimal(share), digits) for digits in range(2, 7))
    grows_so = (
        each for each in likely if all(_grown(each, many) == growth[many] for many in growth)
    )
    return next(grows_so, round(Decimal(share), 6))


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
