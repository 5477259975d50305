"""Every number of one thing, opened to its arithmetic.

Takes a show with its estimates, order and bid, and the id of an element, build or shot, gives text.
Works nothing out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.bid.lines import total_of
from planner.model.names import day_words, in_names, title_of
from planner.model.ratio import in_ratio_within
from planner.order import why_then
from planner.pages.machine import quantity_json, values_json
from planner.pages.order_text import against_rows
from planner.pages.problems import problems_text
from planner.pages.reasons import reason_text
from planner.pages.wording import figure, folded, missing_said

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from planner.bid import BidLine
    from planner.estimate import Estimates, ScaleWindow
    from planner.kinds import MissingFact
    from planner.model.quantity import Quantity
    from planner.model.show import Element
    from planner.order import Call
    from planner.pages.plan import Plan


def why_text(plan: Plan, id_: str, name: str = "") -> str:
    """Numbers, work with dates, cost and scale limits of one thing.

    Args:
        plan: of the show.
        id_: of the element or build.
        name: of one number or stretch of work; everything where empty.

    Returns:
        Text; empty where `name` names nothing of it.
    """
    element, estimates = plan.show.elements[id_], plan.estimates
    numbers = {quantity.name: quantity for quantity in _numbers(element, estimates)}
    lines = [line for line in plan.bid.lines if line.element == id_]
    if name:
        found = [reason_text(each) for key, each in numbers.items() if key.startswith(name)]
        found += _work(plan, id_, name)
        found += [reason_text(line.reason) for line in lines if line.what.startswith(name)]
        return "\n".join(found)
    parts = [_heading(element)]
    parts += _section("Numbers", (reason_text(each) for each in numbers.values()))
    parts += _section("Work", _work(plan, id_))
    parts += _section("Dates", _dates(plan, id_))
    parts += _section("Cost", [*(reason_text(line.reason) for line in lines), _total(plan, lines)])
    lacking = estimates.by_element[id_].missing
    parts += _section("Missing", (_missing(each) for each in lacking)) if lacking else []
    window = estimates.windows.get(id_)
    if window is not None:
        parts += _section("Scale", _window(window))
    problems = [each for each in estimates.problems if each.about == id_]
    if problems:
        parts.append(problems_text(problems, plan.show))
    return "\n".join(parts)


def why_json(plan: Plan, id_: str, name: str = "") -> str:
    """The same for machines, every number with its inputs.

    Args:
        plan: of the show.
        id_: of the element or build.
        name: of one number or stretch of work; everything where empty.
    """
    estimates = plan.estimates
    numbers = {quantity.name: quantity for quantity in _numbers(plan.show.elements[id_], estimates)}
    calls = [call for call in plan.order.calls if call.element == id_]
    lines = [line for line in plan.bid.lines if line.element == id_]
    window = estimates.windows.get(id_)
    bounds = window.bounds if window is not None and not name else ()
    lacking = estimates.by_element[id_].missing if not name else ()
    return values_json(
        {
            "numbers": [
                quantity_json(each) for key, each in numbers.items() if key.startswith(name)
            ],
            "work": [
                {
                    "name": call.work.name,
                    "starts": call.starts.isoformat(),
                    "ends": call.ends.isoformat(),
                    "hours": quantity_json(call.work.reason),
                    "holds": list(call.holds),
                    "against": list(call.against),
                }
                for call in calls
                if call.work.name.startswith(name)
            ],
            "cost": [
                {"name": line.what, "currency": plan.bid.currency, **quantity_json(line.reason)}
                for line in lines
                if line.what.startswith(name)
            ],
            "scale": [
                {"element": each.element, "at_least": each.at_least, **quantity_json(each.limit)}
                for each in bounds
            ],
            "missing": [
                {"fact": each.name, "rests": each.rests, "assumed": each.assumed, "by": each.by}
                for each in lacking
            ],
        }
    )


def names_of(plan: Plan, id_: str) -> list[str]:
    """What `why_text` can be asked of one thing: its numbers, its work, its costs."""
    calls = [call.work.name for call in plan.order.calls if call.element == id_]
    costs = [line.what for line in plan.bid.lines if line.element == id_]
    return sorted({*plan.estimates.by_element[id_].quantities, *calls, *costs})


def _total(plan: Plan, lines: list[BidLine]) -> str:
    if not lines:
        return ""
    total = total_of(line.figures for line in lines)
    span = f"{total.low:,.2f} to {total.high:,.2f}"
    said = (
        f"In all {total.likely:,.2f} {plan.bid.currency}, {span}, overhead and contingency apart."
    )
    return f"{said}\n"


def _missing(fact: MissingFact) -> str:
    said = f"{fact.name.replace('_', ' ')}: {missing_said(fact.by)}; on it rests {fact.rests}"
    said += f"; taken as {fact.assumed}" if fact.assumed else ""
    return "".join(f"{row}\n" for row in folded(said, "", "  "))


def _heading(element: Element) -> str:
    says = element.facts.word("says")
    lines = [f"{element.id}, {element.kind.replace('_', ' ')}, {element.place}"]
    return "\n".join([*lines, *(folded(says, "  ") if says else ())]) + "\n"


def _numbers(element: Element, estimates: Estimates) -> Iterator[Quantity]:
    """Every number kept, those that others rest on left to stand under them."""
    estimate = estimates.by_element[element.id]
    kept = list(estimate.quantities.values())
    under = {id(part) for each in kept for part in each.inputs}
    yield from (each for each in kept if id(each) not in under)
    yield from (each for each in kept if id(each) in under)


def _work(plan: Plan, id_: str, name: str = "") -> Iterator[str]:
    for call in plan.order.calls:
        if call.element != id_ or not call.work.name.startswith(name):
            continue
        held = ", ".join(title_of(each, plan.show) for each in call.holds)
        said = (
            f"{call.work.name}: {_hours(call)}, {day_words(call.starts)} {call.starts:%H:%M}"
            f" to {day_words(call.ends, year=False)} {call.ends:%H:%M},"
            f" holding {held or 'nothing scarce'}"
        )
        rows = [*folded(said, "", "  "), *against_rows(call)]
        yield "\n".join(rows) + "\n" + reason_text(call.work.reason)


def _hours(call: Call) -> str:
    """Hours called, in the range of the estimate; short work is called for a whole quarter hour."""
    hours, called = call.work.hours, figure(call.hours, "h")
    span = f"{figure(hours.low, 'h')} to {figure(hours.high, 'h')}"
    if call.hours <= hours.high:
        return f"{called} ({span})"
    return f"{figure(hours.likely, 'h')} ({span}), called for {called}"


def _dates(plan: Plan, id_: str) -> Iterator[str]:
    """What holds the first call, and the last where it is another."""
    mine = [call for call in plan.order.calls if call.element == id_]
    for call in dict.fromkeys((mine[0], mine[-1])) if mine else ():
        rows = [
            row
            for said in why_then(plan.order, call)
            for row in folded(in_names(said, plan.show), "", "  ")
        ]
        yield "".join(f"{row}\n" for row in rows)


def _window(window: ScaleWindow) -> Iterator[str]:
    for bound in sorted(window.bounds, key=lambda each: (not each.at_least, each.limit.value)):
        side = "or smaller" if bound.at_least else "or larger"
        limit = in_ratio_within(bound.limit.value, at_least=bound.at_least)
        wanted = f"{bound.element} wants {limit} {side}"
        said = f"{wanted}; to move it: {bound.relax}"
        yield "\n".join(folded(said, "", "  ")) + "\n" + reason_text(bound.limit)


def _section(title: str, texts: Iterable[str]) -> list[str]:
    held = [text for text in texts if text]
    return [f"{title}\n{'-' * len(title)}", *held] if held else []
