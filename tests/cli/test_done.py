"""What is posted as made, lost, refused or omitted, in the bid of a whole show."""

from __future__ import annotations

import json
import shutil
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from tests.cli.test_commands import QUICK, run

if TYPE_CHECKING:
    from pathlib import Path

START = "2027-03-01"


@pytest.fixture
def hill(tmp_path: Path) -> Path:
    """The starter show, its order and its first bid issued."""
    folder = tmp_path / "hill"
    assert run("new", folder).exit_code == 0
    for command in ("order", "bid"):
        issued = run(command, folder, "--issue", *QUICK)
        assert issued.exit_code == 0, issued.output
    return folder


def post(folder: Path, *words: str, on: str) -> str:
    told = run("post", folder, *words, "--on", on)
    assert told.exit_code == 0, told.output
    return told.output


def bid(folder: Path) -> dict[str, object]:
    told = run("bid", folder, "--json", *QUICK)
    assert told.exit_code == 0, told.output
    return json.loads(told.stdout)


def total(folder: Path) -> Decimal:
    return Decimal(bid(folder)["total"]["likely"])


def last_day(folder: Path, element: str) -> str:
    """The last day on which the order calls something on its floor or in its shop."""
    calls = json.loads(run("order", folder, "--json", *QUICK).stdout)["calls"]
    return max(each["ends"] for each in calls if each["element"] == element)[:10]


def in_the_can(folder: Path, element: str) -> str:
    """A take of it that is good, on the day that it was called for."""
    calls = json.loads(run("order", folder, "--json", *QUICK).stdout)["calls"]
    mine = [each for each in calls if each["element"] == element and each["stage"]]
    day = max(each["ends"] for each in mine)[:10]
    post(folder, "take", element, "--take", "1", "--verdict", "good", "--circled", on=day)
    post(folder, "in-the-can", element, "--take", "1", on=day)
    return day


def test_a_build_made_and_lost_is_paid_and_priced_once_more(hill: Path) -> None:
    before = bid(hill)
    day = last_day(hill, "hill_town")
    post(hill, "built", "hill_town", on=day)
    assert bid(hill)["total"] == before["total"]
    post(hill, "lost", "hill_town", on=day)
    after = bid(hill)
    own = [each for each in before["lines"] if each["element"] == "hill_town"]
    (spent,) = after["spent_again"]
    assert spent["element"] == "hill_town"
    # The order stands as issued, so that its one making is there as it was, and once more.
    assert Decimal(spent["cost"]) == sum(Decimal(each["likely"]) for each in own)
    assert after["days_lost"] == []
    text = run("bid", hill, *QUICK).stdout
    assert f"Spent, and made again: hill town, {Decimal(spent['cost']):,.2f} (lost {day})." in text
    page = run("bid", hill, "--summary", *QUICK).stdout
    assert "Spent, and made again: hill town" in page
    assert max(map(len, page.splitlines())) <= 80
    # Made for the second time, the first was paid all the same.
    post(hill, "built", "hill_town", on="2027-06-01")
    assert bid(hill)["spent_again"] == after["spent_again"]


def test_the_change_order_is_the_difference_of_the_bids_and_tells_it_once(hill: Path) -> None:
    before = total(hill)
    day = last_day(hill, "hill_town")
    post(hill, "built", "hill_town", on=day)
    post(hill, "lost", "hill_town", on=day)
    told = json.loads(run("bid", hill, "--change-order", "1", "--json", *QUICK).stdout)
    assert Decimal(told["net"]) == total(hill) - before > 0
    (lost,) = told["lost"]
    assert lost["element"] == "hill_town"
    run("bid", hill, "--issue", *QUICK)
    told = json.loads(run("bid", hill, "--change-order", "2", "--json", *QUICK).stdout)
    assert (told["lost"], told["net"]) == ([], "0.00")


def test_a_take_refused_is_paid_with_its_days_once_it_is_called_again(hill: Path) -> None:
    day = in_the_can(hill, "HL010.town")
    before = bid(hill)
    said = post(hill, "take", "HL010.town", "--take", "1", "--verdict", "no good", on=day)
    assert "take 1 in the can is no good and no other will do: it is called again" in " ".join(
        said.split()
    )
    run("order", hill, "--from", "2027-06-01", "--issue", *QUICK)
    after = bid(hill)
    assert [each["element"] for each in after["spent_again"]] == ["HL010.town"]
    days = sorted(each for _stage, each in after["days_lost"])
    assert days[-1] == day
    assert all(each < "2027-06-01" for each in days)
    stage = [
        each for each in after["lines"] if each["spent"] and each["craft"] == "stage by the day"
    ]
    # 2,400 a day for each of them.
    assert sum(Decimal(each["likely"]) for each in stage) == 2400 * len(days)
    assert Decimal(after["total"]["likely"]) > Decimal(before["total"]["likely"])


