"""A photographed background or foreground at full size.

Takes its camera, where it is photographed, its screen, its people and its report, gives film, hours
on location or on stage, and whether it can be photographed and joined as stated. Knows nothing of
models and of how it is joined.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from planner.kinds import (
    DOOR,
    Estimate,
    Need,
    Phase,
    Work,
    Worksheet,
    packaged_schema,
)
from planner.kinds.clearance import check_screen
from planner.kinds.flame import check_flame
from planner.kinds.floor import Floor, SetUp, lay_out
from planner.kinds.move import is_moving
from planner.kinds.shoot import prove_program
from planner.kinds.stops import check_light, expose
from planner.kinds.stretches import Stretch, heads, on_stage
from planner.kinds.subject import FULL_SIZE
from planner.kinds.takes import (
    TAKEN,
    Takes,
    buy_film,
    lab_hours,
    reckon_takes,
    running_hours,
    with_run,
)
from planner.kinds.view import View, view_of
from planner.model.names import noun
from planner_plugins.plate import rules
from planner_plugins.plate.report import check_clean, check_report, check_set, is_taken
from planner_plugins.plate.rules import RULES

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Context, Effort
    from planner.model.quantity import Quantity

__all__ = ["RULES", "Plate"]


class Plate:
    """The kind ``plate``."""

    name = "plate"
    door = DOOR
    section = "elements"

    def schema(self) -> Mapping[str, object]:
        """JSON Schema of one plate."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """Film, hours and findings of one plate."""
        sheet = Worksheet(context)
        view = view_of(sheet, rests="the field, the screen and what joins the plate")
        rate = _rate(sheet, view)
        is_clean = sheet.element.facts.word("sort") == "clean"
        usual = rules.CLEAN_TAKES if is_clean else rules.TAKES
        takes = _with_event(sheet, view, reckon_takes(sheet, view, rate, 1, usual))
        _check_field(sheet, view)
        unwritten = check_report(sheet)
        check_set(sheet)
        check_clean(sheet)
        check_flame(sheet)
        if is_taken(sheet):
            sheet.remark(
                "already-photographed",
                "it has been photographed; its hours and film lie behind this plan",
                at="report",
            )
        elif _is_on_stage(sheet):
            _on_stage(sheet, view, takes)
        else:
            _on_location(sheet, view, takes)
        return replace(sheet.estimate(), unwritten=unwritten)


def _is_on_stage(sheet: Worksheet) -> bool:
    """Where stated; otherwise screens and drapes hang on stages, and the rest is on location."""
    facts = sheet.element.facts
    usual = "stage" if facts.word("sort") in {"blue_screen", "black_drape"} else "location"
    if facts.word("sort") == "clean" and facts.has("stage"):
        usual = "stage"
    return facts.word("on", usual) == "stage"


def _rate(sheet: Worksheet, view: View) -> Quantity:
    stated = sheet.positive(sheet.element.facts.number("rate"), "rate")
    if stated is None:
        return sheet.reckon(
            "rate",
            view.frame_rate.value,
            "fps",
            "the rate the picture is shown at",
            view.frame_rate,
        )
    return sheet.reckon("rate", stated.value, "fps", "as stated", stated)


def _with_event(sheet: Worksheet, view: View, takes: Takes) -> Takes:
    """Takes long enough for an action that does not last as long as the cut."""
    event = sheet.element.facts.number("event")
    shot = sheet.context.shot
    if event is None:
        return takes
    frames = sheet.reckon(
        "frames of the action",
        math.ceil(event.value * takes.rate.value - 1e-9),
        "1",
        "real time of the action x rate, rounded up",
        event,
        takes.rate,
    )
    if shot and shot.cut:
        _check_event(sheet, frames, event, shot.cut.count)
    longer = frames.value - takes.frames.value
    if longer <= 0:
        return takes
    run = sheet.reckon(
        "frames of run",
        takes.run.value + longer,
        "1",
        "frames rolled + frames of the action beyond those kept",
        takes.run,
        frames,
        takes.frames,
    )
    return with_run(sheet, view, takes, run)


def _check_event(sheet: Worksheet, frames: Quantity, event: Quantity, cut: int) -> None:
    short = cut - frames.value
    if short > 0 and event.value > 0:
        sheet.warn(
            "action-shorter-than-cut",
            f"{event.value:g} s of action gives {frames.value:g} {noun(frames.value, 'frame')} and"
            f" the cut has {cut}: {short:g} {noun(short, 'frame')} short",
            f"shoot it at {math.ceil(cut / event.value)} fps, or plan what is seen on the rest",
            at="event",
        )


def _check_field(sheet: Worksheet, view: View) -> None:
    """Compare what must be covered where the subject plays with what the lens sees there."""
    field = sheet.element.facts.group("field")
    distance = field.number("distance")
    if distance is None:
        return
    try:
        seen = {"width": view.field_width(distance), "height": view.field_height(distance)}
    except ValueError as cause:
        sheet.error("subject-inside-lens", str(cause), "move the subject away", at="field")
        return
    for side, across in seen.items():
        if across is None or view.focal is None:
            continue
        sheet.reckon(f"field {side}", across.value, "mm", "at the subject", across)
        wanted = field.number(side)
        if wanted is None or wanted.value <= across.value:
            continue
        shorter = view.focal.value * across.value / wanted.value
        farther = distance.value * wanted.value / across.value
        sheet.warn(
            f"field-{'narrow' if side == 'width' else 'low'}",
            f"{wanted.value / 1000:.2f} m of {side} is wanted and the {view.focal.value:g} mm lens"
            f" sees {across.value / 1000:.2f} m at {distance.value / 1000:.3g} m:"
            f" {(wanted.value - across.value) / 1000:.2f} m short",
            f"use a lens of {math.floor(shorter)} mm or shorter, or stand"
            f" {math.ceil(farther / 100) / 10:g} m off",
            at="field",
        )


def _reset(sheet: Worksheet) -> Quantity:
    return sheet.rule(rules.RESET)[0]


def _photograph(sheet: Worksheet, takes: Takes) -> Effort:
    running = running_hours(sheet, takes, _reset(sheet))
    people = sheet.element.facts.number("performers")
    return sheet.effort(
        "photograph the plate",
        (rules.REHEARSE, 1),
        (rules.PERFORMER, people or 0),
        (TAKEN, running),
    )


def _on_stage(sheet: Worksheet, view: View, takes: Takes) -> None:
    facts = sheet.element.facts
    set_up = SetUp(view, FULL_SIZE, takes.rate, pass_feet=takes.pass_feet)
    floor = _shared_with_source(sheet, lay_out(sheet, set_up))
    check_light(sheet, view, expose(sheet, view, FULL_SIZE), takes.rate)
    sort = facts.word("sort", "live")
    rule = rules.STAGE_SET_UP.get(sort, rules.STAGE_SET_UP["live"])
    if sort in {"blue_screen", "black_drape"} and not facts.has("screen"):
        sheet.miss("screen", rests="whether anything fills the field behind the subject")
    light = sheet.effort("set up the plate", (rule, 1))
    shoot = _photograph(sheet, takes)
    stretches = [
        Stretch("set up the plate", "stage", light, heads(sheet, rules.STAGE_HANDS)),
        *((prove_program(sheet),) if is_moving(sheet.element) else ()),
        Stretch("photograph the plate", "camera", shoot, heads(sheet, rules.CAMERA_HANDS)),
    ]
    parts = [each.effort for each in stretches]
    sheet.reckon(
        "stage hours",
        sum(each.hours.likely for each in parts),
        "h",
        "setting up, proving a move where there is one, photographing",
        *(each.reason for each in parts),
    )
    on_stage(sheet, floor, stretches, wait_hours=lab_hours(sheet))
    buy_film(sheet, takes)


def _shared_with_source(sheet: Worksheet, floor: Floor) -> Floor:
    """The floor, standing as it did for the plate that a clean plate repeats."""
    source = sheet.element.target("clean_of")
    if not source:
        return floor
    return replace(floor, state=floor.state.replace(sheet.element.id, source, 1))


def _on_location(sheet: Worksheet, view: View, takes: Takes) -> None:
    check_screen(sheet, view)
    shoot = _photograph(sheet, takes)
    parts = (
        ("set up on location", sheet.effort("set up on location", (rules.LOCATION_SET_UP, 1))),
        ("photograph the plate", shoot),
    )
    measure = sheet.effort("measure and fill in the plate report", (rules.REPORT, 1))
    sheet.reckon(
        "location hours",
        sum(effort.hours.likely for _name, effort in parts) + measure.hours.likely,
        "h",
        "setting up + photographing + measuring",
        *(effort.reason for _name, effort in parts),
        measure.reason,
    )
    needs = _location_needs(sheet, view)
    after: tuple[str, ...] = ()
    for name, effort in parts:
        sheet.do(
            Work(
                name,
                "location",
                Phase.LOCATION,
                effort.hours,
                effort.reason,
                heads=heads(sheet, rules.LOCATION_HANDS),
                needs=needs,
                after=after,
                wait_hours=lab_hours(sheet) if effort is shoot else 0.0,
            )
        )
        after = (name,)
    _measure(sheet, measure)
    buy_film(sheet, takes)


def _measure(sheet: Worksheet, effort: Effort) -> None:
    sheet.do(
        Work(
            "measure and fill in the plate report",
            "location",
            Phase.LOCATION,
            effort.hours,
            effort.reason,
            heads=heads(sheet, rules.REPORT_HANDS),
            # What was set and which take was kept is known once the camera has run.
            after=("photograph the plate",),
        )
    )


def _location_needs(sheet: Worksheet, view: View) -> tuple[Need, ...]:
    context = sheet.context
    rate = sheet.quantities["rate"].value
    cameras = context.names("camera") or tuple(
        each.id
        for each in context.show.resources_of("camera")
        if each.facts.word("format") in {"", view.frame.slug}
        and each.facts.amount("top_rate", math.inf) >= rate
    )
    rigs = context.names("rig")
    screen = sheet.element.facts.word("screen")
    wanted = (("camera", cameras), ("rig", rigs), ("screen", (screen,) if screen else ()))
    needs = [Need(sort, options) for sort, options in wanted if options]
    needs += [Need("lens", (view.lens.id,))] if view.lens else []
    return (*needs, *(Need("person", (name,)) for name in context.names("people")))
