"""Builds: hours, masses, choices, drawings and use."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from planner.kinds.testing import check_estimate, check_kind, numbers_stated
from planner.model.facts import Money
from planner.model.place import Severity
from planner_plugins.build import Build

M = 1000.0  # mm in a metre


@pytest.fixture
def made(make, quantity):
    """A dam: 48 m wide, 24 m deep, 24 m high, at 1/24, drawn, used by a live shot."""

    def build(facts=None, **changes):
        stated = {
            "makes": "miniature",
            "scale": quantity(24, "1:N"),
            "full_size": {
                "width": quantity(48 * M, "mm"),
                "depth": quantity(24 * M, "mm"),
                "height": quantity(24 * M, "mm"),
            },
            "detail": "medium",
            "drawing": "D12 revision C",
            "materials": Money(Decimal(1200), "GBP"),
        }
        stated.update(facts or {})
        users = {"S010.wide": ("miniature", {"build": "dam", "stage": "north"})}
        return make(
            "build",
            {name: value for name, value in stated.items() if value is not None},
            identity="dam",
            elements=changes.pop("elements", users),
            **changes,
        )

    return build


def estimate(context):
    return Build().estimate(context)


def codes(found):
    return {each.code for each in found.problems}


def work_of(found):
    return {each.name: each for each in found.work}


def test_it_keeps_to_the_door(made, quantity) -> None:
    contexts = [
        made(),
        made({"scale": None, "candidates": (quantity(3, "1:N"), quantity(4, "1:N"))}),
        made({"full_size": None, "materials": None, "drawing": None, "scale": None}),
        made({"hours": {"model_making": {"likely": quantity(40, "h")}}}),
        made({"makes": "rig"}, elements={}),
    ]
    check_kind(Build(), contexts)


def test_hours_go_by_surface_at_scale(made) -> None:
    # At 1/24: 2 x 1 x 1 m: 2 + 2 + 2 x 1 = 6 m2; 24 + 25 x 6 = 174 h; painting a quarter: 43.5 h.
    found = estimate(made())
    assert found.quantities["surface"].value == pytest.approx(6)
    assert found.quantities["labour of making"].value == pytest.approx(174)
    assert found.quantities["labour of painting it"].value == pytest.approx(43.5)
    assert codes(found) == {"nothing-shows-scale"}


def test_a_team_shares_the_labour(made) -> None:
    # 174 / 24 = 7.25 pairs of hands are worth while, three have room: 58 h each, 174 in all.
    work = work_of(estimate(made()))["make"]
    assert work.heads == 3
    assert work.hours.likely == pytest.approx(58)


def test_a_team_is_no_larger_than_the_crew(made) -> None:
    crew = {"modellers": {"sort": "crew", "craft": "model_making", "capacity": 2}}
    assert work_of(estimate(made(resources=crew)))["make"].heads == 2


def test_copies_and_a_spare_cost_less_than_the_first(made, quantity) -> None:
    # Two copies and a spare: 1 + 2 x .6 = 2.2 times 174 h.
    found = estimate(made({"copies": quantity(2), "spare": True}))
    assert found.quantities["labour of making"].value == pytest.approx(174 * 2.2)


def test_stated_hours_are_kept_by_craft_in_order(made, quantity) -> None:
    hours = {
        "art_department": {"likely": quantity(10, "h")},
        "model_making": {"low": quantity(80, "h"), "likely": quantity(100, "h")},
    }
    found = estimate(made({"hours": hours}))
    work = work_of(found)
    assert work["art department"].hours.likely == 10
    assert work["art department"].hours.high == pytest.approx(14)  # 10 x 1.4
    assert work["model making"].after == ("art department",)
    # 100 / 24 = 4.2, three have room: 80/3, 100/3, 140/3.
    assert work["model making"].hours.low == pytest.approx(80 / 3)
    assert work["model making"].hours.high == pytest.approx(140 / 3)


def test_an_undecided_scale_tells_what_each_candidate_weighs(made, quantity, finding) -> None:
    # 3.5 kg at 1/6: at 1/3 28 kg, 1/4 11.81 kg, 1/5 6.048 kg; rods bear 8 kg.
    candidates = tuple(quantity(n, "1:N") for n in (3, 4, 5))
    found = estimate(
        made(
            {
                "makes": "puppet",
                "scale": None,
                "candidates": candidates,
                "mass": quantity(3.5, "kg"),
                "mass_at": quantity(6, "1:N"),
                "most_mass": quantity(8, "kg"),
            }
        )
    )
    told = finding(found, "scale-undecided")
    assert "1:3 (28 kg), 1:4 (11.8 kg), 1:5 (6.05 kg)" in told.message
    assert "1:5 is the largest" in told.remedy


def test_stated_hours_that_do_not_rise_are_told(made, finding, quantity) -> None:
    # Forty at the least and thirty as a rule: put in order they are 30, 40 and 42 (30 x 1.4).
    hours = {"model_making": {"low": quantity(40, "h"), "likely": quantity(30, "h")}}
    found = estimate(made({"hours": hours}))
    assert "40, 30 and 42 do not rise" in finding(found, "hours-out-of-order").message
    proof = {"likely": quantity(8, "h"), "high": quantity(6, "h")}
    told = finding(estimate(made({"proof": proof})), "hours-out-of-order")
    assert told.remedy == "write them as low: 6 h up to high: 8 h"


def test_an_undecided_scale_widens_the_hours(made, quantity) -> None:
    # Surface 6 m2 at 1/24 and 6 x 4 = 24 m2 at 1/12: low 12 + 15 x 6 = 102, high 48 + 45 x 24.
    candidates = (quantity(24, "1:N"), quantity(12, "1:N"))
    work = work_of(estimate(made({"scale": None, "candidates": candidates})))["make"]
    labour = [each * work.heads for each in (work.hours.low, work.hours.likely, work.hours.high)]
    assert labour == pytest.approx([102, 174, 1128])


def test_a_scale_larger_than_life_is_asked_about(made, quantity, finding) -> None:
    # 24/1 is N = 1/24: twenty-four times full size. Full size itself is nothing to ask about.
    asked = finding(estimate(made({"scale": quantity(1 / 24, "1:N")})), "larger-than-life")
    assert asked.severity is Severity.NOTE
    assert "at 24:1 it is made larger than life" in asked.message
    assert "write 1/24" in asked.remedy
    full = estimate(made({"scale": quantity(1, "1:N")}))
    assert "larger-than-life" not in codes(full)


def test_a_build_without_any_scale_is_an_error(made, finding) -> None:
    assert (
        finding(estimate(made({"scale": None})), "build-without-scale").severity is Severity.ERROR
    )


def test_a_mechanism_bounds_the_scale(made, quantity, finding) -> None:
    # 900 mm of room and 60 mm of mechanism: N = 15; at 1/24 there are 37.5 mm.
    facts = {"mechanism": quantity(60, "mm"), "cavity": quantity(900, "mm")}
    found = estimate(made(facts))
    assert found.bounds[0].limit.value == 15
    assert not found.bounds[0].at_least
    assert "38 mm inside" in finding(found, "mechanism-will-not-fit").message


def test_no_drawing_and_no_sample_is_an_error(made, finding) -> None:
    told = finding(estimate(made({"drawing": None})), "build-without-drawing")
    assert told.severity is Severity.ERROR
    sample = made({"drawing": None, "sample": "S2"})
    assert "build-without-drawing" not in codes(estimate(sample))


def test_charges_are_the_sums_stated(made) -> None:
    found = estimate(made({"freight": Money(Decimal(90), "GBP")}))
    assert [(each.name, each.amount.amount) for each in found.charges] == [
        ("materials", 1200),
        ("freight", 90),
    ]


def test_a_build_of_an_omitted_shot_stays_as_a_dead_cost(made, finding) -> None:
    found = estimate(made(state="omitted"))
    told = finding(found, "built-and-not-used")
    assert "S010 (omitted)" in told.message
    assert found.work
    assert found.charges


def test_a_build_nobody_names_is_told(made, finding) -> None:
    told = finding(estimate(made(elements={})), "built-and-not-used")
    assert "nothing in the show names it" in told.message


def test_one_build_wanted_on_two_stages_is_told(made, quantity, finding) -> None:
    users = {
        "S010.wide": ("miniature", {"build": "dam", "stage": "north"}),
        "S020.close": ("miniature", {"build": "dam", "stage": ("south", "west")}),
    }
    told = finding(estimate(made(elements=users)), "one-build-two-stages")
    assert "on north for S010.wide, on south or west for S020.close" in told.message
    two = estimate(made({"copies": quantity(2)}, elements=users))
    assert "one-build-two-stages" not in codes(two)


def test_one_puppet_behind_many_elements_is_told(made, finding) -> None:
    users = {f"S0{n}0.it": ("puppet", {"build": "dam"}) for n in range(1, 8)}
    told = finding(estimate(made({"makes": "puppet"}, elements=users)), "many-rest-on-one")
    assert "7 elements of 7 live shots" in told.message
    assert "many-rest-on-one" not in codes(estimate(made(elements=users)))
    spare = estimate(made({"makes": "puppet", "spare": True}, elements=users))
    assert "many-rest-on-one" not in codes(spare)


@pytest.fixture
def face(made):
    """One of two clock faces competing for a place."""

    def build(mine=None, other=None, **changes):
        rival = {"makes": "miniature", "candidate_for": "clock face", **(other or {})}
        elements = {
            "S010.wide": ("miniature", {"build": "dam"}),
            "tin": ("build", rival),
        }
        return made({"candidate_for": "clock face", **(mine or {})}, elements=elements, **changes)

    return build


def pounds(amount):
    return Money(Decimal(amount), "GBP")


def test_no_choice_yet_tells_what_is_owed_at_worst(face, finding) -> None:
    # Of 400 and 300 one is chosen; at worst the other, 400, is owed.
    found = estimate(face({"terms": pounds(400)}, {"terms": pounds(300)}))
    assert "up to 400.00 GBP" in finding(found, "candidate-not-chosen").message
    assert "terms-unpaid" not in codes(found)


def test_two_choices_are_an_error(face, finding) -> None:
    found = estimate(face({"chosen": True}, {"chosen": True}))
    assert finding(found, "two-candidates-chosen").severity is Severity.ERROR


def test_terms_nobody_settled_are_told(face, finding) -> None:
    assert "owns it" in finding(estimate(face()), "terms-unpaid").remedy


def test_a_candidate_passed_over_costs_its_terms_only(face) -> None:
    found = estimate(face({"terms": pounds(400)}, {"chosen": True}))
    assert found.work == ()
    assert [each.amount.amount for each in found.charges] == [400]


def test_proof_follows_making_and_drying(made, quantity) -> None:
    proof = {"likely": quantity(8, "h"), "high": quantity(16, "h")}
    work = work_of(estimate(made({"proof": proof, "drying": quantity(24, "h")})))
    assert work["prove"].after == ("paint",)
    assert work["paint"].wait_hours == 24
    assert work["prove"].hours.high == 16


def test_a_board_dries_as_long_as_the_painting_photographed_of_it_says(made, quantity) -> None:
    def wait(own: float | None, *stated: float) -> float:
        users = {
            f"S010.sky{at}": ("painting", {"build": "dam", "drying": quantity(hours, "h")})
            for at, hours in enumerate(stated)
        }
        mine = {"makes": "painting", "drying": None if own is None else quantity(own, "h")}
        return work_of(estimate(made(mine, elements=users)))["make"].wait_hours

    assert wait(None, 12) == 12
    # The longest of all: the same board is not photographed in one shot while wet for another.
    assert wait(8, 12, 30) == 30
    assert wait(40, 12) == 40
    assert wait(None) == 0


def test_a_rig_without_proof_is_told(made) -> None:
    assert "rig-unproven" in codes(estimate(made({"makes": "rig"})))


def test_a_thing_bought_is_only_received(made) -> None:
    found = estimate(made({"ready": date(2027, 3, 1)}))
    assert set(work_of(found)) == {"receive and check"}


@pytest.mark.parametrize(("name", "unit"), numbers_stated(Build()))
def test_nothing_at_all_is_no_fault_of_the_kind(made, quantity, name, unit) -> None:
    context = made({name: quantity(0, unit)})
    check_estimate(estimate(context), context)


def test_a_proof_nobody_witnesses_is_noted(made, quantity) -> None:
    proof = {"proof": {"likely": quantity(8, "h")}}
    assert "proof-without-witness" in codes(estimate(made(proof)))
    witnessed = estimate(made({**proof, "witness": "the effects supervisor"}))
    assert "proof-without-witness" not in codes(witnessed)


def test_of_one_alone_no_share_of_a_further_copy_is_assumed(made, quantity) -> None:
    def rests_on(found) -> set[str]:
        ahead, names = [found.quantities["labour of making"]], set()
        while ahead:
            each = ahead.pop()
            names.add(each.name)
            ahead += each.inputs
        return names

    # 1 + 0 x .6 is 1 whatever the share: nothing rests on it until a second is made.
    share = "a further copy, as a share of the first"
    assert share not in rests_on(estimate(made()))
    assert share in rests_on(estimate(made({"copies": quantity(2)})))
