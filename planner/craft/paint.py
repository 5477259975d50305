"""Matte paintings: how fine, how large, and how many flat layers.

Takes frame widths, resolving powers, depths and camera moves, gives marks, sizes and layers.
Resolving powers to plan with: 30 to 40 line pairs a millimetre for a projected frame, a scan's own
limit for a scan (common practice, no source). Knows nothing of painters or of cost.
"""

from __future__ import annotations

import math

from planner.craft import demands, perspective

FINEST_BRUSH_MM = 0.3
"""Finest mark a brush makes; common practice, no source."""
JOIN_TOLERANCE_PX = 0.5
"""Slide allowed where layers meet, up to 1; common practice, no source."""
OPEN_TOLERANCE_PX = 2.0
"""Slide allowed elsewhere; common practice, no source."""


def lines_across(width_mm: float, line_pairs_per_mm: float) -> float:
    """Count of lines a frame width holds at a resolving power: ``2 w R``.

    Args:
        width_mm: frame width on film, millimetres.
        line_pairs_per_mm: resolving power R, line pairs a millimetre.

    Raises:
        ValueError: a number is not above zero.

    Source:
        Definition: a line pair is two lines; dimensionless.
    """
    demands.above_zero(width_mm=width_mm, line_pairs_per_mm=line_pairs_per_mm)
    return 2 * width_mm * line_pairs_per_mm


def finest_mark_mm(framed_mm: float, lines: float) -> float:
    """Finest mark that still shows on a painting framed so wide, millimetres.

    Args:
        framed_mm: width of painting that fills the frame, millimetres.
        lines: lines (or pixels) across the frame.

    Raises:
        ValueError: a number is not above zero.

    Source:
        Width framed over `lines_across`.
    """
    demands.above_zero(framed_mm=framed_mm, lines=lines)
    return framed_mm / lines


def painting_width_mm(lines: float, brush_mm: float = FINEST_BRUSH_MM, pull: float = 1.0) -> float:
    """Width to paint so that the finest brush mark is the finest that shows, millimetres.

    Args:
        lines: lines (or pixels) across the frame.
        brush_mm: finest mark of the brush, millimetres.
        pull: widest framing over tightest, a ratio of at least 1.

    Raises:
        ValueError: a number is not above zero, or the widest framing is tighter than the tightest.

    Source:
        `finest_mark_mm` solved for the width.
    """
    demands.above_zero(lines=lines, brush_mm=brush_mm)
    if not 1 <= pull < math.inf:
        raise ValueError(f"the widest framing is at least the tightest, not {pull:g} times it")
    return brush_mm * lines * pull


def flat_beyond_m(focal_px: float, shift_m: float, tolerance_px: float) -> float:
    """Depth beyond which all may be one flat layer for a sideways move, metres.

    Args:
        focal_px: focal length, pixels.
        shift_m: sideways travel of the pupil, metres.
        tolerance_px: largest slide allowed, pixels.

    Raises:
        ValueError: focal length or tolerance is not above zero, or the shift is negative.

    Source:
        `perspective.parallax_px` solved for the depth, the farther one endless.
    """
    demands.above_zero(focal_px=focal_px, tolerance_px=tolerance_px)
    demands.not_negative(shift_m=shift_m)
    return focal_px * shift_m / tolerance_px


def flat_layers(
    focal_px: float, shift_m: float, near_m: float, far_m: float, tolerance_px: float
) -> int:
    """Count of flat layers a sideways move needs between two depths, equally spaced in 1/depth.

    Args:
        focal_px: focal length, pixels.
        shift_m: sideways travel of the pupil, metres; a turn about the pupil is none.
        near_m: nearest depth, metres.
        far_m: farthest depth, metres; may be infinite.
        tolerance_px: largest slide of anything against the layer it is painted on, pixels.

    Returns:
        ``ceil(f t (1/z1 - 1/z2) / (2 tolerance))``, at least 1. Many layers ask for a model, or
        for the painting to be projected on shapes.

    Raises:
        ValueError: focal length, tolerance or a depth is not above zero.

    Source:
        `perspective.parallax_px` shared among layers equally spaced in 1/depth.
    """
    demands.above_zero(tolerance_px=tolerance_px)
    slide_px = perspective.parallax_px(focal_px, shift_m, near_m, far_m)
    return max(1, math.ceil(slide_px / (2 * tolerance_px)))


def layer_depths_m(near_m: float, far_m: float, layers: int) -> tuple[float, ...]:
    """Depths to hang flat layers at, nearest first, each in the middle of its share of 1/depth.

    Args:
        near_m: nearer depth, metres.
        far_m: farther depth, metres; may be infinite.
        layers: count of layers.

    Raises:
        ValueError: no layers or more than a million, or the depths are not in order ahead of the
            pupil, the nearer one somewhere.

    Source:
        As `flat_layers`.
    """
    demands.worked_out_singly(layers=layers)
    if layers < 1 or not 0 < near_m <= far_m or near_m == math.inf:
        raise ValueError(f"cannot hang {layers} layers between {near_m:g} and {far_m:g} m")
    step = (1 / near_m - 1 / far_m) / layers
    return tuple(1 / (1 / near_m - step * (layer + 0.5)) for layer in range(layers))


def dolly_growth_px(radius_px: float, depth_m: float, forward_m: float) -> float:
    """Outward drift of a picture point when the pupil moves forward, pixels: ``r (z/(z-t) - 1)``.

    Args:
        radius_px: distance of the point from the middle of the frame, pixels.
        depth_m: its depth, metres.
        forward_m: forward travel, metres; negative when pulling back.

    Raises:
        ValueError: the camera would reach or pass the layer.

    Source:
        Similar triangles from two places of the pupil.
    """
    demands.above_zero(depth_m=depth_m)
    if forward_m >= depth_m:
        raise ValueError(f"a camera moving {forward_m:g} m reaches a layer {depth_m:g} m away")
    return radius_px * (depth_m / (depth_m - forward_m) - 1)
