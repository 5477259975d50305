"""What is ticked off before a set is struck, and whose decision each hazard is."""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.craft.cautions import CAUTIONS
from planner.kinds import Estimate, Need, Phase, Work
from planner.kinds.estimate import Hours
from planner.kinds.strike import (
    cautions,
    checks_before_strike,
    hazards_of_pieces,
    hazards_on_floor,
    lit_alone,
)
from planner.model.quantity import Quantity

NOTHING = Estimate("S010.it")


def on_stage(hours: float) -> Estimate:
    reason = Quantity("hours", hours, "h")
    work = Work("photograph", "camera", Phase.STAGE, Hours(hours, hours, hours), reason)
    return Estimate("S010.it", (work,))


def has(context, words: str, estimate: Estimate = NOTHING) -> bool:
    return any(words in each for each in checks_before_strike(context, estimate))


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        ({"rods": [{"name": "waist"}]}, "rods used written down"),
        ({"rods": [{"name": "waist"}]}, "clean plate on the same program"),
        ({"contacts": [{"with": "roof"}]}, "contact marks measured"),
        ({"screen": "blue"}, "screen and subject metered apart"),
        ({"passes": ("beauty", "matte")}, "matte pass on the same program"),
        ({"hazards": ("smoke",)}, "smoke level logged"),
        ({"hazards": ("flame",)}, "released by the licensed person"),
        ({"one_off": True}, "spare ready"),
        ({"action": "gravity"}, "a take either side of the reckoned rate"),
        ({"move_from": "S010.glide"}, "program saved"),
        ({"lit_with": "S010.fire"}, "cue frame of the light of S010.fire"),
        ({"held_out_by": "S010.tower"}, "edge laid over S010.tower"),
        ({"hands_over_to": "S010.double"}, "hands over to S010.double"),
    ],
)
def test_a_technique_brings_its_check_and_nothing_else_does(make, facts, words: str) -> None:
    assert has(make("puppet", facts), words)
    assert not has(make("puppet", {}), words)


@pytest.mark.parametrize(("scale", "is_asked"), [(12, True), (1, False)])
def test_a_rate_by_gravity_is_wedged_whether_or_not_the_action_is_stated(
    make, scale: float, *, is_asked: bool
) -> None:
    # Of full size the root of the scale is 1: the rate is the one shown, and nothing to try.
    inputs = (Quantity("rate shown", 24, "fps"), Quantity("scale", scale, "1:N"))
    rate = Quantity("gravity rate", 24 * scale**0.5, "fps", inputs=inputs)
    found = Estimate("S010.it", quantities={"gravity rate": rate})
    event = {"event": Quantity("event", 3, "s")}
    assert has(make("miniature", event), "as a wedge", found) is is_asked
    assert not has(make("plate", event), "as a wedge")


def test_rates_of_a_wedge_that_are_listed_are_not_asked_for_again(make) -> None:
    rates = tuple(Quantity("wedge", each, "fps") for each in (36, 48))
    context = make("effect", {"action": "gravity", "wedge": rates})
    assert has(context, "at each rate of the wedge, 36, 48 fps; chosen: ____")
    assert not has(context, "a take either side")
    # A wedge of exposures says nothing of rates.
    lit = make("light_pass", {"wedge": (Quantity("wedge", 2, "s"),)})
    assert not has(lit, "each rate of the wedge")


def test_a_kind_brings_its_own_checks(make) -> None:
    assert has(make("plate", {}), "plate report whole")
    assert has(make("painting", {}), "protection copy")
    assert has(make("shadow", {}), "receiver's planes")
    assert not has(make("miniature", {}), "plate report")


def test_every_set_is_measured_greyed_and_seen_in_print(make) -> None:
    assert len(checks_before_strike(make("kite", {}), NOTHING)) == 3


def test_others_that_rest_on_it_are_named(make) -> None:
    others = {
        "S010.clean": ("plate", {"clean_of": "S010.it"}),
        "S010.fall": ("shadow", {"shadow_of": "S010.it"}),
    }
    context = make("plate", {}, elements=others)
    assert has(context, "clean plate S010.clean")
    assert has(context, "written down for S010.fall")


def test_hazards_stated_are_cautioned_in_the_words_of_the_trade(make) -> None:
    context = make("miniature", {"hazards": ("flame", "overhead_load")})
    assert cautions(context, NOTHING) == (CAUTIONS["flame"], CAUTIONS["overhead_load"])


