"""What must be checked before a set is struck, and what on it can hurt someone.

Takes one element with its estimate, gives sentences. The checks are common practice with no source;
what is safe is never judged here: local codes and licensed people decide. Knows nothing of cards.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.craft.cautions import CAUTIONS
from planner.kinds.context import Context
from planner.kinds.estimate import FLOOR, Phase
from planner.kinds.move import is_moving
from planner.kinds.subject import hazards_in

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from planner.kinds.estimate import Estimate, Work
    from planner.model.show import Show


BY_LAMPS = "electricity"
"""Hazard of whatever is lit, which an order tells once for a stage unless somebody states it."""
LIGHT = ("light", "lamps", "watts")
"""Facts that say that it is lit."""
BY_DAY = "by_daylight"
"""Fact of a stage in the open, where the sun lights what nobody states lamps for."""


def hazards_of_pieces(show: Show, estimates: Mapping[str, Estimate]) -> dict[str, tuple[str, ...]]:
    """By element with work on the floor, its hazards there; every page tells these and no others.

    Args:
        show: with the elements.
        estimates: by id of the element, from its kind.
    """
    return {
        id_: hazards_on_floor(Context(show, show.elements[id_], {}, {}), estimate)
        for id_, estimate in estimates.items()
        if id_ in show.elements and any(work.phase in FLOOR for work in estimate.work)
    }


def hazards_on_floor(context: Context, estimate: Estimate) -> tuple[str, ...]:
    """Hazards stated and implied, and those the set-up brings, in the order of `CAUTIONS`.

    What is held before it brings its own. A set-up on a stage brings electricity, and so do light,
    lamps or watts stated anywhere; a move brings a moving rig, a stretch longer than the day long
    hours.
    """
    facts, found = context.element.facts, _told_of(context, estimate)
    if is_moving(context.element):
        found.add("moving_rig")
    on_stage = [work for work in estimate.work if work.phase is Phase.STAGE]
    if any(facts.has(name) for name in LIGHT) or any(_is_lit(context, each) for each in on_stage):
        found.add(BY_LAMPS)
    if any(work.hours.likely > context.show.calendar.day_hours for work in on_stage):
        found.add("long_hours")
    return tuple(each for each in CAUTIONS if each in found)


def _is_lit(context: Context, work: Work) -> bool:
    """Whether people hang lamps for it though nobody states them: for all but a set-up by day."""
    names = (name for need in work.needs if need.sort == "stage" for name in need.options)
    stages = [known for name in names if (known := context.resource(name)) is not None]
    is_by_day = bool(stages) and all(each.facts.flag(BY_DAY) for each in stages)
    return bool(work.set_up) and not is_by_day


def builds_on_floor(estimate: Estimate) -> tuple[str, ...]:
    """Ids of the builds that its work on the floor holds, each once, as first named."""
    needs = (need for work in estimate.work if work.phase in FLOOR for need in work.needs)
    held = (each for need in needs if need.sort == "build" for each in need.options)
    return tuple(dict.fromkeys(held))


def _told_of(context: Context, estimate: Estimate) -> set[str]:
    """Hazards that somebody states, of the element or of what is held before it."""
    elements = context.show.elements
    builds = (elements[each] for each in builds_on_floor(estimate) if each in elements)
    of_builds = (each for build in builds for each in hazards_in(build.facts))
    return {*hazards_in(context.element.facts), *of_builds}


def lit_alone(
    show: Show, estimates: Mapping[str, Estimate], hazards: Mapping[str, Sequence[str]]
) -> frozenset[str]:
    """Elements to which lamps alone bring electricity, as they do to nearly every set-up.

    Where calls stand under one another, a caution at each of them is read at none.

    Args:
        show: with the elements.
        estimates: by id of the element, from its kind.
        hazards: as `hazards_of_pieces` has them of the same.
    """
    lit = (id_ for id_, found in hazards.items() if BY_LAMPS in found)
    return frozenset(
        id_
        for id_ in lit
        if BY_LAMPS not in _told_of(Context(show, show.elements[id_], {}, {}), estimates[id_])
    )


def cautions(context: Context, estimate: Estimate) -> tuple[str, ...]:
    """One sentence for each hazard on the floor; each hands the decision to who may take it.

    What its lamps alone bring is one of them: a card may be pinned up where no call sheet is.
    """
    return tuple(CAUTIONS[each] for each in hazards_on_floor(context, estimate))


def checks_before_strike(context: Context, estimate: Estimate) -> tuple[str, ...]:
    """What to tick off while the set still stands; blanks are to be filled in by hand."""
    traits = _traits(context) | _reckoned_traits(estimate)
    listed = _wedge_listed(context)
    traits -= {"gravity"} if listed else frozenset()
    usual = (text for trait, text in CHECKS if trait in traits)
    return (*usual, *listed, *_named(context), *_learnt(context, traits))


CHECKS = (
    ("any", "grey scale and colour reference photographed in this light, slate in frame"),
    ("any", "measure sheet: lens height, tilt, distance, focus, marks on the floor"),
    (
        "plate",
        (
            "plate report whole: camera facts, lens serial, stock, filter, weather, measured"
            " sizes, plan of sun or lamps"
        ),
    ),
    ("moving", "program saved; its revision on slate and here: ____; zero marks logged"),
    ("matte", "matte pass on the same program, nothing touched since the beauty pass"),
    ("rods", "rods used written down take by take, with frames; roto told of any added"),
    ("contacts", "contact marks measured against the fixture, the fixture still in place"),
    ("screen", "screen and subject metered apart: screen ____ subject ____"),
    ("blue_screen", "no spill on the subject's edge; screen covers the field to its corners"),
    ("black_drape", "nothing of the drape reads in the print's blacks"),
    ("clean plate", "clean plate on the same program, before anything is moved"),
    ("smoke", "smoke level logged for each take: ____; settled between takes"),
    ("flame", "set released by the licensed person in charge: ____"),
    ("gravity", "a take either side of the reckoned rate, as a wedge: ____ and ____ fps"),
    ("one_off", "spare ready, or every other pass in the can before the action"),
    ("painting", "protection copy photographed before any repainting; grey card beside it"),
    ("painting", "board square to the lens at both framings; colours against the plate's print"),
    ("shadow", "receiver's planes measured; lamp's place and height plotted: ____"),
    ("any", "wedge read and a print of the kept take seen before the set is struck"),
)
"""Trait of an element, and what it asks for; common practice, no source."""


def _traits(context: Context) -> frozenset[str]:
    element, facts = context.element, context.element.facts
    stated = {name for name in ("rods", "contacts") if facts.groups(name)}
    stated |= {"one_off"} if facts.flag("one_off") else set()
    stated |= {"screen"} if facts.has("screen") else set()
    stated |= {"moving"} if is_moving(element) else set()
    stated |= {"clean plate"} if "rods" in stated or element.target("clean_plate") else set()
    words = (*facts.words("passes"), *hazards_in(facts), facts.word("sort"))
    return frozenset({"any", element.kind, facts.word("action"), *words, *stated})


def _reckoned_traits(estimate: Estimate) -> frozenset[str]:
    """What only the reckoning knows: a rate by gravity, whether or not the action is stated so."""
    rate = estimate.quantities.get("gravity rate")
    is_slowed = rate is not None and any(
        each.unit == "1:N" and each.value > 1 for each in rate.inputs
    )
    return frozenset({"gravity"}) if is_slowed else frozenset()


def _wedge_listed(context: Context) -> tuple[str, ...]:
    """The rates of a wedge that somebody has listed, in place of two to be filled in."""
    wedge = context.element.facts.numbers("wedge")
    rates = ", ".join(f"{each.value:g}" for each in wedge if each.unit == "fps")
    return (f"a take at each rate of the wedge, {rates} fps; chosen: ____",) if rates else ()


def _named(context: Context) -> Iterator[str]:
    """Checks that name other things of the show."""
    element = context.element
    for other in element.targets("held_out_by"):
        yield f"its edge laid over {other}, which is held out of it, in a check composite"
    for other in element.targets("lit_with"):
        yield f"cue frame of the light of {other}, on the slate and here: ____"
    if handed := element.target("hands_over_to"):
        yield f"place and size at the frame it hands over to {handed}, measured"
    for user in context.users("clean_of"):
        yield f"clean plate {user.id} from the same place and on the same program"
    for user in context.users("shadow_of"):
        yield f"place of lamp and height of caster written down for {user.id}"


def _learnt(context: Context, traits: frozenset[str]) -> Iterator[str]:
    """Checks the show has added from what it once missed."""
    for check in context.show.facts.groups("checks"):
        if check.word("of", "any") in traits:
            since = check.word("since")
            yield f"{check.word('ask')}{f' (since {since})' if since else ''}"
