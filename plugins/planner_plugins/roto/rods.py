"""Taking a puppet's rods out of the picture.

Takes the rods the puppet lists, the lens and what is painted back in, gives minutes low, likely and
high, and findings. Knows nothing of outlines and splits.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from planner.craft import rod_removal
from planner.kinds import Context, Effort, Hours
from planner.kinds.frames_drawn import frames_drawn, range_drawn
from planner.model.names import noun
from planner.model.quantity import Quantity
from planner_plugins.roto import rules
from planner_plugins.roto.over import tell_overlaps
from planner_plugins.roto.sight import Lens, usual_size

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.model.facts import Facts, FrameRange
    from planner.model.show import Element


def remove_rods(sheet: Worksheet) -> Effort:
    """Hours to paint the rods out, with findings."""
    puppet = sheet.context.target("removes_rods_of")
    if puppet is None:
        sheet.miss("removes_rods_of", rests="which rods come out")
    listed = _listed(sheet, puppet)
    if puppet is not None and not sheet.element.facts.has("rods"):
        listed = _with_mirrored(sheet, puppet, listed)
    if puppet is not None:
        tell_overlaps(sheet, puppet)
    around = _surroundings(sheet, puppet)
    minutes = _minutes(sheet, listed, around)
    effort = _effort(sheet, listed, around, minutes)
    _tell_edges(sheet, listed, around)
    if around.clean_plate == "none":
        _tell_plate(sheet, listed, around, minutes)
    return effort


def _listed(sheet: Worksheet, puppet: Element | None) -> tuple[rod_removal.Rod, ...]:
    """Rods with the frames each shows on, from the puppet's list or from counts."""
    pace = (
        rod_removal.PACE_WORDS[puppet.facts.word("performance", "ordinary")] if puppet else "medium"
    )
    count = frames_drawn(sheet)
    usual = usual_size(sheet)
    if puppet is not None and puppet.facts.groups("rods") and not sheet.element.facts.has("rods"):
        drawn, lens = range_drawn(sheet), Lens.before(sheet, puppet)
        return tuple(
            _rod(each, drawn, lens.size_of(each, usual) if lens else usual, pace)
            for each in puppet.facts.groups("rods")
        )
    number = sheet.element.facts.number("rods")
    if number is None:
        known = sheet.context.upstream_number("removes_rods_of", "rods")
        number = known or sheet.rule(rules.RODS)[0]
        sheet.miss("rods", rests="hours of rod removal", assumed=f"{number.value:g} rods")
    share = sheet.element.facts.number("crossing") or sheet.rule(rules.ROD_CROSSING)[0]
    crossing = round(count.value * min(max(share.value, 0.0), 1.0))
    spans = rod_removal.runs(usual, round(count.value) - crossing, crossing)
    return tuple(rod_removal.Rod(spans, pace) for _each in range(max(round(number.value), 0)))


def _with_mirrored(
    sheet: Worksheet, puppet: Element, listed: tuple[rod_removal.Rod, ...]
) -> tuple[rod_removal.Rod, ...]:
    """The rods, and each again for every photographed reflection of the puppet.

    A mirrored rod is taken to be as long and as wide as the rod itself, and to be clear of the
    mirrored figure where the rod is clear of the figure.
    """
    show = sheet.context.show
    mirrors = [
        each
        for each in Context(show, puppet, {}, sheet.context.named_by).users("shadow_of")
        if (each.kind, each.shot) == ("shadow", sheet.element.shot)
        and (each.facts.word("as"), each.facts.word("sort")) == ("reflection", "photographed")
        and show.is_live(each)
    ]
    if not mirrors or not listed:
        return listed
    both = listed * (1 + len(mirrors))
    sheet.warn(
        "rods-seen-again",
        f"its {len(listed)} {noun(len(listed), 'rod is', 'rods are')} seen again in"
        f" {' and '.join(each.id for each in mirrors)}:"
        f" {len(both)} rods come out, on {rod_removal.rod_frames(both)} frames, each rod counted",
        "hold the figure from where the reflection does not look, or break the reflection up with"
        " ripples",
        at="removes_rods_of",
    )
    return both


