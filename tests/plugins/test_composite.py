from __future__ import annotations

from dataclasses import replace

import pytest

from planner.kinds import Estimate
from planner.model.facts import FrameRange
from planner.model.place import Severity
from planner_plugins.composite import Composite

TOWN = ("miniature", {})
HERON = ("puppet", {})
BARGE = ("plate", {"sort": "black_drape"})
SHOT = {"S010.town": TOWN, "S010.barge": BARGE, "S010.heron": HERON}
JOINS = ("S010.town", "S010.barge", "S010.heron")


@pytest.fixture
def estimate(make):
    """A composite of town, barge and heron, back to front, finished digitally."""

    def of(facts=None, elements=None, **surroundings):
        surroundings.setdefault("shot_facts", {"finish": "digital"})
        stated = {"joins": JOINS, "difficulty": "ordinary", "approved_by": "the director"}
        context = make(
            "composite",
            {**stated, **(facts or {})},
            elements=SHOT if elements is None else elements,
            identity="S010.comp",
            **surroundings,
        )
        return Composite().estimate(context)

    return of


def codes(estimate: Estimate) -> list[str]:
    return [each.code for each in estimate.problems]


def test_a_digital_composite_takes_hours_by_layer_frame_and_version(estimate) -> None:
    result = estimate({"versions": 3})
    assert [(each.name, each.craft) for each in result.work] == [
        ("join the pieces", "compositing"),
        ("answer the notes", "compositing"),
        ("record on film", "computer"),
        ("see the versions", "supervision"),
    ]
    # 2 h to begin + 3 layers x 4 h + 100 frames x 0.01 h = 15 h; two more versions of 4 h.
    assert result.work[0].hours.likely == pytest.approx(15)
    assert result.work[1].hours.likely == pytest.approx(8)


def test_difficulty_and_blue_spill_take_longer(estimate) -> None:
    hard = estimate({"difficulty": "hard", "blue_spill": True}).work[0]
    assert hard.hours.likely == pytest.approx(37)  # 2 + 3 x 10 + 1 + 4


def test_only_the_cut_is_recorded_on_film_and_waited_for(estimate) -> None:
    result = estimate(show_facts={"turnaround": {"record": 6.0, "lab": 10.0}})
    (charge,) = [each for each in result.charges if each.rate == "record"]
    assert charge.quantity.value == 100
    record = next(each for each in result.work if each.name == "record on film")
    assert record.hours.likely == pytest.approx(200 / 3600)  # 2 s a frame (published, weakly)
    assert record.wait_hours == 16


def test_scans_of_the_pieces_are_summed_and_not_charged_again(estimate, quantity) -> None:
    upstream = {
        "S010.town": Estimate("S010.town", quantities={"frames scanned": quantity(232.0)}),
        "S010.heron": Estimate("S010.heron", quantities={"frames scanned": quantity(116.0)}),
    }
    result = estimate(upstream=upstream)
    assert result.quantities["frames scanned for it"].value == 348
    assert "scan" not in {each.rate for each in result.charges}


def test_an_optical_composite_counts_strips_and_exposures(estimate) -> None:
    result = estimate({"versions": 2}, shot_facts={"finish": "photochemical"})
    found = result.quantities
    # Two layers before the town: 6 strips each with their originals (published), 5 without.
    assert found["strips"].value == 10
    assert found["exposures"].value == 3
    assert found["exposures from separations"].value == 9
    assert found["generations"].value == 2
    assert found["printer runs"].value == 6
    # 100 / 16 = 6.25 ft: ten strips and two versions, 75 ft; prints of the versions 12.5 ft.
    feet = {each.rate: each.quantity.value for each in result.charges}
    assert feet == {"negative": 75, "processing": 75, "print": 12.5}
    # 2 + 10 x 1 h of strips; 3 exposures x 3 h and 6 runs x 1 h.
    assert [each.hours.likely for each in result.work] == [12, 15, 1]
    assert [each.craft for each in result.work] == ["line_up", "line_up", "supervision"]


def test_a_layer_that_adds_its_light_needs_no_matte(estimate) -> None:
    elements = {
        **SHOT,
        "S010.fire": ("plate", {"sort": "black_drape", "held_out_by": "S010.heron"}),
    }
    result = estimate(
        {"joins": (*JOINS, "S010.fire"), "joined_by": {"fire": "adds_light"}},
        elements,
        shot_facts={"finish": "photochemical"},
    )
    assert result.quantities["strips"].value == 10  # barge and heron only
    assert result.quantities["exposures"].value == 4


SHADOW = ("shadow", {"sort": "computer", "shadow_of": "S010.heron"})


