"""Formulas on a terminal: what there is to reckon, what one asks for, and what came out.

Takes formulas as `pages.reference` reads them and values, gives text of 80 columns. Works nothing
out.
"""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from typing import TYPE_CHECKING

from planner.pages.wording import folded, plain
from planner.text.arguments import unit_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from planner.pages.reference import Formula, Room


def formulas_text(rooms: Iterable[Room]) -> str:
    """Every formula with what it gives, under what it is about."""
    lines: list[str] = []
    for room in rooms:
        lines += ["", *folded(room.says, f"{room.name}: ", "  ")]
        for formula in room.formulas:
            lines += folded(_gives(formula), f"  {_typed(formula.name)}  ", "      ")
    return "\n".join(lines[1:]) + "\n"


def formula_text(formula: Formula) -> str:
    """What one formula gives, what it asks for and where it comes from."""
    asks = formula.parts.get("Args", "").splitlines()
    source = formula.parts.get("Source", "")
    lines = folded(_bare(formula.gives), f"{_typed(formula.name)}: ", "  ")
    for line in asks:
        lines += folded(_bare(line.strip()), "  " if line[:1].strip() else "    ", "    ")
    return "\n".join([*lines, *folded(_bare(source), "  source: ", "    ")]) + "\n"


def reckoned_text(formula: Formula, values: Mapping[str, object], found: object) -> str:
    """What came out, from what, by which formula."""
    lines = folded(_gives(formula), f"{_typed(formula.name)}: ", "  ")
    given = [(name, _said(name, value)) for name, value in values.items()]
    came = [(name, _said(name, value)) for name, value in results(formula, found).items()]
    widest = max(len(name) for name, _ in (*given, *came))
    lines += [f"  {name:<{widest}}    {said}" for name, said in given]
    lines += [f"  {name:<{widest}}  = {said}" for name, said in came]
    for written in formula.formula:
        lines += folded(written, "  by ", "     ")
    source = formula.parts.get("Source", "")
    return "\n".join([*lines, *folded(_bare(source), "  source: ", "    ")]) + "\n"


def results(formula: Formula, found: object) -> dict[str, object]:
    """What came out by name: of a value with fields each field, else by the formula's own name."""
    if is_dataclass(found) and not isinstance(found, type):
        return {each.name: getattr(found, each.name) for each in fields(found)}
    return {formula.name: found}


def _typed(name: str) -> str:
    return name.replace("_", "-")


def _gives(formula: Formula) -> str:
    return _bare(formula.gives.partition("\n\n")[0])


def _bare(text: str) -> str:
    """Without the marks that set code apart on a page."""
    return text.replace("`", "")


def _said(name: str, value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return ", ".join(_said("", each) for each in value) + f" {unit_of(name).sign}".rstrip()
    if value == float("inf"):
        return "endless"
    if isinstance(value, int | float):
        unit = unit_of(name)
        return f"{unit.mark}{plain(value)} {unit.sign}".rstrip()
    return str(value)
