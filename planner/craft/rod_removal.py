"""Painting rods out of the picture.

Takes the pixels rods cover and what lies behind them, gives minutes of work. No published rate of
rod removal was found: the coefficients are common practice with no source, meant to be calibrated
on finished shots. Knows nothing of where rods are (`rods`), of shots or of people.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.craft import demands
from planner.craft.mark import Mark

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

USUAL_WIDTH_PX = 8.0
"""Width of a rod nobody measured, pixels; common practice, no source."""


@dataclass(frozen=True, slots=True)
class RodSpan:
    """A run of frames over which a rod shows about the same; one frame is a run too.

    Attributes:
        frames: number of frames.
        background_px: length showing over the background, pixels of a 2048-wide frame.
        figure_px: length showing over the figure, pixels.
        crossings: count of the times it crosses the figure's outline.
        blur_px: smear across the rod, pixels (see `motion.blur_px`).
        width_px: width of the rod, pixels.
    """

    frames: int
    background_px: float
    figure_px: float = 0.0
    crossings: float = 0.0
    blur_px: float = 0.0
    width_px: float = USUAL_WIDTH_PX

    def __post_init__(self) -> None:
        demands.above_zero(width_px=self.width_px)
        demands.not_negative(
            frames=self.frames,
            background_px=self.background_px,
            figure_px=self.figure_px,
            crossings=self.crossings,
            blur_px=self.blur_px,
        )


@dataclass(frozen=True, slots=True)
class Rod:
    """One rod over a shot.

    Attributes:
        spans: its runs of frames.
        pace: how the rod moves, a key of `KEY_INTERVALS`.
    """

    spans: tuple[RodSpan, ...]
    pace: str = "medium"

    @property
    def frames(self) -> int:
        """Count of frames on which it is treated."""
        return sum(span.frames for span in self.spans)


def runs(size: RodSpan, clear: int, over: int) -> tuple[RodSpan, ...]:
    """Runs of frames on which a rod of a size only touches the figure, and lies over it.

    Args:
        size: the rod as it shows over ground and figure; its own frames and crossings are not used.
        clear: frames on which it touches the figure's outline, once.
        over: frames on which it lies over the figure, crossing the outline twice.

    Source:
        Counting, frames.
    """
    touching = replace(size, frames=clear, figure_px=0.0, crossings=1.0)
    crossing = replace(size, frames=over, crossings=2.0)
    return tuple(span for span in (touching, crossing) if span.frames > 0)


def rod_frames(rods: Sequence[Rod]) -> int:
    """Frames to treat, each rod (or its shadow or reflection) counted on each of its frames.

    Args:
        rods: the rods over the shot.

    Source:
        Counting, frames.
    """
    return sum(rod.frames for rod in rods)


def crossing_share(rods: Sequence[Rod]) -> float:
    """Share of `rod_frames` on which a rod lies over the figure or its outline, 0 to 1.

    Args:
        rods: the rods over the shot.

    Source:
        Counting, dimensionless.
    """
    total = rod_frames(rods)
    spans = (span for rod in rods for span in rod.spans)
    crossing = sum(span.frames for span in spans if span.crossings > 0 or span.figure_px > 0)
    return crossing / total if total else 0.0


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What a rod is painted out against.

    Attributes:
        clean_plate: a key of `PLATE_MINUTES`.
        background: a key of `BACKGROUND_FACTORS`.
        figure: a key of `FIGURE_FACTORS`.
    """

    clean_plate: str = "locked"
    background: str = "locked plate"
    figure: str = "smooth"


KEY_INTERVALS: Mapping[str, int] = MappingProxyType(
    {"slow": 8, "medium": 4, "fast": 2, "erratic": 1}
)
"""Frames between keys of a rod's outline; common practice, no source."""
PLATE_MINUTES: Mapping[str, float] = MappingProxyType(
    {"locked": 45.0, "motion-control": 120.0, "none": 240.0}
)
"""Minutes to line up a clean plate, or to make one up; common practice, no source."""
BACKGROUND_FACTORS: Mapping[str, float] = MappingProxyType(
    {
        "locked plate": 1.0,
        "motion-control plate": 1.3,
        "tracked patch": 2.5,
        "texture without plate": 5.0,
        "water, foliage or smoke": 8.0,
    }
)
"""How much harder than a locked plate; common practice, no source."""
FIGURE_FACTORS: Mapping[str, float] = MappingProxyType(
    {"smooth": 1.0, "textured": 1.6, "hair or feather": 3.0}
)
"""How much harder than a smooth figure; common practice, no source."""
BACKGROUND_WORDS: Mapping[str, str] = MappingProxyType(
    {
        "locked_plate": "locked plate",
        "moving_plate": "motion-control plate",
        "patch": "tracked patch",
        "texture": "texture without plate",
        "alive": "water, foliage or smoke",
    }
)
"""Words a show writes, for the keys of `BACKGROUND_FACTORS`."""
EDGE_WORDS: Mapping[str, str] = MappingProxyType(
    {"smooth": "smooth", "textured": "textured", "hair": "hair or feather"}
)
"""Words a show writes, for the keys of `FIGURE_FACTORS`."""
PACE_WORDS: Mapping[str, str] = MappingProxyType(
    {"easy": "slow", "ordinary": "medium", "hard": "fast"}
)
"""Words a show writes of a performance, for the keys of `KEY_INTERVALS`."""