def test_a_mixed_finish_records_the_pieces_of_the_computer(estimate) -> None:
    result = estimate(
        {"joins": (*JOINS, "S010.shadow")},
        {**SHOT, "S010.shadow": SHADOW},
        shot_facts={"finish": "mixed"},
    )
    assert result.quantities["frames recorded"].value == 100
    assert [each.name for each in result.work][:2] == ["record on film", "print the strips"]
    assert result.quantities["generations"].value == 3
    assert "no-record-out" not in codes(result)


def test_a_computer_s_piece_in_an_optical_finish_is_told(estimate, finding) -> None:
    result = estimate(
        {"joins": (*JOINS, "S010.shadow")},
        {**SHOT, "S010.shadow": SHADOW},
        shot_facts={"finish": "photochemical"},
    )
    assert "S010.shadow" in finding(result, "no-record-out").message
    assert "record" not in {each.rate for each in result.charges}


def test_a_mixed_finish_with_nothing_to_record_is_remarked(estimate, finding) -> None:
    told = finding(estimate(shot_facts={"finish": "mixed"}), "nothing-to-record")
    assert told.severity is Severity.NOTE


def test_generations_of_joined_composites_are_counted(estimate, finding, quantity) -> None:
    elements = {**SHOT, "S010.pre": ("composite", {"joins": ("S010.town", "S010.barge")})}
    result = estimate(
        {"joins": ("S010.pre", "S010.heron")},
        elements,
        shot_facts={"finish": "photochemical"},
        upstream={"S010.pre": Estimate("S010.pre", quantities={"generations": quantity(2.0)})},
    )
    assert result.quantities["generations"].value == 4
    told = finding(result, "too-many-generations")
    assert "4 generations" in told.message
    assert "3 are allowed" in told.message


def test_an_inner_composite_is_not_recorded_and_owes_no_left_over_pieces(make) -> None:
    elements = {**SHOT, "S010.comp": ("composite", {"joins": ("S010.pre", "S010.heron")})}
    facts = {"joins": ("S010.town", "S010.barge"), "difficulty": "plain", "finish": "digital"}
    result = Composite().estimate(make("composite", facts, elements=elements, identity="S010.pre"))
    assert "record" not in {each.rate for each in result.charges}
    assert "piece-not-joined" not in codes(result)


def test_an_unnamed_approver_is_remarked(estimate, finding) -> None:
    assert finding(estimate({"approved_by": ""}), "no-approver").severity is Severity.NOTE
    assert codes(estimate()) == []


def test_a_piece_of_the_shot_that_nothing_joins_is_told(estimate, finding) -> None:
    elements = {
        **SHOT,
        "S010.mist": ("plate", {"sort": "black_drape"}),
        "S010.suit": ("puppet", {"purpose": "coverage only"}),
        "S010.other": ("painting", {"alternative_to": "S010.town"}),
    }
    told = finding(estimate(elements=elements), "piece-not-joined")
    assert "S010.mist" in told.message
    assert "S010.suit" not in told.message
    assert "S010.other" not in told.message


def test_a_piece_that_serves_a_joined_one_is_not_left_over(estimate) -> None:
    elements = {
        **SHOT,
        "S010.heron": ("puppet", {"move_from": "S010.move", "clean_plate": "S010.clean"}),
        "S010.move": ("camera_move", {}),
        "S010.clean": ("plate", {"sort": "clean"}),
    }
    assert "piece-not-joined" not in codes(estimate(elements=elements))


def test_a_composite_of_nothing_is_an_error(estimate, finding) -> None:
    assert finding(estimate({"joins": ()}), "joins-nothing").severity is Severity.ERROR


def test_a_piece_of_an_omitted_shot_cannot_be_joined(make, finding) -> None:
    elements = {**SHOT, "S020.rain": ("plate", {})}
    context = make(
        "composite", {"joins": (*JOINS, "S020.rain")}, elements=elements, identity="S010.comp"
    )
    shots = {**context.show.shots}
    shots["S020"] = replace(shots["S020"], state="omitted")
    result = Composite().estimate(replace(context, show=replace(context.show, shots=shots)))
    told = finding(result, "joins-piece-not-wanted")
    assert told.severity is Severity.ERROR
    assert "S020.rain" in told.message
    assert "S020 is omitted" in told.message


def test_two_pieces_each_in_front_of_the_other_are_an_error(estimate, finding) -> None:
    elements = {
        **SHOT,
        "S010.barge": ("plate", {"in_front_of": "S010.heron", "in_frame": FrameRange(1, 60)}),
        "S010.heron": ("puppet", {"in_front_of": "S010.barge", "in_frame": FrameRange(41, 100)}),
    }
    told = finding(estimate(elements=elements), "each-in-front-of-the-other")
    assert told.severity is Severity.ERROR
    assert "on frames 41-60" in told.message


