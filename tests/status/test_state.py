"""States folded from events, in the trade's words, each case argued in a line."""

from __future__ import annotations

from datetime import timedelta

import pytest

from planner.ledger import Event, Note, Verdict, What
from planner.status import State, Step, states_of
from planner.status.state import in_force
from tests.ledger.told import START, event

GOOD, NO_GOOD = Verdict.GOOD, Verdict.NO_GOOD


def state(*told: Event) -> State:
    return states_of(told)["hill_town"]


def take(n: int, number: str, **details: object) -> Event:
    return event(n, What.TAKE, take=number, **details)


def test_each_step_is_told_in_the_trade_s_words() -> None:
    steps = [What.BUILT, What.PROVEN, What.ON_STAGE, What.SET_UP]
    told = [event(n, what) for n, what in enumerate(steps)]
    assert [state(*told[: n + 1]).words for n in range(4)] == [
        "built",
        "proven",
        "on stage",
        "set up",
    ]
    shot = [*told, take(4, "1")]
    assert state(*shot).words == "shooting"
    canned = [*shot, event(5, What.IN_THE_CAN)]
    assert state(*canned).words == "in the can"
    assert state(*canned, event(6, What.SCANNED)).words == "scanned"


def test_a_state_says_since_when() -> None:
    told = state(event(1), event(2, What.PROVEN), event(3, What.BUILT))
    assert told.since == START + timedelta(minutes=2)


def test_order_of_telling_does_not_matter_only_when_it_happened() -> None:
    told = [event(1), event(2, What.SET_UP), take(3, "1"), event(4, What.STRUCK)]
    assert state(*told) == state(*reversed(told))


def test_the_take_in_use_is_the_last_circled_else_the_last_good_one() -> None:
    told = [take(1, "1", verdict=NO_GOOD), take(2, "2", verdict=GOOD), take(3, "3", verdict=GOOD)]
    assert state(told[0]).in_use == ""
    assert state(*told).in_use == "3"
    assert state(*told, take(4, "2", circled=True)).in_use == "2"
    # Take 4 is good too, but nobody circled it.
    later = [*told, take(4, "2", circled=True), take(5, "4", verdict=GOOD)]
    assert state(*later).in_use == "2"
    assert state(*later, take(6, "2", verdict=NO_GOOD)).in_use == "4"


def test_an_approval_of_take_4_is_none_of_take_7() -> None:
    told = [
        take(1, "4", verdict=GOOD, circled=True),
        event(2, What.IN_THE_CAN),
        event(3, What.APPROVED, by="the director"),
    ]
    approved = state(*told)
    assert approved.words == "approved"
    assert approved.ruling is not None
    assert approved.ruling.take == "4"
    later = state(*told, take(4, "7", verdict=GOOD, circled=True))
    assert later.words == "in the can"
    assert later.remarks == (
        "the director approved take 4 on 2027-03-01; take 7 is in use and is not approved by it",
    )
    both = state(
        *told, take(4, "7", circled=True), event(5, What.APPROVED, by="the director", take="7")
    )
    assert both.words == "approved"
    assert both.remarks == ()  # take 7 is approved by a word of its own


def test_an_approval_of_another_take_than_the_one_in_use_does_not_hold() -> None:
    told = state(take(1, "7", circled=True), event(2, What.APPROVED, by="the director", take="4"))
    assert told.words == "shooting"
    assert "take 7 is in use" in told.remarks[0]


def test_an_approval_may_ask_for_more() -> None:
    notes = (Note("the toe slides"),)
    told = state(event(1, What.IN_THE_CAN), event(2, What.APPROVED, by="the director", notes=notes))
    assert told.words == "approved with notes"
    assert told.has_notes


def test_what_was_refused_is_photographed_again() -> None:
    told = [
        event(1, What.SET_UP),
        take(2, "1", circled=True),
        event(3, What.IN_THE_CAN),
        event(4, What.NOT_APPROVED, by="the director"),
    ]
    assert state(*told).words == "not approved"
    assert state(*told).step is Step.SHOOTING  # it still stands
    struck = [*told, event(5, What.STRUCK)]
    assert state(*struck).words == "not approved"
    again = [*struck, event(6, What.SET_UP)]
    assert state(*again).words == "set up again"
    shot = [*again, take(7, "2", verdict=GOOD)]
    assert state(*shot).in_use == "2"  # the circled take 1 was refused
    assert state(*shot, event(8, What.IN_THE_CAN)).words == "in the can"


