"""What a composite joins, down to what was photographed, and the camera each piece was seen by.

Takes a show, its graph and the estimates of its elements, gives `Joined` per live shot: the shot's
one camera and the photographed pieces. What a report states was so; what an element states is to be
so; the rest is the shot's. Knows nothing of how pieces are compared.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.estimate.agreement.rules import RULES
from planner.kinds import Context, Worksheet
from planner.kinds.dial import is_photographed
from planner.kinds.takes import HANDLES
from planner.kinds.view import view_of
from planner.model.facts import Facts
from planner.model.show import Element

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from planner.graph import ElementGraph
    from planner.kinds import Estimate, Rule
    from planner.kinds.view import View
    from planner.model.facts import FrameRange
    from planner.model.show import Shot, Show

THROUGH = frozenset(
    {
        "joins",
        "roto_of",
        "removes_rods_of",
        "derived_from",
        "clean_plate",
        "shadow_of",
        "falls_on",
    }
)
"""Roles under which a piece made without a camera names the pictures it is made from."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One photographed piece.

    Attributes:
        element: it.
        estimate: what its kind says of it.
        view: the camera it is seen by, as reported where it has been photographed.
        scale: N of the 1:N it is made at, or stands for.
        moves: the camera move it repeats, or that was recorded of it; empty for a camera at rest.
        report: what was written down when it was photographed.
        camera_place: where its camera stands, on the stage.
        is_flat: whether it is framed on a board, so that its lens and its distance draw nothing.
    """

    element: Element
    estimate: Estimate
    view: View
    scale: float
    moves: str
    report: Facts
    camera_place: Facts
    is_flat: bool

    @property
    def id(self) -> str:
        """Of the element."""
        return self.element.id

    @property
    def is_taken(self) -> bool:
        """Whether it has been photographed."""
        return self.report.flag("taken")

    def distance_mm(self) -> float | None:
        """Lens to the nearest thing seen, in the picture's own world; None where nobody says."""
        facts = self.element.facts
        field = facts.group("field").number("distance")
        for stated, scale in (
            (facts.number("nearest"), 1.0),
            (field, self.scale),
            (self.camera_place.number("distance"), self.scale),
            (self.report.number("focus"), 1.0),
        ):
            if stated is not None and stated.value > 0:
                return stated.value * scale
        return None


@dataclass(frozen=True, slots=True)
class Joined:
    """The pieces of one live shot, and its own camera.

    Attributes:
        show: the show.
        shot: the shot.
        composite: what joins them.
        camera: the shot's one camera.
        pieces: photographed pieces in the order joined, each once.
        solid: those whose perspective the lens draws: all but the flat ones.
        limits: what each rule of the agreement lets pass in this show, by its name.
    """

    show: Show
    shot: Shot
    composite: Element
    camera: View
    pieces: tuple[Piece, ...]
    solid: tuple[Piece, ...]
    limits: Mapping[str, float]

    @property
    def camera_name(self) -> str:
        """How messages name the shot's own camera."""
        return f"{self.shot.id}'s camera"

    def allowed(self, rule: Rule) -> float:
        """What a rule lets pass in this show, in the rule's unit."""
        return self.limits[rule.name]

    def distance_mm(self) -> float | None:
        """Nearest thing of the picture, in its own world; None where nobody says."""
        stated = self.shot.camera.number("distance") or self.shot.camera.number("focus")
        if stated is not None and stated.value > 0:
            return stated.value
        return min((d for each in self.pieces if (d := each.distance_mm())), default=None)

    def focal_px(self, piece: Piece | None) -> float | None:
        """Focal length in pixels of a piece, else of the shot's camera; None where unknown."""
        found = (piece.view.focal_px() if piece else None) or self.camera.focal_px()
        return found.value if found else None

    def is_added(self, piece: Piece) -> bool:
        """Whether it is laid over the rest by its light, as what is photographed on black is."""
        by = self.composite.facts.group("joined_by")
        return (by.word(piece.id) or by.word(piece.element.name, "matte")) != "matte"

    def frames(self, *pieces: Piece) -> FrameRange | None:
        """Frames of the cut on which all of `pieces` are seen; None where there are none."""
        common = self.shot.cut
        for each in pieces:
            seen = each.element.facts.frames("in_frame")
            common = common.overlap(seen) if common and seen else common
        return common


