"""Posting on the floor: quick to say, told back, all or nothing; and the ledger's lines."""

from __future__ import annotations

import json
import time
from datetime import datetime, timezone
from typing import TYPE_CHECKING

import pytest
from click.shell_completion import ShellComplete

from planner.cli import group
from planner.cli.posting import moment, note_values
from planner.ledger import UnreadableError
from planner.ledger.store import open_ledger
from tests.cli.test_commands import QUICK, run

if TYPE_CHECKING:
    from collections.abc import Callable

    from click.testing import Result

    from planner.ledger import Event
    from tests.conftest import ShowFolder


def words(result: Result) -> str:
    return " ".join(result.output.split())


def kept(show: ShowFolder) -> tuple[Event, ...]:
    ledger = open_ledger(show.path / "ledger.db", make=False)
    if ledger is None:
        return ()
    events = ledger.events()
    ledger.close()
    return events


def test_posting_says_what_it_frees_and_what_still_waits(show: ShowFolder) -> None:
    result = run("post", show.path, "built", "hill_town")
    assert result.exit_code == 0, result.output
    assert "hill_town: built, was boarded" in result.output
    assert "HL010.town may go on: it waits for nothing more" in words(result)
    result = run("post", show.path, "in-the-can", "HL010.sky")
    assert "HL010.final still waits for HL010.town (boarded)" in words(result)
    assert [each.about for each in kept(show)] == ["hill_town", "HL010.sky"]


