"""Room round the lens: close focus, what touches first, how low it goes, and the screen behind.

Takes a set-up and the rigs and cameras that may carry the lens, gives findings and limits on the
scale. Knows nothing of stages, stops or film.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.craft import optics, window
from planner.kinds.sentences import built_larger
from planner.model.quantity import Quantity
from planner.model.ratio import in_ratio

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.kinds.floor import SetUp
    from planner.kinds.view import View
    from planner.kinds.worksheet import Worksheet
    from planner.model.show import Resource


def check_lens(
    sheet: Worksheet, set_up: SetUp, rigs: Sequence[str], cameras: Sequence[str]
) -> None:
    """Close focus, room before the lens and its lowest height, on the rigs and cameras named.

    How low it comes is the rig's to say, where one carries the camera and says it.
    """
    nearest = sheet.positive(sheet.element.facts.number("nearest"), "nearest")
    if nearest is not None:
        _check_close_focus(sheet, set_up, nearest)
        _check_nose(sheet, set_up, nearest, (*rigs, *cameras))
    height = sheet.element.facts.number("camera_height") or sheet.context.look_up("height")
    if height is not None and set_up.grounded:
        lowest = _least(sheet, rigs, "lowest_lens") or _least(sheet, cameras, "lowest_lens")
        if lowest is not None:
            _check_height(sheet, set_up, height, lowest)


def rigs_with_room(sheet: Worksheet, set_up: SetUp, rigs: Sequence[str]) -> tuple[str, ...]:
    """Rigs that come low enough, and near enough without touching; all of them where none does.

    Where none does, `check_lens` says what the best of them lacks.
    """
    facts = sheet.element.facts
    height = facts.number("camera_height") or sheet.context.look_up("height")
    rooms = [(facts.number("nearest"), "lens_to_body")]
    rooms += [(height, "lowest_lens")] if set_up.grounded else []
    good = (each for each in rigs if all(_has_room(sheet, set_up, each, room) for room in rooms))
    return tuple(good) or tuple(rigs)


def _has_room(sheet: Worksheet, set_up: SetUp, rig: str, room: tuple[Quantity | None, str]) -> bool:
    """Whether a length of the picture, built, is no less than a rig's own; so where one lacks."""
    length, name = room
    least = _least(sheet, (rig,), name)
    if length is None or least is None or length.value <= 0 or least.value <= 0:
        return True
    return length.value / set_up.subject.scale.value >= least.value


def _check_close_focus(sheet: Worksheet, set_up: SetUp, nearest: Quantity) -> None:
    view, n = set_up.view, set_up.subject.scale.value
    close = view.lens.facts.number("close_focus") if view.lens else None
    if close is None or view.focal is None:
        return
    try:
        from_lens = optics.subject_from_film_plane_m(view.focal.value, close.value / 1000)
    except ValueError:
        return  # the mark is nearer than any lens of that focal length can focus: not a mark
    limit = Quantity(
        "close focus",
        nearest.value / 1000 / from_lens,
        "1:N",
        reason=f"{nearest.value / 1000:g} m in the picture, {from_lens:.3g} m before the lens",
        inputs=(nearest, close),
    )
    _at_most(sheet, set_up, limit, "a lens that focuses closer")
    if n > limit.value:
        sheet.error(
            "inside-close-focus",
            f"at {in_ratio(n)} the nearest thing is {nearest.value / n:.0f} mm away and the"
            f" {view.focal.value:g} mm lens focuses from {from_lens * 1000:.0f} mm",
            _larger(set_up, limit, "fit a close-up lens or extension"),
            at="nearest",
        )


