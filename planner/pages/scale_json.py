"""Scales of a build as JSON, for other programs.

Takes studies of scale, gives every number of them with its standing. Works nothing out.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from planner.pages.machine import quantity_json

if TYPE_CHECKING:
    from collections.abc import Iterable

    from planner.craft.window import Bound, Window
    from planner.estimate.scales import Relaxation, ScaleStudy, Trial
    from planner.kinds import ScaleBound


def studies_json(studies: Iterable[ScaleStudy]) -> str:
    """Everything of every study, for other programs."""
    return json.dumps([_study_json(each) for each in studies], indent=2, ensure_ascii=False)


def _study_json(study: ScaleStudy) -> dict[str, object]:
    window, opening = study.window, study.opening
    return {
        "build": window.build,
        "chosen": window.chosen.value if window.chosen else None,
        "candidates": [each.value for each in window.candidates],
        "window": _window_json(study.common),
        "by_element": {name: _window_json(each) for name, each in study.by_element.items()},
        "bounds": [_bound_json(each) for each in window.bounds],
        "opening": opening
        and {
            "smaller": [_relaxation_json(each) for each in opening.smaller],
            "larger": [_relaxation_json(each) for each in opening.larger],
            "left_out": list(opening.left_out),
            "rest": _window_json(opening.rest),
        },
        "fewest_builds": [
            {"window": _window_json(each.window), "elements": list(each.elements)}
            for each in study.covers
        ],
        "unserved": list(study.unserved),
        "mends": [_relaxation_json(each) for each in study.mends],
        "scales": [_trial_json(each) for each in study.trials],
    }


def _window_json(window: Window) -> dict[str, object]:
    return {
        "empty": window.is_empty,
        "at_least": _end_json(window.low),
        "at_most": _end_json(window.high) if window.is_bounded else None,
    }


def _end_json(bound: Bound) -> dict[str, object]:
    return {"n": bound.scale_denominator, "element": bound.shot, "reason": bound.reason}


def _bound_json(bound: ScaleBound) -> dict[str, object]:
    return {
        "element": bound.element,
        "at_least": bound.at_least,
        "limit": quantity_json(bound.limit),
        "relax": bound.relax,
    }


def _relaxation_json(each: Relaxation) -> dict[str, object]:
    return {
        "element": each.bound.element,
        "limit": each.bound.limit.name,
        "wanted": each.wanted,
        "needed": quantity_json(each.needed),
        "had": quantity_json(each.had) if each.had else None,
    }


def _trial_json(trial: Trial) -> dict[str, object]:
    return {
        "scale": trial.scale.value,
        "numbers": {name: quantity_json(each) for name, each in trial.numbers.items()},
        "changes": {name: quantity_json(each) for name, each in trial.changes.items()},
        "breaks": [f"{each.element}: {each.limit.name}" for each in trial.broken],
        "uses": [
            {
                "element": use.element,
                "stages": list(use.stages),
                "numbers": {name: quantity_json(each) for name, each in use.numbers.items()},
            }
            for use in trial.uses
        ],
        "problems": [
            {
                "severity": each.severity.name.lower(),
                "code": each.code,
                "about": each.about,
                "message": each.message,
                "remedy": each.remedy,
            }
            for each in trial.problems
        ],
    }
