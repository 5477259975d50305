"""Findings somebody knowingly accepts, as text of 80 columns.

Takes what is waived, gives who waived what, when and why. Works nothing out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.estimate import mark_of
from planner.model.names import counted, in_names
from planner.pages.wording import folded, inert

if TYPE_CHECKING:
    from collections.abc import Iterable

    from planner.estimate import Waived
    from planner.model.show import Show


def waived_text(waived: Iterable[Waived], show: Show | None = None) -> str:
    """Every waived finding, with its sentence, its mark and its waiver; empty where none is.

    Args:
        waived: in any order.
        show: whose things sentences name.
    """
    ordered = sorted(waived, key=lambda each: (each.problem, each.place))
    if not ordered:
        return ""
    blocks = [
        f"Waived: {counted(len(ordered), 'finding')}",
        *(_block(e, show) for e in ordered),
    ]
    return "\n\n".join(blocks) + "\n"


def _block(waived: Waived, show: Show | None) -> str:
    problem = waived.problem
    said = f"{in_names(problem.message, show)} [{problem.code} {mark_of(problem)}]"
    by = f"{waived.by}, {waived.on}: {waived.why}"
    lines = [
        inert(str(waived.place)),
        *folded(problem.about, "  "),
        *folded(said, "  "),
        *folded(by, "  waived by ", "      "),
    ]
    return "\n".join(lines)