@dataclass(frozen=True, slots=True)
class RemovalRates:
    """Coefficients of rod removal; replace them with calibrated ones.

    All are common practice with no source.

    Attributes:
        start_minutes: opening and closing a shot, minutes.
        key_minutes: one key of a rod's outline, minutes.
        background_minutes: a hundred pixels over the background on one frame, minutes.
        figure_minutes: a hundred pixels over the figure on one frame, minutes.
        crossing_minutes: one crossing of the figure's outline on one frame, minutes.
        blur_weight: extra share of the work for a blur as wide as the rod.
        low_factor: low over likely, dimensionless.
        high_factor: high over likely, dimensionless.
    """

    start_minutes: float = 60.0
    key_minutes: float = 2.0
    background_minutes: float = 0.25
    figure_minutes: float = 2.0
    crossing_minutes: float = 1.0
    blur_weight: float = 0.5
    low_factor: float = 0.6
    high_factor: float = 2.2


DEFAULT_RATES = RemovalRates()


@dataclass(frozen=True, slots=True)
class RemovalAmounts:
    """What the coefficients of rod removal multiply, over all frames and rods.

    Attributes:
        keys: of the rods' outlines, a count.
        background: hundreds of pixels over the background, as hard as a locked plate.
        figure: hundreds of pixels over the figure, as hard as a smooth one.
        crossings: of the figure's outline, a count.
    """

    keys: float = 0.0
    background: float = 0.0
    figure: float = 0.0
    crossings: float = 0.0


@dataclass(frozen=True, slots=True)
class RemovalMinutes:
    """Minutes of rod removal by what they go into.

    Attributes:
        start: opening and closing the shot, minutes.
        plate: lining up or making the clean plate, minutes.
        keys: outlines of the rods, minutes.
        background: painting over the background, blur included, minutes.
        figure: painting over the figure, blur included, minutes.
        crossings: mending the figure's outline, blur included, minutes.
        low: whole work if all goes well, minutes.
        high: whole work if it does not, minutes.
        amounts: what the coefficients were multiplied by.
    """

    start: float
    plate: float
    keys: float
    background: float
    figure: float
    crossings: float
    low: float
    high: float
    amounts: RemovalAmounts = RemovalAmounts()

    @property
    def likely(self) -> float:
        """Whole work as expected, minutes."""
        return self.start + self.plate + self.keys + self.background + self.figure + self.crossings


