"""An element made frame by frame: drawn, moved by hand before a camera, or made by computer.

Takes its frames, its size on the screen and how it is made, gives hours, computer time and what a
second of screen time costs, and says where the hand will show. Knows nothing of how it is joined.
"""

from __future__ import annotations

import math
from decimal import Decimal
from typing import TYPE_CHECKING

from planner.craft import formats
from planner.kinds import (
    DOOR,
    Charge,
    Effort,
    Estimate,
    Hours,
    Phase,
    Work,
    Worksheet,
    packaged_schema,
)
from planner.kinds.frames_drawn import frames_drawn, hours_a_second
from planner.kinds.view import USUAL_FORMAT, View, view_of
from planner.model.quantity import Quantity, Standing
from planner_plugins.drawn import rules

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Context
    from planner.model.facts import Money

NAMES = {"hand_drawn": "draw it", "hand_animated": "animate it", "computer": "make it by computer"}


class Drawn:
    """The kind ``drawn``."""

    name = "drawn"
    door = DOOR
    section = "elements"

    def schema(self) -> Mapping[str, object]:
        """JSON Schema of one such element."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """Hours, cost of a second, and findings."""
        sheet = Worksheet(context)
        sort = sheet.element.facts.word("sort", "hand_drawn")
        frames = frames_drawn(sheet)
        effort = _effort(sheet, sort, _made(sheet, frames))
        a_second = hours_a_second(sheet, effort, frames)
        _check_cost(sheet, sort, a_second)
        if sort == "computer":
            _compute(sheet, frames, effort)
        else:
            craft = rules.CRAFT[sort]
            phase = Phase.STAGE if sort == "hand_animated" else Phase.FINISH
            _do(sheet, NAMES[sort], craft, phase, effort)
            _check_hand(sheet, sort)
        if sort == "hand_animated":
            _expose(sheet, frames)
        materials = sheet.element.facts.money("materials")
        if materials is not None:
            one = Quantity("lots of materials", 1, "1", reason="a sum stated outright")
            sheet.buy(Charge("materials", "", one, Phase.PREPARE, materials))
        return sheet.estimate()


def _made(sheet: Worksheet, frames: Quantity) -> Quantity:
    """Drawings or poses: one for each frame, or for each so many that it is held."""
    held = sheet.positive(sheet.element.facts.number("on"), "on")
    each = max(held.value, 1.0) if held else 1.0
    inputs = (frames, held) if held else (frames,)
    return sheet.reckon(
        "drawings and poses",
        math.ceil(frames.value / each - 1e-9),
        "1",
        "frames / frames each is held, rounded up",
        *inputs,
    )


def _effort(sheet: Worksheet, sort: str, made: Quantity) -> Effort:
    name = NAMES[sort]
    plain = sheet.effort(name, (rules.BEGIN[sort], 1), (rules.FRAME[sort], made))
    difficulty = sheet.element.facts.word("difficulty", "ordinary")
    if difficulty == "ordinary":
        return plain
    factor, times = sheet.rule(rules.HARD[difficulty])
    hours = plain.hours
    harder = Hours(hours.low * times.low, hours.likely * times.likely, hours.high * times.high)
    reason = "hours of an ordinary one x difficulty"
    return Effort(
        harder,
        sheet.reckon(f"hours to {name}", harder.likely, "h", reason, plain.reason, factor),
    )


def _compute(sheet: Worksheet, frames: Quantity, effort: Effort) -> None:
    """The machine works unattended after the people; it may be several side by side."""
    own = sheet.element.facts.number("machine_hours") or sheet.rule(rules.MACHINE)[0]
    machines = sheet.positive(sheet.element.facts.number("machines"), "machines") or Quantity(
        "machines", 1, reason="one, unless said"
    )
    hours = sheet.reckon(
        "computer hours",
        own.value * frames.value / machines.value,
        "h",
        "hours a frame x frames / machines side by side",
        own,
        frames,
        machines,
    )
    sheet.do(
        Work(
            NAMES["computer"],
            rules.CRAFT["computer"],
            Phase.FINISH,
            effort.hours,
            effort.reason,
            wait_hours=hours.value,
        )
    )


def _expose(sheet: Worksheet, frames: Quantity) -> None:
    """Film of poses exposed one by one: nothing is rolled beyond the frames."""
    frame = sheet.context.frame_format() or formats.FRAME_FORMATS[USUAL_FORMAT]
    feet = sheet.reckon(
        "film exposed",
        frames.value / frame.frames_per_foot,
        "ft",
        f"frames / {frame.frames_per_foot:g} to the foot",
        frames,
    )
    sheet.buy(Charge("negative", "negative", feet, Phase.STAGE))
    sheet.buy(Charge("processing", "processing", feet, Phase.LAB))


def _do(sheet: Worksheet, name: str, craft: str, phase: Phase, effort: Effort) -> None:
    sheet.do(Work(name, craft, phase, effort.hours, effort.reason))


def _check_cost(sheet: Worksheet, sort: str, a_second: Quantity | None) -> None:
    """What a second of screen time costs in hands, against the most it may."""
    most = sheet.element.facts.money("most_a_second") or _most_of_sequence(sheet)
    rate = _hourly(sheet, rules.CRAFT[sort])
    if a_second is None or rate is None:
        if most is not None:
            sheet.miss("rate of its craft", rests="what a second of it costs")
        return
    cost = sheet.reckon(
        "cost of a second of screen time",
        round(a_second.value * rate.value, 2),
        rate.unit,
        "hours a second x rate of its craft",
        a_second,
        rate,
    )
    if most is None or most.currency != cost.unit or cost.value <= float(most.amount):
        return
    sheet.warn(
        "second-too-dear",
        f"a second of it costs {cost.value:,.2f} {cost.unit} in hands and may cost {most}",
        f"show it for no more than {float(most.amount) / cost.value * 100:.0f} % of the frames,"
        " make it plainer, or take another method",
        at="most_a_second",
    )


def _most_of_sequence(sheet: Worksheet) -> Money | None:
    shot = sheet.context.shot
    sequence = sheet.context.show.sequences.get(shot.sequence) if shot else None
    return sequence.facts.money("most_a_second") if sequence else None


def _hourly(sheet: Worksheet, craft: str) -> Quantity | None:
    """Rate of a craft by the hour, as on the show's first day; None where none is stated."""
    show = sheet.context.show
    rate = show.rates.get(craft)
    money = rate.on(show.calendar.starts) if rate else None
    hours = {"hour": 1.0, "day": show.calendar.day_hours}.get(rate.per if rate else "")
    if rate is None or money is None or not hours:
        return None
    each = float(money.amount / Decimal(repr(hours)))
    return Quantity(
        f"rate of {craft}",
        each,
        money.currency,
        Standing.GIVEN,
        place=rate.place,
        reason="an hour, from rates.yaml",
    )


