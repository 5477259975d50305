"""Rods that lie over one another, over a shadow, or that nobody told of.

Takes the figure whose rods come out, the lens and the count the work was set by, gives findings.
Knows nothing of hours.
"""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from planner.craft import rods
from planner.kinds import Context
from planner.kinds.sentences import listed
from planner.model.names import counted, noun
from planner_plugins.roto.sight import Lens

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.model.facts import Facts
    from planner.model.show import Element


def tell_overlaps(sheet: Worksheet, puppet: Element) -> None:
    """What else a rod lies over, and rods added since the work was set."""
    listed = puppet.facts.groups("rods")
    _tell_added(sheet, puppet, len(listed))
    _tell_rods(sheet, puppet, listed)
    _tell_shadows(sheet, puppet, len(listed))


def _tell_added(sheet: Worksheet, puppet: Element, count: int) -> None:
    told = sheet.element.facts.number("rods")
    if told is None or count <= told.value:
        return
    sheet.warn(
        "rods-added-later",
        f"the work is set for {told.value:g} {noun(told.value, 'rod')} and {puppet.id}"
        f" lists {count}",
        f"write `rods: {count}` and look at the hours, or take {count - told.value:g} off again",
        at="rods",
    )


def _tell_rods(sheet: Worksheet, puppet: Element, listed: tuple[Facts, ...]) -> None:
    lens = Lens.before(sheet, puppet) if len(listed) > 1 else None
    if lens is None:
        return
    seen = [(rod, found) for rod in listed if (found := lens.seen(rod)) is not None]
    pairs = [
        f"{one.word('name')} over {other.word('name')}"
        for (one, its), (other, others) in combinations(seen, 2)
        if _together(one, other) and rods.cross(its, others)
    ]
    sheet.reckon("rods over one another", len(pairs), "1", ", ".join(pairs) or "none cross")
    if pairs:
        sheet.remark(
            "rod-over-rod",
            f"{', '.join(pairs)}: both outlines are drawn where they meet",
            "bring one of them in from the other side",
            at="removes_rods_of",
        )


def _together(one: Facts, other: Facts) -> bool:
    """Whether both show on some frame; a rod without frames shows on all."""
    first, second = one.frames("frames"), other.frames("frames")
    return first is None or second is None or first.overlap(second) is not None


def _tell_shadows(sheet: Worksheet, puppet: Element, count: int) -> None:
    show = sheet.context.show
    shadows = [
        each.id
        for each in Context(show, puppet, {}, sheet.context.named_by).users("shadow_of")
        if (each.kind, each.shot) == ("shadow", sheet.element.shot)
        and each.facts.word("as", "shadow") == "shadow"
        and each.facts.word("sort") == "photographed"
        and show.is_live(each)
    ]
    if shadows and count:
        sheet.remark(
            "rods-in-shadow",
            f"{counted(count, 'rod throws its shadow', 'rods throw their shadows')} beside the"
            f" figure's in {listed(shadows)}",
            "photograph the shadow of a figure without rods, or have it drawn; else count each"
            " rod's shadow as another rod",
            at="removes_rods_of",
        )
