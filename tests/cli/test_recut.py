"""``platewright recut``: told first, written only when accepted, and then whole or not at all."""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

import jsonschema
import opentimelineio as otio
import pytest

from planner.cli import recut_accept
from planner.cli.opening import Held, open_sound, worked_out
from planner.kinds import Registry
from planner.ledger.store import LedgerError, open_ledger
from planner.model.cut import Act, CutChange
from planner.model.facts import FrameRange
from planner.pages import files
from planner.status import states_of
from planner.status.recut_edits import Asked, written
from planner.text.show_folder import load_show
from tests.cli.test_commands import QUICK, run

if TYPE_CHECKING:
    from pathlib import Path

    from click.testing import Result

    from planner.ledger import Event
    from planner.model.show import Show
    from tests.conftest import ShowFolder

SEQUENCE = "sequences/hill.yaml"
LONGER = "by: the editor\nchanges:\n  - {lengthen: HL010, tail: 12}   # second preview\n"


@pytest.fixture
def hill(show: ShowFolder) -> ShowFolder:
    show.replace(SEQUENCE, "cut: 1-96", "cut: 101-196   # locked by the editor")
    show.replace(SEQUENCE, "on: location}", "on: location, in_frame: 101-196}")
    return show


def recut(show: ShowFolder, name: str, text: str | bytes, *words: str) -> Result:
    path = show.path.parent / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return run("recut", show.path, path, *QUICK, "--author", "anna", *words)


def kept(show: ShowFolder) -> tuple[Event, ...]:
    ledger = open_ledger(show.path / "ledger.db", make=False)
    if ledger is None:
        return ()
    events = ledger.events()
    ledger.close()
    return events


def text_of(show: ShowFolder) -> str:
    return (show.path / SEQUENCE).read_text(encoding="utf-8")


def read(show: ShowFolder) -> Show:
    found, problems = load_show(show.path, Registry())
    assert found is not None
    assert problems == ()
    return found


def test_telling_changes_nothing_and_fits_eighty_columns(hill: ShowFolder) -> None:
    run("post", hill.path, "in-the-can", "HL010.sky", "--take", "3", "--frames", "93-204")
    before, events = text_of(hill), kept(hill)
    result = recut(hill, "list.yaml", LONGER)
    assert result.exit_code == 0, result.output
    assert max(map(len, result.output.splitlines())) <= 80
    words = " ".join(result.output.split())
    assert "HL010 12 frames longer at the tail, 101-196 to 101-208" in words
    assert "sky: cheap: hold or slow 4 frames, or photograph again: " in words
    assert "4 frames short at the tail: 93 to 204 exist (take 3, as posted)" in words
    assert words.endswith("Nothing was written; --accept writes it.")
    assert (text_of(hill), kept(hill)) == (before, events)


def test_accepting_writes_the_files_in_place_and_posts_who_did_it(hill: ShowFolder) -> None:
    before = text_of(hill)
    result = recut(hill, "list.yaml", LONGER, "--accept")
    assert result.exit_code == 0, result.output
    after = text_of(hill)
    assert "cut: 101-208   # locked by the editor" in after
    assert "on: location, in_frame: 101-208}" in after
    assert read(hill).shots["HL010"].cut == FrameRange(101, 208)
    assert read(hill).shots["HL010"].facts.group("recut").frames("was") == FrameRange(101, 196)
    # But for the new line, only two lines differ.
    old, new = before.splitlines(), after.splitlines()
    (line,) = [each for each in new if each.strip().startswith("recut:")]
    new.remove(line)
    assert sum(one != two for one, two in zip(old, new, strict=True)) == 2
    (event,) = kept(hill)
    assert (event.what.value, event.about, event.author) == ("recut", "HL010", "anna")
    assert event.details.frames == FrameRange(101, 208)
    assert "12 frames longer at the tail" in event.details.words


def test_a_change_list_is_accepted_once(hill: ShowFolder) -> None:
    assert recut(hill, "list.yaml", LONGER, "--accept").exit_code == 0
    before = text_of(hill)
    again = recut(hill, "list.yaml", LONGER, "--accept")
    assert again.exit_code == 1
    assert "list.yaml was accepted before, as the ledger says.\nNothing was written." in (
        again.output
    )
    assert text_of(hill) == before
    assert len(kept(hill)) == 1