def _check_hand(sheet: Worksheet, sort: str) -> None:
    """The hand shows where a thing is large, or moves far between poses without blur."""
    limit = sheet.rule(rules.QUALITY[sort])[0]
    size = _size(sheet)
    if size is not None and size.value > limit.value:
        sheet.warn(
            "hand-shows",
            f"it is {size.value:.0f} px high on the screen and what is"
            f" {sort.replace('_', '-')} holds up to {limit.value:g} px",
            f"show it {size.value / limit.value:.1f} times farther off, cut round it, or take"
            " another method",
            at="height",
        )
    moves = sheet.element.facts.number("moves")
    most = sheet.rule(rules.MOVES)[0]
    blurred = sheet.element.facts.word("blur") == "added"
    if moves is not None and moves.value > most.value and not blurred:
        sheet.warn(
            "moves-without-blur",
            f"it moves {moves.value:.3g} px between frames and each pose is sharp: beyond about"
            f" {most.value:g} px it strobes",
            "write `blur: added` and allow for it, or slow it down",
            at="moves",
        )


def _size(sheet: Worksheet) -> Quantity | None:
    facts = sheet.element.facts
    stated = facts.number("screen_height")
    if stated is not None:
        return sheet.reckon("size on screen", stated.value, "px", "as stated", stated)
    height, distance = facts.number("height"), facts.number("distance")
    if height is None or distance is None:
        sheet.miss("screen_height", rests="whether the hand shows")
        return None
    view: View = view_of(sheet, rests="whether the hand shows")
    try:
        covers = view.pixels_of(height, distance)
    except ValueError as cause:
        sheet.error("drawn-inside-lens", str(cause), "move it away", at="distance")
        return None
    if covers is None:
        return None
    return sheet.reckon("size on screen", covers.value, "px", covers.reason, height, distance)
