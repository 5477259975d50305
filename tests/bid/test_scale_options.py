"""Scales tried together where they meet, by themselves where they do not.

What a trial costs is given here by hand; that trials ask the kinds is proven with the show's own
scales in tests/cli/test_bid.py.
"""

from __future__ import annotations

from decimal import Decimal
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

import pytest

from planner.bid import scale_options as tried
from planner.bid.lines import Figures
from planner.kinds import Risk
from planner.model.show import Loads

if TYPE_CHECKING:
    from collections.abc import Callable

Costs = dict[str, "Callable[[dict[str, float]], float]"]


def windows(**candidates: tuple[float, ...]) -> dict[str, Any]:
    return {
        build: SimpleNamespace(
            build=build,
            chosen=None,
            candidates=tuple(SimpleNamespace(value=n) for n in each),
            broken_by=lambda _n: (),
        )
        for build, each in candidates.items()
    }


@pytest.fixture
def options(monkeypatch: pytest.MonkeyPatch) -> Callable[..., dict[str, dict[str, Decimal]]]:
    """Costs by group of builds, of what waits for them and what each of those costs."""

    def by_group(
        asked: dict[str, Any], reach: dict[str, tuple[str, ...]], costs: Costs
    ) -> dict[str, dict[str, Decimal]]:
        def touched(_ground: object, builds: tuple[str, ...]) -> tuple[str, ...]:
            return tuple(dict.fromkeys(each for build in builds for each in reach[build]))

        def lines(_desk: object, ground: object, builds: tuple[str, ...], scales: tuple[Any, ...]):
            at = {build: asked[build].candidates[0].value for build in asked}
            at |= {build: n.value for build, n in zip(builds, scales, strict=True)}
            sums = {id_: Decimal(str(costs[id_](at))) for id_ in touched(ground, builds)}
            return {
                id_: (SimpleNamespace(figures=Figures(each, each, each), risk=Risk.ORDINARY),)
                for id_, each in sums.items()
            }

        monkeypatch.setattr(tried, "_touched", touched)
        monkeypatch.setattr(tried, "_lines", lines)
        ground = SimpleNamespace(estimates=SimpleNamespace(windows=asked))
        show = SimpleNamespace(
            elements=dict.fromkeys(asked),
            is_live=lambda _e: True,
            loads=Loads(Decimal(0), {}, False),
        )
        found = tried.scale_options(SimpleNamespace(show=show), ground)
        return {build: {e.name: e.cost for e in each} for build, each in found.items()}

    return by_group


def test_builds_that_share_nothing_are_tried_by_themselves(options) -> None:
    found = options(
        windows(dam=(8, 24), town=(24, 48)),
        {"dam": ("dam", "S1.comp"), "town": ("town", "S1.comp")},
        {"dam": lambda at: 2400 / at["dam"], "town": lambda at: 4800 / at["town"]}
        | {"S1.comp": lambda _at: 500},
    )
    # the dam 300 or 100, the town 200 or 100; the composite costs the same whatever they are
    assert found == {
        "dam": {"dam 1:8": Decimal(200), "dam 1:24": Decimal(0)},
        "town": {"town 1:24": Decimal(100), "town 1:48": Decimal(0)},
    }


def test_builds_that_change_the_cost_of_one_thing_are_tried_together(options) -> None:
    found = options(
        windows(dam=(8, 24), town=(24, 48)),
        {"dam": ("dam", "S1.set"), "town": ("town", "S1.set")},
        {"dam": lambda at: 2400 / at["dam"], "town": lambda at: 4800 / at["town"]}
        # one set of both: 400 to build where their scales are unlike
        | {"S1.set": lambda at: 0 if at["dam"] == at["town"] else 400},
    )
    # 8 and 24: 300 + 200 + 400; 8 and 48: 800; 24 and 24: 100 + 200; 24 and 48: 100 + 100 + 400.
    # By itself, beside the town's first scale, 1:48 would seem 300 dearer and the dam at 1:24
    # cheaper by 600: together the least is 300, at 1:24 both.
    assert found == {
        "dam, town": {
            "dam 1:8, town 1:24": Decimal(600),
            "dam 1:8, town 1:48": Decimal(500),
            "dam 1:24, town 1:24": Decimal(0),
            "dam 1:24, town 1:48": Decimal(300),
        }
    }


def test_too_many_sets_are_not_tried_together(options) -> None:
    many = tuple(range(2, 13))
    found = options(
        windows(dam=many, town=many),
        {"dam": ("S1.set",), "town": ("S1.set",)},
        {"S1.set": lambda at: at["dam"] * at["town"]},
    )
    # 11 x 11 = 121 sets are more than 96
    assert {build: len(each) for build, each in found.items()} == {"dam": 11, "town": 11}
