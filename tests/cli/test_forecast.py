"""``platewright forecast``: what is to come, what moved, and days that cannot be compared."""

from __future__ import annotations

import json
import time
from pathlib import Path
from shutil import copytree
from typing import TYPE_CHECKING

from tests.cli.test_commands import QUICK, run

if TYPE_CHECKING:
    import pytest

    from tests.conftest import ShowFolder

EXAMPLE = Path(__file__).parents[2] / "example_shows" / "nine_bells_under"
FEW = ("--samples", "400", *QUICK)
ON = ("--on", "2026-01-12", *FEW)


def begun(show: ShowFolder) -> ShowFolder:
    show.replace("show.yaml", "starts: 2027-03-01", "starts: 2026-01-05")
    return show


def test_a_quiet_week_moves_every_date_by_five_days(show: ShowFolder) -> None:
    result = run("forecast", begun(show).path, *ON)
    assert result.exit_code == 0, result.output
    reel = next(line for line in result.output.splitlines() if line.startswith("reel "))
    assert reel.split()[-1] == "+5"
    assert "HL010.final +5 (+5, +0, +0)" in result.output
    assert max(map(len, result.output.splitlines())) <= 80


def test_what_was_posted_is_told_with_its_day(show: ShowFolder) -> None:
    run("post", begun(show).path, "built", "hill_town", "--at", "2026-01-08 10:00")
    result = run("forecast", show.path, "HL010", *ON)
    assert "    hill_town: done, built, was boarded (2026-01-08)" in result.output
    assert "by days gone by, had nothing been posted" in " ".join(result.output.split())
    told = json.loads(run("forecast", show.path, "--json", *ON).output)
    (final,) = told["composites"]
    assert [each["id"] for each in final["happened"]] == ["hill_town"]
    assert sum(final["moved_by"].values()) == final["moved_working_days"]


def test_its_date_is_that_of_what_blocks_it(show: ShowFolder) -> None:
    run("post", begun(show).path, "built", "hill_town", "--at", "2026-01-08 10:00")
    told = json.loads(run("forecast", show.path, "--json", *ON).output)
    held = json.loads(run("blocking", show.path, "--json", "--on", "2026-01-12", *QUICK).output)
    assert told["composites"][0]["now"]["ordered"] == held["blocked"][0]["final"]


def test_no_date_is_kept_before_it_is_expected_where_people_come_as_called(
    show: ShowFolder,
) -> None:
    run("order", begun(show).path, "--issue", *QUICK)
    # Both pieces are there a week before their calls; the composite is called for when it was.
    for piece in ("HL010.sky", "HL010.town"):
        run("post", show.path, "scanned", piece, "--at", "2026-01-06 10:00")
    told = json.loads(run("forecast", show.path, "--json", *ON).stdout)
    (final,) = told["composites"]
    issued = json.loads((show.path / "issued/order_001.json").read_text("utf-8"))
    assert final["now"]["ordered"][:10] == issued["finals"]["HL010"][:10]
    assert final["now"]["kept_with"]["0.8"] >= final["now"]["ordered"][:10]
    # Where no order is gone by, nobody waits for a day.
    (free,) = json.loads(run("forecast", show.path, "--json", *ON, "--afresh").stdout)["composites"]
    assert free["now"]["ordered"] < final["now"]["ordered"]


def test_each_says_by_what_rule_its_dates_come(show: ShowFolder) -> None:
    rule = "by order 1, what is left stands where it was called, or as soon after as it fits;"
    free = "what is left is done as soon as it fits, in the turns of an order arranged now."
    by_order = ("blocking", show.path, "--on", "2026-01-12", *QUICK)
    assert free in _words(*by_order)
    assert free in _words("forecast", begun(show).path, *ON)
    run("order", show.path, "--issue", *QUICK)
    assert rule in _words(*by_order)
    assert rule in _words("forecast", show.path, *ON)
    again = _words("order", show.path, "--from", "2026-01-12", *QUICK)
    assert "`blocking` and `forecast` move none that can stay, so that their dates may differ" in (
        again
    )
    # As it was issued, it has the dates that they have.
    assert "their dates may differ" not in _words("order", show.path, *QUICK)


