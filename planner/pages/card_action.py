"""Rows of a set-up card about what happens before the lens: gags and smoke, and parts of a board.

Takes a `SetUpCard`, gives labels with their text, unfolded. Works nothing out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.pages.card_values import BLANK, marked, marked_count

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.pages.card_values import Row, SetUpCard

LASTS = ("fall", "swing")


def action_rows(card: SetUpCard) -> Iterator[Row]:
    """The gag and how long it lasts, the smoke and its level, the zones of a board."""
    yield from _gag(card)
    yield from _haze(card)
    for number, zone in enumerate(card.element.facts.groups("zones")):
        frames = zone.frames("frames")
        seen = f"{frames}=" if frames else BLANK
        area = marked(card.number(f"area of {zone.word('name')}"))
        yield (
            ("" if number else "Zones"),
            f"{zone.word('name')}: {zone.word('detail')}, {area}, {seen}",
        )


def _gag(card: SetUpCard) -> Iterator[Row]:
    gag = card.element.facts.group("gag")
    if not gag.values:
        return
    said = [f"cued on frame {marked(gag.number('cue'))}"]
    for name in LASTS:
        frames = card.number(f"{name} on the screen")
        if frames is not None:
            on_stage = marked(card.number(f"{name} on the stage"))
            said.append(f"{name} {on_stage} on the stage, {marked_count(frames, 'frame')}")
    said.append("seen to work" if gag.flag("proven") else f"seen to work: {BLANK}")
    said.append(f"{marked_count(card.number('takes in a day'), 'take')} in a day")
    yield "Gag", "; ".join(said)


def _haze(card: SetUpCard) -> Iterator[Row]:
    haze = card.element.facts.group("haze")
    if not haze.values:
        return
    times = [f"{name} {marked(haze.number(name))}" for name in ("clear", "settle")]
    fans = haze.word("fans") or BLANK
    yield "Smoke", f"level {haze.word('level') or BLANK}; {'; '.join(times)}; fans {fans}"
