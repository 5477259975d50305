"""Revisions as JSON text, and back.

Takes an `Issued`, gives text that holds all of it, a line of the bid to a line of text; and reads
such text. Sums are text, so that no cent is lost. Knows nothing of the disk.
"""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal, InvalidOperation
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from planner.bid.alternatives import Taken
from planner.bid.lines import Bid, BidLine, Figures, LoadLine, Reckoning, total_of
from planner.bid.revision import Issued, Said, Stamp
from planner.kinds import Phase, Risk
from planner.model.facts import Money
from planner.model.place import Place
from planner.model.quantity import Quantity
from planner.model.show import Loads, Rate

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

FORM = "platewright bid 1"
_WORDS = ("element", "shot", "sequence", "kind", "what", "craft", "month", "account", "rate")
_SUMS = ("low", "likely", "high")
COLUMNS = (
    *_WORDS,
    "phase",
    "risk",
    *_SUMS,
    "priced",
    "dead",
    "arithmetic",
    "file",
    "line",
    "column",
    "quantity",
)


class RevisionError(ValueError):
    """The text is not a revision this planner can read."""


def to_text(issued: Issued) -> str:
    """All of a revision; `from_text` gives back what it says."""
    bid = issued.bid
    head = {
        "form": FORM,
        "revision": issued.stamp.number,
        "issued": issued.stamp.on.isoformat(),
        "by": issued.stamp.by,
        "note": issued.stamp.note,
        "tool": issued.stamp.tool,
        "fingerprint": issued.stamp.fingerprint,
        "title": bid.title,
        "currency": bid.currency,
        "rounding": "every line to the cent, halves up",
        "cost": _sums(bid.cost),
        "total": _sums(bid.total),
        "overhead": str(bid.terms.overhead),
        "contingency": {name: str(share) for name, share in bid.terms.contingency.items()},
        "contingency_carries_overhead": bid.terms.contingency_carries_overhead,
        "loads": [_load(load) for load in bid.loads],
        "said": _said(issued.said),
        "rates": {name: _rate(rate) for name, rate in issued.rates.items()},
        "methods": [[list(e.members), e.made, list(e.parts)] for e in issued.methods],
        "users": {name: list(shots) for name, shots in bid.users.items()},
        "first": _day(issued.first),
        "last": _day(issued.last),
        "stage_days": issued.stage_days,
        "finals": {shot: day.isoformat() for shot, day in issued.finals.items()},
        "columns": COLUMNS,
    }
    opening = json.dumps(head, indent=1, ensure_ascii=False)[:-2]
    parts = [f'{opening},\n "lines": {_rows(bid.lines)}', f' "not_in_bid": {_rows(bid.not_in_bid)}']
    return ",\n".join(parts) + "\n}\n"


def _rows(lines: Iterable[BidLine]) -> str:
    rows = ",\n".join(f"  {json.dumps(_row(line), ensure_ascii=False)}" for line in lines)
    return f"[\n{rows}\n ]" if rows else "[]"


def _row(line: BidLine) -> list[object]:
    return [
        *(getattr(line, name) for name in _WORDS),
        "" if line.phase is None else line.phase.value,
        line.risk.value,
        *_sums(line.figures),
        line.is_priced,
        line.is_dead,
        line.reason.reason,
        line.place.file,
        line.place.line,
        line.place.column,
        None if line.reckoning is None else _reckoning(line.reckoning),
    ]


def _reckoning(counted: Reckoning) -> list[object]:
    return [
        *(str(each) for each in (counted.low, counted.likely, counted.high)),
        counted.unit,
        str(counted.stated),
        str(counted.growth),
        counted.months,
        str(counted.in_one),
        _day(counted.since),
        None if counted.cut is None else [str(each) for each in counted.cut],
    ]


def _load(load: LoadLine) -> list[object]:
    return [load.name, str(load.share), _sums(load.base), _sums(load.figures)]


def _said(said: Said) -> dict[str, object]:
    return {
        "assumes": said.assumes,
        "excludes": said.excludes,
        "supplied": said.supplied,
        "terms": said.terms,
        "valid_until": _day(said.valid_until),
    }


def _rate(rate: Rate) -> dict[str, object]:
    return {
        "per": rate.per,
        "account": rate.account,
        "amounts": [[day.isoformat(), str(money.amount)] for day, money in rate.amounts],
    }


def _sums(figures: Figures) -> list[str]:
    return [str(figures.low), str(figures.likely), str(figures.high)]


