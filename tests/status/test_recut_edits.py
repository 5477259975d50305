"""What a change writes: applied and taken back, the show is what it was."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.kinds import Registry
from planner.model.cut import Act, CutChange
from planner.model.facts import FrameRange
from planner.status.recut_edits import with_edits, written
from planner.text.show_folder import load_show
from tests.conftest import ShowFolder
from tests.status.recutting import ASKED

if TYPE_CHECKING:
    from planner.model.show import Show


@pytest.fixture(scope="module")
def hill(tmp_path_factory: pytest.TempPathFactory) -> Show:
    folder = ShowFolder(tmp_path_factory.mktemp("shows") / "small")
    folder.replace("sequences/hill.yaml", "cut: 1-96", "cut: 101-196")
    folder.replace(
        "sequences/hill.yaml",
        "on: location}",
        'on: location, in_frame: 150-196, report: {take: "3"}}',
    )
    show, problems = load_show(folder.path, Registry())
    assert show is not None
    assert problems == ()
    return show


CHANGES = st.lists(
    st.one_of(
        st.builds(
            CutChange,
            st.just(Act.LENGTH),
            st.just("HL010"),
            st.integers(-60, 60),
            st.integers(-60, 60),
        ),
        st.builds(CutChange, st.sampled_from([Act.OMIT, Act.UN_OMIT]), st.just("HL010")),
        st.booleans().map(lambda flop: CutChange(Act.FLOP, "HL010", flop=flop)),
        st.floats(0.01, 4).map(lambda each: CutChange(Act.RETIME, "HL010", speed=each)),
        st.floats(0, 1).map(lambda each: CutChange(Act.REPOSITION, "HL010", push_in=each)),
        st.sampled_from("12345").map(
            lambda take: CutChange(Act.TAKE, "HL010", element="HL010.sky", take=take)
        ),
    ),
    max_size=6,
)


@given(CHANGES)
def test_edits_and_their_inverses_leave_the_show_as_it_was(
    hill: Show, changes: list[CutChange]
) -> None:
    found = written(hill, changes, ASKED)
    assert with_edits(hill, found.edits) == found.show
    back = with_edits(
        found.show, [replace(each, was=each.now, now=each.was) for each in found.edits]
    )
    assert back == hill


def test_ranges_that_end_with_the_cut_end_with_the_new_one(hill: Show) -> None:
    longer = written(hill, [CutChange(Act.LENGTH, "HL010", tail=12)], ASKED)
    assert longer.show.shots["HL010"].cut == FrameRange(101, 208)
    assert longer.show.elements["HL010.sky"].facts.frames("in_frame") == FrameRange(150, 208)
    # At the head it begins of itself, later than the cut, and stays.
    head = written(hill, [CutChange(Act.LENGTH, "HL010", head=-12)], ASKED)
    assert head.show.elements["HL010.sky"].facts.frames("in_frame") == FrameRange(150, 196)


def test_two_changes_of_a_shot_follow_one_another(hill: Show) -> None:
    twice = [CutChange(Act.LENGTH, "HL010", tail=12), CutChange(Act.LENGTH, "HL010", tail=-4)]
    found = written(hill, twice, ASKED)
    cut = next(each for each in found.edits if each.path == ("cut",))
    assert (cut.was, cut.now) == (FrameRange(101, 196), FrameRange(101, 204))


def test_splits_and_additions_leave_a_shot_for_people_to_fill(hill: Show) -> None:
    found = written(
        hill,
        [
            CutChange(Act.SPLIT, "HL010", at=150, other="HL015"),
            CutChange(Act.ADD, "HL020", other="HL010", frames=FrameRange(1, 48)),
        ],
        ASKED,
    )
    split, added = found.stubs
    assert (split.id, split.cut, split.state) == ("HL015", FrameRange(150, 196), "unplaced")
    assert (added.sequence, added.after, added.cut) == ("hill", "HL010", FrameRange(1, 48))
    assert "shorten HL010 to 101-149" in found.by_hand["HL010"][0]


def test_the_show_that_is_judged_has_the_shots_that_are_put_in(hill: Show) -> None:
    listed = [
        CutChange(Act.ADD, "HL020", other="HL010", frames=FrameRange(1, 48), says="A gate."),
        CutChange(Act.SPLIT, "HL010", at=150, other="HL015"),
        CutChange(Act.ADD, "HL030", other="HL020"),
    ]
    found = written(hill, listed, ASKED).show
    # HL015 goes right behind HL010, before HL020 that was put in there first.
    assert found.sequences["hill"].shots == tuple(found.shots)
    assert tuple(found.shots) == ("HL010", "HL015", "HL020", "HL030")
    states = [(each.state, each.cut) for each in found.shots.values()][1:]
    assert states == [
        ("unplaced", FrameRange(150, 196)),
        ("live", FrameRange(1, 48)),
        ("live", None),
    ]


def test_a_shot_is_put_in_once_and_not_changed_by_the_list_that_puts_it_in(hill: Show) -> None:
    listed = [
        CutChange(Act.ADD, "HL020"),
        CutChange(Act.ADD, "HL020"),
        CutChange(Act.LENGTH, "HL020", tail=4),
    ]
    found = written(hill, listed, ASKED)
    assert [each.id for each in found.stubs] == ["HL020"]
    assert [why for _change, why in found.unfit] == [
        "HL020 is there already",
        "HL020 is put in by the same list; say it all where it is put in",
    ]
