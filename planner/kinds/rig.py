"""Which rigs can repeat a camera move at another size and rate.

Takes the move an element repeats, its scale and its shooting rate, gives what each axis must do on
the stage, the rigs that can, and how finely they do it. Lengths, the focus distance and the pupil's
offset shrink with the scale, angles do not; speeds grow with the rate. Only frames on which the
element is seen count, where it says which. Knows nothing of stages, lenses or light.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.craft import motion
from planner.kinds.estimate import ScaleBound
from planner.kinds.worksheet import Rule
from planner.model.quantity import Quantity
from planner.model.show import Move, MoveAxis

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from planner.kinds.subject import Subject
    from planner.kinds.view import View
    from planner.kinds.worksheet import Worksheet
    from planner.model.facts import Facts, FrameRange
    from planner.model.show import Element, Resource

COARSE = Rule("rig.coarse", "pixels a rig's step may jump unseen", 0.1, 0.25, 0.5, "px")
REPEAT = Rule("rig.repeat", "pixels by which passes may miss each other unseen", 0.25, 0.5, 1, "px")

EASE = motion.PROFILES["smoothstep"]
TRAVELLING = ("track", "arm", "boom", "lift", "east_west", "north_south", "up_down")
ASIDE = {"width": ("arm", "east_west"), "height": ("boom", "lift", "up_down")}
"""Axes that carry the lens across an opening it tracks through."""
PLACES = (
    "distance of the camera",
    "camera to the right",
    "camera height",
    "camera forward",
)
"""Lengths of a camera in the picture's world that its move may have found."""
FINENESS = "pixels a mm shifts the nearest"
LEAST_RUN_UP = {"mm": 1.0, "deg": 0.1}


@dataclass(frozen=True, slots=True)
class Pace:
    """How fast the move is repeated.

    Attributes:
        subject: what is photographed, at its scale.
        rate: of the camera, fps.
        gravity: whether the rate follows the scale as ``sqrt(N)``.
    """

    subject: Subject
    rate: Quantity
    gravity: bool = False


@dataclass(frozen=True, slots=True)
class AxisDemand:
    """What one axis must do on the stage.

    Attributes:
        axis: its name.
        unit: ``mm`` or ``deg``; a speed is per second of it, and so on.
        travel: from end to end.
        speed: greatest.
        acceleration: greatest; 0 where unknown.
        jerk: greatest; 0 where unknown.
        speed_frame: frame of the fastest step, in the shot's count; None where unknown.
        acceleration_frame: frame of the hardest step; None where unknown.
        jerk_frame: frame of the roughest; None where unknown.
        entry: speed at the first frame, which needs a run-up.
        leaving: speed at the last, which needs a run-out.
        smallest: smallest step between frames; 0 where unknown.
        px: pixels by which a unit of it shifts the nearest subject; 0 where unknown.
    """

    axis: str
    unit: str
    travel: float
    speed: float
    acceleration: float = 0.0
    jerk: float = 0.0
    speed_frame: int | None = None
    acceleration_frame: int | None = None
    jerk_frame: int | None = None
    entry: float = 0.0
    leaving: float = 0.0
    smallest: float = 0.0
    px: float = 0.0

    def asks(self) -> tuple[tuple[str, float, int | None], ...]:
        """Speed, acceleration and jerk by name, each with its frame."""
        return (
            ("speed", self.speed, self.speed_frame),
            ("acceleration", self.acceleration, self.acceleration_frame),
            ("jerk", self.jerk, self.jerk_frame),
        )


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


# The move -----------------------------------------------------------------------------------


def demands(sheet: Worksheet, view: View, pace: Pace) -> tuple[AxisDemand, ...]:
    """What each axis must do at the scale and rate; empty where the camera stands still.

    A travel of which no speed is known is taken as eased in and out over the cut.
    """
    source = sheet.context.target("move_from")
    if source is not None:
        _carry_camera(sheet, source, pace)
    _note_fineness(sheet, view, pace)
    move = _move(sheet)
    if move is not None:
        wanted = _recorded(sheet, view, pace, _seen(sheet, move))
    else:
        facts = source.facts if source else sheet.element.facts
        quicker = pace.rate.value / view.frame_rate.value
        wanted = (
            *_travelling(sheet, facts, pace.subject.scale.value, quicker),
            *_turning(facts, quicker),
        )
    return wanted


def _mind_frames(sheet: Worksheet) -> None:
    """Remark where nothing says on which frames of a moving camera the element is seen."""
    if sheet.element.facts.frames("in_frame") is not None:
        return
    move = _move(sheet)
    what = f"all {_count(move)} frames of {move.id}" if move else "the whole move"
    sheet.remark(
        "judged-over-whole-move",
        f"nothing says on which frames it is seen: the rig is judged over {what}",
        "state `in_frame`, so that only those frames count",
        at="in_frame",
    )