def removal_minutes(
    rods: Sequence[Rod],
    surroundings: Surroundings | None = None,
    rates: RemovalRates = DEFAULT_RATES,
) -> RemovalMinutes:
    """Minutes to take the rods out of a shot.

    Args:
        rods: the rods; with none there is nothing to do and all minutes are zero.
        surroundings: what they are painted out against; a locked plate and a smooth figure if
            None.
        rates: the coefficients.

    Raises:
        ValueError: the surroundings or a pace are not among the tables' keys.

    Source:
        Common practice, no source; see `PUBLISHED_ROTO` for rates of other work.
    """
    if not rods:
        return RemovalMinutes(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    around = surroundings or Surroundings()
    amounts = _amounts(rods, around, rates.blur_weight)
    parts = (
        rates.start_minutes,
        _entry(PLATE_MINUTES, around.clean_plate, "clean plate"),
        rates.key_minutes * amounts.keys,
        rates.background_minutes * amounts.background,
        rates.figure_minutes * amounts.figure,
        rates.crossing_minutes * amounts.crossings,
    )
    likely = sum(parts)
    low, high = likely * rates.low_factor, likely * rates.high_factor
    return RemovalMinutes(*parts, low, high, amounts)


def _amounts(rods: Sequence[Rod], around: Surroundings, blur_weight: float) -> RemovalAmounts:
    """What the coefficients multiply: keys, hundreds of pixels and crossings over all frames."""
    over_background = _entry(BACKGROUND_FACTORS, around.background, "background")
    over_figure = _entry(FIGURE_FACTORS, around.figure, "figure")
    keys = background = figure = crossings = 0.0
    for rod in rods:
        keys += 1 + math.ceil(rod.frames / _entry(KEY_INTERVALS, rod.pace, "pace"))
        for span in rod.spans:
            frames = span.frames * (1 + blur_weight * span.blur_px / span.width_px)
            background += frames * span.background_px / 100 * over_background
            figure += frames * span.figure_px / 100 * over_figure
            crossings += frames * span.crossings
    return RemovalAmounts(keys, background, figure, crossings)


def _entry(table: Mapping[str, float], key: str, what: str) -> float:
    if key not in table:
        raise ValueError(f"no {what} is called {key!r}; there are {', '.join(table)}")
    return table[key]


@dataclass(frozen=True, slots=True)
class FinishedShot:
    """Rods of a finished shot and the time their removal took.

    Attributes:
        rods: the rods.
        surroundings: what they were painted out against.
        minutes: the whole work, minutes.
    """

    rods: tuple[Rod, ...]
    surroundings: Surroundings
    minutes: float


@dataclass(frozen=True, slots=True)
class Calibration:
    """Coefficients fitted to finished shots.

    Attributes:
        rates: the coefficients; those no shot bears on come out as zero.
        residual_minutes: standard deviation of what they leave unexplained, minutes.
    """

    rates: RemovalRates
    residual_minutes: float


def calibrate(finished: Sequence[FinishedShot], blur_weight: float = 0.5) -> Calibration:
    """Coefficients that fit finished shots best, none of them negative.

    Plate minutes and difficulty factors are kept; low and high factors stay the defaults.

    Args:
        finished: finished shots.
        blur_weight: extra share of the work for a blur as wide as the rod, dimensionless.

    Raises:
        ValueError: fewer than six shots, too few for five coefficients.

    Source:
        Non-negative least squares of `removal_minutes` on the hours of finished shots.
    """
    # Imported here because they take longer to load than all the rest of a plan.
    import numpy as np
    from scipy.optimize import nnls  # type: ignore[import-untyped, unused-ignore]

    coefficients = 5
    if len(finished) <= coefficients:
        raise ValueError(
            f"{coefficients} coefficients are fixed by at least {coefficients + 1} finished shots,"
            f" not {len(finished)}"
        )
    rows, taken = [], []
    for shot in finished:
        amounts = _amounts(shot.rods, shot.surroundings, blur_weight)
        rows.append((1.0, amounts.keys, amounts.background, amounts.figure, amounts.crossings))
        plate = _entry(PLATE_MINUTES, shot.surroundings.clean_plate, "clean plate")
        taken.append(shot.minutes - plate)
    solution, norm = nnls(np.array(rows), np.array(taken))
    start, key, background, figure, crossing = (float(value) for value in solution)
    residual = float(norm) / math.sqrt(len(finished) - coefficients)
    fitted = RemovalRates(start, key, background, figure, crossing, blur_weight)
    return Calibration(fitted, residual)


@dataclass(frozen=True, slots=True)
class WorkRate:
    """A published rate of painstaking frame work.

    Attributes:
        name: what was done.
        frames_per_day: frames an artist did in a day of eight hours.
        source: where it comes from.
        mark: how well it is supported.
    """

    name: str
    frames_per_day: float
    source: str
    mark: Mark

    @property
    def minutes_per_frame(self) -> float:
        """Minutes a frame at eight hours a day."""
        return 8 * 60 / self.frames_per_day


_ROTO_DATA = "data-set page of DOI 10.1145/2897824.2925973"
PUBLISHED_ROTO = (
    WorkRate(
        "rotoscoping an isolated, trackable character (38 shots)", 28, _ROTO_DATA, Mark.PUBLISHED
    ),
    WorkRate(
        "rotoscoping several characters, limited blur and articulation (94 shots)",
        14,
        _ROTO_DATA,
        Mark.PUBLISHED,
    ),
    WorkRate(
        "rotoscoping, mean of 158 shots of 67 frames in 734 days",
        158 * 67 / 734,
        _ROTO_DATA,
        Mark.DERIVED,
    ),
    WorkRate(
        "drawn rotoscoped animation, 250 hours a minute",
        8 * 24 * 60 / 250,
        "slides of Keyframe-based Tracking for Rotoscoping and Animation, 2004",
        Mark.PUBLISHED,
    ),
)
"""Rotoscoping, not rod or wire removal: a bracket for good sense, not a validation."""