def test_what_was_photographed_and_omitted_saves_none_of_its_days(hill: Path) -> None:
    in_the_can(hill, "HL010.town")
    before = bid(hill)
    post(hill, "omitted", "HL010", "--by", "the director", on="2027-06-01")
    after = bid(hill)
    assert [each["element"] for each in after["spent_unwanted"]] == ["HL010.town"]

    def held(told: dict[str, object]) -> Decimal:
        rows = [each for each in told["lines"] if each["craft"] == "stage by the day"]
        return sum((Decimal(each["likely"]) for each in rows), Decimal(0))

    assert held(after) == held(before)


def test_a_longer_cut_within_the_handles_buys_no_film_of_what_is_in_the_can(hill: Path) -> None:
    in_the_can(hill, "HL010.town")
    changes = hill.parent / "longer.yaml"
    changes.write_text("changes: [{lengthen: HL010, tail: 6}]\n", encoding="utf-8")
    before = bid(hill)
    told = json.loads(run("recut", hill, changes, "--json", "--accept", *QUICK).stdout)
    after = bid(hill)

    def film(told: dict[str, object]) -> dict[str, str]:
        names = {"negative", "processing", "prints", "scans", "photograph"}
        rows = [each for each in told["lines"] if each["element"] == "HL010.town"]
        return {each["what"]: each["likely"] for each in rows if each["what"] in names}

    assert film(after) == film(before)
    assert len(film(after)) == 5
    # What is not photographed yet is bought longer, which is all that the recut adds.
    assert Decimal(told["bid"]["more"]) == Decimal(told["money"]["net"]) > 0


def test_frames_shown_slower_are_not_scanned_again(hill: Path) -> None:
    in_the_can(hill, "HL010.town")
    changes = hill.parent / "slower.yaml"
    changes.write_text("changes: [{retime: HL010, speed: 50 %}]\n", encoding="utf-8")
    before = bid(hill)
    accepted = run("recut", hill, changes, "--accept", *QUICK)
    assert accepted.exit_code == 0, accepted.output

    def scans(told: dict[str, object]) -> list[str]:
        rows = [each for each in told["lines"] if each["what"] == "scans"]
        return [each["likely"] for each in rows if each["element"] == "HL010.town"]

    assert scans(bid(hill)) == scans(before) != []


def test_scenarios_are_priced_with_what_is_spent(hill: Path) -> None:
    day = last_day(hill, "hill_town")
    post(hill, "built", "hill_town", on=day)
    post(hill, "lost", "hill_town", on=day)
    what = hill.parent / "what.yaml"
    what.write_text("scenarios:\n  earlier: {set: {reel.date: 2027-03-02}}\n", encoding="utf-8")
    told = json.loads(run("sweep", hill, what, "--json", "--jobs", "1", *QUICK).stdout)
    assert Decimal(told["scenarios"][0]["cost"]["likely"]) == total(hill)


def test_stale_tells_what_was_spent_on_what_is_made_again(hill: Path) -> None:
    day = last_day(hill, "hill_town")
    post(hill, "built", "hill_town", on=day)
    assert "another cause" not in run("stale", hill).stdout
    post(hill, "lost", "hill_town", on=day)
    (spent,) = bid(hill)["spent_again"]
    told = json.loads(run("stale", hill, "--json").stdout)
    assert told["made_again"] == [{"id": "hill_town", "why": f"lost {day}", "spent": spent["cost"]}]
    text = run("stale", hill).stdout
    assert f"hill_town, lost {day}: {Decimal(spent['cost']):,.2f} GBP" in text


def test_a_recut_says_on_whose_days_it_is_and_counts_takes_refused_as_dead(hill: Path) -> None:
    day = in_the_can(hill, "HL010.town")
    changes = hill.parent / "gone.yaml"
    changes.write_text("changes: [{omit: HL010}]\n", encoding="utf-8")
    sound = json.loads(run("recut", hill, changes, "--json", *QUICK).stdout)
    assert sound["basis"].startswith("order 1 as issued on ")
    assert f"on the days of {sound['basis']}" in run("recut", hill, changes, *QUICK).stdout
    post(hill, "take", "HL010.town", "--take", "1", "--verdict", "no good", on=day)
    (spent,) = bid(hill)["spent_again"]
    told = json.loads(run("recut", hill, changes, "--json", *QUICK).stdout)
    # Nothing that counts is photographed any more, and what was is dead whatever becomes of it.
    town = next(e for e in told["shots"][0]["elements"] if e["element"] == "HL010.town")
    assert (town["money"]["spent"], town["money"]["dead"]) == (spent["cost"], spent["cost"])


def test_what_a_lost_stage_costs_is_one_line_beside_the_sums(hill: Path, tmp_path: Path) -> None:
    assert bid(hill)["lost"] is None
    there = tmp_path / "there"
    shutil.copytree(hill, there)
    post(hill, "lost", "north", "--value", "back=2027-03-22", on=START)
    told = bid(hill)["lost"]
    things = ["North stage, since 2027-03-01, back 2027-03-22 as posted"]
    assert told == {"things": things, "cost": None, "beside_order": None}
    said = " ".join(run("bid", hill, *QUICK).stdout.split())
    assert f"Lost: {things[0]}: called all the same, so that the bid" in said
    for folder in (hill, there):
        again = run("order", folder, "--from", START, "--issue", *QUICK)
        assert again.exit_code == 0, again.output
    lost = bid(hill)["lost"]
    assert lost["beside_order"] == 1
    cost = Decimal(lost["cost"])
    assert cost == total(hill) - total(there)
    page = " ".join(run("bid", hill, "--summary", *QUICK).stdout.split())
    around = (
        f"going on around it costs {cost:+,.2f} likely, in the total, beside what order 1 called"
    )
    assert f"Lost: {things[0]}: {around}." in page


