"""Plugins that misbehave, each in its own way; loaded through entry points by test_registry."""

from __future__ import annotations

import contextlib
import math
import time
from typing import TYPE_CHECKING

from planner.kinds import Charge, Estimate, Hours, Phase, Work
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


class EndsTheProgram(Sound):
    def estimate(self, context: Context) -> Estimate:
        raise SystemExit(0)


class GoesRoundForEver(Sound):
    def estimate(self, context: Context) -> Estimate:
        return self.estimate(context)


class HangsOnThoughStopped(Sound):
    def estimate(self, context: Context) -> Estimate:
        while True:
            with contextlib.suppress(Exception):
                time.sleep(0.01)


class RaisesWhatCannotBeSaid(Sound):
    def estimate(self, context: Context) -> Estimate:
        raise Unsayable


class Unsayable(Exception):  # noqa: N818
    def __str__(self) -> str:
        raise RuntimeError("not even this")


class PrintsAsItGoes(Sound):
    def __init__(self) -> None:
        print("made")  # noqa: T201

    def schema(self) -> Mapping[str, object]:
        print("asked for the schema")  # noqa: T201
        return super().schema()

    def estimate(self, context: Context) -> Estimate:
        print("asked for the estimate")  # noqa: T201
        return super().estimate(context)


class PutsWordsAmongWork(Sound):
    def estimate(self, context: Context) -> Estimate:
        return Estimate(context.element.id, work=("paint",))  # type: ignore[arg-type]


class HasNoNumbers(Sound):
    def estimate(self, context: Context) -> Estimate:
        return Estimate(context.element.id, quantities=None)  # type: ignore[arg-type]


class WaitsForEver(Sound):
    def estimate(self, context: Context) -> Estimate:
        reason = Quantity("hours", 3, "h")
        work = Work("dry", "painting", Phase.BUILD, Hours(1, 2, 3), reason, wait_hours=math.inf)
        return Estimate(context.element.id, work=(work,))


class WorksBesideNothing(Sound):
    def estimate(self, context: Context) -> Estimate:
        hours, reason = Hours(1, 2, 3), Quantity("hours", 2, "h")
        work = Work("blow", "effects", Phase.STAGE, hours, reason, beside="photograph")
        return Estimate(context.element.id, work=(work,))


class ChargesNotANumber(Sound):
    def estimate(self, context: Context) -> Estimate:
        charge = Charge("string", "string", Quantity("metres", math.nan), Phase.PREPARE)
        return Estimate(context.element.id, charges=(charge,))


class EndsWhenMade(Sound):
    def __init__(self) -> None:
        raise SystemExit(3)


class RaisesForItsSchema(Sound):
    def schema(self) -> Mapping[str, object]:
        raise FileNotFoundError("schema.json")


class EndsForItsSchema(Sound):
    def schema(self) -> Mapping[str, object]:
        raise SystemExit


class GivesAListForASchema(Sound):
    def schema(self) -> Mapping[str, object]:
        return []  # type: ignore[return-value]


class GivesASchemaOfNothing(Sound):
    def schema(self) -> Mapping[str, object]:
        return {"type": "object"}


class GivesASchemaThatIsNotJson(Sound):
    def schema(self) -> Mapping[str, object]:
        return {"type": "object", "properties": {"size": {"minimum": math.nan}}}


class NamesNothingInItsSchema(Sound):
    def schema(self) -> Mapping[str, object]:
        return {"type": "object", "properties": {"line": {"$ref": "#/$defs/line"}}}


class HoldsItselfInItsSchema(Sound):
    def schema(self) -> Mapping[str, object]:
        knot = {"type": "object", "properties": {"knot": {"$ref": "#/$defs/knot"}}}
        properties = {"knot": {"$ref": "#/$defs/knot"}}
        return {"type": "object", "properties": properties, "$defs": {"knot": knot}}


class HasSortsOfItsOwn(Sound):
    def schema(self) -> Mapping[str, object]:
        length = {"$ref": "facts.json#/$defs/length", "description": "Of it."}
        line = {"type": "object", "properties": {"length": length}}
        properties = {
            "line": {"$ref": "#/$defs/line", "description": "Let out."},
            "spare": {"type": "array", "items": {"$ref": "#/$defs/line"}},
        }
        return {"type": "object", "properties": properties, "$defs": {"line": line}}


class FromAnOlderDoor(Sound):
    door = 0


class NamesNoDoor(Sound):
    door = "front"  # type: ignore[assignment]


class FromAnotherDoor(Sound):
    door = 99


class NotAKind:
    pass
