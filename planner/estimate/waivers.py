"""Findings that somebody knowingly accepts, until the numbers under them change.

Takes a show with the waivers of its shots and everything found in it, gives what stands, what is
waived and by whom, and what is wrong with the waivers themselves. Knows nothing of how findings are
made: those of kinds, graph, agreement, order and bid are waived alike. Errors are never waived.
"""

from __future__ import annotations

import hashlib
import re
from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.estimate.estimates import Waived
from planner.model.place import Problem, Severity

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import date

    from planner.estimate.estimates import Estimates
    from planner.model.place import Place
    from planner.model.show import Shot, Show

LONGEST_MARK = 8
SHOWN = 6
_NUMBER = re.compile(r"-?\d(?:[\d,]*\d)?(?:\.\d+)?")


@dataclass(frozen=True, slots=True)
class Waiver:
    """A waiver as a shot states it.

    Attributes:
        finding: code of the finding.
        shot: id of the shot it is written in.
        about: ids the finding may be about.
        mark: as written, in small letters; empty where there is none.
        by: who waives it; empty where nobody is named.
        on: the day; None where there is none.
        why: the reason; empty where there is none.
        place: where it is written.
    """

    finding: str
    shot: str
    about: frozenset[str]
    mark: str
    by: str
    on: date | None
    why: str
    place: Place

    @property
    def lacks(self) -> str:
        """What a waiver must say and this one does not, as a clause."""
        known = (("by", self.by), ("on", self.on), ("why", self.why), ("mark", self.mark))
        return ", ".join(name for name, value in known if not value)

    def fits(self, problem: Problem) -> bool:
        """Whether it is of this finding with these numbers."""
        return bool(self.mark) and _fingerprint(problem).startswith(self.mark)


@dataclass(frozen=True, slots=True)
class AfterWaivers:
    """Findings once the waivers have been looked at.

    Attributes:
        standing: findings nobody has waived, in the order given.
        waived: those somebody has.
        told: what is wrong with the waivers.
    """

    standing: tuple[Problem, ...]
    waived: tuple[Waived, ...]
    told: tuple[Problem, ...]

    def applied_to(self, estimates: Estimates) -> Estimates:
        """The estimates with the findings that are waived set aside."""
        if not self.waived:
            return estimates
        waived = {each.problem for each in self.waived}
        standing = tuple(each for each in estimates.problems if each not in waived)
        return replace(estimates, problems=standing, waived=self.waived)


def mark_of(problem: Problem) -> str:
    """Short fingerprint of a finding: another one means another rule, thing or number.

    Six digits and letters from a to f, beginning with a letter, so that YAML reads it as text.
    """
    return _fingerprint(problem)[:SHOWN]


def _fingerprint(problem: Problem) -> str:
    said = (problem.code, problem.about, *_NUMBER.findall(problem.message))
    digest = hashlib.sha256("\n".join(said).encode()).hexdigest()
    return "abcdef"[int(digest[0], 16) % 6] + digest[1:LONGEST_MARK]


def apply_waivers(
    show: Show, problems: Iterable[Problem], *, more_to_come: bool = False
) -> AfterWaivers:
    """Set aside the findings that the show's live shots waive.

    Args:
        show: the show.
        problems: everything found so far.
        more_to_come: whether stage order and bid have still to be looked at, so that a waiver that
            fits nothing yet may be one of theirs.

    Returns:
        What stands, what is waived, and what is wrong with the waivers; cost linear in findings and
        waivers.
    """
    found = tuple(problems)
    waivers = tuple(waiver for shot in show.shots.values() for waiver in _waivers_of(show, shot))
    if not waivers:
        return AfterWaivers(found, (), ())
    by_code: dict[tuple[str, str], list[Problem]] = defaultdict(list)
    for each in found:
        by_code[each.code, each.about].append(each)
    waivers = tuple(each for each in waivers if _meant(each, by_code) or _is_told(show, each))
    waived: dict[Problem, Waived] = {}
    told: list[Problem] = []
    spoken_for = {
        each for waiver in waivers for each in _meant(waiver, by_code) if waiver.fits(each)
    }
    for waiver in waivers:
        meant = _meant(waiver, by_code)
        fitting = [each for each in meant if waiver.fits(each)]
        if not fitting:
            loose = [each for each in meant if each not in spoken_for]
            told.append(_tell_stray(waiver, loose, more_to_come=more_to_come))
        elif (fault := _fault(waiver, fitting[0])) is not None:
            told.append(fault)
        elif waiver.on is not None:
            for each in fitting:
                waived[each] = Waived(each, waiver.by, waiver.on, waiver.why, waiver.place)
    standing = tuple(each for each in found if each not in waived)
    return AfterWaivers(standing, tuple(waived.values()), tuple(told))