def test_a_change_after_a_loss_says_why_and_that_nobody_has_planned_again(hill: Path) -> None:
    day = last_day(hill, "hill_town")
    post(hill, "built", "hill_town", on=day)
    post(hill, "lost", "hill_town", "--why", "the shelf gave way", on=day)
    asked = ("bid", hill, "--change-order", "1", *QUICK)
    said = " ".join(run(*asked).stdout.split())
    assert f"cause: as posted: hill town, lost {day}: the shelf gave way no costs" in said
    assert "Days are those of order 1 as issued on " in said
    assert "what is made again has none yet" in said
    assert "The last call stays" not in said
    # Lost on a Friday, and made again from Monday on.
    assert day == "2027-03-12"
    again = run("order", hill, "--from", "2027-03-15", "--issue", *QUICK)
    assert again.exit_code == 0, again.output
    planned = " ".join(run(*asked).stdout.split())
    assert "The last call is " in planned
    assert "Days are those of" not in planned


def test_what_is_lost_is_lost_and_not_come_back(hill: Path) -> None:
    day = last_day(hill, "hill_town")
    post(hill, "built", "hill_town", on="2027-03-02")
    post(hill, "lost", "hill_town", on=day)
    told = " ".join(
        run("forecast", hill, "--since", "2027-03-02", "--on", day, *QUICK).stdout.split()
    )
    assert "hill_town: lost, was built" in told
    assert "came back" not in told
    acts = run("blocking", hill, "--on", day, *QUICK).stdout
    assert "make hill_town again" in " ".join(acts.split())
    assert "mend" not in acts


def test_what_is_past_and_not_posted_is_one_line_beside_the_sums(hill: Path) -> None:
    day, monday = last_day(hill, "hill_town"), "2027-03-15"
    before = total(hill)
    # The first work that is posted: whatever else is past is then still to be done.
    post(hill, "built", "hill_town", on=day)
    assert bid(hill)["called_again"] is None
    again = run("order", hill, "--from", monday, "--issue", *QUICK)
    assert again.exit_code == 0, again.output
    told = bid(hill)["called_again"]
    assert (told["order"], told["from"]) == (1, monday)
    assert told["calls"] >= 1
    assert Decimal(told["more"]) == total(hill) - before
    page = " ".join(run("bid", hill, "--summary", *QUICK).stdout.split())
    assert f"of order 1 before {monday}, so that they are still to be done:" in page
    assert "Post what was done, with its day after `--at`: " in page
    assert told["posts"][0] in page
    # Once that is posted, nothing is wanting; that it stays called costs no more.
    for each in told["posts"]:
        what, about = each.strip("`").split()[3:5]
        post(hill, what, about, on=day)
    assert (bid(hill)["called_again"], total(hill)) == (None, before)


def test_what_was_posted_late_stays_in_the_bid_until_it_is_planned_again(hill: Path) -> None:
    rates = hill / "rates.yaml"
    text = rates.read_text(encoding="utf-8")
    was = "{from: 2027-01-01, is: 40.00 GBP}"
    assert text.count(was) == 1
    rates.write_text(text.replace(was, f"{was}, {{from: 2027-03-15, is: 50.00 GBP}}"), "utf-8")
    day, monday = last_day(hill, "hill_town"), "2027-03-15"
    before = total(hill)
    post(hill, "built", "hill_town", on=day)
    assert run("order", hill, "--from", monday, "--issue", *QUICK).exit_code == 0
    told = bid(hill)["called_again"]
    # The town is set up and photographed by dearer hands from Monday on.
    assert Decimal(told["more"]) == total(hill) - before > 0
    assert (told["posted_since"], told["plan_from"]) == (0, None)
    first, *others = (each.strip("`").split()[3:5] for each in told["posts"])
    post(hill, *first, on=day)
    page = " ".join(run("bid", hill, "--summary", *QUICK).stdout.split())
    again = f"`platewright order SHOW --from {monday} --issue`"
    assert "Past and not posted: " in page
    assert f"Planning again leaves out what is posted: {again}." in page
    for each in others:
        post(hill, *each, on=day)
    late = bid(hill)["called_again"]
    assert (late["calls"], late["posts"]) == (0, [])
    assert (late["posted_since"], late["more"]) == (told["calls"], told["more"])
    page = " ".join(run("bid", hill, "--summary", *QUICK).stdout.split())
    assert f"Planning again takes that away: {again}." in page
    assert run("order", hill, "--from", monday, "--issue", *QUICK).exit_code == 0
    assert (bid(hill)["called_again"], total(hill)) == (None, before)