def _move(sheet: Worksheet) -> Move | None:
    source = sheet.context.target("move_from")
    return sheet.context.show.moves.get(source.facts.word("data")) if source else None


def _count(move: Move) -> int:
    return max((len(axis.values) for axis in move.axes.values()), default=0)


def _seen(sheet: Worksheet, move: Move, frames: FrameRange | None = None) -> Move:
    """The part of the move on which the element is seen; all of it where nothing says."""
    seen = frames or sheet.element.facts.frames("in_frame")
    if seen is None:
        return move
    start = max(seen.first - move.first_frame, 0)
    stop = max(seen.last - move.first_frame + 1, 0)
    axes = {name: MoveAxis(axis.unit, axis.values[start:stop]) for name, axis in move.axes.items()}
    if all(len(axis.values) < 2 for axis in axes.values()):
        return move
    return Move(move.id, move.first_frame + start, axes, move.place)


def _carry_camera(sheet: Worksheet, source: Element, pace: Pace) -> None:
    """Bring the camera's place, its spread and its pupil's offset down to the model."""
    n = pace.subject.scale
    found = [each for name in PLACES if (each := sheet.context.upstream_number("move_from", name))]
    offset = source.facts.number("pupil_error")
    found += [Quantity("pupil offset", offset.value, "mm", inputs=(offset,))] if offset else []
    for each in found:
        spread = None if each.spread is None else each.spread / n.value
        name = f"{each.name} on the stage"
        sheet.note(
            Quantity(
                name, each.value / n.value, "mm", spread=spread, reason="/ N", inputs=(each, n)
            )
        )


def _note_fineness(sheet: Worksheet, view: View, pace: Pace) -> None:
    focal, nearest = view.focal_px(), sheet.element.facts.number("nearest")
    if focal is None or nearest is None or nearest.value <= 0:
        return
    n = pace.subject.scale
    reason = "focal length in pixels x N / nearest"
    sheet.reckon(FINENESS, focal.value * n.value / nearest.value, "px", reason, focal, n, nearest)


def _recorded(sheet: Worksheet, view: View, pace: Pace, move: Move) -> tuple[AxisDemand, ...]:
    fineness, focal = sheet.quantities.get(FINENESS), view.focal_px()
    px = {
        "mm": fineness.value if fineness else 0.0,
        "deg": focal.value * math.radians(1) if focal else 0.0,
    }
    return tuple(
        _of_axis(name, axis, move.first_frame, pace, px[axis.unit])
        for name, axis in move.axes.items()
        if len(axis.values) > 1 and max(axis.values) > min(axis.values)
    )


def _of_axis(name: str, axis: MoveAxis, first_frame: int, pace: Pace, px: float) -> AxisDemand:
    smaller = pace.subject.scale.value if axis.unit == "mm" else 1.0
    rate = pace.rate.value
    positions = [each / smaller for each in axis.values]
    speed, acceleration, jerk = motion.peaks(positions)
    return AxisDemand(
        axis=name,
        unit=axis.unit,
        travel=motion.extent(positions),
        speed=speed.size * rate,
        acceleration=acceleration.size * rate**2,
        jerk=jerk.size * rate**3,
        speed_frame=first_frame + speed.frame,
        acceleration_frame=first_frame + acceleration.frame,
        jerk_frame=first_frame + jerk.frame,
        entry=abs(positions[1] - positions[0]) * rate,
        leaving=abs(positions[-1] - positions[-2]) * rate,
        smallest=motion.smallest_step(positions),
        px=px if name != "focus" else 0.0,
    )


def _travelling(
    sheet: Worksheet, facts: Facts, scale: float, quicker: float
) -> Iterable[AxisDemand]:
    travel = facts.number("travel") or sheet.element.facts.number("travel")
    peak = facts.number("peak_speed")
    length = travel.value / scale if travel else 0.0
    axes = facts.words("axes")
    axis = next((each for each in TRAVELLING if each in axes), TRAVELLING[0])
    if peak is not None:
        yield AxisDemand(axis, "mm", length, peak.value / scale * quicker)
    elif length:
        seconds = _cut_seconds(sheet) / quicker
        speed = EASE.speed_factor * length / seconds
        acceleration = EASE.acceleration_factor * length / seconds**2
        yield AxisDemand(axis, "mm", length, speed, acceleration)


def _turning(facts: Facts, quicker: float) -> Iterable[AxisDemand]:
    peak = facts.number("peak_turn")
    if peak is not None:
        axes = facts.words("axes")
        axis = next((each for each in ("pan", "tilt", "roll") if each in axes), "pan")
        yield AxisDemand(axis, "deg", 0.0, peak.value * quicker)


def _cut_seconds(sheet: Worksheet) -> float:
    shot = sheet.context.shot
    frames = shot.cut.count if shot and shot.cut else 72
    rate = sheet.context.look_up("frame_rate")
    return frames / (rate.value if rate else 24.0)


# The rigs -----------------------------------------------------------------------------------


