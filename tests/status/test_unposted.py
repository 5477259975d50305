"""What is past and not posted: counted, said, and taken alike by whatever asks."""

from __future__ import annotations

import json
import re
import shutil
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from tests.cli.test_commands import QUICK, run

if TYPE_CHECKING:
    from tests.conftest import ShowFolder

EXAMPLE = Path(__file__).parents[2] / "example_shows" / "nine_bells_under"


def calls_of(show: ShowFolder) -> list[dict[str, str]]:
    """Those of the first order issued, by start."""
    run("order", show.path, "--issue", *QUICK)
    return json.loads((show.path / "issued" / "order_001.json").read_bytes())["calls"]


def name(call: dict[str, str]) -> str:
    return f"{call['element']}/{call['work']}"


def blocking(show: ShowFolder, day: date) -> dict[str, object]:
    return json.loads(run("blocking", show.path, "--json", "--on", day, *QUICK).stdout)


def again(show: ShowFolder, day: date) -> str:
    return " ".join(run("order", show.path, "--from", day, *QUICK).stderr.split())


def days(calls: list[dict[str, str]]) -> list[date]:
    """The days after each call, rising, so that it is past and others are not."""
    return sorted({date.fromisoformat(each["ends"][:10]) + timedelta(days=1) for each in calls})


def test_while_nothing_is_posted_both_take_past_calls_as_done_and_say_so(show: ShowFolder) -> None:
    calls = calls_of(show)
    day = days([each for each in calls if each["element"] == "hill_town"])[-1]
    past = [each for each in calls if date.fromisoformat(each["ends"][:10]) < day]
    told = blocking(show, day)
    assert told["unposted"]["taken_as_done"]
    assert told["unposted"]["calls"] == [name(each) for each in past]
    (blocked,) = told["blocked"]
    assert "hill_town" not in {each["id"] for each in blocked["chain"]}
    # What is left stands on the days it was issued for, as it does in the order planned again.
    assert blocked["final"][:10] == max(each["ends"][:10] for each in calls)
    said = (
        f"{len(past)} calls of order 1 before {day} not posted, nor any other work: taken as done"
    )
    assert said in again(show, day)
    asked = run("blocking", show.path, "--on", day, *QUICK).stdout
    assert " ".join(asked.split()).startswith(said)


def test_no_call_moves_for_the_day_alone(show: ShowFolder) -> None:
    # Whatever the day, a show that goes by its order is done on the day it was issued for: also
    # in the middle of a call, whose rest is all that is left of it.
    calls = calls_of(show)
    final = max(each["ends"][:10] for each in calls)
    first = date.fromisoformat(calls[0]["starts"][:10])
    count = (date.fromisoformat(final) - first).days
    for day in (first + timedelta(days=n) for n in range(1, count, 3)):
        (blocked,) = blocking(show, day)["blocked"]
        assert blocked["final"][:10] == final, day


def test_once_anything_is_posted_both_take_the_rest_as_still_to_be_done(show: ShowFolder) -> None:
    calls = calls_of(show)
    day = days(calls)[-1]
    run("post", show.path, "built", "hill_town", "--at", "2026-11-02 10:00")
    rest = [name(each) for each in calls if each["element"] != "hill_town"]
    told = blocking(show, day)
    assert not told["unposted"]["taken_as_done"]
    assert told["unposted"]["calls"] == rest
    said = f"{len(rest)} calls of order 1 before {day} not posted: taken as still to be done"
    assert said in again(show, day)
    # What is refused is known of, and is to be done again.
    run("post", show.path, "not approved", "HL010.sky", "--by", "Ann", "--at", "2026-11-02 11:00")
    left = blocking(show, day)["unposted"]["calls"]
    assert {each.partition("/")[0] for each in left} == {"HL010.town", "HL010.final"}


def test_a_loss_alone_tells_of_no_work(show: ShowFolder) -> None:
    calls = calls_of(show)
    day = days([each for each in calls if each["element"] == "hill_town"])[-1]
    before = blocking(show, day)
    run("post", show.path, "lost", "cam", "--at", "2026-11-02 10:00")
    after = blocking(show, day)
    # The camera is posted as lost: what was built is not to be built again for that.
    assert after["unposted"] == before["unposted"]
    assert "nor any other work: taken as done" in again(show, day)
    # What is lost itself is to be made again, whatever the order called.
    (piece,) = {each["element"] for each in calls} - {"hill_town", "HL010.sky", "HL010.final"}
    run("post", show.path, "lost", piece, "--at", "2026-11-02 11:00")
    (blocked,) = blocking(show, day)["blocked"]
    assert piece in {each["id"] for each in blocked["chain"]}


def test_where_all_is_posted_nothing_is_said(show: ShowFolder) -> None:
    calls = calls_of(show)
    day = days([each for each in calls if each["element"] == "hill_town"])[0]
    past = {each["element"] for each in calls if date.fromisoformat(each["ends"][:10]) < day}
    assert past
    for each in past:
        what = "in the can" if each.startswith("HL010") else "built"
        run("post", show.path, what, each, "--at", "2026-11-02 10:00")
    assert blocking(show, day)["unposted"] is None
    assert "not posted" not in again(show, day)


def test_a_quiet_week_by_an_issued_order_moves_nothing(show: ShowFolder) -> None:
    calls = calls_of(show)
    last = days(calls)[-1]
    asked = ("--on", last - timedelta(days=7), "--since", last - timedelta(days=14))
    told = run("forecast", show.path, *asked, "--json", "--samples", "100", *QUICK)
    (final,) = json.loads(told.stdout)["composites"]
    # Nothing is posted: all is taken to go by the order, and no date moves by any cause.
    assert set(final["moved_by"].values()) == {0}
    assert final["now"]["ordered"][:10] == max(each["ends"][:10] for each in calls)


