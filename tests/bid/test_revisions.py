from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from planner.bid import price
from planner.bid.compare import _from_to, compare
from planner.bid.escalation import Escalation
from planner.bid.frozen import RevisionError, from_text, to_text
from planner.bid.revision import Issued, Stamp, drawn, freeze, kept_as_issued, repriced
from planner.model.facts import Facts, Money
from planner.model.place import Place
from planner.model.quantity import Quantity
from planner.model.show import Loads, Reference

MONDAY, TUESDAY = date(2026, 3, 2), date(2026, 3, 3)
HERE = Place("show/show.yaml", 3, 1)


def issued(board, number: int = 1) -> Issued:
    show, estimates, order = board.given()
    stamp = Stamp(number, date(2026, 2, 20), "R. Vane", "first offer", "0.1.0", "abc")
    return freeze(show, estimates, order, price(show, estimates, order), stamp)


@pytest.fixture
def dam(board):
    """Two pieces on a stage of 300 a day, a purchase, contingency of 10 %, overhead of 20 %."""
    board.loads = Loads(Decimal("0.2"), {"ordinary": Decimal("0.1")}, False)
    board.shot("A_010")
    board.shot("A_020")
    board.resource("stage", "north")
    board.rate("north", "day", "300")
    board.rate("camera", "hour", "45", (date(2026, 6, 1), "50"))
    board.rate("negative", "foot", "0.33")
    for name in ("A_010", "A_020"):
        board.element(
            f"{name}.dam",
            board.work("photograph", "camera", (4, 6, 9), heads=2),
            board.charge("negative", "negative", 101.5, "ft"),
        )
    board.call("A_010.dam", "photograph", MONDAY, holds=("north",))
    board.call("A_020.dam", "photograph", TUESDAY, holds=("north",))
    board.days_held["north"] = (MONDAY, TUESDAY)
    return board


def test_a_revision_read_back_says_what_was_issued(dam) -> None:
    before = issued(dam)
    after = from_text(to_text(before))
    assert after.stamp == before.stamp
    assert (after.bid.cost, after.bid.total) == (before.bid.cost, before.bid.total)
    assert [each.figures for each in after.bid.lines] == [each.figures for each in before.bid.lines]
    assert [each.reckoning for each in after.bid.lines] == [
        each.reckoning for each in before.bid.lines
    ]
    assert after.rates["camera"].on(date(2026, 7, 1)) == before.rates["camera"].on(date(2026, 7, 1))
    assert to_text(after) == to_text(before)


def test_every_frozen_line_comes_to_its_sum_by_its_own_arithmetic(dam) -> None:
    for line in from_text(to_text(issued(dam))).bid.lines:
        assert line.reckoning.figures() == line.figures


def test_a_revision_that_was_tampered_with_is_refused(dam) -> None:
    text = to_text(issued(dam))
    assert text.count('"540.00"') == 2
    with pytest.raises(RevisionError, match="its lines come to"):
        from_text(text.replace('"540.00"', '"440.00"'))


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"form": "another"}', "\x00"])
def test_what_is_no_revision_is_refused(text: str) -> None:
    with pytest.raises(RevisionError):
        from_text(text)


def test_a_revision_lacking_a_part_is_refused(dam) -> None:
    held = json.loads(to_text(issued(dam)))
    for name in held:
        less = {key: value for key, value in held.items() if key != name}
        if name not in {"rounding", "total", "columns"}:
            with pytest.raises(RevisionError):
                from_text(json.dumps(less))


def test_a_reopened_revision_is_priced_at_rates_of_another_day(dam) -> None:
    again = from_text(to_text(issued(dam)))
    later = repriced(again, dam.rates, date(2026, 7, 1), Escalation(Decimal(0), date(2026, 1, 1)))
    # two stretches of 2 x 6 h at 5 more an hour: 120 more
    assert later.bid.cost.likely - again.bid.cost.likely == Decimal("120.00")


def causes(before: Issued, after: Issued) -> dict[str, str]:
    found = compare(before, after)
    assert sum(each.difference for each in found.changes) == found.difference
    return {cause: str(sum_) for cause, sum_ in found.by_cause().items()}