def test_pieces_never_seen_together_may_each_be_in_front(estimate) -> None:
    elements = {
        **SHOT,
        "S010.barge": ("plate", {"in_front_of": "S010.heron", "in_frame": FrameRange(1, 40)}),
        "S010.heron": ("puppet", {"in_front_of": "S010.barge", "in_frame": FrameRange(41, 100)}),
    }
    assert "each-in-front-of-the-other" not in codes(estimate(elements=elements))


def test_three_pieces_in_front_in_a_ring_are_an_error(estimate, finding) -> None:
    elements = {
        "S010.town": ("miniature", {"in_front_of": "S010.heron"}),
        "S010.barge": ("plate", {"in_front_of": "S010.town"}),
        "S010.heron": ("puppet", {"in_front_of": "S010.barge"}),
    }
    told = finding(estimate(elements=elements), "order-goes-round")
    assert told.message.count(" > ") == 3


def test_a_piece_listed_behind_what_it_is_in_front_of_is_told(estimate, finding) -> None:
    elements = {**SHOT, "S010.town": ("miniature", {"in_front_of": "S010.heron"})}
    told = finding(estimate(elements=elements), "joined-against-order")
    assert "S010.town is in front of S010.heron" in told.message


def fire(**facts):
    return {
        "S010.town": TOWN,
        "S010.fire": ("plate", {"sort": "black_drape", **facts}),
        "S010.heron": HERON,
        "S010.line": ("roto", {"sort": "hold_out", "roto_of": "S010.heron"}),
    }


FIRE = {"joins": ("S010.town", "S010.fire", "S010.heron"), "joined_by": {"fire": "adds_light"}}
BEFORE = {"S010.heron": ("puppet", {"in_front_of": "S010.fire"})}


def test_fire_shows_through_a_figure_that_nothing_holds_out(estimate, finding) -> None:
    told = finding(estimate(FIRE, {**fire(), **BEFORE}), "fire-shows-through")
    assert told.severity is Severity.ERROR
    assert "S010.heron is in front of it on frames 1-100" in told.message
    assert "held_out_by of S010.fire" in told.remedy


@pytest.mark.parametrize("held_out_by", ["S010.heron", "S010.line"])
def test_fire_held_out_by_the_figure_or_its_outline_is_right(estimate, held_out_by) -> None:
    elements = {**fire(held_out_by=held_out_by), **BEFORE}
    assert "fire-shows-through" not in codes(estimate(FIRE, elements))


def test_on_printers_fire_shows_through_a_figure_only_listed_after_it(estimate, finding) -> None:
    printed = estimate(FIRE, fire(), shot_facts={"finish": "photochemical"})
    assert "S010.heron" in finding(printed, "fire-shows-through").message
    assert "fire-shows-through" not in codes(estimate(FIRE, fire()))  # digital: heron covers it


def test_fire_does_not_show_through_what_is_never_seen_with_it(estimate) -> None:
    elements = fire(in_frame=FrameRange(1, 40))
    seen_later = {"in_front_of": "S010.fire", "in_frame": FrameRange(41, 100)}
    elements["S010.heron"] = ("puppet", seen_later)
    assert "fire-shows-through" not in codes(estimate(FIRE, elements))


def test_what_is_of_known_size_is_so_large_on_screen(estimate, quantity) -> None:
    # 2 m at 20 m through 35 mm on 24.892 mm and 2048 px: 288.0 px, less 0.2 % for the lens.
    door = {
        "known": {"what": "door", "size": quantity(2000, "mm"), "distance": quantity(20_000, "mm")}
    }
    camera = {"format": "full-aperture-35", "focal_length": quantity(35, "mm")}
    found = estimate(elements={**SHOT, "S010.town": ("miniature", door)}, shot_camera=camera)
    assert found.quantities["door on screen"].value == pytest.approx(288, rel=0.003)


def test_hours_go_by_what_is_hard(estimate, finding) -> None:
    # 15 h of one version, as above; hair 8 h and a shake 4 h more.
    result = estimate({"features": ("hair", "shake")})
    assert result.work[0].hours.likely == pytest.approx(27)
    assert (
        finding(estimate({"difficulty": "hard"}), "estimated-by-object-only").severity
        is Severity.NOTE
    )
    assert "estimated-by-object-only" not in codes(
        estimate({"difficulty": "hard", "features": ("hair",)})
    )


def test_an_edge_that_did_not_pass_stays_open(estimate, finding) -> None:
    checks = [
        {"what": "town against sky", "frames": FrameRange(1, 40), "passed": True},
        {"what": "heron's crest", "frames": FrameRange(30, 52), "found": "a dark line below"},
    ]
    found = estimate({"edge_checks": checks})
    assert found.quantities["edges checked"].value == 2
    assert found.quantities["edges open"].value == 1
    told = finding(found, "edge-check-open")
    assert "heron's crest on frames 30-52: a dark line below" in told.message