def test_a_take_swapped_in_is_the_one_in_use_from_then_on(hill: ShowFolder) -> None:
    hill.replace(SEQUENCE, "on: location,", 'on: location, report: {take: "3"},')
    run("post", hill.path, "take", "HL010.sky", "--take", "3", "--circled")
    swap = 'changes: [{take: HL010.sky, to: "5", frames: 90-210}]'
    assert recut(hill, "list.yaml", swap, "--accept").exit_code == 0
    sky = read(hill).elements["HL010.sky"].facts
    assert sky.group("report").word("take") == "5"
    assert sky.frames("frames_in_hand") == FrameRange(90, 210)
    assert states_of(kept(hill))["HL010.sky"].in_use == "5"


def test_omission_and_its_return_are_written_and_posted(hill: ShowFolder) -> None:
    assert recut(hill, "a.yaml", "changes: [{omit: HL010}]", "--accept").exit_code == 0
    assert read(hill).shots["HL010"].state == "omitted"
    back = recut(hill, "b.yaml", "changes: [{un-omit: HL010}]", "--accept", "--why", "missed")
    assert back.exit_code == 0, back.output
    assert read(hill).shots["HL010"].is_live
    assert read(hill).shots["HL010"].facts.word("why").endswith("missed.")
    assert [each.what.value for each in kept(hill)] == ["omitted", "un-omitted"]


def test_what_is_accepted_of_a_day_comes_after_what_was_told_of_it(hill: ShowFolder) -> None:
    on = ("--on", "2026-03-05")
    run("post", hill.path, "un-omitted", "HL010", *on)
    assert recut(hill, "a.yaml", "changes: [{omit: HL010}]", "--accept", *on).exit_code == 0
    run("post", hill.path, "held", "HL010", "--by", "anna", *on)
    events = kept(hill)
    assert [each.what.value for each in events] == ["un-omitted", "omitted", "held"]
    assert events[0].at < events[1].at < events[2].at


def test_added_and_split_shots_are_left_for_people_to_fill(hill: ShowFolder) -> None:
    changes = (
        "changes:\n"
        "  - {add: HL020, after: HL010, count: 48}\n"
        "  - {split: HL010, at: 150, new: HL015}\n"
    )
    result = recut(hill, "list.yaml", changes, "--accept")
    assert result.exit_code == 0, result.output
    show = read(hill)
    assert list(show.shots) == ["HL010", "HL015", "HL020"]
    assert show.shots["HL015"].cut == FrameRange(150, 196)
    assert show.shots["HL015"].state == "unplaced"
    assert show.shots["HL020"].facts.is_unknown("says")
    assert kept(hill) == ()  # nothing that was approved has changed
    assert "cut: 101-196   # locked by the editor" in text_of(hill)


def test_a_cut_list_is_told_and_accepted(hill: ShowFolder) -> None:
    timeline = otio.schema.Timeline("reel 1")
    track = otio.schema.Track(kind=otio.schema.TrackKind.Video)
    for name, first, count in (("HL010_comp_v2", 105, 100), ("crowd", 0, 48)):
        start, length = (otio.opentime.RationalTime(each, 24) for each in (first, count))
        span = otio.opentime.TimeRange(start, length)
        track.append(otio.schema.Clip(name, source_range=span))
    timeline.tracks.append(track)
    data = otio.adapters.write_to_string(timeline, "otio_json")
    told = recut(hill, "reel.otio", data)
    assert "clips that name no shot, left alone: crowd" in told.output
    # From 105 for 100 frames: 105 to 204.
    assert "4 frames shorter at the head, 8 frames longer at the tail" in told.output
    assert recut(hill, "reel.otio", data, "--accept").exit_code == 0
    assert read(hill).shots["HL010"].cut == FrameRange(105, 204)
    assert "Nothing changes." in recut(hill, "reel.otio", data).output


def test_an_edit_list_is_told(hill: ShowFolder) -> None:
    edit_list = (
        "TITLE: REEL 1\nFCM: NON-DROP FRAME\n\n"
        "001  HL010    V     C        01:00:04:05 01:00:07:17 01:00:00:00 01:00:03:12\n"
        "* FROM CLIP NAME: HL010\n"
    )
    # From 4 s 5 to 7 s 17 are 84 frames: 101 to 184, twelve fewer.
    result = recut(hill, "reel.edl", edit_list)
    assert "12 frames shorter at the tail, 101-196 to 101-184" in result.output


