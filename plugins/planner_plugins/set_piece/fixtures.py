"""Shapes that stand for something else, and what is left out.

Takes fixtures, plain shapes and what was decided not to be built, gives sizes on the stage and
findings. Knows nothing of tapers or of stage work.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.model.quantity import Quantity, Standing

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.kinds.subject import Subject
    from planner.model.facts import Facts

CAST = frozenset({"shadow_of", "falls_on"})


def check_shapes(sheet: Worksheet) -> None:
    """Plain shapes are there to catch a shadow or stop a figure, and not to be seen."""
    facts = sheet.element.facts
    for name, remedy in (
        ("lit", "light only what falls on it"),
        ("dressed", "leave it plain"),
    ):
        if facts.flag(name):
            sheet.warn(
                f"shapes-only-{name}",
                f"it is of shapes only and is to be {name}: hours spent on what is never seen",
                f"{remedy}, or make it a set to be seen (sort: full_size)",
                at=name,
            )


def check_fixtures(sheet: Worksheet, subject: Subject) -> int:
    """How many fixtures there are; each is placed at scale and judged."""
    fixtures = sheet.element.facts.groups("fixtures")
    for each in fixtures:
        _place(sheet, each, subject)
        _judge(sheet, each)
    return len(fixtures)


def _place(sheet: Worksheet, fixture: Facts, subject: Subject) -> None:
    n = max(subject.scale.value, 1.0)
    for side in ("distance", "width", "height"):
        full = fixture.number(side)
        if full is not None:
            sheet.reckon(
                f"{fixture.word('name')}: {side} on the stage",
                full.value / n,
                "mm",
                f"{side} in the picture's world / N",
                full,
                subject.scale,
            )


def _judge(sheet: Worksheet, fixture: Facts) -> None:
    name = fixture.word("name")
    if not fixture.word("plane_of"):
        sheet.warn(
            "fixture-of-nothing",
            f"nothing says which plane of which set the fixture {name} stands for",
            "write it under plane_of, so that it can be placed and measured",
            at="fixtures",
        )
    if not fixture.flag("measured"):
        sheet.warn(
            "fixture-not-measured",
            f"the plane of {fixture.word('plane_of') or name} has not been measured: what touches"
            " the fixture would float or sink in the picture",
            "measure its place and tilt on the set while that stands, and write measured: true",
            at="fixtures",
        )
    if fixture.flag("shades_screen"):
        wild = fixture.flag("wild")
        sheet.warn(
            "fixture-shades-screen",
            f"the fixture {name} throws its shadow on the screen behind",
            "take it out for the frames nothing touches it, it is wild"
            if wild
            else "move screen or lamp, make it lower, or make it wild",
            at="fixtures",
        )


def check_left_out(sheet: Worksheet) -> None:
    """A shadow or reflection is expected from, or on, what was decided not to be built."""
    left_out = sheet.element.facts.group("left_out")
    what = left_out.word("what")
    if not what:
        return
    saves = left_out.money("saves")
    if saves is not None:
        said = f"{what}, not built"
        sheet.note(
            Quantity(
                "saved by leaving it out",
                float(saves.amount),
                saves.currency,
                Standing.GIVEN,
                reason=said,
            )
        )
    if not left_out.word("by"):
        sheet.remark(
            "left-out-by-nobody",
            f"{what} was left out and nobody is named who decided it",
            "write who, under left_out",
            at="left_out",
        )
    shadows = [
        each.id
        for each in sheet.context.users(*CAST)
        if sheet.context.show.is_live(each) and each.facts.word("sort") == "photographed"
    ]
    if shadows:
        sheet.warn(
            "shadow-of-what-is-not-there",
            f"{' and '.join(shadows)} is to be photographed from or on it, and {what} is left out",
            f"put plain shapes in the place of {what}, or have the shadow drawn",
            at="left_out",
        )
