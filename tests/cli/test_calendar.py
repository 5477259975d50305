"""``platewright calendar`` from end to end on a small show."""

from __future__ import annotations

from typing import TYPE_CHECKING

from click.testing import CliRunner
from icalendar import Calendar

from planner.cli import group

if TYPE_CHECKING:
    from pathlib import Path


def _write(show, to: Path, *words: str) -> str:
    common = ["--to", str(to), "--at", "2027-02-01T10:00Z", "--tries", "5"]
    result = CliRunner().invoke(group, ["calendar", str(show.path), *common, *words])
    assert result.exit_code == 0, result.output
    return result.output


def _events(path: Path) -> list:
    return list(Calendar.from_ical(path.read_bytes()).walk("VEVENT"))


def test_there_is_a_calendar_a_stage_and_a_crew(show, tmp_path: Path) -> None:
    _write(show, tmp_path / "calls")
    names = {each.name for each in (tmp_path / "calls").iterdir()}
    assert names == {"stage_north.ics", "crew_stage_crew.ics", "crew_modellers.ics"}


def test_each_day_of_a_call_is_an_event_within_the_working_day(show, tmp_path: Path) -> None:
    _write(show, tmp_path)
    for event in _events(tmp_path / "crew_modellers.ics"):
        assert event["dtstart"].dt.date() == event["dtend"].dt.date()
        assert 8 <= event["dtstart"].dt.hour <= event["dtend"].dt.hour <= 18


def test_the_same_order_given_out_again_gives_the_same_files(show, tmp_path: Path) -> None:
    _write(show, tmp_path)
    before = {each.name: each.read_bytes() for each in tmp_path.glob("*.ics")}
    _write(show, tmp_path)
    assert {each.name: each.read_bytes() for each in tmp_path.glob("*.ics")} == before


def test_a_later_start_of_the_show_moves_calls_and_numbers_rise(show, tmp_path: Path) -> None:
    _write(show, tmp_path)
    first = {str(each["uid"]) for each in _events(tmp_path / "stage_north.ics")}
    show.replace("show.yaml", "starts: 2027-03-01", "starts: 2027-04-05")
    _write(show, tmp_path)
    events = _events(tmp_path / "stage_north.ics")
    assert first <= {str(each["uid"]) for each in events}
    assert {int(each["sequence"]) for each in events if str(each["uid"]) in first} == {1}


def test_a_zone_that_nobody_knows_is_told_at_its_place(show, tmp_path: Path) -> None:
    show.replace("show.yaml", "currency: GBP", "currency: GBP\nzone: Europe/Atlantis")
    words = ["calendar", str(show.path), "--to", str(tmp_path / "calls")]
    result = CliRunner().invoke(group, words)
    assert result.exit_code == 1
    assert show.place("show.yaml", "Europe/Atlantis") in result.output.replace("\n", "")
    assert "[zone-unknown]" in result.output
    assert not (tmp_path / "calls").exists()


def test_a_file_that_is_not_ours_stays_and_nothing_is_written(show, tmp_path: Path) -> None:
    (tmp_path / "stage_north.ics").write_text("my own notes", encoding="utf-8")
    words = ["calendar", str(show.path), "--to", str(tmp_path), "--tries", "5"]
    result = CliRunner().invoke(group, words)
    assert result.exit_code == 1
    assert "is left alone" in result.output
    assert [each.name for each in tmp_path.glob("*.ics")] == ["stage_north.ics"]
    assert (tmp_path / "stage_north.ics").read_text(encoding="utf-8") == "my own notes"


def test_numbers_rise_in_a_new_folder_too(show, tmp_path: Path) -> None:
    def numbers(name: str) -> set[tuple[str, int]]:
        _write(show, tmp_path / name)
        events = _events(tmp_path / name / "stage_north.ics")
        return {(str(each["status"]), int(each["sequence"])) for each in events}

    def said(*words: str) -> None:
        result = CliRunner().invoke(group, [words[0], str(show.path), *words[1:]])
        assert result.exit_code == 0, result.output

    said("order", "--issue", "--tries", "5")
    assert numbers("first") == {("CONFIRMED", 0)}
    # What is lost makes every call of the stage tentative, which is a revision of it.
    said("post", "lost", "north", "--at", "2026-02-20 10:00")
    assert numbers("lost") == {("TENTATIVE", 1)}
    # It is there again, and an order is issued: two more things that may have changed a call.
    said("post", "freed", "north", "--at", "2026-02-21 10:00")
    said("order", "--issue", "--afresh", "--tries", "5")
    assert numbers("again") == {("CONFIRMED", 3)}
    # Into the folder of the first, each has changed by its number of orders and posts, not by one.
    show.replace("resources.yaml", "height: 7 m}", "height: 7 m, title: Northern}")
    assert numbers("first") == {("CONFIRMED", 3)}


def test_a_call_that_an_earlier_order_made_is_cancelled_in_a_new_folder(
    show, tmp_path: Path
) -> None:
    def said(*words: str) -> None:
        result = CliRunner().invoke(group, [words[0], str(show.path), *words[1:]])
        assert result.exit_code == 0, result.output

    def calls(name: str) -> dict[str, tuple[str, int]]:
        _write(show, tmp_path / name)
        events = _events(tmp_path / name / "stage_north.ics")
        return {str(each["uid"]): (str(each["status"]), int(each["sequence"])) for each in events}

    said("order", "--issue", "--tries", "5")
    issued = calls("first")
    assert {status for status, _ in issued.values()} == {"CONFIRMED"}
    said("post", "omitted", "HL010", "--at", "2026-02-20 10:00")
    said("order", "--issue", "--afresh", "--tries", "5")
    again = calls("second")
    gone = {uid for uid, (status, _) in again.items() if status == "CANCELLED"}
    # All that the stage does in this show is for its one shot, whose calls were given out as 0;
    # an order and a post later, they are called off under a number above both.
    assert gone == set(issued)
    assert {again[uid][1] for uid in gone} == {3}
