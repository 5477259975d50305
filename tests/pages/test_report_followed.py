"""What a report tells beside the plan: chances of dates, where things stand, what changed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

import pytest
from markupsafe import Markup

from planner.order.risk import Chance, DrivenBy, Risk, Terms
from planner.pages.report import SECTIONS, Followed, Matter, driven_of, report_html, report_pages
from tests.pages import report_shows

if TYPE_CHECKING:
    from pathlib import Path

    from tests.conftest import ShowFolder

FIRST = date(2027, 3, 1)
HILL = "sequences/hill.yaml"


def told(matter: Matter, name: str) -> str:
    """Text of one section with one space wherever there are any; empty where it is not there."""
    for teller in SECTIONS:
        section = teller(matter)
        if section is not None and section.name == name:
            return section.html.replace("<", Markup(" <")).striptags()
    return ""


def drawn(matter: Matter) -> str:
    (html,) = (
        section.html
        for teller in SECTIONS
        if (section := teller(matter)) is not None and section.name == "chances"
    )
    return html


@pytest.fixture
def small(show) -> Matter:
    return report_shows.matter_of_folder(show.path)


def reel(**other: object) -> Chance:
    """A delivery as likely on each of twenty days after the first, due on the eleventh."""
    days = tuple(FIRST + timedelta(days=n) for n in range(21))
    chance = Chance(
        "reel",
        ("HL010",),
        due=days[10],
        ordered=datetime(2027, 3, 6, 18),
        on_time=0.5,
        as_ordered=0.25,
        kept={0.5: days[10], 0.8: days[16], 0.9: days[18]},
        drivers=(DrivenBy("HL010.final", "join", 0.75, 0.9, 0.7, 1.25),),
        weakest=("HL010.final", 0.5),
        days=days,
    )
    return replace(chance, **other)


def likely(matter: Matter, *composites: Chance, **other: object) -> Matter:
    risk = Risk((reel(**other),), composites, Terms(4_000, 0, 0.5), 2, 3)
    return replace(matter, followed=Followed(risk=risk))


def test_a_date_is_told_with_its_chance_its_days_and_what_decides_it(small) -> None:
    said = told(likely(small), "chances")
    assert "those of 3 calls were drawn 4,000 times" in said
    assert "Due 11 Mar 2027: kept in 50 %." in said
    assert "Done by 11 Mar 2027 in half of the draws, by 19 Mar 2027 in 9 of 10." in said
    on_chain = "join, on the longest chain in 75 %, adds 1.2 working days on average"
    assert on_chain in said
    assert "reel 11 Mar 2027 6 Mar 2027 50 % 11 Mar 2027 17 Mar 2027 19 Mar 2027" in said


def test_a_curve_rises_evenly_where_every_day_is_as_likely(small) -> None:
    # Twenty days over 270 units: 13.5 a day from 46 on; 80 units high: 4 a step, from 116 up.
    html = drawn(likely(small))
    assert "M46 116H46L60 112L73 108L86 104" in html
    assert "L316 36H316" in html
    assert '<path class=due d="M181 18V116"/>' in html  # 46 + 270 / 2, on the eleventh
    assert ">due 11 Mar</text>" in html


def test_draws_that_end_on_one_day_are_one_upright_line(small) -> None:
    day = date(2027, 3, 11)
    html = drawn(likely(small, days=(day,) * 21, ordered=datetime(2027, 3, 11, 18)))
    assert "M46 116H46V112V108" in html


def test_words_at_the_right_edge_stand_left_of_their_line(small) -> None:
    html = drawn(likely(small, due=date(2027, 3, 21)))
    assert "text-anchor=end>due 21 Mar</text>" in html


def test_a_late_composite_has_a_curve_unless_its_delivery_is_of_it_alone(small) -> None:
    late = reel(id="HL010.final", weakest=None, ordered=datetime(2027, 3, 20, 18))
    assert drawn(likely(small, late)).count("<svg") == 1
    assert drawn(likely(small, late, shots=("HL010", "HL020"))).count("<svg") == 2
    in_time = replace(late, ordered=datetime(2027, 3, 11, 18))  # the day it is due
    assert drawn(likely(small, in_time, shots=("HL010", "HL020"))).count("<svg") == 1


def test_a_report_draws_the_chances_of_the_order_it_shows(show: ShowFolder) -> None:
    matter = report_shows.followed_matter(show.path, "2027-03-01")
    (chance,) = (matter.followed.risk or Risk((), (), Terms(), 0, 0)).deliveries
    assert chance.id == "reel"
    assert chance.ordered.date() == max(matter.plan.order.finals.values()).date()
    assert "Delivery reel" in told(matter, "chances")


def test_of_many_deliveries_the_first_and_of_late_composites_the_latest_are_driven(small) -> None:
    plan = small.plan
    (reel,) = plan.show.deliveries
    # Nine deliveries a day apart, of which eight are told; all of HL010, due first on 1 March.
    reels = tuple(
        replace(reel, id=f"reel_{n}", day=date(2027, 3, n), shots=("HL010", "x"))
        for n in range(1, 10)
    )
    order = replace(plan.order, finals={"HL010": datetime(2027, 3, 20, 18)})
    plan = replace(plan, show=replace(plan.show, deliveries=reels), order=order)
    assert driven_of(plan) == {*(f"reel_{n}" for n in range(1, 9)), "HL010.final"}
    in_time = replace(plan.order, finals={"HL010": datetime(2027, 3, 1, 18)})
    assert driven_of(replace(plan, order=in_time)) == {f"reel_{n}" for n in range(1, 9)}


def test_nothing_posted_and_nothing_issued_is_not_told_of(show: ShowFolder) -> None:
    matter = report_shows.followed_matter(show.path, "2027-03-01")
    assert (matter.followed.stands, matter.followed.changes, matter.followed.compared) == (
        None,
    ) * 3
    assert told(matter, "standing") == told(matter, "since") == ""


def test_what_is_held_and_lost_is_told_with_who_and_since_when(show: ShowFolder) -> None:
    post(show, "held", "HL010", "--by", "the director", "--why", "he may lose it", day="2027-03-02")
    post(show, "lost", "hill_town", "--why", "dropped", day="2027-03-03")
    said = told(report_shows.followed_matter(show.path, "2027-03-05"), "standing")
    assert "By 2 events posted, the last on 3 Mar 2027; as of 5 Mar 2027. 0 of 1 composite" in said
    assert "HL010 on hold 2 Mar 2027 he may lose it, the director" in said
    assert "hill_town lost 3 Mar 2027 dropped" in said
    assert "HL010.final" in said.partition("What each composite waits for")[2]
    assert str(show.path) not in said  # places are said from the show's folder on


def test_what_was_posted_after_the_day_does_not_count(show: ShowFolder) -> None:
    post(show, "held", "HL010", "--by", "the director", day="2027-03-02")
    post(show, "freed", "HL010", "--by", "the director", day="2027-03-08")
    said = told(report_shows.followed_matter(show.path, "2027-03-05"), "standing")
    assert "By 1 event posted" in said
    assert "HL010 on hold 2 Mar 2027" in said


def test_what_facts_overtook_is_told_with_what_makes_it_good(show: ShowFolder) -> None:
    post(show, "take", "HL010.town", "--take", "1", "--verdict", "good", "--circled")
    # Its lens is 24 mm longer than it was photographed with: the picture is another one.
    show.replace("resources.yaml", "focal_length: 35 mm", "focal_length: 59 mm")
    said = told(report_shows.followed_matter(show.path, "2027-03-05"), "standing")
    assert "HL010.town dead" in said


def test_split_each_sequence_tells_of_its_own_composites_and_the_index_of_the_roots(
    show: ShowFolder,
) -> None:
    text = (show.path / HILL).read_text(encoding="utf-8")
    show.write("sequences/dale.yaml", text.replace("hill\n", "dale\n", 1).replace("HL010", "DL010"))
    post(show, "built", "hill_town")
    pages = dict(report_pages(report_shows.followed_matter(show.path, "2027-03-05")))
    dale = pages["sequence_dale.html"].partition('id="part:standing"')[2].partition("</section>")[0]
    assert "DL010.final" in dale
    assert "HL010.final" not in dale
    assert "Where the waiting begins" in pages["index.html"]
    assert "Where the waiting begins" not in pages["sequence_hill.html"]


def post(show: ShowFolder, *words: str, day: str = "2027-03-02") -> None:
    report_shows.said_to(show.path, "post", *words, "--at", f"{day} 10:00", "--on", "2027-04-01")


def test_an_order_and_a_bid_as_issued_differ_in_nothing(show: ShowFolder) -> None:
    issue(show.path)
    said = told(report_shows.followed_matter(show.path, "2027-03-01"), "since")
    assert "by the manager: nothing has moved" in said
    assert "by the producer" in said
    assert "Nothing in it differs." in said


def test_a_dearer_overhead_is_told_to_the_cent_with_its_cause(show: ShowFolder) -> None:
    issue(show.path)
    before = report_shows.matter_of_folder(show.path).plan.bid
    show.replace("show.yaml", "overhead: 12 %", "overhead: 13 %")
    matter = report_shows.followed_matter(show.path, "2027-03-01")
    more = matter.plan.bid.total.likely - before.total.likely
    assert more > 0
    said = told(matter, "since")
    assert f"the likely one differs by +{more:,.2f}" in said
    assert f"overhead and contingency 1 line +{more:,.2f}" in said


def test_what_moved_since_the_order_was_issued_is_told_with_both_days(show: ShowFolder) -> None:
    issue(show.path)
    was = report_shows.matter_of_folder(show.path).plan.order.finals["HL010"]
    # Work begins five weeks later, so that nothing can be kept as it was issued.
    show.replace("show.yaml", "starts: 2027-03-01", "starts: 2027-04-05")
    matter = report_shows.followed_matter(show.path, "2027-03-01")
    now = matter.plan.order.finals["HL010"]
    assert now.date() > was.date()
    said = told(matter, "since")
    assert "moved" in said.partition("Calls on another day")[0]
    row = said.partition("Composites done on another day")[2].partition("HL010")[2]
    assert f"{was.day} {was:%b} {was.year}" in row
    assert f"{now.day} {now:%b} {now.year}" in row


def issue(folder: Path) -> None:
    report_shows.said_to(folder, "order", "--issue", "--by", "the manager", "--tries", "0")
    report_shows.said_to(folder, "bid", "--issue", "--issued-by", "the producer", "--tries", "0")


def test_the_same_show_gives_the_same_page(show: ShowFolder) -> None:
    post(show, "built", "hill_town")
    issue(show.path)
    first, second = (report_shows.followed_matter(show.path, "2027-03-05") for _ in range(2))
    assert report_html(first) == report_html(second)
