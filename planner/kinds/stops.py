"""The stop and the light a set-up is photographed with.

Takes a view, a scale and what must be sharp, gives the stop that holds it, the exposure of each
frame and the rate of a slow pass, with findings where lens or light will not do. Knows nothing of
stages, rigs or film by the foot.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.craft import exposure, optics, window
from planner.kinds.sentences import built_larger
from planner.kinds.worksheet import Rule
from planner.model.quantity import Quantity
from planner.model.ratio import in_ratio

if TYPE_CHECKING:
    from planner.kinds.subject import Subject
    from planner.kinds.view import View
    from planner.kinds.worksheet import Worksheet

STOP = Rule("stops.usual", "f-number where nothing asks for another", 8, 11, 16, "f")
WIDEST = Rule("stops.widest", "widest stop of a lens", 2, 2.8, 4, "f")
SMALLEST = Rule("stops.smallest", "smallest stop before diffraction spoils it", 16, 22, 22, "f")
LONGEST = Rule("stops.longest_exposure", "longest exposure of a frame", 1, 4, 10, "s")
FRAME = Rule("stops.exposure", "exposure of a frame where light is not known", 0.25, 0.5, 2, "s")
TRANSMISSION = Rule("stops.transmission", "T-stop over f-number", 1.1, 1.1, 1.2, "1")

LIGHT_SHORT, LIGHT_TO_SPARE = "light short", "light to spare"
"""Names of one number by its side of enough, so that neither is ever below nothing."""
CASTER_STOP = "stop of what casts it"
"""Name of the number a shadow is set by where it cannot be as soft as the picture."""


@dataclass(frozen=True, slots=True)
class Exposure:
    """How it is exposed.

    Attributes:
        stop: f-number set on the lens.
        seconds: exposure of each frame that the light asks for, s; None where light is unknown, or
            is its own.
    """

    stop: Quantity
    seconds: Quantity | None


def expose(
    sheet: Worksheet,
    view: View,
    subject: Subject,
    magnified: Quantity | None = None,
    *,
    lit: bool = True,
) -> Exposure:
    """Stop and exposure per frame; `rate_of_slow_pass` or `check_light` says what follows.

    Args:
        sheet: of the element.
        view: through which it is seen.
        subject: at the scale whose depth is matched.
        magnified: image size over subject size, where the lens stands nearer or farther than the
            scale of `subject` has it.
        lit: whether light falls on it; no exposure is reckoned for what gives its own.
    """
    hold = _hold(sheet, view)
    smallest = _smallest(sheet, view)
    matching = _matching_stop(sheet, view, subject)
    holding = _holding_stop(sheet, hold, subject, smallest)
    if holding is None and matching is not None and subject.scale.value > 1:
        _judge(sheet, "matching the taking stop's depth", matching, smallest)
    stop = _stop(sheet, (holding, matching), (_widest(sheet, view), smallest))
    if not lit:
        return Exposure(stop, None)
    magnified = magnified or magnification(sheet, view, subject)
    return Exposure(stop, _seconds(sheet, view, stop, magnified))


def expose_cast(sheet: Worksheet, view: View, subject: Subject, casts: Quantity | None) -> Exposure:
    """How a shadow or reflection is exposed; nobody can build it larger.

    By its own stop or depth where it states one, else as soft as the picture. Where no lens goes so
    far, it is set as what casts it: seen from the same place at the same size, the one is then as
    sharp as the other where they meet.

    Args:
        sheet: of the shadow.
        view: through which it is seen.
        subject: at the scale of what casts it.
        casts: f-number or T-stop set for what casts it; None where it is set for none.
    """
    if casts is None or sheet.element.facts.has("stop") or _hold(sheet, view) is not None:
        return expose(sheet, view, subject)
    matching = _matching_stop(sheet, view, subject)
    if matching is None or matching.value <= _smallest(sheet, view).value:
        return expose(sheet, view, subject)
    reason = "the stop of what casts it, the picture's own x N being past the lens"
    stop = Quantity("stop", casts.value, casts.unit, reason=reason, inputs=(casts, matching))
    sheet.note(replace(casts, name=CASTER_STOP))
    seconds = _seconds(sheet, view, sheet.note(stop), magnification(sheet, view, subject))
    return Exposure(stop, seconds)


def rate_of_slow_pass(sheet: Worksheet, view: View, exposed: Exposure) -> Quantity:
    """Rate of a pass that may take its time, fps: as fast as the exposure allows, at most normal.

    An exposure longer than anyone will wait for is a finding.
    """
    seconds = exposed.seconds or sheet.rule(FRAME)[0]
    longest = _longest(sheet)
    if seconds.value > longest.value:
        short = exposure.stops_short(seconds.value, longest.value)
        _light_short(sheet, short, f"a frame wants {seconds_text(seconds.value)}", longest)
    rate = min(view.open_share / seconds.value, view.frame_rate.value)
    reason = "share of the frame the shutter is open / exposure, at most the rate shown"
    return sheet.reckon("rate", rate, "fps", reason, seconds, view.shutter, view.frame_rate)


def check_light(sheet: Worksheet, view: View, exposed: Exposure, rate: Quantity) -> None:
    """Compare the exposure wanted with the time a frame has at `rate` (fps)."""
    if exposed.seconds is None:
        return
    available = sheet.reckon(
        "exposure a frame has",
        view.open_share / rate.value,
        "s",
        "share of the frame the shutter is open / rate",
        view.shutter,
        rate,
    )
    short = note_light(sheet, exposed.seconds, available)
    # A third of a stop is within what printing or grading puts right.
    if short > 1 / 3:
        says = f"at {rate.value:.4g} fps a frame wants {seconds_text(exposed.seconds.value)}"
        _light_short(sheet, short, says, available)


def note_light(sheet: Worksheet, wanted: Quantity, had: Quantity) -> float:
    """Keep by how many stops the light falls short, or what is to spare; gives the stops short.

    Args:
        sheet: of the element.
        wanted: exposure of a frame that the light asks for, s.
        had: exposure a frame has, s.
    """
    short = exposure.stops_short(wanted.value, had.value)
    if short > 0:
        sheet.reckon(LIGHT_SHORT, short, "stops", "log2 wanted / had", wanted, had)
    else:
        sheet.reckon(LIGHT_TO_SPARE, -short, "stops", "log2 had / wanted", had, wanted)
    return short


def limit_by_depth(sheet: Worksheet, view: View, subject: Subject, *, gravity: bool) -> None:
    """Bound the build's scale by the smallest stop and, where light is known, by the light."""
    hold = _hold(sheet, view)
    if hold is None or not subject.build:
        return
    smallest = _smallest(sheet, view)
    light = _light(sheet, view, gravity=gravity)
    try:
        by_stop = window.highest_by_smallest_stop(hold, smallest.value)
        by_light = window.highest_by_light(hold, light, _ratio(sheet, view).value) if light else 0
    except ValueError:
        return  # told by `expose`
    reach = f"holding {hold.near_m:g} m to {hold.far_m:g} m sharp"
    _bound(sheet, subject, f"{reach} at f/{smallest.value:g}", by_stop, "a shorter lens or range")
    if by_light:
        _bound(sheet, subject, f"{reach} in the light there is", by_light, "more light")


