"""What goes wrong with effects beside room, rate and light.

Takes the scale and the takes, gives findings and cautions. Knows nothing of stage work.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.kinds.subject import hazards_of
from planner.model.ratio import in_ratio
from planner_plugins.effect import rules

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.kinds.subject import Subject
    from planner.kinds.takes import Takes

DOES_NOT_SCALE = {
    "flame": "the height and flicker of flame",
    "smoke": "the curl of smoke",
    "water": "drops and foam",
    "dust": "the settling of dust",
}
"""Handbook page on shooting speeds and model size, published weakly."""


def find_troubles(sheet: Worksheet, subject: Subject, takes: Takes) -> None:
    """One take, no run-up, what does not scale, and the ground it is taken against."""
    sort = sheet.element.facts.word("sort")
    if takes.takes.value <= 1:
        usual = sheet.rule(rules.TAKES)[0]
        sheet.warn(
            "one-take-planned",
            f"{takes.takes.value:g} take is planned of what nobody can steer",
            f"allow for {usual.value:g} takes, and load for them before the first",
            at="takes",
        )
    if not sheet.element.facts.has("run_up"):
        _no_run_up(sheet, takes)
    if sort in DOES_NOT_SCALE:
        _does_not_scale(sheet, subject, sort)
    if sort == "flame":
        sheet.remark(
            "flame-lights-itself",
            "flame gives its own light: no light on it exposes it, and no stop follows from one",
            "find the stop by a test before the takes, with the wedge of rates",
            at="light",
        )
    thin = {"smoke", "flame"} & set(hazards_of(sheet))
    if thin and sheet.element.facts.word("backing") == "blue":
        sheet.warn(
            "thin-before-blue",
            f"{sort or 'it'} lets the screen through: what is thin takes its colour and no matte"
            " parts them",
            "shoot it against black and add its light",
            at="backing",
        )


def _no_run_up(sheet: Worksheet, takes: Takes) -> None:
    assumed = sheet.rule(rules.RUN_UP)[0]
    frames = assumed.value * takes.rate.value
    sheet.warn(
        "run-up-missing",
        f"no time is planned for the camera to come up to {takes.rate.value:.4g} fps before the"
        f" cue: the first of the action would be slow and dark",
        f"state `run_up`; {assumed.value:g} s are {frames:.0f} frames,"
        f" {frames / _frames_per_foot(takes):.0f} ft a take",
        at="run_up",
    )


def _frames_per_foot(takes: Takes) -> float:
    """Frames to the foot of the film the takes are on."""
    return (takes.frames.value + takes.run.value) / takes.pass_feet.value


def _does_not_scale(sheet: Worksheet, subject: Subject, sort: str) -> None:
    limit = sheet.rule(rules.FLAME_SCALE)[0]
    n = subject.scale.value
    if n <= limit.value:
        return
    size = sheet.element.facts.number("size")
    larger = (
        f"make it {size.value * n / limit.value / 1000:.2g} m high instead of"
        f" {size.value / 1000:.2g} m"
        if size
        else f"make it {math.ceil(n / limit.value)} times as large"
    )
    sheet.warn(
        "effect-does-not-scale",
        f"{DOES_NOT_SCALE[sort]} do not shrink with it: at {in_ratio(n, 3)} they give it away as"
        f" small (from {in_ratio(limit.value)} on)",
        f"{larger}, or join several smaller ones",
        at="size",
    )
