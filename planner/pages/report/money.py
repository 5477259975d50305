"""The bid: sums several ways with bars as lengths, ways of making one thing, what is left out.

Takes the matter of a page, gives sections. Works nothing out but lengths of bars.
"""

from __future__ import annotations

from collections import defaultdict
from decimal import Decimal
from typing import TYPE_CHECKING

from planner.bid import rollup
from planner.bid.lines import total_of
from planner.bid.rollup import dead_costs
from planner.model.names import MONTHS
from planner.pages.bid_text import how_summed, spent_words, unpriced_by_thing, unpriced_words
from planner.pages.report.matter import short_day
from planner.pages.report.section import Section, rendered
from planner.pages.wording import dead_said, plain

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from planner.bid import By, Figures, Method
    from planner.pages.report.matter import Matter

_WAYS: tuple[tuple[By, str], ...] = (
    ("sequence", "By sequence"),
    ("craft", "By craft, and by what is hired and bought"),
    ("phase", "By phase of the work"),
    ("month", "By month of the work"),
    ("account", "By account"),
)
_WHY = (("for", "for it"), ("against", "against it"), ("reopen", "open again if"))


def bid(matter: Matter) -> Section | None:
    """The whole bid on the first page; what each shot comes to where its shots are told."""
    held = matter.plan.bid
    shots = [shot.id for shot in matter.shots()]
    tables = []
    if matter.is_first:
        tables.append(_table("All together", _whole(matter)))
        for way, title in _WAYS:
            sums = rollup(held, way)
            if len(sums) > 1:
                tables.append(_table(title, {_said(matter, way, k): v for k, v in sums.items()}))
    if shots:
        known = {name: figures for name, figures in matter.use.items() if name in shots}
        left = {k: v for k, v in matter.use.items() if k not in matter.plan.show.shots}
        title = "By shot, what is shared split over the shots that use it"
        tables.append(_table(title, {**known, **(left if matter.is_first else {})}))
    html = rendered(
        "bid.html",
        tables=tables,
        currency=held.currency,
        is_first=matter.is_first,
        how_summed=how_summed(held),
        spent=list(spent_words(held)) if matter.is_first else [],
        unpriced=list(unpriced_by_thing(held)) if matter.is_first else [],
        at_nothing=unpriced_words(held),
        dead=[dead_said(*each) for each in dead_costs(held).items()] if matter.is_first else [],
    )
    return Section("bid", f"The bid, in {held.currency}", html, "Bid")


def _whole(matter: Matter) -> dict[str, Figures]:
    held = matter.plan.bid
    loads = {
        f"{load.name}, {plain(float(load.share * 100))} % of {load.base.likely:,.0f}": load.figures
        for load in held.loads
    }
    return {"work, hire and purchases": held.cost, **loads, "total": held.total}


def _said(matter: Matter, way: By, name: str) -> str:
    if way == "sequence" and name in matter.plan.show.sequences:
        return matter.plan.show.sequences[name].called
    if way == "month" and name[:4].isdigit():
        return f"{MONTHS[int(name[5:7]) - 1]} {name[:4]}"
    return name.replace("_", " ")


def _table(title: str, sums: Mapping[str, Figures]) -> dict[str, object]:
    top = max((figures.high for figures in sums.values()), default=Decimal(0)) or Decimal(1)
    return {
        "title": title,
        "rows": [(name, figures, _bar(figures, top)) for name, figures in sums.items()],
    }


def _bar(figures: Figures, top: Decimal) -> str:
    """Where a bar ends, and the bracket under it begins and ends, hundredths of the plot."""
    low, likely, high = (
        f"{float(100 * each / top):.3g}" for each in (figures.low, figures.likely, figures.high)
    )
    return f"--m:{likely}" if low == high else f"--m:{likely};--l:{low};--h:{high}"


def left_out(matter: Matter) -> Section | None:
    """Shots priced but not in the bid."""
    lines = matter.plan.bid.not_in_bid
    if not lines or not matter.is_first:
        return None
    by_shot: defaultdict[str, list[Figures]] = defaultdict(list)
    for line in lines:
        by_shot[line.shot].append(line.figures)
    show = matter.plan.show
    rows = [
        (shot, matter.link(shot), show.shots[shot].state, show.shots[shot].says, total_of(each))
        for shot, each in by_shot.items()
    ]
    html = rendered("left_out.html", rows=rows)
    return Section("left-out", "Not in the bid", html, "Not in the bid")


def alternatives(matter: Matter) -> Section | None:
    """What is made in one of several ways, each way priced whole."""
    if not matter.choices or not matter.is_first:
        return None
    choices = [
        (
            choice.shot or "outside shots",
            short_day(choice.day),
            [_method(matter, each) for each in choice.methods],
            _span(choice.methods),
        )
        for choice in matter.choices
    ]
    html = rendered("alternatives.html", choices=choices)
    return Section("alternatives", "Ways of making one thing", html, "Alternatives")


def _span(methods: Iterable[Method]) -> Decimal:
    return max((each.total.high for each in methods), default=Decimal(0)) or Decimal(1)


def _method(matter: Matter, method: Method) -> dict[str, object]:
    by, day = method.why.word("by"), method.why.day("on")
    verdict = f"{method.verdict}{f' by {by}' if by else ''}{f' on {day}' if day else ''}"
    return {
        "name": method.element,
        "link": matter.link(method.element),
        "verdict": verdict,
        "is_made": method.is_made,
        "says": method.says,
        "total": method.total,
        "dearer": method.dearer,
        "days": round(method.days.value, 1),
        "why": list(_reasons(method)),
        "others": [each for each in method.parts if each != method.element],
    }


def _reasons(method: Method) -> Iterator[tuple[str, str]]:
    for name, words in _WHY:
        if said := method.why.word(name):
            yield words, said
