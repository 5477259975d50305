"""Hours and costs posted by week, against the bid.

Takes the text of actuals.csv and the lines of a bid, gives postings, what each line will come to at
completion, and hours spent over hours bid by technique. Knows nothing of the disk.
"""

from __future__ import annotations

import csv
import io
from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal, InvalidOperation
from typing import TYPE_CHECKING

from planner.bid.lines import to_the_cent, total_of
from planner.kinds import Phase
from planner.kinds.estimate import FLOOR
from planner.model.place import Place, Problem, Severity

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

    from planner.bid.lines import BidLine

COLUMNS = ("week", "element", "what", "hours", "cost", "left", "note")
NIL = Decimal("0.00")


@dataclass(frozen=True, slots=True)
class Posting:
    """What one line of the bid took in one week.

    Attributes:
        week: any day of it.
        element: id; empty for show costs and what is held for nobody.
        what: is paid for, as the bid has it.
        hours: clock hours x heads; None where none were written.
        cost: None where only hours were written.
        left: hours still to go, as its maker says; 0 for finished; None where nobody says.
        note: anything people should know.
        place: where it is written.
    """

    week: date
    element: str
    what: str
    hours: Decimal | None
    cost: Decimal | None
    left: Decimal | None
    note: str
    place: Place


@dataclass(frozen=True, slots=True)
class Spent:
    """What was posted on one thing the bid holds, or does not.

    Attributes:
        element: id; empty for show costs and what is held for nobody.
        what: is paid for.
        technique: kind of the element and craft; empty for what is not labour of the bid.
        bid: likely sum in the bid; None for what it does not hold.
        bid_hours: clock hours x heads in the bid; nothing where it is not labour.
        hours: posted.
        cost: posted; hours without a cost are taken at the line's rate.
        to_go: likely cost still to come.
        is_finished: whether its maker said so.
        is_dead: whether it was spent on a making that is dead, and the next is to come.
    """

    element: str
    what: str
    technique: str
    bid: Decimal | None
    bid_hours: Decimal
    hours: Decimal
    cost: Decimal
    to_go: Decimal
    is_finished: bool
    is_dead: bool = False

    @property
    def at_completion(self) -> Decimal:
        """Spent and still to come."""
        return self.cost + self.to_go


@dataclass(frozen=True, slots=True)
class TechniqueRatio:
    """Hours spent over hours bid of finished lines, of one kind of element and craft.

    Attributes:
        technique: kind and craft in words.
        lines: how many are finished.
        estimated: hours bid.
        spent: hours posted.
    """

    technique: str
    lines: int
    estimated: Decimal
    spent: Decimal

    @property
    def ratio(self) -> float:
        """Spent over estimated."""
        return float(self.spent / self.estimated)


@dataclass(frozen=True, slots=True)
class Standing:
    """Where the money stands.

    Attributes:
        rows: every line with something posted on it, in the order of the bid, then the strays.
        spent: sum of all postings.
        to_go: likely, lines nothing was posted on included.
        bid: likely cost bid.
        ratios: by technique.
        by_week: sum posted, by Monday of the week.
    """

    rows: tuple[Spent, ...]
    spent: Decimal
    to_go: Decimal
    bid: Decimal
    ratios: tuple[TechniqueRatio, ...]
    by_week: Mapping[date, Decimal]

    @property
    def at_completion(self) -> Decimal:
        """Estimate at completion, before loads."""
        return self.spent + self.to_go


def read_actuals(text: str, file: str) -> tuple[tuple[Posting, ...], tuple[Problem, ...]]:
    """Postings of a table with a header row, and every row that cannot be read.

    Args:
        text: comma-separated; columns in any order: week, element, what, hours, cost, left, note.
        file: its path, for messages.
    """
    rows = list(csv.reader(io.StringIO(text.lstrip("\ufeff"))))
    header = [each.strip().lower() for each in rows[0]] if rows else []
    absent = [name for name in ("week", "what") if name not in header]
    if absent or not {"hours", "cost"} & set(header):
        wanted = ",".join(COLUMNS)
        message = "its first row does not name the columns it needs"
        return (), (_fault(Place(file, 1, 1), message, f"begin with {wanted}"),)
    postings, problems = [], []
    for number, row in enumerate(rows[1:], 2):
        if not any(cell.strip() for cell in row):
            continue
        cells = dict(zip(header, (cell.strip() for cell in row), strict=False))
        read = _posting(cells, Place(file, number, 1))
        if isinstance(read, Posting):
            postings.append(read)
        else:
            problems.append(read)
    return tuple(postings), tuple(problems)


