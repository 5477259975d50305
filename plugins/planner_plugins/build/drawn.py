"""What says how a build looks: its drawing, what was altered since, its samples, its family.

Takes what is stated of the build and of others it is a size of, gives sizes at scale, differences,
proportions, and findings where they contradict. Knows nothing of hours or of shots.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner_plugins.build import rules
from planner_plugins.build.size import scales

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.model.facts import Facts
    from planner.model.quantity import Quantity
    from planner.model.show import Element

SIDES = ("width", "depth", "height")
LOOKS = {"paint": "family-paint-differs", "marks": "family-marks-differs"}


def check_drawn(sheet: Worksheet) -> None:
    """Everything about its shape."""
    _sizes(sheet)
    for each in sheet.element.facts.groups("as_built"):
        _altered(sheet, each)
    _samples(sheet)
    other = sheet.context.target("size_of")
    if other is not None:
        _family(sheet, other)


def _sizes(sheet: Worksheet) -> None:
    """Sides on the drawing, at the scale it is made."""
    n = scales(sheet)[0]
    for side in SIDES:
        full = sheet.element.facts.group("full_size").number(side)
        if full is not None and n.value > 1:
            sheet.reckon(f"{side} at scale", full.value / n.value, "mm", f"{side} / N", full, n)


def _altered(sheet: Worksheet, change: Facts) -> None:
    what, drawn, built = change.word("what"), change.number("drawn"), change.number("built")
    by = ""
    if drawn is not None and built is not None:
        n = scales(sheet)[0]
        off = sheet.reckon(
            f"{what}: built over drawn, at scale",
            (built.value - drawn.value) / n.value,
            "mm",
            "(as built - as drawn) / N",
            built,
            drawn,
            n,
        )
        more = "larger" if off.value >= 0 else "smaller"
        by = f" by {abs(built.value - drawn.value):.0f} mm, {abs(off.value):.1f} mm {more} at scale"
    day, drawing = change.day("on"), sheet.element.facts.day("drawing_on")
    if day is not None and drawing is not None and day <= drawing:
        return
    when = f" on {day}" if day else ""
    of = f" of {drawing}" if drawing else ""
    sheet.warn(
        "altered-after-drawing",
        f"{what} was altered{when}{by}, and the drawing{of} does not show it",
        "have the drawing revised and give what is built from it the new revision",
        at="as_built",
    )


def _samples(sheet: Worksheet) -> None:
    facts = sheet.element.facts
    samples = facts.groups("samples")
    for each in samples:
        width, height = each.number("width"), each.number("height")
        if width is not None and height is not None and width.value > 0:
            sheet.reckon(
                f"{each.word('name')}: height over width",
                height.value / width.value,
                "1",
                "height / width of the sample",
                height,
                width,
            )
    chosen, names = facts.word("sample"), [each.word("name") for each in samples]
    if samples and chosen and chosen not in names:
        sheet.warn(
            "sample-not-shown",
            f"the sample chosen is {chosen} and the samples shown are {', '.join(names)}",
            "name the one that was chosen, or list it",
            at="sample",
        )


def _family(sheet: Worksheet, other: Element) -> None:
    """One thing at two sizes: measures, paint and marks alike."""
    mine, its = sheet.element.facts, other.facts
    for side, sizes in _same_measures(sheet, other).items():
        _compare(sheet, other, side, sizes)
    _ratio(sheet, other)
    for name, code in LOOKS.items():
        one_word, other_word = mine.word(name), its.word(name)
        if one_word and other_word and one_word != other_word:
            sheet.warn(
                code,
                f"its {name} are {one_word} and those of {other.id}, the same thing at another"
                f" size, {other_word}",
                f"match it to {other.id} side by side, by the lamps of the stage",
                at=name,
            )
        elif not one_word:
            sheet.miss(name, rests=f"whether it matches {other.id}")


def _same_measures(sheet: Worksheet, other: Element) -> dict[str, tuple[Quantity, Quantity]]:
    """Sides both state; none where one is far from the other's, as those of a part are."""
    mine, its = (each.facts.group("full_size") for each in (sheet.element, other))
    found = {
        side: (one, two)
        for side in SIDES
        if (one := mine.number(side))
        and (two := its.number(side))
        and min(one.value, two.value) > 0
    }
    part = 1 + sheet.rule(rules.PART)[0].value
    is_part = any(not 1 / part <= one.value / two.value <= part for one, two in found.values())
    return {} if is_part else found


def _ratio(sheet: Worksheet, other: Element) -> None:
    its = other.facts.number("scale")
    n = scales(sheet)[0]
    if its is not None and min(its.value, n.value) > 0:
        sheet.reckon(f"size beside {other.id}", its.value / n.value, "1", "its N / N", its, n)


def _compare(sheet: Worksheet, other: Element, side: str, sizes: tuple[Quantity, Quantity]) -> None:
    one, two = sizes
    off = sheet.reckon(
        f"{side} over that of {other.id}",
        one.value / two.value,
        "1",
        "full size / full size of the other",
        one,
        two,
    )
    allowed = sheet.rule(rules.FAMILY)[0]
    if abs(off.value - 1) > allowed.value:
        sheet.warn(
            "family-size-differs",
            f"it stands for something {one.value / 1000:.4g} m in {side} and {other.id}, the same"
            f" thing at another size, for {two.value / 1000:.4g} m:"
            f" {abs(off.value - 1) * 100:.1f} % apart",
            "make both from one full-size measure",
            at="full_size",
        )
