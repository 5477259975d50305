"""What a recut costs: spent, dead, saved and added.

Takes the bid before and after, what was spent, and which elements are made anew or not wanted any
more, gives sums that agree to the cent with the lines they are of. Money already spent is never
saved: it bought something, or it is dead. Knows nothing of frames.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field, replace
from decimal import Decimal
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from planner.bid.holding import DAYS_HELD, FOR_NO_CALL, HELD
from planner.bid.lines import SHOW_COST, to_the_cent
from planner.kinds import Phase, Risk
from planner.kinds.estimate import FLOOR
from planner.order.held import days_held
from planner.order.stood import with_spent
from planner.status.state import Step

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Mapping

    from planner.bid import Bid
    from planner.bid.lines import BidLine
    from planner.estimate import Estimates
    from planner.kinds import Estimate, Work
    from planner.model.show import Loads, Show
    from planner.order import StageOrder
    from planner.status.standing import Standing

NIL = Decimal("0.00")
SCANS = "scans"
_OF_THE_NEGATIVE = FLOOR | {Phase.LAB}


@dataclass(frozen=True, slots=True)
class Sums:
    """What a change comes to, in the show's currency.

    Attributes:
        spent: so far, on the elements it touches.
        dead: of that, on what will not be used.
        saved: still to be spent before, and not any more.
        added: to be spent that was not.
        loads: overhead and contingency on what is added, less those on what is saved.
    """

    spent: Decimal = NIL
    dead: Decimal = NIL
    saved: Decimal = NIL
    added: Decimal = NIL
    loads: Decimal = NIL

    @property
    def net(self) -> Decimal:
        """What is paid more; below nought, less."""
        return self.added - self.saved + self.loads


@dataclass(frozen=True, slots=True)
class Fates:
    """What becomes of elements.

    Attributes:
        redone: ids photographed anew, whatever was spent on them.
        gone: ids not wanted any more.
        kept: ids of which the negative in hand serves: nothing more is exposed.
        scanned: of those, ids of which more frames are scanned.
        touched: ids of which the change speaks.
        back: ids not wanted before and wanted after; only what was spent counts as there before.
    """

    redone: Collection[str]
    gone: Collection[str]
    kept: Collection[str]
    scanned: Collection[str]
    touched: Collection[str]
    back: Collection[str] = ()


@dataclass(frozen=True, slots=True)
class Money:
    """The sums of a whole recut, and of each element.

    Attributes:
        all: everything together.
        by_element: of each element that differs or on which something was spent.
        unused: things outside shots that only omitted shots would use.
        held: of the whole, what days held come to; no element has it, as a share that another takes
            over is neither added nor saved.
    """

    all: Sums
    by_element: Mapping[str, Sums] = field(default_factory=dict)
    unused: tuple[str, ...] = ()
    held: Sums = field(default_factory=Sums)


class _Key(NamedTuple):
    element: str
    what: str
    craft: str
    risk: Risk
    phase: Phase | None


Spent = dict[tuple[str, str], Decimal]
"""Sums by element and what is paid for."""


def spent_by_work(bid: Bid, needs: Estimates, left: Estimates, standing: Standing) -> Spent:
    """What was spent as the floor tells it: finished stretches of work, at the bid's own price.

    Args:
        bid: as it stands.
        needs: estimates of all the work.
        left: of what is still to do.
        standing: where every piece stands.
    """
    found: Spent = defaultdict(lambda: NIL)
    for line in bid.lines:
        estimate = needs.by_element.get(line.element)
        if estimate is None or not _is_begun(standing, line.element):
            continue
        if _is_spent(line, estimate, left.by_element[line.element]):
            found[line.element, line.what] += line.figures.likely
    return dict(found)


def _is_begun(standing: Standing, id_: str) -> bool:
    piece = standing.outline.pieces.get(id_)
    return piece is not None and (piece.is_settled or standing.of(id_).step > Step.BOARDED)


def _is_spent(line: BidLine, needs: Estimate, left: Estimate) -> bool:
    """Whether the work behind a line is done; a purchase goes with the work of its phase."""
    names = {work.name: work for work in needs.work}
    to_do = {work.name for work in left.work}
    name = line.what.removeprefix("overtime, ")
    if name in names:
        return name not in to_do
    phases: Collection[Phase] = {line.phase} if line.phase else set()
    if line.phase in _OF_THE_NEGATIVE:
        phases = FLOOR
    mine = [each.name for each in needs.work if each.phase in phases]
    return not any(each in to_do for each in mine) and (bool(mine) or not left.work)


def still_called(show: Show, order: StageOrder, left: Estimates) -> StageOrder:
    """An order as it stands, without the calls that nobody wants any more, and their days.

    What is done keeps its call, whoever wants it: its days are spent.

    Args:
        show: as it would be.
        order: dates, which stay.
        left: estimates of what is still to do.
    """
    to_do = {f"{id_}/{work.name}" for id_, each in left.by_element.items() for work in each.work}
    calls = tuple(
        each
        for each in order.calls
        if each.element in show.elements
        and (each.id not in to_do or show.is_live(show.elements[each.element]))
    )
    found = (order.question, order.answer) if order.question and order.answer else None
    kept = replace(order, calls=calls, days_held=days_held(show, calls, found))
    return with_spent(show, kept, order.spent)


def reckoned(
    before: Bid,
    after: Bid,
    spent: Spent,
    fates: Fates,
    past: Mapping[str, Decimal] = MappingProxyType({}),
) -> Money:
    """What changes between two bids of one stage order.

    Args:
        before: the bid as it stands.
        after: as it would be, priced on the same days.
        spent: so far.
        fates: of the elements touched.
        past: spent on makings that counted no more before the change, by element.
    """
    old, new = _sums(before.lines), _sums(after.lines)
    paid = _line_by_line(spent, old, new)
    was_unused = {line.element for line in before.lines if line.is_dead}
    unused = dict.fromkeys(
        line.element
        for line in after.lines
        if line.is_dead and line.kind != SHOW_COST and line.element not in was_unused
    )
    dead = {line.element for line in after.lines if line.is_dead}
    back = {*fates.back, *(was_unused - dead if fates.back else ())}
    rows: dict[str, list[tuple[Risk, Sums]]] = defaultdict(list)
    for key in dict.fromkeys((*old, *new)):
        element = key.element
        is_gone = element in fates.gone or element in unused
        is_back = element in back
        told = _Line(
            paid[key] if is_back else old.get(key, NIL),
            new.get(key, NIL),
            paid[key],
            is_fixed=not is_back and _is_exposed(key, fates),
            is_redone=element in fates.redone,
            is_gone=is_gone,
        )
        sums = told.sums_of_a_share() if key.craft.endswith(HELD) else told.sums()
        is_near = element in fates.touched or element in unused or is_back
        if sums.added or sums.saved or sums.dead or (sums.spent and is_near):
            rows[element].append((key.risk, sums if is_near else _without_spent(sums)))
    for name in {*fates.touched, *unused} & past.keys():
        rows[name].append((Risk.ORDINARY, Sums(past[name], past[name])))
    by_element = {name: _total(each, before.terms) for name, each in rows.items()}
    held = _held(old, new, before.terms)
    return Money(_added_up((*by_element.values(), held)), by_element, tuple(unused), held)


def _held(old: Mapping[_Key, Decimal], new: Mapping[_Key, Decimal], terms: Loads) -> Sums:
    """What days held come to, thing by thing: who shares them with whom is no matter."""
    things: dict[tuple[str, str], list[tuple[Risk, Decimal]]] = defaultdict(list)
    for key in dict.fromkeys((*old, *new)):
        if key.craft.endswith(HELD):
            name = key.what.removesuffix(DAYS_HELD).removesuffix(FOR_NO_CALL)
            more = new.get(key, NIL) - old.get(key, NIL)
            things[key.craft, name].append((key.risk, more))
    moved = [sum((each for _risk, each in mine), NIL) for mine in things.values()]
    loads = [each * load_of(terms, risk) for mine in things.values() for risk, each in mine]
    return Sums(
        saved=-sum((each for each in moved if each < 0), NIL),
        added=sum((each for each in moved if each > 0), NIL),
        loads=to_the_cent(sum(loads, NIL)),
    )


def _line_by_line(
    spent: Spent, old: Mapping[_Key, Decimal], new: Mapping[_Key, Decimal]
) -> dict[_Key, Decimal]:
    """What was spent on each line: those of one name are paid in turn, the last what is over."""
    named: dict[tuple[str, str], list[_Key]] = defaultdict(list)
    for key in dict.fromkeys((*old, *new)):
        named[key.element, key.what].append(key)
    paid = {}
    for name, keys in named.items():
        rest = spent.get(name, NIL)
        for key in keys[:-1]:
            paid[key] = min(rest, old.get(key, NIL))
            rest -= paid[key]
        paid[keys[-1]] = rest
    return paid


def _is_exposed(key: _Key, fates: Fates) -> bool:
    """Whether a line is of a negative that serves as it is."""
    if key.element not in fates.kept or key.phase not in _OF_THE_NEGATIVE:
        return False
    return key.what != SCANS or key.element not in fates.scanned


def _without_spent(sums: Sums) -> Sums:
    return Sums(NIL, sums.dead, sums.saved, sums.added)


@dataclass(frozen=True, slots=True)
class _Line:
    """One thing paid for, on both sides of the change."""

    before: Decimal
    after: Decimal
    spent: Decimal
    is_fixed: bool
    is_redone: bool
    is_gone: bool

    def sums(self) -> Sums:
        """What is spent, dead, saved and added of it."""
        to_come = max(self.before - self.spent, NIL)
        if self.is_gone:
            return Sums(self.spent, self.spent, to_come, NIL)
        after = self.before if self.is_fixed else self.after
        if self.is_redone and self.spent:
            return Sums(self.spent, self.spent, *_moved(to_come, after))
        return Sums(self.spent, NIL, *_moved(to_come, max(to_come + after - self.before, NIL)))

    def sums_of_a_share(self) -> Sums:
        """The same of a share of days held: they are saved as a whole only, and held anew.

        What is photographed anew is on the stage for as long once more.
        """
        is_dead = self.is_gone or self.is_redone
        dead = self.spent if is_dead else NIL
        return Sums(self.spent, dead, added=self.before if self.is_redone and self.spent else NIL)


def _moved(before: Decimal, after: Decimal) -> tuple[Decimal, Decimal]:
    """Saved and added."""
    return (before - after, NIL) if after < before else (NIL, after - before)


def _sums(lines: Iterable[BidLine]) -> dict[_Key, Decimal]:
    found: dict[_Key, Decimal] = defaultdict(lambda: NIL)
    for line in lines:
        key = _Key(line.element, line.what, line.craft, line.risk, line.phase)
        found[key] += line.figures.likely
    return dict(found)


def _total(rows: Iterable[tuple[Risk, Sums]], terms: Loads) -> Sums:
    """Sums of one element, with the loads its lines carry, to the cent."""
    held = list(rows)
    loads = sum(((each.added - each.saved) * load_of(terms, risk) for risk, each in held), NIL)
    plain = _added_up(each for _risk, each in held)
    return Sums(plain.spent, plain.dead, plain.saved, plain.added, to_the_cent(loads))


def load_of(terms: Loads, risk: Risk) -> Decimal:
    """Overhead and contingency on one unit of cost of a class of risk."""
    contingency = terms.contingency.get(risk.value, Decimal(0))
    carried = contingency * terms.overhead if terms.contingency_carries_overhead else Decimal(0)
    return contingency + terms.overhead + carried


def _added_up(sums: Iterable[Sums]) -> Sums:
    total = Sums()
    for each in sums:
        total = Sums(
            total.spent + each.spent,
            total.dead + each.dead,
            total.saved + each.saved,
            total.added + each.added,
            total.loads + each.loads,
        )
    return total


class Hours(NamedTuple):
    """Still to do of one element before and after: hands x hours, and hours before a camera."""

    hands: tuple[float, float]
    camera: tuple[float, float]


def hours_left(
    needs: tuple[Estimates, Estimates], left: Estimates, back: Collection[str] = ()
) -> dict[str, Hours]:
    """Per element, the work still to do before and after a change.

    Of a stretch that is done, only what it grows by is left after; of one before a camera, nothing.

    Args:
        needs: estimates before and after, of all the work.
        left: of what is still to do before.
        back: ids of what was not wanted before and is after; of it, what is to do once it is.
    """
    found = {}
    for id_, after in needs[1].by_element.items():
        before = needs[0].by_element.get(id_)
        if before is None:
            continue
        todo = {work.name for work in left.by_element[id_].work}
        if id_ in back:
            pairs = list(_stretches(replace(before, work=()), _only(after, todo), todo))
        else:
            pairs = list(_stretches(before, after, todo))
        found[id_] = Hours(
            (sum(a * n for a, _b, n, _c in pairs), sum(b * n for _a, b, n, _c in pairs)),
            (sum(a for a, _b, _n, c in pairs if c), sum(b for _a, b, _n, c in pairs if c)),
        )
    return found


def _only(estimate: Estimate, names: Collection[str]) -> Estimate:
    """An estimate of some stretches of work alone."""
    return replace(estimate, work=tuple(work for work in estimate.work if work.name in names))


def _stretches(
    before: Estimate, after: Estimate, todo: Collection[str]
) -> Iterator[tuple[float, float, int, bool]]:
    """Hours before, hours after, heads, and whether a stage is held for it, of each stretch."""
    old = {work.name: work for work in before.work}
    for work in after.work:
        was = old.pop(work.name, None)
        first = was.hours.likely if was else 0.0
        camera = work.phase in FLOOR
        if was is None or work.name in todo:
            yield first, work.hours.likely, work.heads, _is_held_for(work)
        else:
            more = 0.0 if camera else max(work.hours.likely - first, 0.0)
            yield 0.0, more, work.heads, _is_held_for(work)
    for name, was in old.items():
        if name in todo:
            yield was.hours.likely, 0.0, was.heads, _is_held_for(was)


def _is_held_for(work: Work) -> bool:
    """Whether it goes on before a camera in a time of its own; hands beside it have none."""
    return work.phase in FLOOR and not work.beside


def camera_hours(estimate: Estimate) -> float:
    """Hours before a camera of all of an element's work."""
    return sum(work.hours.likely for work in estimate.work if _is_held_for(work))
