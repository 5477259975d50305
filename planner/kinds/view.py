"""The camera an element is seen by.

Takes what the element, its shot and the show state of format, lens and shutter, gives `View` with
each number's standing. Knows nothing of scale, stages or light.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from planner.craft import formats, optics
from planner.model.quantity import Quantity, Standing

if TYPE_CHECKING:
    from planner.craft.formats import FrameFormat
    from planner.kinds.context import Context
    from planner.kinds.worksheet import Worksheet
    from planner.model.facts import Facts
    from planner.model.show import Resource

USUAL_FORMAT = "full-aperture-35"
USUAL_IMAGE_PX = 2048.0
USUAL_SHUTTER_DEG = 180.0
USUAL_FRAME_RATE = 24.0
WHOLE_TURN_DEG = 360.0
CIRCLE_PER_FRAME_WIDTH = 0.025 / 24.892
"""Circle of confusion over frame width: 0.001 in on 35 mm (depth-of-field calculations)."""


@dataclass(frozen=True, slots=True)
class View:
    """Format, lens and shutter of one picture.

    Attributes:
        frame: the frame on film.
        width: width of the frame with any squeeze undone, mm.
        height: height of the frame, mm.
        image: width of the finished frame, px.
        shutter: angle, deg.
        frame_rate: rate the picture is shown at, fps.
        circle: largest blur on the frame that passes as sharp, mm.
        focal: focal length, mm; None while nobody knows it.
        lens: the lens by name; None where only a focal length is stated.
    """

    frame: FrameFormat
    width: Quantity
    height: Quantity
    image: Quantity
    shutter: Quantity
    frame_rate: Quantity
    circle: Quantity
    focal: Quantity | None
    lens: Resource | None

    @property
    def open_share(self) -> float:
        """Part of a frame's time that the shutter is open, 0 to 1."""
        return min(max(self.shutter.value, 1.0), WHOLE_TURN_DEG) / WHOLE_TURN_DEG

    def focal_px(self) -> Quantity | None:
        """Focal length in pixels of the finished frame; None without a lens."""
        if self.focal is None:
            return None
        return Quantity(
            "focal length in pixels",
            self.focal.value * self.image.value / self.width.value,
            "px",
            reason="focal length x image width / frame width",
            inputs=(self.focal, self.image, self.width),
        )

    def field_width(self, distance: Quantity) -> Quantity | None:
        """Width of what fills the frame at a distance (mm from the lens), mm; None without a lens.

        Raises:
            ValueError: the distance lies within the focal length.
        """
        return self._field("field width", self.width, distance)

    def field_height(self, distance: Quantity) -> Quantity | None:
        """Height of what fills the frame at a distance (mm from the lens), mm; as `field_width`.

        Raises:
            ValueError: the distance lies within the focal length.
        """
        return self._field("field height", self.height, distance)

    def pixels_of(self, size: Quantity, distance: Quantity) -> Quantity | None:
        """Pixels that a size (mm) covers at a distance (mm); None without a lens.

        Raises:
            ValueError: the distance lies within the focal length.
        """
        across = self.field_width(distance)
        if across is None:
            return None
        value = size.value / across.value * self.image.value
        reason = "size / field width x image width"
        return Quantity("size on screen", value, "px", reason=reason, inputs=(size, across))

    def _field(self, name: str, side: Quantity, distance: Quantity) -> Quantity | None:
        if self.focal is None:
            return None
        across_m = optics.field_width_m(side.value, self.focal.value, distance.value / 1000)
        return Quantity(
            name,
            across_m * 1000,
            "mm",
            reason="side of the frame x (distance - focal length) / focal length",
            source="thin lens",
            inputs=(side, distance, self.focal),
        )


