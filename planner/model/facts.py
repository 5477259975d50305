"""What a file states about one thing: named values, each with its place.

Takes values read from files, gives `Facts` with one accessor per sort of value. Knows nothing of
YAML, schemas or what the names mean; a kind's schema says that.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, time
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, TypeAlias

from planner.model.frozen import quickly_made
from planner.model.quantity import Quantity

if TYPE_CHECKING:
    from collections.abc import Mapping
    from decimal import Decimal

    from planner.model.place import Place


@dataclass(frozen=True, slots=True, order=True)
class FrameRange:
    """Frames from `first` to `last`, both counted, as editorial counts them."""

    first: int
    last: int

    @property
    def count(self) -> int:
        """Number of frames, ends included."""
        return self.last - self.first + 1

    def overlap(self, other: FrameRange) -> FrameRange | None:
        """Frames both ranges hold; None where they hold none."""
        first, last = max(self.first, other.first), min(self.last, other.last)
        return FrameRange(first, last) if first <= last else None

    def __str__(self) -> str:
        return f"{self.first}-{self.last}"


@dataclass(frozen=True, slots=True, order=True)
class DateRange:
    """Days from `first` to `last`, both counted."""

    first: date
    last: date

    def __str__(self) -> str:
        return f"{self.first}..{self.last}"


@dataclass(frozen=True, slots=True)
class Money:
    """An exact sum in one currency (ISO 4217 code)."""

    amount: Decimal
    currency: str

    def __str__(self) -> str:
        return f"{self.amount:,.2f} {self.currency}"


@dataclass(frozen=True, slots=True)
class Missing:
    """A fact written as ``?``: the author knows that it is not known.

    Attributes:
        by: who is to find it, as written under ``by``; empty where nobody is named.
    """

    by: str = ""


Value: TypeAlias = (
    "Quantity | str | bool | FrameRange | DateRange | date | time | Money | Missing"
    " | Facts | tuple[Value, ...]"
)


def _nothing() -> Mapping[str, Any]:
    return MappingProxyType({})


@quickly_made
@dataclass(frozen=True, slots=True)
class Facts:
    """Named values of one thing.

    An accessor answers None, its default or nothing where the fact is absent or ``?``. A value of
    another sort than asked for is a programmer's mistake (the schema settled it earlier): `number`,
    `word` and `flag` raise TypeError, the others answer as if it were absent.
    """

    place: Place
    values: Mapping[str, Value] = field(default_factory=_nothing)
    places: Mapping[str, Place] = field(default_factory=_nothing)

    def place_of(self, name: str) -> Place:
        """Where `name` was written, or where the whole thing was when it is absent."""
        return self.places.get(name, self.place)

    def has(self, name: str) -> bool:
        """Whether the fact is known: written, and not as ``?``."""
        value = self.values.get(name)
        return value is not None and not isinstance(value, Missing)

    def is_unknown(self, name: str) -> bool:
        """Whether the fact was written as ``?``."""
        return isinstance(self.values.get(name), Missing)

    def number(self, name: str) -> Quantity | None:
        """A number with its unit and standing."""
        value = self.values.get(name)
        if value is None or isinstance(value, Missing):
            return None
        if not isinstance(value, Quantity):
            raise TypeError(f"{name} is not a number")
        return value

    def amount(self, name: str, default: float) -> float:
        """The bare value of a number, or `default`; for facts whose absence has a plain meaning."""
        value = self.number(name)
        return default if value is None else value.value

    def word(self, name: str, default: str = "") -> str:
        """A word or sentence."""
        value = self.values.get(name)
        if value is None or isinstance(value, Missing):
            return default
        if not isinstance(value, str):
            raise TypeError(f"{name} is not text")
        return value

    def flag(self, name: str, *, default: bool = False) -> bool:
        """A true or false."""
        value = self.values.get(name)
        if value is None or isinstance(value, Missing):
            return default
        if not isinstance(value, bool):
            raise TypeError(f"{name} is not true or false")
        return value

    def frames(self, name: str) -> FrameRange | None:
        """A frame range."""
        value = self.values.get(name)
        return value if isinstance(value, FrameRange) else None

    def day(self, name: str) -> date | None:
        """A date."""
        value = self.values.get(name)
        return value if isinstance(value, date) else None

    def clock(self, name: str) -> time | None:
        """A time of day."""
        value = self.values.get(name)
        return value if isinstance(value, time) else None

    def days(self, name: str) -> DateRange | None:
        """A range of dates."""
        value = self.values.get(name)
        return value if isinstance(value, DateRange) else None

    def money(self, name: str) -> Money | None:
        """An exact sum."""
        value = self.values.get(name)
        return value if isinstance(value, Money) else None

    def group(self, name: str) -> Facts:
        """A nested thing; empty facts where it is absent, so that questions can go on."""
        value = self.values.get(name)
        return value if isinstance(value, Facts) else Facts(self.place_of(name))

    def groups(self, name: str) -> tuple[Facts, ...]:
        """A list of nested things."""
        return tuple(item for item in self._list(name) if isinstance(item, Facts))

    def named(self, name: str) -> Mapping[str, Facts]:
        """A map of nested things by name, as in ``axes: {pan: …}``."""
        return {
            key: value for key, value in self.group(name).values.items() if isinstance(value, Facts)
        }

    def words(self, name: str) -> tuple[str, ...]:
        """A list of words."""
        return tuple(item for item in self._list(name) if isinstance(item, str))

    def numbers(self, name: str) -> tuple[Quantity, ...]:
        """A list of numbers."""
        return tuple(item for item in self._list(name) if isinstance(item, Quantity))

    def ranges(self, name: str) -> tuple[DateRange, ...]:
        """A list of date ranges."""
        return tuple(item for item in self._list(name) if isinstance(item, DateRange))

    def _list(self, name: str) -> tuple[Value, ...]:
        value = self.values.get(name)
        return value if isinstance(value, tuple) else ()
