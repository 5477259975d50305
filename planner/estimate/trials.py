"""What nobody here has done before, and what was tried in vain.

Takes a show, gives findings on untried work that carries the ordinary allowance and on attempts
given up, with what they cost. Knows nothing of estimates or of the bid.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.model.names import counted, noun
from planner.model.place import Problem, Severity
from planner.model.quantity import Quantity, Standing

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.model.show import Shot, Show


def trial_problems(show: Show) -> Iterator[Problem]:
    """Untried work without its allowance, and attempts; cost linear in elements and shots."""
    yield from _allowance(show)
    for shot in show.shots.values():
        if shot.facts.has("attempts"):
            yield from _attempts(show, shot)


def _allowance(show: Show) -> Iterator[Problem]:
    shares = show.loads.contingency
    ordinary, held = shares.get("ordinary", 0), shares.get("untried", 0)
    if held > ordinary:
        return
    untried = [
        each.id
        for each in show.elements.values()
        if each.facts.word("risk") == "untried" and show.is_live(each)
    ]
    if untried:
        yield Problem(
            Severity.WARNING,
            show.facts.place_of("contingency"),
            "untried-at-ordinary-allowance",
            f"{len(untried)} {noun(len(untried), 'live element is', 'live elements are')} untried"
            f" ({untried[0]} first) and {noun(len(untried), 'carries', 'carry')}"
            f" {float(held) * 100:g} %, ordinary work {float(ordinary) * 100:g} %",
            f"write a larger `untried` under contingency than {float(ordinary) * 100:g} %, or test"
            " first and call them ordinary",
        )


def sunk_cost(show: Show, shot: Shot) -> Quantity:
    """What the attempts of a shot have cost, in the show's currency.

    Args:
        show: gives the currency; sums in another are left out.
        shot: its attempts are listed, also where it is omitted.
    """
    sums = [
        Quantity(
            each.word("what"), float(money.amount), money.currency, Standing.GIVEN, place=each.place
        )
        for each in shot.facts.groups("attempts")
        if (money := each.money("cost")) is not None and money.currency == show.currency
    ]
    total = sum(each.value for each in sums)
    return Quantity(
        f"spent on attempts at {shot.id}",
        total,
        show.currency,
        reason="sum of the attempts' costs",
        inputs=tuple(sums),
    )


def _attempts(show: Show, shot: Shot) -> Iterator[Problem]:
    attempts = shot.facts.groups("attempts")
    spent = sunk_cost(show, shot)
    unpriced = sum(1 for each in attempts if each.money("cost") is None)
    state = "" if shot.is_live else f", and the shot is {shot.state}"
    more = f"; {unpriced} of them without a cost" if unpriced else ""
    yield Problem(
        Severity.NOTE,
        shot.facts.place_of("attempts"),
        "spent-on-attempts",
        f"{counted(len(attempts), 'attempt')} at {shot.id} cost"
        f" {spent.value:,.2f} {spent.unit}{more}{state}: spent, and in no line of the bid",
        about=shot.id,
    )
    for each in attempts:
        if not each.word("why"):
            yield Problem(
                Severity.WARNING,
                each.place,
                "attempt-without-reason",
                f"{each.word('what')} was given up and nobody wrote why",
                "write why, so that it is not tried again",
                shot.id,
            )
