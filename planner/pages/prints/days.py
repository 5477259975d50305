"""Day orders and week orders of the stages.

Takes dated work, gives sheets: one a stage and day, one a week. Works nothing out.
"""

from __future__ import annotations

from bisect import bisect_right
from itertools import groupby
from typing import TYPE_CHECKING

from planner.model.names import counted, day_words, name_of, set_up_words, title_of
from planner.pages.order_text import NO_NOTES, held_names
from planner.pages.prints.dated import (
    DAY,
    by_day,
    call_and_wrap,
    clock,
    meal_words,
    with_against,
)
from planner.pages.prints.sheet import BLANK, Listed, Said, Sheet, Table, Under
from planner.pages.wording import figure

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from datetime import date

    from planner.model.show import Resource, Show
    from planner.order import Call
    from planner.pages.order_text import Notes
    from planner.pages.prints.dated import Dated, Stretch
    from planner.pages.prints.sheet import Block, Cell

STAGES_ABREAST = 4
"""Stages that a week order sets side by side."""
TO_MEND = "To be mended or settled first"
SEE_BELOW = "! see below"


def day_orders(
    show: Show,
    dated: Dated,
    day: date | None,
    stage: str = "",
    notes: Notes = NO_NOTES,
) -> tuple[Sheet, ...]:
    """A sheet for each stage and day that has a call or is held.

    Args:
        show: for names and the calendar.
        dated: the order.
        day: the only day wanted; None for every one.
        stage: id of the only stage wanted; empty for all.
        notes: what whoever is called must know: hazards, and why something cannot be done as
            planned.
    """
    found = by_day(dated, show.calendar)
    held = {day for days in dated.days_held.values() for day in days}
    days = sorted({*found, *held}) if day is None else [day]
    stages = [each for each in show.resources_of("stage") if stage in {"", each.id}]
    return tuple(
        sheet
        for each in days
        for place in stages
        if (sheet := _day(show, dated, (each, place), (found.get(each, ()), notes)))
    )


def _day(
    show: Show,
    dated: Dated,
    at: tuple[date, Resource],
    told: tuple[Sequence[Stretch], Notes],
) -> Sheet | None:
    (day, stage), (stretches, notes) = at, told
    mine = [each for each in stretches if each.call.stage == stage.id]
    company = tuple(each.call for each in stretches if each.call.work.beside)
    first = {each.call.element: each.call.id for each in reversed(mine)}
    noted = notes.once((each.call for each in mine), show)
    beneath = {id_: (*_says(show, element), *noted[id_]) for element, id_ in first.items()}
    is_held = day in dated.days_held.get(stage.id, ())
    if not mine and not is_held:
        return None
    rows = [
        row
        for set_up, group in groupby(mine, key=lambda each: each.call.work.set_up)
        for row in _set_up(show, set_up, tuple(group), (company, beneath))
    ]
    heads = ("From", "Until", "Work", "Who", "Began", "Ended")
    blocks: list[Block] = [Said(f"! {each}") for each in notes.for_all(first)]
    blocks.append(Table(heads, tuple(rows), (0, 0, 3, 1.3, 0.8, 0.8)))
    if not mine:
        blocks.append(Said("Held today, and nothing is called: the set-up stands. Touch nothing."))
    if of_stage := _notes_of(stage, day):
        blocks.append(Said(of_stage, "Of this stage"))
    said = (
        call_and_wrap(mine),
        meal_words(show.calendar, mine),
        _tomorrow(show, dated, at) if mine else "",
    )
    says = " ".join(each for each in said if each)
    about = f"{title_of(stage.id, show)}, {day_words(day)}"
    return Sheet("Day order", about, says, tuple(blocks), f"{dated.source}.")


def _says(show: Show, id_: str) -> tuple[str, ...]:
    says = show.elements[id_].facts.word("says") if id_ in show.elements else ""
    return (says,) if says else ()


def _notes_of(stage: Resource, day: date) -> str:
    """What people should know of a stage; nothing once it no longer holds."""
    until = stage.facts.day("notes_until")
    return stage.facts.word("notes") if until is None or day <= until else ""


