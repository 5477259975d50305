"""The day it is for a command: today, or the one that is said.

Takes a day as the command line gives it, gives a moment with this computer's zone. A show may be
dated in the past or the future; what is told of it then must not be told as of today.
"""

from __future__ import annotations

from datetime import datetime

import click

DAY = click.DateTime(["%Y-%m-%d"])
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


def morning(day: datetime | None) -> datetime:
    """The beginning of a day, from which what is left is dated; of today where none is said."""
    moment = day or datetime.now()  # noqa: DTZ005, TID251 - the command line reads the clock
    return moment.replace(hour=0, minute=0, second=0, microsecond=0).astimezone()


def told_at(day: datetime | None) -> datetime:
    """The last minute of a day, so that all of it has come; now where none is said."""
    if day is None:
        return datetime.now().astimezone()  # noqa: TID251 - the command line reads the clock
    return day.replace(hour=23, minute=59).astimezone()
