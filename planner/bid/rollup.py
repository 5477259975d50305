"""Sums of a bid, cut several ways, each to the same total to the cent.

Takes lines already rounded, gives sums by any of their sides, shares of what is shared, and loads.
Rounds nothing that has been rounded; splits by largest remainder. Knows nothing of rates.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import accumulate
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal, TypeAlias

from planner.bid.lines import CENT, NOTHING, ONE, Figures, LoadLine, total_of
from planner.kinds import Risk
from planner.model.quantity import Quantity, Standing

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from planner.bid.lines import Bid, BidLine
    from planner.model.show import Loads

By: TypeAlias = Literal["sequence", "shot", "kind", "craft", "phase", "month", "account"]

SHARED = "shared"
DEAD = "dead cost"
_KEYS: Mapping[By, Callable[[BidLine], str]] = MappingProxyType(
    {
        "sequence": lambda line: line.sequence or SHARED,
        "shot": lambda line: line.shot or SHARED,
        "kind": lambda line: line.kind or SHARED,
        "craft": lambda line: line.craft,
        "phase": lambda line: line.phase_name,
        "month": lambda line: line.month or "undated",
        "account": lambda line: line.account or "no account",
    }
)
SIDES: tuple[By, ...] = tuple(_KEYS)


def side_of(by: By) -> Callable[[BidLine], str]:
    """What a line is filed under on one of its sides."""
    return _KEYS[by]


def rollup(bid: Bid, by: By) -> dict[str, Figures]:
    """Sums of the lines by one of their sides; together exactly ``bid.cost``.

    Months are in order; everything else stands in the order of the lines, what is shared last.
    """
    key = _KEYS[by]
    groups: defaultdict[str, list[Figures]] = defaultdict(list)
    for line in bid.lines:
        groups[key(line)].append(line.figures)
    sums = {name: total_of(figures) for name, figures in groups.items()}
    if by == "month":
        return dict(sorted(sums.items()))
    if SHARED in sums:
        sums[SHARED] = sums.pop(SHARED)
    return sums


def by_use(bid: Bid) -> dict[str, Figures]:
    """Sums by shot, each thing outside shots split evenly over the live shots that use it.

    What no live shot uses stays apart under ``shared``, or under ``dead cost`` where every shot
    that used it is omitted. Together exactly ``bid.cost``.
    """
    sums: defaultdict[str, Figures] = defaultdict(lambda: NOTHING)
    shared: defaultdict[tuple[str, bool], Figures] = defaultdict(lambda: NOTHING)
    for line in bid.lines:
        if line.shot:
            sums[line.shot] += line.figures
        else:
            shared[line.element, line.is_dead] += line.figures
    left: defaultdict[str, Figures] = defaultdict(lambda: NOTHING)
    for (element, is_dead), figures in shared.items():
        users = bid.users.get(element, ())
        if users:
            for shot, part in zip(users, split(figures, (1,) * len(users)), strict=True):
                sums[shot] += part
        else:
            left[DEAD if is_dead else SHARED] += figures
    return {**sums, **left}


def dead_costs(bid: Bid) -> dict[str, Decimal]:
    """Likely sums, before loads, of what only omitted shots use, by element."""
    sums: defaultdict[str, Decimal] = defaultdict(Decimal)
    for line in bid.lines:
        if line.is_dead:
            sums[line.element] += line.figures.likely
    return dict(sums)


def split(figures: Figures, weights: Sequence[float]) -> tuple[Figures, ...]:
    """Each of the three figures shared out by `weights`; see `shared_out`."""
    columns = (
        shared_out(figures.low, weights),
        shared_out(figures.likely, weights),
        shared_out(figures.high, weights),
    )
    return tuple(Figures(*row) for row in zip(*columns, strict=True))


def shared_out(total: Decimal, weights: Sequence[float]) -> tuple[Decimal, ...]:
    """`total` split by `weights` to the cent, so that the parts sum to it exactly.

    Every part is first cut down to whole cents; the cents left over go one each to the parts that
    lost most, the first of equals first (largest remainder).

    Args:
        total: whole cents, of either sign.
        weights: none below 0; all of them 0 means even shares.

    Raises:
        ValueError: no weights, or one below 0; a caller's mistake.
    """
    if not weights or min(weights) < 0:
        raise ValueError("shares need weights, none below 0")
    exact = [Fraction(each) for each in weights]
    whole = sum(exact)
    if not whole:
        exact, whole = [Fraction(1)] * len(exact), Fraction(len(exact))
    cents = int(abs(total) / CENT)
    ideal = [cents * each / whole for each in exact]
    parts = [int(each) for each in ideal]
    neediest = sorted(range(len(parts)), key=lambda each: parts[each] - ideal[each])
    for each in neediest[: cents - sum(parts)]:
        parts[each] += 1
    unit = CENT if total >= 0 else -CENT
    return tuple(part * unit for part in parts)


def in_turn(weights: Sequence[Decimal]) -> tuple[tuple[Decimal, Decimal, Decimal], ...]:
    """Where each of several begins and ends on the way to the whole, for `Reckoning.cut`.

    Parts cut so sum to the whole to the cent at any price, none more than a cent off its due; a
    spreadsheet can do the same, which the largest remainder does not allow.

    Args:
        weights: none below 0; all of them 0 means even shares.
    """
    held = weights if any(weights) else [ONE] * len(weights)
    ends = list(accumulate(held))
    return tuple((end - own, end, ends[-1]) for own, end in zip(held, ends, strict=True))


def with_lines(bid: Bid, lines: tuple[BidLine, ...]) -> Bid:
    """The bid of other lines, its loads and sums of them."""
    loads = loads_on(lines, bid.terms, bid.currency)
    cost = total_of(line.figures for line in lines)
    total = total_of((cost, *(load.figures for load in loads)))
    return replace(bid, lines=lines, loads=loads, cost=cost, total=total)


def loads_on(lines: Iterable[BidLine], terms: Loads, currency: str) -> tuple[LoadLine, ...]:
    """Contingency on the lines of each class of risk, and overhead, each rounded once.

    Args:
        lines: already rounded.
        terms: shares, and whether overhead is also taken on contingency.
        currency: of the sums, for their reasons.
    """
    by_risk: defaultdict[Risk, list[Figures]] = defaultdict(list)
    for line in lines:
        by_risk[line.risk].append(line.figures)
    cost = {risk: total_of(by_risk[risk]) for risk in Risk if risk in by_risk}
    loads = [
        _load(f"contingency, {risk.value}", share, base, currency)
        for risk, base in cost.items()
        if (share := terms.contingency.get(risk.value, Decimal(0)))
    ]
    if terms.overhead:
        held_back = total_of(load.figures for load in loads)
        loads.append(_load("overhead", terms.overhead, total_of(cost.values()), currency))
        if terms.contingency_carries_overhead and held_back != NOTHING:
            loads.append(_load("overhead on contingency", terms.overhead, held_back, currency))
    return tuple(loads)


def loaded(lines: Iterable[BidLine], terms: Loads) -> Figures:
    """What `lines` cost with the contingency and overhead they carry."""
    held = tuple(lines)
    loads = loads_on(held, terms, "")
    cost = total_of(line.figures for line in held)
    return total_of((cost, *(load.figures for load in loads)))


def _load(name: str, share: Decimal, base: Figures, currency: str) -> LoadLine:
    figures = base.times(share)
    taken_on = Quantity("taken on", float(base.likely), currency, reason="sum of the lines")
    part = Quantity("share", float(share), "1", Standing.GIVEN, reason="show.yaml")
    reason = Quantity(
        name,
        float(figures.likely),
        currency,
        reason="cost x share, to the cent, halves up",
        inputs=(taken_on, part),
    )
    return LoadLine(name, share, base, figures, reason)
