"""The rows of a set-up card, topic by topic.

Takes a `SetUpCard`, gives labels with their text, unfolded. Works nothing out: it chooses words and
leaves blanks.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from planner.craft.passes import PASS_RULES
from planner.kinds import Phase
from planner.model.quantity import Quantity
from planner.pages.card_values import BLANK, mark, marked

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.kinds import Work
    from planner.model.facts import Facts, FrameRange
    from planner.pages.card_values import SetUpCard

Row = tuple[str, str | tuple[str, ...]]
"""A label and its text, or cells to be set in columns."""
PASSES = {"interactive": "interactive-light"}
"""Passes that a show names in fewer words than `PASS_RULES`."""


SAME_FIELD = 0.05
"""Per cent of field below which two lenses are one."""
SAME_STOP = 0.05
"""Stops of light below which there is just enough."""


def rows(card: SetUpCard) -> Iterator[Row]:
    """Every row above the checks, in the order of a set-up; no label where one goes on."""
    yield from _purpose(card)
    yield from _picture(card)
    yield from _focus(card)
    yield from _stop(card)
    yield from _exposure(card)
    yield from _camera(card)
    yield from _move(card)
    yield from _passes(card)
    yield from _before_it(card)
    yield from _joins(card)
    yield from _stage(card)
    yield from _report(card)
    yield from _rest(card)


# What it is for -----------------------------------------------------------------------------


def _purpose(card: SetUpCard) -> Iterator[Row]:
    facts, shot = card.element.facts, card.show.shots.get(card.element.shot)
    yield "For", " ".join(each for each in (shot.says if shot else "", facts.word("says")) if each)
    if facts.word("purpose"):
        yield "", f"Purpose: {facts.word('purpose')}."
    cut = f"{shot.cut}= in the cut, {shot.cut.count}=" if shot and shot.cut else f"cut {BLANK}"
    seen = facts.frames("in_frame")
    cut += f", seen on {seen}=" if seen else ""
    handles = marked(card.show.facts.number("handles"))
    shoot = marked(card.number("frames"))
    yield "Frames", f"{cut}; handles {handles} at each end; SHOOT {shoot}"
    yield from _made(card)


def _made(card: SetUpCard) -> Iterator[Row]:
    build = card.show.elements.get(card.element.target("build"))
    name = build.id if build else "nothing of its own"
    drawing = f"; drawing {build.facts.word('drawing') or BLANK}" if build else ""
    if card.is_board:
        yield "Board", f"{name}, painted {marked(card.element.facts.number('width'))} wide{drawing}"
        return
    asked = f" ({card.asked})" if card.asked else ""
    scale = "full size" if card.is_full_size else f"at {marked(card.number('scale'))}"
    if build is not None or not card.is_full_size:
        yield "Build", f"{name}, {scale}{asked}{drawing}"


# Camera and lens ----------------------------------------------------------------------------


def _picture(card: SetUpCard) -> Iterator[Row]:
    frame = card.frame
    size = " x ".join(marked(card.number(f"frame {side}")) for side in ("width", "height"))
    name = frame.slug if frame else BLANK
    yield "Format", f"{name}, {size}, finished at {marked(card.number('image width'))}"
    lens = card.resource("lens")
    pupil = lens.facts.number("pupil") if lens else None
    across = card.number("field width at the focus")
    parts = [f"{lens.id if lens else 'focal length'} {marked(card.number('focal length'))}"]
    parts += [_against_picture(card)] if card.number("error of the field") else []
    parts += [f"sees {marked(across)} across at the focus"] if across else []
    parts.append(f"pupil {marked(pupil)} before the film")
    yield "Lens", ", ".join(parts)


def _against_picture(card: SetUpCard) -> str:
    """The lens beside the one that would see just what the picture's own does."""
    error = card.number("error of the field")
    if error is None or abs(error.value) < SAME_FIELD:
        return "the picture's own"
    wider = "wider" if error.value > 0 else "narrower"
    owned = card.number("focal length of the lens owned")
    used = "" if card.resource("lens") else f"; nearest owned {marked(owned)},"
    off = marked(replace(error, value=abs(error.value)))
    wanted = marked(card.number("equivalent focal length"))
    return f"{wanted} would see as the picture does{used} field {off} {wider}"