def _is_told(show: Show, waiver: Waiver) -> bool:
    """Whether to tell that nothing is found of it; it may be, once all files can be read."""
    pieces = show.shots[waiver.shot].elements
    return not show.lost_files and show.unreadable.isdisjoint(pieces)


def _waivers_of(show: Show, shot: Shot) -> Iterable[Waiver]:
    """Waivers of a live shot; those of a shot nobody makes wait with it."""
    if not shot.is_live:
        return
    for each in shot.facts.groups("waivers"):
        yield Waiver(
            each.word("finding"),
            shot.id,
            _about(show, shot, each.word("of")),
            each.word("mark").lower(),
            each.word("by").strip(),
            each.day("on"),
            each.word("why").strip(),
            each.place,
        )


def _about(show: Show, shot: Shot, name: str) -> frozenset[str]:
    """What a name means: a piece of the shot first, then anything; no name, the shot itself."""
    if not name:
        ends = (id_ for id_ in shot.elements if show.elements[id_].kind == "composite")
        return frozenset({shot.id, *ends})
    own = f"{shot.id}.{name}"
    return frozenset({own if own in show.elements else name})


def _meant(waiver: Waiver, by_code: Mapping[tuple[str, str], list[Problem]]) -> list[Problem]:
    """Findings of the waiver's code about its things, whatever their numbers."""
    return [each for id_ in sorted(waiver.about) for each in by_code.get((waiver.finding, id_), ())]


def _fault(waiver: Waiver, problem: Problem) -> Problem | None:
    """What keeps a waiver that fits its finding from standing."""
    if problem.severity is Severity.ERROR:
        return _problem(
            waiver,
            Severity.WARNING,
            "waiver-of-error",
            f"{waiver.finding} of {problem.about} is an error, and errors cannot be waived",
            "mend it, and take the waiver out",
        )
    if waiver.lacks:
        return _problem(
            waiver,
            Severity.WARNING,
            "waiver-incomplete",
            f"the waiver of {waiver.finding} of {problem.about} does not say {waiver.lacks}, so it"
            " does not stand",
            "write who waives it (by), the day (on) and why",
        )
    return None


def _tell_stray(waiver: Waiver, meant: Sequence[Problem], *, more_to_come: bool) -> Problem:
    """A waiver that fits no finding: its numbers changed, it has no mark, or there is none."""
    marks = " or ".join(dict.fromkeys(mark_of(each) for each in meant))
    of = " or ".join(dict.fromkeys(each.about for each in meant)) or " or ".join(
        sorted(waiver.about)
    )
    if meant and not waiver.mark:
        return _problem(
            waiver,
            Severity.WARNING,
            "waiver-incomplete",
            f"the waiver of {waiver.finding} of {of} has no mark, so it does not stand",
            f"write `mark: {marks}`, as printed after the finding's code",
        )
    if meant:
        return _problem(
            waiver,
            Severity.NOTE,
            "waiver-no-longer-stands",
            f"{waiver.by or 'somebody'} waived {waiver.finding} of {of} as {waiver.mark}"
            f"{f' on {waiver.on}' if waiver.on else ''}; its numbers have changed and it is {marks}"
            " now",
            f"look at it again: mend it, or write `mark: {marks}` with the new day",
        )
    later = "; stage order and bid are looked at by `platewright plan`" if more_to_come else ""
    return _problem(
        waiver,
        Severity.NOTE,
        "waiver-matches-nothing",
        f"nothing is found that is called {waiver.finding} about {of}{later}",
        "take the waiver out, or mend its code and name",
    )


def _problem(waiver: Waiver, severity: Severity, code: str, message: str, remedy: str) -> Problem:
    return Problem(severity, waiver.place, code, message, remedy, waiver.shot)
