"""Who and what stands before the lens for a shadow or reflection.

Takes the shadow's sheet and what was reckoned of its caster, gives the needs its stage work has
beside its own, and the hands who set the caster up and work it again. Knows nothing of hours, lamps
or how large a shadow is.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.kinds import Need, Phase
from planner.kinds.rig import moves_subject
from planner.kinds.stretches import Hands, Stretch
from planner.kinds.worksheet import Effort

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from planner.kinds import Work, Worksheet
    from planner.kinds.floor import Floor
    from planner.model.show import Element

CAMERA, FIGURES, PROGRAMMING = "camera", "puppeteering", "programming"
"""Who photographs, of whom the shadow calls its own; who dresses and places a performer; who runs
a rig."""


@dataclass(frozen=True, slots=True)
class Company:
    """What comes on the stage with a shadow.

    Attributes:
        needs: the caster's build, people and the rig that carries it, and the receiver's build.
        at_set_up: hands of the caster, called while the shadow is set up.
        at_camera: the same while it is photographed.
        is_programmed: whether a rig that carries the caster runs a program of the caster's.
    """

    needs: tuple[Need, ...]
    at_set_up: tuple[Hands, ...]
    at_camera: tuple[Hands, ...]
    is_programmed: bool


def company_of(sheet: Worksheet, *, on_receiver: bool) -> Company:
    """The caster's company as the caster's own work has it, and the receiver it falls on.

    Of the caster's rigs only one that carries the subject comes along: a camera's rig stays with
    its camera, and the shadow brings its own.

    Args:
        sheet: of a photographed shadow.
        on_receiver: whether it falls on the receiver itself, not on a copy made at another scale.
    """
    needs = [*_caster_needs(sheet)]
    receiver = sheet.context.target("falls_on")
    if on_receiver and receiver is not None:
        needs += _build(receiver)
    works = _works(sheet)
    taken = _photographed(works)
    hands = [each for each in works if each.craft != CAMERA and (each.beside or _places(each))]
    at_camera = [each for each in hands if taken is not None and each.beside == taken.name]
    at_set_up = [each for each in hands if each not in at_camera]
    return Company(
        tuple(dict.fromkeys(needs)),
        tuple(map(_again, at_set_up)),
        tuple(map(_again, at_camera)),
        any(each.sort == "rig" for each in needs) and any(w.craft == PROGRAMMING for w in works),
    )


def _places(work: Work) -> bool:
    """Whether it brings a performer before the camera, which is work beside no camera."""
    return work.phase is Phase.LOCATION and work.craft == FIGURES


def _again(work: Work) -> Hands:
    return Hands(work.name, work.craft, work.heads)


def _caster_needs(sheet: Worksheet) -> Iterator[Need]:
    caster = sheet.context.target("shadow_of")
    if caster is None:
        return
    taken = _photographed(_works(sheet))
    if taken is None:
        yield from _build(caster)
        return
    for need in taken.needs:
        if need.sort in {"build", "person"} or (need.sort == "rig" and _carries(sheet, need)):
            yield need


def _carries(sheet: Worksheet, need: Need) -> bool:
    rigs = (sheet.context.resource(each) for each in need.options)
    return any(rig is not None and moves_subject(rig) for rig in rigs)


def _build(element: Element) -> Iterator[Need]:
    """The build an element is, or shows."""
    name = element.id if element.kind == "build" else element.target("build")
    if name:
        yield Need("build", (name,))


def stand_up_receiver(sheet: Worksheet, floor: Floor) -> tuple[Stretch, ...]:
    """The receiver's set stood up again, where it was photographed for itself on another stage.

    Its hours are those it took the first time, and nothing where nobody photographed it: then the
    shadow's own set-up is its only one. On a stage that both share, whether it still stands is the
    order's to say, so that it is told and no hours are put down for it.

    Args:
        sheet: of what falls on the receiver itself, not on a copy made at another scale.
        floor: of the shadow, with the stages that would do.
    """
    receiver = sheet.context.target("falls_on")
    first = next((work for work in _works(sheet, "falls_on") if _stages(work)), None)
    if receiver is None or first is None:
        return ()
    as_it_was = "lamp, lens and ground as they were, or what falls there does not lie on it"
    own = next((need.options for need in floor.needs if need.sort == "stage"), ())
    if not own or set(own) & set(_stages(first)):
        sheet.remark(
            "receiver-must-stand",
            f"it falls on {receiver.id}, which is photographed for itself: that set must still"
            " stand, and no hours are put down to stand it up again",
            f"call it next after {receiver.id}; {as_it_was}",
            at="falls_on",
        )
        return ()
    hours = sheet.reckon(
        "hours to stand the receiver up again",
        first.hours.likely,
        "h",
        f"those of {receiver.id}: {first.name}, on a stage this does not share",
        first.reason,
    )
    sheet.remark(
        "receiver-stood-up-again",
        f"it falls on {receiver.id}, which is photographed for itself on another stage: its set is"
        f" stood up again here in {hours.value:g} h, as the first time",
        f"share a stage with {receiver.id} and follow it, which saves them; {as_it_was}",
        at="falls_on",
    )
    name = f"stand up {receiver.id} again"
    return (Stretch(name, first.craft, Effort(first.hours, hours), first.heads),)


def _stages(work: Work) -> tuple[str, ...]:
    return next((need.options for need in work.needs if need.sort == "stage"), ())


def _works(sheet: Worksheet, role: str = "shadow_of") -> Sequence[Work]:
    estimate = sheet.context.upstream.get(sheet.element.target(role))
    return estimate.work if estimate else ()


def _photographed(works: Sequence[Work]) -> Work | None:
    """The last work that holds a stage: where the camera runs."""
    staged = [work for work in works if _stages(work)]
    return staged[-1] if staged else None
