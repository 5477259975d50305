"""Which rigs can repeat a camera move at another size and rate, and how finely.

Takes what the move asks of each axis, gives the rigs that can do it and why others cannot, their
run-up, and by how much their steps and their repeats show. Knows nothing of how a move becomes
demands, of stages, lenses or light.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.craft import motion
from planner.kinds.move import FINENESS, AxisDemand, Pace, mind_frames
from planner.kinds.opening import check_opening
from planner.kinds.worksheet import Rule
from planner.model.quantity import Quantity
from planner.model.ratio import in_ratio

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from planner.kinds.worksheet import Worksheet
    from planner.model.facts import Facts
    from planner.model.show import Resource


COARSE = Rule("rig.coarse", "pixels a rig's step may jump unseen", 0.1, 0.25, 0.5, "px")
REPEAT = Rule("rig.repeat", "pixels by which passes may miss each other unseen", 0.25, 0.5, 1, "px")
LEAST_RUN_UP = {"mm": 1.0, "deg": 0.1}


@dataclass(frozen=True, slots=True)
class Pull:
    """One thing an axis is asked, against what it does.

    Attributes:
        axis: the axis.
        unit: of its travel.
        order: 1 for speed, 2 for acceleration, 3 for jerk.
        asked: at the rate and scale planned.
        had: by the rig.
        frame: where it is greatest; None where unknown.
    """

    axis: str
    unit: str
    order: int
    asked: Quantity
    had: Quantity
    frame: int | None

    @property
    def ratio(self) -> float:
        """Asked over had."""
        return self.asked.value / self.had.value

    def fastest(self, rate: float) -> float:
        """Camera rate at which the axis just follows, fps, where it is asked this at `rate`."""
        return rate / math.pow(self.ratio, 1 / self.order)

    def __str__(self) -> str:
        size, unit = (1000, "m") if self.unit == "mm" else (1, "deg")
        per = ("s", "s2", "s3")[self.order - 1]
        where = f" at frame {self.frame}" if self.frame is not None else ""
        return (
            f"{self.axis} must do {self.asked.value / size:.3g} {unit}/{per}{where}"
            f" and does {self.had.value / size:.3g} {unit}/{per}"
        )


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether one rig can do it.

    Attributes:
        rig: the rig.
        fastest: highest camera rate at which it follows, fps; infinite where nothing limits it.
        binding: what keeps it from more; None where nothing does.
        short: travel it lacks, a clause; empty where it has enough.
        lacks: axes of the move it does not have.
    """

    rig: Resource
    fastest: float
    binding: Pull | None
    short: str
    lacks: tuple[str, ...]


def rigs_that_follow(sheet: Worksheet, wanted: Sequence[AxisDemand], pace: Pace) -> tuple[str, ...]:
    """Rigs that do what is wanted, those named first to last, or any where none is named.

    Rigs named by the show stay where nothing better is had; the findings say why they will not do.
    """
    named = sheet.context.names("rig")
    if not wanted:
        return named
    mind_frames(sheet)
    rigs = [each for name in named if (each := sheet.context.resource(name)) is not None]
    rigs = rigs or [
        each for each in sheet.context.show.resources_of("rig") if not moves_subject(each)
    ]
    if not rigs:
        sheet.miss("rig", rests="whether anything can repeat the move")
        return ()
    verdicts = [_judge(rig, wanted, pace) for rig in rigs]
    good = [v for v in verdicts if not v.lacks and not v.short and v.fastest >= pace.rate.value]
    _note_best(sheet, verdicts, pace)
    if not good:
        _tell(sheet, verdicts, pace)
    likely = good[0].rig if good else rigs[0]
    _note_run_up(sheet, wanted, likely, pace)
    _check_steps(sheet, wanted, likely)
    _check_repeat(sheet, likely)
    check_opening(sheet, wanted, pace, [v.rig for v in good] or rigs)
    return tuple(v.rig.id for v in good) or named


def moves_subject(rig: Resource) -> bool:
    """Whether it carries what is photographed; a camera then never rides on it unless named."""
    return rig.facts.word("carries") == "subject"


def _judge(rig: Resource, wanted: Sequence[AxisDemand], pace: Pace) -> Verdict:
    axes = rig.facts.named("axes")
    lacks = tuple(each.axis for each in wanted if each.axis not in axes and each.axis != "focus")
    held = [(each, axes[each.axis]) for each in wanted if each.axis in axes]
    pulls = [pull for demand, limits in held for pull in _pulls(demand, limits)]
    binding = min(pulls, key=lambda pull: pull.fastest(pace.rate.value), default=None)
    fastest = binding.fastest(pace.rate.value) if binding else math.inf
    short = next(filter(None, (_shortage(demand, limits) for demand, limits in held)), "")
    return Verdict(rig, fastest, binding, short, lacks)