def view_of(sheet: Worksheet, *, rests: str = "field, pixels, depth and clearance") -> View:
    """The view of the sheet's element; what is not stated is assumed or listed as missing.

    Args:
        sheet: of the element.
        rests: what cannot be said without a lens, a clause.
    """
    context = sheet.context
    frame = _frame(sheet)
    lens, focal = _lens(context)
    focal = sheet.positive(focal, "focal_length")
    if focal is None:
        sheet.miss("focal_length", rests=rests)
    circle = sheet.positive(context.look_up("circle_of_confusion"), "circle_of_confusion")
    return View(
        frame=frame,
        width=of_format(frame, "frame width", frame.seen_width_mm, "mm"),
        height=of_format(frame, "frame height", frame.height_mm, "mm"),
        image=image_width_of(sheet),
        shutter=_shutter(sheet),
        frame_rate=frame_rate_of(sheet),
        circle=circle or _usual_circle(frame),
        focal=focal,
        lens=lens,
    )


def frame_rate_of(sheet: Worksheet) -> Quantity:
    """Rate the picture is shown at, fps: stated, else the usual one."""
    return _usual(sheet, "frame_rate", USUAL_FRAME_RATE, "fps")


def image_width_of(sheet: Worksheet) -> Quantity:
    """Width of the finished frame, px: stated, else the usual one."""
    return _usual(sheet, "image_width", USUAL_IMAGE_PX, "px")


def _shutter(sheet: Worksheet) -> Quantity:
    """Shutter angle, deg: stated, else the usual one; a shutter is open a whole turn at most."""
    angle = _usual(sheet, "shutter", USUAL_SHUTTER_DEG, "deg")
    if angle.value <= WHOLE_TURN_DEG:
        return angle
    sheet.error(
        "shutter-past-whole-turn",
        f"a shutter cannot be open {angle.value:g} deg, more than its whole turn of"
        f" {WHOLE_TURN_DEG:g}; reckoned at {WHOLE_TURN_DEG:g} meanwhile",
        "state the angle it is open, or a slower rate",
        at="shutter",
    )
    return Quantity(
        "shutter",
        WHOLE_TURN_DEG,
        "deg",
        Standing.ASSUMED,
        reason="a whole turn, the most there is",
        inputs=(angle,),
    )


def _frame(sheet: Worksheet) -> FrameFormat:
    named = sheet.context.look_up_word("format")
    frame = sheet.context.frame_format()
    if frame is not None:
        return frame
    if named:
        sheet.warn(
            "format-unknown",
            f"no frame format is called {named}; reckoned as {USUAL_FORMAT}",
            f"write one of {', '.join(formats.FRAME_FORMATS)}",
            at="format",
        )
    else:
        sheet.miss("format", rests="fields and film by the foot", assumed=USUAL_FORMAT)
    return formats.FRAME_FORMATS[USUAL_FORMAT]


def _lens(context: Context) -> tuple[Resource | None, Quantity | None]:
    """The lens and its focal length, from the innermost of element, shot and show that says."""
    shot = context.shot
    levels: list[Facts] = [context.element.facts]
    if shot is not None:
        levels.append(shot.camera)
    levels.append(context.show.facts.group("camera"))
    for facts in levels:
        lens = context.resource(facts.word("lens"))
        if lens is not None and lens.facts.number("focal_length") is not None:
            return lens, lens.facts.number("focal_length")
        if facts.number("focal_length") is not None:
            return None, facts.number("focal_length")
        if facts.is_unknown("lens") or facts.is_unknown("focal_length"):
            return None, None
    return None, None


@cache
def _usual_circle(frame: FrameFormat) -> Quantity:
    return Quantity(
        "circle of confusion",
        round(CIRCLE_PER_FRAME_WIDTH * frame.width_mm, 4),
        "mm",
        Standing.ASSUMED,
        reason="0.025 mm on a 24.892 mm frame, in proportion",
        source="depth-of-field calculations (0.001 in on 35 mm)",
    )


@cache
def of_format(frame: FrameFormat, name: str, value: float, unit: str) -> Quantity:
    """A number of a frame format, given, with its name and source."""
    return Quantity(name, value, unit, Standing.GIVEN, reason=frame.name, source=frame.source)


def _usual(sheet: Worksheet, name: str, value: float, unit: str) -> Quantity:
    """A stated camera number, or the usual one as an assumption."""
    found = sheet.positive(sheet.context.look_up(name), name)
    if found is not None:
        return found
    words = name.replace("_", " ")
    return Quantity(words, value, unit, Standing.ASSUMED, reason="usual", source="common practice")
