"""A figure worked by hand, rod or motor before the camera.

Takes one element, its build, camera and stages, gives the stage work of a performance, its film,
the scales that arms, stage and lens allow, the rods that must come out, and what will not work.
Knows nothing of making the figure or of taking out its rods: see `build` and `roto`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds import DOOR, Worksheet, packaged_schema
from planner.kinds.floor import SetUp, lay_out
from planner.kinds.move import is_moving
from planner.kinds.rate import action_of, shooting_rate
from planner.kinds.stops import expose, limit_by_depth
from planner.kinds.stretches import Hands, Stretch, heads, on_stage
from planner.kinds.subject import FULL_SIZE, Subject, subject_of
from planner.kinds.takes import TAKEN, buy_film, lab_hours, reckon_takes, running_hours
from planner.kinds.view import view_of
from planner_plugins.puppet import rules
from planner_plugins.puppet.arms import check_arms
from planner_plugins.puppet.floor_notes import check_blur, check_contacts, check_feet, check_speed
from planner_plugins.puppet.operator import check_operator
from planner_plugins.puppet.pace import check_pace
from planner_plugins.puppet.rods import count_rods

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Context, Estimate
    from planner.kinds.floor import Floor
    from planner.model.quantity import Quantity

FULL_SIZE_SORTS = frozenset({"insert", "suit"})


class Puppet:
    """The kind ``puppet``."""

    name = "puppet"
    door = DOOR
    section = "elements"

    def schema(self) -> Mapping[str, object]:
        """What one may state."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """Stage work, film, rods, limits on scale, and findings."""
        sheet = Worksheet(context)
        facts = context.element.facts
        view = view_of(sheet)
        subject = _subject(sheet)
        action = action_of(sheet, usual="driven")
        exposed = expose(sheet, view, subject)
        rate = shooting_rate(sheet, view, subject, exposed, action)
        passes = facts.words("passes") or ("beauty",)
        usual = rules.TAKES[facts.word("performance") or "ordinary"]
        takes = reckon_takes(sheet, view, rate, len(passes), usual)
        is_gravity = action == "gravity"
        set_up = SetUp(view, subject, rate, gravity=is_gravity, pass_feet=takes.pass_feet)
        floor = lay_out(sheet, set_up)
        limit_by_depth(sheet, view, subject, gravity=is_gravity)
        pace = facts.number("pace") or sheet.rule(rules.PACE)[0]
        operators = _operators(sheet)
        check_arms(sheet, subject, takes, pace, operators)
        count_rods(sheet)
        check_operator(sheet)
        check_contacts(sheet, set_up)
        check_feet(sheet, set_up)
        check_speed(sheet, set_up)
        check_blur(sheet, set_up)
        rest = check_pace(sheet, takes, pace)
        _put_on_stage(sheet, floor, (running_hours(sheet, takes, pace), rest), operators)
        buy_film(sheet, takes)
        return sheet.estimate()


def _subject(sheet: Worksheet) -> Subject:
    """An insert or a suit is full size unless it says otherwise itself; the rest is the build's."""
    facts = sheet.element.facts
    if facts.word("sort") in FULL_SIZE_SORTS and facts.number("scale") is None:
        return FULL_SIZE
    return subject_of(sheet)


def _operators(sheet: Worksheet) -> Quantity:
    facts = sheet.element.facts
    stated = facts.number("operators")
    usual = sheet.rule(rules.OPERATORS[facts.word("sort") or "rod"])[0]
    return sheet.reckon(
        "operators", (stated or usual).value, "1", "stated or usual for its sort", stated or usual
    )


def _put_on_stage(
    sheet: Worksheet, floor: Floor, hours: tuple[Quantity, Quantity], operators: Quantity
) -> None:
    """Add the stage work; `hours` are those of running and of rest."""
    running, rest = hours
    more = max(len(sheet.element.facts.words("passes")) - 1, 0)
    set_up = sheet.effort("set up", (rules.SET_UP, 1))
    rehearse = sheet.effort("rehearse", (rules.REHEARSE, 1))
    resting = (rest,) if rest.value else ()
    photograph = sheet.effort("photograph", (rules.PASS_LINE_UP, more), (TAKEN, running), *resting)
    hands = max(round(operators.value), 1)
    rig_in = Hands("rig the figure in", "puppeteering", heads(sheet, rules.RIG_IN_HANDS))
    work_it = Hands("work the figure", "puppeteering", hands)
    stretches = [
        Stretch("set up", "stage", set_up, heads(sheet, rules.SET_UP_HANDS), beside=(rig_in,))
    ]
    if is_moving(sheet.element):
        program = sheet.effort("program the move", (rules.PROGRAM, 1))
        stretches.append(Stretch("program the move", "programming", program))
    stretches.append(Stretch("rehearse", "puppeteering", rehearse, hands))
    camera = heads(sheet, rules.CAMERA_HANDS)
    stretches.append(Stretch("photograph", "camera", photograph, camera, beside=(work_it,)))
    on_stage(sheet, floor, stretches, wait_hours=lab_hours(sheet))