def _words(*asked: object) -> str:
    told = run(*asked).stdout
    assert max(map(len, told.splitlines())) <= 80
    return " ".join(told.split())


def test_it_goes_by_the_issued_order_as_what_blocks_does(show: ShowFolder) -> None:
    run("order", begun(show).path, "--issue", *QUICK)
    for command in (("forecast", *ON), ("blocking", "--on", "2026-01-12", *QUICK)):
        result = run(command[0], show.path, *command[1:])
        assert "By order 1: what is left of it stands as called" in result.stderr
    result = run("forecast", show.path, *ON, "--afresh")
    assert "By order" not in result.stderr


def test_a_week_in_which_nothing_was_posted_takes_no_turn_anew(tmp_path: Path) -> None:
    # The example show has stages, rigs and crews enough that two searches find other turns.
    show = tmp_path / "nine_bells"
    copytree(EXAMPLE, show)
    asked = ("--on", "2027-03-15", "--since", "2027-03-08", "--samples", "100", "--tries", "200")
    told = json.loads(run("forecast", show, *asked, "--json").stdout)
    moved = [each["moved_by"] for each in told["composites"] if each["moved_by"]]
    assert len(moved) > 10
    # Five working days went by; what has a day of its own to wait for is not later even so, and
    # what had some hours to wait for such a thing is later by less.
    later = {each["nothing_posted"] for each in moved}
    assert {0, 5} <= later <= set(range(6))
    assert {(each["posted"], each["turns"]) for each in moved} == {(0, 0)}


def test_a_day_is_compared_with_an_earlier_one_only(show: ShowFolder) -> None:
    result = run("forecast", show.path, "--since", "2026-01-12", *ON)
    assert result.exit_code == 2
    assert "is not before 2026-01-12" in result.output


def test_an_unknown_name_offers_the_nearest(show: ShowFolder) -> None:
    result = run("forecast", show.path, "HL01", *ON)
    assert result.exit_code == 2
    assert "did you mean HL010?" in result.output


def test_a_day_includes_its_evening_by_this_clock_in_every_command(
    show: ShowFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TZ", "Europe/Berlin")
    time.tzset()
    try:
        # 23:59 on Monday in Berlin, in winter an hour before London's.
        begun(show)
        run("post", show.path, "built", "hill_town", "--at", "2026-01-12T22:59+00:00")
        # 00:30 on Tuesday there, though still Monday, 23:30, in London.
        run("post", show.path, "in-the-can", "HL010.sky", "--at", "2026-01-12T23:30+00:00")
        for day, is_known in (("2026-01-12", False), ("2026-01-13", True)):
            blocked = run("blocking", show.path, "--on", day, *QUICK).stdout
            assert "hill_town" not in blocked
            assert ("HL010.sky" not in blocked) is is_known
            told = run("forecast", show.path, "--on", day, "--since", "2026-01-09", *QUICK).stdout
            assert "hill_town: done" in told
            assert ("HL010.sky: done" in told) is is_known
    finally:
        monkeypatch.undo()
        time.tzset()


def test_a_week_ago_went_by_the_order_that_was_in_force_then(show: ShowFolder) -> None:
    run("order", begun(show).path, "--issue", *QUICK)
    lost = ("lost", "north", "--at", "2026-01-08 10:00", "--value", "back=2026-03-02")
    run("post", show.path, *lost)
    run("order", show.path, "--from", "2026-01-12", "--issue", *QUICK)
    result = run("forecast", show.path, "--json", *ON)
    (final,) = json.loads(result.stdout)["composites"]
    # Each day tells the date that the order people then worked by gives the shot.
    for name, number in (("was", 1), ("now", 2)):
        issued = json.loads((show.path / f"issued/order_{number:03d}.json").read_text("utf-8"))
        assert final[name]["ordered"][:10] == issued["finals"]["HL010"][:10]
    assert final["moved_working_days"] > 0
    assert final["moved_by"]["nothing_posted"] == 0
    # A fortnight on, order 2 was in force on both days.
    later = ("--on", "2026-01-26", *FEW)
    assert json.loads(run("forecast", show.path, "--json", *later).stdout)["reissued"] is None
    said = " ".join(run("forecast", show.path, *ON).stdout.split())
    assert "by the order in force then (order 2 is now)" in said
