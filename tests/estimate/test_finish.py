"""Quotas of the finish, leave to show, untried work and attempts, in shows read from files."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.estimate import estimate_show
from planner.estimate.finish import finish_sums
from planner.estimate.trials import sunk_cost
from planner.graph import build_graph
from planner.kinds import Registry
from planner.model.place import Severity
from planner.text.show_folder import load_show

if TYPE_CHECKING:
    from planner.estimate import Estimates
    from planner.model.place import Problem
    from planner.model.show import Show
    from tests.estimate.conftest import OneShot


def estimated(one_shot: OneShot) -> tuple[Show, Estimates]:
    show = one_shot.load()
    graph, _problems = build_graph(show)
    return show, estimate_show(show, graph, Registry())


def found(one_shot: OneShot, code: str) -> list[Problem]:
    return [each for each in estimated(one_shot)[1].problems if each.code == code]


def state(one_shot: OneShot, more: str) -> None:
    """Add facts to show.yaml."""
    path = one_shot.folder.path / "show.yaml"
    path.write_text(path.read_text(encoding="utf-8") + more, encoding="utf-8")


def test_frames_scanned_and_recorded_are_summed_over_the_show(one_shot: OneShot) -> None:
    # Cut of 96 and handles of 8 at each end: 112 frames of sky and of town; 96 recorded.
    one_shot.write()
    show, estimates = estimated(one_shot)
    sums = finish_sums(show, estimates.by_element)
    assert sums["frames scanned"].value == 224
    assert sums["frames recorded"].value == 96
    assert sums["printer runs"].value == 0
    assert sums["frames scanned"].inputs


def test_more_digital_frames_than_the_quota_are_told(one_shot: OneShot) -> None:
    one_shot.write()
    state(one_shot, "quota: {frames_scanned: 200, frames_recorded: 100}\n")
    (told,) = found(one_shot, "over-quota")
    assert "224 frames scanned are wanted and the quota is 200: 24 too many" in told.message
    assert told.place.line


def test_what_is_seen_and_not_cleared_is_told(one_shot: OneShot) -> None:
    one_shot.write(
        sky="clearances: [{what: a brewer's sign, cleared: false, by: the art director}]"
    )
    (told,) = found(one_shot, "contents-not-cleared")
    assert "a brewer's sign" in told.message
    assert "the art director" in told.remedy
    one_shot.write(sky="clearances: [{what: a brewer's sign, cleared: true}]")
    assert found(one_shot, "contents-not-cleared") == []


@pytest.mark.parametrize(("untried", "told"), [("10 %", 1), ("20 %", 0)])
def test_untried_work_carries_more_than_the_ordinary_allowance(
    one_shot: OneShot, untried: str, told: int
) -> None:
    one_shot.write(town="risk: untried")
    path = one_shot.folder.path / "show.yaml"
    text = path.read_text(encoding="utf-8")
    kept = [line for line in text.splitlines() if not line.startswith("contingency:")]
    kept.append(f"contingency: {{ordinary: 10 %, untried: {untried}, fire: 25 %}}\n")
    path.write_text("\n".join(kept), encoding="utf-8")
    assert len(found(one_shot, "untried-at-ordinary-allowance")) == told


def test_days_to_learn_are_work_of_their_own(one_shot: OneShot) -> None:
    one_shot.write(town="risk: untried, learning: {craft: camera, hours: 16 h}")
    _show, estimates = estimated(one_shot)
    work = {each.name: each for each in estimates.by_element["HL010.town"].work}
    assert (work["learn it"].craft, work["learn it"].hours.likely) == ("camera", 16)
    one_shot.write(town="risk: untried")
    _show, estimates = estimated(one_shot)
    assert "learning" in {each.name for each in estimates.missing}


def test_attempts_keep_what_they_cost_and_why(one_shot: OneShot) -> None:
    one_shot.write(
        shot="attempts: [{what: a tank, cost: 1200 GBP, why: it froze}, {what: oil, cost: 300 GBP}]"
    )
    show, _estimates = estimated(one_shot)
    assert sunk_cost(show, show.shots["HL010"]).value == 1500
    (told,) = found(one_shot, "spent-on-attempts")
    assert told.severity is Severity.NOTE
    assert "1,500.00 GBP" in told.message
    (why,) = found(one_shot, "attempt-without-reason")
    assert "oil" in why.message


def test_attempts_at_an_omitted_shot_stay_in_the_list(one_shot: OneShot) -> None:
    one_shot.write(shot="state: omitted\nattempts: [{what: a tank, cost: 1200 GBP, why: it froze}]")
    (told,) = found(one_shot, "spent-on-attempts")
    assert "the shot is omitted" in told.message


def test_the_number_of_an_omitted_shot_is_not_used_again(one_shot: OneShot) -> None:
    one_shot.write(shot="state: omitted")
    again = "sequence: mill\nshots:\n  HL010: {says: Another shot., elements: {}}\n"
    one_shot.folder.write("sequences/mill.yaml", again)
    _show, problems = load_show(one_shot.folder.path, Registry())
    (told,) = [each for each in problems if each.code == "name-used-twice"]
    assert "HL010 is already the number of a shot" in told.message
