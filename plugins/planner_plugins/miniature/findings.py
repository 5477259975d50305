"""What goes wrong with models beside room, rate and light.

Takes the set-up and its takes, gives findings and the limit that detail sets on scale. Knows
nothing of stage work.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.craft import perspective, window
from planner.kinds.context import Context
from planner.kinds.sentences import built_larger
from planner.kinds.subject import hazards_of
from planner.kinds.waiting import resting_on
from planner.model.quantity import Quantity
from planner.model.ratio import in_ratio
from planner_plugins.miniature import rules

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.kinds.floor import SetUp
    from planner.kinds.takes import Takes


def find_troubles(sheet: Worksheet, set_up: SetUp, takes: Takes, action: str) -> None:
    """One-off gags, flame and drops that look small, hanging models, detail that shows."""
    if sheet.element.facts.flag("one_off"):
        _one_off(sheet, takes)
    if action == "gravity":
        _flame_and_drops(sheet, set_up)
    if sheet.element.facts.word("sort") == "hanging_foreground":
        _hanging(sheet, set_up)
        _before_its_plate(sheet)
    _detail(sheet, set_up)


def _one_off(sheet: Worksheet, takes: Takes) -> None:
    build = sheet.context.target("build")
    copies = build.facts.amount("copies", 1) if build else 1
    copies += 1 if build and build.facts.flag("spare") else 0
    if takes.takes.value > copies:
        sheet.warn(
            "one-off-without-spare",
            f"it is destroyed by its action, {takes.takes.value:g} takes are allowed for and"
            f" {copies:g} made",
            f"make {takes.takes.value:.0f} copies, or allow for {copies:g}",
            at="one_off",
        )
    if takes.passes.value > 1:
        sheet.warn(
            "pass-after-destruction",
            f"{takes.passes.value:g} passes are wanted of what one take destroys",
            "shoot the other passes before the action, or take the matte by hand",
            at="passes",
        )


def _flame_and_drops(sheet: Worksheet, set_up: SetUp) -> None:
    limit = sheet.rule(rules.FLAME_SCALE)[0]
    n = set_up.subject.scale.value
    for hazard, what in (("flame", "flames"), ("water", "drops")):
        if hazard in hazards_of(sheet) and n > limit.value:
            sheet.warn(
                f"{'flame-looks' if hazard == 'flame' else 'drops-look'}-small",
                f"{what} do not shrink with a model: at {in_ratio(n)} they look {n:g} times too"
                " large, so the model looks small",
                f"build at {in_ratio(limit.value)} or larger, or add {what} from a larger element",
                at="hazards",
            )


def _hanging(sheet: Worksheet, set_up: SetUp) -> None:
    stands_for = sheet.ask("nearest", rests="where the foreground model hangs")
    if stands_for is None or stands_for.value <= 0:
        return
    n = max(set_up.subject.scale.value, 1.0)
    metres = perspective.hanging_distance_m(stands_for.value / 1000, n)
    hung = sheet.reckon(
        "hanging distance",
        metres * 1000,
        "mm",
        "full distance / N",
        stands_for,
        set_up.subject.scale,
    )
    sheet.remark(
        "nodal-head",
        f"it hangs {hung.value / 1000:.2f} m from the entrance pupil and lines up only there",
        "turn the camera about its entrance pupil, and match the join before the set is struck",
        at="sort",
    )


def _before_its_plate(sheet: Worksheet) -> None:
    """A hanging model is lined up by its plate's height, tilt and lens, which the day brings."""
    context = sheet.context
    for plate in context.targets("in_front_of"):
        is_live = plate.kind == "plate" and plate.facts.word("sort", "live") == "live"
        if not is_live or plate.facts.group("report").flag("taken"):
            continue
        waiting = resting_on(Context(context.show, plate, {}, context.named_by))
        if context.element not in waiting:
            sheet.warn(
                "hung-before-its-plate",
                f"it is lined up by {plate.id}, which is not photographed yet, and may be called"
                " before it: nobody has the plate's height, tilt and focus until then",
                f"write waits_for: {plate.name}, or say what it is lined up by",
                at="in_front_of",
            )


def _detail(sheet: Worksheet, set_up: SetUp) -> None:
    nearest = sheet.positive(sheet.element.facts.number("nearest"), "nearest")
    focal = set_up.view.focal_px()
    if nearest is None or focal is None:
        return
    stated = sheet.positive(sheet.element.facts.number("finest_mark"), "finest_mark")
    mark = stated or sheet.rule(rules.FINEST_MARK)[0]
    allowed = sheet.rule(rules.MARK_PX)[0]
    limit = Quantity(
        "detail",
        window.highest_by_detail(
            nearest.value / 1000, focal.value, mark.value / 1000, allowed.value
        ),
        "1:N",
        reason="pixels allowed x nearest / (focal length in pixels x finest mark)",
        inputs=(allowed, nearest, focal, mark),
    )
    subject = set_up.subject
    subject.bound_scale(sheet, limit, "finer marks")
    n = subject.scale.value
    covers = focal.value * mark.value * n / nearest.value
    if n > limit.value:
        sheet.warn(
            "detail-shows",
            f"at {in_ratio(n)} the finest mark, {mark.value:g} mm, covers {covers:.1f} px where"
            f" {allowed.value:g} px pass unseen",
            built_larger(
                limit.value,
                f"keep the lens {nearest.value * covers / allowed.value / 1000:.3g} m away in the"
                " picture",
            ),
            at="nearest",
        )
