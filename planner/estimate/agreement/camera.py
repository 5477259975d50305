"""Whether all pieces of a shot look as if seen from one place through one lens.

Takes a shot's pieces, gives findings on view angle and frame format, on height, tilt and roll of
the camera, and on its distance at scale. Differences are in pixels of the finished frame. Knows
nothing of moves, time, light or focus.
"""

from __future__ import annotations

import math
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
from planner.kinds.dial import nearest_owned
from planner.model.ratio import in_ratio

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.estimate.agreement.pieces import Joined, Piece
    from planner.estimate.agreement.readings import Apart
    from planner.kinds.view import View
    from planner.model.place import Problem

STEEPEST_DEG = 89.0
"""Beyond this no horizon can be reckoned from the frame."""
SAME_FRAME = 0.005
"""Published widths of one format differ by up to half a per cent."""


def check_camera(joined: Joined) -> Iterator[Problem]:
    """Everything about where the camera stands and what its lens sees."""
    yield from _views(joined)
    yield from _lenses_owned(joined)
    yield from _heights(joined)
    yield from _tilts(joined)
    yield from _rolls(joined)
    for piece in joined.pieces:
        yield from _distance(joined, piece)


def _view(joined: Joined, of: Reading[float]) -> View:
    return of.piece.view if of.piece else joined.camera


def _views(joined: Joined) -> Iterator[Problem]:
    """Focal length over frame width: equal ones see the same angle across the frame."""
    readings = [
        *of_shot(joined.camera_name, _per_width(joined.camera)),
        *(
            each
            for piece in joined.solid
            for each in of_piece(piece, _per_width(piece.view), _fact_of_lens(piece))
        ),
    ]
    for pair in apart(readings, _percent, joined.allowed(rules.FIELD)):
        yield _view_differs(joined, pair)


def _per_width(view: View) -> float | None:
    return view.focal.value / view.width.value if view.focal and view.width.value > 0 else None


def _percent(one: Reading[float], other: Reading[float]) -> float:
    return abs(1 - other.value / one.value) * 100


def _fact_of_lens(piece: Piece) -> str:
    if piece.report.has("focal_length"):
        return "report"
    facts = piece.element.facts
    return next((name for name in ("lens", "focal_length", "format") if facts.has(name)), "")


def _view_differs(joined: Joined, pair: Apart[float]) -> Problem:
    one, other = _view(joined, pair.one), _view(joined, pair.other)
    pixels = other.image.value / 2 * pair.by / 100
    message = (
        f"{pair.other.who} sees {_sees(other)} and {pair.one.who} {_sees(one)}: {pixels:.0f} px"
        f" apart at the edge of the frame ({pair.by:.1f} %)"
    )
    wanted = pair.one.value * other.width.value
    converted = f"a {figures(wanted)} mm lens on that format"
    if pair.other.piece and pair.other.piece.is_taken:
        size = pair.one.value / pair.other.value * 100
        remedy = f"join it at {size:.1f} % of its size, or photograph it again through {converted}"
    else:
        remedy = f"fit {converted}{_nearest_words(joined, wanted)}"
    return warning(pair.other, _code(one, other), message, remedy)


def _code(one: View, other: View) -> str:
    """What it comes from: another frame behind the same lens, or another lens."""
    if one.focal and other.focal:
        other_frame = abs(other.width.value / one.width.value - 1) > SAME_FRAME
        same_lens = abs(other.focal.value / one.focal.value - 1) <= 0.01
        if other_frame and same_lens:
            return "lens-not-converted"
    return "view-differs"


def _sees(view: View) -> str:
    if view.focal is None:
        return "what nobody knows"
    angle = optics.view_angle_deg(view.width.value, view.focal.value)
    focal, width = figures(view.focal.value, 4), figures(view.width.value, 5)
    return f"{angle:.1f} deg across ({focal} mm on {width} mm of frame)"


