"""Fitting rules of thumb to finished shots: laws, and refusals."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.craft import rod_removal
from planner.estimate.calibration import (
    REMOVAL_RULES,
    Fit,
    as_stated,
    calibrate,
    finished_shot,
)
from planner.kinds import Rule
from planner.model.facts import Facts
from planner.model.place import Place
from planner.model.quantity import Quantity, Standing

PLACE = Place("history.yaml", 1, 1)
RULES = {
    rule.name: rule
    for rule in (
        *(Rule(name, name, 1, 2, 4, "min") for name in REMOVAL_RULES),
        Rule("miniature.set_up", "hours to set up", 3, 5, 8),
        Rule("miniature.program", "hours to program", 2, 4, 6),
        Rule("miniature.reset_still", "seconds between takes", 120, 300, 600, "s"),
        Rule("miniature.mark_px", "pixels of a mark", 1, 2, 3, "px"),
    )
}
# frames, rods, clear px, over px, share crossing, performance, background, edge, clean plate
SHOTS = (
    (96, 3, 280, 60, 0.3, "ordinary", "locked_plate", "smooth", "locked"),
    (48, 2, 200, 50, 0.2, "ordinary", "locked_plate", "smooth", "locked"),
    (144, 4, 340, 90, 0.1, "ordinary", "moving_plate", "smooth", "moving"),
    (72, 1, 420, 120, 0.8, "hard", "patch", "textured", "none"),
    (60, 2, 90, 30, 1.0, "hard", "locked_plate", "smooth", "locked"),
    (120, 3, 160, 0, 0.0, "ordinary", "texture", "smooth", "none"),
    (200, 1, 500, 40, 0.05, "easy", "alive", "smooth", "none"),
    (30, 5, 240, 70, 0.5, "ordinary", "locked_plate", "hair", "locked"),
    (24, 1, 300, 80, 0.25, "hard", "locked_plate", "textured", "locked"),
)
# One deviation a shot, in hours; adding up to none, so that a fit cannot swallow them whole.
NOISE = (1, -1, 0.5, -0.5, 1, -1, 0.5, -1, 0.5)
SET_UPS = ((1, 0, 0), (1, 1, 2), (1, 0, 4), (1, 1, 0), (1, 1, 6), (1, 0, 1), (1, 1, 3))
NAMES = ("set_up", "program", "reset_still")
SOUND = st.floats(0.1, 20)


def facts(**values: object) -> Facts:
    made = {
        name: Quantity(name, float(value), standing=Standing.GIVEN)
        if isinstance(value, (int, float))
        else value
        for name, value in values.items()
    }
    return Facts(PLACE, MappingProxyType(made))


def removal(shot: tuple, hours: float = 1.0, name: str = "OB010") -> Facts:
    frames, rods, clear, over, crossing, performance, background, edge, clean_plate = shot
    return facts(
        shot=name,
        frames=frames,
        rods=rods,
        clear=clear,
        over=over,
        crossing=crossing,
        performance=performance,
        background=background,
        edge=edge,
        clean_plate=clean_plate,
        hours=hours,
    )


def removals(rates: rod_removal.RemovalRates, noise: float = 0.0, shots=SHOTS) -> Facts:
    """Finished shots as they would have come out at known coefficients, in hours."""
    records = []
    for shot, off in zip(shots, NOISE, strict=False):
        made = finished_shot(removal(shot))
        minutes = rod_removal.removal_minutes(made.rods, made.surroundings, rates).likely
        records.append(removal(shot, minutes / 60 + noise * off))
    return facts(rod_removals=tuple(records))


def set_ups(hours: tuple[float, ...], rows=SET_UPS, names=NAMES, running: float = 0.5) -> Facts:
    records = []
    for row, spent in zip(rows, hours, strict=True):
        parts = facts(**{name: n for name, n in zip(names, row, strict=True) if n})
        records.append(
            facts(shot="OB010.town", kind="miniature", parts=parts, running=running, hours=spent)
        )
    return facts(set_ups=tuple(records))


def only(history: Facts) -> Fit:
    (fit,) = calibrate(history, RULES).fits
    return fit


def values(fit: Fit) -> list[float]:
    return [each.new.likely for each in fit.fitted if each.new]


RATES = rod_removal.RemovalRates(45.0, 3.0, 0.4, 2.5, 1.5)


@settings(max_examples=40, deadline=None)
@given(st.tuples(SOUND, SOUND, SOUND, SOUND, SOUND))
def test_coefficients_that_made_the_hours_are_found_again(made: tuple[float, ...]) -> None:
    fit = only(removals(rod_removal.RemovalRates(*made)))
    assert values(fit) == pytest.approx(list(made), rel=1e-5, abs=1e-5)
    assert fit.residual == pytest.approx(0, abs=1e-5)
    assert fit.shots == len(SHOTS)


@settings(max_examples=40, deadline=None)
@given(SOUND, SOUND, st.floats(10, 3000))
def test_hours_and_seconds_that_made_a_set_up_are_found_again(a: float, b: float, c: float) -> None:
    spent = tuple(0.5 + a * x + b * y + c / 3600 * z for x, y, z in SET_UPS)
    fit = only(set_ups(spent))
    found = {each.rule.name: each.new.likely for each in fit.fitted}
    assert found["miniature.set_up"] == pytest.approx(a, rel=1e-6)
    assert found["miniature.program"] == pytest.approx(b, rel=1e-6)
    assert found["miniature.reset_still"] == pytest.approx(c, rel=1e-4, abs=1e-3)


@settings(max_examples=40, deadline=None)
@given(st.floats(0.01, 0.5), st.floats(1.1, 2))
def test_more_scatter_gives_a_wider_range(noise: float, more: float) -> None:
    """Least squares is linear in what it fits, so the residual grows as the scatter does."""
    still, calm, wild = (only(removals(RATES, each)) for each in (0.0, noise, noise * more))
    assert wild.residual > calm.residual > still.residual
    if all(value > 0 for value in values(wild)):
        assert wild.residual == pytest.approx(calm.residual * more, rel=1e-4)
    ends = wild.fitted[0].new
    assert ends.high - ends.likely == pytest.approx(wild.residual * 60)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.floats(0.1, 200), min_size=len(SHOTS), max_size=len(SHOTS)))
def test_no_coefficient_is_ever_negative(hours: list[float]) -> None:
    records = tuple(removal(shot, each) for shot, each in zip(SHOTS, hours, strict=True))
    fit = only(facts(rod_removals=records))
    for each in fit.fitted:
        assert 0 <= each.new.low <= each.new.likely <= each.new.high


@settings(max_examples=60, deadline=None)
@given(st.lists(st.floats(0.1, 50), min_size=len(SET_UPS), max_size=len(SET_UPS)))
def test_no_set_up_time_is_ever_negative(hours: list[float]) -> None:
    for each in only(set_ups(tuple(hours))).fitted:
        assert 0 <= each.new.low <= each.new.likely <= each.new.high


def test_residual_is_the_scatter_over_the_spare_shots() -> None:
    """Two set-ups of one part each way of 5 h: 4 + 6 + 5 h, derived by hand.

    The mean is 5 h; squares 1 + 1 + 0 = 2 over 3 - 1 spare set-ups: 1 h.
    """
    fit = only(set_ups((4.5, 6.5, 5.5), rows=((1,), (1,), (1,)), names=("set_up",)))
    (set_up,) = fit.fitted
    assert fit.residual == pytest.approx(1)
    assert (set_up.new.low, set_up.new.likely, set_up.new.high) == pytest.approx((4, 5, 6))


def test_the_range_stands_on_the_part_of_most_set_ups_and_on_no_other() -> None:
    rows = ((0, 1), (1, 1), (1, 1), (0, 1), (1, 1))
    fit = only(set_ups((5, 9, 10, 6, 9), rows=rows, names=("program", "set_up")))
    first, second = fit.fitted
    assert first.rule.name == "miniature.set_up"
    assert first.new.high > first.new.likely
    assert second.new.low == second.new.likely == second.new.high


def test_hours_the_camera_ran_are_not_fitted() -> None:
    short, long = (
        only(set_ups((4.0 + r,) * 3, rows=((1,),) * 3, names=("set_up",), running=r))
        for r in (0.5, 3.0)
    )
    assert values(short) == values(long) == pytest.approx([4])


def test_a_rule_no_shot_bears_on_is_kept() -> None:
    never_over = tuple((*shot[:3], 0, *shot[4:]) for shot in SHOTS)
    fit = only(removals(RATES, shots=never_over))
    kept = {each.rule.name: each for each in fit.fitted}["roto.removal_figure"]
    assert kept.new is None
    assert "no finished shot bears on it" in kept.why
    others = [each.new.likely for each in fit.fitted if each.new]
    assert others == pytest.approx([45.0, 3.0, 0.4, 1.5], rel=1e-5)


def test_fewer_shots_than_coefficients_and_two_are_too_few() -> None:
    few = only(removals(RATES, shots=SHOTS[:6]))
    assert few.fitted == ()
    assert few.refused == (
        "6 finished shots with rods are too few to fix 5 rules; write down at least 7"
    )
    assert only(removals(RATES, shots=SHOTS[:7])).refused == ""


def test_too_few_set_ups_are_refused_by_their_own_count() -> None:
    fit = only(set_ups((5.0, 9.0, 7.0), rows=((1, 0), (1, 1), (1, 1)), names=NAMES[:2]))
    assert "3 finished set-ups are too few to fix 2 rules; write down at least 4" in fit.refused


def test_shots_all_alike_tell_nothing_apart() -> None:
    fit = only(removals(RATES, shots=(SHOTS[0],) * 9))
    assert fit.fitted == ()
    assert "too alike: 5 rules" in fit.refused
    assert "only 1 apart" in fit.refused


def test_a_part_that_is_no_rule_is_answered_with_the_nearest() -> None:
    fit = only(set_ups((5.0,) * 7, names=("sett_up", "program", "reset_still")))
    assert "no rule is called miniature.sett_up; did you mean miniature.set_up?" in fit.refused


def test_a_part_that_is_no_time_is_refused() -> None:
    fit = only(set_ups((5.0,) * 7, names=("set_up", "program", "mark_px")))
    assert "miniature.mark_px is in px, which is no time" in fit.refused


def test_shots_without_rods_or_hours_are_left_out_by_name() -> None:
    records = [*removals(RATES).groups("rod_removals")]
    records.append(removal((24, 0, *SHOTS[0][2:]), 3, "OB999"))
    fit = only(facts(rod_removals=tuple(records)))
    assert fit.left_out == ("OB999",)
    assert fit.shots == len(SHOTS)


def test_without_a_kind_that_removes_rods_nothing_is_fitted() -> None:
    (fit,) = calibrate(removals(RATES), {}).fits
    assert "no installed kind" in fit.refused


def test_an_empty_history_says_nothing() -> None:
    found = calibrate(facts(), RULES)
    assert (found.fits, found.ratios) == ((), ())


def test_hours_spent_are_told_over_hours_estimated() -> None:
    """12 + 9 = 21 h spent over 10 + 10 = 20 h: 1.05; single ratios 1.2 and 0.9. Derived."""
    found = calibrate(
        facts(
            techniques=(
                facts(technique="rod removal", estimated=10, spent=12, why="late plate"),
                facts(technique="rod removal", estimated=10, spent=9),
                facts(technique="rod removal", estimated=0, spent=9),
                facts(technique="painting", estimated=4, spent=4),
            )
        ),
        RULES,
    )
    rods, painting = found.ratios
    assert rods.ratio == pytest.approx(1.05)
    assert (rods.shots, rods.low, rods.high) == (2, pytest.approx(0.9), pytest.approx(1.2))
    assert rods.whys == ("late plate",)
    assert painting.ratio == 1


def test_a_rule_is_told_as_the_show_has_it() -> None:
    rule = RULES["miniature.set_up"]
    assert as_stated(rule, facts()) == rule
    own = facts(**{"miniature.set_up": facts(likely=6, high=9)})
    assert as_stated(rule, own) == replace(rule, low=6, likely=6, high=9)