def test_a_take_told_as_in_the_can_and_marked_no_good_is_asked_about_with_its_line(
    show: ShowFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(show.path)
    show.write(
        "day.yaml",
        "- {what: take, about: HL010.sky, take: 4, verdict: no good}\n"
        "- {what: in the can, about: HL010.sky, take: 4}\n",
    )
    result = run("post", ".", "--from", "day.yaml")
    assert result.exit_code == 0, result.output
    asked = "day.yaml:2:3: take 4 is marked no good: is it the one in the can?"
    assert asked in words(result)
    assert [str(each.what) for each in kept(show)] == ["take", "in the can"]
    # On the command line there is no line to point at.
    result = run("post", show.path, "in-the-can", "HL010.sky", "--take", "5")
    assert "look: take 5 of it was never posted, so nobody has said it is good" in words(result)


def test_a_ledger_that_lost_all_it_held_is_told_of_once_and_posted_to(show: ShowFolder) -> None:
    path = show.path / "ledger.db"
    path.write_bytes(b"")
    for command in (("ledger",), ("blocking",), ("bid", *QUICK)):
        result = run(command[0], show.path, *command[1:])
        assert result.exit_code == 0, result.output
    told = run("ledger", show.path.rename(show.path.parent / "moved")).stderr
    assert told.count("the file is empty: bring back a copy, or import the last export") == 1
    moved = show.path.parent / "moved"
    assert run("post", moved, "built", "hill_town").exit_code == 0
    assert "built" in run("ledger", moved).stdout


def test_lines_told_may_begin_with_the_mark_of_an_editor(show: ShowFolder) -> None:
    line = '{"what": "built", "about": "hill_town", "at": "2027-03-02 17:00"}\r\n'
    day = show.path.parent / "day.jsonl"
    day.write_text(line, encoding="utf-8-sig", newline="")
    result = run("post", show.path, "--from", day, "--on", "2027-03-02")
    assert result.exit_code == 0, result.output
    assert [each.about for each in kept(show)] == ["hill_town"]


def test_a_take_carries_its_notes_and_the_facts_it_rests_on(show: ShowFolder) -> None:
    note = "60-72 left 3 px: the toe slides"
    options = ("--take", "4", "--verdict", "no-good", "--circled", "--note", note)
    more = ("--plate-take", "sky 2", "--program", "rev b", "--author", "anna")
    result = run("post", show.path, "take", "HL010.town", *options, *more)
    assert result.exit_code == 0, result.output
    (event,) = kept(show)
    assert (event.details.take, str(event.details.verdict), event.author) == (
        "4",
        "no good",
        "anna",
    )
    (told,) = event.details.notes
    assert (str(told.frames), told.direction, told.amount) == ("60-72", "left", "3 px")
    ledger = open_ledger(show.path / "ledger.db")
    assert ledger is not None
    (basis,) = ledger.bases()
    ledger.close()
    assert basis.mark == event.against
    assert basis.facts["shot cut"] == "1-96"


def test_a_dry_run_says_it_all_and_writes_nothing(show: ShowFolder) -> None:
    result = run("post", show.path, "built", "hill_town", "--dry-run")
    assert "HL010.town may go on" in result.output
    assert "Nothing was written." in result.output
    assert not (show.path / "ledger.db").exists()


@pytest.mark.parametrize(
    ("told", "said"),
    [
        (("bilt", "hill_town"), "did you mean built?"),
        (("built", "hill_twon"), "did you mean hill_town?"),
        (("held", "hill_town"), "--by is wanted"),
        (("take", "HL010.town"), "--take is wanted"),
        (("approved", "HL010.town"), "--by is wanted"),
        (("take", "HL010.twn"), "--take is wanted; nothing in the show is called HL010.twn; did"),
        (("built", "hill_town", "--at", "2999-01-01"), "has not come yet"),
        (("built", "hill_town", "--at", "noonish"), "a time is wanted"),
        (("corrected", "abc"), "no event of the ledger has an id that begins with 'abc'"),
        (("built",), "say what happened and to what"),
        ((), "say what happened and to what"),
    ],
)
def test_what_cannot_be_meant_is_refused_and_nothing_written(
    show: ShowFolder, told: tuple[str, ...], said: str
) -> None:
    result = run("post", show.path, *told)
    assert result.exit_code == 2
    assert said in words(result)
    assert kept(show) == ()


def test_one_wrong_name_of_several_keeps_none(show: ShowFolder) -> None:
    result = run("post", show.path, "built", "hill_town", "elsewhere")
    assert result.exit_code == 2
    assert kept(show) == ()


def test_what_is_lost_comes_back_on_a_date(show: ShowFolder) -> None:
    told = run("post", show.path, "lost", "north", "--value", "back=friday")
    assert told.exit_code == 2
    assert "--value back=friday is no date; write the day as 2027-04-16" in words(told)
    assert kept(show) == ()
    assert run("post", show.path, "lost", "north", "--value", "back=2027-04-16").exit_code == 0


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("bakc=2027-04-16", "--value bakc= says nothing of what is lost; did you mean back?"),
        ("back=2026-11-01", "--value back=2026-11-01 is before it is lost, on 2026-11-02"),
    ],
)
def test_a_day_back_that_cannot_be_is_refused(show: ShowFolder, value: str, said: str) -> None:
    lost = ("post", show.path, "lost", "north", "--at", "2026-11-02 10:00")
    told = run(*lost, "--value", value)
    assert told.exit_code == 2
    assert said in words(told)
    assert kept(show) == ()
    # On the same day it may be back, and anything else may be noted with it.
    also = ("--value", "back=2026-11-02", "--value", "crew=night")
    assert run(*lost, *also).exit_code == 0


