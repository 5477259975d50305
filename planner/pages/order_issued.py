"""Issued orders as text that keeps for years, and back.

Takes an issued order, gives JSON; takes such JSON, gives the order or what is wrong with it. Works
nothing out, and knows nothing of the disk.
"""

from __future__ import annotations

import json
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from planner.model.place import Place, Problem, Severity
from planner.order import IssuedCall, IssuedOrder, Stamp
from planner.order.stage_order import Worked

if TYPE_CHECKING:
    from collections.abc import Mapping

VERSION = 1


def issued_json(issued: IssuedOrder) -> str:
    """The order with one call a line, so that two of them can be compared line by line."""
    stamp = issued.stamp
    head = {
        "issued_order": VERSION,
        "number": stamp.number,
        "on": stamp.on.isoformat(),
        "by": stamp.by,
        "note": stamp.note,
        "show": issued.title,
        "platewright": stamp.tool,
        "seed": stamp.seed,
        "files": stamp.files,
        **({"planned_from": stamp.planned_from.isoformat()} if stamp.planned_from else {}),
        "patience": issued.patience,
        "finals": {shot: when.isoformat() for shot, when in issued.finals.items()},
        "late_working_days": dict(issued.late),
        **({"spent": _spent(issued)} if issued.spent else {}),
        **({"joined": _joined(issued)} if issued.joined else {}),
        **({"redone": [_worked(each) for each in issued.redone]} if issued.redone else {}),
    }
    lines = [f"{_text(name)}: {_text(value)}" for name, value in head.items()]
    calls = ",\n".join(f"  {_text(_call(call))}" for call in issued.calls)
    return "{\n" + ",\n".join([*lines, f'"calls": [\n{calls}\n]']) + "\n}\n"


def _spent(issued: IssuedOrder) -> dict[str, list[str]]:
    return {id_: [day.isoformat() for day in days] for id_, days in issued.spent.items()}


def _joined(issued: IssuedOrder) -> dict[str, str]:
    return {id_: day.isoformat() for id_, day in issued.joined.items()}


def _worked(worked: Worked) -> dict[str, object]:
    return {
        "call": worked.id,
        "starts": worked.starts.isoformat(timespec="minutes"),
        "ends": worked.ends.isoformat(timespec="minutes"),
        "hours": worked.hours,
        "share": worked.share,
        "holds": list(worked.holds),
    }


def _call(call: IssuedCall) -> dict[str, object]:
    return {
        "element": call.element,
        "work": call.work,
        "craft": call.craft,
        "starts": call.starts.isoformat(timespec="minutes"),
        "ends": call.ends.isoformat(timespec="minutes"),
        "hours": call.hours,
        "stage": call.stage,
        "set_up": call.set_up,
        "way": call.way,
        "holds": list(call.holds),
        "rank": call.rank,
    }


def _text(value: object) -> str:
    return json.dumps(value, ensure_ascii=False)


def read_issued(data: bytes, file: str) -> IssuedOrder | Problem:
    """The order that a file holds, or what is wrong with it.

    Args:
        data: of the file.
        file: its name, for the problem.
    """
    try:
        told = json.loads(data.decode("utf-8"))
        if told["issued_order"] != VERSION:
            return _unreadable(file, f"it is of version {told['issued_order']}, not {VERSION}")
        return _order(told)
    except UnicodeDecodeError:
        return _unreadable(file, "it is not text in UTF-8")
    except json.JSONDecodeError as error:
        return _unreadable(file, f"line {error.lineno}: {error.msg}")
    except KeyError as error:
        return _unreadable(file, f"{error.args[0]} is missing")
    except (TypeError, ValueError, AttributeError) as error:
        return _unreadable(file, str(error))


def _unreadable(file: str, what: str) -> Problem:
    return Problem(
        Severity.ERROR,
        Place(file),
        "issued-unreadable",
        f"this issued order cannot be read: {what}",
        "bring the file back as it was issued; such files are never edited",
    )


def _order(told: Mapping[str, Any]) -> IssuedOrder:
    stamp = Stamp(
        number=int(told["number"]),
        on=date.fromisoformat(told["on"]),
        by=str(told["by"]),
        note=str(told["note"]),
        tool=str(told["platewright"]),
        seed=int(told["seed"]),
        files=str(told["files"]),
        planned_from=date.fromisoformat(told["planned_from"]) if "planned_from" in told else None,
    )
    calls = tuple(_issued_call(each) for each in told["calls"])
    by_id = {call.id: call for call in calls}
    return IssuedOrder(
        stamp,
        str(told["show"]),
        float(told["patience"]),
        calls,
        {shot: datetime.fromisoformat(when) for shot, when in told["finals"].items()},
        {shot: float(days) for shot, days in told["late_working_days"].items()},
        {
            id_: tuple(date.fromisoformat(day) for day in days)
            for id_, days in told.get("spent", {}).items()
        },
        {id_: date.fromisoformat(day) for id_, day in told.get("joined", {}).items()},
        tuple(_read_worked(each, by_id) for each in told.get("redone", ())),
    )


def _read_worked(told: Mapping[str, Any] | str, calls: Mapping[str, IssuedCall]) -> Worked:
    """What was worked of a call; orders that name the call alone say no more than all of it."""
    if isinstance(told, str):
        call = calls[told]
        return Worked(told, call.starts, call.starts, call.hours, 1.0, call.holds)
    return Worked(
        id=str(told["call"]),
        starts=datetime.fromisoformat(told["starts"]),
        ends=datetime.fromisoformat(told["ends"]),
        hours=float(told["hours"]),
        share=float(told["share"]),
        holds=tuple(map(str, told["holds"])),
    )


def _issued_call(told: Mapping[str, Any]) -> IssuedCall:
    return IssuedCall(
        element=str(told["element"]),
        work=str(told["work"]),
        craft=str(told["craft"]),
        starts=datetime.fromisoformat(told["starts"]),
        ends=datetime.fromisoformat(told["ends"]),
        hours=float(told["hours"]),
        stage=str(told["stage"]),
        set_up=str(told["set_up"]),
        way=str(told["way"]),
        holds=tuple(map(str, told["holds"])),
        rank=int(told["rank"]),
    )
