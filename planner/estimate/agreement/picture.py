"""Whether all pieces of a shot are as soft, lit, blown and coloured alike, and lie in one order.

Takes a shot's pieces, gives findings on depth and softness, key light, contrast, wind, colour
reference and order in depth. What shows through a piece joined by adding is told by the composite
itself. Knows nothing of where cameras stand or of time.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.craft import optics
from planner.estimate.agreement import rules
from planner.estimate.agreement.readings import (
    Reading,
    apart,
    figures,
    metres,
    of_piece,
    of_shot,
    warning,
)
from planner.model.ratio import in_ratio

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.estimate.agreement.pieces import Joined, Piece
    from planner.kinds.view import View
    from planner.model.facts import Facts
    from planner.model.place import Problem
    from planner.model.quantity import Quantity

WIDEST = 1.4
"""f-number of the widest lens taken to be at hand where its own is not stated; common practice."""
Light = tuple[float, float]
"""Around the vertical and above the horizon, degrees."""


def check_picture(joined: Joined) -> Iterator[Problem]:
    """Everything about focus, light, wind, colour and depth."""
    yield from _softness(joined)
    yield from _key_lights(joined)
    yield from _contrasts(joined)
    yield from _winds(joined)
    yield from _colours(joined)
    yield from _depths(joined)


@dataclass(frozen=True, slots=True)
class Focus:
    """How a picture is focused, in its own world.

    Attributes:
        who: id of the piece, or the shot's camera in words.
        view: the camera.
        stop: f-number set.
        at_mm: distance focused on, in the picture's world.
        scale: N; the stage is that much smaller.
    """

    who: str
    view: View
    stop: float
    at_mm: float
    scale: float = 1.0

    def blur_px(self, distance_mm: float) -> float:
        """Blur of a point at a distance of the picture's world, px of the finished frame.

        0 where the lens is not known, or no lens of its length focuses so near.
        """
        focal, smaller = self.view.focal, self.scale * 1000
        if focal is None:
            return 0.0
        try:
            on_film = optics.defocus_mm(
                focal.value, self.stop, self.at_mm / smaller, distance_mm / smaller
            )
        except ValueError:
            return 0.0
        return on_film * self.view.image.value / self.view.width.value


def _softness(joined: Joined) -> Iterator[Problem]:
    """Blur of each piece at the ends of its depth beside that of the picture it goes into.

    The picture is the shot's own camera where its stop and focus are stated, else the first piece
    that has been photographed.
    """
    focused = [(piece, found) for piece in joined.solid if (found := _focus_of(piece))]
    own = focus_of_shot(joined)
    taken = next((found for piece, found in focused if piece.is_taken), None)
    picture = own or taken
    if picture is None:
        return
    allowed = joined.allowed(rules.SOFTNESS)
    for piece, found in focused:
        ends = _ends_of(piece)
        if found is picture or not ends:
            continue
        at = max(ends, key=lambda z: abs(found.blur_px(z) - picture.blur_px(z)))
        mine, wanted = found.blur_px(at), picture.blur_px(at)
        if abs(mine - wanted) > allowed:
            yield warning(
                Reading(piece.id, mine, "holds", piece),
                "softness-differs",
                f"{metres(at)} off {piece.id} blurs {mine:.1f} px (f/{figures(found.stop)} at"
                f" {in_ratio(found.scale)}) and {picture.who} {wanted:.1f} px"
                f" (f/{figures(picture.stop)})",
                _softness_remedy(found, picture, mine, wanted),
            )


def _softness_remedy(found: Focus, picture: Focus, mine: float, wanted: float) -> str:
    if mine < wanted:
        opened = found.stop * mine / wanted
        soften = f"soften it by {wanted - mine:.1f} px when it is joined"
        widest = found.view.lens.facts.amount("widest_stop", WIDEST) if found.view.lens else WIDEST
        return f"open to f/{figures(opened)}, or {soften}" if opened >= widest else soften
    matching = picture.stop * found.scale
    return (
        f"stop down to f/{figures(matching)}, which blurs as the picture does, or hold less depth"
    )


def focus_of_shot(joined: Joined) -> Focus | None:
    """How the shot's own camera is focused; None where its lens, stop or focus is not stated."""
    camera = joined.shot.camera
    stop, at = camera.number("stop"), camera.number("focus")
    if stop is None or at is None or joined.camera.focal is None:
        return None
    return _focus(joined.camera_name, joined.camera, (stop, at.value), 1.0)