def test_a_loss_names_the_calls_that_want_the_thing_until_it_is_back(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    calls = json.loads((show.path / "issued/order_001.json").read_bytes())["calls"]
    wanting = [each for each in calls if "north" in each["holds"]]
    assert len(wanting) > 1
    first, last = wanting[0], wanting[-1]
    lost = ("post", show.path, "lost", "north", "--at", "2026-11-02 10:00", "--dry-run")
    told = words(run(*lost))
    assert f"of order 1, {len(wanting)} calls want north " in told
    assert f"{first['element']}, {first['work']}" in told
    guessed = "no day is given when it is back: `platewright order --from` plans around it as if"
    assert f"{guessed} away for 3 working days, our guess" in told
    assert "our guess" not in words(run(*lost, "--value", "back=2027-12-01"))
    # A build that is lost is made again, and comes back on no day that is guessed.
    town = words(run("post", show.path, "lost", "hill_town", "--dry-run", *lost[4:6]))
    assert "want hill_town" in town
    assert "our guess" not in town
    assert "`platewright order --from` calls it again, and what waits for it after it" in town
    (taken,) = json.loads(run(*lost, "--json").stdout)["want_what_is_lost"]
    assert [(each["element"], each["work"]) for each in taken["calls"]] == [
        (each["element"], each["work"]) for each in wanting
    ]
    # Back on the day the last one begins, it is there for that one.
    back = last["starts"][:10]
    left = [each for each in wanting if each["starts"][:10] < back]
    told = json.loads(run(*lost, "--value", f"back={back}", "--json").stdout)
    assert sum(len(each["calls"]) for each in told["want_what_is_lost"]) == len(left)
    # A thing that no call holds takes none.
    assert "of order 1" not in words(run("post", show.path, "lost", "HL010.sky", "--dry-run"))


def test_the_same_word_twice_is_kept_once(show: ShowFolder) -> None:
    word = ("hill_town", "--client", "floor 1", "--at", "2026-01-01 10:00")
    first = run("post", show.path, "built", *word)
    again = run("post", show.path, "built", *word)
    assert "Posted 1 event" in first.output
    assert "Posted 0 events; 1 event known already." in again.output
    other = run("post", show.path, "lost", *word)
    assert other.exit_code == 1
    assert "use another word for it" in words(other)
    assert len(kept(show)) == 1


def test_an_approval_is_kept_with_the_take_it_was_of(show: ShowFolder) -> None:
    run("post", show.path, "take", "HL010.town", "--take", "4", "--circled")
    run("post", show.path, "approved", "HL010.town", "--by", "the director")
    assert kept(show)[-1].details.take == "4"
    result = run("post", show.path, "take", "HL010.town", "--take", "7", "--circled")
    assert "the director approved take 4" in words(result)
    assert "take 7 is in use and is not approved by it" in words(result)


def test_things_of_one_moment_stand_in_the_order_of_the_file(show: ShowFolder) -> None:
    told = (("take", "take: 1, circled: true"), ("in the can", "words: x"), ("scanned", "words: x"))
    at = '"2026-03-02 10:00"'
    lines = (f"- {{what: {what}, about: HL010.town, at: {at}, {more}}}\n" for what, more in told)
    show.write("day.yaml", "".join(lines))
    result = run("post", show.path, "--from", show.path / "day.yaml")
    assert result.output.startswith("HL010.town: scanned, was boarded")
    assert [str(each.what) for each in kept(show)] == ["take", "in the can", "scanned"]


def test_the_ledger_of_a_shot_tells_of_its_pieces(show: ShowFolder) -> None:
    run("post", show.path, "take", "HL010.town", "--take", "4")
    run("post", show.path, "built", "hill_town")
    told = run("ledger", show.path, "HL010").output
    assert "HL010.town" in told
    assert "hill_town" not in told  # a build is no piece of the shot


def test_a_retry_later_is_kept_once(show: ShowFolder) -> None:
    told = ("post", show.path, "built", "hill_town", "--client", "floor 1")
    run(*told)
    assert "Posted 0 events; 1 event known already." in run(*told).output


def test_a_retried_approval_stays_with_its_take(show: ShowFolder) -> None:
    approved = ("post", show.path, "approved", "HL010.town", "--by", "x", "--client", "floor 1")
    run("post", show.path, "take", "HL010.town", "--take", "4", "--circled")
    run(*approved)
    run("post", show.path, "take", "HL010.town", "--take", "7", "--circled")
    assert "1 event known already." in run(*approved).output
    assert [each.details.take for each in kept(show)] == ["4", "4", "7"]


def test_a_correction_takes_an_event_back_by_how_its_id_begins(show: ShowFolder) -> None:
    run("post", show.path, "built", "hill_town")
    (wrong,) = kept(show)
    result = run("post", show.path, "corrected", wrong.id[:6], "--why", "it was the other one")
    assert "hill_town: boarded, was built" in result.output
    assert "HL010.town waits again for hill_town (boarded)" in words(result)
    assert len(kept(show)) == 2


def test_a_file_tells_several_at_once(show: ShowFolder) -> None:
    show.write(
        "day.yaml",
        """\
- {what: built, about: hill_town, at: "2026-03-01 09:00"}
- what: take
  about: HL010.town
  take: 1
  notes: [too dark, {says: slides, frames: 60-72}]
  at: "2026-03-02T10:00:00+00:00"
""",
    )
    result = run("post", show.path, "--from", show.path / "day.yaml")
    assert result.exit_code == 0, result.output
    assert "Posted 2 events" in result.output
    again = run("post", show.path, "--from", show.path / "day.yaml")
    assert "Posted 0 events; 2 events known already." in again.output


def test_the_lines_that_help_shows_can_be_posted(show: ShowFolder) -> None:
    """As `--help` writes them, about things of this show; the third is of a decision."""
    helped = run("post", "--help").output.splitlines()
    lines = [each.strip() for each in helped if each.strip().startswith("- {")]
    assert len(lines) == 3
    told = "\n".join(lines[:2]).replace("NB110.heron", "HL010.town")
    told = told.replace("dam_face", "hill_town").replace("2027", "2026")
    show.write("day.yaml", told + "\n")
    result = run("post", show.path, "--from", show.path / "day.yaml")
    assert "Posted 2 events" in result.output
    assert [each.about for each in kept(show)] == ["HL010.town", "hill_town"]


def test_a_line_that_says_no_what_is_told_how_an_event_is_written(show: ShowFolder) -> None:
    show.write("day.yaml", "- {event: built, about: hill_town, on: 2026-03-02}\n- {at: 10:00}\n")
    result = run("post", show.path, "--from", show.path / "day.yaml")
    assert "no what is given, only event, about, on; an event is written {what:" in words(result)
    assert "no what and no about is given; an event is written" in words(result)
    assert kept(show) == ()


def test_every_fault_of_a_file_is_told_with_its_line_and_nothing_written(show: ShowFolder) -> None:
    show.write(
        "day.yaml",
        "- {what: built, about: hill_town}\n- {what: bilt, about: hill_town}\n- nonsense\n",
    )
    result = run("post", show.path, "--from", show.path / "day.yaml")
    assert result.exit_code == 1
    assert "day.yaml:2:3" in result.output
    assert "day.yaml:3:3" in result.output
    assert "Nothing was written." in result.output
    assert kept(show) == ()


def test_json_lines_are_told_with_their_lines_too(show: ShowFolder) -> None:
    lines = ['{"what": "built", "about": "hill_town"}', "{", '{"what": "built", "about": "no"}']
    show.write("day.jsonl", "\n".join(lines))
    result = run("post", show.path, "--from", show.path / "day.jsonl")
    assert "day.jsonl:2:1" in result.output
    assert "day.jsonl:3:1" in result.output
    assert kept(show) == ()


def test_a_changed_show_is_read_again(show: ShowFolder) -> None:
    run("post", show.path, "built", "hill_town")
    assert (show.path / ".platewright" / "outline.json").exists()
    sky = "sky: {kind: plate, sort: live, on: location}"
    show.replace("sequences/hill.yaml", sky, sky.replace("sky", "haze") + "\n      " + sky)
    assert run("post", show.path, "in-the-can", "HL010.haze").exit_code == 0


def test_a_damaged_outline_is_made_again(show: ShowFolder) -> None:
    run("post", show.path, "built", "hill_town")
    show.write(".platewright/outline.json", '{"stamp": 1')
    assert run("post", show.path, "proven", "hill_town").exit_code == 0


@pytest.mark.parametrize("name", ["facts.jsonl", "outline.json"])
@pytest.mark.parametrize(
    "damage",
    [
        lambda whole: b"",
        lambda whole: whole[: len(whole) // 20],
        lambda whole: whole.replace(b"{", b"["),
        # The same length, and JSON still: only what is said differs.
        lambda whole: whole.replace(b"hill_town", b"mill_town").replace(b"Hill", b"Mill"),
        lambda whole: whole.replace(b"1", b"2"),
    ],
    ids=["emptied", "cut short", "garbled", "other names", "other figures"],
)
def test_a_copy_damaged_in_any_part_counts_as_none(
    show: ShowFolder, name: str, damage: Callable[[bytes], bytes]
) -> None:
    run("post", show.path, "built", "hill_town")
    kept_there = show.path / ".platewright"
    sound = {each.name: each.read_bytes() for each in kept_there.iterdir()}
    (kept_there / name).write_bytes(damage(sound[name]))
    result = run("post", show.path, "proven", "hill_town")
    assert result.exit_code == 0, result.output
    # Nothing of the show has changed: both events rest on the same facts, and what is kept again
    # is what was kept.
    built, proven = kept(show)
    assert built.against == proven.against
    assert {each.name: each.read_bytes() for each in kept_there.iterdir()} == sound


def test_a_copy_of_which_a_file_is_gone_counts_as_none(show: ShowFolder) -> None:
    run("post", show.path, "built", "hill_town")
    (show.path / ".platewright" / "facts.jsonl").unlink()
    assert run("post", show.path, "proven", "hill_town").exit_code == 0


@pytest.mark.parametrize("command", [("post", "built", "hill_town"), ("blocking",)])
def test_a_link_to_nothing_beside_the_files_is_no_file_of_the_show(
    show: ShowFolder, command: tuple[str, ...]
) -> None:
    # So some editors lock a file that is being changed.
    for name in (".#show.yaml", "sequences/.#hill.yaml"):
        (show.path / name).symlink_to("anna@stage.1234")
    verb, *about = command
    result = run(verb, show.path, *about)
    assert result.exit_code == 0, result.output


def complete(*told: str, begun: str) -> list[str]:
    found = ShellComplete(group, {}, "platewright", "X").get_completions(list(told), begun)
    return [each.value for each in found]


def test_the_shell_completes_events_and_names(show: ShowFolder) -> None:
    assert complete("post", str(show.path), begun="in") == ["in-the-can"]
    assert complete("post", str(show.path), "built", begun="HL010.t") == ["HL010.town"]
    assert complete("post", str(show.path), "lost", begun="nor") == ["north"]
    assert complete("post", str(show.path / "no"), "lost", begun="nor") == []


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("the toe slides", {"says": "the toe slides"}),
        ("60: out of frame", {"says": "out of frame", "frames": "60"}),
        (
            "darker half a stop: night",
            {"says": "night", "direction": "darker", "amount": "half a stop"},
        ),
        ("60-72 left 3 px:", {"frames": "60-72", "direction": "left", "amount": "3 px"}),
    ],
)
def test_a_note_is_read_in_its_parts(text: str, parts: dict[str, str]) -> None:
    assert note_values(text) == parts


