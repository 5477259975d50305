"""An element taken from a library: smoke, dust, fire or sky that somebody photographed before.

Takes what there is of it, its rights and how it is used, gives frames and enlargement needed
against those it has, hours and charges, and what stands in the way. Knows nothing of photographing
it anew: see `effect`.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.kinds import DOOR, Charge, Phase, Work, Worksheet, packaged_schema
from planner.kinds.takes import frames_wanted
from planner.kinds.view import frame_rate_of, image_width_of
from planner.model.quantity import Quantity, Standing
from planner.model.ratio import in_ratio
from planner_plugins.stock import rules

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Context, Estimate


class Stock:
    """The kind ``stock``."""

    name = "stock"
    door = DOOR
    section = "elements"

    def schema(self) -> Mapping[str, object]:
        """JSON Schema of one library element."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """Frames, size, rights, hours and charges of one library element."""
        sheet = Worksheet(context)
        _check_rights(sheet)
        slowed = _check_rate(sheet)
        frames = frames_wanted(sheet)
        needed = _needed(sheet, frames, slowed)
        _check_length(sheet, needed)
        _check_size(sheet)
        _check_used(sheet)
        _work(sheet, needed)
        return sheet.estimate()


def _check_rights(sheet: Worksheet) -> None:
    facts = sheet.element.facts
    if facts.flag("cleared"):
        if not facts.word("cleared_by"):
            sheet.remark(
                "cleared-by-nobody",
                "its rights are said to be cleared and nobody is named who cleared them",
                "write who and when under cleared_by",
                at="cleared_by",
            )
        return
    if not facts.has("cleared"):
        sheet.miss("cleared", rests="whether the picture may show it")
    sheet.warn(
        "stock-not-cleared",
        f"the rights of {facts.word('library', 'it')} are not cleared for this picture",
        "clear them before it is joined, or photograph one of our own",
        at="cleared",
    )


def _check_rate(sheet: Worksheet) -> float:
    """Times its frames must be stretched so that it falls and curls as its scale asks.

    Two frames for one is a stretch of 2; 1 leaves it as it is.
    """
    filmed = sheet.positive(sheet.element.facts.number("filmed_at"), "filmed_at")
    scale = sheet.element.facts.number("stands_for") or sheet.context.scale()
    if filmed is None or scale is None or scale.value < 1:
        return 1.0
    shown = frame_rate_of(sheet)
    wanted = sheet.reckon(
        "rate it should have been filmed at",
        shown.value * math.sqrt(scale.value),
        "fps",
        "rate shown x sqrt N",
        shown,
        scale,
        source="equal Froude numbers; VES Handbook of Visual Effects, Appendix A",
    )
    ratio = wanted.value / filmed.value
    if abs(ratio - 1) <= sheet.rule(rules.RATE)[0].value:
        return 1.0
    sheet.warn(
        "stock-at-another-rate",
        f"it was filmed at {filmed.value:.4g} fps and at {in_ratio(scale.value)} wants"
        f" {wanted.value:.4g} fps: it looks {'too quick' if ratio > 1 else 'too slow'}",
        f"{'print each frame' if ratio > 1 else 'keep one frame in'}"
        f" {max(ratio, 1 / ratio):.2g}{' times' if ratio > 1 else ''}, or look for one filmed at"
        f" {wanted.value:.0f} fps",
        at="filmed_at",
    )
    return ratio


def _needed(sheet: Worksheet, frames: Quantity, slowed: float) -> Quantity:
    """Frames of the library's own that fill the shot, handles included."""
    return sheet.reckon(
        "frames needed of it",
        math.ceil(frames.value / slowed - 1e-9),
        "1",
        "frames with handles / times each is stretched, rounded up",
        frames,
    )


def _check_length(sheet: Worksheet, needed: Quantity) -> None:
    facts = sheet.element.facts
    has = facts.number("length")
    in_hand = facts.frames("frames_in_hand")
    if has is None and in_hand is not None:
        has = Quantity("frames in hand", in_hand.count, "1", Standing.GIVEN, reason=str(in_hand))
    if has is None:
        sheet.miss("length", rests="whether there is enough of it")
        return
    short = needed.value - has.value
    if short > 0:
        sheet.warn(
            "stock-too-short",
            f"{needed.value:g} frames are needed and there are {has.value:g}: {short:g} short",
            "find a longer one, run it there and back where nothing tells, or join two",
            at="length",
        )


def _check_size(sheet: Worksheet) -> None:
    """Pixels it has over the pixels it must fill."""
    facts = sheet.element.facts
    width = sheet.positive(facts.number("width"), "width")
    if width is None:
        sheet.miss("width", rests="whether it is sharp enough for the part of the frame it fills")
        return
    image = image_width_of(sheet)
    fills = facts.number("fills") or Quantity("fills", 1.0, "1", reason="all of it, unless said")
    enlarged = sheet.reckon(
        "enlargement",
        image.value * fills.value / width.value,
        "1",
        "image width x part of it that it fills / its own width",
        image,
        fills,
        width,
    )
    most = sheet.rule(rules.ENLARGE)[0]
    if enlarged.value > most.value:
        sheet.warn(
            "stock-too-small",
            f"it is {width.value:.0f} px wide and must fill {image.value * fills.value:.0f} px:"
            f" enlarged {enlarged.value:.2f} times, where {most.value:g} passes unseen",
            f"let it fill {width.value * most.value / image.value * 100:.0f} % of the frame or"
            " less, scan it larger, or find another",
            at="width",
        )


def _check_used(sheet: Worksheet) -> None:
    used = sheet.element.facts.number("used_in")
    if used is not None and used.value >= 1:
        sheet.remark(
            "stock-seen-elsewhere",
            f"the same stretch is seen in {used.value:g} other shots of the picture",
            "turn it over, take another stretch of it, or slow it",
            at="used_in",
        )


def _work(sheet: Worksheet, needed: Quantity) -> None:
    find = sheet.effort("find it", (rules.FIND, 1))
    fit = sheet.effort("fit it", (rules.FIT, 1))
    wait = sheet.rule(rules.WAIT)[0].value
    sheet.do(
        Work(
            "find it",
            "editorial",
            Phase.PREPARE,
            find.hours,
            find.reason,
            wait_hours=wait,
        )
    )
    sheet.do(
        Work(
            "fit it",
            "compositing",
            Phase.FINISH,
            fit.hours,
            fit.reason,
            after=("find it",),
        )
    )
    fee = sheet.element.facts.money("fee")
    if fee is None:
        sheet.miss("fee", rests="what the use of it costs")
    else:
        one = Quantity("uses", 1, "1", reason="a sum stated outright")
        sheet.buy(Charge("fee for its use", "", one, Phase.PREPARE, fee))
    if sheet.element.facts.flag("on_film"):
        scans = sheet.reckon("frames scanned", needed.value, "1", "frames needed of it", needed)
        sheet.buy(Charge("scans", "scan", scans, Phase.LAB))
