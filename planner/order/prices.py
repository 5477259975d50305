"""What an order makes small, in whole units of the show's currency.

Takes a show, gives prices in plain scheduling words. They are the bid's own, overhead and ordinary
contingency with them, as far as each call by itself can tell: days held, late hours, and what is
paid until the last call ends. What only all calls together tell the bid alone knows: the days on
which anything at all is done on a stage, on location or near flame, and rates that change with the
month. Knows nothing of elements' work or of solvers.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.schedule import Band, Weights

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.model.facts import Facts, Money
    from planner.model.show import Show
    from planner.order.stage_order import StageOrder
    from planner.schedule import Calendar

# What holds where the show states no price of its own, in whole units of its currency.
LATE_DAY = 5_000
CHANGE = 200
MOVE = 500
_CHANGE_QUARTERS = 4
"""The hour of striking one set-up that a needless change is held to cost its price for."""
_MONTHS = 12
_WEEKS = 52


def held_day(show: Show, id_: str) -> int:
    """What a thing costs each day it is held: its rate, and for a stage what show.yaml adds.

    What show.yaml adds is no money that is paid, and carries no overhead.
    """
    known, rate = show.resources.get(id_), show.rates.get(id_)
    if known is None or known.sort == "crew":
        return 0
    by_day = _by_day(show, id_) if rate is not None and rate.per in {"day", "week"} else 0.0
    beside = _stage_day(show) if known.sort == "stage" else 0
    return round(by_day * _loaded(show)) + beside


def _stage_day(show: Show) -> int:
    return _sum(show.facts.group("weights").money("day_held"), 0)


def late_hours(show: Show, id_: str) -> tuple[Band, ...]:
    """What each quarter of work late in the day costs beside its plain hours, for each head.

    Args:
        show: with what it states of ``overtime``.
        id_: of a crew; anything else is not paid by its hours.
    """
    known, stated = show.resources.get(id_), show.facts.group("overtime")
    if known is None or known.sort != "crew":
        return ()
    crafts = stated.words("crafts")
    rate = id_ if id_ in show.rates else known.craft
    if crafts and known.craft not in crafts:
        return ()
    quarter = _by_day(show, rate) / show.calendar.day_hours / 4 * _loaded(show)
    return tuple(_bands(stated, quarter))


def _bands(stated: Facts, quarter: float) -> Iterator[Band]:
    """Each band with what it adds to the one before, as prices of bands add up."""
    before = 1.0
    stated_bands = stated.groups("bands")
    for band in sorted(stated_bands, key=lambda each: each.amount("over", 0.0)):
        times = band.amount("times", 1.0)
        more = round(quarter * (times - before))
        if more > 0:
            yield Band(round(band.amount("over", 0.0) * 4), more)
        before = times


def running_on(show: Show) -> float:
    """What the show pays each working day until its last call ends.

    Those of its ``costs`` that run over the whole show and state no last day of their own.
    """
    costs = show.facts.named("costs").items()
    return sum(
        _by_day(show, cost.word("rate", name)) * cost.amount("many", 1.0)
        for name, cost in costs
        if cost.word("over") == "show" and cost.day("to") is None
    )


def _by_day(show: Show, rate: str) -> float:
    """A rate for a working day, as on the show's first; 0 where it is none of time."""
    known = show.rates.get(rate)
    paid = known.on(show.calendar.starts) if known is not None else None
    if known is None or paid is None:
        return 0.0
    week = len(show.calendar.week)
    days = {
        "hour": 1 / show.calendar.day_hours,
        "day": 1,
        "week": week,
        "month": week * _WEEKS / _MONTHS,
    }
    return float(paid.amount) / days[known.per] if known.per in days else 0.0


def _loaded(show: Show) -> float:
    """What one unit of cost comes to in the bid's total."""
    loads = show.loads
    held_back = float(loads.contingency.get("ordinary", 0))
    overhead = float(loads.overhead)
    carried = held_back * overhead if loads.contingency_carries_overhead else 0.0
    return 1 + overhead + held_back + carried


def late_quarter(show: Show, calendar: Calendar) -> int:
    """What a quarter hour late of a composite of weight 1 is held to cost, at least 1."""
    day = _sum(show.facts.group("weights").money("late"), LATE_DAY)
    return max(1, round(day / calendar.quarters_per_day))


def unpaid(show: Show, order: StageOrder) -> int:
    """What an order's stage days and changes of set-up are held to cost and nobody is paid."""
    days = sum(map(len, order.days_held.values()))
    if order.question is None or order.answer is None:
        return days * _stage_day(show)
    each = order.question.instance.weights.changeover
    return days * _stage_day(show) + each * order.answer.parts.changeover


def move(show: Show) -> int:
    """What moving one call of an issued order to another day or stage is held to cost."""
    return _sum(show.facts.group("weights").money("move"), MOVE)


def weights(show: Show, calendar: Calendar) -> Weights:
    """What the order makes small, in whole units of the show's currency.

    Lateness is priced with each piece of work, so that deliveries may weigh less than one another.
    """
    change = _sum(show.facts.group("weights").money("change"), CHANGE)
    finish = running_on(show) * _loaded(show) / calendar.quarters_per_day
    return Weights(
        late=1,
        finish=max(1, round(finish)),
        cost=1,
        changeover=max(1, round(change / _CHANGE_QUARTERS)),
    )


def _sum(money: Money | None, default: int) -> int:
    return round(money.amount) if money is not None else default
