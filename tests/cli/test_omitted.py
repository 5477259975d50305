"""What is posted as omitted, and not written in the show's files, is ordered by nobody."""

from __future__ import annotations

import json
import re
from datetime import date
from typing import TYPE_CHECKING

import pytest

from planner.cli import told as ledgers
from planner.cli.omitted import still_wanted
from planner.cli.opening import Effort, open_sound
from planner.cli.print_ import dated_of
from planner.pages.prints.call_sheet import call_sheets
from planner.pages.prints.sheet import Rows
from tests.cli.test_commands import QUICK, run

if TYPE_CHECKING:
    from pathlib import Path

    from tests.conftest import ShowFolder

AT = ("--at", "2026-11-02 10:00")
BY = ("--by", "Ann", "--why", "cut for length", *AT)


def two_shots(show: ShowFolder) -> None:
    """HL010 and HL020, both before the model of the town."""
    text = (show.path / "sequences/hill.yaml").read_text(encoding="utf-8")
    second = text[text.index("  HL010:") :].replace("HL010", "HL020")
    show.write("sequences/hill.yaml", text + second)


def called(show: ShowFolder, *more: str) -> set[str]:
    told = json.loads(run("order", show.path, "--json", *more, *QUICK).stdout)
    return {call["element"] for call in told["calls"]}


FIRST = {"HL010.sky", "HL010.town", "HL010.final"}
SECOND = {each.replace("010", "020") for each in FIRST}


@pytest.mark.parametrize("more", [(), ("--afresh",), ("--from", "2027-03-01")])
def test_an_omitted_shot_is_not_called_and_what_it_shares_is(
    show: ShowFolder, more: tuple[str, ...]
) -> None:
    two_shots(show)
    run("order", show.path, "--issue", *QUICK)
    run("post", show.path, "omitted", "HL020", *BY)
    # The model is in no shot, and HL010 waits for it.
    assert called(show, *more) == {*FIRST, "hill_town"}
    said = " ".join(run("order", show.path, *more, *QUICK).output.split())
    assert "omitted by Ann on 2026-11-02, as posted: cut for length; not called:" in said
    assert "not called: HL020.sky, HL020.town, HL020.final [omitted-as-posted" in said


def test_what_is_not_omitted_keeps_its_day_and_the_rest_is_told_as_gone(show: ShowFolder) -> None:
    two_shots(show)
    run("order", show.path, "--issue", *QUICK)
    run("post", show.path, "omitted", "HL020", *BY)
    told = json.loads(run("order", show.path, "--compare", "--json", *QUICK).stdout)["changes"]
    assert {each.partition("/")[0] for each in told["gone"]} == SECOND
    # Where it stood is free, and nothing leaves its day for that.
    assert [each for each in told["moved"] if each["days"]] == []
    assert told["new"] == []


def test_a_piece_alone_may_be_omitted_and_taken_back(show: ShowFolder) -> None:
    everything = {*FIRST, "hill_town"}
    run("post", show.path, "omitted", "HL010.sky", *BY)
    assert called(show) == everything - {"HL010.sky"}
    run("post", show.path, "un-omitted", "HL010.sky", "--at", "2026-11-02 11:00")
    assert called(show) == everything


def test_a_piece_waits_no_longer_for_what_the_omitted_one_waited_for(show: ShowFolder) -> None:
    # The join waits for the town, and the town for its model; without the town it waits for the
    # sky alone, as in a forecast.
    run("post", show.path, "omitted", "HL010.town", *BY)
    wanted = still_wanted(open_sound(show.path))
    opened = wanted.opened
    assert opened.graph.upstream("HL010.final") == {"HL010.town", "HL010.sky"}
    assert opened.graph.upstream("HL010.town") == set()
    (note,) = wanted.notes
    assert str(note.place) == show.place("sequences/hill.yaml", "kind: mini")
    # A show given before is given as it is, and nothing told again.
    assert still_wanted(opened).opened is opened
    assert still_wanted(opened).notes == ()


def test_what_was_posted_later_than_the_day_planned_from_is_left_aside(show: ShowFolder) -> None:
    opened = open_sound(show.path)
    run("post", show.path, "omitted", "HL010", *BY)
    told = [each.at.date() for each in _events(show)]
    (day,) = told
    assert still_wanted(opened, day=day).notes != ()
    assert still_wanted(opened, day=day.replace(day=1)).notes == ()


