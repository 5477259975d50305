"""A performer in a suit, or one who stands in for size, light and eyeline.

Takes where it shows, what takes its place and how the rest is got rid of, gives the frames to be
covered and painted, hours by craft, and what would be left of it in the picture. Knows nothing of
photographing the plate it is in.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds import DOOR, Charge, Phase, Work, Worksheet, packaged_schema
from planner.kinds.frames_drawn import frames_drawn, range_drawn
from planner.model.names import noun
from planner.model.quantity import Quantity
from planner_plugins.performer import rules
from planner_plugins.performer.cover import check_cover

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Context, Effort, Estimate


class Performer:
    """The kind ``performer``."""

    name = "performer"
    door = DOOR
    section = "elements"

    def schema(self) -> Mapping[str, object]:
        """JSON Schema of one performer."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """Hours and findings of one performer."""
        sheet = Worksheet(context)
        _prepare(sheet)
        shows = frames_drawn(sheet)
        if _is_removed(sheet):
            bare = check_cover(sheet, range_drawn(sheet), shows)
            _remove(sheet, shows, bare)
        _check_worn(sheet)
        fee = sheet.element.facts.money("fee")
        if fee is not None:
            one = Quantity("performers", 1, "1", reason="a sum stated outright")
            sheet.buy(Charge("fee of the performer", "", one, Phase.LOCATION, fee))
        return sheet.estimate()


def _is_removed(sheet: Worksheet) -> bool:
    """Whether it is there for size and eyeline only, and must not be seen in the end."""
    facts = sheet.element.facts
    purpose = facts.word("purpose").lower()
    return (
        facts.word("sort") in {"stand_in", "eyeline"}
        or facts.has("removed")
        or bool(sheet.element.targets("replaced_by"))
        or purpose.startswith(("coverage", "eyeline"))
    )


def _prepare(sheet: Worksheet) -> None:
    """Fitting before the day, dressing and placing on it; the plate carries the day itself."""
    facts = sheet.element.facts
    sort = facts.word("sort")
    if not sort:
        sheet.miss("sort", rests="hours to dress and place it", assumed="stand_in")
        sort = "stand_in"
    people = facts.number("performers") or Quantity("performers", 1, reason="one, unless said")
    place = sheet.effort("dress and place it", (rules.PLACE[sort], people))
    after = ""
    if sort == "suit":
        fit = sheet.effort("fit the suit", (rules.FIT, people))
        _do(sheet, "fit the suit", ("puppet_making", Phase.PREPARE), fit)
        after = "fit the suit"
    _do(sheet, "dress and place it", ("puppeteering", Phase.LOCATION), place, after)


def _remove(sheet: Worksheet, shows: Quantity, bare: float) -> None:
    """Paint out what nothing covers; all of it where it is not replaced."""
    facts = sheet.element.facts
    removed = facts.word("removed")
    covered = bool(sheet.element.targets("replaced_by"))
    if not removed and not covered:
        sheet.warn(
            "suit-left-in-plate",
            f"it shows on {shows.value:g} {noun(shows.value, 'frame')} of"
            f" {sheet.element.target('in_plate') or 'its plate'}: nothing takes its place and"
            " nobody paints it out",
            "name what covers it under replaced_by, or write `removed: painted_out` and shoot a"
            " clean plate",
            at="replaced_by",
        )
        return
    count = shows.value if removed == "painted_out" else bare
    painted = sheet.reckon(
        "frames painted", count, "1", "frames on which it shows and nothing covers it", shows
    )
    if count <= 0:
        return
    times = 1.0 if sheet.element.target("clean_plate") else _without_clean_plate(sheet, painted)
    effort = sheet.effort("paint it out", (rules.PLATE, 1), (rules.PAINTED, count * times))
    _do(sheet, "paint it out", ("paint_out", Phase.FINISH), effort)


def _without_clean_plate(sheet: Worksheet, painted: Quantity) -> float:
    times = sheet.rule(rules.REBUILT)[0]
    sheet.warn(
        "suit-without-clean-plate",
        f"{painted.value:g} {noun(painted.value, 'frame of it is', 'frames of it are')} to be"
        f" painted out and no clean plate shows what lies behind: about {times.value:g}"
        " times the hours",
        f"shoot the view without it on the same program, {painted.value:g} frames where the camera"
        " moves and 1 where it stands still, and name it under clean_plate",
        at="clean_plate",
    )
    return times.value


def _check_worn(sheet: Worksheet) -> None:
    worn = sheet.element.facts.number("worn")
    limit = sheet.rule(rules.WORN)[0]
    if worn is None or worn.value <= limit.value:
        return
    sheet.warn(
        "suit-worn-too-long",
        f"it is worn for {worn.value / 60:.3g} min on end and {limit.value / 60:.3g} min is usual:"
        " heat and breath tell before the take does",
        f"plan breaks every {limit.value / 60:.3g} min, or two performers in turn; agreement and"
        " law decide, and the wearer",
        at="worn",
    )


def _do(
    sheet: Worksheet, name: str, by: tuple[str, Phase], effort: Effort, after: str = ""
) -> None:
    craft, phase = by
    sheet.do(
        Work(
            name,
            craft,
            phase,
            effort.hours,
            effort.reason,
            after=(after,) if after else (),
        )
    )
