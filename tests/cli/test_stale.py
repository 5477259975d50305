"""``platewright stale``: what changed facts left behind, for people and for machines."""

from __future__ import annotations

import json
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from tests.cli.test_commands import QUICK, run

if TYPE_CHECKING:
    from tests.conftest import ShowFolder


@pytest.fixture
def shot(show: ShowFolder) -> ShowFolder:
    """Sky and town were photographed; the cut then grew by 24 frames, past its 8 of handle."""
    run("post", show.path, "built", "hill_town")
    for about in ("HL010.sky", "HL010.town"):
        told = run(
            "post", show.path, "take", about, "--take", "1", "--verdict", "good", "--circled"
        )
        assert told.exit_code == 0, told.output
    run("post", show.path, "in-the-can", "HL010.sky", "--take", "1")
    show.replace("sequences/hill.yaml", "cut: 1-96", "cut: 1-120")
    return show


def test_it_is_told_worst_first_and_fits_a_terminal(shot: ShowFolder) -> None:
    result = run("stale", shot.path)
    assert result.exit_code == 0, result.output
    text = " ".join(result.output.split())
    assert text.startswith("Of 3 pieces of which something was made, 1 is dead:")
    # 120 - (96 + 8) = 16.
    assert "HL010.sky: in the can, dead: 16 frames short at the tail" in text
    assert "next: photograph it again" in text
    assert text.index("HL010.sky:") < text.index("HL010.town:")
    assert max(map(len, result.output.splitlines())) <= 80


def test_each_judgement_opens_to_its_numbers(shot: ShowFolder) -> None:
    result = run("stale", shot.path, "HL010.sky", "--numbers")
    assert "frames short at the tail = 16, reckoned" in result.output
    assert "frame last wanted = 120, given" in result.output
    assert max(map(len, result.output.splitlines())) <= 80


def test_machines_get_every_judgement(shot: ShowFolder) -> None:
    told = json.loads(run("stale", shot.path, "--json").output)
    by_id = {each["id"]: each for each in told["stale"]}
    assert by_id["HL010.sky"]["verdict"] == "dead"
    assert by_id["HL010.sky"]["frames_short"] == {"head": 0, "tail": 16}
    assert by_id["HL010.sky"]["changes"] == [{"name": "shot cut", "was": "1-96", "now": "1-120"}]
    assert [each["id"] for each in told["good"]] == ["hill_town"]


def test_a_part_of_the_show_may_be_asked_about(shot: ShowFolder) -> None:
    assert run("stale", shot.path, "HL010").output == run("stale", shot.path, "hill").output
    assert "HL010.town" not in run("stale", shot.path, "HL010.sky").output
    result = run("stale", shot.path, "HL011")
    assert result.exit_code == 2
    assert "did you mean HL010?" in result.output


def test_nothing_posted_is_nothing_stale(show: ShowFolder) -> None:
    result = run("stale", show.path)
    assert (result.exit_code, result.output) == (
        0,
        "Nothing has been posted as made, so nothing can be stale.\n",
    )


def test_blocking_wants_a_dead_piece_again(shot: ShowFolder) -> None:
    on = ("--on", "2100-01-04")
    told = json.loads(run("blocking", shot.path, "HL010", "--json", *QUICK, *on).output)
    chain = {each["id"]: each for each in told["blocked"][0]["chain"]}
    assert chain["HL010.sky"]["state"] == "in the can, dead: 16 frames short at the tail"
    assert "HL010.sky" in told["blocked"][0]["roots"]


def test_what_had_not_happened_by_a_day_is_left_out(show: ShowFolder) -> None:
    run("post", show.path, "built", "hill_town", "--on", "2027-03-09")
    assert "Nothing has been posted" in run("stale", show.path, "--on", "2027-03-08").output
    assert (
        "made of 1 piece; as far as facts have changed, all still stand"
        in run("stale", show.path, "--on", "2027-03-09").output
    )


