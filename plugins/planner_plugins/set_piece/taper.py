"""A set squeezed in depth: where to build, how large, and how far the camera may stray.

Takes the depths it is built true to, reads as and is built at, gives the local scale, sizes and
limits of movement. Knows nothing of stage work.

Source of the law: geometry (points keep their rays from one pupil; straight lines stay straight).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.craft.perspective import ForcedPerspective
from planner_plugins.set_piece import rules

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.kinds.view import View
    from planner.model.quantity import Quantity


def build_taper(sheet: Worksheet, view: View) -> None:
    """Sizes of the taper, and findings about camera, people and lines."""
    found = [
        sheet.ask(name, rests="local scale, sizes and the move the taper allows")
        for name in ("true_depth", "apparent_far", "built_far")
    ]
    true, apparent, built = found
    if true is None or apparent is None or built is None:
        return
    try:
        taper = ForcedPerspective(true.value / 1000, apparent.value / 1000, built.value / 1000)
    except ValueError as cause:
        sheet.error(
            "taper-impossible",
            str(cause),
            "build its far end beyond the true part and no farther than it reads",
            at="built_far",
        )
        return
    inputs = (true, apparent, built)
    far = _scale_at(sheet, taper, inputs)
    _vanishing(sheet, taper, inputs)
    _rise(sheet, taper, far)
    for piece in sheet.element.facts.groups("pieces"):
        name, depth = piece.word("name"), piece.number("apparent")
        if depth is not None and depth.value > 0:
            _piece(sheet, taper, name, (depth, piece.number("height")))
    _check_camera(sheet, view, taper, apparent)
    _check_people(sheet, taper)
    if sheet.element.facts.flag("level_lines"):
        sheet.warn(
            "level-lines-cross-taper",
            f"level lines run into a taper whose floor rises, its far end being {far.value:.2g} of"
            " full size: water and rails stay level whatever is built round them",
            "break the lines where the taper begins, cover them, or paint them on",
            at="level_lines",
        )


def _scale_at(sheet: Worksheet, taper: ForcedPerspective, inputs: tuple[Quantity, ...]) -> Quantity:
    return sheet.reckon(
        "size at the far end",
        taper.size_ratio(taper.apparent_far_m),
        "1",
        "depth it is built at / depth it reads as; every length there is that part of full size",
        *inputs,
    )


def _vanishing(sheet: Worksheet, taper: ForcedPerspective, inputs: tuple[Quantity, ...]) -> None:
    if taper.built_far_m < taper.apparent_far_m:
        sheet.reckon(
            "vanishing depth",
            taper.vanishing_m * 1000,
            "mm",
            "depth at which what runs on for ever would be built",
            *inputs,
        )


def _rise(sheet: Worksheet, taper: ForcedPerspective, far: Quantity) -> None:
    height = sheet.element.facts.number("drawn_for") or _height(sheet)
    if height is None:
        sheet.miss("camera_height", rests="how far the floor of the taper rises")
        return
    sheet.reckon(
        "rise of the floor at the far end",
        taper.floor_rise_m(taper.apparent_far_m, height.value / 1000) * 1000,
        "mm",
        "lens height x (1 - size there)",
        height,
        far,
    )


def _height(sheet: Worksheet) -> Quantity | None:
    return sheet.element.facts.number("camera_height") or sheet.context.look_up("height")


def _piece(
    sheet: Worksheet,
    taper: ForcedPerspective,
    name: str,
    sizes: tuple[Quantity, Quantity | None],
) -> None:
    depth, height = sizes
    place = sheet.reckon(
        f"{name}: depth to build it at",
        taper.built_m(depth.value / 1000) * 1000,
        "mm",
        "1 / (alpha / depth it reads as + beta)",
        depth,
    )
    if height is not None:
        sheet.reckon(
            f"{name}: height to build",
            height.value * place.value / depth.value,
            "mm",
            "height it reads as x depth built / depth it reads as",
            height,
            place,
            depth,
        )


def _check_camera(
    sheet: Worksheet, view: View, taper: ForcedPerspective, apparent: Quantity
) -> None:
    """What a move, or another lens height than the taper was drawn for, makes the far end do."""
    focal = view.focal_px()
    if focal is None:
        return
    allowed = sheet.rule(rules.SLIDE)[0]
    per_metre = taper.shift_error_px(focal.value, 1.0, taper.apparent_far_m)
    if per_metre <= 0:
        return
    room = sheet.reckon(
        "move the taper allows",
        allowed.value / per_metre * 1000,
        "mm",
        "pixels it may slide / (focal length in pixels x |1 / built - 1 / apparent|)",
        allowed,
        focal,
        apparent,
    )
    travel = sheet.element.facts.number("travel")
    if travel is not None and travel.value > room.value:
        sheet.warn(
            "move-past-taper",
            f"the camera travels {travel.value / 1000:.3g} m and its far end slides"
            f" {per_metre * travel.value / 1000:.1f} px from where it should be;"
            f" {allowed.value:g} px pass unseen",
            f"hold the move to {room.value:.0f} mm, pan about the entrance pupil instead, or build"
            " it deeper",
            at="travel",
        )
    _check_height(sheet, per_metre, room)


def _check_height(sheet: Worksheet, per_metre: float, room: Quantity) -> None:
    drawn, lens = sheet.element.facts.number("drawn_for"), _height(sheet)
    if drawn is None or lens is None:
        return
    off = abs(lens.value - drawn.value)
    if off <= room.value:
        return
    sheet.warn(
        "lens-height-not-drawn-for",
        f"the taper was drawn for a lens {drawn.value / 1000:.3g} m high and it stands at"
        f" {lens.value / 1000:.3g} m: its far end is {per_metre * off / 1000:.1f} px out",
        f"bring the lens to within {room.value:.0f} mm of {drawn.value / 1000:.3g} m, or draw the"
        " taper again",
        at="drawn_for",
    )


def _check_people(sheet: Worksheet, taper: ForcedPerspective) -> None:
    deepest = sheet.positive(sheet.element.facts.number("people_to"), "people_to")
    if deepest is None or deepest.value / 1000 <= taper.true_m:
        return
    allowed = sheet.rule(rules.FIGURE)[0]
    too_large = 1 / taper.size_ratio(deepest.value / 1000) - 1
    if too_large <= allowed.value:
        return
    sheet.warn(
        "people-cross-taper",
        f"people act to where it reads as {deepest.value / 1000:.3g} m deep and look"
        f" {too_large * 100:.0f} % too large there",
        f"keep them within {taper.true_m:.3g} m, where it is built true, or put small people there",
        at="people_to",
    )
