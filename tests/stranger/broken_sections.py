"""Report sections that misbehave, each in its own way; loaded through entry points."""

from __future__ import annotations

import math
import time

from markupsafe import Markup

from planner.model.quantity import Quantity
from planner.pages.report.added import About, Bar, Bars, Paragraph, Seen, Table, Told


class Sound:
    name = "kites"
    door = 1
    title = "Kites"

    def tell(self, seen: Seen) -> Told | None:
        return Told((Paragraph(f"{len(seen.show.shots)} shots"),))


class Silent(Sound):
    def tell(self, seen):
        return None


class Raises(Sound):
    def tell(self, seen):
        raise RuntimeError("no wind")


class Hangs(Sound):
    def tell(self, seen):
        while True:
            time.sleep(0.01)


class EndsTheProgram(Sound):
    def tell(self, seen):
        raise SystemExit(0)


class GoesRoundForEver(Sound):
    def tell(self, seen):
        return self.tell(seen)


class Prints(Sound):
    def tell(self, seen):
        print("<b>out</b>")  # noqa: T201
        return super().tell(seen)


class ReturnsHtml(Sound):
    def tell(self, seen):
        return "<b>kites</b>"


class GivesMarkup(Sound):
    def tell(self, seen):
        return Told((Paragraph(Markup("<script>alert(1)</script>")),))


class MarkupForATitle(Sound):
    title = Markup("<script>alert(1)</script>")


class NotANumber(Sound):
    def tell(self, seen):
        return Told((Table("Lines", ("Kite", "Line"), (("red", Quantity("line", math.nan)),)),))


class EndlessBar(Sound):
    def tell(self, seen):
        return Told((Bars("Lines", (Bar("red", math.inf, "long"),)),))


class BarBelowNothing(Sound):
    def tell(self, seen):
        return Told((Bars("Lines", (Bar("red", -1.0, "short"),)),))


class RaggedTable(Sound):
    def tell(self, seen):
        return Told((Table("Lines", ("Kite", "Line"), (("red",),)),))


class TooManyRows(Sound):
    def tell(self, seen):
        return Told((Table("Lines", ("Kite",), (("red",),) * 2_001),))


class TooLong(Sound):
    def tell(self, seen):
        return Told((Paragraph("a" * 4_001),))


class EndlessParts(Sound):
    def tell(self, seen):
        return Told(iter(int, 1))


class ForeignPart(Sound):
    def tell(self, seen):
        return Told(({"text": "kites"},))


class AnotherName(Sound):
    name = "dogs"


class NewerDoor(Sound):
    door = 2


class OlderDoor(Sound):
    door = 0


class NotASection:
    door = 1


class EndsWhenMade(Sound):
    def __init__(self):
        raise SystemExit(3)


class TriesMarks(Sound):
    """Marks wherever text goes, control characters, and names that are not of the show."""

    title = 'Kites</h2><script>alert("title")</script>'

    def tell(self, seen):
        mark = '"><img src=x onerror=alert(1)>\u202e\x1b[2J{{ 7 * 7 }}'
        return Told(
            (
                Paragraph(mark),
                Table(mark, (mark, "b"), ((About(mark), mark), (mark, Quantity("q", 1, mark)))),
                Bars(mark, (Bar(mark, 1e308, About(mark)), Bar(About("HL010.town"), 0, 3))),
            )
        )
