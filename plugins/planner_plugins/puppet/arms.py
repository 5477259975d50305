"""What arms can hold: mass, length of a take, handling in a day.

Takes a figure's build, scale and takes, gives quantities, a limit on its scale, and findings. Knows
nothing of cameras or stages.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.craft import scale, window
from planner.model.quantity import Quantity
from planner.model.ratio import in_ratio, in_ratio_within
from planner_plugins.puppet import rules

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.kinds.subject import Subject
    from planner.kinds.takes import Takes

HELD_SORTS = frozenset({"", "rod", "hand"})
CUBE = "square-cube law"


def check_arms(
    sheet: Worksheet, subject: Subject, takes: Takes, pace: Quantity, operators: Quantity
) -> None:
    """Mass against what rods or arms bear, take against the longest, day against the limit."""
    is_held = sheet.element.facts.word("sort") in HELD_SORTS
    _check_mass(sheet, subject, operators, is_held=is_held)
    if is_held:
        _check_take(sheet, takes)
        _check_day(sheet, takes, pace)


def _check_mass(sheet: Worksheet, subject: Subject, operators: Quantity, *, is_held: bool) -> None:
    build = sheet.context.target("build")
    if build is None or not subject.build:
        return
    known = build.facts.number("mass")
    at = build.facts.number("mass_at") or build.facts.number("scale")
    if known is None or at is None or min(known.value, at.value, subject.scale.value) <= 0:
        sheet.miss("build.mass", rests="whether arms and rods bear it, and its smallest scale")
        return
    n = subject.scale.value
    mass = sheet.reckon(
        "mass",
        scale.mass_at_height_kg(known.value, 1 / at.value, 1 / n),
        "kg",
        "mass found x (N it was found at / N) cubed",
        known,
        at,
        subject.scale,
        source=CUBE,
    )
    most = _most_mass(sheet, build.facts.number("most_mass"), operators, is_held=is_held)
    if most is None or most.value <= 0:
        return
    limit = Quantity(
        "mass on its rods",
        window.lowest_by_mass(1.0, 1 / at.value, known.value, most.value),
        "1:N",
        reason="N it was found at x cube root of (mass found / most borne)",
        source=CUBE,
        inputs=(known, at, most),
    )
    relax = "a lighter build or a counterweight"
    subject.bound_scale(sheet, limit, relax, at_least=True)
    if mass.value > most.value * (1 + 1e-9):
        sheet.warn(
            "too-heavy-to-hold",
            f"at {in_ratio(n)} it weighs {mass.value:.3g} kg and {most.value:.3g} kg can be borne",
            f"build at {in_ratio_within(limit.value, at_least=True)} or smaller, lighten it, or"
            " hang it on a counterweight",
            at="build",
        )


def _most_mass(
    sheet: Worksheet, stated: Quantity | None, operators: Quantity, *, is_held: bool
) -> Quantity | None:
    if stated is not None or not is_held:
        return stated
    each = sheet.rule(rules.HELD_MASS)[0]
    value = each.value * operators.value
    return sheet.reckon(
        "mass arms hold", value, "kg", "a pair of arms x operators", each, operators
    )


def _check_take(sheet: Worksheet, takes: Takes) -> None:
    longest = sheet.element.facts.number("longest_take") or sheet.rule(rules.LONGEST_TAKE)[0]
    if takes.pass_time.value > longest.value:
        sheet.warn(
            "take-longer-than-arms",
            f"a take runs {takes.pass_time.value:.0f} s and arms hold it {longest.value:.0f} s",
            "split the action, rest the figure on a stand, or shoot at a higher rate",
            at="longest_take",
        )


def _check_day(sheet: Worksheet, takes: Takes, pace: Quantity) -> None:
    """Minutes of handling on the worst day: all takes, or as many as the day and the pace allow."""
    day_hours = Quantity(
        "working day", sheet.context.show.calendar.day_hours, "h", reason="calendar"
    )
    round_trip = takes.pass_time.value * takes.passes.value + pace.value
    in_a_day = day_hours.value * 3600 / round_trip if round_trip > 0 else 0.0
    worked = min(takes.takes.value, in_a_day) * takes.pass_time.value * takes.passes.value / 60
    minutes = sheet.reckon(
        "handling in a day",
        worked,
        "min",
        "takes that fit the day at its pace x passes x pass time",
        takes.takes,
        takes.passes,
        takes.pass_time,
        pace,
        day_hours,
    )
    most = sheet.rule(rules.HANDLING)[0]
    if minutes.value > most.value:
        sheet.warn(
            "handling-past-limit",
            f"the figure is held {minutes.value:.0f} minutes in a day and arms bear"
            f" {most.value:.0f}",
            f"spread the takes over {math.ceil(minutes.value / most.value)} days, or bring a second"
            " team",
            at="takes",
        )
