"""The bid as text: its sums, or line by line.

Takes a bid, gives text of 80 columns. Works nothing out.
"""

from __future__ import annotations

from decimal import Decimal
from itertools import chain, groupby
from typing import TYPE_CHECKING, Literal

from planner.bid import by_use, rollup
from planner.bid.holding import HOURS_OF_ALL
from planner.bid.lines import SHOW_COST
from planner.bid.rate_book import NO_RATES
from planner.bid.rollup import SHARED, dead_costs
from planner.model.names import counted
from planner.pages.wording import WIDTH, columns, dead_said, figure, folded, name_said, plain

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from planner.bid import Bid, BidLine, By, Figures
    from planner.bid.lines import PastMaking
    from planner.model.quantity import Quantity

MOST_SPENT = 6
"""Makings that count no more, and days held for them, told by name."""


def bid_text(bid: Bid, by: By | Literal["use"] = "sequence") -> str:
    """The bid's sums in three figures, loads apart, then what a reader of them must know.

    Args:
        bid: priced.
        by: side to sum by; ``use`` splits what is shared over the shots that use it.
    """
    sums = by_use(bid) if by == "use" else rollup(bid, by)
    rows = [(side_words(name, by), each) for name, each in sums.items()]
    loads = [
        (f"{load.name}, {plain(float(load.share * 100))} % of {load.base.likely:,.2f}", load)
        for load in bid.loads
    ]
    table = [*rows, ("cost", bid.cost), *((name, load.figures) for name, load in loads)]
    table.append(("total", bid.total))
    span = max(12, *(len(f"{figures.high:,.2f}") for _, figures in table)) + 1
    room = max(WIDTH - 3 * span, 16)
    rule = "-" * (room + 3 * span)
    heading = "".join(f"{each:>{span}}" for each in ("low", "likely", "high"))
    parts = [_row(*each, room, span) for each in table]
    body = [
        *chain.from_iterable(parts[: len(rows)]),
        rule,
        *chain.from_iterable(parts[len(rows) :]),
    ]
    title = folded(f"{bid.title}: bid by {by}, in {bid.currency}")
    lines = [*title, "", " " * room + heading, rule, *body, ""]
    return "\n".join([*lines, *_bid_remarks(bid)]) + "\n"


def side_words(name: str, by: By | Literal["use"]) -> str:
    """What a sum is of; shots and accounts stand as the production writes them."""
    if by == "use":
        return use_words(name)
    return name.replace("_", " ") if by in {"sequence", "craft", "kind"} else name


def use_words(name: str) -> str:
    """What a sum by use is of: of what is shared, only that is left which no one shot uses."""
    return "used by no one shot" if name == SHARED else name


def _row(name: str, figures: Figures, room: int, span: int) -> list[str]:
    """A name and its three figures; a long name is folded, the figures beside its last line."""
    lines = folded(name, "", "  ", width=room - 1)
    padding = " " * (room - columns(lines[-1]))
    sums = (figures.low, figures.likely, figures.high)
    lines[-1] += padding + "".join(f"{each:>{span},.2f}" for each in sums)
    return lines


def _bid_remarks(bid: Bid) -> list[str]:
    said = [*how_summed(bid), *spent_words(bid)]
    said.extend(f"Dead cost: {dead_said(*each)}." for each in dead_costs(bid).items())
    apart: dict[str, Decimal] = {}
    for line in bid.not_in_bid:
        apart[line.shot] = apart.get(line.shot, Decimal(0)) + line.figures.likely
    said.extend(
        f"Not in the bid: {shot}, {cost:,.2f} likely without stage days."
        for shot, cost in apart.items()
    )
    lines = [row for each in said for row in folded(each, "", "  ")]
    if bid.unpriced:
        lines.append(f"{unpriced_words(bid)}:")
        for thing, what in unpriced_by_thing(bid):
            lines.extend(folded(f"{name_said(thing)}: {what}", "  ", "    "))
    return lines


def spent_words(bid: Bid) -> Iterator[str]:
    """What is lost, what is paid on makings that count no more, and days held for those."""
    yield from _dearer_words(bid)
    yield from _loss_words(bid)
    yield from _called_again_words(bid)
    for is_again, heading in ((True, "Spent, and made again"), (False, "Spent, and not wanted")):
        mine = [each for each in bid.past if each.is_again is is_again]
        if not mine:
            continue
        named = [
            f"{name_said(each.element)}, {each.cost:,.2f}{_held_words(each)} ({each.why})"
            for each in mine
        ]
        more = f"; and {len(named) - MOST_SPENT:,} more" if len(named) > MOST_SPENT else ""
        whole = sum((each.cost for each in mine), Decimal(0))
        sums = f" {whole:,.2f} in all:" if len(mine) > 1 else ""
        yield f"{heading}:{sums} {'; '.join(named[:MOST_SPENT])}{more}."
    days = sorted({day for each in bid.past for day in each.days}, key=lambda row: row[::-1])
    if days:
        listed = ", ".join(f"{name_said(stage)} {day}" for stage, day in days[:MOST_SPENT])
        more = f" and {len(days) - MOST_SPENT:,} more" if len(days) > MOST_SPENT else ""
        yield f"Held for them, and by no call any more: {listed}{more}."


def _held_words(past: PastMaking) -> str:
    """How much of a cost is of days held, by no call now; empty where others hold them all."""
    return f", {past.held:,.2f} of it days held" if past.held else ""


