"""A thing made once and photographed in one shot or many.

Takes what is stated of it and who uses it, gives the hours by craft to make it, its charges, the
limit its mechanism sets on its scale, and findings about drawings, choices and use. Knows nothing
of photographing it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds import DOOR, Charge, Phase, Worksheet, packaged_schema
from planner.model.quantity import Quantity, Standing
from planner_plugins.build.choice import check_choice, is_passed_over
from planner_plugins.build.drawn import check_drawn
from planner_plugins.build.making import make
from planner_plugins.build.size import check_mechanism, check_scale
from planner_plugins.build.use import check_use

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Context, Estimate

MONEYS = {"materials": "materials", "freight": "freight"}


class Build:
    """The kind ``build``."""

    name = "build"
    door = DOOR
    section = "builds"

    def schema(self) -> Mapping[str, object]:
        """What one may state."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """Work by craft, charges, limits on scale, and findings."""
        sheet = Worksheet(context)
        check_choice(sheet)
        if is_passed_over(sheet):
            _buy(sheet, {"terms": "terms owed to its maker"})
            return sheet.estimate()
        check_scale(sheet)
        check_mechanism(sheet)
        _check_drawing(sheet)
        check_drawn(sheet)
        check_use(sheet)
        make(sheet)
        _buy(sheet, MONEYS)
        return sheet.estimate()


def _check_drawing(sheet: Worksheet) -> None:
    facts = sheet.element.facts
    if facts.word("drawing") or facts.word("sample"):
        return
    if facts.is_unknown("drawing") or facts.is_unknown("sample"):
        sheet.miss("drawing", rests="the shape of it")
    sheet.error(
        "build-without-drawing",
        "nothing says what it looks like: it has neither a drawing nor a chosen sample",
        "name the drawing and its revision, or the sample chosen",
        at="drawing",
    )


def _buy(sheet: Worksheet, what: Mapping[str, str]) -> None:
    for name, says in what.items():
        money = sheet.element.facts.money(name)
        if money is None:
            if name == "materials" and not sheet.element.facts.has("ready"):
                sheet.miss("materials", rests="what it costs beside labour")
            continue
        one = Quantity(
            says,
            1,
            "1",
            Standing.GIVEN,
            place=sheet.element.facts.place_of(name),
            reason="a sum stated outright, for all copies together",
        )
        sheet.buy(Charge(says, "", one, Phase.BUILD, amount=money))
