"""Rows of a set-up card about the camera: lens, focus, stop, exposure, where it stands.

Takes a `SetUpCard`, gives labels with their text, unfolded. Works nothing out.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from planner.kinds.stops import CASTER_STOP, LIGHT_SHORT, LIGHT_TO_SPARE
from planner.pages.card_values import BLANK, SAME_STOP, mark, marked, rolled, tilted

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.model.quantity import Quantity
    from planner.pages.card_values import Row, SetUpCard


SAME_FIELD = 0.05
"""Per cent of field below which two lenses are one."""
WIDEST = 0.5
"""f-number that no lens in air goes below: its cone of light would be wider than half a turn."""
DEEPEST = 64
"""f-number that no lens for motion pictures stops down to; common practice, no source."""


def camera_rows(card: SetUpCard) -> Iterator[Row]:
    """Format and lens, focus, stop, light, and where the camera stands."""
    yield from _picture(card)
    yield from _focus(card)
    yield from _stop(card)
    yield from _exposure(card)
    yield from _camera(card)


def _picture(card: SetUpCard) -> Iterator[Row]:
    frame = card.frame
    size = " x ".join(marked(card.number(f"frame {side}")) for side in ("width", "height"))
    name = frame.slug if frame else BLANK
    yield "Format", f"{name}, {size}, finished at {marked(card.number('image width'))}"
    lens = card.resource("lens")
    pupil = lens.facts.number("pupil") if lens else None
    across = card.number("field width at the focus")
    name = f"{card.title(lens.id)}," if lens else "focal length"
    parts = [f"{name} {marked(card.number('focal length'))}"]
    parts += [_against_picture(card)] if card.number("error of the field") else []
    parts += [f"sees {marked(across)} across at the focus"] if across else []
    parts.append(f"pupil {marked(pupil)} before the film")
    yield "Lens", ", ".join(parts)


def _against_picture(card: SetUpCard) -> str:
    """The lens beside the one that would see just what the picture's own does."""
    error = card.number("error of the field")
    if error is None or abs(error.value) < SAME_FIELD:
        return "the picture's own"
    wider = "wider" if error.value > 0 else "narrower"
    owned = card.number("focal length of the lens owned")
    used = "" if card.resource("lens") else f"; nearest owned {marked(owned)},"
    off = marked(replace(error, value=abs(error.value)))
    wanted = marked(card.number("equivalent focal length"))
    return f"{wanted} would see as the picture does{used} field {off} {wider}"


def _focus(card: SetUpCard) -> Iterator[Row]:
    if card.is_board:
        facts = card.element.facts
        for framing, label in (("widest", "Focus"), ("tightest", "")):
            away = marked(card.number(f"lens to the board, {framing} framing"))
            film = marked(card.number(f"film plane to the board, {framing} framing"))
            width = marked(facts.number(framing) or facts.number("width"))
            yield label, (framing, f"{width} across: film plane {film}, lens {away}")
        return
    for label, where in _wheres(card, "Focus"):
        film = marked(card.number(f"focus {where}, from the film plane"))
        lens = marked(card.number(f"focus {where}, from the lens"))
        yield label, (_on(card, where), f"{film} from film plane, {lens} from lens")


def _wheres(card: SetUpCard, label: str) -> Iterator[tuple[str, str]]:
    """The stage, then the picture's own world; once where both are one size."""
    yield label, "on the stage"
    if not card.is_full_size:
        yield "", "full size"


def _on(card: SetUpCard, where: str) -> str:
    """Where a number holds, the stage's own standing out."""
    if card.is_full_size:
        return "full size"
    return where.upper() if where == "on the stage" else where


def _stop(card: SetUpCard) -> Iterator[Row]:
    stop, t_stop = card.number("stop") or card.look_up("stop"), card.number("T-stop")
    yield "Stop", f"SET {marked(stop)}" + (f" ({marked(t_stop)})" if t_stop else "")
    if card.is_board:
        return
    holding, matching = card.number("holding stop"), card.number("matching stop")
    near, far = card.number("sharp from, on the stage"), card.number("sharp to, on the stage")
    held = f" for {marked(near)} to {marked(far)} from lens" if holding else ""
    if holding or matching or not card.is_full_size:
        match = f"; {_match(matching)}" if matching or not holding else ""
        yield "", f"{_hold(card, holding)}{held}{match}"
    yield "", f"{_matters(card, holding, matching)}."


def _hold(card: SetUpCard, holding: Quantity | None) -> str:
    """The stop that holds the depths; in words where the lens opens no wider."""
    lens = card.resource("lens")
    widest = lens.facts.number("widest_stop") if lens else None
    if holding is not None and holding.value < (widest.value if widest else WIDEST):
        return f"any stop holds{mark(holding)}"
    return f"hold {marked(holding)}"


def _match(matching: Quantity | None) -> str:
    """The stop as soft as the picture; in words where no lens is as deep."""
    if _is_past_lenses(matching):
        return f"to match takes {marked(matching)}, deeper than any lens"
    return f"match {marked(matching)}"


