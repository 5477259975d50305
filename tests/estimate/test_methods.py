"""Choices between methods as a show's files state them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.cli.opening import open_sound
from planner.estimate.methods import method_problems
from planner.kinds import Registry
from planner.model.place import Problem, Severity
from planner.text.show_folder import load_show

if TYPE_CHECKING:
    from planner.model.show import Show
    from tests.conftest import ShowFolder

FINAL = "final: {kind: composite, joins: [sky, town]}"


def two_ways(show: ShowFolder, *, town: str = "", drawn: str = "", joins: str = "town") -> Show:
    """The small show with a town by model or by computer."""
    more = f", {drawn}" if drawn else ""
    way = f"drawn: {{kind: drawn, sort: computer, alternative_to: town{more}}}"
    final = f"final: {{kind: composite, joins: [sky, {joins}]}}"
    show.replace("sequences/hill.yaml", "kind: miniature", f"kind: miniature{town}")
    show.replace("sequences/hill.yaml", FINAL, f"{way}\n      {final}")
    read, problems = load_show(show.path, Registry())
    assert problems == ()
    assert read is not None
    return read


def method(**said: str) -> str:
    """``method`` of the town, as its own line."""
    inside = ", ".join(f"{name}: {words}" for name, words in said.items())
    return f"\n        method: {{{inside}}}"


def inline(**said: str) -> str:
    return method(**said).strip()


def found(read: Show) -> dict[str, Problem]:
    return {each.code: each for each in method_problems(read)}


def test_the_way_the_others_name_is_made_and_says_nothing(show: ShowFolder) -> None:
    read = two_ways(show)
    assert read.aside == {"HL010.drawn"}
    assert not read.is_live(read.elements["HL010.drawn"])
    assert found(read) == {}


def test_the_way_chosen_is_made_with_what_only_it_wants(show: ShowFolder) -> None:
    chosen = inline(verdict="chosen", by="the director", on="2027-03-04")
    read = two_ways(show, drawn=chosen, joins="drawn")
    assert read.aside == {"HL010.town", "hill_town"}
    assert found(read) == {}


def test_work_booked_on_a_rejected_way_is_told(show: ShowFolder) -> None:
    rejected = method(verdict="rejected", by="the director")
    told = found(two_ways(show, town=rejected))["waits-for-method-not-taken"]
    assert told.severity is Severity.ERROR
    assert told.about == "HL010.final"
    assert "HL010.town, which is rejected" in told.message
    assert "name HL010.drawn instead" in told.remedy


def test_two_ways_chosen_are_told(show: ShowFolder) -> None:
    chosen = {"verdict": "chosen", "by": "the director"}
    read = two_ways(show, town=method(**chosen), drawn=inline(**chosen))
    told = found(read)["two-methods-chosen"]
    assert "HL010.town is reckoned with" in told.message
    assert read.aside == {"HL010.drawn"}


def test_a_verdict_nobody_gave_is_told(show: ShowFolder) -> None:
    told = found(two_ways(show, town=method(verdict="chosen")))["verdict-without-name"]
    assert told.about == "HL010.town"
    signed = two_ways_again(show)
    assert "verdict-without-name" not in found(signed)


def two_ways_again(show: ShowFolder) -> Show:
    show.replace("sequences/hill.yaml", "verdict: chosen", "verdict: chosen, by: the director")
    read, _problems = load_show(show.path, Registry())
    assert read is not None
    return read


def test_every_way_rejected_leaves_nothing_to_join(show: ShowFolder) -> None:
    rejected = {"verdict": "rejected", "by": "the director"}
    told = found(two_ways(show, town=method(**rejected), drawn=inline(**rejected)))
    assert "nobody makes it" in told["every-method-rejected"].message
    assert "take it out" in told["waits-for-method-not-taken"].remedy


@pytest.mark.parametrize(
    ("result", "says"), [("not yet", "not been passed"), ("failed", "has failed"), ("passed", "")]
)
def test_a_chosen_way_waits_for_its_test(show: ShowFolder, result: str, says: str) -> None:
    show.write(
        "builds.yaml",
        (show.path / "builds.yaml").read_text(encoding="utf-8")
        + "tests:\n  trial:\n    purpose: whether water reads\n    passes_when: it does\n"
        + f"    result: {result}\n",
    )
    chosen = method(verdict="chosen", by="the director") + "\n        waits_for: trial"
    told = found(two_ways(show, town=chosen))
    if not says:
        assert told == {}
    else:
        assert says in told["chosen-method-untested"].message


def test_an_untried_way_is_not_chosen_without_any_test(show: ShowFolder) -> None:
    chosen = method(verdict="chosen", by="the director") + "\n        risk: untried"
    assert "untried" in found(two_ways(show, town=chosen))["chosen-method-without-test"].message


def test_findings_of_a_way_not_taken_are_left_out(show: ShowFolder) -> None:
    two_ways(show, drawn="most_a_second: 1 GBP")
    estimates = open_sound(show.path).estimates
    assert estimates.by_element["HL010.drawn"].work != ()
    assert not [each for each in estimates.problems if each.about == "HL010.drawn"]
    assert not [each for each in estimates.missing if each.about == "HL010.drawn"]


def test_the_whole_show_tells_of_work_on_a_rejected_way_once(show: ShowFolder) -> None:
    two_ways(show, town=method(verdict="rejected", by="the director"))
    codes = [each.code for each in open_sound(show.path).estimates.problems]
    assert codes.count("waits-for-method-not-taken") == 1
    assert "joins-piece-not-wanted" not in codes
