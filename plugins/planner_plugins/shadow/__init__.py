"""A shadow or reflection of one element in another.

Takes what casts it, what receives it, the lamp and how it is made, gives its size and softness, its
hours and film, and what makes it impossible. Knows nothing of how it is joined.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from planner.kinds import DOOR, Context, Estimate, Phase, Work, Worksheet, packaged_schema
from planner.kinds.floor import SetUp, lay_out
from planner.kinds.frames_drawn import frames_drawn, hours_a_second
from planner.kinds.move import is_moving
from planner.kinds.shoot import prove_program
from planner.kinds.stops import check_light, expose_cast
from planner.kinds.stretches import LINE_UP_HANDS, Hands, Stretch, heads, on_stage
from planner.kinds.subject import FULL_SIZE, Subject
from planner.kinds.takes import TAKEN, buy_film, lab_hours, reckon_takes, running_hours
from planner.kinds.view import view_of
from planner.model.ratio import in_ratio
from planner_plugins.shadow import rules
from planner_plugins.shadow.company import company_of, stand_up_receiver
from planner_plugins.shadow.geometry import check_receiver, plot_reflection, plot_shadow
from planner_plugins.shadow.rules import RULES

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Rule
    from planner.model.quantity import Quantity

__all__ = ["RULES", "Shadow"]


class Shadow:
    """The kind ``shadow``."""

    name = "shadow"
    door = DOOR
    section = "elements"

    def schema(self) -> Mapping[str, object]:
        """JSON Schema of one shadow or reflection."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """Geometry, hours and findings of one shadow or reflection."""
        sheet = Worksheet(context)
        check_receiver(sheet)
        if sheet.element.facts.word("as") == "reflection":
            plot_reflection(sheet, _scale_of(sheet, "shadow_of") or FULL_SIZE.scale)
        else:
            plot_shadow(sheet)
        sort = sheet.element.facts.word("sort")
        if not sort:
            sheet.miss("sort", rests="who makes the shadow", assumed="drawn")
        if sort == "photographed":
            _photograph(sheet, on_receiver=_check_scales(sheet))
        elif sort == "computer":
            _make(sheet, "computer", (rules.COMPUTER_BEGIN, rules.COMPUTER_FRAME))
        else:
            _make(sheet, "roto", (rules.DRAWN_BEGIN, rules.DRAWN_FRAME))
        return sheet.estimate()


def _what(sheet: Worksheet) -> str:
    return sheet.element.facts.word("as", "shadow")


def _make(sheet: Worksheet, craft: str, by: tuple[Rule, Rule]) -> None:
    """Work frame by frame, by hand or by computer."""
    begin, frame = by
    frames = frames_drawn(sheet)
    name = f"{'draw' if craft == 'roto' else 'compute'} the {_what(sheet)}"
    effort = sheet.effort(name, (begin, 1), (frame, frames))
    hours_a_second(sheet, effort, frames)
    sheet.do(Work(name, craft, Phase.FINISH, effort.hours, effort.reason))


def _scale_of(sheet: Worksheet, role: str) -> Quantity | None:
    """N of what is named under `role`, or full size for a plate; None while undecided."""
    target = sheet.context.target(role)
    if target is None:
        return None
    scale = Context(sheet.context.show, target, {}).scale()
    if scale is not None and scale.value <= 0:
        return None
    return FULL_SIZE.scale if scale is None and target.kind == "plate" else scale


def _check_scales(sheet: Worksheet) -> bool:
    """A real shadow joins caster and receiver only where both are of one size; whether they are."""
    caster, receiver = _scale_of(sheet, "shadow_of"), _scale_of(sheet, "falls_on")
    if caster is None or receiver is None or caster.value == receiver.value:
        return True
    names = sheet.element.target("shadow_of"), sheet.element.target("falls_on")
    sheet.error(
        "shadow-between-scales",
        f"{names[0]} is made at {in_ratio(caster.value)} and {names[1]} at"
        f" {in_ratio(receiver.value)}: no lamp"
        f" casts the {_what(sheet)} of one on the other",
        f"photograph it on a plain copy of the receiver's surface at {in_ratio(caster.value)}, or"
        " draw"
        " it",
        at="sort",
    )
    return False


def _photograph(sheet: Worksheet, *, on_receiver: bool) -> None:
    view = view_of(sheet)
    subject = Subject(_scale_of(sheet, "shadow_of") or FULL_SIZE.scale)
    cast_at = sheet.context.upstream_number("shadow_of", "rate")
    source = cast_at or view.frame_rate
    reason = "the rate of what casts it" if cast_at else "the rate the picture is shown at"
    rate = sheet.reckon("rate", source.value, "fps", reason, source)
    takes = reckon_takes(sheet, view, rate, 1, rules.TAKES)
    floor = lay_out(sheet, SetUp(view, subject, rate, pass_feet=takes.pass_feet))
    company = company_of(sheet, on_receiver=on_receiver)
    more = (each for each in company.needs if each not in floor.needs)
    floor = replace(floor, needs=(*floor.needs, *more))
    casts = sheet.context.upstream_number("shadow_of", "stop")
    check_light(sheet, view, expose_cast(sheet, view, subject, casts), rate)
    what = _what(sheet)
    stood_up = stand_up_receiver(sheet, floor) if on_receiver else ()
    # The first stretch is lined up by itself; what is cast is lined up once it can be seen.
    eye = (Hands(f"line up the {what}", "camera", heads(sheet, LINE_UP_HANDS)),) if stood_up else ()
    set_up = sheet.effort(f"set up the {what}", (rules.SET_UP, 1))
    running = running_hours(sheet, takes, sheet.rule(rules.RESET)[0])
    shoot = sheet.effort(f"photograph the {what}", (rules.WEDGE, 1), (TAKEN, running))
    # What carries the caster runs the caster's program for the shadow too, whether or not the
    # shadow's own camera moves.
    is_programmed = is_moving(sheet.element) or company.is_programmed
    stretches = (
        *stood_up,
        Stretch(
            f"set up the {what}",
            "stage",
            set_up,
            heads(sheet, rules.STAGE_HANDS),
            beside=(*eye, *company.at_set_up),
        ),
        *((prove_program(sheet),) if is_programmed else ()),
        Stretch(
            f"photograph the {what}",
            "camera",
            shoot,
            heads(sheet, rules.CAMERA_HANDS),
            beside=company.at_camera,
        ),
    )
    on_stage(sheet, floor, stretches, wait_hours=lab_hours(sheet))
    buy_film(sheet, takes)
