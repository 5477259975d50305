"""A set built for the camera: at full size, squeezed in depth, or of plain shapes only.

Takes its sort, its depths, its fixtures and its camera, gives sizes to build, the movement it
allows, the stage work and film, and findings. Knows nothing of making it: see `build`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds import DOOR, Worksheet, packaged_schema
from planner.kinds.floor import SetUp
from planner.kinds.shoot import Shoot, photograph
from planner.kinds.stops import check_light, expose, limit_by_depth
from planner.kinds.stretches import Stretch, heads
from planner.kinds.subject import FULL_SIZE, Subject, subject_of
from planner.kinds.takes import reckon_takes
from planner.kinds.view import View, view_of
from planner_plugins.set_piece import rules
from planner_plugins.set_piece.fixtures import check_fixtures, check_left_out, check_shapes
from planner_plugins.set_piece.taper import build_taper

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Context, Estimate
    from planner.model.quantity import Quantity


class SetPiece:
    """The kind ``set_piece``."""

    name = "set_piece"
    door = DOOR
    section = "elements"

    def schema(self) -> Mapping[str, object]:
        """JSON Schema of one set piece."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """Sizes, stage work, film and findings of one set piece."""
        sheet = Worksheet(context)
        view = view_of(sheet)
        sort = sheet.element.facts.word("sort", "full_size")
        scaled = context.scale() is not None or bool(context.target("build"))
        subject = subject_of(sheet) if scaled else FULL_SIZE
        if sort == "forced_perspective":
            build_taper(sheet, view)
        if sort == "shapes_only":
            check_shapes(sheet)
        check_left_out(sheet)
        _photograph(sheet, view, subject, sort)
        return sheet.estimate()


def _rate(sheet: Worksheet, view: View) -> Quantity:
    stated = sheet.positive(sheet.element.facts.number("rate"), "rate")
    source = stated or view.frame_rate
    reason = "as stated" if stated else "the rate the picture is shown at"
    return sheet.reckon("rate", source.value, "fps", reason, source)


def _photograph(sheet: Worksheet, view: View, subject: Subject, sort: str) -> None:
    rate = _rate(sheet, view)
    takes = reckon_takes(sheet, view, rate, 1, rules.TAKES)
    fixtures = check_fixtures(sheet, subject)
    terms = [(rules.SET_UP[sort], 1.0), (rules.FIXTURE, float(fixtures))]
    if sort == "forced_perspective":
        terms.append((rules.LINE_UP, 1.0))
    check_light(sheet, view, expose(sheet, view, subject), rate)
    limit_by_depth(sheet, view, subject, gravity=False)
    set_up = sheet.effort("set up", *terms)
    photograph(
        sheet,
        Shoot(
            set_up=SetUp(view, subject, rate, pass_feet=takes.pass_feet),
            takes=takes,
            reset=sheet.element.facts.number("reset") or sheet.rule(rules.RESET)[0],
            before=(Stretch("set up", "stage", set_up, heads(sheet, rules.HANDS)),),
        ),
    )
