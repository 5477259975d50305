"""How large a puppet's rods are on the screen.

Takes the lens, the puppet's scale and where its rods are held, gives pixels; the usual ones where
lens or place is not known. Knows nothing of frames and hours.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.craft import rods, survey
from planner.craft.rod_removal import RodSpan
from planner.kinds import Context
from planner.kinds.view import view_of
from planner_plugins.roto import rules

if TYPE_CHECKING:
    from planner.craft.survey import Point
    from planner.kinds import Worksheet
    from planner.model.facts import Facts
    from planner.model.show import Element

PICTURE_PX = 2048.0
"""Width of picture that hours of rod removal are told for."""


def usual_size(sheet: Worksheet) -> RodSpan:
    """A rod as it usually shows, over ground and figure, on no frames yet."""
    wanted = (rules.OVER_GROUND, rules.OVER_FIGURE, rules.ROD_BLUR, rules.ROD_WIDTH)
    ground, figure, blur, width = (sheet.rule(rule)[0].value for rule in wanted)
    return RodSpan(0, ground, figure, blur_px=blur, width_px=width)


@dataclass(frozen=True, slots=True)
class Lens:
    """A lens before a puppet, on the puppet's own stage.

    Attributes:
        view: the picture.
        mark_m: lens to the puppet's mark, metres.
        height_m: lens above the ground the puppet stands on, metres.
    """

    view: survey.View
    mark_m: float
    height_m: float

    @classmethod
    def before(cls, sheet: Worksheet, puppet: Element) -> Lens | None:
        """The lens of the sheet's shot; None where it, the scale or the distance is not known."""
        view = view_of(sheet, rests="pixels that rods cover")
        focal = view.focal_px()
        scale = Context(sheet.context.show, puppet, {}).scale()
        distance = puppet.facts.number("nearest") or sheet.context.look_up("focus")
        if focal is None or scale is None or distance is None:
            return None
        if min(scale.value, distance.value) <= 0:
            return None
        height = puppet.facts.number("camera_height") or sheet.context.look_up("height")
        tall = view.image.value * view.height.value / view.width.value
        per_metre = 1000 * scale.value
        return cls(
            survey.View(focal.value, view.image.value, tall),
            distance.value / per_metre,
            height.value / per_metre if height else 0.0,
        )

    def size_of(self, rod: Facts, usual: RodSpan) -> RodSpan:
        """The rod's own width and length on the screen in place of the usual."""
        told_for = PICTURE_PX / self.view.width_px
        diameter = rod.number("diameter")
        size = usual
        if diameter is not None and diameter.value > 0:
            width = rods.width_px(self.view.focal_px, diameter.value / 1000, self.mark_m)
            size = replace(size, width_px=width * told_for)
        if (seen := self.seen(rod)) is not None:
            size = replace(size, background_px=seen.visible_px * told_for)
        return size

    def seen(self, rod: Facts) -> rods.RodInFrame | None:
        """The rod as the frame shows it; None where its ends are not stated."""
        attach, toward = _point(rod, "attach"), _point(rod, "toward")
        if attach is None or toward is None:
            return None
        return rods.in_frame(self.view, self._ahead(attach), self._ahead(toward))

    def _ahead(self, point: Point) -> Point:
        """The point in the camera's own axes, the lens level and the mark straight ahead."""
        right, up, away = point
        return (right, up - self.height_m, away + self.mark_m)


def _point(rod: Facts, name: str) -> Point | None:
    numbers = rod.numbers(name)
    if len(numbers) != 3:
        return None
    right, up, away = (each.value / 1000 for each in numbers)
    return (right, up, away)
