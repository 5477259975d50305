"""What the finish of a show is held to: frames scanned and recorded, printer runs, leave to show.

Takes a show and the estimates of its elements, gives sums over live elements as `Quantity`s, and
findings where a quota is passed or what is seen is not cleared. Knows nothing of money.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.model.place import Problem, Severity
from planner.model.quantity import Quantity

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from planner.kinds import Estimate
    from planner.model.show import Element, Show

COUNTED = ("frames scanned", "frames recorded", "printer runs")
"""Names of the quantities of elements, and with underscores of the quota's facts."""


def finish_sums(show: Show, by_element: Mapping[str, Estimate]) -> dict[str, Quantity]:
    """Frames scanned, frames recorded and printer runs of every live element together.

    Args:
        show: the show.
        by_element: estimates of all elements, by id.
    """
    sums = {}
    for name in COUNTED:
        found = [
            quantity
            for id_, estimate in by_element.items()
            if (quantity := estimate.quantities.get(name)) and show.is_live(show.elements[id_])
        ]
        total = sum(each.value for each in found)
        sums[name] = Quantity(
            name, total, "1", reason="sum over all live elements", inputs=tuple(found)
        )
    return sums


def finish_problems(show: Show, by_element: Mapping[str, Estimate]) -> Iterator[Problem]:
    """Quotas passed, and contents nobody has cleared; cost linear in elements.

    Args:
        show: the show.
        by_element: estimates of all elements, by id.
    """
    quota = show.facts.group("quota")
    if quota.values:
        for name, total in finish_sums(show, by_element).items():
            most = quota.number(name.replace(" ", "_"))
            if most is not None and total.value > most.value:
                yield _over(show, total, most)
    for element in show.elements.values():
        if element.facts.has("clearances") and show.is_live(element):
            yield from _uncleared(show, element)


def _over(show: Show, total: Quantity, most: Quantity) -> Problem:
    dearest = sorted(total.inputs, key=lambda each: -each.value)[:1]
    largest = f"; the largest is {dearest[0].value:,.0f}" if dearest else ""
    return Problem(
        Severity.WARNING,
        show.facts.group("quota").place_of(total.name.replace(" ", "_")),
        "over-quota",
        f"{total.value:,.0f} {total.name} are wanted and the quota is {most.value:,.0f}:"
        f" {total.value - most.value:,.0f} too many{largest}",
        "finish more shots photochemically, scan no more than the cut and its handles, or agree a"
        " larger quota"
        if total.name != "printer runs"
        else "finish some of the shots of many runs digitally, or agree a larger quota",
    )


def _uncleared(show: Show, element: Element) -> Iterator[Problem]:
    due = min((each.day for each in show.deliveries if element.shot in each.shots), default=None)
    by = f" and {element.shot} is to be final by {due}" if due else ""
    for each in element.facts.groups("clearances"):
        if each.flag("cleared"):
            continue
        yield Problem(
            Severity.WARNING,
            element.facts.place_of("clearances"),
            "contents-not-cleared",
            f"{each.word('what')} is seen in it, leave to show it is not in writing{by}",
            f"have {each.word('by') or 'one named person'} get it in writing, cover it, or paint it"
            " out",
            element.id,
        )
