"""Which stages, cameras, rigs and screens fit a set-up.

Takes the set-up of one element - its view, scale, rate and film - gives the needs its stage work
has, limits on its build's scale, and a finding for whatever will not fit. Sizes and distances are
the picture's own (full size) and shrink by the scale, except the distance of the screen, which is
measured on the stage. Knows nothing of stops, light or hours.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.kinds import clearance, rig
from planner.kinds.estimate import Need
from planner.kinds.move import Pace, demands
from planner.kinds.sentences import built_larger
from planner.kinds.subject import hazards_in, hazards_of
from planner.kinds.takes import MM_PER_FOOT
from planner.model.alike import is_like
from planner.model.quantity import Quantity
from planner.model.ratio import in_ratio, in_ratio_within

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from planner.kinds.subject import Subject
    from planner.kinds.view import View
    from planner.kinds.worksheet import Worksheet
    from planner.model.facts import Facts
    from planner.model.show import Resource

FORBIDDEN = {
    "flame": "flame",
    "smoke": "smoke",
    "water": "water",
    "ultraviolet": "ultraviolet",
    "overhead_load": "heavy_load",
}
"""Word a stage forbids a hazard by; other hazards are nobody's to forbid."""
SIDES = ("width", "depth", "height")
PASS_OF = ("pass_of", "into")
"""Facts that name the element of which something is another pass."""


@dataclass(frozen=True, slots=True)
class SetUp:
    """What is to be photographed together.

    Attributes:
        view: the camera it is seen by.
        subject: what is photographed, at its scale.
        rate: of the camera, fps.
        gravity: whether the rate follows the scale as ``sqrt(N)``.
        pass_feet: film of the longest unbroken run, ft; None where none is reckoned.
        grounded: whether the lens stands over the ground of the picture's world, as before a
            model; a painting may hang at any height.
    """

    view: View
    subject: Subject
    rate: Quantity
    gravity: bool = False
    pass_feet: Quantity | None = None
    grounded: bool = True

    @property
    def pace(self) -> Pace:
        """What a rig must keep up with."""
        return Pace(self.subject, self.rate, self.gravity)


@dataclass(frozen=True, slots=True)
class Floor:
    """What a set-up may use.

    Attributes:
        needs: of its stage work.
        state: how the stage stands, in words; equal words share a set-up.
    """

    needs: tuple[Need, ...]
    state: str


def lay_out(sheet: Worksheet, set_up: SetUp) -> Floor:
    """Choose what fits and tell what does not.

    Args:
        sheet: of the element; its facts name what it wants.
        set_up: what is to be photographed.
    """
    sheet.note(replace(set_up.subject.scale, name="scale"))
    wanted = demands(sheet, set_up.view, set_up.pace)
    follow = rig.rigs_that_follow(sheet, wanted, set_up.pace)
    rigs = clearance.rigs_with_room(sheet, set_up, follow)
    rig.limit_by_travel(sheet, wanted, set_up.pace, rigs)
    cameras = _cameras(sheet, set_up)
    stages = _stages(sheet, set_up, rigs)
    clearance.check_lens(sheet, set_up, rigs, cameras)
    screen = clearance.check_screen(sheet, set_up.view)
    lens = set_up.view.lens
    needs = [Need("stage", stages)]
    needs += [Need("rig", rigs)] if rigs or wanted else []
    needs += [Need("camera", cameras)] if cameras else []
    needs += [Need("lens", (lens.id,))] if lens else []
    needs += [Need("screen", (screen.id,))] if screen else []
    build = _standing_build(sheet)
    needs += [Need("build", (build,))] if build else []
    needs += [Need("person", (name,)) for name in sheet.context.names("people")]
    return Floor(tuple(needs), _state(sheet, set_up, rigs))


def _stages(sheet: Worksheet, set_up: SetUp, rigs: Sequence[str]) -> tuple[str, ...]:
    named = sheet.context.names("stage")
    stages = [each for name in named if (each := sheet.context.resource(name)) is not None]
    stages = stages or list(sheet.context.show.resources_of("stage"))
    if not stages:
        sheet.miss("stage", rests="where it is photographed")
        return named
    build = sheet.context.show.elements.get(_standing_build(sheet))
    brought = hazards_in(build.facts) if build is not None else ()
    allowed = _that_allow(sheet, stages, (*hazards_of(sheet), *brought))
    roomy = _with_room(sheet, allowed, set_up)
    placed = _with_rig(sheet, roomy, rigs)
    return tuple(each.id for each in placed) or named


