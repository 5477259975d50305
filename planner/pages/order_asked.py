"""Parts of a stage order: the calls of one shot, sequence or stage, and an index of shots.

Takes the stage order and the show, gives text of 80 columns. Works nothing out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.model.names import counted, day_words, name_of, title_of
from planner.pages.order_text import NO_NOTES, against_rows, stage_text
from planner.pages.wording import figure, folded, inert

if TYPE_CHECKING:
    from planner.model.show import Show
    from planner.order.stage_order import Call, StageOrder
    from planner.pages.order_text import Notes


def calls_of(order: StageOrder, show: Show, asked: str) -> tuple[Call, ...]:
    """Calls of one shot, sequence or stage in order of date; none where it is none of them."""
    if asked in show.sequences:
        shots = {each.id for each in show.shots.values() if each.sequence == asked}
    else:
        shots = {asked} & set(show.shots)
    mine = (each for each in order.calls if each.stage == asked or _shot(each, show) in shots)
    return tuple(sorted(mine, key=lambda each: (each.starts, each.element, each.work.beside != "")))


def calls_text(order: StageOrder, show: Show, asked: str, notes: Notes = NO_NOTES) -> str:
    """The calls of one shot, sequence or stage, in order of date, and what is found of each.

    Args:
        order: dated.
        show: for names.
        asked: id of the shot, sequence or stage.
        notes: what is said at calls, as `order_text.notes_of` has it.
    """
    if asked in show.resources and asked not in show.shots and asked not in show.sequences:
        return stage_text(order, show, asked, notes)
    calls = calls_of(order, show, asked)
    lines = folded(f"{asked}: {counted(len(calls), 'call')}")
    for said in notes.for_all(each.element for each in calls if each.stage):
        lines += folded(said, "  ! ", "    ")
    untold = dict(notes.of)
    for call in calls:
        day = f"{day_words(call.starts)} {call.starts:%H:%M}"
        hours = figure(call.hours, "h")
        lines += folded(f"{day}, {hours}, {_where(call, show)}", "  ", "    ")
        lines += folded(f"{name_of(call.element, show)}: {call.work.name}", "    ")
        lines += against_rows(call)
        for each in (call.element, *call.holds) if call.stage else ():
            whose = "" if each == call.element else f"{name_of(each, show)} "
            for note in untold.pop(each, ()):
                lines += folded(f"{whose}{note}", "    ! ", "      ")
    return "".join(f"{line}\n" for line in lines)


def index_text(order: StageOrder, show: Show) -> str:
    """Each shot with the days and stages it is called; empty where none stands on a stage."""
    days: dict[str, dict[str, None]] = {}
    for call in sorted(order.calls, key=lambda each: each.starts):
        if call.stage and (shot := _shot(call, show)):
            said = f"{day_words(call.starts)} {_stage(call, show)}"
            days.setdefault(shot, {})[said] = None
    lines = ["Index of shots by the days they are called to a stage"] if days else []
    for shot, named in sorted(days.items()):
        lines += folded(", ".join(named), f"  {inert(shot)}  ", "    ")
    return "".join(f"{line}\n" for line in lines)


def _where(call: Call, show: Show) -> str:
    craft = inert(call.work.craft.replace("_", " "))
    if call.work.beside:
        return f"{craft} with it"
    return _stage(call, show) or f"off stage, {craft}"


def _shot(call: Call, show: Show) -> str:
    element = show.elements.get(call.element)
    return element.shot if element else ""


def _stage(call: Call, show: Show) -> str:
    return title_of(call.stage, show) if call.stage else ""
