"""Whether flat paint survives the camera's travel.

Takes the depths painted and the travel, gives the slide and the growth in pixels, the flat layers
it asks for, and findings. A turn of the camera about its pupil slides nothing, and what it travels
along its axis slides nothing sideways: that makes near things grow. Knows nothing of boards or
hours.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.craft import paint, perspective, survey
from planner.kinds.move import CARRYING, move_of, seen_part
from planner_plugins.painting import rules

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from planner.kinds import Worksheet
    from planner.kinds.view import View
    from planner.model.quantity import Quantity

AHEAD = "travel along the axis"
_FROM_START = "farthest from where the move begins, by the lens's axis there"
MANY_LAYERS = 6
"""Beyond about this many a model is the cheaper way; common practice, no source."""


def check_flatness(sheet: Worksheet, view: View) -> int:
    """Layers it is painted on, after comparing them with those the travel asks for."""
    facts = sheet.element.facts
    _check_growth(sheet, view)
    _check_haze(sheet)
    layers = max(round(facts.amount("layers", 1)), 1)
    travel = _across(sheet)
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


def _across(sheet: Worksheet) -> Quantity | None:
    """Travel square to the lens's axis: its own as stated, else of the move it repeats.

    Of a move with no file only the whole travel is known, and what is stated as the approach goes
    along the axis.
    """
    stated = sheet.element.facts.number("travel")
    if stated is not None:
        return stated
    path = _path(sheet)
    if path:
        across = max(math.hypot(right, up) for right, up, _ahead in path)
        return sheet.reckon("travel across the axis", across * 1000, "mm", _FROM_START)
    source = sheet.context.target("move_from")
    whole = source.facts.number("travel") if source else None
    ahead = sheet.element.facts.number("approach")
    if whole is None or ahead is None:
        return whole
    return sheet.reckon(
        "travel across the axis",
        math.sqrt(max(whole.value**2 - ahead.value**2, 0.0)),
        "mm",
        "root of (travel squared - approach squared)",
        whole,
        ahead,
    )


def _ahead(sheet: Worksheet) -> Quantity | None:
    """Travel toward it: as stated, else along the lens's axis of the move it repeats."""
    stated, path = sheet.element.facts.number("approach"), _path(sheet)
    if stated is not None or not path:
        return stated
    ahead = max((ahead for _right, _up, ahead in path), key=abs)
    return sheet.reckon(AHEAD, ahead * 1000, "mm", _FROM_START)


def _path(sheet: Worksheet) -> tuple[survey.Point, ...]:
    """Places of the lens on the frames it is seen, right, up and ahead of the first, metres.

    Empty where no file holds the move, or it only turns.
    """
    move = move_of(sheet)
    if move is None:
        return ()
    axes = {name: axis.values for name, axis in seen_part(sheet, move).axes.items() if axis.values}
    if not axes.keys() & {name for names in CARRYING for name in names}:
        return ()
    pan, tilt = (axes.get(name, (0.0,))[0] for name in ("pan", "tilt"))
    at_first = survey.Pose(0.0, 0.0, 0.0, pan_deg=pan, tilt_deg=tilt)
    right, up, ahead = (
        tuple(each / 1000 for each in _from_first(axes, names)) for names in CARRYING
    )
    count = max(map(len, axes.values()))
    steps = (tuple(each[n] if each else 0.0 for each in (right, up, ahead)) for n in range(count))
    return tuple(survey.camera_point(at_first, (x, y, z)) for x, y, z in steps)


def _from_first(axes: Mapping[str, Sequence[float]], names: Sequence[str]) -> tuple[float, ...]:
    """How far the first axis of those names has carried the lens on each frame, mm."""
    values = next((axes[name] for name in names if name in axes), ())
    return tuple(each - values[0] for each in values)


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


def _check_growth(sheet: Worksheet, view: View) -> None:
    """What lies near grows faster than what lies far as the camera comes on; paint grows alike."""
    facts = sheet.element.facts
    approach, (near, far) = _ahead(sheet), map(facts.number, ("nearest", "farthest"))
    if approach is None or approach.value == 0:
        return
    if near is None:
        sheet.miss("nearest", rests="whether its flatness shows as the camera comes nearer")
        return
    edge, forward = view.image.value / 2, approach.value / 1000
    try:
        grown = paint.dolly_growth_px(edge, near.value / 1000, forward)
        behind = paint.dolly_growth_px(edge, far.value / 1000, forward) if far else 0.0
    except ValueError as cause:
        sheet.error("camera-reaches-painting", str(cause), "hold the camera back", at="approach")
        return
    inputs = tuple(each for each in (view.image, approach, near, far) if each is not None)
    growth = sheet.reckon(
        "growth of near over far",
        abs(grown - behind),
        "px",
        "half the image width x (z / (z - approach) - 1), of the nearest less of the farthest",
        *inputs,
    )
    allowed = sheet.rule(rules.SLIDE)[0]
    if growth.value > allowed.value:
        within = abs(approach.value) * allowed.value / growth.value
        sheet.warn(
            "painting-shows-growth",
            f"the camera comes {forward:.3g} m nearer: at the edge of the frame near things should"
            f" grow {growth.value:.1f} px more than far ones, and paint grows alike",
            f"hold the camera to about {within / 1000:.2g} m, or paint near and far on layers of"
            " their own",
            at="approach",
        )


def _check_haze(sheet: Worksheet) -> None:
    if sheet.element.facts.flag("moving_haze") and sheet.element.facts.amount("layers", 1) < 2:
        sheet.warn(
            "moving-haze-over-flat",
            "haze is to move among what is painted, and on one flat board it can only move before"
            " all of it",
            "paint near and far on 2 layers and join the haze between, or build it as a model",
            at="moving_haze",
        )
