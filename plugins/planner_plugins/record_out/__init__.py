"""Digital pictures put on film, so that printers can join them.

Takes what is recorded, the recorder and the copies, gives frames, machine time, film and days, and
says where the record is not wanted or is too coarse. Knows nothing of joining the strip: see
`composite`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.craft import formats
from planner.craft.composite import MACHINE_RATES
from planner.kinds import DOOR, Charge, Phase, Rule, Work, Worksheet, packaged_schema
from planner.kinds.frames_drawn import range_drawn
from planner.kinds.takes import CUT
from planner.kinds.view import USUAL_FORMAT, image_width_of
from planner.model.quantity import Quantity, Standing
from planner_plugins.composite.film import RECORDER, record

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Context, Estimate

WIDTHS = {"2k": 2048.0, "4k": 4096.0}
"""Pixels across that a recorder writes: broadcast-technology glossary, film formats."""
BEGIN = Rule("record_out.begin", "hours to grade for the stock and set the recorder", 0.5, 1, 3)
TESTS = Rule("record_out.tests", "frames of exposure tests before the record", 12, 24, 48, "1")
CHECK = Rule("record_out.check", "hours to look at the record on film", 0.25, 0.5, 1)


class RecordOut:
    """The kind ``record_out``."""

    name = "record_out"
    door = DOOR
    section = "elements"

    def schema(self) -> Mapping[str, object]:
        """JSON Schema of one record on film."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """Frames, machine time, film, days and findings."""
        sheet = Worksheet(context)
        machine = sheet.element.facts.word("machine")
        if not machine:
            sheet.miss("machine", rests="time of the record", assumed=MACHINE_RATES[RECORDER].name)
        _check_wanted(sheet)
        _check_width(sheet, machine or RECORDER)
        _record(sheet, machine or RECORDER, _frames(sheet))
        return sheet.estimate()


def _frames(sheet: Worksheet) -> Quantity:
    """Frames put on film: every piece, copy and test."""
    facts = sheet.element.facts
    span = range_drawn(sheet)
    if span is None:
        length = sheet.rule(CUT)[0]
        sheet.miss("frames", rests="time and film of the record", assumed=f"{length.value:g}")
    else:
        length = Quantity("frames", span.count, "1", Standing.GIVEN, reason=str(span))
    pieces = Quantity(
        "pieces recorded", max(len(sheet.element.targets("records")), 1), reason="listed"
    )
    copies = sheet.positive(facts.number("copies"), "copies") or Quantity(
        "copies", 1, reason="one, unless said"
    )
    tests = facts.number("tests") or sheet.rule(TESTS)[0]
    return sheet.reckon(
        "frames to record",
        length.value * pieces.value * copies.value + tests.value,
        "1",
        "frames x pieces x copies + frames of tests",
        length,
        pieces,
        copies,
        tests,
    )


def _record(sheet: Worksheet, machine: str, frames: Quantity) -> None:
    begin = sheet.effort("set the recorder", (BEGIN, 1))
    name = "set the recorder"
    sheet.do(Work(name, "computer", Phase.LAB, begin.hours, begin.reason))
    record(sheet, frames, after=name, recorder=machine)
    frame = sheet.context.frame_format() or formats.FRAME_FORMATS[USUAL_FORMAT]
    feet = sheet.reckon(
        "film of the record",
        frames.value / frame.frames_per_foot,
        "ft",
        f"frames / {frame.frames_per_foot:g} to the foot",
        frames,
    )
    for what, rate in (
        ("record stock", "negative"),
        ("processing", "processing"),
        ("prints", "print"),
    ):
        sheet.buy(Charge(what, rate, feet, Phase.LAB))
    hours = sheet.quantities["hours to record on film"]
    day = sheet.context.show.calendar.day_hours
    sheet.reckon(
        "days at the recorder", hours.value / day, "days", f"hours / {day:g} in a day", hours
    )
    look = sheet.effort("look at the record", (CHECK, 1))
    sheet.do(
        Work(
            "look at the record",
            "supervision",
            Phase.FINISH,
            look.hours,
            look.reason,
            after=("record on film",),
        )
    )


def _check_wanted(sheet: Worksheet) -> None:
    """A digital finish is recorded as a whole; a record of pieces serves only printers."""
    if sheet.context.finish() == "digital":
        sheet.warn(
            "record-out-not-wanted",
            "the shot is finished digitally: its pieces are joined as they are and the composite"
            " itself is recorded",
            "leave this record out, or finish the shot mixed",
            at="records",
        )
    if not sheet.context.users("joins"):
        sheet.warn(
            "record-joined-by-nothing",
            "no composite joins the record: it is made for nothing",
            "name it under joins of the composite",
        )


def _check_width(sheet: Worksheet, machine: str) -> None:
    image = image_width_of(sheet)
    writes = next((px for name, px in WIDTHS.items() if machine.endswith(name)), None)
    if writes is None or image.value <= writes:
        return
    sheet.warn(
        "recorder-too-coarse",
        f"the picture is {image.value:.0f} px wide and the {MACHINE_RATES[machine].name} writes"
        f" {writes:.0f}: {image.value / writes:.1f} px become one",
        "take a recorder of 4K, or accept the loss for a matte that is soft",
        at="machine",
    )