def _crossing_frames(listed: tuple[rod_removal.Rod, ...]) -> int:
    spans = (span for rod in listed for span in rod.spans)
    return sum(span.frames for span in spans if span.figure_px > 0)


def _rod(
    rod: Facts, drawn: FrameRange | None, size: rod_removal.RodSpan, pace: str
) -> rod_removal.Rod:
    shown = _within(rod.frames("frames"), drawn) if rod.has("frames") else drawn
    over = _within(rod.frames("crosses"), shown)
    frames = shown.count if shown else 0
    crossing = over.count if over else 0
    return rod_removal.Rod(rod_removal.runs(size, frames - crossing, crossing), pace)


def _within(frames: FrameRange | None, limits: FrameRange | None) -> FrameRange | None:
    if frames is None or limits is None:
        return frames
    return frames.overlap(limits)


def _surroundings(sheet: Worksheet, puppet: Element | None) -> rod_removal.Surroundings:
    """What the rods are painted out against, stated or the likeliest for the plate there is."""
    facts = sheet.element.facts
    plate = sheet.element.target("clean_plate") or (puppet.target("clean_plate") if puppet else "")
    moving = puppet is not None and bool(puppet.target("move_from"))
    usual = "texture" if not plate else "moving_plate" if moving else "locked_plate"
    background = rod_removal.BACKGROUND_WORDS[facts.word("background", usual)]
    if not facts.word("background"):
        sheet.miss("background", rests="hours of rod removal", assumed=background)
    figure = rod_removal.EDGE_WORDS[facts.word("edge", "smooth")]
    if not facts.word("edge"):
        sheet.miss("edge", rests="hours of rod removal", assumed="a smooth figure")
    clean = "none" if not plate else "motion-control" if moving else "locked"
    return rod_removal.Surroundings(clean, background, figure)


def _minutes(
    sheet: Worksheet,
    listed: tuple[rod_removal.Rod, ...],
    around: rod_removal.Surroundings,
) -> rod_removal.RemovalMinutes:
    """Minutes by the rules of thumb as the show has them, each end by its own coefficients."""
    low, likely, high = (
        rod_removal.removal_minutes(listed, around, rates) for rates in _rates(sheet)
    )
    usual = rod_removal.DEFAULT_RATES
    return replace(
        likely,
        low=low.likely - low.plate * (1 - usual.low_factor),
        high=high.likely + high.plate * (usual.high_factor - 1),
    )


def _rates(sheet: Worksheet) -> tuple[rod_removal.RemovalRates, ...]:
    """Coefficients low, likely and high."""
    hours = [sheet.rule(rule)[1] for rule in rules.REMOVAL]
    ends = zip(*((each.low, each.likely, each.high) for each in hours), strict=True)
    return tuple(rod_removal.RemovalRates(*each) for each in ends)


def _effort(
    sheet: Worksheet,
    listed: tuple[rod_removal.Rod, ...],
    around: rod_removal.Surroundings,
    minutes: rod_removal.RemovalMinutes,
) -> Effort:
    count = sheet.reckon("rods", len(listed), "1", "rods to take out")
    rod_frames = rod_removal.rod_frames(listed)
    shown = sheet.reckon("rod frames", rod_frames, "1", "frames each rod shows on, summed")
    crossing = sheet.reckon(
        "crossing frames",
        _crossing_frames(listed),
        "1",
        "frames each rod crosses the figure on, summed",
    )
    amounts = _amounts(sheet, around, minutes.amounts, (count, shown, crossing))
    started, *each = (sheet.rule(rule)[0] for rule in rules.REMOVAL)
    plate = Quantity(
        "clean plate", minutes.plate, "min", reason=f"clean plate: {around.clean_plate}"
    )
    pairs = [part for pair in zip(each, amounts, strict=True) for part in pair]
    terms = " + ".join(f"{a.value:.4g} x {b.value:.6g}" for a, b in zip(each, amounts, strict=True))
    likely = sheet.reckon(
        "hours to paint out the rods",
        minutes.likely / 60,
        "h",
        f"({minutes.start:.4g} + {plate.value:.4g} + {terms}) min / 60: {_said(around, minutes)}",
        started,
        plate,
        *pairs,
        source="common practice; no published rate of rod removal was found",
    )
    return Effort(Hours(minutes.low / 60, minutes.likely / 60, minutes.high / 60), likely)


