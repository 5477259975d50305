"""What may be told of what, and from which day on.

Takes an event as it reads, an outline and the days of a show, gives what speaks against keeping it,
in one sentence with what would do. Knows nothing of files, ledgers or printing.
"""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import TYPE_CHECKING

from planner.cli.as_of import out_of_years
from planner.cli.named import did_you_mean
from planner.ledger import What
from planner.ledger.event import BACK

if TYPE_CHECKING:
    from planner.ledger import Event
    from planner.model.facts import DateRange
    from planner.status.outline import Outline

SEASON = timedelta(days=91)
"""How long before its first day a show is told of without being asked: a location is measured, a
library plate found. A slip of a year goes back farther."""
AGES = timedelta(days=2 * 365)
"""How long before its first day nothing is told of a show without a word why: two figures of a year
turned go back farther, and what is older than two years has a story. As long after its last promise
nothing is told of it either."""
FILM = 16_000
"""Frames on a thousand feet of 35 mm film, the most a magazine holds: what is told to begin so long
before a cut, or to end so long after it, is a slip of the finger."""
_OF_SHOTS = frozenset(
    {
        What.HELD,
        What.FREED,
        What.OMITTED,
        What.UN_OMITTED,
        What.RECUT,
        What.APPROVED,
        What.NOT_APPROVED,
        What.CORRECTED,
    }
)
"""What happens to a shot as a whole; all else happens to one of its pieces."""
_BY_CAMERA = frozenset({What.TAKE, What.IN_THE_CAN, What.SCANNED})
_MADE = frozenset({"build", "permit", "decision"})
"""Kinds outside shots that are made, granted or settled, and seen in the pieces that show them."""
_NUMBER = re.compile(r"(?=\S*\d)\S{1,12}")
_CUT = re.compile(r"(\d+)-(\d+)")
_MOST_NAMED = 5


def misfit(event: Event, outline: Outline, days: DateRange, today: date, cut: str) -> str:
    """Why an event cannot be kept, a sentence; empty where it can.

    Args:
        event: as it reads; what it is about is in the outline, unless it is a correction.
        outline: of the show.
        days: the show's first day, and its last promise.
        today: by this computer.
        cut: frames of its shot, as ``101-220``; empty where there are none.
    """
    if event.what is What.CORRECTED:
        return ""
    faults = (
        _of_a_wrong_thing(event, outline),
        _number_of_no_take(event.details.take),
        _too_early(event, days.first, today),
        _too_late(event, days.last, today),
        _frames_of_no_cut(event, cut),
        _return_unread(event) if event.what is What.LOST else "",
    )
    return "; ".join(each for each in faults if each)


def _of_a_wrong_thing(event: Event, outline: Outline) -> str:
    about, piece = event.about, outline.pieces.get(event.about)
    if about in outline.shots and event.what not in _OF_SHOTS:
        pieces = [each.id for each in outline.pieces.values() if each.shot == about]
        return _tell_of(event, "a shot", "one of its pieces", pieces)
    if event.what not in _BY_CAMERA:
        return ""
    if about in outline.resources:
        return _tell_of(event, "no piece of a shot", "the piece photographed", [])
    if piece is not None and not piece.shot and piece.kind in _MADE:
        after = (outline.pieces[each] for each in outline.followers().get(about, ()))
        shown = [each.id for each in after if each.shot]
        return _tell_of(event, f"a {piece.kind}", "a piece it is seen in", shown)
    return ""


def _tell_of(event: Event, sort: str, wanted: str, pieces: list[str]) -> str:
    more = len(pieces) - _MOST_NAMED
    named = ", ".join(pieces[:_MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
    said = f"{event.about} is {sort}; tell “{event.what}” of {wanted}"
    return f"{said}: {named}" if named else said


def _number_of_no_take(take: str) -> str:
    if not take or _NUMBER.fullmatch(take):
        return ""
    return f"--take {take} is no number of a take; write it as on the slate, such as 4 or 4A"


def _too_early(event: Event, starts: date, today: date) -> str:
    if not _is_before(event, starts, today, AGES):
        return ""
    return (
        f"{event.at.date()} is long before the show's first day, {starts}; write the day it"
        " happened or, if it was that day, say with --why how it came to be so early"
    )


def _too_late(event: Event, promised: date, today: date) -> str:
    day = event.at.date()
    if event.details.why or day <= max(promised, today) + AGES:
        return ""
    return (
        f"{day} is more than two years after the show's last promise, {promised}; write the day it"
        " happened or, if it was that day, say with --why how it came to be so late"
    )


def _frames_of_no_cut(event: Event, cut: str) -> str:
    frames, found = event.details.frames, _CUT.fullmatch(cut)
    if frames is None or found is None or event.details.why:
        return ""
    first, last = map(int, found.groups())
    if frames.first >= first - FILM and frames.last <= last + FILM:
        return ""
    return (
        f"--frames {frames} is far beyond the cut, {cut}: no film is so long; write the frames that"
        " exist or, if those do, say with --why how"
    )


def early(event: Event, starts: date, today: date) -> str:
    """What one is asked of a day that may be meant, a question; empty where none is."""
    if event.what is What.CORRECTED or not _is_before(event, starts, today, SEASON):
        return ""
    said = f"{event.at.date()} is {(starts - event.at.date()).days} days before the show's first"
    return f"{said} day, {starts}: is the year right?"


def _is_before(event: Event, starts: date, today: date, by: timedelta) -> bool:
    """Whether it is told of so long before the show; one to come in years is told of today."""
    return not event.details.why and event.at.date() < min(starts, today) - by


def _return_unread(event: Event) -> str:
    """What is lost may be said to be back on a day, which is a date."""
    values = event.details.values
    for name in values.keys() - {BACK}:
        if meant := did_you_mean(name, (BACK,)):
            return f"--value {name}= says nothing of what is lost{meant}"
    back = values.get(BACK, "")
    if not back:
        return ""
    try:
        day = date.fromisoformat(back)
    except ValueError:
        return f"--value {BACK}={back} is no date; write the day as 2027-04-16"
    if fault := out_of_years(day):
        return f"--value {BACK} is wrong: {fault}"
    if day < event.at.date():
        return f"--value {BACK}={back} is before it is lost, on {event.at.date()}"
    return ""
