"""Whether a working day has meals in it.

Takes a show's calendar, gives a finding where work would go on for too long without one. How long
is common practice with no source: local rules and agreements decide. Knows nothing of calls.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from planner.model.place import Problem, Severity

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.model.show import Show

LONGEST = 6.0
"""Hours of work without a meal, unless the show says otherwise; common practice, no source."""
DECIDE = "local rules and agreements decide"


def meal_problems(show: Show) -> Iterator[Problem]:
    """A note where no meal is stated, a warning where those stated leave too long a stretch."""
    stated, calendar = show.facts.group("calendar"), show.calendar
    within = stated.amount("meal_within", LONGEST)
    edges = (0.0, *(meal.after for meal in calendar.meals), calendar.day_hours)
    longest = max(last - first for first, last in pairwise(edges))
    if longest <= within:
        return
    usual = "" if stated.has("meal_within") else f", as is common practice; {DECIDE}"
    after = f"{min(within, calendar.day_hours / 2):g} h"
    if calendar.meals:
        yield Problem(
            Severity.WARNING,
            stated.place_of("meals"),
            "meal-too-late",
            f"{longest:g} h of work go by without a meal, and {within:g} h are the most{usual}",
            "begin a meal sooner, or state one more",
        )
        return
    yield Problem(
        Severity.NOTE,
        stated.place_of("day_hours"),
        "meals-not-stated",
        f"a day of {calendar.day_hours:g} h has no meal in it, and after {within:g} h there is to"
        f" be one{usual}: the hours of the clock after it are not those people keep",
        f"state `meals: [{{after: {after}, lasts: 1 h}}]` under calendar",
    )
