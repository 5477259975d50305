"""The bid as its user meets it: shapes, revisions, change orders, actuals, files."""

from __future__ import annotations

import csv
import io
import json
import re
import zipfile
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner, Result

from planner.cli import group
from planner.pages.bid_choice import CAUTION

if TYPE_CHECKING:
    from pathlib import Path

    from tests.conftest import ShowFolder

QUICK = ("--tries", "0")


def run(*words: str | Path) -> Result:
    result = CliRunner().invoke(group, [str(word) for word in words])
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


def bid(show: ShowFolder, *words: str | Path) -> Result:
    return run("bid", show.path, *QUICK, *words)


COSTS = """
costs:
  supervisor: {over: show, from: 2027-03-01, to: 2027-03-12}
  insurance: {amount: 900 GBP}
bid:
  excludes: [music and sound]
  supplied_by_production: [the location unit]
  versions: 3
  retakes: 1
  valid_until: 2027-04-30
  payment: a third at signing
  signatures: [the producer]
"""


@pytest.fixture
def stated(show: ShowFolder) -> ShowFolder:
    """The small show with costs of its own and what its bid says."""
    text = (show.path / "show.yaml").read_text(encoding="utf-8")
    show.write("show.yaml", text + COSTS)
    rates = (show.path / "rates.yaml").read_text(encoding="utf-8")
    rate = "  supervisor: {per: week, amounts: [{from: 2027-01-01, is: 2400 GBP}]}\n"
    show.write("rates.yaml", rates + rate)
    return show


def test_show_costs_of_the_files_are_in_the_bid(stated: ShowFolder) -> None:
    told = json.loads(bid(stated, "--json").stdout)
    costs = {each["what"]: each for each in told["lines"] if each["kind"] == "show cost"}
    # two weeks of five days at 2,400
    assert costs["supervisor"]["likely"] == "4800.00"
    assert costs["insurance"]["likely"] == "900.00"
    assert costs["insurance"]["phase"] == "throughout"


def test_a_cost_over_and_each_at_once_is_refused(stated: ShowFolder) -> None:
    stated.replace("show.yaml", "{amount: 900 GBP}", "{over: show, each: shot}")
    assert bid(stated).exit_code == 1


def test_the_one_page_says_what_the_bid_is_given_on(stated: ShowFolder) -> None:
    page = bid(stated, "--summary").stdout
    for said in (
        "3 versions of each composite",
        "1 retake of each element",
        "payment: a third at signing",
        "valid until Fri 30 Apr 2027",
        "music and sound",
        "the location unit",
        "four times in five",
        "Assumed, for want of a fact",
    ):
        assert said in page
    lines = page.splitlines()
    assert max(map(len, lines)) <= 80


def test_the_last_day_stands_under_the_terms_with_room_where_nobody_stated_it(
    stated: ShowFolder,
) -> None:
    page = bid(stated, "--summary").stdout
    terms = page[page.index("\nTerms\n") : page.index("\nThe production supplies\n")]
    assert "valid until Fri 30 Apr 2027" in terms
    assert "payment: a third at signing" in terms
    stated.replace("show.yaml", "  valid_until: 2027-04-30\n", "")
    page = bid(stated, "--summary").stdout
    assert "  valid until ____ (no day is stated)\n" in page[page.index("\nTerms\n") :]


def test_every_shot_has_one_line_and_they_come_to_the_cost(stated: ShowFolder) -> None:
    page = bid(stated, "--shots").stdout
    assert sum(line.startswith("HL010") for line in page.splitlines()) == 1
    assert max(map(len, page.splitlines())) <= 80
    sums = [Decimal(line[34:49].replace(",", "")) for line in page.splitlines()[4:]]
    assert sum(sums[:-1]) == sums[-1]


def test_a_revision_is_kept_and_never_written_again(stated: ShowFolder) -> None:
    assert bid(stated, "--issue", "--issued-by", "R. Vane", "--note", "first").exit_code == 0
    first = (stated.path / "issued/bid_001.json").read_bytes()
    assert bid(stated, "--issue").exit_code == 0
    assert (stated.path / "issued/bid_001.json").read_bytes() == first
    held = json.loads(first)
    assert (held["revision"], held["by"], held["note"]) == (1, "R. Vane", "first")
    assert json.loads((stated.path / "issued/bid_002.json").read_bytes())["revision"] == 2
    assert len(list((stated.path / "issued").iterdir())) == 2


