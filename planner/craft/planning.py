"""Durations that are not certain, networks of work, and learning.

Takes three-point estimates, orders of work and repeat counts, in any one unit of time or money,
gives means, chances, slack and learned times. Knows nothing of calendars, crews or currencies.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import reduce
from graphlib import CycleError, TopologicalSorter
from statistics import NormalDist
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.craft import demands

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

_STANDARD = NormalDist()


@dataclass(frozen=True, slots=True)
class ThreePoint:
    """A duration as low, likely and high.

    Attributes:
        low: at the least, in any unit.
        likely: as expected, in the same unit.
        high: at the most, in the same unit.

    Raises:
        ValueError: they are not in order, or not finite.
    """

    low: float
    likely: float
    high: float

    def __post_init__(self) -> None:
        if not -math.inf < self.low <= self.likely <= self.high < math.inf:
            raise ValueError(
                f"low, likely and high must be in order, not {self.low:g}, {self.likely:g}, "
                f"{self.high:g}"
            )

    @property
    def mean(self) -> float:
        """Expected value, in the same unit: ``(low + 4 likely + high) / 6``."""
        return (self.low + 4 * self.likely + self.high) / 6

    @property
    def variance(self) -> float:
        """Square of a sixth of the range, in the unit squared."""
        return ((self.high - self.low) / 6) ** 2


def summed(parts: Iterable[ThreePoint]) -> NormalDist:
    """Distribution of the sum of independent parts, taken as normal; nothing sums to zero.

    Args:
        parts: the parts, in one unit.

    Source:
        Central limit theorem: means and variances of independent parts add.
    """
    listed = tuple(parts)
    variance = sum(part.variance for part in listed)
    return NormalDist(sum(part.mean for part in listed), math.sqrt(variance))


def chance_by(duration: NormalDist, limit: float) -> float:
    """Probability, 0 to 1, that a duration is no longer than a limit.

    Args:
        duration: the duration, in any unit.
        limit: the limit, in the unit of the durations.

    Source:
        Normal distribution; dimensionless.
    """
    if duration.stdev == 0:
        return 1.0 if duration.mean <= limit else 0.0
    return duration.cdf(limit)


def chance_all_by(durations: Iterable[NormalDist], limit: float) -> float:
    """Probability that independent paths are all done by a limit: the product of their chances.

    The longest path alone promises too much where paths merge.

    Args:
        durations: the durations, in one unit.
        limit: the limit, in the unit of the durations.

    Source:
        Risk-analysis textbook chapter, DOI 10.4324/9781315601885-6, on the neglect of merging.
    """
    return math.prod(chance_by(duration, limit) for duration in durations)


def kept_with(duration: NormalDist, chance: float) -> float:
    """Limit that a duration keeps with a probability.

    Args:
        duration: the duration, in any unit.
        chance: probability, dimensionless, between 0 and 1.

    Raises:
        ValueError: the probability is not between 0 and 1.

    Source:
        Normal distribution, `chance_by` undone.
    """
    if not 0 < chance < 1:
        raise ValueError(f"a chance lies between 0 and 1, not at {chance:g}")
    return duration.mean + duration.stdev * _STANDARD.inv_cdf(chance)


def later_of(first: NormalDist, second: NormalDist, correlation: float = 0.0) -> NormalDist:
    """Normal with the mean and variance of the later of two normals.

    Args:
        first: one duration, in any unit.
        second: the other, in the same unit.
        correlation: of the two, dimensionless, -1 to 1.

    Raises:
        ValueError: the correlation is not from -1 to 1.

    Source:
        Moments of the greatest of normals, Operations Research 9(2), 1961 (from memory).
    """
    if not -1 <= correlation <= 1:
        raise ValueError(f"a correlation lies from -1 to 1, not at {correlation:g}")
    shared = 2 * correlation * first.stdev * second.stdev
    apart = math.sqrt(max(0.0, first.variance + second.variance - shared))
    if apart == 0:
        return max(first, second, key=lambda duration: duration.mean)
    lead = (first.mean - second.mean) / apart
    ahead, level = _STANDARD.cdf(lead), _STANDARD.pdf(lead)
    behind = _STANDARD.cdf(-lead)
    # Deviations are taken from the nearer mean so that large dates do not swamp small spreads.
    origin = max(first.mean, second.mean)
    a, b = first.mean - origin, second.mean - origin
    mean = a * ahead + b * behind + apart * level
    square = (a * a + first.variance) * ahead + (b * b + second.variance) * behind
    square += (a + b) * apart * level
    return NormalDist(origin + mean, math.sqrt(max(0.0, square - mean * mean)))


def latest_of(durations: Sequence[NormalDist]) -> NormalDist:
    """Normal with about the moments of the latest of independent normals, taken two at a time.

    Args:
        durations: the durations, in one unit.

    Raises:
        ValueError: there are none.

    Source:
        `later_of`, over and over.
    """
    if not durations:
        raise ValueError("the latest of no durations is no date")
    return reduce(later_of, durations)


@dataclass(frozen=True, slots=True)
class Activity:
    """A piece of work.

    Attributes:
        name: of the work.
        duration: how long it takes, in any unit.
        predecessors: names of what must be done before it.
    """

    name: str
    duration: float
    predecessors: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Timing:
    """Earliest and latest start and finish of an activity, counted from 0 in the unit given."""

    earliest_start: float
    earliest_finish: float
    latest_start: float
    latest_finish: float

    @property
    def slack(self) -> float:
        """How much it may slip without moving the end, in the same unit."""
        return self.latest_start - self.earliest_start


@dataclass(frozen=True, slots=True)
class Network:
    """A network of activities worked out forward and back.

    Attributes:
        duration: earliest end of all of it, in the unit given.
        timings: timing of each activity, in the order given.
        critical: names of those without slack, in the order given.
    """

    duration: float
    timings: Mapping[str, Timing]
    critical: tuple[str, ...]


def network(activities: Sequence[Activity]) -> Network:
    """Earliest and latest times and critical activities, without limits of crew or stage.

    Args:
        activities: the pieces of work.

    Raises:
        ValueError: a name twice, an unknown predecessor, a negative duration, or a circle.

    Source:
        Critical path method: one pass forward and one back; times in the unit given.
    """
    by_name = {activity.name: activity for activity in activities}
    _check_network(activities, by_name)
    order = _in_order(activities)
    finish: dict[str, float] = {}
    for name in order:
        start = max((finish[before] for before in by_name[name].predecessors), default=0.0)
        finish[name] = start + by_name[name].duration
    end = max(finish.values(), default=0.0)
    latest = dict.fromkeys(order, end)
    for name in reversed(order):
        start = latest[name] - by_name[name].duration
        for before in by_name[name].predecessors:
            latest[before] = min(latest[before], start)
    timings = {
        name: Timing(
            finish[name] - activity.duration,
            finish[name],
            latest[name] - activity.duration,
            latest[name],
        )
        for name, activity in by_name.items()
    }
    hair = 1e-9 * max(1.0, end)
    critical = tuple(name for name, timing in timings.items() if timing.slack <= hair)
    return Network(end, MappingProxyType(timings), critical)


def _check_network(activities: Sequence[Activity], by_name: Mapping[str, Activity]) -> None:
    if len(by_name) < len(activities):
        raise ValueError("two activities have the same name")
    for activity in activities:
        if not 0 <= activity.duration < math.inf:
            raise ValueError(f"activity {activity.name} cannot last {activity.duration:g}")
        for before in activity.predecessors:
            if before not in by_name:
                raise ValueError(f"activity {activity.name} waits for {before}, which is not here")


def _in_order(activities: Sequence[Activity]) -> tuple[str, ...]:
    sorter = TopologicalSorter({a.name: a.predecessors for a in activities})
    try:
        return tuple(sorter.static_order())
    except CycleError as error:
        circle = " waits for ".join(reversed(error.args[1]))
        raise ValueError(f"the order of work runs in a circle: {circle}") from error


def learning_exponent(rate: float) -> float:
    """Exponent of a learning rate, dimensionless: ``log2 r``; 0.8 gives -0.3219.

    Args:
        rate: share of the time left after each doubling, above 0 up to 1.

    Raises:
        ValueError: the rate is outside that.

    Source:
        Wright's learning curve, each doubling at the rate; dimensionless.
    """
    if not 0 < rate <= 1:
        raise ValueError(f"a learning rate lies above 0 and up to 1, not at {rate:g}")
    return math.log2(rate)


def unit_time(first: float, number: float, rate: float) -> float:
    """Time of the n-th unit when each doubling of n cuts the unit's time: ``T n^b``.

    Args:
        first: time of the first unit, in any unit.
        number: which unit n, counted from 1.
        rate: learning rate r, dimensionless: the share left after each doubling.

    Raises:
        ValueError: the number is below 1 or the rate impossible.

    Source:
        Unit model of the learning curve (Crawford).
    """
    if not 1 <= number < math.inf:
        raise ValueError(f"units are counted from 1, not {number:g}")
    return first * math.pow(number, learning_exponent(rate))


def unit_total(first: float, count: int, rate: float) -> float:
    """Time of the first so many units in the unit model.

    Args:
        first: time of the first unit, in any unit.
        count: units made, a count.
        rate: learning rate r, dimensionless: the share left after each doubling.

    Raises:
        ValueError: the count is negative or past a million, or the rate impossible.

    Source:
        Unit model of the learning curve (Crawford), summed; time in the unit given.
    """
    demands.not_negative(count=count)
    demands.worked_out_singly(count=count)
    return math.fsum(unit_time(first, number, rate) for number in range(1, count + 1))


def average_total(first: float, count: int, rate: float) -> float:
    """Time of the first so many units when each doubling cuts their average: ``T n^(1 + b)``.

    Args:
        first: time of the first unit, in any unit.
        count: units made, a count.
        rate: learning rate r, dimensionless: the share left after each doubling.

    Raises:
        ValueError: the count is negative or the rate impossible.

    Source:
        Appendix on learning-curve mathematics (cumulative-average model), published weakly.
    """
    demands.not_negative(count=count)
    return count * unit_time(first, count, rate) if count else 0.0


def average_unit(first: float, number: int, rate: float) -> float:
    """Time of the n-th unit in the cumulative-average model.

    Args:
        first: time of the first unit, in any unit.
        number: which unit, counted from 1.
        rate: learning rate r, dimensionless: the share left after each doubling.

    Raises:
        ValueError: the number is below 1 or the rate impossible.

    Source:
        `average_total` of so many units less that of one fewer; time in the unit given.
    """
    if number < 1:
        raise ValueError(f"units are counted from 1, not {number}")
    return average_total(first, number, rate) - average_total(first, number - 1, rate)


def learning_rate(first: float, later: float, number: float) -> float:
    """Rate of the unit model at which the n-th unit takes ``later``: ``(T_n/T)^(1/log2 n)``.

    Args:
        first: time of the first unit, in any unit.
        later: time of the n-th unit, in the same unit.
        number: which unit it is, counted from 1; above 1.

    Raises:
        ValueError: a time is not above zero, the number is not above 1, or nothing was learned.

    Source:
        `unit_time` solved for the rate; dimensionless.
    """
    demands.above_zero(first=first, later=later)
    if not 1 < number < math.inf:
        raise ValueError(f"a rate needs a unit after the first, not {number:g}")
    if later > first:
        raise ValueError(f"the later unit took longer, {later:g} against {first:g}")
    return math.pow(later / first, 1 / math.log2(number))


def repeated_set_up(fixed: float, first: float, number: float, rate: float) -> float:
    """Time of the n-th repeat of a set-up, in the unit given; part of it cannot be learned away.

    Args:
        fixed: the part that stays, in any unit.
        first: time of the first, in the same unit.
        number: which repeat, counted from 1.
        rate: learning rate of the rest, dimensionless; 0.85 to 0.95 is common practice, no source.

    Raises:
        ValueError: the fixed part is negative or above the first time, or as `unit_time`.

    Source:
        `unit_time` of the part that can be learned away, the rest as it is.
    """
    if not 0 <= fixed <= first:
        raise ValueError(f"a fixed part of {fixed:g} does not fit in a first time of {first:g}")
    return fixed + unit_time(first - fixed, number, rate)


def escalation_factor(yearly_rate: float, years: float) -> float:
    """Growth of prices to the middle of spending: ``(1 + e)^years``.

    Args:
        yearly_rate: share a year, 0.04 for four per cent.
        years: years to the middle of spending.

    Raises:
        ValueError: prices fall by all they are or more.

    Source:
        Compound growth; dimensionless.
    """
    if not -1 < yearly_rate < math.inf:
        raise ValueError(f"prices cannot change by {yearly_rate:g} a year")
    return math.pow(1 + yearly_rate, years)