def _said(around: rod_removal.Surroundings, minutes: rod_removal.RemovalMinutes) -> str:
    parts = (
        ("opening and closing", minutes.start),
        ("clean plate", minutes.plate),
        ("outlines of rods", minutes.keys),
        (f"over {around.background}", minutes.background),
        (f"over {around.figure} figure", minutes.figure),
        ("the figure's outline", minutes.crossings),
    )
    return ", ".join(f"{name} {value:.0f} min" for name, value in parts)


def _amounts(
    sheet: Worksheet,
    around: rod_removal.Surroundings,
    amounts: rod_removal.RemovalAmounts,
    counted: tuple[Quantity, Quantity, Quantity],
) -> tuple[Quantity, ...]:
    """What each rule is multiplied by, with how hard ground and figure are."""
    count, shown, crossing = counted
    ground = Quantity(
        "how hard the ground is",
        rod_removal.BACKGROUND_FACTORS[around.background],
        "1",
        reason=f"{around.background}, over a locked plate",
    )
    figure = Quantity(
        "how hard the figure is",
        rod_removal.FIGURE_FACTORS[around.figure],
        "1",
        reason=f"{around.figure}, over a smooth one",
    )
    over = "frames x px of rod / 100 x (1 + half the blur / width) x how hard, each rod"
    return (
        sheet.reckon(
            "keys of the rods' outlines",
            amounts.keys,
            "1",
            "1 + frames / frames between keys, rounded up, each rod; keys lie 8 frames apart in an"
            " easy performance, 4 in an ordinary one, 2 in a hard one",
            count,
            shown,
        ),
        sheet.reckon(
            "hundreds of px over the ground", amounts.background, "1", over, shown, ground
        ),
        sheet.reckon("hundreds of px over the figure", amounts.figure, "1", over, crossing, figure),
        sheet.reckon(
            "crossings of the figure's outline",
            amounts.crossings,
            "1",
            "frames x (1 + half the blur / width), each rod, and again for those it crosses on",
            shown,
            crossing,
        ),
    )


def _tell_edges(
    sheet: Worksheet,
    listed: tuple[rod_removal.Rod, ...],
    around: rod_removal.Surroundings,
) -> None:
    frames = _crossing_frames(listed)
    if around.figure == "hair or feather" and frames:
        sheet.warn(
            "rods-over-hair",
            f"rods cross hair or feather on {frames} {noun(frames, 'frame')}, each rod counted, and"
            " every strand is redrawn",
            "bring the rods in from behind, or attach them clear of the feathers",
            at="edge",
        )
    if around.background == "water, foliage or smoke" and listed:
        sheet.warn(
            "rods-over-living-ground",
            f"rods cross water, leaves or smoke on {rod_removal.rod_frames(listed)} frames, each"
            " rod counted: no clean plate matches it frame for frame",
            "photograph the figure apart from what moves behind it, or keep the rods off it",
            at="background",
        )


def _tell_plate(
    sheet: Worksheet,
    listed: tuple[rod_removal.Rod, ...],
    around: rod_removal.Surroundings,
    minutes: rod_removal.RemovalMinutes,
) -> None:
    """Compare with what a clean plate would leave to do."""
    better = replace(around, clean_plate="locked")
    if around.background in {"texture without plate", "tracked patch"}:
        better = replace(better, background="locked plate")
    with_plate = rod_removal.removal_minutes(listed, better, _rates(sheet)[1])
    saved = Quantity(
        "hours a clean plate would save",
        (minutes.likely - with_plate.likely) / 60,
        "h",
        reason="hours without a clean plate - hours with a locked one",
    )
    sheet.note(saved)
    gain = math.floor(saved.value * 10) / 10
    sheet.warn(
        "rod-removal-without-clean-plate",
        f"rods come out with no clean plate: {minutes.likely / 60:.1f} h, where a locked clean"
        f" plate leaves {with_plate.likely / 60:.1f} h",
        f"photograph the set without the figure before it is struck and save {gain:g} h",
        at="clean_plate",
    )