def _focus(card: SetUpCard) -> Iterator[Row]:
    if card.is_board:
        facts = card.element.facts
        for framing, label in (("widest", "Focus"), ("tightest", "")):
            away = marked(card.number(f"lens to the board, {framing} framing"))
            film = marked(card.number(f"film plane to the board, {framing} framing"))
            width = marked(facts.number(framing) or facts.number("width"))
            yield label, (framing, f"{width} across: film plane {film}, lens {away}")
        return
    for label, where in _wheres(card, "Focus"):
        film = marked(card.number(f"focus {where}, from the film plane"))
        lens = marked(card.number(f"focus {where}, from the lens"))
        yield label, (_on(card, where), f"{film} from film plane, {lens} from lens")


def _wheres(card: SetUpCard, label: str) -> Iterator[tuple[str, str]]:
    """The stage, then the picture's own world; once where both are one size."""
    yield label, "on the stage"
    if not card.is_full_size:
        yield "", "full size"


def _on(card: SetUpCard, where: str) -> str:
    """Where a number holds, the stage's own standing out."""
    if card.is_full_size:
        return "full size"
    return where.upper() if where == "on the stage" else where


def _stop(card: SetUpCard) -> Iterator[Row]:
    stop, t_stop = card.number("stop") or card.look_up("stop"), card.number("T-stop")
    yield "Stop", f"SET {marked(stop)}" + (f" ({marked(t_stop)})" if t_stop else "")
    if card.is_board:
        return
    holding, matching = card.number("holding stop"), card.number("matching stop")
    near, far = card.number("sharp from, on the stage"), card.number("sharp to, on the stage")
    held = f" for {marked(near)} to {marked(far)} from lens" if holding else ""
    if holding or matching or not card.is_full_size:
        yield "", f"hold {marked(holding)}{held}; match {marked(matching)}"
    yield "", f"{_matters(card, holding, matching)}."


def _matters(card: SetUpCard, holding: Quantity | None, matching: Quantity | None) -> str:
    """Which of the two stops decides, and why."""
    if card.element.facts.number("stop") is not None:
        return "Neither decides: the stop is stated for this element"
    if holding is not None and matching is not None:
        return "Holding matters: those depths must read sharp; matching is for the rest"
    if holding is not None:
        return "Holding matters: those depths must read sharp; no stop to match"
    if matching is not None:
        return "Matching matters: nothing must be held, so be as soft as the picture"
    return "Nothing asks for a stop: neither depth to hold nor stop to match"


def _exposure(card: SetUpCard) -> Iterator[Row]:
    shutter, rate = marked(card.number("shutter")), marked(card.number("rate"))
    wanted, had = card.number("exposure of a frame"), card.number("exposure a frame has")
    said = f"RATE {rate}, shutter {shutter}: a frame has {marked(had)}, wants {marked(wanted)}"
    falls = card.number("gravity rate")
    yield "Exposure", said + (f"; what falls wants {marked(falls)}" if falls else "")
    index, filters = marked(card.look_up("exposure_index")), card.word("filter") or BLANK
    said = f"{marked(card.look_up('light'))} at EI {index}, filter {filters}"
    short = card.number("light short")
    if short is not None:
        said += f"; {_to_spare(short)}"
    yield "Light", said


def _to_spare(short: Quantity) -> str:
    """Stops short or to spare; a twentieth of a stop is neither."""
    if abs(short.value) < SAME_STOP:
        return f"just enough{mark(short)}"
    size = marked(replace(short, value=abs(short.value)))
    return f"{size} {'SHORT' if short.value > 0 else 'to spare'}"


def _camera(card: SetUpCard) -> Iterator[Row]:
    if card.is_board:
        yield "Camera", f"square to the board, centre of frame {BLANK}, tilt {BLANK}"
        return
    facts = card.element.facts
    heights = {
        "on the stage": card.number("lens above the ground on the stage"),
        "full size": facts.number("camera_height") or card.look_up("height"),
    }
    nearest = {
        "on the stage": card.number("nearest thing on the stage, from the lens"),
        "full size": facts.number("nearest"),
    }
    for label, where in _wheres(card, "Camera"):
        tilt = f", tilt {marked(card.look_up('tilt'))}" if label else ""
        said = f"lens {marked(heights[where])} up{tilt}, nearest {marked(nearest[where])} off"
        yield label, (_on(card, where), said)


# Move and passes ----------------------------------------------------------------------------


