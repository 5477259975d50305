"""``platewright print`` from end to end: what stands on each print of a small show."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path

import pytest
from click.testing import CliRunner

from planner.cli import bid_issuing, group
from planner.craft.cautions import CAUTIONS

EXAMPLE = Path(__file__).parents[2] / "example_shows" / "nine_bells_under"

SET = """\
sets:
  riverbank:
    stands: 2027-03-01..2027-03-12
    measures:
      - {what: "width of the jetty", by: "the measurer"}
      - {what: "height of its rail", taken: true}
"""
ROTO = """\
      edge: {kind: roto, sort: hold_out, roto_of: town, frames: 1-40, level: isolated}
      final: {kind: composite, joins: [sky, town, edge]}
"""


def _print(show: Path, *words: str) -> str:
    to = show.parent / "print.pdf"
    result = CliRunner().invoke(
        group, ["print", str(show), *words, "--to", str(to), "--tries", "5"]
    )
    assert result.exit_code == 0, result.output
    try:
        told = subprocess.run(
            ["pdftotext", "-layout", str(to), "-"], capture_output=True, text=True, check=True
        )
    except FileNotFoundError:
        pytest.skip("pdftotext is not on this machine")
    return " ".join(told.stdout.split())


def _told(show: Path, command: str, *words: str) -> str:
    result = CliRunner().invoke(group, [command, str(show), *words])
    return " ".join(result.stdout.split())


@pytest.fixture
def folder(show) -> Path:
    builds = (show.path / "builds.yaml").read_text(encoding="utf-8")
    show.write("builds.yaml", builds + SET)
    show.replace(
        "sequences/hill.yaml",
        "      final: {kind: composite, joins: [sky, town]}\n",
        ROTO,
    )
    return show.path


def test_the_card_has_the_stop_to_set_and_room_for_what_was_shot(folder: Path) -> None:
    text = _print(folder, "card", "HL010.town")
    assert "Set-up card: HL010.town" in text
    assert "SET f/" in text
    assert "As shot" in text


@pytest.mark.parametrize("id_", ["NB110.heron", "NB150.heron"])
@pytest.mark.parametrize("dated", [(), ("--afresh", "--tries", "5")])
def test_the_fullest_cards_of_the_example_are_one_page(
    id_: str, dated: tuple[str, ...], tmp_path: Path
) -> None:
    """A puppet on four rods and a track, with its contacts, findings and ticks; dated as well."""
    to = tmp_path / "card.pdf"
    told = CliRunner().invoke(group, ["print", str(EXAMPLE), "card", id_, "--to", str(to), *dated])
    assert told.exit_code == 0, told.output
    assert len(re.findall(rb"/Type\s*/Page\b", to.read_bytes())) == 1


def test_the_day_order_names_stage_day_and_set_up(folder: Path) -> None:
    text = _print(folder, "day")
    assert "Day order: north, " in text
    assert "HL010.town: set up" in text
    assert "Set-up: hill town at 1:24, prime 35" in text  # no identifiers: hill_town, prime_35
    assert "Next here" in text or "Nothing else is called here." in text


@pytest.mark.parametrize(
    ("until", "is_said"), [("", True), ("2027-03-02", False), ("2028-01-01", True)]
)
def test_what_no_longer_holds_of_a_stage_is_not_said(
    show, folder: Path, until: str, *, is_said: bool
) -> None:
    # The set stands on the stage from the days after 2 March on, and not until 2028.
    said = "notes: Let to others on Tuesday."
    said += f", notes_until: {until}" if until else ""
    show.replace("resources.yaml", "height: 7 m}", f"height: 7 m, {said}}}")
    days = [each for each in _print(folder, "day").split("\f") if "Day order: north" in each]
    assert days
    assert all(("Let to others on Tuesday." in each) is is_said for each in days)


def test_a_day_order_says_once_what_a_piece_is(show, folder: Path) -> None:
    says = "the town in the rain"
    show.replace("sequences/hill.yaml", "kind: miniature", f"says: {says}\n        kind: miniature")
    text = _print(folder, "day")
    # Set up and photographed: several rows, but the words are needed no more than once a day.
    assert text.count("HL010.town:") > text.count(says) > 0
    assert text.count(says) <= text.count("Day order: ")


def test_every_print_says_at_its_head_whose_it_is(show, folder: Path) -> None:
    show.write("show.yaml", (folder / "show.yaml").read_text("utf-8") + "office: Hill <b>office\n")
    for words in (("call",), ("day",), ("card", "HL010.town"), ("bid",)):
        assert "Hill <b>office" in _print(folder, *words)


def test_a_call_sheet_says_what_to_do_in_an_emergency_or_leaves_room_for_it(
    show, folder: Path
) -> None:
    assert "In an emergency north First aider, nearest hospital" in _print(folder, "call")
    show.replace("resources.yaml", "height: 7 m}", "height: 7 m, emergency: Ask at the gate.}")
    text = _print(folder, "call")
    assert "In an emergency north Ask at the gate." in text
    assert "north First aider" not in text


def test_the_week_order_names_its_days(folder: Path) -> None:
    text = _print(folder, "week", "--date", "2027-03-03")
    assert "Week order: Mon 1 Mar to Sun 7 Mar 2027" in text


def test_the_call_sheet_of_a_stage_day_carries_cautions(folder: Path) -> None:
    text = _print(folder, "call")
    assert "a licensed electrician" in text
    assert "HL010.town: photograph" in text


def test_the_shot_breakdown_lists_its_pieces_and_what_is_missing(folder: Path) -> None:
    text = _print(folder, "shot", "HL010")
    assert "Shot breakdown: HL010" in text
    assert "build: hill town" in text
    assert "Marks: ! measured" in text  # what the mark after a number means


def test_the_roto_order_says_frames_and_over_what(folder: Path) -> None:
    text = _print(folder, "roto", "hill")
    assert "roto of town" in text  # of its own shot, so by its short name
    assert "1-40: 40~ drawn" in text  # 1 to 40, both ends counted


def test_the_line_up_sheet_lists_pieces_back_to_front(folder: Path) -> None:
    text = _print(folder, "lineup", "HL010")
    assert text.index("sky, plate") < text.index("town, miniature") < text.index("edge, roto")


def test_roto_order_and_line_up_say_when_their_work_is_called(folder: Path) -> None:
    assert CliRunner().invoke(group, ["order", str(folder), "--issue"]).exit_code == 0
    number, *_ = (folder / "issued").glob("*.json")
    calls = json.loads(number.read_text(encoding="utf-8"))["calls"]
    for what, element in (("roto", "HL010.edge"), ("lineup", "HL010.final")):
        text = _print(folder, what, "HL010")
        assert "Order 1, issued on" in text
        mine = [each for each in calls if each["element"] == element]
        assert mine
        assert all(f"called {_words(each['starts'])}" in text for each in mine)


def _words(moment: str) -> str:
    """``Mon 1 Mar 2027 08:00``, without asking the code that prints it."""
    when = datetime.fromisoformat(moment)
    return f"{when:%a} {when.day} {when:%b %Y %H:%M}"


def test_roto_order_and_line_up_name_the_take_that_was_posted(folder: Path) -> None:
    words = ["post", str(folder), "take", "HL010.town", "--take", "7", "--verdict", "good"]
    told = [*words, "--circled", "--at", "2027-03-05 10:00", "--on", "2027-03-05"]
    assert CliRunner().invoke(group, told).exit_code == 0
    assert "roto of town (take 7)" in _print(folder, "roto", "hill")
    assert "take 7" in _print(folder, "lineup", "HL010")


def test_line_up_and_roto_order_say_which_frames_do_not_exist(show, folder: Path) -> None:
    """A sheet that says frames wanted as if they were there is found out at the bench.

    The town was photographed for the cut as it stood, with 8 frames of handle. The cut then grows
    by 30 at its tail: 30 - 8 = 22 of those wanted do not exist.
    """
    words = ["post", str(folder), "take", "HL010.town", "--take", "7", "--verdict", "good"]
    told = [*words, "--circled", "--at", "2027-03-05 10:00", "--on", "2027-03-05"]
    assert CliRunner().invoke(group, told).exit_code == 0
    for what in ("lineup", "roto"):
        assert "short at the tail" not in _print(folder, what, "HL010")
    cut, longer = _cut_and_longer(folder, 30)
    show.replace("sequences/hill.yaml", f"cut: {cut}", f"cut: {longer}")
    text = _print(folder, "lineup", "HL010")
    assert "HL010.town: 22 frames short at the tail" in text
    assert text.index("! 22 frames") < text.index("Open findings")


def _cut_and_longer(folder: Path, by: int) -> tuple[str, str]:
    said = re.search(r"cut: (\d+)-(\d+)", (folder / "sequences" / "hill.yaml").read_text("utf-8"))
    assert said is not None
    first, last = map(int, said.groups())
    return f"{first}-{last}", f"{first}-{last + by}"


def test_the_bid_says_what_it_is_given_on_and_who_signs(folder: Path) -> None:
    show = folder / "show.yaml"
    stated = "bid:\n  excludes: [music]\n  valid_until: 2027-04-30\n  signatures: [the producer]\n"
    text = show.read_text(encoding="utf-8")
    assert "\nbid:" not in text
    show.write_text(text + stated, encoding="utf-8")
    printed = _print(folder, "bid")
    assert "Not in the bid" in printed
    assert "valid until Fri 30 Apr 2027" in printed
    assert "the producer ____" in printed
    assert "Priced anew; none has been issued." in printed


def test_every_foot_says_on_which_day_it_was_printed(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bid_issuing, "today", lambda: date(2027, 2, 15))
    assert "Printed Mon 15 Feb 2027. 1 of 1" in _print(folder, "shot", "HL010")


def _state_hazard(folder: Path, hazard: str) -> None:
    """Of the town, which stands before the lens."""
    builds = folder / "builds.yaml"
    town = builds.read_text(encoding="utf-8").replace(
        "  hill_town:\n", f"  hill_town:\n    hazards: [{hazard}]\n"
    )
    builds.write_text(town, encoding="utf-8")


def test_cautions_stand_before_what_they_are_about(folder: Path) -> None:
    _state_hazard(folder, "chemicals")
    card, calls = _print(folder, "card", "HL010.town"), _print(folder, "call")
    assert card.index("Take care") < card.index("SET f/")
    assert calls.index("Take care") < calls.index("HL010.town: photograph")


def test_every_page_of_a_day_tells_the_same_hazards(folder: Path) -> None:
    """The town's own hazard at its set-up; what its lamps bring once in an order, and on papers."""
    _state_hazard(folder, "chemicals")
    said = "take care: chemicals; see the call sheet"
    lamps = "! wherever lamps are lit take care: electricity; see the call sheet"
    asked = (("order",), ("order", "HL010"), ("order", "north"))
    pages = [_told(folder, *words) for words in asked]
    for page in (*pages, _print(folder, "day")):
        assert said in page
        assert page.count(lamps) == 1
    cards = (_print(folder, "card", "HL010.town"), _told(folder, "card", "HL010.town"))
    sheets = (_print(folder, "call"), _print(folder, "shot", "HL010"))
    for page in (*cards, *sheets):
        assert CAUTIONS["chemicals"] in page
        assert CAUTIONS["electricity"] in page