def test_a_show_worked_out_from_what_is_held_is_as_one_worked_out_afresh(hill: ShowFolder) -> None:
    opened = open_sound(hill.path, held := Held())
    changes = (
        CutChange(Act.LENGTH, "HL010", tail=12),
        CutChange(Act.ADD, "HL020", frames=FrameRange(1, 48)),
        CutChange(Act.OMIT, "HL010"),
    )
    for count in (1, 3, 2, 1):
        show = written(opened.show, changes[:count], Asked(date(2027, 3, 2))).show
        here, afresh = worked_out(opened, show, held), worked_out(opened, show)
        assert (here.estimates, here.found) == (afresh.estimates, afresh.found)
        assert here.graph.composites == afresh.graph.composites
        assert dict(here.graph.arrows.adj) == dict(afresh.graph.arrows.adj)


def test_machines_get_all_of_it(hill: ShowFolder) -> None:
    told = json.loads(recut(hill, "list.yaml", LONGER, "--json").output)
    (shot,) = told["shots"]
    assert (shot["shot"], shot["was"], shot["now"]) == ("HL010", "101-196", "101-208")
    assert {each["element"] for each in shot["elements"]} >= {"HL010.sky", "HL010.town"}
    assert told["accepted"] is None
    done = json.loads(recut(hill, "list.yaml", LONGER, "--json", "--accept").output)
    assert len(done["accepted"]["events"]) == 1


def test_what_actuals_say_is_spent_is_taken(hill: ShowFolder) -> None:
    row = "2027-03-08,HL010.sky,set up on location,,900.00,0,"
    hill.write("actuals.csv", f"week,element,what,hours,cost,left,note\n{row}\n")
    told = json.loads(recut(hill, "list.yaml", "changes: [{omit: HL010}]", "--json").output)
    sky = next(each for each in told["shots"][0]["elements"] if each["element"] == "HL010.sky")
    assert (sky["money"]["spent"], sky["money"]["dead"]) == ("900.00", "900.00")


@pytest.mark.parametrize(
    ("name", "text", "code", "says"),
    [
        ("list.yaml", "changes: [{lengthen: HL010}]", 1, "changes by no frames"),
        ("list.yaml", "changes: [{lengthen: HL010, tail: x}]", 1, "list.yaml:1:35"),
        ("list.yaml", "", 1, "empty"),
        ("reel.edl", b"\xff\xd8\x00", 1, "not text"),
        ("reel.edl", "001 HL010 V C 1 2 3 4\n", 1, "line 1 is no entry"),
        ("reel.otio", "{", 1, "cannot be read as a cut"),
        ("reel.mov", "film", 2, "neither a cut list"),
    ],
)
def test_what_cannot_be_read_is_one_sentence(
    hill: ShowFolder, name: str, text: str | bytes, code: int, says: str
) -> None:
    result = recut(hill, name, text, "--accept")
    assert result.exit_code == code
    assert says in result.output
    assert "Traceback" not in result.output
    assert kept(hill) == ()


def test_one_change_that_cannot_be_keeps_all_from_being_accepted(hill: ShowFolder) -> None:
    before = text_of(hill)
    changes = "changes: [{lengthen: HL010, tail: 2}, {un-omit: HL010}]"
    result = recut(hill, "list.yaml", changes, "--accept")
    assert result.exit_code == 1
    said = "the un-omit of HL010 cannot be made: HL010 is wanted already by its file"
    assert said in " ".join(result.output.split())
    assert text_of(hill) == before
    assert kept(hill) == ()