def _day(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


# Reading ----------------------------------------------------------------------------------------


def from_text(text: str) -> Issued:
    """A revision as it was issued.

    Raises:
        RevisionError: the text is no revision, is of a form not known here, or its lines do not
            come to the cost it states.
    """
    try:
        held = json.loads(text)
        if held["form"] != FORM:
            raise RevisionError(f"its form is {held['form']!r}, and {FORM!r} is wanted")
        issued = _issued(held)
        stated = _figures(held["cost"])
    except (KeyError, TypeError, ValueError, IndexError, InvalidOperation) as error:
        if isinstance(error, RevisionError):
            raise
        raise RevisionError(f"it is not a revision of a bid: {error}") from error
    if issued.bid.cost != stated:
        raise RevisionError(
            f"its lines come to {issued.bid.cost.likely:,.2f} and it states {stated.likely:,.2f}"
        )
    return issued


def _issued(held: Mapping[str, Any]) -> Issued:
    shares = {name: Decimal(share) for name, share in held["contingency"].items()}
    terms = Loads(
        Decimal(held["overhead"]),
        MappingProxyType(shares),
        bool(held["contingency_carries_overhead"]),
    )
    currency = str(held["currency"])
    lines = tuple(_line(row, currency) for row in held["lines"])
    loads = tuple(_load_line(row, currency) for row in held["loads"])
    cost = total_of(line.figures for line in lines)
    bid = Bid(
        title=str(held["title"]),
        currency=currency,
        lines=lines,
        loads=loads,
        cost=cost,
        total=total_of((cost, *(load.figures for load in loads))),
        problems=(),
        unpriced=tuple(line for line in lines if not line.is_priced),
        not_in_bid=tuple(_line(row, currency) for row in held["not_in_bid"]),
        users=MappingProxyType({name: tuple(shots) for name, shots in held["users"].items()}),
        terms=terms,
    )
    said = held["said"]
    return Issued(
        _stamp(held),
        bid,
        Said(
            tuple(said["assumes"]),
            tuple(said["excludes"]),
            tuple(said["supplied"]),
            tuple(said["terms"]),
            _date(said["valid_until"]),
        ),
        {name: _rate_of(name, each, currency) for name, each in held["rates"].items()},
        tuple(
            Taken(tuple(members), made, tuple(parts)) for members, made, parts in held["methods"]
        ),
        _date(held["first"]),
        _date(held["last"]),
        int(held["stage_days"]),
        {shot: date.fromisoformat(day) for shot, day in held["finals"].items()},
    )


def _stamp(held: Mapping[str, Any]) -> Stamp:
    return Stamp(
        int(held["revision"]),
        date.fromisoformat(held["issued"]),
        str(held["by"]),
        str(held["note"]),
        str(held["tool"]),
        str(held["fingerprint"]),
    )


def _line(row: list[Any], currency: str) -> BidLine:
    said = dict(zip(COLUMNS, row, strict=True))
    figures = _figures([said[name] for name in _SUMS])
    reason = Quantity(said["what"], float(figures.likely), currency, reason=said["arithmetic"])
    return BidLine(
        **{name: str(said[name]) for name in _WORDS},
        phase=Phase(said["phase"]) if said["phase"] else None,
        risk=Risk(said["risk"]),
        figures=figures,
        reason=reason,
        place=Place(said["file"], said["line"], said["column"]),
        is_priced=said["priced"],
        is_dead=said["dead"],
        reckoning=None if said["quantity"] is None else _counted(said["quantity"]),
    )


def _counted(row: list[Any]) -> Reckoning:
    low, likely, high, unit, stated, growth, months, in_one, since, cut = row
    before, until, whole = cut or (0, 0, 0)
    return Reckoning(
        Decimal(low),
        Decimal(likely),
        Decimal(high),
        unit,
        Decimal(stated),
        Decimal(growth),
        months,
        Decimal(in_one),
        _date(since),
        (Decimal(before), Decimal(until), Decimal(whole)) if cut else None,
    )


def _load_line(row: list[Any], currency: str) -> LoadLine:
    name, share, base, figures = row
    come = _figures(figures)
    reason = Quantity(name, float(come.likely), currency, reason="cost x share")
    return LoadLine(name, Decimal(share), _figures(base), come, reason)


def _rate_of(name: str, held: Mapping[str, Any], currency: str) -> Rate:
    amounts = tuple(
        (date.fromisoformat(day), Money(Decimal(amount), currency))
        for day, amount in held["amounts"]
    )
    return Rate(name, held["per"], amounts, held["account"], Place("rates.yaml"))


def _figures(row: list[str]) -> Figures:
    low, likely, high = (Decimal(each) for each in row)
    return Figures(low, likely, high)


def _date(text: str | None) -> date | None:
    return None if text is None else date.fromisoformat(text)