def test_a_change_order_tells_of_a_dead_take_what_a_recut_said_of_it(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    run("bid", show.path, "--issue", *QUICK)
    run("post", show.path, "take", "HL010.sky", "--take", "1", "--verdict", "good", "--circled")
    run("post", show.path, "in-the-can", "HL010.sky", "--take", "1")
    row = "2027-03-08,HL010.sky,set up on location,,900.00,0,"
    show.write("actuals.csv", f"week,element,what,hours,cost,left,note\n{row}\n")
    sound = json.loads(run("bid", show.path, "--change-order", "1", "--json", *QUICK).stdout)
    assert sound["lost"] == []
    changes = show.path.parent / "longer.yaml"
    changes.write_text("changes: [{lengthen: HL010, tail: 24}]\n", encoding="utf-8")
    told = json.loads(run("recut", show.path, changes, "--json", "--accept", *QUICK).stdout)
    sky = next(each for each in told["shots"][0]["elements"] if each["element"] == "HL010.sky")
    found = json.loads(run("bid", show.path, "--change-order", "1", "--json", *QUICK).stdout)
    (lost,) = found["lost"]
    # Its other lines have no rate in this show, so 900 is all that it cost; nothing holds a stage.
    assert (lost["element"], lost["cost"], lost["is_omitted"]) == ("HL010.sky", "900.00", False)
    assert lost["days_held"] == "0.00"
    assert lost["why"].startswith("dead: ")
    assert found["net"] == found["comparison"]["difference"]
    assert sky["money"]["dead"] == "900.00"
    # The bid holds the making to come and the one that is spent.
    said = " ".join(run("bid", show.path, *QUICK).stdout.split())
    assert "Spent, and made again: HL010.sky, 900.00 (dead: " in said
    # What it comes to in the end counts both: 900 that are spent, and as much as was bid for one.
    spent = json.loads(run("bid", show.path, "--actuals", "--json", *QUICK).stdout)
    (row,) = spent["rows"]
    assert (row["spent"], row["to_go"], row["dead"]) == ("900.00", row["bid"], True)
    # Nor is that forgotten once something else is omitted.
    run("post", show.path, "omitted", "HL010.town", "--by", "the director")
    told = run("bid", show.path, *QUICK)
    assert "HL010.town" in told.stderr
    assert "Spent, and made again: HL010.sky, 900.00 (dead: " in " ".join(told.stdout.split())


def test_a_change_order_tells_of_stage_days_that_a_dead_take_stood_and_nobody_holds(
    show: ShowFolder,
) -> None:
    run("order", show.path, "--issue", *QUICK)
    run("bid", show.path, "--issue", *QUICK)
    calls = json.loads(run("order", show.path, "--json", *QUICK).stdout)["calls"]
    town = [each for each in calls if each["element"] == "HL010.town" and each["stage"]]
    stood = sorted({each[end][:10] for each in town for end in ("starts", "ends")})
    for what, about in (("built", "hill_town"), ("in-the-can", "HL010.town")):
        posted = run("post", show.path, what, about, "--on", stood[-1])
        assert posted.exit_code == 0, posted.output
    show.replace(
        "sequences/hill.yaml",
        "camera: {lens: prime_35, height: 6 m, stop: f/8}",
        "camera: {lens: prime_35, height: 30 m, stop: f/8}",
    )
    told = json.loads(run("bid", show.path, "--change-order", "1", "--json", *QUICK).stdout)
    assert told["days_lost"] == []
    run("order", show.path, "--from", "2027-06-01", "--issue", *QUICK)
    told = json.loads(run("bid", show.path, "--change-order", "1", "--json", *QUICK).stdout)
    # It alone stands on the stage; photographed again from June, it leaves all its days behind.
    assert [each["element"] for each in told["lost"]] == ["HL010.town"]
    assert [day for _stage, day in told["days_lost"]] == stood


def test_what_was_photographed_and_omitted_since_is_one_loss_wherever_it_is_told(
    show: ShowFolder,
) -> None:
    run("order", show.path, "--issue", *QUICK)
    run("bid", show.path, "--issue", *QUICK)
    posted = run("post", show.path, "in-the-can", "HL010.town")
    assert posted.exit_code == 0, posted.output
    lines = json.loads(run("bid", show.path, "--revision", "1", "--json").stdout)["lines"]
    spent = sum(
        Decimal(each["likely"])
        for each in lines
        if each["element"] == "HL010.town" and each["phase"] != "finish"
    )
    # Its labour, and its share of the stage: a day of that alone is 2,400.
    assert spent > 2400
    # The files omit its shot: what it cost is not wanted, and not back either.
    show.replace("sequences/hill.yaml", "cut: 1-96", "state: omitted\n    cut: 1-96")
    (told,) = json.loads(run("stale", show.path, "--json").stdout)["omitted"]
    assert (told["id"], Decimal(told["lost"]), told["bid_in"]) == (
        "HL010.town",
        spent,
        "revision 1",
    )
    assert "Made, and omitted since:" in run("stale", show.path).stdout


def test_a_take_that_is_no_good_stands_as_far_as_facts_go_only(show: ShowFolder) -> None:
    take = ("--take", "1", "--verdict", "no good", "--on", "2027-03-12")
    run("post", show.path, "take", "HL010.sky", *take)
    told = run("stale", show.path, "--on", "2027-03-15").stdout
    assert "1 piece; as far as facts have changed, all still stand." in " ".join(told.split())
    assert "HL010.sky, take 1 no good: " in told
    assert "GBP, as posted, else as its work is priced" in " ".join(told.split())