def test_two_revisions_differ_by_their_causes(stated: ShowFolder) -> None:
    bid(stated, "--issue")
    stated.replace("rates.yaml", "2400 GBP}]}\n  supervisor", "2500 GBP}]}\n  supervisor")
    stated.replace("show.yaml", "{amount: 900 GBP}", "{amount: 1000 GBP}")
    told = json.loads(run("compare", stated.path, "1", "--json", *QUICK).stdout)
    assert set(told["by_cause"]) == {"rate", "load"}
    assert sum(Decimal(each) for each in told["by_cause"].values()) == Decimal(told["difference"])
    text = run("compare", stated.path, "1", *QUICK).stdout
    assert "dearer or cheaper" in text
    assert max(map(len, text.splitlines())) <= 80
    bid(stated, "--issue")
    again = json.loads(run("compare", stated.path, "1", "2", "--json").stdout)
    assert again["by_cause"] == told["by_cause"]


def test_days_held_are_compared_thing_by_thing_in_whole_days(stated: ShowFolder) -> None:
    """Two pieces on one stage have parts of its days; the stage itself is held for whole ones."""

    def held() -> int:
        order = json.loads(run("order", stated.path, "--json", *QUICK).stdout)
        return len(order["days_held"]["north"])

    final = "      final: {kind: composite, joins: [sky, town]}\n"
    dusk = (
        "      dusk: {kind: miniature, build: hill_town, action: still, nearest: 40 m,"
        " extent: {width: 50 m}, light: 250 fc, stage: north, takes: 2}\n"
    )
    stated.replace("sequences/hill.yaml", final, dusk + final)
    bid(stated, "--issue")
    before = held()
    stated.replace("sequences/hill.yaml", "takes: 2", "takes: 400")
    after = held()
    assert after > before
    text = run("compare", stated.path, "1", *QUICK).stdout
    whole = f"{before} to {after} days"
    row = next(line for line in text.splitlines() if whole in line)
    assert not re.search(r"\d\.\d+ to|to \d+\.\d+ days", text)
    told = json.loads(run("compare", stated.path, "1", "--json", *QUICK).stdout)
    moved = [e for e in told["changes"] if e["what"].endswith(", days held")]
    assert moved
    heading = next(line for line in text.splitlines() if line.startswith("days held "))
    total = sum(Decimal(e["difference"]) for e in moved if e["cause"] != "rate")
    assert heading.split()[-1] == f"{total:+,.2f}"
    assert row.split()[-1] == f"{total:+,.2f}"  # no other thing is held by the day


def test_terms_that_cost_nothing_here_are_told_as_differing(stated: ShowFolder) -> None:
    bid(stated, "--issue")
    stated.replace("show.yaml", "  versions: 3", "  versions: 5")
    told = json.loads(run("compare", stated.path, "1", "--json", *QUICK).stdout)
    assert told["changes"] == []
    assert "versions of each composite: 5, was 3" in told["terms"]
    text = run("bid", stated.path, "--change-order", "1", *QUICK).stdout
    assert "versions of each composite: 5, was 3" in text


def test_a_revision_that_is_not_there_is_one_clear_sentence(stated: ShowFolder) -> None:
    result = run("compare", stated.path, "4", *QUICK)
    assert result.exit_code == 1
    assert "no revision 4 of the bid was issued" in result.stderr


def test_a_revision_that_was_edited_is_refused(stated: ShowFolder) -> None:
    bid(stated, "--issue")
    path = stated.path / "issued/bid_001.json"
    text = path.read_text(encoding="utf-8")
    path.unlink()
    path.write_text(text.replace('"900.00"', '"800.00"'), encoding="utf-8")
    result = run("compare", stated.path, "1", *QUICK)
    assert result.exit_code == 1
    assert "cannot be trusted" in result.stderr


def test_a_change_order_says_what_is_to_pay_and_who_signs(stated: ShowFolder) -> None:
    bid(stated, "--issue")
    stated.replace("show.yaml", "{amount: 900 GBP}", "{amount: 1000 GBP}")
    result = bid(stated, "--change-order", "1", "--cause", "director")
    assert result.exit_code == 0
    # 100 more, 10 % contingency and 12 % overhead on it
    for said in ("cause: director", "+100.00", "+22.00", "+122.00", "the producer", "2027-04-30"):
        assert said in result.stdout
    told = json.loads(bid(stated, "--change-order", "1", "--json").stdout)
    assert (told["added"], told["net"], told["working_days"]) == ("100.00", "122.00", 0)


