"""Passes a motion-controlled element is shot in.

Takes a pass and a number of frames, gives the frames to shoot and what to mind. The list is common
practice with no source. Passes of one rig, set, scale and state of smoke belong together; a
repeatable rig lets any be shot again or its exposure wedged. Knows nothing of time or order.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.craft import demands
from planner.craft.mark import Mark

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True)
class PassRule:
    """How a pass is counted.

    Attributes:
        name: name for people.
        note: what to mind.
        locked_frames: frames that do when the camera is locked; None for all of them.
        fixed_frames: frames whatever the length of the shot; None for all of them.
        mark: how well the rule is supported.
    """

    name: str
    note: str
    locked_frames: int | None = None
    fixed_frames: int | None = None
    mark: Mark = Mark.COMMON_PRACTICE


PASS_RULES: Mapping[str, PassRule] = MappingProxyType(
    {
        "beauty": PassRule("beauty pass", "sets the exposure of each frame for the others"),
        "matte": PassRule("matte pass, back-lit or front-lit", "short exposure, same move"),
        "ultraviolet-matte": PassRule(
            "matte pass on a fluorescent screen", "exposure by test; guard eyes and skin"
        ),
        "light": PassRule(
            "light pass of practicals", "one for each group to be balanced; often long exposure"
        ),
        "shadow": PassRule("shadow pass", "key light only, on a surface of the same scale"),
        "interactive-light": PassRule(
            "interactive-light pass", "cued to the element the light comes from"
        ),
        "smoke": PassRule(
            "smoke pass", "steady density; time to settle and clear; in one block, last of the day"
        ),
        "clean-plate": PassRule("clean plate", "before the set is struck", locked_frames=1),
        "reference": PassRule("grey card, mirror ball or grid", "one each a set-up", None, 24),
    }
)


def pass_frames(slug: str, frames: int, *, is_locked: bool) -> int:
    """Frames to shoot for a pass.

    Args:
        slug: a key of `PASS_RULES`, such as matte.
        frames: frames of the element, handles included.
        is_locked: whether the camera stands still.

    Raises:
        ValueError: frames are negative or the pass is not in `PASS_RULES`.

    Source:
        Counting, frames.
    """
    demands.not_negative(frames=frames)
    if slug not in PASS_RULES:
        raise ValueError(f"no pass is called {slug!r}; there are {', '.join(PASS_RULES)}")
    rule = PASS_RULES[slug]
    if rule.fixed_frames is not None:
        return rule.fixed_frames
    if is_locked and rule.locked_frames is not None:
        return rule.locked_frames
    return frames
