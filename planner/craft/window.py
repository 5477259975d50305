"""Which scales serve a shot, and how few builds serve them all.

Takes what a stage, a lens, a light and a workshop allow, gives bounds on the N of a 1:N build:
``lowest_...`` functions give the smallest N (largest model) that fits, ``highest_...`` the largest
N (smallest model) that still works. The selection of bounds is common practice, no source; their
arithmetic is derived. Knows nothing of cost, articulation or diffraction (see
`optics.is_diffraction_limited`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from planner.craft import demands, exposure, optics

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

FULL_SIZE = 1.0
HALVINGS, MOST_LINES = 8, 60


@dataclass(frozen=True, slots=True)
class Hold:
    """What a shot must hold sharp, full size.

    Attributes:
        near_m: nearest sharp distance in the story, metres.
        far_m: farthest, metres; may be infinite.
        focal_mm: focal length, millimetres.
        coc_mm: circle of confusion, millimetres.
    """

    near_m: float
    far_m: float
    focal_mm: float
    coc_mm: float

    @property
    def focus_m(self) -> float:
        """Story distance of focus, metres."""
        return optics.holding_focus_m(self.near_m, self.far_m)

    def f_number(self, scale_denominator: float) -> float:
        """f-number that just holds the range at 1:N.

        Raises:
            ValueError: the model stands nearer than the focal length.
        """
        return optics.holding_f_number(
            self.focal_mm,
            self.near_m / scale_denominator,
            self.far_m / scale_denominator,
            self.coc_mm,
        )

    def magnification(self, scale_denominator: float) -> float:
        """Magnification at the plane of focus at 1:N."""
        return optics.magnification(self.focal_mm, self.focus_m / scale_denominator)


@dataclass(frozen=True, slots=True)
class Light:
    """The exposure a shot can have.

    Attributes:
        foot_candles: key light, foot-candles.
        exposure_index: of the stock or sensor, dimensionless.
        full_size_s: longest exposure of a frame at full size, seconds: the open part of a turn over
            the rate shown at the gravity rate, as long as the schedule bears on a motion-control
            pass.
        is_gravity_rate: whether the camera runs at the rate shown times ``sqrt(N)``, shortening the
            exposure.
    """

    foot_candles: float
    exposure_index: float
    full_size_s: float
    is_gravity_rate: bool = False

    def seconds(self, scale_denominator: float) -> float:
        """Longest exposure of a frame at 1:N, seconds."""
        if self.is_gravity_rate:
            return self.full_size_s / math.sqrt(scale_denominator)
        return self.full_size_s

    def t_number(self, scale_denominator: float, magnification: float) -> float:
        """Smallest opening the light allows at 1:N, as a T-stop."""
        return exposure.t_number_allowed(
            self.foot_candles,
            self.exposure_index,
            self.seconds(scale_denominator),
            magnification,
        )


@dataclass(frozen=True, slots=True)
class Bound:
    """One limit on the N of a 1:N build.

    Attributes:
        shot: the shot it comes from.
        reason: what limits, in the trade's words: ``stage width``.
        side: ``low`` when N must be at least this, ``high`` when at most.
        scale_denominator: the N of 1:N, dimensionless.
    """

    shot: str
    reason: str
    side: Literal["low", "high"]
    scale_denominator: float


@dataclass(frozen=True, slots=True)
class Window:
    """Scales that satisfy every bound, with the two that bind.

    Attributes:
        low: the bound that makes N no smaller.
        high: the bound that makes N no larger; infinite when nothing does.
    """

    low: Bound
    high: Bound

    @property
    def is_empty(self) -> bool:
        """Whether no scale satisfies both binding bounds."""
        return self.low.scale_denominator > self.high.scale_denominator

    @property
    def is_bounded(self) -> bool:
        """Whether anything keeps the model from being smaller still."""
        return self.high.scale_denominator < math.inf

    @property
    def relaxation(self) -> float:
        """Ratio by which either binding bound alone must give way; 1 when there is a window."""
        return max(1.0, self.low.scale_denominator / self.high.scale_denominator)

    def admits(self, scale_denominator: float) -> bool:
        """Whether a scale lies in the window, ends included."""
        return self.low.scale_denominator <= scale_denominator <= self.high.scale_denominator


@dataclass(frozen=True, slots=True)
class Build:
    """A scale to build at and the shots it serves.

    Attributes:
        scale_denominator: the N of 1:N, dimensionless.
        shots: names of the shots.
    """

    scale_denominator: float
    shots: tuple[str, ...]


def lowest_by_extent(story_extent_m: float, stage_extent_m: float) -> float:
    """N at which a story width, depth or height just fits the stage.

    Args:
        story_extent_m: at full size, metres.
        stage_extent_m: room on the stage the same way, metres.

    Raises:
        ValueError: the stage extent is not above zero or the story one is negative.

    Source:
        `scale.stage_m` solved for N; dimensionless.
    """
    demands.above_zero(stage_extent_m=stage_extent_m)
    demands.not_negative(story_extent_m=story_extent_m)
    return story_extent_m / stage_extent_m


def lowest_by_track(story_move_m: float, track_m: float, run_m: float = 0.0) -> float:
    """N at which a camera move just fits the track with its run-up and run-out.

    Args:
        story_move_m: length of the move in the story, metres.
        track_m: length of the track, metres.
        run_m: run-up and run-out together, metres of track.

    Raises:
        ValueError: the run-up and run-out use up the track.

    Source:
        `motion.track_needed` solved for N; dimensionless.
    """
    if run_m < 0 or track_m <= run_m:
        raise ValueError(
            f"{run_m:g} m of run-up and run-out leave nothing of a {track_m:g} m track"
        )
    return lowest_by_extent(story_move_m, track_m - run_m)


def lowest_by_mass(
    story_height_m: float, known_height_m: float, known_mass_kg: float, top_mass_kg: float
) -> float:
    """N at which a figure is just as heavy as its rods or operators bear.

    Args:
        story_height_m: height in the story, metres.
        known_height_m: height of a like figure already built, metres.
        known_mass_kg: its mass, kilograms.
        top_mass_kg: the most the rods bear, kilograms.

    Raises:
        ValueError: a number is not above zero.

    Source:
        Mass by the cube of the size.
    """
    demands.above_zero(
        story_height_m=story_height_m,
        known_height_m=known_height_m,
        known_mass_kg=known_mass_kg,
        top_mass_kg=top_mass_kg,
    )
    return story_height_m / known_height_m * math.cbrt(known_mass_kg / top_mass_kg)


def highest_by_close_focus(nearest_m: float, focal_mm: float, close_focus_m: float) -> float:
    """N at which the nearest subject stands at the lens's close focus.

    Args:
        nearest_m: nearest subject distance in the story, metres.
        focal_mm: focal length, millimetres.
        close_focus_m: close-focus mark, metres from the film plane.

    Raises:
        ValueError: the distance is not above zero, or the mark is below four focal lengths.

    Source:
        `scale.stage_m` solved for N; dimensionless.
    """
    demands.above_zero(nearest_m=nearest_m)
    return nearest_m / optics.subject_from_film_plane_m(focal_mm, close_focus_m)


def highest_by_clearance(nearest_m: float, clearance_m: float) -> float:
    """N at which the nearest subject just clears the lens nose and matte box.

    Args:
        nearest_m: nearest subject distance in the story, metres.
        clearance_m: entrance pupil to the front of the box, plus a gap, metres.

    Raises:
        ValueError: a distance is not above zero.

    Source:
        `scale.stage_m` solved for N; dimensionless.
    """
    demands.above_zero(nearest_m=nearest_m, clearance_m=clearance_m)
    return nearest_m / clearance_m


def highest_by_camera_height(camera_height_m: float, lowest_lens_m: float) -> float:
    """N at which the lens centre is as low as the camera body lets it be.

    Args:
        camera_height_m: lens height in the story, metres.
        lowest_lens_m: lowest the lens centre can be above the set, metres.

    Raises:
        ValueError: a height is not above zero.

    Source:
        `scale.stage_m` solved for N; dimensionless.
    """
    demands.above_zero(camera_height_m=camera_height_m, lowest_lens_m=lowest_lens_m)
    return camera_height_m / lowest_lens_m


def highest_by_smallest_stop(hold: Hold, smallest_opening_f: float) -> float:
    """N at which the smallest lens opening just holds the range sharp.

    Args:
        hold: what must be sharp.
        smallest_opening_f: smallest stop anyone will use, an f-number.

    Returns:
        ``2 c N_f / (f^2 (1/z1 - 1/z2) + 2 c N_f f / u)``.

    Raises:
        ValueError: a number of the hold or the stop is not above zero.

    Source:
        `optics.holding_f_number` of the scaled range, solved for N; dimensionless.
    """
    demands.above_zero(
        smallest_opening_f=smallest_opening_f, focal_mm=hold.focal_mm, coc_mm=hold.coc_mm
    )
    focus_m = hold.focus_m
    focal_m = hold.focal_mm / optics.MM_PER_M
    opening = 2 * hold.coc_mm / optics.MM_PER_M * smallest_opening_f
    spread = 1 / hold.near_m - 1 / hold.far_m
    return opening / (focal_m**2 * spread + opening * focal_m / focus_m)


def highest_by_light(hold: Hold, light: Light, t_ratio: float = optics.USUAL_T_RATIO) -> float:
    """N at which the light just allows the stop that holds the range sharp.

    Solved by bracketing: the T-stop needed rises with N, the one the light allows falls.

    Args:
        hold: what must be sharp.
        light: the exposure there is.
        t_ratio: T-stop over f-number of the lens.

    Raises:
        ValueError: there is no light, or the hold is impossible at any scale.

    Source:
        `exposure.t_number_allowed` against the stop that holds the range, solved for N.
    """
    ratio = optics.t_number(1.0, t_ratio)
    # Above this N the model's focus is nearer than the focal length and nothing is sharp.
    too_small = hold.focus_m / (hold.focal_mm / optics.MM_PER_M)
    half = too_small / 2
    needed = ratio * hold.f_number(half)
    if needed == 0:
        return too_small  # one distance alone is held at any opening
    allowed = light.t_number(half, hold.magnification(half))
    level = math.log(needed / allowed)
    # Both stops follow N and what is left of the lens's distance: at x = N / too_small the one
    # needed is as x / (1 - x), the one allowed as 1 - x, at the gravity rate also as x^-1/4.
    power = 1.25 if light.is_gravity_rate else 1.0

    def excess(x: float) -> float:
        return level + power * math.log(2 * x) - 2 * math.log(2 * (1 - x))

    return too_small * _crossing(excess, 1e-9, 1 - 1e-12)


def _crossing(rising: Callable[[float], float], low: float, high: float) -> float:
    """Where a rising function passes zero between two points, to about twelve figures.

    A few halvings, then straight lines between the ends of the bracket (Illinois rule).
    """
    if rising(low) >= 0:
        return low
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if rising(middle) > 0 else (middle, high)
    below, above = rising(low), rising(high)
    for _ in range(MOST_LINES):
        at = (low * above - high * below) / (above - below)
        value = rising(at)
        if abs(value) < 1e-12:
            return at
        if value > 0:
            high, above, below = at, value, below / 2
        else:
            low, below, above = at, value, above / 2
    return (low + high) / 2


def highest_by_detail(
    nearest_m: float, focal_px: float, finest_mark_m: float, allowed_px: float
) -> float:
    """N at which the finest mark a workshop can make is as large on screen as may be seen.

    Args:
        nearest_m: nearest distance in the story, metres.
        focal_px: focal length, pixels.
        finest_mark_m: finest mark that can be built, metres.
        allowed_px: size such a mark may have on the frame, pixels.

    Raises:
        ValueError: a number is not above zero.

    Source:
        `survey.focal_px` over the distance on stage, solved for N; dimensionless.
    """
    demands.above_zero(
        nearest_m=nearest_m,
        focal_px=focal_px,
        finest_mark_m=finest_mark_m,
        allowed_px=allowed_px,
    )
    return allowed_px * nearest_m / (focal_px * finest_mark_m)


def highest_by_mechanism(story_cavity_m: float, mechanism_m: float) -> float:
    """N at which the smallest mechanism just fits inside.

    Args:
        story_cavity_m: room for it at full size, metres.
        mechanism_m: smallest size of the mechanism, metres.

    Raises:
        ValueError: a length is not above zero.

    Source:
        `scale.stage_m` solved for N; dimensionless.
    """
    demands.above_zero(story_cavity_m=story_cavity_m, mechanism_m=mechanism_m)
    return story_cavity_m / mechanism_m


def intersect(bounds: Iterable[Bound]) -> Window:
    """The scales all bounds allow, naming the bound that binds at each end.

    No build is larger than full size, so the low end is at least 1; with no high bound the high
    end is infinite. Of equal bounds the first given binds.

    Args:
        bounds: the bounds, on the N of 1:N.

    Source:
        Intervals: the greatest of the lower ends and the least of the upper.
    """
    low = Bound("", "full size", "low", FULL_SIZE)
    high = Bound("", "nothing", "high", math.inf)
    for bound in bounds:
        if bound.side == "low" and bound.scale_denominator > low.scale_denominator:
            low = bound
        if bound.side == "high" and bound.scale_denominator < high.scale_denominator:
            high = bound
    return Window(low, high)


def shot_windows(bounds: Iterable[Bound]) -> dict[str, Window]:
    """Each shot's own window, shots in the order they first appear.

    Args:
        bounds: the bounds, on the N of 1:N.

    Source:
        `intersect`, shot by shot.
    """
    by_shot: dict[str, list[Bound]] = {}
    for bound in bounds:
        by_shot.setdefault(bound.shot, []).append(bound)
    return {shot: intersect(own) for shot, own in by_shot.items()}


def fewest_builds(windows: Mapping[str, Window]) -> tuple[Build, ...]:
    """The fewest scales that serve every shot, largest models first.

    Each is the upper end of the window that forced it, or the largest model still small enough
    where nothing sets an upper end; any scale common to its shots would do.

    Args:
        windows: the window of each shot, on the N of 1:N.

    Raises:
        ValueError: a shot's own window is empty, so no build serves it.

    Source:
        Least points that meet every interval: take upper ends in order (a classic greedy proof).
    """
    scales: list[float] = []
    endless = [w.low.scale_denominator for w in windows.values() if not w.is_bounded]
    for shot, window in sorted(windows.items(), key=lambda w: w[1].high.scale_denominator):
        if window.is_empty:
            raise ValueError(
                f"no scale serves shot {shot}: {window.low.reason} asks for 1:"
                f"{window.low.scale_denominator:.4g} or smaller, {window.high.reason} for 1:"
                f"{window.high.scale_denominator:.4g} or larger"
            )
        if not any(window.admits(taken) for taken in scales):
            scales.append(window.high.scale_denominator if window.is_bounded else max(endless))
    served: dict[float, list[str]] = {taken: [] for taken in scales}
    for shot, window in windows.items():
        served[next(taken for taken in scales if window.admits(taken))].append(shot)
    return tuple(Build(taken, tuple(shots)) for taken, shots in served.items())
