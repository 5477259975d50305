"""What becomes of what was made when facts change, with numbers argued by hand.

A frame of ``full-aperture-35`` is 24.892 mm wide and the picture 2048 px, so that a lens of 35 mm
has 35 x 2048 / 24.892 = 2879.6 px.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.kinds import Hours
from planner.model.facts import FrameRange
from planner.status.judging import Judgement, Made, Verdict, judged, judged_show
from planner.status.rested import NAMES
from planner.status.verdicts import Thumb

SHOW = {
    "show camera.format": "full-aperture-35",
    "show camera.image_width": "2048 px",
    "show camera.frame_rate": "24 fps",
    "show handles": "8",
    "shot state": "live",
    "shot cut": "101-220",
    "shot camera.lens": "prime_35",
    "lens prime_35 focal_length": "35 mm",
    "lens prime_50 focal_length": "50 mm",
    "shot camera.height": "2000 mm",
    "shot camera.tilt": "0 deg",
}
HERON = SHOW | {
    "kind": "puppet",
    "action": "driven",
    "nearest": "13000 mm",
    "holds.to": "19000 mm",
    "build heron scale": "4 1:N",
    "light": "5000 lx",
    "rate": "24 fps",
    f"{NAMES}build": "heron",
}
PLATE = SHOW | {"kind": "plate", "sort": "live", "report.take": "6", "report.focus": "40000 mm"}
ROTO = SHOW | {"kind": "roto", f"{NAMES}roto_of": "plate", "roto_of plate take": "6"}
COMP = SHOW | {"kind": "composite", f"{NAMES}joins": "plate, heron, roto"}


def of(was: dict[str, str], made: Made | None = None, **now: str) -> Judgement:
    """Judged with some facts another; ``shot_cut`` is ``shot cut``, ``nearest`` itself."""
    return judged("x", was, was | now, made or Made())


def number(told: Judgement, name: str) -> float:
    return next(each.value for each in told.numbers if each.name == name)


def test_a_cut_that_outgrows_its_handles_is_short_by_subtraction() -> None:
    # 101-220 with handles of 8 was photographed: 93-228. Wanted to 240: 240 - 228 = 12.
    told = of(HERON, **{"shot cut": "101-240"})
    assert (told.verdict, told.frames_short_head, told.frames_short_tail) == (Verdict.DEAD, 0, 12)
    assert told.short == "12 frames short at the tail"
    assert told.reasons[0].startswith("12 frames short at the tail: 93-228 exist, and 101-240")
    assert number(told, "frames short at the tail") == 12


def test_both_ends_are_told_apart() -> None:
    # 93 - 90 = 3 at the head, 230 - 228 = 2 at the tail; four can be made by slowing.
    told = of(HERON, **{"shot cut": "90-230"})
    assert (told.frames_short_head, told.frames_short_tail) == (3, 2)
    assert told.verdict is Verdict.WORK
    # Half an hour a frame: 5 x 0.25, 0.5 and 1.5.
    assert told.hours == Hours(1.25, 2.5, 7.5)


def test_a_cut_within_the_handles_is_good_and_says_what_is_left_of_them() -> None:
    # 228 - 225 = 3 left at the tail.
    told = of(HERON, **{"shot cut": "101-225"})
    assert told.verdict is Verdict.GOOD
    assert "of 8 frames of handle there are left 3 at the tail" in told.reasons[0]


def test_frames_that_somebody_told_of_come_first() -> None:
    # The take was told to run to 250: nothing is short of a cut that ends at 240.
    told = of(HERON, Made(frames=FrameRange(93, 250)), **{"shot cut": "101-240"})
    assert told.verdict is Verdict.GOOD


def test_what_lies_wholly_elsewhere_is_dead() -> None:
    told = of(ROTO, **{"shot cut": "301-340"})
    assert (told.verdict, told.frames_short_tail) == (Verdict.DEAD, 40)


def test_outlines_want_work_for_the_added_frames_only() -> None:
    # Drawn for the cut without handles: 240 - 220 = 20 frames of 120, at 24 h / 120 = 0.2 h each.
    told = of(ROTO, Made(hours=Hours(12, 24, 48)), **{"shot cut": "101-240"})
    assert (told.verdict, told.frames_short_tail) == (Verdict.WORK, 20)
    assert told.hours is not None
    assert (told.hours.low, told.hours.likely, told.hours.high) == pytest.approx((2, 4, 8))


def test_a_still_thing_is_held_however_long_the_cut_is() -> None:
    still = HERON | {"action": "still", "kind": "miniature"}
    assert of(still, **{"shot cut": "101-400"}).verdict is Verdict.WORK
    moved = still | {f"{NAMES}move_from": "push"}
    assert of(moved, **{"shot cut": "101-400"}).verdict is Verdict.DEAD


def test_a_height_shifts_the_near_against_the_far_by_similar_triangles() -> None:
    # 2879.6 px x 400 mm x (1/13000 - 1/19000) = 27.98 px; no more than 12 are hidden.
    told = of(HERON, **{"shot camera.height": "2400 mm"})
    by_hand = 35 * 2048 / 24.892 * 400 * (1 / 13000 - 1 / 19000)
    assert math.isclose(by_hand, 27.98, abs_tol=0.01)
    assert number(told, "shift of the nearest against the farthest") == pytest.approx(by_hand)
    assert told.verdict is Verdict.DEAD
    assert "0.4 m higher" in told.reasons[0]


@pytest.mark.parametrize(
    ("height", "verdict"),
    # 20 mm shift 1.4 px, under 2; 100 mm shift 7.0 px, under 12; 200 mm shift 14.0 px.
    [("2020 mm", Verdict.GOOD), ("2100 mm", Verdict.WORK), ("2200 mm", Verdict.DEAD)],
)
def test_small_shifts_are_hidden_and_larger_ones_want_work(height: str, verdict: Verdict) -> None:
    assert of(HERON, **{"shot camera.height": height}).verdict is verdict


def test_a_shift_needs_a_distance_and_says_so_where_nobody_knows_it() -> None:
    sky = SHOW | {"kind": "plate"}
    told = of(sky, **{"shot camera.height": "2400 mm"})
    assert told.verdict is Verdict.WORK
    assert "distance of the nearest thing is not known" in told.reasons[0]


def test_a_longer_lens_enlarges_and_a_shorter_one_leaves_the_frame_empty() -> None:
    # 50 / 35 = 1.43, and 8 % is the most.
    told = of(HERON, **{"shot camera.lens": "prime_50"})
    assert told.verdict is Verdict.DEAD
    assert number(told, "enlargement") == pytest.approx(50 / 35)
    assert "enlarged 42.9 %" in told.reasons[0]
    # 34 / 35 leaves 2048 x (1 - 34 / 35) / 2 = 29.3 px at each side.
    short = of(HERON, **{"lens prime_35 focal_length": "34 mm"})
    assert short.verdict is Verdict.DEAD
    assert number(short, "frame that is not covered, at each side") == pytest.approx(
        29.257, abs=1e-3
    )
    # 36 / 35 is 2.9 %.
    assert of(HERON, **{"lens prime_35 focal_length": "36 mm"}).verdict is Verdict.WORK


def test_a_plate_is_believed_by_its_report_before_its_plan() -> None:
    plate = PLATE | {"report.focal_length": "50 mm"}
    told = of(plate, **{"shot camera.lens": "prime_50"})
    assert told.verdict is Verdict.GOOD
    again = of(plate | {"shot camera.lens": "prime_50"}, **{"report.focal_length": "35 mm"})
    assert again.verdict is Verdict.DEAD


def test_a_tilt_is_turned_by_a_warp_as_far_as_the_frame_can_be_enlarged() -> None:
    # 1 deg shifts 2879.6 x tan(1) = 50.3 px of 2048 x 18.669 / 24.892 = 1536; 1 + 100.5 / 1536
    # is 6.5 % larger, under 8. 2 deg are 13 %.
    told = of(HERON, **{"shot camera.tilt": "1 deg"})
    assert told.verdict is Verdict.WORK
    assert number(told, "enlargement") == pytest.approx(1.0654, abs=3e-4)
    assert of(HERON, **{"shot camera.tilt": "-2 deg"}).verdict is Verdict.DEAD


def test_a_camera_nearer_by_grows_the_near_more_than_the_far() -> None:
    # From 13 to 12.5 m the near grows 1.04, the far 19 / 18.5 = 1.02703; 1024 x 0.01297 = 13.28 px.
    told = of(HERON, nearest="12500 mm")
    shift = number(told, "shift of the nearest against the farthest, at the frame's edge")
    assert shift == pytest.approx(1024 * (13 / 12.5 - 19 / 18.5))
    assert told.verdict is Verdict.DEAD


def test_a_move_is_held_against_the_one_photographed_frame_by_frame() -> None:
    push = HERON | {
        "move_from push data": "p",
        f"{NAMES}move_from": "push",
        "path p": "aa: pan deg, track mm; 101 0 0; 109 1 0",
    }
    # On frame 109 the pan is 0.1 deg off: 2879.6 x tan(0.1 deg) = 5.03 px, and 13 mm of track at
    # 13 m are 2879.6 / 1000 = 2.88 px: 7.9 in all, under 12.
    told = of(push, **{"path p": "bb: pan deg, track mm; 101 0 0; 109 1.1 13"})
    assert number(told, "farthest that p is from what was photographed") == pytest.approx(
        7.905, abs=0.01
    )
    assert told.verdict is Verdict.WORK
    longer = of(push, **{"path p": "cc: pan deg, track mm; 101 0 0; 109 1 0; 117 9 0"})
    assert longer.verdict is Verdict.GOOD


def test_another_scale_of_its_build_is_dead() -> None:
    told = of(HERON, **{"build heron scale": "6 1:N"})
    assert (told.verdict, told.short) == (Verdict.DEAD, "another scale of heron")
    # 50.5 / 50 is one per cent.
    town = HERON | {"build heron scale": "50 1:N"}
    assert of(town, **{"build heron scale": "50.5 1:N"}).verdict is Verdict.GOOD


def test_another_rate_is_another_speed_unless_nothing_moves() -> None:
    # 25 / 24 is 4.2 %: above 2, under 5; 120 frames x 0.04167 = 5 made, at 0.5 h.
    told = of(HERON, rate="25 fps")
    assert told.verdict is Verdict.WORK
    assert told.hours is not None
    assert told.hours.likely == pytest.approx(2.5)
    assert of(HERON, rate="48 fps").verdict is Verdict.DEAD
    assert of(HERON | {"action": "still"}, rate="48 fps").verdict is Verdict.GOOD


def test_light_is_graded_but_a_turned_key_is_not() -> None:
    # Half a stop is graded; a whole one is work.
    assert of(HERON, light="7071 lx").verdict is Verdict.GOOD
    assert of(HERON, light="10000 lx").verdict is Verdict.WORK
    key = HERON | {"key_light.from": "350 deg"}
    # From 350 to 5 deg is 15 the short way, and 10 pass; to 355 is 5.
    assert of(key, **{"key_light.from": "5 deg"}).verdict is Verdict.DEAD
    assert of(key, **{"key_light.from": "355 deg"}).verdict is Verdict.GOOD


def test_a_build_to_another_drawing_wants_part_of_its_making_again() -> None:
    build = {"kind": "build", "drawing": "rev A", "scale": "4 1:N"}
    told = of(build, Made(hours=Hours(100, 200, 300)), drawing="rev B")
    # A tenth of 100, a quarter of 200, six tenths of 300.
    assert (told.verdict, told.hours) == (Verdict.WORK, Hours(10, 50, 180))
    assert of(build, scale="6 1:N").verdict is Verdict.DEAD


def show(**changed: dict[str, str]) -> dict[str, Judgement]:
    was = {"comp": COMP, "roto": ROTO, "plate": PLATE, "heron": HERON}
    now = {id_: facts | changed.get(id_, {}) for id_, facts in was.items()}
    return judged_show(was, now, {"comp": Made(hours=Hours(10, 30, 60))})


def test_another_take_of_a_plate_kills_its_outlines_and_asks_for_a_new_join() -> None:
    told = show(plate={"report.take": "2"}, roto={"roto_of plate take": "2"})
    assert told["plate"].verdict is Verdict.GOOD
    assert (told["roto"].verdict, told["roto"].because) == (Verdict.DEAD, ("plate",))
    assert told["roto"].reasons == ("made from take 6 of plate; take 2 is in use",)
    assert (told["comp"].verdict, told["comp"].because) == (Verdict.WORK, ("roto",))
    # Joining again: 0.2 x 10, 0.4 x 30, 1 x 60.
    assert told["comp"].hours == Hours(2, 12, 60)
    assert told["heron"] == Judgement("heron", Verdict.GOOD)


def test_a_longer_cut_asks_each_piece_for_what_it_lacks() -> None:
    told = show(**{each: {"shot cut": "101-225"} for each in ("comp", "roto", "plate", "heron")})
    verdicts = {id_: each.verdict for id_, each in told.items()}
    assert verdicts == {
        "plate": Verdict.GOOD,
        "heron": Verdict.GOOD,
        "roto": Verdict.WORK,
        "comp": Verdict.WORK,
    }
    assert told["roto"].frames_short_tail == 5
    assert list(told).index("comp") == 3


def test_outlines_of_a_dead_picture_are_dead() -> None:
    told = show(plate={"shot cut": "101-400"})
    assert told["plate"].verdict is Verdict.DEAD
    assert told["roto"].verdict is Verdict.DEAD
    assert set(told["comp"].because) == {"plate", "roto"}


def test_the_take_in_use_counts_where_the_file_says_none() -> None:
    facts = {"comp": SHOW | {"kind": "composite", f"{NAMES}joins": "heron"}, "heron": HERON}
    made = {"comp": Made(takes={"heron": "4"})}
    told = judged_show(facts, facts, made, takes={"heron": "7"})
    assert told["comp"].verdict is Verdict.WORK
    assert "take 4 of heron; take 7 is in use" in told["comp"].reasons[0]
    assert judged_show(facts, facts, made, takes={"heron": "4"})["comp"].verdict is Verdict.GOOD


def test_names_that_go_round_in_a_ring_are_judged_all_the_same() -> None:
    ring = {each: ROTO | {f"{NAMES}roto_of": other} for each, other in (("a", "b"), ("b", "a"))}
    assert set(judged_show(ring, ring)) == {"a", "b"}


def test_a_show_puts_its_own_figures_in_place_of_rules_of_thumb() -> None:
    own = Thumb({"stale.frames_made": Hours(12, 12, 12)})
    now = HERON | {"shot cut": "101-240"}
    assert judged("x", HERON, now, Made(), own).verdict is Verdict.WORK


FACTS = st.fixed_dictionaries(
    {
        "kind": st.sampled_from(["plate", "puppet", "roto", "composite", "camera_move", "build"]),
        "shot cut": st.integers(1, 300).map(lambda n: f"{n}-{n + 60}"),
        "show handles": st.integers(0, 40).map(str),
        "shot camera.height": st.integers(1, 9000).map(lambda n: f"{n} mm"),
        "nearest": st.integers(200, 90000).map(lambda n: f"{n} mm"),
        "shot camera.lens": st.sampled_from(["prime_35", "prime_50", "none such"]),
        "light": st.integers(0, 9000).map(lambda n: f"{n} lx"),
        "scale": st.sampled_from(["4 1:N", "24 1:N", ""]),
        "path p": st.sampled_from(["", "aa: pan deg; 101 0; 109 2", "bb: pan deg; 109 7"]),
        "move_from push data": st.sampled_from(["p", "q"]),
    }
).map(lambda facts: SHOW | facts)


@given(FACTS)
def test_unchanged_facts_are_always_good(facts: dict[str, str]) -> None:
    assert judged("x", facts, dict(facts)) == Judgement("x", Verdict.GOOD)


@given(FACTS, st.integers(0, 60))
def test_wider_handles_never_kill(facts: dict[str, str], more: int) -> None:
    wider = facts | {"show handles": str(int(facts["show handles"]) + more)}
    assert judged("x", facts, wider).verdict is Verdict.GOOD


@given(FACTS, FACTS)
def test_any_change_is_judged_and_only_work_has_hours(
    was: dict[str, str], now: dict[str, str]
) -> None:
    told = judged("x", was, now)
    assert (told.hours is not None) <= (told.verdict is Verdict.WORK)
    assert bool(told.short) == (told.verdict is not Verdict.GOOD)


@given(FACTS, st.integers(0, 20))
def test_a_shorter_cut_never_lacks_a_frame(facts: dict[str, str], less: int) -> None:
    first, last = facts["shot cut"].split("-")
    shorter = facts | {"shot cut": f"{int(first) + less}-{int(last) - less}"}
    told = judged("x", facts, shorter)
    assert (told.verdict, told.frames_short_head, told.frames_short_tail) == (Verdict.GOOD, 0, 0)


def test_where_no_handles_are_stated_those_of_the_estimates_were_photographed() -> None:
    # Takes are estimated with 8 frames at each end: 101-220 is photographed on 93-228.
    bare = {name: text for name, text in HERON.items() if name != "show handles"}
    assert of(bare, **{"shot cut": "101-228"}).verdict is Verdict.GOOD
    assert of(bare, **{"shot cut": "101-240"}).frames_short_tail == 12  # 240 - 228
    # A show that states none has none: 240 - 220 = 20.
    none = bare | {"show handles": "0"}
    assert of(none, **{"shot cut": "101-240"}).frames_short_tail == 20


def test_a_shot_shown_faster_wants_more_frames_of_what_was_photographed() -> None:
    # 120 frames at twice the speed take 240 of its own, 101-340; it has 93-228: 340 - 228 = 112.
    told = of(HERON, **{"shot speed": "2"})
    assert told.frames_short_tail == 112
    assert told.verdict is Verdict.DEAD
    # At half the speed 60 do; outlines are drawn on frames shown, however fast.
    assert of(HERON, **{"shot speed": "0.5"}).verdict is Verdict.GOOD
    assert of(ROTO, **{"shot speed": "2"}).frames_short_tail == 0
