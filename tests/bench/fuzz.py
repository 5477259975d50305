"""Coverage-guided fuzzing of everything that reads a file from outside.

    pip install atheris
    python tests/bench/fuzz.py text 1800      # half an hour; see `main` for the others

Each target takes any bytes and must answer with a value or problems with places; an exception, a
second without an answer, or a gigabyte of memory ends the run with the input kept in the corpus
folder. Timelines are left out: their compiled reader is known to fall over some, and is run in a
process of its own. Seeds are the example show's own files and the corpus of earlier runs.
"""

from __future__ import annotations

import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import atheris

with atheris.instrument_imports(
    include=["planner", "planner_plugins", "yaml", "otio_cmx3600_adapter"]
):
    from planner.kinds import Registry
    from planner.ledger import Basis, Details, Event, Note, Verdict, What, read_lines, write_lines
    from planner.model.facts import FrameRange
    from planner.text import located
    from planner.text.by_lines import read_by_lines
    from planner.text.cut_list import read_cut
    from planner.text.located import read_yaml
    from planner.text.moves import read_move
    from planner.text.node import Source
    from planner.text.show_folder import load_show

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from planner.model.place import Problem

EXAMPLE = Path(__file__).parents[2] / "example_shows" / "nine_bells_under"
STARTER = Path(__file__).parents[2] / "planner" / "cli" / "starter_show"
LONGEST = 16_384
EDIT_LIST = """\
TITLE: Reel 1
FCM: NON-DROP FRAME

001  R01 V     C        01:00:00:00 01:00:04:00 01:00:00:00 01:00:04:00
* FROM CLIP NAME: HL010
002  R02 V     D    012 01:00:08:00 01:00:12:00 01:00:04:00 01:00:08:00
M2   R02       012.0                01:00:08:00
* FROM CLIP NAME: HL010
* TO CLIP NAME: HL020
* COMMENT: FLOP
"""


def told(problems: Iterable[Problem]) -> None:
    """Hold every problem to a sentence of one line and a place."""
    for problem in problems:
        assert problem.message
        assert "\n" not in problem.message
        assert problem.place is None or problem.place.line >= 0  # 0 is all of a file


def text(data: bytes) -> None:
    """A file of the strict YAML subset."""
    told(read_yaml(data, "any.yaml")[1])


def lines(data: bytes) -> None:
    """The same, read by lines: it is what the parser leads to, or nothing."""
    text = data.decode("utf-8-sig", errors="ignore")
    by_lines, by_parser = Source("any.yaml", text), Source("any.yaml", text)
    found = read_by_lines(by_lines)
    if found is None:
        return
    builder = located._Builder(by_parser)
    expected = builder.read()
    assert expected is not None
    assert not builder.problems
    assert repr(found.value) == repr(expected.value)
    for name in ("positions", "sizes", "spelled"):
        assert getattr(by_lines, name) == getattr(by_parser, name)


def moves(data: bytes) -> None:
    """A camera move."""
    move, problems = read_move(data, "any.csv")
    assert move is not None or problems
    told(problems)


def ledger(data: bytes) -> None:
    """Lines of a ledger."""
    told(read_lines(data, "any.jsonl").problems)


def cuts(data: bytes) -> None:
    """An edit list."""
    cut, problems = read_cut(data, "any.edl", ".edl", 24.0)
    assert cut is not None or problems
    told(problems)


class Sequence:
    """A sequence's file in a small show that is otherwise sound."""

    def __init__(self) -> None:
        """Copy the other files of the show that `platewright new` writes."""
        self._held = tempfile.TemporaryDirectory()
        self.folder = Path(self._held.name)
        for name in ("show.yaml", "resources.yaml", "builds.yaml", "rates.yaml"):
            (self.folder / name).write_bytes((STARTER / name).read_bytes())
        (self.folder / "sequences").mkdir()
        self.kinds = Registry()

    def __call__(self, data: bytes) -> None:
        """Read the show with this sequence."""
        (self.folder / "sequences" / "any.yaml").write_bytes(data)
        _show, problems = load_show(self.folder, self.kinds)
        told(problems)


def seeds(target: str) -> list[bytes]:
    """Texts to begin from."""
    if target == "ledger":
        return [written_ledger()]
    if target == "cuts":
        return [EDIT_LIST.encode()]
    pattern = "moves/*.csv" if target == "moves" else "**/*.yaml"
    return [path.read_bytes()[:LONGEST] for path in sorted(EXAMPLE.glob(pattern))]


def written_ledger() -> bytes:
    """A line of each event, and what they rested on."""
    basis = Basis({"shot cut": "1-96", "camera.height": "6000 mm"})
    at = datetime(2027, 3, 1, 9, tzinfo=UTC)
    details = Details(
        take="4",
        verdict=Verdict.GOOD,
        circled=True,
        notes=(Note("slides", FrameRange(60, 72), "left", "3 px"),),
        frames=FrameRange(1, 112),
        by="the director",
        values={"height": "6 m"},
        corrects="0123456789abcdef",
    )
    events = [
        Event(f"seed {what}", what, "HL010.town", at, "floor", details, basis.mark, at)
        for what in What
    ]
    return write_lines(events, [basis]).encode()


def main() -> None:
    """Fuzz one target for some seconds."""
    target, seconds = sys.argv[1], sys.argv[2]
    targets: dict[str, Callable[[], Callable[[bytes], None]]] = {
        "text": lambda: text,
        "lines": lambda: lines,
        "sequence": Sequence,
        "moves": lambda: moves,
        "cuts": lambda: cuts,
        "ledger": lambda: ledger,
    }
    corpus = Path(tempfile.gettempdir()) / f"platewright-fuzz-{target}"
    corpus.mkdir(exist_ok=True)
    for number, seed in enumerate(seeds(target)):
        (corpus / f"seed-{number}").write_bytes(seed)
    arguments = [
        sys.argv[0],
        f"-max_total_time={seconds}",
        f"-max_len={LONGEST}",
        "-timeout=5",
        "-rss_limit_mb=1024",
        f"-artifact_prefix={corpus}/failed-",
        "-print_final_stats=1",
        str(corpus),
    ]
    atheris.Setup(arguments, targets[target]())
    atheris.Fuzz()


if __name__ == "__main__":
    main()