def test_times_are_read_as_people_write_them() -> None:
    from datetime import timedelta

    now = datetime(2027, 3, 17, 15, 30, 5, 99, tzinfo=timezone(timedelta(hours=1)))
    assert moment(None, now) == now
    assert moment("9:05", now).replace(tzinfo=None) == datetime(2027, 3, 17, 9, 5)
    assert moment("2027-03-16T10:00:00+05:30", now).isoformat() == "2027-03-16T10:00:00+05:30"
    with pytest.raises(UnreadableError, match="a time is wanted"):
        moment("25:61", now)


def test_the_ledger_goes_out_and_comes_in_again(show: ShowFolder) -> None:
    run("post", show.path, "built", "hill_town", "--why", "at last")
    out = show.path / "ledger.jsonl"
    assert run("ledger", show.path, "--export", out).exit_code == 0
    result = run("ledger", show.path, "--import", out)
    assert "0 new, 1 known already" in result.output
    other = ("--ledger", show.path / "other.db")
    assert "1 new, 0 known already" in run("ledger", show.path, "--import", out, *other).output
    printed = run("ledger", show.path, "--export", "-", *other).output
    assert printed == out.read_text(encoding="utf-8")
    assert "hill_town: built: at last" in words(run("ledger", show.path, "hill_town"))
    assert "Nothing has been posted." in run("ledger", show.path, "HL010.sky").output


