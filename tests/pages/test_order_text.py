"""The stage order as text."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from planner.kinds import Hours, Phase, Work
from planner.model.facts import Facts
from planner.model.place import Place, Problem, Severity
from planner.model.quantity import Quantity
from planner.model.show import Loads, Resource, Show, WorkCalendar
from planner.order.stage_order import Call, StageOrder
from planner.pages.order_text import notes_of, order_text
from planner.pages.wording import columns

HERE = Place("dam/sequences/a.yaml", 8, 12)


def call(
    element: str,
    starts: datetime,
    hours: float,
    *,
    craft: str = "camera",
    stage: str = "",
    ends: datetime | None = None,
    set_up: str = "",
) -> Call:
    work = Work(
        "photograph",
        craft,
        Phase.STAGE,
        Hours(hours, hours, hours),
        Quantity("hours", hours, "h"),
        set_up=set_up,
    )
    holds = (stage, "crane") if stage else ()
    return Call(element, work, starts, ends or starts + timedelta(hours=hours), hours, holds, stage)


def show_with(*resources: Resource) -> Show:
    calendar = WorkCalendar(date(2026, 3, 2), frozenset(range(5)), (), time(8), 8.0)
    named = {each.id: each for each in resources}
    terms = Loads(Decimal(0), {}, False)
    return Show("s", "Dam", "GBP", calendar, {}, {}, {}, named, {}, {}, (), terms, Facts(HERE))


STAGE = Resource("stage_a", "stage", "Stage A", 1, "", (), Facts(HERE), HERE)
CRANE = Resource("crane", "rig", "the crane", 1, "", (), Facts(HERE), HERE)
MONDAY = datetime.combine(date(2026, 3, 2), time(8))


def order(*calls: Call, **more: object) -> StageOrder:
    values: dict[str, object] = {"days_held": {}, "finals": {}, "late": {}, **more}
    return StageOrder(
        calls, bound_days=2.0, proven=False, method="put in by hand", problems=(), **values
    )


def test_the_order_goes_by_stage_and_day_with_set_ups_where_they_change() -> None:
    tuesday = MONDAY + timedelta(days=1)
    thursday = MONDAY + timedelta(days=3)
    text = order_text(
        order(
            call("A_010.dam", MONDAY, 3, stage="stage_a", set_up="dam, 1:24"),
            call("A_020.dam", MONDAY + timedelta(hours=3), 2, stage="stage_a", set_up="dam, 1:24"),
            call("A_030.dam", thursday, 4, stage="stage_a", set_up="dam, 1:10"),
            call("dam", MONDAY, 16, craft="model_making", ends=tuesday + timedelta(hours=8)),
            days_held={"stage_a": tuple((MONDAY + timedelta(days=day)).date() for day in range(4))},
            late={"A_030": 2.0},
            finals={"A_030": thursday},
        ),
        show_with(STAGE, CRANE),
    )
    assert text == (
        "4 calls, Mon 2 Mar 2026 to Thu 5 Mar 2026; put in by hand, not proven the best.\n"
        "The longest chain of work alone takes 2 working days.\n\n"
        "Stage A: 4 days held\n"
        "  Mon 2 Mar 2026\n"
        "    set-up: dam, 1:24\n"
        "    with the crane\n"
        "    08:00-11:00     3 h  A_010.dam: photograph\n"
        "    11:00-13:00     2 h  A_020.dam: photograph\n"
        "  Tue 3 Mar 2026  held, idle\n"
        "  Wed 4 Mar 2026  held, idle\n"
        "  Thu 5 Mar 2026\n"
        "    set-up: dam, 1:10\n"
        "    with the crane\n"
        "    08:00-12:00     4 h  A_030.dam: photograph\n\n"
        "Off stage, model making\n"
        "  Mon 2 Mar 2026 to Tue 3 Mar 2026, 16 h\n"
        "    dam: photograph\n\n"
        "A_030 is late by 2 working days, done on Thu 5 Mar 2026.\n"
    )


def test_a_call_over_a_night_says_when_it_ends() -> None:
    ends = datetime.combine(date(2026, 3, 4), time(12))
    text = order_text(
        order(
            call("A_010.dam", MONDAY, 20, stage="stage_a", ends=ends),
            days_held={"stage_a": (MONDAY.date(),)},
            finals={"A_010": ends},
        ),
        show_with(STAGE),
    )
    assert "A_010.dam: photograph, until Wed 4 Mar 2026 12:00" in " ".join(text.split())
    assert "    with crane\n" in text
    assert "idle" not in text
    assert "Every composite is in time; the last is done on Wed 4 Mar 2026." in text


@given(st.text(max_size=300), st.text(max_size=300))
def test_an_order_of_any_names_fits_the_width(element: str, set_up: str) -> None:
    text = order_text(
        order(call(element, MONDAY, 3, stage="stage_a", set_up=set_up), call(element, MONDAY, 3)),
        show_with(STAGE, CRANE),
    )
    assert max(columns(each) for each in text.split("\n")) <= 80


def test_a_call_that_cannot_be_done_as_planned_says_so_under_its_set_up() -> None:
    text = order_text(
        order(call("A_010.dam", MONDAY, 3, stage="stage_a", set_up="dam, 1:24")),
        show_with(STAGE),
        notes_of(
            (
                Problem(
                    Severity.ERROR, HERE, "stage-forbids", "Stage A forbids flame", "", "A_010.dam"
                ),
                Problem(Severity.WARNING, HERE, "light-short", "dim", "", "A_010.dam"),
            ),
            hazards={"A_010.dam": ("flame", "moving_rig"), "A_020.dam": ()},
        ),
    )
    assert (
        "    set-up: dam, 1:24\n"
        "    with crane\n"
        "    ! A_010.dam cannot be done as planned: Stage A forbids flame [stage-forbids]\n"
        "    ! A_010.dam take care: flame, moving rig; see the call sheet\n"
        "    08:00-11:00"
    ) in text
    assert "dim" not in text