def _events(show: ShowFolder):
    from planner.cli.told import told_of

    return told_of(show.path, "", None).events


def test_a_ledger_that_cannot_be_read_is_told_and_the_files_are_ordered(show: ShowFolder) -> None:
    show.replace("show.yaml", "handles: 8", "handles: 8\nledger: mysql://x")
    told = run("order", show.path, *QUICK)
    assert told.exit_code == 0
    assert "keeps no ledgers" in told.stderr
    assert "what is posted as omitted is ordered all the same" in " ".join(told.stderr.split())
    assert "HL010.town" in told.stdout


def test_files_that_omit_it_themselves_need_no_word_of_the_ledger(show: ShowFolder) -> None:
    run("post", show.path, "omitted", "HL010", *BY)
    show.replace("sequences/hill.yaml", "cut: 1-96", "cut: 1-96\n    state: omitted")
    assert "omitted-as-posted" not in run("order", show.path, *QUICK).output


@pytest.mark.parametrize("more", [(), ("--from", "2027-03-01")])
def test_what_is_on_hold_is_called_with_a_warning_until_it_is_freed(
    show: ShowFolder, more: tuple[str, ...]
) -> None:
    two_shots(show)
    run("order", show.path, "--issue", *QUICK)
    said = ("--by", "the director", "--why", "he may lose it", *AT)
    run("post", show.path, "held", "HL020", *said)
    words = " ".join(run("order", show.path, *more, *QUICK).stderr.split())
    assert "on hold by the director since 2026-11-02, as posted: he may lose it; called" in words
    assert words.count("[held-is-called") == 1
    assert called(show, *more) == {*FIRST, *SECOND, "hill_town"}
    run("post", show.path, "freed", "HL020", "--at", "2026-11-02 11:00")
    assert "held-is-called" not in run("order", show.path, *more, *QUICK).stderr


def test_a_thing_on_hold_is_told_where_a_call_holds_it(show: ShowFolder) -> None:
    run("post", show.path, "held", "cam", "--by", "Ann", *AT)
    words = " ".join(run("order", show.path, *QUICK).stderr.split())
    assert "on hold by Ann since 2026-11-02, as posted; called all the same: HL010." in words


def test_only_what_says_so_is_read_of_a_ledger(show: ShowFolder) -> None:
    run("post", show.path, "built", "hill_town", *AT)
    run("post", show.path, "omitted", "HL010.sky", *BY)
    (known,) = still_wanted(open_sound(show.path)).states
    assert known == "HL010.sky"


def test_the_report_counts_an_omitted_shot_as_not_live_and_no_longer_on_hold(
    show: ShowFolder,
) -> None:
    two_shots(show)
    run("post", show.path, "held", "HL020", "--by", "the director", *AT)
    run("post", show.path, "omitted", "HL020", *BY)
    page = show.path / "report.html"
    run("report", show.path, "--to", page, *QUICK)
    words = " ".join(re.sub(r"<[^>]*>", " ", page.read_text(encoding="utf-8")).split())
    # Two shots in the files, of which HL010 is wanted.
    assert "1 live of 2" in words
    assert "on hold 2 Nov 2026" not in words
    assert "without a date" not in words
    run("post", show.path, "un-omitted", "HL020", "--at", "2026-11-02 11:00")
    run("report", show.path, "--to", page, *QUICK)
    words = " ".join(re.sub(r"<[^>]*>", " ", page.read_text(encoding="utf-8")).split())
    assert "2 live of 2" in words
    assert "on hold 2 Nov 2026" in words


