from __future__ import annotations

import pytest

from planner.kinds import Estimate, Hours, Need, Phase, Work
from planner.model.place import Severity
from planner.model.quantity import Quantity
from planner_plugins.shadow import Shadow

HERON = {"shadow_of": "S010.heron", "falls_on": "S010.roofs", "receiver_measured": True}
ELEMENTS = {"S010.heron": ("puppet", {"build": "heron"}), "S010.roofs": ("miniature", {})}


@pytest.fixture
def lamp(quantity):
    """A lamp half a metre across, 6 m up and 5 m away."""
    return {
        "height": quantity(6000.0, "mm"),
        "distance": quantity(5000.0, "mm"),
        "size": quantity(500.0, "mm"),
    }


@pytest.fixture
def estimate(make, quantity):
    def of(facts, **surroundings):
        surroundings.setdefault("elements", ELEMENTS)
        caster = {"caster_height": quantity(1200.0, "mm"), "sort": "drawn"}
        return Shadow().estimate(make("shadow", {**HERON, **caster, **facts}, **surroundings))

    return of


def codes(estimate: Estimate) -> list[str]:
    return [each.code for each in estimate.problems]


def test_a_shadow_on_level_ground_has_length_and_a_soft_edge(estimate, lamp) -> None:
    found = estimate({"lamp": lamp}).quantities
    # 1.2 x 5 / (6 - 1.2) = 1.25 m.
    assert found["length of the shadow on level ground"].value == pytest.approx(1250)
    # The ray from lamp over caster's top goes on for 1.25 / 5 of itself: 500 x .25 = 125 mm.
    assert found["soft edge of the shadow"].value == pytest.approx(125)


def test_where_the_lamp_stands_is_reckoned_from_the_caster(estimate, lamp, make, quantity) -> None:
    # 6 m up at 5 m: atan(6 / 5) = 50.194 deg; -30 deg round is 330 deg.
    found = estimate({"lamp": lamp}).quantities
    assert found["height angle of the lamp"].value == pytest.approx(50.194, abs=0.001)
    assert "bearing of the lamp" not in found
    keyed = {"lamp": lamp, "key_light": {"from": quantity(-30.0, "deg")}}
    assert estimate(keyed).quantities["bearing of the lamp"].value == 330
    own = {**keyed, "lamp": {**lamp, "from": quantity(60.0, "deg")}}
    assert estimate(own).quantities["bearing of the lamp"].value == 60


def test_a_shadow_on_something_upright_grows_with_its_distance(estimate, lamp, quantity) -> None:
    found = estimate({"lamp": lamp, "receiver_distance": quantity(1000.0, "mm")}).quantities
    # (5 + 1) / 5 = 1.2 times; edge 500 x 1 / 5 = 100 mm.
    assert found["enlargement of the shadow"].value == pytest.approx(1.2)
    assert found["soft edge of the shadow"].value == pytest.approx(100)
    # The ray falls 4.8 m in 5 m and 0.96 m in one more: 1.2 - 0.96 = 0.24 m up.
    # The rest of 1.44 m would be below the floor: it lies on the metre before the receiver.
    assert found["shadow seen on the receiver"].value == pytest.approx(240)
    assert found["shadow on the floor before the receiver"].value == pytest.approx(1000)


def test_a_receiver_beyond_the_shadow_shows_none_of_it(estimate, lamp, quantity) -> None:
    found = estimate({"lamp": lamp, "receiver_distance": quantity(1500.0, "mm")}).quantities
    # On level ground it is 1.25 m long, as above, and so ends a quarter metre before the receiver.
    assert found["shadow seen on the receiver"].value == 0
    assert found["shadow on the floor before the receiver"].value == pytest.approx(1250)


def test_without_the_lamp_s_place_nothing_is_known_of_the_shadow(estimate, finding) -> None:
    result = estimate({})
    assert finding(result, "lamp-place-unknown").severity is Severity.WARNING
    assert "lamp" in [each.name for each in result.missing]
    assert "length of the shadow on level ground" not in result.quantities


