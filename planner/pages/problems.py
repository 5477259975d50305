"""What is wrong and what nobody knows, as text.

Takes problems and missing facts, gives text of 80 columns. Paths are never broken, so that an
editor can follow them. Things are named in sentences as people call them, and by id where the
sentence is about them, so that they can be found. Knows nothing of screens: who prints decides on
colour.
"""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from planner.estimate import mark_of
from planner.model.names import counted, in_names
from planner.model.place import Severity
from planner.pages.wording import WIDTH, columns, folded, inert

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from planner.kinds import MissingFact
    from planner.model.place import Problem
    from planner.model.show import Show


MOST_NAMED = 3
_TINTS = {Severity.ERROR: "31;1", Severity.WARNING: "33", Severity.NOTE: "36"}
_HEADINGS = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.NOTE: "note"}


def problems_text(
    problems: Iterable[Problem],
    show: Show | None = None,
    *,
    colour: bool = False,
) -> str:
    """Every problem, errors before warnings before notes, each with place, sentence and remedy.

    The same sentence about several places is printed once, under all of them. In brackets stands
    the rule's code. What a person may waive carries its mark: with the code, or beside each of
    several places.

    Args:
        problems: in any order.
        show: whose things sentences name; None where it cannot be read.
        colour: tint the headings for a terminal; the words say the same without.
    """
    ordered = sorted(set(problems))
    if not ordered:
        return "No problems.\n"
    blocks: list[str] = []
    tally: list[str] = []
    for severity, group in groupby(ordered, key=lambda each: each.severity):
        held = tuple(group)
        count = counted(len(held), _HEADINGS[severity])
        tally.append(count)
        heading = count[0].upper() + count[1:]
        blocks.append(_tinted(heading, _TINTS[severity]) if colour else heading)
        blocks.extend(_problem_block(same, show) for same in _alike(held))
    # A single heading has said it; several are far apart, and summed up where the reader ends.
    blocks += [", ".join(tally) + "."] if len(tally) > 1 else []
    return "\n\n".join(blocks) + "\n"


def severities_said(problems: Iterable[Problem]) -> str:
    """``0 errors, 3 warnings, 1 note``."""
    severities = [each.severity for each in problems]
    return ", ".join(counted(severities.count(each), _HEADINGS[each]) for each in Severity)


def counted_text(problems: Iterable[Problem], where: str) -> str:
    """How many there are of each severity and of what, and which command tells them; one sentence.

    Args:
        problems: at least one; in any order.
        where: the command.
    """
    said = []
    for severity, group in groupby(sorted(set(problems)), key=lambda each: each.severity):
        held = tuple(group)
        about = list(dict.fromkeys(each.about or each.code for each in held))
        more = f" and {len(about) - MOST_NAMED} more" if len(about) > MOST_NAMED else ""
        named = ", ".join(about[:MOST_NAMED])
        said.append(f"{counted(len(held), _HEADINGS[severity])} ({named}{more})")
    return "\n".join([*folded(f"{', '.join(said)}: `{where}` tells more.", "", "  "), ""])


def _alike(problems: Sequence[Problem]) -> list[list[Problem]]:
    """Problems that say the same, together, at the place of the first of them."""
    groups: dict[tuple[str, str, str], list[Problem]] = {}
    for each in problems:
        groups.setdefault((each.code, each.message, each.remedy), []).append(each)
    return list(groups.values())


def _problem_block(same: Sequence[Problem], show: Show | None) -> str:
    lines: list[str] = []
    first = same[0]
    is_alone = len(same) == 1
    for each in same:
        place = inert(str(each.place))
        about = "  ".join(
            part for part in (inert(each.about), "" if is_alone else _mark(each)) if part
        )
        if about and columns(place) + 2 + columns(about) <= WIDTH:
            lines.append(f"{place}  {about}")
        else:
            lines.append(place)
            lines.extend(folded(about, "    ") if about else ())
    code = f"{first.code} {_mark(first)}".rstrip() if is_alone else first.code
    lines.extend(folded(f"{in_names(first.message, show)} [{code}]", "  "))
    if first.remedy:
        lines.extend(folded(in_names(first.remedy, show), "  do: ", "      "))
    return "\n".join(lines)


def _mark(problem: Problem) -> str:
    """What a waiver names it by; errors cannot be waived."""
    return "" if problem.severity == Severity.ERROR else mark_of(problem)


def _tinted(text: str, tint: str) -> str:
    return f"\x1b[{tint}m{text}\x1b[0m"


def missing_text(missing: Iterable[MissingFact]) -> str:
    """What nobody knows yet, by the thing it belongs to, with what rests on each fact."""
    facts = sorted(missing, key=lambda each: (each.place.file, each.about, each.place, each.name))
    if not facts:
        return "No facts are missing.\n"
    assumed = sum(1 for each in facts if each.assumed)
    opening = f"{counted(len(facts), 'fact')} missing"
    if assumed:
        opening += f", {assumed:,} of them replaced by an assumption"
    blocks = [opening + "."]
    for about, group in groupby(facts, key=lambda each: each.about):
        lines = folded(about or "the show")
        for each in group:
            lines.extend(_missing_lines(each))
        blocks.append("\n".join(lines))
    return "\n\n".join(blocks) + "\n"


def _missing_lines(fact: MissingFact) -> list[str]:
    name, place = inert(fact.name.replace("_", " ")), inert(str(fact.place))
    lines = [f"  {name}  {place}"]
    if columns(lines[0]) > WIDTH:
        lines = [*folded(name, "  "), f"    {place}"]
    if fact.by:
        lines.extend(folded(fact.by, "    to be found by: ", "      "))
    if fact.rests:
        lines.extend(folded(fact.rests, "    without it: ", "      "))
    if fact.assumed:
        lines.extend(folded(fact.assumed, "    taken for it: ", "      "))
    return lines
