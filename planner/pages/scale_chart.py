"""Scales of a build: limits, windows, and candidates side by side, as text, SVG and JSON.

Takes studies of scale, gives text of 80 columns, a drawing that can be read in grey and by a screen
reader, and JSON. Works nothing out. A larger model has the smaller N; charts run from the
largest model at the left to the smallest at the right, each doubling as wide as the last.
"""

from __future__ import annotations

import json
import math
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

from planner.model.place import Severity
from planner.pages.machine import quantity_json
from planner.pages.wording import WIDTH, columns, figure, folded, inert

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


# Words --------------------------------------------------------------------------------------


def ratio(n: float) -> str:
    """``1:8.57``: three figures, as many as anyone builds to."""
    return f"1:{float(f'{n:.3g}'):g}" if n < 1000 else f"1:{n:.0f}"


def span(window: Window) -> str:
    """``1:3.71 to 1:4.57``, or what there is of it."""
    low, high = window.low.scale_denominator, window.high.scale_denominator
    if window.is_empty:
        return "none"
    return f"{ratio(low)} to {ratio(high)}" if window.is_bounded else f"{ratio(low)} and smaller"


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
        blocks.append("\n".join(folded(f"Nothing limits the scale of {', '.join(free)}.")))
    if not full and blocks:
        more = "Name a build to see its every limit, and scales of it side by side."
        blocks.append(more)
    return "\n\n".join(blocks) + "\n" if blocks else "The show has no builds.\n"


def _wants_looking_at(study: ScaleStudy) -> bool:
    """Whether somebody must still choose, or the choice does not serve."""
    return study.window.chosen is None or bool(study.mends)


def _study(study: ScaleStudy, show: Show, *, full: bool) -> Iterator[str]:
    yield from folded(_title(study))
    yield "-" * min(columns(_title(study)), WIDTH)
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
        yield from _raised(study.trials)


def _title(study: ScaleStudy) -> str:
    window = study.window
    if window.chosen is not None:
        return f"{window.build}, made at {ratio(window.chosen.value)}"
    if window.candidates:
        options = ", ".join(ratio(each.value) for each in window.candidates)
        return f"{window.build}, still to be chosen from {options}"
    return f"{window.build}, no scale stated"


def _answer(study: ScaleStudy) -> Iterator[str]:
    """The window, what binds at each end, and what would open or mend it."""
    if not study.window.bounds:
        yield from folded(
            "Nothing limits its scale: state what is nearest, what must be sharp and the extent of"
            " what is seen, in the shots that use it."
        )
        return
    common = study.common
    yield from folded(_answered(study))
    yield from folded(_binds(common.low), "  no larger: ")
    yield from folded(_binds(common.high), "  no smaller: ")
    if study.opening is not None:
        yield from _opening(study.opening)
    for each in study.mends:
        size = "smaller" if each.bound.at_least else "larger"
        said = (
            f"{ratio(each.wanted)} does not serve {each.bound.element}: {each.bound.limit.name}"
            f" asks for {ratio(each.bound.limit.value)} or {size}; it would serve with"
            f" {_given(each)}"
        )
        yield from folded(said, "  ! ", "    ")


def _answered(study: ScaleStudy) -> str:
    if study.opening is not None:
        return "No single scale serves every element that uses it."
    users = len(study.by_element)
    whom = "the one element that uses it" if users == 1 else f"all {users} elements that use it"
    return f"{span(study.common)} serves {whom}."


def _binds(bound: Bound) -> str:
    if math.isinf(bound.scale_denominator):
        return "nothing says how small it may be"
    if not bound.shot:
        return "full size, 1:1"
    return f"{ratio(bound.scale_denominator)}, {bound.shot}: {bound.reason}"


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
        needs = "; ".join(f"{each.bound.element}, {_given(each)}" for each in way)
        yield from folded(f"make it {wanted}, {ratio(way[0].wanted)}: {needs}", "  - ")
    if opening.left_out:
        yield from folded(
            f"leave out {' and '.join(opening.left_out)}: {span(opening.rest)} serves the rest",
            "  - ",
        )