def test_a_bad_line_takes_nothing_in(show: ShowFolder) -> None:
    run("post", show.path, "built", "hill_town")
    out = show.path / "ledger.jsonl"
    run("ledger", show.path, "--export", out)
    out.write_text(out.read_text(encoding="utf-8") + "{\n", encoding="utf-8")
    result = run("ledger", show.path, "--import", out, "--ledger", show.path / "other.db")
    assert result.exit_code == 1
    assert "ledger.jsonl:4:1" in result.output
    assert json.loads(out.read_text(encoding="utf-8").splitlines()[0]) == {"ledger": 1}


def test_a_ledger_that_cannot_be_had_is_one_sentence(show: ShowFolder) -> None:
    result = run("post", show.path, "built", "hill_town", "--ledger", "mysql://a/b")
    assert result.exit_code == 1
    assert "mysql keeps no ledgers" in result.output
    show.replace("show.yaml", "currency: GBP", "currency: GBP\nledger: mysql://a/b")
    assert "mysql keeps no ledgers" in run("post", show.path, "built", "hill_town").output
    assert "mysql keeps no ledgers" in run("blocking", show.path, "--tries", "0").output


def test_a_decision_is_settled_as_one_of_its_options(show: ShowFolder) -> None:
    builds = (show.path / "builds.yaml").read_text(encoding="utf-8")
    more = "decisions:\n  weather: {question: which, options: [rain, sun], owner: the director}\n"
    show.write("builds.yaml", builds + more)
    settled = ("post", show.path, "settled", "weather")
    assert "--as is wanted, what was chosen: rain, sun" in words(run(*settled))
    assert "snow is none of the options of weather" in words(run(*settled, "--as", "snow"))
    result = run(*settled, "--as", "rain")
    assert "write chosen: rain where it is stated (builds.yaml) too" in words(result)
    (event,) = kept(show)
    assert event.details.values == {"chosen": "rain"}


