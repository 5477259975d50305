"""A section of the report: every kite of the show, and how much line each needs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.pages.report.added import DOOR, About, Bar, Bars, Paragraph, Table, Told

if TYPE_CHECKING:
    from planner.pages.report.added import Seen


class Lines:
    """The section ``kites``."""

    name = "kites"
    door = DOOR
    title = "Kites"

    def tell(self, seen: Seen) -> Told | None:
        """A table and bars, or nothing where no kite flies."""
        kites = [each.id for each in seen.show.elements.values() if each.kind == "kite"]
        if not kites:
            return None
        known = [
            (each, seen.estimates[each].quantities["line let out"])
            for each in kites
            if "line let out" in seen.estimates[each].quantities
        ]
        rows = tuple((About(each), line, _day(seen, each)) for each, line in known)
        bars = tuple(Bar(About(each), line.value, line) for each, line in known)
        return Told(
            (
                Paragraph(f"{len(kites)} to fly; {len(known)} have a line of known length."),
                Table("Line to buy", ("Kite", "Line", "First flown"), rows),
                Bars("Lines compared", bars),
            )
        )


def _day(seen: Seen, element: str) -> str:
    return str(seen.days[element][0]) if element in seen.days else "not called"
