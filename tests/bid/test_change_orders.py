from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, datetime, time
from decimal import Decimal
from typing import get_args

import pytest

from planner.bid import price
from planner.bid.actuals import read_actuals, standing_of
from planner.bid.change_order import ChangeCause, Terms, change_order
from planner.bid.compare import compare
from planner.bid.done import Done, with_done
from planner.bid.outlook import Outlook
from planner.bid.revision import Issued, Stamp, freeze
from planner.cli.bid_issuing import CAUSES
from planner.kinds import Phase
from planner.model.show import Loads
from planner.pages.bid_actuals import actuals_text
from planner.pages.bid_changes import change_order_json, change_order_text

MONDAY = date(2026, 3, 2)
FRIDAY, NEXT_TUESDAY = date(2026, 3, 6), date(2026, 3, 10)
HEADER = "week,element,what,hours,cost,left,note\n"


def issued(board, number: int = 1) -> Issued:
    show, estimates, order = board.given()
    return freeze(
        show, estimates, order, price(show, estimates, order), Stamp(number, date(2026, 2, 20))
    )


@pytest.fixture
def two(board):
    """Two shots of 10 h at 40 an hour; a barge of 20 h at 30, used by the first alone."""
    board.loads = Loads(Decimal("0.1"), {}, False)
    board.rate("camera", "hour", "40")
    board.rate("model_making", "hour", "30")
    board.shot("A_010")
    board.shot("A_020")
    board.element("barge", board.work("make", "model_making", 20, phase=Phase.BUILD), kind="build")
    board.element("A_010.barge", board.work("photograph", "camera", 10), uses=("barge",))
    board.element("A_020.hill", board.work("photograph", "camera", 10))
    board.call("A_020.hill", "photograph", FRIDAY)
    return board


def posted(lines, rows: str):
    postings, problems = read_actuals(HEADER + rows, "show/actuals.csv")
    assert problems == ()
    return standing_of(lines, postings)


def test_a_line_comes_to_what_was_spent_and_the_rest_of_its_bid(two) -> None:
    lines = issued(two).bid.lines
    found, problems = posted(lines, "2026-03-02,barge,make,8,,,\n2026-03-09,barge,make,6,,,\n")
    # 14 h x 30 = 420 spent, 600 bid: 180 to go; with the other 800 untouched
    assert (found.spent, found.to_go, found.at_completion) == (
        Decimal("420.00"),
        Decimal("980.00"),
        Decimal("1400.00"),
    )
    assert problems == ()
    assert found.by_week == {MONDAY: Decimal("240.00"), date(2026, 3, 9): Decimal("180.00")}


def test_what_its_maker_says_is_left_stands_above_the_bid(two) -> None:
    lines = issued(two).bid.lines
    found, _ = posted(lines, "2026-03-04,barge,make,18,,9,the hull warped\n")
    # 18 x 30 = 540 spent, 9 x 30 = 270 to go: 810 where 600 was bid
    assert found.rows[0].at_completion == Decimal("810.00")
    assert found.ratios == ()


def test_of_two_rows_of_one_week_the_one_written_last_says_what_is_left(two) -> None:
    lines = issued(two).bid.lines
    rows = "2026-03-02,barge,make,8,,12,\n2026-03-02,barge,make,4,,9,\n2026-03-04,barge,make,2,,,\n"
    found, _ = posted(lines, rows)
    # 9 h x 30 = 270 to go, said after 12 h were; who adds 2 h says nothing of the rest.
    assert found.rows[0].to_go == Decimal("270.00")


def test_finished_labour_gives_a_ratio_by_technique(two) -> None:
    lines = issued(two).bid.lines
    rows = "2026-03-04,A_010.barge,photograph,12,,0,\n2026-03-04,A_020.hill,photograph,11,480,0,\n"
    found, _ = posted(lines, rows)
    # 23 h over 20 h; costs 12 x 40 = 480 and 480 as written
    ratio = found.ratios[0]
    assert (ratio.technique, ratio.lines, ratio.ratio) == ("miniature, camera", 2, 1.15)
    assert found.spent == Decimal("960.00")


def test_a_line_over_its_bid_has_nothing_to_go_unless_somebody_says_so(two) -> None:
    found, _ = posted(issued(two).bid.lines, "2026-03-04,barge,make,25,,,\n")
    assert found.rows[0].to_go == 0
    assert found.at_completion == Decimal("750.00") + Decimal("800.00")


def test_money_spent_on_what_the_bid_does_not_hold_is_counted_and_told(two) -> None:
    found, problems = posted(issued(two).bid.lines, "2026-03-04,barge,paint,,99.50,,\n")
    assert [each.code for each in problems] == ["posting-not-in-bid"]
    assert problems[0].place.line == 2
    assert found.at_completion == Decimal("1400.00") + Decimal("99.50")


