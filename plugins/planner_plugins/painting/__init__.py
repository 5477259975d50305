"""A matte painting: how large, how fine, how flat, how long to paint and to photograph.

Takes one element and its camera, gives the painter's and the stage's work, film, and findings where
the board is too small or too flat for what the camera does. Knows nothing of the plate it joins.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds import DOOR, Phase, Work, Worksheet, packaged_schema
from planner.kinds.floor import SetUp, lay_out
from planner.kinds.move import is_moving
from planner.kinds.stops import expose, rate_of_slow_pass
from planner.kinds.stretches import Stretch, heads, on_stage
from planner.kinds.subject import FULL_SIZE, Subject
from planner.kinds.takes import TAKEN, buy_film, lab_hours, reckon_takes, running_hours
from planner.kinds.view import view_of
from planner.model.quantity import Quantity
from planner_plugins.painting import rules
from planner_plugins.painting.board import Board, measure_board
from planner_plugins.painting.flatness import check_flatness
from planner_plugins.painting.push import check_push
from planner_plugins.painting.zones import check_zones, zone_hours

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Context, Estimate
    from planner.kinds.view import View


class Painting:
    """The kind ``painting``."""

    name = "painting"
    door = DOOR
    section = "elements"

    def schema(self) -> Mapping[str, object]:
        """What one may state."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """Painting, stage work, film, and findings."""
        sheet = Worksheet(context)
        facts = context.element.facts
        view = view_of(sheet)
        board = measure_board(sheet, view)
        layers = check_flatness(sheet, view)
        _check_keeping(sheet)
        check_zones(sheet)
        painted = _paint(sheet, board)
        exposed = expose(sheet, view, FULL_SIZE, _magnified(view, board))
        rate = rate_of_slow_pass(sheet, view, exposed)
        takes = reckon_takes(sheet, view, rate, layers, rules.TAKES)
        reduction = _reduction(view, board, facts.number("nearest"))
        check_push(sheet, view, board, takes.frames, reduction)
        set_up = SetUp(view, Subject(reduction), rate, pass_feet=takes.pass_feet, grounded=False)
        floor = lay_out(sheet, set_up)
        running = running_hours(sheet, takes, sheet.rule(rules.RESET)[0])
        stretches = _stretches(sheet, running, layers, painted)
        on_stage(sheet, floor, stretches, wait_hours=lab_hours(sheet))
        buy_film(sheet, takes)
        return sheet.estimate()


def _reduction(view: View, board: Board, nearest: Quantity | None) -> Quantity:
    """How many times smaller the board is than what it shows, so that moves shrink as much.

    Full size where the distance or the lens is not known: a slow pass then moves at the picture's
    own lengths, which no rig is short of for speed.
    """
    try:
        field = view.field_width(nearest) if nearest is not None else None
    except ValueError:
        field = None
    if field is None or board.tightest.value <= 0:
        return FULL_SIZE.scale
    return Quantity(
        "reduction",
        max(field.value / board.tightest.value, 1.0),
        "1:N",
        reason="field width at the nearest thing / width framed on the board",
        inputs=(field, board.tightest),
    )


def _magnified(view: View, board: Board) -> Quantity | None:
    """Magnification of the board itself where the lens is nearest to it, whatever it shows."""
    if board.tightest.value <= 0:
        return None
    return Quantity(
        "magnification",
        view.width.value / board.tightest.value,
        "1",
        reason="frame width / width framed on the board at the tightest",
        inputs=(view.width, board.tightest),
    )


def _check_keeping(sheet: Worksheet) -> None:
    """What a board needs beside paint: a copy of it, and a colour to match."""
    _check_copied(sheet)
    if not sheet.element.facts.flag("protection_copy"):
        sheet.warn(
            "no-protection-copy",
            "the board is the only copy and nobody photographs it before it is altered",
            "photograph it as soon as it is approved, and write `protection_copy: true`",
            at="protection_copy",
        )
    if not sheet.element.target("colour_from"):
        sheet.warn(
            "no-colour-reference",
            "nothing says which plate its colours are matched to",
            "name the plate as `colour_from`, and give the painter a print of it",
            at="colour_from",
        )


def _check_copied(sheet: Worksheet) -> None:
    copied, altered = (sheet.element.facts.day(name) for name in ("copied_on", "altered_on"))
    if altered is None or not sheet.element.facts.flag("protection_copy"):
        return
    if copied is None:
        sheet.miss("copied_on", rests=f"whether it was photographed before it is altered {altered}")
    elif copied > altered:
        sheet.warn(
            "altered-before-copy",
            f"it is altered on {altered} and photographed on {copied}: what it was is lost",
            f"photograph it by {altered}, before the brush touches it",
            at="copied_on",
        )


def _paint(sheet: Worksheet, board: Board) -> tuple[str, ...]:
    """Add the painter's work and give its name; a board listed as a build is painted there."""
    facts = sheet.element.facts
    if sheet.element.target("build"):
        return ()
    detail = facts.word("detail")
    if not detail:
        detail = "medium"
        sheet.miss("detail", rests="hours to paint it", assumed=detail)
    terms = zone_hours(sheet, board.area, detail)
    effort = sheet.effort("paint", (rules.PREPARE, 1), *terms, (rules.ADJUST, 1))
    drying = facts.number("drying") or sheet.rule(rules.DRYING)[0]
    work = sheet.do(
        Work(
            name="paint",
            craft="painting",
            phase=Phase.BUILD,
            hours=effort.hours,
            reason=effort.reason,
            wait_hours=max(drying.value, 0.0),
        )
    )
    return (work.name,)


def _stretches(
    sheet: Worksheet, running: Quantity, layers: int, painted: tuple[str, ...]
) -> tuple[Stretch, ...]:
    set_up = Stretch(
        "set up",
        "stage",
        sheet.effort("set up", (rules.SET_UP, 1)),
        heads(sheet, rules.SET_UP_HANDS),
        painted,
    )
    program = Stretch(
        "program the move", "programming", sheet.effort("program the move", (rules.PROGRAM, 1))
    )
    photograph = Stretch(
        "photograph",
        "camera",
        sheet.effort(
            "photograph", (rules.TEST, 1), (rules.LAYER_LINE_UP, layers - 1), (TAKEN, running)
        ),
        heads(sheet, rules.CAMERA_HANDS),
    )
    return (set_up, program, photograph) if is_moving(sheet.element) else (set_up, photograph)
