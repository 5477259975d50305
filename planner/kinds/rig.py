"""Which rigs can repeat a camera move at another size and rate.

Takes the move an element repeats, its scale and its shooting rate, gives what each axis must do on
the stage and the rigs that can. Lengths shrink with the scale, angles do not; speeds grow with the
rate. Knows nothing of stages, lenses or light.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.craft import motion
from planner.kinds.estimate import ScaleBound
from planner.model.quantity import Quantity

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from planner.kinds.subject import Subject
    from planner.kinds.view import View
    from planner.kinds.worksheet import Worksheet
    from planner.model.facts import Facts
    from planner.model.show import Element, Move, MoveAxis, Resource

EASE = motion.PROFILES["smoothstep"]
TRAVELLING = ("track", "arm", "boom", "lift", "east_west", "north_south", "up_down")


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
        unit: ``mm`` or ``deg``; speeds are per second of it, accelerations per second squared.
        travel: from end to end.
        speed: fastest.
        acceleration: hardest; 0 where unknown.
        entry: speed at the first and last frame together as the greater one; needs a run-up.
        speed_frame: frame of the fastest step, in the shot's count; None where unknown.
        acceleration_frame: frame of the hardest step; None where unknown.
    """

    axis: str
    unit: str
    travel: float
    speed: float
    acceleration: float = 0.0
    entry: float = 0.0
    speed_frame: int | None = None
    acceleration_frame: int | None = None


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether one rig can do it.

    Attributes:
        rig: the rig.
        fastest: highest camera rate at which it follows, fps; infinite where nothing limits it.
        because: what binds, a clause; empty where nothing does.
        short: travel it lacks, a clause; empty where it has enough.
        lacks: axes of the move it does not have.
        bound: N the limiting axis asks for and whether N must be at least that; None without.
    """

    rig: Resource
    fastest: float
    because: str
    short: str
    lacks: tuple[str, ...]
    bound: tuple[float, bool] | None = None


def demands(sheet: Worksheet, view: View, pace: Pace) -> tuple[AxisDemand, ...]:
    """What each axis must do at the scale and rate; empty where the camera stands still.

    A travel of which no speed is known is taken as eased in and out over the cut.
    """
    source = sheet.context.target("move_from")
    move = sheet.context.show.moves.get(source.facts.word("data")) if source else None
    if move is not None:
        return _recorded(move, pace)
    facts = source.facts if source else sheet.element.facts
    quicker = pace.rate.value / view.frame_rate.value
    return (
        *_travelling(sheet, facts, pace.subject.scale.value, quicker),
        *_turning(facts, quicker),
    )


def rigs_that_follow(sheet: Worksheet, wanted: Sequence[AxisDemand], pace: Pace) -> tuple[str, ...]:
    """Rigs that do what is wanted, those named first to last, or any where none is named.

    Rigs named by the show stay where nothing better is had; the findings say why they will not do.
    """
    named = sheet.context.names("rig")
    if not wanted:
        return named
    rigs = [each for name in named if (each := sheet.context.resource(name)) is not None]
    rigs = rigs or list(sheet.context.show.resources_of("rig"))
    if not rigs:
        sheet.miss("rig", rests="whether anything can repeat the move")
        return ()
    verdicts = [_judge(rig, wanted, pace) for rig in rigs]
    good = [v for v in verdicts if not v.lacks and not v.short and v.fastest >= pace.rate.value]
    _note_best(sheet, verdicts, pace)
    if good:
        return tuple(v.rig.id for v in good)
    _tell(sheet, verdicts, pace)
    return named


def _recorded(move: Move, pace: Pace) -> tuple[AxisDemand, ...]:
    return tuple(
        _of_axis(name, axis, move.first_frame, pace)
        for name, axis in move.axes.items()
        if len(axis.values) > 1 and max(axis.values) > min(axis.values)
    )


def _of_axis(name: str, axis: MoveAxis, first_frame: int, pace: Pace) -> AxisDemand:
    smaller = pace.subject.scale.value if axis.unit == "mm" else 1.0
    rate = pace.rate.value
    positions = [each / smaller for each in axis.values]
    step, bend, _ = motion.peaks(positions)
    return AxisDemand(
        axis=name,
        unit=axis.unit,
        travel=motion.extent(positions),
        speed=step.size * rate,
        acceleration=bend.size * rate * rate,
        entry=max(abs(positions[1] - positions[0]), abs(positions[-1] - positions[-2])) * rate,
        speed_frame=first_frame + step.frame,
        acceleration_frame=first_frame + bend.frame,
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
        yield AxisDemand(axis, "mm", length, speed, EASE.acceleration_factor * length / seconds**2)


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


def _judge(rig: Resource, wanted: Sequence[AxisDemand], pace: Pace) -> Verdict:
    axes = rig.facts.named("axes")
    lacks = tuple(each.axis for each in wanted if each.axis not in axes and each.axis != "focus")
    fastest, because, short = math.inf, "", ""
    bound: tuple[float, bool] | None = None
    for demand in wanted:
        limits = axes.get(demand.axis)
        if limits is None:
            continue
        for rate, clause, ratio, order in _rates(demand, limits, pace.rate.value):
            if rate < fastest:
                fastest, because = rate, clause
                bound = _bound(demand.unit, ratio, order, pace)
        short = short or _shortage(demand, limits)
    return Verdict(rig, fastest, because, short, lacks, bound)


def _rates(
    demand: AxisDemand, limits: Facts, rate: float
) -> Iterable[tuple[float, str, float, int]]:
    """For speed, then acceleration: fastest rate, what binds, wanted over had, order in time."""
    speed, acceleration = limits.number("speed"), limits.number("acceleration")
    if speed is not None and demand.speed > 0 < speed.value:
        ratio = demand.speed / speed.value
        said = _said(demand, demand.speed, speed.value, "s", demand.speed_frame)
        yield rate / ratio, said, ratio, 1
    if acceleration is not None and demand.acceleration > 0 < acceleration.value:
        ratio = demand.acceleration / acceleration.value
        said = _said(
            demand, demand.acceleration, acceleration.value, "s2", demand.acceleration_frame
        )
        yield rate / math.sqrt(ratio), said, ratio, 2


def _said(demand: AxisDemand, wanted: float, had: float, per: str, frame: int | None) -> str:
    size, unit = (1000, "m") if demand.unit == "mm" else (1, "deg")
    where = f" at frame {frame}" if frame is not None else ""
    return (
        f"{demand.axis} must do {wanted / size:.3g} {unit}/{per}{where}"
        f" and does {had / size:.3g} {unit}/{per}"
    )


def _shortage(demand: AxisDemand, limits: Facts) -> str:
    """Travel or turn lacking, the run-up and run-out of a move already under way included."""
    reach = limits.number("travel" if demand.unit == "mm" else "turn")
    if reach is None or not demand.travel:
        return ""
    needed = demand.travel + 2 * run_up(demand, limits)
    if needed <= reach.value:
        return ""
    size, unit = (1000, "m") if demand.unit == "mm" else (1, "deg")
    return (
        f"{demand.axis} needs {needed / size:.3g} {unit}, run-up and run-out included,"
        f" and has {reach.value / size:.3g} {unit}"
    )


def run_up(demand: AxisDemand, limits: Facts) -> float:
    """Travel or turn a rig needs to be up to speed at the first frame, in the demand's unit.

    0 where the rig's acceleration is not known.
    """
    acceleration = limits.number("acceleration")
    if acceleration is None or acceleration.value <= 0:
        return 0.0
    return motion.run_up_distance(demand.entry, acceleration.value)


def _bound(unit: str, ratio: float, order: int, pace: Pace) -> tuple[float, bool] | None:
    """N at which the axis just keeps up, and whether N must be at least that.

    At a fixed rate a length per second (or second squared) falls as 1/N, an angle not at all. At
    the gravity rate times shrink by sqrt(N): lengths per second fall as 1/sqrt(N), those per second
    squared stay, angles per second grow as sqrt(N) and per second squared as N.
    """
    n = pace.subject.scale.value
    power = order / 2 if pace.gravity else 0.0
    power -= 1.0 if unit == "mm" else 0.0
    if power == 0:
        return None
    limit = n * math.pow(ratio, -1 / power)
    return limit, power < 0


def _note_best(sheet: Worksheet, verdicts: Sequence[Verdict], pace: Pace) -> None:
    able = [each for each in verdicts if not each.lacks]
    if not able:
        return
    best = max(able, key=lambda each: each.fastest)
    if math.isfinite(best.fastest):
        sheet.reckon(
            "fastest rate of the rig", best.fastest, "fps", f"{best.rig.title}: {best.because}"
        )
    if best.bound is None or not pace.subject.build:
        return
    limit, at_least = best.bound
    if at_least and limit <= 1:
        return  # no build is larger than full size
    quantity = Quantity(
        "speed of the rig", limit, "1:N", reason=f"{best.rig.title}: {best.because}"
    )
    sheet.limit(
        ScaleBound(
            pace.subject.build,
            sheet.element.id,
            at_least,
            quantity,
            "a faster rig or a gentler move",
        )
    )


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
            f" {nearest.because}; it follows at {nearest.fastest:.3g} fps or slower",
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
    """Bound the build's scale by travel: of the roomiest rig, the axis with the least to spare."""
    if not pace.subject.build:
        return
    resources = [each for name in rigs if (each := sheet.context.resource(name)) is not None]
    tightest = [found for rig in resources if (found := _tightest(rig, wanted, pace))]
    limit, says = min(tightest, default=(0.0, ""))
    if limit > 1:
        quantity = Quantity("travel of the rig", limit, "1:N", reason=says)
        sheet.limit(
            ScaleBound(
                pace.subject.build,
                sheet.element.id,
                at_least=True,
                limit=quantity,
                relax="more track",
            )
        )


def _tightest(rig: Resource, wanted: Sequence[AxisDemand], pace: Pace) -> tuple[float, str] | None:
    """Smallest N at which every travelling axis of a rig has room, and the axis that binds."""
    found = []
    for demand in wanted:
        limits = rig.facts.named("axes").get(demand.axis)
        reach = limits.number("travel") if limits else None
        if demand.unit != "mm" or not demand.travel or limits is None or reach is None:
            continue
        room = reach.value - 2 * run_up(demand, limits)
        if room > 0:
            story = demand.travel * pace.subject.scale.value
            says = f"{story / 1000:g} m of move on {room / 1000:.3g} m of {demand.axis}"
            found.append((story / room, says))
    return max(found, default=None)


def is_moving(element: Element) -> bool:
    """Whether the element's camera moves, so that someone must program it."""
    return bool(element.target("move_from")) or element.facts.has("travel")