def test_an_omitted_shot_says_what_nothing_waits_for_any_more(show: ShowFolder) -> None:
    result = run("post", show.path, "omitted", "HL010")
    assert "nothing else waits for hill_town" in words(result)


def test_a_show_to_come_is_told_on_its_own_days(show: ShowFolder) -> None:
    late = ("built", "hill_town", "--at", "2029-01-01 18:00")
    assert "has not come yet" in words(run("post", show.path, *late, "--on", "2028-12-31"))
    told = run("post", show.path, *late, "--on", "2029-01-01")
    assert told.exit_code == 0, told.output
    # Of the day that is said, its last minute; told afterwards, though at the same moment.
    run("post", show.path, "held", "hill_town", "--by", "anna", "--on", "2029-01-01")
    assert [f"{each.at:%Y-%m-%d %H:%M}" for each in kept(show)] == [
        "2029-01-01 18:00",
        "2029-01-01 23:59",
    ]


def test_an_omitted_shot_says_which_issued_calls_may_be_struck(show: ShowFolder) -> None:
    # Without an issued order there is nothing to strike.
    omitted = ("post", show.path, "omitted", "HL010", "--dry-run", "--at", "2027-03-01 07:00")
    on = ("--on", "2027-03-01")
    assert "struck" not in run(*omitted, *on).output
    run("order", show.path, "--issue", *QUICK)
    calls = json.loads((show.path / "issued/order_001.json").read_text(encoding="utf-8"))["calls"]
    result = run(*omitted, *on)
    assert result.exit_code == 0, result.output
    # One shot is the whole show: every call of it and of its build goes, and its stage is free.
    assert f"of order 1, {len(calls)} calls may be struck" in words(result)
    assert "north, " in words(result)
    assert "HL010.town, set up" in words(result)
    assert "the stage is called for nothing else then" in words(result)
    assert max(map(len, result.output.splitlines())) <= 80
    # What was called before the day is past; all that is told after the last call spares none.
    later = (*omitted[:-1], "2028-03-01 07:00", "--on", "2028-03-01")
    assert "struck" not in run(*later).output


