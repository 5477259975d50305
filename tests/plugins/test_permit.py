from __future__ import annotations

from datetime import date
from decimal import Decimal

from planner.kinds import Phase
from planner.kinds.sentences import listed
from planner.kinds.waiting import resting_on, shots_of
from planner.model.facts import Money
from planner.model.names import counted
from planner.model.place import Severity
from planner_plugins.permit import Permit

FIRE = {"for": "the barge fire", "from": "the county fire officer"}


def test_a_permit_not_in_hand_warns_with_its_day_and_what_waits(make, finding) -> None:
    context = make(
        "permit",
        {**FIRE, "expected": date(2027, 3, 1)},
        identity="fire_permit",
        elements={"S010.barge": ("plate", {"waits_for": "fire_permit"})},
    )
    told = finding(Permit().estimate(context), "permit-not-in-hand")
    assert told.severity is Severity.WARNING
    assert "2027-03-01" in told.message
    assert "1 live element waits for it (S010.barge)" in told.message
    assert "the county fire officer" in told.remedy


def test_a_permit_in_hand_needs_no_work_and_says_nothing(make) -> None:
    estimate = Permit().estimate(make("permit", {**FIRE, "in_hand": True}, identity="p"))
    assert estimate.work == ()
    assert estimate.problems == ()


def test_an_expected_day_is_counted_from_the_first_day_of_the_show(make) -> None:
    context = make("permit", {**FIRE, "expected": date(2027, 1, 25)}, identity="p")
    estimate = Permit().estimate(context)
    # The show starts on 2027-01-04: 25 - 4 = 21 days.
    assert estimate.quantities["day the permit is expected"].value == 21
    assert [each.name for each in estimate.work] == ["read and file the permit"]
    assert estimate.work[0].hours.likely == 0.25


def test_without_a_day_it_is_first_asked_for_and_the_day_is_missing(make) -> None:
    estimate = Permit().estimate(make("permit", FIRE, identity="p"))
    waits = "read and file the permit, its day not known"
    assert [each.name for each in estimate.work] == ["ask for the permit", waits]
    assert estimate.work[1].after == ("ask for the permit",)
    assert [each.name for each in estimate.missing] == ["expected"]


def test_work_fixed_before_the_permit_is_expected_is_an_error(make, finding) -> None:
    context = make(
        "permit",
        {**FIRE, "expected": date(2027, 3, 9)},
        identity="p",
        elements={
            "S010.barge": ("plate", {"waits_for": "p", "day": date(2027, 3, 4)}),
            "S010.later": ("plate", {"waits_for": "p", "day": date(2027, 3, 9)}),
        },
    )
    told = finding(Permit().estimate(context), "permit-too-late")
    assert told.severity is Severity.ERROR
    assert "S010.barge" in told.message
    assert "5 days before" in told.message  # 9 - 4 March


def test_a_fee_is_charged_as_stated(make) -> None:
    fee = Money(Decimal("350.00"), "GBP")
    estimate = Permit().estimate(make("permit", {**FIRE, "cost": fee}, identity="p"))
    assert [(each.amount, each.phase) for each in estimate.charges] == [(fee, Phase.PREPARE)]


def test_cover_asked_for_is_remarked(make, finding) -> None:
    facts = {**FIRE, "in_hand": True, "cover": "two fire hands and a medic"}
    told = finding(Permit().estimate(make("permit", facts, identity="p")), "cover-asked-for")
    assert "two fire hands and a medic" in told.message
    assert told.severity is Severity.NOTE


def test_things_rest_through_others_but_not_in_shots_no_longer_wanted(make) -> None:
    others = {
        "barge": ("build", {"waits_for": "p"}),
        "S010.barge": ("miniature", {"build": "barge"}),
        "S020.barge": ("miniature", {"build": "barge"}),
        "S020.other": ("miniature", {}),
    }
    context = make("permit", FIRE, identity="p", elements=others)
    assert [each.id for each in resting_on(context)] == ["S010.barge", "S020.barge"]
    assert shots_of(resting_on(context)) == ("S010", "S020")
    omitted = make("permit", FIRE, identity="p", elements=others, state="omitted")
    assert resting_on(omitted) == ()


def test_long_lists_are_cut_with_a_count() -> None:
    assert listed(["a", "b"]) == "a, b"
    assert listed(["a", "b", "c", "d", "e", "f"]) == "a, b, c, d and 2 more"
    assert (counted(1, "shot"), counted(3, "shot")) == ("1 shot", "3 shots")


def fire(make, permit, **elements):
    waiting = {name: ("plate", {"waits_for": "p", **facts}) for name, facts in elements.items()}
    return Permit().estimate(
        make(
            "permit",
            {**FIRE, **permit},
            identity="p",
            elements={f"S010.{k}": v for k, v in waiting.items()},
        )
    )


def test_a_permit_expected_a_few_days_before_its_work_is_close(make, finding) -> None:
    # Expected on the 1st, work on the 4th: 3 days, 5 wanted, so by 27 February.
    told = finding(
        fire(make, {"expected": date(2027, 3, 1)}, barge={"day": date(2027, 3, 4)}), "permit-close"
    )
    assert "3 days before S010.barge" in told.message
    assert "2027-02-27" in told.remedy
    clear = fire(make, {"expected": date(2027, 3, 1)}, barge={"day": date(2027, 3, 6)})
    assert "permit-close" not in {each.code for each in clear.problems}


def test_a_stunt_or_fire_names_its_cover_and_keeps_to_its_unit_day(make, finding) -> None:
    permit = {"sort": "fire", "in_hand": True, "unit_day": date(2027, 3, 9)}
    found = fire(make, permit, barge={"day": date(2027, 3, 10)}, quay={"day": date(2027, 3, 9)})
    assert "licensed person" in finding(found, "cover-not-named").remedy
    assert "S010.barge is fixed for 2027-03-10" in finding(found, "not-on-its-unit-day").message
    covered = fire(make, {**permit, "cover": "a fire officer and a medic"})
    assert "cover-not-named" not in {each.code for each in covered.problems}
