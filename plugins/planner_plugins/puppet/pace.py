"""How a figure's takes fill the day: resets between them, rest, and how many are allowed for.

Takes its takes, the time between them and its performance, gives shares, hours of rest, and a
finding where fewer takes are allowed for than like shots have needed. Knows nothing of mass or
rods.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner_plugins.puppet import rules

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.kinds.takes import Takes
    from planner.model.quantity import Quantity


def check_pace(sheet: Worksheet, takes: Takes, pace: Quantity) -> Quantity:
    """Share of resets and the allowance of takes; gives hours of rest, 0 where none is stated."""
    _note_resets(sheet, takes, pace)
    _check_allowance(sheet, takes.takes)
    return _rest(sheet, takes)


def _note_resets(sheet: Worksheet, takes: Takes, pace: Quantity) -> None:
    resets = max(takes.takes.value - 1, 0) * pace.value
    running = takes.takes.value * takes.passes.value * takes.pass_time.value + resets
    if running > 0:
        sheet.reckon(
            "share of the running time spent resetting",
            resets / running,
            "1",
            "(takes - 1) x reset / (takes x passes x pass time + resets)",
            takes.takes,
            takes.passes,
            takes.pass_time,
            pace,
        )


def _check_allowance(sheet: Worksheet, takes: Quantity) -> None:
    stated = sheet.element.facts.number("takes")
    performance = sheet.element.facts.word("performance")
    if stated is None or not performance:
        return
    likely, like = sheet.rule(rules.TAKES[performance])
    if takes.value >= like.low:
        return
    sheet.warn(
        "takes-below-like-shots",
        f"{takes.value:g} takes are allowed for and like performances ({performance}) have needed"
        f" {like.low:g} to {like.high:g}",
        f"allow for {likely.value:g}, or say what makes this one easier",
        at="takes",
    )


def _rest(sheet: Worksheet, takes: Takes) -> Quantity:
    """Rest owed for the handling of all takes."""
    stated = sheet.element.facts.number("rest")
    an_hour = stated or sheet.rule(rules.REST)[0]
    handled = takes.takes.value * takes.passes.value * takes.pass_time.value
    owed = sheet.reckon(
        "rest owed",
        handled / 3600 * an_hour.value / 60,
        "min",
        "takes x passes x pass time in hours x rest in an hour of handling",
        takes.takes,
        takes.passes,
        takes.pass_time,
        an_hour,
    )
    hours = owed.value / 60 if stated else 0.0
    reason = "rest owed" if stated else "no rest is stated; it falls between takes"
    return sheet.reckon("hours of rest", hours, "h", reason, owed)
