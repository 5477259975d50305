"""People and flame.

Takes the distance people stand from flame, the distance a licensed person allows and who signed it,
gives findings. It compares what is stated and works out no distance of its own: local codes and
licensed people decide. Knows nothing of cameras.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds.subject import hazards_of

if TYPE_CHECKING:
    from planner.kinds.worksheet import Worksheet
    from planner.model.quantity import Quantity


def check_flame(sheet: Worksheet) -> None:
    """Compare the stated distances, and tell what nobody has stated or signed."""
    facts = sheet.element.facts
    distance, allowed = facts.number("flame_distance"), facts.number("flame_allowed")
    if "flame" not in hazards_of(sheet):
        return
    _check_permit(sheet)
    if distance is None:
        if facts.amount("performers", 0) > 0:
            sheet.miss("flame_distance", rests="whether people stand too near the flame")
        return
    if allowed is None:
        sheet.miss("flame_allowed", rests="whether people stand too near the flame")
        sheet.warn(
            "flame-distance-not-stated",
            f"people stand {distance.value / 1000:g} m from flame and no licensed person has stated"
            " how near they may",
            "have the licensed person in charge state and sign the distance",
            at="flame_distance",
        )
        return
    if not facts.word("flame_signed"):
        sheet.warn(
            "flame-distance-unsigned",
            f"nobody has signed the {allowed.value / 1000:g} m between people and flame",
            "have the licensed person in charge sign it before the day",
            at="flame_allowed",
        )
    _compare(sheet, distance, allowed)


def _compare(sheet: Worksheet, distance: Quantity, allowed: Quantity) -> None:
    spare = sheet.reckon(
        "distance to flame to spare",
        distance.value - allowed.value,
        "mm",
        "people to flame - distance the licensed person allows",
        distance,
        allowed,
    )
    if spare.value >= 0:
        return
    short = -spare.value / 1000
    signed = sheet.element.facts.word("flame_signed")
    sheet.error(
        "people-too-near-flame",
        f"people stand {distance.value / 1000:g} m from flame and may stand no nearer than"
        f" {allowed.value / 1000:g} m ({f'signed: {signed}' if signed else 'unsigned'}):"
        f" {short:g} m short",
        f"set people and flame {short:g} m farther apart, or photograph them apart; only the"
        " licensed person in charge may change the distance",
        at="flame_distance",
    )


def _check_permit(sheet: Worksheet) -> None:
    waited_for = sheet.context.targets("waits_for")
    if any(each.kind == "permit" for each in waited_for):
        return
    sheet.warn(
        "flame-without-permit",
        "there is flame and no permit it waits for",
        "add the permit under permits in builds.yaml and name it in waits_for",
        at="waits_for",
    )
