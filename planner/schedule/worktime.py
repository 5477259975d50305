"""The work-time axis: quarter hours with nights, week-ends, holidays and meals squeezed out.

Takes the working days and the length of one, gives dates for quarters and quarters for dates, and
the arithmetic of pausing over blocked spells. Knows nothing of activities or resources.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Collection

QUARTER = timedelta(minutes=15)
DAY = timedelta(days=1)

Spell = tuple[int, int]
"""Half-open stretch of the axis, `(first quarter, quarter after the last)`."""


@dataclass(frozen=True, slots=True)
class Calendar:
    """Working days laid end to end, each of the same length.

    Quarter 0 is the first quarter hour of the first day. Past the last listed day the axis goes on
    with the weekdays that the list has, so that a late order still has dates.

    Attributes:
        days: working days, rising, at least one.
        quarters_per_day: length of a working day, quarter hours.
        first_hour: when a working day begins, local clock.
        pauses: of every day, rising: after how many of its quarters, and how many quarter hours of
            the clock are nobody's.
        week: weekdays that the list has, Monday 0, rising; looked up once, as every date past the
            list is told by them.
    """

    days: tuple[date, ...]
    quarters_per_day: int = 40
    first_hour: time = time(8)
    pauses: tuple[tuple[int, int], ...] = ()
    week: tuple[int, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        if not self.days or any(a >= b for a, b in zip(self.days, self.days[1:], strict=False)):
            raise ValueError("a calendar needs working days in rising order")
        if not 1 <= self.quarters_per_day <= 96:
            raise ValueError("a working day has 1 to 96 quarter hours")
        object.__setattr__(self, "week", tuple(sorted({day.weekday() for day in self.days})))

    def day_index(self, quarter: int) -> int:
        """Number of the working day that holds `quarter`, from 0."""
        return quarter // self.quarters_per_day

    def day(self, index: int) -> date:
        """Date of working day number `index`, past the list too."""
        if index < len(self.days):
            return self.days[index]
        weeks, rest = divmod(index - len(self.days), len(self.week))
        current = self.days[-1] + 7 * weeks * DAY
        for _ in range(rest + 1):
            current += DAY
            while current.weekday() not in self.week:
                current += DAY
        return current

    def to_datetime(self, quarter: int) -> datetime:
        """Local clock at which `quarter` begins."""
        index, rest = divmod(quarter, self.quarters_per_day)
        rest += sum(length for after, length in self.pauses if after <= rest)
        return datetime.combine(self.day(index), self.first_hour) + rest * QUARTER

    def finish_datetime(self, quarter: int) -> datetime:
        """Local clock at which work that ends before `quarter` stops: evening, not next morning."""
        return self.to_datetime(quarter - 1) + QUARTER if quarter > 0 else self.to_datetime(0)

    def quarter_at(self, moment: date) -> int:
        """First quarter that begins at or after a date or a date with a time of day."""
        day = moment.date() if isinstance(moment, datetime) else moment
        index = self._index_at(day)
        if not isinstance(moment, datetime) or self.day(index) != day:
            return index * self.quarters_per_day
        since = moment - datetime.combine(day, self.first_hour)
        quarters = max(0, -(-since // QUARTER))
        for after, length in self.pauses:
            quarters -= min(max(quarters - after, 0), length)
        return index * self.quarters_per_day + min(quarters, self.quarters_per_day)

    def after_clock(self, finish: int, clock_quarters: int) -> int:
        """First working quarter `clock_quarters`, counted day and night, after `finish`."""
        if clock_quarters <= 0:
            return finish
        return self.quarter_at(self.finish_datetime(finish) + clock_quarters * QUARTER)

    def _index_at(self, day: date) -> int:
        if day <= self.days[-1]:
            return bisect_left(self.days, day)
        index = len(self.days)
        # Whole weeks first, so that a date years away costs no more than one next week.
        index += max(0, (day - self.days[-1]).days // 7 - 1) * len(self.week)
        while self.day(index) < day:
            index += 1
        return index


def working_days(
    first: date,
    last: date,
    weekdays: Collection[int] = (0, 1, 2, 3, 4),
    holidays: Collection[date] = (),
) -> tuple[date, ...]:
    """Days from `first` to `last`, both counted, on the weekdays (Monday 0) but no holiday."""
    span = (last - first).days + 1
    days = (first + n * DAY for n in range(span))
    closed = frozenset(holidays)
    return tuple(day for day in days if day.weekday() in weekdays and day not in closed)


def merged(spells: Collection[Spell]) -> tuple[Spell, ...]:
    """The same stretches, sorted, overlaps and touching ends joined, empty ones dropped."""
    joined: list[Spell] = []
    for first, end in sorted(spells):
        if first >= end:
            continue
        if joined and first <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(end, joined[-1][1]))
        else:
            joined.append((first, end))
    return tuple(joined)


def finish_of(start: int, duration: int, spells: tuple[Spell, ...]) -> int:
    """Where `duration` quarters begun at `start` end when work pauses over the merged `spells`."""
    end = start + duration
    for first, after in spells:
        if first >= end:
            break
        if after > start:
            end += after - max(first, start)
    return end


def start_before(end: int, duration: int, spells: tuple[Spell, ...]) -> int:
    """Latest start of `duration` quarters, pausing over `spells`, to end by `end`; may be < 0."""
    start = end - duration
    for first, after in reversed(spells):
        if after <= start:
            break
        if first < end:
            start -= min(after, end) - first
    return start