def test_after_a_take_no_good_both_leave_the_rest_of_a_call_that_goes_on(show: ShowFolder) -> None:
    # Photographed for several days; the first take, on its first day, is no good.
    show.replace("sequences/hill.yaml", "light: 250 fc\n", "light: 250 fc\n        takes: 300\n")
    calls = calls_of(show)
    shot = next(each for each in calls if name(each) == "HL010.town/photograph")
    first, last = (date.fromisoformat(shot[each][:10]) for each in ("starts", "ends"))
    day = first + timedelta(days=1)
    assert day <= last
    posted = ("--at", f"{first} 17:00", "--on", first)
    run("post", show.path, "set-up", "HL010.sky", *posted)
    no_good = ("--take", "1", "--verdict", "no good")
    run("post", show.path, "take", "HL010.town", *no_good, *posted)
    asked = json.loads(run("order", show.path, "--from", day, "--json", *QUICK).stdout)
    left = next(each for each in asked["calls"] if name(each) == "HL010.town/photograph")
    # It goes on as it was called; its set-up, done before, is called by neither.
    assert left["ends"][:16] == shot["ends"]
    (blocked,) = blocking(show, day)["blocked"]
    assert blocked["final"][:16] == asked["finals"]["HL010"][:16]
    text = run("blocking", show.path, "--on", day, *QUICK).stdout
    assert "next, camera: photograph" in text
    assert "next, stage: set up" not in text


def test_a_build_that_goes_on_is_said_and_what_it_waited_for_is_not_to_be_done(
    show: ShowFolder,
) -> None:
    calls = calls_of(show)
    make, paint = (each for each in calls if each["element"] == "hill_town")
    # The town is made, then painted; on the last day of painting the sky alone is posted, and the
    # composite is not called yet, so that all that is past is the making, which painting followed.
    day = date.fromisoformat(paint["ends"][:10])
    assert make["ends"][:10] < str(day)
    assert paint["starts"][:10] < str(day)
    run("post", show.path, "in the can", "HL010.sky", "--at", "2026-11-02 10:00")
    assert blocking(show, day)["unposted"] is None
    # A day after the town was to be photographed nothing has been: it is not begun either.
    late = days([each for each in calls if each["element"] == "HL010.town"])[-1]
    run("post", show.path, "built", "hill_town", "--at", "2026-11-02 11:00")
    told = blocking(show, late)["unposted"]
    assert {each.partition("/")[0] for each in told["calls"]} == {"HL010.town"}
    assert told["going_on"] == []


def test_what_goes_on_is_named_beside_what_is_still_to_be_done(show: ShowFolder) -> None:
    calls = calls_of(show)
    paint = [each for each in calls if each["element"] == "hill_town"][-1]
    day = date.fromisoformat(paint["ends"][:10])
    # Of the sky, called on the first day, the set-up alone is posted: its take is still wanted.
    run("post", show.path, "set up", "HL010.sky", "--at", "2026-11-02 10:00")
    told = blocking(show, day)["unposted"]
    assert {each.partition("/")[0] for each in told["calls"]} == {"HL010.sky"}
    assert "HL010.sky/photograph the plate" in told["calls"]
    assert told["going_on"] == [name(paint)]
    said = f"; under way by it and taken to go on: hill town, {paint['work']}"
    assert said in " ".join(run("blocking", show.path, "--on", day, *QUICK).stdout.split())
    assert said.replace("_", " ") in again(show, day)


def test_whatever_is_said_to_be_posted_may_be_and_is_then_known_of(tmp_path: Path) -> None:
    folder = tmp_path / "nine_bells"
    shutil.copytree(EXAMPLE, folder)
    run("order", folder, "--issue", *QUICK)
    day = max(date.fromisoformat(each["ends"][:10]) for each in issued(folder)) + timedelta(days=1)
    on = ("--at", f"{day} 07:00", "--on", day)
    run("post", folder, "built", "town", *on)
    said = wanted(folder, day)
    assert {" ".join(each[:2]) for each in said} >= {
        "settled second_heron_size",
        "settled flame_permit",
        "proven flame_test",
        "measured NB020.crane",
        "built NB170.rods",
        "take NB170.heron",
        "in-the-can NB170.heron",
    }
    answers = {"NAME": "Ada", "NUMBER": "1", "second_heron_size": "a third"}
    answers["clock_face"] = "raised numerals"
    for words in said:
        told = [answers.get(words[1] if each == "ANSWER" else each, each) for each in words]
        told[1] = words[1]
        assert run("post", folder, *told, "--dry-run", *on).exit_code == 0, words
        run("post", folder, *told, *on)
    assert wanted(folder, day) == []


def issued(folder: Path) -> list[dict[str, str]]:
    """Calls of the first order that was issued."""
    return json.loads((folder / "issued" / "order_001.json").read_bytes())["calls"]


def wanted(folder: Path, day: date) -> list[list[str]]:
    """Words of every post that planning again from a day asks for."""
    said = " ".join(run("order", folder, "--from", day, *QUICK).stderr.split())
    asked = (each.partition(", with its day after")[0] for each in said.split("if it was done, "))
    found = (re.findall(r"`platewright post SHOW ([^`]*)`", each) for each in [*asked][1:])
    return [each.split() for posts in found for each in posts]
