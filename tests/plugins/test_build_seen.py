"""Builds: how near they are seen, for how long, and what says how they look."""

from __future__ import annotations

from datetime import date

import pytest

from planner_plugins.build import Build

M = 1000.0  # mm in a metre
LENS = {"format": "full-aperture-35"}


@pytest.fixture
def town(make, quantity):
    """A town at 1/24 seen on 24.892 mm of frame, 2048 px, through 35 mm: 2879.64 px of focal."""

    def build(facts=None, *, users=None, **changes):
        stated = {
            "makes": "miniature",
            "scale": quantity(24, "1:N"),
            "detail": "fine",
            "drawing": "T4 revision b",
        }
        stated.update(facts or {})
        elements = {
            name: ("miniature", {"build": "town", **more})
            for name, more in (users or {"S010.wide": {"nearest": quantity(40 * M, "mm")}}).items()
        }
        elements.update(changes.pop("others", {}))
        camera = {**LENS, "focal_length": quantity(35, "mm")}
        context = make(
            "build", stated, identity="town", elements=elements, shot_camera=camera, **changes
        )
        return Build().estimate(context)

    return build


def codes(found):
    return {each.code for each in found.problems}


def test_nearest_approach_and_frames_are_those_of_all_shots(town, quantity) -> None:
    # The cut of the tiny show is frames 1 to 100, in both shots.
    users = {
        "S010.wide": {"nearest": quantity(40 * M, "mm")},
        "S020.close": {"nearest": quantity(16 * M, "mm")},
    }
    found = town(users=users).quantities
    assert found["nearest approach"].value == 16_000
    assert found["frames seen"].value == 200
    assert found["nearest approach"].reason


def test_fine_work_that_nobody_sees_is_remarked(town, quantity, finding) -> None:
    # 0.2 mm x 24 = 4.8 mm; x 2879.64 px / 60 m = 0.230 px; at 16 m 0.864 px; 0.25 px are seen.
    far = {"S010.wide": {"nearest": quantity(60 * M, "mm")}}
    found = town(users=far)
    mark = found.quantities["finest mark where it is seen largest"]
    assert mark.value == pytest.approx(0.2304, abs=1e-3)
    assert "0.23 px" in finding(found, "fine-work-not-seen").message
    near = {"S010.close": {"nearest": quantity(16 * M, "mm")}}
    assert "fine-work-not-seen" not in codes(town(users=near))


def test_a_quick_build_is_kept_at_a_distance(town, quantity, finding) -> None:
    # 3 mm x 24 = 72 mm; x 2879.64 / 40 m = 5.18 px; 2 px pass at 103.7 m.
    told = finding(town({"made_to_last": "quick", "detail": "plain"}), "quick-build-too-near")
    assert "5.2 px" in told.message
    assert "104 m" in told.remedy
    far = {"S010.wide": {"nearest": quantity(110 * M, "mm")}}
    assert "quick-build-too-near" not in codes(town({"made_to_last": "quick"}, users=far))


def test_a_quick_build_is_not_used_past_its_life(town, quantity, finding) -> None:
    # 4 to 15 January, both counted: 12 days; 10 hold, so 2 days too long.
    users = {"S010.wide": {"due": date(2027, 1, 4)}, "S020.wide": {"due": date(2027, 1, 15)}}
    found = town({"made_to_last": "quick", "life": quantity(10)}, users=users)
    assert found.quantities["days it must last"].value == 12
    told = finding(found, "used-past-its-life")
    assert "used for 12" in told.message
    assert "2 days forward" in told.remedy
    told = finding(town({"life": quantity(11)}, users=users), "used-past-its-life")
    assert "1 day forward" in told.remedy
    assert "used-past-its-life" not in codes(town({"life": quantity(12)}, users=users))


def test_a_late_shot_cannot_use_what_is_struck(town, finding) -> None:
    added = {"added": {"on": date(2027, 2, 10)}}
    told = finding(town({"struck": date(2027, 2, 1)}, shot_facts=added), "reuses-what-is-struck")
    assert "9 days after it is struck" in told.message
    kept = town({"struck": date(2027, 2, 10)}, shot_facts=added)
    assert "reuses-what-is-struck" not in codes(kept)


