"""A cut list against the show: which clip is which shot, and what became of each."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from planner.kinds import Registry
from planner.model.cut import Act, Clip, Cut, CutChange
from planner.model.facts import FrameRange
from planner.model.place import Place
from planner.status.cut_differences import Differences, differences
from planner.text.show_folder import load_show
from tests.conftest import ShowFolder

if TYPE_CHECKING:
    from planner.model.show import Show


@pytest.fixture(scope="module")
def hill(tmp_path_factory: pytest.TempPathFactory) -> Show:
    """HL010 to HL040 of 96 frames each, HL040 omitted; and one shot of another sequence."""
    folder = ShowFolder(tmp_path_factory.mktemp("shows") / "small")
    shot = "  {}:\n    says: A hill.\n    cut: 101-196\n"
    head = "sequence: {}\ntitle: A hill\nshots:\n"
    text = head.format("hill") + "".join(shot.format(f"HL0{n}0") for n in (1, 2, 3, 4))
    folder.write("sequences/hill.yaml", f"{text}    state: omitted\n")
    folder.write("sequences/lake.yaml", head.format("lake") + shot.format("LK010"))
    folder.write("builds.yaml", "{}\n")
    show, _problems = load_show(folder.path, Registry())
    assert show is not None
    return show


def clip(name: str, first: int = 101, last: int = 196, n: int = 1, *others: str) -> Clip:
    count = last - first + 1
    names = (name, *others)
    return Clip(names, FrameRange(first, last), count, 1.0, False, (), Place("reel", n))


def against(show: Show, *clips: Clip, slip: int = 0) -> Differences:
    return differences(show, Cut("reel", clips), slip)


def acts(found: Differences) -> list[tuple[Act, str]]:
    return [(each.act, each.shot) for each in found.changes]


def test_the_same_cut_changes_nothing(hill: Show) -> None:
    found = against(hill, clip("HL010"), clip("hl020"), clip("HL030_comp_v3"))
    assert found.changes == ()
    assert found.same == ("HL010", "HL020", "HL030")
    assert found.unlisted == ("lake",)


def test_lengths_are_told_at_each_end(hill: Show) -> None:
    found = against(hill, clip("HL010", 105, 208), clip("HL020"), clip("HL030"))
    (change,) = found.changes
    assert (change.act, change.head, change.tail) == (Act.LENGTH, -4, 12)


def test_absent_shots_are_omitted_and_listed_ones_wanted_again(hill: Show) -> None:
    found = against(hill, clip("HL010"), clip("HL030"), clip("HL040"))
    assert acts(found) == [(Act.UN_OMIT, "HL040"), (Act.OMIT, "HL020")]
    assert found.remarks[0].startswith("not in the list, though their sequence is: HL020; taken as")


def test_unknown_numbers_are_added_and_other_clips_left_alone(hill: Show) -> None:
    found = against(
        hill, clip("HL010"), clip("HL015", 1, 48), clip("crowd"), clip("HL020"), clip("HL030")
    )
    (change,) = found.changes
    assert (change.act, change.shot, change.other) == (Act.ADD, "HL015", "HL010")
    assert change.frames == FrameRange(1, 48)
    assert found.unplaced == ("crowd",)


def test_a_shot_in_two_parts_is_split_and_a_through_cut_is_not(hill: Show) -> None:
    rest = (clip("HL020"), clip("HL030"))
    parted = against(hill, clip("HL010", 101, 140), *rest, clip("HL010", 161, 196))
    (change,) = parted.changes
    assert (change.act, change.at) == (Act.SPLIT, 161)
    through = against(hill, clip("HL010", 101, 140), clip("HL010", 141, 196), *rest)
    assert through.changes == ()


def test_as_few_shots_as_can_be_are_moved(hill: Show) -> None:
    found = against(hill, clip("HL030"), clip("HL010"), clip("HL020"))
    assert [(each.act, each.shot, each.says) for each in found.changes] == [
        (Act.ORDER, "HL030", "before HL010")
    ]


def test_a_list_that_counts_from_elsewhere_is_slipped(hill: Show) -> None:
    clips = (clip("HL010", 0, 95), clip("HL020", 0, 95), clip("HL030", 0, 95))
    assert against(hill, *clips, slip=101).changes == ()
    assert "--slip 101" in against(hill, *clips).remarks[0]


def test_speed_flop_and_other_names_are_seen(hill: Show) -> None:
    slow = Clip(("a7", "HL010"), FrameRange(101, 148), 96, 0.5, True, (), Place("reel", 1))
    found = against(hill, slow, clip("HL020"), clip("HL030"))
    assert [each.act for each in found.changes] == [Act.RETIME, Act.FLOP]
    assert isinstance(found.changes[0], CutChange)
    assert found.changes[0].speed == 0.5


def test_a_shot_cut_in_two_clips_at_twice_the_speed_is_as_long_as_both(hill: Show) -> None:
    # 101-198 and 199-292 of the source, each frame but the second left out: 49 + 47 = 96 frames.
    first = replace(clip("HL010", 101, 198), shown=49, speed=2.0)
    second = replace(clip("HL010", 199, 292, 2), shown=47, speed=2.0)
    found = against(hill, first, second, clip("HL020"), clip("HL030"))
    assert acts(found) == [(Act.RETIME, "HL010")]


def test_a_frame_held_at_the_end_of_a_shot_is_told(hill: Show) -> None:
    held = replace(clip("HL010", 196, 196, 2), shown=24, speed=0.0)
    found = against(hill, clip("HL010"), held, clip("HL020"), clip("HL030"))
    assert found.changes == ()
    assert "HL010 holds one frame in the list; make that in the composite" in found.remarks