@pytest.mark.parametrize(
    "asked",
    [
        ("post", "built", "hill_town", "--at", "0001-01-01"),
        ("post", "built", "hill_town", "--at", "9999-12-31T23:00+00:00"),
        ("post", "built", "hill_town", "--on", "0001-01-01"),
        ("post", "built", "hill_town", "--on", "9999-12-31"),
        ("post", "lost", "hill_town", "--value", "back=9999-12-31"),
        ("blocking", "--on", "0001-01-01"),
        ("blocking", "--on", "9999-12-31"),
        ("forecast", "--on", "0001-01-03"),
        ("forecast", "--since", "0001-01-01"),
        ("stale", "--on", "0001-01-01"),
        ("calendar", "--to", "calendars", "--at", "0001-01-01T00:00+05:00"),
        ("order", "--from", "9999-12-31"),
        ("bid", "--rates-on", "9999-12-31"),
        ("order", "--without", "hill_town", "9999-12-31.."),
        ("order", "--without", "hill_town", "2027-03-01..9999-12-31"),
    ],
)
def test_a_day_of_no_show_is_refused_in_a_sentence(
    show: ShowFolder, asked: tuple[str, ...]
) -> None:
    # The first and last days there are have no day before or after, nor a moment in any zone.
    command, *more = asked
    result = run(command, show.path, *more)
    assert result.exit_code == 2, result.output
    assert "is no day of a show; write one from 1900 to 2999" in words(result)


@pytest.mark.parametrize("value", ["3.2", "=3.2", " =3.2"])
def test_a_value_without_its_name_is_refused(show: ShowFolder, value: str) -> None:
    result = run("post", show.path, "measured", "HL010.sky", "--by", "Ann", "--value", value)
    assert result.exit_code == 2, result.output
    assert "does not say of what; write --value NAME=VALUE" in words(result)
    assert kept(show) == ()


