from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from planner.model.facts import Money
from planner.model.place import Severity
from planner_plugins.decision import Decision

FACE = {
    "question": "which clock face",
    "options": ("enamel", "slate"),
    "owner": "the art director",
    "last_useful": date(2027, 2, 3),
}


def test_an_open_decision_names_choices_owner_day_and_what_waits(make, finding) -> None:
    others = {
        "face": ("build", {"waits_for": "clock_face"}),
        "S010.clock": ("miniature", {"build": "face"}),
    }
    context = make("decision", FACE, identity="clock_face", elements=others)
    told = finding(Decision().estimate(context), "decision-open")
    assert told.severity is Severity.WARNING
    assert "which clock face" in told.message
    assert "between enamel, slate" in told.message
    assert "2027-02-03" in told.message
    assert "1 live element waits for it (S010.clock)" in told.message
    assert "the art director" in told.remedy


def test_a_settled_decision_says_nothing_and_needs_no_work(make) -> None:
    estimate = Decision().estimate(make("decision", {**FACE, "chosen": "slate"}, identity="d"))
    assert estimate.problems == ()
    assert estimate.work == ()


def test_what_was_chosen_must_have_been_offered(make, finding) -> None:
    context = make("decision", {**FACE, "chosen": "brass"}, identity="d")
    told = finding(Decision().estimate(context), "choice-not-offered")
    assert told.severity is Severity.ERROR
    assert "brass" in told.message
    assert "enamel, slate" in told.message


def test_an_open_decision_needs_an_owner(make, finding) -> None:
    facts = {**FACE, "owner": ""}
    estimate = Decision().estimate(make("decision", facts, identity="d"))
    assert finding(estimate, "decision-without-owner").severity is Severity.WARNING
    assert "owner" in [each.name for each in estimate.missing]


def test_a_last_useful_day_before_the_show_begins_is_an_error(make, finding) -> None:
    facts = {**FACE, "last_useful": date(2026, 12, 30)}
    told = finding(Decision().estimate(make("decision", facts, identity="d")), "decision-too-late")
    assert "5 days before" in told.message  # 30 December to 4 January


def test_without_a_last_useful_day_the_day_is_missing(make) -> None:
    facts = {name: value for name, value in FACE.items() if name != "last_useful"}
    estimate = Decision().estimate(make("decision", facts, identity="d"))
    assert [each.name for each in estimate.missing] == ["last_useful"]


def test_an_open_choice_owes_every_maker_but_the_cheapest_at_worst(make) -> None:
    builds = {
        "enamel": {"terms": Money(Decimal(900), "GBP")},
        "slate": {"terms": Money(Decimal(400), "GBP")},
        "brass": {"terms": Money(Decimal(700), "GBP")},
    }
    facts = {**FACE, "between": tuple(builds)}
    context = make("decision", facts, identity="d", builds=builds)
    estimate = Decision().estimate(context)
    # If slate, the cheapest to refuse, were chosen: 900 + 700.
    assert estimate.quantities["owed to candidates not chosen, at most"].value == 1600
    assert estimate.quantities["choices"].value == 3


@pytest.mark.parametrize(
    ("changed", "chosen", "owed"),
    [
        # Brass, whose terms nobody settled, may be the one chosen: 900 + 400.
        ({"brass": {}}, "", 1300),
        # Chosen by its name in the decision: 900 + 700.
        ({}, "slate", 1600),
        # Chosen where it is listed: 400 + 700.
        ({"enamel": {"terms": Money(Decimal(900), "GBP"), "chosen": True}}, "", 1100),
    ],
)
def test_what_is_owed_goes_by_what_is_chosen_and_what_is_settled(
    make, changed, chosen, owed
) -> None:
    builds = {
        "enamel": {"terms": Money(Decimal(900), "GBP")},
        "slate": {"terms": Money(Decimal(400), "GBP")},
        "brass": {"terms": Money(Decimal(700), "GBP")},
        **changed,
    }
    facts = {**FACE, "between": tuple(builds), "chosen": chosen}
    estimate = Decision().estimate(make("decision", facts, identity="d", builds=builds))
    assert estimate.quantities["owed to candidates not chosen, at most"].value == owed


@pytest.mark.parametrize("chosen", ["enamel", "the face of slate"])
def test_a_choice_between_builds_may_be_named_by_build_or_option(make, chosen) -> None:
    facts = {**FACE, "options": ("the face of slate",), "between": "enamel", "chosen": chosen}
    context = make("decision", facts, identity="d", builds={"enamel": {}})
    assert Decision().estimate(context).problems == ()


def test_the_last_day_before_it_delays_anything_is_that_before_the_first_fixed(
    make, finding
) -> None:
    # Fixed for 1 February, 28 days after 4 January: the 27th day, 31 January, is the last.
    others = {"S010.clock": ("miniature", {"waits_for": "d", "not_before": date(2027, 2, 1)})}
    estimate = Decision().estimate(make("decision", FACE, identity="d", elements=others))
    assert estimate.quantities["last day before it delays something"].value == 27
    told = finding(estimate, "decision-after-what-waits")
    assert "S010.clock waits for it and is fixed for 2027-02-01" in told.message
    assert "2027-01-31" in told.remedy
    soon = {**FACE, "last_useful": date(2027, 1, 29)}
    early = Decision().estimate(make("decision", soon, identity="d", elements=others))
    assert "decision-after-what-waits" not in {each.code for each in early.problems}
