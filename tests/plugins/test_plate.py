from __future__ import annotations

from datetime import date

import pytest

from planner.kinds import Phase
from planner.model.facts import DateRange
from planner.model.place import Severity
from planner_plugins.plate import Plate

QUAY = ("standing_set", {"stands": DateRange(date(2027, 2, 1), date(2027, 2, 3))})
SCREEN = {"sort": "screen"}


@pytest.fixture
def estimate(make, quantity):
    """A plate of a shot of 100 frames, seen by a 35 mm lens on the full aperture."""

    def of(facts=None, **surroundings):
        camera = {"format": "full-aperture-35", "focal_length": quantity(35.0, "mm")}
        context = make(
            "plate", {"sort": "live", **(facts or {})}, shot_camera=camera, **surroundings
        )
        return Plate().estimate(context)

    return of


def test_film_is_the_cut_with_handles_and_rolling_for_every_take(estimate) -> None:
    found = estimate().quantities
    assert found["frames"].value == 116  # 100 + 2 x 8
    # 4 s rolled at 24 fps is 96 frames: (116 + 96) / 16 = 13.25 ft, four takes 53 ft.
    assert found["film of a pass"].value == 13.25
    assert found["film exposed"].value == 53


def test_a_plate_on_location_is_set_up_photographed_and_measured(estimate) -> None:
    result = estimate()
    assert [(each.name, each.craft, each.phase) for each in result.work] == [
        ("set up on location", "location", Phase.LOCATION),
        ("photograph the plate", "location", Phase.LOCATION),
        ("measure and fill in the plate report", "location", Phase.LOCATION),
    ]
    # The take kept and the stop it was shot at are known once the camera has run.
    assert result.work[2].after == ("photograph the plate",)
    # Half an hour to rehearse, four passes of 212 / 24 s and three resets of 420 s: 1 295.3 s.
    assert result.work[1].hours.likely == pytest.approx(0.5 + 1295.333 / 3600, abs=1e-6)
    # A quarter to a whole hour to rehearse; of what runs 0.6 to 1.6, as takes come out.
    assert result.work[1].hours.low == pytest.approx(0.25 + 0.6 * 1295.333 / 3600, abs=1e-6)
    assert result.work[1].hours.high == pytest.approx(1 + 1.6 * 1295.333 / 3600, abs=1e-6)
    # 2 h to set up, 0.86 h to shoot, 1.5 h to measure.
    assert result.quantities["location hours"].value == pytest.approx(4.3598, abs=1e-4)
    assert [each.heads for each in result.work] == [5, 5, 2]
    assert {each.rate for each in result.charges} == {"negative", "processing", "print", "scan"}


def test_film_is_waited_for_at_the_laboratory(estimate) -> None:
    show = {"turnaround": {"lab": 10.0, "scan": 4.0}}
    assert estimate(show_facts=show).work[1].wait_hours == 14


def test_a_blue_screen_is_lit_by_the_stage_and_shot_by_the_camera_crew(estimate) -> None:
    stage = {"north": {"sort": "stage", "width": 20000.0, "depth": 30000.0, "height": 8000.0}}
    result = estimate({"sort": "blue_screen", "performers": 2}, resources=stage)
    assert [(each.name, each.craft) for each in result.work] == [
        ("set up the plate", "stage"),
        ("light and line up", "camera"),
        ("photograph the plate", "camera"),
    ]
    assert result.work[0].hours.likely == 5  # the rule for screens
    # 0.5 h to rehearse, 0.36 h of running, a quarter of an hour for each of two performers.
    assert result.work[2].hours.likely == pytest.approx(0.5 + 0.3598 + 0.5, abs=1e-4)
    assert ("stage", ("north",)) in [(each.sort, each.options) for each in result.work[0].needs]


def test_a_move_repeated_on_a_stage_is_proven_before_the_camera_runs(estimate) -> None:
    stage = {"north": {"sort": "stage", "width": 20000.0, "depth": 30000.0, "height": 8000.0}}
    moving = {"sort": "blue_screen", "move_from": "S010.glide"}
    move = {"S010.glide": ("camera_move", {"origin": "recorded"})}
    result = estimate(moving, resources=stage, elements=move)
    set_up, _lit, proven, shot = result.work
    assert (proven.name, proven.craft) == ("prove the program", "programming")
    assert (proven.hours.low, proven.hours.likely, proven.hours.high) == (1, 2, 4)  # its rule
    assert (proven.after, shot.after) == ((set_up.name,), (proven.name,))
    # 5 h of setting up, 2 h of proving, and what the camera takes.
    assert result.quantities["stage hours"].value == pytest.approx(7 + shot.hours.likely)


