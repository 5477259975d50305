"""Two revisions of a bid side by side, by what made the difference.

Takes two `Issued`, gives `Changes` that sum exactly to the difference of the totals. Knows nothing
of files.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Literal, TypeAlias

from planner.bid.lines import to_the_cent

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from planner.bid.alternatives import Taken
    from planner.bid.conditions import Conditions
    from planner.bid.lines import BidLine, LoadLine, Reckoning
    from planner.bid.revision import Issued

Cause: TypeAlias = Literal["quantity", "rate", "new", "gone", "method", "load"]
CAUSES: tuple[Cause, ...] = ("quantity", "rate", "new", "gone", "method", "load")
NIL = Decimal("0.00")
SPENT = "of a making that counts no more"


@dataclass(frozen=True, slots=True)
class Change:
    """One line, or a part of its difference.

    Attributes:
        cause: of it.
        element: id; empty for what no element has.
        shot: id; empty for what is shared.
        what: is paid for.
        craft: who is paid.
        before: likely sum in the earlier revision; None where the line is new.
        after: likely sum in the later; None where the line is gone.
        difference: likely, that this cause makes.
        says: how, such as ``12 h to 16 h``.
        is_spent: whether the line is of a making that is over and counts no more.
    """

    cause: Cause
    element: str
    shot: str
    what: str
    craft: str
    before: Decimal | None
    after: Decimal | None
    difference: Decimal
    says: str
    is_spent: bool = False


@dataclass(frozen=True, slots=True)
class Comparison:
    """What became of a bid.

    Attributes:
        before: the earlier revision.
        after: the later, or the bid as it stands.
        changes: by cause, then in the order of the lines.
    """

    before: Issued
    after: Issued
    changes: tuple[Change, ...]

    @property
    def difference(self) -> Decimal:
        """Likely total after less before; the sum of all changes, to the cent."""
        return self.after.bid.total.likely - self.before.bid.total.likely

    @property
    def terms(self) -> tuple[str, ...]:
        """What the later says otherwise beside its sums, in words; it may cost nothing here."""
        return tuple(_terms(self.before.conditions, self.after.conditions))

    def by_cause(self) -> Mapping[Cause, Decimal]:
        """Differences summed, causes with none left out."""
        sums: dict[Cause, Decimal] = {}
        for change in self.changes:
            sums[change.cause] = sums.get(change.cause, NIL) + change.difference
        return {cause: sums[cause] for cause in CAUSES if cause in sums}


def compare(before: Issued, after: Issued) -> Comparison:
    """Pair the lines of two revisions, and tell each difference by its cause.

    Lines pair by element, shot, what is paid for and craft, in the order they stand, those of
    makings that count no more apart. Cost linear in the lines.
    """
    switched = _switched(before.methods, after.methods)
    changes = [*line_changes(before.bid.lines, after.bid.lines, switched)]
    changes += _loads(before.bid.loads, after.bid.loads)
    rank = {cause: position for position, cause in enumerate(CAUSES)}
    return Comparison(before, after, tuple(sorted(changes, key=lambda each: rank[each.cause])))


def line_changes(
    before: Iterable[BidLine], after: Iterable[BidLine], switched: frozenset[str] = frozenset()
) -> Iterator[Change]:
    """Lines of two bids of a show paired as in `compare`, and each difference by its cause.

    Args:
        before: lines of the earlier.
        after: lines of the later.
        switched: ids of elements that only one of them makes, as another way was chosen.
    """
    old, new = _keyed(before), _keyed(after)
    for key in dict.fromkeys((*old, *new)):
        yield from _between(old.get(key), new.get(key), switched)


def _terms(before: Conditions, after: Conditions) -> Iterator[str]:
    stated = {
        "versions of each composite": (before.versions, after.versions),
        "retakes of each element": (before.retakes, after.retakes),
        "valid until": (before.valid_until, after.valid_until),
        "payment": (before.payment, after.payment),
        "prices rise": (before.escalation, after.escalation),
    }
    for name, (old, new) in stated.items():
        if old != new:
            yield f"{name}: {_stated(new)}, was {_stated(old)}"
    lists = {
        "assumes": (before.assumes, after.assumes),
        "leaves out": (before.excludes, after.excludes),
        "supplied by the production": (before.supplied, after.supplied),
    }
    for name, (was, now) in lists.items():
        yield from (f"{name}, new: {each}" for each in now if each not in was)
        yield from (f"{name}, no longer: {each}" for each in was if each not in now)


def _stated(value: object) -> str:
    return "not stated" if value is None or value == "" else str(value)


def _keyed(lines: Iterable[BidLine]) -> dict[tuple[str, str, str, str, bool, int], BidLine]:
    seen: defaultdict[tuple[str, str, str, str, bool], int] = defaultdict(int)
    keyed = {}
    for line in lines:
        key = (line.element, line.shot, line.what, line.craft, line.is_spent)
        keyed[*key, seen[key]] = line
        seen[key] += 1
    return keyed


def _switched(before: Iterable[Taken], after: Iterable[Taken]) -> frozenset[str]:
    """Elements of ways of making a thing that was made one way and is now made another."""
    ways = {frozenset(each.members): each for each in before}
    found: set[str] = set()
    for new in after:
        old = ways.get(frozenset(new.members))
        if old is not None and old.made != new.made:
            found |= {*old.parts, *new.parts, *new.members}
    return frozenset(found)


def _between(
    old: BidLine | None, new: BidLine | None, switched: frozenset[str]
) -> Iterator[Change]:
    if old is not None and new is not None:
        yield from _both(old, new)
        return
    line = old or new
    if line is None or line.figures.likely == 0:
        return
    cause: Cause = "new" if old is None else "gone"
    if line.element in switched:
        cause = "method"
    sign = 1 if old is None else -1
    says = ""
    if cause == "method":
        says = "no longer made this way" if old else "made this way instead"
    elif line.is_spent:
        says = SPENT
    yield _change(cause, (old, new), sign * line.figures.likely, says)


def _both(old: BidLine, new: BidLine) -> Iterator[Change]:
    difference = new.figures.likely - old.figures.likely
    if not difference:
        return
    first, second = old.reckoning, new.reckoning
    if first is None or second is None:
        says = "priced" if first is None else "no longer priced"
        yield _change("rate", (old, new), difference, says)
        return
    less, more = _counted(first), _counted(second)
    if first.each == second.each:
        by_count = difference
    elif less == more:
        by_count = NIL
    else:
        by_count = to_the_cent((more - less) * first.each)
    if by_count:
        says = _from_to(less, more, second.unit)
        yield _change("quantity", (old, new), by_count, says)
    if by_count != difference:
        says = f"{_plain(first.stated * first.growth)} to {_plain(second.stated * second.growth)}"
        yield _change("rate", (old, new), difference - by_count, says)


def _counted(reckoning: Reckoning) -> Decimal:
    """The quantity that is its own, of a shared one its share."""
    if reckoning.cut is None:
        return reckoning.likely
    before, until, whole = reckoning.cut
    return reckoning.likely * (until - before) / whole


def _plain(number: Decimal) -> str:
    return f"{float(number):,.4g}" if abs(number) < 1000 else f"{float(number):,.0f}"


def _from_to(less: Decimal, more: Decimal, unit: str) -> str:
    """``1.3 to 2 days``: to a tenth, as days are elsewhere; finer where that hides it."""
    said = [_plain(round(each, 1)) for each in (less, more)]
    if said[0] == said[1]:
        said = [_plain(each) for each in (less, more)]
    word = unit.replace("_", " ")
    if len(unit) > 1 and said[1] != "1":
        word = {"foot": "feet"}.get(unit, f"{word}s")
    return f"{said[0]} to {said[1]} {word}"


def _change(
    cause: Cause, pair: tuple[BidLine | None, BidLine | None], difference: Decimal, says: str
) -> Change:
    old, new = pair
    line = new or old
    if line is None:
        raise ValueError("a change needs a line")
    return Change(
        cause,
        line.element,
        line.shot,
        line.what,
        line.craft,
        old.figures.likely if old else None,
        new.figures.likely if new else None,
        difference,
        says,
        line.is_spent,
    )


def _loads(before: Iterable[LoadLine], after: Iterable[LoadLine]) -> Iterator[Change]:
    old, new = ({load.name: load for load in loads} for loads in (before, after))
    for name in dict.fromkeys((*old, *new)):
        first, second = old.get(name), new.get(name)
        less = first.figures.likely if first else NIL
        more = second.figures.likely if second else NIL
        if less != more:
            shares = {each.share for each in (first, second) if each is not None}
            says = (
                "on another cost" if len(shares) == 1 and first and second else "on another share"
            )
            yield Change("load", "", "", name, "", less, more, more - less, says)
