"""The rows of a set-up card that say who stands where and does what when.

Takes a `SetUpCard`, gives labels with their text, unfolded. Works nothing out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.pages.card_values import BLANK, marked

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.model.facts import Facts
    from planner.pages.card_values import Row, SetUpCard


def floor_rows(card: SetUpCard) -> Iterator[Row]:
    """What is rolled, stations of hands, and the cue sheet in the order of its frames."""
    yield from _turned(card)
    for number, station in enumerate(card.element.facts.groups("stations")):
        yield ("" if number else "Stations"), _station(card, station)
    cues = sorted(card.element.facts.groups("cues"), key=_first_frame)
    for number, cue in enumerate(cues):
        yield ("" if number else "Cues"), _cue(cue)


def _turned(card: SetUpCard) -> Iterator[Row]:
    turned = card.element.facts.group("turned")
    if not turned.values:
        return
    said = [f"{turned.word('by')} by {marked(turned.number('angle'))}"]
    said.append(f"held from {turned.word('support').replace('_', ' ') or BLANK}")
    said += [f"{each} hangs free" for each in turned.words("hangs")]
    yield "Rolled", ", ".join(said)


def _station(card: SetUpCard, station: Facts) -> str:
    who = station.word("who")
    side = station.word("side")
    place = ", ".join(marked(each) for each in station.numbers("at"))
    where = f"{f'from {side}' if side else 'side ' + BLANK}{f' at ({place})' if place else ''}"
    frames = station.frames("frames")
    seen = card.number(f"frames that show {who}")
    shown = f"; in the picture on {marked(seen)}" if seen is not None and seen.value else ""
    return f"{who} {where}{f', frames {frames}=' if frames else ''}{shown}"


def _first_frame(cue: Facts) -> int:
    frames = cue.frames("frames")
    return frames.first if frames else 0


def _cue(cue: Facts) -> str:
    at = cue.word("at")
    frames = cue.frames("frames")
    when = f"{frames}=" if frames else BLANK
    return f"{when} {cue.word('who')}: {cue.word('what')}{f', at {at}' if at else ''}"
