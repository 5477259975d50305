"""One subject carried on from one element to another.

Takes elements that name another under ``hands_over_to``, with where and how the subject leaves one
and enters the other, gives findings on frames out of sight, the speed they imply, size on screen,
attitude and light. Lengths and speeds are the picture's own. Knows nothing of how pieces are
joined.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.estimate.agreement import rules
from planner.estimate.agreement.picture import (
    light_of,
    light_words,
    lights_apart_deg,
    turn_between_deg,
)
from planner.estimate.agreement.readings import figures, metres
from planner.model.names import noun
from planner.model.place import Problem, Severity

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from planner.estimate.agreement.pieces import Joined
    from planner.kinds import Rule
    from planner.kinds.view import View
    from planner.model.facts import Facts, FrameRange
    from planner.model.quantity import Quantity
    from planner.model.show import Element, Show


@dataclass(frozen=True, slots=True)
class End:
    """The subject as one element shows it last, or another shows it first.

    Attributes:
        element: it.
        seen: frames of the cut on which it is seen; None where nobody says.
        view: the camera it is seen by.
        place: right, up and away from the lens, mm; None where nobody says.
        distance: away from the lens, mm.
        speed: mm/s.
        size: height at full size, mm.
        faces: clockwise from the direction the lens looks in, deg.
    """

    element: Element
    seen: FrameRange | None
    view: View
    place: tuple[float, ...] | None
    distance: float | None
    speed: float | None
    size: float | None
    faces: float | None

    @property
    def id(self) -> str:
        """Of the element."""
        return self.element.id

    def pixels(self, size: float | None) -> float | None:
        """Height on screen of `size` mm of subject, px; None where lens or distance are unknown."""
        focal = self.view.focal_px()
        if focal is None or not size or not self.distance:
            return None
        return focal.value * size / self.distance


@dataclass(frozen=True, slots=True)
class HandOver:
    """One hand-over within a shot.

    Attributes:
        joined: the shot's pieces, for what it lets pass.
        leaves: the subject on its last frame in one element.
        enters: the subject on its first frame in the other.
        stated_way: distance covered out of sight as stated, mm.
    """

    joined: Joined
    leaves: End
    enters: End
    stated_way: float | None

    @property
    def steps(self) -> int | None:
        """Frames from the last seen in one to the first seen in the other; 1 for a straight one."""
        if self.leaves.seen is None or self.enters.seen is None:
            return None
        return self.enters.seen.first - self.leaves.seen.last

    @property
    def seconds(self) -> float | None:
        """Time between those two frames, s; None where it is not known or they overlap."""
        rate = self.leaves.view.frame_rate.value
        if self.steps is None or self.steps < 1 or rate <= 0:
            return None
        return self.steps / rate

    @property
    def way(self) -> float | None:
        """Distance covered out of sight, mm: stated, else straight from place to place."""
        if self.stated_way is not None or not self.leaves.place or not self.enters.place:
            return self.stated_way
        return math.dist(self.leaves.place, self.enters.place)

    @property
    def speeds(self) -> tuple[float, ...]:
        """Speeds stated at the two ends, mm/s."""
        return tuple(each for each in (self.leaves.speed, self.enters.speed) if each)

    @property
    def may_cover(self) -> float:
        """How far it may have gone out of sight, mm."""
        if self.way is not None:
            return self.way
        return max(self.speeds, default=0.0) * (self.seconds or 0.0)

    def allowed(self, rule: Rule) -> float:
        """What a rule lets pass, in its unit."""
        return self.joined.allowed(rule)

    def warn(self, code: str, message: str, remedy: str, at: str = "hand_over") -> Problem:
        """A finding about what enters."""
        element = self.enters.element
        place = element.facts.place_of(at)
        return Problem(Severity.WARNING, place, code, message, remedy, element.id)


def check_hand_overs(show: Show, shots: Sequence[Joined]) -> Iterator[Problem]:
    """Every hand-over between elements of one live shot; between shots only the subject's size."""
    by_shot = {each.shot.id: each for each in shots}
    for element in show.elements.values():
        other = show.elements.get(element.target("hands_over_to"))
        if other is None or element.shot not in by_shot or other.shot not in by_shot:
            continue
        if {element.id, other.id} & show.unreadable:
            continue
        # A shot that is remembered was joined in the show as it was then.
        leaves, enters = (replace(by_shot[each.shot], show=show) for each in (element, other))
        over = _hand_over(show, (leaves, enters), element, other)
        yield from _within_shot(over) if element.shot == other.shot else _subject(over)


