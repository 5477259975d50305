"""Light, stops, shutters and the time they take.

Takes light levels, T-stops, speeds and angles, gives exposures, light needed and pass times.
Positive stops mean more exposure. Knows nothing of film reciprocity (about one second and longer:
stock data), of depth, or of what is photographed.
"""

from __future__ import annotations

import math

from planner.craft import demands

LUX_PER_FOOT_CANDLE = 10.7639
REFLECTED_K = 12.5
"""Reflected-light constant; 12.5 and 14 are in use, 10.6 to 13.4 recommended (ISO 2720:1974)."""
INCIDENT_C = 250.0
"""Incident-light constant of a flat receptor, lux (ISO 2720:1974)."""
CINE_CONSTANT = 25.0
"""Foot-candles times seconds times exposure index at T1."""


def lux(foot_candles: float) -> float:
    """Illuminance in lux of foot-candles.

    Args:
        foot_candles: illuminance, foot-candles.

    Source:
        Definition: a foot-candle is a lumen a square foot, a lux a lumen a square metre.
    """
    return foot_candles * LUX_PER_FOOT_CANDLE


def foot_candles(lux: float) -> float:
    """Illuminance in foot-candles of lux.

    Args:
        lux: illuminance, lux.

    Source:
        Definition, as of `lux`.
    """
    return lux / LUX_PER_FOOT_CANDLE


def metered_luminance_cd_m2(
    f_number: float, seconds: float, speed: float, constant: float = REFLECTED_K
) -> float:
    """Luminance a reflected-light meter reads for an exposure, candela per square metre.

    Args:
        f_number: f-number N.
        seconds: exposure time t, seconds.
        speed: arithmetic film speed S, dimensionless.
        constant: the meter's K, candela seconds a square metre.

    Raises:
        ValueError: a number is not above zero.

    Source:
        ISO 2720:1974, ``N^2 / t = L S / K``.
    """
    demands.above_zero(f_number=f_number, seconds=seconds, speed=speed, constant=constant)
    return constant * f_number**2 / (seconds * speed)


def metered_illuminance_lux(
    f_number: float, seconds: float, speed: float, constant: float = INCIDENT_C
) -> float:
    """Illuminance an incident-light meter reads for an exposure, lux.

    Args:
        f_number: f-number N, dimensionless.
        seconds: exposure time t, seconds.
        speed: arithmetic film speed S, dimensionless.
        constant: the meter's C, lux seconds.

    Raises:
        ValueError: a number is not above zero.

    Source:
        ISO 2720:1974, ``N^2 / t = E S / C``.
    """
    demands.above_zero(f_number=f_number, seconds=seconds, speed=speed, constant=constant)
    return constant * f_number**2 / (seconds * speed)


def focal_plane_exposure_lux_s(luminance_cd_m2: float, seconds: float, f_number: float) -> float:
    """Exposure on the film, lux seconds: ``0.65 L t / N^2``.

    Args:
        luminance_cd_m2: luminance L, candela a square metre.
        seconds: exposure time t, seconds.
        f_number: f-number N, dimensionless.

    Raises:
        ValueError: a number is not above zero.

    Source:
        Forum thread quoting the ANSI meter standard (published, weakly).
    """
    demands.above_zero(luminance_cd_m2=luminance_cd_m2, seconds=seconds, f_number=f_number)
    return 0.65 * luminance_cd_m2 * seconds / f_number**2


def foot_candles_needed(t_number: float, exposure_index: float, seconds: float) -> float:
    """Incident key light for a normal exposure, foot-candles: ``25 T^2 / (EI t)``.

    Args:
        t_number: T-stop T, dimensionless.
        exposure_index: exposure index EI, dimensionless.
        seconds: exposure time t, seconds.

    Raises:
        ValueError: a number is not above zero.

    Source:
        Cinematography blog, foot-candles, 2013-08.
    """
    demands.above_zero(t_number=t_number, exposure_index=exposure_index, seconds=seconds)
    return CINE_CONSTANT * t_number**2 / (exposure_index * seconds)


def lux_needed(t_number: float, exposure_index: float, seconds: float) -> float:
    """Incident key light for a normal exposure, lux; see `foot_candles_needed`.

    Args:
        t_number: T-stop T, dimensionless.
        exposure_index: exposure index EI, dimensionless.
        seconds: exposure time t, seconds.

    Raises:
        ValueError: a number is not above zero.

    Source:
        As `foot_candles_needed`, in lux.
    """
    return lux(foot_candles_needed(t_number, exposure_index, seconds))