def _focus_of(piece: Piece) -> Focus | None:
    """As reported where it has been photographed; else the stop set, focused to hold its depth."""
    if piece.view.focal is None:
        return None
    if piece.is_taken:
        stop, at = piece.report.number("stop"), piece.report.number("focus")
        return _focus(piece.id, piece.view, (stop, at.value), piece.scale) if stop and at else None
    stop = piece.estimate.quantities.get("stop")
    holds = piece.element.facts.group("holds")
    near, far = holds.number("from"), holds.number("to")
    if stop is None or near is None or far is None or not 0 < near.value <= far.value:
        return None
    at_mm = optics.holding_focus_m(near.value / 1000, far.value / 1000) * 1000
    return _focus(piece.id, piece.view, (stop, at_mm), piece.scale)


def _focus(who: str, view: View, set_to: tuple[Quantity, float], scale: float) -> Focus | None:
    stop, at_mm = set_to
    ratio = view.lens.facts.amount("transmission", optics.USUAL_T_RATIO) if view.lens else None
    number = stop.value / (ratio or optics.USUAL_T_RATIO) if stop.unit == "T" else stop.value
    if min(number, at_mm, view.width.value) <= 0:
        return None
    return Focus(who, view, number, at_mm, scale)


def _ends_of(piece: Piece) -> tuple[float, ...]:
    """Distances to compare at, mm of the picture's world."""
    holds = piece.element.facts.group("holds")
    ends = [each.value for name in ("from", "to") if (each := holds.number(name))]
    return tuple(ends or filter(None, [piece.distance_mm()]))


def light_of(facts: Facts) -> Light | None:
    """Where the key light stated comes from; None where nobody says."""
    light = facts.group("key_light")
    around = light.number("from")
    return None if around is None else (around.value, light.amount("height", 0.0))


def lights_apart_deg(one: Light, other: Light) -> float:
    """Angle between two directions of light, degrees."""
    east, height = math.radians(one[0] - other[0]), [math.radians(each[1]) for each in (one, other)]
    cosine = math.sin(height[0]) * math.sin(height[1])
    cosine += math.cos(height[0]) * math.cos(height[1]) * math.cos(east)
    return math.degrees(math.acos(min(max(cosine, -1.0), 1.0)))


def turn_between_deg(one: float, other: float) -> float:
    """Smaller angle between two bearings, 0 to 180 degrees."""
    return abs((one - other + 180) % 360 - 180)


def light_words(light: Light) -> str:
    """A direction of light as messages say it."""
    return f"{light[0]:g} deg round and {light[1]:g} deg up"


def _key_lights(joined: Joined) -> Iterator[Problem]:
    own = light_of(joined.shot.facts)
    readings: list[Reading[Light]] = [Reading(joined.shot.id, own)] if own else []
    readings += [
        Reading(piece.id, light, "key_light", piece)
        for piece in joined.pieces
        if (light := light_of(piece.element.facts))
    ]

    def degrees(one: Reading[Light], other: Reading[Light]) -> float:
        return lights_apart_deg(one.value, other.value)

    for pair in apart(readings, degrees, joined.allowed(rules.KEY_LIGHT)):
        yield warning(
            pair.other,
            "key-light-differs",
            f"the key light of {pair.other.who} comes from {light_words(pair.other.value)}, that of"
            f" {pair.one.who} from {light_words(pair.one.value)}: {pair.by:.0f} deg apart",
            f"light {pair.other.who} from {light_words(pair.one.value)}",
        )


def _stated(joined: Joined, name: str) -> list[Reading[float]]:
    """What the shot and each of its pieces state under `name`."""
    found = [*of_shot(joined.shot.id, joined.shot.facts.number(name))]
    for piece in joined.pieces:
        found += of_piece(piece, piece.element.facts.number(name), name)
    return found