def _is_past_lenses(matching: Quantity | None) -> bool:
    return matching is not None and matching.value > DEEPEST


def _matters(card: SetUpCard, holding: Quantity | None, matching: Quantity | None) -> str:
    """Which of the two stops decides, and why."""
    if card.element.facts.number("stop") is not None:
        return "Neither decides: the stop is stated for this element"
    if holding is not None:
        rest = "matching is for the rest" if matching is not None else "no stop to match"
        return f"Holding matters: those depths must read sharp; {rest}"
    if card.number(CASTER_STOP) is not None:
        return "Neither decides: matching is past the lens, so it is set as what casts it"
    if _is_past_lenses(matching):
        return "Nothing must be held: match by where it is focused, in parts, or built larger"
    if matching is not None:
        return "Matching matters: nothing must be held, so be as soft as the picture"
    return "Nothing asks for a stop: neither depth to hold nor stop to match"


def _exposure(card: SetUpCard) -> Iterator[Row]:
    shutter, rate = marked(card.number("shutter")), marked(card.number("rate"))
    wanted, had = card.number("exposure of a frame"), card.number("exposure a frame has")
    said = f"RATE {rate}, shutter {shutter}: a frame has {marked(had)}, wants {marked(wanted)}"
    falls = card.number("gravity rate")
    yield "Exposure", said + (f"; what falls wants {marked(falls)}" if falls else "")
    index, filters = marked(card.look_up("exposure_index")), card.word("filter") or BLANK
    said = f"{marked(card.look_up('light'))} at EI {index}, filter {filters}"
    said += f"; {spare}" if (spare := _to_spare(card)) else ""
    yield "Light", said
    key = _key_light(card)
    if key:
        yield "", key
    if card.element.facts.has("lamp"):
        yield "Lamp", (_on(card, "on the stage"), _lamp(card))


def _lamp(card: SetUpCard) -> str:
    """Where what casts the shadow is put up, from the caster, as the stage measures it."""
    lamp = card.element.facts.group("lamp")
    up, away, size = (marked(lamp.number(each)) for each in ("height", "distance", "size"))
    bearing, foot = card.number("bearing of the lamp"), card.number("height angle of the lamp")
    round_ = f"{marked(bearing)} clockwise from straight behind the caster" if bearing else BLANK
    return (
        f"{up} up, {away} from the caster on the level, {size} across;"
        f" {marked(foot)} up from the caster's foot, bearing {round_}"
    )


def _key_light(card: SetUpCard) -> str:
    """Where the key comes from and how hard it is, the element's own before its shot's."""
    shot = card.show.shots.get(card.element.shot)
    levels = (card.element.facts, *((shot.facts,) if shot else ()))
    light = next((each.group("key_light") for each in levels if each.has("key_light")), None)
    contrast = next((q for each in levels if (q := each.number("contrast"))), None)
    said = []
    if light is not None:
        around, up = marked(light.number("from")), marked(light.number("height"))
        said.append(f"key from {around} round, {up} up")
    return ", ".join([*said, f"contrast {marked(contrast)}"] if contrast else said)


def _to_spare(card: SetUpCard) -> str:
    """Stops short or to spare; a twentieth of a stop is neither."""
    short, spare = card.number(LIGHT_SHORT), card.number(LIGHT_TO_SPARE)
    stops = short or spare
    if stops is None:
        return ""
    if stops.value < SAME_STOP:
        return f"just enough{mark(stops)}"
    return f"{marked(stops)} {'SHORT' if short else 'to spare'}"


def _angle(card: SetUpCard, name: str) -> Quantity | None:
    """How the camera is to be turned for this piece: as its own place says, else as its shot."""
    return card.element.facts.group("camera_place").number(name) or card.look_up(name)


def _rolled(angle: Quantity | None) -> str:
    """How it is rolled, a clause; nothing where it stands level, as it mostly does."""
    if angle is None or angle.value == 0:
        return ""
    return f", rolled {rolled(angle)} seen from behind it"


def _camera(card: SetUpCard) -> Iterator[Row]:
    if card.is_board:
        yield "Camera", f"square to the board, centre of frame {BLANK}, tilt {BLANK}"
        return
    facts = card.element.facts
    heights = {
        "on the stage": card.number("lens above the ground on the stage"),
        "full size": facts.number("camera_height") or card.look_up("height"),
    }
    nearest = {
        "on the stage": card.number("nearest thing on the stage, from the lens"),
        "full size": facts.number("nearest"),
    }
    for label, where in _wheres(card, "Camera"):
        turned = f", tilt {tilted(_angle(card, 'tilt'))}{_rolled(_angle(card, 'roll'))}"
        turned = turned if label else ""
        said = f"lens {marked(heights[where])} up{turned}, nearest {marked(nearest[where])} off"
        yield label, (_on(card, where), said)