def test_what_cannot_be_done_as_planned_says_so_on_every_page_of_its_day(folder: Path) -> None:
    """The town burns, on a stage that forbids flame."""
    sequence = folder / "sequences/hill.yaml"
    town, build = sequence.read_text(encoding="utf-8"), "        build: hill_town\n"
    assert build in town
    sequence.write_text(town.replace(build, f"{build}        hazards: [flame]\n"), "utf-8")
    resources = folder / "resources.yaml"
    north = resources.read_text(encoding="utf-8")
    assert "north: {" in north
    resources.write_text(north.replace("north: {", "north: {forbids: [flame], ", 1), "utf-8")
    said = "cannot be done as planned: north forbids flame [stage-forbids]"
    for page in (_told(folder, "order"), _print(folder, "day"), _print(folder, "call")):
        assert page.count(said) == 1
    # A sheet a week, and the town is called in two of them.
    weeks = _print(folder, "week")
    assert weeks.count(said) == weeks.count("To be mended or settled first") == 2
    assert "! see below" in weeks
    calls = _print(folder, "call")
    # At who sets it up, though the camera, which lights it meanwhile, is listed before.
    assert calls.index("light and line up") < calls.index("HL010.town: set up") < calls.index(said)


def test_electricity_that_somebody_states_stands_at_its_set_up(folder: Path) -> None:
    _state_hazard(folder, "electricity")
    told = _told(folder, "order")
    assert "take care: electricity; see the call sheet" in told
    assert "wherever lamps are lit" not in told
    assert CAUTIONS["electricity"] in _told(folder, "card", "HL010.town")