def _bound(sheet: Worksheet, subject: Subject, name: str, limit: float, relax: str) -> None:
    quantity = Quantity(name, limit, "1:N", reason="depth of the model against the lens's stops")
    subject.bound_scale(sheet, quantity, relax)


def _hold(sheet: Worksheet, view: View) -> window.Hold | None:
    """What must be sharp, in the picture's world; None where it or the lens is not stated."""
    holds = sheet.element.facts.group("holds")
    near, far = holds.number("from"), holds.number("to")
    if near is None or far is None or view.focal is None:
        return None
    return window.Hold(near.value / 1000, far.value / 1000, view.focal.value, view.circle.value)


def _holding_stop(
    sheet: Worksheet, hold: window.Hold | None, subject: Subject, smallest: Quantity
) -> Quantity | None:
    if hold is None:
        return None
    n = subject.scale.value
    try:
        value = hold.f_number(n)
        diffraction = optics.diffraction_f_number(hold.coc_mm, hold.magnification(n))
    except ValueError as cause:
        sheet.error(
            "nothing-sharp",
            f"at {in_ratio(n)} nothing can be held sharp: {cause}",
            "build it larger, or use a shorter lens",
            at="holds",
        )
        return None
    near, far = hold.near_m / n, hold.far_m / n
    holding = sheet.reckon(
        "holding stop",
        value,
        "f",
        f"holds {near:.3g} m to {far:.3g} m on the stage, focused at {hold.focus_m / n:.3g} m",
        subject.scale,
        source="thin lens",
    )
    said = f"holding {near:.3g} m to {far:.3g} m sharp at {in_ratio(n)}"
    if not _judge(sheet, said, holding, smallest) and value > diffraction:
        sheet.warn(
            "diffraction-softens",
            f"{said} takes f/{value:.3g}, and beyond f/{diffraction:.3g} diffraction blurs more"
            f" than {hold.coc_mm:g} mm",
            built_larger(n * diffraction / value, "hold less depth", is_built=bool(subject.build)),
            at="holds",
        )
    return holding


