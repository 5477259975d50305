"""What a watched show is found to be at first, and what each edit changed in its findings.

Takes the problems before and after, gives those that are new and those that are gone, and text of
them. A finding that only moved to another line is the same.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.model.names import counted, in_names
from planner.model.place import Severity
from planner.pages.problems import problems_text, severities_said
from planner.pages.wording import folded

if TYPE_CHECKING:
    from collections.abc import Iterable

    from planner.model.place import Problem
    from planner.model.show import Show


@dataclass(frozen=True, slots=True)
class News:
    """What an edit changed.

    Attributes:
        new: problems that were not there.
        gone: problems that were.
        errors: there are now.
        warnings: there are now.
    """

    new: tuple[Problem, ...]
    gone: tuple[Problem, ...]
    errors: int
    warnings: int


def news_of(before: Iterable[Problem], after: Iterable[Problem]) -> News:
    """What is new and what is gone, both sorted.

    An edit changes few of the findings of ten thousand shots, and only those are sorted.
    """
    held, now = set(before), set(after)
    come, left = now - held, held - now
    return News(
        _beyond(come, left),
        _beyond(left, come),
        sum(each.severity is Severity.ERROR for each in now),
        sum(each.severity is Severity.WARNING for each in now),
    )


def _beyond(some: Iterable[Problem], others: Iterable[Problem]) -> tuple[Problem, ...]:
    """Those of `some`, sorted, that `others` do not match, one for one."""
    left = Counter(map(_sameness, others))
    found = []
    for each in sorted(some):
        key = _sameness(each)
        if left[key]:
            left[key] -= 1
        else:
            found.append(each)
    return tuple(found)


def _sameness(problem: Problem) -> tuple[str, str, str, str]:
    return problem.code, problem.place.file, problem.about, problem.message


def first_text(problems: Iterable[Problem], files: int) -> str:
    """What is found when watching begins, in how many files; one line."""
    return f"{severities_said(problems)}; watching {counted(files, 'file')}.\n"


def news_text(news: News, show: Show | None = None, *, colour: bool = False) -> str:
    """New problems in full, those gone by their sentence, and how many there are now."""
    new = problems_text(news.new, show, colour=colour).rstrip()
    blocks = [new] if news.new else []
    if news.gone:
        lines = [counted(len(news.gone), "finding") + " gone"]
        for each in news.gone:
            about = each.about or str(each.place)
            lines.extend(folded(f"{about}: {in_names(each.message, show)}", "  ", "    "))
        blocks.append("\n".join(lines))
    now = f"{counted(news.errors, 'error')}, {counted(news.warnings, 'warning')} now"
    said = "new above" if news.new else "nothing new"
    blocks.append(f"{said}; {now}.")
    return "\n\n".join(blocks) + "\n"
