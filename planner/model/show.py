"""The show as its people wrote it: sequences, shots, elements, resources, calendar and rates.

Takes facts already read and checked, gives frozen values that every later room reads. Knows
nothing of files or schemas, and works nothing out.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from planner.model.frozen import quickly_made

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date, time
    from decimal import Decimal

    from planner.model.facts import DateRange, Facts, FrameRange, Money
    from planner.model.place import Place


@quickly_made
@dataclass(frozen=True, slots=True)
class Reference:
    """One thing naming another by role.

    Attributes:
        role: the word it was written under, such as ``shadow_of`` or ``build``.
        target: id of the thing named.
        place: where it was written.
        waits: whether work on the namer starts only after work on the named is done.
    """

    role: str
    target: str
    place: Place
    waits: bool


@quickly_made
@dataclass(frozen=True, slots=True)
class Element:
    """One separately made piece of a shot, or a thing made once and used by many.

    Attributes:
        id: ``SHOT.name`` for a shot's piece; a bare name for builds, tests, permits and the like.
        kind: name of the kind that estimates it.
        shot: id of its shot; empty for things outside shots.
        facts: what its file states, by the kind's schema.
        references: other things it names.
        place: where it is written.
    """

    id: str
    kind: str
    shot: str
    facts: Facts
    references: tuple[Reference, ...]
    place: Place

    @property
    def name(self) -> str:
        """The element's own name, without its shot."""
        return self.id.rpartition(".")[2]

    def targets(self, role: str) -> tuple[str, ...]:
        """Ids named under `role`."""
        return tuple([each.target for each in self.references if each.role == role])

    def target(self, role: str) -> str:
        """The single id named under `role`; empty where there is none."""
        for each in self.references:
            if each.role == role:
                return each.target
        return ""


@quickly_made
@dataclass(frozen=True, slots=True)
class Shot:
    """One shot of the cut.

    Attributes:
        id: as editorial numbers it, unique in the show.
        sequence: id of its sequence.
        says: one sentence of what is seen.
        cut: frames of the cut, both ends counted; None while unknown.
        state: ``live``, ``omitted``, ``on hold`` or ``unplaced`` (an idea, not in the bid).
        facts: the rest of what its file states; the camera of the composite is under ``camera``.
        elements: ids of its pieces, in the order written.
        place: where it is written.
    """

    id: str
    sequence: str
    says: str
    cut: FrameRange | None
    state: str
    facts: Facts
    elements: tuple[str, ...]
    place: Place

    @property
    def is_live(self) -> bool:
        """Whether work is still wanted for it."""
        return self.state == "live"

    @property
    def camera(self) -> Facts:
        """The one camera that every piece must look as if seen by."""
        return self.facts.group("camera")


@dataclass(frozen=True, slots=True)
class Sequence:
    """Shots that follow one another in the story."""

    id: str
    title: str
    shots: tuple[str, ...]
    facts: Facts
    place: Place

    @property
    def called(self) -> str:
        """What people call it: its title, or its id where it has none."""
        return self.title or self.id


@dataclass(frozen=True, slots=True)
class Resource:
    """Something scarce: a stage, rig, camera, lens, screen, crew or person.

    Attributes:
        id: unique among all resources.
        sort: ``stage``, ``rig``, ``camera``, ``lens``, ``screen``, ``crew`` or ``person``.
        title: how people call it.
        capacity: how many may be used at once; heads of a crew, 1 for a stage.
        craft: for a crew or person, the craft they practise.
        away: days it cannot be had.
        facts: the rest, by schema.
        place: where it is written.
    """

    id: str
    sort: str
    title: str
    capacity: int
    craft: str
    away: tuple[DateRange, ...]
    facts: Facts
    place: Place

    @property
    def called(self) -> str:
        """What people call it: its title, or its id where it has none."""
        return self.title or self.id


@dataclass(frozen=True, slots=True)
class MoveAxis:
    """Positions of one axis, a value a frame, in `unit` (``mm`` or ``deg``)."""

    unit: str
    values: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Move:
    """A camera's recorded or designed path, in the picture's own world.

    Attributes:
        id: name of its file in moves/, without the ending.
        first_frame: frame of the first row, in the shot's own count.
        axes: by name (``track``, ``pan`` …), all of one length.
        place: its file.
    """

    id: str
    first_frame: int
    axes: Mapping[str, MoveAxis]
    place: Place


@dataclass(frozen=True, slots=True)
class Meal:
    """A break in every working day, in which nobody works.

    Attributes:
        after: working hours since the call, above 0 and below those of the day.
        lasts: hours, above 0.
    """

    after: float
    lasts: float


