"""What was posted as made, judged after the small show's files were changed.

The show's handles are 8 and its cut is 1-96: what was photographed has -7 to 104.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from types import MappingProxyType
from typing import TYPE_CHECKING

import pytest

from planner.bid.actuals import read_actuals
from planner.ledger import Verdict as Said
from planner.ledger import What
from planner.model.facts import Facts, FrameRange
from planner.model.place import Place
from planner.model.show import Element
from planner.pages.blocking import blocking_text
from planner.status import Standing, states_of
from planner.status.blocking import Blocker
from planner.status.causes import Causes
from planner.status.judging import Judgement
from planner.status.mending import Pricing, Stale, next_act
from planner.status.remaining import remaining, work_left
from planner.status.staleness import Judged, judge
from planner.status.verdicts import Verdict
from tests.ledger.told import event
from tests.status.conftest import MONDAY

if TYPE_CHECKING:
    from planner.ledger import Basis, Event
    from tests.status.conftest import Floor

SHOT = "sequences/hill.yaml"


class Happened:
    """Events told against the show's files as they were at that moment."""

    def __init__(self, floor: Floor) -> None:
        self.floor = floor
        self.events: list[Event] = []
        self.bases: dict[str, Basis] = {}

    def tell(self, what: What, about: str, **details: object) -> None:
        basis = self.floor.basis(about)
        self.bases[basis.mark] = basis
        told = event(len(self.events), what, about, **details)
        self.events.append(replace(told, against=basis.mark))

    def judged(self) -> Judged:
        self.floor.read()
        return judge(self.floor.show, self.floor.estimates, self.events, self.bases.values())

    def standing(self) -> Standing:
        return Standing(self.floor.outline, states_of(self.events), self.judged().judgements)

    def stale(self, posted: str = "") -> dict[str, Stale]:
        judged, standing = self.judged(), self.standing()
        postings, problems = read_actuals(posted, "actuals.csv") if posted else ((), ())
        assert problems == ()
        pricing = Pricing(self.floor.show, self.floor.estimates, postings, date(2027, 3, 2))
        found = pricing.stale(judged.judgements, judged.made, standing)
        return {each.judgement.id: each for each in found}

    def verdicts(self) -> dict[str, Verdict]:
        return {id_: each.verdict for id_, each in self.judged().judgements.items()}


@pytest.fixture
def happened(floor: Floor) -> Happened:
    """The whole shot was made: a build, two pictures, outlines and a version that was approved."""
    outlines = "edge: {kind: roto, sort: split, roto_of: sky, level: isolated}"
    floor.folder.replace(
        SHOT,
        "      final: {kind: composite, joins: [sky, town]}",
        f"      {outlines}\n      final: {{kind: composite, joins: [sky, town, edge]}}",
    )
    told = Happened(floor)
    told.tell(What.BUILT, "hill_town")
    told.tell(What.TAKE, "HL010.sky", take="1", verdict=Said.GOOD, circled=True)
    told.tell(What.IN_THE_CAN, "HL010.sky", take="1")
    told.tell(What.TAKE, "HL010.town", take="3", verdict=Said.GOOD, circled=True)
    told.tell(What.IN_THE_CAN, "HL010.town", take="3")
    told.tell(What.BUILT, "HL010.edge")
    told.tell(What.TAKE, "HL010.final", take="1")
    told.tell(What.APPROVED, "HL010.final", take="1", by="the director")
    return told


def test_nothing_changed_is_all_good(happened: Happened) -> None:
    assert set(happened.verdicts().values()) == {Verdict.GOOD}
    assert len(happened.verdicts()) == 5
    assert happened.stale() == {}
    assert happened.standing().is_done("HL010.final")


def test_prose_changes_nothing(happened: Happened) -> None:
    happened.floor.folder.replace(SHOT, "says: The town below.", "says: The town at dusk.")
    assert set(happened.verdicts().values()) == {Verdict.GOOD}


