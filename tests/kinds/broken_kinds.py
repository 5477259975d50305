"""Plugins that misbehave, each in its own way; loaded through entry points by test_registry."""

from __future__ import annotations

import math
import time
from typing import TYPE_CHECKING

from planner.kinds import Estimate, Hours, Phase, Work
from planner.model.quantity import Quantity

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Context


class Sound:
    name = "sound"
    door = 1
    section = "elements"

    def schema(self) -> Mapping[str, object]:
        return {"type": "object", "properties": {}}

    def estimate(self, context: Context) -> Estimate:
        return Estimate(context.element.id)


class Raises(Sound):
    def estimate(self, context: Context) -> Estimate:
        raise RuntimeError("no such lens")


class Hangs(Sound):
    def estimate(self, context: Context) -> Estimate:
        while True:
            time.sleep(0.01)


class ReturnsNothing(Sound):
    def estimate(self, context: Context) -> Estimate:
        return None  # type: ignore[return-value]


class GivesNotANumber(Sound):
    def estimate(self, context: Context) -> Estimate:
        mass = Quantity("mass", math.nan, "kg")
        return Estimate(context.element.id, quantities={"mass": mass})


class LiesAboutHours(Sound):
    def estimate(self, context: Context) -> Estimate:
        hours = Hours(5, 3, 8)
        work = Work("paint", "painting", Phase.BUILD, hours, Quantity("hours", 3, "h"))
        return Estimate(context.element.id, work=(work,))


class SpeaksOfAnother(Sound):
    def estimate(self, context: Context) -> Estimate:
        return Estimate("SOMETHING.else")


class FromAnotherDoor(Sound):
    door = 99


class NotAKind:
    pass
