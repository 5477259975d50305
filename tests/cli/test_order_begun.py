"""What has begun, by what is posted: of a miniature built, set up and photographed."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from planner.cli.opening import open_sound
from planner.cli.order_begun import started
from planner.cli.order_issuing import issued_order
from planner.cli.told import Told, judged_standing
from planner.ledger import Details, Event, What
from planner.order.stage_order import Worked
from planner.status.outlining import bases
from planner.status.unposted import Unposted, wanting
from tests.cli.test_commands import QUICK, run

if TYPE_CHECKING:
    from planner.order import Started
    from tests.conftest import ShowFolder

TOWN = "HL010.town"
LIGHTS = "light and line up"


def begun(show: ShowFolder, *told: tuple[What, str], until: date | None = None) -> Started:
    """By the day after everything was called."""
    run("order", show.path, "--issue", *QUICK)
    opened = open_sound(show.path)
    issued = issued_order(show.path, None)
    day = until or max(call.ends for call in issued.calls).date() + timedelta(days=1)
    noon = datetime(2027, 3, 2, 12, tzinfo=UTC)
    events = [
        Event(f"post {n}", what, about, noon + timedelta(minutes=n), "the floor", Details(take="1"))
        for n, (what, about) in enumerate(told)
    ]
    return started(opened, issued, day, Told(tuple(events)))


def mine(found: Started, about: str) -> tuple[set[str], set[str]]:
    """Work of one element that has begun, and what of it is over."""
    names = {id_.partition("/")[2] for id_ in found.at if id_.startswith(f"{about}/")}
    over = {id_.partition("/")[2] for id_ in found.done if id_.startswith(f"{about}/")}
    return names, over


def test_a_set_up_is_over_once_it_stands_and_photography_has_not_begun(show: ShowFolder) -> None:
    names, over = mine(begun(show, (What.SET_UP, TOWN)), TOWN)
    assert "set up" in over
    assert not any("photograph" in name for name in names)


def test_photography_has_begun_with_the_first_take_and_is_over_in_the_can(
    show: ShowFolder,
) -> None:
    names, over = mine(begun(show, (What.SET_UP, TOWN), (What.TAKE, TOWN)), TOWN)
    assert "photograph" in names
    assert "photograph" not in over
    _names, over = mine(begun(show, (What.IN_THE_CAN, TOWN)), TOWN)
    assert "photograph" in over


@pytest.mark.parametrize(("stands", "over"), [(False, set()), (True, {"set up", LIGHTS})])
def test_after_a_take_that_is_no_good_it_is_called_again(
    show: ShowFolder, stands: bool, over: set[str]
) -> None:
    """With its set-up too, unless that is posted as standing; blocking wants the same."""
    run("order", show.path, "--issue", *QUICK)
    kept = json.loads((show.path / "issued" / "order_001.json").read_bytes())["calls"]
    # Who lights is called for the set-up and gone with it.
    last = max(each["ends"] for each in kept if each["element"] == TOWN)[:10]
    day = date.fromisoformat(last) + timedelta(days=1)
    posted = ("--at", f"{last} 12:00", "--on", last)
    if stands:
        run("post", show.path, "set-up", TOWN, *posted)
    run("post", show.path, "take", TOWN, "--take", "1", "--verdict", "no good", *posted)
    asked = run("order", show.path, "--from", day, "--json", *QUICK).stdout
    calls = [each for each in json.loads(asked)["calls"] if each["element"] == TOWN]
    late = {each["work"] for each in calls if each["starts"][:10] >= str(day)}
    assert late == {"set up", LIGHTS, "photograph"} - over
    blocked = run("blocking", show.path, "--on", day, *QUICK).stdout
    assert ("next, stage: set up" in blocked) is not stands
    assert ("next, camera: photograph" in blocked) is stands


def test_film_of_a_take_told_no_good_leaves_the_piece_called(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    last = max(each["ends"] for each in kept_calls(show, TOWN))[:10]
    day = date.fromisoformat(last) + timedelta(days=1)
    posted = ("--at", f"{last} 12:00", "--on", last)
    run("post", show.path, "take", TOWN, "--take", "1", "--verdict", "no good", *posted)
    told = run("post", show.path, "in-the-can", TOWN, "--take", "1", *posted)
    assert "take 1 is marked no good: is it the one in the can? It stays called" in " ".join(
        told.output.split()
    )

    def called() -> set[str]:
        asked = run("order", show.path, "--from", day, "--json", *QUICK).stdout
        calls = json.loads(asked)["calls"]
        late = (each for each in calls if each["starts"][:10] >= str(day))
        return {each["work"] for each in late if each["element"] == TOWN}

    assert called() == {"set up", LIGHTS, "photograph"}
    next_ = f"{TOWN}: shooting"
    assert next_ in run("blocking", show.path, "--on", day, *QUICK).stdout
    run("post", show.path, "take", TOWN, "--take", "1", "--verdict", "kept", *posted)
    assert called() == set()
    assert next_ not in run("blocking", show.path, "--on", day, *QUICK).stdout


@pytest.mark.parametrize(("planned", "is_over"), [("2027-03-03", False), ("2027-03-02", True)])
def test_a_set_up_posted_before_it_was_to_be_done_again_is_not_that_one(
    show: ShowFolder, planned: str, *, is_over: bool
) -> None:
    """Posted on Tuesday 2 March; an order planned from that day on calls it before the post."""
    run("order", show.path, "--issue", *QUICK)
    issued = issued_order(show.path, None)
    (call,) = (each for each in issued.calls if each.id == f"{TOWN}/set up")
    worked = Worked(call.id, call.starts, call.ends, call.hours, 1.0, call.holds)
    stamp = replace(issued.stamp, planned_from=date.fromisoformat(planned))
    again = replace(issued, stamp=stamp, redone=(worked,))
    at = datetime(2027, 3, 2, 12, tzinfo=UTC)
    told = Told((Event("post 1", What.SET_UP, TOWN, at, "the floor", Details()),))
    found = started(open_sound(show.path), again, date(2027, 3, 4), told)
    assert ("set up" in mine(found, TOWN)[1]) is is_over


def test_what_is_posted_of_one_thing_says_nothing_of_another(show: ShowFolder) -> None:
    found = begun(show, (What.IN_THE_CAN, TOWN))
    assert found.is_posted
    assert mine(found, "HL010.sky") == (set(), set())
    assert mine(found, "HL010.final") == (set(), set())


def test_building_is_over_once_built_and_under_way_while_the_order_has_it_so(
    show: ShowFolder,
) -> None:
    _names, over = mine(begun(show, (What.BUILT, "hill_town")), "hill_town")
    assert over
    kept = json.loads((show.path / "issued" / "order_001.json").read_bytes())["calls"]
    building = [each for each in kept if each["element"] == "hill_town"]
    last = date.fromisoformat(max(each["ends"] for each in building)[:10])
    # Something else is posted; on the last day of building painting counts as under way, and
    # making, which it waits for, as over.
    names, over = mine(begun(show, (What.IN_THE_CAN, "HL010.sky"), until=last), "hill_town")
    assert names == {"make", "paint"}
    assert over == {"make"}


def kept_calls(show: ShowFolder, about: str) -> list[dict[str, str]]:
    """Calls of one element in the order issued first, by start."""
    kept = json.loads((show.path / "issued" / "order_001.json").read_bytes())["calls"]
    return sorted((each for each in kept if each["element"] == about), key=lambda c: c["starts"])


def test_what_rests_on_work_that_is_not_done_cannot_have_begun(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    # The morning after joining began by the order, the sky is all that is posted. The town is taken
    # as still to be photographed, so that nothing was there to join.
    first = kept_calls(show, "HL010.final")[0]
    day = date.fromisoformat(first["starts"][:10]) + timedelta(days=1)
    assert str(day) <= first["ends"][:10]
    assert mine(begun(show, (What.IN_THE_CAN, "HL010.sky"), until=day), "HL010.final")[0] == set()
    run("post", show.path, "in the can", "HL010.sky", "--at", "2026-11-02 10:00")
    told = json.loads(run("order", show.path, "--from", day, "--json", *QUICK).stdout)
    photographed = max(each["ends"] for each in told["calls"] if each["element"] == TOWN)
    joined = min(each["starts"] for each in told["calls"] if each["element"] == "HL010.final")
    assert str(day) < photographed <= joined
    assert told["finals"]["HL010"] > joined
    # With the town in the can as well, joining is what nobody posts before it is over.
    both = begun(show, (What.IN_THE_CAN, "HL010.sky"), (What.IN_THE_CAN, TOWN), until=day)
    assert first["work"] in mine(both, "HL010.final")[0]


def test_what_is_built_goes_on_alike_whoever_asks(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    run("post", show.path, "in the can", "HL010.sky", "--at", "2026-11-02 10:00")
    day = kept_calls(show, "hill_town")[-1]["ends"][:10]
    final = kept_calls(show, "HL010.final")[-1]["ends"][:10]
    # On its last day of building the town is not begun anew, which would take days: it goes on and
    # is over when it was to be, and the composite with it.
    again = json.loads(run("order", show.path, "--from", day, "--json", *QUICK).stdout)
    assert again["finals"]["HL010"][:10] == final
    (blocked,) = json.loads(run("blocking", show.path, "--on", day, "--json", *QUICK).stdout)[
        "blocked"
    ]
    assert blocked["final"][:10] == final
    asked = ("--on", day, "--samples", "100", "--json", *QUICK)
    (told,) = json.loads(run("forecast", show.path, *asked).stdout)["composites"]
    assert told["now"]["ordered"][:10] == final


def test_without_a_post_by_then_the_dates_of_the_order_stand_in(show: ShowFolder) -> None:
    found = begun(show, (What.IN_THE_CAN, TOWN), until=date(2027, 3, 1))
    assert not found.is_posted
    assert found.at == {}


def test_what_is_dead_since_facts_changed_has_not_begun_again(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    show.replace("sequences/hill.yaml", "action: still", "action: driven")
    kept = bases(open_sound(show.path).show)[TOWN]
    show.replace("sequences/hill.yaml", "cut: 1-96", "cut: 1-200")
    opened, issued = open_sound(show.path), issued_order(show.path, None)
    day = max(call.ends for call in issued.calls).date() + timedelta(days=1)
    noon = datetime(2027, 3, 2, 12, tzinfo=UTC)
    told = Event("1", What.IN_THE_CAN, TOWN, noon, "the floor", against=kept.mark)
    names, over = mine(started(opened, issued, day, Told((told,), (kept,))), TOWN)
    assert (names, over) == (set(), set())
    _names, over = mine(started(opened, issued, day, Told((told,))), TOWN)
    assert "photograph" in over


TWO = """\
  north: {width: 18 m, depth: 24 m, height: 7 m}
  south: {width: 18 m, depth: 24 m, height: 7 m}