def test_like_units_are_counted_shot_by_shot(town, quantity, finding) -> None:
    users = {"S010.wide": {"units_seen": quantity(6)}, "S020.wide": {"units_seen": quantity(5)}}
    found = town({"copies": quantity(4)}, users=users)
    assert found.quantities["units seen in S020.wide"].value == 5
    assert "shows 6 of them and S020.wide 5" in finding(found, "units-seen-differ").message
    assert "make 2 more" in finding(found, "more-units-seen-than-made").remedy
    same = {name: {"units_seen": quantity(4)} for name in users}
    enough = town({"copies": quantity(4)}, users=same)
    assert not {"units-seen-differ", "more-units-seen-than-made"} & codes(enough)
    assert "dressing" in {each.name for each in enough.missing}


def test_what_was_altered_after_the_drawing_is_told_at_scale(town, quantity, finding) -> None:
    # 4.2 m for 4.0 m: 200 mm, 200 / 24 = 8.33 mm.
    change = {
        "what": "the ridge",
        "drawn": quantity(4000, "mm"),
        "built": quantity(4200, "mm"),
        "on": date(2027, 1, 20),
    }
    found = town({"as_built": [change], "drawing_on": date(2027, 1, 10)})
    assert found.quantities["the ridge: built over drawn, at scale"].value == pytest.approx(
        8.333, abs=1e-3
    )
    assert "8.3 mm larger at scale" in finding(found, "altered-after-drawing").message
    revised = town({"as_built": [change], "drawing_on": date(2027, 1, 20)})
    assert "altered-after-drawing" not in codes(revised)


def test_sizes_at_scale_are_the_drawing_over_n(town, quantity) -> None:
    found = town({"full_size": {"width": quantity(48 * M, "mm")}})
    assert found.quantities["width at scale"].value == 2000


def test_each_sample_has_its_proportions(town, quantity, finding) -> None:
    samples = [
        {"name": "long", "width": quantity(100, "mm"), "height": quantity(260, "mm")},
        {"name": "round", "width": quantity(100, "mm"), "height": quantity(110, "mm")},
    ]
    found = town({"drawing": "", "samples": samples, "sample": "round", "brief": "an old bell"})
    assert found.quantities["long: height over width"].value == 2.6
    assert not {"build-without-drawing", "sample-not-shown"} & codes(found)
    other = town({"drawing": "", "samples": samples, "sample": "flat"})
    assert "long, round" in finding(other, "sample-not-shown").message


def test_sizes_of_one_family_agree(town, quantity, finding) -> None:
    # 20.6 m beside 20 m: 3 %; 1/24 beside 1/8 is a third of its size.
    large = {
        "makes": "miniature",
        "scale": quantity(8, "1:N"),
        "full_size": {"height": quantity(20 * M, "mm")},
        "paint": "sheet 3",
        "marks": "rust",
    }
    small = {
        "size_of": "large",
        "full_size": {"height": quantity(20.6 * M, "mm")},
        "paint": "sheet 4",
    }
    found = town(small, others={"large": ("build", large)})
    assert found.quantities["height over that of large"].value == pytest.approx(1.03)
    assert found.quantities["size beside large"].value == pytest.approx(1 / 3)
    assert "3.0 % apart" in finding(found, "family-size-differs").message
    assert "sheet 4" in finding(found, "family-paint-differs").message
    assert "marks" in {each.name for each in found.missing}
    same = {**small, "full_size": large["full_size"], "paint": "sheet 3", "marks": "moss"}
    told = codes(town(same, others={"large": ("build", large)}))
    assert not {"family-size-differs", "family-paint-differs"} & told
    assert "family-marks-differs" in told


def test_a_part_of_the_same_thing_has_its_own_measures(town, quantity) -> None:
    large = {"makes": "miniature", "full_size": {"height": quantity(20 * M, "mm")}}
    part = {"size_of": "large", "full_size": {"height": quantity(5 * M, "mm")}}
    assert "family-size-differs" not in codes(town(part, others={"large": ("build", large)}))


def test_models_alone_leave_their_size_to_guess(town, quantity, finding) -> None:
    # Two shots, and nobody and nothing of a known size in either.
    users = {"S010.wide": {}, "S020.close": {}}
    found = town(users=users)
    assert found.quantities["shots that show how large it is"].value == 0
    assert "none of its 2 live shots" in finding(found, "nothing-shows-scale").message
    door = {"known": {"what": "a door", "size": quantity(2000, "mm")}}
    for beside in ({"S020.bank": ("plate", {"sort": "live"})}, {"S020.gate": ("miniature", door)}):
        shown = town(users=users, others=beside)
        assert shown.quantities["shots that show how large it is"].value == 1
        assert "nothing-shows-scale" not in codes(shown)
