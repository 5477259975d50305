"""Whether one thing can stand in for another, by what is stated of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.kinds import Registry
from planner.model.alike import is_like
from planner.text.show_folder import load_show

if TYPE_CHECKING:
    from tests.conftest import ShowFolder

TABLE = "{title: Table rig, axes: {track: {travel: 6 m, speed: 0.6 m/s}}, lowest_lens: 0.12 m}"


@pytest.mark.parametrize(
    ("other", "is_alike"),
    [
        # Written in another unit, under another name and there from another day.
        (
            "{axes: {track: {travel: 6 m, speed: 0.6 m/s}}, from: 2027-04-12, lowest_lens: 12 cm}",
            1,
        ),
        ("{axes: {track: {travel: 5 m, speed: 0.6 m/s}}, lowest_lens: 0.12 m}", 0),
        ("{axes: {track: {travel: 6 m, speed: 0.6 m/s}}}", 0),
    ],
)
def test_a_rig_is_like_another_that_can_do_the_same(
    show: ShowFolder, other: str, is_alike: int
) -> None:
    rigs = f"rigs:\n  one: {TABLE}\n  two: {other}\n"
    show.replace("resources.yaml", "lenses:\n", f"{rigs}lenses:\n")
    read, problems = load_show(show.path, Registry())
    assert problems == ()
    assert read is not None
    one, two, cam = (read.resources[each] for each in ("one", "two", "cam"))
    assert is_like(one, two) is bool(is_alike)
    assert is_like(two, one) is bool(is_alike)
    assert not is_like(one, cam)
