"""How far a camera that is not where it was shifts the picture, and whether that can be hidden.

Takes the facts a picture was photographed by and the facts as they are, as text by name, gives a
finding for its lens, height, tilt, roll, distance and move. The world is the picture's own; shifts
are pixels of the finished frame, by similar triangles. Knows nothing of frames, takes or events.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.craft.formats import FRAME_FORMATS
from planner.estimate.stale_rules import ENLARGED, HIDDEN, REFRAME, WARP, WORKED
from planner.kinds.view import USUAL_FORMAT, USUAL_IMAGE_PX
from planner.model.quantity import Quantity, Standing, reckoned
from planner.status.verdicts import Finding, Thumb, Verdict, added, times

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

_NUMBER = re.compile(r"-?\d+(?:\.\d+)?(?:e[-+]?\d+)?")
NEGLIGIBLE_PX = 0.05
"""Less than any rig repeats and any eye sees; below it nothing is said."""


def number(facts: Mapping[str, str], *names: str) -> float | None:
    """The first of some facts that is stated, in its canonical unit."""
    for name in names:
        if found := _NUMBER.match(facts.get(name, "")):
            return float(found[0])
    return None


@dataclass(frozen=True, slots=True)
class Seen:
    """How a camera sees, in numbers; None where nobody stated it.

    Attributes:
        focal: focal length, mm.
        width: of the frame on film, its squeeze undone, mm.
        height: of the frame on film, mm.
        image: width of the finished frame, px.
        near: lens to the nearest thing seen, mm in the picture's world.
        far: lens to the farthest, mm; infinity where nobody says.
    """

    focal: float | None
    width: float
    height: float
    image: float
    near: float | None
    far: float

    @property
    def focal_px(self) -> Quantity | None:
        """Focal length in pixels of the finished frame."""
        if self.focal is None:
            return None
        inputs = (_mm("focal length", self.focal), _mm("frame width", self.width))
        return reckoned(
            "focal length in pixels",
            self.focal * self.image / self.width,
            "px",
            "focal length x image width / frame width",
            *inputs,
            Quantity("image width", self.image, "px", Standing.GIVEN),
        )

    @property
    def image_height(self) -> float:
        """Height of the finished frame, px."""
        return self.image * self.height / self.width


def seen_by(facts: Mapping[str, str], *, as_shot: bool) -> Seen:
    """How the camera of some facts sees.

    Args:
        facts: of an element.
        as_shot: believe the report of what was photographed before what was planned.
    """
    named = _first(facts, "format", "shot camera.format", "show camera.format")
    frame = FRAME_FORMATS.get(named) or FRAME_FORMATS[USUAL_FORMAT]
    image = number(facts, "shot camera.image_width", "show camera.image_width")
    reported = number(facts, "report.focal_length") if as_shot else None
    near = number(
        facts,
        "nearest",
        "holds.from",
        "shot camera.distance",
        "field.distance",
        "report.focus",
        "shot camera.focus",
    )
    return Seen(
        reported or _focal(facts),
        frame.seen_width_mm,
        frame.height_mm,
        image or USUAL_IMAGE_PX,
        near if near and near > 0 else None,
        number(facts, "farthest", "holds.to") or math.inf,
    )


def camera_findings(
    was: Mapping[str, str], now: Mapping[str, str], thumb: Thumb
) -> Iterator[Finding]:
    """What changed of the camera that a picture was photographed with.

    Args:
        was: facts it was photographed by.
        now: facts as they are; the report of what was photographed stands in them.
        thumb: rules of thumb.
    """
    actual = {**was, **{name: text for name, text in now.items() if name.startswith("report.")}}
    seen = _Judging(seen_by(actual, as_shot=True), seen_by(now, as_shot=False), thumb)
    if _has_changed(was, now, _LENS) or _focal(was) != _focal(now):
        yield from seen.lens()
    for says, shot_with, levels in _PLACES:
        if (by := _moved(actual, now, was, shot_with, levels)) is not None:
            yield from seen.place(says, by)
    near, nearer = number(was, *_NEAREST), number(now, *_NEAREST)
    if near and nearer and near != nearer:
        yield from seen.distance(near, nearer)
    yield from seen.paths(was, now)


_LENS = ("format", "shot camera.format", "show camera.format", "report.focal_length")
_NEAREST = ("nearest", "shot camera.distance")
_PLACES = (
    ("height", "report.height", ("camera_height", "shot camera.height")),
    ("tilt", "report.tilt", ("camera_place.tilt", "shot camera.tilt")),
    ("roll", "", ("camera_place.roll", "shot camera.roll")),
)


def _first(facts: Mapping[str, str], *names: str) -> str:
    return next((facts[name] for name in names if facts.get(name)), "")


def _has_changed(was: Mapping[str, str], now: Mapping[str, str], names: tuple[str, ...]) -> bool:
    return any(was.get(name, "") != now.get(name, "") for name in names)


def _focal(facts: Mapping[str, str]) -> float | None:
    """By the innermost of element, shot and show that says."""
    for level in ("", "shot camera.", "show camera."):
        lens = facts.get(f"{level}lens", "")
        if lens and (found := number(facts, f"lens {lens} focal_length")):
            return found
        if found := number(facts, f"{level}focal_length"):
            return found
    return None


def _moved(
    actual: Mapping[str, str],
    now: Mapping[str, str],
    was: Mapping[str, str],
    shot_with: str,
    levels: tuple[str, ...],
) -> float | None:
    """By how much the camera wanted is off the one it was photographed with; None for not at all.

    What nobody had stated then is not known to have been otherwise.
    """
    reported = number(actual, shot_with) if shot_with else None
    if not _has_changed(was, now, (*levels, *([shot_with] if shot_with else []))):
        return None
    if reported is not None:
        wanted = number(now, *reversed(levels))
        return None if wanted is None else wanted - reported
    found = [(number(was, each), number(now, each)) for each in levels]
    moved = [after - before for before, after in found if before is not None and after is not None]
    return max(moved, key=abs, default=None)


def _mm(name: str, value: float) -> Quantity:
    return Quantity(name, value, "mm", Standing.GIVEN)


@dataclass(frozen=True, slots=True)
class _Judging:
    """Judges one picture: seen as photographed, and as it is wanted."""

    shot: Seen
    wanted: Seen
    thumb: Thumb

    def lens(self) -> Iterator[Finding]:
        shot, wanted = self.shot, self.wanted
        if shot.focal is None or wanted.focal is None:
            return
        inputs = (
            _mm("focal length it was photographed with", shot.focal),
            _mm("focal length wanted", wanted.focal),
            _mm("frame width then", shot.width),
            _mm("frame width now", wanted.width),
        )
        value = (wanted.focal / wanted.width) / (shot.focal / shot.width)
        formula = "focal length wanted / frame width now x frame width then / focal length then"
        zoom = reckoned("enlargement", value, "1", formula, *inputs)
        lens = f"photographed with {shot.focal:g} mm, and {wanted.focal:g} mm is wanted"
        if value >= 1:
            yield from self._enlarged(zoom, f"another lens: {lens}", "another lens")
            return
        lost = self.shot.image * (1 - value) / 2
        short = reckoned(
            "frame that is not covered, at each side",
            lost,
            "px",
            "image width x (1 - enlargement) / 2",
            zoom,
        )
        says = f"another lens: {lens}, so that {lost:.0f} px of the frame are empty at each side"
        yield from self._by_pixels(short, says, "another lens")

    def place(self, says: str, by: float) -> Iterator[Finding]:
        if says == "height":
            yield from self._height(by)
        elif says == "tilt":
            yield from self._tilt(by)
        else:
            yield from self._roll(by)

    def _height(self, by: float) -> Iterator[Finding]:
        way = "higher" if by > 0 else "lower"
        what = f"the camera wanted is {abs(by) / 1000:.3g} m {way} than it was photographed from"
        yield from self._across(abs(by), what, "camera height", "height of the camera moved by")

    def _across(self, by: float, what: str, short: str, name: str) -> Iterator[Finding]:
        """A camera moved across its view: the near slides over the far."""
        focal_px, near = self.shot.focal_px, self.shot.near
        if by == 0:
            return
        if focal_px is None or near is None:
            unknown = "lens" if focal_px is None else "distance of the nearest thing"
            said = f"{what}; its {unknown} is not known, so nobody can say how far it shifts: look"
            hours = self.thumb.of(REFRAME)
            yield Finding(Verdict.WORK, f"another {short}", said, hours)
            return
        shift = reckoned(
            "shift of the nearest against the farthest",
            focal_px.value * by * (1 / near - 1 / self.shot.far),
            "px",
            "focal length in pixels x move x (1 / nearest - 1 / farthest)",
            focal_px,
            _mm(name, by),
            _mm("nearest", near),
            *([_mm("farthest", self.shot.far)] if math.isfinite(self.shot.far) else []),
        )
        yield from self._by_pixels(shift, f"{what}, which shifts it", f"another {short}")

    def _tilt(self, by: float) -> Iterator[Finding]:
        focal_px = self.shot.focal_px
        if by == 0:
            return
        what = f"the camera wanted is tilted {abs(by):g} deg {'up' if by > 0 else 'down'} from it"
        if focal_px is None:
            hours = self.thumb.of(REFRAME)
            said = f"{what}; its lens is not known, so nobody can say how far it shifts: look"
            yield Finding(Verdict.WORK, "another tilt", said, hours)
            return
        shift = reckoned(
            "shift of the whole picture",
            focal_px.value * math.tan(math.radians(min(abs(by), 89))),
            "px",
            "focal length in pixels x tan(tilt)",
            focal_px,
            Quantity("tilted by", abs(by), "deg", Standing.GIVEN),
        )
        if shift.value <= self.thumb.of(HIDDEN).likely:
            yield from self._by_pixels(shift, f"{what}, which shifts it", "another tilt")
            return
        # A turn about the lens is undone by a warp; what the frame gains at one side it lacks at
        # the other, and the piece must be enlarged by that to fill it again.
        room = reckoned(
            "enlargement",
            1 + 2 * shift.value / self.shot.image_height,
            "1",
            "1 + 2 x shift / image height",
            shift,
            Quantity("image height", self.shot.image_height, "px", Standing.GIVEN),
        )
        said = f"{what}, which shifts it {shift.value:.1f} px"
        yield from self._enlarged(room, said, "another tilt")

    def _roll(self, by: float) -> Iterator[Finding]:
        if by == 0:
            return
        turn = math.radians(min(abs(by), 90))
        room = reckoned(
            "enlargement",
            math.cos(turn) + self.shot.width / self.shot.height * math.sin(turn),
            "1",
            "cos(roll) + frame width / frame height x sin(roll)",
            Quantity("rolled by", abs(by), "deg", Standing.GIVEN),
        )
        said = f"the camera wanted is rolled {abs(by):g} deg from it"
        yield from self._enlarged(room, said, "another roll")

    def distance(self, near: float, nearer: float) -> Iterator[Finding]:
        """A camera moved along its view: the near grows more than the far."""
        far = self.shot.far
        far_now = far + nearer - near
        grown, far_grown = near / nearer, far / far_now if math.isfinite(far) else 1.0
        shift = reckoned(
            "shift of the nearest against the farthest, at the frame's edge",
            self.shot.image / 2 * abs(grown - far_grown),
            "px",
            "half the image width x (growth of the nearest - growth of the farthest)",
            _mm("nearest when photographed", near),
            _mm("nearest now", nearer),
            *([_mm("farthest when photographed", far)] if math.isfinite(far) else []),
            Quantity("image width", self.shot.image, "px", Standing.GIVEN),
        )
        way = "nearer" if nearer < near else "farther"
        by = abs(near - nearer) / 1000
        said = (
            f"the camera wanted is {by:.3g} m {way} than it was photographed from, which shifts it"
        )
        yield from self._by_pixels(shift, said, "another camera place")

    def paths(self, was: Mapping[str, str], now: Mapping[str, str]) -> Iterator[Finding]:
        """The move it repeats, where its rows are not what they were."""
        names = [each for each in now if each == "data" or each.endswith(" data")]
        for name in sorted(names):
            old, new = was.get(name, ""), now[name]
            before, after = was.get(f"path {old}", ""), now.get(f"path {new}", "")
            if before and after and before != after:
                yield from self._path(new, read_path(before), read_path(after))
            elif old and old != new and not (before and after):
                said = f"photographed with {old}, and {new} is wanted; no path tells how far apart"
                yield Finding(Verdict.WORK, "another move", said, self.thumb.of(REFRAME))

    def _path(self, name: str, was: Path, now: Path) -> Iterator[Finding]:
        focal_px, near = self.shot.focal_px, self.shot.near
        if focal_px is None or near is None:
            said = f"{name} is another move; its lens or nearest distance is not known: look"
            yield Finding(Verdict.WORK, "another move", said, self.thumb.of(REFRAME))
            return
        worst, frame = 0.0, 0
        for each in sorted(was.keys() & now.keys()):
            off = self._apart(was[each], now[each], focal_px.value, near)
            if off > worst:
                worst, frame = off, each
        shift = reckoned(
            f"farthest that {name} is from what was photographed",
            worst,
            "px",
            "over its axes: focal length in pixels x tan(turn), or x travel / nearest",
            focal_px,
            _mm("nearest", near),
            Quantity("frame", frame, "1"),
        )
        said = f"{name} is not the move it was photographed with; on frame {frame} that shifts it"
        yield from self._by_pixels(shift, said, "another move")

    def _apart(
        self, was: Mapping[str, float], now: Mapping[str, float], focal_px: float, near: float
    ) -> float:
        total = 0.0
        for axis in was.keys() & now.keys():
            off = abs(now[axis] - was[axis])
            if not axis.endswith("deg"):
                total += focal_px * off / near
            else:
                # A roll shifts most at the frame's side, a turn everywhere alike.
                arm = self.shot.image / 2 if axis.startswith("roll") else focal_px
                total += arm * math.tan(math.radians(min(off, 89)))
        return total

    def _by_pixels(self, shift: Quantity, says: str, short: str) -> Iterator[Finding]:
        hidden, worked = self.thumb.likely(HIDDEN), self.thumb.likely(WORKED)
        value, numbers = shift.value, (shift, hidden, worked)
        if value <= NEGLIGIBLE_PX:
            return
        by = "" if says.endswith("side") else f" {value:.1f} px"
        if value <= hidden.value:
            told = f"{says}{by}; nobody sees {hidden.value:g} px"
            yield Finding(Verdict.GOOD, short, told, None, numbers)
        elif value <= worked.value:
            hours = added((self.thumb.of(REFRAME), times(self.thumb.of(WARP), value)))
            told = f"{says}{by}; a warp or blend hides up to {worked.value:g} px"
            yield Finding(Verdict.WORK, short, told, hours, numbers)
        else:
            told = f"{says}{by}; no warp or blend hides more than {worked.value:g} px"
            off = "off" if by else "empty at each side"
            yield Finding(Verdict.DEAD, f"{short}, {value:.0f} px {off}", told, None, numbers)

    def _enlarged(self, room: Quantity, says: str, short: str) -> Iterator[Finding]:
        most = self.thumb.likely(ENLARGED)
        share = (room.value - 1) * 100
        if share * self.shot.image / 200 <= NEGLIGIBLE_PX:
            return
        numbers = (room, most)
        told = f"{says}; to fit, it is enlarged {share:.3g} %, and {most.value:g} % is the most"
        if share <= most.value:
            yield Finding(Verdict.WORK, short, told, self.thumb.of(REFRAME), numbers)
        else:
            told = told.replace("to fit, it is", "to fit, it would be")
            yield Finding(Verdict.DEAD, short, told, None, numbers)


Path = dict[int, dict[str, float]]
"""Per frame, positions by axis and unit: ``pan deg``, ``track mm``."""


def read_path(text: str) -> Path:
    """A path from the text `planner.status.rested` makes of it."""
    head, *rows = text.split("; ")
    axes = [each.strip() for each in head.partition(":")[2].split(",")]
    path: Path = {}
    for row in rows:
        frame, *values = row.split()
        path[int(frame)] = dict(zip(axes, map(float, values), strict=False))
    return path
