"""What a worksheet keeps of one element."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds import Context, Registry, Worksheet
from planner.text.show_folder import load_show

if TYPE_CHECKING:
    from tests.conftest import ShowFolder


def test_a_fact_asked_for_twice_is_missing_once(show: ShowFolder) -> None:
    read, _problems = load_show(show.path, Registry())
    assert read is not None
    sheet = Worksheet(Context(read, read.elements["HL010.town"], {}))
    sheet.miss("light", rests="exposure")
    sheet.miss("light", rests="exposure")
    sheet.miss("light", rests="hours")
    told = [(each.name, each.rests) for each in sheet.estimate().missing]
    assert told == [("light", "exposure"), ("light", "hours")]
