"""What else may have changed since an element was made: its scale, speed, light, and what it names.

Takes the facts it was made by and the facts as they are, gives a finding for each such change.
Knows nothing of frames or cameras.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.estimate.stale_rules import (
    GRADE,
    GRADED,
    LOOK,
    REWORK,
    SCALES,
    STRETCH,
    TURNED,
)
from planner.model.quantity import Quantity, Standing, reckoned
from planner.model.ratio import in_ratio
from planner.status.its_frames import wanted_of
from planner.status.rested import NAMES
from planner.status.shifted import number
from planner.status.sorts import Sort, sort_of
from planner.status.verdicts import Finding, Made, Thumb, Verdict, product, times

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

_SCALED = frozenset({Sort.PICTURE, Sort.THING})
_MADE_OF = ("build", "move_from", "roto_of", "removes_rods_of", "derived_from", "shadow_of")
_MADE_OF_TOO = ("falls_on", "of", "pass_of", "clean_plate", "into", "people_plate", "records")


def making_findings(
    was: Mapping[str, str], now: Mapping[str, str], made: Made, thumb: Thumb
) -> Iterator[Finding]:
    """Every change of scale, drawing, speed, light, sort and names that touches what was made."""
    yield from _scales(was, now, thumb)
    yield from _drawings(was, now, made, thumb)
    yield from _sorts(was, now, made)
    if sort_of(now) is Sort.PICTURE:
        yield from _speed(was, now, thumb)
        yield from _light(was, now, thumb)
        yield from _key(was, now, thumb)
    yield from _names(was, now)


def _pairs(
    was: Mapping[str, str], now: Mapping[str, str], ending: str
) -> Iterator[tuple[str, str, str]]:
    """Facts of that name, its own and those of what it names, that are another than they were."""
    for name in sorted(was.keys() & now.keys()):
        is_so = name == ending or name.endswith(f" {ending}")
        if is_so and not name.startswith((NAMES, "shot ", "show ")) and was[name] != now[name]:
            yield name.removesuffix(ending).strip(), was[name], now[name]


def _scales(was: Mapping[str, str], now: Mapping[str, str], thumb: Thumb) -> Iterator[Finding]:
    if sort_of(now) not in _SCALED:
        return
    allowed = thumb.likely(SCALES)
    for whose, before, after in _pairs(was, now, "scale"):
        old, new = number({"n": before}, "n"), number({"n": after}, "n")
        if not old or not new:
            continue
        ratio = reckoned(
            "difference of scale",
            (max(old, new) / min(old, new) - 1) * 100,
            "%",
            "larger / smaller - 1",
            Quantity("scale then", old, "1:N", Standing.GIVEN),
            Quantity("scale now", new, "1:N", Standing.GIVEN),
        )
        thing = whose.rpartition(" ")[2] or "it"
        says = f"made at {in_ratio(old)}, and {thing} is {in_ratio(new)} now"
        if ratio.value <= allowed.value:
            told = f"{says}; nobody sees {allowed.value:g} %"
            yield Finding(Verdict.GOOD, "", told, None, (ratio, allowed))
        else:
            told = f"{says}: detail, depth and weight are those of another scale"
            yield Finding(Verdict.DEAD, f"another scale of {thing}", told, None, (ratio, allowed))


def _drawings(
    was: Mapping[str, str], now: Mapping[str, str], made: Made, thumb: Thumb
) -> Iterator[Finding]:
    for ending in ("drawing", "revision"):
        for whose, before, after in _pairs(was, now, ending):
            thing = whose.rpartition(" ")[2]
            if not thing and sort_of(now) is Sort.THING:
                part = thumb.of(REWORK)
                hours = product(made.hours, part) if made.hours else None
                says = f"made to {before}, and its {ending} is {after} now"
                yield Finding(Verdict.WORK, f"another {ending}", says, hours)
            elif thing and sort_of(now) is Sort.PICTURE and not whose.startswith("move_from"):
                says = (
                    f"photographed of {before}, and {thing} is {after} now: look whether it shows"
                )
                yield Finding(Verdict.WORK, f"another {ending} of {thing}", says, thumb.of(LOOK))


def _sorts(was: Mapping[str, str], now: Mapping[str, str], made: Made) -> Iterator[Finding]:
    for name in ("kind", "sort", "as", "action"):
        before, after = was.get(name, ""), now.get(name, "")
        if before and after and before != after:
            said = f"made as {before}, and {after} is wanted".replace("_", " ")
            yield Finding(Verdict.DEAD, said, said)
    passes = [each for each in _listed(now, "passes") if each not in _listed(was, "passes")]
    if passes and was.get("passes"):
        missing = " and ".join(passes)
        share = len(passes) / len(_listed(now, "passes"))
        hours = times(made.hours, share) if made.hours else None
        says = f"photographed without the {missing} pass, which is wanted now"
        yield Finding(Verdict.WORK, f"no {missing} pass", says, hours)


def _listed(facts: Mapping[str, str], name: str) -> tuple[str, ...]:
    return tuple(each for each in facts.get(name, "").split(", ") if each)


def _speed(was: Mapping[str, str], now: Mapping[str, str], thumb: Thumb) -> Iterator[Finding]:
    """Another rate: what falls, walks or swings in it would be faster or slower than it was."""
    if now.get("action") == "still" or now.get("kind") == "painting":
        return
    for name in ("rate", "show camera.frame_rate", "event"):
        old, new = number(was, name), number(now, name)
        if not old or not new or old == new:
            continue
        unit, words = ("s", "action") if name == "event" else ("fps", "frame rate")
        off = reckoned(
            f"difference of {words}",
            (max(old, new) / min(old, new) - 1) * 100,
            "%",
            "larger / smaller - 1",
            Quantity(f"{words} then", old, unit, Standing.GIVEN),
            Quantity(f"{words} now", new, unit, Standing.GIVEN),
        )
        yield _by_speed(
            off, f"photographed for {old:g} {unit}, and {new:g} {unit} is wanted", now, thumb
        )


def _by_speed(off: Quantity, says: str, now: Mapping[str, str], thumb: Thumb) -> Finding:
    allowed = thumb.of(SCALES)
    numbers = (off, thumb.likely(SCALES))
    is_rate = off.inputs[0].unit == "fps"
    short = "another frame rate" if is_rate else "another length of action"
    if off.value <= allowed.likely:
        return Finding(Verdict.GOOD, "", f"{says}; nobody sees {allowed.likely:g} %", None, numbers)
    if off.value <= allowed.high:
        frames = wanted_of(now)
        made = (frames.count if frames else 0) * off.value / 100
        told = f"{says}; it is stretched or shortened by {off.value:.3g} %"
        return Finding(Verdict.WORK, short, told, times(thumb.of(STRETCH), max(made, 1)), numbers)
    told = f"{says}; what moves in it is {off.value:.3g} % off its speed"
    return Finding(Verdict.DEAD, short, told, None, numbers)


def _light(was: Mapping[str, str], now: Mapping[str, str], thumb: Thumb) -> Iterator[Finding]:
    """Level and contrast: what a grade takes out is good, what is left is work."""
    allowed = thumb.likely(GRADED)
    for name, unit in (("light", "lx"), ("contrast", "stops")):
        old, new = number(was, name), number(now, name)
        if old is None or new is None or old == new or (unit == "lx" and min(old, new) <= 0):
            continue
        is_level = unit == "lx"
        off = reckoned(
            "difference of light" if is_level else "difference of contrast",
            abs(math.log2(new / old)) if is_level else abs(new - old),
            "stops",
            "log2(now / then)" if is_level else "now - then",
            Quantity(f"{name} then", old, unit, Standing.GIVEN),
            Quantity(f"{name} now", new, unit, Standing.GIVEN),
        )
        words = "light" if is_level else "contrast"
        says = f"photographed at another {words}, {off.value:.1f} stops off"
        if off.value <= allowed.value:
            told = f"{says}; a grade takes {allowed.value:g} out"
            yield Finding(Verdict.GOOD, "", told, None, (off, allowed))
        elif is_level:
            told = f"{says}: grade it and look at its grain and shadows"
            yield Finding(Verdict.WORK, "another light", told, thumb.of(GRADE), (off, allowed))
        else:
            told = f"{says}: no grade fills or empties shadows"
            yield Finding(Verdict.DEAD, "another contrast", told, None, (off, allowed))


def _key(was: Mapping[str, str], now: Mapping[str, str], thumb: Thumb) -> Iterator[Finding]:
    allowed = thumb.likely(TURNED)
    for name, words in (("key_light.from", "round"), ("key_light.height", "up or down")):
        old, new = number(was, name), number(now, name)
        if old is None or new is None or old == new:
            continue
        off = reckoned(
            "turn of the key light",
            abs((new - old + 180) % 360 - 180),
            "deg",
            "now - then, the short way",
            Quantity("key light then", old, "deg", Standing.GIVEN),
            Quantity("key light now", new, "deg", Standing.GIVEN),
        )
        says = f"its key light is {off.value:g} deg {words} from where it was photographed"
        if off.value <= allowed.value:
            told = f"{says}; shadows do not give away {allowed.value:g} deg"
            yield Finding(Verdict.GOOD, "", told, None, (off, allowed))
        else:
            told = f"{says}: its shadows fall another way"
            yield Finding(Verdict.DEAD, "another key light", told, None, (off, allowed))


def _names(was: Mapping[str, str], now: Mapping[str, str]) -> Iterator[Finding]:
    """What it was made from is another thing altogether."""
    for role in (*_MADE_OF, *_MADE_OF_TOO):
        before, after = was.get(f"{NAMES}{role}", ""), now.get(f"{NAMES}{role}", "")
        if not before or not after or before == after:
            continue
        if set(after.split(", ")) <= set(before.split(", ")):
            continue
        says = f"made from {before}, and {after} is named now"
        if sort_of(now) is Sort.JOIN:
            continue
        yield Finding(Verdict.DEAD, f"made from {before}", says)
