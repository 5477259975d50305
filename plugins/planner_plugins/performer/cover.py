"""Whether what replaces a performer covers them.

Takes the frames it shows on, its size, and what takes its place, gives the frames left bare and
findings in pixels. Knows nothing of hours.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds.view import view_of
from planner.model.names import noun
from planner.model.quantity import Quantity, Standing
from planner_plugins.performer import rules

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.model.facts import FrameRange
    from planner.model.show import Element


def check_cover(sheet: Worksheet, shows: FrameRange | None, frames: Quantity) -> float:
    """Frames on which it shows and nothing is there to cover it."""
    covers = sheet.context.targets("replaced_by")
    for each in covers:
        _compare_sizes(sheet, each)
    if not covers:
        return frames.value
    if shows is None:
        return 0.0
    bare = _bare(sheet, shows, covers)
    if bare:
        names = " and ".join(each.id for each in covers)
        sheet.warn(
            "performer-shows-alone",
            f"it shows on {shows} and {names} covers it on {shows.count - bare} of those"
            f" {shows.count} frames: it stands bare on {bare}",
            f"let {names} in on {shows}, or allow for painting {bare} {noun(bare, 'frame')}",
            at="replaced_by",
        )
    return float(bare)


def _bare(sheet: Worksheet, shows: FrameRange, covers: tuple[Element, ...]) -> int:
    shot = sheet.context.shot
    cut = shot.cut if shot else None
    there = [each.facts.frames("in_frame") or cut or shows for each in covers]
    covered = {
        frame
        for span in there
        if (common := span.overlap(shows))
        for frame in range(common.first, common.last + 1)
    }
    return shows.count - len(covered)


def _compare_sizes(sheet: Worksheet, cover: Element) -> None:
    """Heights of both as the picture shows them, where it stands nearest."""
    own = sheet.element.facts.number("height") or sheet.rule(rules.HEIGHT)[0]
    other = _height_of(sheet, cover)
    if other is None or own.value <= 0:
        return
    spare = sheet.rule(rules.COVERS)[0]
    ratio = sheet.reckon(
        "size of what covers it over its own",
        other.value / own.value,
        "1",
        "height of the replacement in the picture's world / its own, at one place",
        other,
        own,
    )
    if ratio.value >= spare.value:
        return
    sheet.warn(
        "replacement-too-small",
        f"{cover.id} stands {other.value / 1000:.2f} m high in the picture and it"
        f" {own.value / 1000:.2f} m{_in_pixels(sheet, other, own)}: its edge shows round it",
        f"make {cover.id} {own.value * spare.value / 1000:.2f} m high or higher, put it nearer the"
        f" lens by {(1 - ratio.value / spare.value) * 100:.0f} %, or paint the rest out",
        at="replaced_by",
    )


def _height_of(sheet: Worksheet, cover: Element) -> Quantity | None:
    """Full-size height of the replacement: its build's, else its extent's, else as stated of it."""
    build = sheet.context.show.elements.get(cover.target("build"))
    for facts, name in (
        (build.facts if build else None, "full_size"),
        (cover.facts, "extent"),
    ):
        found = facts.group(name).number("height") if facts else None
        if found is not None:
            return found
    return cover.facts.number("height")


def _in_pixels(sheet: Worksheet, other: Quantity, own: Quantity) -> str:
    distance = sheet.element.facts.number("distance")
    if distance is None:
        sheet.miss("distance", rests="how many pixels it covers")
        return ""
    view = view_of(sheet, rests="how many pixels it covers")
    try:
        sizes = view.pixels_of(other, distance), view.pixels_of(own, distance)
    except ValueError as cause:
        sheet.error("performer-inside-lens", str(cause), "move it away", at="distance")
        return ""
    if sizes[0] is None or sizes[1] is None:
        return ""
    px = sheet.note(
        Quantity(
            "size on screen",
            sizes[1].value,
            "px",
            Standing.RECKONED,
            reason="height / field width x image width",
            inputs=(own, distance),
        )
    )
    return f" ({sizes[0].value:.0f} px against {px.value:.0f} px)"
