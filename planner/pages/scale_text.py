"""Scales of a build as text: limits, windows, and candidates side by side.

Takes studies of scale, gives text of 80 columns. Works nothing out. A larger model has the smaller
N; charts run from the largest model at the left to the smallest at the right, each doubling as wide
as the last.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.model.names import in_names
from planner.model.ratio import in_ratio, in_ratio_within
from planner.pages.wording import WIDTH, columns, figure, folded, inert, name_said

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from planner.craft.window import Bound, Window
    from planner.estimate.scales import Opening, Relaxation, ScaleStudy, Trial, Use
    from planner.kinds import ScaleBound
    from planner.model.quantity import Quantity
    from planner.model.show import Show


_LABEL = 22
_CELL = 14
_ROWS_OF_USE = (
    "width",
    "depth",
    "height",
    "stop to hold",
    "matching stop",
    "exposure",
    "stops short",
    "light needed",
    "gravity rate",
    "rate",
    "nearest to lens",
    "focuses from",
    "stage hours",
)
_LABELS = {"stops short": "light, stops"}


def ratio(n: float) -> str:
    """``1:8.57``: three figures, as many as anyone builds to."""
    return in_ratio(n, 3)


def span(window: Window) -> str:
    """``1:3.71 to 1:4.57``, or what there is of it."""
    low, high = window.low.scale_denominator, window.high.scale_denominator
    if window.is_empty:
        return "none"
    from_ = in_ratio_within(low, at_least=True)
    if not window.is_bounded:
        return f"{from_} and smaller"
    return f"{from_} to {in_ratio_within(high, at_least=False)}"


def studies_text(studies: Sequence[ScaleStudy], show: Show, *, full: bool) -> str:
    """Every build's scales.

    Args:
        studies: one a build.
        show: for the names of stages.
        full: every limit and the comparison of scales also for builds that nothing is asked of.
    """
    bound = [each for each in studies if each.window.bounds or full]
    free = [each.window.build for each in studies if not (each.window.bounds or full)]
    blocks = ["\n".join(_study(each, show, full=full or _wants_looking_at(each))) for each in bound]
    if free:
        blocks.append(
            "\n".join(folded(f"Nothing limits the scale of {', '.join(map(name_said, free))}."))
        )
    if not full and blocks:
        more = "Name a build to see its every limit, and scales of it side by side."
        blocks.append(more)
    return "\n\n".join(blocks) + "\n" if blocks else "The show has no builds.\n"


def _wants_looking_at(study: ScaleStudy) -> bool:
    """Whether somebody must still choose, or the choice does not serve."""
    return study.window.chosen is None or bool(study.mends)


def _study(study: ScaleStudy, show: Show, *, full: bool) -> Iterator[str]:
    yield from folded(title_of(study))
    yield "-" * min(columns(title_of(study)), WIDTH)
    yield from _answer(study)
    if study.by_element:
        yield ""
        yield from _chart(study)
    if len(study.covers) != 1 or study.unserved:
        yield ""
        yield from _fewest(study)
    if full:
        yield ""
        yield from _limits(study.window.bounds)
        yield from _side_by_side(study, show)
        yield from _raised(study.trials, show)


def title_of(study: ScaleStudy) -> str:
    """The build, and what it is made at or still to be chosen from."""
    window = study.window
    if window.chosen is not None:
        return f"{name_said(window.build)}, made at {ratio(window.chosen.value)}"
    if window.candidates:
        options = ", ".join(ratio(each.value) for each in window.candidates)
        return f"{name_said(window.build)}, still to be chosen from {options}"
    return f"{name_said(window.build)}, no scale stated"


def _answer(study: ScaleStudy) -> Iterator[str]:
    """The window, what binds at each end, and what would open or mend it."""
    if not study.window.bounds:
        yield from folded(
            "Nothing limits its scale: state what is nearest, what must be sharp and the extent of"
            " what is seen, in the shots that use it."
        )
        return
    common = study.common
    yield from folded(answer_of(study))
    yield from folded(_binds(common.low, at_least=True), "  no larger: ")
    yield from folded(_binds(common.high, at_least=False), "  no smaller: ")
    if study.opening is not None:
        yield from _opening(study.opening)
    for each in study.mends:
        size = "smaller" if each.bound.at_least else "larger"
        limit = in_ratio_within(each.bound.limit.value, at_least=each.bound.at_least)
        said = (
            f"{ratio(each.wanted)} does not serve {name_said(each.bound.element)}:"
            f" {each.bound.limit.name}"
            f" asks for {limit} or {size}; it would serve with"
            f" {_given(each)}"
        )
        yield from folded(said, "  ! ", "    ")


def answer_of(study: ScaleStudy) -> str:
    """Which scales serve everything that uses the build, in a sentence."""
    if study.opening is not None:
        return "No single scale serves every element that uses it."
    users = len(study.by_element)
    whom = "the one element that uses it" if users == 1 else f"all {users} elements that use it"
    return f"{span(study.common)} serves {whom}."


def _binds(bound: Bound, *, at_least: bool) -> str:
    if math.isinf(bound.scale_denominator):
        return "nothing says how small it may be"
    if not bound.shot:
        return "full size, 1:1"
    limit = in_ratio_within(bound.scale_denominator, at_least=at_least)
    return f"{limit}, {bound.shot}: {bound.reason}"


def _given(each: Relaxation) -> str:
    """``more light: 1.3 stops``; ``lowest lens: 225 mm in place of 300 mm``."""
    needed = each.needed
    if needed.unit == "times":
        return f"{needed.name}: {needed.value:.2f} times what there is"
    if each.had is None:
        return f"{needed.name}: {needed.value:.1f} {needed.unit}"
    return f"{needed.name}: {_size(needed)} in place of {_size(each.had)}"


def _size(quantity: Quantity) -> str:
    """A number to three figures, which is as near as limits are known; money to the penny."""
    if len(quantity.unit) == 3 and quantity.unit.isupper():
        return figure(quantity.value, quantity.unit)
    return figure(float(f"{quantity.value:.3g}"), quantity.unit)


def _opening(opening: Opening) -> Iterator[str]:
    yield "To open it, one of:"
    for way, wanted in ((opening.smaller, "smaller"), (opening.larger, "larger")):
        if not way:
            continue
        needs = "; ".join(f"{name_said(each.bound.element)}, {_given(each)}" for each in way)
        scale = in_ratio_within(way[0].wanted, at_least=wanted == "smaller")
        yield from folded(f"make it {wanted}, {scale}: {needs}", "  - ")
    if opening.left_out:
        yield from folded(
            f"leave out {' and '.join(opening.left_out)}: {span(opening.rest)} serves the rest",
            "  - ",
        )


def _fewest(study: ScaleStudy) -> Iterator[str]:
    for element in study.unserved:
        own = study.by_element[element]
        yield from folded(
            f"No scale serves {element}: no larger than {_binds(own.low, at_least=True)};"
            f" no smaller than {_binds(own.high, at_least=False)}."
        )
    if len(study.covers) > 1:
        yield f"Fewest builds: {len(study.covers)}"
    for cover in study.covers if len(study.covers) > 1 else ():
        yield from folded(f"{span(cover.window)} for {', '.join(cover.elements)}", "  - ")


def _limits(bounds: Iterable[ScaleBound]) -> Iterator[str]:
    """Every limit, those that bind first; the same limit of several elements once.

    What would move a limit is said once, at the first that it would move.
    """
    moved: set[str] = set()
    for at_least, title in ((True, "No larger than"), (False, "No smaller than")):
        alike: dict[tuple[str, str, str], list[ScaleBound]] = {}
        held = [each for each in bounds if each.at_least == at_least]
        for each in sorted(held, key=lambda b: b.limit.value, reverse=at_least):
            said = in_ratio_within(each.limit.value, at_least=at_least)
            key = (said, each.limit.name, each.limit.reason)
            alike.setdefault(key, []).append(each)
        if alike:
            yield title
        for (said, name, reason), same in alike.items():
            whom = ", ".join(each.element for each in same)
            text = f"{whom}: {name}; {reason}."
            if same[0].relax not in moved:
                moved.add(same[0].relax)
                text += f" To move it: {same[0].relax}."
            at = "any" if at_least and same[0].limit.value <= 1 else said
            yield from folded(text, f"  {at:<8}", " " * 10)


def _chart(study: ScaleStudy) -> Iterator[str]:
    """One line an element; ``=`` where a scale serves it, the numbers beside it."""
    rows = [(name, span(each), each) for name, each in study.by_element.items()]
    if len(rows) > 1:
        rows.append(("all", span(study.common), study.common))
    widest = min(max(columns(inert(name)) for name, *_ in rows), 24)
    said = max(len(text) for _, text, _ in rows)
    room = WIDTH - widest - said - 6
    left, right = (ratio(n) for n in reach(study))
    yield " " * (widest + said + 5) + left + right.rjust(room - len(left))
    for name, text, each in rows:
        low, high = (
            round(share_across(study, end.scale_denominator) * (room - 1))
            for end in (each.low, each.high)
        )
        inside = range(low, high + 1) if not each.is_empty else ()
        bar = "".join("=" if at in inside else "-" for at in range(room))
        end = ">" if not each.is_bounded else "|"
        shown = inert(name)
        shown = shown if columns(shown) <= widest else shown[: widest - 1] + "~"
        yield f"{shown:<{widest}}  {text:<{said}}  |{bar}{end}"
    for trial in study.trials:
        at = round(share_across(study, trial.scale.value) * (room - 1))
        label = f"at {ratio(trial.scale.value)}"
        yield f"{label:<{widest + said + 5}}{' ' * at}^"


def reach(study: ScaleStudy) -> tuple[float, float]:
    """Ns at both ends of a chart: a little past every end and every scale tried."""
    windows = (study.common, *study.by_element.values())
    ends = [n for w in windows for n in (w.low.scale_denominator, w.high.scale_denominator)]
    ends = [n for n in ends if math.isfinite(n)] + [each.scale.value for each in study.trials]
    largest = max(min(ends) / 1.4, 1.0)
    return largest if largest > 1.4 else 1.0, max(max(ends) * 1.1, 2.0)


def share_across(study: ScaleStudy, n: float) -> float:
    """How far across a chart an N lies, 0 to 1."""
    largest, smallest = reach(study)
    part = math.log(max(n, largest) / largest) / math.log(smallest / largest)
    return min(part, 1.0)


def _side_by_side(study: ScaleStudy, show: Show) -> Iterator[str]:
    most = (WIDTH - _LABEL) // _CELL
    for first in range(0, len(study.trials), most):
        yield from _table(study, study.trials[first : first + most], show)


def _table(study: ScaleStudy, trials: Sequence[Trial], show: Show) -> Iterator[str]:
    yield ""
    yield _row("", [ratio(each.scale.value) for each in trials])[0]
    yield from _row("serves", [_served(study, each) for each in trials])
    for name in _names(each.numbers for each in trials):
        yield from _row(name, [_cell(each.numbers.get(name)) for each in trials])
        changes = [_change(each.changes.get(name)) for each in trials]
        if any(changes):
            yield from _row("  than as it stands", changes)
    yield from _stated_hours(study, show)
    for uses in zip(*(each.uses for each in trials), strict=True):
        yield from folded(uses[0].element)
        for name in _names((each.numbers for each in uses), _ROWS_OF_USE):
            cells = [_cell(each.numbers.get(name), show) for each in uses]
            yield from _row(f"  {_LABELS.get(name, name)}", cells)
        yield from _row("  stages", [_stages(each, show) for each in uses])


def _stated_hours(study: ScaleStudy, show: Show) -> Iterator[str]:
    """Where somebody stated outright the hours to make it, which then are the same at any scale."""
    build = show.elements.get(study.window.build)
    if build is not None and build.facts.has("hours"):
        place = build.facts.place_of("hours")
        said = f"Hours to make it are stated outright ({place.file}:{place.line})"
        yield from folded(f"{said} and do not follow the scale.")


def _names(numbers: Iterable[Mapping[str, Quantity]], order: Sequence[str] = ()) -> tuple[str, ...]:
    """Names that any of them holds, in `order` or as they come."""
    held = dict.fromkeys(name for each in numbers for name in each)
    return tuple(name for name in order if name in held) if order else tuple(held)


def _row(label: str, cells: Sequence[str]) -> list[str]:
    """One row, its cells to the right of theirs; a long cell goes on below."""
    heads = folded(label, width=_LABEL - 1) if not label.startswith("  ") else [label]
    width = (WIDTH - _LABEL) // len(cells)
    stacks = [folded(each, width=width - 2) if each else [""] for each in cells]
    height = max(len(heads), *(len(each) for each in stacks))
    return [
        (
            f"{heads[i] if i < len(heads) else '':<{_LABEL}}"
            + "".join(f"{each[i] if i < len(each) else '':>{width}}" for each in stacks)
        ).rstrip()
        for i in range(height)
    ]


def _served(study: ScaleStudy, trial: Trial) -> str:
    served = [each for each in study.by_element.values() if each.admits(trial.scale.value)]
    return f"{len(served)} of {len(study.by_element)}"


def _cell(quantity: Quantity | None, show: Show | None = None) -> str:
    if quantity is None:
        return "-"
    if quantity.unit == "lx" and show is not None and _says_foot_candles(show):
        return figure(float(f"{quantity.value:.3g}"), "lx", foot_candles=True)
    if quantity.unit == "stops":
        return f"{abs(quantity.value):.1f} {'short' if quantity.value > 0 else 'to spare'}"
    if quantity.unit == "s" and quantity.value < 0.2:
        return f"1/{1 / quantity.value:.0f} s"
    return _size(quantity) if quantity.unit != "1" else f"{quantity.value:,.0f}"


def _says_foot_candles(show: Show) -> bool:
    """Whether the show states any light in foot-candles."""
    facts = (show.facts.group("camera"), *(each.facts for each in show.elements.values()))
    lights = (each.number("light") for each in facts if each.has("light"))
    return any(light is not None and light.text.endswith("fc") for light in lights)


def _change(quantity: Quantity | None) -> str:
    """``+20.72 GBP``; empty where it comes to nothing."""
    if quantity is None or abs(quantity.value) < 0.05:
        return ""
    value = quantity.value
    return f"{value:+,.0f}" if quantity.unit == "1" else f"{'+' * (value > 0)}{_size(quantity)}"


def _stages(use: Use, show: Show) -> str:
    titles = [show.resources[each].title or each for each in use.stages if each in show.resources]
    return ", ".join(titles) or "none"


def _raised(trials: Sequence[Trial], show: Show) -> Iterator[str]:
    """Findings of each scale tried, those of every scale said once."""
    every = [{(each.about, each.code) for each in trial.problems} for trial in trials]
    common = set.intersection(*every) if len(trials) > 1 else set()
    for trial in trials:
        own = [each for each in trial.problems if (each.about, each.code) not in common]
        yield ""
        if not own:
            yield f"{ratio(trial.scale.value)} raises nothing" + (" more." if common else ".")
            continue
        yield f"{ratio(trial.scale.value)} raises"
        for each in sorted(own):
            mark = each.severity.name.lower()
            said = f"{name_said(each.about)}: {in_names(each.message, show)} [{each.code}]"
            yield from folded(said, f"  {mark}: ", "    ")
            yield from folded(in_names(each.remedy, show), "    do: ") if each.remedy else ()
    if common:
        codes = ", ".join(f"{about} {code}" for about, code in sorted(common))
        yield ""
        yield from folded(f"Whatever the scale: {codes}")
