"""The bid on paper: a page of sums, then each shot's lines.

Takes a bid and the show, gives sheets. Works nothing out but what the bid's own rollups give.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from planner.bid import by_use, rollup, total_of
from planner.bid.rollup import SHARED
from planner.model.names import counted, day_words, name_of, sequence_title
from planner.pages.bid_summary import conditions_said
from planner.pages.bid_text import how_summed, spent_words, unpriced_words
from planner.pages.prints.sheet import Listed, Said, Sheet, Table
from planner.pages.wording import figure, plain

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from planner.bid import Bid, BidLine, Figures
    from planner.bid.conditions import Conditions
    from planner.model.show import Show
    from planner.pages.prints.sheet import Block, Cell

SUMS = ("Low", "Likely", "High")
WHOLE = {SHARED: "For the whole show, of no shot in particular"}
SIGNED, DATED = "____________________", "______________"


def bid_sheets(
    show: Show,
    bid: Bid,
    conditions: Conditions,
    shots: Sequence[str] | None,
    foot: str,
) -> tuple[Sheet, ...]:
    """Sums and what they are given on, sums by shot, and the lines of each shot and what is shared.

    Args:
        show: for titles, who signs and what shots are.
        bid: priced.
        conditions: what it is given on.
        shots: ids of the only shots wanted; None for the whole bid.
        foot: which bid it is.
    """
    lines = _by_shot(bid)
    if shots is not None:
        sheets = tuple(_lines(show, bid, each, lines.get(each, [])) for each in shots)
        return tuple(replace(each, foot=foot) for each in sheets)
    detailed = tuple(
        _lines(show, bid, each, lines[each]) for each in (*show.shots, "") if each in lines
    )
    sheets = (_summary(show, bid, conditions), _shots(show, bid), *detailed)
    return tuple(replace(each, foot=foot) for each in sheets)


def _by_shot(bid: Bid) -> dict[str, list[BidLine]]:
    lines: dict[str, list[BidLine]] = {}
    for line in (*bid.lines, *bid.not_in_bid):
        lines.setdefault(line.shot, []).append(line)
    return lines


def _sums(figures: Figures) -> tuple[str, ...]:
    return tuple(f"{each:,.2f}" for each in (figures.low, figures.likely, figures.high))


def _summary(show: Show, bid: Bid, conditions: Conditions) -> Sheet:
    sequences = [
        (_title(show, name), *_sums(each)) for name, each in rollup(bid, "sequence").items()
    ]
    phases = [(name.capitalize(), *_sums(each)) for name, each in rollup(bid, "phase").items()]
    loads = [
        (f"{load.name.capitalize()}, {plain(float(load.share * 100))} %", *_sums(load.figures))
        for load in bid.loads
    ]
    ends = [("Cost", *_sums(bid.cost)), *loads, ("Total", *_sums(bid.total))]
    blocks: tuple[Block, ...] = (
        Table(
            (f"In {bid.currency}", *SUMS),
            (*sequences, *ends),
            (1, 0, 0, 0),
            "By sequence",
            right=(1, 2, 3),
            sums=len(ends),
        ),
        Table(
            (f"In {bid.currency}", *SUMS),
            (*phases, ("Cost", *_sums(bid.cost))),
            (1, 0, 0, 0),
            "By phase",
            right=(1, 2, 3),
            sums=1,
        ),
        Listed("To be read with it", tuple(_remarks(show, bid))),
        *(Listed(name, tuple(said)) for name, said in conditions_said(conditions, bid)),
        _signatures(show),
    )
    live = sum(1 for each in show.shots.values() if each.is_live)
    says = f"{counted(live, 'live shot')} of {len(show.shots)}; every sum in {bid.currency}."
    return Sheet("Bid", "summary", says, blocks, "")


def _signatures(show: Show) -> Table:
    """Room for those show.yaml names; two lines high, as people write larger than type."""
    names = show.facts.group("bid").words("signatures")
    rows = tuple((("", name), ("", SIGNED), ("", DATED)) for name in names)
    return Table(("Accepted by", "Signature", "Date"), rows, (1, 0, 0), "Signatures")


def _title(show: Show, name: str) -> str:
    return sequence_title(name, show) if name in show.sequences else name.capitalize()


def _remarks(show: Show, bid: Bid) -> Iterator[str]:
    yield " ".join(how_summed(bid))
    yield from spent_words(bid)
    if bid.not_in_bid:
        names = ", ".join(dict.fromkeys(line.shot for line in bid.not_in_bid))
        yield f"Not in the bid: {names}."
    if bid.unpriced:
        unpriced = (name_of(line.element or line.what, show) for line in bid.unpriced)
        names = ", ".join(dict.fromkeys(unpriced))
        yield f"{unpriced_words(bid)}: {names}."
    for each in show.deliveries:
        shots = counted(len(each.shots), "shot")
        yield f"Delivery {each.id.replace('_', ' ')}: {shots} by {day_words(each.day)}."


def _shots(show: Show, bid: Bid) -> Sheet:
    rows = []
    for name, figures in by_use(bid).items():
        shot = show.shots.get(name)
        what: Cell = name if shot else WHOLE.get(name, name.capitalize())
        if shot and shot.says:
            what = (name, shot.says)
        rows.append((what, *_sums(figures)))
    rows.append(("Cost", *_sums(bid.cost)))
    table = Table((f"In {bid.currency}", *SUMS), tuple(rows), (1, 0, 0, 0), right=(1, 2, 3), sums=1)
    says = "What is shared is split evenly over the shots that use it."
    return Sheet("Bid", "by shot", says, (table,), "")


def _parts(line: BidLine) -> str:
    """Quantity and rate; of what is shared, the part of the whole."""
    parts = [figure(part.value, part.unit) for part in line.reason.inputs]
    if line.reckoning is not None and line.reckoning.cut is not None and len(parts) == 3:
        return f"{parts[0]}, {parts[1]} of {parts[2]}"
    return " × ".join(parts)


def _lines(show: Show, bid: Bid, shot: str, lines: Sequence[BidLine]) -> Sheet:
    rows: list[tuple[Cell, ...]] = []
    element = ""
    first = {line.element: at for at, line in reversed(list(enumerate(lines)))}
    for line in sorted(lines, key=lambda line: first[line.element]):
        parts = _parts(line)
        what = line.what if line.is_priced else f"{line.what} (no rate)"
        named = name_of(line.element, show).removeprefix(f"{shot}.")
        name = "" if line.element == element else named
        rows.append((name, what, parts, *_sums(line.figures)))
        element = line.element
    total = total_of(line.figures for line in lines)
    if rows:
        rows.append(("Cost", "", "", *_sums(total)))
    heads = ("Piece", "What", "Quantity × rate", *SUMS)
    table = Table(heads, tuple(rows), (1, 1.9, 2.1, 0, 0, 0), right=(3, 4, 5), sums=1)
    stated = show.shots.get(shot)
    says = [stated.says if stated else "Builds, tests, permits, sets, stages and show costs."]
    if stated and not stated.is_live:
        says.append(f"The shot is {stated.state}: none of this is in the bid's sums.")
    says.append(f"Sums in {bid.currency}, without overhead and contingency.")
    empty = () if rows else (Said("Nothing of its own is paid for."),)
    return Sheet("Bid lines", shot or SHARED, " ".join(says), (table, *empty), "")
