"""One light of a set-up exposed by itself: its glow, its lamps, its answer to another light.

Takes the element it is a pass of, the exposures and the cue, gives passes, film and stage work on
the same program, and what spoils it. Knows nothing of how it is balanced in the composite.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds import DOOR, Worksheet, packaged_schema
from planner.kinds.context import Context
from planner.kinds.floor import SetUp
from planner.kinds.shoot import Shoot, photograph
from planner.kinds.stretches import Stretch
from planner.kinds.subject import FULL_SIZE, Subject
from planner.kinds.takes import Takes, reckon_takes
from planner.kinds.view import View, view_of
from planner_plugins.light_pass import rules
from planner_plugins.light_pass.cues import check_cue, check_dark, check_lamps, check_wedge

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Estimate
    from planner.model.quantity import Quantity


class LightPass:
    """The kind ``light_pass``."""

    name = "light_pass"
    door = DOOR
    section = "elements"

    def schema(self) -> Mapping[str, object]:
        """JSON Schema of one light pass."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """Passes, film, stage work and findings."""
        sheet = Worksheet(context)
        view = view_of(sheet)
        sort = sheet.element.facts.word("sort", "practicals")
        rate = _rate(sheet, view, sort)
        groups = sheet.element.facts.number("groups")
        takes = reckon_takes(
            sheet, view, rate, max(round(groups.value), 1) if groups else 1, rules.TAKES
        )
        check_dark(sheet, sort)
        check_cue(sheet, sort)
        check_wedge(sheet, sort)
        check_lamps(sheet)
        _photograph(sheet, view, takes, sort)
        return sheet.estimate()


def _rate(sheet: Worksheet, view: View, sort: str) -> Quantity:
    """As slow as the exposure of a frame asks, at most the rate shown; or as stated."""
    facts = sheet.element.facts
    stated = sheet.positive(facts.number("rate"), "rate")
    if stated is not None:
        return sheet.reckon("rate", stated.value, "fps", "as stated", stated)
    seconds = sheet.positive(facts.number("exposure"), "exposure")
    if seconds is None:
        seconds = sheet.rule(rules.EXPOSURE[sort])[0]
        sheet.miss(
            "exposure", rests="time of the pass", assumed=f"{seconds.value:g} s, until a test"
        )
    return sheet.reckon(
        "rate",
        min(view.open_share / seconds.value, view.frame_rate.value),
        "fps",
        "share of the frame the shutter is open / exposure, at most the rate shown",
        seconds,
        view.shutter,
        view.frame_rate,
    )


def _subject(sheet: Worksheet) -> Subject:
    """At the scale of the element it is a pass of, whose build carries the limits."""
    source = sheet.context.target("pass_of")
    scale = Context(sheet.context.show, source, {}).scale() if source else None
    return Subject(scale) if scale is not None and scale.value > 0 else FULL_SIZE


def _photograph(sheet: Worksheet, view: View, takes: Takes, sort: str) -> None:
    tries = len(sheet.element.facts.numbers("wedge"))
    more = takes.passes.value - 1
    effort = sheet.effort(
        "set the light", (rules.SET_UP[sort], 1), (rules.GROUP, more), (rules.WEDGE, tries)
    )
    set_up = SetUp(view, _subject(sheet), takes.rate, pass_feet=takes.pass_feet)
    photograph(
        sheet,
        Shoot(
            set_up=set_up,
            takes=takes,
            reset=sheet.rule(rules.RESET)[0],
            before=(Stretch("set the light", "stage", effort, 2),),
        ),
    )