def _that_allow(sheet: Worksheet, stages: list[Resource], hazards: Sequence[str]) -> list[Resource]:
    words = {FORBIDDEN[each] for each in hazards if each in FORBIDDEN}
    good = [each for each in stages if not words & set(each.facts.words("forbids"))]
    if good:
        return good
    for stage in stages:
        *others, last = sorted(words & set(stage.facts.words("forbids")))
        clash = " and ".join(filter(None, (", ".join(others), last))).replace("_", " ")
        sheet.error(
            "stage-forbids",
            f"{stage.title} forbids {clash}",
            "take a stage that allows it, or make the effect without it",
            at="stage",
        )
    return stages


def _with_room(sheet: Worksheet, stages: list[Resource], set_up: SetUp) -> list[Resource]:
    story = _story_extent(sheet, set_up)
    if not story:
        return stages
    n = set_up.subject.scale.value
    needs = {stage.id: least_scale(story, stage.facts) for stage in stages}
    best = min(stages, key=lambda each: needs[each.id][0])
    limit, because = needs[best.id]
    if limit > 1:
        quantity = Quantity(
            "room on the stage", limit, "1:N", reason=because, inputs=tuple(story.values())
        )
        set_up.subject.bound_scale(sheet, quantity, "a larger stage", at_least=True)
    good = [each for each in stages if needs[each.id][0] <= n * (1 + 1e-9)]
    if not good:
        remedy = (
            f"build at {in_ratio(math.ceil(limit))} or smaller"
            if set_up.subject.build
            else "show less of it"
        )
        sheet.error(
            "stage-too-small",
            f"at {in_ratio(n)} it does not fit {best.title}: {because}, which fits from"
            f" {in_ratio_within(limit, at_least=True)}",
            f"{remedy}, or find a larger stage",
            at="stage",
        )
    return good or stages


def _story_extent(sheet: Worksheet, set_up: SetUp) -> dict[str, Quantity]:
    """Full-size sides of what must stand before the lens; the build's own where none is stated."""
    stated = sheet.element.facts.group("extent")
    build = sheet.context.show.elements.get(set_up.subject.build)
    sources = [stated, build.facts.group("full_size")] if build else [stated]
    for facts in sources:
        sides = {side: q for side in SIDES if (q := facts.number(side)) and q.value > 0}
        if sides:
            return sides
    if build:
        sheet.miss("extent", rests="which stages it fits")
    return {}


def least_scale(story: dict[str, Quantity], stage: Facts) -> tuple[float, str]:
    """Smallest N at which sides (mm, full size) fit a stage, set either way round, and why."""
    turned = {"width": "depth", "depth": "width", "height": "height"}
    ways = []
    for side_on in (SIDES, tuple(turned[side] for side in SIDES)):
        ratios = [
            (story[side].value / room.value, side, room.value)
            for side, against in zip(SIDES, side_on, strict=True)
            if side in story and (room := stage.number(against)) is not None and room.value > 0
        ]
        ways.append(max(ratios, default=(1e-9, "", 0.0)))
    least, side, room_mm = min(ways)
    if not side:
        return least, "no size of the stage is stated"
    return least, f"{story[side].value / 1000:g} m of {side} in {room_mm / 1000:g} m"


def _with_rig(sheet: Worksheet, stages: list[Resource], rigs: Sequence[str]) -> list[Resource]:
    """Stages on which one of the rigs, and the screen, can stand."""
    wanted = [*rigs[:1]] if len(rigs) == 1 else []
    wanted += [name] if (name := sheet.element.facts.word("screen")) else []
    for thing in wanted:
        resource = sheet.context.resource(thing)
        places = _one_or_many(resource.facts, "stages") if resource else ()
        good = [each for each in stages if not places or each.id in places]
        if not good:
            sheet.error(
                "not-on-that-stage",
                f"{thing} works on {' or '.join(places)}, not on"
                f" {' or '.join(each.id for each in stages)}",
                "name a stage it works on, or another one of its sort",
                at="stage",
            )
            continue
        stages = good
    return stages


def _one_or_many(facts: Facts, name: str) -> tuple[str, ...]:
    value = facts.values.get(name)
    return (value,) if isinstance(value, str) else facts.words(name)


def top_rate(sheet: Worksheet, view: View) -> float:
    """Highest rate any camera that would do runs at, fps; infinite where none states one."""
    rates = (each.facts.amount("top_rate", math.inf) for each in _that_would_do(sheet, view))
    return max(rates, default=math.inf)