def _fewest(study: ScaleStudy) -> Iterator[str]:
    for element in study.unserved:
        own = study.by_element[element]
        yield from folded(
            f"No scale serves {element}: no larger than {_binds(own.low)}; no smaller than"
            f" {_binds(own.high)}."
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
            key = (ratio(each.limit.value), each.limit.name, each.limit.reason)
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


# Chart in words -----------------------------------------------------------------------------


def _chart(study: ScaleStudy) -> Iterator[str]:
    """One line an element; ``=`` where a scale serves it, the numbers beside it."""
    rows = [(name, span(each), each) for name, each in study.by_element.items()]
    if len(rows) > 1:
        rows.append(("all", span(study.common), study.common))
    widest = min(max(columns(inert(name)) for name, *_ in rows), 24)
    said = max(len(text) for _, text, _ in rows)
    room = WIDTH - widest - said - 6
    left, right = (ratio(n) for n in _reach(study))
    yield " " * (widest + said + 5) + left + right.rjust(room - len(left))
    for name, text, each in rows:
        low, high = (
            round(_share(study, end.scale_denominator) * (room - 1))
            for end in (each.low, each.high)
        )
        inside = range(low, high + 1) if not each.is_empty else ()
        bar = "".join("=" if at in inside else "-" for at in range(room))
        end = ">" if not each.is_bounded else "|"
        shown = inert(name)
        shown = shown if columns(shown) <= widest else shown[: widest - 1] + "~"
        yield f"{shown:<{widest}}  {text:<{said}}  |{bar}{end}"
    for trial in study.trials:
        at = round(_share(study, trial.scale.value) * (room - 1))
        label = f"at {ratio(trial.scale.value)}"
        yield f"{label:<{widest + said + 5}}{' ' * at}^"


def _reach(study: ScaleStudy) -> tuple[float, float]:
    """Ns at both ends of a chart: a little past every end and every scale tried."""
    windows = (study.common, *study.by_element.values())
    ends = [n for w in windows for n in (w.low.scale_denominator, w.high.scale_denominator)]
    ends = [n for n in ends if math.isfinite(n)] + [each.scale.value for each in study.trials]
    largest = max(min(ends) / 1.4, 1.0)
    return largest if largest > 1.4 else 1.0, max(max(ends) * 1.1, 2.0)


def _share(study: ScaleStudy, n: float) -> float:
    """How far across a chart an N lies, 0 to 1."""
    largest, smallest = _reach(study)
    part = math.log(max(n, largest) / largest) / math.log(smallest / largest)
    return min(part, 1.0)


# Side by side -------------------------------------------------------------------------------


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
    for uses in zip(*(each.uses for each in trials), strict=True):
        yield from folded(uses[0].element)
        for name in _names((each.numbers for each in uses), _ROWS_OF_USE):
            cells = [_cell(each.numbers.get(name)) for each in uses]
            yield from _row(f"  {_LABELS.get(name, name)}", cells)
        yield from _row("  stages", [_stages(each, show) for each in uses])


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


def _cell(quantity: Quantity | None) -> str:
    if quantity is None:
        return "-"
    if quantity.unit == "stops":
        return f"{abs(quantity.value):.1f} {'short' if quantity.value > 0 else 'to spare'}"
    if quantity.unit == "s" and quantity.value < 0.2:
        return f"1/{1 / quantity.value:.0f} s"
    return _size(quantity) if quantity.unit != "1" else f"{quantity.value:,.0f}"


def _change(quantity: Quantity | None) -> str:
    """``+20.72 GBP``; empty where it comes to nothing."""
    if quantity is None or abs(quantity.value) < 0.05:
        return ""
    value = quantity.value
    return f"{value:+,.0f}" if quantity.unit == "1" else f"{'+' * (value > 0)}{_size(quantity)}"


def _stages(use: Use, show: Show) -> str:
    titles = [show.resources[each].title or each for each in use.stages if each in show.resources]
    return ", ".join(titles) or "none"


def _raised(trials: Sequence[Trial]) -> Iterator[str]:
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
            mark = "error" if each.severity is Severity.ERROR else "warning"
            yield from folded(f"{each.about}: {each.message} [{each.code}]", f"  {mark}: ", "    ")
            yield from folded(each.remedy, "    do: ") if each.remedy else ()
    if common:
        codes = ", ".join(f"{about} {code}" for about, code in sorted(common))
        yield ""
        yield from folded(f"Whatever the scale: {codes}")


# Drawing ------------------------------------------------------------------------------------

# Okabe-Ito hues; what they say is also said in words, by shape or by thickness.
_BLUE, _SKY, _VERMILION, _INK, _GREY = "#0072B2", "#56B4E9", "#D55E00", "#1A1A1A", "#595959"
_MARKS = (1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 48, 64, 96, 128, 192, 256, 384, 512, 768, 1024)
_WIDE, _LEFT, _RIGHT = 960.0, 268.0, 868.0
_HEAD, _ROW, _FOOT, _CHIP = 84.0, 48.0, 58.0, 17.0
_NAME_LETTERS, _REASON_LETTERS = 26, 108
_FACE = "Helvetica Neue, Helvetica, Arial, Liberation Sans, sans-serif"


def studies_svg(studies: Sequence[ScaleStudy]) -> str:
    """The scales of builds as one SVG drawing; those that nothing limits are left out.

    Every bar has its numbers at its ends and, below it, what sets them.
    """
    held = [each for each in studies if each.window.bounds and each.by_element]
    panels, top = [], 12.0
    for study in held:
        body, height = _panel(study)
        panels.append(f'<g transform="translate(0 {top:.0f})">{body}</g>')
        top += height
    names = ", ".join(each.window.build for each in held) or "no build"
    told = " ".join(_in_a_sentence(each) for each in held) or "Nothing limits any build's scale."
    top = max(top, 40.0)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDE:.0f} {top:.0f}"'
        f' width="{_WIDE:.0f}" height="{top:.0f}" role="img" aria-labelledby="title desc"'
        f' font-family="{_FACE}" font-size="13">'
        f'<title id="title">{_safe(f"Scales that serve {names}")}</title>'
        f'<desc id="desc">{_safe(told)}</desc>'
        '<defs><pattern id="gap" width="7" height="7" patternUnits="userSpaceOnUse"'
        ' patternTransform="rotate(45)">'
        f'<line y2="7" stroke="{_VERMILION}" stroke-width="2"/></pattern></defs>'
        f'<rect width="100%" height="100%" fill="#FFFFFF"/>{"".join(panels)}</svg>\n'
    )