def test_a_lamp_below_the_caster_s_top_never_lands_its_shadow(
    estimate, finding, lamp, quantity
) -> None:
    low = {**lamp, "height": quantity(1000.0, "mm")}
    told = finding(estimate({"lamp": low}), "shadow-never-lands")
    assert "1 m high and the caster 1.2 m" in told.message


def test_a_receiver_nobody_measured_is_told(estimate, finding, lamp) -> None:
    told = finding(estimate({"lamp": lamp, "receiver_measured": False}), "receiver-not-measured")
    assert "S010.roofs" in told.message
    assert "receiver-not-measured" not in codes(estimate({"lamp": lamp}))


def test_a_lamp_at_the_caster_is_told_not_raised(estimate, finding, lamp, quantity) -> None:
    here = {**lamp, "distance": quantity(0.0, "mm")}
    result = estimate({"lamp": here, "receiver_distance": quantity(1000.0, "mm")})
    assert finding(result, "shadow-impossible").severity is Severity.ERROR


def test_a_reflection_needs_so_much_mirror_toward_the_camera(estimate, quantity) -> None:
    camera = {"height": quantity(1800.0, "mm"), "focus": quantity(10000.0, "mm")}
    found = estimate({"as": "reflection"}, shot_camera=camera).quantities
    # 10 x 1.2 / (1.8 + 1.2) = 4 m from the caster; 6 m out and 1.8 m up is 16.7 deg.
    assert found["mirror needed toward the camera"].value == pytest.approx(4000)
    assert found["angle off the mirror's face"].value == pytest.approx(16.7, abs=0.05)


def test_the_camera_of_a_reflection_shrinks_to_the_caster_s_own_size(estimate, quantity) -> None:
    heron = {"scale": quantity(4.0, "1:N"), "nearest": quantity(12000.0, "mm")}
    camera = {"height": quantity(2400.0, "mm")}
    result = estimate(
        {"as": "reflection"},
        shot_camera=camera,
        elements={"S010.heron": ("puppet", heron), "S010.roofs": ("miniature", {})},
    )
    # 12 m and 2.4 m at 1/4 are 3 m and 0.6 m: 3 x 1.2 / (0.6 + 1.2) = 2 m.
    assert result.quantities["mirror needed toward the camera"].value == pytest.approx(2000)
    assert "focus" not in [each.name for each in result.missing]


def test_drawn_shadows_take_hours_by_the_frame(estimate, lamp) -> None:
    result = estimate({"lamp": lamp})
    (work,) = result.work
    # 250 h a minute of 1 440 frames is 0.174 h a frame (published): 4 + 100 x 0.174.
    assert work.hours.likely == pytest.approx(21.4)
    assert work.craft == "roto"
    # 21.4 h for 100 frames, 24 of them a second.
    assert result.quantities["hours a second of screen time"].value == pytest.approx(5.136)


def test_computed_shadows_are_the_computer_s_work(estimate, lamp) -> None:
    (work,) = estimate({"lamp": lamp, "sort": "computer"}).work
    assert work.craft == "computer"
    assert work.hours.likely == pytest.approx(13)  # 8 + 100 x 0.05


def test_a_photographed_shadow_is_stage_work_with_film_at_the_rate_of_its_caster(
    estimate, lamp, quantity
) -> None:
    heron = Estimate("S010.heron", quantities={"rate": quantity(48.0, "fps")})
    result = estimate({"lamp": lamp, "sort": "photographed"}, upstream={"S010.heron": heron})
    assert [each.craft for each in result.work] == ["stage", "camera", "camera"]
    assert result.quantities["rate"].value == 48
    # 116 frames and 4 s x 48 fps rolled: 308 / 16 = 19.25 ft, three takes 57.75 ft.
    assert result.quantities["film exposed"].value == pytest.approx(57.75)


def test_no_lamp_casts_a_shadow_between_two_scales(estimate, finding, lamp, quantity) -> None:
    elements = {
        "S010.heron": ("puppet", {"scale": quantity(4.0, "1:N")}),
        "S010.roofs": ("miniature", {"scale": quantity(24.0, "1:N")}),
    }
    facts = {"lamp": lamp, "sort": "photographed"}
    told = finding(estimate(facts, elements=elements), "shadow-between-scales")
    assert told.severity is Severity.ERROR
    assert "1:4" in told.message
    assert "1:24" in told.message
    drawn = estimate({"lamp": lamp}, elements=elements)
    assert "shadow-between-scales" not in codes(drawn)