def test_all_that_a_list_names_and_is_not_there_is_told_at_once(hill: ShowFolder) -> None:
    before = text_of(hill)
    changes = """\
changes:
  - {lengthen: HL010, tail: 2}
  - {flop: HL999}
  - {take: HL010.twon, to: "2"}
  - {join: HL010, with: XX500}
  - {add: HL015, after: HL010, count: 24}
  - {order: HL015, after: HL010}
"""
    for more in ((), ("--accept",), ("--json",)):
        result = recut(hill, "list.yaml", changes, *more)
        assert result.exit_code == 1
        said = " ".join(result.stderr.split())
        assert "list.yaml:3:12 HL999 no shot is called HL999" in said
        assert "list.yaml:4:12 HL010 no piece is called HL010.twon" in said
        assert "do: did you mean HL010.town?" in said
        assert "list.yaml:5:12 HL010 no shot is called XX500" in said
        assert "HL015" not in said
        assert result.stdout == ""
    assert text_of(hill) == before


@pytest.mark.parametrize(
    ("change", "frames"),
    [
        ("{lengthen: HL010, tail: 100000000}", "100,000,096"),
        ("{lengthen: HL010, head: 14305}", "14,401"),
        ("{add: HL015, after: HL010, count: 14401}", "14,401"),
    ],
)
def test_a_shot_of_more_than_ten_minutes_is_a_slip(
    hill: ShowFolder, change: str, frames: str
) -> None:
    result = recut(hill, "list.yaml", f"changes:\n  - {change}\n", "--accept")
    assert result.exit_code == 1
    said = " ".join(result.stderr.split())
    assert "list.yaml:2:" in said
    assert f"would be {frames} frames long" in said
    assert "no shot lasts more than 10 minutes, 14,400 frames at 24 fps" in said
    assert kept(hill) == ()


