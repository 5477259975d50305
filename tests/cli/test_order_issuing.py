"""``platewright order``: issued, compared and planned again, as its user meets it."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

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
