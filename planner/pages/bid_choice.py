"""The cheapest set of ways to make everything, as text or JSON.

Takes what was chosen, gives text of 80 columns, with why each other way lost. Works nothing out.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from planner.model.names import in_names
from planner.pages.wording import folded

if TYPE_CHECKING:
    from planner.bid.choosing import Chosen
    from planner.model.show import Show

CAUTION = (
    "The sum is reckoned by each thing's own hours on one day, not by an order planned again: days"
    " held, overtime and rates may come out otherwise once a choice is planned."
)
_SAID = {"method": "ways of making", "candidate": "builds for", "scale": "scales of"}


def choice_text(found: Chosen, show: Show) -> str:
    """Each question with what is taken, and why each other option lost; reasons call by name."""
    currency = show.currency
    if found.hindrance:
        rows = folded(f"Nothing fits: {in_names(found.hindrance, show)}.", "", "  ")
        for limit, cost in found.eased.items():
            says = f"Without the limit “{limit}” the cheapest set costs {cost:,.2f} {currency}."
            rows += folded(says, "", "  ")
        if not found.eased:
            rows += folded("No one limit given up would help by itself.", "", "  ")
        return "".join(f"{row}\n" for row in rows)
    if not found.settled:
        return "nothing in the show is left to choose\n"
    lines = folded(
        f"the cheapest consistent set, priced on {found.day}: {found.cost:,.2f} {currency} likely"
        " with loads, the whole bid",
        "",
        "  ",
    )
    for each in found.settled:
        lines += ["", *folded(f"{_SAID[each.question.sort]} {each.question.about}", "", "  ")]
        lines += folded(f"{each.taken}: taken", "  ", "    ")
        for name, why in each.lost.items():
            lines += folded(f"{name}: {in_names(why, show)}", "  ", "    ")
    lines += ["", *folded(CAUTION)]
    lines += ["", *folded("Nothing is written; state a verdict in the show's files to take it.")]
    return "".join(f"{line}\n" for line in lines)


def choice_json(found: Chosen) -> str:
    """The same for other programs; sums are text, so that no cent is lost."""
    return json.dumps(
        {
            "day": found.day.isoformat(),
            "cost": str(found.cost),
            "caution": CAUTION,
            "hindrance": found.hindrance,
            "eased": {limit: str(cost) for limit, cost in found.eased.items()},
            "settled": [
                {
                    "sort": each.question.sort,
                    "about": each.question.about,
                    "taken": each.taken,
                    "lost": dict(each.lost),
                    "dearer": {name: str(more) for name, more in each.dearer.items()},
                }
                for each in found.settled
            ],
        },
        indent=2,
        ensure_ascii=False,
    )