def _move(card: SetUpCard) -> Iterator[Row]:
    source = card.show.elements.get(card.element.target("move_from"))
    axes = [name.removesuffix(" peak speed") for name in card.dial if name.endswith(" peak speed")]
    if source is None and not axes:
        yield "Move", "none: the camera stands still"
        return
    if source is not None:
        origin, data = source.facts.word("origin") or "origin unknown", source.facts.word("data")
        file = f"moves/{data}.csv" if data else "no file yet"
        yield "Move", f"repeats {source.id} ({origin}, {file}), revision {BLANK}"
    else:
        yield "Move", f"on the stage alone, no program named; revision {BLANK}"
    yield from _axes(card, axes)
    rigs = card.options("rig")
    said = " or ".join(card.title(each) for each in rigs) or f"none that follows: {BLANK}"
    fastest = card.number("fastest rate of the rig")
    said += f"; follows to {marked(fastest)}" if fastest else ""
    frames = card.number("run-up frames")
    said += f"; {marked(frames)} frames of run-up" if frames else ""
    yield "Rig", said


def _axes(card: SetUpCard, axes: list[str]) -> Iterator[Row]:
    """A line an axis under its headings."""
    heads = ("travel", "peak speed", "peak acceleration", "run-up")
    if axes:
        yield "", ("axis", "travel", "fastest", "hardest", "run-up")
    for axis in axes:
        yield "", (axis, *(marked(card.number(f"{axis} {name}")) for name in heads))


def _passes(card: SetUpCard) -> Iterator[Row]:
    names = card.element.facts.words("passes")
    each = f"{marked(card.number('frames'))} frames + run {_whole(card.number('run'))}"
    each += f", {marked(card.number('pass time'))}"
    if len(names) < 2:
        count = card.number("passes")
        alone = names[0] if names else "the picture"
        said = f"one, {alone}" if count is None or count.value == 1 else f"{marked(count)}, each"
        yield "Passes", f"{said}: {each}"
    for number, name in enumerate(names if len(names) > 1 else (), start=1):
        rule = PASS_RULES.get(PASSES.get(name, name))
        note = f"; {rule.note}" if rule else ""
        yield ("Passes" if number == 1 else ""), f"{number} {name}: {each}{note}"
    takes, reset = marked(card.number("takes")), marked(card.number("reset"))
    running = marked(card.number("running time"))
    yield "Takes", f"{takes} allowed for, reset {reset} between, {running} in all"
    yield "Film", ", ".join(_film(card))


def _whole(frames: Quantity | None) -> str:
    """Frames as they are counted on the floor: a part of a frame is a frame."""
    return marked(None if frames is None else replace(frames, value=math.ceil(frames.value - 1e-9)))


def _film(card: SetUpCard) -> Iterator[str]:
    if card.number("passes") is not None and len(card.element.facts.words("passes")) > 1:
        yield f"{marked(card.number('film of a pass'))} a pass"
    yield f"{marked(card.number('film of a take'))} a take"
    yield f"{marked(card.number('takes to a magazine'))} takes to a magazine"
    yield f"{marked(card.number('film exposed'))} in all"


# Before the lens ----------------------------------------------------------------------------


def _before_it(card: SetUpCard) -> Iterator[Row]:
    """Screen, rods and contacts."""
    facts = card.element.facts
    screen = card.show.resources.get(facts.word("screen"))
    if screen is not None:
        size = " x ".join(marked(screen.facts.number(side)) for side in ("width", "height"))
        away = marked(facts.number("screen_distance"))
        spare = [
            f"{marked(q)} to spare {words}"
            for side, words in (("width", "across"), ("height", "up"))
            if (q := card.number(f"screen {side} to spare")) is not None
        ]
        said = ", ".join([f"{screen.id} {size}, {away} from lens", *spare])
        yield "Screen", said
    for number, rod in enumerate(facts.groups("rods")):
        yield ("" if number else "Rods"), _rod(rod)
    for number, contact in enumerate(facts.groups("contacts")):
        yield ("" if number else "Contacts"), _contact(card, contact)


def _frames(frames: FrameRange | None) -> str:
    return f"{frames}=" if frames else BLANK


def _rod(rod: Facts) -> str:
    parts = [f"{rod.word('name') or BLANK}: {rod.word('side') or f'side {BLANK}'}"]
    parts.append(_frames(rod.frames("frames")))
    crosses = rod.frames("crosses")
    parts.append(f"crosses the figure {_frames(crosses)}" if crosses else "crosses nothing")
    parts.append(marked(rod.number("diameter")))
    parts.append(rod.word("colour") or f"colour {BLANK}")
    return ", ".join(parts)


def _contact(card: SetUpCard, contact: Facts) -> str:
    thing = contact.word("with") or BLANK
    on_stage = marked(card.number(f"tolerance of contact with {thing}"))
    held = "on a fixture" if contact.flag("fixture") else f"no fixture: {BLANK}"
    pixels = marked(contact.number("tolerance"))
    frames = _frames(contact.frames("frames"))
    return f"{thing}, frames {frames}, within {pixels} ({on_stage} on the stage), {held}"


