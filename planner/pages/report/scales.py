"""Scales of builds: which serve every shot, as bars with their numbers beside them.

Takes the matter of a page, gives a section. Works nothing out but lengths of bars.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.pages.report.section import Section, rendered
from planner.pages.scale_text import answer_of, ratio, span, title_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.craft.window import Window
    from planner.estimate.scales import ScaleStudy
    from planner.pages.report.matter import Matter

_DRAWN = 30  # builds drawn; of more than these a line is enough


def scales(matter: Matter) -> Section | None:
    """One table a build, those that want a decision or a remedy first."""
    if not matter.studies or not matter.is_first:
        return None
    ordered = sorted(matter.studies, key=lambda each: not _wants_looking_at(each))
    html = rendered(
        "scales.html",
        builds=[_build(each, matter) for each in ordered[:_DRAWN]],
        others=[(title_of(each), answer_of(each)) for each in ordered[_DRAWN:]],
    )
    return Section("scales", "Scales of builds", html, "Scales")


def _wants_looking_at(study: ScaleStudy) -> bool:
    return study.window.chosen is None or bool(study.mends) or study.opening is not None


def _build(study: ScaleStudy, matter: Matter) -> dict[str, object]:
    chosen = study.window.chosen
    marks = [chosen.value] if chosen else [each.value for each in study.window.candidates]
    ends = _reach(study, marks)
    rows = [
        {
            "name": name,
            "link": matter.link(name),
            "span": span(window),
            "misses": bool(chosen and not window.admits(chosen.value)),
            "bar": _bar(ends, window),
            "sets": _sets(window),
        }
        for name, window in study.by_element.items()
    ]
    return {
        "id": study.window.build,
        "link": matter.link(study.window.build),
        "title": title_of(study),
        "answer": answer_of(study),
        "ends": f"Bars run from {ratio(ends[0])}, largest, to {ratio(ends[1])}, smallest",
        "marks": f"; the upright line stands at {', '.join(map(ratio, marks))}" if marks else "",
        "lines": [_across(ends, n) for n in marks],
        "rows": rows,
        "chosen": ratio(chosen.value) if chosen else "",
    }


def _bar(ends: tuple[float, float], window: Window) -> str:
    """Where a bar begins and ends, hundredths of the plot; nowhere for an empty window."""
    if window.is_empty:
        return "--l:0;--h:0"
    low, high = (_across(ends, each.scale_denominator) for each in (window.low, window.high))
    return f"--l:{low};--h:{high}"


def _reach(study: ScaleStudy, marks: Sequence[float]) -> tuple[float, float]:
    """Ns at both ends of a plot: a little past every end of a bar and every mark."""
    windows = study.by_element.values()
    held = [n for w in windows for n in (w.low.scale_denominator, w.high.scale_denominator)]
    held = [*(n for n in held if math.isfinite(n)), *marks]
    return max(min(held) / 1.2, 1.0), max(max(held) * 1.2, 2.0)


def _across(ends: tuple[float, float], n: float) -> str:
    """How far across a plot an N lies, hundredths; each doubling is as wide as the last."""
    largest, smallest = ends
    part = math.log(min(max(n, largest), smallest) / largest) / math.log(smallest / largest)
    return f"{100 * part:.3g}"


def _sets(window: Window) -> str:
    """What sets each end, in words."""
    said = []
    if window.low.shot:
        said.append(f"no larger: {window.low.reason}")
    if window.high.shot and math.isfinite(window.high.scale_denominator):
        said.append(f"no smaller: {window.high.reason}")
    return "; ".join(said)
