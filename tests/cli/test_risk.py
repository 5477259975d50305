"""``platewright risk``: the chance of each date, of one, of none, and for machines."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from tests.cli.test_commands import QUICK, run

if TYPE_CHECKING:
    from tests.conftest import ShowFolder

FEW = ("--samples", "400", *QUICK)


def test_deliveries_and_composites_are_told_with_their_chance(show: ShowFolder) -> None:
    result = run("risk", show.path, *FEW)
    assert result.exit_code == 0, result.output
    assert "Dates as ordered are at likely durations." in result.output
    reel = next(line for line in result.output.splitlines() if line.startswith("reel "))
    assert reel.split()[1] == "2027-12-01"
    assert "100 %" in reel
    assert "\nreel: the date as ordered is kept in " in result.output
    assert any(line.startswith("HL010.final ") for line in result.output.splitlines())
    assert max(map(len, result.output.splitlines())) <= 80
    assert run("risk", show.path, *FEW).output == result.output


def test_a_shot_alone_is_told_with_what_decides_it(show: ShowFolder) -> None:
    result = run("risk", show.path, "HL010", *FEW)
    assert result.exit_code == 0, result.output
    assert "HL010.final: the date as ordered is kept in" in result.output
    assert "on the longest chain in" in result.output
    assert "reel" not in result.output


def test_a_date_that_cannot_be_kept_has_no_chance(show: ShowFolder) -> None:
    show.replace("show.yaml", "date: 2027-12-01", "date: 2027-03-02")
    told = json.loads(run("risk", show.path, "--json", *FEW).output)
    (reel,) = told["deliveries"]
    assert reel["chance_on_time"] == 0
    assert reel["kept_with"]["0.5"] <= reel["kept_with"]["0.8"] <= reel["kept_with"]["0.9"]
    assert reel["ordered"] > "2027-03-02"
    (final,) = told["composites"]
    assert final["drivers"] == []
    assert reel["drivers"][0]["share_on_longest_chain"] > 0
    assert told["draws"] == 400


def test_an_unknown_name_offers_the_nearest(show: ShowFolder) -> None:
    result = run("risk", show.path, "HL01", *QUICK)
    assert result.exit_code == 2
    assert "did you mean HL010?" in result.output


def test_what_decides_a_date_is_called_by_its_name(show: ShowFolder) -> None:
    told = run("risk", show.path, *FEW).output
    assert "  hill town, " in told
    assert "hill_town" not in told


def test_by_an_issued_order_nothing_is_drawn_to_begin_before_it_is_called_for(
    show: ShowFolder,
) -> None:
    (free,) = _composites(show)
    assert "also sooner than called" in _said(show)
    assert run("order", show.path, "--issue", *QUICK).exit_code == 0
    assert "but never before it is called for" in _said(show)
    # The same draws, of which those that gained on their calls now wait for them.
    (called,) = _composites(show)
    assert called["chance_as_ordered"] < free["chance_as_ordered"]
    assert all(called["kept_with"][each] >= day for each, day in free["kept_with"].items())
    # Arranged from scratch, nobody was called for anything.
    assert _composites(show, "--afresh") == [free]


def _composites(show: ShowFolder, *more: str) -> list[dict[str, Any]]:
    told = json.loads(run("risk", show.path, "--json", *more, *FEW).stdout)
    return list(told["composites"])


def _said(show: ShowFolder) -> str:
    return " ".join(run("risk", show.path, *FEW).stdout.split())
