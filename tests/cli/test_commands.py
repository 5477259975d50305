"""The command line as its user meets it: what is printed, what is written, how it ends."""

from __future__ import annotations

import json
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner, Result

from planner.cli import COMMANDS, group
from planner.cli.card import _is_named
from planner.text.located import read_yaml

if TYPE_CHECKING:
    from tests.conftest import ShowFolder

SEASON = Path(__file__).parents[2] / "example_shows" / "nine_bells_under" / "season"
QUICK = ("--tries", "0")


def run(*words: str | Path) -> Result:
    result = CliRunner().invoke(group, [str(word) for word in words])
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


def test_help_names_every_command() -> None:
    told = run("--help").output
    assert all(f"  {name} " in told for name in COMMANDS)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_explains_itself(name: str) -> None:
    result = run(name, "--help")
    assert result.exit_code == 0
    assert "Usage:" in result.output
    lines = result.output.splitlines()
    # No line is broken on a terminal of the usual width, and nothing of the source shows.
    assert max(map(len, lines)) <= 80
    assert "\\b" not in result.output


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("bid", "SHOW", "--by", "colour"), "'colour' is not one of 'sequence', 'shot', 'kind'"),
        (("order", "SHOW", "--from", "2027-13-01"), "'2027-13-01' does not match the format"),
        (("post", "SHOW"), "say what happened and to what, EVENT ABOUT…, or --from FILE"),
        (("blocking", "SHOW", "HL0100000000000000000"), "no shot, sequence or piece is called"),
    ],
)
def test_wrong_usage_is_told_on_lines_of_the_usual_width(
    show: ShowFolder, words: tuple[str, ...], said: str
) -> None:
    result = run(*(show.path if each == "SHOW" else each for each in words))
    assert result.exit_code == 2, result.output
    assert said in " ".join(result.output.split())
    assert max(map(len, result.output.splitlines())) <= 80


def test_a_path_in_wrong_usage_stays_whole_to_be_copied(tmp_path: Path) -> None:
    path = tmp_path / ("very_long_name_of_a_file_" * 4)
    path.mkdir()
    result = run("post", tmp_path, "--from", path)
    assert result.exit_code == 2, result.output
    assert f"'{path}'" in result.output


def test_a_sound_show_checks_with_code_0(show: ShowFolder) -> None:
    result = run("check", show.path)
    assert result.exit_code == 0, result.output


def test_errors_end_with_code_1_and_stand_before_warnings(show: ShowFolder) -> None:
    show.replace("sequences/hill.yaml", "nearest: 40 m", "nearest: 40 kg")
    result = run("check", show.path)
    assert result.exit_code == 1
    assert result.output.startswith("1 error\n")
    assert f"{show.place('sequences/hill.yaml', '40 kg')}" in result.output


def test_json_says_the_same_as_the_text(show: ShowFolder) -> None:
    show.replace("sequences/hill.yaml", "nearest: 40 m", "nearest: 40 kg")
    told = json.loads(run("check", show.path, "--json").output)
    (error,) = [each for each in told["problems"] if each["severity"] == "error"]
    assert error["code"] == "value-unreadable"
    assert error["about"] == "HL010.town"
    assert error["place"]["line"] == 14


@pytest.mark.parametrize("name", ["check", "plan", "order", "bid", "graph"])
def test_an_empty_folder_is_one_clear_sentence(name: str, tmp_path: Path) -> None:
    result = run(name, tmp_path)
    assert result.exit_code == 1
    assert "holds no show.yaml" in " ".join(result.output.split())
    assert "Traceback" not in result.output


def test_plan_writes_graph_order_bid_and_missing(show: ShowFolder, tmp_path: Path) -> None:
    to = tmp_path / "plan"
    result = run("plan", show.path, "--to", to, *QUICK)
    assert result.exit_code == 0, result.output
    written = {path.relative_to(to).as_posix() for path in to.rglob("*") if path.is_file()}
    assert {"order.txt", "bid.txt", "findings.txt", "missing.txt", "graph/show.svg"} <= written
    assert all((to / name).stat().st_size for name in written)


