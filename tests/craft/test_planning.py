"""Published checks and laws of planning.

Not used as truth: the seven-activity page mixes weeks and days, so its numbers carry no unit here.
"""

from __future__ import annotations

import math
from itertools import pairwise
from statistics import NormalDist
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.craft import planning
from planner.craft.planning import Activity, ThreePoint

if TYPE_CHECKING:
    from collections.abc import Mapping

# published: course slide quoting an operations-management textbook problem
NINE = {
    "A": (5, 6, 7, ""),
    "B": (8, 8, 11, ""),
    "C": (6, 8, 11, "A"),
    "D": (9, 12, 15, ""),
    "E": (5, 6, 9, "C"),
    "F": (5, 6, 7, "D"),
    "G": (2, 3, 7, "F"),
    "H": (4, 4, 5, "B"),
    "I": (5, 7, 8, "H"),
}
# published weakly: homework page, its doubled digits decoded
FOURTEEN = {
    "A": (5, 5, 7, ""),
    "B": (1, 2, 5, ""),
    "C": (5, 5, 5, "A"),
    "D": (4, 8, 13, "A"),
    "E": (1, 10, 17, "BC"),
    "F": (1, 5, 7, "D"),
    "G": (2, 6, 9, "D"),
    "H": (4, 4, 6, "EF"),
    "I": (2, 7, 10, "GH"),
    "J": (2, 4, 7, "I"),
    "K": (6, 10, 13, "I"),
    "L": (2, 6, 6, "J"),
    "M": (2, 2, 3, "K"),
    "N": (7, 7, 12, "LM"),
}
# durations partly a homework page, published weakly; predecessors from memory
PLANT = {
    "A": (2, ""),
    "B": (4, "A"),
    "C": (10, "B"),
    "D": (6, "C"),
    "E": (4, "C"),
    "F": (5, "E"),
    "G": (7, "D"),
    "H": (9, "EG"),
    "I": (7, "C"),
    "J": (8, "FI"),
    "K": (4, "J"),
    "L": (5, "J"),
    "M": (2, "H"),
    "N": (6, "KL"),
}
ARROWS_FIVE = {
    (1, 2): 7,
    (1, 3): 10,
    (2, 4): 6,
    (3, 4): 5,
    (3, 5): 4,
    (4, 5): 3,
    (5, 6): 2,
}
ARROWS_SIX = {
    (1, 2): 8,
    (1, 3): 10,
    (1, 4): 9,
    (2, 5): 6,
    (2, 6): 4,
    (3, 5): 5,
    (4, 5): 0,
    (4, 7): 7,
    (5, 7): 12,
    (5, 8): 15,
    (6, 9): 18,
    (7, 8): 4,
    (8, 9): 7,
}

Row = tuple[float, float, float, str]


def points(table: Mapping[str, Row]) -> dict[str, ThreePoint]:
    return {name: ThreePoint(*row[:3]) for name, row in table.items()}


def mean_network(table: Mapping[str, Row]) -> planning.Network:
    return planning.network(
        [Activity(n, ThreePoint(*row[:3]).mean, tuple(row[3])) for n, row in table.items()]
    )


def arrow_network(arrows: Mapping[tuple[int, int], float]) -> planning.Network:
    return planning.network(
        [
            Activity(str(arrow), duration, tuple(str(b) for b in arrows if b[1] == arrow[0]))
            for arrow, duration in arrows.items()
        ]
    )


def path(table: Mapping[str, Row], names: str) -> NormalDist:
    return planning.summed(points(table)[name] for name in names)


NINE_PATHS = [path(NINE, names) for names in ("ACE", "DFG", "BHI")]


@pytest.mark.parametrize(
    ("name", "mean", "variance"),
    [
        ("A", 6, 0.111),
        ("B", 8.5, 0.25),
        ("C", 8.17, 0.694),
        ("D", 12, 1),
        ("E", 6.33, 0.444),
        ("F", 6, 0.111),
        ("G", 3.5, 0.694),
        ("H", 4.17, 0.028),
        ("I", 6.83, 0.25),
    ],
)
def test_nine_activity_means_and_variances(name: str, mean: float, variance: float) -> None:
    activity = points(NINE)[name]
    assert activity.mean == pytest.approx(mean, abs=5e-3)
    assert activity.variance == pytest.approx(variance, abs=6e-4)