def test_a_set_up_brings_hazards_nobody_stated(make) -> None:
    assert hazards_on_floor(make("plate", {}), NOTHING) == ()
    assert hazards_on_floor(make("plate", {"passes": ("smoke",)}), NOTHING) == ("smoke",)
    assert hazards_on_floor(make("plate", {"move_from": "S010.m"}), NOTHING) == ("moving_rig",)
    assert hazards_on_floor(make("plate", {}), on_stage(2)) == ()
    lamps = make("light_pass", {"watts": Quantity("watts", 20, "W")})
    assert hazards_on_floor(lamps, on_stage(2)) == ("electricity",)
    # The day of this show has ten hours.
    assert hazards_on_floor(make("plate", {}), on_stage(10.5)) == ("long_hours",)


def lit_on(*stages: str) -> Estimate:
    (photograph,) = on_stage(2).work
    needs = (Need("stage", stages),) if stages else ()
    return Estimate("S010.it", (replace(photograph, set_up="town 1/24", needs=needs),))


@pytest.mark.parametrize(
    ("stages", "is_told"),
    [(("north",), True), (("lot",), False), (("lot", "north"), True), ((), True)],
)
def test_a_set_up_nobody_states_lamps_for_is_lit_unless_the_sun_does(
    make, stages: tuple[str, ...], *, is_told: bool
) -> None:
    resources = {"north": {"sort": "stage"}, "lot": {"sort": "stage", "by_daylight": True}}
    context = make("miniature", {}, resources=resources)
    told = ("electricity",) if is_told else ()
    assert hazards_on_floor(context, lit_on(*stages)) == told
    assert cautions(context, lit_on(*stages)) == tuple(CAUTIONS[each] for each in told)
    # Lamps that somebody states are cautioned by daylight as well.
    lamps = make("miniature", {"watts": Quantity("watts", 20, "W")}, resources=resources)
    assert hazards_on_floor(lamps, lit_on(*stages)) == ("electricity",)


def test_what_lamps_alone_bring_is_cautioned_on_the_card(make) -> None:
    """A card may be pinned up where no call sheet is."""
    light = {"light": Quantity("light", 900, "lx")}
    assert cautions(make("plate", light), NOTHING) == (CAUTIONS["electricity"],)
    rain = make("plate", {**light, "hazards": ("water",)})
    assert cautions(rain, NOTHING) == (CAUTIONS["water"], CAUTIONS["electricity"])
    assert cautions(make("plate", {}), NOTHING) == ()


@pytest.mark.parametrize(
    ("facts", "is_alone"),
    [
        ({"light": Quantity("light", 900, "lx")}, True),
        ({"light": Quantity("light", 900, "lx"), "hazards": ("electricity",)}, False),
        ({}, False),
    ],
)
def test_an_order_may_tell_once_what_lamps_alone_bring(make, facts, is_alone: bool) -> None:
    context, told = make("plate", facts), {"S010.it": on_stage(2)}
    hazards = hazards_of_pieces(context.show, told)
    assert lit_alone(context.show, told, hazards) == ({"S010.it"} if is_alone else set())


def test_what_is_held_on_the_floor_brings_its_own_hazards(make) -> None:
    dam = {"dam": {"makes": "miniature", "hazards": ("chemicals",)}}
    context = make("plate", {}, builds=dam)
    reason, hours = Quantity("hours", 2, "h"), Hours(2, 2, 2)
    held = (Need("build", ("dam",)),)

    def needing(phase: Phase) -> Estimate:
        return Estimate("S010.it", (Work("do it", "stage", phase, hours, reason, needs=held),))

    assert hazards_on_floor(context, needing(Phase.STAGE)) == ("chemicals",)
    assert hazards_on_floor(context, needing(Phase.BUILD)) == ()
    told = {"S010.it": needing(Phase.STAGE), "dam": needing(Phase.BUILD)}
    # The dam is made in the shop: nobody stands on the floor for it.
    assert hazards_of_pieces(context.show, told) == {"S010.it": ("chemicals",)}


def test_flame_is_cautioned_on_the_card_by_being_flame(make) -> None:
    flame = make("effect", {"sort": "flame"})
    assert cautions(flame, NOTHING) == (CAUTIONS["flame"],)
    assert has(flame, "released by the licensed person")


def test_every_caution_defers_to_local_codes(make) -> None:
    every = make("miniature", {"hazards": tuple(CAUTIONS)})
    told = cautions(every, NOTHING)
    assert len(told) == len(CAUTIONS)
    assert all("local codes" in each for each in told)