def _in_a_sentence(study: ScaleStudy) -> str:
    rows = "; ".join(f"{name} {span(each)}" for name, each in study.by_element.items())
    return f"{_title(study)}. All together: {span(study.common)}. {rows}."


def _panel(study: ScaleStudy) -> tuple[str, float]:
    """One build's drawing and its height."""
    chips = _chips(study)
    top = _HEAD + _CHIP * (1 + max((level for *_, level in chips), default=-1))
    bottom = top + _ROW * len(study.by_element)
    parts = [
        _words(20, 24, _title(study), size=17, bold=True),
        _words(20, 46, _answered(study), size=14),
        *_axis(study, top, bottom),
        *_common(study, top, bottom),
    ]
    for x, label, level in chips:
        y = _HEAD + _CHIP * level
        parts += [
            _line(x, y + 4, x, bottom, _INK, 1.5, dash="5 3"),
            _words(x, y, label, size=12, bold=True, anchor="middle"),
        ]
    for row, (name, window) in enumerate(study.by_element.items()):
        parts += _bar(study, name, window, top + _ROW * row)
    return "".join(parts), bottom + _FOOT


def _x(study: ScaleStudy, n: float) -> float:
    return _LEFT + _share(study, n) * (_RIGHT - _LEFT)


def _chips(study: ScaleStudy) -> list[tuple[float, str, int]]:
    """Place, words and level of each scale tried, on levels that keep them apart."""
    ends = [-math.inf] * (len(study.trials) + 1)
    chips = []
    for trial in study.trials:
        n = trial.scale.value
        is_chosen = study.window.chosen is not None and study.window.chosen.value == n
        x = _x(study, n)
        level = next(i for i, end in enumerate(ends) if x - end > 84)
        ends[level] = x
        chips.append((x, f"{'made at' if is_chosen else 'tried'} {ratio(n)}", level))
    return chips