def t_number_allowed(
    light_foot_candles: float, exposure_index: float, seconds: float, magnification: float = 0.0
) -> float:
    """Smallest opening the light allows, as a T-stop: undoes `frame_exposure_s`.

    Args:
        light_foot_candles: key light on the subject, foot-candles.
        exposure_index: exposure index EI, dimensionless.
        seconds: exposure time t, seconds.
        magnification: image size over subject size, dimensionless; 0 at infinity.

    Raises:
        ValueError: light, index or time is not above zero, or magnification is negative.

    Source:
        `frame_exposure_s` solved for the T-stop.
    """
    demands.above_zero(
        light_foot_candles=light_foot_candles, exposure_index=exposure_index, seconds=seconds
    )
    bare = math.sqrt(light_foot_candles * exposure_index * seconds / CINE_CONSTANT)
    return bare / math.sqrt(close_up_factor(magnification))


def shutter_seconds(angle_deg: float, fps: float) -> float:
    """Exposure time of a rotating shutter, seconds: ``angle / (360 fps)``.

    Args:
        angle_deg: shutter angle, degrees.
        fps: rate, frames a second.

    Raises:
        ValueError: the angle is not in (0, 360], or the rate not above zero.

    Source:
        Geometry: the open part of a turn, a turn a frame.
    """
    demands.above_zero(fps=fps)
    return shutter_fraction(angle_deg) / fps


def shutter_angle_deg(seconds: float, fps: float) -> float:
    """Shutter angle that exposes for a time, degrees.

    Args:
        seconds: exposure time t, seconds.
        fps: rate, frames a second.

    Raises:
        ValueError: time or rate is not above zero, or the time is longer than a frame lasts.

    Source:
        `shutter_seconds` solved for the angle.
    """
    demands.above_zero(seconds=seconds, fps=fps)
    angle = 360 * seconds * fps
    if angle > 360 * (1 + 1e-12):
        raise ValueError(f"{seconds:g} s is longer than a frame lasts at {fps:g} fps")
    return min(angle, 360.0)


def shutter_fraction(angle_deg: float) -> float:
    """Share of a frame's time the shutter is open, 0 to 1.

    Args:
        angle_deg: shutter angle, degrees.

    Raises:
        ValueError: the angle is not in (0, 360].

    Source:
        Geometry: the open part of a turn, dimensionless.
    """
    if not 0 < angle_deg <= 360:
        raise ValueError(f"a shutter opens more than 0 and up to 360 degrees, not {angle_deg:g}")
    return angle_deg / 360


def stops_between_times(from_seconds: float, to_seconds: float) -> float:
    """Stops gained going from one exposure time to another.

    Args:
        from_seconds: the one before, seconds.
        to_seconds: the one after, seconds.

    Raises:
        ValueError: a time is not above zero.

    Source:
        Definition of a stop: a factor of two in exposure.
    """
    demands.above_zero(from_seconds=from_seconds, to_seconds=to_seconds)
    return math.log2(to_seconds / from_seconds)


def stops_between_f_numbers(from_f_number: float, to_f_number: float) -> float:
    """Stops closed going from one f-number (or T-stop) to another; negative when opening.

    Use exact numbers, ``2 ** (k / 2)``: an engraved f/22 is 22.627.

    Args:
        from_f_number: the one before, dimensionless.
        to_f_number: the one after, dimensionless.

    Raises:
        ValueError: an f-number is not above zero.

    Source:
        Definition of a stop, with light going as ``1 / N^2``.
    """
    demands.above_zero(from_f_number=from_f_number, to_f_number=to_f_number)
    return 2 * math.log2(to_f_number / from_f_number)


def f_number_closed(f_number: float, stops: float) -> float:
    """f-number after closing so many stops: ``N 2^(stops/2)``.

    Args:
        f_number: f-number N, dimensionless.
        stops: stops to close; negative to open.

    Raises:
        ValueError: the f-number is not above zero.

    Source:
        `stops_between_f_numbers` solved for the f-number.
    """
    demands.above_zero(f_number=f_number)
    return f_number * math.pow(2, stops / 2)


def stops_short(needed: float, available: float) -> float:
    """Stops by which light (or time) falls short of what is needed; negative when there is more.

    Args:
        needed: light or time needed, in any unit.
        available: what there is, in the same unit.

    Raises:
        ValueError: either is not above zero: no light at all is no number of stops.

    Source:
        Definition of a stop: a factor of two in exposure.
    """
    demands.above_zero(needed=needed, available=available)
    return math.log2(needed / available)


