"""The set-up card of one photographed element, for the stand.

Takes what the card holds, gives a sheet with the same rows as the card on a terminal. Works nothing
out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.model.names import in_names
from planner.model.place import Severity
from planner.pages.card import LEGEND
from planner.pages.card_rows import rows
from planner.pages.card_values import BLANK
from planner.pages.prints.sheet import Listed, Rows, Said, Sheet, Table

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.pages.card_values import SetUpCard

AS_SHOT = ("Take", "Stop", "Focus", "Rate", "Shutter", "Light", "Filter", "Roll", "Kept")
LINES_AS_SHOT = 3


def set_up_card(card: SetUpCard, foot: str) -> Sheet:
    """Everything the floor dials in, checks, cautions, findings, and room to write.

    Args:
        card: everything on it.
        foot: what it was printed from; may be empty.
    """
    told = (*rows(card), *_missing(card))
    room = tuple(("",) * len(AS_SHOT) for _ in range(LINES_AS_SHOT))
    blocks = (
        Listed("Take care", card.cautions, "care"),
        Rows(told),
        Listed("Before the set is struck", card.checks, "tick"),
        Listed("Open findings", tuple(_findings(card))),
        Table(AS_SHOT, room, (1,) * len(AS_SHOT), "As shot"),
        Said(f"Lens serial {BLANK}{BLANK} date {BLANK}{BLANK} by {BLANK}{BLANK}{BLANK}"),
        Said(LEGEND),
    )
    kind, element = card.element.kind.replace("_", " "), card.element
    about = element.id if element.name == kind else f"{element.id}, {kind}"
    return Sheet("Set-up card", about, "", blocks, foot, fits=True)


def _missing(card: SetUpCard) -> Iterator[tuple[str, str]]:
    for number, each in enumerate(card.blanks()):
        yield "" if number else "Missing", each


def _findings(card: SetUpCard) -> Iterator[str]:
    for each in card.findings:
        mark = "error: " if each.severity is Severity.ERROR else ""
        yield f"{mark}{in_names(each.message, card.show)}"
