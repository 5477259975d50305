"""What the floor dials in for one photographed element, beside what its kind reckons.

Takes an element with its estimate, gives the numbers of lens, focus, camera place, move and film
loads on the stage itself. It is asked for one element at a time, when its set-up card is wanted, so
that estimating a whole show stays quick; what does not fit is told by the estimate, not here. Knows
nothing of how a card looks.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.craft import optics, passes
from planner.kinds.axes import note_axes
from planner.kinds.move import is_moving
from planner.kinds.stops import note_light
from planner.kinds.subject import FULL_SIZE
from planner.kinds.takes import MM_PER_FOOT
from planner.kinds.view import view_of
from planner.kinds.worksheet import Worksheet
from planner.model.facts import Facts
from planner.model.quantity import Quantity

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds.context import Context
    from planner.kinds.estimate import Estimate
    from planner.kinds.view import View
    from planner.model.show import Resource, Show

THIN_LENS = "thin lens; its two principal planes taken as one"


@dataclass(frozen=True, slots=True)
class Desk:
    """What the numbers of one element are worked out from.

    Attributes:
        sheet: of the element; what is noted on it is given back, its findings are not.
        view: the camera it is seen by.
        scale: N of 1:N it is made at; 1 for full size.
        kept: numbers its kind keeps, by name.
    """

    sheet: Worksheet
    view: View
    scale: Quantity
    kept: Mapping[str, Quantity]


def is_photographed(estimate: Estimate) -> bool:
    """Whether an element of this estimate stands before a camera."""
    return "pass time" in estimate.quantities


def dial_in(context: Context, estimate: Estimate) -> Mapping[str, Quantity]:
    """Numbers of the set-up that the estimate itself does not keep, by name.

    What cannot be said for want of a fact is left out.

    Args:
        context: of the element.
        estimate: of the same element, from its kind.
    """
    sheet = Worksheet(context)
    view = view_of(sheet)
    kept = estimate.quantities.get("scale")
    scale = kept if kept is not None and kept.value > 0 else FULL_SIZE.scale
    desk = Desk(sheet, view, scale, estimate.quantities)
    for each in (view.shutter, view.image, view.frame_rate, view.width, view.height, view.focal):
        if each is not None:
            sheet.note(each)
    if context.element.facts.number("tightest") or context.element.facts.number("widest"):
        _board(desk)
    else:
        _lens(desk)
        _focus(desk)
        _place(desk)
    _stop(desk)
    _exposure(desk)
    note_axes(sheet, view, scale, estimate.quantities["rate"])
    _film(desk, _first_named(context, estimate, "camera"))
    return MappingProxyType(dict(sheet.quantities))


def _first_named(context: Context, estimate: Estimate, sort: str) -> Resource | None:
    """The first thing of a sort that would do for the element's work; None where none is named."""
    options = (n.options for work in estimate.work for n in work.needs if n.sort == sort)
    best = next((each[0] for each in options if each), "")
    return context.resource(best)


def _lens(desk: Desk) -> None:
    """The picture's lens carried over to this frame, beside the lens used or the nearest owned."""
    sheet, view = desk.sheet, desk.view
    picture = _picture(sheet.context)
    taking = picture.focal or view.focal
    if taking is None or taking.value <= 0:
        return
    wanted = _equivalent(sheet, view, picture, taking)
    owned = view.lens or (
        None if view.focal is None else nearest_owned(sheet.context.show, wanted.value)
    )
    has = owned.facts.number("focal_length") if owned else None
    if owned is None or has is None or has.value <= 0:
        return
    sheet.note(replace(has, name="focal length of the lens owned"))
    sheet.reckon(
        "error of the field",
        (wanted.value / has.value - 1) * 100,
        "%",
        f"equivalent / {owned.id} - 1; above nought it sees more than the picture's lens",
        wanted,
        has,
    )


def _picture(context: Context) -> View:
    """The camera of the picture itself: what the shot and the show state, not the element."""
    bare = replace(context.element, facts=Facts(context.element.place))
    return view_of(Worksheet(replace(context, element=bare)))