def _tomorrow(show: Show, dated: Dated, at: tuple[date, Resource]) -> str:
    """What is called next on the stage, for whoever strikes this set-up or leaves it standing."""
    day, stage = at
    set_ups = dated.set_ups.get(stage.id, ())
    after = bisect_right(set_ups, day, key=lambda each: each.starts.date())
    last = set_ups[after - 1] if after else None
    if after == len(set_ups):
        goes_on = last is not None and last.ends.date() > day
        return "" if goes_on else "Nothing else is called here."
    first = set_ups[after]
    when = f"{day_words(first.starts)} {first.starts:%H:%M}"
    if last is not None and first.work.set_up == last.work.set_up:
        return f"The set-up stands: called next here {when}."
    return f"Next here, {when}: {set_up_words(first.work.set_up, show)}."


def _set_up(
    show: Show,
    set_up: str,
    stretches: Sequence[Stretch],
    beside: tuple[Sequence[Call], Mapping[str, Sequence[str]]],
) -> Iterator[tuple[Cell, ...] | Under]:
    held = dict.fromkeys(name for each in stretches for name in held_names(each.call, show))
    title = f"Set-up: {set_up_words(set_up, show)}" if set_up else "Without a set-up"
    alone = "With nothing else." if set_up else ""
    yield Under(title, f"With {', '.join(held)}." if held else alone)
    company, beneath = beside
    for each in stretches:
        with_it = [one for one in company if one.during == each.call.id]
        yield _call(each, show, with_it, beneath.get(each.call.id, ()))


def _call(
    stretch: Stretch, show: Show, company: Sequence[Call], beneath: Sequence[str]
) -> tuple[Cell, ...]:
    """One row; `company` is called with it, `beneath` is told to whoever is, once a day."""
    call = stretch.call
    hours = f"{figure(call.hours, 'h')}{'' if stretch.is_last else ' in all'}"
    work = f"{name_of(call.element, show)}: {call.work.name}, {hours}"
    against = dict.fromkeys(said for each in (call, *company) for said in each.against)
    hands = tuple(
        f"{each.work.craft.replace('_', ' ')} × {each.work.heads}" for each in (call, *company)
    )
    return (
        *clock(stretch),
        (work, *beneath, *(f"! {each}" for each in against)),
        hands,
        BLANK,
        BLANK,
    )


def week_orders(
    show: Show, dated: Dated, day: date | None, notes: Notes = NO_NOTES
) -> tuple[Sheet, ...]:
    """A sheet for each week with a call, or for the week of `day` only.

    Args:
        show: for names and the calendar.
        dated: the order.
        day: any day of the only week wanted; None for every one.
        notes: why something cannot be done as planned, without hazards: those are of the day.
    """
    found = by_day(dated, show.calendar)
    mondays = sorted({_monday(each) for each in found} if day is None else {_monday(day)})
    return tuple(_week(show, dated, monday, (found, notes)) for monday in mondays)


def _monday(day: date) -> date:
    return day - DAY * day.weekday()


def _week(
    show: Show, dated: Dated, monday: date, told: tuple[dict[date, tuple[Stretch, ...]], Notes]
) -> Sheet:
    found, notes = told
    days = [monday + DAY * n for n in range(7)]
    stages = show.resources_of("stage")
    blocks: list[Block] = [
        _abreast(show, dated, stages[at : at + STAGES_ABREAST], (days, found, notes))
        for at in range(0, len(stages), STAGES_ABREAST)
    ]
    blocks.append(_off_stage(show, days, found, notes))
    blocks.append(Listed(TO_MEND, tuple(_to_mend(show, days, found, notes))))
    dues = [
        f"{day_words(each.day)}: {each.id.replace('_', ' ')}, {counted(len(each.shots), 'shot')}"
        for each in show.deliveries
        if each.day in days
    ]
    blocks.append(Said("; ".join(dues), "To be delivered") if dues else Said(""))
    about = f"{_short(days[0])} to {day_words(days[-1])}"
    return Sheet("Week order", about, "", tuple(blocks), f"{dated.source}.")


def _to_mend(
    show: Show, days: Sequence[date], found: dict[date, tuple[Stretch, ...]], notes: Notes
) -> Iterator[str]:
    """What stands against work of these days, whole, each thing once: the tables only point to it.

    In the cells of stages side by side, sentences would crowd out the calls.
    """
    told: set[str] = set()
    for stretch in (each for day in days for each in found.get(day, ())):
        for id_, every in notes.about(stretch.call):
            if id_ not in told:
                yield from (f"{name_of(id_, show)} {said}" for said in every)
            told.add(id_)


