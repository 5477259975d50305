"""Prices the work, the purchases and the things held of a whole show.

Takes the show, its estimates and its stage order, gives the `Bid`. Knows nothing of how hours or
dates were found, and adds no rule of thumb of its own: every line is a quantity already reckoned
times a rate that the show states.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from decimal import Decimal
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.bid.desk import ROUNDED, Cost, Desk, Entry, month_of, unpriced
from planner.bid.holding import held_lines
from planner.bid.lines import ONE, Bid, Reckoning, total_of
from planner.bid.old_rates import old_rate_problems
from planner.bid.overtime import OVERTIME
from planner.bid.resting import resting_problems
from planner.bid.rollup import loaded, loads_on
from planner.bid.show_costs import show_cost_lines
from planner.bid.usage import users_of
from planner.model.names import noun
from planner.model.place import Problem, Severity
from planner.model.quantity import Quantity
from planner.order.stage_order import Call

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from datetime import date

    from planner.bid.lines import BidLine, Figures
    from planner.estimate.estimates import Estimates
    from planner.kinds import Charge, Work
    from planner.model.facts import Money
    from planner.model.show import Element, Shot, Show
    from planner.order.stage_order import StageOrder


def price(
    show: Show, estimates: Estimates, order: StageOrder, *, rates_on: date | None = None
) -> Bid:
    """What the show costs.

    Work and purchases of elements outside shots and of live shots are in the bid, and so is what is
    held by the day (see `held_lines`) or paid by the whole show (see `show_cost_lines`). What is
    omitted is left out, but what was built for it stays, marked as a dead cost. A line without a
    rate stands at 0 and is listed.

    Args:
        show: with its rates and loads.
        estimates: of its elements.
        order: gives each line its day, and the days held.
        rates_on: take every rate as it stands on this day, not on the day of the call.
    """
    uses = users_of(show)
    dead = frozenset(
        thing
        for thing, shots in uses.items()
        if all(show.shots[each].state == "omitted" for each in shots)
    )
    users = {
        thing: live
        for thing, shots in uses.items()
        if (live := tuple(each for each in shots if show.shots[each].is_live))
    }
    desk = Desk.opened(show, order, rates_on, dead)
    in_bid = [each for each in show.elements.values() if show.is_live(each)]
    lines = (*lines_of(desk, in_bid, estimates), *held_lines(desk), *show_cost_lines(desk))
    loads = loads_on(lines, show.loads, show.currency)
    cost = total_of(line.figures for line in lines)
    bid = Bid(
        title=show.title,
        currency=show.currency,
        lines=lines,
        loads=loads,
        cost=cost,
        total=total_of((cost, *(load.figures for load in loads))),
        problems=(
            *desk.book.problems(),
            *_cap_problems(show, lines, users),
            *old_rate_problems(show, order, rates_on),
        ),
        unpriced=tuple(line for line in lines if not line.is_priced),
        # Rates that only these want are no fault of the bid: a desk of their own, not reported.
        not_in_bid=tuple(lines_of(desk.with_empty_book(), _kept_out(show), estimates)),
        users=MappingProxyType(users),
        terms=show.loads,
    )
    return replace(bid, problems=(*bid.problems, *resting_problems(show, bid)))


def _kept_out(show: Show) -> list[Element]:
    """Elements of shots that are on hold or only an idea."""
    return [
        each
        for each in show.elements.values()
        if each.shot and show.shots[each.shot].state in {"on hold", "unplaced"}
    ]


DONE_AGAIN = ", begun before and done again"
"""How a line ends that pays for what had begun, and is done once more beside."""


def lines_of(desk: Desk, elements: Iterable[Element], estimates: Estimates) -> Iterator[BidLine]:
    """A line for each stretch of work and each purchase of `elements`, in their order."""
    for element in elements:
        estimate = estimates.by_element.get(element.id)
        if estimate is None:
            continue
        for work in estimate.work:
            if work.hours.high > 0:
                call = desk.by_work.get((element.id, work.name))
                plain = _labour(desk, element, work, call)
                yield plain
                yield from _overtime(desk, element, (work, call), plain)
                if desk.order.redone:
                    yield from _worked_before(desk, element, work)
        for charge in estimate.charges:
            yield _purchase(desk, element, charge)


def _worked_before(desk: Desk, element: Element, work: Work) -> Iterator[BidLine]:
    """What was worked of what is done once more, at the rates and the hours of its own days."""
    for each in desk.order.redone:
        if each.id != f"{element.id}/{work.name}":
            continue
        call = Call(element.id, work, each.starts, each.ends, each.hours, each.holds, "")
        plain = _labour(desk, element, work, call)
        if each.share < 1 and plain.reckoning is not None:
            share = round(Decimal(each.share), 6)
            counted = _share_of(plain.reckoning, share)
            said = Quantity("share worked before", float(share), "1", reason="issued order")
            reason = replace(
                plain.reason,
                value=float(counted.figures().likely),
                reason=f"share x {plain.reason.reason}",
                inputs=(said, *plain.reason.inputs),
            )
            plain = replace(plain, figures=counted.figures(), reason=reason, reckoning=counted)
        yield _called_before(plain)
        yield from map(_called_before, _overtime(desk, element, (work, call), plain))


def _called_before(line: BidLine) -> BidLine:
    return replace(line, what=f"{line.what}{DONE_AGAIN}")


def _share_of(whole: Reckoning, share: Decimal) -> Reckoning:
    return replace(
        whole, low=whole.low * share, likely=whole.likely * share, high=whole.high * share
    )


def _labour(desk: Desk, element: Element, work: Work, call: Call | None) -> BidLine:
    rate = desk.rate_of_hands(work.craft, call)
    entry = Entry(work.name, work.craft, rate, month_of(call), work.phase, work.risk)
    return desk.line(element, entry, _cost_of_hands(desk, element, work, call))


def _cost_of_hands(desk: Desk, element: Element, work: Work, call: Call | None) -> Cost:
    heads = _heads(work.heads, work.craft)
    rate = desk.rate_of_hands(work.craft, call)
    found = desk.book.price(rate, desk.rate_day(call), element, "hour")
    if found is None:
        return unpriced(work.reason, heads)
    unit = desk.hours_in.get(found.per)
    if not unit:
        says = f"the rate for {rate} is per {found.per}, used for hours of work"
        desk.book.unlike(rate, element, says)
        return unpriced(work.reason, heads)
    counted, figures = desk.book.hours_of(found, rate, work, unit)
    per = "" if found.per == "hour" else f" / {unit:f} working hours in a {found.per}"
    return Cost(
        figures,
        f"hours x heads x rate{per}, {ROUNDED}",
        (work.reason, heads, found.reason),
        found.account,
        reckoning=counted,
    )


@cache
def _heads(many: int, craft: str) -> Quantity:
    """One value for all lines alike, of which a long bid has many thousands."""
    return Quantity("heads", many, reason=craft.replace("_", " "))


def _overtime(
    desk: Desk, element: Element, called: tuple[Work, Call | None], plain: BidLine
) -> Iterator[BidLine]:
    """What is paid beside the plain hours, where some of them come late or at the week-end.

    A longer call is held to run as much later: low and high keep the likely one's share.
    """
    work, call = called
    if call is None or plain.reckoning is None or desk.overtime is None or not call.hours:
        return
    extra = desk.overtime.extra_hours(call, desk.show.calendar)
    if extra <= 0:
        return
    share = round(Decimal(extra) / Decimal(call.hours), 6)
    counted = _share_of(plain.reckoning, share)
    paid = Quantity("hours paid beside the plain ones", extra, "h", reason="stage order, overtime")
    share_paid = Quantity(
        "share of the call", float(share), "1", reason="extra / hours of the call"
    )
    said = f"hours x heads x share x rate, {ROUNDED}"
    inputs = (*plain.reason.inputs, replace(share_paid, inputs=(paid,)))
    cost = Cost(counted.figures(), said, inputs, plain.account, reckoning=counted)
    entry = Entry(
        f"{OVERTIME}{work.name}", work.craft, plain.rate, plain.month, work.phase, work.risk
    )
    yield desk.line(element, entry, cost)


def _purchase(desk: Desk, element: Element, charge: Charge) -> BidLine:
    call = desk.call_of(element.id, charge.phase)
    if charge.amount is None:
        cost = _at_a_rate(desk, element, charge, call)
    else:
        cost = _stated(desk, element, charge, charge.amount, call)
    entry = Entry(charge.name, "purchases", charge.rate, month_of(call), charge.phase, charge.risk)
    return desk.line(element, entry, cost)


def _stated(desk: Desk, element: Element, charge: Charge, amount: Money, call: Call | None) -> Cost:
    said = charge.quantity.reason or "a sum stated outright"
    if amount.currency != desk.show.currency:
        desk.book.foreign(f"{charge.name} of {element.id}", amount, element)
        return unpriced(charge.quantity)
    escalation = desk.book.escalation
    months = escalation.months(None, desk.rate_day(call))
    growth = escalation.growth(months)
    counted = Reckoning(ONE, ONE, ONE, "item", amount.amount, growth, months)
    if months:
        said = f"{said}, x {growth} for {months} {noun(months, 'month')} of escalation"
    inputs = (charge.quantity,) if charge.quantity.place is not None else ()
    account = element.facts.word("account") or desk.show.facts.group("accounts").word(element.kind)
    return Cost(counted.figures(), said, inputs, account, reckoning=counted)


def _at_a_rate(desk: Desk, element: Element, charge: Charge, call: Call | None) -> Cost:
    quantity = charge.quantity
    name = charge.rate or charge.name
    found = desk.book.price(name, desk.rate_day(call), element, quantity.unit)
    factor = desk.book.factor(found, charge, element) if found else None
    if found is None or factor is None:
        return unpriced(quantity)
    counted, figures = desk.book.units_of(found, name, quantity.value, factor)
    return Cost(
        figures,
        f"quantity x rate, {ROUNDED}",
        (quantity, found.reason),
        found.account,
        reckoning=counted,
    )


def _cap_problems(
    show: Show, lines: Sequence[BidLine], users: Mapping[str, tuple[str, ...]]
) -> Iterator[Problem]:
    """Late additions that cost more than their cap, loads and what is built for them included.

    What other live shots use too was paid for without the addition, and does not count.
    """
    capped = {
        shot.id: (shot, cap)
        for shot in show.shots.values()
        if shot.is_live and (cap := shot.facts.group("added").money("cap")) is not None
    }
    own: defaultdict[str, list[BidLine]] = defaultdict(list)
    for line in lines:
        used_by = (line.shot,) if line.shot else users.get(line.element, ())
        if len(used_by) == 1 and used_by[0] in capped:
            own[used_by[0]].append(line)
    for name, (shot, cap) in capped.items():
        cost = loaded(own[name], show.loads)
        if cap.currency != show.currency or cost.likely > cap.amount:
            yield _over_cap(show, shot, cap, cost)


def _over_cap(show: Show, shot: Shot, cap: Money, cost: Figures) -> Problem:
    added = shot.facts.group("added")
    who = added.word("by") or "whoever asked for it"
    if cap.currency == show.currency:
        code, over = "addition-over-cap", f"{cost.likely - cap.amount:,.2f} {show.currency}"
        remedy = f"save {over}, or have {who} agree to more in writing"
    else:
        code, remedy = "currency-unlike", f"write the cap in {show.currency}"
    says = (
        f"{shot.id} was added with a cap of {cap} and costs"
        f" {cost.likely:,.2f} {show.currency} with what is built for it alone, overhead and"
        f" contingency"
    )
    return Problem(Severity.WARNING, added.place_of("cap"), code, says, remedy, shot.id)