def test_a_longer_cut_is_judged_piece_by_piece(happened: Happened) -> None:
    happened.floor.folder.replace(SHOT, "cut: 1-96", "cut: 1-120")
    judged = happened.judged().judgements
    # 120 - 104 = 16 of what was photographed, 120 - 96 = 24 of what was drawn or joined.
    short = {id_: each.frames_short_tail for id_, each in judged.items()}
    assert short == {
        "hill_town": 0,
        "HL010.sky": 16,
        "HL010.town": 16,
        "HL010.edge": 24,
        "HL010.final": 24,
    }
    verdicts = happened.verdicts()
    assert verdicts["HL010.sky"] is Verdict.DEAD
    # Nothing moves in the town, which is held; the outlines were drawn on a sky that is dead.
    assert verdicts["HL010.town"] is Verdict.WORK
    assert judged["HL010.edge"].because == ("HL010.sky",)
    assert verdicts["HL010.final"] is Verdict.WORK


def test_states_say_what_is_dead_and_why(happened: Happened) -> None:
    happened.floor.folder.replace(SHOT, "cut: 1-96", "cut: 1-120")
    standing = happened.standing()
    assert standing.words("HL010.sky") == "in the can, dead: 16 frames short at the tail"
    assert standing.words("HL010.edge") == "built, dead: made from HL010.sky"
    assert not standing.is_done("HL010.sky")
    assert standing.is_done("hill_town")


def test_an_approval_against_other_facts_does_not_count_and_says_so(happened: Happened) -> None:
    assert happened.standing().words("HL010.final") == "approved"
    happened.floor.folder.replace(SHOT, "cut: 1-96", "cut: 1-97")
    state = happened.standing().of("HL010.final")
    assert happened.standing().words("HL010.final").startswith("version 1, good with work")
    (remark,) = state.remarks
    assert remark == (
        "the approval of take 1 by the director on 2027-03-01 does not count: facts it was given"
        " against have changed: 1 frame short at the tail"
    )
    assert "HL010.final" in happened.standing().undone(["HL010.final"])


def test_who_approves_it_afterwards_has_seen_it_as_it_is(happened: Happened) -> None:
    # The sky's distance is not known: another height wants a look.
    happened.floor.folder.replace(SHOT, "height: 6 m", "height: 7 m")
    assert happened.verdicts()["HL010.sky"] is Verdict.WORK
    happened.tell(What.APPROVED, "HL010.sky", take="1", by="the supervisor")
    assert happened.verdicts()["HL010.sky"] is Verdict.GOOD


def test_no_approval_makes_frames(happened: Happened) -> None:
    happened.floor.folder.replace(SHOT, "cut: 1-96", "cut: 1-120")
    happened.tell(What.APPROVED, "HL010.sky", take="1", by="the supervisor")
    assert happened.judged().judgements["HL010.sky"].frames_short_tail == 16


def test_frames_that_the_floor_tells_are_believed(happened: Happened) -> None:
    happened.tell(What.SCANNED, "HL010.sky", take="1", frames=FrameRange(-7, 140))
    happened.floor.folder.replace(SHOT, "cut: 1-96", "cut: 1-120")
    assert happened.verdicts()["HL010.sky"] is Verdict.GOOD


def test_another_take_in_use_asks_for_a_new_join_and_new_outlines(happened: Happened) -> None:
    happened.tell(What.TAKE, "HL010.sky", take="2", verdict=Said.GOOD, circled=True)
    judged = happened.judged().judgements
    assert judged["HL010.edge"].reasons[0] == "made from take 1 of HL010.sky; take 2 is in use"
    assert judged["HL010.final"].verdict is Verdict.WORK
    assert set(judged["HL010.final"].because) == {"HL010.sky", "HL010.edge"}
    happened.tell(What.BUILT, "HL010.edge")
    happened.tell(What.TAKE, "HL010.final", take="2", verdict=Said.GOOD)
    assert set(happened.verdicts().values()) == {Verdict.GOOD}