def filter_factor(stops: float) -> float:
    """Exposure factor of a filter that costs so many stops: ``2^stops``.

    Args:
        stops: stops it costs; need not be whole.

    Raises:
        ValueError: the stops are negative; a filter adds no light.

    Source:
        Definition of a stop: a factor of two in exposure; dimensionless.
    """
    demands.not_negative(stops=stops)
    return math.pow(2, stops)


def density_factor(density: float) -> float:
    """Exposure factor of a neutral density, dimensionless: ``10^D``.

    Args:
        density: neutral density D, dimensionless.

    Raises:
        ValueError: the density is negative.

    Source:
        Definition of optical density: the common logarithm of the loss; dimensionless.
    """
    demands.not_negative(density=density)
    return math.pow(10, density)


def close_up_factor(magnification: float, pupil_ratio: float = 1.0) -> float:
    """Exposure factor of a lens racked out to a magnification, dimensionless: ``(1 + m/p)^2``.

    Args:
        magnification: image size over subject size, dimensionless.
        pupil_ratio: exit over entrance pupil diameter, a ratio; 1 for symmetrical lenses (the
            correction for others is from memory of a named source).

    Raises:
        ValueError: magnification is negative or the pupil ratio not above zero.

    Source:
        Photography textbook chapter, DOI 10.4324/9780080494012-22 (10 cm to 5 cm: 2 1/4 times).
    """
    demands.above_zero(pupil_ratio=pupil_ratio)
    demands.not_negative(magnification=magnification)
    return (1 + magnification / pupil_ratio) ** 2


def f_number_corrected(f_number: float, magnification: float) -> float:
    """f-number to set so that a metered one holds close up: ``N / (1 + m)``.

    Args:
        f_number: f-number N, dimensionless.
        magnification: image size over subject size, dimensionless; 0 at infinity.

    Raises:
        ValueError: the f-number is not above zero, or magnification is negative.

    Source:
        Cinematography: Theory and Practice, viewer pp. 292, 297.
    """
    demands.above_zero(f_number=f_number)
    return f_number / math.sqrt(close_up_factor(magnification))


def frame_exposure_s(
    light_foot_candles: float,
    exposure_index: float,
    t_number: float,
    magnification: float = 0.0,
    filter_factor: float = 1.0,
) -> float:
    """Exposure of each frame, seconds: ``25 T^2 (1 + m)^2 FF / (fc EI)``.

    Args:
        light_foot_candles: key light on the subject, foot-candles.
        exposure_index: exposure index EI, dimensionless.
        t_number: T-stop T, dimensionless.
        magnification: image size over subject size, dimensionless; 0 at infinity.
        filter_factor: exposure factor FF of filters, dimensionless.

    Raises:
        ValueError: light, index or T-stop is not above zero, magnification is negative, or the
            filter factor is below 1.

    Source:
        `foot_candles_needed` solved for the time, with the factors of close-ups and filters.
    """
    demands.above_zero(
        light_foot_candles=light_foot_candles, exposure_index=exposure_index, t_number=t_number
    )
    if filter_factor < 1:
        raise ValueError(f"a filter factor of {filter_factor:g} would add light")
    wanted = CINE_CONSTANT * t_number**2 * close_up_factor(magnification) * filter_factor
    return wanted / (light_foot_candles * exposure_index)


def continuous_pass_s(
    frames: int, exposure_s: float, angle_deg: float = 180.0, run_frames: int = 0
) -> float:
    """Time of a pass shot while the rig keeps moving, seconds.

    Args:
        frames: frames kept.
        exposure_s: exposure of each frame, seconds.
        angle_deg: shutter angle, degrees; at 180 a frame lasts twice its exposure.
        run_frames: frames spent running up and out, together.

    Raises:
        ValueError: a count is negative, the exposure not above zero, or the angle impossible.

    Source:
        Frames over a rate: a definition.
    """
    demands.above_zero(exposure_s=exposure_s)
    demands.not_negative(frames=frames, run_frames=run_frames)
    return (frames + run_frames) * exposure_s / shutter_fraction(angle_deg)


def stepped_pass_s(frames: int, exposure_s: float, settle_s: float) -> float:
    """Time of a pass that moves, settles and shoots each frame, seconds; it has no motion blur.

    Args:
        frames: frames kept.
        exposure_s: exposure of each frame, seconds.
        settle_s: moving and settling before each frame, seconds.

    Raises:
        ValueError: frames or settling time is negative, or the exposure not above zero.

    Source:
        Sum of what each frame takes.
    """
    demands.above_zero(exposure_s=exposure_s)
    demands.not_negative(frames=frames, settle_s=settle_s)
    return frames * (exposure_s + settle_s)
