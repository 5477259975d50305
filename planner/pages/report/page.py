"""The report's pages put together from its sections.

Takes the matter of a report, gives HTML: one page, or an index with a page for each sequence and
each month of the stage order. A section is a function of the matter; one that has nothing to say on
a page gives None. Knows nothing of files.
"""

from __future__ import annotations

import base64
import hashlib
from collections import defaultdict
from typing import TYPE_CHECKING, TypeAlias

from planner.pages.graph_nodes import slug
from planner.pages.report import (
    chances,
    findings,
    glance,
    money,
    scales,
    shots,
    since,
    stage_order,
    standing,
)
from planner.pages.report.matter import short_day
from planner.pages.report.section import Section, quoted, rendered, source

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from planner.pages.report.matter import Matter
    from planner.pages.report.week_grid import Week

    Teller: TypeAlias = Callable[[Matter], "Section | None"]

SECTIONS: tuple[Teller, ...] = (
    glance.glance,
    glance.sequences,
    standing.standing,
    since.since,
    shots.strip,
    stage_order.overview,
    stage_order.weeks,
    chances.chances,
    money.bid,
    money.alternatives,
    money.left_out,
    scales.scales,
    shots.shots,
    shots.made_once,
    findings.findings,
    findings.missing,
    findings.assumptions,
    findings.waived,
)
"""In the order of the page; more may be added by whoever asks for a report."""


def report_html(matter: Matter, tellers: Sequence[Teller] = SECTIONS) -> str:
    """The whole report as one page.

    Args:
        matter: of the show.
        tellers: one a section.

    Returns:
        HTML that holds all it needs.
    """
    return _page(matter, matter.plan.show.title, _told(matter, tellers))


def report_pages(matter: Matter, tellers: Sequence[Teller] = SECTIONS) -> Iterator[tuple[str, str]]:
    """The report as an index, a page for each sequence, and one for each month on stage.

    Args:
        matter: of the show.
        tellers: one a section; asked for each page.

    Yields:
        File name and HTML of each page, the index first.
    """
    show = matter.plan.show
    # The prefix keeps a sequence called "index" or "order_2027_03" from another page's name.
    homes = {each: f"sequence_{slug(each)}.html" for each in show.sequences}
    matter = matter.split_over(homes)
    index = matter.seen_from("index.html", ())
    yield "index.html", _page(index, show.title, _told(index, tellers))
    for sequence in show.sequences.values():
        seen = matter.seen_from(homes[sequence.id], (sequence.id,))
        title = f"{sequence.called}, {show.title}"
        yield seen.page, _page(seen, title, _told(seen, tellers))
    by_page: defaultdict[str, list[Week]] = defaultdict(list)
    for week in matter.weeks:
        by_page[stage_order.week_page(week)].append(week)
    for name, held in by_page.items():
        seen = matter.seen_from(name, ())
        html = stage_order.weeks_html(seen, held)
        title = "The stages, week by week"
        yield name, _page(seen, f"{title}, {show.title}", [Section("weeks", title, html, title)])


def _told(matter: Matter, tellers: Iterable[Teller]) -> list[Section]:
    return [section for teller in tellers if (section := teller(matter)) is not None]


def _page(matter: Matter, title: str, sections: Sequence[Section]) -> str:
    script = source("find.js")
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    day = matter.followed.day
    as_of = f"as of {short_day(day)}" if day else ""
    return rendered(
        "page.html",
        title=title,
        sections=sections,
        look=source("look.css"),
        as_of=as_of,
        foot=quoted(", ".join(each for each in (title, as_of) if each)),
        script=script,
        digest=digest,
        back="index.html" if matter.is_split and matter.page != "index.html" else "",
        show=matter.plan.show.title,
    )