def test_what_a_plate_s_report_lacks_is_measured_while_its_set_stands(tmp_path: Path) -> None:
    """The riverbank of the example stands on; the plate taken on it has neither tilt nor sun."""
    show = tmp_path / "nine_bells"
    shutil.copytree(EXAMPLE, show)
    listed = _print(show, "measure")
    bank = listed[listed.index("Riverbank: last day Fri 19 Mar 2027") :]
    assert "the report lacks tilt, plan of sun or lamps NB040.bank_plate ____" in bank
    # Nobody has the focal length of the ferry's plate, which is told once, with what rests on it.
    slip = listed[listed.index("Slipway: last day") : listed.index("Riverbank: last day")]
    assert "the report lacks lens serial NB120.ferry_plate ____" in slip
    assert slip.count("focal length") == 1


def test_leave_and_the_cover_it_asks_for_stand_on_the_call_sheet_of_its_day(folder: Path) -> None:
    builds = folder / "builds.yaml"
    permit = """
permits:
  fire_leave:
    for: torches in the square
    from: the fire authority
    reference: FA 27/114
    in_hand: false
    cover: a fire officer and a medic
    conditions: [hoses charged before the first take]
"""
    builds.write_text(builds.read_text(encoding="utf-8") + permit, encoding="utf-8")
    sequence = folder / "sequences/hill.yaml"
    text = sequence.read_text(encoding="utf-8")
    build = "        build: hill_town\n"
    sequence.write_text(text.replace(build, f"{build}        waits_for: fire_leave\n"), "utf-8")
    said = (
        "A fire officer and a medic; hoses charged before the first take: fire leave, reference FA"
        " 27/114 (the fire authority), for torches in the square."
    )
    defers = "What it means on the day is for the licensed person in charge. Today: HL010.town."
    day = _told(folder, "order", "HL010", "--json")
    on = next(each for each in json.loads(day)["calls"] if each["work"] == "photograph")
    calls = _print(folder, "call", "--date", on["starts"][:10])
    assert f"{said} NOT IN HAND: nothing of it is done without it. {defers}" in calls
    # A day that the town is not called to has none of it.
    assert "fire leave, reference" not in _print(folder, "call", "--date", "2027-03-01")
    told = CliRunner().invoke(group, ["post", str(folder), "settled", "fire_leave"])
    assert told.exit_code == 0, told.output
    assert f"{said} {defers}" in _print(folder, "call", "--date", on["starts"][:10])