def _matching_stop(sheet: Worksheet, view: View, subject: Subject) -> Quantity | None:
    """The picture's own stop times N, which would give the very same softness."""
    shot = sheet.context.shot
    taking = shot.camera.number("stop") if shot else None
    if taking is None:
        return None
    taking_f = as_f_number(sheet, view, taking)
    value = taking_f.value * subject.scale.value
    reason = "the picture's stop x N"
    source = "cinematographers' list: 50 mm f/4 at 1:25 asks for f/100"
    return sheet.reckon("matching stop", value, "f", reason, taking_f, subject.scale, source=source)


def _judge(sheet: Worksheet, said: str, wanted: Quantity, smallest: Quantity) -> bool:
    """Tell whether `wanted` is past the lens; a warning says by how much."""
    if wanted.value <= smallest.value:
        return False
    stops = exposure.stops_between_f_numbers(smallest.value, wanted.value)
    matching = sheet.quantities.get("matching stop")
    also = (
        f" (the picture's own softness would want f/{matching.value:.3g})"
        if matching and matching is not wanted
        else ""
    )
    sheet.warn(
        "matching-stop-past-lens",
        f"{said} takes f/{wanted.value:.3g}{also}; the lens goes to f/{smallest.value:.3g},"
        f" {stops:.1f} stops short",
        f"{_sharper(sheet)}, split the focus over two passes, or accept softness",
        at="holds",
    )
    return True


def _is_cast(sheet: Worksheet) -> bool:
    """Whether it is a shadow or reflection, which is as large as what casts it."""
    return bool(sheet.element.target("shadow_of"))


def _sharper(sheet: Worksheet) -> str:
    if _is_cast(sheet):
        return "state `holds`, or the `stop`, for the part of its surface that must be sharp"
    return "build it larger, use a shorter lens"


def _stop(
    sheet: Worksheet, wanted: tuple[Quantity | None, ...], ends: tuple[Quantity, Quantity]
) -> Quantity:
    """The stop set: stated for the element, else the first wanted that is known, else the usual."""
    own = sheet.element.facts.number("stop")
    if own is not None:
        return sheet.note(Quantity("stop", own.value, own.unit, reason="stated", inputs=(own,)))
    asked = next((each for each in wanted if each is not None), None)
    if asked is None:
        asked = sheet.rule(STOP)[0]
    widest, smallest = ends
    value = min(max(asked.value, widest.value), smallest.value)
    return sheet.reckon("stop", value, "f", "the stop wanted, within the lens", asked, *ends)


def _widest(sheet: Worksheet, view: View) -> Quantity:
    lens = view.lens.facts.number("widest_stop") if view.lens else None
    return lens or sheet.rule(WIDEST)[0]


def _longest(sheet: Worksheet) -> Quantity:
    stated = sheet.element.facts.number("longest_exposure")
    return sheet.positive(stated, "longest_exposure") or sheet.rule(LONGEST)[0]


def _smallest(sheet: Worksheet, view: View) -> Quantity:
    lens = view.lens.facts.number("smallest_stop") if view.lens else None
    return lens or sheet.context.look_up("smallest_stop") or sheet.rule(SMALLEST)[0]


def _ratio(sheet: Worksheet, view: View) -> Quantity:
    own = view.lens.facts.number("transmission") if view.lens else None
    # No lens passes more light than falls on it; a figure below 1 is a slip of the pen.
    return own if own is not None and own.value >= 1 else sheet.rule(TRANSMISSION)[0]


def as_f_number(sheet: Worksheet, view: View, stop: Quantity) -> Quantity:
    """A stop as the f-number that depth follows, whichever it is stated in."""
    if stop.unit != "T":
        return stop
    ratio = _ratio(sheet, view)
    value = stop.value / ratio.value
    return Quantity("stop", value, "f", reason="T-stop / transmission", inputs=(stop, ratio))


