"""What is told of one day without a time stands in the order it was told in."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from planner.cli.as_of import after
from planner.ledger import read_lines, write_lines
from planner.status.state import states_of
from tests.cli.test_commands import run
from tests.cli.test_post import kept, words

if TYPE_CHECKING:
    from tests.conftest import ShowFolder

DAY = ("--on", "2026-03-05")
# Ids follow from random words: of four takes in no order at all, one run in 24 would be right by
# luck, of nine one in 362,880.
CIRCLED = ("5", "3", "8", "1", "9", "2", "7", "4", "6")


def test_the_take_circled_last_is_in_use(show: ShowFolder) -> None:
    for take in CIRCLED:
        run("post", show.path, "take", "HL010.town", "--take", take, "--circled", *DAY)
    events = kept(show)
    assert tuple(each.details.take for each in events) == CIRCLED
    assert states_of(events)["HL010.town"].in_use == "6"
    # All of it on that day, each later than the one before.
    assert {f"{each.at:%Y-%m-%d %H:%M}" for each in events} == {"2026-03-05 23:59"}
    assert len({each.at for each in events}) == len(CIRCLED)
    # Lines keep the order, whichever way round they are written.
    lines = write_lines(reversed(events), ()).encode()
    assert read_lines(lines, "ledger.jsonl").events == events


def test_what_is_taken_back_on_the_day_it_was_told_is_taken_back(show: ShowFolder) -> None:
    for _ in range(6):
        assert "HL010: omitted, was live" in run("post", show.path, "omitted", "HL010", *DAY).output
        told = run("post", show.path, "un-omitted", "HL010", *DAY)
        assert "HL010: live, was omitted" in told.output


def test_a_file_without_times_tells_anew_whatever_was_told_before(show: ShowFolder) -> None:
    # One file approves, refuses and approves: three events. Told again, refused is what it says
    # next to an approval, so that all three are told anew.
    ruled = ("approved", "not approved", "approved")
    line = "- {{what: {}, about: HL010.town, by: the director}}\n"
    show.write("day.yaml", "".join(line.format(what) for what in ruled))
    told = ("post", show.path, "--from", show.path / "day.yaml", *DAY)
    assert "Posted 3 events" in run(*told).output
    assert "Posted 3 events" in run(*told).output
    assert tuple(str(each.what) for each in kept(show)) == ruled * 2


def test_things_of_a_stated_time_stand_as_they_were_told(show: ShowFolder) -> None:
    for take in CIRCLED:
        told = ("--take", take, "--circled", "--at", "14:20")
        run("post", show.path, "take", "HL010.town", *told, *DAY)
    events = kept(show)
    assert {f"{each.at:%H:%M:%S.%f}" for each in events} == {"14:20:00.000000"}
    assert tuple(each.details.take for each in events) == CIRCLED


def test_what_is_told_under_a_word_is_kept_once_on_that_day_too(show: ShowFolder) -> None:
    held = ("post", show.path, "held", "HL010.town", "--by", "anna", "--client", "w", *DAY)
    assert "HL010.town: on hold, was boarded" in run(*held).output
    run("post", show.path, "freed", "HL010.town", *DAY)
    again = run(*held)
    assert "HL010.town: boarded\n" in again.output
    assert "Posted 0 events; 1 event known already." in again.output


def test_the_approval_of_a_shot_is_of_its_composite(show: ShowFolder) -> None:
    # The final joins sky and town, and of neither is anything posted.
    told = words(run("post", show.path, "approved", "HL010", "--by", "the director", *DAY))
    assert "HL010.final: approved before its pieces were there, was boarded" in told
    assert "the approval counts once all that it joins is there; still to come: HL010" in told
    (approval,) = kept(show)
    assert approval.about == "HL010.final"


def test_the_next_moment_of_an_evening_is_later_by_the_least() -> None:
    begins = datetime.fromisoformat("2027-03-05T23:59:00+01:00")
    assert after(begins, None) == begins
    # The same moment, written in another zone, as a ledger gives it.
    latest = datetime.fromisoformat("2027-03-05T22:59:07+00:00")
    assert after(begins, latest) == begins + timedelta(seconds=7, microseconds=1)
    assert after(begins, latest).isoformat() == "2027-03-05T23:59:07.000001+01:00"
