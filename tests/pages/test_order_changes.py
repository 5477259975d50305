"""What is different between two orders, as it is read."""

from __future__ import annotations

import json
from datetime import date, datetime
from typing import TYPE_CHECKING

from planner.order import compare
from planner.pages.order_changes import changes_json, changes_text, shift_words
from tests.order.floor import floor_of, usual_work, with_south

if TYPE_CHECKING:
    from planner.model.show import Show
    from planner.order import Changes
    from tests.conftest import ShowFolder


def lost_a_week(show: ShowFolder) -> tuple[Show, Changes]:
    """Both stages away from Tuesday to Friday, planned again from Tuesday."""
    with_south(show)
    issued = floor_of(show, usual_work()).issued()
    text = (show.path / "resources.yaml").read_text(encoding="utf-8")
    away = "height: 7 m, away: [2027-03-02..2027-03-05]}"
    show.write("resources.yaml", text.replace("height: 7 m}", away))
    floor = floor_of(show, usual_work())
    order = floor.again(issued, date(2027, 3, 2))
    return floor.show, compare(floor.show.calendar, issued, order)


GOLDEN = """\
Since order 1, issued Fri 26 Feb 2027 by the manager: 2 calls moved, 0 new, 0
gone, 1 on their day.

Moved
  HL010.town, 1 call: 4 working days later, Tue 2 Mar 2027 to Mon 8 Mar 2027
      HL010.town, photograph starts Mon 8 Mar 2027 08:00: it waits for hill
      town, build it, over by Tue 2 Mar 08:00; until it starts, south is away
  HL010.final, 1 call: 4 working days later, Wed 3 Mar 2027 to Tue 9 Mar 2027
      HL010.final, join starts Tue 9 Mar 2027 08:00: it waits for HL010.town,
      photograph

Composites
  HL010: 4 working days later, Wed 3 Mar 2027 to Tue 9 Mar 2027
"""


def test_a_lost_week_reads_so(show: ShowFolder) -> None:
    read, changes = lost_a_week(show)
    assert changes_text(changes, read) == GOLDEN


def test_the_json_says_the_same(show: ShowFolder) -> None:
    _read, changes = lost_a_week(show)
    told = json.loads(json.dumps(changes_json(changes)))
    assert [(each["call"], each["working_days"]) for each in told["moved"]] == [
        ("HL010.town/photograph", 4),
        ("HL010.final/join", 4),
    ]
    assert told["finals"][0]["now"] == datetime(2027, 3, 9, 13).isoformat()
    assert told["standing"] == 1


def test_nothing_moved_is_one_sentence(show: ShowFolder) -> None:
    floor = floor_of(show, usual_work())
    text = changes_text(compare(floor.show.calendar, floor.issued(), floor.arranged()), floor.show)
    assert " ".join(text.split()).endswith("nothing has moved; 3 calls as issued.")


def test_shifts_are_said_as_people_say_them() -> None:
    assert [shift_words(days) for days in (2, 1, -1, 0)] == [
        "2 working days later",
        "1 working day later",
        "1 working day sooner",
        "the same day",
    ]