"""


def test_what_is_posted_as_lost_is_not_called_while_another_will_do(show: ShowFolder) -> None:
    show.replace("resources.yaml", TWO.splitlines(keepends=True)[0], TWO)
    run("order", show.path, "--issue", *QUICK)
    kept = json.loads((show.path / "issued" / "order_001.json").read_bytes())["calls"]
    (stage,) = {each for call in kept for each in call["holds"]} & {"north", "south"}
    asked = ("order", show.path, "--from", "2027-03-02", *QUICK)
    run("post", show.path, "lost", stage, "--at", "2026-11-02 10:00")
    text = run(*asked).stdout
    words = " ".join(text.split())
    # Three working days are near at hand from Tuesday 2 March on: Friday is the first after them.
    away = "no day to come is given: taken to be away for 3 working days, our guess"
    said = f"{away}, so back 2027-03-05"
    assert f"{stage}: lost, posted 2026-11-02, {said}" in words
    told = " ".join(run(*asked, "--hold-days", "1").stdout.split())
    # Wednesday 3 March is the first day after Tuesday.
    assert "taken to be away for 1 working day, by --hold-days, so back 2027-03-03" in told
    calls = json.loads(run(*asked, "--json").stdout)["calls"]
    stages = {call["stage"] for call in calls} - {"", None}
    assert stages == {"north", "south"} - {stage}


def test_what_cannot_be_done_without_a_thing_lost_waits_for_the_day_posted(
    show: ShowFolder,
) -> None:
    run("order", show.path, "--issue", *QUICK)
    asked = ("order", show.path, "--from", "2027-03-02", *QUICK)
    assert "cam is lost" not in run(*asked).output
    lost = ("post", show.path, "lost", "cam", "--at", "2026-11-02 10:00")
    run(*lost, "--value", "back=2027-03-22")
    found = run(*asked)
    words = " ".join(found.output.split())
    said = "cam is lost, back 2027-03-22 as posted, and what cannot be done without it waits"
    assert said in words
    assert "HL010.town/photograph" in words[words.index(said) :]
    # Told in what moved, too: why it is not sooner.
    assert "until it starts, cam is away" in " ".join(found.stdout.split())
    calls = json.loads(run(*asked, "--json").stdout)["calls"]
    held = [call["starts"][:10] for call in calls if "cam" in call["holds"]]
    # A loss tells of no work: what was called for Monday 1 March is taken as done with it.
    assert min(day for day in held if day > "2027-03-01") == "2027-03-22"


def test_a_loss_holds_for_calls_that_are_past_and_not_posted(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    kept = json.loads((show.path / "issued" / "order_001.json").read_bytes())["calls"]
    on_cam = [call for call in kept if "cam" in call["holds"]]
    # On Monday 15 March all that was called with the camera is past.
    assert max(call["ends"] for call in on_cam) < "2027-03-15"
    lost = ("post", show.path, "lost", "cam", "--at", "2026-11-02 10:00")
    run(*lost, "--value", "back=2027-04-20")
    # The model alone is posted, so that every picture is taken as still to be done.
    run("post", show.path, "built", "hill_town", "--at", "2026-11-02 12:00")
    asked = ("order", show.path, "--from", "2027-03-15", *QUICK)
    calls = json.loads(run(*asked, "--json").stdout)["calls"]
    held = [call["starts"][:10] for call in calls if "cam" in call["holds"]]
    assert len(held) == len(on_cam)
    assert min(held) == "2027-04-20"
    words = " ".join(run(*asked).output.split())
    said = "cam is lost, back 2027-04-20 as posted, and what cannot be done without it waits"
    told = words[words.index(said) :]
    assert all(f"{call['element']}/{call['work']}" in told for call in on_cam)


def test_a_loss_meets_no_call_of_what_the_show_has_no_more(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    run("post", show.path, "lost", "cam", "--at", "2026-11-02 10:00", "--value", "back=2027-03-22")
    for file in (show.path / "sequences").iterdir():
        text = file.read_text(encoding="utf-8")
        file.write_text(text.replace("sky", "heaven"), encoding="utf-8")
    found = run("order", show.path, "--from", "2027-03-01", *QUICK, "--json")
    calls = [call for call in json.loads(found.stdout)["calls"] if "cam" in call["holds"]]
    # Under its new name it was never called for Monday 1 March: it waits for the camera as well.
    assert {call["element"] for call in calls} == {"HL010.heaven", TOWN}
    assert min(call["starts"] for call in calls)[:10] == "2027-03-22"


@pytest.mark.parametrize(
    ("back", "says"),
    [
        ("soon", "soon is not a date"),
        ("2027-03-01", "2027-03-01 has come, and its return is not posted"),
    ],
)
def test_a_return_that_is_no_day_to_come_is_told_and_the_near_days_stand_in(
    show: ShowFolder, back: str, says: str
) -> None:
    run("order", show.path, "--issue", *QUICK)
    lost = ("post", show.path, "lost", "cam", "--at", "2026-11-02 10:00")
    # Today a post is refused that says no date; a ledger may come from elsewhere.
    run(*lost, "--value", "back=2027-04-16")
    lines = show.path / "ledger.jsonl"
    run("ledger", show.path, "--export", lines)
    (show.path / "ledger.db").unlink()
    lines.write_text(
        lines.read_text(encoding="utf-8").replace("2027-04-16", back), encoding="utf-8"
    )
    run("ledger", show.path, "--import", lines)
    words = " ".join(run("order", show.path, "--from", "2027-03-02", *QUICK).output.split())
    assert f"cam was posted as lost with back={back}: {says}" in words
    assert "taken to be away for 3 working days, our guess, so back 2027-03-05" in words
    said = words.partition("[return-unknown ")[2].partition(" do: ")[2]
    assert said.startswith("once it is back, `platewright post SHOW freed cam`; until then")


def test_a_posted_return_lets_everything_stand(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    run("post", show.path, "lost", "cam", "--at", "2026-11-02 10:00")
    run("post", show.path, "freed", "cam", "--at", "2026-11-02 11:00")
    said = run("order", show.path, "--from", "2027-03-01", *QUICK).output
    assert "cam is lost" not in said
    assert "nothing has moved" in said


@pytest.mark.parametrize(("from_", "is_there"), [(0, True), (1, False), (-1, False)])
def test_what_is_lost_is_there_on_the_very_day_posted_for_its_return(
    show: ShowFolder, from_: int, *, is_there: bool
) -> None:
    """Blocking takes it alike; a day later somebody must have said that it came."""
    run("order", show.path, "--issue", *QUICK)
    # Once work is posted, what is past and not posted is still to be done, with the camera.
    run("post", show.path, "built", "hill_town", "--at", "2026-11-02 09:00")
    call = min(each["starts"] for each in kept_calls(show, TOWN) if "cam" in each["holds"])
    back = date.fromisoformat(call[:10])
    lost = ("post", show.path, "lost", "cam", "--at", "2026-11-02 10:00")
    run(*lost, "--value", f"back={back}")
    day = back + timedelta(days=from_)
    told = run("order", show.path, "--from", day, "--json", *QUICK)
    words = " ".join(told.stderr.split())
    assert ("cam" not in json.loads(told.stdout)["method"]) is is_there
    assert ("return-unknown" in words) is (from_ > 0)
    blocked = run("blocking", show.path, "--on", day, *QUICK).stdout
    assert ("cam is lost" in blocked) is not is_there


def test_each_piece_past_and_not_posted_is_named_with_what_to_post(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    calls = json.loads((show.path / "issued" / "order_001.json").read_bytes())["calls"]
    mine = [each for each in calls if each["element"] == TOWN]
    day = date.fromisoformat(max(each["ends"] for each in mine)[:10]) + timedelta(days=1)
    asked = ("order", show.path, "--from", day, *QUICK)
    # While no work at all is posted, all that is past is taken as done, and nothing is wanted.
    assert "-wanted" not in run(*asked).output
    run("post", show.path, "built", "hill_town", "--at", "2026-11-02 12:00")
    told = " ".join(run(*asked).output.split())
    said = "past and not posted, so that it is called again: "
    told = told[told.index(f"{TOWN} {said}") :]
    first, _, rest = told.partition("[take-wanted ")
    assert all(f"{each['work']}, {each['starts'][:10]}" in first for each in mine)
    assert f"`platewright post SHOW take {TOWN} --take NUMBER`" in rest
    assert f"`platewright post SHOW in-the-can {TOWN}`" in rest


@pytest.mark.parametrize(
    ("later", "post"), [(0, (What.TAKE, What.IN_THE_CAN)), (1, (What.SET_UP,))]
)
def test_of_a_piece_set_up_and_still_to_be_photographed_the_set_up_is_wanted(
    show: ShowFolder, later: int, post: tuple[What, ...]
) -> None:
    run("order", show.path, "--issue", *QUICK)
    issued = issued_order(show.path, None)
    (shot,) = [each for each in issued.calls if each.id == f"{TOWN}/photograph"]
    day = shot.ends.date() + timedelta(days=1)
    # With a day more it would end on the first that is not past.
    longer = replace(shot, ends=shot.ends + timedelta(days=later))
    calls = tuple(longer if each is shot else each for each in issued.calls)
    ids = tuple(each.id for each in calls if each.element == TOWN and each.ends.date() < day)
    known = Unposted(1, day, ids, is_taken_as_done=False)
    outline = judged_standing(open_sound(show.path), Told(()))[1].outline
    (found,) = wanting(known, replace(issued, calls=calls), outline)
    assert found.post == post
    assert tuple(each.id for each in found.calls) == ids


def test_a_build_lost_while_it_is_made_is_made_again_from_the_first(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    making = kept_calls(show, "hill_town")
    last = date.fromisoformat(making[-1]["ends"][:10])
    # On the last day of painting the making before it counts as over, until the model is lost.
    run("post", show.path, "in-the-can", "HL010.sky", "--at", f"{last} 09:00", "--on", last)
    lost = ("post", show.path, "lost", "hill_town", "--at", f"{last} 10:00", "--on", last)
    asked = ("order", show.path, "--from", last, *QUICK)

    def from_that_day() -> set[str]:
        calls = json.loads(run(*asked, "--json").stdout)["calls"]
        mine = [each for each in calls if each["element"] == "hill_town"]
        return {each["work"] for each in mine if each["starts"][:10] >= str(last)}

    assert from_that_day() == set()
    assert run(*lost, "--why", "it burnt").exit_code == 0
    assert from_that_day() == {each["work"] for each in making} == {"make", "paint"}
    said = " ".join(run(*asked).stdout.split())
    assert f"hill town: lost, posted {last}, called again" in said
    # Once an order calls it anew, that making goes on as any other does.
    run(*asked, "--issue")
    day = last + timedelta(days=1)
    told = json.loads(run("order", show.path, "--from", day, "--json", *QUICK).stdout)["calls"]
    begun = [each["starts"][:10] for each in told if each["element"] == "hill_town"]
    assert min(begun) == str(last)


def test_a_build_lost_on_the_first_day_of_its_call_does_not_go_on(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    making = kept_calls(show, "hill_town")
    first, second = (date.fromisoformat(making[0][each][:10]) for each in ("starts", "ends"))
    assert first < second
    run("post", show.path, "in-the-can", "HL010.sky", "--at", f"{first} 09:00", "--on", first)
    run("post", show.path, "lost", "hill_town", "--at", f"{first} 17:00", "--on", first)
    told = json.loads(run("order", show.path, "--from", second, "--json", *QUICK).stdout)["calls"]
    begun = [each["starts"][:10] for each in told if each["element"] == "hill_town"]
    assert min(begun) == str(second)


def test_what_stands_set_up_waits_for_the_model_lost_before_it(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    calls = kept_calls(show, TOWN)
    day = next(each["ends"][:10] for each in calls if each["work"] == "set up")
    for what, piece in (("in-the-can", "HL010.sky"), ("built", "hill_town"), ("set-up", TOWN)):
        run("post", show.path, what, piece, "--at", f"{day} 07:00", "--on", day)
    run("post", show.path, "lost", "hill_town", "--at", f"{day} 17:00", "--on", day)
    on = date.fromisoformat(day) + timedelta(days=1)
    told = json.loads(run("order", show.path, "--from", on, "--json", *QUICK).stdout)["calls"]
    made = max(each["ends"] for each in told if each["element"] == "hill_town")
    (shot,) = (each for each in told if each["element"] == TOWN and each["work"] == "photograph")
    assert day < made <= shot["starts"]
    # The set-up stands: only the model is made again, and `blocking` dates the shot alike.
    assert [each["starts"][:10] for each in told if each["work"] == "set up"] == [day]
    blocked = json.loads(run("blocking", show.path, "--on", on, "--json", *QUICK).stdout)["blocked"]
    assert blocked[0]["final"][:10] == max(each["ends"] for each in told)[:10]


def test_what_is_in_the_can_wants_the_model_lost_after_it_no_more(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    day = max(each["ends"] for each in kept_calls(show, TOWN))[:10]
    for what, piece in (("built", "hill_town"), ("in-the-can", "HL010.sky"), ("in-the-can", TOWN)):
        run("post", show.path, what, piece, "--at", f"{day} 07:00", "--on", day)
    run("post", show.path, "lost", "hill_town", "--at", f"{day} 17:00", "--on", day)
    joined = kept_calls(show, "HL010.final")
    # Lost the day before the pieces are joined, and on the first day of that: it goes on.
    first = date.fromisoformat(min(each["starts"] for each in joined)[:10])
    for on in (first, first + timedelta(days=1)):
        asked = run("order", show.path, "--from", on, "--json", *QUICK)
        calls = json.loads(asked.stdout)["calls"]
        now = [each for each in calls if each["element"] == "HL010.final"]
        assert {each["work"]: each["starts"][:16] for each in now} == {
            each["work"]: each["starts"] for each in joined
        }
        assert "begun-cannot-stay" not in asked.stderr
        blocked = run("blocking", show.path, "--on", on, "--json", *QUICK).stdout
        assert json.loads(blocked)["blocked"][0]["final"][:10] == max(e["ends"] for e in now)[:10]


def test_what_an_order_calls_anew_after_a_loss_goes_by_its_dates_too(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    # Nothing but the loss is ever posted, on a day of making; the next day it is planned again.
    lost = date.fromisoformat(kept_calls(show, "hill_town")[0]["starts"][:10])
    run("post", show.path, "lost", "hill_town", "--at", f"{lost} 17:00", "--on", lost)
    first = lost + timedelta(days=1)
    run("order", show.path, "--from", first, "--issue", *QUICK)
    path = show.path / "issued" / "order_002.json"
    called = json.loads(path.read_bytes())["calls"]
    making = sorted(each["starts"] for each in called if each["element"] == "hill_town")
    assert making[0][:10] == str(first)
    # A day later it is under way by that order, and is not begun once more.
    day = first + timedelta(days=1)
    again = run("order", show.path, "--from", day, *QUICK).stdout
    assert "nothing has moved" in " ".join(again.split())
    blocked = json.loads(run("blocking", show.path, "--on", day, "--json", *QUICK).stdout)[
        "blocked"
    ]
    assert blocked[0]["final"][:10] == max(each["ends"] for each in called)[:10]
