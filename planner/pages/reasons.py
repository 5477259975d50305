"""A number opened to its arithmetic, as text.

Takes a quantity, gives text: formula, inputs with their standing, and where each is written. Works
nothing out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.pages.wording import WIDTH, figure, folded, inert

if TYPE_CHECKING:
    from planner.model.quantity import Quantity


_DEEPEST_INDENT = 24
SAID_ALREADY = ("as ", "of ", "from ")
"""How reasons begin that say where a number is from, and want no other word before them."""


def reason_text(quantity: Quantity, *, width: int = WIDTH) -> str:
    """A number opened to its arithmetic, each part under what was reckoned from it.

    A part that itself rests on others is opened once, and afterwards named with "as above".

    Args:
        quantity: the number asked about.
        width: in columns.
    """
    lines: list[str] = []
    opened: set[int] = set()
    worst = quantity.standing
    # A stack of our own: arithmetic may nest deeper than Python recurses.
    waiting: list[tuple[Quantity, int]] = [(quantity, 0)]
    while waiting:
        part, depth = waiting.pop()
        worst = max(worst, part.standing)
        said = figure(part.value, part.unit)
        if part.inputs and id(part) in opened:
            name = part.name.replace("_", " ")
            lines.extend(_indented(f"{name} = {said}, as above", depth, width))
            continue
        opened.add(id(part))
        lines.extend(_reason_lines(part, said, depth, width))
        waiting.extend((each, depth + 1) for each in reversed(part.inputs))
    if worst is not quantity.standing:
        lines.append(f"Rests on something {worst}.")
    return "\n".join(lines) + "\n"


def _reason_lines(part: Quantity, said: str, depth: int, width: int) -> list[str]:
    if part.spread is not None:
        said += f" ± {figure(part.spread, part.unit)}"
    head = f"{part.name.replace('_', ' ')} = {said}, {part.standing}"
    written = f', written "{part.text}"' if part.text else ""
    lines = _indented(head + written, depth, width)
    why = "; ".join(
        each for each in (part.reason, f"source: {part.source}" if part.source else "") if each
    )
    if why:
        is_formula = part.inputs and not why.startswith(SAID_ALREADY)
        lines.extend(_indented(why, depth, width, mark="  by " if is_formula else "  "))
    if part.place is not None:
        lines.append(f"{_margin(depth)}  {inert(str(part.place))}")
    return lines


def _margin(depth: int) -> str:
    return " " * min(2 * depth, _DEEPEST_INDENT)


def _indented(text: str, depth: int, width: int, mark: str = "") -> list[str]:
    margin = _margin(depth)
    return folded(text, margin + mark, f"{margin}    ", width=width)
