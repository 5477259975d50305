"""What a command takes from this computer unless it is told: the day it is, and who tells.

Takes a day as the command line gives it, gives a moment with this computer's zone. A show may be
dated in the past or the future; what is told of it then must not be told as of today.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from datetime import date

YEARS = range(1900, 3000)
"""Of any show: farther out, days before and after are no dates, and clocks have no zone."""


class _Day(click.DateTime):
    """A day within the years of any show."""

    def __init__(self) -> None:
        super().__init__(["%Y-%m-%d"])

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> datetime:
        day: datetime = super().convert(value, param, ctx)
        if fault := out_of_years(day):
            self.fail(fault, param, ctx)
        return day


def out_of_years(day: date) -> str:
    """Why a day is of no show, a clause; empty where it may be."""
    if day.year in YEARS:
        return ""
    return f"{day:%Y-%m-%d} is no day of a show; write one from {YEARS[0]} to {YEARS[-1]}"


DAY = _Day()
MOMENT = timedelta(microseconds=1)
"""By which what is told next is later than what was told before."""
EVENING = timedelta(seconds=59)
"""From `told_at` on, what is told of a day without a time happened; the last second is left over,
so that what comes after the latest stays in the day."""
ON = click.option(
    "--on", "day", type=DAY, help="The day it is, to its last minute; now unless said."
)
GOING_ON = click.option(
    "--on",
    "day",
    type=DAY,
    help="The day from which everything goes on, what was posted on it, evening included, being"
    " known; today unless said.",
)


def author(stated: str | None) -> str:
    """Who tells it: as the command line says, else who is logged in here.

    Where this computer has no name for them, the command ends with code 2.
    """
    from getpass import getuser

    try:
        return stated or getuser()
    except (OSError, KeyError, ImportError):
        says = "this computer has no name for you; say who tells it, --author NAME"
        raise click.UsageError(says) from None


def morning(day: datetime | None) -> datetime:
    """The beginning of a day, from which what is left is dated; of today where none is said."""
    moment = day or datetime.now()  # noqa: DTZ005, TID251 - the command line reads the clock
    return moment.replace(hour=0, minute=0, second=0, microsecond=0).astimezone()


def told_at(day: datetime | None) -> datetime:
    """The last minute of a day, so that all of it has come; now where none is said."""
    if day is None:
        return datetime.now().astimezone()  # noqa: TID251 - the command line reads the clock
    return day.replace(hour=23, minute=59).astimezone()


def after(begins: datetime, latest: datetime | None) -> datetime:
    """The first moment of an `EVENING` that is later than all that was told of it already."""
    return begins if latest is None else latest.astimezone(begins.tzinfo) + MOMENT
