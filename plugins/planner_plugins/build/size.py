"""Size of a build: its scale, candidates for it, its mass, and what must fit inside.

Takes what is stated, gives the scale to reckon with, masses, the limit a mechanism sets, and
findings. Knows nothing of hours or of shots.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.craft import scale, window
from planner.kinds import ScaleBound
from planner.kinds.sentences import built_larger
from planner.model.quantity import Quantity, Standing
from planner.model.ratio import in_ratio

if TYPE_CHECKING:
    from planner.kinds import Worksheet

FULL_SIZE_SORTS = frozenset({"set", "fixture", "rig", "insert", "painting"})
"""Sorts that are as large as they are, unless they say otherwise."""


def scales(sheet: Worksheet) -> tuple[Quantity, ...]:
    """N it is made at, or every N it may yet be; the first is the likely one."""
    facts = sheet.element.facts
    chosen = facts.number("scale")
    if chosen is not None and chosen.value > 0:
        return (chosen,)
    candidates = tuple(each for each in facts.numbers("candidates") if each.value > 0)
    if candidates:
        return candidates
    return (Quantity("scale", 1.0, "1:N", Standing.ASSUMED, reason="full size"),)


def check_scale(sheet: Worksheet) -> None:
    """Keep its mass, and tell a scale not settled with what each candidate weighs."""
    facts = sheet.element.facts
    found, at = facts.number("mass"), facts.number("mass_at") or facts.number("scale")
    options = scales(sheet)
    masses = {}
    if found is not None and at is not None and min(found.value, at.value) > 0:
        for n in options:
            kilograms = scale.mass_at_height_kg(found.value, 1 / at.value, 1 / n.value)
            name = "mass" if len(options) == 1 else f"mass at {in_ratio(n.value)}"
            reason = "mass found x (N it was found at / N) cubed"
            masses[n.value] = sheet.reckon(
                name, kilograms, "kg", reason, found, at, n, source="square-cube law"
            )
    _ask_larger(sheet, options)
    if facts.number("scale") is not None:
        return
    if facts.numbers("candidates"):
        _tell_candidates(sheet, options, masses)
    elif facts.word("makes") not in FULL_SIZE_SORTS:
        sheet.miss("scale", rests="hours, mass and every set-up it stands in", assumed="full size")
        sheet.error(
            "build-without-scale",
            "nothing says at what scale it is made; reckoned at full size meanwhile",
            "state `scale: 1/N`, or `candidates`",
            at="scale",
        )


def _ask_larger(sheet: Worksheet, options: tuple[Quantity, ...]) -> None:
    """Ask whether it is meant to be larger than life, or written the wrong way round."""
    if larger := [each.value for each in options if each.value < 1]:
        said = " and ".join(map(in_ratio, larger))
        turned = " and ".join(f"1/{1 / n:.6g}" for n in larger)
        sheet.remark(
            "larger-than-life",
            f"at {said} it is made larger than life",
            f"if a model smaller than life is meant, write {turned}",
            at="scale" if sheet.element.facts.has("scale") else "candidates",
        )


def _tell_candidates(
    sheet: Worksheet, options: tuple[Quantity, ...], masses: dict[float, Quantity]
) -> None:
    most = sheet.element.facts.number("most_mass")
    said = [
        in_ratio(n.value) + (f" ({masses[n.value].value:.3g} kg)" if n.value in masses else "")
        for n in options
    ]
    borne = f"; its rods bear {most.value:.3g} kg" if most is not None else ""
    light = [n.value for n in options if most and n.value in masses]
    light = [n for n in light if most is not None and masses[n].value <= most.value]
    remedy = "choose one before drawings are made"
    if light:
        remedy = f"{in_ratio(min(light))} is the largest its rods bear; {remedy}"
    sheet.warn(
        "scale-undecided",
        f"its scale is not settled between {', '.join(said)}{borne}",
        remedy,
        at="candidates",
    )


def check_mechanism(sheet: Worksheet) -> None:
    """What must fit inside limits how small it can be."""
    facts = sheet.element.facts
    mechanism, cavity = facts.number("mechanism"), facts.number("cavity")
    if mechanism is None:
        return
    if cavity is None:
        sheet.miss("cavity", rests="whether its mechanism fits at any scale")
        return
    if min(mechanism.value, cavity.value) <= 0:
        return
    limit = Quantity(
        "mechanism inside",
        window.highest_by_mechanism(cavity.value, mechanism.value),
        "1:N",
        reason="full-size room / smallest mechanism",
        inputs=(cavity, mechanism),
    )
    me = sheet.element.id
    sheet.limit(ScaleBound(me, me, at_least=False, limit=limit, relax="a smaller mechanism"))
    n = scales(sheet)[0].value
    if n > limit.value:
        sheet.error(
            "mechanism-will-not-fit",
            f"at {in_ratio(n)} there are {cavity.value / n:.0f} mm inside and its mechanism needs"
            f" {mechanism.value:.0f} mm",
            built_larger(limit.value, "find a smaller mechanism"),
            at="mechanism",
        )
