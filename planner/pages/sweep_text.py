"""Scenarios side by side, as a table and for machines.

Takes what each came to, gives text of 80 columns or JSON. Works nothing out but differences.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.model.names import counted, in_names
from planner.pages.machine import problem_json
from planner.pages.wording import columns, folded, inert

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from datetime import date
    from decimal import Decimal

    from planner.model.place import Problem
    from planner.model.show import Show

NAME = 20
HEADING = "cost likely     difference  finish      late  stage days"
MOST_ERRORS = 3
MOST_NAMED = 5


@dataclass(frozen=True, slots=True)
class Row:
    """One scenario in the table; the show as it stands comes first.

    Attributes:
        name: of the scenario.
        says: what it is; may be empty.
        low: cost with loads.
        likely: the same.
        high: the same.
        finish: day of the last call; None where it could not be worked out.
        late: shots whose composites are late.
        stage_days: working days that stages are held.
        brings: errors that the show as it stands has not.
        settles: errors that it has and the scenario has not.
        problems: why it could not be worked out.
    """

    name: str
    says: str
    low: Decimal
    likely: Decimal
    high: Decimal
    finish: date | None
    late: tuple[str, ...]
    stage_days: int
    brings: tuple[str, ...] = ()
    settles: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()


def sweep_text(rows: Sequence[Row], show: Show) -> str:
    """A table of all, then what each brings or why it has no answer, things called by name."""
    base = rows[0]
    head = folded(
        f"{show.title}: scenarios, {show.currency} with loads. Each goes on from the order in"
        " force, and a call moves only where that is worth what show.yaml holds a move to cost."
        " Where one was planned again for it, the last row is the same with nothing else changed:"
        " what differs from that is the scenario's own."
    )
    table = [f"{'':<{NAME}}  {HEADING}", *(line for row in rows for line in _line(row, base))]
    notes = [line for row in rows[1:] for line in _notes(row, base, show)]
    blocks = [head, table, *([notes] if notes else [])]
    return "\n\n".join("\n".join(each) for each in blocks) + "\n"


def _line(row: Row, base: Row) -> Iterator[str]:
    if row.finish is None:
        rest = "no answer"
    else:
        more = "" if row is base else f"{row.likely - base.likely:+,.2f}"
        rest = (
            f"{row.likely:>13,.2f}  {more:>13}  {row.finish}  {len(row.late):>4}"
            f"  {row.stage_days:>10}"
        )
    name = inert(row.name)
    if columns(name) > NAME - 2:
        yield from folded(name)
        name = ""
    yield f"{name}{' ' * (NAME - 2 - columns(name))}  {rest}".rstrip()


def _notes(row: Row, base: Row, show: Show) -> Iterator[str]:
    # What is wrong with the file that asks speaks of the words in it.
    said = [*_unanswered(row), *(in_names(each, show) for each in _said(row, base))]
    if said:
        yield from folded(f"{row.name}{f': {row.says}' if row.says else ''}")
        for each in said:
            yield from folded(each, "  ", "    ")


def _said(row: Row, base: Row) -> Iterator[str]:
    if more := [each for each in row.late if each not in base.late]:
        yield f"late now: {', '.join(more)}"
    if fewer := [each for each in base.late if each not in row.late and row.finish]:
        yield f"no longer late: {', '.join(fewer)}"
    yield from _errors("brings", row.brings)
    yield from _errors("settles", row.settles)


def _unanswered(row: Row) -> Iterator[str]:
    """Why there is no answer; the same of several things is said once."""
    about: dict[str, list[str]] = {}
    for problem in row.problems:
        remedy = f"; {problem.remedy}" if problem.remedy else ""
        named = about.setdefault(f"no answer: {problem.place}: {problem.message}{remedy}", [])
        if problem.about not in {"", row.name, *named}:
            named.append(problem.about)
    for said, names in about.items():
        more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
        yield f"{said} ({', '.join(names[:MOST_NAMED])}{more})" if names else said


def _errors(verb: str, errors: tuple[str, ...]) -> Iterator[str]:
    if errors:
        shown = "; ".join(errors[:MOST_ERRORS])
        more = f"; and {len(errors) - MOST_ERRORS} more" if len(errors) > MOST_ERRORS else ""
        yield f"{verb} {counted(len(errors), 'error')}: {shown}{more}"


def sweep_json(rows: Iterable[Row], currency: str) -> str:
    """Every scenario; the show as it stands first."""
    listed = list(rows)
    base = listed[0]
    value = {"currency": currency, "scenarios": [_json(row, base) for row in listed]}
    return json.dumps(value, indent=2, ensure_ascii=False)


def _json(row: Row, base: Row) -> dict[str, object]:
    if row.finish is None or base.finish is None:
        return {
            "name": row.name,
            "says": row.says,
            "answered": False,
            "problems": [problem_json(each) for each in row.problems],
        }
    return {
        "name": row.name,
        "says": row.says,
        "answered": True,
        "cost": {"low": str(row.low), "likely": str(row.likely), "high": str(row.high)},
        "finish": row.finish.isoformat(),
        "late": list(row.late),
        "stage_days": row.stage_days,
        "difference": {
            "likely": str(row.likely - base.likely),
            "finish_days": (row.finish - base.finish).days,
            "late": len(row.late) - len(base.late),
            "stage_days": row.stage_days - base.stage_days,
        },
        "brings_errors": list(row.brings),
        "settles_errors": list(row.settles),
    }
