"""How people call, count and date the things of a show: resources by title, others by id in words.

Takes ids, set-ups and sentences as other rooms keep them, and the show; gives what is printed. Ids
stay as written in orders, in JSON and wherever a waiver's mark is reckoned from a sentence, so
names are put in here, when a page is made.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from planner.model.ratio import in_ratio

if TYPE_CHECKING:
    from datetime import date

    from planner.model.show import Show

# What stands in backticks is to be typed as it is, and what stands behind a dot, a stroke or a dash
# is part of a longer name: a shot's piece, a file, an option. A word without a stroke below may be
# an ordinary one as well (`crane`), and reads the same.
_MAY_BE_ID = re.compile(r"`[^`]*`|(?<![\w./-])[a-z][a-z0-9]*(?:_[a-z0-9]+)+(?![\w/]|\.\w)")

_PART = re.compile(r"[\d.]+ mm|\S+")
_COMPOUND = re.compile(r"\w+[._]\w+")
_SIZE = re.compile(r"1/(\d+(?:\.\d+)?)|[\d.]+ mm")


MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def day_words(day: date, *, year: bool = True) -> str:
    """``Mon 2 Mar 2026``, in the same words everywhere; without its year, ``Mon 2 Mar``."""
    said = f"{_WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"
    return f"{said} {day.year}" if year else said


def counted(count: int, one: str, many: str = "") -> str:
    """A count with its noun: ``1 shot``, ``3 shots``, ``1,200 shots``."""
    return f"{count:,} {noun(count, one, many)}"


def noun(count: float, one: str, many: str = "") -> str:
    """The noun of a count that is written otherwise, as in findings: ``shot``, ``shots``."""
    return one if count == 1 else many or f"{one}s"


def in_tenths(value: float, one: str, many: str = "") -> str:
    """A measure to a tenth with its noun, none of it where it is whole: ``1 day``, ``2.5 days``."""
    rounded = round(value, 1)
    return f"{f'{rounded:,.1f}'.removesuffix('.0')} {noun(rounded, one, many)}"


def title_of(id_: str, show: Show) -> str:
    """How people call a thing that is no piece of a shot: ``North stage``, ``dam face``."""
    resource = show.resources.get(id_)
    return (resource.title if resource else "") or id_.replace("_", " ")


def name_of(id_: str, show: Show) -> str:
    """How people call anything; shots and their pieces keep their ids: ``NB150.mud``."""
    return id_ if "." in id_ or id_ in show.shots else title_of(id_, show)


def sequence_title(id_: str, show: Show) -> str:
    """A sequence's title, else its id in words."""
    sequence = show.sequences.get(id_)
    return (sequence.title if sequence else "") or id_.replace("_", " ")


def set_up_words(set_up: str, show: Show) -> str:
    """A set-up by the names people use: ``town at 1:24, prime 35, Long track rig``.

    Sentences of a plugin's own, which are no row of things, stay sentences.
    """
    row = _PART.findall(set_up.replace(" or ", "|"))
    if not all(_is_part(each, show) for part in row for each in part.split("|")):
        return in_names(set_up, show)
    said = (" or ".join(_part_said(each, show) for each in part.split("|")) for part in row)
    return ", ".join(said).replace(", at ", " at ")


def _is_part(part: str, show: Show) -> bool:
    """Whether it is what `planner.kinds.floor` makes set-ups of, though it may be gone since."""
    return bool(_SIZE.fullmatch(part) or _COMPOUND.fullmatch(part)) or _is_known(part, show)


def _part_said(part: str, show: Show) -> str:
    """A scale as pages write it, else a thing by its name."""
    scale = _SIZE.fullmatch(part)
    return f"at {in_ratio(float(scale[1]))}" if scale and scale[1] else name_of(part, show)


def in_names(text: str, show: Show | None) -> str:
    """A sentence with the things of the show it names by id called as people call them.

    Args:
        text: a finding, a remedy, a reason; what stands in backticks is left as it is.
        show: whose things; None where none could be read, and nothing changes.
    """
    if show is None or "_" not in text:
        return text
    return _MAY_BE_ID.sub(lambda found: _called(found[0], show), text)


def _called(word: str, show: Show) -> str:
    if not _is_known(word, show):
        return word
    return sequence_title(word, show) if word in show.sequences else title_of(word, show)


def _is_known(word: str, show: Show) -> bool:
    known = (show.resources, show.elements, show.moves, show.sequences)
    return any(word in each for each in known) or any(word == e.id for e in show.deliveries)
