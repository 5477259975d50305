"""What a kind may look at beside its own element.

Takes the show and the estimates already made, gives look-ups. Knows nothing of any particular kind.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.craft import formats

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.craft.formats import FrameFormat
    from planner.kinds.estimate import Estimate
    from planner.model.quantity import Quantity
    from planner.model.show import Element, Resource, Shot, Show


@dataclass(frozen=True, slots=True)
class Context:
    """The surroundings of one element.

    Attributes:
        show: everything the files state.
        element: the element being estimated.
        upstream: estimates of everything it waits for, by id.
        named_by: ids of the elements that name each id, from `names_in`; worked out anew for each
            question where it is not given.
    """

    show: Show
    element: Element
    upstream: Mapping[str, Estimate]
    named_by: Mapping[str, tuple[str, ...]] | None = None

    @property
    def shot(self) -> Shot | None:
        """The element's shot; None outside shots."""
        return self.show.shots.get(self.element.shot)

    def target(self, role: str) -> Element | None:
        """The element named under `role`; None where there is none."""
        return self.show.elements.get(self.element.target(role))

    def targets(self, role: str) -> tuple[Element, ...]:
        """All elements named under `role`."""
        return tuple(self.show.elements[each] for each in self.element.targets(role))

    def users(self, *roles: str) -> tuple[Element, ...]:
        """Elements that name this one, under one of `roles` or, where none is given, under any."""
        me = self.element.id
        named_by = names_in(self.show) if self.named_by is None else self.named_by
        users = (self.show.elements[each] for each in named_by.get(me, ()))
        return tuple(
            user
            for user in users
            if any(r.target == me and (not roles or r.role in roles) for r in user.references)
        )

    def resource(self, name: str) -> Resource | None:
        """A stage, rig, camera, lens, screen, crew or person by id."""
        return self.show.resources.get(name)

    def names(self, name: str) -> tuple[str, ...]:
        """Ids from resources.yaml that the element states under `name`, one or several."""
        value = self.element.facts.values.get(name)
        return (value,) if isinstance(value, str) else self.element.facts.words(name)

    def look_up(self, name: str) -> Quantity | None:
        """A number stated for the element, else for its shot's camera, else for the show."""
        shot = self.shot
        for facts in (
            self.element.facts,
            shot.camera if shot else None,
            self.show.facts.group("camera"),
        ):
            if facts is not None and (found := facts.number(name)) is not None:
                return found
        return None

    def look_up_word(self, name: str, default: str = "") -> str:
        """A word stated for the element, else for its shot's camera, else for the show."""
        shot = self.shot
        return (
            self.element.facts.word(name)
            or (shot.camera.word(name) if shot else "")
            or self.show.facts.group("camera").word(name)
            or default
        )

    def frame_format(self) -> FrameFormat | None:
        """The frame format in force; None where none is stated or it is not one we know."""
        return formats.FRAME_FORMATS.get(self.look_up_word("format"))

    def finish(self) -> str:
        """How the shot is finished: as its composite says, else itself; empty where neither."""
        shot = self.shot
        if shot is None:
            return ""
        pieces = (self.show.elements[each] for each in shot.elements)
        own = (each.facts.word("finish") for each in pieces if each.kind == "composite")
        return next((finish for finish in own if finish), shot.facts.word("finish"))

    def scale(self) -> Quantity | None:
        """N of the 1:N the element is made at: its own, or its build's; None while undecided."""
        own = self.element.facts.number("scale")
        if own is not None:
            return own
        build = self.target("build")
        return build.facts.number("scale") if build else None

    def upstream_number(self, role: str, name: str) -> Quantity | None:
        """A number reckoned for what is named under `role`, such as its frames to shoot."""
        estimate = self.upstream.get(self.element.target(role))
        return estimate.quantities.get(name) if estimate else None


def names_in(show: Show) -> Mapping[str, tuple[str, ...]]:
    """Ids of the elements that name each id, each once and in the order written.

    Cost linear in the references of the show.
    """
    found: dict[str, dict[str, None]] = {}
    for element in show.elements.values():
        for reference in element.references:
            found.setdefault(reference.target, {})[element.id] = None
    return {target: tuple(users) for target, users in found.items()}
