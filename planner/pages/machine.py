"""Values as JSON, for other programs.

Takes problems, missing facts and orders, gives text. Works nothing out.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from planner.estimate import mark_of
from planner.pages.order_text import notes_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from planner.estimate import Waived
    from planner.kinds import MissingFact
    from planner.model.place import Place, Problem
    from planner.model.quantity import Quantity
    from planner.order import StageOrder


def problems_json(
    problems: Iterable[Problem], missing: Iterable[MissingFact], waived: Iterable[Waived] = ()
) -> str:
    """Problems, errors first, missing facts, and what is waived with who did and why."""
    return _text(
        {
            "problems": [problem_json(each) for each in sorted(set(problems))],
            "missing": [
                {
                    "about": each.about,
                    "fact": each.name,
                    "place": place_json(each.place),
                    "rests": each.rests,
                    "assumed": each.assumed,
                }
                for each in missing
            ],
            "waived": [
                {
                    **problem_json(each.problem),
                    "by": each.by,
                    "on": each.on.isoformat(),
                    "why": each.why,
                    "waiver": place_json(each.place),
                }
                for each in sorted(waived, key=lambda each: (each.problem, each.place))
            ],
        }
    )


def order_json(order: StageOrder, findings: Iterable[Problem] = ()) -> str:
    """Every call with its dates, what it holds, and what is found of its element."""
    notes = notes_of(findings)
    return _text(
        {
            "method": order.method,
            "proven": order.proven,
            "calls": [
                {
                    "element": call.element,
                    "work": call.work.name,
                    "craft": call.work.craft,
                    "starts": call.starts.isoformat(),
                    "ends": call.ends.isoformat(),
                    "hours": call.hours,
                    "stage": call.stage,
                    "holds": list(call.holds),
                    "set_up": call.work.set_up,
                    "notes": list(notes.get(call.element, ())),
                }
                for call in order.calls
            ],
            "days_held": {
                stage: [day.isoformat() for day in days] for stage, days in order.days_held.items()
            },
            "finals": {shot: when.isoformat() for shot, when in order.finals.items()},
            "late_working_days": dict(order.late),
            "problems": [problem_json(each) for each in order.problems],
        }
    )


def quantity_json(quantity: Quantity) -> dict[str, object]:
    """A number with its unit, standing and everything it was reckoned from."""
    return {
        "name": quantity.name,
        "value": quantity.value,
        "unit": quantity.unit,
        "standing": str(quantity.standing),
        "spread": quantity.spread,
        "place": place_json(quantity.place) if quantity.place else None,
        "text": quantity.text,
        "reason": quantity.reason,
        "source": quantity.source,
        "inputs": [quantity_json(each) for each in quantity.inputs],
    }


def problem_json(problem: Problem) -> dict[str, object]:
    """A finding with its place and the mark by which it is waived."""
    return {
        "severity": problem.severity.name.lower(),
        "code": problem.code,
        "mark": mark_of(problem),
        "place": place_json(problem.place),
        "about": problem.about,
        "message": problem.message,
        "remedy": problem.remedy,
    }


def place_json(place: Place) -> dict[str, object]:
    """File, line and column."""
    return {"file": place.file, "line": place.line, "column": place.column}


def _text(value: object) -> str:
    return json.dumps(value, indent=2, ensure_ascii=False)
