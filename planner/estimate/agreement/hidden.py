"""Whether what a piece is there to hide is still hidden, and colours still match the print in use.

Takes a shot's pieces and what its elements name under ``hides`` and ``colour_from``, gives findings
in frames and revisions. Knows nothing of how pieces look.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.model.names import noun
from planner.model.place import Problem, Severity

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.estimate.agreement.pieces import Joined
    from planner.model.facts import FrameRange
    from planner.model.show import Element


def check_hidden(joined: Joined) -> Iterator[Problem]:
    """Joins left bare by a piece cut from the shot, and colours matched to an older print."""
    for id_ in joined.shot.elements:
        element = joined.show.elements[id_]
        for name in element.targets("hides"):
            fault = joined.show.elements.get(name)
            if fault is not None and joined.show.is_live(fault):
                yield from _hides(joined, element, fault)
        yield from _print(joined, element)


def _seen(joined: Joined, element: Element) -> FrameRange | None:
    cut, stated = joined.shot.cut, element.facts.frames("in_frame")
    return cut.overlap(stated) if cut and stated else stated or cut


def _hides(joined: Joined, element: Element, fault: Element) -> Iterator[Problem]:
    shown = _seen(joined, fault)
    if shown is None:
        return
    left = f"{fault.id} is still seen on {shown}"
    if not joined.show.is_live(element):
        yield _bare(element, f"it is not made any more, and {left}")
        return
    covered = _seen(joined, element)
    both = covered.overlap(shown) if covered else None
    bare = shown.count - (both.count if both else 0)
    if bare:
        yield _bare(
            element,
            f"it hides {fault.id}, which is seen on {shown}, and is itself seen on"
            f" {covered or 'no frame of the cut'}: {bare} {noun(bare, 'frame lies', 'frames lie')}"
            " bare",
        )


def _bare(element: Element, message: str) -> Problem:
    place = next((each.place for each in element.references if each.role == "hides"), element.place)
    return Problem(
        Severity.WARNING,
        place,
        "join-no-longer-hidden",
        message,
        "bring it back for those frames, mend what it hid, or cut both",
        element.id,
    )


def _print(joined: Joined, element: Element) -> Iterator[Problem]:
    """Colours matched to a print that is no longer the one in use."""
    plate = joined.show.elements.get(element.target("colour_from"))
    matched = element.facts.word("colour_revision")
    now = plate.facts.word("revision") if plate else ""
    if plate is None or not matched or not now or matched == now:
        return
    yield Problem(
        Severity.WARNING,
        element.facts.place_of("colour_revision"),
        "colour-from-old-print",
        f"its colours were matched to {matched} of {plate.id}, and {now} is in use",
        f"look at it beside {now}, mend what differs, and write `colour_revision: {now}`",
        element.id,
    )