def _joins(card: SetUpCard) -> Iterator[Row]:
    """Light cues, and what stands before and behind it in the picture."""
    element = card.element
    for number, other in enumerate(element.targets("lit_with")):
        yield ("" if number else "Light cues"), f"answers the light of {other}, cue frame {BLANK}"
    parts = [
        f"{words} {', '.join(element.targets(role))}"
        for role, words in (
            ("in_front_of", "in front of"),
            ("held_out_by", "held out by"),
            ("hides", "hides"),
            ("hands_over_to", "hands over to"),
            ("shadow_of", "cast by"),
            ("falls_on", "falls on"),
            ("colour_from", "colours from"),
            ("clean_plate", "clean plate"),
            ("clean_of", "clean plate of"),
        )
        if element.targets(role)
    ]
    if parts:
        yield "Joined", "; ".join(parts)


# Stage and hours ----------------------------------------------------------------------------


def _stage(card: SetUpCard) -> Iterator[Row]:
    works = [w for w in card.estimate.work if w.phase in {Phase.STAGE, Phase.LOCATION}]
    stages = " or ".join(card.title(each) for each in card.options("stage"))
    where = stages or card.element.facts.word("on") or BLANK
    named = card.options("camera") or (card.element.facts.word("camera"),)
    cameras = " or ".join(card.title(each) for each in named) or BLANK
    people = [
        card.title(o) for w in works for n in w.needs if n.sort == "person" for o in n.options
    ]
    needed = f"; with {', '.join(dict.fromkeys(people))}" if people else ""
    yield "Stage", f"{where}; camera {cameras}{needed}"
    set_up = next((work.set_up for work in works if work.set_up), "")
    if set_up:
        yield "Set-up", set_up
    said = [_hours(card, work) for work in works]
    if not card.calls:
        said = ["; ".join(said)] if said else []
    yield from (("" if number else "Hours", each) for number, each in enumerate(said))


def _hours(card: SetUpCard, work: Work) -> str:
    likely = f"{work.hours.likely:.2g} h{mark(work.reason)}"
    span = f"{work.hours.low:.2g} to {work.hours.high:.2g}"
    hands = f"{work.craft.replace('_', ' ')} x {work.heads}"
    return f"{work.name} {likely} ({span}), {hands}{_when(card, work.name)}"


def _when(card: SetUpCard, name: str) -> str:
    call = next((each for each in card.calls if each.work.name == name), None)
    if call is None:
        return ""
    days = "" if call.ends.date() == call.starts.date() else f"{call.ends:%a %d %b} "
    return f": {call.starts:%a %d %b %H:%M} to {days}{call.ends:%H:%M}"


def _report(card: SetUpCard) -> Iterator[Row]:
    """What the plate report holds of a plate already photographed."""
    report = card.element.facts.group("report")
    if not report.flag("taken"):
        return
    held = []
    for name, value in report.values.items():
        words = name.replace("_", " ")
        if isinstance(value, Quantity):
            held.append(f"{words} {marked(value)}")
        elif not isinstance(value, bool):
            held.append(f"{words} {value if report.has(name) else BLANK}")
    yield "As taken", "; ".join(held)


# Everything else ----------------------------------------------------------------------------

TOLD = frozenset(
    {
        "stop",
        "rate",
        "frames",
        "run",
        "passes",
        "takes",
        "scale",
        "reset",
        "gravity rate",
        "holding stop",
        "matching stop",
        "exposure of a frame",
        "exposure a frame has",
        "light short",
        "pass time",
        "film of a pass",
        "film exposed",
        "fastest rate of the rig",
        "running time",
        "rods",
        "film printed",
        "frames scanned",
        "screen width to spare",
        "screen height to spare",
        "T-stop",
        "frame rate",
        "report items held",
        "rod frames",
        "crossing frames",
        "run-up frames",
        "pixels a mm shifts the nearest",
        "mass arms hold",
    }
)
"""Numbers told in a row of their own, or of no use on the floor."""


def _rest(card: SetUpCard) -> Iterator[Row]:
    """Numbers of the kind that no row above has told."""
    left = [
        f"{name} {marked(quantity)}"
        for name, quantity in card.estimate.quantities.items()
        if name not in TOLD
        and not name.startswith(("hours", "tolerance of contact"))
        and not name.endswith((" hours", " run-up"))
    ]
    if left:
        yield "Also", "; ".join(left)
