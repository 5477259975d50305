"""Film of a composite: strips, exposures, generations and recording.

Takes the pieces, the frames and the finish, gives counts, charges and findings. Knows nothing of
hours of joining.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.craft import composite as joining
from planner.craft import formats
from planner.kinds import Charge, Hours, Phase, Work
from planner.kinds.takes import LAB_HOURS
from planner.kinds.view import USUAL_FORMAT
from planner.model.quantity import Quantity
from planner_plugins.composite import rules

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner_plugins.composite.pieces import Pieces

RECORDER = "laser-2k"
RECORD_HOURS = 8.0


def generations(sheet: Worksheet, pieces: Pieces, finish: str) -> None:
    """Count generations from camera to composite and compare with what is allowed."""
    inner = [
        found
        for each in pieces.inner
        if (known := sheet.context.upstream.get(each.id))
        and (found := known.quantities.get("generations"))
    ]
    before = max((each.value for each in inner), default=0.0)
    if finish == "digital":
        own = joining.DIGITAL_GENERATIONS + 1
        reason = "scanned once, layers add none, recorded once"
    else:
        own = joining.OPTICAL_GENERATIONS + (1 if finish == "mixed" and pieces.recorded else 0)
        reason = "intermediate and duplicate negative, and a recorded strip where there is one"
    count = sheet.reckon(
        "generations", own + before, "1", f"{reason}; those of joined composites added", *inner
    )
    allowed = sheet.element.facts.number("most_generations") or sheet.rule(rules.GENERATIONS)[0]
    if count.value > allowed.value:
        sheet.warn(
            "too-many-generations",
            f"{count.value:g} generations lie between camera and composite and {allowed.value:g}"
            " are allowed",
            "join more pieces in one run, print from the originals, or finish it digitally",
            at="most_generations",
        )


def expose(
    sheet: Worksheet, pieces: Pieces, frames: Quantity, versions: Quantity
) -> tuple[Quantity, Quantity]:
    """Strips and exposures of an optical composite, with their film charged.

    Returns:
        Strips beyond the originals, and exposures of the composite negative.
    """
    layers = sheet.quantities["layers"]
    originals = Quantity("layers a matte joins", pieces.matted, reason="neither rearmost nor added")
    strips = sheet.reckon(
        "strips",
        joining.matte_strips(pieces.matted) - pieces.matted,
        "1",
        "five strips beside the original for each layer a matte joins",
        originals,
        source='bilingual cinematography dictionary, "blue screen process"',
    )
    exposures = sheet.reckon(
        "exposures",
        joining.optical_exposures(max(len(pieces.layers) - 1, 0)),
        "1",
        "each layer once, from interpositives",
        layers,
    )
    sheet.reckon(
        "exposures from separations",
        joining.optical_exposures(max(len(pieces.layers) - 1, 0), from_separations=True),
        "1",
        "each layer three times",
        layers,
    )
    _buy(sheet, frames, strips, versions)
    return strips, exposures


def _buy(sheet: Worksheet, frames: Quantity, strips: Quantity, versions: Quantity) -> None:
    frame = sheet.context.frame_format() or formats.FRAME_FORMATS[USUAL_FORMAT]
    one = frames.value / frame.frames_per_foot
    printed = sheet.reckon(
        "film of the versions",
        one * versions.value,
        "ft",
        f"frames / {frame.frames_per_foot:g} to the foot x versions",
        frames,
        versions,
    )
    feet = sheet.reckon(
        "film of strips and versions",
        one * strips.value + printed.value,
        "ft",
        f"frames / {frame.frames_per_foot:g} to the foot x strips, and the versions",
        frames,
        strips,
        printed,
    )
    for name, rate, amount in (
        ("laboratory stock", "negative", feet),
        ("processing", "processing", feet),
        ("prints of the versions", "print", printed),
    ):
        sheet.buy(Charge(name, rate, amount, Phase.LAB))


def record(sheet: Worksheet, frames: Quantity, after: str = "", recorder: str = RECORDER) -> None:
    """Put frames on film: the recorder's time, its charge by the frame, and the wait for it."""
    recorded = sheet.reckon("frames recorded", frames.value, "1", "frames put on film", frames)
    machine = joining.MACHINE_RATES[recorder]
    hours = joining.machine_seconds(round(frames.value), recorder) / 3600
    likely = sheet.reckon(
        "hours to record on film",
        hours,
        "h",
        f"{machine.seconds:g} s a frame, {machine.name}",
        recorded,
        source=machine.source,
    )
    turnaround = sheet.context.show.facts.group("turnaround")
    wait = turnaround.amount("record", RECORD_HOURS) + turnaround.amount("lab", LAB_HOURS)
    sheet.do(
        Work(
            "record on film",
            "computer",
            Phase.LAB,
            Hours(hours, hours, 2 * hours),
            likely,
            after=(after,) if after else (),
            wait_hours=wait,
        )
    )
    sheet.buy(Charge("recording on film", "record", recorded, Phase.LAB))