@pytest.mark.parametrize(
    ("names", "mean", "deviation"),
    [("ACE", 20.5, 1.118), ("DFG", 21.5, 1.344), ("BHI", 19.5, 0.726)],
)
def test_nine_activity_paths(names: str, mean: float, deviation: float) -> None:
    assert path(NINE, names).mean == pytest.approx(mean, abs=6e-3)
    assert path(NINE, names).stdev == pytest.approx(deviation, abs=1.5e-3)


def test_nine_activities_take_21_5_along_d_f_g() -> None:
    found = mean_network(NINE)
    assert found.duration == pytest.approx(21.5)
    assert found.critical == ("D", "F", "G")


def test_merging_paths_make_the_end_later_than_the_critical_path_says() -> None:
    # derived: .9686 by the critical path, .9677 by all three; at its own mean .5 against .406
    critical = NINE_PATHS[1]
    assert planning.chance_by(critical, 24) == pytest.approx(0.9686, abs=5e-4)
    assert planning.chance_all_by(NINE_PATHS, 24) == pytest.approx(0.9677, abs=5e-4)
    assert planning.chance_by(critical, 21.5) == pytest.approx(0.5)
    assert planning.chance_all_by(NINE_PATHS, 21.5) == pytest.approx(0.406, abs=1e-3)


def test_latest_of_the_three_paths_is_21_83() -> None:
    # derived: moments taken two at a time 21.831; 400 000 drawn triples give 21.825
    assert planning.latest_of(NINE_PATHS).mean == pytest.approx(21.831, abs=2e-3)


@pytest.mark.parametrize(
    ("name", "mean", "deviation"),
    [
        ("A", 5.33, 0.33),
        ("B", 2.33, 0.67),
        ("C", 5, 0),
        ("D", 8.17, 1.5),
        ("E", 9.67, 2.67),
        ("F", 4.67, 1),
        ("G", 5.83, 1.17),
        ("H", 4.33, 0.33),
        ("I", 6.67, 1.33),
        ("J", 4.17, 0.83),
        ("K", 9.83, 1.17),
        ("L", 5.33, 0.67),
        ("M", 2.17, 0.17),
        ("N", 7.83, 0.83),
    ],
)
def test_fourteen_activity_means_and_deviations(name: str, mean: float, deviation: float) -> None:
    activity = points(FOURTEEN)[name]
    assert activity.mean == pytest.approx(mean, abs=6e-3)
    assert math.sqrt(activity.variance) == pytest.approx(deviation, abs=6e-3)


@pytest.mark.parametrize(
    ("name", "times"),
    [
        ("A", (0, 5.33, 0, 5.33, 0)),
        ("B", (0, 2.33, 8, 10.33, 8)),
        ("C", (5.33, 10.33, 5.33, 10.33, 0)),
        ("D", (5.33, 13.5, 7.17, 15.33, 1.83)),
        ("E", (10.33, 20, 10.33, 20, 0)),
        ("F", (13.5, 18.17, 15.33, 20, 1.83)),
    ],
)
def test_fourteen_activity_starts_finishes_and_slack(name: str, times: tuple[float, ...]) -> None:
    assert _times(mean_network(FOURTEEN).timings[name]) == pytest.approx(times, abs=6e-3)


def test_fourteen_activities_take_50_83() -> None:
    # derived: 305 / 6; probabilities not seen printed
    found = mean_network(FOURTEEN)
    assert found.duration == pytest.approx(50.8333, abs=1e-4)
    assert "".join(found.critical) == "ACEHIKMN"
    end = path(FOURTEEN, "ACEHIKMN")
    assert end.variance == pytest.approx(11.19, abs=5e-3)
    assert planning.chance_by(end, 53) == pytest.approx(0.741, abs=2e-3)
    assert planning.chance_by(end, 55) == pytest.approx(0.893, abs=2e-3)


# published: Introduction to Management Science, chapter 8 solutions
@pytest.mark.parametrize(
    ("arrow", "times"),
    [
        ((1, 2), (0, 7, 2, 9, 2)),
        ((1, 3), (0, 10, 0, 10, 0)),
        ((2, 4), (7, 13, 9, 15, 2)),
        ((3, 4), (10, 15, 10, 15, 0)),
        ((3, 5), (10, 14, 14, 18, 4)),
        ((4, 5), (15, 18, 15, 18, 0)),
        ((5, 6), (18, 20, 18, 20, 0)),
    ],
)
def test_arrow_network_of_seven(arrow: tuple[int, int], times: tuple[float, ...]) -> None:
    found = arrow_network(ARROWS_FIVE)
    assert found.duration == 20
    assert _times(found.timings[str(arrow)]) == times


