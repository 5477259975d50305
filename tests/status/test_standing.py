"""Whether others may go on: what each sort of piece must come to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.ledger import Note, What
from planner.status import Step
from tests.ledger.told import event

if TYPE_CHECKING:
    from tests.status.conftest import Floor


def test_each_piece_comes_to_its_own_step(floor: Floor) -> None:
    pieces = floor.outline.pieces
    assert (pieces["hill_town"].made_at, pieces["hill_town"].shot_at) == (Step.BUILT, None)
    assert (pieces["HL010.town"].made_at, pieces["HL010.town"].shot_at) == (None, Step.IN_THE_CAN)
    assert pieces["HL010.final"].shot_at is Step.APPROVED
    assert pieces["HL010.final"].waits == ("HL010.sky", "HL010.town")


def test_a_build_that_is_to_be_proven_is_not_done_when_built(floor: Floor) -> None:
    scale = "    scale: 1/24\n"
    floor.folder.replace("builds.yaml", scale, f"{scale}    proof: {{likely: 4 h}}\n")
    built = event(1)
    assert floor.standing(built).waits_for("HL010.town") == ("hill_town",)
    assert floor.standing(built, event(2, What.PROVEN)).waits_for("HL010.town") == ()


def test_what_is_built_frees_what_waits_for_it(floor: Floor) -> None:
    assert floor.standing().waits_for("HL010.town") == ("hill_town",)
    assert floor.standing(event(1)).waits_for("HL010.town") == ()
    assert floor.standing(event(1), event(2, What.LOST)).waits_for("HL010.town") == ("hill_town",)


def test_what_is_only_set_up_frees_nothing(floor: Floor) -> None:
    told = [event(1, What.SET_UP, "HL010.town"), event(2, What.TAKE, "HL010.town", take="1")]
    assert not floor.standing(*told).is_done("HL010.town")
    assert floor.standing(*told, event(3, What.IN_THE_CAN, "HL010.town")).is_done("HL010.town")


def test_a_composite_is_done_when_approved_without_notes(floor: Floor) -> None:
    def approved(*notes: Note) -> bool:
        told = event(1, What.APPROVED, "HL010.final", by="the director", notes=notes)
        return floor.standing(told).is_done("HL010.final")

    assert approved()
    assert not approved(Note("a darker sky"))


def test_an_element_approved_with_notes_lets_others_go_on(floor: Floor) -> None:
    notes = (Note("a darker sky"),)
    told = event(1, What.APPROVED, "HL010.sky", by="the director", notes=notes)
    assert floor.standing(told).is_done("HL010.sky")


def test_what_happens_to_a_shot_happens_to_its_pieces(floor: Floor) -> None:
    held = floor.standing(event(1, What.HELD, "HL010", by="the director"))
    assert held.words("HL010.town") == "on hold"
    assert held.words("HL010") == "on hold"
    assert held.words("hill_town") == "boarded"
    omitted = floor.standing(event(1, What.OMITTED, "HL010"))
    assert omitted.words("HL010.final") == "omitted"
    assert omitted.is_done("HL010.final")


def test_a_hold_stops_what_is_in_the_can_too(floor: Floor) -> None:
    told = [event(1, What.IN_THE_CAN, "HL010.sky"), event(2, What.HELD, "HL010.sky", by="a lawyer")]
    stands = floor.standing(*told)
    assert stands.words("HL010.sky") == "in the can, on hold"
    assert "HL010.sky" in stands.waits_for("HL010.final")


def test_what_its_file_calls_done_is_done(floor: Floor) -> None:
    floor.folder.replace(
        "sequences/hill.yaml",
        "{kind: plate, sort: live, on: location}",
        "{kind: plate, sort: live, on: location, waits_for: leave}",
    )
    builds = (floor.folder.path / "builds.yaml").read_text(encoding="utf-8")
    permits = "permits:\n  leave: {for: the hill, from: the farmer, in_hand: true}\n"
    floor.folder.write("builds.yaml", builds + permits)
    assert floor.standing().words("leave") == "in hand"
    assert floor.standing().waits_for("HL010.sky") == ()
    floor.folder.replace("builds.yaml", "in_hand: true", "expected: 2027-03-10")
    assert floor.standing().words("leave") == "not in hand"
    assert floor.standing().waits_for("HL010.sky") == ("leave",)
    assert floor.standing(event(1, What.SETTLED, "leave")).words("leave") == "in hand"
    assert floor.standing(event(1, What.SETTLED, "leave")).waits_for("HL010.sky") == ()


def test_versions_of_a_composite_are_no_shooting(floor: Floor) -> None:
    told = event(1, What.TAKE, "HL010.final", take="2")
    assert floor.standing(told).words("HL010.final") == "version 2"


def test_facts_that_events_rest_on_change_their_mark_and_prose_does_not(floor: Floor) -> None:
    was = floor.basis("HL010.town")
    assert was.facts["shot cut"] == "1-96"
    assert was.facts["build hill_town scale"] == "24 1:N"
    floor.folder.replace(
        "sequences/hill.yaml", "action: still", "notes: careful\n        action: still"
    )
    prose = floor.basis("HL010.town")
    floor.folder.replace("sequences/hill.yaml", "cut: 1-96", "cut: 1-90")
    cut = floor.basis("HL010.town")
    assert prose.mark == was.mark
    assert cut.mark != was.mark