def _nearest_words(joined: Joined, wanted_mm: float) -> str:
    """The nearest lens owned and what it would leave, as a clause; empty where none is listed."""
    lens = nearest_owned(joined.show, wanted_mm)
    if lens is None:
        return ""
    off = abs(lens.facts.amount("focal_length", wanted_mm) / wanted_mm - 1)
    pixels = joined.camera.image.value / 2 * off
    return f"; the nearest owned is {lens.id}, {off * 100:.1f} % off ({pixels:.0f} px)"


def _lenses_owned(joined: Joined) -> Iterator[Problem]:
    """Focal lengths asked for by number that no lens owned comes near; each length told once."""
    allowed = joined.allowed(rules.FIELD)
    told: set[float] = set()
    for piece in joined.solid:
        focal = piece.view.focal
        if piece.is_taken or piece.view.lens or focal is None or focal.value in told:
            continue
        told.add(focal.value)
        lens = nearest_owned(joined.show, focal.value)
        if lens is None:
            continue
        has = lens.facts.amount("focal_length", focal.value)
        off = abs(1 - has / focal.value)
        if off * 100 > allowed:
            yield warning(
                Reading(piece.id, focal.value, _fact_of_lens(piece), piece),
                "no-lens-of-that-length",
                f"it asks for a {figures(focal.value, 4)} mm lens; the nearest owned is {lens.id},"
                f" {figures(has, 4)} mm: {off * 100:.1f} %,"
                f" {piece.view.image.value / 2 * off:.0f} px at the edge of the frame",
                f"hire a {figures(focal.value)} mm lens, or take {lens.id} and join it at"
                f" {focal.value / has * 100:.1f} % of its size",
            )


def _heights(joined: Joined) -> Iterator[Problem]:
    """Height of the lens in the picture's world, as a slide of the ground against the horizon."""
    readings = [
        *of_shot(joined.camera_name, joined.shot.camera.number("height")),
        *(each for piece in joined.solid for each in _height_of(piece)),
    ]

    def shift(one: Reading[float], other: Reading[float]) -> float:
        return _horizon_px(joined, one, other)

    for pair in apart(readings, shift, joined.allowed(rules.HORIZON)):
        by = pair.other.value - pair.one.value
        yield warning(
            pair.other,
            "camera-height-differs",
            f"the lens is {metres(pair.other.value)} up for {pair.other.who} and"
            f" {metres(pair.one.value)} for {pair.one.who}: its horizon lies {pair.by:.0f} px off",
            _height_remedy(pair.other.piece, pair.one.value, by),
        )


def _height_remedy(piece: Piece | None, wanted: float, by: float) -> str:
    """What to set, or what to state if the piece stands on other ground; lengths in mm."""
    if piece is None:
        return ""
    ground = piece.element.facts.amount("ground", 0.0)
    state = f"state `ground: {figures((ground - by) / 1000)} m` if it stands on something that high"
    on_stage = (wanted - ground) / piece.scale
    if piece.is_taken or on_stage <= 0:
        return state
    return f"set the lens {metres(on_stage)} above what it stands on, or {state}"


def _height_of(piece: Piece) -> tuple[Reading[float], ...]:
    facts = piece.element.facts
    ground = facts.amount("ground", 0.0)
    for name, stated, scale in (
        ("report", piece.report.number("height"), 1.0),
        ("camera_place", piece.camera_place.number("height"), piece.scale),
        ("camera_height", facts.number("camera_height"), 1.0),
    ):
        if stated is not None:
            return of_piece(piece, stated.value * scale + ground, name)
    return ()


def _horizon_px(joined: Joined, one: Reading[float], other: Reading[float]) -> float:
    """Slide of the ground at the nearest thing against the horizon, px; 0 where none is known."""
    focal = joined.focal_px(other.piece)
    distance = (other.piece.distance_mm() if other.piece else None) or joined.distance_mm()
    if focal is None or not distance:
        return 0.0
    return focal * abs(one.value - other.value) / distance