def test_another_take_is_wanted_while_none_there_is_will_do() -> None:
    no_good = take(1, "1", verdict=NO_GOOD)
    assert state(no_good).wants_take
    assert not state(take(1, "1")).wants_take  # nobody said that it will not do
    assert not state(no_good, take(2, "2", verdict=GOOD)).wants_take
    assert not state(no_good, event(2, What.IN_THE_CAN)).wants_take
    # Refused while it stands is as good as no good, until it is taken again.
    refused = (
        event(1, What.SET_UP),
        take(2, "1", circled=True),
        event(3, What.NOT_APPROVED, by="the director"),
    )
    assert state(*refused).wants_take
    assert not state(*refused, take(4, "2", verdict=GOOD)).wants_take


def test_a_refusal_without_takes_falls_once_it_is_in_the_can_again() -> None:
    told = [event(1, What.IN_THE_CAN), event(2, What.NOT_APPROVED, by="the director")]
    assert state(*told).is_refused
    assert state(*told, event(3, What.IN_THE_CAN)).words == "in the can"


def test_scanning_is_of_a_take_too() -> None:
    told = [take(1, "1", circled=True), event(2, What.IN_THE_CAN), event(3, What.SCANNED)]
    assert state(*told).words == "scanned"
    assert state(*told, take(4, "2", circled=True)).words == "in the can"


def test_who_holds_it_is_kept_until_they_free_it() -> None:
    told = [
        event(1),
        event(2, What.HELD, by="the director", why="he may lose the shot"),
        event(3, What.HELD, by="the insurer"),
    ]
    held = state(*told)
    assert held.words == "built, on hold"
    assert [each.by for each in held.holds] == ["the director", "the insurer"]
    assert held.holds[0].since == START + timedelta(minutes=2)
    freed = state(*told, event(4, What.FREED, by="the director"))
    assert [each.by for each in freed.holds] == ["the insurer"]
    assert state(*told, event(4, What.FREED)).words == "built"


def test_what_is_struck_before_it_is_in_the_can_is_to_be_set_up_again() -> None:
    told = [event(1), event(2, What.SET_UP), take(3, "1")]
    assert state(*told, event(4, What.STRUCK)).words == "built"
    assert state(*told, event(4, What.IN_THE_CAN), event(5, What.STRUCK)).words == "in the can"


def test_what_is_lost_begins_again() -> None:
    told = [event(1), event(2, What.PROVEN), event(3, What.LOST, why="it burned")]
    lost = state(*told)
    assert lost.words == "lost"
    assert lost.made is Step.BOARDED
    assert state(*told, event(4)).words == "built"


def test_what_is_omitted_comes_back_as_it_was() -> None:
    told = [event(1), event(2, What.OMITTED)]
    assert state(*told).words == "omitted"
    assert state(*told, event(3, What.UN_OMITTED)).words == "built"


def test_a_take_that_is_no_good_after_all_takes_the_piece_out_of_the_can() -> None:
    told = [take(1, "1", verdict=GOOD), event(2, What.IN_THE_CAN, take="1"), event(3, What.SCANNED)]
    assert state(*told).words == "scanned"
    bad = state(*told, take(4, "1", verdict=NO_GOOD))
    assert (bad.words, bad.in_use, bad.wants_take) == ("shooting", "", True)
    # Another take that will do is used in its place; and what is told once more changes nothing.
    other = [take(0, "2", verdict=GOOD), *told]
    assert state(*other, take(4, "1", verdict=NO_GOOD)).in_use == "2"
    assert state(*other, take(4, "1", verdict=NO_GOOD)).words == "in the can"
    whole = [take(1, "1", verdict=NO_GOOD), event(2, What.IN_THE_CAN)]
    assert state(*whole, take(3, "1", verdict=NO_GOOD)).words == "in the can"


