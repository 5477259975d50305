"""Values as JSON, for other programs.

Takes problems, missing facts, orders and other values, gives text. Works nothing out.
"""

from __future__ import annotations

import json
from dataclasses import asdict, is_dataclass
from enum import Enum
from typing import TYPE_CHECKING

from planner.estimate import mark_of
from planner.pages.order_text import NO_NOTES

if TYPE_CHECKING:
    from collections.abc import Iterable

    from planner.estimate import Waived
    from planner.kinds import MissingFact
    from planner.model.place import Place, Problem
    from planner.model.quantity import Quantity
    from planner.order import StageOrder
    from planner.order.loads import CraftWeek
    from planner.pages.order_text import Notes
    from planner.pages.plan import Plan


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
                    "by": each.by,
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


def order_json(order: StageOrder, notes: Notes = NO_NOTES) -> str:
    """Every call with its dates, what it holds, and what is said of its element, by `notes_of`.

    Planned again from a day after its last call, it says that nothing was left from that day.
    """
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
                    "notes": list(notes.of.get(call.element, ())),
                    "against": list(call.against),
                }
                for call in order.calls
            ],
            "days_held": {
                stage: [day.isoformat() for day in days] for stage, days in order.days_held.items()
            },
            "finals": {shot: when.isoformat() for shot, when in order.finals.items()},
            "late_working_days": dict(order.late),
            "problems": [problem_json(each) for each in order.problems],
            **({"nothing_left_from": str(order.planned_from)} if order.is_over else {}),
        }
    )


def loads_json(weeks: Iterable[CraftWeek]) -> str:
    """Hours of hands called for and hours there are, craft by craft and week by week."""
    return _text(
        [
            {
                "craft": week.craft,
                "monday": week.monday.isoformat(),
                "hours": quantity_json(week.hours),
                "there_are": week.there_are,
            }
            for week in weeks
        ]
    )


def plan_json(plan: Plan) -> str:
    """Sizes, dates, cost and counts of findings: what the plan's other files tell at length."""
    order, total = plan.order, plan.bid.total
    severities = [each.severity.name.lower() for each in plan.findings]
    return _text(
        {
            "title": plan.show.title,
            "sequences": list(plan.show.sequences),
            "live_shots": [shot.id for shot in plan.show.shots.values() if shot.is_live],
            "elements": len(plan.show.elements),
            "calls": len(order.calls),
            "starts": min((call.starts.isoformat() for call in order.calls), default=None),
            "ends": max((call.ends.isoformat() for call in order.calls), default=None),
            "stage_days_held": sum(map(len, order.days_held.values())),
            "late_working_days": dict(order.late),
            "currency": plan.bid.currency,
            "total": {"low": total.low, "likely": total.likely, "high": total.high},
            "unpriced": len(plan.bid.unpriced),
            "findings": {each: severities.count(each) for each in sorted(set(severities))},
            "missing": len(plan.estimates.missing),
        }
    )


def values_json(value: object) -> str:
    """Plain values, by the names of their fields; words of a choice, days and sums as text."""
    return _text(value)


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
    return json.dumps(value, indent=2, ensure_ascii=False, default=_plain)


def _plain(value: object) -> object:
    if is_dataclass(value) and not isinstance(value, type):
        return asdict(value)
    return str(value.value if isinstance(value, Enum) else value)
