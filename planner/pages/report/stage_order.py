"""The stage order: every stage and craft by day as one strip, then a grid for each week.

Takes the matter of a page, gives sections. Works nothing out.
"""

from __future__ import annotations

from collections import defaultdict
from datetime import date, timedelta
from typing import TYPE_CHECKING

from markupsafe import Markup

from planner.model.names import MONTHS, counted, day_words
from planner.pages.graph_nodes import short
from planner.pages.order_text import counted_days
from planner.pages.report.matter import day_span
from planner.pages.report.section import Section, rendered
from planner.pages.report.week_grid import HOUR_HIGH
from planner.pages.wording import inert

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from planner.order import Call
    from planner.pages.report.matter import Matter
    from planner.pages.report.week_grid import Block, Week

_DAY = timedelta(days=1)
_LEFT, _PLOT, _RIGHT, _ROW = 150, 620, 140, 18
_HEAD_LETTERS = 7  # columns of text beside a row of a grid
_MONTH_ROOM, _LABEL_ROOM = 30, 7  # units that the name of a month, and a letter, take


def overview(matter: Matter) -> Section | None:
    """One line a stage and one a craft, a day as a length, deliveries as upright lines."""
    order = matter.plan.order
    if not matter.is_first:
        return None
    if not order.calls:
        html = rendered("overview.html", strip="", weeks=[], about="No work to order.")
        return Section("order", "Stage order", html, "Stage order")
    best = "proven the best" if order.proven else "not proven the best"
    first, last = order.calls[0].starts.date(), max(call.ends for call in order.calls).date()
    about = (
        f"{counted(len(order.calls), 'call')}, {day_span(first, last)}; {order.method}, {best}. The"
        f" longest chain of work alone takes {counted_days(order.bound_days)}."
    )
    weeks = [(_anchor(matter, each), _head(each)) for each in matter.weeks]
    html = rendered("overview.html", strip=_strip(matter, first, last), weeks=weeks, about=about)
    return Section("order", "Stage order", html, "Stage order")


def _strip(matter: Matter, first: date, last: date) -> Markup:
    days = (last - first).days + 1
    rows = list(_rows(matter))
    chips = list(_chips(matter, first, last))
    top = 18 + 16 * (1 + max((level for *_, level in chips), default=-1))
    foot = top + _ROW * len(rows)
    return rendered(
        "strip_of_days.html",
        wide=_LEFT + _PLOT + _RIGHT,
        high=foot + 6,
        left=_LEFT,
        top=top,
        foot=foot,
        months=list(_months(first, last)),
        chips=chips,
        rows=[
            {
                "name": short(name, 22, 1)[0],
                "y": top + _ROW * n,
                "said": said,
                # As wide a line, half as long to say as a rectangle.
                "busy": "".join(f"M{x:g} 9h{wide:g}" for x, wide in _runs(busy, first, days)),
                "idle": "".join(
                    f"M{x:g} 4h{wide:g}v10h-{wide:g}z" for x, wide in _runs(idle, first, days)
                ),
                "at": _LEFT + _PLOT + 8,
            }
            for n, (name, busy, idle, said) in enumerate(rows)
        ],
    )


def _rows(matter: Matter) -> Iterator[tuple[str, set[date], set[date], str]]:
    """Name, days worked, days held without, and both in words: stages, then crafts anywhere."""
    show, order = matter.plan.show, matter.plan.order
    worked: defaultdict[str, set[date]] = defaultdict(set)
    for call in order.calls:
        days = _days_of(matter, call)
        worked[f"/{call.work.craft}"] |= days
        if call.stage:
            worked[call.stage] |= days
    for stage in show.resources_of("stage"):
        held = set(order.days_held.get(stage.id, ()))
        if held or worked[stage.id]:
            idle = held - worked[stage.id]
            said = counted(len(held), "day") + (f", {len(idle)} idle" if idle else "")
            yield stage.called, worked[stage.id], idle, said
    crafts = sorted(each for each in worked if each.startswith("/"))
    if crafts:
        yield "Craft by craft", set(), set(), ""
    for name in crafts:
        yield name[1:].replace("_", " "), worked[name], set(), counted(len(worked[name]), "day")


def _days_of(matter: Matter, call: Call) -> set[date]:
    first = call.starts.date()
    return {first, *matter.plan.show.calendar.working_days(first, call.ends.date())}


def _x(day: date, first: date, days: int) -> float:
    return round(_LEFT + _PLOT * (day - first).days / days, 1)


