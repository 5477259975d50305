"""The chance of each date: a curve for each delivery and for each composite that is late.

Takes the matter of a page, gives a section. Works nothing out but places on paper.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.model.names import MONTHS, counted
from planner.pages.order_text import counted_days
from planner.pages.report.matter import short_day
from planner.pages.report.section import Section, rendered
from planner.pages.risk_text import begins_words, percent
from planner.pages.wording import plain

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from markupsafe import Markup

    from planner.order.risk import Chance, DrivenBy, Risk
    from planner.pages.plan import Plan
    from planner.pages.report.matter import Matter

_MOST_LATE = 6  # composites late that have a curve of their own; the latest
_MOST_DRIVEN = 8  # deliveries that are told what decides them
_MOST_DRIVERS = 3
_LEFT, _WIDE, _RIGHT = 46, 270, 14
_TOP, _HIGH, _FOOT = 36, 80, 20
_LETTER = 6.6  # the widest an ordinary letter of the drawing is on average
_GRID = ((1.0, "all"), (0.5, "1 in 2"), (0.0, "none"))


def chances(matter: Matter) -> Section | None:
    """How likely each delivery and each late composite is to be done by which day."""
    risk = matter.followed.risk
    if risk is None or not matter.is_first or not (risk.deliveries or risk.composites):
        return None
    told = [*risk.deliveries, *_late(risk)]
    html = rendered(
        "chances.html",
        about=_about(risk),
        first=_MOST_DRIVEN if len(risk.deliveries) > _MOST_DRIVEN else 0,
        curves=[_told(matter, each) for each in told],
        rows=[_row(each) for each in told],
    )
    return Section("chances", "The chance of each date", html, "Chances")


def driven_of(plan: Plan) -> set[str]:
    """Ids of what the section tells the drivers of: first deliveries, and the latest composites.

    To find what decides a date takes as long as to draw it, and a long show has hundreds.
    """
    show, order = plan.show, plan.order
    by_day = sorted(show.deliveries, key=lambda each: (each.day, each.id))
    due: dict[str, date] = {}
    for delivery in by_day:
        for shot in delivery.shots:
            due.setdefault(shot, delivery.day)
    alone = {tuple(each.shots) for each in by_day}
    past = sorted(
        (-(final.date() - due[shot]).days, plan.graph.composites[shot])
        for shot, final in order.finals.items()
        if shot in due and final.date() > due[shot] and (shot,) not in alone
    )
    return {each.id for each in by_day[:_MOST_DRIVEN]} | {id_ for _days, id_ in past[:_MOST_LATE]}


def _late(risk: Risk) -> list[Chance]:
    """Composites that are ordered after the day they are due, the latest first."""
    # A delivery of one composite has its curve already.
    alone = {each.shots for each in risk.deliveries}
    past = [
        ((each.ordered.date() - each.due).days, each)
        for each in risk.composites
        if each.due is not None and each.ordered.date() > each.due and each.shots not in alone
    ]
    past.sort(key=lambda pair: (-pair[0], pair[1].id))
    return [each for _days, each in past[:_MOST_LATE]]


def _about(risk: Risk) -> str:
    terms = risk.terms
    return (
        "The stage order dates everything at likely durations. Here those of"
        f" {counted(risk.calls, 'call')} were drawn {terms.draws:,} times between low and high;"
        f" those of one craft err together ({plain(terms.correlation)}). What waits for what and"
        f" the turns on stages, rigs and crews stay as ordered; {begins_words(terms)}. A curve"
        " rises to the share of draws that are done by a day."
    )


def _name(chance: Chance) -> str:
    return chance.id if chance.weakest is None else f"Delivery {chance.id.replace('_', ' ')}"


def _row(chance: Chance) -> dict[str, object]:
    return {
        "name": _name(chance),
        "due": short_day(chance.due) if chance.due else "",
        "ordered": short_day(chance.ordered),
        "on_time": "" if chance.on_time is None else percent(chance.on_time),
        "kept": [short_day(day) for day in chance.kept.values()],
    }


def _told(matter: Matter, chance: Chance) -> dict[str, object]:
    return {
        "name": _name(chance),
        "link": matter.link(chance.id) if matter.is_known(chance.id) else "",
        "drawing": _drawing(chance),
        "says": _says(chance),
        "drivers": [_driver(matter, each) for each in chance.drivers[:_MOST_DRIVERS]],
    }


def _says(chance: Chance) -> str:
    half, most = chance.kept[0.5], chance.kept[0.9]
    said = f"Done by {short_day(half)} in half of the draws, by {short_day(most)} in 9 of 10."
    if chance.due is not None and chance.on_time is not None:
        said = f"Due {short_day(chance.due)}: kept in {percent(chance.on_time)}. {said}"
    if chance.weakest and chance.on_time is not None and chance.on_time < chance.weakest[1]:
        id_, alone = chance.weakest
        said += (
            f" {id_} alone is in time in {percent(alone)}; all"
            f" {counted(len(chance.shots), 'composite')} together in {percent(chance.on_time)}."
        )
    return said


def _driver(matter: Matter, driver: DrivenBy) -> tuple[str, str, str]:
    days = counted_days(round(driver.adds_days, 1))
    adds = f", adds {days} on average" if driver.adds_days >= 0.05 else ""
    said = f"{driver.work}, on the longest chain in {percent(driver.critical)}{adds}"
    return driver.element, matter.link(driver.element), said


def _drawing(chance: Chance) -> Markup:
    """Chance upward, days from left to right; the day due and the day as ordered upright."""
    marks = [("ordered", chance.ordered.date(), "at")]
    if chance.due is not None:
        marks.append(("due", chance.due, "due"))
    days = [*chance.days, *(day for _word, day, _look in marks)]
    first, last = min(days), max(days)
    foot = _TOP + _HIGH
    return rendered(
        "chance.html",
        wide=_LEFT + _WIDE + _RIGHT,
        high=foot + _FOOT,
        left=_LEFT,
        right=_LEFT + _WIDE,
        foot=foot,
        label=f"Chance of {_name(chance)} by day",
        grid=[(round(foot - share * _HIGH), word) for share, word in _GRID],
        marks=[_mark(word, day, look, (first, last)) for word, day, look in marks],
        curve="".join(_curve(chance, first, last)),
        first=_day(first),
        last=_day(last) if last > first else "",
    )


def _mark(word: str, day: date, look: str, span: tuple[date, date]) -> dict[str, object]:
    """An upright line under its words, which stand on the side where there is room."""
    x, said = _x(day, *span), f"{word} {_day(day)}"
    room = len(said) * _LETTER
    side = "start" if x + room <= _LEFT + _WIDE + _RIGHT else "end"
    return {"x": x, "look": look, "said": said, "side": side, "y": 12 if look == "at" else 28}


def _curve(chance: Chance, first: date, last: date) -> Iterator[str]:
    """A line through the days by equal steps of chance; days that fall together are one rise."""
    foot, steps = _TOP + _HIGH, len(chance.days) - 1
    x = _x(chance.days[0], first, last)
    yield f"M{_LEFT} {foot}H{x}"
    for step, day in enumerate(chance.days[1:], start=1):
        y = round(foot - _HIGH * step / steps)
        before, x = x, _x(day, first, last)
        yield f"V{y}" if x == before else f"L{x} {y}"
    yield f"H{_LEFT + _WIDE}"


def _x(day: date, first: date, last: date) -> int:
    return round(_LEFT + _WIDE * (day - first).days / max((last - first).days, 1))


def _day(day: date) -> str:
    return f"{day.day} {MONTHS[day.month - 1]}"
