"""A season of the example show, replayed day by day through the commands that people use.

What happened lies in ``season/*.yaml`` beside the show, as ``post --from`` reads it; a name with
``.cut`` is a change list for ``recut``. The answers stand in ``season/README.md``, a row each: the
day, what is asked once that day's files are told, what the answer must say, and why.
"""

from __future__ import annotations

import json
import os
import re
import shutil
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple
from urllib.parse import quote
from uuid import uuid4

import pytest

from planner.cli.opening import open_sound
from planner.cli.told import judged_standing, told_of
from planner.ledger import read_lines
from tests.cli.test_commands import QUICK, run

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.status import Standing

SHOW = Path(__file__).parents[1] / "example_shows" / "nine_bells_under"
SERVER = os.environ.get("PLATEWRIGHT_TEST_POSTGRESQL", "")
ROW = re.compile(r"^\| (?P<n>\d+) \| (?P<day>\S+) \| `(?P<asked>.+?)` \| (?P<answer>.+?) \| .+ \|$")
ORDERED = {"blocking", "forecast"}
"""Commands that look for an order; any will do for what is argued by hand."""


class Row(NamedTuple):
    n: str
    day: str
    asked: str
    answer: str


def rows() -> list[Row]:
    lines = (SHOW / "season" / "README.md").read_text(encoding="utf-8").splitlines()
    matches = [match for line in lines if (match := ROW.match(line))]
    return [Row(*(match[name].strip() for name in Row._fields)) for match in matches]


def days() -> list[tuple[str, list[str]]]:
    """Each day with its files: what was posted, then what was cut."""
    found: dict[str, list[str]] = {}
    for path in sorted(
        (SHOW / "season").glob("*.yaml"), key=lambda each: (each.name[:4], each.stem)
    ):
        found.setdefault(f"2027-{path.name[:2]}-{path.name[2:4]}", []).append(path.name)
    return sorted(
        (day, sorted(names, key=lambda name: ".cut" in name)) for day, names in found.items()
    )


KEY, DAYS = rows(), days()


@dataclass
class Season:
    """A copy of the show that is lived through.

    Attributes:
        folder: of the copy.
        ledger: where what happens is kept; empty for the show's own.
        said: what was answered, by day and question.
    """

    folder: Path
    ledger: str = ""
    said: dict[tuple[str, str], str] = field(default_factory=dict)

    def run(self, command: str, *words: str | Path, codes: tuple[int, ...] = (0,)) -> str:
        where = ("--ledger", self.ledger) if self.ledger else ()
        result = run(command, self.folder, *words, *where)
        assert result.exit_code in codes, result.output
        assert max(map(len, result.output.splitlines())) <= 80 or command == "ledger"
        return " ".join(result.output.split())

    def tell(self, day: str, name: str, *, again: bool = False) -> str:
        """Post a file of a day, or accept the cut it holds."""
        path, on = self.folder / "season" / name, ("--on", day)
        if ".cut" not in name:
            return self.run("post", "--from", path, *on)
        signed = ("--author", "the coordinator", "--accept", *QUICK)
        # A cut that was accepted is refused, or changes nothing where it is so already.
        return self.run("recut", path, *signed, *on, codes=(0, 1) if again else (0,))

    def live(self, asked: list[Row]) -> None:
        """Tell all of it, and after each day ask what is asked of it."""
        for day, names in DAYS:
            for name in names:
                command = "recut" if ".cut" in name else "post"
                self.said[day, command] = self.tell(day, name)
            questions = dict.fromkeys(row.asked for row in asked if row.day == day)
            standing = self.standing() if questions else None
            for question in questions:
                if standing and (day, question) not in self.said:
                    self.said[day, question] = self.ask(day, question, standing)

    def ask(self, day: str, question: str, standing: Standing) -> str:
        command, *words = question.split()
        if command == "state":
            return standing.words(words[0])
        on = () if command == "ledger" else ("--on", day)
        return self.run(command, *words, *on, *(QUICK if command in ORDERED else ()))

    def standing(self) -> Standing:
        """Where every piece stands, with what became of it as facts changed."""
        return judged_standing(open_sound(self.folder), told_of(self.folder, "", self.ledger))[1]

    def lines(self) -> str:
        """All that happened, as it is exported."""
        path = self.folder / "out.jsonl"
        self.run("ledger", "--export", path)
        return path.read_text(encoding="utf-8")