def test_plan_of_a_faulty_show_writes_nothing(show: ShowFolder, tmp_path: Path) -> None:
    show.replace("builds.yaml", "scale: 1/24", "scale: 24")
    to = tmp_path / "plan"
    result = run("plan", show.path, "--to", to, *QUICK)
    assert result.exit_code == 1
    assert "1/24" in result.output
    assert not to.exists()


def test_plan_leaves_other_files_in_its_folder_alone(show: ShowFolder, tmp_path: Path) -> None:
    to = tmp_path / "plan"
    to.mkdir()
    (to / "notes.txt").write_text("mine", encoding="utf-8")
    run("plan", show.path, "--to", to, *QUICK)
    assert (to / "notes.txt").read_text(encoding="utf-8") == "mine"
    assert not list(to.glob(".*"))


def test_plan_to_a_file_is_wrong_usage(show: ShowFolder, tmp_path: Path) -> None:
    target = tmp_path / "file"
    target.write_text("", encoding="utf-8")
    result = run("plan", show.path, "--to", target, *QUICK)
    assert result.exit_code == 2


def test_the_same_plan_twice_is_the_same_bytes(show: ShowFolder, tmp_path: Path) -> None:
    for name in ("one", "two"):
        run("plan", show.path, "--to", tmp_path / name, "--tries", "40")
    for path in (tmp_path / "one").rglob("*.*"):
        twin = tmp_path / "two" / path.relative_to(tmp_path / "one")
        assert path.read_bytes() == twin.read_bytes(), path.name


def test_why_opens_a_number_down_to_the_line_it_was_written_on(show: ShowFolder) -> None:
    result = run("why", show.path, "HL010.town", *QUICK)
    assert result.exit_code == 0, result.output
    assert 'written "1/24"' in result.output
    assert "builds.yaml:4:12" in result.output


def test_who_is_to_find_a_fact_stands_in_why_and_in_the_bid(show: ShowFolder) -> None:
    show.replace("sequences/hill.yaml", "light: 250 fc", "light: {is: ?, by: the gaffer}")
    told = "missing, the gaffer is to find it; on it rests exposure of each frame"
    why = " ".join(run("why", show.path, "HL010.town", *QUICK).stdout.split())
    assert f"light: {told}" in why
    bid = " ".join(run("bid", show.path, "--summary", *QUICK).stdout.split())
    assert f"light of HL010.town: {told}" in bid
    held = " ".join(run("blocking", show.path, "HL010", *QUICK).stdout.split())
    assert "light is missing, the gaffer is to find it: exposure of each frame" in held


def test_why_of_a_misspelt_place_offers_the_nearest(show: ShowFolder) -> None:
    result = run("why", show.path, "HL010.twon", *QUICK)
    assert result.exit_code == 2
    assert "did you mean HL010.town?" in result.output


def test_order_of_a_misspelt_shot_offers_the_nearest(show: ShowFolder) -> None:
    result = run("order", show.path, "HL01", *QUICK)
    assert result.exit_code == 2
    assert "no shot, sequence or stage called HL01; did you mean HL010?" in " ".join(
        result.output.split()
    )


def test_a_card_of_a_whole_shot_says_which_there_are(show: ShowFolder) -> None:
    result = run("card", show.path, "HL010")
    assert result.exit_code == 2
    assert "of HL010 there are HL010.sky, HL010.town, HL010.final" in result.output


def test_the_bid_of_a_show_without_rates_says_so_and_what_mends_it(show: ShowFolder) -> None:
    (show.path / "rates.yaml").unlink()
    result = run("bid", show.path, *QUICK)
    assert "lines at 0 as the show has no rates.yaml:" in result.stdout
    assert result.stderr.startswith("1 error\n")
    assert "write rates.yaml beside show.yaml" in result.stderr