@dataclass(frozen=True, slots=True)
class WorkCalendar:
    """When people work.

    Attributes:
        starts: first day anything may be done.
        week: working week-days, Monday 0.
        holidays: days nobody works.
        day_starts: call.
        day_hours: working hours in a day, meal breaks left out; a multiple of a quarter hour.
        meals: of every day, the earliest first.
    """

    starts: date
    week: frozenset[int]
    holidays: tuple[DateRange, ...]
    day_starts: time
    day_hours: float
    meals: tuple[Meal, ...] = ()

    def opens(self, day: date) -> datetime:
        """When `day` begins, by the local clock."""
        return datetime.combine(day, self.day_starts)

    def closes(self, day: date) -> datetime:
        """When the last hour of work of `day` is over, meals and all."""
        meals = sum(meal.lasts for meal in self.meals)
        return self.opens(day) + timedelta(hours=self.day_hours + meals)

    def meal_times(self, day: date) -> tuple[tuple[datetime, datetime], ...]:
        """From and until of each meal of `day`, in order."""
        times, eaten = [], 0.0
        for meal in self.meals:
            begins = self.opens(day) + timedelta(hours=meal.after + eaten)
            times.append((begins, begins + timedelta(hours=meal.lasts)))
            eaten += meal.lasts
        return tuple(times)

    def worked_by(self, moment: datetime, day: date) -> float:
        """Working hours of `day` that are over at `moment`, from none to all of them."""
        passed = moment - self.opens(day)
        for begins, ends in self.meal_times(day):
            passed -= max(min(moment, ends) - begins, timedelta(0))
        return min(max(passed / timedelta(hours=1), 0.0), self.day_hours)

    def is_working(self, day: date) -> bool:
        """Whether anyone works on `day`."""
        return (
            day >= self.starts
            and day.weekday() in self.week
            and not any(span.first <= day <= span.last for span in self.holidays)
        )

    def working_days(self, first: date, last: date) -> tuple[date, ...]:
        """The days worked from `first` to `last`, both with them; none where `last` is sooner."""
        days = (first + timedelta(days=n) for n in range((last - first).days + 1))
        return tuple(day for day in days if self.is_working(day))

    def worked_between(self, first: datetime, last: datetime) -> float:
        """Working hours from one moment to a later one, nights and days off left out."""
        return sum(
            max(self.worked_by(last, day) - self.worked_by(first, day), 0.0)
            for day in self.working_days(first.date(), last.date())
        )

    def days_between(self, first: date, last: date) -> int:
        """Working days after `first`, up to `last` and with it; 0 where `last` is no later.

        Whole weeks are counted at once, so that years cost no more than days.
        """
        one = timedelta(days=1)
        first = max(first, self.starts - one)
        weeks, rest = divmod(max((last - first).days, 0), 7)
        open_ = weeks * len(self.week)
        open_ += sum((last - n * one).weekday() in self.week for n in range(rest))
        closed: set[date] = set()
        for span in self.holidays:
            begins, ends = max(span.first, first + one), min(span.last, last)
            days = (begins + n * one for n in range((ends - begins).days + 1))
            closed.update(day for day in days if day.weekday() in self.week)
        return open_ - len(closed)


@dataclass(frozen=True, slots=True)
class Rate:
    """What one unit of something costs, by date.

    Attributes:
        id: what it prices: a craft, a resource or a material.
        per: ``hour``, ``day``, ``frame``, ``foot``, ``item`` …
        amounts: (from this day, sum), oldest first; the last one not after the day holds.
        account: the production's own account text.
        place: where it is written.
    """

    id: str
    per: str
    amounts: tuple[tuple[date, Money], ...]
    account: str
    place: Place

    def on(self, day: date) -> Money | None:
        """The sum in force on `day`; None before the first."""
        held = [money for since, money in self.amounts if since <= day]
        return held[-1] if held else None


@dataclass(frozen=True, slots=True)
class Delivery:
    """A date by which composites must be final.

    Attributes:
        id: its name.
        day: last day on time.
        shots: ids of the shots wanted; a sequence named in the file is already spelled out.
        weight: how much a day late matters beside the others, dimensionless.
        place: where it is written.
    """

    id: str
    day: date
    shots: tuple[str, ...]
    weight: float
    place: Place


@dataclass(frozen=True, slots=True)
class Loads:
    """What is added to cost, as shares (0.12 is twelve per cent).

    Attributes:
        overhead: on cost.
        contingency: on cost, by class of risk: ``ordinary``, ``untried``, ``fire``.
        contingency_carries_overhead: whether overhead is also taken on the contingency.
    """

    overhead: Decimal
    contingency: Mapping[str, Decimal]
    contingency_carries_overhead: bool


@dataclass(frozen=True, slots=True)
class Show:
    """Everything the files state.

    Attributes:
        folder: the show's folder as given, for messages only.
        title: its name.
        currency: ISO 4217 code every rate uses.
        calendar: when people work.
        sequences: by id, in the order of their files' names.
        shots: by id, in story order.
        elements: every piece, build, test, permit and standing set, by id.
        resources: by id.
        rates: by id.
        moves: camera moves by id.
        deliveries: in the order written.
        loads: overhead and contingency.
        facts: the rest of show.yaml, by schema.
        unreadable: ids of elements whose text holds errors; nothing is worked out for them.
        aside: ids of methods not taken and of what only they want; see `planner.model.methods`.
        lost_files: files and folders of the show of which something is there and cannot be read:
            that nothing names a thing cannot be said then.
    """

    folder: str
    title: str
    currency: str
    calendar: WorkCalendar
    sequences: Mapping[str, Sequence]
    shots: Mapping[str, Shot]
    elements: Mapping[str, Element]
    resources: Mapping[str, Resource]
    rates: Mapping[str, Rate]
    moves: Mapping[str, Move]
    deliveries: tuple[Delivery, ...]
    loads: Loads
    facts: Facts
    unreadable: frozenset[str] = frozenset()
    aside: frozenset[str] = frozenset()
    lost_files: frozenset[str] = frozenset()

    def resources_of(self, sort: str) -> tuple[Resource, ...]:
        """Resources of one sort, in the order written."""
        return tuple(each for each in self.resources.values() if each.sort == sort)

    def is_live(self, element: Element) -> bool:
        """Whether `element` is still wanted: outside shots or in a live shot, and not aside."""
        if element.id in self.aside:
            return False
        return not element.shot or self.shots[element.shot].is_live
