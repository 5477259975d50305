"""Axes of a recording against those of the rig that is to repeat it.

Takes the move an element repeats and the rigs named for it, gives findings on units and signs that
are unlike, and who must be asked. Knows nothing of speeds: see `planner.kinds.rig`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds.sentences import listed

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Estimate, Worksheet
    from planner.model.facts import Facts
    from planner.model.show import Element, Move, Resource

REACH = {"mm": "travel", "deg": "turn"}
"""What a rig states of an axis, by the unit it moves in."""


def check_axes(sheet: Worksheet, _estimate: Estimate) -> None:
    """Units and signs, for each rig named."""
    source = sheet.context.target("move_from")
    if source is None:
        return
    move = sheet.context.show.moves.get(source.facts.word("data"))
    for name in sheet.context.names("rig"):
        rig = sheet.context.resource(name)
        if rig is None:
            continue
        axes = rig.facts.named("axes")
        if move is not None:
            _check_units(sheet, rig, move, axes)
        _check_signs(sheet, rig, source, axes)


def _check_units(sheet: Worksheet, rig: Resource, move: Move, axes: Mapping[str, Facts]) -> None:
    unlike = [
        name
        for name, axis in move.axes.items()
        if name in axes and _is_unlike(axes[name], axis.unit)
    ]
    if unlike:
        sheet.warn(
            "axis-unit-unlike",
            f"{listed(unlike)} of {move.id} is recorded in {_unit(move, unlike[0])} and"
            f" {rig.title} states its {_other(move.axes[unlike[0]].unit)}: nothing can be compared",
            "write the column's unit as the rig counts it, or another name for the axis",
            at="rig",
        )


def _is_unlike(limits: Facts, unit: str) -> bool:
    """Whether a rig states only the other sort of reach for an axis."""
    return limits.has(_other(unit)) and not limits.has(REACH[unit])


def _other(unit: str) -> str:
    return REACH["deg" if unit == "mm" else "mm"]


def _unit(move: Move, axis: str) -> str:
    return "lengths" if move.axes[axis].unit == "mm" else "degrees"


def _check_signs(
    sheet: Worksheet, rig: Resource, source: Element, axes: Mapping[str, Facts]
) -> None:
    signs = source.facts.group("signs")
    turned = [
        f"{name} ({signs.word(name)} against {axes[name].word('sign')})"
        for name in axes
        if signs.word(name) and axes[name].word("sign") not in {"", signs.word(name)}
    ]
    if not turned:
        return
    by = rig.facts.word("run_by")
    sheet.warn(
        "axis-sign-differs",
        f"{source.id} counts up the other way than {rig.title}: {listed(turned)}",
        f"turn the sign of those columns round{f', with {by}' if by else ''}",
        at="rig",
    )