def joined_of(
    show: Show, graph: ElementGraph, by_element: Mapping[str, Estimate]
) -> Iterator[Joined]:
    """Per live shot with a composite, what it joins; cost linear in elements and references."""
    common = common_of(show)
    for shot_id in graph.composites:
        joined = joined_in(show, graph, by_element, shot_id, common)
        if joined is not None:
            yield joined


@dataclass(frozen=True, slots=True)
class Common:
    """What the agreement of every shot is worked out with.

    Attributes:
        recorded: the camera move that was recorded of each element, by its id.
        limits: what each rule of the agreement lets pass in this show, by its name.
    """

    recorded: Mapping[str, str]
    limits: Mapping[str, float]


def common_of(show: Show) -> Common:
    """What the agreement of every shot is worked out with; cost linear in elements."""
    recorded = {
        each.target("of"): each.id
        for each in show.elements.values()
        if each.kind == "camera_move" and each.target("of")
    }
    place = show.facts.place
    nothing = Element("", "", "", Facts(place), (), place)
    sheet = Worksheet(Context(show, nothing, {}))
    return Common(recorded, {rule.name: sheet.rule(rule)[0].value for rule in (*RULES, HANDLES)})


def joined_in(
    show: Show,
    graph: ElementGraph,
    by_element: Mapping[str, Estimate],
    shot_id: str,
    common: Common,
) -> Joined | None:
    """What one shot's composite joins; None where the shot is not live or it cannot be read.

    Args:
        show: the show.
        graph: its element graph.
        by_element: estimates of all elements, by id.
        shot_id: of a shot with a composite.
        common: of the show.
    """
    shot = show.shots[shot_id]
    composite_id = graph.composites[shot_id]
    if not shot.is_live or composite_id in show.unreadable:
        return None
    composite = show.elements[composite_id]
    pieces = tuple(
        _piece(show, element, by_element[element.id], common.recorded)
        for element in _photographed(show, composite, by_element)
    )
    solid = tuple(each for each in pieces if not each.is_flat)
    camera = _camera_of(show, shot)
    return Joined(show, shot, composite, camera, pieces, solid, common.limits)


def _is_picture(element: Element, estimate: Estimate) -> bool:
    """Whether a camera sees it for this show, or saw it for the library it is bought from."""
    return is_photographed(estimate) or element.kind == "stock"


def _photographed(
    show: Show, composite: Element, by_element: Mapping[str, Estimate]
) -> Iterator[Element]:
    """Photographed pieces reached from the composite, depth first in the order written."""
    seen = {composite.id}
    waiting = [composite]
    while waiting:
        element = waiting.pop()
        if element is not composite and _is_picture(element, by_element[element.id]):
            yield element
            continue
        for reference in reversed(element.references):
            target = show.elements.get(reference.target)
            if reference.role not in THROUGH or target is None or target.id in seen:
                continue
            if show.is_live(target) and target.id not in show.unreadable:
                seen.add(target.id)
                waiting.append(target)


def _piece(show: Show, element: Element, estimate: Estimate, recorded: Mapping[str, str]) -> Piece:
    context, facts = Context(show, element, {}), element.facts
    stated, report = facts.number("stands_for"), facts.group("report")
    scale = stated or estimate.quantities.get("scale") or context.scale()
    return Piece(
        element,
        estimate,
        _as_reported(view_of(Worksheet(context)), report),
        scale.value if scale and scale.value > 0 else 1.0,
        element.target("move_from") or recorded.get(element.id, ""),
        report,
        facts.group("camera_place"),
        facts.has("tightest") or facts.has("widest"),
    )


def _camera_of(show: Show, shot: Shot) -> View:
    """The view of a piece that states nothing of its own."""
    nothing = Element(shot.id, "", shot.id, Facts(shot.place), (), shot.place)
    return _usable(view_of(Worksheet(Context(show, nothing, {}))))


def _as_reported(view: View, report: Facts) -> View:
    """The view with what was written down when the piece was photographed."""
    focal, shutter = report.number("focal_length"), report.number("shutter")
    if report.is_unknown("focal_length"):
        return replace(view, focal=None, lens=None)
    if focal is not None and (view.focal is None or focal.value != view.focal.value):
        view = replace(view, focal=focal, lens=None)
    return _usable(replace(view, shutter=shutter) if shutter else view)


def _usable(view: View) -> View:
    """The view without a focal length of nothing, which the kinds have told already."""
    return view if view.focal is None or view.focal.value > 0 else replace(view, focal=None)