def test_whoever_has_no_name_here_is_asked_for_one(
    show: ShowFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    def nameless() -> str:
        raise KeyError("getpwuid(): uid not found: 4711")

    monkeypatch.setattr("getpass.getuser", nameless)
    result = run("post", show.path, "built", "hill_town")
    assert result.exit_code == 2, result.output
    assert "say who tells it, --author NAME" in words(result)
    assert kept(show) == ()


def test_what_is_lost_far_to_the_west_is_lost_on_the_day_it_was_here(
    show: ShowFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    run("order", show.path, "--issue", *QUICK)
    calls = json.loads((show.path / "issued" / "order_001.json").read_bytes())["calls"]
    day = min(each["ends"][:10] for each in calls if "cam" in each["holds"])
    with monkeypatch.context() as here:
        here.setenv("TZ", "UTC")
        time.tzset()
        # Eight hours behind, eight in the evening is four in the morning of the next day here.
        at = ("--on", "2028-01-01", "--at", f"{day}T20:00-08:00")
        told = json.loads(run("post", show.path, "lost", "cam", "--dry-run", "--json", *at).stdout)
        taken = [call for each in told["want_what_is_lost"] for call in each["calls"]]
        assert not [each for each in taken if each["ends"][:10] <= day]
    time.tzset()


def test_the_ledger_of_what_nobody_knows_is_wrong_usage(show: ShowFolder) -> None:
    result = run("ledger", show.path, "HL010.sky", "HL010.twon")
    assert result.exit_code == 2
    said = "nothing in the show is called HL010.twon, and nothing is posted of it"
    assert f"{said}; did you mean HL010.town?" in words(result)


@pytest.mark.parametrize(
    ("told", "said"),
    [
        (("take", "HL010", "--take", "1"), "HL010 is a shot; tell “take” of one of its pieces: "),
        (("in-the-can", "HL010"), "one of its pieces: HL010.sky, HL010.town, HL010.final"),
        (("lost", "HL010"), "HL010 is a shot; tell “lost” of one of its pieces"),
        (
            ("take", "hill_town", "--take", "1"),
            "hill_town is a build; tell “take” of a piece it is seen in: HL010.town",
        ),
        (("scanned", "cam"), "cam is no piece of a shot; tell “scanned” of the piece photographed"),
        (
            ("take", "HL010.town", "--take", "one"),
            "--take one is no number of a take; write it as on the slate, such as 4 or 4A",
        ),
    ],
)
def test_what_is_told_of_the_wrong_thing_is_refused_with_what_would_do(
    show: ShowFolder, told: tuple[str, ...], said: str
) -> None:
    result = run("post", show.path, *told)
    assert result.exit_code == 2, result.output
    assert said in words(result)
    assert max(map(len, result.output.splitlines())) <= 80
    assert kept(show) == ()


@pytest.mark.parametrize(
    "told",
    [
        ("held", "HL010", "--by", "anna"),
        ("omitted", "HL010"),
        ("lost", "cam"),
        ("built", "hill_town"),
        ("take", "HL010.town", "--take", "4A"),
        ("take", "HL010.final", "--take", "v2"),
    ],
)
def test_what_may_be_told_of_a_thing_is_kept(show: ShowFolder, told: tuple[str, ...]) -> None:
    result = run("post", show.path, *told)
    assert result.exit_code == 0, result.output
    assert len(kept(show)) == 1


def test_a_day_long_before_the_show_wants_a_reason(show: ShowFolder) -> None:
    # Clocks of today and of the show's first day both come after the last century.
    told = ("post", show.path, "take", "HL010.sky", "--take", "1", "--on", "1999-01-01")
    result = run(*told)
    assert result.exit_code == 2, result.output
    assert "1999-01-01 is long before the show's first day, 2" in words(result)
    assert kept(show) == ()
    show.write("day.yaml", "- {what: built, about: hill_town, at: 1999-01-01 17:00}\n")
    result = run("post", show.path, "--from", show.path / "day.yaml")
    assert result.exit_code == 1
    assert "day.yaml:1:3" in words(result)
    assert "say with --why how it came to be so early" in words(result)
    assert run(*told, "--why", "a plate from the library").exit_code == 0
    assert [f"{each.at:%Y}" for each in kept(show)] == ["1999"]


def test_a_day_long_after_the_last_promise_wants_a_reason(show: ShowFolder) -> None:
    told = ("post", show.path, "take", "HL010.sky", "--take", "1", "--on", "2047-04-02")
    result = run(*told)
    assert result.exit_code == 2, result.output
    said = "2047-04-02 is more than two years after the show's last promise, 2027-"
    assert said in words(result)
    assert kept(show) == ()
    assert run(*told, "--why", "shown again for its jubilee").exit_code == 0
    assert [f"{each.at:%Y}" for each in kept(show)] == ["2047"]


def test_a_day_soon_after_the_last_promise_needs_none(show: ShowFolder) -> None:
    told = ("post", show.path, "take", "HL010.sky", "--take", "1", "--on", "2028-12-31")
    assert run(*told).exit_code == 0


def test_frames_that_no_film_holds_are_refused(show: ShowFolder) -> None:
    # The cut is 1-96; a magazine of 16,000 frames more ends at 16,096.
    told = ("post", show.path, "take", "HL010.sky", "--take", "1", "--frames")
    for frames in ("1-99999999", "1-16097"):
        result = run(*told, frames)
        assert result.exit_code == 2, result.output
        assert f"--frames {frames} is far beyond the cut, 1-96" in words(result)
    assert kept(show) == ()
    assert run(*told, "1-16096").exit_code == 0
    assert run(*told, "1-16097", "--why", "two magazines").exit_code == 0
    assert len(kept(show)) == 2


def test_a_day_more_than_a_season_before_a_show_is_kept_and_asked_about(
    show: ShowFolder,
) -> None:
    show.replace("show.yaml", "starts: 2027-03-01", "starts: 2020-03-02")
    # 91 days are a season: 2019-12-02 is the first of them.
    early = ("post", show.path, "measured", "HL010.sky", "--by", "Ann", "--on")
    told = run(*early, "2019-12-01")
    assert told.exit_code == 0, told.output
    asked = "2019-12-01 is 92 days before the show's first day, 2020-03-02: is the year right?"
    assert f"look: {asked}" in words(told)
    assert "is the year right" not in run(*early, "2019-12-02").output
    assert "is the year right" not in run(*early, "2019-12-01", "--why", "a recce").output
    assert len(kept(show)) == 3