def test_the_bid_sums_alike_whichever_way_it_is_cut(show: ShowFolder) -> None:
    sides = ("sequence", "shot", "kind", "craft", "phase", "month", "account", "use")
    totals = set()
    for side in sides:
        lines = run("bid", show.path, "--by", side, *QUICK).stdout.splitlines()
        (total,) = [line.split()[1:] for line in lines if line.startswith("total ")]
        totals.add(tuple(total))
    assert len(totals) == 1


def test_graph_draws_one_shot(show: ShowFolder, tmp_path: Path) -> None:
    target = tmp_path / "shot.svg"
    result = run("graph", show.path, "HL010", "--to", target)
    assert result.exit_code == 0, result.output
    assert "hill_town" in target.read_text(encoding="utf-8")


def test_graph_of_an_unknown_part_is_wrong_usage(show: ShowFolder) -> None:
    result = run("graph", show.path, "HL999")
    assert result.exit_code == 2
    assert "neither a shot nor a sequence" in result.output


def test_order_fits_a_terminal_of_80_columns(show: ShowFolder) -> None:
    result = run("order", show.path, *QUICK)
    assert result.exit_code == 0, result.output
    assert max(map(len, result.stdout.splitlines())) <= 80


def test_kinds_sends_on_to_where_stages_and_crews_are_told_of() -> None:
    assert "`platewright reference`" in run("kinds").output
    assert "`platewright reference`" in " ".join(run("kinds", "stage").output.split())


def test_kinds_says_what_is_kept_under_names() -> None:
    # The hours of a build are kept by craft, so low, likely and high are not straight under them.
    lines = run("kinds", "build").output.splitlines()
    at = lines.index("  hours")
    assert "        each under a name:" in lines[at : lines.index("            low", at)]


def test_an_unknown_property_is_answered_with_the_kind_s_own_first(show: ShowFolder) -> None:
    builds = (show.path / "builds.yaml").read_text(encoding="utf-8")
    show.write("builds.yaml", f"{builds}\npermits:\n  fire:\n    zzz: 1\n")
    told = " ".join(run("check", show.path).output.split())
    assert "known here: for, from, sort, " in told


def test_hours_of_no_craft_are_told_that_they_stand_under_one(show: ShowFolder) -> None:
    builds = (show.path / "builds.yaml").read_text(encoding="utf-8")
    spoiled = builds.replace("    makes:", "    hours: {low: 20 h}\n    makes:", 1)
    assert spoiled != builds
    show.write("builds.yaml", spoiled)
    told = " ".join(run("check", show.path).output.split())
    assert "each stands under a name of its own, as in `hours: {NAME: {low: 20 h}}`" in told


def test_kinds_tells_what_one_may_state() -> None:
    result = run("kinds", "miniature")
    assert result.exit_code == 0
    assert "holds" in result.output
    assert run("kinds", "minature").exit_code == 2