def _dearer_words(bid: Bid) -> Iterator[str]:
    """One sentence: the sum that several things make, and what may all be in it."""
    dearer, again = bid.dearer, bid.called_again
    if dearer is None:
        return
    made_by = ["going on around what is lost"] if dearer.is_around else []
    if again is not None and again.calls:
        made_by.append(f"{counted(again.calls, 'past call')} not posted")
    elif again is not None:
        made_by.append(f"{counted(again.posted, 'call')} posted late")
    if dearer.changed:
        more = len(dearer.changed) - MOST_SPENT
        named = ", ".join((*dearer.changed[:MOST_SPENT], *([f"{more:,} more"] if more > 0 else [])))
        made_by.append(f"what else changed since ({named})")
    yield (
        f"Beside what order {dearer.beside} called: {dearer.more:+,.2f} likely, in the total. In"
        f" it, not told apart: {'; '.join(made_by)}."
    )


def _loss_words(bid: Bid) -> Iterator[str]:
    """One sentence: what is lost of what is scarce, and what that costs."""
    if bid.losses is None:
        return
    things = "; ".join(bid.losses.things)
    if bid.dearer is not None and bid.dearer.is_around:
        yield f"Lost: {things}."
        return
    if bid.losses.cost is None:
        told = "called all the same, so that the bid has nothing of what that costs; plan again"
    else:
        told = (
            f"going on around it costs {bid.losses.cost:+,.2f} likely, in the total, beside what"
            f" order {bid.losses.beside} called"
        )
    yield f"Lost: {things}: {told}."


def _called_again_words(bid: Bid) -> Iterator[str]:
    """One sentence: what is past, not posted and called again, what that costs, and what to do.

    Another of what was posted since, and is called all the same until somebody plans again.
    """
    again = bid.called_again
    if again is None:
        return
    costs = (
        ""
        if again.more is None
        else f": {again.more:+,.2f} likely, in the total, beside what order {again.beside} called"
    )
    of = f"of order {again.beside} before {again.day}"
    plan = f"`platewright order SHOW --from {again.plan_from} --issue`"
    if not again.calls:
        yield (
            f"Past and posted since: {counted(again.posted, 'call')} {of}, still called again"
            f"{costs}. Planning again takes that away: {plan}."
        )
        return
    left = len(again.posts) - MOST_SPENT
    more = f"; and {left:,} more piece{'' if left == 1 else 's'}" if left > 0 else ""
    yield (
        f"Past and not posted: {counted(again.calls, 'call')} {of}, so that they are still to be"
        f" done{costs}. Post what was done, with its day after `--at`:"
        f" {'; '.join(again.posts[:MOST_SPENT])}{more}."
    )
    if again.posted:
        yield (
            f"Posted since, and called again all the same: {counted(again.posted, 'call')}."
            f" Planning again leaves out what is posted: {plan}."
        )


def how_summed(bid: Bid) -> tuple[str, str]:
    """What contingency carries, and how lines are rounded, a sentence each."""
    carries = "carries" if bid.terms.contingency_carries_overhead else "does not carry"
    return f"Contingency {carries} overhead.", "Every line is rounded to the cent, halves up."


def unpriced_by_thing(bid: Bid) -> Iterator[tuple[str, str]]:
    """What stands at 0: each thing once, with all of it that has no rate."""
    found: dict[str, list[str]] = {}
    for line in bid.unpriced:
        found.setdefault(line.element or "the show", []).append(line.what)
    for thing, works in found.items():
        yield thing, ", ".join(dict.fromkeys(works))


def unpriced_words(bid: Bid) -> str:
    """How many lines stand at 0, and why."""
    none = any(each.code == NO_RATES for each in bid.problems)
    why = "as the show has no rates.yaml" if none else "for want of a rate"
    return f"{counted(len(bid.unpriced), 'line')} at 0 {why}"


def bid_lines_text(bid: Bid) -> str:
    """Every line under its element: what, quantity x rate, likely sum, and its range."""
    lines = [f"{bid.title}: every line, in {bid.currency}"]
    for thing, group in groupby(bid.lines, key=_heading):
        lines += ["", thing]
        lines += (row for line in group for row in _rows(line))
    lines += ["", f"{'cost':<52}{bid.cost.likely:>28,.2f}"]
    lines += (f"{load.name:<52}{load.figures.likely:>28,.2f}" for load in bid.loads)
    lines.append(f"{'total':<52}{bid.total.likely:>28,.2f}")
    return "".join(f"{row}\n" for row in lines)


def _heading(line: BidLine) -> str:
    """What a line stands under: its element, else its shot, else who pays it."""
    if line.kind == SHOW_COST:
        thing = name_said(line.element) or line.shot
        return f"{thing}, {SHOW_COST}" if thing else "show"
    return name_said(line.element) or "held for no one thing"


def _reckoned(inputs: Sequence[Quantity]) -> str:
    """What is multiplied, and what is shared by the hours of all divided by those."""
    signs = ("", *(" / " if part.name == HOURS_OF_ALL else " x " for part in inputs[1:]))
    parts = (figure(part.value, part.unit) for part in inputs)
    return "".join(f"{sign}{part}" for sign, part in zip(signs, parts, strict=False))


def _rows(line: BidLine) -> Iterator[str]:
    sums = f"{line.figures.likely:>14,.2f}"
    says = line.what if line.is_priced else f"{line.what} (no rate)"
    says += " (spent on a making that counts no more)" if line.is_spent else ""
    head, *rest = folded(says, "  ", "    ", width=64)
    yield f"{head:<66}{sums}"
    yield from rest
    parts = _reckoned(line.reason.inputs)
    span = f"{line.figures.low:,.2f} to {line.figures.high:,.2f}"
    yield from folded(f"{parts}; {span}" if parts else span, "      ", "      ")
