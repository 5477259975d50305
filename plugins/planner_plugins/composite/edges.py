"""Edges looked at, and what makes joining hard.

Takes the checks and features stated, gives terms of the hours, a count of what is open, and
findings. Knows nothing of film.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner_plugins.composite import rules

if TYPE_CHECKING:
    from planner.kinds import Rule, Worksheet


def feature_terms(sheet: Worksheet) -> tuple[tuple[Rule, float], ...]:
    """Hours by feature; a layer that is only said to be hard is remarked."""
    facts = sheet.element.facts
    features = facts.words("features")
    if not features and facts.word("difficulty") == "hard":
        sheet.remark(
            "estimated-by-object-only",
            "it is said to be hard and not what makes it so: the same hours stand for hair as for"
            " a shake",
            "list what is hard under features: hair, transparent, reflection, shake …",
            at="difficulty",
        )
    return tuple((rules.FEATURE[each], 1.0) for each in features if each in rules.FEATURE)


def check_edges(sheet: Worksheet) -> None:
    """Edges that were looked at and did not pass, or were not looked at."""
    checks = sheet.element.facts.groups("edge_checks")
    if not checks:
        return
    failed = [each for each in checks if not each.flag("passed")]
    sheet.reckon("edges checked", len(checks), "1", "as listed")
    sheet.reckon("edges open", len(failed), "1", "checks listed that have not passed")
    for each in failed:
        frames = each.frames("frames")
        where = f" on frames {frames}" if frames else ""
        seen = each.word("found")
        sheet.warn(
            "edge-check-open",
            f"{each.word('what')}{where}: {seen or 'not looked at, or not passed'}",
            "mend it and look again"
            if seen
            else "look at it frame by frame and write what is seen",
            at="edge_checks",
        )
