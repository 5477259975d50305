"""``platewright order``: issued, compared and planned again, as its user meets it."""

from __future__ import annotations

import json
from datetime import date, timedelta
from typing import TYPE_CHECKING

from planner.model.names import day_words
from tests.cli.test_commands import QUICK, run

if TYPE_CHECKING:
    from tests.conftest import ShowFolder


def test_an_order_is_issued_under_the_next_number(show: ShowFolder) -> None:
    first = run("order", show.path, "--issue", "--by", "the manager", "--note", "as agreed", *QUICK)
    assert first.exit_code == 0, first.output
    run("order", show.path, "--issue", *QUICK)
    kept = sorted(path.name for path in (show.path / "issued").iterdir())
    assert kept == ["order_001.json", "order_002.json"]
    told = json.loads((show.path / "issued" / "order_001.json").read_text(encoding="utf-8"))
    assert (told["by"], told["note"], told["seed"]) == ("the manager", "as agreed", 0)
    assert len(told["files"]) == 64


def test_nothing_is_different_from_the_order_just_issued(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    told = run("order", show.path, *QUICK, "--compare")
    assert told.exit_code == 0, told.output
    assert "nothing has moved" in " ".join(told.output.split())


def test_an_earlier_order_is_compared_with_by_its_number(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    show.replace("resources.yaml", "height: 7 m}", "height: 7 m, away: [2027-03-01..2027-03-31]}")
    run("order", show.path, "--issue", *QUICK)
    assert "nothing has moved" in " ".join(
        run("order", show.path, *QUICK, "--compare", "2").output.split()
    )
    assert "moved, 0 new" in run("order", show.path, *QUICK, "--compare", "1").output


def test_planning_again_says_what_moved_and_prints_the_order(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    show.replace("resources.yaml", "height: 7 m}", "height: 7 m, away: [2027-03-01..2027-03-31]}")
    told = run("order", show.path, "--from", "2027-03-01", *QUICK)
    assert told.exit_code == 0, told.output
    assert told.stdout.startswith("Since order 1")
    assert "North stage" in told.stdout or "north: " in told.stdout
    assert all(len(line) <= 80 for line in told.stdout.splitlines())


def test_planning_again_as_json_holds_both(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    told = json.loads(run("order", show.path, "--from", "2027-03-01", "--json", *QUICK).stdout)
    assert told["changes"]["moved"] == []
    assert told["calls"]


def test_planning_again_without_an_issued_order_says_how_to_issue_one(show: ShowFolder) -> None:
    told = run("order", show.path, "--from", "2027-03-01", *QUICK)
    assert told.exit_code == 1
    assert "no order has been issued" in told.output
    assert "--issue" in told.output


def test_comparing_with_something_that_is_no_number_is_wrong_usage(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    told = run("order", show.path, *QUICK, "--compare", "first")
    assert told.exit_code == 2
    assert "first is not the number of an order" in told.output


def test_a_spoiled_issued_order_is_one_clear_problem(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    file = show.path / "issued" / "order_001.json"
    text = file.read_text(encoding="utf-8")
    file.chmod(0o644)
    file.write_text(text[: len(text) // 2], encoding="utf-8")
    told = run("order", show.path, *QUICK, "--compare")
    assert told.exit_code == 1
    assert "cannot be read" in told.output
    assert "Traceback" not in told.output


def test_a_spent_number_is_left_alone_where_the_folder_cannot_be_written(show: ShowFolder) -> None:
    show.write("issued", "a file where the folder should be")
    told = run("order", show.path, "--issue", *QUICK)
    assert told.exit_code == 1
    assert "cannot keep an issued order" in told.output


def test_an_issued_order_is_what_every_command_goes_by(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    for words in (("order",), ("bid",), ("why", "HL010"), ("loads",), ("plan", "--to", "plan")):
        name, *rest = words
        rest = [str(show.path / each) if each == "plan" else each for each in rest]
        told = run(name, show.path, *rest, *QUICK)
        assert told.exit_code == 0, told.output
        assert "By order 1 as issued on " in told.stderr
    assert "order 1 as issued on " in " ".join((show.path / "plan/order.txt").read_text().split())


def test_where_it_can_no_longer_be_kept_it_is_planned_again_and_says_so(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    show.replace("resources.yaml", "height: 7 m}", "height: 7 m, away: [2027-03-01..2027-03-31]}")
    told = run("order", show.path, *QUICK)
    assert "order 1, planned again: " in " ".join(told.stdout.split())
    assert "By order 1, planned again: " in told.stderr


def test_planned_again_by_itself_or_from_its_first_day_it_is_one_plan(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    show.replace("resources.yaml", "height: 7 m}", "height: 7 m, away: [2027-03-01..2027-03-31]}")
    by_itself = json.loads(run("order", show.path, "--json", *QUICK).stdout)
    # Nothing is posted, so that the show's first day is the first that may be planned.
    asked = ("order", show.path, "--from", "2027-03-01", *QUICK)
    told = json.loads(run(*asked, "--json").stdout)
    assert {key: told[key] for key in by_itself} == by_itself
    # Only who asks for it lets calls further off move for less, and reads so.
    third = "calls from 2027-03-02 on moving for a third of the price"
    assert third not in " ".join(run(*asked).stdout.split())
    assert third in " ".join(run(*asked, "--hold-days", "1").stdout.split())


def test_afresh_arranges_from_scratch_and_compares_with_what_is_issued(show: ShowFolder) -> None:
    plain = run("order", show.path, *QUICK).stdout
    run("order", show.path, "--issue", *QUICK)
    assert run("order", show.path, "--afresh", *QUICK).stdout == plain
    told = run("order", show.path, "--afresh", "--compare", *QUICK)
    assert "nothing has moved" in " ".join(told.stdout.split())


def test_a_spoiled_issued_order_stops_what_goes_by_it_and_not_what_is_afresh(
    show: ShowFolder,
) -> None:
    run("order", show.path, "--issue", *QUICK)
    file = show.path / "issued" / "order_001.json"
    file.chmod(0o644)
    file.write_text("{", encoding="utf-8")
    assert run("bid", show.path, *QUICK).exit_code == 1
    assert run("bid", show.path, "--afresh", *QUICK).exit_code == 0


def test_the_day_it_was_planned_again_from_is_kept_with_an_order(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    run("order", show.path, "--from", "2027-03-03", "--issue", *QUICK)
    folder = show.path / "issued"
    first, second = (json.loads((folder / f"order_00{n}.json").read_bytes()) for n in (1, 2))
    assert "planned_from" not in first
    assert second["planned_from"] == "2027-03-03"
    # Nothing of an order planned from Wednesday may be called before it when facts change again.
    show.replace("resources.yaml", "height: 7 m}", "height: 7 m, away: [2027-03-04..2027-03-31]}")
    told = json.loads(run("order", show.path, "--json", "--compare", *QUICK).stdout)
    moved = told["changes"]["moved"]
    assert moved
    assert all(each["now"] >= "2027-03-03" for each in moved)


def test_by_what_is_posted_only_what_began_counts_as_begun(show: ShowFolder) -> None:
    # Nothing can be posted of days to come.
    show.replace("show.yaml", "starts: 2027-03-01", "starts: 2024-03-04")
    run("order", show.path, "--issue", *QUICK)
    calls = json.loads((show.path / "issued" / "order_001.json").read_bytes())["calls"]
    building = next(each for each in calls if each["element"] == "hill_town")
    day = "2024-04-01"
    assert max(each["ends"] for each in calls) < day
    # By the dates in it everything has begun by then, and stays.
    told = json.loads(run("order", show.path, "--from", day, "--json", *QUICK).stdout)
    assert told["changes"]["moved"] == []
    assert "nothing being posted" in told["method"]
    # Once the sky is posted as in the can and nothing else is, nothing else has begun.
    at = f"{building['starts'][:10]}T12:00Z"
    posted = run("post", show.path, "in the can", "HL010.sky", "--at", at)
    assert posted.exit_code == 0, posted.output
    told = json.loads(run("order", show.path, "--from", day, "--json", *QUICK).stdout)
    assert "by what is posted" in told["method"]
    starts = {(each["element"], each["work"]): each["starts"] for each in told["calls"]}
    assert all(when < day for (element, _), when in starts.items() if element == "HL010.sky")
    assert all(when >= day for (element, _), when in starts.items() if element != "HL010.sky")


def test_promises_that_cannot_be_kept_are_told_with_their_places_and_end_with_1(
    show: ShowFolder,
) -> None:
    assert run("order", show.path, "--must-hold").exit_code == 0
    show.replace("show.yaml", "date: 2027-12-01", "date: 2027-03-01")
    told = run("order", show.path, "--must-hold")
    assert told.exit_code == 1
    assert told.stdout.startswith("This cannot hold:\n  HL010 is wanted for the reel delivery")
    assert "show.yaml:" in told.stdout
    assert "  - give HL010 " in told.stdout
    as_json = json.loads(run("order", show.path, "--must-hold", "--json").stdout)
    (one,) = as_json["cannot_hold"]
    assert one["promises"][0]["kind"] == "due"
    assert one["easings"][0]["working_days"] >= 1


def test_planned_again_after_the_last_call_it_says_that_nothing_is_left(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    calls = json.loads((show.path / "issued" / "order_001.json").read_bytes())["calls"]
    last = date.fromisoformat(max(each["ends"] for each in calls)[:10])
    after = last + timedelta(days=1)
    for more in ((), ("--compare",), ("HL010",)):
        told = run("order", show.path, *more, "--from", after, *QUICK).stdout
        said = f"from {day_words(after)} on: the last call was on {day_words(last)}."
        assert " ".join(told.split()).startswith(f"Nothing is left to order {said}")
        assert max(map(len, told.splitlines())) <= 80
    asked = ("order", show.path, "--json", *QUICK, "--from")
    assert json.loads(run(*asked, after).stdout)["nothing_left_from"] == str(after)
    assert "nothing_left_from" not in json.loads(run(*asked, last).stdout)
    assert "Nothing is left" not in run("order", show.path, "--from", last, *QUICK).stdout
