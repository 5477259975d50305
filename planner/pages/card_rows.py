"""The rows of a set-up card, topic by topic.

Takes a `SetUpCard`, gives labels with their text, unfolded. Works nothing out: it chooses words and
leaves blanks.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds.estimate import FLOOR
from planner.kinds.strike import builds_on_floor
from planner.model.names import day_words, name_of, set_up_words
from planner.model.quantity import Quantity
from planner.pages.card_action import action_rows
from planner.pages.card_camera import camera_rows
from planner.pages.card_floor import floor_rows
from planner.pages.card_running import running_rows
from planner.pages.card_values import BLANK, mark, marked, rough_hours

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from planner.kinds import Work
    from planner.model.facts import Facts, FrameRange
    from planner.pages.card_values import Row, SetUpCard


def rows(card: SetUpCard) -> Iterator[Row]:
    """Every row above the checks, in the order of a set-up; no label where one goes on."""
    yield from _purpose(card)
    yield from camera_rows(card)
    yield from running_rows(card)
    yield from _before_it(card)
    yield from floor_rows(card)
    yield from action_rows(card)
    yield from _joins(card)
    yield from _stage(card)
    yield from _report(card)
    yield from _rest(card)


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
    dated = (("not_before", "not before"), ("due", "due"))
    days = [f"{words} {day_words(day)}=" for name, words in dated if (day := facts.day(name))]
    if days:
        yield "Dates", "; ".join(days)
    yield from _made(card)


def _made(card: SetUpCard) -> Iterator[Row]:
    build = card.show.elements.get(card.element.target("build"))
    name = card.title(build.id) if build else "nothing of its own"
    drawing = f"; drawing {build.facts.word('drawing') or BLANK}" if build else ""
    if card.is_board:
        yield "Board", f"{name}, painted {marked(card.element.facts.number('width'))} wide{drawing}"
        return
    asked = f" ({card.asked})" if card.asked else ""
    scale = "full size" if card.is_full_size else f"at {marked(card.number('scale'))}"
    held = [
        card.title(each)
        for each in builds_on_floor(card.estimate)
        if build is None or each != build.id
    ]
    stands = f"; to stand here: {' and '.join(held)}" if held else ""
    if build is not None or held or not card.is_full_size:
        yield "Build", f"{name}, {scale}{asked}{drawing}{stands}"


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
        behind = card.number("focus to the screen")
        spare += [f"{marked(behind)} behind the focus"] if behind else []
        said = ", ".join([f"{card.title(screen.id)} {size}, {away} from lens", *spare])
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
    parts += [f"crosses the figure {_frames(crosses)}"] if crosses else []
    parts.append(marked(rod.number("diameter")))
    parts.append(rod.word("colour") or f"colour {BLANK}")
    parts += [
        f"{name} ({', '.join(marked(each) for each in rod.numbers(name))})"
        for name in ("attach", "toward")
        if rod.numbers(name)
    ]
    return ", ".join(parts)


def _contact(card: SetUpCard, contact: Facts) -> str:
    thing = contact.word("with")
    on_stage = marked(card.number(f"tolerance of contact with {thing}"))
    held = "on a fixture" if contact.flag("fixture") else f"no fixture: {BLANK}"
    pixels = marked(contact.number("tolerance"))
    frames = _frames(contact.frames("frames"))
    name = card.title(thing) or BLANK
    return f"{name}, frames {frames}, within {pixels} ({on_stage} on the stage), {held}"


def _joins(card: SetUpCard) -> Iterator[Row]:
    """Light cues, and what stands before and behind it in the picture."""
    element = card.element
    for number, other in enumerate(element.targets("lit_with")):
        yield ("" if number else "Light cues"), f"answers the light of {other}, cue frame {BLANK}"
    parts = [
        f"{words} {', '.join(name_of(each, card.show) for each in element.targets(role))}"
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


def _stage(card: SetUpCard) -> Iterator[Row]:
    works = [w for w in card.estimate.work if w.phase in FLOOR]
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
        yield "Set-up", set_up_words(set_up, card.show)
    names = {work.name for work in works}
    said = [
        _hours(card, turn, [work for work in works if work.beside == turn.name])
        for turn in works
        if turn.beside not in names
    ]
    if not card.calls:
        said = ["; ".join(said)] if said else []
    yield from (("" if number else "Hours", each) for number, each in enumerate(said))


def _hours(card: SetUpCard, work: Work, beside: Sequence[Work]) -> str:
    """One stretch with who does it and, where it is dated, when; then who is called with it."""
    likely = f"{rough_hours(work.hours.likely)} h{mark(work.reason)}"
    span = f"{rough_hours(work.hours.low)} to {rough_hours(work.hours.high)}"
    said = f"{work.name} {likely} ({span}), {_hands(work)}{_when(card, work.name)}"
    company = " and ".join(f"{_hands(each)} to {each.name}" for each in beside)
    names = {work.name, *(each.name for each in beside)}
    calls = (call for call in card.calls if call.work.name in names)
    against = dict.fromkeys(f"; ! {each}" for call in calls for each in call.against)
    return f"{said}{f', with {company}' if company else ''}{''.join(against)}"


def _hands(work: Work) -> str:
    return f"{work.craft.replace('_', ' ')} x {work.heads}"


def _when(card: SetUpCard, name: str) -> str:
    call = next((each for each in card.calls if each.work.name == name), None)
    if call is None:
        return ""
    days = "" if call.ends.date() == call.starts.date() else f"{day_words(call.ends, year=False)} "
    begins = f"{day_words(call.starts, year=False)} {call.starts:%H:%M}"
    return f": {begins} to {days}{call.ends:%H:%M}"


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


TOLD = frozenset(
    {
        "stop",
        "rate",
        "frames",
        "frames of run",
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
        "light to spare",
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
        "share of the running time spent resetting",
        "cues",
        "people with cues",
        "clashes of cues",
        "checks before strike",
        "checks still open",
        "takes in a day",
        "fall on the stage",
        "swing on the stage",
        "bearing of the lamp",
        "height angle of the lamp",
        "travel between the framings",
        "travel of the move toward the board",
        "rates in the wedge",
        "time of the wedge",
        "film of the wedge",
    }
)
"""Numbers told in a row of their own, or of no use on the floor."""


TOLD_OF_EACH = ("hours", "tolerance of contact", "frames that show", "area of", "wedge at ")
"""How the names of numbers begin that a row above tells of each pass, contact or hand."""


def _rest(card: SetUpCard) -> Iterator[Row]:
    """Numbers of the kind that no row above has told."""
    left = [
        f"{name} {marked(quantity)}"
        for name, quantity in card.estimate.quantities.items()
        if name not in TOLD
        and not name.startswith(TOLD_OF_EACH)
        and not name.endswith((" hours", " run-up", " on the screen"))
    ]
    if left:
        yield "Also", "; ".join(left)
