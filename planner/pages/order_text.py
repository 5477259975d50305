"""The stage order as text: calls by stage and day, work off stage, what is late.

Takes the stage order and the show for names, gives text of 80 columns. Works nothing out.
"""

from __future__ import annotations

from datetime import date, timedelta
from itertools import groupby
from typing import TYPE_CHECKING

from planner.pages.wording import WIDTH, counted, figure, folded, inert, plain

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from planner.model.show import Show
    from planner.order.stage_order import Call, StageOrder


_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = "JanFebMarAprMayJunJulAugSepOctNovDec"


def order_text(order: StageOrder, show: Show, *, width: int = WIDTH) -> str:
    """The order of work by stage and day, work off stage by craft, then what is late.

    Args:
        order: dated.
        show: for the names of resources.
        width: in columns.
    """
    if not order.calls:
        return "No work to order.\n"
    first = min(each.starts for each in order.calls)
    last = max(each.ends for each in order.calls)
    best = "proven the best" if order.proven else "not proven the best"
    opening = (
        f"{counted(len(order.calls), 'call')}, {day_words(first)} to {day_words(last)};"
        f" {order.method}, {best}. No order needs fewer than {plain(order.bound_days)} working"
        " days."
    )
    blocks = ["\n".join(folded(opening, width=width))]
    for stage in show.resources_of("stage"):
        calls = [each for each in order.calls if each.stage == stage.id]
        days = order.days_held.get(stage.id, ())
        if calls or days:
            title = f"{inert(stage.title or stage.id)}: {counted(len(days), 'day')} held"
            blocks.append(
                "\n".join([*folded(title, width=width), *_stage(calls, days, show, width)])
            )
    off_stage = sorted(
        (each for each in order.calls if not each.stage),
        key=lambda each: (each.work.craft, each.starts),
    )
    for craft, group in groupby(off_stage, key=lambda each: each.work.craft):
        lines = [f"Off stage, {inert(craft.replace('_', ' '))}"]
        lines.extend(row for each in group for row in _off_stage_call(each, show, width))
        blocks.append("\n".join(lines))
    blocks.extend(_lateness(order, width))
    return "\n\n".join(blocks) + "\n"


def _stage(calls: Sequence[Call], days: Iterable[date], show: Show, width: int) -> list[str]:
    """Calls under their dates; set-ups and things held named where they change, idle days too."""
    begun: dict[date, list[Call]] = {}
    busy: set[date] = set()
    for call in sorted(calls, key=lambda each: (each.starts, each.element)):
        begun.setdefault(call.starts.date(), []).append(call)
        span = (call.ends.date() - call.starts.date()).days
        busy |= {call.starts.date() + timedelta(each) for each in range(span + 1)}
    lines: list[str] = []
    set_up = beside = ""
    for day in sorted({*begun, *days}):
        if day not in busy:
            lines.append(f"  {day_words(day)}  held, idle")
        if day not in begun:
            continue
        lines.append(f"  {day_words(day)}")
        for call in begun[day]:
            if call.work.set_up and call.work.set_up != set_up:
                set_up = call.work.set_up
                lines.extend(folded(set_up, "    set-up: ", width=width))
                beside = ""
            if (held := _beside(call, show)) != beside:
                beside = held
                lines.extend(folded(beside or "nothing else", "    with ", width=width))
            lines.extend(_stage_call(call, width))
    return lines


def _stage_call(call: Call, width: int) -> list[str]:
    ends = f"{call.ends:%H:%M}"
    until = (
        "" if call.ends.date() == call.starts.date() else f", until {day_words(call.ends)} {ends}"
    )
    clock = f"    {call.starts:%H:%M}-{ends}" if not until else f"    {call.starts:%H:%M}-     "
    head = f"{clock} {figure(call.hours, 'h'):>7}  "
    said = f"{call.element}: {call.work.name}{until}"
    return folded(said, head, width=width)


def _off_stage_call(call: Call, show: Show, width: int) -> list[str]:
    starts, ends = call.starts.date(), call.ends.date()
    days = day_words(starts) if starts == ends else f"{day_words(starts)} to {day_words(ends)}"
    beside = _beside(call, show)
    said = f"{call.element}: {call.work.name}{f', with {beside}' if beside else ''}"
    if call.work.wait_hours:
        said += f"; then {figure(call.work.wait_hours, 'h')} before what follows"
    return [f"  {days}, {figure(call.hours, 'h')}", *folded(said, "    ", width=width)]


def _beside(call: Call, show: Show) -> str:
    """What is held beside the stage, by the names people use; crews go without saying."""
    names = []
    for each in call.holds:
        resource = show.resources.get(each)
        if each == call.stage or (resource is not None and resource.sort == "crew"):
            continue
        names.append((resource.title if resource else "") or each)
    return ", ".join(names)


def _lateness(order: StageOrder, width: int) -> Iterator[str]:
    if order.late:
        yield "\n".join(
            row
            for shot, days in sorted(order.late.items(), key=lambda each: (-each[1], each[0]))
            for row in folded(_late(order, shot, days), width=width)
        )
    elif order.finals:
        last = day_words(max(order.finals.values()))
        yield f"Every composite is in time; the last is done on {last}."


def _late(order: StageOrder, shot: str, days: float) -> str:
    final = order.finals.get(shot)
    done = f", done on {day_words(final)}" if final else ""
    return f"{shot} is late by {counted_days(days)}{done}."


def counted_days(days: float) -> str:
    """``1 working day``, ``2.5 working days``."""
    return f"{plain(days)} working day{'' if days == 1 else 's'}"


def day_words(day: date) -> str:
    """``Mon 2 Mar 2026``, in the same words everywhere."""
    month = _MONTHS[3 * day.month - 3 : 3 * day.month]
    return f"{_WEEKDAYS[day.weekday()]} {day.day} {month} {day.year}"
