"""What a lens sees and holds sharp.

Takes focal lengths, distances and stops, gives angles, fields, magnifications and depth. Thin
rectilinear lenses: good to a few per cent for ordinary primes, not for fisheyes, strong internal
focus close up, or telephoto and retrofocus lenses measured with a ruler. Distances are from the
front principal plane unless the name says film plane. Knows nothing of scale, light or rigs.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from planner.craft import demands

MM_PER_M = 1000.0
AIRY_FACTOR = 2.44
GREEN_NM = 550.0
USUAL_T_RATIO = 1.10
"""T-stop over f-number; 1.1 to 1.2 is common practice, no source: a lens's own figure is better."""


@dataclass(frozen=True, slots=True)
class DepthLimits:
    """Between which distances a subject is sharp.

    Attributes:
        near_m: the nearest, metres.
        far_m: the farthest, metres; infinite where the focus lies beyond the hyperfocal.
    """

    near_m: float
    far_m: float

    @property
    def total_m(self) -> float:
        """Depth between the limits, metres; infinite when the far limit is."""
        return self.far_m - self.near_m


def _beyond_focal_mm(focal_mm: float, subject_m: float) -> float:
    """Subject distance in millimetres, checked to lie beyond the focal length."""
    demands.above_zero(focal_mm=focal_mm, subject_m=subject_m)
    subject_mm = subject_m * MM_PER_M
    if subject_mm <= focal_mm:
        raise ValueError(
            f"a {focal_mm:g} mm lens forms no image of a subject {subject_mm:g} mm away; "
            "it must be farther than the focal length"
        )
    return subject_mm


def view_angle_deg(
    width_mm: float, focal_mm: float, magnification: float = 0.0, squeeze: float = 1.0
) -> float:
    """Angle of view across a frame side, degrees.

    Args:
        width_mm: frame width (or height, or diagonal) on film, millimetres.
        focal_mm: focal length, millimetres.
        magnification: image size over subject size, dimensionless; 0 at infinity.
        squeeze: sideways squeeze of an anamorphic lens, a ratio; 1 otherwise and for heights.

    Raises:
        ValueError: a length or the squeeze is not above zero, or magnification is negative.

    Source:
        Geometry; squeeze as in the handbook page on lens angle and field of view.
    """
    demands.above_zero(width_mm=width_mm, focal_mm=focal_mm, squeeze=squeeze)
    demands.not_negative(magnification=magnification)
    half = width_mm * squeeze / (2 * focal_mm * (1 + magnification))
    return 2 * math.degrees(math.atan(half))


def focal_for_angle_mm(width_mm: float, angle_deg: float) -> float:
    """Focal length whose view across ``width_mm`` at infinity is ``angle_deg``, millimetres.

    Args:
        width_mm: frame width on film, millimetres.
        angle_deg: angle of view, degrees.

    Raises:
        ValueError: the width is not above zero, or the angle not between 0 and 180 degrees.

    Source:
        `view_angle_deg` solved for the focal length.
    """
    demands.above_zero(width_mm=width_mm)
    if not 0 < angle_deg < 180:
        raise ValueError(f"a view angle lies between 0 and 180 degrees, not at {angle_deg:g}")
    return width_mm / (2 * math.tan(math.radians(angle_deg) / 2))


def equivalent_focal_mm(focal_mm: float, from_width_mm: float, to_width_mm: float) -> float:
    """Focal length on another frame width that gives the same horizontal view, millimetres.

    Args:
        focal_mm: focal length, millimetres.
        from_width_mm: width of the frame it is for, millimetres.
        to_width_mm: width of the other frame, millimetres.

    Raises:
        ValueError: a length is not above zero.

    Source:
        Similar triangles: focal lengths go as frame widths.
    """
    demands.above_zero(focal_mm=focal_mm, from_width_mm=from_width_mm, to_width_mm=to_width_mm)
    return focal_mm * to_width_mm / from_width_mm


