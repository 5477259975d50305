"""A wedge of rates: one pass of an effect at each, before its takes.

Takes the rates listed and how long the camera rolls round the action, gives frames, time and film
of each pass, which all differ as the rates do. Knows nothing of stage work.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.kinds.floor import top_rate
from planner.kinds.takes import Takes, Tried
from planner.kinds.view import of_format
from planner.model.quantity import Quantity
from planner_plugins.effect import rules

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.kinds.view import View

COUNT = "rates in the wedge"


@dataclass(frozen=True, slots=True)
class Rolled:
    """How long the camera rolls, whatever its rate.

    Attributes:
        scale: N it reads at.
        rate: of the takes, fps.
        run_up: until the cue, s.
        run_out: after the action, s.
        action: on the stage, s; None where nobody says how long it lasts.
    """

    scale: Quantity
    rate: Quantity
    run_up: Quantity
    run_out: Quantity
    action: Quantity | None


def frames_of_action(rolled: Rolled, rate: Quantity) -> Quantity | None:
    """Frames on which the action is seen at a rate (fps); None where nobody says how long it is."""
    if rolled.action is None:
        return None
    value = math.ceil(rolled.action.value * rate.value - 1e-9)
    reason = "event on the stage x rate, rounded up"
    inputs = (rolled.action, rate)
    return Quantity("frames of the action", value, "1", reason=reason, inputs=inputs)


def frames_of_run(rolled: Rolled, kept: Quantity, rate: Quantity) -> Quantity:
    """Frames of a pass at a rate (fps) beyond those kept, handles included."""
    acted = frames_of_action(rolled, rate)
    beyond = max(acted.value - kept.value, 0.0) if acted else 0.0
    value = (rolled.run_up.value + rolled.run_out.value) * rate.value + beyond
    reason = "(run-up + run-out) x rate, and the frames of the action beyond those kept"
    inputs = (rolled.run_up, rolled.run_out, rate, *((acted,) if acted else ()))
    return Quantity("frames of run", value, "1", reason=reason, inputs=inputs)


def try_rates(sheet: Worksheet, view: View, takes: Takes, rolled: Rolled) -> Tried | None:
    """The passes tried before the takes; None of what is shown at its own size.

    Rates listed are reckoned one by one. Where none is, as many as are usual are counted at the
    rate of the takes, which is about the middle of them.
    """
    stated = sheet.element.facts.numbers("wedge")
    if not stated and rolled.scale.value <= 1:
        sheet.note(Quantity(COUNT, 0, "1", reason="it is of its own size"))
        return None
    if not stated:
        return _usual(sheet, view, takes)
    rates = [each for each in stated if sheet.positive(each, "wedge") is not None]
    _check_reach(sheet, view, rates)
    passes = [_one(sheet, view, (takes, rolled), each) for each in rates]
    if not passes:
        return None
    count = sheet.note(Quantity(COUNT, len(rates), "1", reason="rates listed"))
    times, films = [each[0] for each in passes], [each[1] for each in passes]
    return Tried(
        count,
        sheet.reckon("time of the wedge", _sum(times), "s", "sum of its passes", *times),
        sheet.reckon("film of the wedge", _sum(films), "ft", "sum of its passes", *films),
        max(films, key=lambda each: each.value),
    )


def longest_run(takes: Takes) -> Quantity:
    """Film of the longest pass that must go on one magazine, ft."""
    if takes.tried is None:
        return takes.pass_feet
    return max(takes.pass_feet, takes.tried.longest_feet, key=lambda each: each.value)


def _sum(parts: list[Quantity]) -> float:
    return math.fsum(each.value for each in parts)


def _one(
    sheet: Worksheet, view: View, planned: tuple[Takes, Rolled], rate: Quantity
) -> tuple[Quantity, Quantity]:
    """Time, s, and film, ft, of one pass at its own rate; its light is noted beside them."""
    takes, rolled = planned
    at = f"wedge at {rate.value:g} fps"
    beyond = frames_of_run(rolled, takes.frames, rate)
    run = sheet.note(replace(beyond, name=f"{at}, run"))
    per_foot = of_format(view.frame, "frames per foot", view.frame.frames_per_foot, "1")
    exposed = takes.frames.value + run.value
    reason = "(frames + run) / rate"
    time = sheet.reckon(f"{at}, time", exposed / rate.value, "s", reason, takes.frames, run, rate)
    reason = "(frames + run) / frames per foot"
    feet = exposed / per_foot.value
    film = sheet.reckon(f"{at}, film", feet, "ft", reason, takes.frames, run, per_foot)
    # A slower rate opens the shutter for longer, so that each pass is of another density.
    more = math.log2(rolled.rate.value / rate.value)
    side = "over" if more >= 0 else "under"
    reason = "log2 of the one rate / the other, the shutter left alone"
    sheet.reckon(f"{at}, {side} the takes", abs(more), "stops", reason, rolled.rate, rate)
    return time, film


def _usual(sheet: Worksheet, view: View, takes: Takes) -> Tried:
    _suggest(sheet, view, takes.rate)
    usual = sheet.rule(rules.WEDGE_RATES)[0]
    count = sheet.reckon(COUNT, usual.value, "1", "as many as are usual; none is listed", usual)
    seconds, feet = (count.value * each.value for each in (takes.pass_time, takes.pass_feet))
    because = "of a pass of the takes x rates tried, as none is listed"
    time, film = f"time {because}", f"film {because}"
    return Tried(
        count,
        sheet.reckon("time of the wedge", seconds, "s", time, takes.pass_time, count),
        sheet.reckon("film of the wedge", feet, "ft", film, takes.pass_feet, count),
        takes.pass_feet,
    )


def _check_reach(sheet: Worksheet, view: View, rates: list[Quantity]) -> None:
    top = top_rate(sheet, view)
    over = [f"{each.value:g}" for each in rates if each.value > top * (1 + 1e-9)]
    if over:
        sheet.warn(
            "wedge-over-camera",
            f"the wedge tries {', '.join(over)} fps, and no camera that would do runs faster than"
            f" {top:g} fps",
            f"try rates up to {top:g} fps, or name a faster camera",
            at="wedge",
        )


def _suggest(sheet: Worksheet, view: View, rate: Quantity) -> None:
    step = sheet.rule(rules.WEDGE_STEP)[0].value
    tried = [max(rate.value / step, view.frame_rate.value), rate.value, rate.value * step]
    # A rate the camera cannot reach is no advice; that the rate itself is one, `floor` tells.
    top = top_rate(sheet, view)
    rates = dict.fromkeys(f"{min(each, top):.0f}" for each in tried)
    how = "is stated" if sheet.element.facts.has("rate") else "follows from its scale"
    sheet.warn(
        "no-rate-wedge",
        f"{rate.value:.4g} fps {how}, and what burns, curls and splashes does not"
        " scale: nobody knows the rate before it is seen",
        f"shoot a wedge first: {', '.join(rates)} fps",
        at="wedge",
    )
