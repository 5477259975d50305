"""The report's sections, and the command that writes them."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner
from markupsafe import Markup

from planner.cli import group
from planner.model.names import title_of
from planner.pages.report import SECTIONS, Matter, Section, report_html, report_pages
from planner.pages.report.drawing import sequence_drawing
from planner.pages.report.matter import day_span
from planner.pages.report.section import breakable, quoted, rendered
from tests.pages import report_shows

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture(scope="module")
def example() -> Matter:
    return report_shows.matter_of_folder(report_shows.EXAMPLE)


@pytest.fixture(scope="module")
def html(example) -> str:
    return report_html(example)


@pytest.fixture
def small(show) -> Matter:
    return report_shows.matter_of_folder(show.path)


def told(matter: Matter, name: str) -> str:
    """Text of one section, without its marks and with one space wherever there are any."""
    for teller in SECTIONS:
        section = teller(matter)
        if section is not None and section.name == name:
            apart = section.html.replace("<", Markup(" <"))
            return apart.striptags()
    return ""


def test_every_element_has_a_row_and_every_box_leads_to_one(example, html) -> None:
    rows = set(re.findall(r"<tr id=([\w.-]+)>", html))
    assert rows == set(example.plan.show.elements)
    boxes = set(re.findall(r"<a href=#([\w.-]+) transform", html))
    assert boxes <= rows | set(example.plan.show.shots)
    assert {each.id for each in example.plan.show.elements.values() if each.shot} <= boxes


def test_work_is_told_in_its_order_and_what_is_photographed_as_that(html) -> None:
    rows = dict(re.findall(r"<tr id=([\w.-]+)>.*?<td>(.*?)<td>", html))
    # Who lights is called beside the set-up, and so after it; hours stay with their number.
    beside = "rig the figure in 2\u00a0h, rehearse 1\u00a0h, photograph 0.75\u00a0h"
    assert rows["NB260.heron"].startswith(f"set up 2\u00a0h, light and line up 2\u00a0h, {beside}")
    # The plate's report says it was taken, and which take was kept; a test that passed is no plate.
    assert rows["NB260.river_plate"] == "photographed, take 2"
    assert rows["rod_test"] == "no work left"


def test_a_shot_says_the_lens_stop_and_height_it_is_taken_with(example, show) -> None:
    assert "108 frames, 4.5 s; prime 50, 2.4 m up; done on" in told(example, "shots")
    lens = "camera: {lens: prime_35, height: 6 m, stop: f/8}"
    assert lens in (show.path / "sequences/hill.yaml").read_text(encoding="utf-8")
    small = report_shows.matter_of_folder(show.path)
    assert "prime 35 at f/8, 6 m up; done on" in told(small, "shots")


def test_every_error_is_told_at_its_shot_and_among_the_findings(example) -> None:
    errors = [each for each in example.plan.findings if each.severity == 0]
    shots, findings = told(example, "shots"), told(example, "findings")
    assert errors
    for each in errors:
        assert each.message in findings
        assert each.about not in example.plan.show.elements or (
            not example.plan.show.elements[each.about].shot or each.message in shots
        )


def test_every_finding_stands_under_the_file_it_is_mended_in(example, html) -> None:
    for name in ("builds.yaml", "sequences/010_water_falls.yaml"):
        assert f"<h4>{name}</h4>" in html
    assert "example_shows" not in told(example, "findings")


def test_a_remedy_several_findings_of_a_file_share_is_told_once(example) -> None:
    """In one file, eight pieces are seen on frames nobody states: eight sentences, one remedy."""
    unseen = [each for each in example.plan.findings if each.code == "judged-over-whole-move"]
    files = {each.place.file for each in unseen}
    assert len(files) < len({each.message for each in unseen})
    assert told(example, "findings").count("so that only those frames count") == len(files)


def test_a_craft_has_the_days_it_is_called_on_a_stage_as_well(example) -> None:
    """Who programs a move on a stage works there: most days of programming are no days off it."""
    calls = [each for each in example.plan.order.calls if each.work.craft == "programming"]
    days = {
        each.starts.date() + timedelta(days=n)
        for each in calls
        for n in range((each.ends.date() - each.starts.date()).days + 1)
    }
    worked = {each for each in days if example.plan.show.calendar.is_working(each)}
    assert any(each.stage for each in calls)
    assert f"programming {len(worked)} days" in told(example, "order")


def test_the_bid_says_its_three_sums_and_each_way_of_summing(example) -> None:
    said = told(example, "bid")
    total = example.plan.bid.total
    for sum_ in (total.low, total.likely, total.high):
        assert f"{sum_:,.2f}" in said
    for way in ("By sequence", "By craft", "By phase", "By month", "By account", "By shot"):
        assert way in said


def test_a_bar_ends_at_the_likely_sum_of_the_greatest(example, html) -> None:
    total = example.plan.bid.total
    row = re.search(r"total<td class=p style=--m:([\d.]+);--l:([\d.]+);--h:([\d.]+)>", html)
    assert row is not None
    likely, low, high = map(float, row.groups())
    assert high == 100
    assert likely == pytest.approx(100 * float(total.likely / total.high), rel=5e-3)
    assert low == pytest.approx(100 * float(total.low / total.high), rel=5e-3)


def test_a_late_shot_says_by_how_much_and_an_omitted_one_only_that(example) -> None:
    strip = told(example, "strip")
    ((shot, days),) = example.plan.order.late.items()
    assert f"late by {days:g} working days" in strip.partition(shot)[2][:120]
    # NB070 is the example's only omitted shot.
    assert strip.partition("NB070")[2].startswith(" 48 frames, 2.0 s omitted")


def test_what_is_missing_assumed_and_accepted_is_told(example) -> None:
    for fact in example.plan.estimates.missing:
        assert fact.rests in told(example, "missing")
    assert "share of takes printed" in told(example, "assumptions")
    for each in example.plan.estimates.waived:
        assert each.why in told(example, "waived")


def test_every_build_something_limits_has_its_scales_those_to_look_at_first(example) -> None:
    said = told(example, "scales")
    for study in example.studies:
        assert title_of(study.window.build, example.plan.show) in said
    to_look_at = said.index("still to be chosen")
    sound = next(e for e in example.studies if e.window.chosen and not e.mends and not e.opening)
    assert to_look_at < said.index(f"{title_of(sound.window.build, example.plan.show)}, made at")


def test_a_shot_on_hold_is_told_apart_from_the_bid(show) -> None:
    show.replace("sequences/hill.yaml", "cut: 1-96", "cut: 1-96\n    state: on hold")
    matter = report_shows.matter_of_folder(show.path)
    assert "HL010 on hold The town below." in told(matter, "left-out")


def test_a_small_show_has_no_section_with_nothing_in_it(small) -> None:
    names = [section.name for teller in SECTIONS if (section := teller(small)) is not None]
    assert "alternatives" not in names
    assert "waived" not in names
    assert "glance" in names


def test_a_section_more_may_be_asked_for(small) -> None:
    def weather(matter: Matter) -> Section:
        html = rendered("overview.html", strip="", weeks=[], about=f"Rain on {matter.page}<b>")
        return Section("weather", "The weather", html, "Weather")

    page = report_html(small, (*SECTIONS, weather))
    assert '<li><a href="#part:weather">Weather</a>' in page
    assert "Rain on &lt;b&gt;" in page


def test_the_same_plan_gives_the_same_page(example, html) -> None:
    assert report_html(example) == html


def test_a_page_names_nothing_outside_itself(html) -> None:
    assert re.findall(r"(?:src=|url\(|@import|https?:)", html) == []


def test_split_there_is_an_index_a_page_a_sequence_and_one_a_month(example) -> None:
    pages = dict(report_pages(example))
    assert list(pages)[:4] == [
        "index.html",
        "sequence_water_falls.html",
        "sequence_heron_walks.html",
        "sequence_dam_goes.html",
    ]
    assert all(re.fullmatch(r"order_2027_\d\d\.html", name) for name in list(pages)[4:])
    for sequence in example.plan.show.sequences.values():
        page = pages[f"sequence_{sequence.id}.html"]
        assert all(f"<article id={shot}>" in page for shot in sequence.shots)
        assert not any(f"<article id={shot}>" in pages["index.html"] for shot in sequence.shots)


def test_split_every_finding_is_told_on_one_page(example) -> None:
    counts = [
        int(count.replace(",", ""))
        for _, page in report_pages(example)
        for count in re.findall(r">([\d,]+) findings</a>", page)
    ]
    assert sum(counts) == len(set(example.plan.findings))


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        ("2027-03-02", "2027-03-02", "2 Mar 2027"),
        ("2027-03-02", "2027-03-05", "2 to 5 Mar 2027"),
        ("2027-03-30", "2027-04-02", "30 Mar to 2 Apr 2027"),
        ("2027-12-30", "2028-01-02", "30 Dec 2027 to 2 Jan 2028"),
    ],
)
def test_days_are_said_in_few_words(first, last, said) -> None:
    from datetime import date

    assert day_span(date.fromisoformat(first), date.fromisoformat(last)) == said


def test_an_order_without_calls_says_so(small) -> None:
    order = replace(small.plan.order, calls=(), days_held={}, finals={}, late={})
    matter = replace(small, plan=replace(small.plan, order=order), calls={})
    assert told(matter, "order") == "No work to order."
    assert "no date for it yet" in told(matter, "strip")
    assert report_html(matter).endswith("</html>")


def test_of_many_shots_those_that_share_the_same_are_in_one_box(show) -> None:
    text = (show.path / "sequences" / "hill.yaml").read_text(encoding="utf-8")
    head, shot = text.partition("  HL010:")[::2]
    # Thirteen shots of one town: one box for the town, one for all of them.
    shots = "".join(f"  HL{10 * n:03d}:{shot}" for n in range(1, 14))
    show.write("sequences/hill.yaml", head + shots)
    matter = report_shows.matter_of_folder(show.path)
    drawing, alone = sequence_drawing(matter, "hill")
    boxes = re.findall(r"<rect.*?>(.*?)</a>", drawing)
    said = [" ".join(re.sub("<.*?>", " ", each).split()) for each in boxes]
    assert [each.split(" done")[0] for each in said] == [
        "hill_town build 1 error",
        "HL010 and more 13 shots",
    ]
    assert alone == ()


def test_the_command_writes_one_file_or_a_folder_of_them(show, tmp_path) -> None:
    one, many = tmp_path / "a" / "r.html", tmp_path / "b"
    said = run(show.path, "--to", one)
    assert said.output == f"wrote {one}\n"
    assert one.read_text(encoding="utf-8").startswith("<!doctype html>")
    assert run(show.path, "--split", "--to", many).output == f"wrote {many / 'index.html'}\n"
    assert {path.name for path in many.iterdir()} >= {"index.html", "sequence_hill.html"}


def test_a_place_that_cannot_be_written_is_told_in_a_sentence(show, tmp_path) -> None:
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    said = run(show.path, "--to", tmp_path / "file" / "r.html")
    assert said.exit_code == 1
    assert "cannot be written" in said.output
    assert (tmp_path / "file").read_text(encoding="utf-8") == "in the way"


def run(folder: Path, *options: object):
    arguments = ["report", str(folder), "--tries", "0", *map(str, options)]
    return CliRunner().invoke(group, arguments)


def test_a_title_at_the_foot_of_printed_pages_cannot_end_its_string() -> None:
    # A quote is U+0022, a brace U+007D, a stroke U+002F; six digits need no space after them.
    assert quoted('A"}</') == '"A\\000022\\00007d\\00003c\\00002f"'
    assert quoted("\u6c34") == '"\\006c34"'


def test_a_long_name_breaks_after_its_marks_and_stays_inert() -> None:
    assert breakable("seq/020_heron.yaml:9") == "seq/<wbr>020_<wbr>heron.<wbr>yaml:9"
    assert breakable("NB120.heron") == "NB120.heron"  # fits into any column
    # Nothing but a mark between two letters or figures is a place to break.
    assert breakable("<b>a_b</b> & _c_ d_e") == "&lt;b&gt;a_<wbr>b&lt;/b&gt; &amp; _c_ d_<wbr>e"