def magnification(focal_mm: float, subject_m: float) -> float:
    """Ratio of image size to subject size: ``f / (u - f)``.

    Args:
        focal_mm: focal length, millimetres.
        subject_m: lens to subject, metres.

    Raises:
        ValueError: the subject is not farther than the focal length.

    Source:
        Thin lens: ``1/f = 1/u + 1/v``; dimensionless.
    """
    subject_mm = _beyond_focal_mm(focal_mm, subject_m)
    return focal_mm / (subject_mm - focal_mm)


def subject_at_magnification_m(focal_mm: float, magnification: float) -> float:
    """Subject distance at which a lens gives a magnification, metres: ``f (1 + 1/m)``.

    Args:
        focal_mm: focal length, millimetres.
        magnification: image size over subject size, dimensionless, above zero.

    Raises:
        ValueError: focal length or magnification is not above zero.

    Source:
        `magnification` solved for the distance.
    """
    demands.above_zero(focal_mm=focal_mm, magnification=magnification)
    return focal_mm * (1 + 1 / magnification) / MM_PER_M


def subject_from_image_m(focal_mm: float, subject_size_m: float, image_size_mm: float) -> float:
    """Distance at which a subject fills a given size on film, metres: ``f (1 + O/I)``.

    Args:
        focal_mm: focal length, millimetres.
        subject_size_m: size of the subject, metres.
        image_size_mm: size of the subject on film, millimetres.

    Raises:
        ValueError: a size or the focal length is not above zero.

    Source:
        `magnification` solved for the distance.
    """
    demands.above_zero(subject_size_m=subject_size_m, image_size_mm=image_size_mm)
    return subject_at_magnification_m(focal_mm, image_size_mm / (subject_size_m * MM_PER_M))


def field_width_m(width_mm: float, focal_mm: float, subject_m: float) -> float:
    """Width of the subject plane that fills the frame, metres: ``w (u - f) / f``.

    Args:
        width_mm: frame width on film, millimetres.
        focal_mm: focal length, millimetres.
        subject_m: lens to subject, metres.

    Raises:
        ValueError: the width is not above zero, or the subject not beyond the focal length.

    Source:
        Frame width over `magnification`.
    """
    demands.above_zero(width_mm=width_mm)
    return width_mm / magnification(focal_mm, subject_m) / MM_PER_M


def film_plane_m(focal_mm: float, magnification: float) -> float:
    """Distance from subject to film at a magnification, metres: ``f (2 + m + 1/m)``.

    Args:
        focal_mm: focal length, millimetres.
        magnification: image size over subject size, dimensionless, above zero.

    Raises:
        ValueError: focal length or magnification is not above zero.

    Source:
        Thin lens: the sum of both conjugate distances.
    """
    demands.above_zero(focal_mm=focal_mm, magnification=magnification)
    return focal_mm * (2 + magnification + 1 / magnification) / MM_PER_M


def film_plane_magnification(focal_mm: float, film_plane_m: float) -> float:
    """Image size over subject size when these are ``film_plane_m`` apart, the smaller ratio of two.

    Distances engraved on cine lenses are from the film plane, so this reads a close-focus mark.

    Args:
        focal_mm: focal length, millimetres.
        film_plane_m: subject to film, metres.

    Raises:
        ValueError: the distance is below four focal lengths, where no lens of that length focuses.

    Source:
        `film_plane_m` solved for the magnification; dimensionless.
    """
    demands.above_zero(focal_mm=focal_mm, film_plane_m=film_plane_m)
    half = film_plane_m * MM_PER_M / focal_mm / 2 - 1
    if half < 1:
        raise ValueError(
            f"a {focal_mm:g} mm lens cannot focus with subject and film {film_plane_m:g} m apart; "
            f"it needs at least {4 * focal_mm / MM_PER_M:g} m"
        )
    return 1 / (half + math.sqrt(half * half - 1))


def subject_from_film_plane_m(focal_mm: float, film_plane_m: float) -> float:
    """Subject distance from the front principal plane, metres, given that from the film.

    Args:
        focal_mm: focal length, millimetres.
        film_plane_m: subject to film, metres.

    Raises:
        ValueError: the distance is below four focal lengths.

    Source:
        `film_plane_m`, thin lens.
    """
    return subject_at_magnification_m(focal_mm, film_plane_magnification(focal_mm, film_plane_m))