def test_a_take_checked_against_a_plate_is_held_against_the_plate_in_use(
    happened: Happened,
) -> None:
    told = {"take": "4", "verdict": Said.GOOD, "circled": True, "plate_take": "sky take 1"}
    happened.tell(What.TAKE, "HL010.town", **told)
    assert happened.verdicts()["HL010.town"] is Verdict.GOOD
    happened.tell(What.TAKE, "HL010.sky", take="2", verdict=Said.GOOD, circled=True)
    judged = happened.judged().judgements["HL010.town"]
    assert judged.verdict is Verdict.WORK
    assert "take 1 of HL010.sky; take 2 is in use" in judged.reasons[0]


def test_what_is_made_again_rests_on_the_new_facts(happened: Happened) -> None:
    happened.floor.folder.replace(SHOT, "cut: 1-96", "cut: 1-120")
    happened.tell(What.TAKE, "HL010.sky", take="2", verdict=Said.GOOD, circled=True)
    assert happened.verdicts()["HL010.sky"] is Verdict.GOOD


def test_what_is_lost_or_omitted_is_not_judged(happened: Happened) -> None:
    happened.tell(What.LOST, "HL010.sky", why="the negative is torn")
    assert "HL010.sky" not in happened.verdicts()


def test_what_goes_with_an_omitted_shot_is_spent_and_not_to_be_mended(happened: Happened) -> None:
    # Every picture of the shot is 16 frames short, 120 - (96 + 8); with the shot all are unwanted.
    happened.floor.folder.replace(SHOT, "cut: 1-96", "cut: 1-120")
    assert happened.judged().wanted["HL010.sky"].is_dead
    happened.events.append(event(99, What.OMITTED, "HL010", by="Ann"))
    judged = happened.judged()
    assert set(judged.wanted) == {"hill_town"}
    assert set(judged.unwanted) == {f"HL010.{name}" for name in ("sky", "town", "edge", "final")}
    happened.bases.clear()
    assert happened.judged().unknown == ("hill_town",)


def test_another_scale_kills_the_build_and_its_picture(happened: Happened) -> None:
    happened.floor.folder.replace("builds.yaml", "scale: 1/24", "scale: 1/16")
    verdicts = happened.verdicts()
    assert (verdicts["hill_town"], verdicts["HL010.town"]) == (Verdict.DEAD, Verdict.DEAD)
    assert verdicts["HL010.sky"] is Verdict.GOOD


def test_what_was_made_against_facts_that_nobody_kept_is_not_judged(happened: Happened) -> None:
    happened.bases.clear()
    assert happened.judged().judgements == {}
    assert "HL010.sky" in happened.judged().unknown


def test_a_show_replaces_the_rules_of_thumb(happened: Happened) -> None:
    happened.floor.folder.replace(SHOT, "cut: 1-96", "cut: 1-120")
    show = (happened.floor.folder.path / "show.yaml").read_text(encoding="utf-8")
    rules = "rules:\n  stale.frames_made: {low: 8, likely: 16, high: 20, by: the supervisor}\n"
    happened.floor.folder.write("show.yaml", show + rules)
    # 16 at the tail are as many as this show makes by slowing.
    assert happened.verdicts()["HL010.sky"] is Verdict.WORK


def test_a_dead_picture_is_photographed_again_and_a_good_one_is_not(happened: Happened) -> None:
    happened.floor.folder.replace(SHOT, "cut: 1-96", "cut: 1-120")
    standing = happened.standing()
    left = remaining(happened.floor.estimates, standing, lambda _since: 99.0).by_element
    whole = happened.floor.estimates.by_element
    assert left["HL010.sky"].work == whole["HL010.sky"].work
    assert left["hill_town"].work == ()
    (held,) = left["HL010.town"].work
    assert (held.craft, held.hours.likely) == ("compositing", 0.5)
    assert held.name == "make it good: 16 frames short at the tail"
    first, *rest = left["HL010.final"].work
    assert first.name.startswith("make it good")
    assert "join the pieces" not in {each.name for each in rest}


