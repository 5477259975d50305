"""A matte made from another element, which goes stale when that changes.

Takes the element and the revision it was made from, its frames and its edge, gives hours, the
softness its edge should have, and whether it still fits. Knows nothing of mattes drawn by hand: see
`roto`.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.craft import motion, optics
from planner.kinds import DOOR, Phase, Work, Worksheet, packaged_schema
from planner.kinds.frames_drawn import frames_drawn
from planner.kinds.stops import as_f_number
from planner.kinds.view import View, view_of
from planner_plugins.derived_matte import rules

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Context, Estimate, Rule
    from planner.model.facts import FrameRange
    from planner.model.quantity import Quantity


class DerivedMatte:
    """The kind ``derived_matte``."""

    name = "derived_matte"
    door = DOOR
    section = "elements"

    def schema(self) -> Mapping[str, object]:
        """JSON Schema of one derived matte."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """Hours and findings of one derived matte."""
        sheet = Worksheet(context)
        frames = frames_drawn(sheet)
        is_stale = _check_revision(sheet)
        line = _check_line(sheet, frames)
        _check_edge(sheet)
        made = sheet.element.facts.flag("made") and not is_stale
        if not made:
            sort = sheet.element.facts.word("sort")
            if not sort:
                sheet.miss("sort", rests="hours to make it", assumed="brightness")
            begin = rules.BEGIN[sort or "brightness"]
            _do(sheet, "make the matte", (begin, 1.0), (rules.FRAME, frames), *line)
        elif line:
            _do(sheet, "mend the matte", *line)
        return sheet.estimate()


def _do(sheet: Worksheet, name: str, *terms: tuple[Rule, Quantity | float]) -> None:
    effort = sheet.effort(name, *terms)
    sheet.do(Work(name, "compositing", Phase.FINISH, effort.hours, effort.reason))


def _check_revision(sheet: Worksheet) -> bool:
    """Whether its source has changed since it was made."""
    facts, source = sheet.element.facts, sheet.context.target("derived_from")
    if source is None:
        return False
    used, now = facts.word("from_revision"), source.facts.word("revision")
    if not used:
        if facts.flag("made"):
            sheet.miss("from_revision", rests="whether it still fits what it was made from")
        return False
    if not now:
        sheet.remark(
            "source-without-revision",
            f"it was made from {used} of {source.id}, which does not say what it is now",
            f"write `revision` for {source.id} and keep it up when it changes",
            at="from_revision",
        )
        return False
    if used == now:
        return False
    sheet.warn(
        "derived-from-old-revision",
        f"it was made from {used} of {source.id}, which is {now} now: its outline is that of a"
        " picture no longer used",
        f"make it again from {now}, and write `from_revision: {now}`",
        at="from_revision",
    )
    return True


def _check_line(sheet: Worksheet, frames: Quantity) -> tuple[tuple[Rule, Quantity | float], ...]:
    """Hours to mend a line found round what it cuts."""
    found = sheet.element.facts.group("line_found")
    span: FrameRange | None = found.frames("frames")
    if span is None and not found.word("where"):
        return ()
    count = float(span.count) if span else frames.value
    where = found.word("where") or "its edge"
    sheet.warn(
        "matte-line-found",
        f"a line shows at {where} on {f'frames {span}' if span else 'every frame'}:"
        f" {count:g} frames to mend",
        "draw the matte in or soften its edge there, and look again before the next version",
        at="line_found",
    )
    return ((rules.LINE, count),)


def _check_edge(sheet: Worksheet) -> None:
    """Softness the edge is due, from focus and movement, against what it has."""
    edge = sheet.element.facts.group("edge")
    view = view_of(sheet, rests="how soft its edge should be") if edge.values else None
    if view is None:
        return
    try:
        focus = _by_focus(sheet, view)
    except ValueError as cause:
        sheet.error("edge-inside-lens", str(cause), "state where the edge is", at="edge")
        return
    moved = _by_movement(sheet, view)
    known = [each for each in (focus, moved) if each is not None]
    if not known:
        sheet.miss("edge", rests="how soft its edge should be")
        return
    due = sheet.reckon(
        "softness due",
        math.hypot(*(each.value for each in known)),
        "px",
        "root of the sum of squares of the softness by focus and by movement",
        *known,
    )
    has = edge.number("softness")
    allowed = sheet.rule(rules.EDGE)[0]
    if has is None or abs(has.value - due.value) <= allowed.value:
        return
    hard = has.value < due.value
    sheet.warn(
        "edge-not-as-due",
        f"its edge is {has.value:.1f} px soft and focus and movement make {due.value:.1f} px:"
        f" it looks {'cut out' if hard else 'smeared'}",
        f"{'soften' if hard else 'tighten'} it by {abs(due.value - has.value):.1f} px",
        at="edge",
    )


def _by_focus(sheet: Worksheet, view: View) -> Quantity | None:
    edge = sheet.element.facts.group("edge")
    distance, focus = edge.number("distance"), edge.number("focus")
    stop = sheet.context.look_up("stop")
    if distance is None or focus is None or stop is None or view.focal is None:
        return None
    stop = as_f_number(sheet, view, stop)
    disc = optics.defocus_mm(
        view.focal.value, stop.value, focus.value / 1000, distance.value / 1000
    )
    return sheet.reckon(
        "softness by focus",
        disc * view.image.value / view.width.value,
        "px",
        "focal length squared x |distance - focus| / (stop x distance x (focus - focal length))",
        distance,
        focus,
        stop,
        view.focal,
        source="thin lens",
    )


def _by_movement(sheet: Worksheet, view: View) -> Quantity | None:
    moves = sheet.element.facts.group("edge").number("moves")
    if moves is None:
        return None
    return sheet.reckon(
        "softness by movement",
        motion.blur_px(view.open_share * 360, moves.value),
        "px",
        "movement between frames x share of the frame the shutter is open",
        moves,
        view.shutter,
    )