def test_what_was_spent_on_a_dead_making_leaves_the_next_one_whole_to_come(two) -> None:
    lines = issued(two).bid.lines
    rows = "2026-03-02,A_020.hill,photograph,10,,0,\n"
    postings, _ = read_actuals(HEADER + rows, "show/actuals.csv")
    sound, _ = standing_of(lines, postings)
    # 10 h x 40 are spent and finished; the barge's 600 and the other 400 are to come: as bid, 1400.
    assert (sound.spent, sound.to_go, sound.at_completion) == (400, 1000, 1400)
    found, _ = standing_of(lines, postings, dead={"A_020.hill"})
    # The same 400 once more, for the making that serves.
    assert (found.spent, found.to_go, found.at_completion) == (400, 1400, 1800)
    assert found.ratios == sound.ratios  # the hours of a dead making tell how long one takes
    text = actuals_text(found, "revision 1", "GBP")
    assert "A_020.hill: photograph; dead, to be made again" in text
    assert "finished" not in text.partition("by week")[0]


@pytest.mark.parametrize(
    "row",
    ["soon,a,b,1,,,", "2026-03-04,a,b,-1,,,", "2026-03-04,a,b,nan,,,", "2026-03-04,a,b,,,,"],
)
def test_a_row_that_cannot_be_read_is_told_at_its_line(row: str) -> None:
    postings, problems = read_actuals(f"{HEADER}\n{row}\n", "actuals.csv")
    assert postings == ()
    assert [(each.code, each.place.line) for each in problems] == [("posting-unreadable", 3)]


def test_a_table_without_its_columns_is_told() -> None:
    assert [each.code for each in read_actuals("a,b\n1,2\n", "actuals.csv")[1]] == [
        "posting-unreadable"
    ]


def omitted(two) -> Issued:
    two.shots["A_010"] = replace(two.shots["A_010"], state="omitted")
    return issued(two, 2)


def order_of(two, before: Issued, after: Issued, rows: str = ""):
    standing = posted(before.bid.lines, rows)[0] if rows else None
    terms = Terms("recut", ("the producer",), date(2026, 4, 1), frozenset({"barge"}))
    return change_order(compare(before, after), terms, two.show().calendar, standing)


def test_a_build_whose_last_shot_is_omitted_is_dead_and_not_saved(two) -> None:
    before = issued(two)
    found = order_of(two, before, omitted(two))
    # 400 of the shot saved, 10 % overhead on it too; the barge of 600 stays in the bid
    assert (found.saved, found.added, found.loads, found.net) == (
        Decimal("400.00"),
        Decimal("0.00"),
        Decimal("-40.00"),
        Decimal("-440.00"),
    )
    assert [(each.what, str(each.cost), each.is_in_bid) for each in found.dead] == [
        ("barge", "600.00", True)
    ]
    assert found.insurance == ("barge",)


def test_money_spent_on_an_omitted_shot_is_not_saved(two) -> None:
    before = issued(two)
    found = order_of(two, before, omitted(two), "2026-03-04,A_010.barge,photograph,4,,,\n")
    # 4 h x 40 = 160 spent of 400
    assert (found.spent, found.saved, found.net) == (
        Decimal("160.00"),
        Decimal("240.00"),
        Decimal("-280.00"),
    )
    assert ("A_010.barge: photograph", Decimal("160.00"), False) in [
        (each.what, each.cost, each.is_in_bid) for each in found.dead
    ]


def test_a_share_of_a_stage_that_another_shot_takes_over_is_neither_added_nor_saved(two) -> None:
    two.rate("north", "day", "1000")
    two.resource("stage", "north")
    two.days_held["north"] = (MONDAY, FRIDAY)
    two.calls.clear()
    two.call("A_010.barge", "photograph", MONDAY, holds=("north",))
    two.call("A_020.hill", "photograph", FRIDAY, holds=("north",))
    before = issued(two)
    two.shots["A_010"] = replace(two.shots["A_010"], state="omitted")
    both_days = order_of(two, before, issued(two, 2))
    two.days_held["north"] = (FRIDAY,)
    one_day = order_of(two, before, issued(two, 3))
    # Each had 1000 of 2000; with both days held still, the hill takes the other's 1000 over, and
    # only the 400 of labour is saved; with one day fewer, 1000 more.
    assert (both_days.added, both_days.saved) == (Decimal("0.00"), Decimal("400.00"))
    assert (one_day.added, one_day.saved) == (Decimal("0.00"), Decimal("1400.00"))