HOURS, REASON = Hours(1, 1, 1), Quantity("hours", 1, "h", reason="stated")
PHOTOGRAPHED = {"sort": "photographed"}


def work(name: str, craft: str, *needs: Need, heads: int = 1, beside: str = "") -> Work:
    phase = Phase.STAGE if needs or beside else Phase.LOCATION
    return Work(name, craft, phase, HOURS, REASON, heads=heads, needs=needs, beside=beside)


def held(result: Estimate) -> list[tuple[str, tuple[str, ...]]]:
    """What the shadow holds beside its stage, camera and lens."""
    needs = result.work[0].needs
    return [(each.sort, each.options) for each in needs if each.sort in {"build", "person", "rig"}]


def performed() -> Estimate:
    """A heron of one build and one lead, on a rig that carries it, worked by four."""
    needs = (
        Need("stage", ("north",)),
        Need("rig", ("carrier",)),
        Need("rig", ("track",)),
        Need("build", ("heron",)),
        Need("person", ("lead",)),
    )
    works = (
        work("set up", "stage", *needs),
        work("light and line up", "camera", beside="set up"),
        work("rig the figure in", "puppeteering", beside="set up"),
        work("photograph", "camera", *needs),
        work("work the figure", "puppeteering", heads=4, beside="photograph"),
    )
    return Estimate("S010.heron", work=works)


def test_what_casts_a_shadow_is_on_the_stage_with_it(estimate, lamp) -> None:
    resources = {"carrier": {"sort": "rig", "carries": "subject"}, "track": {"sort": "rig"}}
    result = estimate(
        {"lamp": lamp, **PHOTOGRAPHED},
        upstream={"S010.heron": performed()},
        resources=resources,
    )
    # The track was the caster's camera's; the shadow brings its own, or stands still.
    expected = [("rig", ("carrier",)), ("build", ("heron",)), ("person", ("lead",))]
    assert held(result) == expected


def test_a_shadow_may_want_more_takes_or_fewer_than_are_allowed_for(estimate, lamp) -> None:
    result = estimate({"lamp": lamp, **PHOTOGRAPHED}, upstream={"S010.heron": performed()})
    (shot,) = [each for each in result.work if each.name == "photograph the shadow"]
    running = result.quantities["running time"].value
    assert running > 0
    # Wedges take a quarter of an hour, a half or a whole; what runs 0.6, 1 or 1.6 of itself.
    assert (shot.hours.low, shot.hours.likely, shot.hours.high) == pytest.approx(
        (0.25 + 0.6 * running, 0.5 + running, 1 + 1.6 * running)
    )


def test_the_hands_of_what_casts_it_are_called_with_it(estimate, lamp) -> None:
    result = estimate({"lamp": lamp, **PHOTOGRAPHED}, upstream={"S010.heron": performed()})
    beside = [
        (each.name, each.craft, each.heads, each.beside) for each in result.work if each.beside
    ]
    # Who photographs the caster stays with it: the shadow has its own two, and its own to line up.
    assert beside == [
        ("light and line up", "camera", 1, "set up the shadow"),
        ("rig the figure in", "puppeteering", 1, "set up the shadow"),
        ("work the figure", "puppeteering", 4, "photograph the shadow"),
    ]


def test_a_performer_is_dressed_and_placed_again_for_a_shadow(estimate, lamp) -> None:
    placed = (
        work("fit the suit", "puppet_making"),
        work("dress and place it", "puppeteering"),
        work("measure and fill in the plate report", "location"),
    )
    result = estimate(
        {"lamp": lamp, **PHOTOGRAPHED}, upstream={"S010.heron": Estimate("S010.heron", work=placed)}
    )
    hands = [(each.name, each.beside) for each in result.work if each.craft == "puppeteering"]
    assert hands == [("dress and place it", "set up the shadow")]