def copied(to: Path, ledger: str = "") -> Season:
    shutil.copytree(SHOW, to / "show", ignore=shutil.ignore_patterns(".platewright", "ledger.db*"))
    return Season(to / "show", ledger)


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> Season:
    lived = copied(tmp_path_factory.mktemp("season"))
    lived.live(KEY)
    return lived


def words_of(standing: Standing) -> dict[str, str]:
    """Every thing's state, in words."""
    return {each: standing.words(each) for each in standing.outline.names}


def test_the_answers_are_numbered_without_gaps_and_span_the_season() -> None:
    assert [row.n for row in KEY] == [str(n) for n in range(1, len(KEY) + 1)]
    assert len(KEY) >= 30
    assert {row.day for row in KEY} == {day for day, _names in DAYS}


@pytest.mark.parametrize("row", KEY, ids=lambda row: f"{row.n}-{row.day}-{row.asked.split()[0]}")
def test_a_question_is_answered_as_by_hand(season: Season, row: Row) -> None:
    said = season.said[row.day, row.asked]
    if row.asked.startswith("state "):
        assert said == row.answer
    assert row.answer in said


def test_what_is_told_again_changes_nothing(season: Season) -> None:
    before = season.lines()
    for day, names in DAYS:
        for name in names:
            said = season.tell(day, name, again=True)
            kept = ("Posted 0 events", "was accepted before", "Nothing changes.")
            assert any(each in said for each in kept), said
    assert season.lines() == before


def test_a_copy_of_the_ledger_gives_the_same_answers(season: Season, tmp_path: Path) -> None:
    lines = tmp_path / "all.jsonl"
    lines.write_text(season.lines(), encoding="utf-8")
    other = Season(season.folder, str(tmp_path / "other.db"))
    count = len(read_lines(lines.read_bytes(), "").events)
    assert f"{count} new, 0 known already" in other.run("ledger", "--import", lines)
    assert other.lines() == season.lines()
    assert words_of(other.standing()) == words_of(season.standing())
    last = DAYS[-1][0]
    for row in KEY:
        if row.day == last:
            assert other.ask(last, row.asked, other.standing()) == season.said[last, row.asked]


def test_lines_told_in_any_order_give_the_same_answers(season: Season, tmp_path: Path) -> None:
    halves = season.lines().splitlines(keepends=True)
    other = Season(season.folder, str(tmp_path / "other.db"))
    for n, part in enumerate((halves[1::2], halves[::2])):
        path = tmp_path / f"{n}.jsonl"
        path.write_text("".join(reversed(part)), encoding="utf-8")
        other.run("ledger", "--import", path)
    assert words_of(other.standing()) == words_of(season.standing())


def untold(lines: str) -> list[dict[str, object]]:
    """Events without when they were told, which is by the clock on the wall."""
    events = [json.loads(line) for line in lines.splitlines()]
    return [{name: event[name] for name in event if name != "told"} for event in events]


@pytest.fixture
def server() -> Iterator[str]:
    """A schema of its own on a real server."""
    if not SERVER:
        pytest.skip("no server: run .ci/test, or set PLATEWRIGHT_TEST_POSTGRESQL")
    import psycopg

    schema = f"season_{uuid4().hex}"
    with psycopg.connect(SERVER, autocommit=True) as connection:
        connection.execute(f"CREATE SCHEMA {schema}")
        path = quote(f"-csearch_path={schema}")
        yield f"{SERVER}{'&' if '?' in SERVER else '?'}options={path}"
        connection.execute(f"DROP SCHEMA {schema} CASCADE")


def test_a_server_keeps_the_same_season(season: Season, server: str, tmp_path: Path) -> None:
    lived = copied(tmp_path, server)
    lived.live([])
    assert untold(lived.lines()) == untold(season.lines())
    assert words_of(lived.standing()) == words_of(season.standing())
