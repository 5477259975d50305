"""An element laid over its plate while its set still stands.

Takes the takes and the program compared, how they were looked at and what was seen, gives the
hours, the delay the stage waits, the correction at the model's own size, and whether the check
still counts. Knows nothing of the final composite.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds import DOOR, Need, Phase, Rule, Work, Worksheet, packaged_schema
from planner.kinds.context import Context
from planner.kinds.takes import lab_hours
from planner.kinds.view import view_of
from planner.model.quantity import Quantity, Standing

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import time

    from planner.kinds import Estimate
    from planner.model.show import Element

MONITOR = Rule(
    "check_composite.monitor", "hours to lay it over the plate on a monitor", 0.2, 0.5, 1
)
PRINT = Rule("check_composite.print", "hours to lay up and see a check on film", 0.5, 1.5, 3)
DELAY = Rule("check_composite.delay", "minutes from take to check", 15, 30, 60, "min")
SEEN = Rule("check_composite.seen", "pixels it may be off its place", 0.5, 1, 2, "px")


class CheckComposite:
    """The kind ``check_composite``."""

    name = "check_composite"
    door = DOOR
    section = "elements"

    def schema(self) -> Mapping[str, object]:
        """JSON Schema of one check."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """Hours, delay, correction and findings of one check."""
        sheet = Worksheet(context)
        way = sheet.element.facts.word("way", "monitor")
        if not sheet.element.facts.has("way"):
            sheet.miss("way", rests="how long the stage waits for it", assumed="monitor")
        _check_takes(sheet)
        _check_program(sheet)
        _check_delay(sheet, way)
        _correct(sheet)
        _work(sheet, way)
        return sheet.estimate()


def _work(sheet: Worksheet, way: str) -> None:
    """On a monitor the stage waits; on film it waits a laboratory's turn as well."""
    on_film = way == "print"
    effort = sheet.effort("check it over the plate", (PRINT if on_film else MONITOR, 1))
    stages = sheet.context.names("stage")
    sheet.do(
        Work(
            "check it over the plate",
            "compositing" if on_film else "camera",
            Phase.LAB if on_film else Phase.STAGE,
            effort.hours,
            effort.reason,
            needs=(Need("stage", stages),) if stages and not on_film else (),
        )
    )


def _current_take(element: Element) -> str:
    """The take of an element in use: its revision, else the one its report keeps."""
    return element.facts.word("revision") or element.facts.group("report").word("take")


def _check_takes(sheet: Worksheet) -> None:
    facts = sheet.element.facts
    for role, name, what in (("against", "plate_take", "plate"), ("of", "take", "element")):
        other = sheet.context.target(role)
        used, now = facts.word(name), _current_take(other) if other else ""
        # Before anything has been photographed there is no take to name.
        if other is None or not now or now == used:
            continue
        if not used:
            sheet.miss(name, rests=f"whether the check counts for the {what} in use")
            continue
        sheet.warn(
            f"check-against-old-{what}",
            f"it was checked with {used} of {other.id}, which is {now} now: the check says nothing"
            " of the picture in use",
            f"check it again with {now} while the set stands",
            at=name,
        )


def _check_program(sheet: Worksheet) -> None:
    """The program it was run on, against the one its element repeats."""
    used = sheet.element.facts.word("program")
    checked = sheet.context.target("of")
    moves = sheet.context.show.elements.get(checked.target("move_from")) if checked else None
    if moves is None:
        return
    if not used:
        sheet.miss("program", rests="whether the check counts for the camera move in use")
        return
    now = moves.facts.word("revision")
    if now and now != used:
        sheet.warn(
            "check-on-other-program",
            f"it was run on {used} of {moves.id}, which is {now} now",
            f"run it on {now} and check it again",
            at="program",
        )


def _check_delay(sheet: Worksheet, way: str) -> None:
    if way == "print":
        hours = lab_hours(sheet)
        sheet.reckon("delay from take to check", hours * 60, "min", "the laboratory's turn")
        sheet.remark(
            "set-waits-for-laboratory",
            f"the set must stand {hours:g} working hours until the check is back on film",
            "check it on a monitor first, and strike only after the film",
            at="way",
        )
        return
    taken, seen = sheet.element.facts.clock("taken_at"), sheet.element.facts.clock("seen_at")
    if taken is None or seen is None:
        return
    delay = sheet.note(
        Quantity(
            "delay from take to check",
            _minutes(seen) - _minutes(taken),
            "min",
            Standing.RECORDED,
            reason=f"{taken:%H:%M} to {seen:%H:%M}",
        )
    )
    limit = sheet.rule(DELAY)[0]
    if delay.value < 0:
        sheet.error(
            "checked-before-taken",
            f"it was checked at {seen:%H:%M} and taken at {taken:%H:%M}",
            "correct the times",
            at="seen_at",
        )
    elif delay.value > limit.value:
        sheet.warn(
            "check-too-late",
            f"it was checked {delay.value:.0f} min after the take; {limit.value:g} min keep the"
            " stage from standing or moving on unseen",
            "bring the plate to the stage on a monitor before the take",
            at="seen_at",
        )


def _minutes(clock: time) -> float:
    return clock.hour * 60 + clock.minute


def _correct(sheet: Worksheet) -> None:
    """How far to move it on the stage, from how far it was seen off on the screen."""
    off = sheet.element.facts.number("seen_off")
    if off is None:
        return
    allowed = sheet.rule(SEEN)[0]
    moved = _on_stage(sheet, off)
    if abs(off.value) <= allowed.value or sheet.element.facts.flag("answered"):
        return
    by = f": {abs(moved.value):.1f} mm at its own size" if moved else ""
    sheet.warn(
        "check-not-answered",
        f"it was seen {abs(off.value):.3g} px off its place{by}, and the take kept was not set"
        " right for it",
        f"move it {f'{abs(moved.value):.1f} mm ' if moved else ''}and take it again, or slip it"
        f" {abs(off.value):.3g} px in the composite and say so (answered: true)",
        at="seen_off",
    )


def _on_stage(sheet: Worksheet, off: Quantity) -> Quantity | None:
    distance = sheet.positive(sheet.element.facts.number("distance"), "distance")
    if distance is None:
        sheet.miss("distance", rests="how far to move it on the stage")
        return None
    view = view_of(sheet, rests="how far to move it on the stage")
    focal = view.focal_px()
    checked = sheet.context.target("of")
    scale = Context(sheet.context.show, checked, {}).scale() if checked else None
    n = scale.value if scale and scale.value >= 1 else 1.0
    if focal is None:
        return None
    inputs = (off, distance, focal, scale) if scale else (off, distance, focal)
    return sheet.reckon(
        "correction on the stage",
        off.value * distance.value / focal.value / n,
        "mm",
        "pixels x distance / focal length in pixels / N",
        *inputs,
    )