def test_a_shadow_holds_its_receiver_where_both_are_of_one_size(estimate, lamp, quantity) -> None:
    def of(n: float) -> Estimate:
        builds = {"heron": {"scale": quantity(4.0, "1:N")}, "roofs": {"scale": quantity(n, "1:N")}}
        facts = {"lamp": lamp, **PHOTOGRAPHED, "shadow_of": "S010.heron", "falls_on": "roofs"}
        return estimate(facts, builds=builds)

    assert held(of(4.0)) == [("build", ("heron",)), ("build", ("roofs",))]
    # At another size it falls on a copy that nobody has named.
    assert held(of(24.0)) == [("build", ("heron",))]


@pytest.fixture
def on_roofs(estimate, lamp):
    """A shadow on roofs that took three hands 5 h to set up on the south stage or the tank."""

    def of(stage: str = "", *, is_photographed: bool = True, **facts) -> Estimate:
        hours, needs = Quantity("hours", 5.0, "h"), (Need("stage", ("south", "tank")),)
        of = ("stage", Phase.STAGE, Hours(2, 5, 8), hours)
        staged = (
            Work("set up", *of, heads=3, needs=needs),
            Work("photograph", *of, needs=needs),
        )
        found = Estimate("S010.roofs", work=staged)
        place = {"stage": stage} if stage else {}
        return estimate(
            {"lamp": lamp, **PHOTOGRAPHED, **place, **facts},
            upstream={"S010.roofs": found} if is_photographed else {},
            resources={each: {"sort": "stage"} for each in ("north", "south", "tank")},
        )

    return of


def test_a_set_photographed_on_another_stage_is_stood_up_again_for_what_falls_on_it(
    on_roofs, finding
) -> None:
    result = on_roofs("north")
    first, eye, second, line_up, *_camera = result.work
    assert (first.name, first.craft, first.heads) == ("stand up S010.roofs again", "stage", 3)
    assert (first.hours.low, first.hours.likely, first.hours.high) == (2, 5, 8)
    assert [each.value for each in first.reason.inputs] == [5.0]
    assert second.after == ("stand up S010.roofs again",)
    # It is lit through the camera as it was, and then once more with the shadow on it.
    assert (eye.craft, eye.beside) == ("camera", first.name)
    assert (line_up.name, line_up.beside) == ("line up the shadow", "set up the shadow")
    told = finding(result, "receiver-stood-up-again")
    assert told.severity is Severity.NOTE
    assert "stood up again here in 5 h" in told.message


@pytest.mark.parametrize("stage", ["south", ""])
def test_a_set_on_a_stage_that_both_may_have_must_still_stand(on_roofs, finding, stage) -> None:
    result = on_roofs(stage)
    assert [each.name for each in result.work if each.needs] == [
        "set up the shadow",
        "photograph the shadow",
    ]
    told = finding(result, "receiver-must-stand")
    assert "no hours are put down to stand it up again" in told.message
    assert told.severity is Severity.NOTE


@pytest.mark.parametrize("how", [{"sort": "drawn"}, {"is_photographed": False}])
def test_nothing_is_stood_up_for_a_drawn_shadow_or_where_no_camera_saw_the_set(
    on_roofs, how
) -> None:
    result = on_roofs("north", **how)
    assert not [each for each in result.work if "again" in each.name]
    assert not {"receiver-must-stand", "receiver-stood-up-again"} & set(codes(result))


def test_a_shadow_that_repeats_a_move_has_its_program_proven(estimate, lamp) -> None:
    elements = {**ELEMENTS, "S010.glide": ("camera_move", {"origin": "recorded"})}
    moving = {"lamp": lamp, **PHOTOGRAPHED, "move_from": "S010.glide"}
    result = estimate(moving, elements=elements)
    (proven,) = [each for each in result.work if each.craft == "programming"]
    # The rule of every pass that runs on a program that is there already.
    assert (proven.hours.low, proven.hours.likely, proven.hours.high) == (1, 2, 4)
    assert "load and prove a camera program" in proven.reason.inputs[0].name
    assert proven.after == ("set up the shadow",)
    assert result.work[-1].after == ("prove the program",)


