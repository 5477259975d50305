"""What lies behind a figure, to paint its rods and its operators out from.

Takes a show and a figure, gives the fact to write. A figure's clean plate is the pass of the set it
stands in, photographed without it: a plate repeats a camera at full size, and no figure's own.
Knows nothing of hours, and of what else the pass is for.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from planner.model.show import Element, Show

SETS = frozenset({"miniature", "plate"})
"""Kinds photographed with no figure in them."""
ALONE = frozenset({"blue_screen", "black_drape"})
"""Sorts of plate with nothing behind them either."""


def how_to_name(show: Show, figure: Element) -> str:
    """How to write what lies behind `figure`: the pieces of its shot on its own program, by name.

    Where the shot has none yet, how to photograph one.
    """
    shot = show.shots.get(figure.shot)
    pieces = (show.elements[name] for name in (shot.elements if shot else ()))
    program = figure.target("move_from")
    fit = [
        each.name
        for each in pieces
        if each.kind in SETS
        and each.facts.word("sort") not in ALONE
        and each.target("clean_of") != figure.id
        and each.target("move_from") == program
    ]
    if fit:
        others = f" (or {', or '.join(fit[1:])})" if fit[1:] else ""
        return f"write `clean_plate: {fit[0]}`{others}, photographed without it"
    move = f" with `move_from: {show.elements[program].name}`" if program in show.elements else ""
    return (
        f"photograph the set behind it without it, as a miniature or a plate{move}, before it is"
        " struck, and name that as `clean_plate`"
    )
