"""Scales of builds as one SVG drawing.

Takes studies of scale, gives SVG that can be read in grey and by a screen reader. Works nothing
out: charts run as those in `scale_text` do.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

from planner.model.ratio import in_ratio_within
from planner.pages.scale_text import answer_of, ratio, reach, share_across, span, title_of
from planner.pages.wording import inert

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from planner.craft.window import Window
    from planner.estimate.scales import ScaleStudy


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
    return f"{title_of(study)}. All together: {span(study.common)}. {rows}."


def _panel(study: ScaleStudy) -> tuple[str, float]:
    """One build's drawing and its height."""
    chips = _chips(study)
    top = _HEAD + _CHIP * (1 + max((level for *_, level in chips), default=-1))
    bottom = top + _ROW * len(study.by_element)
    parts = [
        _words(20, 24, title_of(study), size=17, bold=True),
        _words(20, 46, answer_of(study), size=14),
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
    return _LEFT + share_across(study, n) * (_RIGHT - _LEFT)


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
    largest, smallest = reach(study)
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
        is_low = bound is window.low
        said = in_ratio_within(n, at_least=is_low) if math.isfinite(n) else "and on"
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
