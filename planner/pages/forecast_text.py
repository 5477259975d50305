"""What is to be expected, and what moved, as text and for machines.

Takes a `Forecast`, gives text of 80 columns or JSON. Works nothing out.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from planner.ledger.event import DAYS_AWAY
from planner.model.names import counted, day_words
from planner.pages.order_changes import shift_words
from planner.pages.order_text import dates_rule
from planner.pages.risk_text import chance_json, percent
from planner.pages.wording import columns, folded, inert

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.order.risk import Chance
    from planner.status.forecast import Due, Expected, Forecast, Happened, Split

NAME = 12
MOST_TOLD = 12
MOST_HAPPENED = 6
MOST_ROWS = 30
HEADING = "due         expected    chance  8 in 10     was         moved"


def forecast_text(forecast: Forecast, title: str) -> str:
    """Deliveries and composites in tables, then why each composite moved."""
    blocks = [_opening(forecast, title)]
    if forecast.deliveries:
        rows = [row for each in forecast.deliveries for row in _due(each)]
        blocks.append([f"{'delivery':<{NAME}}  {HEADING}", *rows])
    if forecast.composites:
        rows = [row for each in forecast.composites for row in _expected(each)]
        blocks.append([f"{'composite':<{NAME}}  {HEADING}", *rows])
        blocks.append(_since(forecast))
    return "\n\n".join("\n".join(each) for each in blocks) + "\n"


def _opening(forecast: Forecast, title: str) -> list[str]:
    to_come = counted(len(forecast.composites), "composite")
    return [
        *folded(
            f"{title} on {day_words(forecast.today)}: {to_come} to come,"
            f" {len(forecast.approved)} approved or not wanted"
        ),
        *folded(
            f"Expected is at likely durations of the work left: {dates_rule(forecast.order)}. The"
            " chance is of the day it is due, 8 in 10 the day by which it is done in as many draws."
            f" Was: by what was posted up to {day_words(forecast.since)}{_reissued(forecast)};"
            " moved: working days since then, later with a plus. What is on hold is taken to go on"
            " at once, and what is lost to be away until the day that is posted, else for"
            f" {DAYS_AWAY} working days, our guess; the show's files"
            " are taken as they are now on both days."
        ),
    ]


def _reissued(forecast: Forecast) -> str:
    was_other = forecast.reissued is not None
    return (
        f", and by the order in force then (order {forecast.reissued} is now)" if was_other else ""
    )


def _due(due: Due) -> Iterator[str]:
    moved = "" if due.moved is None else f"{due.moved:+d}" if due.moved else "0"
    name = due.delivery.id.replace("_", " ")
    yield from _row(name, due.delivery.day.isoformat(), (due.chance, due.was), moved)


def _expected(expected: Expected) -> Iterator[str]:
    chance = expected.chance or expected.was
    day = chance.due.isoformat() if chance and chance.due else "not asked"
    days = expected.moved.days if expected.moved else None
    moved = "" if days is None else f"{days:+d}" if days else "0"
    yield from _row(expected.id, day, (expected.chance, expected.was), moved)


def _row(
    name: str, due: str, chances: tuple[Chance | None, Chance | None], moved: str
) -> Iterator[str]:
    now, was = chances
    expected = now.ordered.date().isoformat() if now else "no date"
    likely = percent(now.on_time) if now and now.on_time is not None else ""
    sure = now.kept[0.8].isoformat() if now else ""
    before = was.ordered.date().isoformat() if was else "no date"
    rest = f"{due:<10}  {expected:<10}  {likely:>6}  {sure:<10}  {before:<10}  {moved:>5}".rstrip()
    said = inert(name)
    if columns(said) > NAME:
        yield from folded(said)
        said = ""
    yield f"{said}{' ' * (NAME - columns(said))}  {rest}"


def _since(forecast: Forecast) -> list[str]:
    """What was posted of which composite and what it did, then the rest that moved, in short."""
    by_most = sorted(forecast.composites, key=lambda each: -abs(_moved(each)))
    posted = [each for each in by_most if each.happened]
    others = [each for each in by_most if not each.happened and _moved(each)]
    head = f"Since {day_words(forecast.since)}"
    if not posted and not others:
        return [f"{head} nothing moved and nothing was posted of what is to come."]
    lines = [head]
    for each in posted[:MOST_TOLD]:
        lines += folded(f"{each.id}: {_why(each, _anew(forecast))}", "  ", "    ")
        lines += [row for one in each.happened[:MOST_HAPPENED] for row in _happened(one)]
        if (more := len(each.happened) - MOST_HAPPENED) > 0:
            lines.append(f"    and {more} more")
    if (more := len(posted) - MOST_TOLD) > 0:
        lines += folded(f"and {counted(more, 'composite')} more with news (--json)", "  ")
    return lines + _others(others, _anew(forecast))


def _anew(forecast: Forecast) -> str:
    """What gave work other turns between the two days."""
    issued = forecast.reissued
    return "turns taken anew" if issued is None else f"order {issued}, issued since"


def _others(others: list[Expected], anew: str) -> list[str]:
    if not others:
        return []
    told = [f"{each.id} {_signed(each.moved)}" for each in others[:MOST_ROWS] if each.moved]
    if (more := len(others) - MOST_ROWS) > 0:
        told.append(f"{more} more (--json)")
    return [
        *folded(
            "Moved with nothing posted of them (+: later; by days gone by, by what was posted of"
            f" others they take turns with, by {anew}):",
            "  ",
            "  ",
        ),
        *folded("; ".join(told), "    "),
    ]


def _signed(split: Split) -> str:
    return f"{split.days:+d} ({split.passed:+d}, {split.posted:+d}, {split.turns:+d})"


def _moved(expected: Expected) -> int:
    return expected.moved.days if expected.moved else 0


def _why(expected: Expected, anew: str) -> str:
    if expected.chance is None:
        return "no date: what is left cannot be ordered; `platewright order` says why"
    split = expected.moved
    if split is None:
        return "it had no date then"
    parts = [
        f"{shift_words(days)} by {cause}"
        for days, cause in (
            (split.passed, "days gone by, had nothing been posted"),
            (split.posted, "what was posted"),
            (split.turns, anew),
        )
        if days
    ]
    whole = shift_words(split.days) if split.days else "as expected then"
    return f"{whole}: {'; '.join(parts)}" if parts else whole


def _happened(happened: Happened) -> list[str]:
    sort = {"changed": "", "lost": "", "told": "as it was taken to be, "}.get(
        happened.sort, f"{happened.sort}, "
    )
    was = f", was {happened.was}" if happened.was != happened.now else ""
    said = f"{happened.id}: {sort}{happened.now}{was} ({happened.at:%Y-%m-%d})"
    return folded(said, "    ", "      ")


def forecast_json(forecast: Forecast) -> str:
    """Every delivery and composite."""
    terms = forecast.terms
    value = {
        "today": forecast.today.isoformat(),
        "since": forecast.since.isoformat(),
        "draws": terms.draws,
        "seed": terms.seed,
        "reissued": forecast.reissued,
        "by_order": forecast.order,
        "correlation": terms.correlation,
        "deliveries": [
            {
                "id": each.delivery.id,
                "day": each.delivery.day.isoformat(),
                "now": chance_json(each.chance) if each.chance else None,
                "was": chance_json(each.was) if each.was else None,
                "moved_working_days": each.moved,
            }
            for each in forecast.deliveries
        ],
        "composites": [_expected_json(each) for each in forecast.composites],
        "approved": list(forecast.approved),
    }
    return json.dumps(value, indent=2, ensure_ascii=False)


def _expected_json(expected: Expected) -> dict[str, object]:
    split = expected.moved
    return {
        "composite": expected.id,
        "state": expected.words,
        "now": chance_json(expected.chance) if expected.chance else None,
        "was": chance_json(expected.was) if expected.was else None,
        "moved_working_days": split.days if split else None,
        "moved_by": (
            {"nothing_posted": split.passed, "posted": split.posted, "turns": split.turns}
            if split
            else None
        ),
        "happened": [
            {
                "id": each.id,
                "sort": each.sort,
                "was": each.was,
                "now": each.now,
                "at": each.at.isoformat(),
            }
            for each in expected.happened
        ],
    }
