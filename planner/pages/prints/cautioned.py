"""Cautions of a sheet: each hazard once, with the pieces that bring it.

Takes pieces and their hazards, gives sentences. Works nothing out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.craft.cautions import CAUTIONS
from planner.model.names import name_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from planner.model.show import Show


def cautions_about(
    show: Show, hazards: Mapping[str, Sequence[str]], ids: Iterable[str], where: str
) -> tuple[str, ...]:
    """Whose decision each hazard of some pieces is, in the order of `CAUTIONS`.

    Args:
        show: for names.
        hazards: by element, as `kinds.strike.hazards_of_pieces` has them.
        ids: of the pieces; any may come again.
        where: word before the pieces that bring it, such as Today.
    """
    bringers: dict[str, dict[str, None]] = {}
    for id_ in ids:
        for hazard in hazards.get(id_, ()):
            bringers.setdefault(hazard, {})[name_of(id_, show)] = None
    return tuple(
        f"{caution} {where}: {', '.join(bringers[hazard])}."
        for hazard, caution in CAUTIONS.items()
        if hazard in bringers
    )
