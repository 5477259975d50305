"""What one set-up card says, and how its numbers are marked.

Takes nothing, gives `SetUpCard` and `marked`. A number nobody has is a blank to be filled in by
hand. Works nothing out.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.craft.formats import FRAME_FORMATS
from planner.kinds import MissingFact
from planner.kinds.stops import seconds_text
from planner.model.facts import Missing
from planner.model.names import noun, title_of
from planner.model.quantity import Quantity, Standing
from planner.pages.wording import figure

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from planner.craft.formats import FrameFormat
    from planner.kinds import Estimate
    from planner.model.facts import Facts
    from planner.model.place import Problem
    from planner.model.show import Element, Resource, Show
    from planner.order import Call

BLANK = "____"
SAME_STOP = 0.05
"""Stops of light that nobody sees."""
Row = tuple[str, str | tuple[str, ...]]
"""A label and its text, or cells to be set in columns."""
MARKS = {
    Standing.MEASURED: "!",
    Standing.RECORDED: "#",
    Standing.RECONSTRUCTED: "±",
    Standing.GIVEN: "=",
    Standing.RECKONED: "~",
    Standing.ASSUMED: "?",
}


@dataclass(frozen=True, slots=True)
class SetUpCard:
    """Everything on one card.

    Attributes:
        show: for names and for what else is joined.
        element: photographed.
        estimate: what its kind says of it.
        dial: numbers of the set-up beside the estimate's, by name.
        checks: to tick off before the set is struck.
        cautions: whose decision each hazard on the floor is.
        findings: open, about the element.
        calls: its dated work; empty where no order was made.
        asked: how the scale was asked for, where it is not the show's.
    """

    show: Show
    element: Element
    estimate: Estimate
    dial: Mapping[str, Quantity]
    checks: tuple[str, ...]
    cautions: tuple[str, ...]
    findings: tuple[Problem, ...]
    calls: tuple[Call, ...] = ()
    asked: str = ""

    def number(self, name: str) -> Quantity | None:
        """A number by name, the estimate's before the dial's."""
        return self.estimate.quantities.get(name) or self.dial.get(name)

    def look_up(self, name: str) -> Quantity | None:
        """A stated number: the element's, else its shot's camera's, else the show's."""
        return next((q for facts in self._levels() if (q := facts.number(name))), None)

    def word(self, name: str) -> str:
        """A stated word, looked up alike."""
        return next((w for facts in self._levels() if (w := facts.word(name))), "")

    def blanks(self) -> Iterator[str]:
        """What is missing, with who is to find it: what its kind asks, then what is stated as ?."""
        yield from map(blank_of, self.estimate.missing)
        told = {each.name for each in self.estimate.missing}
        levels = tuple(self._levels())
        for name, value in (item for each in levels for item in each.values.items()):
            if isinstance(value, Missing) and not any(each.has(name) for each in levels):
                fact = MissingFact(self.element.id, name, self.element.place, "", by=value.by)
                yield from () if name in told else (blank_of(fact),)
                told.add(name)

    @property
    def is_board(self) -> bool:
        """Whether it is a painted board, framed by widths on the board."""
        return self.element.facts.has("widest") or self.element.facts.has("tightest")

    @property
    def is_full_size(self) -> bool:
        """Whether what is before the lens is as large as in the picture."""
        scale = self.number("scale")
        return scale is None or scale.value == 1

    @property
    def frame(self) -> FrameFormat | None:
        """The frame format in force; None where none is stated or it is not one we know."""
        return FRAME_FORMATS.get(self.word("format"))

    def resource(self, name: str) -> Resource | None:
        """A thing from resources.yaml that the element, shot or show names under `name`."""
        return self.show.resources.get(self.word(name))

    def options(self, sort: str) -> tuple[str, ...]:
        """Ids that would do for its work on the floor, best first."""
        needs = (need for work in self.estimate.work for need in work.needs if need.sort == sort)
        return next((need.options for need in needs), ())

    def title(self, id_: str) -> str:
        """How people call a thing from resources.yaml."""
        return title_of(id_, self.show)

    def _levels(self) -> Iterator[Facts]:
        yield self.element.facts
        if self.element.shot in self.show.shots:
            yield self.show.shots[self.element.shot].camera
        yield self.show.facts.group("camera")


def marked(quantity: Quantity | None) -> str:
    """A number with the mark of its standing, as ``1.93 m~``; a blank for None."""
    if quantity is None or quantity.standing is Standing.MISSING:
        return BLANK
    said = dialled(quantity.value, quantity.unit, exact=bool(quantity.text))
    if quantity.spread is None:
        return f"{said}{mark(quantity)}"
    spread = dialled(quantity.spread, quantity.unit)
    return f"{said}{mark(quantity).replace('±', '')} ± {spread}"


def blank_of(fact: MissingFact) -> str:
    """A missing fact with room to write it, who is to find it, and what stands in for it."""
    by = f", {fact.by} is to find it" if fact.by else ""
    taken = f" (taken as {fact.assumed})" if fact.assumed else ""
    return f"{fact.name.replace('_', ' ')} {BLANK}{by}{taken}"


def marked_count(quantity: Quantity | None, one: str) -> str:
    """A count with its mark and its noun: ``1~ take``, ``3 takes``."""
    return f"{marked(quantity)} {noun(quantity.value if quantity else 0, one)}"


def tilted(angle: Quantity | None) -> str:
    """``down 10 deg=``: a sign alone is easily set the wrong way round."""
    if angle is None or angle.value == 0:
        return marked(angle)
    way = "up" if angle.value > 0 else "down"
    return f"{way} {marked(replace(angle, value=abs(angle.value)))}"


def rolled(angle: Quantity | None) -> str:
    """``12 deg= clockwise``, seen from behind the camera."""
    if angle is None or angle.value == 0:
        return marked(angle)
    way = "clockwise" if angle.value > 0 else "anticlockwise"
    return f"{marked(replace(angle, value=abs(angle.value)))} {way}"


def mark(quantity: Quantity) -> str:
    """The mark of a number's standing; a reckoned one that rests on an assumption says so."""
    if quantity.standing is Standing.RECKONED and quantity.weakest is Standing.ASSUMED:
        return MARKS[Standing.RECKONED] + MARKS[Standing.ASSUMED]
    return MARKS[quantity.standing]


def dialled(value: float, unit: str, *, exact: bool = False) -> str:
    """A number as it is set on the floor: no finer than a scale or a dial can be read.

    Args:
        value: in `unit`.
        unit: canonical unit of a `Quantity`.
        exact: as somebody wrote it, so not rounded.
    """
    if unit == "s" and 0 < value < 0.2:
        return seconds_text(value)
    if unit == "h" and 0 < abs(value) < 1:
        value, unit = value * 60, "min"
    figures = 5 if exact else FIGURES.get(unit, 3)
    return figure(float(f"{value:.{figures}g}"), unit, foot_candles=True)


def rough_hours(hours: float) -> str:
    """Two figures, and whole hours from ten on: nobody plans nearer."""
    return f"{hours:.2g}" if hours < 9.95 else f"{hours:,.0f}"


FIGURES = {"1": 9, "mm": 4, "lx": 4, "px": 4, "f": 2, "T": 2, "stops": 2}
"""Figures shown of a number nobody wrote, by unit; three where none is given here."""