def _pointing(cell: Cell, calls: Iterable[Call], notes: Notes) -> Cell:
    """What is said of calls, with a word where something stands against one."""
    if not any(True for call in calls for _ in notes.about(call)):
        return cell
    return (*((cell,) if isinstance(cell, str) else cell), SEE_BELOW)


def _short(day: date) -> str:
    """``Mon 1 Mar``: a year is said once, so that the title keeps to its line."""
    return day_words(day).rpartition(" ")[0]


def _abreast(
    show: Show,
    dated: Dated,
    stages: Sequence[Resource],
    at: tuple[list[date], dict[date, tuple[Stretch, ...]], Notes],
) -> Table:
    days, found, notes = at
    rows: list[tuple[Cell, ...]] = []
    for day in days:
        cells = tuple(
            _stage_day(show, dated, (stage.id, day), (found.get(day, ()), notes))
            for stage in stages
        )
        if show.calendar.is_working(day) or any(any(cell) for cell in cells):
            rows.append((_short(day), *cells))
        elif day.weekday() < 5:
            rows.append((_short(day), *(("nobody works",) for _ in stages)))
    heads = ("Day", *(title_of(each.id, show) for each in stages))
    # A stage nobody is called to leaves its room to the others.
    called = {each.call.stage for day in days for each in found.get(day, ())}
    widths = (1.0 if each.id in called else 0.4 for each in stages)
    return Table(heads, tuple(rows), (0, *widths))


def _stage_day(
    show: Show, dated: Dated, at: tuple[str, date], its: tuple[Sequence[Stretch], Notes]
) -> tuple[str, ...]:
    """Set-ups where they change, and calls under them."""
    (stage, day), (stretches, notes) = at, its
    lines = []
    mine = [each for each in stretches if each.call.stage == stage]
    for set_up, group in groupby(mine, key=lambda each: each.call.work.set_up):
        lines.append(f"Set-up {set_up_words(set_up, show)}:" if set_up else "")
        for element, calls in groupby(group, key=lambda each: each.call.element):
            held = list(calls)
            works = [f"{clock(each)[0]} {each.call.work.name}" for each in held]
            until = clock(held[-1])[1]
            said = f"{name_of(element, show)}: {', '.join(works)}, until {until}"
            told = with_against(said, (each.call for each in held))
            told = _pointing(told, (each.call for each in held), notes)
            lines += (told,) if isinstance(told, str) else told
    if not mine and day in dated.days_held.get(stage, ()):
        lines.append("held, no call")
    return tuple(each for each in lines if each)


def _off_stage(
    show: Show, days: Sequence[date], found: dict[date, tuple[Stretch, ...]], notes: Notes
) -> Table:
    """Work elsewhere, by craft, each call once with its days in this week and its hours."""
    calls: dict[str, list[Stretch]] = {}
    for day in days:
        for each in found.get(day, ()):
            if not each.call.stage and not each.call.work.beside:
                calls.setdefault(each.call.id, []).append(each)
    ordered = sorted(
        calls.values(), key=lambda held: (held[0].call.work.craft, held[0].starts, held[0].call.id)
    )
    rows = []
    craft = ""
    for held in ordered:
        call = held[0].call
        name = call.work.craft.replace("_", " ")
        first, last = day_words(held[0].starts), day_words(held[-1].ends)
        span = first.split(" ")[0] + ("" if first == last else f" to {last.split(' ')[0]}")
        said = with_against(f"{name_of(call.element, show)}: {call.work.name}", (call,))
        rows.append(
            (
                name if name != craft else "",
                span,
                _pointing(said, (call,), notes),
                hours_in_all(held),
            )
        )
        craft = name
    heads = ("Craft", "Days", "Work", "Hours")
    return Table(heads, tuple(rows), (0, 0, 1, 0), "Off the stages")


def hours_in_all(held: Sequence[Stretch]) -> str:
    """Hours of the whole call, of which other weeks may have a part."""
    call, last = held[0].call, held[-1]
    hours = figure(call.hours, "h")
    if held[0].begins and last.is_last:
        return hours
    return f"{hours} in all" + ("" if last.is_last else f", until {clock(last)[1]}")
