"""A new cut against what was made: frames element by element, money, and what to ask in return."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from planner.bid.lines import Figures
from planner.ledger import Basis, What
from planner.model.cut import Act, CutChange
from planner.model.facts import FrameRange
from planner.status.recut import recut
from planner.status.recut_frames import Outcome
from planner.status.recut_money import Fates, reckoned
from tests.ledger.told import event
from tests.status.recutting import ASKED, element, recut_of, situation

if TYPE_CHECKING:
    from tests.conftest import ShowFolder

SEQUENCE = "sequences/hill.yaml"
LENGTHENED = CutChange(Act.LENGTH, "HL010", tail=12)
ANEW = CutChange(Act.LENGTH, "HL010", tail=20)  # 8 lie in the handle, and 12 are never slowed
SHORTENED = CutChange(Act.LENGTH, "HL010", tail=-12)
TOLD = (
    event(1, What.TAKE, "HL010.sky", take="3", circled=True, frames=FrameRange(-7, 104)),
    event(2, What.IN_THE_CAN, "HL010.sky", take="3"),
)


@pytest.fixture
def hill(show: ShowFolder) -> ShowFolder:
    """A driven town, a sky photographed 1-96 with handles of 8 (112 frames), a garbage matte."""
    show.replace(SEQUENCE, "action: still", "action: driven\n        rate: 24 fps")
    show.replace(
        SEQUENCE,
        "final: {kind: composite, joins: [sky, town]}",
        "mask: {kind: roto, sort: garbage, roto_of: sky}\n"
        "      final: {kind: composite, joins: [sky, town, mask], versions: 2}",
    )
    rates = (show.path / "rates.yaml").read_text(encoding="utf-8")
    for craft in ("roto", "location"):
        rates += f"  {craft}: {{per: hour, amounts: [{{from: 2027-01-01, is: 50.00 GBP}}]}}\n"
    show.write("rates.yaml", rates)
    return show


def test_twelve_frames_more_eat_a_handle_of_eight_and_are_four_short(hill: ShowFolder) -> None:
    found = recut_of(hill, TOLD, LENGTHENED)
    sky = element(found, "HL010.sky")
    # 112 frames, -7 to 104, of which 8 lie beyond 96; 12 are wanted, so 4 are short.
    assert sky.wanted == FrameRange(1, 108)
    assert (sky.short_head, sky.short_tail) == (0, 4)
    # Up to 4 at an end are made by slowing, half an hour each.
    assert (sky.outcome, sky.hours) == (Outcome.CHEAP, 2.0)
    assert sky.reasons[-1].startswith("hold or slow 4 frames, or photograph again: 4 frames short")
    # The town is not photographed, so it is only ordered longer: -7 to 116 are 124 frames.
    town = element(found, "HL010.town")
    assert town.outcome is Outcome.SAME
    assert "order -7 to 116, 124 frames" in town.reasons[0]


def test_five_frames_short_at_an_end_are_photographed_anew(hill: ShowFolder) -> None:
    # 8 in the handle; no more than 4 at an end are slowed, as `stale` has it.
    for tail, outcome in ((12, Outcome.CHEAP), (13, Outcome.NEW)):
        sky = element(recut_of(hill, TOLD, replace(LENGTHENED, tail=tail)), "HL010.sky")
        assert (sky.outcome, sky.mend is None) == (outcome, outcome is Outcome.NEW)


def test_a_few_frames_are_priced_at_what_it_takes_to_slow_them(hill: ShowFolder) -> None:
    rates = (hill.path / "rates.yaml").read_text(encoding="utf-8")
    rate = "{per: hour, amounts: [{from: 2027-01-01, is: 40.00 GBP}]}"
    hill.write("rates.yaml", f"{rates}  compositing: {rate}\n")
    found = recut_of(hill, TOLD, LENGTHENED)
    sums = found.money.by_element["HL010.sky"]
    # 4 frames at half an hour each are 2 h, at 40 an hour; what was photographed serves.
    assert (sums.added, sums.saved, sums.dead) == (Decimal("80.00"), 0, 0)
    # Only the town, not photographed yet, passes 12 frames more: half a second.
    assert found.camera_hours == pytest.approx(0.5 / 3600, abs=0.001)


def test_a_frame_is_held_or_slowed_only_of_what_has_some_of_those_wanted(hill: ShowFolder) -> None:
    swap = CutChange(Act.TAKE, "HL010", element="HL010.sky", take="5", frames=FrameRange(-90, 0))
    sky = element(recut_of(hill, TOLD, swap), "HL010.sky")
    assert (sky.outcome, sky.mend) == (Outcome.NEW, None)


def test_what_was_spent_on_what_is_photographed_anew_is_dead(hill: ShowFolder) -> None:
    found = recut_of(hill, TOLD, ANEW)
    sums = found.money.by_element["HL010.sky"]
    # Set up 2 h x 5 heads x 50 = 500; report 1.5 h x 2 x 50 = 150; the rest is the photography.
    spent = sum(
        (
            line.figures.likely
            for line in situation(hill, *TOLD).priced.bid.lines
            if line.element == "HL010.sky"
        ),
        Decimal(0),
    )
    assert spent > 650
    assert sums.spent == sums.dead == spent
    # All of it is paid once more, the photography a little longer.
    assert spent <= sums.added < spent + 1
    assert sums.saved == 0


def test_what_was_posted_is_what_is_dead_though_the_bid_was_less(hill: ShowFolder) -> None:
    stands = situation(hill, *TOLD)
    spent = {**stands.spent, ("HL010.sky", "set up on location"): Decimal("900.00")}
    found = recut(replace(stands, spent=spent), [ANEW], ASKED)
    as_bid = recut(stands, [ANEW], ASKED)
    # The set-up was bid at 500 and took 900; it is set up again for 500.
    dead = [each.money.by_element["HL010.sky"].dead for each in (as_bid, found)]
    assert dead[1] - dead[0] == 400
    assert found.money.by_element["HL010.sky"].added == as_bid.money.by_element["HL010.sky"].added


def test_giving_back_twelve_frames_avoids_the_photography(hill: ShowFolder) -> None:
    found = recut_of(hill, TOLD, ANEW)
    (shot,) = found.shots
    assert shot.give_back is not None
    assert shot.give_back.says == "give back 12 frames at the tail of HL010"
    # Eight frames more are masked at 0.01 h each and 50 an hour: 4.00, with 10 % and 12 %: 4.88.
    assert shot.give_back.saves == found.money.all.net - Decimal("4.88")


def test_editorial_is_asked_for_a_few_frames_only_where_that_saves_something(
    hill: ShowFolder,
) -> None:
    # Slowing has no rate in this show; 4 frames fewer are masked, 4 x 0.01 h x 50 an hour and 22 %.
    (shot,) = recut_of(hill, TOLD, LENGTHENED).shots
    assert shot.give_back is not None
    assert shot.give_back.saves == Decimal("2.44")
    # Once masked by hand at no rate either, nothing is saved by giving them back.
    rates = (hill.path / "rates.yaml").read_text(encoding="utf-8")
    hill.write("rates.yaml", "".join(x for x in rates.splitlines(True) if "roto:" not in x))
    (shot,) = recut_of(hill, TOLD, LENGTHENED).shots
    assert shot.give_back is None


def test_eight_frames_more_cost_roto_alone(hill: ShowFolder) -> None:
    found = recut_of(hill, TOLD, CutChange(Act.LENGTH, "HL010", tail=8))
    sky, mask = element(found, "HL010.sky"), element(found, "HL010.mask")
    assert sky.outcome is Outcome.SAME
    assert "handles left 8 at the head, 0 at the tail" in sky.reasons[0]
    assert mask.outcome is Outcome.CHEAP
    assert mask.hours == pytest.approx(0.08)  # 8 frames at 0.01 h
    assert found.shots[0].give_back is None
    assert found.money.all.dead == 0


def test_shortening_saves_the_roto_of_the_frames_gone(hill: ShowFolder) -> None:
    found = recut_of(hill, TOLD, SHORTENED)
    mask = element(found, "HL010.mask")
    assert mask.outcome is Outcome.SAME
    assert mask.hours == pytest.approx(-0.12)  # 12 frames at 0.01 h
    sums = found.money.by_element["HL010.mask"]
    assert (sums.saved, sums.loads) == (Decimal("6.00"), Decimal("-1.32"))  # 50 an hour; 22 %
    assert "HL010.sky" not in found.money.by_element or (
        found.money.by_element["HL010.sky"].net == 0
    )


def test_shortening_saves_nothing_of_roto_that_is_done(hill: ShowFolder) -> None:
    done = event(3, What.BUILT, "HL010.mask")
    found = recut_of(hill, (*TOLD, done), SHORTENED)
    sums = found.money.by_element["HL010.mask"]
    # Begin 1 h, 96 frames at 0.01 h: 1.96 h at 50 are 98.00, spent and of use.
    assert (sums.spent, sums.dead, sums.saved) == (Decimal("98.00"), 0, 0)
    longer = recut_of(hill, (*TOLD, done), LENGTHENED)
    assert longer.money.by_element["HL010.mask"].added == Decimal("6.00")


def test_frames_come_from_the_floor_then_the_file_then_what_was_ordered(hill: ShowFolder) -> None:
    hill.replace(
        SEQUENCE, "sort: live, on: location", "sort: live, on: location, frames_in_hand: 1-100"
    )
    posted = element(recut_of(hill, TOLD, LENGTHENED), "HL010.sky")
    assert posted.in_hand is not None
    assert posted.in_hand.frames == FrameRange(-7, 104)
    stated = element(recut_of(hill, (), LENGTHENED), "HL010.sky")
    assert stated.in_hand is not None
    assert (stated.in_hand.frames, stated.short_tail) == (FrameRange(1, 100), 8)
    hill.replace(SEQUENCE, ", frames_in_hand: 1-100", "")
    unsaid = event(1, What.IN_THE_CAN, "HL010.sky", take="3")
    ordered = element(recut_of(hill, (unsaid,), LENGTHENED), "HL010.sky")
    assert ordered.in_hand is not None
    assert ordered.in_hand.frames == FrameRange(-7, 104)  # 1-96 and handles of 8
    assert "nobody recorded" in ordered.in_hand.known_by


def test_what_was_ordered_is_read_from_the_facts_of_its_day(hill: ShowFolder) -> None:
    basis = Basis({"shot cut": "1-120", "show handles": "8"})
    taken = event(1, What.IN_THE_CAN, "HL010.sky", take="3")
    taken = type(taken)(
        taken.client, taken.what, taken.about, taken.at, taken.author, taken.details, basis.mark
    )
    found = recut(situation(hill, taken, bases=(basis,)), [LENGTHENED], ASKED)
    # The cut was 1-120 on the day: -7 to 128 were ordered, and twelve more than 96 are there.
    assert element(found, "HL010.sky").outcome is Outcome.SAME


def test_more_may_be_scanned_of_the_same_negative(hill: ShowFolder) -> None:
    scanned = event(4, What.SCANNED, "HL010.sky", take="3", frames=FrameRange(1, 96))
    longer = CutChange(Act.LENGTH, "HL010", tail=6)
    sky = element(recut_of(hill, (*TOLD, scanned), longer), "HL010.sky")
    assert sky.outcome is Outcome.CHEAP
    assert sky.reasons[1] == "scan 6 frames more of the same negative"


def test_a_still_town_is_printed_on(show: ShowFolder) -> None:
    taken = event(1, What.TAKE, "HL010.town", take="1", circled=True, frames=FrameRange(-7, 104))
    town = element(recut_of(show, (taken,), LENGTHENED), "HL010.town")
    assert (town.outcome, town.short_tail) == (Outcome.CHEAP, 4)


def test_frames_are_counted_by_element_not_by_shot(hill: ShowFolder) -> None:
    hill.replace(SEQUENCE, "sort: live, on: location", "sort: live, on: location, in_frame: 1-40")
    taken = event(1, What.TAKE, "HL010.sky", take="3", circled=True, frames=FrameRange(-7, 48))
    # Seen on 1-40 alone: what is put on at the tail of the shot is none of its frames.
    assert element(recut_of(hill, (taken,), LENGTHENED), "HL010.sky").outcome is Outcome.SAME


def test_cues_and_contacts_that_the_cut_loses_are_named(hill: ShowFolder) -> None:
    hill.replace(
        SEQUENCE,
        "nearest: 40 m",
        "nearest: 40 m\n        cues: [{frames: 90-92, who: anna, what: lamp}, "
        "{frames: 80-86, who: bo, what: door}]",
    )
    town = element(recut_of(hill, (), SHORTENED), "HL010.town")
    assert "cue lamp on 90-92 is cut away" in town.reasons
    assert "cue door on 80-86 loses 2 frames" in town.reasons


def test_a_hand_over_on_other_frames_is_told(hill: ShowFolder) -> None:
    hill.replace(
        SEQUENCE, "sort: live, on: location", "sort: live, on: location, hands_over_to: town"
    )
    sky = element(recut_of(hill, TOLD, SHORTENED), "HL010.sky")
    said = "the hand-over to HL010.town is to be met anew: HL010.sky is seen on 1 to 84 now"
    assert said in sky.reasons


def test_omission_leaves_what_was_spent_and_calls_it_dead(hill: ShowFolder) -> None:
    found = recut_of(hill, TOLD, CutChange(Act.OMIT, "HL010"))
    assert {each.outcome for each in found.shots[0].elements} == {Outcome.GONE}
    sky = found.money.by_element["HL010.sky"]
    assert sky.spent == sky.dead > 650
    assert sky.saved == 0
    # 1.96 h of mask at 50 were still to come.
    assert found.money.by_element["HL010.mask"].saved == Decimal("98.00")
    assert found.money.unused == ("hill_town",)
    assert found.shots[0].give_back is None


def test_of_days_held_those_are_saved_that_nobody_else_holds(hill: ShowFolder) -> None:
    text = (hill.path / SEQUENCE).read_text(encoding="utf-8")
    hill.write(SEQUENCE, text + text[text.index("  HL010:") :].replace("HL010", "HL020"))
    # Two towns alike on one stage, 2,400 a day: the first on Monday, the second on what is left of
    # Monday and on Tuesday. Each has half of both days as its share.
    shares = [
        line.figures.likely
        for line in situation(hill).priced.bid.lines
        if line.what == "north, days held"
    ]
    assert shares == [Decimal("2400.00"), Decimal("2400.00")]
    second = recut_of(hill, (), CutChange(Act.OMIT, "HL020")).money
    # Tuesday goes; 10 % and 12 % on it are 528.
    assert (second.held.saved, second.held.loads) == (Decimal("2400.00"), Decimal("-528.00"))
    first = recut_of(hill, (), CutChange(Act.OMIT, "HL010")).money
    # Monday is held by the second all the same, which takes the first's share over.
    assert (first.held.saved, first.held.added, first.held.loads) == (0, 0, 0)
    # Neither has a share among what it saves itself.
    assert first.by_element["HL010.town"].saved == second.by_element["HL020.town"].saved < 2400


def test_days_on_which_the_omitted_was_photographed_are_not_saved(hill: ShowFolder) -> None:
    told = (*TOLD, event(3, What.IN_THE_CAN, "HL010.town", take="1"))
    done = recut_of(hill, told, CutChange(Act.OMIT, "HL010")).money
    # Its one day at 2,400 is spent, and dead with the rest of it.
    assert done.held.saved == 0
    assert done.by_element["HL010.town"].dead > 2400
    to_come = recut_of(hill, (), CutChange(Act.OMIT, "HL010")).money
    assert to_come.held.saved == Decimal("2400.00")


def test_order_moves_no_money(hill: ShowFolder) -> None:
    text = (hill.path / SEQUENCE).read_text(encoding="utf-8")
    other = text[text.index("  HL010:") :].replace("HL010", "HL020")
    hill.write(SEQUENCE, text + other)
    moved = CutChange(Act.ORDER, "HL020", other="HL010", says="before HL010")
    found = recut_of(hill, TOLD, moved)
    assert found.money.all.net == found.money.all.dead == 0
    assert found.camera_hours == 0
    assert found.writing.edits == ()
    assert "move the lines of HL020 before those of HL010" in found.shots[0].by_hand[0]


def test_half_speed_wants_half_the_frames_and_double_speed_is_slowed(hill: ShowFolder) -> None:
    slow = element(recut_of(hill, TOLD, CutChange(Act.RETIME, "HL010", speed=0.5)), "HL010.sky")
    assert slow.wanted == FrameRange(1, 48)
    fast = recut_of(hill, TOLD, CutChange(Act.RETIME, "HL010", speed=2.0))
    sky = element(fast, "HL010.sky")
    assert (sky.wanted, sky.short_tail) == (FrameRange(1, 192), 88)  # 192 - 104
    # 104 frames from frame 1 for 96 shown: 1.083, in whole per cent 108.
    assert fast.shots[0].give_back is not None
    assert fast.shots[0].give_back.says == "show HL010 at 108 % of the speed"


def test_a_shot_shown_faster_is_ordered_longer(hill: ShowFolder) -> None:
    hill.replace(SEQUENCE, "cut: 1-96", "cut: 1-96\n    speed: 200 %")
    estimates = situation(hill).priced.estimates
    # 96 frames shown at double speed pass 192, and two handles of 8.
    assert estimates.by_element["HL010.town"].quantities["frames"].value == 208


def test_enlarging_shows_the_marks_of_a_painting(hill: ShowFolder) -> None:
    board = "width: 1.6 m, widest: 1.6 m, tightest: 0.6 m, finest_mark: 0.3 mm, resolution: 40"
    hill.replace(
        SEQUENCE,
        "      final: {kind: composite, joins: [sky, town, mask]",
        f"      board: {{kind: painting, {board}}}\n"
        "      final: {kind: composite, joins: [sky, town, mask, board]",
    )
    enlarged = recut_of(hill, (), CutChange(Act.REPOSITION, "HL010", push_in=0.08))
    # 0.3 x 2 x 40 x 24.892 = 597 mm is the tightest: 600 will do, 600 / 1.08 = 556 will not.
    (told,) = [each for each in enlarged.new_findings if each.about == "HL010.board"]
    assert told.code == "painting-too-small-for-tight-end"
    assert "555.556 mm" in told.message
    less = recut_of(hill, (), CutChange(Act.REPOSITION, "HL010", push_in=0.004))
    assert [each for each in less.new_findings if each.about == "HL010.board"] == []


def test_a_library_has_no_more_than_it_has(hill: ShowFolder) -> None:
    hill.replace(
        SEQUENCE,
        "      final: {kind: composite, joins: [sky, town, mask]",
        "      gulls: {kind: stock, library: reel 2, length: 100}\n"
        "      final: {kind: composite, joins: [sky, town, mask, gulls]",
    )
    gulls = element(recut_of(hill, (), LENGTHENED), "HL010.gulls")
    assert (gulls.outcome, gulls.short_tail) == (Outcome.NEW, 8)  # 108 wanted of 100
    assert element(recut_of(hill, (), SHORTENED), "HL010.gulls").outcome is Outcome.SAME


def test_a_take_with_too_few_frames_is_told_and_the_old_one_asked_for(hill: ShowFolder) -> None:
    hill.replace(
        SEQUENCE, "sort: live, on: location", 'sort: live, on: location, report: {take: "3"}'
    )
    swap = CutChange(Act.TAKE, "HL010", element="HL010.sky", take="5", frames=FrameRange(10, 104))
    found = recut_of(hill, TOLD, swap)
    sky = element(found, "HL010.sky")
    assert (sky.outcome, sky.short_head) == (Outcome.NEW, 9)
    assert found.shots[0].give_back is not None
    assert found.shots[0].give_back.says == "keep take 3 of HL010.sky in HL010"


def test_a_take_of_which_nobody_recorded_the_frames_is_doubted(hill: ShowFolder) -> None:
    hill.replace(
        SEQUENCE, "sort: live, on: location", 'sort: live, on: location, report: {take: "3"}'
    )
    swap = CutChange(Act.TAKE, "HL010", element="HL010.sky", take="5")
    sky = element(recut_of(hill, TOLD, swap), "HL010.sky")
    assert sky.outcome is Outcome.SAME
    assert "look before you accept" in sky.reasons[0]
    posted = event(3, What.TAKE, "HL010.sky", take="5", frames=FrameRange(1, 90))
    short = element(recut_of(hill, (*TOLD, posted), swap), "HL010.sky")
    assert (short.outcome, short.short_tail) == (Outcome.NEW, 6)  # 90 of 96


def test_what_was_made_to_the_other_take_is_looked_at_again(hill: ShowFolder) -> None:
    hill.replace(
        SEQUENCE, "sort: live, on: location", 'sort: live, on: location, report: {take: "3"}'
    )
    swap = CutChange(Act.TAKE, "HL010", element="HL010.sky", take="5", frames=FrameRange(-7, 104))
    done = event(3, What.BUILT, "HL010.mask")
    assert element(recut_of(hill, (*TOLD, done), swap), "HL010.mask").outcome >= Outcome.CHEAP
    assert element(recut_of(hill, TOLD, swap), "HL010.mask").outcome is Outcome.SAME


def test_approvals_of_the_old_cut_fall(hill: ShowFolder) -> None:
    final = event(5, What.APPROVED, "HL010.final", take="2", by="the director")
    sky = event(6, What.APPROVED, "HL010.sky", take="3", by="the director")
    few = recut_of(hill, (*TOLD, sky), LENGTHENED).shots[0].falls
    assert [each.partition(": ")[2] for each in few] == [
        "frames of it are held or slowed, so show it again"
    ]
    falls = recut_of(hill, (*TOLD, final, sky), ANEW).shots[0].falls
    assert falls == (
        "the director approved HL010.sky take 3 on 2027-03-01: it is photographed anew",
        "the director approved HL010.final take 2 on 2027-03-01, of the old cut: show it again",
    )


def test_changes_that_cannot_be_are_left_out_with_a_reason(hill: ShowFolder) -> None:
    found = recut_of(
        hill,
        (),
        CutChange(Act.LENGTH, "HL010", tail=-96),
        CutChange(Act.LENGTH, "HL010", head=9),
        CutChange(Act.FLOP, "HL999"),
        CutChange(Act.UN_OMIT, "HL010"),
        CutChange(Act.TAKE, "HL010", element="HL010.town", take="2"),
    )
    long, early, *whys = [why for _change, why in found.writing.unfit]
    assert long == "HL010 is 96 frames long; nothing would be left of it"
    assert early.startswith("9 frames at the head of 1-96 would begin before frame 0")
    assert whys == [
        "no shot is called HL999",
        "HL010 is wanted already by its file",
        "HL010.town is a miniature, and plates have takes swapped",
    ]
    assert found.shots == ()


def test_what_was_spent_on_two_lines_of_one_name_is_saved_of_neither(hill: ShowFolder) -> None:
    stands = situation(hill)
    bid = stands.priced.bid
    line = next(each for each in bid.lines if each.element == "HL010.town")
    bought, carried = Figures.certain(Decimal("100.00")), Figures.certain(Decimal("50.00"))
    two = (
        replace(line, what="freight", craft="purchases", figures=bought),
        replace(line, what="freight", craft="show costs", figures=carried),
    )
    before, after = replace(bid, lines=two), replace(bid, lines=())
    gone = Fates((), {"HL010.town"}, (), (), {"HL010.town"})
    # 100 + 50 are paid: with the element gone all of it is dead, and nothing is still to be spent.
    spent = {("HL010.town", "freight"): Decimal("150.00")}
    sums = reckoned(before, after, spent, gone).all
    assert (sums.spent, sums.dead, sums.saved) == (Decimal(150), Decimal(150), Decimal(0))
    # Of 120 paid, 30 of the second were still to come.
    spent = {("HL010.town", "freight"): Decimal("120.00")}
    sums = reckoned(before, after, spent, gone).all
    assert (sums.dead, sums.saved) == (Decimal(120), Decimal(30))
