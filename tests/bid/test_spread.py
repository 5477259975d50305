from __future__ import annotations

import math
from decimal import Decimal
from itertools import pairwise

import numpy as np
import pytest

from planner.bid.lines import BidLine, Figures
from planner.bid.spread import chances, drawn_sums
from planner.craft.pert import drawn
from planner.craft.planning import ThreePoint
from planner.kinds import Phase, Risk
from planner.model.place import Place
from planner.model.quantity import Quantity

# Operations-management textbook problem, quoted on a course slide: nine activities a, m, b, of
# which D-F-G is critical with mean 21.5 and deviation 1.344 (published).
NINE = {
    "A": (5, 6, 7),
    "B": (8, 8, 11),
    "C": (6, 8, 11),
    "D": (9, 12, 15),
    "E": (5, 6, 9),
    "F": (5, 6, 7),
    "G": (2, 3, 7),
    "H": (4, 4, 5),
    "I": (5, 7, 8),
}
PATHS = ("ACE", "DFG", "BHI")


def points(names: str) -> list[ThreePoint]:
    return [ThreePoint(*NINE[name]) for name in names]


def line(craft: str, low: float, likely: float, high: float) -> BidLine:
    figures = Figures(Decimal(str(low)), Decimal(str(likely)), Decimal(str(high)))
    return BidLine(
        "a", "", "", "build", "work", craft, Phase.BUILD, "", "", Risk.ORDINARY, "", figures,
        Quantity("work", likely), Place("a.yaml"),
    )  # fmt: skip


def test_the_sum_of_a_published_path_has_its_mean_and_deviation() -> None:
    found = chances([line(name, *NINE[name]) for name in "DFG"])
    assert found.mean == pytest.approx(21.5, abs=0.005)
    assert found.apart == pytest.approx(1.344, abs=0.0005)


def test_draws_of_a_published_path_keep_its_mean_and_nearly_its_deviation() -> None:
    # A PERT beta's deviation is sqrt((mean-a)(b-mean)/7), near but not at a sixth of the range:
    # D 1.134, F .378, G .904 (mean 3.5) give 1.499 where sixths give 1.344.
    sums = drawn_sums([[each] for each in points("DFG")], 0.0, 40_000, 1)
    assert sums.mean() == pytest.approx(21.5, abs=0.03)
    ours = math.sqrt(3 * 3 / 7 + 1 / 7 + 1.5 * 3.5 / 7)
    assert sums.std() == pytest.approx(ours, rel=0.02)


def test_the_latest_of_the_published_paths_is_later_than_its_critical_path_says() -> None:
    # Published for normals: P(all by 21.5) .406 where the critical path alone says .5, and a mean
    # of 21.83. Drawn with betas a little wider, the bias is as large or larger.
    ends = np.max(
        [drawn_sums([points(path)], 0.0, 40_000, 7 + n) for n, path in enumerate(PATHS)], 0
    )
    assert ends.mean() == pytest.approx(21.83, abs=0.12)
    assert (ends <= 21.5).mean() == pytest.approx(0.406, abs=0.03)


def test_a_symmetric_part_is_at_its_mean_at_score_nought() -> None:
    assert drawn(ThreePoint(2, 5, 8), np.zeros(1))[0] == pytest.approx(5)


def test_no_draw_leaves_the_range() -> None:
    scores = np.array([-9.0, -2.0, 0.0, 2.0, 9.0])
    found = drawn(ThreePoint(2, 2, 8), scores)
    assert all(a <= b for a, b in pairwise(found))
    assert found[0] >= 2
    assert found[-1] <= 8


def test_costs_of_one_craft_err_together() -> None:
    # n alike with correlation r: variance n v (1 + (n - 1) r); 16 with r .5: 8.5 times n v
    many = [line("roto", 10, 40, 70)] * 16
    apart = chances(many, correlation=0.0)
    together = chances(many, correlation=0.5)
    assert together.deviation / apart.deviation == pytest.approx(math.sqrt(8.5), rel=0.03)
    # P80 of what is near normal: mean + .8416 deviations
    assert apart.kept[0.8] == pytest.approx(apart.mean + 0.8416 * apart.deviation, rel=0.002)


def test_many_small_parts_drawn_as_one_spread_as_they_would_singly() -> None:
    # 2,000 of one craft, correlation .25: variance 2000 v (1 + 1999 / 4); PERT beta of (0, 1, 6):
    # mean 10/6, v (10/6)(26/6)/7 = 1.0317
    found = chances([line("roto", 0, 1, 6)] * 2000, correlation=0.25)
    assert found.deviation == pytest.approx(math.sqrt(2000 * 1.0317 * 500.75), rel=0.05)
    assert found.mean == pytest.approx(2000 * 10 / 6)


def test_what_is_certain_is_kept_for_sure() -> None:
    found = chances([line("purchases", 7, 7, 7)])
    assert set(found.kept.values()) == {7.0}
    assert found.uncertain == 0


def test_the_same_seed_draws_the_same() -> None:
    lines = [line("roto", 1, 2, 9), line("stage", 3, 4, 5)]
    assert chances(lines, seed=3) == chances(lines, seed=3)
    assert chances(lines, seed=3) != chances(lines, seed=4)
