"""A model photographed to look full size.

Takes one element, its build, camera and stages, gives the stage work of photographing it, its film,
the scales that would do, and what will not work. Knows nothing of making the model: see `build`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds import DOOR, Worksheet, packaged_schema
from planner.kinds.floor import SetUp, lay_out
from planner.kinds.rate import action_of, shooting_rate
from planner.kinds.stops import expose, limit_by_depth
from planner.kinds.subject import subject_of
from planner.kinds.takes import buy_film, lab_hours, reckon_takes, running_hours
from planner.kinds.view import view_of
from planner_plugins.miniature import rules
from planner_plugins.miniature.findings import find_troubles
from planner_plugins.miniature.gag import check_gag
from planner_plugins.miniature.haze import check_haze, reset_with_haze
from planner_plugins.miniature.stage import put_on_stage

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Context, Estimate
    from planner.model.quantity import Quantity


class Miniature:
    """The kind ``miniature``."""

    name = "miniature"
    door = DOOR
    section = "elements"

    def schema(self) -> Mapping[str, object]:
        """What one may state."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """Stage work, film, limits on scale, and findings."""
        sheet = Worksheet(context)
        view = view_of(sheet)
        subject = subject_of(sheet)
        action = action_of(sheet, usual="still")
        is_gravity = action == "gravity"
        exposed = expose(sheet, view, subject)
        rate = shooting_rate(sheet, view, subject, exposed, action)
        passes = context.element.facts.words("passes") or ("beauty",)
        takes = reckon_takes(sheet, view, rate, len(passes), rules.TAKES[action])
        set_up = SetUp(view, subject, rate, gravity=is_gravity, pass_feet=takes.pass_feet)
        floor = lay_out(sheet, set_up)
        limit_by_depth(sheet, view, subject, gravity=is_gravity)
        find_troubles(sheet, set_up, takes, action)
        reset = _reset(sheet, action)
        check_haze(sheet)
        check_gag(sheet, set_up, takes, reset)
        running = running_hours(sheet, takes, reset)
        put_on_stage(sheet, floor, running, is_gravity=is_gravity, wait_hours=lab_hours(sheet))
        buy_film(sheet, takes)
        return sheet.estimate()


def _reset(sheet: Worksheet, action: str) -> Quantity:
    reset = sheet.element.facts.number("reset") or sheet.rule(rules.RESETS[action])[0]
    return reset_with_haze(sheet, reset)
