"""The set-up card of one photographed element: one page for the stand.

Takes a `SetUpCard`, gives text of 80 columns or JSON. Works nothing out.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from planner.model.names import in_names
from planner.model.place import Severity
from planner.pages.card_rows import rows
from planner.pages.machine import quantity_json
from planner.pages.wording import WIDTH, columns, folded, inert

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from planner.kinds import Estimate, Work
    from planner.model.show import Element
    from planner.pages.card_values import SetUpCard

LABEL = 11
CELL = 14
LEGEND = (
    "Marks: ! measured, # recorded, ± reconstructed (its spread follows), = given, ~ reckoned,"
    " ~? reckoned on an assumption, ? assumed, ____ missing: write it in."
)


def card_text(card: SetUpCard) -> str:
    """The card as one page: cautions, what to dial in, what is missing, checks, findings."""
    lines = [*_heading(card), *_block("Take care", card.cautions)]
    lines += ["-" * WIDTH] if card.cautions else []
    lines += [*folded(LEGEND), "-" * WIDTH]
    for label, text in rows(card):
        lines += _row(label, text)
    missing = "; ".join(card.blanks())
    lines += _row("Missing", missing) if missing else []
    lines += _block("Before the set is struck", (f"[ ] {each}" for each in card.checks))
    lines += _block("Open findings", _findings(card))
    lines += ["-" * WIDTH, *_as_shot()]
    return "".join(f"{line.rstrip()}\n" for line in lines)


def _heading(card: SetUpCard) -> Iterator[str]:
    left = f"{inert(card.element.id)}  {card.element.kind.replace('_', ' ')}"
    right = f"{inert(card.show.title)}, set-up card"
    gap = WIDTH - columns(left) - columns(right)
    yield from [left + " " * gap + right] if gap > 1 else folded(f"{left}, {right}")
    yield "=" * WIDTH


def _row(label: str, text: str | tuple[str, ...]) -> list[str]:
    if isinstance(text, tuple):
        set_apart = "".join(f"{inert(each):<{CELL - 1}} " for each in text[:-1])
        return folded(text[-1], f"{label:<{LABEL}}{set_apart}")
    return folded(text, f"{label:<{LABEL}}", " " * LABEL)


def _block(title: str, texts: Iterable[str]) -> list[str]:
    held = [row for text in texts for row in folded(text, "  ", "    ")]
    return [title, *held] if held else []


def _findings(card: SetUpCard) -> Iterator[str]:
    for each in card.findings:
        mark = {Severity.ERROR: "error: ", Severity.WARNING: ""}.get(each.severity, "")
        yield f"{mark}{in_names(each.message, card.show)}"


def _as_shot() -> Iterator[str]:
    yield "As shot: stop ____ focus ____ rate ____ shutter ____ light ____ filter ____"
    yield "         lens serial ____ takes ____ kept ____ roll ____ date ____ by ____"


def card_json(card: SetUpCard) -> str:
    """The card for machines: every number with its standing and reason, and all else in words."""
    numbers = {**card.dial, **card.estimate.quantities}
    return json.dumps(
        {
            "element": card.element.id,
            "kind": card.element.kind,
            "shot": card.element.shot,
            "scale_asked": card.asked,
            "rows": [
                {"label": label, "text": text if isinstance(text, str) else list(text)}
                for label, text in rows(card)
            ],
            "numbers": [quantity_json(each) for each in numbers.values()],
            "work": [_work(card, each) for each in card.estimate.work],
            "checks": list(card.checks),
            "cautions": list(card.cautions),
            "findings": [
                {"code": each.code, "severity": each.severity.name.lower(), "message": each.message}
                for each in card.findings
            ],
            "missing": [
                {"fact": each.name, "rests": each.rests, "assumed": each.assumed, "by": each.by}
                for each in card.estimate.missing
            ],
        },
        indent=2,
        ensure_ascii=False,
    )


def _work(card: SetUpCard, work: Work) -> dict[str, object]:
    calls = [each for each in card.calls if each.work.name == work.name]
    return {
        "name": work.name,
        "craft": work.craft,
        "heads": work.heads,
        "phase": work.phase.value,
        "hours": {"low": work.hours.low, "likely": work.hours.likely, "high": work.hours.high},
        "set_up": work.set_up,
        "needs": {need.sort: list(need.options) for need in work.needs},
        "calls": [
            {"starts": each.starts.isoformat(), "ends": each.ends.isoformat()} for each in calls
        ],
    }


def other_than_card(element: Element, estimate: Estimate) -> str:
    """What an element that stands before no camera has instead of a card, in a sentence or two."""
    kind = element.kind.replace("_", " ")
    work = "; ".join(f"{each.name} ({each.craft.replace('_', ' ')})" for each in estimate.work)
    has = f"its work is: {work}" if work else "it has no work of its own"
    numbers = ", ".join(estimate.quantities)
    kept = f" It keeps these numbers: {numbers}." if numbers else ""
    said = (
        f"{element.id} is a {kind} and stands before no camera, so it has no set-up card; {has}."
        f"{kept} `platewright why` opens them."
    )
    return "".join(f"{row}\n" for row in folded(said))
