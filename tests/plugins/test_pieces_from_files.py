"""What builds, boards, models, permits and composites may state, as a show's files state it."""

from __future__ import annotations

from textwrap import dedent
from typing import TYPE_CHECKING

from planner.estimate import estimate_show
from planner.graph import build_graph
from planner.kinds import Registry
from planner.text.show_folder import load_show

if TYPE_CHECKING:
    from tests.conftest import ShowFolder

BUILDS = """\
    builds:
      hill_town:
        makes: miniature
        scale: 1/24
        full_size: {width: 60 m, depth: 40 m, height: 12 m}
        drawing: sheet 1 revision a
        drawing_on: 2027-03-01
        as_built: [{what: the tower, drawn: 12 m, built: 12.6 m, on: 2027-03-09}]
        made_to_last: quick
        life: 20
        struck: 2027-06-01
        paint: sheet 7
        marks: rust
        dressing: doors and washing differ
        copies: 4
      near_town:
        makes: miniature
        scale: 1/8
        size_of: hill_town
        full_size: {height: 12.4 m}
        brief: the same town, as broad as it is high
        samples: [{name: broad, width: 300 mm, height: 310 mm}]
        sample: broad
        paint: sheet 8
    permits:
      fire_leave:
        for: the barge fire
        sort: fire
        in_hand: true
        unit_day: 2027-04-01
    decisions:
      clock_face:
        question: which clock face
        options: [enamel, slate]
        owner: the art director
        last_useful: 2027-05-01
    """
ELEMENTS = """\
      sky:
        kind: plate
        sort: live
        on: location
        day: 2027-04-02
        waits_for: fire_leave
        revision: print 3
        life: [gulls, washing]
        clearances: [{what: a sign, cleared: false, by: the art director}]
        known: {what: a door, size: 2 m, distance: 20 m}
      town:
        kind: miniature
        build: hill_town
        action: gravity
        waits_for: clock_face
        not_before: 2027-04-20
        nearest: 40 m
        holds: {from: 40 m, to: 90 m}
        light: 250 fc
        units_seen: 6
        screen: blue
        gag: {cue: 30, fall: 20 m, swing: 4 m, proven: false}
        haze: {settle: 4 min, clear: 6 min, fans: off}
        opening: {width: 5 m, frames: 3-8, wild: true}
        risk: untried
        learning: {craft: camera, hours: 16 h}
      board:
        kind: painting
        width: 1.6 m
        widest: 1.6 m
        tightest: 800 mm
        nearest: 20 m
        farthest: 100 m
        approach: 2 m
        pan: 20 deg
        moving_haze: true
        zones: [{name: the gate, share: 20 %, detail: fine, frames: 40-96}]
        action: 30-60
        board: glass, oil
        colour_from: sky
        colour_revision: print 2
        protection_copy: true
        copied_on: 2027-05-09
        altered_on: 2027-05-05
        hides: town
        in_frame: 40-96
        given_blur: {is: 9 px, distance: 5 m}
      heron: {kind: puppet, build: near_town, operator_in_frame: 40-63, nearest: 20 m}
      pan: {kind: camera_move, origin: designed, peak_turn: 12 deg/s}
      final:
        kind: composite
        joins: [board, sky, town, heron]
        features: [hair, shake]
        edge_checks: [{what: town against sky, frames: 1-40, found: a line}]
    """
FOUND = {
    "action-outside-zone",
    "altered-after-drawing",
    "altered-before-copy",
    "blur-not-of-that-lens",
    "colour-from-old-print",
    "contents-not-cleared",
    "cover-not-named",
    "decision-after-what-waits",
    "edge-check-open",
    "family-paint-differs",
    "family-size-differs",
    "gag-not-proven",
    "haze-not-logged",
    "join-no-longer-hidden",
    "more-units-seen-than-made",
    "moving-haze-over-flat",
    "not-on-its-unit-day",
    "operator-without-clean-plate",
    "operator-without-split",
    "over-quota",
    "painting-ends-in-pan",
    "painting-shows-growth",
    "quick-build-too-near",
    "smoke-before-screen",
    "spent-on-attempts",
    "sweep-strobes",
    "untried-at-ordinary-allowance",
}


def test_what_the_files_state_is_found(show: ShowFolder) -> None:
    """Each of these findings rests on a fact read from YAML, none on one made in code."""
    show.write("builds.yaml", dedent(BUILDS))
    show.write(
        "sequences/hill.yaml",
        "sequence: hill\ntitle: On the hill\nshots:\n  HL010:\n    says: The town below.\n"
        "    cut: 1-96\n    attempts: [{what: a tank, cost: 1200 GBP, why: it froze}]\n"
        "    camera: {lens: prime_35, height: 6 m, stop: f/8, focus: 40 m}\n    elements:\n"
        + dedent(ELEMENTS).replace("\n", "\n      ").join(["      ", "\n"]),
    )
    text = (show.path / "show.yaml").read_text(encoding="utf-8")
    show.write("show.yaml", text + "quota: {frames_scanned: 100}\n")
    text = (show.path / "resources.yaml").read_text(encoding="utf-8")
    show.write("resources.yaml", text + "screens:\n  blue: {width: 8 m, height: 6 m}\n")
    loaded, problems = load_show(show.path, Registry())
    assert [str(each) for each in problems if each.severity == 0] == []
    assert loaded is not None
    graph, _problems = build_graph(loaded)
    estimates = estimate_show(loaded, graph, Registry())
    assert sorted(FOUND - {each.code for each in estimates.problems}) == []
    assert [each.message for each in estimates.problems if each.code == "kind-broken"] == []
