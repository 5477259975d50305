"""Hands and rods against what the lens sees over a move.

Takes where hands stand, the move and the lens, gives on how many frames each is in the picture, and
findings on hands seen, sides not free and fixtures in the way. The lens stands `nearest` before the
subject's mark on the frame where the track is farthest forward, and all other frames follow the
move from there. Knows nothing of what the rods cover: see rod removal.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.craft import survey
from planner.estimate.any_kind.falling import scale_of
from planner.kinds.move import CARRYING
from planner.kinds.view import view_of
from planner.model.names import noun

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.kinds import Estimate, Worksheet
    from planner.model.facts import Facts, FrameRange
    from planner.model.show import Move


@dataclass(frozen=True, slots=True)
class Path:
    """The lens on every frame, on the stage.

    Attributes:
        view: the picture.
        poses: frame and pose.
    """

    view: survey.View
    poses: tuple[tuple[int, survey.Pose], ...]

    def frames_seen(self, point: survey.Point, only: FrameRange | None) -> list[int]:
        """Frames on which a point of the stage, metres from the mark, is in the picture."""
        return [
            frame
            for frame, pose in self.poses
            if (only is None or only.first <= frame <= only.last)
            and self._sees(survey.camera_point(pose, point))
        ]

    def _sees(self, ahead: survey.Point) -> bool:
        if ahead[2] <= 0:
            return False
        across, down = survey.pixel_of(self.view, ahead)
        return 0 <= across <= self.view.width_px and 0 <= down <= self.view.height_px


def check_stations(sheet: Worksheet, estimate: Estimate) -> None:
    """Stations and rod hands in the picture, sides not free, fixtures in the way."""
    facts = sheet.element.facts
    path = _path(sheet, estimate)
    for station in facts.groups("stations"):
        _check_side(sheet, station)
        place = _point(station, "at")
        if path is None or place is None:
            continue
        seen = path.frames_seen(place, station.frames("frames") or facts.frames("in_frame"))
        _tell(sheet, ("station-in-frame", "stations"), station.word("who"), seen)
    if path is None:
        return
    for rod in facts.groups("rods"):
        place = _point(rod, "toward")
        if place is not None:
            seen = path.frames_seen(place, rod.frames("frames") or facts.frames("in_frame"))
            _tell(sheet, ("hand-in-frame", "rods"), f"the hand on {rod.word('name')}", seen)


def _tell(sheet: Worksheet, rule: tuple[str, str], who: str, seen: list[int]) -> None:
    code, at = rule
    sheet.reckon(
        f"frames that show {who}", len(seen), "1", "frames on which it projects into the picture"
    )
    if seen:
        sheet.warn(
            code,
            f"{who} is in the picture on {len(seen)} {noun(len(seen), 'frame')}, {seen[0]} to"
            f" {seen[-1]}",
            "move them out of what the lens sees, lengthen the rod, or hide them with a hold-out",
            at=at,
        )


def _check_side(sheet: Worksheet, station: Facts) -> None:
    side, who = station.word("side"), station.word("who")
    if not side:
        return
    free = sheet.element.facts.words("free_sides")
    if free and side not in free:
        sheet.warn(
            "station-not-free",
            f"{who} is to reach it from {side} and it is free from {' and '.join(free)} only",
            f"make {side} wild, or move {who} to {free[0]}",
            at="stations",
        )
    for name in _blocking(sheet, side):
        sheet.warn(
            "fixture-blocks-station",
            f"{who} is to reach it from {side}, where the fixture {name} stands",
            "make the fixture wild for those frames, or reach it from another side",
            at="stations",
        )


def _blocking(sheet: Worksheet, side: str) -> Iterator[str]:
    shot = sheet.context.shot
    for id_ in shot.elements if shot else ():
        other = sheet.context.show.elements[id_]
        for fixture in other.facts.groups("fixtures"):
            if fixture.word("blocks") == side and not fixture.flag("wild"):
                yield fixture.word("name")


def _point(facts: Facts, name: str) -> survey.Point | None:
    numbers = facts.numbers(name)
    if len(numbers) != 3:
        return None
    right, up, away = (each.value / 1000 for each in numbers)
    return (right, up, away)


def _path(sheet: Worksheet, estimate: Estimate) -> Path | None:
    """The lens on every frame; one frame where no move is known, None without lens or distance."""
    context = sheet.context
    nearest = context.element.facts.number("nearest") or context.look_up("focus")
    view = view_of(sheet, rests="whether hands are in the picture")
    focal = view.focal_px()
    if focal is None or nearest is None or nearest.value <= 0:
        return None
    n = scale_of(sheet, estimate).value
    height = context.element.facts.number("camera_height") or context.look_up("height")
    tilt = context.look_up("tilt")
    start = survey.Pose(
        0.0,
        height.value / n / 1000 if height else 0.0,
        -nearest.value / n / 1000,
        tilt_deg=tilt.value if tilt else 0.0,
    )
    tall = view.image.value * view.height.value / view.width.value
    picture = survey.View(focal.value, view.image.value, tall)
    source = context.target("move_from")
    move = context.show.moves.get(source.facts.word("data")) if source else None
    shot = context.shot
    first = shot.cut.first if shot and shot.cut else 1
    return Path(picture, tuple(_carried(start, move, n)) if move else ((first, start),))


def _carried(start: survey.Pose, move: Move, n: float) -> Iterator[tuple[int, survey.Pose]]:
    """The start pose, carried from the frame where the track is farthest forward."""
    count = max((len(axis.values) for axis in move.axes.values()), default=0)
    forward = _values(move, CARRYING[2], count)
    at = max(range(count), key=lambda index: forward[index], default=0)
    right, up = _values(move, CARRYING[0], count), _values(move, CARRYING[1], count)
    pan, tilt, roll = (_values(move, (name,), count) for name in ("pan", "tilt", "roll"))
    for index in range(count):
        yield (
            move.first_frame + index,
            survey.Pose(
                start.x_m + (right[index] - right[at]) / n / 1000,
                start.y_m + (up[index] - up[at]) / n / 1000,
                start.z_m + (forward[index] - forward[at]) / n / 1000,
                pan[index] - pan[at],
                start.tilt_deg + tilt[index] - tilt[at],
                roll[index] - roll[at],
            ),
        )


def _values(move: Move, names: tuple[str, ...], count: int) -> tuple[float, ...]:
    for name in names:
        if name in move.axes:
            return move.axes[name].values
    return (0.0,) * count