@pytest.mark.parametrize("told", [What.IN_THE_CAN, What.SCANNED])
def test_a_take_told_no_good_is_done_by_no_film_until_somebody_says_it_will_do(told: What) -> None:
    film = (take(1, "1", verdict=NO_GOOD), event(2, told, take="1"))
    bad = state(*film)
    assert (bad.words, bad.in_use, bad.wants_take) == ("shooting", "", True)
    done = "scanned" if told is What.SCANNED else "in the can"
    for will_do in (take(3, "1", verdict=GOOD), take(3, "1", verdict=Verdict.KEPT)):
        assert (state(*film, will_do).words, state(*film, will_do).in_use) == (done, "1")
    circled = state(*film, take(3, "1", circled=True))
    assert (circled.words, circled.in_use, circled.takes[0].verdict) == (done, "1", None)
    # Said no good once more, and of another take, nothing is in the can.
    assert state(*film, take(3, "1", verdict=NO_GOOD)).wants_take
    other = state(*film, take(3, "2", verdict=GOOD))
    assert (other.words, other.wants_take) == ("shooting", False)
    assert state(*film, take(3, "2", verdict=GOOD), event(4, told, take="2")).words == done
    # Struck meanwhile it is to be set up from cold, and the word that it will do is enough.
    struck = state(*film, event(3, What.STRUCK))
    assert struck.words == "boarded"
    assert state(*film, event(3, What.STRUCK), take(4, "1", verdict=GOOD)).words == done


def test_film_of_a_take_no_good_leaves_another_in_the_can_in_use() -> None:
    good = (take(1, "1", verdict=NO_GOOD), take(2, "2", verdict=GOOD))
    canned = (*good, event(3, What.IN_THE_CAN, take="2"), event(4, What.IN_THE_CAN, take="1"))
    assert (state(*canned).words, state(*canned).in_use) == ("in the can", "2")


def test_a_take_no_good_beside_the_one_in_use_leaves_it_in_the_can() -> None:
    told = [take(1, "1", verdict=GOOD), event(2, What.IN_THE_CAN, take="1")]
    assert state(*told, take(3, "2", verdict=NO_GOOD)).words == "in the can"
    # Nobody told by which take it is in the can: one spoken of first is another than that.
    assert state(event(1, What.IN_THE_CAN), take(2, "1", verdict=NO_GOOD)).words == "in the can"
    # The one that is in the can may be spoken of first when it is no good.
    named = event(1, What.IN_THE_CAN, take="4")
    assert state(named, take(2, "4", verdict=NO_GOOD)).words == "shooting"


def test_a_recut_after_an_approval_is_remarked() -> None:
    told = state(event(1, What.APPROVED, by="the director"), event(2, What.RECUT))
    assert told.remarks == (
        "recut on 2027-03-01, after the director approved it on 2027-03-01: look at it again",
    )


def test_what_was_measured_is_kept_by_name() -> None:
    told = state(
        event(1, What.MEASURED, values={"height": "1.70 m", "tilt": "3 deg"}),
        event(2, What.MEASURED, values={"height": "1.72 m"}),
    )
    assert told.measured == {"height": "1.72 m", "tilt": "3 deg"}


def test_a_correction_takes_one_event_back() -> None:
    wrong = event(2, What.IN_THE_CAN)
    told = [event(1, What.SET_UP), wrong, event(3, What.CORRECTED, corrects=wrong.id)]
    assert state(*told).words == "set up"


def test_a_correction_that_is_corrected_lets_the_event_stand_again() -> None:
    wrong = event(2, What.IN_THE_CAN)
    correction = event(3, What.CORRECTED, corrects=wrong.id)
    told = [wrong, correction, event(4, What.CORRECTED, corrects=correction.id)]
    assert [each.what for each in in_force(told)] == [What.IN_THE_CAN]


def test_a_long_chain_of_corrections_needs_no_deep_stack() -> None:
    told = [event(0)]
    for n in range(1, 5001):
        told.append(event(n, What.CORRECTED, corrects=told[-1].id))
    # Correction 5000 stands, so 4999 falls, so 4998 stands … and 2 stands, 1 falls: it was built.
    assert in_force(told) == (told[0],)
    assert in_force(told[:-1]) == ()