def test_a_net_saving_is_said_as_less_to_pay_and_what_is_unused_is_not_said_to_be_paid(two) -> None:
    text = change_order_text(order_of(two, issued(two), omitted(two)))
    # 400 saved and a tenth of overhead on it; nothing was posted on the barge
    lines = [" ".join(line.split()) for line in text.splitlines()]
    assert "net, less to pay 440.00" in lines
    unused = lines.index("Still in the bid, though nobody uses it now; not in what is saved:")
    assert lines[unused + 1] == "barge 600.00"
    assert "Dead" not in text


def done(two, element: str, *, is_again: bool) -> Done:
    """A making by the calls there are."""
    calls = tuple(each for each in two.calls if each.element == element)
    works = frozenset({"photograph", "rig"})
    over = datetime.combine(FRIDAY, time(18))
    return Done(element, works, over, "no good", is_again=is_again, is_last=True, calls=calls)


def with_spent(two, made: Done, number: int = 2, rows: str = "") -> Issued:
    show, estimates, order = two.given()
    postings, problems = read_actuals(HEADER + rows, "show/actuals.csv")
    assert problems == ()
    bid = with_done(price(show, estimates, order), (show, estimates, order), [made], postings)
    return freeze(show, estimates, order, bid, Stamp(number, date(2026, 2, 20)))


def test_what_is_spent_and_made_again_is_a_row_and_the_net_is_that_of_the_bids(two) -> None:
    two.rate("north", "day", "1000")
    two.resource("stage", "north")
    two.days_held["north"] = (MONDAY,)
    rig, shoot = two.work("rig", "camera", 5), two.work("photograph", "camera", 10)
    comp = two.work("clean up", "camera", 3, phase=Phase.FINISH)
    two.element("A_020.hill", rig, shoot, comp)
    two.calls.clear()
    two.call("A_020.hill", "photograph", MONDAY, holds=("north",))
    before, made = issued(two), done(two, "A_020.hill", is_again=True)
    two.calls.clear()
    two.call("A_020.hill", "photograph", FRIDAY, holds=("north",))
    two.days_held["north"] = (FRIDAY,)
    row = "2026-03-04,A_020.hill,photograph,12,,,\n"
    after = with_spent(two, made, rows=row)
    found = order_of(two, before, after, row)
    # The rig at 5 h x 40 = 200 and 12 h x 40 = 480 posted; what comes after the negative was not
    # done. Monday was held and is no more; Friday is held in its place.
    (lost,) = found.lost
    assert (lost.cost, lost.held) == (Decimal("680.00"), Decimal("1000.00"))
    assert found.lost_days == (("north", MONDAY),)
    # 1680 and a tenth of overhead.
    assert found.net == Decimal("1848.00")
    assert found.net == found.comparison.difference
    words = " ".join(change_order_text(found).split())
    assert "spent, and counting no more +1,680.00" in words
    assert "A_020.hill, no good, 1,000.00 of it days held 1,680.00" in words
    assert "north on 2026-03-02: held for it, and by no order now" in words
    told = json.loads(change_order_json(found))
    assert (told["spent_again"], told["net"]) == ("1680.00", "1848.00")
    assert told["lost"][0]["cost"] == "680.00"
    # Once it is in the accepted revision, a later change does not tell it again.
    assert order_of(two, after, with_spent(two, made, 3, row)).lost == ()


def test_whose_a_change_is_goes_before_what_was_posted(two) -> None:
    before, made = issued(two), done(two, "A_020.hill", is_again=True)
    found = order_of(two, before, with_spent(two, made))
    assert "cause: recut\n" in change_order_text(found)
    nobodys = change_order_text(replace(found, cause=""))
    assert "cause: as posted: A_020.hill, no good\n" in nobodys


def test_what_was_made_and_omitted_is_no_saving(two) -> None:
    two.call("A_010.barge", "photograph", MONDAY)
    before, made = issued(two), done(two, "A_010.barge", is_again=False)
    two.shots["A_010"] = replace(two.shots["A_010"], state="omitted")
    found = order_of(two, before, with_spent(two, made))
    # The bid drops 10 h x 40 and holds them as spent: nothing is saved but what was to come.
    assert (found.net, found.lost_cost) == (Decimal("0.00"), Decimal("400.00"))
    assert found.net == found.comparison.difference
    assert "A_010.barge, no good" in change_order_text(found)


def test_what_is_posted_on_the_omitted_is_told_once(two) -> None:
    two.call("A_010.barge", "photograph", MONDAY)
    before, made = issued(two), done(two, "A_010.barge", is_again=False)
    two.shots["A_010"] = replace(two.shots["A_010"], state="omitted")
    row = "2026-03-04,A_010.barge,photograph,4,,,\n"
    found = order_of(two, before, with_spent(two, made, rows=row), row)
    # 4 h x 40 of the 400 are spent, so that 240 are saved, and a tenth.
    assert (found.lost_cost, found.net) == (Decimal("160.00"), Decimal("-264.00"))
    assert [each for each in found.dead if not each.is_in_bid] == []