def aperture_diameter_mm(focal_mm: float, f_number: float) -> float:
    """Diameter of the lens opening, millimetres: ``f / N``.

    Args:
        focal_mm: focal length, millimetres.
        f_number: f-number N, dimensionless.

    Raises:
        ValueError: a number is not above zero.

    Source:
        Definition of the f-number.
    """
    demands.above_zero(focal_mm=focal_mm, f_number=f_number)
    return focal_mm / f_number


def hyperfocal_m(focal_mm: float, f_number: float, coc_mm: float) -> float:
    """Nearest focus whose far limit is infinity, metres: ``f^2 / (N c) + f``.

    Args:
        focal_mm: focal length, millimetres.
        f_number: f-number N, dimensionless.
        coc_mm: circle of confusion on film, millimetres.

    Raises:
        ValueError: a number is not above zero.

    Source:
        Thin lens with a fixed circle of confusion.
    """
    demands.above_zero(focal_mm=focal_mm, f_number=f_number, coc_mm=coc_mm)
    return (focal_mm * focal_mm / (f_number * coc_mm) + focal_mm) / MM_PER_M


def depth_limits(focal_mm: float, f_number: float, coc_mm: float, subject_m: float) -> DepthLimits:
    """Near and far limits of sharpness for a focus distance, metres.

    Beyond about f/22 diffraction takes back what this promises: see `is_diffraction_limited`.

    Args:
        focal_mm: focal length, millimetres.
        f_number: f-number N, dimensionless.
        coc_mm: circle of confusion on film, millimetres.
        subject_m: lens to subject, metres.

    Raises:
        ValueError: a number is not above zero, or the focus is not beyond the focal length.

    Source:
        Thin lens: with ``A = f^2/(N c)``, near ``u A / (A + u - f)``, far ``u A / (A - u + f)``.
    """
    demands.above_zero(f_number=f_number, coc_mm=coc_mm)
    subject_mm = _beyond_focal_mm(focal_mm, subject_m)
    reach = focal_mm * focal_mm / (f_number * coc_mm)
    extension = subject_mm - focal_mm
    near = subject_m * reach / (reach + extension)
    far = math.inf if extension >= reach else subject_m * reach / (reach - extension)
    return DepthLimits(near, far)


def close_depth_mm(f_number: float, coc_mm: float, magnification: float) -> float:
    """Whole depth of sharpness close up, millimetres: ``2 N c (1 + m) / m^2``.

    Use it when the subject is nearer than ten focal lengths; farther off `depth_limits` is right.

    Args:
        f_number: f-number N, dimensionless.
        coc_mm: circle of confusion on film, millimetres.
        magnification: image size over subject size, dimensionless, above zero.

    Raises:
        ValueError: a number is not above zero.

    Source:
        Cinematography: Theory and Practice, viewer pp. 292, 297.
    """
    demands.above_zero(f_number=f_number, coc_mm=coc_mm, magnification=magnification)
    return 2 * f_number * coc_mm * (1 + magnification) / magnification**2


def defocus_mm(focal_mm: float, f_number: float, focus_m: float, subject_m: float) -> float:
    """Disc on the frame of a point out of focus, millimetres across.

    Args:
        focal_mm: focal length, millimetres.
        f_number: f-number.
        focus_m: distance in focus, metres.
        subject_m: distance of the point, metres.

    Returns:
        ``f^2 |u - s| / (N u (s - f))``: the circle of confusion at either depth limit.

    Raises:
        ValueError: a number is not above zero, or a distance lies within the focal length.

    Source:
        Thin lens, similar triangles behind it.
    """
    demands.above_zero(f_number=f_number)
    focus_mm = _beyond_focal_mm(focal_mm, focus_m)
    subject_mm = _beyond_focal_mm(focal_mm, subject_m)
    apart = abs(subject_mm - focus_mm) / subject_mm
    return focal_mm * focal_mm * apart / (f_number * (focus_mm - focal_mm))