def test_a_piece_that_stands_has_no_work_left(happened: Happened) -> None:
    standing = happened.standing()
    piece = standing.outline.pieces["HL010.town"]
    works = happened.floor.estimates.by_element["HL010.town"].work
    assert work_left(piece, standing.of("HL010.town"), works) == ()


def test_what_blocks_a_composite_names_the_dead_piece_as_a_root(happened: Happened) -> None:
    happened.floor.folder.replace(SHOT, "cut: 1-96", "cut: 1-120")
    standing = happened.standing()
    floor = happened.floor
    left = remaining(floor.estimates, standing, lambda _since: 99.0)
    causes = Causes(floor.show, left, standing, floor.findings, MONDAY)
    asked = Blocker(floor.show, standing, causes, None).ask(("HL010.final",), date(2027, 3, 2), 5)
    roots = {root.id: root.causes[0] for root in asked.roots}
    assert roots["HL010.sky"].sort == "dead"
    assert roots["HL010.sky"].act == "photograph it again"
    assert roots["HL010.town"].sort == "stale"
    # Outlines of a dead sky wait for the sky and are no root of their own.
    assert "HL010.edge" not in roots
    assert "16 frames short at the tail" in " ".join(blocking_text(asked).split())


def test_money_lost_is_what_was_posted_else_what_was_bid(happened: Happened) -> None:
    happened.floor.folder.replace(SHOT, "cut: 1-96", "cut: 1-120")
    rates = (happened.floor.folder.path / "rates.yaml").read_text(encoding="utf-8")
    more = "\n".join(
        f"  {craft}: {{per: hour, amounts: [{{from: 2027-01-01, is: 30 GBP}}]}}"
        for craft in ("roto", "compositing")
    )
    happened.floor.folder.write("rates.yaml", f"{rates}{more}\n")
    stale = happened.stale()
    edge, town = stale["HL010.edge"], stale["HL010.town"]
    hours = sum(w.hours.likely for w in happened.floor.estimates.by_element["HL010.edge"].work)
    assert hours > 0
    assert edge.lost == edge.costs.likely == round(Decimal(hours) * 30, 2)
    assert not edge.is_posted
    # Half an hour of holding a frame at 30 an hour.
    assert (town.lost, town.costs.likely) == (None, Decimal("15.00"))
    posted = (
        "week,element,what,hours,cost,left,note\n2027-03-01,HL010.edge,lay the split,,123.40,,\n"
    )
    told = happened.stale(posted)["HL010.edge"]
    assert (told.lost, told.is_posted) == (Decimal("123.40"), True)


def test_the_dead_come_first_and_each_has_its_next_act(happened: Happened) -> None:
    happened.floor.folder.replace(SHOT, "cut: 1-96", "cut: 1-120")
    stale = happened.stale()
    ranks = [each.judgement.verdict.weight for each in stale.values()]
    assert ranks == sorted(ranks, reverse=True)
    acts = {id_: each.act for id_, each in stale.items()}
    assert acts == {
        "HL010.sky": "photograph it again",
        "HL010.edge": "make it again",
        "HL010.town": "hold or slow its frames",
        "HL010.final": "join it again and show it",
    }


@pytest.mark.parametrize(
    ("kind", "sort", "act"),
    [
        ("shadow", "photographed", "photograph it again"),
        ("shadow", "drawn", "make it again"),
        ("stock", "", "find other stock"),
        ("plate", "live", "photograph it again"),
        ("roto", "split", "make it again"),
    ],
)
def test_what_is_dead_is_made_again_as_its_sort_is(kind: str, sort: str, act: str) -> None:
    place = Place("hill.yaml", 1, 1)
    facts = Facts(place, MappingProxyType({"sort": sort} if sort else {}))
    element = Element("HL010.x", kind, "HL010", facts, (), place)
    assert next_act(element, Judgement("HL010.x", Verdict.DEAD)) == act
