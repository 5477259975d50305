"""What is wrong, what nobody knows, what is taken for granted, and what is waived.

Takes the matter of a page, gives sections. Works nothing out but counts.
"""

from __future__ import annotations

from collections import defaultdict
from itertools import groupby
from typing import TYPE_CHECKING, TypeAlias

from planner.estimate import mark_of
from planner.model.names import counted, in_names
from planner.model.place import Place, Severity
from planner.model.quantity import Standing
from planner.pages.graph_nodes import slug
from planner.pages.report.section import Section, rendered
from planner.pages.wording import figure

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from planner.model.place import Problem
    from planner.model.quantity import Quantity
    from planner.pages.report.matter import Matter

_Item: TypeAlias = "dict[str, object]"
_OFTEN = 4  # elements from which an assumption is told one by one


def findings(matter: Matter) -> Section | None:
    """Every finding about what this page tells of, errors first, alike ones together."""
    here = matter.findings.get(matter.page, ())
    groups = []
    for severity, held in groupby(here, key=lambda each: each.severity):
        told = tuple(held)
        name = severity.name.lower()
        groups.append((name, counted(len(told), name), _by_file(matter, told)))
    html = rendered("findings.html", groups=groups)
    return Section("findings", "Findings", html, counted(len(here), "finding"))


def _by_file(matter: Matter, problems: Iterable[Problem]) -> list[tuple[str, list[_Item]]]:
    """Findings under the names of the files they are to be mended in."""
    by_file: defaultdict[str, list[_Item]] = defaultdict(list)
    named: set[str] = set()
    for (file, code, remedy), sentences in _alike(problems).items():
        said = [
            (in_names(message, matter.plan.show), list(_places(matter, same, named, file)))
            for message, same in sentences.items()
        ]
        item: _Item = {"code": code, "said": said, "remedy": in_names(remedy, matter.plan.show)}
        by_file[file].append(item)
    return [(matter.place(Place(file)), items) for file, items in by_file.items()]


def _alike(
    problems: Iterable[Problem],
) -> Mapping[tuple[str, str, str], Mapping[str, list[Problem]]]:
    """By file, code and remedy, each sentence with every finding that says it."""
    first: dict[tuple[str, str, str], str] = {}
    alike: defaultdict[tuple[str, str, str], dict[str, list[Problem]]] = defaultdict(dict)
    for each in problems:
        file = first.setdefault((each.code, each.message, each.remedy), each.place.file)
        alike[file, each.code, each.remedy].setdefault(each.message, []).append(each)
    return alike


def _places(
    matter: Matter, same: Iterable[Problem], named: set[str], file: str
) -> Iterator[dict[str, str]]:
    """Where a sentence holds; a file is named where it is another than was named last."""
    for each in same:
        yield _place(matter, each, named, file)
        file = each.place.file


def _place(matter: Matter, problem: Problem, named: set[str], file: str) -> dict[str, str]:
    """Where a finding stands, below the name of a file.

    The first error about a thing is where links to its errors lead.
    """
    place, is_error = problem.place, problem.severity is Severity.ERROR
    anchor = f"error:{slug(problem.about)}" if is_error and problem.about not in named else ""
    named.add(problem.about if is_error else "")
    return {
        "anchor": anchor if problem.about else "",
        "about": problem.about,
        "link": matter.link(problem.about) if matter.is_known(problem.about) else "",
        "place": f"line {place.line}" if place.file == file and place.line else matter.place(place),
    }


def missing(matter: Matter) -> Section | None:
    """Facts nobody has yet, with what rests on each and what stands in for it."""
    facts = [each for each in matter.plan.estimates.missing if matter.is_told_here(each.about)]
    if not facts:
        return None
    rows = [
        {
            "about": each.about or "the show",
            "link": matter.link(each.about) if matter.is_known(each.about) else "",
            "name": each.name.replace("_", " "),
            "by": each.by,
            "rests": each.rests,
            "assumed": each.assumed,
            "place": matter.place(each.place),
        }
        for each in sorted(facts, key=lambda each: (each.place.file, each.about, each.place))
    ]
    html = rendered("missing.html", rows=rows)
    return Section("missing", "Facts nobody has yet", html, counted(len(rows), "missing fact"))


def assumptions(matter: Matter) -> Section | None:
    """Rules of thumb and stand-ins that many numbers rest on, those of most elements first."""
    if not matter.is_first:
        return None
    resting = _resting(matter)
    often = [(part, len(on)) for part, on in resting if len(on) >= _OFTEN]
    rows = [
        {
            "name": part.name,
            "value": figure(part.value, part.unit),
            "reason": part.reason or part.source,
            "many": many,
        }
        for part, many in often
    ]
    if not resting:
        return None
    html = rendered("assumptions.html", rows=rows, others=len(resting) - len(often))
    return Section("assumptions", "What is assumed", html, "Assumptions")


def _resting(matter: Matter) -> list[tuple[Quantity, set[str]]]:
    """Each thing assumed, with the elements whose numbers rest on it."""
    first: dict[tuple[str, float], Quantity] = {}
    resting: defaultdict[tuple[str, float], set[str]] = defaultdict(set)
    for estimate in matter.plan.estimates.by_element.values():
        waiting = [*estimate.quantities.values(), *(work.reason for work in estimate.work)]
        seen: set[int] = set()
        while waiting:
            part = waiting.pop()
            if id(part) in seen:
                continue
            seen.add(id(part))
            waiting.extend(part.inputs)
            if part.standing is Standing.ASSUMED and not part.inputs:
                key = part.reason or part.name, part.value
                first.setdefault(key, part)
                resting[key].add(estimate.element)
    held = [(first[key], on) for key, on in resting.items()]
    return sorted(held, key=lambda each: (-len(each[1]), each[0].reason, each[0].name))


def waived(matter: Matter) -> Section | None:
    """Findings somebody knowingly accepts, with who, when and why."""
    held = [
        each for each in matter.plan.estimates.waived if matter.is_told_here(each.problem.about)
    ]
    if not held:
        return None
    rows = [
        {
            "about": each.problem.about,
            "link": matter.link(each.problem.about) if matter.is_known(each.problem.about) else "",
            "message": in_names(each.problem.message, matter.plan.show),
            "code": f"{each.problem.code} {mark_of(each.problem)}",
            "by": each.by,
            "on": each.on,
            "why": each.why,
        }
        for each in sorted(held, key=lambda each: (each.problem, each.place))
    ]
    html = rendered("waived.html", rows=rows)
    return Section("waived", "Findings knowingly accepted", html, "Accepted findings")
