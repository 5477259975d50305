"""Parallax, off-axis pans and forced perspective.

Takes depths in front of the entrance pupil and shifts of it, gives pixels, and where to build what
must line up. Knows nothing of lenses beyond their focal length in pixels (`survey.focal_px`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from planner.craft import demands


def parallax_px(focal_px: float, shift_m: float, near_m: float, far_m: float) -> float:
    """Slide of one depth against another when the pupil shifts sideways, pixels.

    Args:
        focal_px: focal length, pixels.
        shift_m: sideways shift of the entrance pupil, metres.
        near_m: depth of one layer, metres.
        far_m: depth of the other, metres; may be infinite.

    Returns:
        ``f t |1/z1 - 1/z2|``, never negative.

    Raises:
        ValueError: focal length or a depth is not above zero.

    Source:
        Similar triangles: pixels go as shift over depth.
    """
    demands.above_zero(focal_px=focal_px)
    if not (near_m > 0 and far_m > 0):
        raise ValueError(f"depths lie ahead of the pupil, not at {near_m:g} and {far_m:g} m")
    return focal_px * abs(shift_m) * abs(1 / near_m - 1 / far_m)


def allowed_shift_m(focal_px: float, near_m: float, far_m: float, tolerance_px: float) -> float:
    """Sideways shift of the pupil that slides two depths by no more than a tolerance, metres.

    Args:
        focal_px: focal length, pixels.
        near_m: nearer depth, metres.
        far_m: farther depth, metres; may be infinite.
        tolerance_px: largest slide allowed, pixels.

    Returns:
        The shift; infinite when both depths are the same.

    Raises:
        ValueError: focal length, tolerance or a depth is not above zero.

    Source:
        `parallax_px` solved for the shift.
    """
    demands.above_zero(tolerance_px=tolerance_px)
    slide_px_per_m = parallax_px(focal_px, 1.0, near_m, far_m)
    return tolerance_px / slide_px_per_m if slide_px_per_m else math.inf


def pupil_travel_m(offset_m: float, pan_deg: float) -> float:
    """Travel of a pupil mounted off the pan (or tilt) axis, metres: ``2 r sin(theta/2)``.

    Args:
        offset_m: pupil to the axis of the pan, metres.
        pan_deg: angle of the pan, degrees.

    Raises:
        ValueError: the offset is negative.

    Source:
        Chord of a circle.
    """
    demands.not_negative(offset_m=offset_m)
    return 2 * offset_m * abs(math.sin(math.radians(pan_deg) / 2))


def pan_shift_px(
    focal_px: float, offset_m: float, pan_deg: float, near_m: float, far_m: float
) -> float:
    """Slide of one depth against another over a pan about an axis off the pupil, pixels.

    A pan through the entrance pupil gives none.

    Args:
        focal_px: focal length, pixels.
        offset_m: pupil to the axis of the pan, metres.
        pan_deg: angle of the pan, degrees.
        near_m: nearer depth, metres.
        far_m: farther depth, metres; may be infinite.

    Raises:
        ValueError: the offset is negative, or focal length or a depth is not above zero.

    Source:
        `pupil_travel_m` into `parallax_px`.
    """
    return parallax_px(focal_px, pupil_travel_m(offset_m, pan_deg), near_m, far_m)


def hanging_distance_m(story_m: float, scale_denominator: float) -> float:
    """Distance from the pupil at which a foreground miniature lines up, metres: ``1/N``.

    The camera must turn about its pupil, and the join be matched.

    Args:
        story_m: distance at full size, metres.
        scale_denominator: N of a 1:N model, dimensionless, at least 1.

    Raises:
        ValueError: the distance is not above zero or N below 1.

    Source:
        Handbook page on hanging foreground miniatures (a quarter-scale case), published, weakly.
    """
    demands.above_zero(story_m=story_m)
    return story_m / demands.scale_denominator(scale_denominator)


@dataclass(frozen=True, slots=True)
class ForcedPerspective:
    """A set squeezed in depth that reads true from one pupil position.

    Depths behind `true_m` are pulled nearer along their own rays so that straight lines stay
    straight: ``1/z_built = alpha / z_apparent + beta``.

    Attributes:
        true_m: depth up to which the set is built true, metres.
        apparent_far_m: depth the far end should read as, metres.
        built_far_m: depth the far end is built at, metres.
    """

    true_m: float
    apparent_far_m: float
    built_far_m: float

    def __post_init__(self) -> None:
        if not 0 < self.true_m < self.built_far_m <= self.apparent_far_m:
            raise ValueError(
                f"a forced set runs from its true depth ({self.true_m:g} m) to a built depth "
                f"({self.built_far_m:g} m) no farther than it reads ({self.apparent_far_m:g} m)"
            )

    @property
    def alpha(self) -> float:
        """Factor of the depth law, dimensionless."""
        built = 1 / self.built_far_m - 1 / self.true_m
        return built / (1 / self.apparent_far_m - 1 / self.true_m)

    @property
    def vanishing_m(self) -> float:
        """Built depth at which the apparent depth runs to infinity, metres; infinite if true."""
        beta = (1 - self.alpha) / self.true_m
        return 1 / beta if beta > 0 else math.inf

    def built_m(self, apparent_m: float) -> float:
        """Where to build something that should read at a depth, metres.

        Raises:
            ValueError: the depth is not above zero.
        """
        demands.above_zero(apparent_m=apparent_m)
        return 1 / (self.alpha / apparent_m + (1 - self.alpha) / self.true_m)

    def size_ratio(self, apparent_m: float) -> float:
        """Size to build it at, as a ratio of what it should read as."""
        return self.built_m(apparent_m) / apparent_m

    def floor_rise_m(self, apparent_m: float, camera_height_m: float) -> float:
        """Rise of the floor there above the true floor, metres."""
        return camera_height_m * (1 - self.size_ratio(apparent_m))

    def shift_error_px(self, focal_px: float, shift_m: float, apparent_m: float) -> float:
        """Slide away from where it should be when the pupil shifts sideways, pixels."""
        return parallax_px(focal_px, shift_m, self.built_m(apparent_m), apparent_m)
