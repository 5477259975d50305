"""All pieces of a shot joined.

Takes the pieces, how each is joined and how the shot is finished, gives strips, exposures,
generations, frames to record, hours by craft, and contradictions among the pieces. Knows nothing of
how the pieces were made; their scans are charged with them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds import DOOR, Estimate, Phase, Work, Worksheet, packaged_schema
from planner.kinds.frames_drawn import range_drawn
from planner.kinds.takes import CUT
from planner_plugins.composite import rules
from planner_plugins.composite.edges import check_edges, feature_terms
from planner_plugins.composite.film import expose, generations, record
from planner_plugins.composite.known import check_known
from planner_plugins.composite.order import check_order
from planner_plugins.composite.pieces import RECORD, Pieces, check_pieces, gather, is_inner
from planner_plugins.composite.rules import RULES

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Context, Effort
    from planner.model.quantity import Quantity

__all__ = ["RULES", "Composite"]


class Composite:
    """The kind ``composite``."""

    name = "composite"
    door = DOOR
    section = "elements"

    def schema(self) -> Mapping[str, object]:
        """JSON Schema of one composite."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """Hours, film and findings of one composite."""
        sheet = Worksheet(context)
        pieces = gather(sheet)
        finish = _finish(sheet)
        frames = _frames(sheet)
        versions = sheet.element.facts.number("versions") or sheet.rule(rules.VERSIONS)[0]
        _count(sheet, pieces)
        check_pieces(sheet, pieces)
        check_order(sheet, pieces, finish)
        check_known(sheet, pieces)
        check_edges(sheet)
        generations(sheet, pieces, finish)
        _check_record_out(sheet, pieces, finish)
        _check_approver(sheet)
        if finish == "digital":
            _join(sheet, frames, versions)
            if not is_inner(sheet):
                record(sheet, frames, after="answer the notes")
        else:
            _print(sheet, pieces, finish, (frames, versions))
        _review(sheet, versions)
        return sheet.estimate()


def _finish(sheet: Worksheet) -> str:
    shot = sheet.context.shot
    finish = sheet.element.facts.word("finish") or (shot.facts.word("finish") if shot else "")
    if not finish:
        sheet.miss("finish", rests="who joins the pieces and what film it takes", assumed="digital")
    return finish or "digital"


def _frames(sheet: Worksheet) -> Quantity:
    """Frames of the cut; handles are not joined."""
    span = range_drawn(sheet)
    if span is not None:
        return sheet.reckon("frames joined", span.count, "1", f"frames of the cut, {span}")
    usual = sheet.rule(CUT)[0]
    sheet.miss("cut", rests="hours and film of the composite", assumed=f"{usual.value:g} frames")
    return sheet.reckon("frames joined", usual.value, "1", "the usual length of a cut", usual)


def _count(sheet: Worksheet, pieces: Pieces) -> None:
    sheet.reckon("layers", len(pieces.layers), "1", "pictures joined")
    scanned = [
        found
        for each in pieces.layers
        if (known := sheet.context.upstream.get(each.id))
        and (found := known.quantities.get("frames scanned"))
    ]
    if scanned:
        total = sum(each.value for each in scanned)
        reason = "frames scanned of every piece; charged with the pieces"
        sheet.reckon("frames scanned for it", total, "1", reason, *scanned)


def _check_record_out(sheet: Worksheet, pieces: Pieces, finish: str) -> None:
    names = " and ".join(each.id for each in pieces.recorded)
    if finish == "photochemical" and names:
        sheet.warn(
            "no-record-out",
            f"{names} exists only in a computer and the shot is finished photochemically: nothing"
            " records it on film",
            "finish the shot mixed, so that it is recorded as a strip, or digitally",
            at="finish",
        )
    records = any(each.kind == RECORD for each in pieces.joined)
    if finish == "mixed" and not names and not records:
        sheet.remark(
            "nothing-to-record",
            "the shot is finished mixed and no piece of it is made by computer",
            "finish it photochemically, or name the computer's piece under joins",
            at="finish",
        )


def _check_approver(sheet: Worksheet) -> None:
    if sheet.element.facts.word("approved_by"):
        return
    sheet.remark(
        "no-approver",
        "nobody is named who says it is final",
        "write approved_by, and who may when they are away",
        at="approved_by",
    )


def _difficulty(sheet: Worksheet) -> str:
    stated = sheet.element.facts.word("difficulty")
    if not stated:
        sheet.miss("difficulty", rests="hours to join each layer", assumed="ordinary")
    return stated or "ordinary"


def _join(sheet: Worksheet, frames: Quantity, versions: Quantity) -> None:
    layers = sheet.quantities["layers"]
    spill = 1 if sheet.element.facts.flag("blue_spill") else 0
    join = sheet.effort(
        "join the pieces",
        (rules.BEGIN, 1),
        (rules.LAYER[_difficulty(sheet)], layers),
        (rules.FRAME, frames),
        (rules.SPILL, spill),
        *feature_terms(sheet),
    )
    again = sheet.reckon(
        "versions after the first", max(versions.value - 1, 0), "1", "versions - 1", versions
    )
    notes = sheet.effort("answer the notes", (rules.VERSION, again))
    _do(sheet, "join the pieces", "compositing", join)
    _do(sheet, "answer the notes", "compositing", notes, after="join the pieces")


def _print(
    sheet: Worksheet, pieces: Pieces, finish: str, counts: tuple[Quantity, Quantity]
) -> None:
    """Line-up and printer runs, with the strips they need; computer pieces are recorded first."""
    frames, versions = counts
    after = ""
    if pieces.recorded and finish == "mixed":
        count = sheet.reckon(
            "frames of computer pieces",
            len(pieces.recorded) * frames.value,
            "1",
            "pieces made by computer x frames",
            frames,
        )
        record(sheet, count)
        after = "record on film"
    strips, exposures = expose(sheet, pieces, frames, versions)
    runs = sheet.reckon(
        "printer runs",
        exposures.value * versions.value,
        "1",
        "exposures x versions",
        exposures,
        versions,
    )
    mattes = sheet.effort("print the strips", (rules.BEGIN, 1), (rules.STRIP, strips))
    line_up = sheet.effort(
        "line up and print", (rules.LINE_UP, exposures), (rules.RUN, runs), *feature_terms(sheet)
    )
    _do(sheet, "print the strips", "line_up", mattes, after=after)
    _do(sheet, "line up and print", "line_up", line_up, after="print the strips")


def _review(sheet: Worksheet, versions: Quantity) -> None:
    review = sheet.effort("see the versions", (rules.REVIEW, versions))
    last = "answer the notes" if "hours to answer the notes" in sheet.quantities else ""
    _do(sheet, "see the versions", "supervision", review, after=last or "line up and print")


def _do(sheet: Worksheet, name: str, craft: str, effort: Effort, after: str = "") -> None:
    sheet.do(
        Work(
            name,
            craft,
            Phase.FINISH,
            effort.hours,
            effort.reason,
            after=(after,) if after else (),
        )
    )
