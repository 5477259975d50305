"""Who uses a build, and on which stages.

Takes everything in the show that names the build, gives how it is seen and findings where nothing
live does and where two stages want the only copy. Knows nothing of making it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner_plugins.build import rules
from planner_plugins.build.seen import check_seen

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.model.show import Element

NOT_USE = frozenset({"size_of", "alternative_to"})
AT_RISK = frozenset({"puppet", "rig", "insert"})
"""Sorts that are handled or run until they break."""
AWAITED = frozenset({"live", "on hold"})


def users_of(sheet: Worksheet) -> tuple[Element, ...]:
    """Elements that name the build, other than as a size or an alternative of their own."""
    me = sheet.element.id
    return tuple(
        each
        for each in sheet.context.users()
        if any(r.target == me and r.role not in NOT_USE for r in each.references)
    )


def check_use(sheet: Worksheet) -> None:
    """Tell a build that no live shot uses, how others are seen, and one that two stages want."""
    users = users_of(sheet)
    shots = sheet.context.show.shots
    states = {each.id: shots[each.shot].state if each.shot else "live" for each in users}
    if not AWAITED & set(states.values()):
        if sheet.context.show.lost_files & {"sequences", "builds.yaml"}:
            return  # Who uses it may stand in a file that cannot be read.
        _tell_unused(sheet, {shots[each.shot].id: states[each.id] for each in users})
        return
    live = [each for each in users if states[each.id] == "live"]
    check_seen(sheet, live)
    facts = sheet.element.facts
    if facts.amount("copies", 1) > 1 or facts.flag("spare"):
        return
    _check_stages(sheet, live)
    _check_fallback(sheet, live)


def _tell_unused(sheet: Worksheet, shots: dict[str, str]) -> None:
    only = ", ".join(f"{shot} ({state})" for shot, state in shots.items())
    who = f"only {only} would use it" if only else "nothing in the show names it"
    sheet.warn(
        "built-and-not-used",
        f"{who}; its cost stays in the bid as a dead cost",
        "find another shot for it, or stop work on it and keep what is spent",
    )


def _check_stages(sheet: Worksheet, users: list[Element]) -> None:
    wanted = {each.id: stages for each in users if (stages := _stages(each))}
    if not wanted or set.intersection(*wanted.values()):
        return
    by_stage: dict[str, list[str]] = {}
    for who, stages in wanted.items():
        by_stage.setdefault(" or ".join(sorted(stages)), []).append(who)
    said = ", ".join(f"on {stages} for {' and '.join(who)}" for stages, who in by_stage.items())
    sheet.warn(
        "one-build-two-stages",
        f"there is one of it and it is wanted {said}",
        "shoot them on one stage, one after the other, allow for moving it, or make a second",
    )


def _check_fallback(sheet: Worksheet, users: list[Element]) -> None:
    """One thing that moves or breaks, and much that rests on it."""
    if sheet.element.facts.word("makes") not in AT_RISK:
        return
    photographed = [
        each for each in users if each.shot and sheet.element.id in each.targets("build")
    ]
    limit = sheet.rule(rules.MANY)[0]
    if len(photographed) > limit.value:
        shots = len({each.shot for each in photographed})
        sheet.warn(
            "many-rest-on-one",
            f"there is one of it, with no spare, and {len(photographed)} elements of {shots} live"
            " shots rest on it",
            "make a spare, or the parts that wear; and shoot what risks it last",
        )


def _stages(user: Element) -> set[str]:
    value = user.facts.values.get("stage")
    return {value} if isinstance(value, str) else set(user.facts.words("stage"))
