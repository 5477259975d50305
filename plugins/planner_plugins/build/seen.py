"""How near and how long a build is seen, and whether it is made for that.

Takes the live elements that show the build, gives its nearest approach, the frames it is seen on,
how large its finest marks are there, the units seen by shot, and findings where it was made too
quickly, too well or too few times for that. Knows nothing of hours.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds import Context, Worksheet
from planner.kinds.view import view_of
from planner.model.names import counted, noun
from planner_plugins.build import rules
from planner_plugins.build.size import scales

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from planner.model.quantity import Quantity
    from planner.model.show import Element

MADE = frozenset({"miniature", "puppet", "foreground"})
LIVE = frozenset({"live", "blue_screen", "clean"})
PEOPLE = frozenset({"performer", "projected_people"})
DAYS = ("day", "not_before", "due")


def check_seen(sheet: Worksheet, users: Sequence[Element]) -> None:
    """Everything about how it is seen.

    Args:
        sheet: of the build.
        users: live elements that name it.
    """
    shown = [each for each in users if each.shot and sheet.element.id in each.targets("build")]
    _count_frames(sheet, shown)
    _check_scale_shown(sheet, shown)
    _check_units(sheet, shown)
    _check_near(sheet, shown)
    _check_life(sheet, users)
    _check_struck(sheet, shown)


def _count_frames(sheet: Worksheet, shown: Sequence[Element]) -> None:
    frames = 0
    for each in shown:
        cut = sheet.context.show.shots[each.shot].cut
        seen = each.facts.frames("in_frame") or cut
        span = seen.overlap(cut) if seen and cut else seen
        frames += span.count if span else 0
    if frames:
        sheet.reckon("frames seen", frames, "1", "frames of every live element that shows it")


def _check_scale_shown(sheet: Worksheet, shown: Sequence[Element]) -> None:
    """A thing never seen at full size, nor beside anything whose size everybody knows."""
    shots = dict.fromkeys(each.shot for each in shown)
    if not shots or sheet.element.facts.word("makes") not in MADE:
        return
    beside = [name for name in shots if _shows_scale(sheet, name)]
    sheet.reckon(
        "shots that show how large it is",
        len(beside),
        "1",
        "live shots of it with people, a place, or what is listed under known",
    )
    if not beside and scales(sheet)[0].value > 1:
        sheet.remark(
            "nothing-shows-scale",
            f"none of its {counted(len(shots), 'live shot')} shows anything"
            " of a size everybody knows: how large it is, is left to haze, detail and pace",
            "show a person, a door or a bird beside it, and write it under known of that piece",
        )


def _shows_scale(sheet: Worksheet, shot: str) -> bool:
    show = sheet.context.show
    pieces = (show.elements[name] for name in show.shots[shot].elements)
    return any(
        each.facts.group("known").word("what")
        or each.kind in PEOPLE
        or (each.kind == "plate" and each.facts.word("sort", "live") in LIVE)
        for each in pieces
        if show.is_live(each)
    )


def _check_near(sheet: Worksheet, shown: Sequence[Element]) -> None:
    """Its marks where they are seen largest: the nearest through the longest lens."""
    found = [
        (px, each, nearest)
        for each in shown
        if (nearest := each.facts.number("nearest")) is not None
        and nearest.value > 0
        and (px := _px_per_mm(sheet, each, nearest)) > 0
    ]
    if not found or sheet.element.facts.word("makes") == "painting":
        return
    largest, where, nearest = max(found, key=lambda each: each[0])
    n = scales(sheet)[0]
    sheet.reckon(
        "nearest approach",
        min(each[2].value for each in found),
        "mm",
        "least distance of the lens in the picture's world, of all live elements that show it",
        nearest,
    )
    is_quick = sheet.element.facts.word("made_to_last") == "quick"
    mark = sheet.rule(rules.QUICK_MARK if is_quick else rules.FINE_MARK)[0]
    covers = sheet.reckon(
        "finest mark where it is seen largest",
        largest * mark.value * n.value,
        "px",
        f"finest mark x N x focal length in pixels / distance, in {where.id}",
        mark,
        n,
        nearest,
    )
    if is_quick:
        _judge_quick(sheet, where, nearest, covers)
    elif sheet.element.facts.word("detail") == "fine":
        _judge_fine(sheet, where, covers)


def _px_per_mm(sheet: Worksheet, shown: Element, nearest: Quantity) -> float:
    """Pixels that a millimetre of the picture's world covers at the nearest; 0 without a lens."""
    focal = view_of(Worksheet(Context(sheet.context.show, shown, {}))).focal_px()
    return focal.value / nearest.value if focal is not None else 0.0


