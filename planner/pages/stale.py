"""What was made and no longer stands, as a list, worst first, and for machines.

Takes priced judgements, gives text of 80 columns or JSON. Works nothing out.
"""

from __future__ import annotations

import json
from decimal import Decimal
from typing import TYPE_CHECKING

from planner.model.names import counted, day_words
from planner.pages.reasons import reason_text
from planner.pages.wording import WIDTH, folded, plain
from planner.status.verdicts import Verdict

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from planner.bid.lines import Figures, PastMaking
    from planner.kinds import Hours
    from planner.ledger import Event
    from planner.status.judging import Judgement
    from planner.status.mending import Stale, Unwanted

UNPOSTED = "by today's facts and rates, a stage by its own hours; nothing is posted"
"""What is lost on a piece, where no revision of the bid was issued."""
_PRICED = ", as posted, else as its work is priced"


def stale_text(
    stale: Sequence[Stale],
    good: Sequence[Judgement],
    apart: tuple[Sequence[str], Sequence[Unwanted], Sequence[PastMaking]],
    currency: str,
    *,
    numbers: bool = False,
) -> str:
    """The sums, each piece that is not good with its reasons, then what is good but worth a word.

    Args:
        stale: pieces that are not good, worst first.
        good: the others of which something was made.
        apart: pieces whose facts were not kept; pieces made and omitted since; makings that count
            no more for another cause than that facts changed.
        currency: of the sums.
        numbers: open each judgement to its arithmetic.
    """
    unknown, unwanted, again = apart
    blocks = [folded(_opening(stale, good, currency), "", "  ")] if stale or good else []
    if not (blocks or unwanted or again):
        blocks = [["Nothing has been posted as made, so nothing can be stale."]]
    for each in stale:
        blocks.append(list(_piece(each, currency)))
        if numbers:
            lines = [
                row
                for number in each.judgement.numbers
                for row in _opened(reason_text(number, width=WIDTH - 4))
            ]
            blocks[-1] += lines
    told = [each for each in good if each.reasons]
    if told:
        rows = [row for each in told for row in _good(each)]
        blocks.append(["Still good, though facts changed", *rows])
    if again:
        says = "Made, and made again for another cause"
        spent = [
            (f"{each.element}, {each.why}", each.cost, f"{_PRICED}{_held(each)}") for each in again
        ]
        blocks.append(list(_listed((says, "spent"), spent, currency)))
    if unwanted:
        says = "Made, and omitted since"
        lost = [
            (each.id, each.lost, f" {_spent_how(each)}; {_made(each.made)}") for each in unwanted
        ]
        blocks.append(list(_listed((says, "lost"), lost, currency)))
    if unknown:
        says = f"Made against facts that nobody kept, so not judged: {', '.join(unknown)}."
        blocks.append(folded(says, "", "  "))
    return "\n\n".join("\n".join(each) for each in blocks) + "\n"


def _opening(stale: Sequence[Stale], good: Sequence[Judgement], currency: str) -> str:
    dead = [each for each in stale if each.judgement.verdict is Verdict.DEAD]
    made = len(stale) + len(good)
    if not stale:
        # A take that is no good is not stale: it stands no better and no worse for the facts.
        made_of = f"Something was made of {counted(made, 'piece')}"
        return f"{made_of}; as far as facts have changed, all still stand."
    lost = sum((each.lost or Decimal(0) for each in dead), Decimal(0))
    again = sum((each.costs.likely for each in dead), Decimal(0))
    works = [each for each in stale if each.judgement.verdict is Verdict.WORK]
    mend = sum((each.costs.likely for each in works), Decimal(0))
    says = [f"Of {counted(made, 'piece')} of which something was made"]
    if dead:
        says.append(
            f" {len(dead)} {'is' if len(dead) == 1 else 'are'} dead: {_money(lost, currency)} lost,"
            f" {_money(again, currency)} likely to make again"
        )
    if works:
        verb = "is" if len(works) == 1 else "are"
        says.append(f" {len(works)} {verb} good with work, {_money(mend, currency)} likely")
    return f"{','.join(says[:2])}{';' + says[2] if len(says) > 2 else ''}. Before loads."


def _piece(stale: Stale, currency: str) -> Iterator[str]:
    told = stale.judgement
    yield from folded(f"{told.id}: {stale.words}", "", "  ")
    for reason in told.reasons:
        yield from folded(reason, "  ", "    ")
    for remark in stale.remarks:
        yield from folded(remark, "  ", "    ")
    if told.because:
        yield from folded(f"follows from {', '.join(told.because)}", "  ", "    ")
    if stale.lost is not None:
        said = f"{_money(stale.lost, currency)} {_spent_how(stale)}; {_made(stale.made)}"
        yield from folded(f"lost: {said}", "  ", "    ")
    yield from folded(_next(stale, currency), "  ", "    ")


