"""What holds up the small show's composite, with dates worked out by hand.

Hours of the show, each rounded up to quarters: the build takes 269 to make and 101 to paint, 370 in
all. The town takes 20 to set up and 5 to photograph, then 32 of laboratory; the composite 44 to
join, 32 to answer notes and 6 to look at. 370 + 20 + 5 + 32 + 44 + 32 + 6 = 509 quarters of days of
40. The sky holds the camera for 8 + 4 quarters, before the town does.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING

from planner.ledger import Note, Verdict, What
from planner.pages.blocking import blocking_json, blocking_text, root_name
from planner.status.arrows_left import arrows_left
from tests.ledger.told import event

if TYPE_CHECKING:
    from planner.status.blocking import Blocked
    from tests.status.conftest import Floor


def blocked_by(floor: Floor, *told: object, **how: object) -> Blocked:
    (blocked,) = floor.blocking(*told, **how).blocked  # type: ignore[arg-type]
    return blocked


def causes_of(blocked: Blocked, id_: str) -> list[str]:
    return [cause.sort for link in blocked.links if link.id == id_ for cause in link.causes]


def test_a_chain_goes_down_to_what_nobody_waits_for(floor: Floor) -> None:
    blocked = blocked_by(floor)
    assert [link.id for link in blocked.links] == [
        "HL010.final",
        "HL010.sky",
        "HL010.town",
        "hill_town",
    ]
    by_id = {link.id: link for link in blocked.links}
    assert by_id["HL010.final"].waits_for == ("HL010.sky", "HL010.town")
    assert by_id["HL010.town"].waits_for == ("hill_town",)
    assert "work" in causes_of(blocked, "hill_town")
    assert "work" not in causes_of(blocked, "HL010.town")


def test_the_date_that_results(floor: Floor) -> None:
    # 509 quarters: twelve days of 40, and 29 of the thirteenth, Wednesday 17 March: 7.25 h from 8.
    assert blocked_by(floor).final == datetime(2027, 3, 17, 15, 15)


def test_nothing_is_dated_before_today(floor: Floor) -> None:
    # The same 509 quarters from Monday 8 March end a week later.
    assert blocked_by(floor, day=date(2027, 3, 8)).final == datetime(2027, 3, 24, 15, 15)


def test_what_would_shorten_it_most_is_tried(floor: Floor) -> None:
    # With the build done the town waits for the camera only: 370 - 12 = 358 quarters sooner.
    assert blocked_by(floor).shortens == ("hill_town", 358 / 40)


def test_what_does_not_delay_it_has_room(floor: Floor) -> None:
    rooms = {link.id: link.room_days for link in blocked_by(floor).links}
    assert rooms["hill_town"] == 0
    # The sky gives the camera back after 12 quarters, and the town wants it after 370.
    assert rooms["HL010.sky"] == 358 / 40


def test_what_is_done_is_left_out_of_the_date(floor: Floor) -> None:
    told = [event(1), event(2, What.IN_THE_CAN, "HL010.sky"), event(3, What.SCANNED, "HL010.sky")]
    # 20 + 5 + 32 + 44 + 32 + 6 = 139 quarters: three days, and 19 of Thursday, 4.75 h from 8.
    assert blocked_by(floor, *told).final == datetime(2027, 3, 4, 12, 45)
    told.append(event(4, What.SET_UP, "HL010.town"))
    # Without the 20 of setting up the film is back after 5 + 32: three quarters are left of Monday,
    # too few to begin to join in. 40 + 82 = 122, three days and 2.
    assert blocked_by(floor, *told).final == datetime(2027, 3, 4, 8, 30)
    told.append(event(5, What.IN_THE_CAN, "HL010.town"))
    # What is in the can has still 32 quarters of laboratory before it: 32 + 82 = 114.
    assert blocked_by(floor, *told).final == datetime(2027, 3, 3, 16, 30)
    floor.passed = 6.0
    # Six of its eight hours have passed: 8 + 82 = 90 quarters.
    assert blocked_by(floor, *told).final == datetime(2027, 3, 3, 10, 30)
    told.append(event(6, What.SCANNED, "HL010.town"))
    # 82 quarters.
    assert blocked_by(floor, *told).final == datetime(2027, 3, 3, 8, 30)


def test_a_version_seen_waits_for_whoever_approves(floor: Floor) -> None:
    floor.folder.replace(
        "sequences/hill.yaml", "joins: [sky, town]", "joins: [sky, town], approved_by: the director"
    )
    told = [event(1), event(2, What.SCANNED, "HL010.sky"), event(3, What.SCANNED, "HL010.town")]
    told.append(event(4, What.TAKE, "HL010.final", take="1"))
    blocked = blocked_by(floor, *told)
    (cause,) = blocked.links[0].causes
    assert (cause.sort, cause.by, cause.act) == ("grant", "the director", "show it to the director")
    notes = (Note("a darker sky"),)
    noted = event(5, What.APPROVED, "HL010.final", by="the director", take="1", notes=notes)
    (cause,) = blocked_by(floor, *told, noted).links[0].causes
    assert (cause.sort, cause.says) == ("notes", "approved with notes: a darker sky")
    done = event(6, What.APPROVED, "HL010.final", by="the director", take="1")
    asked = floor.blocking(*told, noted, done)
    assert (asked.blocked, asked.done) == ((), ("HL010.final",))
    assert blocking_text(asked).startswith("Nothing is held up")


def test_a_circled_take_asks_whether_it_is_in_the_can(floor: Floor) -> None:
    shot = event(1, What.TAKE, "HL010.sky", take="2", verdict=Verdict.GOOD)
    blocked = blocked_by(floor, shot)
    # A good take may be followed by a better one: photography is what comes next.
    assert causes_of(blocked, "HL010.sky") == ["work"]
    told = (shot, event(2, What.TAKE, "HL010.sky", take="3", circled=True))
    (cause,) = next(e for e in blocked_by(floor, *told).links if e.id == "HL010.sky").causes
    assert (cause.sort, cause.says) == (
        "circled",
        "take 3 is circled, and nobody has said that it is in the can",
    )
    text = " ".join(blocking_text(floor.blocking(*told)).split())
    assert "next: post it in the can if nothing more of it is to be shot" in text
    # Whoever says so is asked no more; nor is anybody of a take that was refused since.
    said = event(3, What.IN_THE_CAN, "HL010.sky", take="3")
    assert "HL010.sky" not in blocked_by(floor, *told, said).roots
    refused = event(3, What.NOT_APPROVED, "HL010.sky", by="the director", take="3")
    assert causes_of(blocked_by(floor, *told, refused), "HL010.sky") == ["refused"]


def test_who_holds_it_is_a_root_with_a_date(floor: Floor) -> None:
    held = event(1, What.HELD, "HL010.town", by="the director", why="he may lose the shot")
    blocked = blocked_by(floor, held)
    assert "HL010.town" in blocked.roots
    cause = next(each for link in blocked.links for each in link.causes if each.sort == "held")
    assert (cause.by, cause.since, cause.act) == (
        "the director",
        held.at,
        "have the director free it",
    )


def test_a_thing_that_is_lost_stops_what_cannot_do_without_it(floor: Floor) -> None:
    blocked = blocked_by(floor, event(1, What.LOST, "cam", why="it fell"))
    assert causes_of(blocked, "HL010.town")[0] == "resource"
    text = " ".join(
        blocking_text(floor.blocking(event(1, What.LOST, "cam", why="it fell"))).split()
    )
    # Three working days from Monday the 1st, as no day is given.
    said = "cam is lost, back 2027-03-04 by our guess: it fell since Mon 1 Mar 2027"
    assert f"{said}; next: mend or replace cam" in text
    # The sky waits for nothing else; yet it cannot be set up without the camera.
    assert causes_of(blocked, "HL010.sky") == ["resource"]
    assert "next, location: set up" not in text


def test_an_omitted_shot_says_by_whom_and_when(floor: Floor) -> None:
    asked = floor.blocking(event(1, What.OMITTED, "HL010", by="the director", why="too slow"))
    assert (asked.blocked, asked.done) == ((), ())
    assert blocking_text(asked) == (
        "Nothing is held up: HL010 is omitted, by the director since Mon 1 Mar 2027: too\n  slow.\n"
    )


def test_a_shot_omitted_in_its_file_says_where_and_why(floor: Floor) -> None:
    floor.folder.replace(
        "sequences/hill.yaml",
        "    cut: 1-96",
        "    state: omitted\n    why: Cut by the editor on 2027-02-01.\n    cut: 1-96",
    )
    text = " ".join(blocking_text(floor.blocking()).split())
    said = "HL010 is omitted: Cut by the editor on 2027-02-01 (sequences/hill.yaml:"
    assert text.startswith(f"Nothing is held up: {said}")


def test_places_are_written_within_the_show(floor: Floor) -> None:
    floor.folder.replace(
        "sequences/hill.yaml", "joins: [sky, town]", "joins: [sky, town], due: 2027-03-02"
    )
    told = [event(1), event(2, What.SCANNED, "HL010.sky"), event(3, What.SCANNED, "HL010.town")]
    late = date(2027, 3, 8)
    says = [each.says for link in blocked_by(floor, *told, day=late).links for each in link.causes]
    (due,) = [each for each in says if each.startswith("it was due on 2027-03-02, ")]
    assert due.partition(", ")[2].startswith("sequences/hill.yaml:")


def test_what_was_refused_says_by_whom_and_why(floor: Floor) -> None:
    notes = (Note("the smoke drifts"),)
    told = [
        event(1, What.IN_THE_CAN, "HL010.sky"),
        event(2, What.NOT_APPROVED, "HL010.sky", by="the director", notes=notes),
    ]
    assert causes_of(blocked_by(floor, *told), "HL010.sky") == ["refused"]
    text = " ".join(blocking_text(floor.blocking(*told)).split())
    assert "not approved: the smoke drifts, with the director" in text


def test_an_error_is_a_root_that_takes_no_hours(floor: Floor) -> None:
    floor.folder.replace("sequences/hill.yaml", "nearest: 40 m", "nearest: 4 m")
    asked = floor.blocking()
    errors = [each for each in floor.findings if each.severity == 0]
    assert errors, "the small show was to be made wrong"
    roots = {root.id: root for root in asked.roots}
    sorts = {cause.sort for cause in roots["HL010.town"].causes}
    assert "error" in sorts
    assert roots["HL010.town"].gained == {}


def test_a_permit_and_a_decision_are_roots_with_their_owners(floor: Floor) -> None:
    floor.folder.replace(
        "sequences/hill.yaml",
        "{kind: plate, sort: live, on: location}",
        "{kind: plate, sort: live, on: location, waits_for: [leave, weather]}",
    )
    builds = (floor.folder.path / "builds.yaml").read_text(encoding="utf-8")
    more = (
        "permits:\n  leave: {for: the hill, from: the farmer, expected: 2027-03-29}\n"
        "decisions:\n  weather: {question: rain or sun, owner: the director}\n"
    )
    floor.folder.write("builds.yaml", builds + more)
    asked = floor.blocking()
    roots = {root.id: root.causes[0] for root in asked.roots}
    assert (roots["leave"].by, roots["leave"].says) == (
        "the farmer",
        "leave for the hill is not in hand; expected on 2027-03-29",
    )
    assert (roots["weather"].by, roots["weather"].says) == (
        "the director",
        "still open: rain or sun",
    )
    # The farmer's answer of Monday 29 March, day 20, is far past all else.
    (blocked,) = asked.blocked
    assert blocked.shortens is not None
    assert blocked.shortens[0] == "leave"
    assert asked.roots[0].id == "leave"


def test_lateness_is_told_against_the_delivery(floor: Floor) -> None:
    floor.folder.replace("show.yaml", "date: 2027-12-01", "date: 2027-03-12")
    blocked = blocked_by(floor)
    # Friday 12 March to Wednesday 17: Monday, Tuesday, Wednesday.
    assert blocked.late_days == 3
    assert "3 working days after the reel delivery" in " ".join(
        blocking_text(floor.blocking()).split()
    )


def test_days_that_are_gone_count_as_late(floor: Floor) -> None:
    floor.folder.replace("show.yaml", "date: 2027-12-01", "date: 2027-03-01")
    monday = blocked_by(floor, day=date(2027, 3, 8))
    # What takes from Monday 1 March to Wednesday 17 begins a week later, and was due that Monday:
    # three weeks and two days of work after it, though the order's own days begin on the 8th.
    assert monday.late_days == 17


def test_an_omitted_shot_is_not_asked_about(floor: Floor) -> None:
    asked = floor.blocking(event(1, What.OMITTED, "HL010"))
    assert (asked.blocked, asked.done) == ((), ())


def test_pages_fit_80_columns_and_say_no_percentage(floor: Floor) -> None:
    told = event(1, What.HELD, "HL010", by="the director of the second unit " * 4)
    text = blocking_text(floor.blocking(told))
    assert max(map(len, text.splitlines())) <= 80
    assert "%" not in text
    assert '"HL010.final"' in blocking_json(floor.blocking(told))


def test_what_would_bring_it_forward_is_not_said_not_to_delay_it(floor: Floor) -> None:
    # With room of its own, it may still hold hands that others wait for.
    asked = floor.blocking()
    (blocked,) = asked.blocked
    links = tuple(replace(each, room_days=1.7) for each in blocked.links)
    first, *others = blocked.roots
    assert first in {each.id for each in links}
    roots = tuple(
        replace(each, gained={blocked.composite: 13.7} if each.id == first else {})
        for each in asked.roots
    )
    asked = replace(asked, blocked=(replace(blocked, links=links),), roots=roots)
    _, _, spare = blocking_text(asked).partition("What does not delay it")
    assert f"{root_name(others[0], None)} has 1.7 working days of room" in spare
    assert f"{root_name(first, None)} has" not in spare


def test_a_stated_day_that_holds_the_chain_is_a_root(floor: Floor) -> None:
    floor.folder.replace(
        "sequences/hill.yaml",
        "{kind: plate, sort: live, on: location}",
        "{kind: plate, sort: live, on: location, not_before: 2027-03-29}",
    )
    (blocked,) = floor.blocking().blocked
    assert "not before 2027-03-29" in blocked.roots
    text = " ".join(blocking_text(floor.blocking()).split())
    assert "HL010.sky may not begin before 2027-03-29" in text


def test_a_hold_on_a_shot_is_one_root(floor: Floor) -> None:
    asked = floor.blocking(event(1, What.HELD, "HL010", by="the director"))
    held = [root.id for root in asked.roots if any(c.sort == "held" for c in root.causes)]
    assert held == ["HL010"]


def test_a_lost_thing_is_one_root(floor: Floor) -> None:
    asked = floor.blocking(event(1, What.LOST, "cam"))
    roots = [root.id for root in asked.roots if any(c.sort == "resource" for c in root.causes)]
    assert roots == ["cam"]


def test_a_refused_composite_is_joined_again_and_a_picture_photographed(floor: Floor) -> None:
    def act_of(id_: str) -> str:
        refused = event(3, What.NOT_APPROVED, id_, by="the director", take="1")
        told = [event(1), event(2, What.TAKE, id_, take="1", circled=True), refused]
        links = blocked_by(floor, *told).links
        return next(c.act for link in links if link.id == id_ for c in link.causes)

    assert act_of("HL010.sky") == "photograph it again, or ask again"
    assert act_of("HL010.final") == "join it again, or ask again"


def test_of_what_is_done_but_for_a_hold_nothing_is_next(floor: Floor) -> None:
    told = [
        event(1, What.IN_THE_CAN, "HL010.sky"),
        event(2, What.HELD, "HL010", by="the director"),
    ]
    blocked = blocked_by(floor, *told)
    assert causes_of(blocked, "HL010.sky") == ["held"]
    assert "post what has been done" not in blocking_text(floor.blocking(*told))


def overdue(floor: Floor, day: date) -> set[tuple[str, str, str]]:
    """Per root, by whom and what was to have come, without where it is written."""
    return {
        (root.id, cause.by, cause.says.partition(",")[0])
        for root in floor.blocking(day=day).roots
        for cause in root.causes
        if cause.sort == "overdue"
    }


def test_what_was_expected_from_outside_and_has_not_come_is_told_with_its_day(
    floor: Floor,
) -> None:
    floor.folder.replace(
        "sequences/hill.yaml",
        "{kind: plate, sort: live, on: location}",
        "{kind: plate, sort: live, on: location, waits_for: [leave, weather]}",
    )
    builds = (floor.folder.path / "builds.yaml").read_text(encoding="utf-8")
    more = (
        "permits:\n  leave: {for: the hill, from: the farmer, expected: 2027-03-05}\n"
        "decisions:\n"
        "  weather: {question: rain or sun, owner: the director, due: 2027-03-04}\n"
    )
    floor.folder.write("builds.yaml", builds + more)
    # On the last day itself nothing is late yet.
    assert overdue(floor, date(2027, 3, 4)) == set()
    assert overdue(floor, date(2027, 3, 8)) == {
        ("leave", "the farmer", "it was expected on 2027-03-05"),
        ("weather", "the director", "it was due on 2027-03-04"),
    }
    text = " ".join(blocking_text(floor.blocking(day=date(2027, 3, 8))).split())
    assert "it was expected on 2027-03-05, " in text
    assert "ask the farmer for a new day" in text


def test_work_that_is_due_and_waits_for_others_is_no_root_for_that(floor: Floor) -> None:
    floor.folder.replace(
        "sequences/hill.yaml", "action: still", "action: still\n        due: 2027-03-02"
    )
    late = causes_of(blocked_by(floor, day=date(2027, 3, 8)), "HL010.town")
    assert "overdue" not in late
    # With the build done it waits for nothing, and is late itself.
    assert "overdue" in causes_of(blocked_by(floor, event(1), day=date(2027, 3, 8)), "HL010.town")


def test_a_set_that_does_not_stand_yet_is_a_root_with_its_day(floor: Floor) -> None:
    floor.folder.replace(
        "sequences/hill.yaml",
        "{kind: plate, sort: live, on: location}",
        "{kind: plate, sort: live, on: location, set: quay}",
    )
    builds = (floor.folder.path / "builds.yaml").read_text(encoding="utf-8")
    floor.folder.write("builds.yaml", builds + "sets:\n  quay: {stands: 2027-03-29..2027-03-31}\n")
    asked = floor.blocking()
    (blocked,) = asked.blocked
    root = next(each for each in asked.roots if each.id == "quay from 2027-03-29")
    assert "quay stands from 2027-03-29, " in root.causes[0].says
    assert "HL010.sky can be done only then" in root.causes[0].says
    # Monday 29 March is working day 20: the sky is photographed by 800 + 8 + 4 = 812 quarters, 32
    # of laboratory and 82 of joining follow: 926. Without the set the town holds it, until 509.
    assert root.gained is not None
    assert root.gained[blocked.composite] == (926 - 509) / 40


def test_what_is_made_and_held_waits_for_nothing_that_was_lost_since(floor: Floor) -> None:
    told = [
        event(1),
        event(2, What.SCANNED, "HL010.town"),
        event(3, What.HELD, "HL010", by="the director", why="he may lose the shot"),
        event(4, What.LOST, "hill_town", why="it fell"),
    ]
    stands = floor.standing(*told)
    assert (stands.is_made("HL010.town"), stands.is_done("HL010.town")) == (True, False)
    assert stands.waits_for("HL010.town") == ()
    assert not arrows_left(floor.graph, stands).arrows.has_edge("hill_town", "HL010.town")
    assert arrows_left(floor.graph, floor.standing(*told[3:])).arrows.has_edge(
        "hill_town", "HL010.town"
    )


def test_a_person_who_is_lost_is_not_to_be_mended(floor: Floor) -> None:
    resources = floor.folder.path / "resources.yaml"
    text = resources.read_text(encoding="utf-8")
    floor.folder.write("resources.yaml", f"{text}people:\n  ada: {{craft: camera}}\n")
    floor.folder.replace(
        "sequences/hill.yaml",
        "        light: 250 fc\n",
        "        light: 250 fc\n        people: ada\n",
    )
    text = " ".join(blocking_text(floor.blocking(event(1, What.LOST, "ada", why="flu"))).split())
    assert "ada is lost, back 2027-03-04 by our guess: flu" in text
    assert "next: find who can do what ada is called for" in text


def test_a_thing_lost_until_a_day_is_one_root_with_its_gain_and_its_act(floor: Floor) -> None:
    # Only the town is left to photograph. Its camera, back on Monday 15 March, would be there on
    # Monday the 1st were it not lost: two weeks of five days.
    there = (
        event(1),
        event(2, What.IN_THE_CAN, "HL010.sky"),
        event(3, What.SCANNED, "HL010.sky"),
    )
    lost = event(4, What.LOST, "cam", why="it fell", values={"back": "2027-03-15"})
    found = floor.blocking(*there, lost)
    (root,) = (each for each in found.roots if each.id.startswith("cam"))
    assert (root.id, dict(root.gained or {})) == ("cam", {"HL010.final": 10.0})
    said = " ".join(blocking_text(found).split())
    assert "next: mend cam, or hire one until 2027-03-15" in said
    assert "lifted" not in said


def test_a_root_goes_by_the_name_people_use(floor: Floor) -> None:
    rows = (floor.folder.path / "resources.yaml").read_text(encoding="utf-8")
    size = "width: 18 m, depth: 24 m, height: 7 m"
    river = f"  north_stage: {{title: Stage by the river, {size}"
    floor.folder.write("resources.yaml", rows.replace("stages:\n", f"stages:\n{river}}}\n", 1))
    floor.read()
    show = floor.show
    assert root_name("north_stage away 2027-05-10", show) == "Stage by the river away 2027-05-10"
    assert root_name("not before 2027-05-06", show) == "not before 2027-05-06"
    assert root_name("HL010.low_sky", show) == "HL010.low_sky"
    assert root_name("old_quay from 2027-03-29", None) == "old quay from 2027-03-29"


def test_nobody_lifts_an_illness(floor: Floor) -> None:
    # The crew is no thing that work names: its absence is found by the days it costs alone.
    lost = event(4, What.LOST, "modellers", why="ill", values={"back": "2027-03-08"})
    (root,) = (each for each in floor.blocking(lost).roots if each.id.startswith("modellers"))
    assert root.id == "modellers"
    assert root.causes[0].act == "find other hands for what modellers are called for"
    # The build begins on Monday the 8th instead of the 1st, and the show waits for the build.
    assert root.gained == {"HL010.final": 5.0}