def _that_would_do(sheet: Worksheet, view: View) -> list[Resource]:
    """The cameras named, else all of the view's format."""
    named = (sheet.context.resource(name) for name in sheet.context.names("camera"))
    return [each for each in named if each is not None] or [
        each
        for each in sheet.context.show.resources_of("camera")
        if each.facts.word("format") in {"", view.frame.slug}
    ]


def _cameras(sheet: Worksheet, set_up: SetUp) -> tuple[str, ...]:
    cameras = _that_would_do(sheet, set_up.view)
    if not cameras:
        sheet.miss("camera", rests="whether any camera reaches the rate")
        return sheet.context.names("camera")
    quick = _quick_enough(sheet, cameras, set_up)
    loaded = _with_magazine(sheet, quick, set_up.pass_feet)
    return tuple(each.id for each in loaded)


def _quick_enough(sheet: Worksheet, cameras: list[Resource], set_up: SetUp) -> list[Resource]:
    rates = {each.id: each.facts.amount("top_rate", math.inf) for each in cameras}
    best = max(cameras, key=lambda each: rates[each.id])
    top, wanted = rates[best.id], set_up.rate.value
    shown = set_up.view.frame_rate.value
    limit = (top / shown) ** 2
    if set_up.gravity and shown <= top < math.inf:
        quantity = Quantity(
            "top rate of the camera", limit, "1:N", reason=f"({top:g} / {shown:g}) squared"
        )
        set_up.subject.bound_scale(sheet, quantity, "a faster camera")
    good = [each for each in cameras if rates[each.id] >= wanted * (1 - 1e-9)]
    if not good:
        remedy = f"find a camera that runs at {math.ceil(wanted - 1e-9)} fps"
        if set_up.gravity:
            is_built = bool(set_up.subject.build)
            remedy = built_larger(math.floor(limit), remedy, is_built=is_built)
        sheet.error(
            "rate-over-camera",
            f"it is to be shot at {wanted:.4g} fps and {best.title} stops at {top:g} fps",
            remedy,
            at="rate",
        )
    return good or cameras


def _with_magazine(
    sheet: Worksheet, cameras: list[Resource], feet: Quantity | None
) -> list[Resource]:
    if feet is None:
        return cameras
    loads = {c.id: c.facts.amount("magazine", math.inf) / MM_PER_FOOT for c in cameras}
    good = [each for each in cameras if loads[each.id] >= feet.value]
    if not good:
        best = max(cameras, key=lambda each: loads[each.id])
        sheet.error(
            "take-longer-than-magazine",
            f"one pass runs {feet.value:,.0f} ft and {best.title} holds {loads[best.id]:,.0f} ft",
            "roll for a shorter time, shoot slower, or fit a larger magazine",
            at="takes",
        )
    return good or cameras


def _standing_build(sheet: Worksheet) -> str:
    """The build before the camera: its own, or that of what it is another pass of; empty for none.

    Another pass is exposed on the same set, which is kept for it.
    """
    known = sheet.context.show.elements
    passes = (known.get(sheet.element.target(role)) for role in PASS_OF)
    every = (sheet.element, *(each for each in passes if each is not None))
    return next((build for each in every if (build := each.target("build"))), "")


def _state(sheet: Worksheet, set_up: SetUp, rigs: Sequence[str]) -> str:
    """How the stage stands: what is built, at what scale, before which lens, on which rig."""
    view = set_up.view
    lens = view.lens.id if view.lens else (f"{view.focal.value:g} mm" if view.focal else "")
    what = _standing_build(sheet) or sheet.element.id
    scale = f"1/{set_up.subject.scale.value:g}" if set_up.grounded else ""
    parts = [what, scale, lens, " or ".join(_first_alike(sheet, rigs))]
    return " ".join(part for part in parts if part)


def _first_alike(sheet: Worksheet, rigs: Sequence[str]) -> Iterable[str]:
    """Rigs by the first of the show that is like each: what stands before one does before all.

    What comes to the show later, such as a hired one, is none to call the others by.
    """
    show = sheet.context.show
    known = sorted(show.resources_of("rig"), key=lambda rig: rig.facts.day("from") is not None)
    things = (show.resources.get(name) for name in rigs)
    firsts = (next((x.id for x in known if each and is_like(x, each)), "") for each in things)
    return dict.fromkeys(first or name for first, name in zip(firsts, rigs, strict=True))