@pytest.mark.parametrize(
    ("arrow", "times"),
    [
        ((1, 2), (0, 8, 1, 9, 1)),
        ((1, 3), (0, 10, 0, 10, 0)),
        ((1, 4), (0, 9, 6, 15, 6)),
        ((2, 5), (8, 14, 9, 15, 1)),
        ((2, 6), (8, 12, 16, 20, 8)),
        ((3, 5), (10, 15, 10, 15, 0)),
        ((4, 5), (9, 9, 15, 15, 6)),
        ((4, 7), (9, 16, 20, 27, 11)),
        ((5, 7), (15, 27, 15, 27, 0)),
        ((5, 8), (15, 30, 16, 31, 1)),
        ((6, 9), (12, 30, 20, 38, 8)),
        ((7, 8), (27, 31, 27, 31, 0)),
        ((8, 9), (31, 38, 31, 38, 0)),
    ],
)
def test_arrow_network_of_thirteen(arrow: tuple[int, int], times: tuple[float, ...]) -> None:
    found = arrow_network(ARROWS_SIX)
    assert found.duration == 38
    assert _times(found.timings[str(arrow)]) == times


def test_seven_activities_end_by_28_with_96_in_a_hundred() -> None:
    # published: Introduction to Management Science, chapter 8 example, path 1-3-5-7
    on_path = [ThreePoint(5, 8, 17), ThreePoint(3, 5, 7), ThreePoint(4, 6, 8), ThreePoint(3, 4, 5)]
    end = planning.summed(on_path)
    assert end.mean == pytest.approx(24)
    assert end.variance == pytest.approx(5)
    assert planning.chance_by(end, 28) == pytest.approx(0.9633, abs=1e-3)


def test_plant_takes_44_weeks() -> None:
    # from memory of the textbook's plant-building example
    found = planning.network([Activity(n, d, tuple(p)) for n, (d, p) in PLANT.items()])
    assert found.duration == 44
    assert "".join(found.critical) == "ABCEFJLN"


def test_plant_is_done_in_47_weeks_with_84_in_a_hundred() -> None:
    # from memory: mean 44, variance 9, one deviation late
    rows = [(1, 2, 3), (2, 3.5, 8), (6, 9, 18), (1, 4.5, 5), (4, 4, 10), (3, 9, 9)]
    rows += [(1, 5.5, 7), (5, 5.5, 9)]
    end = planning.summed(ThreePoint(*row) for row in rows)
    assert end.mean == pytest.approx(44)
    assert end.variance == pytest.approx(9)
    assert planning.chance_by(end, 47) == pytest.approx(0.8413, abs=1e-3)


def test_later_of_two_alike_is_half_a_deviation_later() -> None:
    # derived: mean + sigma / sqrt pi = mean + .5642 sigma; sd 2 sqrt(1 - 1/pi) = 1.651
    later = planning.later_of(NormalDist(10, 2), NormalDist(10, 2))
    assert later.mean == pytest.approx(11.128, abs=1e-3)
    assert later.mean == pytest.approx(10 + 2 * 0.5642, abs=1e-3)
    assert later.stdev == pytest.approx(1.651, abs=1e-3)


def test_later_of_two_that_move_together_is_either() -> None:
    alike = NormalDist(10, 2)
    assert planning.later_of(alike, alike, correlation=1) == alike


def test_eighty_in_a_hundred_lies_point_84_deviations_out() -> None:
    # derived: the normal distribution reaches 0.8 there
    assert planning.kept_with(NormalDist(0, 1), 0.8) == pytest.approx(0.8416, abs=1e-4)


def test_eighty_per_cent_curve_exponent() -> None:
    # published weakly: worked answer; log 0.8 / log 2
    assert planning.learning_exponent(0.8) == pytest.approx(-0.3219, abs=1e-4)


def test_eighty_per_cent_unit_model() -> None:
    # derived: 3^b, 10^b, 1 + .8 + .702 + .64
    assert planning.unit_time(1, 3, 0.8) == pytest.approx(0.702, abs=1e-3)
    assert planning.unit_time(1, 10, 0.8) == pytest.approx(0.4765, abs=1e-3)
    assert planning.unit_total(1, 4, 0.8) == pytest.approx(3.142, abs=1e-3)


