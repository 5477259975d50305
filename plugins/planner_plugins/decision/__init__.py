"""A choice with a last useful date.

Takes the question, what it is between, its owner and the last useful day, gives what is still open,
what waits for it and what the dearest answer could cost. Knows nothing of which answer is better.
"""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from planner.kinds import DOOR, Estimate, Phase, Rule, Work, Worksheet, packaged_schema
from planner.kinds.sentences import listed
from planner.kinds.waiting import dated, resting_on
from planner.model.names import counted
from planner.model.quantity import Quantity, Standing

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from planner.kinds import Context
    from planner.model.show import Element

FIXED = ("day", "not_before", "due")
"""Facts that fix a day for what waits."""
RULES = (Rule("decision.settle", "hours to set out the choice and settle it", 0.5, 1.0, 4.0),)
(SETTLE,) = RULES


class Decision:
    """The kind ``decision``."""

    name = "decision"
    door = DOOR
    section = "decisions"

    def schema(self) -> Mapping[str, object]:
        """JSON Schema of one decision."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """Work of settling it, and what an open question holds."""
        sheet = Worksheet(context)
        choices = _choices(sheet)
        sheet.reckon("choices", len(choices), "1", "options and builds it is between")
        _terms(sheet)
        chosen = sheet.element.facts.word("chosen")
        if chosen:
            _check_chosen(sheet, chosen, choices)
        else:
            _leave_open(sheet, choices)
        return sheet.estimate()


def _choices(sheet: Worksheet) -> tuple[str, ...]:
    """Builds it is between, else the options in words."""
    builds = sheet.element.targets("between")
    options = sheet.element.facts.words("options")
    return builds or tuple(dict.fromkeys(options))


def _terms(sheet: Worksheet) -> None:
    """What is owed to makers of the candidates that are not chosen, at the worst.

    While nothing is chosen, the one owed least may be; one whose terms are not settled may be too,
    and then all the others are owed theirs.
    """
    builds = sheet.context.targets("between")
    word = sheet.element.facts.word("chosen")
    left = [each for each in builds if not each.facts.flag("chosen") and each.id != word]
    owed = [money for each in left if (money := each.facts.money("terms")) is not None]
    currencies = {money.currency for money in owed}
    if len(currencies) != 1:
        return
    is_open = not word and len(left) == len(builds) == len(owed)
    spared = min(money.amount for money in owed) if is_open else 0
    sheet.note(
        Quantity(
            "owed to candidates not chosen, at most",
            float(sum(money.amount for money in owed) - spared),
            currencies.pop(),
            Standing.RECKONED,
            reason="terms of every candidate but the one with the smallest, or but the chosen one",
        )
    )


def _check_chosen(sheet: Worksheet, chosen: str, choices: tuple[str, ...]) -> None:
    words = sheet.element.facts.words("options")
    if choices and chosen not in choices and chosen not in words:
        sheet.error(
            "choice-not-offered",
            f"{chosen} was chosen, but the choice is between {listed(choices)}",
            "write the choice as one of these, or add it to them",
            at="chosen",
        )


def _leave_open(sheet: Worksheet, choices: tuple[str, ...]) -> None:
    settle = sheet.effort("settle the question", (SETTLE, 1))
    sheet.do(Work("settle the question", "supervision", Phase.PREPARE, settle.hours, settle.reason))
    facts = sheet.element.facts
    owner = facts.word("owner")
    if not owner:
        sheet.miss("owner", rests="who settles the question")
        sheet.warn(
            "decision-without-owner",
            f"nobody is named to settle: {_question(sheet)}",
            "name one person",
            at="owner",
        )
    waiting = resting_on(sheet.context)
    held = counted(len(waiting), "live element waits", "live elements wait")
    names = f" ({listed([each.id for each in waiting])})" if waiting else ""
    between = f"between {listed(choices)}" if len(choices) > 1 else "no choices are written down"
    sheet.reckon(
        "live elements that wait for it",
        len(waiting),
        "1",
        "elements of live shots whose work follows it, directly or through others",
    )
    _holds_up(sheet, waiting)
    sheet.warn(
        "decision-open",
        f"still open: {_question(sheet)}; {between}; {_last_day(sheet)}; {held} for it{names}",
        f"have {owner or 'one named person'} choose by then",
        at="chosen",
    )


def _holds_up(sheet: Worksheet, waiting: Sequence[Element]) -> None:
    """The first fixed day of anything that waits, against the last useful day."""
    fixed = [
        (day, each.id)
        for each in waiting
        for name in FIXED
        if (day := each.facts.day(name)) is not None
    ]
    if not fixed:
        return
    first, who = min(fixed)
    sheet.note(
        Quantity(
            "last day before it delays something",
            (first - sheet.context.show.calendar.starts).days - 1,
            "d",
            text=str(first - timedelta(days=1)),
            reason=f"the day before {who} is fixed, {first}, in days after the show's first",
        )
    )
    last = sheet.element.facts.day("last_useful")
    if last is not None and last >= first:
        sheet.warn(
            "decision-after-what-waits",
            f"it may be settled as late as {last}, and {who} waits for it and is fixed for {first}",
            f"settle it by {first - timedelta(days=1)}, or move {who}",
            at="last_useful",
        )


def _question(sheet: Worksheet) -> str:
    return sheet.element.facts.word("question", sheet.element.id)


def _last_day(sheet: Worksheet) -> str:
    """The last useful day as a clause; a day before the show begins is told as its own finding."""
    day = sheet.element.facts.day("last_useful")
    if day is None:
        sheet.miss("last_useful", rests="the day from which leaving the question open costs time")
        return "no last useful day is known"
    dated(sheet, "last useful day", day, "last_useful")
    starts = sheet.context.show.calendar.starts
    if day < starts:
        sheet.error(
            "decision-too-late",
            f"the last useful day, {day}, lies {counted((starts - day).days, 'day')} before the"
            f" show's first day, {starts}",
            "settle it now and write what was chosen, or correct the day",
            at="last_useful",
        )
    return f"the last useful day is {day}"
