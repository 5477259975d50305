"""A camera worked out from its picture.

Takes surveyed points with their pixels (see `resection`), else one known size and its image, and
the lens, gives the distance with its spread, the hours it takes and what is wanting. Knows nothing
of rigs and of recorded moves.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.craft import optics
from planner.kinds import Phase, Work
from planner.kinds.takes import frames_wanted
from planner.model.names import noun
from planner.model.quantity import Quantity, Standing
from planner_plugins.camera_move import rules
from planner_plugins.camera_move.resection import resect_sightings

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.kinds.view import View

AGREES_WITHIN = 2.0
"""Spreads by which a stated distance may differ from the one a known size gives."""


def reconstruct(sheet: Worksheet, view: View) -> None:
    """Distance, hours and findings of a reconstructed camera."""
    found = resect_sightings(sheet, view)
    if view.focal is None and found is None:
        sheet.warn(
            "lens-not-known",
            "the camera is to be reconstructed and nobody knows its lens: distance and angle of"
            " view cannot be told apart",
            "read the lens from the plate's report, or survey more points so that it can be"
            " sought too",
            at="focal_length",
        )
    has_points = found is not None or _check_points(sheet)
    by_size = found or _distance_by_size(sheet, view)
    distance = sheet.element.facts.number("distance")
    if distance is not None and by_size is not None:
        _compare(sheet, distance, by_size)
    known = distance or by_size
    if has_points and found is None and known is not None:
        _spread_by_points(sheet, known)
    if not has_points and known is None:
        sheet.warn(
            "no-known-size",
            "fewer than six usable points were surveyed and nothing in the picture is of known"
            " size: how far the camera stood cannot be told",
            "measure one thing seen in the picture before its set is struck, and its size on the"
            " frame",
            at="known_size",
        )
    _work(sheet, has_points=has_points)


def _check_points(sheet: Worksheet) -> bool:
    """Whether the surveyed points fix the camera; tells why they do not."""
    points = sheet.element.facts.number("points")
    if points is None or points.value == 0:
        return False
    if points.value < rules.POINTS_NEEDED:
        more = rules.POINTS_NEEDED - points.value
        sheet.warn(
            "too-few-points",
            f"{points.value:g} {noun(points.value, 'point was', 'points were')} surveyed and"
            " six are wanted to start a solution",
            f"survey {more:g} more, off the plane of the others, before the set is struck",
            at="points",
        )
        return False
    if sheet.element.facts.flag("planar"):
        sheet.warn(
            "points-on-one-plane",
            f"all {points.value:g} points lie in one plane: they fix the camera badly",
            "survey two or more points well in front of or behind it",
            at="points",
        )
        return False
    return True


def _distance_by_size(sheet: Worksheet, view: View) -> Quantity | None:
    facts = sheet.element.facts
    size, image = facts.number("known_size"), facts.number("image_size")
    if size is None or image is None or view.focal is None:
        return None
    try:
        metres = optics.subject_from_image_m(view.focal.value, size.value / 1000, image.value)
    except ValueError as cause:
        sheet.error("known-size-impossible", str(cause), "correct the sizes", at="known_size")
        return None
    distance = Quantity(
        "distance of the camera",
        metres * 1000,
        "mm",
        Standing.RECONSTRUCTED,
        spread=metres * 1000 * _share_open(sheet, size, image),
        reason="focal length x (1 + known size / its size on the frame)",
        source="thin lens",
        inputs=(view.focal, size, image),
    )
    _mind_tilt(sheet)
    return sheet.note(distance)


def _share_open(sheet: Worksheet, size: Quantity, image: Quantity) -> float:
    """Spread of the distance over itself: of size, reading and lens, as independent errors."""
    reading = image.spread if image.spread is not None else sheet.rule(rules.READING)[0].value
    lens = sheet.rule(rules.LENS_MARK)[0].value
    return math.hypot((size.spread or 0.0) / size.value, reading / image.value, lens)


def _mind_tilt(sheet: Worksheet) -> None:
    tilt = sheet.context.look_up("tilt")
    if tilt is None or tilt.value == 0:
        return
    short = (1 - math.cos(math.radians(tilt.value))) * 100
    sheet.remark(
        "known-size-in-tilted-view",
        f"the view is tilted {tilt.value:g} deg: an upright size reads {short:.1f} % short and the"
        " camera seems that much farther",
        "use a size that faces the lens, or allow for the tilt",
        at="known_size",
    )


def _compare(sheet: Worksheet, stated: Quantity, found: Quantity) -> None:
    spread = math.hypot(found.spread or 0.0, stated.spread or 0.0)
    apart = abs(stated.value - found.value)
    if apart <= AGREES_WITHIN * spread:
        return
    sheet.warn(
        "distances-disagree",
        f"{stated.value / 1000:.2f} m is stated and the picture gives"
        f" {found.value / 1000:.2f} m, give or take {spread / 1000:.2f} m",
        "check the lens and what was measured in the picture; one is not what is written",
        at="distance",
    )


def _spread_by_points(sheet: Worksheet, distance: Quantity) -> None:
    share = sheet.rule(rules.POINT_SPREAD)[0]
    value = distance.value * share.value
    reason = "distance x share that points leave open"
    sheet.reckon("spread of the camera's place", value, "mm", reason, distance, share)


def _work(sheet: Worksheet, *, has_points: bool) -> None:
    travel = sheet.element.facts.number("travel")
    if travel is not None and travel.value == 0:
        frames = Quantity("frames", 1, reason="the camera stands still")
    else:
        frames = frames_wanted(sheet)
    rule = rules.BY_POINTS if has_points else rules.BY_SIZE
    effort = sheet.effort("reconstruct the camera", (rules.BEGIN, 1), (rule, frames))
    name = "reconstruct the camera"
    sheet.do(Work(name, "computer", Phase.PREPARE, effort.hours, effort.reason))
