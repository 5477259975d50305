"""Promises that cannot all be kept, as text of 80 columns or JSON.

Takes contradictions, gives text. Works nothing out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.model.names import counted, in_names, name_of
from planner.pages.machine import place_json
from planner.pages.wording import folded

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from planner.model.show import Show
    from planner.order.must_hold import Contradiction

_MOST_EASINGS = 3
_LEAST_KNOWN = "It must give way to that day at the least; how much further was not found."
_NOT_FOUND = "How far any of them must give way was not found in the time there is for it."
NONE = (
    "No promise was found that cannot be kept: dues, deliveries, locks and absences may all hold."
    " It takes an order to show that they do."
)


def must_hold_text(found: Sequence[Contradiction], show: Show) -> str:
    """Each contradiction: the facts with their places, and the easiest ways to end it."""
    if not found:
        return "\n".join(folded(NONE)) + "\n"
    return "\n\n".join("\n".join(_one(each, show)) for each in found) + "\n"


def _one(each: Contradiction, show: Show) -> Iterator[str]:
    verb = "These cannot hold together" if len(each.promises) > 1 else "This cannot hold"
    scarce = (
        f", with what there is of {', '.join(name_of(e, show) for e in each.short_of)}"
        if each.short_of
        else ""
    )
    yield from folded(f"{verb}{scarce}:")
    for promise in each.promises:
        yield from folded(in_names(promise.says, show), "  ", "    ")
        yield f"    {promise.place}"  # whole, however long: to be followed from the terminal
    if each.because:
        yield from folded(f"{in_names(each.because, show)}.")
    if not each.is_fewest:
        yield "Perhaps not all of them are needed for it."
    if each.easings:
        ways = each.easings[:_MOST_EASINGS]
        one = f"One of {counted(len(ways), 'way')}" if len(ways) > 1 else "One way"
        yield f"{one} would do, the smallest first:" if len(ways) > 1 else f"{one} would do:"
        for way in ways:
            yield from folded(in_names(way.says, show), "  - ", "    ")
    else:
        # Each by itself would do, given room enough; the search for how much ends after its share.
        yield from folded(_LEAST_KNOWN if each.because else _NOT_FOUND)


def must_hold_json(found: Sequence[Contradiction]) -> list[dict[str, object]]:
    """The same for other programs, as plain values."""
    return [
        {
            "promises": [
                {
                    "kind": promise.kind,
                    "about": promise.about,
                    "says": promise.says,
                    "place": place_json(promise.place),
                }
                for promise in each.promises
            ],
            "short_of": list(each.short_of),
            "because": each.because,
            "easings": [
                {"says": way.says, "working_days": way.working_days} for way in each.easings
            ],
            "is_fewest": each.is_fewest,
        }
        for each in found
    ]