def _made(event: Event) -> str:
    how = f", take {event.details.take}" if event.details.take else ""
    return f"{event.what}{how}, {day_words(event.at)}"


def _spent_how(told: Stale | Unwanted) -> str:
    """Where the figure of what is lost comes from, a clause."""
    if told.bid_in:
        first = "as posted, else as bid" if told.is_posted else "as bid"
        return f"{first} in {told.bid_in}, with its share of the days held"
    return "posted as spent on it" if told.is_posted else UNPOSTED


def _listed(
    says: tuple[str, str], rows: Sequence[tuple[str, Decimal, str]], currency: str
) -> Iterator[str]:
    """The sum of what was made and counts no more, then each thing of it.

    Args:
        says: why it counts no more, and what became of the money.
        rows: of each thing what it is, its sum, and where that comes from.
        currency: of the sums.
    """
    why, became = says
    total = sum((cost for _who, cost, _how in rows), Decimal(0))
    yield from folded(f"{why}: {_money(total, currency)} {became}, before loads", "", "  ")
    for who, cost, how in rows:
        yield from folded(f"{who}: {_money(cost, currency)}{how}", "  ", "    ")


def _held(past: PastMaking) -> str:
    """What of its days is in a sum, a clause: a share of those that others hold never is."""
    return f", {past.held:,.2f} of it days held" if past.held else ", without days that others hold"


def _next(stale: Stale, currency: str) -> str:
    hours, costs = stale.judgement.hours, stale.costs
    work = f", {_hours(hours)}" if hours else ""
    cost = f", {_figures(costs, currency)}" if costs.high else ""
    return f"next: {stale.act}{work}{cost}"


def _good(told: Judgement) -> Iterator[str]:
    for reason in told.reasons:
        yield from folded(f"{told.id}: {reason}", "  ", "    ")


def _opened(text: str) -> list[str]:
    return [f"    {line}" for line in text.splitlines()]


def _hours(hours: Hours) -> str:
    return f"{plain(hours.low)} to {plain(hours.high)} h, likely {plain(hours.likely)}"


def _figures(costs: Figures, currency: str) -> str:
    span = f"{costs.low:,.2f} to {costs.high:,.2f}"
    return f"{_money(costs.likely, currency)} likely ({span})"


def _money(amount: Decimal, currency: str) -> str:
    return f"{amount:,.2f} {currency}"


def stale_json(
    stale: Sequence[Stale],
    good: Sequence[Judgement],
    apart: tuple[Sequence[str], Sequence[Unwanted], Sequence[PastMaking]],
    currency: str,
) -> str:
    """Every judgement with its numbers; `apart` as `stale_text` has it."""
    unknown, unwanted, again = apart
    value = {
        "currency": currency,
        "stale": [_stale_json(each) for each in stale],
        "good": [_judgement_json(each) for each in good],
        "unknown": list(unknown),
        "omitted": [
            {
                "id": each.id,
                "made": _event_json(each.made),
                "lost": str(each.lost),
                "lost_is_posted": each.is_posted,
                "bid_in": each.bid_in,
            }
            for each in unwanted
        ],
        "made_again": [
            {"id": each.element, "why": each.why, "spent": str(each.cost)} for each in again
        ],
    }
    return json.dumps(value, indent=2, ensure_ascii=False)


def _stale_json(stale: Stale) -> dict[str, object]:
    costs, event = stale.costs, stale.made
    return _judgement_json(stale.judgement) | {
        "state": stale.words,
        "made": _event_json(event),
        "take": event.details.take,
        "lost": str(stale.lost) if stale.lost is not None else None,
        "lost_is_posted": stale.is_posted if stale.lost is not None else None,
        "bid_in": stale.bid_in if stale.lost is not None else "",
        "costs": {"low": str(costs.low), "likely": str(costs.likely), "high": str(costs.high)},
        "next": stale.act,
        "approvals_that_do_not_count": list(stale.remarks),
    }


def _event_json(event: Event) -> dict[str, str]:
    return {"event": event.id, "what": str(event.what), "at": event.at.isoformat()}


def _judgement_json(told: Judgement) -> dict[str, object]:
    hours = told.hours
    return {
        "id": told.id,
        "verdict": str(told.verdict),
        "why": list(told.reasons),
        "short": told.short,
        "hours": [hours.low, hours.likely, hours.high] if hours else None,
        "frames_short": {"head": told.frames_short_head, "tail": told.frames_short_tail},
        "because": list(told.because),
        "changes": [{"name": c.name, "was": c.was, "now": c.now} for c in told.changes],
        "numbers": [
            {"name": n.name, "value": n.value, "unit": n.unit, "reason": n.reason}
            for n in told.numbers
        ],
    }
