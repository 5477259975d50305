"""Revisions as JSON text, and back.

Takes an `Issued`, gives text that holds all of it, a line of the bid to a line of text; and reads
such text. Sums are text, so that no cent is lost, and a digest of everything else tells whether a
hand was laid on it since. Knows nothing of the disk.
"""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal, InvalidOperation
from hashlib import sha256
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from planner.bid.alternatives import Taken
from planner.bid.conditions import Assumed, Conditions, MissingFrom
from planner.bid.lines import Bid, BidLine, Figures, LoadLine, PastMaking, Reckoning, total_of
from planner.bid.revision import Issued, ShotSaid, Stamp
from planner.bid.spread import Chances
from planner.kinds import Phase, Risk
from planner.model.facts import Money
from planner.model.place import Place
from planner.model.quantity import Quantity, Standing
from planner.model.show import Loads, Rate

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

FORM = "platewright bid 2"
_FIRST_FORM = "platewright bid 1"
"""Had no digest, no shots and no chances, and conditions as sentences alone."""
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
    "factors",
    "spent",
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
        "conditions": _conditions(issued.conditions),
        "rates": {name: _rate(rate) for name, rate in issued.rates.items()},
        "methods": [[list(e.members), e.made, list(e.parts)] for e in issued.methods],
        "users": {name: list(shots) for name, shots in bid.users.items()},
        "first": _day(issued.first),
        "last": _day(issued.last),
        "stage_days": issued.stage_days,
        "finals": {shot: day.isoformat() for shot, day in issued.finals.items()},
        "shots": {name: [e.frames, e.state, e.says] for name, e in issued.shots.items()},
        "chances": None if issued.chances is None else _chances(issued.chances),
        "past": [_past(each) for each in bid.past],
        "columns": COLUMNS,
    }
    rows, apart = ([_text(_row(line)) for line in lines] for lines in (bid.lines, bid.not_in_bid))
    head["digest"] = _digest(head, rows, apart)
    opening = json.dumps(head, indent=1, ensure_ascii=False)[:-2]
    parts = [f'{opening},\n "lines": {_listed(rows)}', f' "not_in_bid": {_listed(apart)}']
    return ",\n".join(parts) + "\n}\n"


def _text(value: object) -> str:
    return json.dumps(value, ensure_ascii=False)


def _listed(rows: Sequence[str]) -> str:
    return "[\n  " + ",\n  ".join(rows) + "\n ]" if rows else "[]"


def _digest(head: Mapping[str, object], rows: Sequence[str], apart: Sequence[str]) -> str:
    """Of what the text says, not of how it is laid out: line ends and indents may change.

    Args:
        head: everything but the lines; a digest in it is passed over.
        rows: of the bid, each as text.
        apart: of what is not in the bid.
    """
    opening = {name: value for name, value in head.items() if name != "digest"}
    whole = sha256(json.dumps(opening, ensure_ascii=False, sort_keys=True).encode())
    for part in (rows, apart):
        whole.update("\n".join(["", str(len(part)), *part]).encode())
    return whole.hexdigest()


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
        [[each.name, each.value, each.unit] for each in line.reason.inputs],
        line.is_spent,
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


def _past(made: PastMaking) -> list[object]:
    days = [[stage, day.isoformat()] for stage, day in made.days]
    return [made.element, made.why, made.is_again, str(made.cost), days, str(made.held)]


def _load(load: LoadLine) -> list[object]:
    return [load.name, str(load.share), _sums(load.base), _sums(load.figures)]


def _conditions(given: Conditions) -> dict[str, object]:
    return {
        "assumes": given.assumes,
        "assumed": [
            [e.quantity.name, e.quantity.value, e.quantity.unit, e.lines, str(e.cost)]
            for e in given.assumed
        ],
        "missing": [[e.name, e.rests, e.assumed, e.elements] for e in given.missing],
        "excludes": given.excludes,
        "unpriced": given.unpriced,
        "supplied": given.supplied,
        "versions": given.versions,
        "retakes": given.retakes,
        "valid_until": _day(given.valid_until),
        "payment": given.payment,
        "insurance": given.insurance,
        "escalation": given.escalation,
    }