def _pulls(demand: AxisDemand, limits: Facts) -> Iterator[Pull]:
    for order, (name, asked, frame) in enumerate(demand.asks(), start=1):
        had = limits.number(name)
        if had is None or not asked > 0 < had.value:
            continue
        said = f"{name} of {demand.axis}"
        yield Pull(
            demand.axis,
            demand.unit,
            order,
            Quantity(f"{said} asked", asked, had.unit, reason="of the move at the scale and rate"),
            Quantity(said, had.value, had.unit, reason="of the rig", inputs=(had,)),
            frame,
        )


def _shortage(demand: AxisDemand, limits: Facts) -> str:
    """Travel or turn lacking, the run-up and run-out of a move already under way included."""
    reach = limits.number("travel" if demand.unit == "mm" else "turn")
    if reach is None or not demand.travel:
        return ""
    needed = demand.travel + _runs(demand, limits)
    if needed <= reach.value:
        return ""
    size, unit = (1000, "m") if demand.unit == "mm" else (1, "deg")
    return (
        f"{demand.axis} needs {needed / size:.3g} {unit}, run-up and run-out included,"
        f" and has {reach.value / size:.3g} {unit}"
    )


def _runs(demand: AxisDemand, limits: Facts) -> float:
    """Run-up and run-out together."""
    acceleration = limits.number("acceleration")
    if acceleration is None or acceleration.value <= 0:
        return 0.0
    return motion.track_needed(0.0, demand.entry, demand.leaving, acceleration.value)


def _power(pull: Pull, pace: Pace) -> float:
    """Power of N by which what is asked grows.

    At a fixed rate a length per second (or second squared) falls as 1/N, an angle not at all. At
    the gravity rate times shrink by sqrt(N): lengths per second fall as 1/sqrt(N), those per second
    squared stay, angles per second grow as sqrt(N) and per second squared as N.
    """
    power = pull.order / 2 if pace.gravity else 0.0
    return power - (1.0 if pull.unit == "mm" else 0.0)


def _note_best(sheet: Worksheet, verdicts: Sequence[Verdict], pace: Pace) -> None:
    able = [each for each in verdicts if not each.lacks]
    best = max(able, key=lambda each: each.fastest, default=None)
    if best is None or best.binding is None:
        return
    pull = best.binding
    reason = f"{best.rig.title}: {pull}"
    sheet.reckon("fastest rate of the rig", best.fastest, "fps", reason, pull.asked, pull.had)
    power = _power(pull, pace)
    if power == 0 or not pace.subject.build:
        return
    limit = pace.subject.scale.value * math.pow(pull.ratio, -1 / power)
    if power < 0 and limit <= 1:
        return  # no build is larger than full size
    grows = Quantity("power of N it grows by", power)
    bound = Quantity(
        "speed of the rig", limit, "1:N", reason=reason, inputs=(pull.asked, pull.had, grows)
    )
    relax = "a faster rig or a gentler move"
    pace.subject.bound_scale(sheet, bound, relax, at_least=power < 0)


def _tell(sheet: Worksheet, verdicts: Sequence[Verdict], pace: Pace) -> None:
    """Say of the rig that comes nearest why even it will not do."""
    nearest = max(verdicts, key=lambda each: (not each.lacks, not each.short, each.fastest))
    title = nearest.rig.title
    if nearest.lacks:
        sheet.error(
            "rig-lacks-axis",
            f"the move needs {' and '.join(nearest.lacks)}; {title} has none",
            "take a rig with that axis, or drop the axis from the move",
            at="rig",
        )
        return
    if nearest.fastest < pace.rate.value:
        sheet.error(
            "rig-too-slow",
            f"at {pace.rate.value:.4g} fps and {in_ratio(pace.subject.scale.value)} {title}'s"
            f" {nearest.binding}; it follows at {nearest.fastest:.3g} fps or slower",
            f"shoot at {_down(nearest.fastest)} fps or slower, ease the move, or take a faster rig",
            at="rig",
        )
    if nearest.short:
        sheet.error(
            "rig-too-short",
            f"{title}'s {nearest.short}",
            "build smaller, shorten the move, or lay more track",
            at="rig",
        )


def _down(rate: float) -> str:
    return f"{math.floor(rate * 10) / 10:g}"


