"""Cues and darkness of light passes.

Takes cue frames, lamps left on and exposures tried, gives findings. Knows nothing of film or stage
work.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.model.names import noun
from planner_plugins.light_pass import rules

if TYPE_CHECKING:
    from planner.kinds import Worksheet


def check_dark(sheet: Worksheet, sort: str) -> None:
    """Any other light is exposed into the pass; thrown light may fall in a lit set."""
    facts = sheet.element.facts
    seconds = sheet.quantities["rate"].inputs[0]
    times = f" for {seconds.value:g} s a frame" if seconds.unit == "s" else ""
    if sort != "interactive" and not facts.flag("room_black"):
        known = facts.has("room_black")
        sheet.warn(
            "room-not-black",
            f"the room is {'not' if known else 'not said to be'} black: all its light is exposed"
            f" into the {sort} pass{times}",
            "black it out, doors and lamps of meters included, and write room_black: true",
            at="room_black",
        )
    if facts.has("rig_lamp_off") and not facts.flag("rig_lamp_off"):
        sheet.warn(
            "rig-lamp-left-on",
            f"lamps of the rig or camera stay on{times}: they travel through the picture with the"
            " camera",
            "cover or switch off every lamp that moves with the rig",
            at="rig_lamp_off",
        )
    elif sort in {"glow", "fluorescent"} and not facts.has("rig_lamp_off"):
        sheet.miss("rig_lamp_off", rests="whether a lamp of the rig is exposed with the pass")


def check_cue(sheet: Worksheet, sort: str) -> None:
    """The frame on which light comes in the plate against that on which it comes here."""
    facts = sheet.element.facts
    if sort == "interactive" and not sheet.element.targets("lit_with"):
        sheet.warn(
            "interactive-without-source",
            "it is light thrown by something else, and nothing says by what",
            "name the element whose light it answers under lit_with",
            at="lit_with",
        )
    cue, arrival = facts.number("cue"), facts.number("arrival")
    if cue is None or arrival is None:
        if sort == "interactive":
            sheet.miss("cue", rests="whether the light comes on its frame")
        return
    offset = sheet.reckon(
        "cue offset",
        arrival.value - cue.value,
        "1",
        "frame it comes here - frame it comes in what it answers",
        arrival,
        cue,
    )
    allowed = sheet.rule(rules.CUE)[0]
    if abs(offset.value) > allowed.value:
        late = "late" if offset.value > 0 else "early"
        frames = f"{abs(offset.value):g} {noun(abs(offset.value), 'frame')}"
        sheet.warn(
            "light-cue-off",
            f"the light comes on frame {cue.value:g} and here on {arrival.value:g}:"
            f" {frames} {late}, {allowed.value:g} pass unseen",
            f"set the cue of this pass {frames}"
            f" {'earlier' if offset.value > 0 else 'later'}, or slip it so much in the composite",
            at="arrival",
        )
    _check_in_cut(sheet)


def _check_in_cut(sheet: Worksheet) -> None:
    shot, cue = sheet.context.shot, sheet.element.facts.number("cue")
    if cue is None or shot is None or shot.cut is None:
        return
    if not shot.cut.first <= cue.value <= shot.cut.last:
        sheet.warn(
            "cue-outside-cut",
            f"the light is cued on frame {cue.value:g} and the cut is {shot.cut}",
            f"move the cue within {shot.cut}, or leave the pass out",
            at="cue",
        )


def check_wedge(sheet: Worksheet, sort: str) -> None:
    """What no meter reads is exposed by test."""
    facts = sheet.element.facts
    if facts.has("exposure") or facts.numbers("wedge") or sort == "interactive":
        return
    usual = sheet.rule(rules.EXPOSURE[sort])[0].value
    tried = ", ".join(f"{usual * step:g}" for step in (0.25, 0.5, 1, 2, 4))
    sheet.warn(
        "exposure-not-tested",
        f"no meter reads {sort} light and no exposure has been tried",
        f"shoot a wedge of {tried} s and print it before the pass",
        at="wedge",
    )


def check_lamps(sheet: Worksheet) -> None:
    """Sum of the lamps' watts, for the electrician who decides."""
    facts = sheet.element.facts
    lamps, watts = facts.number("lamps"), facts.number("watts")
    if lamps is None or watts is None:
        return
    total = sheet.reckon(
        "load of the lamps", lamps.value * watts.value, "W", "lamps x watts", lamps, watts
    )
    if "electricity" not in facts.words("hazards"):
        sheet.remark(
            "lamps-not-in-hazards",
            f"its lamps draw {total.value:,.0f} W together",
            "write electricity under hazards: a licensed electrician decides on load and earthing",
            at="hazards",
        )
