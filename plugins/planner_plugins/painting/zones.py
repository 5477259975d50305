"""Parts of a board painted finer than the rest, each for the frames on which it is seen.

Takes the zones and the board's area, gives the area and detail of each, and a finding where a cut
shows frames that no zone was painted for. Knows nothing of framings.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner_plugins.painting import rules

if TYPE_CHECKING:
    from planner.kinds import Rule, Worksheet
    from planner.model.facts import FrameRange
    from planner.model.quantity import Quantity


def zone_hours(sheet: Worksheet, area: Quantity, usual: str) -> tuple[tuple[Rule, Quantity], ...]:
    """Terms of the hours to paint: each zone at its own detail, the rest at the usual one."""
    zones = sheet.element.facts.groups("zones")
    shares = [each.number("share") for each in zones]
    together = sum(share.value for share in shares if share is not None and share.value > 0)
    if together > 1 + 1e-9:
        sheet.error(
            "zones-over-board",
            f"its zones are {together * 100:.0f} % of the board together",
            "give each its share of the painted area, 100 % at most in all",
            at="zones",
        )
        return ((rules.PER_AREA[usual], area),)
    terms = []
    for zone, share in zip(zones, shares, strict=True):
        if share is None or share.value <= 0:
            continue
        name = f"area of {zone.word('name')}"
        part = sheet.reckon(name, area.value * share.value, "m2", "area x share", area, share)
        terms.append((rules.PER_AREA[zone.word("detail", usual)], part))
    rest = area
    if terms:
        rest = sheet.reckon(
            "area of the rest", area.value * max(1 - together, 0.0), "m2", "area - zones", area
        )
    return (*terms, (rules.PER_AREA[usual], rest))


def check_zones(sheet: Worksheet) -> None:
    """Frames on which people look, against those the finer zones were painted for."""
    facts = sheet.element.facts
    painted = [
        frames
        for zone in facts.groups("zones")
        if zone.word("detail") != "plain" and (frames := zone.frames("frames")) is not None
    ]
    shot = sheet.context.shot
    action = facts.frames("action")
    if not painted or action is None:
        return
    if shot is not None and shot.cut is not None:
        action = action.overlap(shot.cut) or action
    missed = [
        frame for frame in _frames(action) if not any(_holds(each, frame) for each in painted)
    ]
    if missed:
        sheet.warn(
            "action-outside-zone",
            f"people look at it on {action}, and {len(missed)} of these frames, from {missed[0]} to"
            f" {missed[-1]}, are outside the frames its finer zones were painted for"
            f" ({', '.join(map(str, painted))})",
            f"paint on for frames {missed[0]}-{missed[-1]}, or bring the action within"
            f" {painted[0]}",
            at="zones",
        )


def _frames(span: FrameRange) -> range:
    return range(span.first, span.last + 1)


def _holds(span: FrameRange, frame: int) -> bool:
    return span.first <= frame <= span.last