def _contrasts(joined: Joined) -> Iterator[Problem]:
    def stops(one: Reading[float], other: Reading[float]) -> float:
        return abs(one.value - other.value)

    for pair in apart(_stated(joined, "contrast"), stops, joined.allowed(rules.CONTRAST)):
        fill = "more" if pair.other.value > pair.one.value else "less"
        yield warning(
            pair.other,
            "contrast-differs",
            f"{pair.other.who} is lit to {figures(pair.other.value, 2)} stops of contrast and"
            f" {pair.one.who} to {figures(pair.one.value, 2)}: {pair.by:.1f} stops apart",
            f"give {pair.other.who} {fill} fill, to {figures(pair.one.value, 2)} stops",
        )


def _winds(joined: Joined) -> Iterator[Problem]:
    def degrees(one: Reading[float], other: Reading[float]) -> float:
        return turn_between_deg(one.value, other.value)

    for pair in apart(_stated(joined, "wind_from"), degrees, joined.allowed(rules.WIND)):
        yield warning(
            pair.other,
            "wind-differs",
            f"the wind of {pair.other.who} comes from {pair.other.value:g} deg round and that of"
            f" {pair.one.who} from {pair.one.value:g} deg: {pair.by:.0f} deg apart",
            f"blow {pair.other.who} from {pair.one.value:g} deg round",
        )


def _colours(joined: Joined) -> Iterator[Problem]:
    """Pieces coloured after another plate than the one they are joined to."""
    plates = [
        each.id
        for each in joined.pieces
        if each.element.kind == "plate" and each.element.facts.word("sort") == "live"
    ]
    named = {each.id: each.element.target("colour_from") for each in joined.pieces}
    wanted = plates or list(dict.fromkeys(name for name in named.values() if name))[:1]
    for piece in joined.pieces:
        name = named[piece.id]
        if not name or not wanted or name in wanted:
            continue
        other = next((each for each, its in named.items() if its == wanted[0]), "")
        beside = f"joined to {wanted[0]}" if plates else f"{other} after {wanted[0]}"
        yield warning(
            Reading(piece.id, 0.0, "colour_from", piece),
            "colour-from-differs",
            f"{piece.id} is coloured after {name} and {beside}",
            f"write `colour_from: {wanted[0]}` and match it to that print",
        )


def _depths(joined: Joined) -> Iterator[Problem]:
    """Pieces said to be in front that stand farther off than all of what they are in front of.

    What is laid over the rest by its light has no place in depth of its own.
    """
    by_id = {each.id: each for each in joined.pieces if not joined.is_added(each)}
    for piece in by_id.values():
        near = _nearest_mm(piece)
        for name in dict.fromkeys(piece.element.targets("in_front_of")):
            behind = by_id.get(name)
            far = _farthest_mm(behind) if behind else None
            if behind is None or near is None or far is None or near <= far:
                continue
            frames = joined.frames(piece, behind)
            if joined.shot.cut is not None and frames is None:
                continue
            when = f" on frames {frames}" if frames else ""
            yield warning(
                Reading(piece.id, near, "in_front_of", piece),
                "farther-than-what-is-behind",
                f"{piece.id} is in front of {name}{when} and stands {metres(near)} off where"
                f" {name} ends at {metres(far)}: {figures((near - far) / 1000, 2)} m behind it",
                f"take {name} out of in_front_of, give each its in_frame, or bring {piece.id}"
                f" within {metres(far)}",
            )


def _nearest_mm(piece: Piece) -> float | None:
    """Of what it shows, in the picture's world; a focus written down is no distance of a thing."""
    facts = piece.element.facts
    field = facts.group("field").number("distance")
    stated = facts.number("nearest")
    if stated is not None:
        return stated.value
    return field.value * piece.scale if field else None


def _farthest_mm(piece: Piece) -> float | None:
    facts = piece.element.facts
    stated = facts.number("farthest") or facts.group("holds").number("to")
    return stated.value if stated else _nearest_mm(piece)
