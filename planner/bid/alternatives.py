"""Every way of making one thing, priced whole and side by side.

Takes the show, its estimates and its stage order, gives for each choice between methods what each
one costs with what is made for it alone. Methods not taken have no dates, so all of a choice are
priced on one day, and what they hold is paid for by their own hours. Knows nothing of which is
better.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TYPE_CHECKING

from planner.bid.desk import ROUNDED, Cost, Desk, Entry, unpriced
from planner.bid.lines import Figures, exact, to_the_cent
from planner.bid.pricing import lines_of
from planner.bid.rollup import loaded
from planner.kinds.estimate import waited_for
from planner.model.methods import methods_of, verdict_on, wanted_only_by
from planner.model.names import counted
from planner.model.quantity import Quantity

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping
    from datetime import date

    from planner.bid.lines import BidLine
    from planner.estimate.estimates import Estimates
    from planner.kinds import Need, Work
    from planner.model.facts import Facts
    from planner.model.methods import Methods
    from planner.model.show import Element, Show
    from planner.order.stage_order import StageOrder


@dataclass(frozen=True, slots=True)
class Method:
    """One way of making it.

    Attributes:
        element: id.
        says: what it is, in a sentence; may be empty.
        verdict: ``chosen``, ``rejected`` or ``open``.
        why: by whom and on what day, for, against, and what would open the question again.
        parts: ids of what is made for it or wanted by it alone, itself included.
        lines: what is paid for.
        total: with the contingency and overhead it carries.
        dearer: likely total less that of the method made; below nought where it is cheaper.
        days: working days of its longest chain, nothing scarce.
        differs: per craft, likely cost less that of the method made, before loads.
        is_made: whether the bid holds this one.
    """

    element: str
    says: str
    verdict: str
    why: Facts
    parts: tuple[str, ...]
    lines: tuple[BidLine, ...]
    total: Figures
    dearer: Decimal
    days: Quantity
    differs: Mapping[str, Decimal]
    is_made: bool


@dataclass(frozen=True, slots=True)
class Choice:
    """Methods of one thing, the one made first, the others in the order written.

    Attributes:
        shot: id; empty outside shots.
        methods: two or more, or one with a verdict on it alone.
        day: on which all of them are priced.
    """

    shot: str
    methods: tuple[Method, ...]
    day: date


@dataclass(frozen=True, slots=True)
class Taken:
    """Which of several ways of making one thing is taken.

    Attributes:
        members: ids of all of them.
        made: id of the one taken; empty where none is.
        parts: ids of what it takes and no other way does, itself included.
    """

    members: tuple[str, ...]
    made: str
    parts: tuple[str, ...]


def taken(show: Show) -> tuple[Taken, ...]:
    """The ways taken in a show, in the order written."""
    return tuple(
        Taken(group.members, group.made, _parts(show, group, group.made) if group.made else ())
        for group in methods_of(show.elements)
        if _is_wanted(show, group)
    )


def price_methods(
    show: Show, estimates: Estimates, order: StageOrder, *, rates_on: date | None = None
) -> tuple[Choice, ...]:
    """Every choice between methods of shots that are not omitted, in the order written.

    Args:
        show: with its rates and loads.
        estimates: of all its elements, those not taken included.
        order: dates the method made; all of a choice are priced on the day of its first call.
        rates_on: price them on this day instead.
    """
    desk = Desk.opened(show, order, rates_on, frozenset())
    return tuple(
        _choice(desk, estimates, group)
        for group in methods_of(show.elements)
        if _is_wanted(show, group)
    )


def _is_wanted(show: Show, group: Methods) -> bool:
    shots = (show.shots.get(show.elements[name].shot) for name in group.members)
    return any(shot is None or shot.state != "omitted" for shot in shots)


def _choice(desk: Desk, estimates: Estimates, group: Methods) -> Choice:
    first = group.made or group.members[0]
    day = desk.rate_day(desk.by_element.get(first))
    fixed = replace(desk, rates_on=day)
    ids = (first, *(name for name in group.members if name != first))
    priced = [_priced(fixed, estimates, group, name) for name in ids]
    base = priced[0]
    own = _by_craft(base)
    methods = tuple(
        replace(
            each,
            dearer=each.total.likely - base.total.likely,
            differs=_differences(_by_craft(each), own),
        )
        for each in priced
    )
    return Choice(desk.show.elements[first].shot, methods, day)


def _priced(desk: Desk, estimates: Estimates, group: Methods, name: str) -> Method:
    show = desk.show
    parts = _parts(show, group, name)
    elements = [show.elements[each] for each in parts]
    lines = (*lines_of(desk, elements, estimates), *held_by_itself(desk, estimates, elements))
    element = show.elements[name]
    return Method(
        element=name,
        says=element.facts.word("says"),
        verdict=verdict_on(element),
        why=element.facts.group("method"),
        parts=parts,
        lines=lines,
        total=loaded(lines, show.loads),
        dearer=Decimal(0),
        days=chain_days(show, estimates, parts),
        differs={},
        is_made=name == group.made,
    )


def _parts(show: Show, group: Methods, name: str) -> tuple[str, ...]:
    """What making it this way takes, and making it any other way of the group does not."""
    theirs = wanted_only_by(show.elements, (*group.members, *show.aside), candidates=True)
    return parts_of(show, theirs, frozenset(group.members), name)


def parts_of(
    show: Show, theirs: Collection[str], rivals: Collection[str], name: str
) -> tuple[str, ...]:
    """What one way of making a thing takes, itself included, in the order written.

    Args:
        show: the show.
        theirs: ids of what is made for some way or other.
        rivals: ids of the other ways, never among the parts.
        name: id of the way.
    """
    elements = show.elements
    found = {name}
    edge = [name]
    while edge:
        here = edge.pop()
        near = {ref.target for ref in elements[here].references if ref.waits}
        near |= {each for each in theirs if here in elements[each].targets("made_for")}
        new = {each for each in near if each in theirs and each not in rivals} - found
        found |= new
        edge += new
    return tuple(each for each in elements if each in found)


def lines_by_itself(desk: Desk, estimates: Estimates, element: Element) -> tuple[BidLine, ...]:
    """Lines of one element alone: its work, its purchases, and what it holds by its own hours."""
    return (*lines_of(desk, [element], estimates), *held_by_itself(desk, estimates, [element]))


def held_by_itself(desk: Desk, estimates: Estimates, elements: list[Element]) -> Iterator[BidLine]:
    """Stages, rigs and the like with a rate by the day: its own hours' worth of the first option.

    Work of one element that runs beside other work holds nothing twice.
    """
    for element in elements:
        hours: defaultdict[tuple[str, str], list[Work]] = defaultdict(list)
        for work in estimates.by_element[element.id].work:
            for need in work.needs:
                if held := _first_paid(desk, need):
                    hours[need.sort, held].append(work)
        for (sort, resource), works in hours.items():
            yield _holding(desk, element, (sort, resource), works)


def _first_paid(desk: Desk, need: Need) -> str:
    first = next(iter(need.options), "")
    return first if first in desk.show.rates and first in desk.show.resources else ""


def _holding(desk: Desk, element: Element, thing: tuple[str, str], works: list[Work]) -> BidLine:
    sort, name = thing
    resource = desk.show.resources[name]
    hours = Quantity(
        "hours held", sum(work.hours.likely for work in works), "h", reason="hours of its work"
    )
    price = desk.book.price(name, desk.rate_day(None), resource, "day")
    in_unit = desk.hours_in.get(price.per) if price else None
    if price is None or not in_unit:
        cost = unpriced(hours)
    else:
        each = price.each / in_unit
        low, likely, high = (
            to_the_cent(sum(map(exact, column), Decimal(0)) * each)
            for column in zip(
                *((w.hours.low, w.hours.likely, w.hours.high) for w in works), strict=True
            )
        )
        cost = Cost(
            Figures(low, likely, high),
            f"hours x rate / {in_unit:f} working hours in a {price.per}, {ROUNDED}",
            (hours, price.reason),
            price.account,
        )
    entry = Entry(
        f"{resource.title or name}, by its own hours",
        f"{sort} by the day",
        name,
        "",
        works[0].phase,
        works[0].risk,
    )
    return desk.line(element, entry, cost)


def chain_days(show: Show, estimates: Estimates, parts: tuple[str, ...]) -> Quantity:
    """The longest chain of its work, waits for paint and laboratory included."""
    works = {(name, work.name): work for name in parts for work in estimates.by_element[name].work}
    ends: dict[tuple[str, str], float] = {}
    for name in _in_order(show, parts):
        upstream = _upstream(show, name, parts)
        ready = max((end for (other, _work), end in ends.items() if other in upstream), default=0.0)
        for work in estimates.by_element[name].work:
            before = (works[name, each] for each in work.after if (name, each) in ends)
            after = [
                ends[name, each.name] - each.wait_hours + waited_for(each, work) for each in before
            ]
            starts = max(after, default=ready)
            ends[name, work.name] = starts + work.hours.likely + work.wait_hours
    hours = max(ends.values(), default=0.0)
    chain = Quantity(
        "hours of its longest chain",
        hours,
        "h",
        reason=counted(len(works), "piece of work", "pieces of work"),
    )
    day = Quantity("working hours in a day", show.calendar.day_hours, "h", reason="show.yaml")
    return Quantity(
        "days",
        hours / day.value,
        "days",
        reason="longest chain / hours in a day",
        inputs=(chain, day),
    )


def _upstream(show: Show, name: str, parts: tuple[str, ...]) -> set[str]:
    return {ref.target for ref in show.elements[name].references if ref.waits} & set(parts)


def _in_order(show: Show, parts: tuple[str, ...]) -> list[str]:
    """Each after what it waits for, among `parts`; a cycle, told elsewhere, is broken anywhere."""
    left, done = list(parts), list[str]()
    while left:
        ready = [each for each in left if _upstream(show, each, parts) <= set(done)]
        done.append(next(iter(ready), left[0]))
        left.remove(done[-1])
    return done


def _by_craft(method: Method) -> dict[str, Decimal]:
    sums: defaultdict[str, Decimal] = defaultdict(Decimal)
    for line in method.lines:
        sums[line.craft] += line.figures.likely
    return dict(sums)


def _differences(one: Mapping[str, Decimal], base: Mapping[str, Decimal]) -> dict[str, Decimal]:
    crafts = dict.fromkeys((*base, *one))
    differ = {craft: one.get(craft, Decimal(0)) - base.get(craft, Decimal(0)) for craft in crafts}
    return {craft: amount for craft, amount in differ.items() if amount}