def test_actuals_are_held_against_the_last_revision(stated: ShowFolder) -> None:
    bid(stated, "--issue")
    rows = "week,element,what,hours,cost,left\n2027-03-01,,insurance,,950,0\n"
    stated.write("actuals.csv", rows)
    text = bid(stated, "--actuals").stdout
    assert "actuals against revision 1" in text
    assert "+50.00" in text
    assert max(map(len, text.splitlines())) <= 80


def test_a_faulty_row_of_actuals_is_told_at_its_line(stated: ShowFolder) -> None:
    stated.write("actuals.csv", "week,element,what,cost\nsoon,,insurance,5\n")
    result = bid(stated, "--actuals")
    assert result.exit_code == 1
    assert f"{stated.path / 'actuals.csv'}:2" in result.stderr


@pytest.mark.parametrize("rows", [None, "week,element,what,hours,cost,left\n"])
def test_nothing_posted_yet_is_one_clear_sentence(stated: ShowFolder, rows: str | None) -> None:
    if rows is not None:
        stated.write("actuals.csv", rows)
    told = bid(stated, "--actuals")
    assert told.exit_code == 0
    assert " ".join(told.stdout.split()).startswith("Nothing is posted yet: actuals.csv")
    # Nothing spent, so all of the bid is still to come.
    held = json.loads(bid(stated, "--actuals", "--json").stdout)
    assert (held["spent"], held["rows"], held["over"]) == ("0.00", [], "0.00")
    assert held["to_go"] == held["bid"]


def test_the_spreadsheet_and_the_table_are_written_whole(
    stated: ShowFolder, tmp_path: Path
) -> None:
    book, table = tmp_path / "bid.xlsx", tmp_path / "bid.csv"
    assert bid(stated, "--xlsx", book, "--csv", table).exit_code == 0
    assert zipfile.is_zipfile(book)
    rows = list(csv.DictReader(io.StringIO(table.read_text(encoding="utf-8"))))
    told = json.loads(bid(stated, "--json").stdout)
    assert sum(Decimal(row["likely"]) for row in rows) == Decimal(told["cost"]["likely"])


def test_a_place_that_cannot_be_written_is_told(stated: ShowFolder, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    result = bid(stated, "--xlsx", tmp_path / "file" / "bid.xlsx")
    assert result.exit_code == 1
    assert "cannot be written" in result.stderr


def test_nothing_left_to_choose_is_said(stated: ShowFolder) -> None:
    assert bid(stated, "--choose").stdout == "nothing in the show is left to choose\n"


def test_the_cheaper_scale_is_chosen_and_the_other_tells_why(stated: ShowFolder) -> None:
    stated.replace("builds.yaml", "scale: 1/24", "candidates: [1/24, 1/12]")
    told = json.loads(bid(stated, "--choose", "--json").stdout)
    (scale,) = told["settled"]
    assert scale["sort"] == "scale"
    assert {scale["taken"], *scale["lost"]} == {"hill_town 1:24", "hill_town 1:12"}
    text = bid(stated, "--choose").stdout
    assert max(map(len, text.splitlines())) <= 80
    assert told["caution"] == CAUTION
    assert CAUTION in " ".join(text.split())


def test_finished_work_teaches_the_next_bid(stated: ShowFolder) -> None:
    lines = json.loads(bid(stated, "--json").stdout)["lines"]
    line = next(each for each in lines if each["craft"] == "model_making")
    row = f"2027-03-08,{line['element']},{line['what']},90,,0\n"
    stated.write("actuals.csv", f"week,element,what,hours,cost,left\n{row}")
    text = bid(stated, "--actuals").stdout
    assert "build, model making" in text
    stated.write("history.yaml", text[text.index("techniques:") :])
    learned = run("calibrate", stated.path)
    assert learned.exit_code == 0
    assert "build, model making" in learned.stdout


@pytest.mark.parametrize("shape", [(), ("--lines",), ("--shots",), ("--summary",), ("--by", "use")])
def test_a_revision_prints_as_it_was_issued_whatever_became_of_the_show(
    stated: ShowFolder, shape: tuple[str, ...]
) -> None:
    then = bid(stated, *shape).stdout
    bid(stated, "--issue", "--issued-by", "R. Vane", "--note", "first")
    for name in ("show.yaml", "rates.yaml", "builds.yaml"):
        stated.write(name, "nothing: [of it")
    printed = bid(stated, "--revision", "1", *shape).stdout
    head, told = printed.split("\n\n", 1)
    assert head.startswith("revision 1, issued 2")
    assert head.endswith(" by R. Vane: first")
    assert told == then


def test_a_revision_is_repriced_at_rates_of_another_day(stated: ShowFolder) -> None:
    bid(stated, "--issue")
    later = "2400 GBP}, {from: 2027-06-01, is: 2500 GBP}]}"
    text = (stated.path / "rates.yaml").read_text(encoding="utf-8")
    stated.write("rates.yaml", text.replace("2400 GBP}]}", later))
    base = json.loads(bid(stated, "--revision", "1", "--rates-on", "2027-05-01", "--json").stdout)
    found = bid(stated, "--revision", "1", "--rates-on", "2027-07-01", "--json")
    told_on = {"2027-05-01": base, "2027-07-01": json.loads(found.stdout)}
    sums = {
        day: sum(Decimal(e["likely"]) for e in told["lines"] if e["what"] == "supervisor")
        for day, told in told_on.items()
    }
    # two weeks at 2,400, and at 100 more
    assert sums == {"2027-05-01": Decimal("4800.00"), "2027-07-01": Decimal("5000.00")}
    assert base["revision"]["number"] == 1
    stated.write("rates.yaml", text.replace("  supervisor:", "  supervision:"))
    said = bid(stated, "--revision", "1", "--rates-on", "2027-07-01")
    assert "supervisor stays as issued: rates.yaml has no such rate" in said.stderr
    assert "its quantities at the rates of 2027-07-01" in said.stdout


def test_a_note_changed_by_hand_in_a_revision_is_noticed(stated: ShowFolder) -> None:
    bid(stated, "--issue", "--note", "first")
    path = stated.path / "issued/bid_001.json"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("music and sound", "music"), encoding="utf-8")
    result = bid(stated, "--revision", "1")
    assert result.exit_code == 1
    assert "something in it was changed after it was issued" in " ".join(result.stderr.split())
    assert "bid_001.json" in result.stderr