def test_a_screen_smaller_than_the_field_at_its_distance_is_told(
    estimate, finding, quantity
) -> None:
    screen = {"width": quantity(8000.0, "mm"), "height": quantity(9000.0, "mm"), **SCREEN}
    facts = {
        "sort": "blue_screen",
        "screen": "blue_1",
        "screen_distance": quantity(12000.0, "mm"),
    }
    told = finding(estimate(facts, resources={"blue_1": screen}), "screen-too-small")
    # 24.892 x (12 000 - 35) / 35 = 8 509.5 mm of field: 0.51 m more than the screen.
    assert "8.51 m wide at 12 m" in told.message
    assert "0.51 m short" in told.message
    assert "38 mm or longer" in told.remedy  # 35 x 8 509.5 / 8 000 = 37.2


def test_a_field_wider_than_the_lens_sees_is_told_in_metres(estimate, finding, quantity) -> None:
    field = {"width": quantity(6000.0, "mm"), "distance": quantity(8000.0, "mm")}
    told = finding(estimate({"field": field}), "field-narrow")
    # 24.892 x (8 000 - 35) / 35 = 5 664.7 mm seen: 0.34 m short; 35 x 5 664.7 / 6 000 = 33.04.
    assert "5.66 m at 8 m" in told.message
    assert "0.34 m short" in told.message
    assert "33 mm or shorter" in told.remedy


def test_a_subject_inside_the_focal_length_is_told_not_raised(estimate, finding, quantity) -> None:
    field = {"width": quantity(10.0, "mm"), "distance": quantity(20.0, "mm")}
    told = finding(estimate({"field": field}), "subject-inside-lens")
    assert told.severity is Severity.ERROR


def test_an_incomplete_report_lists_what_is_absent_and_the_last_day(
    estimate, finding, quantity
) -> None:
    report = {
        "taken": True,
        "take": "3",
        "focal_length": quantity(35.0, "mm"),
        "grey_reference": False,
    }
    result = estimate({"report": report, "set": "quay"}, elements={"quay": QUAY})
    told = finding(result, "plate-report-incomplete")
    assert told.severity is Severity.WARNING
    assert "lens serial" in told.message
    assert "grey reference" in told.message
    assert "focal length" not in told.message
    assert result.unwritten[:3] == ("lens serial", "focus", "stop")
    assert "grey reference" in result.unwritten
    assert not {"take kept", "focal length"} & set(result.unwritten)
    assert "12 of 14" in told.message  # all but the take and the focal length
    assert "2027-02-03" in told.message
    assert result.work == ()  # it lies behind


def test_a_plate_not_yet_taken_owes_no_report(estimate) -> None:
    codes = [each.code for each in estimate({"report": {"taken": False}}).problems]
    assert "plate-report-incomplete" not in codes


def test_a_plate_fixed_for_a_day_its_set_does_not_stand_is_an_error(estimate, finding) -> None:
    facts = {"set": "quay", "day": date(2027, 2, 4)}
    told = finding(estimate(facts, elements={"quay": QUAY}), "plate-outside-set-days")
    assert told.severity is Severity.ERROR
    assert "2027-02-04" in told.message
    within = estimate({**facts, "day": date(2027, 2, 3)}, elements={"quay": QUAY})
    assert "plate-outside-set-days" not in [each.code for each in within.problems]


def test_a_clean_plate_of_a_moving_camera_must_repeat_its_program(estimate, finding) -> None:
    elements = {
        "S010.raft": ("plate", {"sort": "live"}),
        "S010.boat": ("camera_move", {"of": "S010.raft", "origin": "recorded"}),
    }
    clean = {"sort": "clean", "clean_of": "S010.raft"}
    told = finding(estimate(clean, elements=elements), "clean-plate-without-program")
    assert "S010.boat" in told.message
    repeated = estimate({**clean, "move_from": "S010.boat"}, elements=elements)
    assert "clean-plate-without-program" not in [each.code for each in repeated.problems]