def limit_by_travel(
    sheet: Worksheet, wanted: Sequence[AxisDemand], pace: Pace, rigs: Sequence[str]
) -> None:
    """Bound the build's scale by the axis that is shortest for its part of the move.

    Of several rigs the one that leaves most room counts.
    """
    if not pace.subject.build:
        return
    held = [each for name in rigs if (each := sheet.context.resource(name)) is not None]
    best = min((_tightest(rig, wanted, pace) for rig in held), default=None)
    if best is None or best[0] <= 1:
        return  # no build is larger than full size
    limit, story, axis = best
    move = Quantity(f"move along {axis}", story, "mm", reason="in the picture's world")
    says = f"{story / 1000:g} m of move on {story / limit / 1000:.3g} m of {axis}"
    quantity = Quantity("travel of the rig", limit, "1:N", reason=says, inputs=(move,))
    pace.subject.bound_scale(sheet, quantity, "more track", at_least=True)


def _tightest(rig: Resource, wanted: Sequence[AxisDemand], pace: Pace) -> tuple[float, float, str]:
    """Least N the travel of one rig allows, with the story's travel and the axis that binds."""
    worst = (0.0, 0.0, "")
    axes = rig.facts.named("axes")
    for demand in wanted:
        limits = axes.get(demand.axis)
        reach = limits.number("travel") if limits else None
        if demand.unit != "mm" or limits is None or reach is None:
            continue
        story, room = demand.travel * pace.subject.scale.value, reach.value - _runs(demand, limits)
        if story > 0 < room:
            worst = max(worst, (story / room, story, demand.axis))
    return worst


def _note_run_up(sheet: Worksheet, wanted: Sequence[AxisDemand], rig: Resource, pace: Pace) -> None:
    """Distance and frames to be up to speed by the first frame seen."""
    axes = rig.facts.named("axes")
    longest = 0.0
    for demand in wanted:
        limits = axes.get(demand.axis)
        had = limits.number("acceleration") if limits else None
        if had is None or had.value <= 0:
            continue
        distance = motion.run_up_distance(demand.entry, had.value)
        if distance < LEAST_RUN_UP[demand.unit]:
            continue
        entry = Quantity(f"speed of {demand.axis} at the first frame", demand.entry, had.unit[:-1])
        reason = "speed squared / (2 x acceleration)"
        sheet.reckon(f"{demand.axis} run-up", distance, demand.unit, reason, entry, had)
        longest = max(longest, motion.run_up_frames(demand.entry, had.value, pace.rate.value))
    if longest:
        reason = "speed x rate / acceleration, of the slowest axis"
        sheet.reckon("run-up frames", math.ceil(longest), "1", reason, pace.rate)


def _check_steps(sheet: Worksheet, wanted: Sequence[AxisDemand], rig: Resource) -> None:
    """Whether a step of the rig is larger than the move's, and shows."""
    axes = rig.facts.named("axes")
    passes = sheet.rule(COARSE)[0].value
    for demand in wanted:
        step = axes[demand.axis].number("resolution") if demand.axis in axes else None
        if step is None or not demand.px or step.value <= demand.smallest:
            continue
        jump = step.value * demand.px
        if jump <= passes:
            continue
        sheet.reckon(
            f"jump of {demand.axis}", jump, "px", "step of the rig x pixels a unit shifts", step
        )
        sheet.warn(
            "rig-too-coarse",
            f"{rig.title} moves {demand.axis} in steps of {step.value:g} {demand.unit}, coarser"
            f" than the slowest part of the move: the nearest subject jumps {jump:.2f} px where"
            f" {passes:g} px pass unseen",
            f"take a rig with steps of {passes / demand.px:.2g} {demand.unit} or finer, or quicken"
            " the ends of the move",
            at="rig",
        )


def _check_repeat(sheet: Worksheet, rig: Resource) -> None:
    """By how much one pass may miss another at the nearest subject."""
    within, fineness = rig.facts.number("repeats_within"), sheet.quantities.get(FINENESS)
    if within is None or fineness is None:
        return
    error = within.value * fineness.value
    reason = "what it repeats within x pixels a mm shifts the nearest"
    sheet.reckon("repeat error", error, "px", reason, within, fineness)
    passes, unseen = len(sheet.element.facts.words("passes")), sheet.rule(REPEAT)[0].value
    if passes < 2 or error <= unseen:
        return
    sheet.warn(
        "repeat-error-shows",
        f"{rig.title} repeats within {within.value:g} mm: its {passes} passes may miss each other"
        f" by {error:.2f} px at the nearest subject, where {unseen:g} px pass unseen",
        f"take a rig that repeats within {unseen / fineness.value:.2g} mm, or expose them in one"
        " pass",
        at="passes",
    )