@pytest.mark.parametrize("also", ["--issue", "--actuals", "--choose", "--alternatives"])
def test_a_revision_is_printed_or_something_else_is_done(stated: ShowFolder, also: str) -> None:
    bid(stated, "--issue")
    result = bid(stated, "--revision", "1", also)
    assert result.exit_code == 2
    assert not (stated.path / "issued/bid_002.json").exists()


def test_every_reason_is_written_once_and_lines_refer_to_it(stated: ShowFolder) -> None:
    told = json.loads(bid(stated, "--json", "--by", "craft").stdout)
    reasons = told["reasons"]
    assert len({json.dumps(each) for each in reasons}) == len(reasons)
    for place, each in enumerate(reasons):
        assert all(input_ < place for input_ in each.get("inputs", ()))
    for line in told["lines"]:
        assert reasons[line["reason"]]["name"] == line["what"]
        assert reasons[line["reason"]]["value"] == float(line["likely"])
    sums = [Decimal(each["likely"]) for each in told["sums"].values()]
    assert (told["by"], sum(sums)) == ("craft", Decimal(told["cost"]["likely"]))


def test_pages_can_be_had_by_machines(stated: ShowFolder) -> None:
    whole = json.loads(bid(stated, "--json").stdout)
    page = json.loads(bid(stated, "--summary", "--json").stdout)
    assert page["total"] == whole["total"]
    assert page["conditions"]["excludes"] == ["music and sound"]
    assert set(page["chances"]["kept"]) == {"0.5", "0.8", "0.9"}
    shots = json.loads(bid(stated, "--shots", "--json").stdout)
    parts = [each["with_shared"] for each in shots["shots"] if each["with_shared"]]
    parts += shots["elsewhere"].values()
    assert sum(Decimal(each["likely"]) for each in parts) == Decimal(whole["cost"]["likely"])


def test_actuals_can_be_had_by_machines(stated: ShowFolder) -> None:
    rows = "week,element,what,hours,cost,left\n2027-03-01,,insurance,,950,0\n"
    stated.write("actuals.csv", rows)
    told = json.loads(bid(stated, "--actuals", "--json").stdout)
    assert (told["spent"], told["over"]) == ("950.00", "50.00")
    assert told["rows"][0]["finished"] is True
    assert told["by_week"] == {"2027-03-01": "950.00"}


