"""People filmed apart and projected into the openings of a model.

Takes the model, the plate of the people, the openings and the projector, gives the size and angle
they must have, the pass and its film, the light it needs, and what gives them away. Knows nothing
of filming the people.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.craft import exposure
from planner.kinds import DOOR, Charge, Phase, Worksheet, packaged_schema
from planner.kinds.context import Context
from planner.kinds.floor import SetUp
from planner.kinds.shoot import Shoot, photograph
from planner.kinds.stops import Exposure, as_t_stop, expose, rate_of_slow_pass
from planner.kinds.stretches import Hands, Stretch, heads
from planner.kinds.subject import FULL_SIZE, Subject, subject_of
from planner.kinds.takes import reckon_takes
from planner.kinds.view import view_of
from planner.model.quantity import Quantity
from planner_plugins.projected_people import rules
from planner_plugins.projected_people.picture import (
    check_angle,
    check_card,
    check_light,
    check_step,
    size_figures,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Estimate
    from planner.kinds.takes import Takes
    from planner.kinds.view import View


class ProjectedPeople:
    """The kind ``projected_people``."""

    name = "projected_people"
    door = DOOR
    section = "elements"

    def schema(self) -> Mapping[str, object]:
        """JSON Schema of people in one model."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """Sizes, the pass, its film and findings."""
        sheet = Worksheet(context)
        view = view_of(sheet)
        subject = _subject(sheet)
        exposed = _exposed(sheet, view, subject)
        stated = sheet.positive(sheet.element.facts.number("rate"), "rate")
        rate = (
            sheet.reckon("rate", stated.value, "fps", "as stated", stated)
            if stated
            else rate_of_slow_pass(sheet, view, exposed)
        )
        takes = reckon_takes(sheet, view, rate, 1, rules.TAKES)
        size_figures(sheet, view, subject)
        check_angle(sheet)
        check_card(sheet, subject)
        check_step(sheet, takes)
        check_light(sheet)
        _light_needed(sheet, view, exposed, takes)
        _photograph(sheet, SetUp(view, subject, rate, pass_feet=takes.pass_feet), takes)
        return sheet.estimate()


def _subject(sheet: Worksheet) -> Subject:
    """At the model's scale; its build carries the limits, so none are set here."""
    own = sheet.context.scale()
    model = sheet.context.target("into")
    scale = own or (Context(sheet.context.show, model, {}).scale() if model else None)
    if scale is not None and scale.value > 0:
        return Subject(scale)
    return subject_of(sheet) if model is None or model.kind != "plate" else FULL_SIZE


def _exposed(sheet: Worksheet, view: View, subject: Subject) -> Exposure:
    """At the stop of the model's own pass, so that both are equally soft; else as reckoned."""
    stop = sheet.context.upstream_number("into", "stop")
    if stop is None or sheet.element.facts.has("stop"):
        return expose(sheet, view, subject)
    return Exposure(sheet.reckon("stop", stop.value, stop.unit, "that of the model", stop), None)


def _light_needed(sheet: Worksheet, view: View, exposed: Exposure, takes: Takes) -> None:
    """Light of the projector on a white card that exposes it at the pass's rate."""
    index = sheet.context.look_up("exposure_index")
    if index is None or index.value <= 0:
        return
    seconds = view.open_share / takes.rate.value
    stop = as_t_stop(sheet, view, exposed.stop)
    needed = sheet.reckon(
        "light needed on the card",
        exposure.lux_needed(stop.value, index.value, seconds),
        "lx",
        "25 x T-stop squared / (exposure index x exposure), in foot-candles",
        stop,
        index,
        takes.rate,
        source="cinematography blog, foot-candles, 2013-08",
    )
    has = sheet.element.facts.number("projector_light")
    if has is None:
        sheet.miss("projector_light", rests="whether the people are exposed at the pass's rate")
        return
    short = exposure.stops_short(needed.value, has.value) if has.value > 0 else 0.0
    if short > 1 / 3:
        slower = takes.rate.value * has.value / needed.value
        sheet.warn(
            "projector-too-weak",
            f"at {takes.rate.value:.3g} fps the card wants {needed.value:,.0f} lx and gets"
            f" {has.value:,.0f} lx: {short:.1f} stops short",
            f"run the pass at {slower:.2g} fps or slower, or open up by {short:.1f} stops",
            at="projector_light",
        )


def _photograph(sheet: Worksheet, set_up: SetUp, takes: Takes) -> None:
    facts = sheet.element.facts
    windows = facts.number("windows") or Quantity("openings", 1, reason="one, unless said")
    hands = heads(sheet, rules.HANDS)
    effort = sheet.effort(
        "line up the projector",
        (rules.SET_UP, 1),
        (rules.PRINT, 1),
        (rules.WINDOW, windows),
    )
    photograph(
        sheet,
        Shoot(
            set_up=set_up,
            takes=takes,
            reset=sheet.rule(rules.RESET)[0],
            before=(Stretch("line up the projector", "stage", effort, hands),),
            beside=(Hands("run the projector", "stage", hands),),
        ),
    )
    strip = sheet.reckon(
        "print of the people",
        takes.frames.value / set_up.view.frame.frames_per_foot,
        "ft",
        "frames / frames per foot",
        takes.frames,
    )
    sheet.buy(Charge("print of the people", "print", strip, Phase.STAGE))
