"""A camera found from surveyed points and the pixels they were seen at.

Takes the sightings stated and the lens, gives where the camera stood and looked, each number with
the spread its clicks leave, and what is wrong with the sightings. Points are measured to the right,
up and forward from wherever the survey began; pixels from the top left of the finished frame.
Knows nothing of models: what repeats the move brings the numbers and their spread down to scale.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.craft import survey
from planner.model.names import counted, noun
from planner.model.quantity import Quantity, Standing
from planner_plugins.camera_move import rules

if TYPE_CHECKING:
    from planner.craft.survey import Pose, Resection, Sighting
    from planner.kinds import Worksheet
    from planner.kinds.view import View
    from planner.model.facts import Facts

LEAST = 4
LEAST_WITHOUT_LENS = 6
STRAY = 3.0
"""Clicks by which sightings may miss before one of them must be wrong."""
FAR_OFF_PX = 50.0
"""A misfit that tells of a search gone astray rather than of bad clicks."""
METHOD = "least squares of the pixels; spread from the inverse of J'J"


def resect_sightings(sheet: Worksheet, view: View) -> Quantity | None:
    """Find the camera; its distance from the middle of the points, None where it is not found."""
    groups = sheet.element.facts.groups("sightings")
    if not groups:
        return None
    sightings = [each for group in groups if (each := _sighting(group)) is not None]
    if len(sightings) < len(groups):
        sheet.error(
            "sighting-incomplete",
            f"{len(groups) - len(sightings)} of {len(groups)} sightings lack a place or a pixel",
            "give each three lengths under `at` and two numbers under `pixel`",
            at="sightings",
        )
    needed = LEAST if view.focal else LEAST_WITHOUT_LENS
    if len(sightings) < needed:
        lens = "" if view.focal else " without a known lens"
        sheet.warn(
            "too-few-sightings",
            f"{len(sightings)} {noun(len(sightings), 'sighting does', 'sightings do')} not fix"
            f" a camera{lens}; {needed} do",
            f"click {counted(needed - len(sightings), 'more surveyed point')}, off the plane of the"
            " others",
            at="sightings",
        )
        return None
    return _resect(sheet, view, sightings)


def _sighting(group: Facts) -> Sighting | None:
    at, pixel = group.numbers("at"), group.numbers("pixel")
    if len(at) != 3 or len(pixel) != 2:
        return None
    x, y, z = (each.value / 1000 for each in at)
    return survey.Sighting((x, y, z), (pixel[0].value, pixel[1].value))


def _resect(sheet: Worksheet, view: View, sightings: list[Sighting]) -> Quantity | None:
    click = sheet.rule(rules.CLICK)[0]
    frame = _frame(view)
    try:
        found = _search(sheet, frame, sightings, click.value, seek_focal=view.focal is None)
    except ValueError as cause:
        sheet.error(
            "sightings-do-not-fix",
            f"no camera follows from its {len(sightings)} sightings: {cause}",
            "survey points spread over the picture and in depth",
            at="sightings",
        )
        return None
    _note_pose(sheet, found, click)
    if view.focal is None:
        _note_focal(sheet, view, found, click)
    _check_misfit(sheet, frame, found, (sightings, click))
    return _distance(sheet, found, sightings, click)


def _frame(view: View) -> survey.View:
    """The frame in pixels; the search for a lens begins at one as long as the frame is wide."""
    focal = view.focal_px()
    width = view.image.value
    return survey.View(
        focal.value if focal else width, width, width * view.height.value / view.width.value
    )


def _search(
    sheet: Worksheet,
    frame: survey.View,
    sightings: list[Sighting],
    click_px: float,
    *,
    seek_focal: bool,
) -> Resection:
    """From the stated distance where there is one; all round the points where that leads astray."""
    start = _start(sheet, sightings)
    if start is not None:
        found = survey.resect(frame, sightings, start, click_px=click_px, seek_focal=seek_focal)
        if found.residual_px < FAR_OFF_PX:
            return found
    return survey.resect(frame, sightings, click_px=click_px, seek_focal=seek_focal)


def _start(sheet: Worksheet, sightings: list[Sighting]) -> Pose | None:
    """Level with the middle of the points, and so far behind it, looking forward."""
    distance = sheet.element.facts.number("distance")
    if distance is None or distance.value <= 0:
        return None
    x, y, z = _middle(sightings)
    return survey.Pose(x, y, z - distance.value / 1000)


def _middle(sightings: list[Sighting]) -> tuple[float, float, float]:
    x, y, z = (
        math.fsum(axis) / len(sightings)
        for axis in zip(*(each.point_m for each in sightings), strict=True)
    )
    return x, y, z


def _note_pose(sheet: Worksheet, found: Resection, click: Quantity) -> None:
    numbers = zip(found.pose.numbers(), found.spread, strict=False)
    for name, (value, spread) in zip(rules.POSE, numbers, strict=True):
        unit, size = ("deg", 1.0) if name in rules.TURNS else ("mm", 1000.0)
        sheet.note(_found(name, value * size, unit, spread * size, click))


def _note_focal(sheet: Worksheet, view: View, found: Resection, click: Quantity) -> None:
    size = view.width.value / view.image.value
    focal = _found("focal length found", found.focal_px * size, "mm", found.spread[6] * size, click)
    sheet.note(focal)


def _found(name: str, value: float, unit: str, spread: float, click: Quantity) -> Quantity:
    return Quantity(
        name, value, unit, Standing.RECONSTRUCTED, spread=spread, reason=METHOD, inputs=(click,)
    )


def _distance(
    sheet: Worksheet, found: Resection, sightings: list[Sighting], click: Quantity
) -> Quantity:
    """From the pupil to the middle of the points; its spread along that line."""
    pose = found.pose
    away = [a - b for a, b in zip((pose.x_m, pose.y_m, pose.z_m), _middle(sightings), strict=True)]
    metres = math.hypot(*away)
    along = [each / metres for each in away] if metres else [0.0, 0.0, 0.0]
    variance = sum(
        along[i] * sum(found.covariance[i][j] * along[j] for j in range(3)) for i in range(3)
    )
    spread = math.sqrt(max(variance, 0.0))
    name = "distance of the camera"
    return sheet.note(_found(name, metres * 1000, "mm", spread * 1000, click))


def _check_misfit(
    sheet: Worksheet,
    frame: survey.View,
    found: Resection,
    clicked: tuple[list[Sighting], Quantity],
) -> None:
    """Name the sighting that fits worst where they do not agree."""
    sightings, click = clicked
    reason = "root mean square of seen - reckoned pixels"
    sheet.reckon("misfit of the sightings", found.residual_px, "px", reason, click)
    if found.residual_px <= STRAY * click.value:
        return
    seen = survey.View(found.focal_px, frame.width_px, frame.height_px)
    errors = [_miss_px(found.pose, seen, each) for each in sightings]
    worst = max(range(len(errors)), key=lambda index: errors[index])
    whole = [each for each in sheet.element.facts.groups("sightings") if _sighting(each)]
    name = whole[worst].word("name") or f"number {worst + 1}"
    sheet.warn(
        "sightings-disagree",
        f"the sightings miss one another by {found.residual_px:.1f} px where a click is good to"
        f" {click.value:g} px; {name} misses most, by {errors[worst]:.0f} px",
        f"measure and click {name} again, or leave it out",
        at="sightings",
    )


def _miss_px(pose: Pose, view: survey.View, sighting: Sighting) -> float:
    try:
        return math.dist(survey.project(pose, view, sighting.point_m), sighting.pixel)
    except ValueError:  # behind the camera that was found: off by all there is
        return math.hypot(view.width_px, view.height_px)
