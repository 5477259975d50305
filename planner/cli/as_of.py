"""The day it is for a command: today, or the one that is said.

Takes a day as the command line gives it, gives a moment with this computer's zone. A show may be
dated in the past or the future; what is told of it then must not be told as of today.
"""

from __future__ import annotations

from datetime import datetime

import click

ON = click.option(
    "--on",
    "day",
    type=click.DateTime(["%Y-%m-%d"]),
    help="The day it is, to its last minute; now unless said.",
)


def told_at(day: datetime | None) -> datetime:
    """The last minute of a day, so that all of it has come; now where none is said."""
    if day is None:
        return datetime.now().astimezone()  # noqa: TID251 - the command line reads the clock
    return day.replace(hour=23, minute=59).astimezone()