def test_a_choice_is_limited_by_name_and_by_sum(stated: ShowFolder) -> None:
    stated.replace("builds.yaml", "scale: 1/24", "candidates: [1/24, 1/12]")
    larger = json.loads(bid(stated, "--choose", "--must", "hill_town 1:12", "--json").stdout)
    assert larger["settled"][0]["taken"] == "hill_town 1:12"
    none = bid(stated, "--choose", "--never", "hill_town 1:12", "--never", "hill_town 1:24")
    assert none.exit_code == 1
    assert "no way is left for hill town" in none.stdout
    assert "Without the limit “never hill_town 1:24”" in " ".join(none.stdout.split())
    for words, said in (
        (("--never", "hill_tower"), "nothing in question is called hill_tower"),
        (("--at-most", "10 EUR"), "'10 EUR' is in EUR, and the bid is in GBP"),
        (("--at-most", "much"), "much"),
    ):
        refused = bid(stated, "--choose", *words)
        assert refused.exit_code == 2
        assert said in refused.stderr


def lines_of(show: ShowFolder, element: str) -> dict[str, str]:
    """Likely figure of each line of one element, by what is paid for."""
    told = json.loads(bid(show, "--lines", "--json").stdout)["lines"]
    return {each["what"]: each["likely"] for each in told if each["element"] == element}


OMITTED = ("--by", "Ann", "--why", "cut for length", "--at", "2026-11-02 10:00")


def test_what_is_posted_as_omitted_leaves_the_bid_and_what_is_spent_stays(
    stated: ShowFolder,
) -> None:
    rates = (stated.path / "rates.yaml").read_text(encoding="utf-8")
    rate = "  compositing: {per: hour, amounts: [{from: 2027-01-01, is: 40 GBP}]}\n"
    stated.write("rates.yaml", rates + rate)
    before = lines_of(stated, "HL010.final")
    likely = sum(map(Decimal, before.values()))
    assert likely > 0
    bid(stated, "--issue")
    run("post", stated.path, "omitted", "HL010.final", *OMITTED)
    assert lines_of(stated, "HL010.final") == {}
    said = " ".join(bid(stated).stderr.split())
    assert f"omitted by Ann on 2026-11-02, as posted: cut for length: {likely:,.2f} GBP" in said
    assert (
        "before loads, is not in the bid any more; nothing of it is posted as made or spent" in said
    )
    # Of one line 12.50 was spent: that stays in the likely figure, and all the rest has left it.
    what = next(iter(before))
    rows = f"week,element,what,hours,cost,left\n2027-03-01,HL010.final,{what},,12.50,\n"
    stated.write("actuals.csv", rows)
    assert lines_of(stated, "HL010.final") == {what: "12.50"}
    assert "12.50 GBP of it is spent and stays" in " ".join(bid(stated).stderr.split())
    # Against the revision issued with it, nothing more is to come of it.
    told = json.loads(bid(stated, "--actuals", "--json").stdout)
    whole, spent = Decimal(told["bid"]), Decimal("12.50")
    assert Decimal(told["spent"]) == spent
    assert Decimal(told["to_go"]) == whole - likely


def test_an_omitted_shot_is_priced_as_if_its_file_omitted_it(stated: ShowFolder) -> None:
    second = (stated.path / "sequences/hill.yaml").read_text(encoding="utf-8")
    second = second[second.index("  HL010:") :].replace("HL010", "HL020")
    with (stated.path / "sequences/hill.yaml").open("a", encoding="utf-8") as file:
        file.write(second)
    run("post", stated.path, "omitted", "HL020", *OMITTED)
    posted = json.loads(bid(stated, "--json").stdout)
    path = stated.path / "sequences/hill.yaml"
    whole = path.read_text(encoding="utf-8")
    at = whole.index("  HL020:")
    path.write_text(
        whole[:at] + whole[at:].replace("cut: 1-96", "cut: 1-96\n    state: omitted"),
        encoding="utf-8",
    )
    assert json.loads(bid(stated, "--json").stdout)["total"] == posted["total"]
    assert posted["total"] != ""