def test_a_clean_plate_on_stage_shares_the_set_up_of_its_plate(estimate) -> None:
    stage = {"north": {"sort": "stage", "width": 20000.0, "depth": 30000.0, "height": 8000.0}}
    facts = {"sort": "live", "on": "stage"}
    other = estimate(facts, resources=stage, identity="S010.raft").work[0].set_up
    clean = estimate(
        {"sort": "clean", "clean_of": "S010.raft", "on": "stage"},
        resources=stage,
        elements={"S010.raft": ("plate", facts)},
    )
    assert clean.work[0].set_up == other
    assert clean.work[0].hours.likely == 0.5  # only the frame is cleared


def test_a_figure_has_no_plate_of_its_own_to_be_clean(estimate, finding) -> None:
    elements = {
        "S010.walk": ("camera_move", {}),
        "S010.sky": ("plate", {"sort": "live"}),  # a camera at rest, so not behind it
        "S010.rain": ("plate", {"sort": "black_drape", "move_from": "S010.walk"}),
        "S010.roofs": ("miniature", {"move_from": "S010.walk"}),
        "S010.fox": ("puppet", {"move_from": "S010.walk"}),
    }
    told = finding(
        estimate({"sort": "clean", "clean_of": "S010.fox", "on": "stage"}, elements=elements),
        "clean-plate-of-no-plate",
    )
    assert told.severity is Severity.ERROR
    assert "S010.fox is no plate but a puppet" in told.message
    assert "for fox write `clean_plate: roofs`, " in told.remedy


def test_people_nearer_to_flame_than_the_licensed_person_allows_is_an_error(
    estimate, finding, quantity
) -> None:
    facts = {
        "flame_distance": quantity(3200.0, "mm"),
        "flame_allowed": quantity(5000.0, "mm"),
        "flame_signed": "J. Orme, licensed",
        "waits_for": "fire",
    }
    told = finding(
        estimate(facts, elements={"fire": ("permit", {"for": "fire"})}), "people-too-near-flame"
    )
    assert told.severity is Severity.ERROR
    assert "3.2 m" in told.message
    assert "no nearer than 5 m (signed: J. Orme, licensed): 1.8 m short" in told.message


def test_no_distance_is_made_up_where_nobody_licensed_stated_one(
    estimate, finding, quantity
) -> None:
    result = estimate({"flame_distance": quantity(3200.0, "mm")})
    assert finding(result, "flame-distance-not-stated").severity is Severity.WARNING
    assert "flame_allowed" in [each.name for each in result.missing]
    assert "people-too-near-flame" not in [each.code for each in result.problems]


def test_an_unsigned_distance_is_told_even_where_it_is_kept(estimate, finding, quantity) -> None:
    facts = {"flame_distance": quantity(6000.0, "mm"), "flame_allowed": quantity(5000.0, "mm")}
    result = estimate(facts)
    assert finding(result, "flame-distance-unsigned").severity is Severity.WARNING
    assert "people-too-near-flame" not in [each.code for each in result.problems]


def test_flame_waits_for_a_permit(estimate, finding) -> None:
    result = estimate({"hazards": ("flame",), "risk": "fire"})
    assert finding(result, "flame-without-permit").severity is Severity.WARNING


def test_an_action_shorter_than_the_cut_names_the_rate_that_fills_it(
    estimate, finding, quantity
) -> None:
    facts = {"event": quantity(1.5, "s"), "rate": quantity(48.0, "fps")}
    told = finding(estimate(facts), "action-shorter-than-cut")
    # 1.5 s x 48 fps = 72 frames of 100; 100 / 1.5 = 66.7 fps.
    assert "28 frames short" in told.message
    assert "67 fps" in told.remedy


def test_an_action_longer_than_the_cut_runs_more_film(estimate, quantity) -> None:
    found = estimate({"event": quantity(30.0, "s")}).quantities
    # 30 s x 24 = 720 frames of action, 96 rolled: 816 / 16 = 51 ft, four takes 204 ft.
    assert found["frames of the action"].value == 720
    assert found["film of a pass"].value == 51
    assert found["film exposed"].value == 204


def test_a_camera_that_does_not_run_is_an_error_and_not_taken_for_the_usual_rate(
    estimate, finding, quantity
) -> None:
    told = finding(estimate({"rate": quantity(0.0, "fps")}), "not-above-zero")
    assert "rate cannot be" in told.message