def test_what_is_lost_and_called_all_the_same_is_told_with_its_calls(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    lost = ("post", show.path, "lost", "cam", *AT)
    run(*lost, "--value", "back=2027-03-22")
    calls = " ".join(run("order", show.path, *QUICK).stderr.split())
    said = "cam was posted as lost on 2026-11-02, back 2027-03-22 as posted; called all the same: "
    assert said in calls
    # The sky is photographed with it on the show's first day, a Monday.
    assert "HL010.sky, photograph the plate on 2027-03-01" in calls
    printed = run("calendar", show.path, "--to", show.path / "out", *QUICK).stderr
    assert said in " ".join(printed.split())
    # Planned around it, its calls wait, which is told as that.
    around = run("order", show.path, "--from", "2027-03-01", *QUICK).stderr
    assert "called-while-lost" not in around
    run("post", show.path, "freed", "cam", "--at", "2026-11-02 11:00")
    assert "called-while-lost" not in run("order", show.path, *QUICK).stderr


def test_an_order_planned_again_by_itself_heeds_what_is_lost(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    run("post", show.path, "lost", "cam", *AT, "--value", "back=2027-03-22")
    # As issued it is still called; planning begins with the show, not with the post of November.
    kept = " ".join(run("order", show.path, *QUICK).stderr.split())
    assert "`platewright order --from 2027-03-01` plans around it" in kept
    # With its one stage away in March the order can be kept no longer. Nothing of it has begun on
    # Monday 1 March, so that the sky, on no stage, waits for the camera until Monday 22 March.
    show.replace("resources.yaml", "height: 7 m}", "height: 7 m, away: [2027-03-01..2027-03-31]}")
    told = run("order", show.path, "--json", *QUICK)
    assert "By order 1, planned again" in told.stderr
    assert "called-while-lost" not in told.stderr
    held = [each["starts"] for each in json.loads(told.stdout)["calls"] if "cam" in each["holds"]]
    assert min(held)[:10] == "2027-03-22"
    printed = run("calendar", show.path, "--to", show.path / "out", *QUICK).stderr
    assert "called-while-lost" not in printed


def test_calls_from_the_day_it_is_back_are_none_of_a_loss(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    # Lost and back before the show begins on 2027-03-01.
    run("post", show.path, "lost", "cam", *AT, "--value", "back=2027-02-01")
    assert "called-while-lost" not in run("order", show.path, *QUICK).stderr


def test_a_call_of_what_is_lost_says_so_wherever_it_is_read(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    run("post", show.path, "lost", "cam", *AT, "--value", "back=2027-03-22")
    said = "cam was posted as lost on 2026-11-02, back 2027-03-22 as posted"
    marked = f"! {said}"
    assert marked in " ".join(run("order", show.path, *QUICK).stdout.split())
    assert marked in " ".join(run("order", show.path, "HL010", *QUICK).stdout.split())
    # The sky is photographed before 22 March; the composite holds no camera.
    assert marked in " ".join(run("why", show.path, "HL010.sky", *QUICK).stdout.split())
    assert marked not in " ".join(run("why", show.path, "HL010.final", *QUICK).stdout.split())
    calls = json.loads(run("order", show.path, "--json", *QUICK).stdout)["calls"]
    against = {call["element"]: call["against"] for call in calls if "cam" in call["holds"]}
    assert against["HL010.sky"] == [said]
    assert all(not call["against"] for call in calls if "cam" not in call["holds"])
    sheets = call_sheets(
        (opened := open_sound(show.path)).show,
        opened.estimates,
        dated_of(opened, Effort(None, 0, 0)),
        date(2027, 3, 1),
    )
    assert any(marked in str(block) for block in sheets[0].blocks)
    run("calendar", show.path, "--to", show.path / "out", *QUICK)
    events = [each.read_text(encoding="utf-8") for each in (show.path / "out").glob("*.ics")]
    assert any("STATUS:TENTATIVE" in each for each in events)
    assert any("STATUS:CONFIRMED" in each for each in events)


def test_check_says_that_it_counts_what_is_posted_as_omitted(show: ShowFolder) -> None:
    two_shots(show)
    assert "Posted as omitted" not in run("check", show.path).stderr
    run("post", show.path, "omitted", "HL020", *BY)
    # The files are as they were, so that the second is said from what was kept of the first.
    for _each in range(2):
        told = run("check", show.path)
        assert "HL020" in told.stderr
        assert "counted here as the show's files have it" in " ".join(told.stderr.split())
    run("post", show.path, "un-omitted", "HL020", "--by", "Ann", "--at", "2026-11-02 11:00")
    assert "Posted as omitted" not in run("check", show.path).stderr


def test_whoever_is_lost_is_missed_where_they_work_and_where_they_are_listed(
    show: ShowFolder,
) -> None:
    """The set-up holds the lead, who rigs the figure in and works it beside stage and camera."""
    show.write(
        "resources.yaml",
        (show.path / "resources.yaml").read_text(encoding="utf-8")
        + "  hands: {craft: puppeteering, heads: 6}\n  operators: {craft: camera, heads: 4}\n"
        "people:\n  lead: {title: Lead, craft: puppeteering}\n",
    )
    sequence = (show.path / "sequences/hill.yaml").read_text(encoding="utf-8")
    bird = "{kind: puppet, build: bird, sort: rod, nearest: 20 m, people: lead, takes: 2}"
    built = (show.path / "builds.yaml").read_text(encoding="utf-8")
    show.write("builds.yaml", built + "  bird: {makes: puppet, scale: 1/4}\n")
    show.write("sequences/hill.yaml", f"{sequence}      bird: {bird}\n")
    run("order", show.path, "--issue", *QUICK)
    run("post", show.path, "lost", "lead", *AT, "--value", "back=2027-12-01")
    opened = open_sound(show.path)
    dated = dated_of(opened, Effort(None, 0, 0))
    mine = [each for each in dated.calls if each.element == "HL010.bird"]
    assert {"puppeteering", "camera", "stage"} <= {each.work.craft for each in mine}
    said = "Lead was posted as lost on 2026-11-02, back 2027-12-01 as posted"
    beside = {each.work.name: each.against for each in mine if each.work.beside}
    assert beside["work the figure"] == beside["rig the figure in"] == (said,)
    day = next(each.starts for each in mine if "lead" in each.holds)
    (sheet,) = call_sheets(opened.show, opened.estimates, dated, day.date())
    (people,) = (
        what
        for block in sheet.blocks
        if isinstance(block, Rows)
        for label, what in block.rows
        if label == "People"
    )
    # Called when the first work that holds the lead begins that day, whatever else is called.
    assert people[0].startswith(f"Lead, {day:%H:%M} to ")
    assert people[1] == f"! {said}"


def test_what_is_under_way_when_it_is_held_is_called_all_the_same(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    calls = json.loads((show.path / "issued" / "order_001.json").read_bytes())["calls"]
    last = max((each for each in calls if each["element"] == "hill_town"), key=lambda e: e["ends"])
    # Held at eight in the evening of the day on which its building ends, it is called that day.
    assert last["starts"][:10] < last["ends"][:10]
    held = ("--by", "Ann", "--on", "2028-01-01", "--at", f"{last['ends'][:10]} 20:00")
    run("post", show.path, "held", "hill_town", *held)
    said = " ".join(run("order", show.path, *QUICK).stderr.split())
    assert f"called all the same: hill town, {last['work']}" in said


def test_sheets_go_by_the_order_issued_without_what_is_omitted(show: ShowFolder) -> None:
    two_shots(show)
    run("order", show.path, "--issue", *QUICK)
    run("post", show.path, "omitted", "HL020", *BY)
    run("order", show.path, "--issue", *QUICK)
    assert "By order 2 as issued" in run("order", show.path, *QUICK).stderr
    dated = dated_of(open_sound(show.path), Effort(None, 0, 0))
    assert "not yet issued" not in dated.source
    assert {call.element for call in dated.calls} == {*FIRST, "hill_town"}


@pytest.mark.parametrize("is_issued", [False, True])
def test_who_prints_sheets_is_told_of_what_is_on_hold(
    show: ShowFolder, tmp_path: Path, is_issued: bool
) -> None:
    if is_issued:
        run("order", show.path, "--issue", *QUICK)
    run("post", show.path, "held", "HL010", "--by", "Ann", *AT)
    result = run("print", show.path, "week", "--to", tmp_path / "week.pdf", *QUICK)
    assert result.exit_code == 0, result.output
    words = " ".join(result.stderr.split())
    assert "on hold by Ann since 2026-11-02, as posted; called all the same" in words


def test_a_bid_reads_its_ledger_once_though_something_is_lost(
    show: ShowFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    run("order", show.path, "--issue", *QUICK)
    run("post", show.path, "lost", "north", "--value", "back=2027-03-09", *AT)
    show.replace("sequences/hill.yaml", "action: still", "action: still\n        takes: 9")
    opened = []
    reach = ledgers.open_known_ledger

    def counted(*words: object, **how: object) -> object:
        opened.append(words)
        return reach(*words, **how)  # type: ignore[arg-type]

    monkeypatch.setattr(ledgers, "open_known_ledger", counted)
    # It is planned again, as the work is longer than was issued, and around what is lost.
    found = run("bid", show.path, *QUICK)
    assert "planned again" in found.stderr
    assert "lost, posted 2026-11-02" in " ".join(found.stderr.split())
    assert len(opened) == 1
