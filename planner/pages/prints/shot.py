"""The breakdown sheet of a shot: its pieces, what each takes, and what is open.

Takes a show, its estimates and findings, gives a sheet. Works nothing out.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.kinds.strike import hazards_of_pieces
from planner.model.facts import Facts, FrameRange, Missing, Money
from planner.model.names import counted, day_words, in_names, name_of
from planner.model.place import Severity
from planner.model.quantity import Quantity
from planner.pages.card import LEGEND
from planner.pages.card_values import blank_of, marked, rolled, tilted
from planner.pages.prints.cautioned import cautions_about
from planner.pages.prints.sheet import BLANK, Listed, Rows, Said, Sheet, Table
from planner.pages.wording import plain

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

    from planner.estimate import Estimates
    from planner.kinds import Hours, MissingFact
    from planner.model.place import Problem
    from planner.model.show import Element, Shot, Show
    from planner.pages.prints.dated import Dated
    from planner.pages.prints.sheet import Cell
    from planner.status.judging import Judgement

CAUTION = "caution-"
TURNED: Mapping[str, Callable[[Quantity], str]] = MappingProxyType({"tilt": tilted, "roll": rolled})
"""Facts of a camera whose sign is a way, in words."""


def breakdown(show: Show, estimates: Estimates, findings: Sequence[Problem], shot: Shot) -> Sheet:
    """One shot, broken down into its pieces.

    Args:
        show: for what the pieces name.
        estimates: what each takes.
        findings: open ones of the whole show.
        shot: wanted.
    """
    pieces = [show.elements[each] for each in shot.elements]
    heads = ("Piece", "What it is", "Made from", "Work")
    rows = tuple(_piece(show, estimates, each) for each in pieces)
    mine = {shot.id, *shot.elements}
    missing = tuple(each for each in estimates.missing if each.about in mine)
    made = {each.id: estimates.by_element[each.id] for each in pieces}
    hazards = hazards_of_pieces(show, made)
    blocks = (
        Listed("Take care", cautions_about(show, hazards, shot.elements, "Here"), "care"),
        Rows(tuple(_facts(show, shot))),
        Table(heads, rows, (0.8, 1.8, 1.6, 3.3), "Pieces, as listed"),
        Listed("Open findings", findings_about(show, findings, mine)),
        Listed("Missing: write it in", tuple(blank(each) for each in missing)),
        Said(LEGEND),
    )
    return Sheet("Shot breakdown", shot.id, shot.says, blocks, "")


def _facts(show: Show, shot: Shot) -> Iterator[tuple[str, Cell]]:
    sequence = show.sequences[shot.sequence]
    yield "Sequence", sequence.called
    yield "State", shot.state
    cut = f"{shot.cut}, {counted(shot.cut.count, 'frame')}" if shot.cut else BLANK
    yield "Cut", f"{cut}; handles {marked(show.facts.number('handles'))} at each end"
    camera = ", ".join(_said(shot.camera))
    yield "Camera", camera or f"as the show's; {BLANK}"
    yield "Finish", shot.facts.word("finish") or BLANK
    yield "Delivery", due(show, shot.id)
    for name in ("why", "notes"):
        if shot.facts.word(name):
            yield name.capitalize(), shot.facts.word(name)


@dataclass(frozen=True, slots=True)
class Handed:
    """What a sheet handed out says beside the show's files and what is worked out of them.

    Attributes:
        findings: open ones of the whole show.
        takes: by element, the take in use as it was posted.
        dated: the order people work by.
        fallen: by element, the judgement of what was made of it and no longer serves as it is.
    """

    findings: Sequence[Problem]
    takes: Mapping[str, str]
    dated: Dated
    fallen: Mapping[str, Judgement]


def due(show: Show, shot: str) -> str:
    """The deliveries that want a shot, with their last days."""
    found = [
        f"{each.id.replace('_', ' ')}, {day_words(each.day)}"
        for each in show.deliveries
        if shot in each.shots
    ]
    return "; ".join(found) or "none asks for it"


def _said(facts: Facts) -> Iterator[str]:
    """Stated facts, each by its name."""
    for name, value in facts.values.items():
        words = name.replace("_", " ")
        if isinstance(value, Quantity):
            way = TURNED.get(name, marked)
            yield f"{words} {way(value)}"
        elif isinstance(value, Missing):
            yield f"{words} {BLANK}"
        elif isinstance(value, (str, FrameRange, Money)):
            yield f"{words} {str(value).replace('_', ' ')}"


def _piece(show: Show, estimates: Estimates, piece: Element) -> tuple[Cell, ...]:
    estimate = estimates.by_element.get(piece.id)
    works = estimate.work if estimate else ()
    work = tuple(
        f"{each.name}: {each.craft.replace('_', ' ')} × {each.heads}, {span(each.hours)}"
        for each in works
    )
    if not show.is_live(piece):
        work = ("not made: another method is taken, or the shot is not wanted",)
    kind = piece.kind.replace("_", " ")
    sort = piece.facts.values.get("sort")
    kind += f", {sort.replace('_', ' ')}" if isinstance(sort, str) else ""
    frames = piece.facts.frames("in_frame")
    what = (kind, piece.facts.word("says"), f"frames {frames}" if frames else "")
    return (
        piece.name,
        tuple(each for each in what if each),
        _made_from(show, estimates, piece),
        work,
    )


def _made_from(show: Show, estimates: Estimates, piece: Element) -> Cell:
    """What it names: builds, plates, moves and other pieces, by role."""
    roles: dict[str, list[str]] = {}
    for each in piece.references:
        roles.setdefault(each.role.replace("_", " "), []).append(called(show, piece, each.target))
    lines = [f"{role}: {', '.join(targets)}" for role, targets in roles.items()]
    estimate = estimates.by_element.get(piece.id)
    scale = estimate.quantities.get("scale") if estimate else None
    if scale is not None and scale.value != 1:
        lines.append(f"scale {marked(scale)}")
    return tuple(lines)


def called(show: Show, piece: Element, id_: str) -> str:
    """Another thing as a sheet of this piece calls it: short in its own shot, builds by name."""
    return name_of(id_, show).removeprefix(f"{piece.shot}.")


def span(hours: Hours) -> str:
    """Likely hours, with their range, as far as anybody plans: minutes, tenths, then hours."""
    unit, size = ("h", 1) if hours.likely >= 1 else ("min", 60)
    told = (each * size for each in (hours.low, hours.likely, hours.high))
    low, likely, high = (plain(round(each, 1 if size == 1 and each < 10 else 0)) for each in told)
    return f"{likely} {unit} ({low} to {high})"


def findings_about(show: Show, findings: Sequence[Problem], ids: set[str]) -> tuple[str, ...]:
    """Open findings about some things, errors first, each with what would mend it."""
    mine = (each for each in findings if not each.code.startswith(CAUTION))
    found = _by_sentence(mine, ids, lambda each: f"{_error(each)}{each.message}{_mended(each)}")
    return tuple(
        f"{_names(about, show)}: {in_names(says, show)}".replace("`", "")
        for says, about in found.items()
    )


def fallen_of(show: Show, handed: Handed, ids: Iterable[str]) -> tuple[str, ...]:
    """Why what was made of some things no longer serves as it is, in their order."""
    return tuple(
        f"{name_of(each, show)}: {in_names(reason, show)}"
        for each in ids
        if each in handed.fallen
        for reason in handed.fallen[each].reasons
    )


def _names(ids: Iterable[str], show: Show) -> str:
    return ", ".join(name_of(each, show) for each in ids)


def _by_sentence(
    findings: Iterable[Problem], ids: set[str], said: Callable[[Problem], str]
) -> dict[str, list[str]]:
    """What is said of several things alike is said once."""
    found: dict[str, list[str]] = {}
    for each in sorted(each for each in findings if each.about in ids):
        found.setdefault(said(each), []).append(each.about)
    return found


def _error(finding: Problem) -> str:
    return "error: " if finding.severity is Severity.ERROR else ""


def _mended(finding: Problem) -> str:
    return f"; {finding.remedy}" if finding.remedy else ""


def blank(fact: MissingFact) -> str:
    """A missing fact with room to write it, and what stands in for it."""
    return f"{fact.about}: {blank_of(fact)}: {fact.rests}"
