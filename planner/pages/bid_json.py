"""The bid as JSON, for other programs.

Takes bids, revisions and actuals, gives text, a line of the bid to a line of text. Sums are text,
so that no cent is lost. Works nothing out but what the bid's own rollups give.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Literal

from planner.bid import by_use, rollup
from planner.bid.rollup import dead_costs
from planner.pages.machine import place_json, problem_json

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from planner.bid import Bid, BidLine, By, Figures, Reckoning
    from planner.bid.actuals import Spent, Standing
    from planner.bid.conditions import Conditions
    from planner.bid.lines import PastMaking
    from planner.bid.revision import Issued, ShotSaid
    from planner.bid.spread import Chances
    from planner.model.quantity import Quantity


def bid_json(bid: Bid, by: By | Literal["use"] = "sequence", issued: Issued | None = None) -> str:
    """Every line with its arithmetic, loads and totals, and the sums by one side.

    ``reasons`` holds each number that anything rests on once; a line's ``reason`` and a reason's
    ``inputs`` are places in it, from 0.

    Args:
        bid: priced.
        by: side of the sums; ``use`` splits what is shared over the shots that use it.
        issued: the revision it is; None for the bid as it stands.
    """
    reasons = _Reasons()
    lines = [_text(_line(line, reasons)) for line in bid.lines]
    apart = [_text(_line(line, reasons)) for line in bid.not_in_bid]
    sums = by_use(bid) if by == "use" else rollup(bid, by)
    head: dict[str, object] = {
        **({} if issued is None else {"revision": _stamp(issued)}),
        **_sums_of(bid),
        "by": by,
        "sums": {name: figures_json(each) for name, each in sums.items()},
        "problems": [problem_json(each) for each in bid.problems],
    }
    return _whole(head, {"lines": lines, "not_in_bid": apart, "reasons": reasons.rows})


def summary_json(issued: Issued) -> str:
    """What the bid on one page says: sums by sequence, chances, and what it is given on."""
    bid = issued.bid
    return _indented(
        {
            "revision": _stamp(issued) if issued.stamp.number else None,
            **_sums_of(bid),
            "sums": {name: figures_json(each) for name, each in rollup(bid, "sequence").items()},
            "chances": None if issued.chances is None else _chances(issued.chances),
            "conditions": _conditions(issued.conditions),
            "dead": {element: str(cost) for element, cost in dead_costs(bid).items()},
        }
    )


def shots_json(bid: Bid, shots: Mapping[str, ShotSaid]) -> str:
    """Each shot: its frames, its own cost, and with its part of what is shared.

    Args:
        bid: priced.
        shots: by id, in story order.
    """
    own, whole = rollup(bid, "shot"), by_use(bid)
    return _indented(
        {
            "currency": bid.currency,
            "cost": figures_json(bid.cost),
            "shots": [
                {
                    "shot": name,
                    "state": shot.state,
                    "frames": shot.frames,
                    "says": shot.says,
                    "own": figures_json(own[name]) if name in own else None,
                    "with_shared": figures_json(whole[name]) if name in whole else None,
                }
                for name, shot in shots.items()
            ],
            "elsewhere": {
                name: figures_json(each) for name, each in whole.items() if name not in shots
            },
        }
    )


def actuals_json(standing: Standing, name: str, currency: str) -> str:
    """Spent, to go and at completion.

    Args:
        standing: of what was posted.
        name: of the bid it is held against.
        currency: of the sums.
    """
    return _indented(
        {
            "against": name,
            "currency": currency,
            "spent": str(standing.spent),
            "to_go": str(standing.to_go),
            "at_completion": str(standing.at_completion),
            "bid": str(standing.bid),
            "over": str(standing.at_completion - standing.bid),
            "rows": [_spent(row) for row in standing.rows],
            "by_week": {week.isoformat(): str(each) for week, each in standing.by_week.items()},
            "techniques": [
                {
                    "technique": each.technique,
                    "lines": each.lines,
                    "hours_bid": str(each.estimated),
                    "hours_spent": str(each.spent),
                    "ratio": each.ratio,
                }
                for each in standing.ratios
            ],
        }
    )


def figures_json(figures: Figures) -> dict[str, str]:
    """Three sums as text."""
    return {"low": str(figures.low), "likely": str(figures.likely), "high": str(figures.high)}


class _Reasons:
    """Numbers in the order they are met, each once, what they rest on before them."""

    def __init__(self) -> None:
        self.rows: list[str] = []
        self._places: dict[tuple[object, ...], int] = {}
        self._met: dict[int, int] = {}

    def place(self, quantity: Quantity) -> int:
        """Where it stands among the rows."""
        # Lines alike share one value in memory, of which a long bid has many thousands.
        met = self._met.get(id(quantity))
        if met is not None:
            return met
        inputs = tuple(self.place(each) for each in quantity.inputs)
        said = (
            quantity.name,
            quantity.value,
            quantity.unit,
            quantity.standing,
            quantity.spread,
            quantity.place,
            quantity.text,
            quantity.reason,
            quantity.source,
            inputs,
        )
        found = self._places.get(said)
        if found is None:
            found = self._places[said] = len(self.rows)
            self.rows.append(_text(_reason(quantity, inputs)))
        self._met[id(quantity)] = found
        return found


def _reason(quantity: Quantity, inputs: tuple[int, ...]) -> dict[str, object]:
    """What is empty is left out."""
    told: dict[str, object] = {
        "spread": quantity.spread,
        "place": place_json(quantity.place) if quantity.place else None,
        "text": quantity.text,
        "reason": quantity.reason,
        "source": quantity.source,
        "inputs": inputs,
    }
    return {
        "name": quantity.name,
        "value": quantity.value,
        "unit": quantity.unit,
        "standing": str(quantity.standing),
        **{name: value for name, value in told.items() if value},
    }


def _line(line: BidLine, reasons: _Reasons) -> dict[str, object]:
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
        "spent": line.is_spent,
        **figures_json(line.figures),
        "quantity": None if line.reckoning is None else _reckoning(line.reckoning),
        "reason": reasons.place(line.reason),
    }


def _reckoning(counted: Reckoning) -> dict[str, object]:
    return {
        "low": str(counted.low),
        "likely": str(counted.likely),
        "high": str(counted.high),
        "unit": counted.unit,
        "stated": str(counted.stated),
        "growth": str(counted.growth),
        "in_one": str(counted.in_one),
        "share": None if counted.cut is None else [str(each) for each in counted.cut],
    }


def _sums_of(bid: Bid) -> dict[str, object]:
    return {
        "title": bid.title,
        "currency": bid.currency,
        "cost": figures_json(bid.cost),
        "total": figures_json(bid.total),
        "loads": [
            {"name": load.name, "share": str(load.share), **figures_json(load.figures)}
            for load in bid.loads
        ],
        "contingency_carries_overhead": bid.terms.contingency_carries_overhead,
        "spent_again": [_past(each) for each in bid.past if each.is_again],
        "spent_unwanted": [_past(each) for each in bid.past if not each.is_again],
        "lost": None
        if bid.losses is None
        else {
            "things": bid.losses.things,
            "cost": None if bid.losses.cost is None else str(bid.losses.cost),
            "beside_order": bid.losses.beside or None,
        },
        "called_again": None
        if bid.called_again is None
        else {
            "calls": bid.called_again.calls,
            "order": bid.called_again.beside,
            "from": bid.called_again.day.isoformat(),
            "more": None if bid.called_again.more is None else str(bid.called_again.more),
            "posts": list(bid.called_again.posts),
            "posted_since": bid.called_again.posted,
            "plan_from": bid.called_again.plan_from and bid.called_again.plan_from.isoformat(),
        },
        "dearer": None
        if bid.dearer is None
        else {
            "beside_order": bid.dearer.beside,
            "more": str(bid.dearer.more),
            "around_lost": bid.dearer.is_around,
            "called_again": bid.called_again is not None,
            "changed": list(bid.dearer.changed),
        },
        "days_lost": sorted({(s, day.isoformat()) for each in bid.past for s, day in each.days}),
    }


def _past(made: PastMaking) -> dict[str, str]:
    return {
        "element": made.element,
        "cost": str(made.cost),
        "days_held": str(made.held),
        "why": made.why,
    }


def _stamp(issued: Issued) -> dict[str, object]:
    stamp = issued.stamp
    return {
        "number": stamp.number,
        "issued": stamp.on.isoformat(),
        "by": stamp.by,
        "note": stamp.note,
        "tool": stamp.tool,
        "fingerprint": stamp.fingerprint,
    }


def _chances(drawn: Chances) -> dict[str, object]:
    return {
        "kept": {f"{chance:g}": round(limit, 2) for chance, limit in drawn.kept.items()},
        "mean": round(drawn.mean, 2),
        "deviation": round(drawn.deviation, 2),
        "draws": drawn.draws,
        "correlation": drawn.correlation,
    }


def _conditions(given: Conditions) -> dict[str, object]:
    until = given.valid_until
    return {
        "assumes": given.assumes,
        "assumed": [
            {
                "name": each.quantity.name,
                "value": each.quantity.value,
                "unit": each.quantity.unit,
                "lines": each.lines,
                "cost": str(each.cost),
            }
            for each in given.assumed
        ],
        "missing": [
            {"fact": each.name, "rests": each.rests, "elements": each.elements, "by": each.by}
            for each in given.missing
        ],
        "excludes": given.excludes,
        "unpriced": given.unpriced,
        "supplied": given.supplied,
        "versions": given.versions,
        "retakes": given.retakes,
        "valid_until": None if until is None else until.isoformat(),
        "payment": given.payment,
        "insurance": given.insurance,
        "escalation": given.escalation,
    }


def _spent(row: Spent) -> dict[str, object]:
    return {
        "element": row.element,
        "what": row.what,
        "bid": None if row.bid is None else str(row.bid),
        "hours": str(row.hours),
        "spent": str(row.cost),
        "to_go": str(row.to_go),
        "at_completion": str(row.at_completion),
        "finished": row.is_finished,
        "dead": row.is_dead,
    }


def _text(value: object) -> str:
    return json.dumps(value, ensure_ascii=False)


def _indented(value: object) -> str:
    return json.dumps(value, indent=2, ensure_ascii=False)


def _whole(head: Mapping[str, object], tables: Mapping[str, Iterable[str]]) -> str:
    """An object of which the tables have a row to a line."""
    parts = [_indented(head)[:-2]]
    for name, rows in tables.items():
        listed = ",\n    ".join(rows)
        parts.append(f'  "{name}": [\n    {listed}\n  ]' if listed else f'  "{name}": []')
    return ",\n".join(parts) + "\n}"