def _equivalent(sheet: Worksheet, view: View, picture: View, taking: Quantity) -> Quantity:
    """Focal length that sees on this frame what the picture's lens sees on its own, mm."""
    frame = picture.width if picture.focal is not None else view.width
    ratio = optics.equivalent_focal_mm(1.0, frame.value, view.width.value)
    return sheet.note(
        Quantity(
            "equivalent focal length",
            taking.value * ratio,
            "mm",
            spread=None if taking.spread is None else taking.spread * ratio,
            reason="the picture's focal length x this frame's width / the picture's",
            source="equal angles of view across the frame",
            inputs=(taking, view.width, frame),
        )
    )


def nearest_owned(show: Show, focal_mm: float) -> Resource | None:
    """The lens in resources.yaml nearest a focal length, as a ratio; None where there is none."""
    lenses = show.resources_of("lens")
    known = {each.id: each.facts.amount("focal_length", 0.0) for each in lenses}
    sound = [each for each in lenses if known[each.id] > 0]
    return min(sound, key=lambda each: abs(math.log(known[each.id] / focal_mm)), default=None)


def _to_screen(desk: Desk, focus: Quantity) -> None:
    """How far behind what is in focus the screen hangs; nothing where it would hang before it."""
    screen = desk.sheet.element.facts.number("screen_distance")
    if screen is not None and screen.value > focus.value:
        away = screen.value - focus.value
        reason = "lens to screen - lens to focus, on the stage"
        desk.sheet.reckon("focus to the screen", away, screen.unit, reason, screen, focus)


def _focus(desk: Desk) -> None:
    """Focus full size and on the stage, from the lens and from the film plane."""
    focal, from_lens = desk.view.focal, _from_lens(desk)
    if focal is None or from_lens is None:
        return
    on_stage = _shrunk(desk, "focus on the stage, from the lens", from_lens)
    _to_screen(desk, on_stage)
    _from_film(desk.sheet, "focus full size, from the film plane", from_lens, focal)
    _from_film(desk.sheet, "focus on the stage, from the film plane", on_stage, focal)
    try:
        field = desk.view.field_width(on_stage)
    except ValueError:
        return
    if field is not None:
        desk.sheet.note(replace(field, name="field width at the focus"))


def _from_lens(desk: Desk) -> Quantity | None:
    """Full-size distance of focus from the lens: what is held, else as stated, else the nearest."""
    sheet, focal = desk.sheet, desk.view.focal
    name = "focus full size, from the lens"
    holds = sheet.element.facts.group("holds")
    near, far = holds.number("from"), holds.number("to")
    try:
        if near is not None and far is not None:
            value = optics.holding_focus_m(near.value / 1000, far.value / 1000) * 1000
            reason = "2 x near x far / (near + far), which holds both ends alike"
            return sheet.reckon(name, value, "mm", reason, near, far, source="thin lens")
        focus = sheet.context.look_up("focus")
        if focus is not None and focal is not None:
            value = optics.subject_from_film_plane_m(focal.value, focus.value / 1000) * 1000
            reason = "distance stated from the film plane, carried to the lens"
            return sheet.reckon(name, value, "mm", reason, focus, focal, source=THIN_LENS)
    except ValueError:
        return None
    facts = sheet.element.facts
    played = facts.group("field").number("distance")
    if played is not None:
        return sheet.reckon(name, played.value, "mm", "where the subject plays", played)
    nearest = facts.number("nearest")
    if nearest is None:
        return None
    return sheet.reckon(name, nearest.value, "mm", "the nearest thing; no focus is stated", nearest)


def _from_film(sheet: Worksheet, name: str, from_lens: Quantity, focal: Quantity) -> None:
    try:
        close = optics.magnification(focal.value, from_lens.value / 1000)
    except ValueError:
        return
    value = optics.film_plane_m(focal.value, close) * 1000
    reason = "focal length x (2 + m + 1/m), m the magnification"
    sheet.reckon(name, value, "mm", reason, from_lens, focal, source=THIN_LENS)