def test_nothing_changed_is_no_change(dam) -> None:
    assert causes(issued(dam), issued(dam, 2)) == {}


def test_more_hours_are_a_change_of_quantity_and_carry_their_loads(dam) -> None:
    before = issued(dam)
    more = dam.work("photograph", "camera", (4, 8, 9), heads=2)
    dam.estimates["A_010.dam"] = replace(dam.estimates["A_010.dam"], work=(more,))
    # 2 h x 2 x 45 = 180, of which 10 % and 20 %: 54
    found = causes(before, issued(dam, 2))
    assert found == {"quantity": "180.00", "load": "54.00"}


def test_a_quantity_is_told_to_a_tenth_in_its_units_plural(dam) -> None:
    before = issued(dam)
    more = dam.work("photograph", "camera", (4, 6.77, 9), heads=2)
    dam.estimates["A_010.dam"] = replace(dam.estimates["A_010.dam"], work=(more,))
    # 6 h x 2 = 12 h before; 6.77 x 2 = 13.54 h, to a tenth 13.5.
    (told,) = [each for each in compare(before, issued(dam, 2)).changes if each.cause == "quantity"]
    assert told.says == "12 to 13.5 h"


@pytest.mark.parametrize(
    ("less", "more", "unit", "said"),
    [
        ("1.271", "2", "day", "1.3 to 2 days"),
        ("2", "1", "day", "2 to 1 day"),
        ("1.271", "1.274", "day", "1.271 to 1.274 days"),  # to a tenth they were the same
        ("10", "12.25", "square_metre", "10 to 12.2 square metres"),
        ("10", "12", "foot", "10 to 12 feet"),
    ],
)
def test_quantities_that_change_read_as_words(less: str, more: str, unit: str, said: str) -> None:
    assert _from_to(Decimal(less), Decimal(more), unit) == said


def test_a_dearer_rate_is_told_apart_from_more_hours(dam) -> None:
    before = issued(dam)
    dam.rate("camera", "hour", "50")
    more = dam.work("photograph", "camera", (4, 8, 9), heads=2)
    dam.estimates["A_010.dam"] = replace(dam.estimates["A_010.dam"], work=(more,))
    found = causes(before, issued(dam, 2))
    # quantity at the old rate: 4 h x 45 = 180; rate on 16 h and on 12 h: 28 x 5 = 140
    assert (found["quantity"], found["rate"]) == ("180.00", "140.00")


def test_a_shot_omitted_is_gone_and_the_stage_goes_to_the_other(dam) -> None:
    before = issued(dam)
    dam.shots["A_010"] = replace(dam.shots["A_010"], state="omitted")
    dam.calls = [each for each in dam.calls if each.element != "A_010.dam"]
    dam.days_held["north"] = (TUESDAY,)
    found = causes(before, issued(dam, 2))
    # gone: 540 + 33.50 + its half of the two days, 300; A_020 keeps one day of 300
    assert found["gone"] == "-873.50"
    assert "quantity" not in found


def test_another_method_taken_is_told_as_such(board) -> None:
    board.shot("A_010")
    board.rate("camera", "hour", "45")
    board.element("A_010.wire", board.work("photograph", "camera", 4))
    board.element("A_010.rod", board.work("photograph", "camera", 6))
    chosen(board, made="A_010.wire", other="A_010.rod")
    before = issued(board)
    chosen(board, made="A_010.rod", other="A_010.wire")
    # 4 h x 45 = 180 less, 6 h x 45 = 270 more
    assert causes(before, issued(board, 2)) == {"method": "90.00"}


def chosen(board, made: str, other: str) -> None:
    verdicts = {made: "chosen", other: "rejected"}
    for name, verdict in verdicts.items():
        element = board.elements[name]
        facts = Facts(HERE, {"method": Facts(HERE, {"verdict": verdict})})
        rival = (Reference("alternative_to", other if name == made else made, HERE, False),)
        board.elements[name] = replace(element, facts=facts, references=rival)
    board.aside = frozenset({other})


def test_a_rate_found_at_last_is_a_change_of_rate(board) -> None:
    board.shot("A_010")
    board.element("A_010.dam", board.work("photograph", "camera", 4))
    before = issued(board)
    board.rate("camera", "hour", "45")
    assert causes(before, issued(board, 2)) == {"rate": "180.00"}