def test_what_was_spent_on_a_shot_that_its_file_omits_is_spent(stated: ShowFolder) -> None:
    second = (stated.path / "sequences/hill.yaml").read_text(encoding="utf-8")
    second = second[second.index("  HL010:") :].replace("HL010", "HL020")
    path = stated.path / "sequences/hill.yaml"
    with path.open("a", encoding="utf-8") as file:
        file.write(second)
    what = next(iter(lines_of(stated, "HL020.town")))
    rows = f"week,element,what,hours,cost,left\n2027-03-01,HL020.town,{what},,912.50,\n"
    stated.write("actuals.csv", rows)
    bid(stated, "--issue")
    run("post", stated.path, "omitted", "HL020", *OMITTED)
    posted = json.loads(bid(stated, "--json").stdout)
    change = bid(stated, "--change-order", "1").stdout
    run("post", stated.path, "un-omitted", "HL020", "--at", "2026-11-03 10:00")
    whole = path.read_text(encoding="utf-8")
    at = whole.index("  HL020:")
    omitted = whole[at:].replace("cut: 1-96", "cut: 1-96\n    state: omitted")
    path.write_text(whole[:at] + omitted, encoding="utf-8")
    # The file tells the same as the post, in the bid and in the change order.
    assert lines_of(stated, "HL020.town") == {what: "912.50"}
    assert json.loads(bid(stated, "--json").stdout)["total"] == posted["total"]
    assert bid(stated, "--change-order", "1").stdout == change
    said = bid(stated).stdout
    assert "Dead cost: HL020.town, 912.50; spent before it was omitted." in said


def test_what_was_made_and_is_omitted_is_told_as_spent(stated: ShowFolder) -> None:
    run("order", stated.path, "--issue", *QUICK)
    run("post", stated.path, "in-the-can", "HL010.town", "--on", "2027-03-05")
    run("post", stated.path, "omitted", "HL010.town", "--by", "Ann", "--on", "2027-03-08")
    spent = sum(map(Decimal, lines_of(stated, "HL010.town").values()))
    assert spent > 0
    said = " ".join(bid(stated).stderr.split())
    assert f"{spent:,.2f} GBP of it is spent and stays, reckoned by what was made before" in said


def test_what_was_made_of_an_omitted_shot_is_told_while_nobody_posts_its_cost(
    stated: ShowFolder,
) -> None:
    said = "made before it was omitted: HL010.sky; nobody posted what that took"
    at = ("--at", "2026-11-01 10:00")
    run("post", stated.path, "take", "HL010.sky", "--take", "1", *at)
    assert said not in " ".join(bid(stated).stderr.split())
    run("post", stated.path, "omitted", "HL010", *OMITTED)
    told = " ".join(bid(stated).stderr.split())
    assert said in told
    assert "[made-and-omitted" in told
    # The same where the show's own file omits the shot.
    run("post", stated.path, "un-omitted", "HL010", "--at", "2026-11-03 10:00")
    stated.replace("sequences/hill.yaml", "cut: 1-96", "cut: 1-96\n    state: omitted")
    assert said in " ".join(bid(stated).stderr.split())
    # Of what is posted the sum is told, not that it is wanting.
    rows = "week,element,what,cost\n2026-11-02,HL010.sky,set up on location,900\n"
    stated.write("actuals.csv", rows)
    assert said not in " ".join(bid(stated).stderr.split())


@pytest.mark.parametrize("command", ["bid", "stale"])
def test_a_faulty_row_of_actuals_is_told_by_all_who_read_it(
    stated: ShowFolder, command: str
) -> None:
    stated.write("actuals.csv", "week,element,what,cost\nsoon,,insurance,5\n")
    words = QUICK if command == "bid" else ()
    result = run(command, stated.path, *words)
    assert "actuals.csv:2" in result.stderr
    assert "week 'soon' is not a date" in " ".join(result.stderr.split())


@pytest.mark.parametrize(
    "words",
    [
        ("--issue", "--choose"),
        ("--issue", "--alternatives"),
        ("--xlsx", "bid.xlsx", "--choose"),
        ("--csv", "bid.csv", "--alternatives"),
        ("--never", "town"),
        ("--at-most", "4000 GBP"),
        ("--reopen", "--summary"),
        ("--issued-by", "Ann"),
        ("--cause", "director"),
    ],
)
def test_what_would_be_passed_over_is_wrong_usage(
    stated: ShowFolder, words: tuple[str, ...]
) -> None:
    result = bid(stated, *words)
    assert result.exit_code == 2, result.output
    assert not (stated.path / "issued").exists()


def test_what_is_found_in_a_bid_is_told_once_and_counted_by_other_sums(stated: ShowFolder) -> None:
    run("post", stated.path, "omitted", "HL010.final", *OMITTED)
    assert "[omitted-left-bid" in bid(stated).stderr
    for words in (("--by", "craft"), ("--summary",), ("--lines",), ("--shots",)):
        told = bid(stated, *words).stderr
        assert "[omitted-left-bid" not in told
        assert "1 note (HL010.final): `platewright bid SHOW` tells more." in " ".join(told.split())