def _chances(drawn: Chances) -> dict[str, object]:
    return {
        "mean": drawn.mean,
        "apart": drawn.apart,
        "deviation": drawn.deviation,
        "kept": [[chance, limit] for chance, limit in drawn.kept.items()],
        "draws": drawn.draws,
        "correlation": drawn.correlation,
        "uncertain": drawn.uncertain,
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


def from_text(text: str) -> Issued:
    """A revision as it was issued.

    Raises:
        RevisionError: the text is no revision, is of a form not known here, its lines do not come
            to the cost it states, or anything in it was changed.
    """
    try:
        held = json.loads(text)
        if held["form"] not in {FORM, _FIRST_FORM}:
            raise RevisionError(f"its form is {held['form']!r}, and {FORM!r} is wanted")
        issued = _issued(held)
        stated = _figures(held["cost"])
        is_whole = held["form"] == _FIRST_FORM or held["digest"] == _digest_of(held)
    except (KeyError, TypeError, ValueError, IndexError, InvalidOperation) as error:
        if isinstance(error, RevisionError):
            raise
        raise RevisionError(f"it is not a revision of a bid: {error}") from error
    if issued.bid.cost != stated:
        raise RevisionError(
            f"its lines come to {issued.bid.cost.likely:,.2f} and it states {stated.likely:,.2f}"
        )
    if not is_whole:
        raise RevisionError("something in it was changed after it was issued")
    return issued


def _digest_of(held: Mapping[str, Any]) -> str:
    rows, apart = ([_text(row) for row in held[name]] for name in ("lines", "not_in_bid"))
    head = {name: value for name, value in held.items() if name not in {"lines", "not_in_bid"}}
    return _digest(head, rows, apart)


def _issued(held: Mapping[str, Any]) -> Issued:
    shares = {name: Decimal(share) for name, share in held["contingency"].items()}
    terms = Loads(
        Decimal(held["overhead"]),
        MappingProxyType(shares),
        bool(held["contingency_carries_overhead"]),
    )
    currency = str(held["currency"])
    columns = tuple(held["columns"])
    lines = tuple(_line(row, columns, currency) for row in held["lines"])
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
        not_in_bid=tuple(_line(row, columns, currency) for row in held["not_in_bid"]),
        users=MappingProxyType({name: tuple(shots) for name, shots in held["users"].items()}),
        terms=terms,
        # Revisions issued before makings that count no more were in the bid have none.
        past=tuple(map(_past_making, held.get("past", ()))),
    )
    is_first = held["form"] == _FIRST_FORM
    return Issued(
        _stamp(held),
        bid,
        _said_once(held["said"]) if is_first else _given(held["conditions"]),
        {name: _rate_of(name, each, currency) for name, each in held["rates"].items()},
        tuple(
            Taken(tuple(members), made, tuple(parts)) for members, made, parts in held["methods"]
        ),
        _date(held["first"]),
        _date(held["last"]),
        int(held["stage_days"]),
        {shot: date.fromisoformat(day) for shot, day in held["finals"].items()},
        {} if is_first else {name: ShotSaid(*each) for name, each in held["shots"].items()},
        None if is_first or held["chances"] is None else _drawn(held["chances"]),
    )


def _given(held: Mapping[str, Any]) -> Conditions:
    return Conditions(
        assumes=tuple(held["assumes"]),
        assumed=tuple(
            Assumed(Quantity(name, value, unit, Standing.ASSUMED), lines, Decimal(cost))
            for name, value, unit, lines, cost in held["assumed"]
        ),
        missing=tuple(
            MissingFrom(name, rests, assumed, tuple(elements))
            for name, rests, assumed, elements in held["missing"]
        ),
        excludes=tuple(held["excludes"]),
        unpriced=tuple(held["unpriced"]),
        supplied=tuple(held["supplied"]),
        versions=held["versions"],
        retakes=held["retakes"],
        valid_until=_date(held["valid_until"]),
        payment=held["payment"],
        insurance=tuple(held["insurance"]),
        escalation=held["escalation"],
    )


def _said_once(held: Mapping[str, Any]) -> Conditions:
    """Of the first form, whose sentences are kept as they stand."""
    return Conditions(
        assumes=tuple(held["assumes"]),
        assumed=(),
        missing=(),
        excludes=tuple(held["excludes"]),
        unpriced=(),
        supplied=tuple(held["supplied"]),
        versions=None,
        retakes=None,
        valid_until=_date(held["valid_until"]),
        payment="",
        insurance=(),
        escalation="; ".join(held["terms"]),
    )


def _drawn(held: Mapping[str, Any]) -> Chances:
    return Chances(
        mean=held["mean"],
        apart=held["apart"],
        deviation=held["deviation"],
        kept=dict(held["kept"]),
        draws=held["draws"],
        correlation=held["correlation"],
        uncertain=held["uncertain"],
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


def _line(row: list[Any], columns: Sequence[str], currency: str) -> BidLine:
    said = dict(zip(columns, row, strict=True))
    figures = _figures([said[name] for name in _SUMS])
    # The first form has no such column.
    factors = tuple(Quantity(*each) for each in said.get("factors", ()))
    reason = Quantity(
        said["what"], float(figures.likely), currency, reason=said["arithmetic"], inputs=factors
    )
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
        is_spent=bool(said.get("spent")),
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


def _past_making(row: list[Any]) -> PastMaking:
    element, why, is_again, cost, days, *held = row  # Not told by revisions issued before.
    lost = tuple((stage, date.fromisoformat(day)) for stage, day in days)
    return PastMaking(element, why, is_again, Decimal(cost), lost, Decimal(held[0] if held else 0))


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
