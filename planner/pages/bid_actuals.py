"""Where the money stands, as text.

Takes what was posted against the bid, gives text of 80 columns, with a block to paste into
history.yaml. Works nothing out.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from planner.pages.wording import folded

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.bid.actuals import Spent, Standing, TechniqueRatio


NONE_YET = "Nothing is posted yet: actuals.csv in the show's folder has no rows, or is not there."


def actuals_text(standing: Standing, name: str, currency: str) -> str:
    """Spent, to go and at completion, line by line, then by week and by technique.

    Where nothing is posted yet, a sentence says so.

    Args:
        standing: of what was posted.
        name: of the bid it is held against: ``revision 2``.
        currency: of the sums.
    """
    if not standing.rows:
        return "".join(f"{row}\n" for row in folded(NONE_YET))
    lines = [f"actuals against {name}, in {currency}, before loads", ""]
    lines.append(f"{'':22}{'bid':>14}{'spent':>14}{'to go':>14}{'at completion':>16}")
    for row in standing.rows:
        lines += _row(row)
    lines += ["", f"{'spent':66}{standing.spent:>14,.2f}", f"{'to go':66}{standing.to_go:>14,.2f}"]
    lines.append(f"{'at completion':66}{standing.at_completion:>14,.2f}")
    lines.append(f"{'bid':66}{standing.bid:>14,.2f}")
    lines.append(f"{'over the bid':66}{standing.at_completion - standing.bid:>+14,.2f}")
    lines += ["", "by week"]
    lines += (f"  {week}{each:>68,.2f}" for week, each in standing.by_week.items())
    if standing.ratios:
        lines += ["", "hours spent over hours bid, of finished lines"]
        lines += (_ratio(each) for each in standing.ratios)
        lines += ["", "For history.yaml, from which `platewright calibrate` learns:", ""]
        lines += ["techniques:", *map(_technique, standing.ratios)]
    return "".join(f"{line}\n" for line in lines)


def _row(row: Spent) -> Iterator[str]:
    said = f"{row.element}: {row.what}" if row.element else row.what
    yield from folded(f"{said}; dead, to be made again" if row.is_dead else said, "", "  ")
    bid = "not in it" if row.bid is None else f"{row.bid:,.2f}"
    to_go = "finished" if row.is_finished else f"{row.to_go:,.2f}"
    yield f"{'':22}{bid:>14}{row.cost:>14,.2f}{to_go:>14}{row.at_completion:>16,.2f}"


def _ratio(each: TechniqueRatio) -> str:
    said = f"{each.spent:,.4g} h for {each.estimated:,.4g} h"
    return f"  {each.technique:36}{said:>30}{each.ratio:>12.2f}"


def _technique(each: TechniqueRatio) -> str:
    name = json.dumps(each.technique, ensure_ascii=False)
    return (
        f"  - {{technique: {name}, estimated: {each.estimated:.10g} h, spent: {each.spent:.10g} h}}"
    )