def holding_focus_m(near_m: float, far_m: float) -> float:
    """Focus that holds two distances equally sharp, metres: their harmonic mean.

    ``far_m`` may be infinite.

    Args:
        near_m: nearer distance, metres.
        far_m: farther distance, metres; may be infinite.

    Raises:
        ValueError: the near distance is not above zero, or the far one is nearer.

    Source:
        `depth_limits`: blurs at both ends set equal.
    """
    demands.above_zero(near_m=near_m)
    if far_m < near_m:
        raise ValueError(f"the far distance {far_m:g} m is nearer than the near one {near_m:g} m")
    return 2 / (1 / near_m + 1 / far_m)


def holding_f_number(focal_mm: float, near_m: float, far_m: float, coc_mm: float) -> float:
    """f-number that just holds ``near_m`` to ``far_m`` sharp, focused at `holding_focus_m`.

    Args:
        focal_mm: focal length, millimetres.
        near_m: nearer distance, metres.
        far_m: farther distance, metres; may be infinite.
        coc_mm: circle of confusion on film, millimetres.

    Returns:
        ``f^2 (1/z1 - 1/z2) / (2 c (1 - f/u))``; 0 when both distances are the same.

    Raises:
        ValueError: as `holding_focus_m`, or the focus is not beyond the focal length.

    Source:
        `depth_limits` solved for the f-number.
    """
    demands.above_zero(coc_mm=coc_mm)
    focus_mm = _beyond_focal_mm(focal_mm, holding_focus_m(near_m, far_m))
    spread_per_mm = (1 / near_m - 1 / far_m) / MM_PER_M
    return focal_mm * focal_mm * spread_per_mm / (2 * coc_mm * (1 - focal_mm / focus_mm))


def t_number(f_number: float, ratio: float = USUAL_T_RATIO) -> float:
    """T-stop of an f-number: depth follows the f-number, exposure the T-stop.

    Args:
        f_number: f-number N, dimensionless.
        ratio: T-stop over f-number, dimensionless, at least 1.

    Raises:
        ValueError: the f-number is not above zero, or the ratio below 1 (a lens that makes light).

    Source:
        Definition: transmission is light that comes through, light goes as ``1 / N^2``;
        dimensionless.
    """
    demands.above_zero(f_number=f_number)
    if ratio < 1:
        raise ValueError(f"a T-stop is never below its f-number; the ratio {ratio:g} is under 1")
    return f_number * ratio


def airy_disc_mm(
    f_number: float, magnification: float = 0.0, wavelength_nm: float = GREEN_NM
) -> float:
    """Diameter of the diffraction disc on film, millimetres: ``2.44 lambda N (1 + m)``.

    Args:
        f_number: f-number N, dimensionless.
        magnification: image size over subject size, dimensionless; 0 at infinity.
        wavelength_nm: of the light, nanometres.

    Raises:
        ValueError: f-number or wavelength is not above zero, or magnification is negative.

    Source:
        First dark ring of a round opening (Airy), at the working f-number.
    """
    demands.above_zero(f_number=f_number, wavelength_nm=wavelength_nm)
    demands.not_negative(magnification=magnification)
    return AIRY_FACTOR * wavelength_nm * 1e-6 * f_number * (1 + magnification)


def diffraction_f_number(coc_mm: float, magnification: float = 0.0) -> float:
    """f-number at which the diffraction disc is as wide as the circle of confusion (550 nm).

    Args:
        coc_mm: circle of confusion on film, millimetres.
        magnification: image size over subject size, dimensionless; 0 at infinity.

    Raises:
        ValueError: the circle is not above zero, or magnification is negative.

    Source:
        `airy_disc_mm` at 550 nm solved for the f-number; dimensionless.
    """
    demands.above_zero(coc_mm=coc_mm)
    return coc_mm / airy_disc_mm(1.0, magnification)


def is_diffraction_limited(f_number: float, coc_mm: float, magnification: float = 0.0) -> bool:
    """Whether stopping down this far loses more to diffraction than depth gains.

    Args:
        f_number: f-number N, dimensionless.
        coc_mm: circle of confusion on film, millimetres.
        magnification: image size over subject size, dimensionless; 0 at infinity.

    Source:
        `airy_disc_mm` against the circle of confusion.
    """
    return f_number > diffraction_f_number(coc_mm, magnification)