def test_a_breakdown_says_which_way_the_camera_is_tilted(folder: Path) -> None:
    sequence = folder / "sequences/hill.yaml"
    text = sequence.read_text(encoding="utf-8")
    assert text.count("stop: f/8") == 1
    turned = text.replace("stop: f/8", "stop: f/8, tilt: -4 deg, roll: 2 deg")
    sequence.write_text(turned, encoding="utf-8")
    assert "tilt down 4 deg=, roll 2 deg= clockwise" in _print(folder, "shot", "HL010")


def test_a_bid_of_a_show_without_rates_says_that_and_no_more(folder: Path) -> None:
    (folder / "rates.yaml").unlink()
    text = _print(folder, "bid")
    assert "at 0 as the show has no rates.yaml: " in text
    assert "for want of a rate" not in text


def test_the_bid_begins_with_its_total(folder: Path) -> None:
    text = _print(folder, "bid")
    assert "Bid: summary" in text
    assert "Bid lines: HL010" in text


def test_the_measure_list_has_what_is_open_and_the_last_day(folder: Path) -> None:
    text = _print(folder, "measure")
    assert "Riverbank: last day Fri 12 Mar 2027" in text
    assert "width of the jetty" in text
    assert "Taken height of its rail" in text


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("poster",), "there is no print called poster"),
        (("card", "HL010.tow"), "did you mean HL010.town?"),
        (("card", "HL010"), "there are HL010.sky, HL010.town, HL010.edge, HL010.final"),
        (("shot",), "say a shot or sequence as well"),
        (("day", "nowhere"), "nothing is called nowhere"),
    ],
)
def test_a_wrong_word_is_told_and_nothing_is_written(
    folder: Path, words: tuple[str, ...], said: str
) -> None:
    to = folder / "no.pdf"
    result = CliRunner().invoke(group, ["print", str(folder), *words, "--to", str(to)])
    assert result.exit_code == 2
    assert said in " ".join(result.output.split())
    assert not to.exists()