def test_a_revision_keeps_what_it_was_given_on(dam) -> None:
    stated = {
        "excludes": ("sound",),
        "versions": Quantity("versions", 3.0),
        "valid_until": date(2026, 4, 30),
    }
    dam.facts = Facts(HERE, {"bid": Facts(HERE, stated)})
    again = from_text(to_text(issued(dam)))
    assert again.said.excludes == ("sound",)
    assert again.said.terms == ("3 versions included",)
    assert again.said.valid_until == date(2026, 4, 30)


def leaves(value: object, path: tuple[object, ...] = ()):
    """Path and value of everything in a JSON value that holds nothing itself."""
    inner = value.items() if isinstance(value, dict) else enumerate(value)
    for key, each in inner:
        if isinstance(each, dict | list):
            yield from leaves(each, (*path, key))
        else:
            yield (*path, key), each


def test_a_change_to_any_one_value_is_noticed(dam) -> None:
    dam.facts = Facts(HERE, {"bid": Facts(HERE, {"excludes": ("sound",)})})
    text = to_text(issued(dam))
    assert from_text(text).stamp.number == 1
    for path, value in leaves(json.loads(text)):
        held = json.loads(text)
        place = held
        for key in path[:-1]:
            place = place[key]
        place[path[-1]] = not value if isinstance(value, bool) else f"{value or 0}1"
        with pytest.raises(RevisionError):
            from_text(json.dumps(held))


def test_another_layout_of_the_same_text_is_no_change(dam) -> None:
    text = to_text(issued(dam))
    assert from_text(json.dumps(json.loads(text), indent=4)) == from_text(text)
    assert from_text(text.replace("\n", "\r\n")) == from_text(text)


def test_a_revision_of_the_first_form_can_still_be_read(dam) -> None:
    held = json.loads(to_text(issued(dam)))
    for name in ("digest", "conditions", "shots", "chances"):
        del held[name]
    held["form"] = "platewright bid 1"
    held["said"] = {
        "assumes": ["dry weather"],
        "excludes": ["sound"],
        "supplied": [],
        "terms": ["3 versions included", "payment: a third at signing"],
        "valid_until": "2026-04-30",
    }
    held["columns"] = held["columns"][:-1]
    held["lines"] = [row[:-1] for row in held["lines"]]
    again = from_text(json.dumps(held))
    # two stretches of 2 x 6 h at 45, two of 101.5 ft at 0.33 (33.495), two days of 300
    assert again.bid.cost.likely == Decimal("1747.00")
    assert again.said.terms == ("3 versions included; payment: a third at signing",)
    assert (again.said.excludes, again.said.assumes) == (("sound",), ("dry weather",))


def test_a_rate_that_cannot_be_used_leaves_its_lines_as_issued_and_is_named(dam) -> None:
    before = issued(dam)
    day = date(2026, 7, 1)
    level = Escalation(Decimal(0), date(2026, 1, 1))
    dam.rate("negative", "item", "9")
    dam.rate("camera", "hour", "-4")
    stage = replace(dam.rates["north"], amounts=((day, Money(Decimal(700), "EUR")),))
    rates = {**dam.rates, "north": stage}
    assert repriced(before, rates, day, level).bid.cost == before.bid.cost
    assert dict(kept_as_issued(before, rates, day)) == {
        "negative": "it is per item now, and was per foot",
        "camera": "it is -4.00 GBP now, below nothing",
        "north": "it is 700.00 EUR now, and the bid is in GBP",
    }
    gone = kept_as_issued(before, {}, day)
    assert set(gone) == {"negative", "camera", "north"}
    assert set(gone.values()) == {"rates.yaml has no such rate"}


def test_chances_are_kept_as_drawn_and_drawn_anew_at_other_rates(dam) -> None:
    before = drawn(issued(dam), 0.25)
    again = from_text(to_text(before))
    assert again.chances == before.chances
    assert drawn(again) is again
    level = Escalation(Decimal(0), date(2026, 1, 1))
    later = repriced(again, dam.rates, date(2026, 7, 1), level)
    assert later.chances.correlation == 0.25
    assert later.chances.mean > again.chances.mean