def _posting(cells: Mapping[str, str], place: Place) -> Posting | Problem:
    try:
        week = date.fromisoformat(cells.get("week", ""))
    except ValueError:
        says = f"week {cells.get('week', '')!r} is not a date"
        return _fault(place, says, "write it as 2027-03-01")
    numbers: dict[str, Decimal | None] = {}
    for name in ("hours", "cost", "left"):
        read = _number(cells.get(name, ""))
        if isinstance(read, str):
            return _fault(place, f"{name} {read}", "write a plain number, nought or more")
        numbers[name] = read
    if numbers["hours"] is None and numbers["cost"] is None and numbers["left"] is None:
        return _fault(place, "neither hours nor a cost is written", "write one of them")
    what, element, note = (cells.get(name, "") for name in ("what", "element", "note"))
    hours, cost, left = (numbers[name] for name in ("hours", "cost", "left"))
    return Posting(week, element, what, hours, cost, left, note, place)


def _number(written: str) -> Decimal | str | None:
    """The number, None for an empty cell, or what is wrong with it."""
    if not written:
        return None
    try:
        number = Decimal(written)
    except InvalidOperation:
        return f"{written!r} is not a number"
    if not number.is_finite() or number < 0:
        return f"{written} cannot have been spent"
    return number


def _fault(place: Place, message: str, remedy: str) -> Problem:
    return Problem(Severity.ERROR, place, "posting-unreadable", message, remedy)


def standing_of(
    lines: Sequence[BidLine],
    postings: Sequence[Posting],
    omitted: Collection[str] = frozenset(),
    dead: Collection[str] = frozenset(),
) -> tuple[Standing, tuple[Problem, ...]]:
    """Where the money stands, and postings on what the bid does not hold.

    A line comes to what was posted and what is left: the hours its maker says, else the rest of
    what was bid for it, nothing once that is passed. Lines of one thing and one name (days held in
    several months) are taken together.

    Args:
        lines: of the bid the work was done on.
        postings: in any order.
        omitted: elements that nobody wants any more: what is spent on them stays, and nothing more
            is to come.
        dead: elements whose making is dead and that are to be made again: what is spent on them
            bought that making, and what was bid for the next is to come whole.
    """
    posted: defaultdict[tuple[str, str], list[Posting]] = defaultdict(list)
    for posting in postings:
        posted[posting.element, posting.what].append(posting)
    groups: defaultdict[tuple[str, str], list[BidLine]] = defaultdict(list)
    for line in lines:
        groups[line.element, line.what].append(line)
    rows = [_spent(groups[key], posted[key]) for key in groups if key in posted]
    ratios = tuple(_ratios(rows))
    made: defaultdict[tuple[str, str], Decimal] = defaultdict(lambda: NIL)
    for line in (line for id_ in dead for line in of_the_making(lines, id_)):
        made[line.element, line.what] += NIL if line.is_spent else line.figures.likely
    rows = [_to_come(row, made, omitted) for row in rows]
    strays = [key for key in posted if key not in groups]
    rows += [_stray(key, posted[key]) for key in strays]
    bid = total_of(line.figures for line in lines).likely
    touched = {(row.element, row.what) for row in rows}
    untouched = total_of(
        line.figures
        for line in lines
        if (line.element, line.what) not in touched and line.element not in omitted
    ).likely
    standing = Standing(
        rows=tuple(rows),
        spent=sum((row.cost for row in rows), NIL),
        to_go=untouched + sum((row.to_go for row in rows), NIL),
        bid=bid,
        ratios=ratios,
        by_week=_by_week(groups, postings),
    )
    return standing, tuple(_not_bid(posted[key][0]) for key in strays)