@pytest.mark.parametrize(("carries", "programs"), [("subject", 1), ("camera", 0)])
def test_a_rig_that_carries_the_caster_is_proven_for_its_shadow(
    estimate, lamp, carries: str, programs: int
) -> None:
    known = performed()
    programmed = work("program the move", "programming", *known.work[0].needs)
    caster = Estimate("S010.heron", work=(known.work[0], programmed, *known.work[1:]))
    resources = {"carrier": {"sort": "rig", "carries": carries}, "track": {"sort": "rig"}}

    def of(caster: Estimate) -> int:
        found = estimate(
            {"lamp": lamp, **PHOTOGRAPHED}, upstream={"S010.heron": caster}, resources=resources
        )
        return len([each for each in found.work if each.craft == "programming"])

    assert of(caster) == programs
    # Without a program of its own the carrier is worked by hand.
    assert of(known) == 0


def test_a_drawn_shadow_keeps_nobody(estimate, lamp) -> None:
    result = estimate({"lamp": lamp}, upstream={"S010.heron": performed()})
    assert [(each.craft, each.needs, each.beside) for each in result.work] == [("roto", (), "")]


@pytest.fixture
def fox(estimate, lamp, quantity):
    """A shadow of a fox at 1:4, set at f/2.8, in a picture taken at f/8 on 24 fps and EI 200."""

    def of(facts=None, *, stop=8.0, casts=2.8):
        camera = {
            "lens": "prime",
            "stop": quantity(stop, "f"),
            "exposure_index": quantity(200.0),
            "format": "full-aperture-35",
        }
        lens = {"focal_length": quantity(35.0, "mm"), "smallest_stop": quantity(22.0, "f")}
        known = {"rate": quantity(24.0, "fps")}
        known |= {"stop": quantity(casts, "f")} if casts else {}
        return estimate(
            {
                "lamp": lamp,
                **PHOTOGRAPHED,
                "light": quantity(250 * 10.7639, "lx"),
                **(facts or {}),
            },
            shot_camera=camera,
            resources={"prime": {"sort": "lens", **lens}},
            elements={"S010.heron": ("puppet", {"scale": quantity(4.0, "1:N")})},
            upstream={"S010.heron": Estimate("S010.heron", quantities=known)},
        )

    return of


def test_a_shadow_no_lens_matches_is_set_as_what_casts_it(fox) -> None:
    found = fox()
    # As soft as the picture is f/8 x 4 = f/32, and the lens ends at f/22.
    assert found.quantities["matching stop"].value == 32
    assert found.quantities["stop"].value == pytest.approx(2.8)
    # 25 x (2.8 x 1.1) squared / (250 fc x 200) = 4.74 ms, and 180 deg at 24 fps gives 20.8 ms.
    assert found.quantities["exposure of a frame"].value == pytest.approx(0.004743, rel=1e-3)
    assert not {"matching-stop-past-lens", "light-short"} & set(codes(found))


def test_a_shadow_within_the_lens_is_as_soft_as_the_picture(fox) -> None:
    assert fox(stop=4.0).quantities["stop"].value == 16  # f/4 x 4, whatever the fox is set at


def test_a_shadow_may_state_its_own_stop_or_depth(fox, quantity) -> None:
    assert fox({"stop": quantity(5.6, "f")}).quantities["stop"].value == pytest.approx(5.6)
    depth = {"from": quantity(14000.0, "mm"), "to": quantity(18000.0, "mm")}
    held = fox({"holds": depth}).quantities
    # 3.5 m to 4.5 m at 1:4, focused where both ends blur alike: 2 x 3.5 x 4.5 / 8 = 3.94 m.
    # f squared (4.5 - 3.5) / (c x (2 x 3.5 x 4.5 - f x 8)) = 1.225 / (0.025 x 31.2) = 1.57.
    assert held["holding stop"].value == pytest.approx(1.57, rel=0.01)
    assert "stop of what casts it" not in held


def test_a_shadow_is_never_told_to_be_built_larger(fox, finding) -> None:
    found = fox(casts=0)
    # Nothing is set for what casts it: f/32 is past f/22, which is six stops down from f/2.8.
    for code in ("matching-stop-past-lens", "light-short"):
        remedy = finding(found, code).remedy
        assert "`stop`" in remedy
        assert "larger" not in remedy
        assert "shorter lens" not in remedy
