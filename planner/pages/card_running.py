"""Rows of a set-up card about what runs: the move, its passes, takes and film.

Takes a `SetUpCard`, gives labels with their text, unfolded. Works nothing out.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from planner.craft.passes import PASS_RULES
from planner.pages.card_values import BLANK, SAME_STOP, marked, marked_count

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.model.quantity import Quantity
    from planner.pages.card_values import Row, SetUpCard


FRAMINGS = ("widest", "tightest")
PASSES = {"interactive": "interactive-light"}
"""Passes that a show names in fewer words than `PASS_RULES`."""


def running_rows(card: SetUpCard) -> Iterator[Row]:
    """The move and the rigs that repeat it, then passes, takes and film."""
    yield from _move(card)
    yield from _against_framings(card)
    yield from _passes(card)


def _move(card: SetUpCard) -> Iterator[Row]:
    source = card.show.elements.get(card.element.target("move_from"))
    axes = [name.removesuffix(" peak speed") for name in card.dial if name.endswith(" peak speed")]
    push = card.number("travel between the framings") if source is None else None
    if push is not None:
        yield from _push(card, push)
    side = "across the board, " if push is not None else ""
    if source is None and not axes:
        if push is None:
            yield "Move", "none: the camera stands still"
        return
    if source is not None:
        origin, data = source.facts.word("origin") or "origin unknown", source.facts.word("data")
        file = f"moves/{data}.csv" if data else "no file yet"
        yield "Move", f"repeats {source.id} ({origin}, {file}), revision {BLANK}"
    else:
        label = "" if push is not None else "Move"
        yield label, f"{side}on the stage alone, no program named; revision {BLANK}"
    yield from _axes(card, axes)
    rigs = card.options("rig")
    said = " or ".join(card.title(each) for each in rigs) or f"none that follows: {BLANK}"
    fastest = card.number("fastest rate of the rig")
    said += f"; follows to {marked(fastest)}" if fastest else ""
    frames = card.number("run-up frames")
    said += f"; {marked_count(frames, 'frame')} of run-up" if frames else ""
    yield "Rig", said


def _push(card: SetUpCard, travel: Quantity) -> Iterator[Row]:
    """A camera that goes to or from a board between its framings, with no move to repeat."""
    wide, tight = (card.number(f"lens to the board, {each} framing") for each in FRAMINGS)
    between = f"lens {marked(wide)} from the board at the widest, {marked(tight)} at the tightest"
    yield "Move", f"toward the board, between the framings: {between}"
    frames = marked(card.number("frames"))
    yield "", f"travels {marked(travel)} in {frames} frames; begins on {BLANK}, ends on {BLANK}"


def _against_framings(card: SetUpCard) -> Iterator[Row]:
    """What the framings ask of the move and it does not do; neither is known to be right."""
    carried = card.number("travel of the move toward the board")
    if carried is not None:
        asked = marked(card.number("travel between the framings"))
        said = (
            f"! the move takes the lens {marked(carried)} toward the board, and the framings want"
            f" {asked}: see the findings; settle it before anything is programmed"
        )
        yield "", said


def _axes(card: SetUpCard, axes: list[str]) -> Iterator[Row]:
    """A line an axis under its headings."""
    heads = ("travel", "peak speed", "peak acceleration", "run-up")
    if axes:
        yield "", ("axis", "travel", "fastest", "hardest", "run-up")
    for axis in axes:
        yield "", (axis, *(marked(card.number(f"{axis} {name}")) for name in heads))


def _passes(card: SetUpCard) -> Iterator[Row]:
    names = card.element.facts.words("passes")
    each = f"{marked(card.number('frames'))} frames + {_whole(card.number('frames of run'))} of run"
    each += f", {marked(card.number('pass time'))}"
    if len(names) < 2:
        count = card.number("passes")
        alone = names[0] if names else "the picture"
        said = f"one, {alone}" if count is None or count.value == 1 else f"{marked(count)}, each"
        yield "Passes", f"{said}: {each}"
    for number, name in enumerate(names if len(names) > 1 else (), start=1):
        rule = PASS_RULES.get(PASSES.get(name, name))
        note = f"; {rule.note}" if rule else ""
        yield ("Passes" if number == 1 else ""), f"{number} {name}: {each}{note}"
    yield from _wedge(card)
    takes, reset = marked(card.number("takes")), marked(card.number("reset"))
    tried = f" after {marked(wedge)} of the wedge" if (wedge := _tried(card)) else ""
    running = marked(card.number("running time"))
    yield "Takes", f"{takes} allowed for{tried}, reset {reset} between, {running} in all"
    yield "Film", ", ".join(_film(card))


def _tried(card: SetUpCard) -> Quantity | None:
    """How many rates are tried before the takes; None where none is."""
    count = card.number("rates in the wedge")
    return count if count is not None and count.value > 0 else None


def _wedge(card: SetUpCard) -> Iterator[Row]:
    """Each pass of a wedge by itself: its rate, its film and how its light differs."""
    stated = card.element.facts.numbers("wedge")
    count = _tried(card)
    if count is not None and not stated:
        at = marked(card.number("rate"))
        yield "Wedge", f"{marked(count)} rates before the takes: {BLANK} fps; counted at {at} each"
    for number, each in enumerate(stated):
        yield ("" if number else "Wedge"), (marked(each), _tried_pass(card, each))


def _tried_pass(card: SetUpCard, tried: Quantity) -> str:
    """One pass of a wedge; an exposure tried takes a strip and no film worth counting."""
    if tried.unit != "fps":
        return "a frame, tried on a strip before the pass"
    name = f"wedge at {tried.value:g} fps"
    frames = marked(card.number("frames"))
    run, time, film = (card.number(f"{name}, {each}") for each in ("run", "time", "film"))
    said = f"{frames} frames + {_whole(run)} of run, {marked(time)}, {marked(film)}"
    sides = ((side, card.number(f"{name}, {side} the takes")) for side in ("over", "under"))
    light = [f", {marked(q)} {side}" for side, q in sides if q and q.value >= SAME_STOP]
    return f"{said}{''.join(light)}"


def _whole(frames: Quantity | None) -> str:
    """Frames as they are counted on the floor: a part of a frame is a frame."""
    return marked(None if frames is None else replace(frames, value=math.ceil(frames.value - 1e-9)))


def _film(card: SetUpCard) -> Iterator[str]:
    if card.number("passes") is not None and len(card.element.facts.words("passes")) > 1:
        yield f"{marked(card.number('film of a pass'))} a pass"
    yield f"{marked(card.number('film of a take'))} a take"
    yield f"{marked_count(card.number('takes to a magazine'), 'take')} to a magazine"
    wedge = card.number("film of the wedge")
    yield from (f"{marked(wedge)} of the wedge",) if wedge else ()
    yield f"{marked(card.number('film exposed'))} in all"
