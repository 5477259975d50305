"""The bid on one page, and the bid with one line to a shot.

Takes a bid, what it rests on and how likely it is kept, gives text of 80 columns. Works nothing
out.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from planner.bid import by_use, rollup
from planner.bid.rollup import dead_costs
from planner.model.names import counted, day_words
from planner.pages.bid_text import how_summed, spent_words, use_words
from planner.pages.wording import WIDTH, dead_said, figure, folded, missing_said, name_said

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from planner.bid import Bid, Figures
    from planner.bid.conditions import Conditions
    from planner.bid.revision import ShotSaid
    from planner.bid.spread import Chances

_FIRST = 6
_FEW = 3
_NAME = 35
_SAID = {0.5: "as likely as not", 0.8: "four times in five", 0.9: "nine times in ten"}
OPEN_ENDED = "valid until ____ (no day is stated)"
"""Of a bid that nobody has said a last day of: room to write one in."""


def bid_summary_text(bid: Bid, conditions: Conditions, chances: Chances) -> str:
    """One page: sums by sequence, loads, chances, and everything it is given on.

    Args:
        bid: priced.
        conditions: what it rests on.
        chances: of keeping the cost.
    """
    lines = [*folded(f"{bid.title}: the bid on one page, in {bid.currency}"), ""]
    lines.append(f"{'':{_NAME}}{'low':>15}{'likely':>15}{'high':>15}")
    sums = rollup(bid, "sequence").items()
    lines += (_sums(name_said(name), each) for name, each in sums)
    lines += [_sums("cost", bid.cost)]
    lines += (_sums(load.name, load.figures) for load in bid.loads)
    lines += [_sums("total", bid.total), "", *_chances(bid, chances)]
    lines += how_summed(bid)
    lines += (row for each in spent_words(bid) for row in folded(each, "", "  "))
    for heading, sentences in conditions_said(conditions, bid):
        if sentences:
            lines += ["", heading]
            lines += (row for each in sentences for row in folded(each, "  ", "    "))
    return "".join(f"{line}\n" for line in lines)


def _sums(name: str, figures: Figures) -> str:
    head, *rest = folded(name, "", "  ", width=_NAME - 1)
    sums = f"{figures.low:>15,.2f}{figures.likely:>15,.2f}{figures.high:>15,.2f}"
    return "\n".join([f"{head:{_NAME}}{sums}", *rest])


def _chances(bid: Bid, chances: Chances) -> list[str]:
    kept = "; ".join(f"{_SAID[chance]} {limit:,.0f}" for chance, limit in chances.kept.items())
    contingency = (each for each in bid.loads if each.name.startswith("contingency"))
    held_back = sum((each.figures.likely for each in contingency), Decimal(0))
    said = [
        (
            f"Cost before loads is kept under: {kept}. From {chances.draws:,} draws, costs of one"
            f" craft erring together by {chances.correlation:.0%}; expected {chances.mean:,.0f}."
        ),
        f"Likely cost with contingency: {bid.cost.likely + held_back:,.2f}.",
    ]
    return [row for each in said for row in folded(each, "", "  ")]


def conditions_said(conditions: Conditions, bid: Bid) -> Iterator[tuple[str, Sequence[str]]]:
    """What a bid is given on: headings with their sentences, which may be none."""
    yield "Included", list(_included(conditions))
    yield "Terms", list(_terms(conditions))
    yield "The production supplies", conditions.supplied
    yield (
        "Not in the bid",
        [*conditions.excludes, *_first([f"not priced: {e}" for e in conditions.unpriced])],
    )
    yield "Taken for granted", conditions.assumes
    yield (
        "Assumed, for want of a fact",
        _first(
            [
                f"{each.quantity.name}, {figure(each.quantity.value, each.quantity.unit)}:"
                f" {each.cost:,.2f} rests on it, in {counted(each.lines, 'line')}"
                for each in conditions.assumed
            ]
        ),
    )
    yield (
        "Missing",
        _first(
            [
                f"{each.name.replace('_', ' ')} of {_of_which(each.elements)}"
                f"{f': {missing_said(each.by)}' if each.by else ''}; on it rests {each.rests}"
                for each in conditions.missing
            ]
        ),
    )
    dead = dead_costs(bid).items()
    yield (
        "Dead cost",
        [dead_said(id_, cost) for id_, cost in dead],
    )
    spares = map(name_said, conditions.insurance)
    yield "Insurance", [f"a spare of {name} is in its price" for name in spares]


def _of_which(elements: Sequence[str]) -> str:
    """The few by name, the many by their count."""
    few = len(elements) <= _FEW
    return ", ".join(map(name_said, elements)) if few else counted(len(elements), "element")


def _included(conditions: Conditions) -> Iterator[str]:
    if conditions.versions is not None:
        yield f"{counted(conditions.versions, 'version')} of each composite"
    if conditions.retakes is not None:
        yield f"{counted(conditions.retakes, 'retake')} of each element"


def _terms(conditions: Conditions) -> Iterator[str]:
    """How prices rise, when it is paid, and the last day on which it may be accepted."""
    if conditions.escalation:
        yield conditions.escalation
    if conditions.payment:
        yield f"payment: {conditions.payment}"
    until = conditions.valid_until
    yield f"valid until {day_words(until)}" if until else OPEN_ENDED


def _first(sentences: Sequence[str]) -> list[str]:
    more = len(sentences) - _FIRST
    return [*sentences[:_FIRST], *([f"and {more:,} more"] if more > 0 else [])]


def bid_shots_text(bid: Bid, shots: Mapping[str, ShotSaid]) -> str:
    """Each shot on one line: its frames, what is its own, and with its part of what is shared.

    Args:
        bid: priced.
        shots: by id, in story order.
    """
    own, whole = rollup(bid, "shot"), by_use(bid)
    lines = folded(
        f"{bid.title}: the bid by shot, in {bid.currency}, before loads; with shared: its even part"
        " of what it uses with others as well"
    )
    lines += ["", f"{'':12}{'frames':>7}{'its own':>15}{'with shared':>15}  of"]
    for name, shot in shots.items():
        frames = "?" if shot.frames is None else f"{shot.frames:,}"
        if shot.state != "live":
            lines.append(f"{name:12}{frames:>7}{shot.state:>30}")
            continue
        mine = f"{own[name].likely:,.2f}" if name in own else "0.00"
        sum_ = f"{whole[name].likely:,.2f}" if name in whole else "0.00"
        lines.append(f"{name:12}{frames:>7}{mine:>15}{sum_:>15}  {_cut(shot.says)}")
    for name, each in whole.items():
        if name not in shots:
            lines.append(f"{use_words(name):34}{each.likely:>15,.2f}")
    lines.append(f"{'cost':34}{bid.cost.likely:>15,.2f}")
    return "".join(f"{line}\n" for line in lines)


def _cut(says: str) -> str:
    """As much of a sentence as stands beside the sums."""
    return folded(says, "", width=WIDTH - 51)[0]