@pytest.mark.parametrize("count", [-1, 1_000_001])
def test_a_count_that_nobody_makes_is_refused(count: int) -> None:
    with pytest.raises(ValueError, match="count"):
        planning.unit_total(1, count, 0.8)


def test_eighty_per_cent_average_model() -> None:
    # published weakly: appendix on learning-curve mathematics; average of 2 = 80, unit 2 = 60,
    # average of 4 = 64 per cent
    assert planning.average_total(1, 2, 0.8) / 2 == pytest.approx(0.80)
    assert planning.average_unit(1, 2, 0.8) == pytest.approx(0.60)
    assert planning.average_total(1, 4, 0.8) / 4 == pytest.approx(0.64)


def test_an_eighth_unit_at_an_eighth_of_the_time_is_a_half_rate() -> None:
    # published weakly: worked answer; the cube root of 1.25 over 10 is a half
    assert planning.learning_rate(10, 1.25, 8) == pytest.approx(0.5)


def test_repeated_set_up_keeps_its_fixed_part() -> None:
    # derived: thirty of ninety minutes stay and the other sixty shrink to nine tenths
    assert planning.repeated_set_up(30, 90, 2, 0.9) == pytest.approx(84)


def test_four_per_cent_over_eighteen_months() -> None:
    # derived: 1.04 to the power 1.5
    assert planning.escalation_factor(0.04, 1.5) == pytest.approx(1.0606, abs=1e-4)


NORMALS = st.builds(NormalDist, st.floats(-100, 100), st.floats(0.1, 20))


@given(NORMALS, NORMALS)
def test_the_later_is_no_earlier_than_either(first: NormalDist, second: NormalDist) -> None:
    later = planning.later_of(first, second)
    assert later.mean >= max(first.mean, second.mean) - 1e-9
    assert later.mean == pytest.approx(planning.later_of(second, first).mean, abs=1e-9)


@given(NORMALS, st.floats(0.01, 0.99))
def test_a_limit_kept_with_a_chance_has_that_chance(duration: NormalDist, chance: float) -> None:
    limit = planning.kept_with(duration, chance)
    assert planning.chance_by(duration, limit) == pytest.approx(chance, abs=1e-9)


@given(st.lists(st.integers(0, 20), min_size=1, max_size=9), st.integers(0, 511))
def test_no_activity_starts_before_what_it_waits_for(durations: list[int], bits: int) -> None:
    names = [str(i) for i in range(len(durations))]
    activities = [
        Activity(names[i], d, tuple(names[j] for j in range(i) if bits >> (i + j) % 9 & 1))
        for i, d in enumerate(durations)
    ]
    found = planning.network(activities)
    for activity in activities:
        own = found.timings[activity.name]
        assert own.slack >= 0
        assert own.latest_finish <= found.duration
        for before in activity.predecessors:
            assert found.timings[before].earliest_finish <= own.earliest_start
            assert found.timings[before].latest_finish <= own.latest_start
    assert found.critical


@given(st.floats(0.5, 1), st.integers(1, 100))
def test_learned_units_never_take_longer(rate: float, count: int) -> None:
    times = [planning.unit_time(1, n, rate) for n in range(1, count + 1)]
    assert all(after <= before for before, after in pairwise(times))


def test_a_circle_of_work_is_named() -> None:
    with pytest.raises(ValueError, match=r"circle: \w waits for \w waits for \w"):
        planning.network([Activity("a", 1, ("b",)), Activity("b", 1, ("a",))])


def test_an_unknown_predecessor_is_named() -> None:
    with pytest.raises(ValueError, match="a waits for z, which is not here"):
        planning.network([Activity("a", 1, ("z",))])


def test_two_activities_of_one_name_are_refused() -> None:
    with pytest.raises(ValueError, match="same name"):
        planning.network([Activity("a", 1), Activity("a", 2)])


def test_a_likely_time_below_the_low_one_is_refused() -> None:
    with pytest.raises(ValueError, match="must be in order, not 5, 4, 6"):
        ThreePoint(5, 4, 6)


def test_certain_durations_have_no_chance_between() -> None:
    certain = planning.summed([ThreePoint(3, 3, 3)])
    assert planning.chance_by(certain, 3) == 1
    assert planning.chance_by(certain, 2.9) == 0


def _times(timing: planning.Timing) -> tuple[float, ...]:
    return (
        timing.earliest_start,
        timing.earliest_finish,
        timing.latest_start,
        timing.latest_finish,
        timing.slack,
    )
