"""Cuts of then, and film that need not be bought again."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from planner.estimate import estimate_show
from planner.graph import build_graph
from planner.kinds import Registry
from planner.model.facts import FrameRange
from planner.model.quantity import Quantity
from planner.status.as_shot import as_shot, with_film_in_hand
from planner.status.rested import facts_of

if TYPE_CHECKING:
    from planner.estimate import Estimates
    from planner.model.show import Show
    from tests.status.conftest import Floor

SKY, TOWN = "HL010.sky", "HL010.town"


@pytest.fixture
def now(floor: Floor) -> Show:
    """The small show, of 96 frames."""
    floor.read()
    return floor.show


def estimated(show: Show) -> Estimates:
    graph, _problems = build_graph(show)
    return estimate_show(show, graph, Registry())


def longer(show: Show, last: int) -> Show:
    shots = {**show.shots, "HL010": replace(show.shots["HL010"], cut=FrameRange(1, last))}
    return replace(show, shots=shots)


def facts(show: Show, *ids: str) -> dict[str, dict[str, str]]:
    return {id_: facts_of(show, show.elements[id_]) for id_ in ids}


def test_the_cut_of_then_is_that_of_what_was_photographed(now: Show) -> None:
    made = facts(now, SKY)
    assert list(as_shot(now, made)) == []
    (then,) = as_shot(longer(now, 120), made)
    assert (then.show.shots["HL010"].cut, then.ids) == (FrameRange(1, 96), {SKY})


def test_pieces_of_one_shot_photographed_for_two_cuts_are_two_shows(now: Show) -> None:
    made = {**facts(now, SKY), **facts(longer(now, 108), TOWN)}
    found = list(as_shot(longer(now, 120), made))
    assert [(each.show.shots["HL010"].cut.last, set(each.ids)) for each in found] == [
        (96, {SKY}),
        (108, {TOWN}),
    ]


def test_a_speed_of_then_is_taken_back_too(now: Show) -> None:
    slow = replace(
        now.shots["HL010"],
        facts=replace(
            now.shots["HL010"].facts,
            values={**now.shots["HL010"].facts.values, "speed": Quantity("speed", 0.5, "1")},
        ),
    )
    later = replace(now, shots={**now.shots, "HL010": slow})
    (then,) = as_shot(later, facts(now, SKY))
    assert then.show.shots["HL010"].facts.number("speed") is None
    (back,) = as_shot(now, facts(later, SKY))
    assert back.show.shots["HL010"].facts.number("speed").value == 0.5


@pytest.mark.parametrize(
    ("scanned", "more"),
    [
        # Nobody told which frames: the whole take, its handles with it.
        ({}, 0),
        # 1 to 100 of the 104 frames that are shown now: 4 more.
        ({SKY: FrameRange(1, 100)}, 4),
    ],
)
def test_film_in_hand_is_not_bought_again_and_only_new_frames_are_scanned(
    now: Show, scanned: dict[str, FrameRange], more: int
) -> None:
    later = longer(now, 104)
    was, whole = estimated(now).by_element[SKY], estimated(later)
    found = with_film_in_hand(later, whole, {SKY: was}, scanned)[SKY]
    bought = {each.name: each.quantity.value for each in found.charges}
    once = {each.name: each.quantity.value for each in was.charges}
    anew = {each.name: each.quantity.value for each in whole.by_element[SKY].charges}
    assert bought == {**once, "scans": once["scans"] + more}
    assert anew["scans"] == once["scans"] + 8
    assert anew["negative"] > once["negative"]
