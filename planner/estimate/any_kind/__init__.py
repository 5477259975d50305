"""What any element may state, whatever its kind, reckoned alike for all.

Takes one element's surroundings and what its kind says of it, gives the same estimate with the
numbers and findings of its hazards, roll, falls, path, program, stations, cues, custody and checks,
and the work of learning it. Knows nothing of any particular kind, and nothing of dates.
"""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.estimate.any_kind.axes import check_axes
from planner.estimate.any_kind.cameras import check_conform, check_shortest
from planner.estimate.any_kind.checklist import check_checklist
from planner.estimate.any_kind.cues import check_cues
from planner.estimate.any_kind.custody import check_custody
from planner.estimate.any_kind.falling import check_fall
from planner.estimate.any_kind.hazards import check_hazards, check_learning
from planner.estimate.any_kind.program import (
    check_angles,
    check_heads,
    check_passes,
    check_pupil,
    check_tail,
)
from planner.estimate.any_kind.stations import check_stations
from planner.estimate.any_kind.subject_path import check_path
from planner.estimate.any_kind.turned import check_turned
from planner.kinds import Worksheet
from planner.kinds.subject import hazards_in

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from planner.kinds import Context, Estimate, Work

CHECKS: Mapping[str, tuple[Callable[[Worksheet, Estimate], None], ...]] = MappingProxyType(
    {
        "hazards": (check_hazards,),
        "learning": (check_learning,),
        "risk": (check_learning,),
        "turned": (check_turned,),
        "falls": (check_fall,),
        "path": (check_path,),
        "pass_log": (check_passes,),
        "move_from": (check_axes, check_pupil),
        "camera_place": (check_angles,),
        "room_behind": (check_tail,),
        "heads_below": (check_heads,),
        "stations": (check_stations,),
        "cues": (check_cues,),
        "custody": (check_custody,),
        "checked": (check_checklist,),
        "wrapped": (check_checklist,),
        "conform": (check_conform,),
        "camera": (check_shortest,),
    }
)
"""Checks by the fact that asks for them."""


def reckon_shared(context: Context, estimate: Estimate) -> Estimate:
    """The estimate with what the element states beside what its kind asks for.

    Args:
        context: of the element.
        estimate: what its kind says.
    """
    element = context.element
    stated = {*element.facts.values, *(each.role for each in element.references)}
    stated |= {"hazards"} if hazards_in(element.facts) else set()
    checks = dict.fromkeys(check for name in CHECKS if name in stated for check in CHECKS[name])
    if not checks:
        return estimate
    sheet = Worksheet(context)
    for check in checks:
        check(sheet, estimate)
    found = sheet.estimate()
    if not (found.work or found.quantities or found.problems or found.missing):
        return estimate
    known = {each.name for each in estimate.missing}
    return replace(
        estimate,
        work=(*found.work, *_after(found.work, estimate.work)),
        quantities=MappingProxyType({**found.quantities, **estimate.quantities}),
        problems=(
            *estimate.problems,
            *(each for each in found.problems if each not in estimate.problems),
        ),
        missing=(
            *estimate.missing,
            *(each for each in found.missing if each.name not in known),
        ),
    )


def _after(first: Sequence[Work], works: Sequence[Work]) -> tuple[Work, ...]:
    """The works of a kind, none of which begins before those that come first."""
    if not first:
        return tuple(works)
    names = tuple(each.name for each in first)
    return tuple(work if work.after else replace(work, after=names) for work in works)
