"""How much of the bid rests on one thing.

Takes a show and its bid, gives the value of the shots behind each build and test, and findings on
single things that carry much with nothing to fall back on. Knows nothing of rates or dates.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.bid.rollup import by_use
from planner.estimate.intent import SINGLE
from planner.kinds import Context, Worksheet
from planner.kinds.sentences import listed
from planner.model.names import counted
from planner.model.place import Problem, Severity
from planner.model.quantity import Quantity

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from decimal import Decimal

    from planner.bid.lines import Bid
    from planner.model.show import Element, Show

PASSED = "passed"


def value_behind(bid: Bid, thing: str, sums: Mapping[str, Decimal]) -> Quantity:
    """Likely cost of the live shots that use something, its own share included.

    Args:
        bid: of the show.
        thing: id of a build or test.
        sums: likely cost by shot; see `sums_by_use`.
    """
    shots = bid.users.get(thing, ())
    value = float(sum(sums.get(shot, 0) for shot in shots))
    parts = tuple(
        Quantity(f"cost of {shot}", float(sums.get(shot, 0)), bid.currency, reason="its bid lines")
        for shot in shots
    )
    reason = f"cost of {', '.join(shots) or 'no shot'}, summed"
    return Quantity(f"value behind {thing}", value, bid.currency, reason=reason, inputs=parts)


def sums_by_use(bid: Bid) -> Mapping[str, Decimal]:
    """Likely cost by shot, what is shared split among its users."""
    return {shot: figures.likely for shot, figures in by_use(bid).items()}


def resting_problems(show: Show, bid: Bid) -> Iterator[Problem]:
    """Builds that carry risk with nothing to fall back on, and tests that much rests on.

    Args:
        show: the show.
        bid: of it, before these findings.
    """
    wanted = [each for each in show.elements.values() if _is_asked(show, each)]
    if not wanted or not bid.cost.likely:
        return
    sums = sums_by_use(bid)
    for element in wanted:
        value = value_behind(bid, element.id, sums)
        share = value.value / float(bid.cost.likely)
        if not value.inputs:
            continue
        if element.kind == "test":
            yield _rests_on_test(bid, element, value, share)
        elif share > Worksheet(Context(show, element, {})).rule(SINGLE)[0].value:
            yield _single(bid, element, value, share)


def _is_asked(show: Show, element: Element) -> bool:
    facts = element.facts
    if element.shot or not show.is_live(element):
        return False
    if element.kind == "test":
        return facts.word("result", "not yet") != PASSED
    backed = facts.flag("spare") or facts.amount("copies", 1) > 1 or facts.word("fallback")
    return facts.has("risk_owner") and not backed


def _single(bid: Bid, element: Element, value: Quantity, share: float) -> Problem:
    return Problem(
        Severity.WARNING,
        element.facts.place_of("risk_owner"),
        "single-item-without-fallback",
        f"{value.value:,.0f} {bid.currency} ({share:.0%} of the cost) rest on it in"
        f" {counted(len(value.inputs), 'shot')}, and it has neither spare nor fallback",
        f"make a spare, or have {element.facts.word('risk_owner')} write a `fallback`",
        element.id,
    )


def _rests_on_test(bid: Bid, element: Element, value: Quantity, share: float) -> Problem:
    shots = listed(list(bid.users.get(element.id, ())))
    return Problem(
        Severity.NOTE,
        element.facts.place_of("result"),
        "value-rests-on-test",
        f"{value.value:,.0f} {bid.currency} ({share:.0%} of the cost) rest on it in"
        f" {counted(len(value.inputs), 'shot')} ({shots})",
        "run it first, or price another way of making them",
        element.id,
    )