def as_t_stop(sheet: Worksheet, view: View, stop: Quantity) -> Quantity:
    """A stop as the T-stop that exposure follows, whichever it is stated in."""
    if stop.unit == "T":
        return stop
    ratio = _ratio(sheet, view)
    value = stop.value * ratio.value
    return Quantity("T-stop", value, "T", reason="f-number x transmission", inputs=(stop, ratio))


def magnification(sheet: Worksheet, view: View, subject: Subject) -> Quantity:
    """Image size over subject size at the plane of focus; 0 where no distance is known.

    The plane of focus is that of ``holds``, else the nearest thing, as far off as it stands on the
    stage at the scale of `subject`.
    """
    facts, hold = sheet.element.facts, _hold(sheet, view)
    holds, nearest = facts.group("holds"), sheet.positive(facts.number("nearest"), "nearest")
    ends = (holds.number("from"), holds.number("to")) if hold else (nearest,)
    inputs = tuple(each for each in (view.focal, *ends, subject.scale) if each is not None)
    try:
        if hold is not None:
            value = hold.magnification(subject.scale.value)
            reason = "f / (u - f), u focused on / N, where both ends are held alike"
            return Quantity("magnification", value, "1", reason=reason, inputs=inputs)
        if nearest is not None and view.focal is not None:
            value = optics.magnification(
                view.focal.value, nearest.value / subject.scale.value / 1000
            )
            reason = "f / (u - f), u nearest / N"
            return Quantity("magnification", value, "1", reason=reason, inputs=inputs)
    except ValueError:
        pass  # told by what compares the distance with the lens
    return Quantity("magnification", 0.0, "1", reason="no distance of the lens is known")


def _seconds(sheet: Worksheet, view: View, stop: Quantity, magnified: Quantity) -> Quantity | None:
    """Exposure of each frame that light, stock and stop ask for; None where one is unknown."""
    light = sheet.ask("light", rests="exposure of each frame and the time of a pass")
    index = sheet.ask("exposure_index", rests="exposure of each frame and the time of a pass")
    if light is None or index is None:
        return None
    t_stop = as_t_stop(sheet, view, stop)
    if min(light.value, index.value) <= 0:
        sheet.error(
            "no-light",
            f"nothing is exposed with {light.value:g} lx at exposure index {index.value:g}",
            "state the light on the subject and the stock's exposure index",
            at="light",
        )
        return None
    value = exposure.frame_exposure_s(
        exposure.foot_candles(light.value), index.value, t_stop.value, magnified.value
    )
    reason = "25 x T-stop squared x (1 + magnification) squared / (foot-candles x exposure index)"
    return sheet.reckon(
        "exposure of a frame",
        value,
        "s",
        reason,
        light,
        index,
        t_stop,
        magnified,
        source="cinematography blog on foot-candles, 2013-08",
    )


def _light(sheet: Worksheet, view: View, *, gravity: bool) -> window.Light | None:
    light, index = sheet.element.facts.number("light"), sheet.context.look_up("exposure_index")
    if light is None or index is None or min(light.value, index.value) <= 0:
        return None
    longest = _longest(sheet)
    full_size = view.open_share / view.frame_rate.value if gravity else longest.value
    candles = exposure.foot_candles(light.value)
    return window.Light(candles, index.value, full_size, is_gravity_rate=gravity)


def _light_short(sheet: Worksheet, stops: float, says: str, available: Quantity) -> None:
    light = sheet.context.look_up("light")
    more = f" ({light.value * math.pow(2, stops):,.0f} lx)" if light else ""
    opened = "open up, use a faster stock, or build larger"
    if _is_cast(sheet):
        opened = "open up under `stop`, or use a faster stock"
    sheet.warn(
        "light-short",
        f"{says} and has {seconds_text(available.value)}: {stops:.1f} stops short of light",
        f"give {stops:.1f} stops more light{more}, {opened}",
        at="light",
    )


def seconds_text(seconds: float) -> str:
    """An exposure as people say it: ``1/48 s`` when short, ``0.32 s`` or ``2 s`` when long."""
    if 0 < seconds < 0.2:
        return f"1/{1 / seconds:.0f} s"
    return f"{seconds:.3g} s"
