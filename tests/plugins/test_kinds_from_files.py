"""Kinds as a show's files state them: every property is read, and the whole show plans."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.bid import price
from planner.cli.opening import Effort, Opened, arrange_opened, open_sound

if TYPE_CHECKING:
    from tests.conftest import ShowFolder

ELEMENTS = """\
      fire:
        kind: effect
        sort: flame
        size: 1.5 m
        appears: 6 m
        event: 3 s
        speed: 8 m/s
        wedge: [34 fps, 48 fps, 68 fps]
        run_up: 2 s
        backing: black
        materials: 300 GBP
        takes: 4
        hazards: [flame]
        risk: fire
      suit:
        kind: performer
        sort: suit
        in_plate: sky
        replaced_by: town
        removed: covered
        height: 2 m
        distance: 10 m
        worn: 15 min
        fee: 200 GBP
      street:
        kind: set_piece
        sort: forced_perspective
        true_depth: 3 m
        apparent_far: 15 m
        built_far: 6 m
        pieces: [{name: door, apparent: 6 m, height: 2 m}]
        drawn_for: 6 m
        fixtures: [{name: ledge, plane_of: the sill, distance: 9 m, measured: true, wild: true}]
        left_out: {what: the back wall, saves: 900 GBP, by: the designer}
      crowd:
        kind: projected_people
        into: town
        people_plate: sky
        distance: 40 m
        window: {width: 1.2 m, height: 1.6 m, sill: 9.5 m}
        filmed_angle: 5 deg
        card: {width: 80 mm, height: 90 mm, behind: 50 mm}
        windows: 11
        in_step: true
        projector_light: 600 lx
        rate: 1 fps
      flicker:
        kind: light_pass
        sort: interactive
        pass_of: town
        lit_with: fire
        exposure: 2 s
        cue: 40
        arrival: 44
        lamps: 4
        watts: 500 W
      birds:
        kind: drawn
        sort: hand_drawn
        on: 2
        screen_height: 60 px
        most_a_second: 900 GBP
      glow_matte:
        kind: derived_matte
        sort: brightness
        derived_from: fire
        from_revision: take 2
        made: true
        edge: {softness: 3 px, moves: 6 px}
        line_found: {frames: 10-20, where: the left edge}
      dust:
        kind: stock
        library: Harbour Films, reel 12
        cleared: true
        cleared_by: the producer
        fee: 400 GBP
        width: 2048 px
        length: 200
      check:
        kind: check_composite
        of: town
        against: sky
        way: monitor
        take: take 3
        taken_at: 09:40
        seen_at: 10:00
        seen_off: 6 px
        distance: 40 m
      film:
        kind: record_out
        records: birds
        machine: laser-4k
        frames: 1-96
        tests: 24
      final:
        kind: composite
        finish: digital
        joins: [sky, town, street, crowd, flicker, birds, glow_matte, dust, fire]
        joined_by: {fire: adds_light}
"""
NEW = ["fire", "suit", "street", "crowd", "flicker", "birds", "glow_matte", "dust", "check", "film"]


@pytest.fixture
def opened(show: ShowFolder) -> Opened:
    show.replace(
        "sequences/hill.yaml",
        "      final: {kind: composite, joins: [sky, town]}\n",
        ELEMENTS,
    )
    show.replace("sequences/hill.yaml", "light: 250 fc", "light: 250 fc\n        camera: cam")
    return open_sound(show.path)


def test_every_kind_is_read_and_estimated(opened: Opened) -> None:
    assert opened.text_problems == ()
    assert not [each for each in opened.findings if each.code.startswith("kind-")]
    estimates = opened.estimates.by_element
    assert all(estimates[f"HL010.{name}"].work for name in NEW)


def test_light_that_answers_another_follows_it(opened: Opened) -> None:
    order = opened.graph.order
    assert order.index("HL010.fire") < order.index("HL010.flicker")


def test_planted_troubles_are_found_with_their_numbers(opened: Opened) -> None:
    told = {(each.about.removeprefix("HL010."), each.code): each for each in opened.findings}
    assert "4 frames late" in told["flicker", "light-cue-off"].message
    assert "11 frames to mend" in told["glow_matte", "matte-line-found"].message
    assert "3.5 mm" in told["check", "check-not-answered"].remedy
    assert ("film", "record-out-not-wanted") in told
    assert ("fire", "flame-without-permit") in told
    assert ("crowd", "people-from-another-height") not in told  # arctan(3.5 / 40) = 5 deg


def test_the_whole_show_is_ordered_and_priced(opened: Opened) -> None:
    order = arrange_opened(opened, Effort(seconds=None, tries=0, seed=0))
    called = {call.element for call in order.calls}
    assert {f"HL010.{name}" for name in NEW} <= called
    bid = price(opened.show, opened.estimates, order)
    fees = {line.what for line in bid.lines if line.kind in {"stock", "performer", "effect"}}
    assert {"fee for its use", "fee of the performer", "materials"} <= fees
