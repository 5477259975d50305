"""What is to be expected on a day, and why it is not what it was a week before."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from planner.ledger import Verdict, What
from planner.order.risk import Terms
from planner.pages.forecast_text import forecast_text
from planner.schedule import Budget
from planner.status.forecast import Expected, Forecast, Ground, Split, _Day, forecast
from tests.ledger.told import event

if TYPE_CHECKING:
    from planner.ledger import Event
    from tests.status.conftest import Floor

MONDAY = datetime(2027, 3, 1, 18, tzinfo=UTC)
WEEK = timedelta(days=7)
FINAL = "HL010.final"


def on(day: int, what: What, about: str = "hill_town", **details: object) -> Event:
    """An event so many days after Monday 1 March, at eight."""
    told = event(day * 24 * 60, what, about, **details)
    # Told apart by what they say: of one day there may be several.
    return replace(told, client=f"{what} {about} {day}")


def told(floor: Floor, *events: Event, now: datetime = MONDAY + WEEK) -> Forecast:
    floor.read()
    terms = Terms(draws=400)
    ground = Ground(
        floor.show,
        floor.graph,
        floor.estimates,
        events,
        lambda _calls: Budget(evaluations=20),
        terms,
    )
    return forecast(ground, now, now - WEEK, floor.graph.composites.values())


def final(found: Forecast) -> Expected:
    (expected,) = found.composites
    assert expected.id == FINAL
    return expected


def moved(expected: Expected) -> Split:
    assert expected.moved is not None
    return expected.moved


def test_a_week_in_which_nothing_was_posted_moves_the_date_by_a_week(floor: Floor) -> None:
    # From Monday 1 March to Monday 8 March five working days go by.
    found = told(floor)
    assert moved(final(found)) == Split(5, 0, 0)
    assert final(found).happened == ()
    (reel,) = found.deliveries
    assert reel.moved == 5
    assert reel.chance is not None
    assert reel.chance.on_time == 1.0


def test_what_was_done_gains_what_it_took(floor: Floor) -> None:
    found = final(told(floor, on(2, What.BUILT)))
    (happened,) = found.happened
    assert (happened.id, happened.sort, happened.now) == ("hill_town", "done", "built")
    assert moved(found).passed == 5
    assert moved(found).posted < 0
    assert found.chance is not None
    assert found.was is not None
    last, first = found.was.ordered.date(), found.chance.ordered.date()
    span = (first + timedelta(days=n) for n in range((last - first).days))
    assert moved(found).days == -sum(day.weekday() < 5 for day in span)


def test_the_range_of_a_date_narrows_as_work_is_posted_done(floor: Floor) -> None:
    there = [on(2, What.IN_THE_CAN, "HL010.sky"), on(2, What.SCANNED, "HL010.sky")]
    built, taken = on(3, What.BUILT), on(4, What.IN_THE_CAN, "HL010.town", take="1")
    # What is left of the longest chain: to build, photograph and join; the last two; to join.
    widths = [_width(told(floor, *there, *more)) for more in ((), (built,), (built, taken))]
    assert widths == sorted(widths, reverse=True)
    assert len(set(widths)) == 3


def _width(found: Forecast) -> timedelta:
    """From the soonest draw to the latest."""
    chance = final(found).chance
    assert chance is not None
    return chance.days[-1] - chance.days[0]


def test_what_came_back_is_told_before_what_was_done(floor: Floor) -> None:
    take = on(-1, What.TAKE, "HL010.town", take="1", verdict=Verdict.GOOD)
    done = on(0, What.IN_THE_CAN, "HL010.town", take="1")
    refused = on(3, What.NOT_APPROVED, "HL010.town", by="the director", take="1")
    scanned = on(4, What.SCANNED, "HL010.sky")
    found = final(told(floor, take, done, refused, on(2, What.IN_THE_CAN, "HL010.sky"), scanned))
    assert [(each.id, each.sort) for each in found.happened] == [
        ("HL010.town", "came back"),
        ("HL010.sky", "done"),
    ]
    assert found.happened[0].at == refused.at


def test_what_came_back_costs_days(floor: Floor) -> None:
    # All that the composite waited for was there; the miniature is to be photographed again.
    there = [
        on(-1, What.BUILT),
        on(-1, What.IN_THE_CAN, "HL010.sky"),
        on(-1, What.SCANNED, "HL010.sky"),
        on(-1, What.IN_THE_CAN, "HL010.town", take="1"),
    ]
    refused = on(3, What.NOT_APPROVED, "HL010.town", by="the director", take="1")
    assert moved(final(told(floor, *there))).posted == 0
    assert moved(final(told(floor, *there, refused))).posted > 0


def test_a_hold_is_a_change_and_costs_nothing_yet(floor: Floor) -> None:
    found = final(told(floor, on(2, What.HELD, "HL010", by="the director")))
    assert {each.sort for each in found.happened} == {"changed"}
    assert moved(found) == Split(5, 0, 0)


def test_a_correction_is_dated_by_itself(floor: Floor) -> None:
    built = on(-1, What.BUILT)
    wrong = on(3, What.CORRECTED, "hill_town", corrects=built.id)
    (happened,) = final(told(floor, built, wrong)).happened
    assert (happened.id, happened.sort, happened.at) == ("hill_town", "came back", wrong.at)


def test_what_is_posted_later_changes_no_earlier_forecast(floor: Floor) -> None:
    assert told(floor, on(2, What.BUILT)) == told(
        floor, on(2, What.BUILT), on(9, What.BUILT, FINAL)
    )


def test_what_is_approved_is_to_come_no_more(floor: Floor) -> None:
    there = [on(-1, What.IN_THE_CAN, id_) for id_ in ("HL010.sky", "HL010.town")]
    scanned = on(-1, What.SCANNED, "HL010.sky")
    found = told(floor, *there, scanned, on(2, What.APPROVED, FINAL, by="the director"))
    assert (found.approved, found.composites, found.deliveries) == ((FINAL,), (), ())


def test_what_is_approved_before_its_pieces_are_there_is_still_to_come(floor: Floor) -> None:
    early = told(floor, on(2, What.APPROVED, FINAL, by="the director"))
    assert early.approved == ()
    assert final(early).words == "approved before its pieces were there"
    # The approval makes no piece: all is left that was, and due when it was.
    assert final(early).chance == final(told(floor)).chance
    assert [each.delivery.id for each in early.deliveries] == ["reel"]


@pytest.mark.parametrize("days", [7, 14])
def test_the_earlier_date_is_what_was_told_on_that_day(floor: Floor, days: int) -> None:
    events = (on(2, What.BUILT), on(9, What.IN_THE_CAN, "HL010.sky"))
    now = MONDAY + timedelta(days=days)
    was = final(told(floor, *events, now=now)).was
    assert was == final(told(floor, *events, now=now - WEEK)).chance
    assert was is not None
    assert replace(was, drivers=()) == was


def test_what_is_dead_since_facts_changed_is_work_again(floor: Floor) -> None:
    kept = floor.basis("HL010.sky")
    sky = replace(on(1, What.IN_THE_CAN, "HL010.sky"), against=kept.mark)
    floor.folder.replace("sequences/hill.yaml", "cut: 1-96", "cut: 1-200")
    floor.read()
    known = (floor.show, floor.graph, floor.estimates)
    ground = Ground(*known, [sky], lambda _calls: Budget(evaluations=20), Terms(draws=50), [kept])
    assert not _Day(ground, MONDAY + WEEK).stands.is_done("HL010.sky")
    assert _Day(replace(ground, bases=()), MONDAY + WEEK).stands.is_done("HL010.sky")


def test_a_build_posted_after_the_take_that_showed_it_is_no_change(floor: Floor) -> None:
    # The take of a week ago showed the town to be built; that it was is posted only since.
    take = on(-1, What.TAKE, "HL010.town", take="1", verdict=Verdict.GOOD)
    late = final(told(floor, take, on(2, What.BUILT)))
    assert [(each.id, each.sort, each.was, each.now) for each in late.happened] == [
        ("hill_town", "told", "built", "built")
    ]
    assert moved(late).posted == 0
    said = forecast_text(told(floor, take, on(2, What.BUILT)), "Hill")
    assert "hill_town: as it was taken to be, built (" in said


def test_what_a_loss_costs_is_what_was_posted_and_names_it(floor: Floor) -> None:
    # All but the miniature is there, and that stands on the north stage: by Monday 1 March on that
    # day, by Monday 8 March five working days later. The stage, lost on Thursday, is back on the
    # 29th: three weeks, fifteen working days, after the 8th.
    there = [
        on(-1, What.BUILT),
        on(-1, What.IN_THE_CAN, "HL010.sky"),
        on(-1, What.SCANNED, "HL010.sky"),
    ]
    lost = on(3, What.LOST, "north", why="flooded", values={"back": "2027-03-29"})
    found = final(told(floor, *there, lost))
    assert moved(found) == Split(5, 15, 0)
    assert [(each.id, each.was, each.now) for each in found.happened] == [
        ("north", "there", "lost, back 2027-03-29")
    ]
    said = " ".join(forecast_text(told(floor, *there, lost), "Hill").split())
    assert "15 working days later by what was posted" in said
    assert "what is lost to be away until the day that is posted, else for 3 working days" in said