def _axis(study: ScaleStudy, top: float, bottom: float) -> Iterator[str]:
    last = -math.inf
    largest, smallest = _reach(study)
    for n in _MARKS:
        x = _x(study, n)
        if not largest <= n <= smallest or x - last < 36:
            continue
        last = x
        yield _line(x, top, x, bottom, "#D0D0D0", 1)
        yield _words(x, bottom + 17, ratio(n), size=12, anchor="middle", ink=_GREY)
    yield _words(_LEFT - 64, bottom + 17, "larger", size=12, ink=_GREY)
    yield _words(_RIGHT + 76, bottom + 17, "smaller", size=12, anchor="end", ink=_GREY)


def _common(study: ScaleStudy, top: float, bottom: float) -> Iterator[str]:
    """The scales that serve all, or the gap where none does, with words below."""
    low = _x(study, study.common.low.scale_denominator)
    high = _x(study, study.common.high.scale_denominator)
    start, wide = min(low, high), max(abs(high - low), 1.0)
    box = f'<rect x="{start:.1f}" y="{top:.1f}" width="{wide:.1f}" height="{bottom - top:.1f}"'
    if study.opening is None:
        yield f'{box} fill="{_SKY}" fill-opacity="0.22" stroke="{_BLUE}" stroke-dasharray="2 2"/>'
        said = f"{span(study.common)} serves all"
    else:
        yield f'{box} fill="url(#gap)" fill-opacity="0.45" stroke="{_VERMILION}"/>'
        said = "no scale serves all"
    middle = min(max(start + wide / 2, _LEFT + 60), _RIGHT - 60)
    yield _words(middle, bottom + 36, said, bold=True, anchor="middle")


def _bar(study: ScaleStudy, name: str, window: Window, y: float) -> Iterator[str]:
    """One element: its name, its bar with a number at each end, what sets them below."""
    low, high = (_x(study, each.scale_denominator) for each in (window.low, window.high))
    chosen = study.window.chosen
    misses = chosen is not None and not window.admits(chosen.value)
    yield _words(20, y + 21, _cut(name, _NAME_LETTERS), bold=True)
    if window.is_empty:
        yield _words(_LEFT + 8, y + 21, "no scale serves it", ink=_VERMILION, bold=True)
    else:
        fill = "#FFFFFF" if misses else _BLUE
        yield (
            f'<rect x="{low:.1f}" y="{y + 10:.1f}" width="{max(high - low, 2):.1f}" height="14"'
            f' fill="{fill}" stroke="{_BLUE}" stroke-width="2"/>'
        )
        yield from _ends(study, window, (low, high), y)
    said = f"no larger: {window.low.reason}; no smaller: {window.high.reason}"
    said = f"not at {ratio(chosen.value)}; {said}" if misses and chosen else said
    yield _words(_LEFT, y + 40, _cut(said, _REASON_LETTERS), size=11.5, ink=_GREY, halo=True)


def _ends(
    study: ScaleStudy, window: Window, places: tuple[float, float], y: float
) -> Iterator[str]:
    """Numbers at both ends of a bar; a heavy mark where the end binds all."""
    common = (study.common.low, study.common.high)
    for x, bound, binding, anchor in zip(
        places, (window.low, window.high), common, ("end", "start"), strict=True
    ):
        away = -7 if anchor == "end" else 7
        binds = bound.shot != "" and bound.scale_denominator == binding.scale_denominator
        if binds:
            yield _line(x, y + 4, x, y + 30, _VERMILION, 5)
        n = bound.scale_denominator
        said = ratio(n) if math.isfinite(n) else "and on"
        yield _words(x + away, y + 21, said, size=12.5, anchor=anchor, bold=binds, halo=True)


