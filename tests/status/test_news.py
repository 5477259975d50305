"""What posting changes, and for whom."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from planner.ledger import Verdict, What
from planner.status.news import Follower, concerned, news
from tests.ledger.told import event

if TYPE_CHECKING:
    from tests.status.conftest import Floor


def test_a_build_frees_its_miniature(floor: Floor) -> None:
    (told,) = news(floor.outline, [], [event(1)])
    assert (told.about, told.was, told.now) == ("hill_town", "boarded", "built")
    assert told.followers == (Follower("HL010.town", (), waited=True, waits=False),)


def test_what_still_waits_is_told_with_what_for(floor: Floor) -> None:
    (told,) = news(floor.outline, [], [event(1, What.IN_THE_CAN, "HL010.sky")])
    (composite,) = told.followers
    assert composite.id == "HL010.final"
    assert composite.waits_for == (("HL010.town", "boarded"),)


def test_a_refusal_makes_others_wait_again(floor: Floor) -> None:
    canned = event(1, What.IN_THE_CAN, "HL010.sky")
    refused = event(2, What.NOT_APPROVED, "HL010.sky", by="the director")
    (told,) = news(floor.outline, [canned], [refused])
    assert told.now == "not approved"
    (composite,) = told.followers
    assert (composite.waited, composite.waits) == (False, True)


def test_a_take_no_good_after_all_is_said_to_be_called_again(floor: Floor) -> None:
    good = event(1, What.TAKE, "HL010.sky", take="3", verdict=Verdict.GOOD)
    canned = event(2, What.IN_THE_CAN, "HL010.sky", take="3")
    bad = event(3, What.TAKE, "HL010.sky", take="3", verdict=Verdict.NO_GOOD)
    (told,) = news(floor.outline, [good, canned], [bad])
    assert (told.was, told.now) == ("in the can", "shooting")
    assert told.remarks == (
        "take 3 in the can is no good and no other will do: it is called again",
    )


def test_a_correction_tells_of_the_thing_corrected(floor: Floor) -> None:
    wrong = event(1)
    correction = event(2, What.CORRECTED, "hill_town", corrects=wrong.id)
    (told,) = news(floor.outline, [wrong], [correction])
    assert (told.about, told.was, told.now) == ("hill_town", "built", "boarded")


def test_of_a_shot_its_composite_is_told(floor: Floor) -> None:
    (told,) = news(floor.outline, [], [event(1, What.HELD, "HL010", by="the director")])
    assert (told.was, told.now) == ("live", "on hold")
    assert [each.id for each in told.followers] == ["HL010.final"]


def test_only_what_is_near_need_be_known(floor: Floor) -> None:
    near = concerned(floor.outline, [event(1)])
    # The build, what waits for it, all that waits for besides, and their shot.
    assert near == {"hill_town", "HL010.town", "HL010"}
    assert concerned(floor.outline, [event(1, about="north")]) == {"north"}


def test_what_is_done_already_waits_for_nothing_again(floor: Floor) -> None:
    built, canned = event(1), event(2, What.IN_THE_CAN, "HL010.town")
    (told,) = news(floor.outline, [built, canned], [event(3, What.LOST)])
    assert told.now == "lost"
    assert told.followers == ()  # the town has been photographed


def test_an_omitted_shot_spares_its_own_work_and_what_only_it_wanted(floor: Floor) -> None:
    omitted = event(3, What.OMITTED, "HL010")
    (told,) = news(floor.outline, [], [omitted])
    assert told.spared == ("HL010.final", "HL010.sky", "HL010.town", "hill_town")
    # What is done is spared no work, and what was omitted before is not omitted now.
    (told,) = news(floor.outline, [event(1)], [omitted])
    assert told.spared == ("HL010.final", "HL010.sky", "HL010.town")
    (told,) = news(floor.outline, [omitted], [event(4, What.OMITTED, "HL010")])
    assert told.spared == ()


def test_a_composite_approved_before_its_pieces_says_once_what_is_there_it_counts(
    floor: Floor,
) -> None:
    canned = event(1, What.IN_THE_CAN, "HL010.sky")
    approval = event(2, What.APPROVED, "HL010.final", by="the director")
    # The final joins the sky, which is there, and the town, of which nothing is posted.
    (told,) = news(floor.outline, [canned], [approval])
    assert told.now == "approved before its pieces were there"
    assert told.remarks == (
        "the approval counts once all that it joins is there; still to come: HL010.town (boarded)",
    )
    town = event(3, What.IN_THE_CAN, "HL010.town")
    (told,) = news(floor.outline, [canned, town], [approval])
    assert (told.now, told.remarks) == ("approved", ())
    # The town comes after the approval: nothing is left to be done, and nobody may go on.
    (told,) = news(floor.outline, [canned, approval], [town])
    assert told.remarks == ("the approval of HL010.final counts now",)
    assert told.followers == ()


def test_a_version_approved_before_its_pieces_counts_and_says_what_is_not_there(
    floor: Floor,
) -> None:
    # Somebody saw version 1: it counts (`status/too_soon`), though nobody posted the town.
    seen = [
        event(1, What.IN_THE_CAN, "HL010.sky"),
        event(2, What.TAKE, "HL010.final", take="1", verdict=Verdict.GOOD),
    ]
    approval = event(3, What.APPROVED, "HL010.final", by="the director", take="1")
    (told,) = news(floor.outline, seen, [approval])
    assert told.now == "approved"
    assert told.remarks == (
        "it is approved, and what it waits for is not all there: HL010.town (boarded)",
    )


def test_what_is_told_again_changes_nothing_that_came_after(floor: Floor) -> None:
    # Held, let go, and the first told again later under its own word: it stays let go.
    held = event(1, What.HELD, "hill_town", by="anna")
    freed = event(2, What.FREED, "hill_town", by="anna")
    again = replace(held, at=event(3).at)
    (told,) = news(floor.outline, [held, freed], [again])
    assert (told.was, told.now) == ("boarded", "boarded")


def test_what_is_told_before_what_turned_it_says_that_it_changes_nothing(floor: Floor) -> None:
    held = event(3, What.HELD, "HL010.town", by="the director")
    freed = event(2, What.FREED, "HL010.town")
    (told,) = news(floor.outline, [held], [freed])
    assert told.now == "on hold"
    (remark,) = told.remarks
    assert remark == (
        f"freed is told as of {freed.at:%Y-%m-%d %H:%M}, before held of"
        f" {held.at:%Y-%m-%d %H:%M}, which stands: is the day right?"
    )
    # After it, it turns it; and what was corrected turns nothing.
    (told,) = news(floor.outline, [held], [event(4, What.FREED, "HL010.town")])
    assert told.remarks == ()
    taken_back = event(5, What.CORRECTED, "HL010.town", corrects=held.id)
    (told,) = news(floor.outline, [held, taken_back], [freed])
    assert told.remarks == ()