def _within_shot(over: HandOver) -> Iterator[Problem]:
    yield from _frames(over)
    yield from _speed(over)
    yield from _size(over)
    yield from _attitude(over)
    yield from _light(over)


def _hand_over(
    show: Show, shots: tuple[Joined, Joined], element: Element, other: Element
) -> HandOver:
    leaving = element.facts.group("hand_over")
    leaves = _end(show, shots[0], element, leaving.group("exit"))
    enters = _end(show, shots[1], other, other.facts.group("hand_over").group("entry"))
    way = leaving.number("distance")
    return HandOver(shots[0], leaves, enters, way.value if way else None)


def _end(show: Show, joined: Joined, element: Element, side: Facts) -> End:
    view = next((each.view for each in joined.pieces if each.id == element.id), joined.camera)
    place = tuple(each.value for each in side.numbers("place"))
    nearest = element.facts.number("nearest")
    build = show.elements.get(element.target("build"))
    full = build.facts.group("full_size").number("height") if build else None
    away = place[2] if len(place) == 3 and place[2] > 0 else None
    seen = element.facts.frames("in_frame")
    cut = joined.shot.cut
    return End(
        element,
        seen.overlap(cut) if seen and cut else seen,
        view,
        place if len(place) == 3 else None,
        _first(side.number("distance"), away, nearest),
        _first(side.number("speed"), element.facts.number("speed")),
        _first(side.number("size"), full),
        _first(side.number("faces")),
    )


def _first(*values: Quantity | float | None) -> float | None:
    """The first that is known."""
    known = next((each for each in values if each is not None), None)
    return known if known is None or isinstance(known, (int, float)) else known.value


def _frames(over: HandOver) -> Iterator[Problem]:
    leaves, enters = over.leaves, over.enters
    if leaves.seen is None or enters.seen is None:
        unknown = leaves if leaves.seen is None else enters
        yield over.warn(
            "hand-over-without-frames",
            f"{leaves.id} hands its subject over to {enters.id} and nobody says on which frames"
            f" {unknown.id} is seen",
            f"write in_frame for {unknown.id}",
            at="in_frame",
        )
        return
    both = leaves.seen.overlap(enters.seen)
    if both is not None:
        yield over.warn(
            "hand-over-overlaps",
            f"{leaves.id} hands its subject over to {enters.id} and both are seen on frames {both}:"
            f" two of one subject for {both.count} {noun(both.count, 'frame')}",
            f"let {enters.id} enter on frame {leaves.seen.last + 1}, or {leaves.id} leave on"
            f" {enters.seen.first - 1}",
            at="in_frame",
        )
    elif over.steps is not None and over.steps < 1:
        yield over.warn(
            "hand-over-backwards",
            f"{leaves.id} hands its subject over to {enters.id}, which is seen on {enters.seen},"
            f" before {leaves.id} on {leaves.seen}",
            f"write `hands_over_to: {leaves.element.name}` in {enters.id} instead",
            at="in_frame",
        )


def _speed(over: HandOver) -> Iterator[Problem]:
    """Speed that way and time out of sight imply, against the speeds stated."""
    way, seconds, steps = over.way, over.seconds, over.steps
    if way is None or seconds is None or steps is None or not over.speeds:
        return
    implied = way / seconds
    slow, quick = min(over.speeds), max(over.speeds)
    passes = over.allowed(rules.SPEED) / 100
    if slow * (1 - passes) <= implied <= quick * (1 + passes):
        return
    nearest = quick if implied > quick else slow
    wanted = max(round(way / nearest * over.leaves.view.frame_rate.value), 1)
    entry = over.leaves.seen.last + wanted if over.leaves.seen else wanted
    stated = (
        f"{figures(slow / 1000)}"
        if slow == quick
        else f"{figures(slow / 1000)} to {figures(quick / 1000)}"
    )
    yield over.warn(
        "hand-over-speed",
        f"from {over.leaves.id} to {over.enters.id} it covers {metres(way)} out of sight in"
        f" {steps} {noun(steps, 'frame')} ({steps - 1} out of sight, {figures(seconds)} s):"
        f" {figures(implied / 1000)} m/s, and its speed is {stated} m/s",
        f"let it enter on frame {entry}, {wanted - 1} {noun(wanted - 1, 'frame')} out of sight, or"
        f" cover {figures(nearest * seconds / 1000)} m",
        at="in_frame",
    )


