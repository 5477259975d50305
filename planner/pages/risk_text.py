"""The chance of each date, as text and for machines.

Takes a `Risk`, gives text of 80 columns or JSON. Works nothing out.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from planner.model.names import counted
from planner.pages.order_text import counted_days
from planner.pages.wording import columns, folded, inert, name_said, plain

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from planner.order.risk import Chance, DrivenBy, Risk, Terms

NAME = 12
MOST_ROWS = 30
HEADING = "due         as ordered  chance  5 in 10     8 in 10     9 in 10"


def risk_text(risk: Risk, title: str, asked: str = "") -> str:
    """Deliveries with what decides them, then composites; or one composite alone.

    Args:
        risk: what was drawn.
        title: of the show.
        asked: id of the only delivery or composite wanted.
    """
    if asked:
        chances = [each for each in (*risk.deliveries, *risk.composites) if each.id == asked]
        blocks = [_opening(risk, title), _table("", chances), *map(_decided, chances)]
    else:
        blocks = [_opening(risk, title), _table("delivery", risk.deliveries)]
        blocks += [_decided(each) for each in risk.deliveries]
        blocks.append(_composites(risk.composites))
    return "\n\n".join("\n".join(each) for each in blocks if each) + "\n"


def _opening(risk: Risk, title: str) -> list[str]:
    terms = risk.terms
    of = counted(risk.calls, "call")
    ranged = "all with a range" if risk.uncertain == risk.calls else f"{risk.uncertain:,} ranged"
    return [
        *folded(f"{title}: the chance of each date"),
        *folded(
            f"Dates as ordered are at likely durations. Those of {of}, {ranged}, were drawn"
            f" {terms.draws:,} times between low and high (PERT beta); those of one craft err"
            f" together ({plain(terms.correlation)}). What waits for what, and the turns on"
            f" stages, rigs and crews, stay as ordered; {begins_words(terms)}."
        ),
    ]


def begins_words(terms: Terms) -> str:
    """When drawn work begins, a clause."""
    if terms.from_calls:
        return "work goes on as soon as it may, but never before it is called for"
    return "work goes on as soon as it may, also sooner than called"


def _table(name: str, chances: Iterable[Chance]) -> list[str]:
    rows = [row for each in chances for row in _row(each)]
    return [f"{name:<{NAME}}  {HEADING}", *rows] if rows else []


def _row(chance: Chance) -> list[str]:
    due = chance.due.isoformat() if chance.due else "not asked"
    likely = percent(chance.on_time) if chance.on_time is not None else ""
    kept = "  ".join(day.isoformat() for day in chance.kept.values())
    ordered = chance.ordered.date().isoformat()
    rest = f"{due:<10}  {ordered}  {likely:>6}  {kept}"
    name = inert(_named(chance))
    if columns(name) > NAME:
        return [*folded(name), f"{'':<{NAME}}  {rest}"]
    return [f"{name}{' ' * (NAME - columns(name))}  {rest}"]


def _named(chance: Chance) -> str:
    return chance.id if chance.weakest is None else chance.id.replace("_", " ")


def _decided(chance: Chance) -> list[str]:
    """What decides a date, and what merging takes off the chance of a delivery."""
    lines = folded(f"{_named(chance)}: {_said(chance)}", "", "  ")
    for each in chance.drivers:
        lines += folded(_driver(each), "  ", "    ")
    return lines


def _said(chance: Chance) -> str:
    kept = f"the date as ordered is kept in {percent(chance.as_ordered)} of draws"
    if _merging(chance):
        id_, alone = chance.weakest or ("", 0.0)
        kept += (
            f"; by its due day {id_} alone is done in {percent(alone)}, all"
            f" {len(chance.shots)} composites together in {percent(chance.on_time or 0.0)}"
        )
    return f"{kept}. What decides it:" if chance.drivers else f"{kept}."


def _merging(chance: Chance) -> bool:
    """Whether a delivery has less of a chance than any of its composites by itself."""
    if chance.weakest is None or chance.on_time is None:
        return False
    return chance.on_time < chance.weakest[1]


def _driver(driver: DrivenBy) -> str:
    days = counted_days(round(driver.adds_days, 1))
    adds = f", adds {days} on average" if driver.adds_days >= 0.05 else ""
    return (
        f"{name_said(driver.element)}, {driver.work}: on the longest chain in"
        f" {percent(driver.critical)} of draws{adds}; goes with the date at"
        f" {driver.correlation:.2f}"
    )


def _composites(chances: tuple[Chance, ...]) -> list[str]:
    if len(chances) <= MOST_ROWS:
        return _table("composite", chances)
    least = sorted(chances, key=lambda each: 1.0 if each.on_time is None else each.on_time)
    others = counted(len(chances) - MOST_ROWS, "composite")
    more = f"and {others} with no smaller chance (--json has all)"
    return [*_table("composite", least[:MOST_ROWS]), *folded(more)]


def percent(share: float) -> str:
    """A chance in whole hundredths; what is not quite certain is not called so."""
    if 0 < share < 0.005:
        return "<1 %"
    if 0.995 <= share < 1:
        return ">99 %"
    return f"{share * 100:.0f} %"


def risk_json(risk: Risk) -> str:
    """Every delivery and composite."""
    terms = risk.terms
    value = {
        "draws": terms.draws,
        "seed": terms.seed,
        "correlation": terms.correlation,
        "not_before_called": terms.from_calls,
        "calls": risk.calls,
        "uncertain_calls": risk.uncertain,
        "deliveries": list(_all_json(risk.deliveries)),
        "composites": list(_all_json(risk.composites)),
    }
    return json.dumps(value, indent=2, ensure_ascii=False)


def _all_json(chances: Iterable[Chance]) -> Iterator[dict[str, object]]:
    for each in chances:
        yield chance_json(each)


def chance_json(chance: Chance) -> dict[str, object]:
    """One date with its chances and drivers."""
    return {
        "id": chance.id,
        "shots": list(chance.shots),
        "due": chance.due.isoformat() if chance.due else None,
        "ordered": chance.ordered.isoformat(),
        "chance_on_time": chance.on_time,
        "chance_as_ordered": chance.as_ordered,
        "kept_with": {f"{share:g}": day.isoformat() for share, day in chance.kept.items()},
        "weakest": (
            {"composite": chance.weakest[0], "chance_on_time": chance.weakest[1]}
            if chance.weakest
            else None
        ),
        "drivers": [
            {
                "element": each.element,
                "work": each.work,
                "share_on_longest_chain": each.critical,
                "correlation": each.correlation,
                "weighs": each.weighs,
                "adds_working_days": each.adds_days,
            }
            for each in chance.drivers
        ],
    }
