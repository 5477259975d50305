"""The cut as a bid was given on it: what recuts wrote is taken back, and nothing else."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

import pytest

from planner.bid.revision import ShotSaid
from planner.kinds import Registry
from planner.ledger import Event, What
from planner.model.cut import Act, CutChange
from planner.model.facts import FrameRange
from planner.status.recut_edits import written
from planner.status.taken_back import taken_back
from planner.text.show_folder import load_show
from tests.status.recutting import ASKED

if TYPE_CHECKING:
    from planner.model.show import Show
    from tests.conftest import ShowFolder

TODAY = date(2027, 3, 9)
SEQUENCE = "sequences/hill.yaml"


@pytest.fixture
def hill(show: ShowFolder) -> Show:
    show.replace(SEQUENCE, "cut: 1-96", "cut: 101-196")
    show.replace(SEQUENCE, "on: location}", "on: location, in_frame: 150-196}")
    found, problems = load_show(show.path, Registry())
    assert found is not None
    assert problems == ()
    return found


def said(show: Show) -> dict[str, ShotSaid]:
    return {
        id_: ShotSaid(each.cut.count if each.cut else None, each.state, each.says)
        for id_, each in show.shots.items()
    }


def recut(show: Show, *changes: CutChange) -> Show:
    return written(show, changes, ASKED).show


def test_a_shot_goes_back_to_its_frames_and_its_pieces_with_it(hill: Show) -> None:
    longer = recut(hill, CutChange(Act.LENGTH, "HL010", head=4, tail=12))
    back = taken_back(longer, (), said(hill), TODAY)
    assert back is not None
    assert back.shots == {"HL010"}
    assert back.show.shots["HL010"].cut == FrameRange(101, 196)
    assert back.show.elements["HL010.sky"] == hill.elements["HL010.sky"]


def test_after_two_recuts_what_is_known_is_how_many_frames_it_had(hill: Show) -> None:
    once = recut(hill, CutChange(Act.LENGTH, "HL010", tail=12))
    twice = recut(once, CutChange(Act.LENGTH, "HL010", head=4))
    back = taken_back(twice, (), said(hill), TODAY)
    assert back is not None
    # Its file says 101-208, the cut before the last: 96 frames are counted from the head it has.
    assert back.show.shots["HL010"].cut == FrameRange(97, 192)


def test_what_is_omitted_added_or_posted_as_omitted_goes_back(hill: Show) -> None:
    omitted = recut(hill, CutChange(Act.OMIT, "HL010"), CutChange(Act.ADD, "HL020"))
    back = taken_back(omitted, (), said(hill), TODAY)
    assert back is not None
    assert [(each.id, each.is_live) for each in back.show.shots.values()] == [
        ("HL010", True),
        ("HL020", False),
    ]
    posted = taken_back(hill, {"HL010"}, said(hill), TODAY)
    assert posted is not None
    assert posted.shots == {"HL010"}
    events = [
        Event(f"{what} {about}", what, about, datetime(2027, 3, 8, tzinfo=UTC), "anna")
        for what, about in (
            (What.OMITTED, "HL010"),
            (What.BUILT, "hill_town"),
            (What.IN_THE_CAN, "HL010.sky"),
            (What.OMITTED, "HL020"),
        )
    ]
    assert posted.without(events) == tuple(events[1:])


def test_the_same_cut_or_a_shot_in_no_file_is_nothing_to_take_back(hill: Show) -> None:
    assert taken_back(hill, (), said(hill), TODAY) is None
    assert taken_back(hill, (), {**said(hill), "HL005": ShotSaid(48, "live", "")}, TODAY) is None
    gone = {**said(hill), "HL005": ShotSaid(48, "omitted", "")}
    assert taken_back(hill, (), gone, TODAY) is None