def test_where_the_ledger_refuses_the_files_are_put_back(
    hill: ShowFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = text_of(hill)

    def refuse(*_: object) -> None:
        raise LedgerError("the disk is full")

    monkeypatch.setattr("planner.ledger.store.Ledger.post", refuse)
    result = recut(hill, "list.yaml", LONGER, "--accept")
    assert result.exit_code == 1
    assert "the disk is full.\nNothing was written." in result.output
    assert text_of(hill) == before


def test_where_the_disk_refuses_nothing_is_posted(
    hill: ShowFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = text_of(hill)

    def refuse(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(files, "write_bytes", refuse)
    result = recut(hill, "list.yaml", LONGER, "--accept")
    assert result.exit_code == 1
    assert "No space left on device" in result.output
    assert text_of(hill) == before
    assert kept(hill) == ()


def test_a_file_that_would_not_read_back_is_not_written(
    hill: ShowFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = text_of(hill)
    monkeypatch.setattr(recut_accept, "edited", lambda text, _values: text + "\n  : [")
    result = recut(hill, "list.yaml", LONGER, "--accept")
    assert "the new files would not read" in result.output
    monkeypatch.setattr(recut_accept, "edited", lambda text, _values: text)
    result = recut(hill, "list.yaml", LONGER, "--accept")
    assert "would not read back as it was judged" in result.output
    assert text_of(hill) == before
    assert kept(hill) == ()


def test_the_editor_schema_of_change_lists_knows_them(hill: ShowFolder) -> None:
    assert run("editor", hill.path).exit_code == 0
    schema = json.loads((hill.path / ".editor" / "changes.json").read_text(encoding="utf-8"))
    checker = jsonschema.Draft202012Validator(schema)
    assert checker.is_valid({"changes": [{"lengthen": "HL010", "tail": 12}]})
    assert not checker.is_valid({"changes": [{"lengthn": "HL010"}]})


def test_a_recut_is_dated_by_the_day_that_is_said(hill: ShowFolder) -> None:
    result = recut(hill, "list.yaml", LONGER, "--accept", "--on", "2027-04-12")
    assert result.exit_code == 0, result.output
    assert read(hill).shots["HL010"].facts.group("recut").day("on") == date(2027, 4, 12)
    (event,) = kept(hill)
    assert f"{event.at:%Y-%m-%d %H:%M}" == "2027-04-12 23:59"


def test_a_shot_that_comes_back_costs_what_its_omission_saved(hill: ShowFolder) -> None:
    out = json.loads(recut(hill, "a.yaml", "changes: [{omit: HL010}]", "--json", "--accept").output)
    back = json.loads(recut(hill, "b.yaml", "changes: [{un-omit: HL010}]", "--json").output)
    assert Decimal(out["money"]["net"]) < 0
    assert Decimal(back["money"]["net"]) == -Decimal(out["money"]["net"])
    assert out["camera_hours"] < 0
    assert back["camera_hours"] == -out["camera_hours"]


def test_what_was_made_before_an_omission_need_not_be_made_again(hill: ShowFolder) -> None:
    run("post", hill.path, "in-the-can", "HL010.sky", "--on", "2027-03-08")
    recut(hill, "a.yaml", "changes: [{omit: HL010}]", "--accept", "--on", "2027-03-09")
    listed = "changes: [{un-omit: HL010}]"
    back = json.loads(recut(hill, "b.yaml", listed, "--json", "--on", "2027-03-10").output)
    (shot,) = back["shots"]
    nets = {each["element"]: each["money"] for each in shot["elements"] if each["money"]}
    assert Decimal(nets["HL010.town"]["added"]) > 0
    assert Decimal(nets.get("HL010.sky", {"added": "0"})["added"]) == 0


def test_what_cannot_be_accepted_makes_no_ledger(hill: ShowFolder) -> None:
    # The cut has 96 frames, so that nothing is left of it.
    text = "changes:\n  - {shorten: HL010, tail: 200}\n"
    result = recut(hill, "list.yaml", text, "--accept")
    assert result.exit_code == 1
    assert "Nothing was written." in result.output
    assert not (hill.path / "ledger.db").exists()


def test_a_name_of_several_lines_writes_no_line_of_the_show(hill: ShowFolder) -> None:
    text = "changes:\n  - {add: HL015, after: HL010, count: 48}\n"
    by = "the editor\n    state: omitted"
    result = recut(hill, "list.yaml", text, "--accept", "--by", by)
    assert result.exit_code == 0, result.output
    assert read(hill).shots["HL015"].state == "live"
    assert "by the editor state: omitted; say what it is made of" in text_of(hill)


def test_files_that_cannot_be_put_back_are_named(
    hill: ShowFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    write, written = files.write_bytes, []

    def full_after_one(path: Path, data: bytes) -> None:
        if written:
            raise OSError(28, "No space left on device")
        written.append(path)
        write(path, data)

    def refuse(*_: object) -> None:
        raise LedgerError("the disk is full")

    monkeypatch.setattr(files, "write_bytes", full_after_one)
    monkeypatch.setattr("planner.ledger.store.Ledger.post", refuse)
    result = recut(hill, "list.yaml", LONGER, "--accept")
    assert result.exit_code == 1
    said = " ".join(result.output.split())
    assert "could not be put back:" in said
    assert f"{hill.path / SEQUENCE} (No space left on device)" in said
    assert "Nothing was written" not in said


def test_what_a_recut_says_is_short_is_what_it_leaves_short(hill: ShowFolder) -> None:
    run("post", hill.path, "take", "HL010.town", "--take", "1", "--verdict", "good", "--circled")
    text = "changes: [{retime: HL010, speed: 200 %}]\n"
    told = json.loads(recut(hill, "list.yaml", text, "--accept", "--json").stdout)
    town = next(each for each in told["shots"][0]["elements"] if each["element"] == "HL010.town")
    # 96 frames at twice the speed take 192, 101-292; with handles of 8 it has 93-204: 88 fewer.
    assert town["short_at_tail"] == 88
    left = json.loads(run("stale", hill.path, "HL010.town", "--json").stdout)
    (piece,) = left["stale"]
    assert piece["frames_short"] == {"head": 0, "tail": 88}


SITUATIONS = {
    "nothing issued": (False, ["in-the-can", "HL010.sky", "--frames", "93-204"]),
    "issued": (True, None),
    "half done": (True, ["in-the-can", "HL010.sky", "--frames", "93-204"]),
}


@pytest.mark.parametrize("situation", SITUATIONS)
@pytest.mark.parametrize(
    "listed",
    [
        "{lengthen: HL010, tail: 20}",
        "{omit: HL010}",
        "{omit: HL020}",
        "{un-omit: HL030}",
        "{add: HL040, after: HL020, count: 48}",
        "{split: HL010, at: 150, new: HL015}",
    ],
)
def test_the_bid_comes_to_what_was_told_before_it_was_accepted(
    hill: ShowFolder, listed: str, situation: str
) -> None:
    is_issued, post = SITUATIONS[situation]
    text = text_of(hill)
    shot = text[text.index("  HL010:") :]
    taken_out = shot.replace("HL010", "HL030").replace("says:", "state: omitted\n    says:")
    hill.write(SEQUENCE, text + shot.replace("HL010", "HL020") + taken_out)
    hill.replace("show.yaml", "overhead:", "costs: {stills: {each: shot}}\noverhead:")
    hill.replace("rates.yaml", "  north:", f"{STILLS}  north:")
    if is_issued:
        run("order", hill.path, *QUICK, "--issue")
    if post:
        run("post", hill.path, *post, "--on", "2027-03-02")
    now = _total(hill)
    told = recut(
        hill, "list.yaml", f"changes: [{listed}]\n", "--json", "--accept", "--on", "2027-03-03"
    )
    (bid, money) = (json.loads(told.stdout)[each] for each in ("bid", "money"))
    assert Decimal(bid["now"]) == now
    assert Decimal(bid["once_accepted"]) == _total(hill)
    assert (bid["finals"], bid["last_call"]) == _days(hill)
    assert Decimal(bid["more"]) == _total(hill) - Decimal(bid["without_it"])
    assert (Decimal(bid["more"]) != 0) == ("omit" in listed or "add" in listed)
    if "omit: HL020" in listed or "add" in listed:
        # Nothing of it is made, and nobody else moves: the net is what is charged, whichever order.
        assert Decimal(money["net"]) == Decimal(bid["more"])
    if "add" in listed:
        # Stills of one shot more, 100 GBP, with overhead of 12 % and contingency of 10 %.
        assert Decimal(bid["more"]) == 122


STILLS = "  stills: {per: item, amounts: [{from: 2027-01-01, is: 100.00 GBP}]}\n"


def _days(show: ShowFolder) -> tuple[dict[str, str], str]:
    """Days of finals, and of the last call, as `order` has them."""
    order = json.loads(run("order", show.path, *QUICK, "--json").stdout)
    finals = {shot: day[:10] for shot, day in order["finals"].items()}
    return finals, max(each["ends"][:10] for each in order["calls"])


def test_what_planning_again_moves_is_told_apart_from_what_the_change_moves(
    hill: ShowFolder,
) -> None:
    text = text_of(hill)
    hill.write(SEQUENCE, text + text[text.index("  HL010:") :].replace("HL010", "HL020"))
    run("order", hill.path, *QUICK, "--issue")
    run("post", hill.path, "in-the-can", "HL010.sky", "--on", "2027-03-02")
    now, days = _total(hill), _days(hill)[0]
    listed = "changes: [{omit: HL020}]\n"
    words = " ".join(recut(hill, "list.yaml", listed, "--on", "2027-04-01").output.split())
    told = json.loads(recut(hill, "list.yaml", listed, "--json", "--on", "2027-04-01").stdout)
    bid = told["bid"]
    assert Decimal(bid["now"]) == now
    # The same order planned on from that day, and nothing changed: this is what `--from` gives.
    run("order", hill.path, *QUICK, "--from", "2027-04-01", "--issue")
    assert Decimal(bid["without_it"]) == _total(hill)
    later = _days(hill)[0]
    # The sky alone is posted as done by 1 April: the town and its pass are called anew.
    assert later["HL010"] > "2027-04-01" > days["HL010"]
    assert bid["finals_moved_anyway"] == [
        {"shot": shot, "before": days[shot], "after": later[shot]} for shot in days
    ]
    assert {"shot": "HL020", "before": later["HL020"], "after": None} in bid["finals_moved"]
    assert f"HL020 wanted no more, else {later['HL020']}" in words
    assert f"HL010 {later['HL010']}, else {days['HL010']}" in words
    own = f"the change makes it {-Decimal(bid['more']):,.2f} cheaper"
    assert f"{own}. It is {now:,.2f} now" in words
    assert "now; planning again makes it" in words


def test_taking_a_recut_back_is_not_said_to_do_what_was_not_done(hill: ShowFolder) -> None:
    text = text_of(hill)
    hill.write(SEQUENCE, text + text[text.index("  HL010:") :].replace("HL010", "HL020"))
    run("order", hill.path, *QUICK, "--issue")
    issued = _total(hill)
    run("post", hill.path, "in-the-can", "HL010.sky", "--on", "2027-03-02")
    recut(hill, "list.yaml", "changes: [{omit: HL020}]\n", "--accept", "--on", "2027-04-01")
    now = _total(hill)
    back = "changes: [{un-omit: HL020}]\n"
    told = json.loads(recut(hill, "back.yaml", back, "--json", "--on", "2027-04-01").stdout)["bid"]
    # It fits the order as issued again, by whose days the town was photographed in March.
    assert Decimal(told["once_accepted"]) == issued
    assert Decimal(told["now"]) == now == Decimal(told["without_it"])
    # Like with like, both go on from April: what the omission saved is what its return costs.
    assert Decimal(told["with_it"]) - now == Decimal(told["more"])
    assert [each["shot"] for each in told["finals_moved"]] == ["HL020"]
    accepted = recut(hill, "back.yaml", back, "--accept", "--on", "2027-04-01")
    words = " ".join(accepted.output.split())
    assert "going back to an order by which what is past counts as done makes it" in words
    assert _total(hill) == issued


@pytest.mark.parametrize("is_issued", [True, False])
@pytest.mark.parametrize("how", ["recut", "post"])
def test_a_change_order_tells_of_a_cut_what_a_recut_told_of_it(
    hill: ShowFolder, how: str, *, is_issued: bool
) -> None:
    text = text_of(hill)
    hill.write(SEQUENCE, text + text[text.index("  HL010:") :].replace("HL010", "HL020"))
    if is_issued:
        run("order", hill.path, *QUICK, "--issue")
    run("post", hill.path, "in-the-can", "HL010.sky", "--on", "2027-03-02")
    run("bid", hill.path, *QUICK, "--issue")
    listed = "changes: [{omit: HL020}]\n"
    told = json.loads(recut(hill, "list.yaml", listed, "--json", "--on", "2027-04-01").stdout)
    if how == "recut":
        recut(hill, "list.yaml", listed, "--accept", "--on", "2027-04-01")
    else:
        run("post", hill.path, "omitted", "HL020", "--by", "anna", "--on", "2027-04-01")
    found = json.loads(run("bid", hill.path, *QUICK, "--json", "--change-order", "1").stdout)
    bid = told["bid"]
    assert Decimal(found["net"]) - Decimal(found["net_since"]) == Decimal(bid["more"])
    assert Decimal(found["net_since"]) == Decimal(bid["without_it"]) - Decimal(bid["now"])
    if is_issued:
        assert found["finals_by_cut"] == bid["finals_moved"]
        assert found["finals_since"] == bid["finals_moved_anyway"]
    # Not one day of it is the cut's: the other shot is as late without it.
    assert [each["shot"] for each in found["finals_by_cut"]] == ["HL020"]
    assert bool(found["finals_since"]) == is_issued
    if is_issued:
        # So it is once the order with the change in it is the one to work by.
        run("order", hill.path, *QUICK, "--issue")
        again = json.loads(run("bid", hill.path, *QUICK, "--json", "--change-order", "1").stdout)
        assert [again[each] for each in TOLD_APART] == [found[each] for each in TOLD_APART]


TOLD_APART = ("net", "net_since", "finals_by_cut", "finals_since")


def _total(show: ShowFolder) -> Decimal:
    return Decimal(json.loads(run("bid", show.path, *QUICK, "--json").stdout)["total"]["likely"])


def test_what_is_made_and_dead_is_said_to_be_paid_besides_the_bid(hill: ShowFolder) -> None:
    rates = (hill.path / "rates.yaml").read_text(encoding="utf-8")
    location = "  location: {per: hour, amounts: [{from: 2027-01-01, is: 50.00 GBP}]}\n"
    hill.write("rates.yaml", rates + location)
    run("post", hill.path, "in-the-can", "HL010.sky", "--frames", "93-204", "--on", "2027-03-02")
    listed = "changes: [{lengthen: HL010, tail: 30}]"
    told = recut(hill, "list.yaml", listed, "--on", "2027-03-03")
    assert max(map(len, told.output.splitlines())) <= 80
    words = " ".join(told.output.split())
    assert "Once this is accepted, `bid` comes to " in words
    # The sky is 26 frames short and photographed anew: the net pays for it twice, the bid once.
    assert (
        "that bid holds one making of each piece: what is made and dead is paid besides." in words
    )
