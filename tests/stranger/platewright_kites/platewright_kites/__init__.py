"""Kites: hours to fly one, and what to ask before a long line is let out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds import DOOR, Phase, Rule, Work, Worksheet, packaged_schema

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Context, Estimate

LONG_LINE_MM = 30_000
FLY = Rule("kite.fly", "hours to rig and fly a kite", 1, 2, 5)
WIND = Rule("kite.wind", "hours of waiting for wind per metre of line", 0, 0.01, 0.1)


class Kite:
    """The kind ``kite``."""

    name = "kite"
    door = DOOR
    section = "elements"

    def schema(self) -> Mapping[str, object]:
        """The schema beside this module."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """One stretch of work on stage, longer with the line."""
        sheet = Worksheet(context)
        line = sheet.positive(sheet.ask("line_length", rests="how high it flies"), "line_length")
        metres = line.value / 1000 if line is not None else 0.0
        flying = sheet.effort("fly the kite", (FLY, 1), (WIND, metres))
        sheet.do(Work("fly the kite", "effects", Phase.STAGE, flying.hours, flying.reason))
        if line is not None:
            sheet.reckon("line let out", line.value, "mm", "as stated", line)
            if line.value > LONG_LINE_MM:
                sheet.warn(
                    "line-too-long",
                    f"{metres:g} m of line is more than {LONG_LINE_MM / 1000:g} m",
                    "ask the aviation authority",
                    at="line_length",
                )
        return sheet.estimate()