def _check_nose(
    sheet: Worksheet, set_up: SetUp, nearest: Quantity, carriers: Sequence[str]
) -> None:
    nose = _least(sheet, carriers, "lens_to_body")
    if nose is None or nose.value <= 0:
        return
    n = set_up.subject.scale.value
    limit = Quantity(
        "room before the lens",
        window.highest_by_clearance(nearest.value, nose.value),
        "1:N",
        reason="nearest thing / entrance pupil to what touches first",
        inputs=(nearest, nose),
    )
    _at_most(sheet, set_up, limit, "a slimmer head or a snorkel")
    if n > limit.value:
        sheet.error(
            "lens-touches",
            f"at {in_ratio(n)} the nearest thing is {nearest.value / n:.0f} mm from the entrance"
            " pupil"
            f" and the rig touches at {nose.value:.0f} mm",
            _larger(set_up, limit, "take a slimmer head"),
            at="nearest",
        )


def _check_height(sheet: Worksheet, set_up: SetUp, height: Quantity, lowest: Quantity) -> None:
    if lowest.value <= 0 or height.value <= 0:
        return
    n = set_up.subject.scale.value
    limit = Quantity(
        "lowest lens",
        window.highest_by_camera_height(height.value, lowest.value),
        "1:N",
        reason="camera height / lowest the lens can be brought",
        inputs=(height, lowest),
    )
    _at_most(sheet, set_up, limit, "a rig that brings the lens lower, or a pit in the table")
    if n > limit.value:
        sheet.error(
            "lens-cannot-go-low-enough",
            f"at {in_ratio(n)} the lens must be {height.value / n:.0f} mm above the ground and"
            f" comes down to {lowest.value:.0f} mm",
            _larger(set_up, limit, "cut a pit, or use a snorkel or mirror"),
            at="camera_height",
        )


def _larger(set_up: SetUp, limit: Quantity, otherwise: str) -> str:
    return built_larger(limit.value, otherwise, is_built=bool(set_up.subject.build))


def _least(sheet: Worksheet, carriers: Sequence[str], name: str) -> Quantity | None:
    found = [
        q
        for each in carriers
        if (resource := sheet.context.resource(each)) and (q := resource.facts.number(name))
    ]
    return min(found, key=lambda each: each.value, default=None)


def _at_most(sheet: Worksheet, set_up: SetUp, limit: Quantity, relax: str) -> None:
    if limit.value > 0:
        set_up.subject.bound_scale(sheet, limit, relax)


def check_screen(sheet: Worksheet, view: View) -> Resource | None:
    """The screen named, after comparing it with the field at its distance."""
    screen = sheet.context.resource(sheet.element.facts.word("screen"))
    if screen is None:
        return None
    distance = sheet.element.facts.number("screen_distance")
    if distance is None:
        sheet.miss("screen_distance", rests="whether the screen fills the field")
        return screen
    try:
        fields = (view.field_width(distance), view.field_height(distance))
    except ValueError as cause:
        sheet.error("screen-inside-lens", str(cause), "move the screen away", at="screen_distance")
        return screen
    for side, field in zip(("width", "height"), fields, strict=True):
        room = screen.facts.number(side)
        if field is not None and room is not None and min(field.value, room.value) > 0:
            _compare(sheet, view, screen, (side, field, room, distance))
    return screen


def _compare(
    sheet: Worksheet,
    view: View,
    screen: Resource,
    compared: tuple[str, Quantity, Quantity, Quantity],
) -> None:
    side, field, room, distance = compared
    margin = sheet.reckon(
        f"screen {side} to spare",
        room.value - field.value,
        "mm",
        f"{side} of the screen - field {side} at its distance",
        room,
        field,
    )
    if margin.value >= 0 or view.focal is None:
        return
    nearer = distance.value * room.value / field.value
    longer = view.focal.value * field.value / room.value
    sheet.error(
        f"screen-too-{'small' if side == 'width' else 'low'}",
        f"the field is {field.value / 1000:.2f} m {_across(side)} at {distance.value / 1000:.3g} m"
        f" and {screen.title} is {room.value / 1000:.2f} m: {-margin.value / 1000:.2f} m short",
        f"bring it to {math.floor(nearer / 10) / 100:g} m or nearer, use a lens of"
        f" {math.ceil(longer)} mm or longer, or hang a larger screen",
        at="screen",
    )


def _across(side: str) -> str:
    return "wide" if side == "width" else "high"