def test_editor_schemas_check_elements_by_their_kind(show: ShowFolder) -> None:
    import jsonschema

    assert run("editor", show.path).exit_code == 0
    folder = show.path / ".editor"
    schema = json.loads((folder / "sequence.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    element = {"kind": "miniature", "build": "hill_town", "lense": "prime_35"}
    shots = {"HL010": {"says": "x", "elements": {"town": element}}}
    document = {"sequence": "hill", "title": "On the hill", "shots": shots}
    checker = jsonschema.Draft202012Validator(schema)
    (error,) = checker.iter_errors(document)
    assert "lense" in error.message
    del element["lense"]
    assert list(checker.iter_errors(document)) == []


def test_a_plan_tells_one_of_a_thing_in_the_singular(show: ShowFolder, tmp_path: Path) -> None:
    # One sequence, one shot of three pieces, and the one build they share.
    said = " ".join(run("plan", show.path, "--to", tmp_path / "plan", *QUICK).output.split())
    assert "1 sequence, 1 live shot of 1, 3 elements, 1 build, test, permit, set or" in said


def test_editor_schemas_know_a_file_of_scenarios(show: ShowFolder) -> None:
    import jsonschema

    assert run("editor", show.path).exit_code == 0
    schema = json.loads((show.path / ".editor" / "scenarios.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    checker = jsonschema.Draft202012Validator(schema)
    smaller: dict[str, object] = {"set": {"hill_town.scale": "1/32"}}
    assert list(checker.iter_errors({"scenarios": {"smaller": smaller}})) == []
    (error,) = checker.iter_errors({"scenarios": {"smaller": {**smaller, "sets": {}}}})
    assert "sets" in error.message


def test_editor_schemas_know_a_file_of_what_happened(show: ShowFolder) -> None:
    """Every week of the example's season is one; what a ledger's line must say, it need not."""
    import jsonschema

    assert run("editor", show.path).exit_code == 0
    schema = json.loads((show.path / ".editor" / "events.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    checker = jsonschema.Draft202012Validator(schema)
    weeks = sorted(SEASON.glob("*[0-9].yaml"))
    assert len(weeks) > 10
    for week in weeks:
        told, problems = read_yaml(week.read_bytes(), week.name)
        assert problems == ()
        assert told is not None
        assert list(checker.iter_errors([dict(each.value) for each in told])) == [], week.name
    built = {"what": "built", "about": "dam_face", "at": "14:20"}
    assert checker.is_valid(built)
    assert checker.is_valid([{"what": "corrected", "corrects": "713dec04"}])
    for wrong in ({"what": "build"}, {"about": 3.5, "takes": 2}, {"what": "take"}):
        assert not checker.is_valid([{**built, **wrong}]), wrong
    assert not checker.is_valid([{"what": "built"}])
    line = json.loads(files("planner_schemas").joinpath("ledger.json").read_text(encoding="utf-8"))
    assert set(schema["$defs"]["events"]["one"]["properties"]) == set(line["properties"])


def test_why_opens_a_stretch_of_work_and_its_cost_by_name(show: ShowFolder) -> None:
    result = run("why", show.path, "hill_town", "make", *QUICK)
    assert result.exit_code == 0, result.output
    assert "hours x heads x rate" in result.output


def test_why_of_a_misspelt_number_offers_the_nearest(show: ShowFolder) -> None:
    result = run("why", show.path, "hill_town", "mkae", *QUICK)
    assert result.exit_code == 2
    assert "nearest are make" in result.output.replace("\n", " ")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("order", "--must-hold", "--issue"), "print no order"),
        (("order", "--without", "cam", "2027-03-01", "--issue"), "print no order"),
        (("order", "--hire", "50 GBP"), "--hire wants --without"),
        (("order", "--note", "for the floor"), "--by and --note want --issue"),
        (("print", "card", "HL010.town", "--date", "2027-03-01"), "--date is of day, week, call"),
        (("print", "bid", "--cause", "director"), "--cause is of change-order alone"),
    ],
)
def test_an_option_that_would_change_nothing_is_wrong_usage(
    show: ShowFolder, words: tuple[str, ...], said: str
) -> None:
    command, *more = words
    result = run(command, show.path, *more)
    assert result.exit_code == 2, result.output
    assert said in " ".join(result.output.split())
    assert not (show.path / "issued").exists()


@pytest.mark.parametrize(
    ("sentence", "names"),
    [
        ("HL010.town is nearer than it should be", True),
        ("it stands before HL010.town.", True),
        ("HL010.town, HL010.sky", True),
        ("HL010.town_lights is nearer than it should be", False),
        ("HL010.town2 is nearer than it should be", False),
        ("XHL010.town is nearer than it should be", False),
        ("HL010.town.rope hangs before it", False),
    ],
)
def test_a_card_tells_findings_that_name_its_element_whole(sentence: str, names: bool) -> None:
    assert _is_named("HL010.town", sentence) is names


def test_formulas_are_found_by_a_word_in_capitals_too() -> None:
    assert run("reckon", "STOPS").stdout == run("reckon", "stops").stdout != ""


@pytest.mark.parametrize("seconds", ["nan", "inf"])
def test_a_search_without_an_end_is_wrong_usage(show: ShowFolder, seconds: str) -> None:
    result = run("order", show.path, "--seconds", seconds)
    assert result.exit_code == 2
    assert f"{seconds} is no number of seconds" in " ".join(result.output.split())
