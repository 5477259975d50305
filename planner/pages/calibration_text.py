"""What finished shots say of the rules of thumb, and the lines to paste into show.yaml.

Takes a `Calibration`, gives text of 80 columns. Works nothing out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.model.names import counted
from planner.pages.wording import folded, inert

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.estimate.calibration import Calibration, Fit, Fitted, Ratio
    from planner.kinds import Hours

FIGURES = 4
"""Of a coefficient: more than the shots warrant, so that nothing is lost by pasting it."""


def calibration_text(calibration: Calibration) -> str:
    """Each craft with its rules before and after, estimates against actuals, then the block."""
    blocks = ["\n".join(_fit(each)) for each in calibration.fits]
    if calibration.ratios:
        said = (line for each in calibration.ratios for line in _ratio(each))
        blocks.append("\n".join(["Hours spent over hours estimated", *said]))
    pasted = [line for fit in calibration.fits for line in _pasted(fit)]
    if pasted:
        blocks.append("\n".join(["To take them, write in show.yaml:", "", "rules:", *pasted]))
    return "\n\n".join(blocks or ["The history holds no finished shots."]) + "\n"


def _fit(fit: Fit) -> Iterator[str]:
    yield f"{fit.title[0].upper()}{inert(fit.title[1:])}: {counted(fit.shots, 'finished shot')}"
    if fit.left_out:
        yield from folded(f"left out, for want of figures: {', '.join(fit.left_out)}", "  ")
    if fit.refused:
        yield from folded(f"Nothing is fitted: {fit.refused}.", "  ")
        return
    yield from (line for each in fit.fitted for line in _fitted(each))
    said = (
        f"They leave {_plain(fit.residual)} h of a shot unexplained (one standard deviation), which"
        f" {fit.fitted[0].rule.name} carries as its range."
    )
    yield from folded(said, "  ")


def _fitted(fitted: Fitted) -> Iterator[str]:
    rule = fitted.rule
    old = f"{_plain(rule.low)} / {_plain(rule.likely)} / {_plain(rule.high)}"
    if fitted.new is None:
        said = f"{rule.name}  {old} {rule.unit}, kept: {fitted.why}"
    else:
        why = f"; {fitted.why}" if fitted.why else ""
        said = f"{rule.name}  {old} -> {_range(fitted.new)} {rule.unit}{why}"
    yield from folded(said, "  ", "      ")


def _range(hours: Hours) -> str:
    return f"{_plain(hours.low)} / {_plain(hours.likely)} / {_plain(hours.high)}"


def _ratio(ratio: Ratio) -> Iterator[str]:
    said = (
        f"{ratio.technique}: {_plain(ratio.ratio)} ({_plain(ratio.spent)} h over"
        f" {_plain(ratio.estimated)} h, {counted(ratio.shots, 'shot')}, {_plain(ratio.low)} to"
        f" {_plain(ratio.high)})"
    )
    yield from folded(said, "  ", "      ")
    for why in ratio.whys:
        yield from folded(why, "      why: ", "           ")


def _pasted(fit: Fit) -> Iterator[str]:
    by = f"{fit.title.replace(',', ' of')}, {counted(fit.shots, 'finished shot')}"
    for each in fit.fitted:
        if each.new is not None:
            new = each.new
            yield f"  {each.rule.name}:"
            yield f"    low: {_plain(new.low)}"
            yield f"    likely: {_plain(new.likely)}"
            yield f"    high: {_plain(new.high)}"
            yield f'    by: "{by}"'


def _plain(value: float) -> str:
    """Four figures, never with an exponent or thousands set apart: YAML must read it back."""
    rounded = float(f"{value:.{FIGURES}g}")
    return f"{rounded:.6f}".rstrip("0").rstrip(".") or "0"