def _judge_quick(sheet: Worksheet, where: Element, nearest: Quantity, covers: Quantity) -> None:
    allowed = sheet.rule(rules.QUICK_PX)[0]
    if covers.value <= allowed.value:
        return
    off = nearest.value * covers.value / allowed.value
    sheet.warn(
        "quick-build-too-near",
        f"it is made quickly and {where.id} comes to {nearest.value / 1000:.3g} m: its coarse marks"
        f" cover {covers.value:.1f} px where {allowed.value:g} px pass",
        f"keep the lens {off / 1000:.3g} m away in the picture, or make it to last",
        at="made_to_last",
    )


def _judge_fine(sheet: Worksheet, where: Element, covers: Quantity) -> None:
    least = sheet.rule(rules.FINE_PX)[0]
    if covers.value >= least.value:
        return
    sheet.remark(
        "fine-work-not-seen",
        f"it is made in fine detail and its finest marks cover at most {covers.value:.2f} px, in"
        f" {where.id}: {least.value:g} px begin to be seen",
        "make it in medium detail, and put the best hands on what is seen nearer",
        at="detail",
    )


def _check_units(sheet: Worksheet, shown: Sequence[Element]) -> None:
    """Like units as the camera counts them, shot by shot."""
    seen = {
        each.id: units for each in shown if (units := each.facts.number("units_seen")) is not None
    }
    if not seen:
        return
    for name, units in seen.items():
        sheet.reckon(f"units seen in {name}", units.value, "1", "as stated", units)
    most_in = max(seen, key=lambda name: seen[name].value)
    least_in = min(seen, key=lambda name: seen[name].value)
    most, least = seen[most_in].value, seen[least_in].value
    if most != least:
        sheet.warn(
            "units-seen-differ",
            f"{most_in} shows {most:g} of them and {least_in} {least:g}",
            "show as many in both, or say in the story what became of the others",
            at="copies",
        )
    made = sheet.element.facts.amount("copies", 1)
    if most > made:
        sheet.warn(
            "more-units-seen-than-made",
            f"{most_in} shows {most:g} of them and {made:g} are made",
            f"make {most - made:g} more, or repeat one in passes on one program",
            at="copies",
        )
    elif made > 1 and not sheet.element.facts.word("dressing"):
        sheet.miss("dressing", rests="whether like units look alike side by side")


def _days(users: Sequence[Element]) -> list[tuple[date, str]]:
    """Days fixed for work with it, each with whose they are."""
    return sorted(
        (day, each.id) for each in users for name in DAYS if (day := each.facts.day(name))
    )


def _check_life(sheet: Worksheet, users: Sequence[Element]) -> None:
    life = sheet.element.facts.number("life")
    days = _days(users)
    if life is None:
        if sheet.element.facts.word("made_to_last") == "quick":
            sheet.miss("life", rests="how long it can be used")
        return
    first = sheet.element.facts.day("ready") or (days[0][0] if days else None)
    if first is None or not days:
        return
    last, who = days[-1]
    used = sheet.reckon(
        "days it must last", (last - first).days + 1, "d", "first day of use to last, both counted"
    )
    if used.value > life.value:
        sheet.warn(
            "used-past-its-life",
            f"it holds for {life.value:g} {noun(life.value, 'day')} and is used for"
            f" {used.value:g}, from {first} to"
            f" {last} ({who})",
            f"bring {who} {used.value - life.value:g} {noun(used.value - life.value, 'day')}"
            " forward, mend it between, or make it to last",
            at="life",
        )


def _check_struck(sheet: Worksheet, shown: Sequence[Element]) -> None:
    """A shot asked for, or dated, after the thing it would use is gone."""
    struck = sheet.element.facts.day("struck")
    if struck is None:
        return
    shots = sheet.context.show.shots
    late = [
        (day, each) for each in shown if (day := shots[each.shot].facts.group("added").day("on"))
    ]
    dated = [(day, id_) for day, id_ in _days(shown) if day > struck]
    told = [(day, each.id) for day, each in late if day > struck] + dated
    if not told:
        return
    day, who = min(told)
    sheet.warn(
        "reuses-what-is-struck",
        f"{who} of {day} is to show it, {counted((day - struck).days, 'day')} after it is struck"
        f" ({struck})",
        f"hold it until {day}, or bid {who} with building it again",
        at="struck",
    )