def _size(over: HandOver) -> Iterator[Problem]:
    """Size on screen of both, once the way it may have gone toward or from the lens is undone."""
    leaves, enters = over.leaves, over.enters
    size = _sizes(over)
    before, after = leaves.pixels(size[0]), enters.pixels(size[1])
    if not before or not after or not leaves.distance or not enters.distance:
        return
    walked = abs(enters.distance - leaves.distance) <= over.may_cover * (1 + 1e-9)
    ratio = after / before
    if walked:
        ratio *= enters.distance / leaves.distance
    if abs(ratio - 1) * 100 <= over.allowed(rules.SIZE):
        return
    undone = ", its way from or toward the lens undone" if walked else ""
    larger = "larger" if ratio > 1 else "smaller"
    yield over.warn(
        "hand-over-size",
        f"{leaves.id} leaves {_high(leaves, size[0], before)} and {enters.id} enters"
        f" {_high(enters, size[1], after)}: {abs(ratio - 1) * 100:.1f} % {larger}{undone}",
        f"set {enters.id} {figures(enters.distance * ratio / 1000)} m off, or join it at"
        f" {100 / ratio:.1f} % of its size",
    )


def _sizes(over: HandOver) -> tuple[float, float]:
    """Full size of the subject at both ends, mm; one stands for both, 1 m where neither is told."""
    usual = over.leaves.size or over.enters.size or 1000.0
    return over.leaves.size or usual, over.enters.size or usual


def _high(end: End, size: float, pixels: float) -> str:
    what = metres(size) if end.size else "a metre of it"
    return f"{pixels:.0f} px high ({what} at {figures((end.distance or 0) / 1000)} m)"


def _subject(over: HandOver) -> Iterator[Problem]:
    """Between shots cameras differ; the subject itself must not."""
    leaves, enters = over.leaves, over.enters
    if not leaves.size or not enters.size:
        return
    ratio = enters.size / leaves.size
    if abs(ratio - 1) * 100 > over.allowed(rules.SIZE):
        yield over.warn(
            "hand-over-subject-size",
            f"the subject is {metres(leaves.size)} high in {leaves.id} and"
            f" {metres(enters.size)} in {enters.id}: {abs(ratio - 1) * 100:.1f} % apart",
            "give both the height of one subject",
        )


def _attitude(over: HandOver) -> Iterator[Problem]:
    before, after = over.leaves.faces, over.enters.faces
    if before is None or after is None:
        return
    turned = turn_between_deg(before, after)
    if turned > over.allowed(rules.ATTITUDE):
        yield over.warn(
            "hand-over-attitude",
            f"{over.leaves.id} leaves facing {before:g} deg and {over.enters.id} enters facing"
            f" {after:g} deg: it has turned {turned:.0f} deg out of sight",
            f"turn it to {before:g} deg in {over.enters.id}, or let it turn while it is seen",
        )


def _light(over: HandOver) -> Iterator[Problem]:
    """Jump of the key light, where the agreement of the shot does not compare the two already."""
    ids = {over.leaves.id, over.enters.id}
    if ids <= {each.id for each in over.joined.pieces}:
        return
    before, after = (light_of(end.element.facts) for end in (over.leaves, over.enters))
    if before is None or after is None:
        return
    by = lights_apart_deg(before, after)
    if by > over.allowed(rules.KEY_LIGHT):
        yield over.warn(
            "hand-over-light",
            f"the key light of {over.leaves.id} comes from {light_words(before)}, that of"
            f" {over.enters.id} from {light_words(after)}: it jumps {by:.0f} deg",
            f"light {over.enters.id} from {light_words(before)}",
            at="key_light",
        )