def test_a_day_without_calls_is_told(folder: Path) -> None:
    words = ["print", str(folder), "day", "--date", "2031-01-01", "--tries", "5"]
    result = CliRunner().invoke(group, words)
    assert result.exit_code == 1
    assert "no stage is called or held on 2031-01-01" in " ".join(result.output.split())


def test_prints_go_by_the_order_that_was_issued(folder: Path) -> None:
    words = ["order", str(folder), "--issue", "--by", "the stage manager", "--tries", "5"]
    assert CliRunner().invoke(group, words).exit_code == 0
    text = _print(folder, "day")
    assert "Order 1, issued on" in text
    assert "by the stage manager" in text
    assert "not an issued order" in _print(folder, "day", "--afresh")


def test_a_change_order_says_the_sum_and_who_signs_by_when(folder: Path) -> None:
    words = ["bid", str(folder), "--issue", "--issued-by", "the producer", "--tries", "5"]
    assert CliRunner().invoke(group, words).exit_code == 0
    show = folder / "show.yaml"
    text = show.read_text(encoding="utf-8")
    assert "overhead: 12 %" in text
    signed = "bid:\n  signatures: [the producer]\n  valid_until: 2027-04-30\n"
    kept = text.replace("overhead: 12 %", "overhead: 13 %")
    show.write_text(kept if "signatures:" in kept else kept + signed, encoding="utf-8")
    printed = _print(folder, "change-order", "--cause", "director")
    asked = ["bid", str(folder), "--change-order", "1", "--json", "--tries", "5"]
    told = json.loads(CliRunner().invoke(group, asked).stdout)
    assert "Change order: to revision 1" in printed
    assert "Cause director" in printed
    assert "Valid until Fri 30 Apr 2027" in printed
    assert "Spent nothing posted" in printed
    assert f"Net, more to pay {Decimal(told['net']):+,.2f}" in printed
    assert f"Overhead and contingency {Decimal(told['loads']):+,.2f}" in printed
    assert "The last call stays on its day." in printed
    assert "the producer ____" in printed.replace("\u200b", "")
    # Whoever signs sees the sum beside the name, before what it is made of.
    assert f"Signatures, to {Decimal(told['net']):+,.2f}" in printed
    assert printed.index("Signatures, to") < printed.index("What it is made of")


def test_a_change_order_wants_a_revision_that_was_issued(folder: Path) -> None:
    result = CliRunner().invoke(group, ["print", str(folder), "change-order"])
    assert result.exit_code == 1
    assert "no revision 1 of the bid was issued" in result.output