def _shrunk(desk: Desk, name: str, full_size: Quantity) -> Quantity:
    """A length of the picture as it is measured on the stage."""
    value = full_size.value / desk.scale.value
    return desk.sheet.reckon(name, value, "mm", "full size / N", full_size, desk.scale)


def _place(desk: Desk) -> None:
    """Height of the lens, the nearest thing and what is held sharp, as the stage measures them."""
    context, facts = desk.sheet.context, desk.sheet.element.facts
    height = facts.number("camera_height") or context.look_up("height")
    nearest = facts.number("nearest")
    if height is not None:
        _shrunk(desk, "lens above the ground on the stage", height)
    if nearest is not None:
        _shrunk(desk, "nearest thing on the stage, from the lens", nearest)
    for side in ("from", "to"):
        held = facts.group("holds").number(side)
        if held is not None:
            _shrunk(desk, f"sharp {side}, on the stage", held)


def _board(desk: Desk) -> None:
    """Distance of the lens from a painted board at its framings."""
    facts, view = desk.sheet.element.facts, desk.view
    widest = facts.number("widest") or facts.number("width")
    for name, framed in (("widest", widest), ("tightest", facts.number("tightest"))):
        if framed is None or framed.value <= 0 or view.focal is None:
            continue
        metres = optics.subject_from_image_m(
            view.focal.value, framed.value / 1000, view.width.value
        )
        named = f"lens to the board, {name} framing"
        reason = "focal length x (1 + width framed / frame width)"
        away = desk.sheet.reckon(
            named, metres * 1000, "mm", reason, view.focal, framed, view.width, source="thin lens"
        )
        _from_film(desk.sheet, f"film plane to the board, {name} framing", away, view.focal)


def _stop(desk: Desk) -> None:
    stop, lens = desk.kept.get("stop"), desk.view.lens
    ratio = lens.facts.number("transmission") if lens else None
    if stop is None or stop.unit != "f" or ratio is None or ratio.value <= 0:
        return
    value = optics.t_number(stop.value, ratio.value)
    desk.sheet.reckon("T-stop", value, "T", "f-number x transmission", stop, ratio)


def _exposure(desk: Desk) -> None:
    """Exposure a frame has and what it is short of, where its kind did not compare them."""
    rate, wanted = desk.kept["rate"], desk.kept.get("exposure of a frame")
    if rate.value <= 0 or "exposure a frame has" in desk.kept:
        return
    sheet, view = desk.sheet, desk.view
    reason = "share of the frame the shutter is open / rate"
    value = view.open_share / rate.value
    had = sheet.reckon("exposure a frame has", value, "s", reason, view.shutter, rate)
    if wanted is not None and wanted.value > 0:
        note_light(sheet, wanted, had)


def _film(desk: Desk, camera: Resource | None) -> None:
    """Film of a take, takes to a magazine, and the frames of a clean plate."""
    feet, count = desk.kept.get("film of a pass"), desk.kept.get("passes")
    frames = desk.kept.get("frames")
    if feet is not None and count is not None:
        value = feet.value * count.value
        take = desk.sheet.reckon("film of a take", value, "ft", "a pass x passes", feet, count)
        _loads(desk.sheet, take, camera)
    if frames is not None:
        locked = not is_moving(desk.sheet.element)
        reason = "one frame, the camera stands still" if locked else "as many, on the same program"
        clean = passes.pass_frames("clean-plate", round(frames.value), is_locked=locked)
        desk.sheet.reckon("frames of the clean plate", clean, "1", reason, frames)


def _loads(sheet: Worksheet, take: Quantity, camera: Resource | None) -> None:
    magazine = camera.facts.number("magazine") if camera else None
    if magazine is None or take.value <= 0:
        return
    whole = math.floor(magazine.value / MM_PER_FOOT / take.value + 1e-9)
    sheet.reckon(
        "takes to a magazine", whole, "1", "magazine / film of a take, whole takes", magazine, take
    )