def _line(x1: float, y1: float, x2: float, y2: float, ink: str, wide: float, dash: str = "") -> str:  # noqa: PLR0913, PLR0917 - a line has that many numbers
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{ink}"'
        f' stroke-width="{wide:g}"{dashes}/>'
    )


def _words(  # noqa: PLR0913 - one a property of text
    x: float,
    y: float,
    text: str,
    *,
    size: float = 13,
    bold: bool = False,
    anchor: str = "start",
    ink: str = _INK,
    halo: bool = False,
) -> str:
    look = ' font-weight="bold"' if bold else ""
    look += ' stroke="#FFFFFF" stroke-width="3" paint-order="stroke"' if halo else ""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size:g}" text-anchor="{anchor}" fill="{ink}"'
        f"{look}>{_safe(text)}</text>"
    )


def _cut(text: str, letters: int) -> str:
    text = inert(text)
    return text if len(text) <= letters else text[: letters - 1] + "\u2026"


def _safe(text: str) -> str:
    """Text that no reader of SVG takes for anything else."""
    return escape(inert(text), {'"': "&quot;"})


# JSON ---------------------------------------------------------------------------------------


def studies_json(studies: Iterable[ScaleStudy]) -> str:
    """Everything of every study, for other programs."""
    return json.dumps([_study_json(each) for each in studies], indent=2, ensure_ascii=False)


def _study_json(study: ScaleStudy) -> dict[str, object]:
    window, opening = study.window, study.opening
    return {
        "build": window.build,
        "chosen": window.chosen.value if window.chosen else None,
        "candidates": [each.value for each in window.candidates],
        "window": _window_json(study.common),
        "by_element": {name: _window_json(each) for name, each in study.by_element.items()},
        "bounds": [_bound_json(each) for each in window.bounds],
        "opening": opening
        and {
            "smaller": [_relaxation_json(each) for each in opening.smaller],
            "larger": [_relaxation_json(each) for each in opening.larger],
            "left_out": list(opening.left_out),
            "rest": _window_json(opening.rest),
        },
        "fewest_builds": [
            {"window": _window_json(each.window), "elements": list(each.elements)}
            for each in study.covers
        ],
        "unserved": list(study.unserved),
        "mends": [_relaxation_json(each) for each in study.mends],
        "scales": [_trial_json(each) for each in study.trials],
    }


def _window_json(window: Window) -> dict[str, object]:
    return {
        "empty": window.is_empty,
        "at_least": _end_json(window.low),
        "at_most": _end_json(window.high) if window.is_bounded else None,
    }


def _end_json(bound: Bound) -> dict[str, object]:
    return {"n": bound.scale_denominator, "element": bound.shot, "reason": bound.reason}


def _bound_json(bound: ScaleBound) -> dict[str, object]:
    return {
        "element": bound.element,
        "at_least": bound.at_least,
        "limit": quantity_json(bound.limit),
        "relax": bound.relax,
    }


def _relaxation_json(each: Relaxation) -> dict[str, object]:
    return {
        "element": each.bound.element,
        "limit": each.bound.limit.name,
        "wanted": each.wanted,
        "needed": quantity_json(each.needed),
        "had": quantity_json(each.had) if each.had else None,
    }


def _trial_json(trial: Trial) -> dict[str, object]:
    return {
        "scale": trial.scale.value,
        "numbers": {name: quantity_json(each) for name, each in trial.numbers.items()},
        "changes": {name: quantity_json(each) for name, each in trial.changes.items()},
        "breaks": [f"{each.element}: {each.limit.name}" for each in trial.broken],
        "uses": [
            {
                "element": use.element,
                "stages": list(use.stages),
                "numbers": {name: quantity_json(each) for name, each in use.numbers.items()},
            }
            for use in trial.uses
        ],
        "problems": [
            {
                "severity": each.severity.name.lower(),
                "code": each.code,
                "about": each.about,
                "message": each.message,
                "remedy": each.remedy,
            }
            for each in trial.problems
        ],
    }
