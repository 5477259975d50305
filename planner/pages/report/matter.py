"""What a report tells of: a plan, ready to be asked by shot and by element.

Takes a plan with studies of scale and choices between methods, gives `Matter`. Works nothing out
but who belongs where: which page tells of a thing, what is found of it, when it is worked on.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.bid import by_use
from planner.model.names import MONTHS
from planner.model.place import Severity
from planner.pages.graph_nodes import slug
from planner.pages.report.followed import NOTHING_MORE, Followed
from planner.pages.report.week_grid import Week, weeks_of
from planner.pages.wording import plain

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import date, datetime

    from planner.bid import Choice, Figures
    from planner.estimate.scales import ScaleStudy
    from planner.model.place import Place, Problem
    from planner.model.show import Delivery, Element, Shot
    from planner.order import Call
    from planner.pages.plan import Plan


@dataclass(frozen=True, slots=True)
class Matter:
    """A plan seen from one page.

    Attributes:
        plan: everything worked out.
        studies: scales of builds that something limits.
        choices: what is made in one of several ways.
        page: file name of this page; empty where there is only one.
        sequences: ids of those whose shots this page tells of.
        homes: per sequence, the file name of its page; empty where there is only one page.
        calls: per element, its calls by date.
        found: per element or shot, the findings about it, errors first.
        use: likely cost by shot, shared things split over the shots that use them.
        due: per shot, its earliest delivery.
        weeks: those in which a stage works.
        findings: per page, what is found about what it tells of, errors first.
        followed: chances, where things stand, and what changed; any of it may not be there.
    """

    plan: Plan
    studies: tuple[ScaleStudy, ...]
    choices: tuple[Choice, ...]
    page: str
    sequences: tuple[str, ...]
    homes: Mapping[str, str]
    calls: Mapping[str, Sequence[Call]]
    found: Mapping[str, Sequence[Problem]]
    use: Mapping[str, Figures]
    due: Mapping[str, Delivery]
    weeks: tuple[Week, ...]
    findings: Mapping[str, Sequence[Problem]]
    followed: Followed = NOTHING_MORE

    @property
    def is_first(self) -> bool:
        """Whether this page tells of the whole show: the only page, or the index."""
        return not self.homes or not self.sequences

    @property
    def is_split(self) -> bool:
        """Whether there are several pages."""
        return bool(self.homes)

    def split_over(self, homes: Mapping[str, str]) -> Matter:
        """The same told on several pages.

        Args:
            homes: per sequence, the file name of its page.
        """
        findings: defaultdict[str, list[Problem]] = defaultdict(list)
        parted = replace(self, homes=homes, findings=findings)
        for problem in self.findings[""]:
            findings[parted.home(problem.about)].append(problem)
        return parted

    def seen_from(self, page: str, sequences: tuple[str, ...]) -> Matter:
        """The same for another page."""
        return replace(self, page=page, sequences=sequences)

    def link(self, id_: str) -> str:
        """Address of a shot or element, from this page."""
        home = self.home(id_)
        return f"{'' if home == self.page else home}#{slug(id_)}"

    def home(self, id_: str) -> str:
        """File name of the page that tells of a shot, an element or a sequence."""
        if not self.homes:
            return ""
        show = self.plan.show
        element = show.elements.get(id_)
        shot = show.shots.get(element.shot if element else id_)
        return self.homes.get(shot.sequence if shot else id_, "index.html")

    def is_known(self, id_: str) -> bool:
        """Whether something can be linked to under this id."""
        return id_ in self.plan.show.elements or id_ in self.plan.show.shots

    def is_told_here(self, about: str) -> bool:
        """Whether findings about this are told on this page."""
        return self.home(about) == self.page

    def shots(self) -> tuple[Shot, ...]:
        """Shots this page tells of, in story order."""
        show = self.plan.show
        return tuple(
            show.shots[id_] for each in self.sequences for id_ in show.sequences[each].shots
        )

    def name_in(self, id_: str, shot: str) -> str:
        """Name of an element as said within a shot: without the shot's own."""
        element = self.plan.show.elements.get(id_)
        return element.name if element is not None and element.shot == shot else id_

    def place(self, place: Place) -> str:
        """A place as short as it stays clear: from the show's folder on."""
        return self.shortened(str(place))

    def shortened(self, text: str) -> str:
        """A text whose places are said from the show's folder on."""
        return text.replace(self.plan.show.folder.rstrip("/") + "/", "")

    def errors(self, ids: Iterable[str]) -> tuple[Problem, ...]:
        """Errors about any of these."""
        return tuple(
            each
            for id_ in ids
            for each in self.found.get(id_, ())
            if each.severity is Severity.ERROR
        )


def matter_of(
    plan: Plan,
    studies: Iterable[ScaleStudy] = (),
    choices: Iterable[Choice] = (),
    followed: Followed = NOTHING_MORE,
) -> Matter:
    """Everything as one page sees it."""
    calls: defaultdict[str, list[Call]] = defaultdict(list)
    # Whoever is called beside a stretch comes after it, though both begin at once.
    for call in sorted(plan.order.calls, key=lambda each: (each.starts, bool(each.work.beside))):
        calls[call.element].append(call)
    found: defaultdict[str, list[Problem]] = defaultdict(list)
    findings = sorted(set(plan.findings))
    for problem in findings:
        found[problem.about].append(problem)
    due: dict[str, Delivery] = {}
    for delivery in sorted(plan.show.deliveries, key=lambda each: each.day):
        for shot in delivery.shots:
            due.setdefault(shot, delivery)
    return Matter(
        plan=plan,
        studies=tuple(each for each in studies if each.window.bounds and each.by_element),
        choices=tuple(choices),
        page="",
        sequences=tuple(plan.show.sequences),
        homes={},
        calls=calls,
        found=found,
        use=by_use(plan.bid),
        due=due,
        weeks=weeks_of(plan.order, plan.show),
        findings={"": findings},
        followed=followed,
    )


def short_day(day: date) -> str:
    """``2 Mar 2026``."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def day_span(first: date, last: date, *, year: bool = True) -> str:
    """``2 Mar``, ``2 to 5 Mar``, ``30 Mar to 2 Apr``, with the year unless left out.

    Both years are said where they differ.
    """
    if (first.year, first.month, first.day) == (last.year, last.month, last.day):
        said = f"{last.day} {MONTHS[last.month - 1]}"
    elif (first.year, first.month) == (last.year, last.month):
        said = f"{first.day} to {last.day} {MONTHS[last.month - 1]}"
    else:
        began = f" {first.year}" if first.year != last.year else ""
        said = (
            f"{first.day} {MONTHS[first.month - 1]}{began} to {last.day} {MONTHS[last.month - 1]}"
        )
    return f"{said} {last.year}" if year or first.year != last.year else said


def when(calls: Sequence[Call], *, year: bool = True) -> str:
    """Days on which calls fall, from the first to the last; empty for none."""
    if not calls:
        return ""
    last: datetime = max(call.ends for call in calls)
    return day_span(calls[0].starts, last, year=year)


def hours(value: float) -> str:
    """``7 h``, ``0.75 h``; never parted at the end of a line."""
    return f"{plain(round(value, 2))}\u00a0h"


def without_work(element: Element) -> str:
    """Why nothing of an element is called: its report says it was photographed, or all is done."""
    report = element.facts.group("report")
    if not report.flag("taken"):
        return "no work left"
    return f"photographed, take {take}" if (take := report.word("take")) else "photographed"
