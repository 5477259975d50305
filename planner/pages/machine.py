"""Values as JSON, for other programs.

Takes problems, missing facts, orders and bids, gives text. Works nothing out.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from planner.estimate import mark_of
from planner.pages.order_text import notes_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from planner.bid import Bid, BidLine, Figures
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
            "problems": [_problem(each) for each in sorted(set(problems))],
            "missing": [
                {
                    "about": each.about,
                    "fact": each.name,
                    "place": _place(each.place),
                    "rests": each.rests,
                    "assumed": each.assumed,
                }
                for each in missing
            ],
            "waived": [
                {
                    **_problem(each.problem),
                    "by": each.by,
                    "on": each.on.isoformat(),
                    "why": each.why,
                    "waiver": _place(each.place),
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
            "problems": [_problem(each) for each in order.problems],
        }
    )


def bid_json(bid: Bid) -> str:
    """Every line with its reason, loads and totals; sums are text, so that no cent is lost."""
    return _text(
        {
            "title": bid.title,
            "currency": bid.currency,
            "cost": _figures(bid.cost),
            "total": _figures(bid.total),
            "loads": [
                {"name": load.name, "share": str(load.share), **_figures(load.figures)}
                for load in bid.loads
            ],
            "lines": [_bid_line(line) for line in bid.lines],
            "not_in_bid": [_bid_line(line) for line in bid.not_in_bid],
            "problems": [_problem(each) for each in bid.problems],
        }
    )


def _bid_line(line: BidLine) -> dict[str, object]:
    return {
        "element": line.element,
        "shot": line.shot,
        "sequence": line.sequence,
        "kind": line.kind,
        "what": line.what,
        "craft": line.craft,
        "phase": line.phase_name,
        "month": line.month,
        "account": line.account,
        "risk": line.risk.value,
        "rate": line.rate,
        "priced": line.is_priced,
        "dead": line.is_dead,
        **_figures(line.figures),
        "reason": quantity_json(line.reason),
    }


def _figures(figures: Figures) -> dict[str, object]:
    return {"low": str(figures.low), "likely": str(figures.likely), "high": str(figures.high)}


def quantity_json(quantity: Quantity) -> dict[str, object]:
    """A number with its unit, standing and everything it was reckoned from."""
    return {
        "name": quantity.name,
        "value": quantity.value,
        "unit": quantity.unit,
        "standing": str(quantity.standing),
        "spread": quantity.spread,
        "place": _place(quantity.place) if quantity.place else None,
        "text": quantity.text,
        "reason": quantity.reason,
        "source": quantity.source,
        "inputs": [quantity_json(each) for each in quantity.inputs],
    }


def _problem(problem: Problem) -> dict[str, object]:
    return {
        "severity": problem.severity.name.lower(),
        "code": problem.code,
        "mark": mark_of(problem),
        "place": _place(problem.place),
        "about": problem.about,
        "message": problem.message,
        "remedy": problem.remedy,
    }


def _place(place: Place) -> dict[str, object]:
    return {"file": place.file, "line": place.line, "column": place.column}


def _text(value: object) -> str:
    return json.dumps(value, indent=2, ensure_ascii=False)
