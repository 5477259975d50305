"""What a change costs, for somebody to sign.

Takes a comparison with the accepted revision and what was spent, gives a `ChangeOrder`. Money spent
on what is gone, and on a build nobody uses any more, never vanishes: it is dead, not saved. A spare
that was never needed is insurance, and told apart.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, TypeAlias

from planner.bid.actuals import of_the_making
from planner.bid.compare import NIL, Change, Comparison
from planner.bid.holding import DAYS_HELD, FOR_NO_CALL, HELD
from planner.bid.lines import SHOW_COST
from planner.bid.outlook import moved
from planner.bid.overtime import OVERTIME

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date
    from decimal import Decimal

    from planner.bid.actuals import Standing
    from planner.bid.lines import Bid, BidLine
    from planner.bid.outlook import Moved, Outlook
    from planner.model.show import WorkCalendar

ChangeCause: TypeAlias = Literal["recut", "late plate", "director", "our error", "act of weather"]


@dataclass(frozen=True, slots=True)
class Dead:
    """Money that bought what is no longer wanted.

    Attributes:
        what: it bought.
        cost: likely where it is still in the bid, as posted where the line is gone.
        is_in_bid: whether the bid still holds it.
    """

    what: str
    cost: Decimal
    is_in_bid: bool


@dataclass(frozen=True, slots=True)
class Lost:
    """A making that was paid and counts no more, of which the accepted revision had less.

    Attributes:
        element: id.
        cost: of its hands and purchases, as posted, else as priced.
        held: of what it held by the day on days that no order holds any more.
        why: it counts no more, a few words.
        is_omitted: whether it is not made again.
    """

    element: str
    cost: Decimal
    held: Decimal
    why: str = ""
    is_omitted: bool = False

    @property
    def whole(self) -> Decimal:
        """Its cost with what it held, before loads."""
        return self.cost + self.held


@dataclass(frozen=True, slots=True)
class First:
    """What making something once cost.

    Attributes:
        cost: line by line as posted, else as a bid has it; without what is held by the day.
        held: its shares of what is held by the day, where nothing is posted on them.
    """

    cost: Decimal
    held: Decimal

    @property
    def whole(self) -> Decimal:
        """Its cost with its shares of what is held, before loads."""
        return self.cost + self.held


@dataclass(frozen=True, slots=True)
class ChangeOrder:
    """A change, priced.

    Attributes:
        comparison: with the revision it changes.
        cause: of it; empty where nobody says.
        spent: posted to date on everything; None where nothing was posted.
        added: likely cost of what is new or grew. What is held by the day counts as a whole: a
            share of it that another shot takes over is neither added nor saved.
        saved: likely cost of what is gone or shrank, less what was spent on the gone.
        dead: spent on what is gone, and builds that only omitted shots use.
        lost: paid and counting no more, more than the accepted revision had of it; neither added
            nor saved.
        lost_days: id of a stage and a day that was held for one of them and no order holds any
            more; its cost is in `lost`.
        insurance: builds with a spare among what is gone or unused; not waste.
        loads: what contingency and overhead change by.
        net: ``added - saved + lost + loads``: what the production pays more; below nought, less.
        days: working days by which the last call moves; below nought, earlier.
        as_issued: which issued order the days are of, a clause, where it was not planned again
            since and so has no day yet for what is made again; empty where all has its days.
        stage_days: by how many more stages are held.
        finals: shots whose composites move, with both days.
        signatures: who must sign.
        valid_until: last day on which it may be signed; None where nobody says.
        by_planning: of the net, before loads, what days held and overtime come to in the order as
            it now stands; the rest comes of what is made and of its rates.
        without: what would come of the show with the cut as it was and all else as it is, its order
            planned on alike; None where the cut is the same or nobody can say.
        days_by_cut: of `days`, those that the cut makes; 0 where `without` is None.
    """

    comparison: Comparison
    cause: ChangeCause | Literal[""]
    spent: Decimal | None
    added: Decimal
    saved: Decimal
    dead: tuple[Dead, ...]
    lost: tuple[Lost, ...]
    lost_days: tuple[tuple[str, date], ...]
    insurance: tuple[str, ...]
    loads: Decimal
    net: Decimal
    days: int
    stage_days: int
    finals: tuple[Moved, ...]
    signatures: tuple[str, ...]
    valid_until: date | None
    by_planning: Decimal = NIL
    without: Outlook | None = None
    days_by_cut: int = 0
    as_issued: str = ""

    @property
    def net_since(self) -> Decimal:
        """Of the net, what it would be with the cut as it was."""
        if self.without is None:
            return NIL
        return self.without.total - self.comparison.before.bid.total.likely

    @property
    def net_by_cut(self) -> Decimal:
        """The rest of it, which the cut makes."""
        return self.net - self.net_since

    @property
    def finals_by_cut(self) -> tuple[Moved, ...]:
        """Composites that the cut moves, with the day each would have without it."""
        return moved(self.without.finals, self.comparison.after.finals) if self.without else ()

    @property
    def finals_since(self) -> tuple[Moved, ...]:
        """Composites that have moved since, whatever becomes of the cut."""
        return moved(self.comparison.before.finals, self.without.finals) if self.without else ()

    @property
    def lost_cost(self) -> Decimal:
        """What is paid and counts no more, of the net, before loads."""
        return sum((each.whole for each in self.lost), NIL)


@dataclass(frozen=True, slots=True)
class Terms:
    """What is said of a change beside its sums, and what it is held against.

    Attributes:
        cause: of it; empty where nobody says.
        signatures: who must sign.
        valid_until: last day on which it may be signed.
        spares: ids of builds that hold a spare.
        without: what would come of the show with its cut as it was; see `ChangeOrder`.
        as_issued: which order the later revision is priced on, a clause, where that was not
            planned again since something was lost; empty where it was.
    """

    cause: ChangeCause | Literal[""] = ""
    signatures: tuple[str, ...] = ()
    valid_until: date | None = None
    spares: frozenset[str] = frozenset()
    without: Outlook | None = None
    as_issued: str = ""


def change_order(
    comparison: Comparison,
    terms: Terms,
    calendar: WorkCalendar,
    standing: Standing | None = None,
) -> ChangeOrder:
    """Price the change between two revisions.

    Args:
        comparison: of the accepted revision with the later one.
        terms: cause, signatures and last day.
        calendar: says which days are worked.
        standing: where the money stands against the accepted revision; None where none is posted.
    """
    costs = [each for each in comparison.changes if each.cause != "load"]
    cost_changes = [each for each in costs if not each.is_spent]
    lost = _lost(comparison, [each for each in costs if each.is_spent])
    loads = sum((c.difference for c in comparison.changes if c.cause == "load"), NIL)
    sums = _by_what_is_paid(cost_changes)
    added = sum((each for each in sums if each > 0), NIL)
    less = -sum((each for each in sums if each < 0), NIL)
    gone = _spent_on_gone(comparison, cost_changes, standing)
    saved = less - sum((each.cost for each in gone), NIL)
    unused = _newly_unused(comparison)
    idle = {change.element for change in cost_changes if change.after is None}
    idle |= {line.element for line in unused}
    before, after = comparison.before, comparison.after
    return ChangeOrder(
        comparison=comparison,
        cause=terms.cause,
        spent=None if standing is None else standing.spent,
        added=added,
        saved=saved,
        dead=(*gone, *_by_element(unused)),
        lost=lost,
        lost_days=_lost_days(before.bid, after.bid),
        insurance=tuple(sorted(terms.spares & idle)),
        loads=loads,
        net=added - saved + sum((each.whole for each in lost), NIL) + loads,
        days=_working_days(calendar, before.last, after.last),
        stage_days=after.stage_days - before.stage_days,
        finals=moved(before.finals, after.finals),
        signatures=terms.signatures,
        valid_until=terms.valid_until,
        by_planning=sum((each.difference for each in cost_changes if _is_planned(each)), NIL),
        without=terms.without,
        days_by_cut=_working_days(calendar, terms.without.last, after.last) if terms.without else 0,
        as_issued="" if all(each.is_omitted for each in lost) else terms.as_issued,
    )


def _is_planned(change: Change) -> bool:
    """Whether a line is of when, and beside whom, things are done."""
    return change.craft.endswith(HELD) or change.what.startswith(OVERTIME)


def _by_what_is_paid(changes: Iterable[Change]) -> list[Decimal]:
    """Differences, those of one stage, rig or camera summed: its shares move between shots."""
    found: list[Decimal] = []
    held: dict[tuple[str, str], Decimal] = {}
    for change in changes:
        if change.craft.endswith(HELD):
            name = change.what.removesuffix(DAYS_HELD).removesuffix(FOR_NO_CALL)
            thing = change.craft, name
            held[thing] = held.get(thing, NIL) + change.difference
        else:
            found.append(change.difference)
    return [*found, *held.values()]


def _spent_on_gone(
    comparison: Comparison, changes: Iterable[Change], standing: Standing | None
) -> tuple[Dead, ...]:
    """What was posted on lines that the later bid does not hold, nor as a making that is over."""
    if standing is None:
        return ()
    told = {(each.element, each.what) for each in comparison.after.bid.lines if each.is_spent}
    gone = {(change.element, change.what) for change in changes if change.after is None} - told
    return tuple(
        Dead(f"{row.element}: {row.what}" if row.element else row.what, row.cost, is_in_bid=False)
        for row in standing.rows
        if (row.element, row.what) in gone and row.cost
    )


def _lost(comparison: Comparison, changes: Iterable[Change]) -> tuple[Lost, ...]:
    """What more is paid of each thing and counts no more, the dearest first."""
    told = {
        each.element: each for each in (*comparison.before.bid.past, *comparison.after.bid.past)
    }
    sums: dict[str, tuple[Decimal, Decimal]] = {}
    for change in changes:
        cost, held = sums.get(change.element, (NIL, NIL))
        if change.craft.endswith(HELD):
            held += change.difference
        else:
            cost += change.difference
        sums[change.element] = cost, held
    found = [
        Lost(id_, *each, why=told[id_].why, is_omitted=not told[id_].is_again)
        for id_, each in sums.items()
        if any(each)
    ]
    return tuple(sorted(found, key=lambda each: (-each.cost, each.element)))


def _lost_days(before: Bid, after: Bid) -> tuple[tuple[str, date], ...]:
    known = {day for each in before.past for day in each.days}
    return tuple(sorted({day for each in after.past for day in each.days} - known))


def first_making(bid: Bid, id_: str, standing: Standing | None) -> First:
    """What making something once cost: line by line as posted, else as a bid has it."""
    sums = _posted(id_, standing)
    made = [line for line in of_the_making(bid.lines, id_) if not line.is_spent]
    unposted = [line for line in made if line.what not in sums]
    held = [line.figures.likely for line in unposted if line.craft.endswith(HELD)]
    own = [line.figures.likely for line in unposted if not line.craft.endswith(HELD)]
    return First(sum((*sums.values(), *own), NIL), sum(held, NIL))


def _posted(id_: str, standing: Standing | None) -> dict[str, Decimal]:
    """Sums posted on one element, by what is paid for."""
    rows = standing.rows if standing else ()
    return {row.what: row.cost for row in rows if row.element == id_}


def _newly_unused(comparison: Comparison) -> list[BidLine]:
    """Lines of things that only omitted shots use, and that were used before; freight with them."""
    known = {line.element for line in comparison.before.bid.lines if line.is_dead}
    dead = [line for line in comparison.after.bid.lines if line.is_dead]
    things = {line.element for line in dead if line.kind != SHOW_COST} - known
    return [line for line in dead if line.element in things]


def _by_element(lines: Iterable[BidLine]) -> tuple[Dead, ...]:
    sums: dict[str, Decimal] = {}
    for line in lines:
        sums[line.element] = sums.get(line.element, NIL) + line.figures.likely
    return tuple(Dead(name, cost, is_in_bid=True) for name, cost in sums.items())


def _working_days(calendar: WorkCalendar, before: date | None, after: date | None) -> int:
    if before is None or after is None or before == after:
        return 0
    first, last = sorted((before, after))
    worked = sum(
        1
        for each in range(first.toordinal() + 1, last.toordinal() + 1)
        if calendar.is_working(first.fromordinal(each))
    )
    return worked if after > before else -worked
