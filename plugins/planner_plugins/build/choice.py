"""Builds that compete for one place.

Takes the builds of the show that name the same ``candidate_for``, gives findings where none or more
than one is chosen and what is owed to the makers of the others. Knows nothing of hours.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.model.show import Element


def rivals(sheet: Worksheet) -> tuple[Element, ...]:
    """Builds that compete for its place, itself included, in the order written."""
    place = sheet.element.facts.word("candidate_for")
    if not place:
        return ()
    return tuple(
        each
        for each in sheet.context.show.elements.values()
        if each.kind == sheet.element.kind and each.facts.word("candidate_for") == place
    )


def is_passed_over(sheet: Worksheet) -> bool:
    """Whether another candidate is chosen and this one is not, so that it is not made."""
    mine = sheet.element.facts.flag("chosen")
    return not mine and any(each.facts.flag("chosen") for each in rivals(sheet))


def check_choice(sheet: Worksheet) -> None:
    """Tell, once for the place, how the choice stands; and for each, terms not settled."""
    others = rivals(sheet)
    if not others:
        return
    if sheet.element.id == others[0].id:
        _check_place(sheet, others)
    if not sheet.element.facts.flag("chosen") and not sheet.element.facts.has("terms"):
        sheet.warn(
            "terms-unpaid",
            "nothing says what its maker is owed if another is chosen",
            "settle terms in writing, for labour and for who owns it, and state them as `terms`",
            at="terms",
        )


def _check_place(sheet: Worksheet, others: tuple[Element, ...]) -> None:
    place = sheet.element.facts.word("candidate_for")
    chosen = [each.id for each in others if each.facts.flag("chosen")]
    if len(chosen) > 1:
        sheet.error(
            "two-candidates-chosen",
            f"{' and '.join(chosen)} are both chosen for {place}",
            "choose one",
            at="chosen",
        )
    elif not chosen:
        sheet.warn(
            "candidate-not-chosen",
            f"{' or '.join(each.id for each in others)}: none is chosen for {place};"
            f" {_exposure(others)}",
            "choose one before the first set-up that shows it; until then all are in the bid",
            at="candidate_for",
        )


def _exposure(others: tuple[Element, ...]) -> str:
    """What the makers of all but one are owed at worst: all terms but the smallest."""
    terms = sorted(money.amount for each in others if (money := each.facts.money("terms")))
    currency = next((money.currency for each in others if (money := each.facts.money("terms"))), "")
    unsettled = len(others) - len(terms)
    # One candidate is chosen and owed no terms; at worst it is the one owed least.
    owed = sum(terms if unsettled else terms[1:])
    told = f"up to {owed:,.2f} {currency} owed to the others" if terms else "no terms are settled"
    return f"{told}, and terms of {unsettled} unknown" if terms and unsettled else told
