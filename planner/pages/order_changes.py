"""What is different between two orders, as text of 80 columns or JSON.

Takes the changes, gives text. Works nothing out.
"""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from planner.model.names import counted, day_words, in_names, name_of
from planner.pages.order_text import counted_days
from planner.pages.wording import folded, name_said

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from planner.model.show import Show
    from planner.order import Call, Changes, FinalMoved, IssuedCall, Moved, Stamp


def changes_text(changes: Changes, show: Show) -> str:
    """What moved, with reasons; what is new, gone; and which composites are done on another day."""
    blocks = [folded(_opening(changes))]
    if changes.moved:
        blocks.append(["Moved", *_moved(changes.moved, show)])
    for title, calls in (("New", changes.new), ("Gone", changes.gone)):
        if calls:
            blocks.append([title, *_listed(calls)])
    if finals := list(_finals(changes)):
        blocks.append(["Composites", *finals])
    return "\n\n".join("\n".join(lines) for lines in blocks) + "\n"


def _opening(changes: Changes) -> str:
    since = f"Since {stamp_words(changes.since)}"
    if changes.is_nothing:
        return f"{since}: nothing has moved; {counted(changes.standing, 'call')} as issued."
    parts = [
        f"{counted(len(changes.moved), 'call')} moved",
        f"{len(changes.new):,} new",
        f"{len(changes.gone):,} gone",
        f"{changes.standing:,} on their day",
    ]
    return f"{since}: {', '.join(parts)}."


def stamp_words(stamp: Stamp) -> str:
    """``order 2, issued Wed 17 Mar 2027 by the manager``."""
    by = f" by {stamp.by}" if stamp.by else ""
    note = f" ({stamp.note})" if stamp.note else ""
    return f"order {stamp.number}, issued {day_words(stamp.on)}{by}{note}"


def _moved(moved: Sequence[Moved], show: Show) -> Iterator[str]:
    """Calls of one element that moved alike together, by the first of their old days."""
    groups: dict[tuple[str, int, str], list[Moved]] = {}
    for each in moved:
        key = (each.call.element, each.days, _swap(each, show))
        groups.setdefault(key, []).append(each)
    for (element, days, swap), held in groups.items():
        first = held[0]
        said = f"{name_said(element)}, {counted(len(held), 'call')}: {shift_words(days)}"
        if days:
            said += f", {day_words(first.was.starts)} to {day_words(first.call.starts)}"
        yield from folded(f"{said}{swap}", "  ", "    ")
        if first.because:
            yield from folded(in_names(first.because, show), "      ")


def _swap(each: Moved, show: Show) -> str:
    """``, with Table rig in place of Long rig``; nothing where it holds what it held."""
    new = [name for name in each.call.holds if name not in each.was.holds]
    old = [name for name in each.was.holds if name not in each.call.holds]
    if not new and not old:
        return ""
    with_ = _titles(new, show) or "nothing"
    return f"; with {with_} in place of {_titles(old, show) or 'nothing'}"


def _titles(ids: Iterable[str], show: Show) -> str:
    return ", ".join(name_of(each, show) for each in ids)


def shift_words(days: int) -> str:
    """``2 working days later``, ``1 working day sooner``, ``the same day``."""
    if not days:
        return "the same day"
    return f"{counted_days(abs(days))} {'later' if days > 0 else 'sooner'}"


def _listed(calls: Iterable[Call | IssuedCall]) -> Iterator[str]:
    for element, group in groupby(calls, key=lambda each: each.element):
        held = list(group)
        said = (
            f"{name_said(element)}, {counted(len(held), 'call')} from {day_words(held[0].starts)}"
        )
        yield from folded(said, "  ", "    ")


def _finals(changes: Changes) -> Iterator[str]:
    for each in sorted(changes.finals, key=lambda each: (-each.days, each.shot)):
        said = (
            f"{each.shot}: {shift_words(each.days)}, {day_words(each.was)} to {day_words(each.now)}"
        )
        yield from folded(said, "  ", "    ")
    for what, shots in (("done now, not then", changes.gained), ("no longer", changes.lost)):
        if shots:
            yield from folded(f"{what}: {', '.join(shots)}", "  ", "    ")


def changes_json(changes: Changes) -> dict[str, object]:
    """The same for other programs, as plain values."""
    since = changes.since
    return {
        "since": {"number": since.number, "on": since.on.isoformat(), "by": since.by},
        "moved": [_moved_json(each) for each in changes.moved],
        "new": [each.id for each in changes.new],
        "gone": [each.id for each in changes.gone],
        "standing": changes.standing,
        "finals": [_final_json(each) for each in changes.finals],
        "gained": list(changes.gained),
        "lost": list(changes.lost),
    }


def _moved_json(each: Moved) -> dict[str, object]:
    return {
        "call": each.call.id,
        "was": each.was.starts.isoformat(),
        "now": each.call.starts.isoformat(),
        "working_days": each.days,
        "held": list(each.was.holds),
        "holds": list(each.call.holds),
        "because": each.because,
    }


def _final_json(each: FinalMoved) -> dict[str, object]:
    return {
        "shot": each.shot,
        "was": each.was.isoformat(),
        "now": each.now.isoformat(),
        "working_days": each.days,
    }