def test_what_of_the_net_comes_of_planning_is_apart(two) -> None:
    two.rate("north", "day", "1000")
    two.resource("stage", "north")
    two.days_held["north"] = (MONDAY, FRIDAY)
    two.calls.clear()
    two.call("A_020.hill", "photograph", FRIDAY, holds=("north",))
    before = issued(two)
    two.days_held["north"] = (FRIDAY,)
    two.element("A_020.hill", two.work("photograph", "camera", 12))
    two.calls.clear()
    two.call("A_020.hill", "photograph", FRIDAY, holds=("north",))
    found = order_of(two, before, issued(two, 2))
    # A day fewer held saves 1000 whatever is made; 2 h more x 40 are made; a tenth of overhead.
    assert (found.added, found.saved) == (Decimal("80.00"), Decimal("1000.00"))
    assert (found.by_planning, found.net) == (Decimal("-1000.00"), Decimal("-1012.00"))
    assert "of it, before loads: days held and overtime -1,000.00" in " ".join(
        change_order_text(found).split()
    )
    # What the cut makes and what comes without it are the whole: this is part of either.
    without = Outlook(before.bid.total.likely, {}, None)
    apart = change_order_text(replace(found, without=without))
    assert "  within both, before loads: days held and overtime  " in apart
    assert "of it, before loads" not in apart


def test_days_are_counted_as_people_work_them(two) -> None:
    before = issued(two)
    two.calls.clear()
    two.call("A_020.hill", "photograph", NEXT_TUESDAY)
    found = order_of(two, before, issued(two, 2))
    # Friday to the Tuesday after: Monday and Tuesday
    assert found.days == 2
    assert order_of(two, issued(two, 2), before).days == -2


def test_what_grew_is_added(two) -> None:
    before = issued(two)
    work = two.work("photograph", "camera", 13)
    two.estimates["A_020.hill"] = replace(two.estimates["A_020.hill"], work=(work,))
    found = order_of(two, before, issued(two, 2))
    # 3 h x 40 and a tenth
    assert (found.added, found.net) == (Decimal("120.00"), Decimal("132.00"))
    assert (found.cause, found.signatures) == ("recut", ("the producer",))


def test_the_days_of_finals_are_told_to_machines_too(two) -> None:
    before = issued(two)
    after = replace(before, finals={"A_020": NEXT_TUESDAY})
    found = order_of(two, replace(before, finals={"A_010": FRIDAY, "A_020": FRIDAY}), after)
    assert json.loads(change_order_json(found))["finals"] == [
        {"shot": "A_010", "before": "2026-03-06", "after": None},
        {"shot": "A_020", "before": "2026-03-06", "after": "2026-03-10"},
    ]


def test_what_the_cut_moves_is_apart_from_what_has_moved_since(two) -> None:
    before = replace(issued(two), finals={"A_010": MONDAY, "A_020": FRIDAY}, last=FRIDAY)
    two.element("A_020.hill", two.work("photograph", "camera", 13))
    after = replace(
        issued(two, 2), finals={"A_010": FRIDAY, "A_020": NEXT_TUESDAY}, last=NEXT_TUESDAY
    )
    # Without the cut, planned on: A_010 as late, A_020 a working day sooner, 11 more to pay.
    total = before.bid.total.likely + Decimal(11)
    monday = date(2026, 3, 9)
    without = Outlook(total, {"A_010": FRIDAY, "A_020": monday}, monday)
    found = change_order(
        compare(before, after), Terms("recut", without=without), two.show().calendar
    )
    # 3 h x 40 and a tenth are 132; 11 of it come without the cut.
    assert (found.net, found.net_since, found.net_by_cut) == (132, 11, 121)
    assert (found.days, found.days_by_cut) == (2, 1)
    assert found.finals_by_cut == (("A_020", monday, NEXT_TUESDAY),)
    assert found.finals_since == (("A_010", MONDAY, FRIDAY), ("A_020", FRIDAY, monday))
    text = change_order_text(found)
    said = "The last call is 2 working days later, 1 working day later than without the cut."
    assert said in text
    by_cut = "Moved by the cut, the order searched for with it and without it:"
    assert text.index(by_cut) < text.index("A_020 final 2026-03-10, without it")
    assert "  A_010 was final 2026-03-02, planned on 2026-03-06\n" in text
    told = json.loads(change_order_json(found))
    assert [each["shot"] for each in told["finals_by_cut"]] == ["A_020"]


def test_the_command_line_offers_every_cause_there_is() -> None:
    assert get_args(ChangeCause) == CAUSES
