"""Leave in writing from somebody outside the show.

Takes what it allows, who grants it and when it is looked for, gives the work of asking, what waits
for it and which dated work it would come too late for. Knows nothing of the law: who must be asked
for what is for local codes and licensed people to say.
"""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from planner.kinds import DOOR, Charge, Estimate, Phase, Rule, Work, Worksheet, packaged_schema
from planner.kinds.sentences import listed
from planner.kinds.waiting import dated, resting_on
from planner.model.names import counted
from planner.model.quantity import Quantity, Standing

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date

    from planner.kinds import Context
    from planner.model.show import Element

COVERED = frozenset({"stunt", "fire"})
RULES = (
    Rule("permit.ask", "hours to ask for leave and answer questions", 0.5, 2.0, 8.0),
    Rule("permit.collect", "hours to read and file the answer", 0.25, 0.25, 0.5),
    Rule("permit.margin", "days a permit is in hand before its work", 3.0, 5.0, 10.0, "d"),
)
ASK, COLLECT, MARGIN = RULES


class Permit:
    """The kind ``permit``."""

    name = "permit"
    door = DOOR
    section = "permits"

    def schema(self) -> Mapping[str, object]:
        """JSON Schema of one permit."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """Work of getting it, its fee, and what it holds up."""
        sheet = Worksheet(context)
        _fee(sheet)
        if sheet.element.facts.word("cover"):
            sheet.remark(
                "cover-asked-for",
                f"leave for {_what(sheet)} asks for {sheet.element.facts.word('cover')}",
                "book that cover for every day the work is done",
                at="cover",
            )
        elif sheet.element.facts.word("sort") in COVERED:
            sheet.warn(
                "cover-not-named",
                f"leave for {_what(sheet)} is for a {sheet.element.facts.word('sort')} and names"
                " no medical or fire cover",
                f"ask {_grantor(sheet)} and the licensed person in charge what cover they want,"
                " and write it under cover",
                at="cover",
            )
        _check_unit_day(sheet)
        if not sheet.element.facts.flag("in_hand"):
            waiting = resting_on(context)
            sheet.reckon(
                "live elements that wait for it",
                len(waiting),
                "1",
                "elements of live shots whose work follows it, directly or through others",
            )
            _get(sheet)
            _tell(sheet, waiting)
        return sheet.estimate()


def _what(sheet: Worksheet) -> str:
    return sheet.element.facts.word("for", "what it allows")


def _grantor(sheet: Worksheet) -> str:
    return sheet.element.facts.word("from", "whoever grants it")


def _fee(sheet: Worksheet) -> None:
    fee = sheet.element.facts.money("cost")
    if fee is None:
        return
    once = Quantity("fees", 1, "item", Standing.GIVEN, reason="stated for this permit")
    sheet.buy(Charge("fee of the permit", "", once, Phase.PREPARE, amount=fee))


def _get(sheet: Worksheet) -> None:
    """Asking, where no answer is looked for yet, and then reading the answer when it comes."""
    after: tuple[str, ...] = ()
    if not sheet.element.facts.has("expected"):
        ask = sheet.effort("ask for the permit", (ASK, 1))
        asked = Work("ask for the permit", "supervision", Phase.PREPARE, ask.hours, ask.reason)
        after = (sheet.do(asked).name,)
    # The wait itself is no work, so that one nobody can date has to be said.
    name = "read and file the permit" + (", its day not known" if after else "")
    wait = sheet.effort("read and file the permit", (COLLECT, 1))
    sheet.do(Work(name, "supervision", Phase.PREPARE, wait.hours, wait.reason, after=after))
    if not sheet.element.facts.word("from"):
        sheet.miss("from", rests="whom to press for the permit")


def _tell(sheet: Worksheet, waiting: Sequence[Element]) -> None:
    expected = sheet.element.facts.day("expected")
    if expected is None:
        sheet.miss("expected", rests="the first day any work that waits for the permit may be done")
        when = "no day is known for it"
    else:
        dated(sheet, "day the permit is expected", expected, "expected")
        when = f"it is expected on {expected}"
        _too_late(sheet, expected, waiting)
    holds = (
        f"{counted(len(waiting), 'live element waits', 'live elements wait')} for it"
        f" ({listed([each.id for each in waiting])})"
        if waiting
        else "no live element names it"
    )
    sheet.warn(
        "permit-not-in-hand",
        f"leave for {_what(sheet)} is not in hand; {when}; {holds}",
        f"get it from {_grantor(sheet)} in writing before that work is called",
        at="in_hand",
    )


def _check_unit_day(sheet: Worksheet) -> None:
    """Dated work that needs it and does not fall on the unit day set apart for it."""
    unit = sheet.element.facts.day("unit_day")
    if unit is None:
        return
    for each in resting_on(sheet.context):
        day = each.facts.day("day")
        if day is not None and day != unit:
            sheet.warn(
                "not-on-its-unit-day",
                f"{each.id} is fixed for {day} and the unit for {_what(sheet)} is called on {unit}",
                f"move {each.id} to {unit}, or call the unit and its cover for {day} too",
                at="unit_day",
            )


def _too_late(sheet: Worksheet, expected: date, waiting: Sequence[Element]) -> None:
    """Report work fixed for a day before the permit is looked for, or too few days after."""
    margin = sheet.rule(MARGIN)[0].value
    for each in waiting:
        day = each.facts.day("day") or each.facts.day("due")
        if day is None:
            continue
        if expected <= day < expected + timedelta(margin):
            sheet.warn(
                "permit-close",
                f"leave for {_what(sheet)} is expected on {expected},"
                f" {counted((day - expected).days, 'day')} before {each.id} ({day});"
                f" {margin:g} are wanted",
                f"have {_grantor(sheet)} answer by {day - timedelta(margin)}, or move {each.id}",
                at="expected",
            )
        if day >= expected:
            continue
        short = counted((expected - day).days, "day")
        sheet.error(
            "permit-too-late",
            f"{each.id} is fixed for {day}, {short} before leave for {_what(sheet)} is expected"
            f" ({expected})",
            f"move {each.id} to {expected} or later, or have {_grantor(sheet)} answer sooner",
            at="expected",
        )
