"""Flame, smoke, water, debris or dust photographed alone, to be added to a picture.

Takes what it is, the scale it must read at, its length and its front, gives the rate, the film of
its takes and of the wedge before them, the stage work, and what will not look right. Knows nothing
of how it is joined. It computes no charge, no load and no safe distance: licensed people decide.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.craft import scale as scaling
from planner.kinds import DOOR, Charge, Phase, Worksheet, packaged_schema
from planner.kinds.flame import check_flame
from planner.kinds.floor import SetUp
from planner.kinds.rate import shooting_rate
from planner.kinds.shoot import Shoot, photograph
from planner.kinds.stops import expose, magnification
from planner.kinds.stretches import Hands, Stretch, heads
from planner.kinds.subject import Subject, subject_of
from planner.kinds.takes import Takes, reckon_takes, with_run, with_tried
from planner.kinds.view import View, view_of
from planner.model.quantity import Quantity
from planner.model.ratio import in_ratio
from planner_plugins.effect import rules
from planner_plugins.effect.findings import find_troubles
from planner_plugins.effect.wedge import (
    Rolled,
    frames_of_action,
    frames_of_run,
    longest_run,
    try_rates,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Context, Estimate

_NO_DEPTH = Subject(Quantity("scale", 1.0, "1:N", reason="no depth of its own to match"))
"""Stands for its scale where only softness is asked for."""


class Effect:
    """The kind ``effect``."""

    name = "effect"
    door = DOOR
    section = "elements"

    def schema(self) -> Mapping[str, object]:
        """JSON Schema of one effect."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """Rate, film, stage work and findings of one effect."""
        sheet = Worksheet(context)
        view = view_of(sheet)
        subject = _subject(sheet)
        # Flame and smoke have no depth to match, and the picture's own stop will do, unless so much
        # of the picture's world is to be held.
        # It stands as near as it is made small, and is magnified by that.
        near = magnification(sheet, view, subject)
        lit = context.element.facts.word("sort") != "flame"
        depth = subject if context.element.facts.has("holds") else _NO_DEPTH
        exposed = expose(sheet, view, depth, near, lit=lit)
        rate = shooting_rate(sheet, view, subject, exposed, "gravity")
        _front(sheet, subject)
        takes = _takes(sheet, view, _rolled(sheet, rate, subject))
        check_flame(sheet)
        find_troubles(sheet, subject, takes)
        feet = longest_run(takes)
        _photograph(sheet, SetUp(view, subject, rate, gravity=True, pass_feet=feet), takes)
        materials = sheet.element.facts.money("materials")
        if materials is not None:
            one = Quantity("lots of materials", 1, "1", reason="a sum stated outright")
            sheet.buy(Charge("materials", "", one, Phase.STAGE, materials))
        return sheet.estimate()


def _subject(sheet: Worksheet) -> Subject:
    """N it must read at: from its own two sizes, else what it stands for, else its scale."""
    facts = sheet.element.facts
    size, appears = facts.number("size"), facts.number("appears")
    if size is not None and appears is not None and min(size.value, appears.value) > 0:
        n = sheet.reckon(
            "scale",
            max(appears.value / size.value, 1.0),
            "1:N",
            "height it is to have / height it is made, at least 1",
            appears,
            size,
        )
        _compare(sheet, n)
        return Subject(n)
    stands_for = sheet.positive(facts.number("stands_for"), "stands_for")
    return Subject(stands_for) if stands_for is not None else subject_of(sheet)


def _compare(sheet: Worksheet, reckoned: Quantity) -> None:
    stated = sheet.element.facts.number("stands_for") or sheet.context.scale()
    if stated is None or stated.value <= 0 or 0.8 <= stated.value / reckoned.value <= 1.25:
        return
    sheet.warn(
        "effect-size-and-scale-differ",
        f"its two heights make it {in_ratio(reckoned.value, 3)} and {in_ratio(stated.value)} is"
        " stated: the rate"
        f" would be {math.sqrt(stated.value / reckoned.value):.2g} times what its size asks",
        f"make it so high that it reads at {in_ratio(stated.value)}, or go by its heights",
        at="size",
    )


def _front(sheet: Worksheet, subject: Subject) -> None:
    """Speed of the front of flame, water or dust on the stage."""
    speed = sheet.element.facts.number("speed")
    if speed is None:
        return
    n = max(subject.scale.value, 1.0)
    sheet.reckon(
        "speed of the front on the stage",
        scaling.gravity_speed_mps(speed.value / 1000, n) * 1000,
        "mm/s",
        "speed in the picture / sqrt N",
        speed,
        subject.scale,
        source="equal Froude numbers",
    )


def _takes(sheet: Worksheet, view: View, rolled: Rolled) -> Takes:
    """Takes that run from the run-up to the end of the action, after the wedge."""
    takes = reckon_takes(sheet, view, rolled.rate, 1, rules.TAKES)
    acted = frames_of_action(rolled, rolled.rate)
    if acted is None:
        sheet.miss("event", rests="film of a take, which then covers the cut only")
    else:
        sheet.note(acted)
    run = sheet.note(frames_of_run(rolled, takes.frames, rolled.rate))
    takes = with_run(sheet, view, takes, run)
    tried = try_rates(sheet, view, takes, rolled)
    return with_tried(sheet, takes, tried) if tried is not None else takes


def _rolled(sheet: Worksheet, rate: Quantity, subject: Subject) -> Rolled:
    facts = sheet.element.facts
    run_up = facts.number("run_up") or sheet.rule(rules.RUN_UP)[0]
    event, action = facts.number("event"), None
    if event is not None:
        seconds = scaling.stage_seconds(event.value, max(subject.scale.value, 1.0))
        reason = "story time / sqrt N"
        inputs = (event, subject.scale)
        action = Quantity("event on the stage", seconds, "s", reason=reason, inputs=inputs)
    return Rolled(subject.scale, rate, run_up, sheet.rule(rules.RUN_OUT)[0], action)


def _photograph(sheet: Worksheet, set_up: SetUp, takes: Takes) -> None:
    facts = sheet.element.facts
    hands = heads(sheet, rules.HANDS)
    rig = sheet.effort("rig the effect", (rules.RIG[facts.word("sort", "flame")], 1))
    hang = sheet.effort("set up", (rules.SET_UP, 1))
    photograph(
        sheet,
        Shoot(
            set_up=set_up,
            takes=takes,
            reset=facts.number("reset") or sheet.rule(rules.RESET)[0],
            before=(
                Stretch("set up", "stage", hang, 3),
                Stretch("rig the effect", "effects", rig, hands),
            ),
            beside=(Hands("stand by with the effect", "effects", hands),),
        ),
    )
