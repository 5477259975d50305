"""Where a shadow falls, how large and how soft, and how much mirror a reflection needs.

Takes the lamp, the caster and the receiver as the element states them, in the caster's own size,
gives lengths and findings. Knows nothing of hours or film.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.craft.shadow import Lamp, Plane, Point, Shadow, cast, incidence_deg, reflection_place

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.model.facts import Facts
    from planner.model.quantity import Quantity

UP: Point = (0.0, 1.0, 0.0)
GROUND = Plane((0.0, 0.0, 0.0), UP)


def check_receiver(sheet: Worksheet) -> None:
    """Tell a receiver nobody has measured."""
    if sheet.element.facts.flag("receiver_measured"):
        return
    receiver = sheet.element.target("falls_on") or "what it falls on"
    sheet.warn(
        "receiver-not-measured",
        f"the surface of {receiver} has not been measured: where it bends the shadow is a guess",
        "measure its planes and steps before its set is struck, and write receiver_measured: true",
        at="receiver_measured",
    )


def plot_shadow(sheet: Worksheet) -> None:
    """Length on level ground, size and soft edge on the receiver."""
    facts = sheet.element.facts
    lamp = facts.group("lamp")
    high, away, size = (lamp.number(name) for name in ("height", "distance", "size"))
    _bearing(sheet, lamp)
    if high is None or away is None:
        sheet.warn(
            "lamp-place-unknown",
            "nothing says where the lamp or sun stood: neither length nor direction of the shadow"
            " is known",
            "plot the lamp's height and its level distance from the caster, from the plate's plan"
            " of sun or lamps",
            at="lamp",
        )
        sheet.miss("lamp", rests="length, size and softness of the shadow")
        return
    sheet.reckon(
        "height angle of the lamp",
        math.degrees(math.atan2(high.value, away.value)),
        "deg",
        "arctan of lamp height / level distance, seen from the caster's foot",
        high,
        away,
    )
    if size is None:
        sheet.miss("lamp size", rests="how soft the shadow's edge is")
    caster = sheet.ask("caster_height", rests="length of the shadow")
    if caster is None:
        return
    inputs = (high, away, caster)
    _on_ground(sheet, inputs, size)
    receiver = facts.number("receiver_distance")
    if receiver is not None:
        _on_receiver(sheet, inputs, size, receiver)


def _bearing(sheet: Worksheet, lamp: Facts) -> None:
    """Which way from the caster the lamp stands: as stated, else as the key light comes."""
    shot = sheet.context.shot
    levels = (sheet.element.facts, *((shot.facts,) if shot else ()))
    key = next((q for each in levels if (q := each.group("key_light").number("from"))), None)
    stated = lamp.number("from")
    known = stated or key
    if known is not None:
        reason = "as stated of the lamp" if stated else "that of the key light"
        sheet.reckon("bearing of the lamp", known.value % 360, "deg", reason, known)


def _on_ground(
    sheet: Worksheet, inputs: tuple[Quantity, Quantity, Quantity], size: Quantity | None
) -> None:
    high, _away, caster = inputs
    if high.value <= caster.value:
        sheet.warn(
            "shadow-never-lands",
            f"the lamp is {high.value / 1000:g} m high and the caster {caster.value / 1000:g} m:"
            " on level ground the shadow of its top never lands",
            f"raise the lamp above {caster.value / 1000:g} m, or let the shadow fall on something"
            " upright",
            at="lamp",
        )
        return
    found = _cast(sheet, inputs, size, GROUND)
    if found is None:
        return
    sheet.reckon(
        "length of the shadow on level ground",
        found.place[0] * 1000,
        "mm",
        "caster height x lamp distance / (lamp height - caster height)",
        *inputs,
    )
    if size is not None and not sheet.element.facts.has("receiver_distance"):
        _soft(sheet, found, size)


def _on_receiver(
    sheet: Worksheet,
    inputs: tuple[Quantity, Quantity, Quantity],
    size: Quantity | None,
    receiver: Quantity,
) -> None:
    upright = Plane((receiver.value / 1000, 0.0, 0.0), (-1.0, 0.0, 0.0))
    found = _cast(sheet, inputs, size, upright)
    if found is None:
        return
    high, away, caster = inputs
    sheet.reckon(
        "enlargement of the shadow",
        found.size_ratio,
        "1",
        "(lamp to caster + caster to receiver) / lamp to caster",
        away,
        receiver,
    )
    # Its foot is thrown below the floor: up to the receiver it lies along it, and only then climbs.
    top = found.place[1] * 1000
    seen = sheet.reckon(
        "shadow seen on the receiver",
        max(top, 0.0),
        "mm",
        "from the floor up to the ray from lamp over caster; none where that is below the floor",
        *inputs,
        receiver,
    )
    falls = high.value - caster.value
    along = caster.value * away.value / falls if top <= 0 < falls else receiver.value
    sheet.reckon(
        "shadow on the floor before the receiver",
        along,
        "mm",
        "caster to receiver, where it climbs; else its length on level ground",
        *inputs,
        receiver,
        seen,
    )
    if size is not None:
        _soft(sheet, found, size)


def _soft(sheet: Worksheet, found: Shadow, size: Quantity) -> None:
    sheet.reckon(
        "soft edge of the shadow",
        found.penumbra_m * 1000,
        "mm",
        "lamp size x caster to receiver / lamp to caster, across the ray",
        size,
    )


def _cast(
    sheet: Worksheet,
    inputs: tuple[Quantity, Quantity, Quantity],
    size: Quantity | None,
    surface: Plane,
) -> Shadow | None:
    high, away, caster = (each.value / 1000 for each in inputs)
    try:
        lamp = Lamp((-away, high, 0.0), size.value / 1000 if size else 0.0)
        return cast(lamp, (0.0, caster, 0.0), surface)
    except ValueError as cause:
        sheet.error(
            "shadow-impossible",
            f"no shadow can be cast as stated: {cause}",
            "correct the places of lamp, caster and receiver",
            at="lamp",
        )
        return None


def plot_reflection(sheet: Worksheet, scale: Quantity) -> None:
    """How much mirror, toward the camera, shows the whole caster, in the caster's own size.

    Args:
        sheet: of the reflection.
        scale: N of the caster; the camera's height and distance are the picture's and shrink by it.
    """
    caster = sheet.ask("caster_height", rests="how much mirror the reflection needs")
    height = sheet.ask("height", rests="how much mirror the reflection needs")
    distance = _distance(sheet)
    if caster is None or height is None or distance is None or scale.value <= 0:
        return
    inputs = (distance, height, caster, scale)
    per_metre = 1000 * scale.value
    eye = (distance.value / per_metre, height.value / per_metre, 0.0)
    top = (0.0, caster.value / 1000, 0.0)
    try:
        spot = reflection_place(eye, top, GROUND)
    except ValueError as cause:
        sheet.error(
            "reflection-impossible",
            f"the lens sees no reflection as stated: {cause}",
            "correct the heights of lens and caster above the mirror",
            at="caster_height",
        )
        return
    sheet.reckon(
        "mirror needed toward the camera",
        spot[0] * 1000,
        "mm",
        "camera distance x caster height / (camera height + caster height), all at 1/N",
        *inputs,
    )
    flat = 90 - incidence_deg(eye, spot, GROUND)
    reason = "the ray's fall onto the mirror; the flatter, the more water and mud reflect"
    sheet.reckon("angle off the mirror's face", flat, "deg", reason, *inputs)


def _distance(sheet: Worksheet) -> Quantity | None:
    """Lens to caster in the picture's world: the caster's nearest, else the focus."""
    caster = sheet.context.target("shadow_of")
    known = caster.facts.number("nearest") if caster else None
    return known or sheet.ask("focus", rests="how much mirror the reflection needs")
