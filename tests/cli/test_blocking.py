"""``platewright blocking``: a table of several, the chain of one, names that are not there."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from tests.cli.test_commands import QUICK, run

if TYPE_CHECKING:
    from tests.conftest import ShowFolder

ON = ("--on", "2027-03-01")


def test_one_shot_is_told_as_a_chain(show: ShowFolder) -> None:
    result = run("blocking", show.path, "HL010", *QUICK, *ON)
    assert result.exit_code == 0, result.output
    assert result.output.startswith("HL010.final: boarded\n")
    assert "What would shorten it most: hill town" in result.output
    assert max(map(len, result.output.splitlines())) <= 80
    assert run("blocking", show.path, "HL010.final", *QUICK, *ON).output == result.output


def test_several_are_told_as_a_table(show: ShowFolder) -> None:
    text = (show.path / "sequences/hill.yaml").read_text(encoding="utf-8")
    second = text[text.index("  HL010:") :].replace("HL010", "HL020")
    show.write("sequences/hill.yaml", text + second)
    result = run("blocking", show.path, "hill", *QUICK, *ON)
    assert result.exit_code == 0, result.output
    assert "2 composites held up" in result.output
    assert "hill town: 2 composites behind it" in result.output
    assert max(map(len, result.output.splitlines())) <= 80
    assert run("blocking", show.path, *QUICK, *ON).output == result.output


def test_what_was_posted_counts(show: ShowFolder) -> None:
    run("post", show.path, "built", "hill_town")
    told = json.loads(run("blocking", show.path, "--json", *QUICK, *ON).output)
    (blocked,) = told["blocked"]
    assert [each["id"] for each in blocked["chain"]] == ["HL010.final", "HL010.sky", "HL010.town"]


def test_what_is_lost_is_waited_for_until_the_day_posted(show: ShowFolder) -> None:
    lost = ("post", show.path, "lost", "cam", "--why", "it fell", "--at", "2026-11-02 10:00")
    before = json.loads(run("blocking", show.path, "--json", *QUICK, *ON).output)["blocked"][0]
    run(*lost, "--value", "back=2027-06-07")
    told = run("blocking", show.path, *QUICK, *ON).output
    assert "cam is lost, back 2027-06-07 as posted: it fell since" in " ".join(told.split())
    after = json.loads(run("blocking", show.path, "--json", *QUICK, *ON).output)["blocked"][0]
    assert before["final"] < "2027-06-07" < after["final"]


def test_a_name_that_is_not_there_offers_the_nearest(show: ShowFolder) -> None:
    result = run("blocking", show.path, "HL01", *QUICK)
    assert result.exit_code == 2
    assert "did you mean HL010?" in result.output


def test_looking_writes_nothing(show: ShowFolder) -> None:
    before = sorted(each.name for each in show.path.iterdir())
    run("blocking", show.path, *QUICK)
    assert sorted(each.name for each in show.path.iterdir()) == before


def test_what_was_posted_after_the_day_asked_about_is_left_out(show: ShowFolder) -> None:
    run("post", show.path, "built", "hill_town", "--at", "2026-01-09 10:00")
    asked = ("blocking", show.path, *QUICK, "--json", "--on")
    assert "hill_town" in run(*asked, "2026-01-08").output
    assert '"hill_town"' not in run(*asked, "2026-01-09").output


def test_an_approval_before_its_pieces_ends_no_chain(show: ShowFolder) -> None:
    # Neither sky nor town is posted; the same pieces are waited for as before the approval.
    before = json.loads(run("blocking", show.path, "--json", *QUICK, *ON).output)["blocked"][0]
    run("post", show.path, "approved", "HL010.final", "--by", "x", "--at", "2026-01-08 10:00")
    after = json.loads(run("blocking", show.path, "--json", *QUICK, *ON).output)["blocked"][0]
    assert after["state"] == "approved before its pieces were there"
    assert [each["id"] for each in after["chain"]] == [each["id"] for each in before["chain"]]
    assert after["final"] == before["final"]
    page = show.path.parent / "page.html"
    run("report", show.path, "--to", page, *ON, "--tries", "5")
    assert "approved before its pieces were there" in page.read_text("utf-8")
