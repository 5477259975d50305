"""Ways of making one thing, side by side.

Takes the choices between methods with their prices, gives text of 80 columns or JSON. Works nothing
out.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from planner.pages.wording import figure, folded, name_said

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from planner.bid import Choice, Method
    from planner.model.facts import Facts

_WHY = (("for", "for"), ("against", "against"), ("reopen", "open again if"))


def alternatives_text(choices: Sequence[Choice], currency: str) -> str:
    """Each choice with its methods: cost with loads, difference, days, and the reasons given."""
    if not choices:
        return "nothing in the show has more than one way of making it\n"
    lines = [f"ways of making one thing, in {currency}, loads included"]
    for choice in choices:
        lines += ["", f"{choice.shot or 'outside shots'}, priced on {choice.day}"]
        for method in choice.methods:
            lines += _method(method)
    return "".join(f"{line.rstrip()}\n" for line in lines)


def _method(method: Method) -> Iterator[str]:
    total = method.total
    yield f"  {name_said(method.element):<40}{total.likely:>18,.2f}{_difference(method):>20}"
    state = "made, and in the bid" if method.is_made else "not made, and not in the bid"
    days = figure(round(method.days.value, 1), "days")
    span = f"{total.low:,.2f} to {total.high:,.2f}; {days} on end"
    yield from folded(f"{_verdict(method)}; {state}; {span}", "    ")
    if method.says:
        yield from folded(method.says, "    ")
    for name, words in _WHY:
        if said := method.why.word(name):
            yield from folded(f"{words}: {said}", "    ", "      ")
    if len(method.parts) > 1:
        others = ", ".join(name_said(each) for each in method.parts if each != method.element)
        yield from folded(f"with {others}", "    ", "      ")
    if method.differs:
        yield "    of the difference, before loads:"
    for craft, amount in method.differs.items():
        yield f"      {craft.replace('_', ' '):<54}{amount:>+20,.2f}"


def _difference(method: Method) -> str:
    return f"{method.dearer:+,.2f}" if method.dearer else ""


def _verdict(method: Method) -> str:
    by, day = method.why.word("by"), method.why.day("on")
    return f"{method.verdict}{f' by {by}' if by else ''}{f' on {day}' if day else ''}"


def alternatives_json(choices: Sequence[Choice]) -> str:
    """The same for other programs; sums are text, so that no cent is lost."""
    return json.dumps(
        [
            {
                "shot": choice.shot,
                "day": choice.day.isoformat(),
                "methods": [_as_json(method) for method in choice.methods],
            }
            for choice in choices
        ],
        indent=2,
        ensure_ascii=False,
    )


def _as_json(method: Method) -> dict[str, object]:
    total = method.total
    return {
        "element": method.element,
        "verdict": method.verdict,
        "made": method.is_made,
        "why": _reasons(method.why),
        "parts": list(method.parts),
        "total": {"low": str(total.low), "likely": str(total.likely), "high": str(total.high)},
        "dearer": str(method.dearer),
        "days": method.days.value,
        "differs": {craft: str(amount) for craft, amount in method.differs.items()},
    }


def _reasons(why: Facts) -> dict[str, str]:
    day = why.day("on")
    said = {name: why.word(name) for name in ("by", "for", "against", "reopen")}
    return {**{k: v for k, v in said.items() if v}, **({"on": day.isoformat()} if day else {})}
