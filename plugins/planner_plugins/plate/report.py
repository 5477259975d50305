"""What a plate's report and its set have to say.

Takes the report written the day the plate was photographed, the set it was photographed on and the
plate a clean plate repeats, gives findings. Knows nothing of hours, film or light.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds.behind import how_to_name
from planner.model.quantity import Quantity

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.model.facts import DateRange
    from planner.model.show import Element

REPORTED = {
    "take": "take kept",
    "lens_serial": "lens serial",
    "focal_length": "focal length",
    "focus": "focus",
    "stop": "stop",
    "filter": "filter",
    "height": "lens height",
    "tilt": "tilt",
    "stock": "stock",
    "shutter": "shutter",
    "weather": "weather and hour",
    "dimensions": "measured sizes",
    "light_plan": "plan of sun or lamps",
    "grey_reference": "grey reference",
}
"""What a report must hold for a model, a painting or a puppet to be joined to the plate."""


def is_taken(sheet: Worksheet) -> bool:
    """Whether the plate has been photographed."""
    return sheet.element.facts.group("report").flag("taken")


def check_report(sheet: Worksheet) -> tuple[str, ...]:
    """What the report of a plate already photographed does not hold, in words; told as well."""
    if not is_taken(sheet):
        return ()
    report = sheet.element.facts.group("report")
    absent = tuple(
        words
        for name, words in REPORTED.items()
        if not report.has(name) or (name == "grey_reference" and not report.flag(name))
    )
    held = Quantity("report items held", len(REPORTED) - len(absent), reason="items written down")
    sheet.note(held)
    if not absent:
        return ()
    stands = _stands(sheet)
    until = (
        f"; its set stands until {stands.last}"
        if stands
        else "; no set with standing days is named for it"
    )
    sheet.warn(
        "plate-report-incomplete",
        f"the report lacks {', '.join(absent)} ({len(absent)} of {len(REPORTED)}){until}",
        f"measure and write them down {f'by {stands.last}' if stands else 'now'}; afterwards they"
        " can only be reconstructed",
        at="report",
    )
    return absent


def check_set(sheet: Worksheet) -> None:
    """Tell a plate fixed for a day on which its set does not stand."""
    day, stands = sheet.element.facts.day("day"), _stands(sheet)
    if day is None or stands is None or stands.first <= day <= stands.last:
        return
    sheet.error(
        "plate-outside-set-days",
        f"it is photographed on {day} and its set stands {stands}",
        f"photograph it between {stands.first} and {stands.last}, or keep the set standing",
        at="day",
    )


def check_clean(sheet: Worksheet) -> None:
    """Tell a clean plate that cannot lie under the plate it is for."""
    if sheet.element.facts.word("sort") != "clean":
        return
    source = sheet.context.target("clean_of")
    if source is None:
        sheet.miss("clean_of", rests="whose camera place the clean plate repeats")
        return
    if source.kind != "plate":
        name = source.id.rpartition(".")[2]
        sheet.error(
            "clean-plate-of-no-plate",
            f"{source.id} is no plate but a {source.kind.replace('_', ' ')}, and a clean plate"
            " repeats a plate's camera at full size: what lies behind anything else is shown by the"
            " pass of its set without it",
            f"leave this plate out, and for {name} {how_to_name(sheet.context.show, source)}",
            at="clean_of",
        )
        return
    programs = _programs(sheet, source)
    if not programs or sheet.element.target("move_from") in programs:
        return
    sheet.warn(
        "clean-plate-without-program",
        f"{source.id} was photographed with a moving camera ({' or '.join(programs)}) and its clean"
        " plate repeats no such program: the two will not lie over one another",
        f"write `move_from: {programs[0]}` and shoot it on that program, or count on painting"
        " without a clean plate",
        at="move_from",
    )


def _programs(sheet: Worksheet, source: Element) -> tuple[str, ...]:
    """Moves the source was photographed with: those it repeats, and its shot's recorded of it."""
    show = sheet.context.show
    shot = show.shots.get(source.shot)
    recorded = (
        each.id
        for each in (show.elements[name] for name in (shot.elements if shot else ()))
        if each.kind == "camera_move" and each.target("of") == source.id
    )
    return tuple(dict.fromkeys([*source.targets("move_from"), *recorded]))


def _stands(sheet: Worksheet) -> DateRange | None:
    known = sheet.context.target("set")
    return known.facts.days("stands") if known else None