def of_the_making(lines: Iterable[BidLine], id_: str) -> list[BidLine]:
    """An element's lines without what comes after the negative, where there is one.

    That was not done on what was photographed and is dead.
    """
    mine = [line for line in lines if line.element == id_]
    if any(line.phase in FLOOR for line in mine):
        return [line for line in mine if line.phase is not Phase.FINISH]
    return mine


def _to_come(
    row: Spent, made: Mapping[tuple[str, str], Decimal], omitted: Collection[str]
) -> Spent:
    """A row with what is still to come of what nobody wants, or of what is made again."""
    if row.element in omitted:
        return replace(row, to_go=NIL)
    to_come = made.get((row.element, row.what))
    if to_come is not None:
        return replace(row, to_go=to_come, is_finished=False, is_dead=True)
    return row


def _spent(lines: Sequence[BidLine], posted: Sequence[Posting]) -> Spent:
    bid = total_of(line.figures for line in lines).likely
    each = _hour_of(lines)
    cost = sum((_cost(posting, each) for posting in posted), NIL)
    left = _left(posted)
    is_told = left == 0 or (left is not None and each)
    to_go = to_the_cent((left or NIL) * each) if is_told else max(bid - cost, NIL)
    labour = [line for line in lines if line.reckoning and line.reckoning.unit == "h"]
    first = lines[0]
    return Spent(
        element=first.element,
        what=first.what,
        technique=f"{first.kind}, {first.craft}".replace("_", " ") if labour else "",
        bid=bid,
        bid_hours=sum((line.reckoning.likely for line in labour if line.reckoning), NIL),
        hours=_hours(posted),
        cost=cost,
        to_go=to_go,
        is_finished=left == 0,
    )


def _left(posted: Sequence[Posting]) -> Decimal | None:
    """Hours still to go, as said last in the latest week; None where nobody said so then."""
    latest = max(_monday(posting.week) for posting in posted)
    said = [each.left for each in posted if _monday(each.week) == latest and each.left is not None]
    return said[-1] if said else None


def _monday(day: date) -> date:
    return day - timedelta(day.weekday())


def _stray(key: tuple[str, str], posted: Sequence[Posting]) -> Spent:
    cost = sum((_cost(posting, NIL) for posting in posted), NIL)
    return Spent(*key, "", None, NIL, _hours(posted), cost, NIL, is_finished=False)


def _hour_of(lines: Sequence[BidLine]) -> Decimal:
    """What an hour on these lines costs; nothing where they are not paid by the hour."""
    for line in lines:
        if line.reckoning is not None and line.reckoning.unit == "h":
            return line.reckoning.each
    return NIL


def _cost(posting: Posting, each: Decimal) -> Decimal:
    if posting.cost is not None:
        return to_the_cent(posting.cost)
    return to_the_cent((posting.hours or NIL) * each)


def _hours(posted: Sequence[Posting]) -> Decimal:
    return sum((posting.hours or NIL for posting in posted), NIL)


def _by_week(
    groups: Mapping[tuple[str, str], Sequence[BidLine]], postings: Sequence[Posting]
) -> dict[date, Decimal]:
    sums: defaultdict[date, Decimal] = defaultdict(lambda: NIL)
    for posting in postings:
        each = _hour_of(groups.get((posting.element, posting.what), ()))
        sums[_monday(posting.week)] += _cost(posting, each)
    return dict(sorted(sums.items()))


def _ratios(rows: Iterable[Spent]) -> Iterator[TechniqueRatio]:
    """Finished labour alone: unfinished work says nothing yet of how long it takes."""
    groups: defaultdict[str, list[Spent]] = defaultdict(list)
    for row in rows:
        if row.is_finished and row.technique and row.bid_hours and row.hours:
            groups[row.technique].append(row)
    for technique, done in groups.items():
        estimated = sum((row.bid_hours for row in done), NIL)
        yield TechniqueRatio(technique, len(done), estimated, sum((row.hours for row in done), NIL))


def _not_bid(posting: Posting) -> Problem:
    named = f"{posting.element}: {posting.what}" if posting.element else posting.what
    return Problem(
        Severity.WARNING,
        posting.place,
        "posting-not-in-bid",
        f"the bid holds nothing called {named}; what was posted on it counts beside the bid",
        "name it as `platewright bid --lines` does, or issue a change order for it",
        posting.element,
    )
