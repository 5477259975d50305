"""The cue sheet of one set-up.

Takes who does what where on which frames, gives counts and findings where two people or two cues
are in one place. Knows nothing of what the hands hold.
"""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from planner.model.names import noun

if TYPE_CHECKING:
    from planner.kinds import Estimate, Worksheet
    from planner.model.facts import Facts, FrameRange


def check_cues(sheet: Worksheet, _estimate: Estimate) -> None:
    """Crowding: two people at one place, or one person wanted at two, on one frame."""
    cues = [each for each in sheet.element.facts.groups("cues") if each.frames("frames")]
    sheet.reckon("cues", len(cues), "1", "cues listed")
    hands = len({each.word("who") for each in cues})
    sheet.reckon("people with cues", hands, "1", "names on the cue sheet")
    clashes = 0
    for one, other in combinations(cues, 2):
        common = _common(one, other)
        if common is None:
            continue
        same_place = bool(one.word("at")) and one.word("at") == other.word("at")
        same_person = one.word("who") == other.word("who")
        if same_place and not same_person:
            clashes += 1
            _tell_crowd(sheet, one, other, common)
        elif same_person and one.word("at") != other.word("at"):
            clashes += 1
            _tell_split(sheet, one, other, common)
    sheet.reckon("clashes of cues", clashes, "1", "pairs of cues that cannot both be met")


def _common(one: Facts, other: Facts) -> FrameRange | None:
    first, second = one.frames("frames"), other.frames("frames")
    return first.overlap(second) if first and second else None


def _tell_crowd(sheet: Worksheet, one: Facts, other: Facts, common: FrameRange) -> None:
    sheet.warn(
        "two-in-one-place",
        f"{one.word('who')} ({one.word('what')}) and {other.word('who')} ({other.word('what')}) are"
        f" both at {one.word('at')} on {common}: {common.count} {noun(common.count, 'frame')}",
        f"move one of them by frame {common.first}, or give both cues to one",
        at="cues",
    )


def _tell_split(sheet: Worksheet, one: Facts, other: Facts, common: FrameRange) -> None:
    sheet.warn(
        "one-in-two-places",
        f"{one.word('who')} is at {one.word('at') or 'no place'} ({one.word('what')}) and at"
        f" {other.word('at') or 'no place'} ({other.word('what')}) on {common}: {common.count}"
        " frames",
        "give one of the cues to somebody else, or move it",
        at="cues",
    )