def rigs_that_follow(sheet: Worksheet, wanted: Sequence[AxisDemand], pace: Pace) -> tuple[str, ...]:
    """Rigs that do what is wanted, those named first to last, or any where none is named.

    Rigs named by the show stay where nothing better is had; the findings say why they will not do.
    """
    named = sheet.context.names("rig")
    if not wanted:
        return named
    _mind_frames(sheet)
    rigs = [each for name in named if (each := sheet.context.resource(name)) is not None]
    rigs = rigs or list(sheet.context.show.resources_of("rig"))
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
    _check_opening(sheet, wanted, pace, [v.rig for v in good] or rigs)
    return tuple(v.rig.id for v in good) or named


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


def run_up(demand: AxisDemand, limits: Facts) -> float:
    """Travel or turn a rig needs to be up to speed at the first frame, in the demand's unit.

    Or to stop after the last, where that takes more; 0 where the rig's acceleration is not known.
    """
    acceleration = limits.number("acceleration")
    if acceleration is None or acceleration.value <= 0:
        return 0.0
    return motion.run_up_distance(max(demand.entry, demand.leaving), acceleration.value)


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
    _limit(
        sheet,
        pace,
        Quantity(
            "speed of the rig", limit, "1:N", reason=reason, inputs=(pull.asked, pull.had, grows)
        ),
        "a faster rig or a gentler move",
        at_least=power < 0,
    )


def _limit(sheet: Worksheet, pace: Pace, limit: Quantity, relax: str, *, at_least: bool) -> None:
    sheet.limit(ScaleBound(pace.subject.build, sheet.element.id, at_least, limit, relax))


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
            f"at {pace.rate.value:.4g} fps and 1/{pace.subject.scale.value:g} {title}'s"
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
    _limit(sheet, pace, quantity, "more track", at_least=True)


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


# How finely ---------------------------------------------------------------------------------


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


# Openings -----------------------------------------------------------------------------------


def _check_opening(
    sheet: Worksheet, wanted: Sequence[AxisDemand], pace: Pace, rigs: Sequence[Resource]
) -> None:
    """Whether the slimmest head passes the opening the camera goes through.

    The path across the opening is that of the opening's own frames, where it states them.
    """
    opening = sheet.element.facts.group("opening")
    if not opening.values:
        return
    heads = [each for rig in rigs if (each := rig.facts.number("head_width")) is not None]
    head = min(heads, key=lambda each: each.value, default=None)
    if head is None or head.value <= 0:
        sheet.miss("head_width", rests="whether the head of the rig passes the opening")
        return
    travel = _travel_at(sheet, wanted, pace, opening.frames("frames"))
    for side, axes in ASIDE.items():
        size = opening.number(side)
        if size is not None:
            aside = sum(travel.get(axis, 0.0) for axis in axes)
            _pass_side(sheet, pace, (side, size, head), aside)


def _travel_at(
    sheet: Worksheet, wanted: Sequence[AxisDemand], pace: Pace, frames: FrameRange | None
) -> dict[str, float]:
    """Travel of each axis on the stage, mm; over `frames` where they and the move are known."""
    move = _move(sheet)
    if frames is None or move is None:
        return {each.axis: each.travel for each in wanted}
    part, n = _seen(sheet, move, frames), pace.subject.scale.value
    return {name: motion.extent(axis.values) / n for name, axis in part.axes.items()}


def _pass_side(
    sheet: Worksheet, pace: Pace, facts: tuple[str, Quantity, Quantity], aside: float
) -> None:
    side, size, head = facts
    n = pace.subject.scale
    clear = size.value / n.value - aside - head.value
    reason = "(opening / N - travel across it - head) / 2"
    sheet.reckon(f"clear of the opening's {side}", clear / 2, "mm", reason, size, n, head)
    story = size.value - aside * n.value
    limit = story / head.value
    if pace.subject.build and limit > 0:
        free = Quantity(
            f"{side} free of travel", story, "mm", reason="opening - travel", inputs=(size,)
        )
        said = f"{side} of the opening free of travel / head"
        bound = Quantity("head through the opening", limit, "1:N", reason=said, inputs=(free, head))
        _limit(sheet, pace, bound, "a slimmer head, a snorkel or wild walls", at_least=False)
    if clear >= 0:
        return
    remedy = f"build at 1/{limit:.3g} or larger, or " if limit >= 1 and pace.subject.build else ""
    sheet.error(
        "head-does-not-pass",
        f"at 1/{n.value:g} the opening is {size.value / n.value:.0f} mm {_across(side)}; the head"
        f" is {head.value:.0f} mm and moves {aside:.0f} mm across it: {-clear:.0f} mm too little",
        f"{remedy}make its walls wild, or take a snorkel",
        at="opening",
    )


def _across(side: str) -> str:
    return "wide" if side == "width" else "high"


def is_moving(element: Element) -> bool:
    """Whether the element's camera moves, so that someone must program it."""
    return bool(element.target("move_from")) or element.facts.has("travel")