def _tilts(joined: Joined) -> Iterator[Problem]:
    readings = _turned(joined, "tilt")

    def shift(one: Reading[float], other: Reading[float]) -> float:
        focal = joined.focal_px(other.piece)
        if focal is None or max(abs(one.value), abs(other.value)) >= STEEPEST_DEG:
            return 0.0
        slopes = (math.tan(math.radians(each.value)) for each in (one, other))
        return focal * abs(next(slopes) - next(slopes))

    for pair in apart(readings, shift, joined.allowed(rules.HORIZON)):
        by = pair.one.value - pair.other.value
        turn = f"{figures(abs(by))} deg {'up' if by > 0 else 'down'}"
        yield warning(
            pair.other,
            "tilt-differs",
            f"{pair.other.who} is tilted {pair.other.value:g} deg and {pair.one.who}"
            f" {pair.one.value:g} deg: its horizon lies {pair.by:.0f} px off",
            _turn_back(pair, f"tilt the camera {turn}, to {pair.one.value:g} deg"),
        )


def _rolls(joined: Joined) -> Iterator[Problem]:
    readings = _turned(joined, "roll")

    def shift(one: Reading[float], other: Reading[float]) -> float:
        half = _view(joined, other).image.value / 2
        return half * abs(math.sin(math.radians(one.value - other.value)))

    for pair in apart(readings, shift, joined.allowed(rules.HORIZON)):
        by = pair.one.value - pair.other.value
        way = "clockwise" if by > 0 else "anticlockwise"
        turn = f"{figures(abs(by))} deg {way}, seen from behind it"
        yield warning(
            pair.other,
            "roll-differs",
            f"{pair.other.who} is rolled {pair.other.value:g} deg and {pair.one.who}"
            f" {pair.one.value:g} deg: its horizon rises or falls by {pair.by:.0f} px at the edge"
            " of the frame",
            _turn_back(pair, f"roll the camera {turn}, to {pair.one.value:g} deg"),
        )


def _turned(joined: Joined, axis: str) -> list[Reading[float]]:
    found = [*of_shot(joined.camera_name, joined.shot.camera.number(axis))]
    for piece in joined.solid:
        if (reported := piece.report.number(axis)) is not None:
            found += of_piece(piece, reported, "report")
        else:
            found += of_piece(piece, piece.camera_place.number(axis), "camera_place")
    return found


def _turn_back(pair: Apart[float], remedy: str) -> str:
    if pair.other.piece and pair.other.piece.is_taken:
        return f"it is photographed: move it {pair.by:.0f} px when it is joined"
    return remedy


def _distance(joined: Joined, piece: Piece) -> Iterator[Problem]:
    """Camera distance x N against the distance the picture is to have: sizes and perspective."""
    placed = piece.camera_place.number("distance")
    story = piece.element.facts.number("nearest") or joined.shot.camera.number("distance")
    if piece.is_flat or placed is None or story is None or min(placed.value, story.value) <= 0:
        return
    off = placed.value * piece.scale / story.value - 1
    if abs(off) * 100 <= joined.allowed(rules.DISTANCE):
        return
    looks = "small" if off > 0 else "large"
    yield warning(
        Reading(piece.id, placed.value, "camera_place", piece),
        "distance-not-to-scale",
        f"the lens stands {metres(placed.value)} off at {in_ratio(piece.scale)}, which is"
        f" {metres(placed.value * piece.scale)} in the picture, and {joined.camera_name} is to be"
        f" {metres(story.value)} off: near things look {abs(1 / (1 + off) - 1) * 100:.1f} % too"
        f" {looks}, {piece.view.image.value / 2 * abs(1 / (1 + off) - 1):.0f} px at the edge of"
        f" the frame{_far_words(piece, placed.value * piece.scale - story.value, story.value)}",
        f"set the lens {metres(story.value / piece.scale)} off",
    )


def _far_words(piece: Piece, error: float, near: float) -> str:
    """What matching the near things by size would leave on the far ones; empty where none are."""
    facts = piece.element.facts
    far = facts.number("farthest") or facts.group("holds").number("to")
    if far is None or far.value <= near or far.value + error <= 0:
        return ""
    ratio = (near + error) / (far.value + error) / (near / far.value)
    looks = "large" if ratio > 1 else "small"
    return (
        f", and enlarged to fit them what lies {metres(far.value)} off looks"
        f" {abs(ratio - 1) * 100:.1f} % too {looks}"
    )
