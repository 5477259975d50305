"""Rates too old for the work they price.

Takes the show and its dated calls, gives a finding for each rate whose last sum was agreed long
before the work. Knows nothing of how lines are made.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.model.place import Problem, Severity

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from planner.model.show import Show
    from planner.order.stage_order import StageOrder

OLD_MONTHS = 18
"""Months after which people ask for another rate; common practice."""


def old_rate_problems(show: Show, order: StageOrder, rates_on: date | None) -> Iterator[Problem]:
    """Tell of each rate of labour in use that nobody has renewed for the day it is used.

    A show that states an escalation has allowed for it. Rates read on one day on purpose are not
    judged.

    Args:
        show: with its rates.
        order: dates of the work.
        rates_on: the day on which rates are read; None for the day of the call.
    """
    if rates_on is not None or show.facts.has("escalation"):
        return
    last: dict[str, date] = {}
    for call in order.calls:
        day, known = call.starts.date(), last.get(call.work.craft)
        if known is not None and day <= known:
            continue
        element = show.elements.get(call.element)
        if element is not None and show.is_live(element):
            last[call.work.craft] = day
    for craft, day in last.items():
        rate = show.rates.get(craft)
        since = (
            max((each for each, _sum in rate.amounts if each <= day), default=None)
            if rate
            else None
        )
        if rate is None or since is None:
            continue
        months = (day.year - since.year) * 12 + day.month - since.month
        if months > OLD_MONTHS:
            yield Problem(
                Severity.WARNING,
                rate.place,
                "rate-old",
                f"{craft} is called on {day} at a rate of {since}, {months} months before",
                "ask for the rate of that year and add it under amounts, or state an escalation",
                rate.id,
            )
