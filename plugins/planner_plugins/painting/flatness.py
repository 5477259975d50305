"""Whether flat paint survives the camera's travel.

Takes the depths painted and the travel, gives the slide in pixels, the flat layers it asks for, and
findings. A turn of the camera about its pupil slides nothing. Knows nothing of boards or hours.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.craft import paint, perspective
from planner_plugins.painting import rules

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.kinds.view import View
    from planner.model.quantity import Quantity

MANY_LAYERS = 6
"""Beyond about this many a model is the cheaper way; common practice, no source."""


def check_flatness(sheet: Worksheet, view: View) -> int:
    """Layers it is painted on, after comparing them with those the travel asks for."""
    facts = sheet.element.facts
    layers = max(round(facts.amount("layers", 1)), 1)
    travel = _travel(sheet)
    if travel is None or travel.value == 0:
        return layers
    near, far = facts.number("nearest"), facts.number("farthest")
    focal = view.focal_px()
    if near is None or focal is None or near.value <= 0:
        sheet.miss("nearest", rests="whether its flatness shows under the camera's travel")
        return layers
    far_m = far.value / 1000 if far is not None and far.value > 0 else float("inf")
    near_m, shift_m = near.value / 1000, abs(travel.value) / 1000
    inputs = tuple(each for each in (travel, near, far, focal) if each is not None)
    slide = sheet.reckon(
        "slide of near against far",
        perspective.parallax_px(focal.value, shift_m, near_m, far_m),
        "px",
        "focal length in pixels x travel x (1 / nearest - 1 / farthest)",
        *inputs,
    )
    allowed = sheet.rule(rules.SLIDE)[0]
    wanted = paint.flat_layers(focal.value, shift_m, near_m, far_m, max(allowed.value, 1e-3))
    needed = sheet.reckon(
        "flat layers needed",
        wanted,
        "1",
        "slide / twice the slide allowed, rounded up",
        slide,
        allowed,
    )
    if layers < needed.value:
        _tell(sheet, slide, layers, wanted)
    return layers


def _travel(sheet: Worksheet) -> Quantity | None:
    """The element's own travel, else that of the move it repeats."""
    source = sheet.context.target("move_from")
    return sheet.element.facts.number("travel") or (
        source.facts.number("travel") if source else None
    )


def _tell(sheet: Worksheet, slide: Quantity, layers: int, wanted: int) -> None:
    remedy = f"paint it on {wanted} layers, or hold the camera to a pan about its pupil"
    if wanted > MANY_LAYERS:
        remedy = "build it as a model, project it on shapes, or hold the camera to a pan"
    on = "one flat board" if layers == 1 else f"{layers} flat layers"
    sheet.warn(
        "painting-shows-parallax",
        f"the travel slides near against far by {slide.value:.1f} px and it is painted on {on};"
        f" {wanted} would hide it",
        remedy,
        at="travel",
    )
