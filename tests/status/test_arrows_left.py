"""What still waits for what."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.ledger import What
from planner.order import ask
from planner.status.arrows_left import arrows_left
from tests.ledger.told import event

if TYPE_CHECKING:
    from tests.status.conftest import Floor


def test_what_is_lost_holds_up_only_what_is_still_to_be_made_of_it(floor: Floor) -> None:
    made = [event(1), event(2, What.IN_THE_CAN, "HL010.sky"), event(3, What.LOST)]
    stands = floor.standing(*made)
    graph = arrows_left(floor.graph, stands)
    assert set(graph.arrows.predecessors("HL010.town")) == {"hill_town"}
    canned = event(2, What.IN_THE_CAN, "HL010.town")
    graph = arrows_left(floor.graph, floor.standing(*made, canned))
    assert set(graph.arrows.predecessors("HL010.town")) == set()
    # The composite is not done, and waits for both still.
    assert set(graph.arrows.predecessors("HL010.final")) == {"HL010.sky", "HL010.town"}


def test_work_is_dated_by_what_it_still_waits_for(floor: Floor) -> None:
    # The town is in the can, so nobody waits for another build of it.
    made = [event(1), event(2, What.IN_THE_CAN, "HL010.town"), event(3, What.LOST)]
    stands = floor.standing(*made)
    graph = arrows_left(floor.graph, stands)
    question = ask(floor.show, graph, floor.estimates)
    after = {each.id: each.after for each in question.instance.activities}
    assert not any(each.id.startswith("hill_town/") for each in after["HL010.town/set up"])
    whole = ask(floor.show, floor.graph, floor.estimates)
    after = {each.id: each.after for each in whole.instance.activities}
    assert any(each.id.startswith("hill_town/") for each in after["HL010.town/set up"])
