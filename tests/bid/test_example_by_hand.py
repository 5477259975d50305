"""One shot of the example show, priced as a person would from its YAML, on two days set by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from pathlib import Path

import pytest

from planner.bid import Bid, price, rollup
from planner.cli.opening import open_show
from planner.order.stage_order import Call, StageOrder
from planner.pages.bid_text import bid_text

EXAMPLE = Path(__file__).parents[2] / "example_shows" / "nine_bells_under"

# NB130 (020_heron_walks.yaml): frames 101-148, 48 of them, 8 of handle at each end: 64. A take
# rolls 4 s of 24 frames beside: 64 + 96 = 160 frames, 10 ft of 16 frames.
BY_HAND = {
    # Set up 2 h, rule puppet.set_up; 2 stage hands at 26.00: 2 x 2 x 26.00
    ("foot", "set up"): "104.00",
    # The same 2 h; one at the camera at 38.00, one puppeteer at 36.00
    ("foot", "light and line up"): "76.00",
    ("foot", "rig the figure in"): "72.00",
    # Rehearse 1 h, rule puppet.rehearse; 3 operators at 36.00: 3 x 36.00
    ("foot", "rehearse"): "108.00",
    # 6 takes of 160/24 s, 40 s, and 5 resets of 20 min: 100 min 40 s = 1.67778 h;
    # 2 at the camera at 38.00: 2 x 1.67778 x 38.00 = 127.511
    ("foot", "photograph"): "127.51",
    # The same hours; 3 operators: 3 x 1.67778 x 36.00
    ("foot", "work the figure"): "181.20",
    # 6 takes x 10 ft = 60 ft: x 0.46 and x 0.17
    ("foot", "negative"): "27.60",
    ("foot", "processing"): "10.20",
    # Half of it printed: 30 ft x 0.22
    ("foot", "prints"): "6.60",
    # 64 frames x 0.55
    ("foot", "scans"): "35.20",
    # 3 h before black, rule plate.black_drape_set_up; 3 stage hands at 26.00
    ("splash", "set up the plate"): "234.00",
    # The same 3 h; one at the camera at 38.00
    ("splash", "light and line up"): "114.00",
    # 0.5 h to rehearse; 3 takes of 160/24 s, 20 s, and 2 resets of 7 min: 14 min 20 s = 0.23889 h;
    # 2 x 0.73889 x 38.00 = 56.156
    ("splash", "photograph the plate"): "56.16",
    # 3 takes x 10 ft = 30 ft, 15 ft printed
    ("splash", "negative"): "13.80",
    ("splash", "processing"): "5.10",
    ("splash", "prints"): "3.30",
    ("splash", "scans"): "35.20",
    # 2 h to begin, 2 layers of 2 h, 48 frames of 0.01 h: 6.48 h at 40.00
    ("comp", "join the pieces"): "259.20",
    # One version after the first, 4 h at 40.00
    ("comp", "answer the notes"): "160.00",
    # 48 frames of 2 s: 96 s = 0.026667 h at 44.00 = 1.173
    ("comp", "record on film"): "1.17",
    # 48 frames recorded x 1.10
    ("comp", "recording on film"): "52.80",
    # Two versions to see of 0.5 h, 1 h at 58.00
    ("comp", "see the versions"): "58.00",
    # Held a day each, by nobody else: South stage 980.00, Tank stage 1,720.00, cameras 260.00
    ("foot", "South stage, days held"): "980.00",
    ("foot", "Studio camera two, days held"): "260.00",
    ("splash", "Tank stage, days held"): "1720.00",
    ("splash", "Studio camera one, days held"): "260.00",
    ("splash", "Black drape, days held"): "60.00",
    # What every shot pays: 48 frames x 0.28 for the copies
    ("", "stills and measurements for the record"): "35.00",
    ("", "protection copies"): "13.44",
    ("", "delivery of a final and its papers"): "60.00",
}
BY_CRAFT = {
    "stage": "338.00",  # 104.00 + 234.00
    "puppeteering": "361.20",  # 72.00 + 108.00 + 181.20
    "camera": "373.67",  # 76.00 + 127.51 + 114.00 + 56.16
    "purchases": "189.80",  # foot 79.60, splash 57.40, comp 52.80
    "compositing": "419.20",  # 259.20 + 160.00
    "computer": "1.17",
    "supervision": "58.00",
    "stage by the day": "2700.00",  # 980.00 + 1,720.00
    "camera by the day": "520.00",  # 2 x 260.00
    "screen by the day": "60.00",
    "show costs": "108.44",  # 35.00 + 13.44 + 60.00
}
HELD = {
    "NB130.foot": (date(2027, 3, 8), "south_stage", ("second_camera",)),
    "NB130.splash": (date(2027, 3, 9), "tank_stage", ("studio_camera", "black_drape")),
}


@pytest.fixture(scope="module")
def bid() -> Bid:
    opened, _problems = open_show(EXAMPLE)
    assert opened is not None
    calls = []
    for name, (day, stage, more) in HELD.items():
        starts = datetime.combine(day, time(9))
        ends = starts + timedelta(hours=1)
        calls += [
            Call(name, work, starts, ends, 1.0, (stage, *more), stage)
            for work in opened.estimates.by_element[name].work
        ]
    days = {stage: (day,) for day, stage, _more in HELD.values()}
    order = StageOrder(tuple(calls), days, {}, {}, 0.0, False, "by hand", ())
    return price(opened.show, opened.estimates, order)


def test_every_line_of_a_shot_of_the_example_comes_to_what_a_person_reckons(bid: Bid) -> None:
    ours = {
        (line.element.removeprefix("NB130."), line.what): str(line.figures.likely)
        for line in bid.lines
        if line.shot == "NB130"
    }
    assert ours == BY_HAND


def test_the_crafts_and_the_sum_of_that_shot_are_those_that_bid_by_shot_prints(bid: Bid) -> None:
    lines = tuple(line for line in bid.lines if line.shot == "NB130")
    by_craft = rollup(replace(bid, lines=lines), "craft")
    assert {craft: str(sums.likely) for craft, sums in by_craft.items()} == BY_CRAFT
    # 338.00 + 361.20 + 373.67 + 189.80 + 419.20 + 1.17 + 58.00 = 1,741.04; held 3,280.00;
    # show costs 108.44
    assert str(rollup(bid, "shot")["NB130"].likely) == "5129.48"
    row = next(row for row in bid_text(bid, "shot").splitlines() if row.startswith("NB130"))
    assert row.split()[2] == "5,129.48"