def _runs(days: Iterable[date], first: date, span: int) -> Iterator[tuple[float, float]]:
    """Where runs of days begin, and how long they are."""
    run: list[date] = []
    for day in [*sorted(days), None]:
        if day is not None and (not run or day - run[-1] == _DAY):
            run.append(day)
            continue
        if run:
            start, end = _x(run[0], first, span), _x(run[-1] + _DAY, first, span)
            yield start, round(end - start, 1)
        run = [day] if day is not None else []


def _months(first: date, last: date) -> Iterator[tuple[float, str]]:
    """Where months begin, with their names where there is room, years where they change."""
    days = (last - first).days + 1
    day, room = first, -100.0
    while day <= last:
        x = _x(day, first, days)
        named = x - room >= _MONTH_ROOM * (2 if day.month == 1 or day == first else 1)
        if named:
            room = x
        year = f" {day.year}" if day.month == 1 or day == first else ""
        yield x, f"{MONTHS[day.month - 1]}{year}" if named else ""
        day = date(day.year + day.month // 12, day.month % 12 + 1, 1)


def _chips(matter: Matter, first: date, last: date) -> Iterator[tuple[float, str, str, int]]:
    """Deliveries: place, words, side and level; those with no room for words are left out."""
    days = (last - first).days + 1
    ends = [-1e9] * 4
    for delivery in sorted(matter.plan.show.deliveries, key=lambda each: each.day):
        if not first <= delivery.day <= last:
            continue
        x = _x(delivery.day, first, days)
        said = short(
            f"{delivery.id.replace('_', ' ')} due {day_span(delivery.day, delivery.day)}", 40, 1
        )[0]
        wide = _LABEL_ROOM * len(said)
        start = x if x + wide < _LEFT + _PLOT + _RIGHT else x - wide
        free = [n for n, end in enumerate(ends) if end < start]
        if free:
            ends[free[0]] = start + wide + 8
            yield x, said, "start" if start == x else "end", free[0]


def weeks(matter: Matter) -> Section | None:
    """A grid for each week: days across, a stage a row, hours as heights."""
    if not matter.is_first or matter.is_split:
        return None
    if not matter.weeks:
        return None
    html = weeks_html(matter, matter.weeks)
    return Section("weeks", "The stages, week by week", html, "Week by week")


def weeks_html(matter: Matter, held: Iterable[Week]) -> Markup:
    """Grids of weeks, for a page of them."""
    titles = {each.id: inert(each.called) for each in matter.plan.show.resources_of("stage")}
    return rendered("weeks.html", weeks=[_week(matter, each, titles) for each in held])


def week_page(week: Week) -> str:
    """File name of the page a week is on, where there are several pages."""
    return f"order_{week.days[0]:%Y_%m}.html"


def _anchor(matter: Matter, week: Week) -> str:
    return f"{week_page(week) if matter.is_split else ''}#week:{week.days[0]}"


def _head(week: Week) -> str:
    return day_span(week.days[0], week.days[-1])


def _week(matter: Matter, week: Week, titles: Mapping[str, str]) -> dict[str, object]:
    high = (week.closes - week.opens) * HOUR_HIGH
    unsaid = [
        block.told
        for stage in week.stages
        for blocks in stage.by_day
        for block in blocks
        if not block.is_named or not block.says
    ]
    return {
        "id": f"week:{week.days[0]}",
        "head": f"Week of {day_words(week.days[0])}",
        "days": [" ".join(day_words(day).split()[:3]) for day in week.days],
        "high": high,
        "opens": f"{week.opens:02d}:00",
        "closes": f"{week.closes:02d}:00",
        "stages": [
            {
                "title": short(titles[stage.stage], _HEAD_LETTERS, max((high - 60) // 18, 1)),
                "cells": [
                    [_block(matter, block, week) for block in blocks] or (day in stage.idle)
                    for day, blocks in zip(week.days, stage.by_day, strict=True)
                ],
            }
            for stage in week.stages
        ],
        "unsaid": unsaid,
    }


def _block(matter: Matter, block: Block, week: Week) -> Markup:
    """Put together here, not in a template: a long show has thousands."""
    side = (
        f";left:{100 * block.across / block.abreast:.0f}%;width:{100 / block.abreast:.0f}%"
        if block.abreast > 1
        else ""
    )
    name = (
        Markup("<a href={}>{}</a>").format(matter.link(block.element), inert(block.element))
        if block.is_named
        else ""
    )
    return Markup("<div style=--t:{:.0f};--k:{:.0f}{}>{}</div>").format(
        (block.begins - week.opens) * HOUR_HIGH,
        (block.ends - block.begins) * HOUR_HIGH,
        side,
        Markup("<br>").join((name, *block.says)) if block.says else name,
    )
