"""How long drawings take: run by hand, ``python tests/bench/bench_graph.py``.

Draws 1,000 shots, one drawing each, in memory and as ``platewright graph SHOW --split`` does,
written to files. Then the whole show collapsed, and a single shot, by Graphviz. Printed in
milliseconds of the processor, Graphviz's among them, and by the clock, which says nothing on a busy
machine.
"""

from __future__ import annotations

import os
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from datetime import date, time
from decimal import Decimal
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING

import networkx as nx

from planner.estimate.estimates import Estimates
from planner.kinds import Estimate, Hours, Phase, Work
from planner.model.facts import Facts
from planner.model.place import Place
from planner.model.quantity import Quantity
from planner.model.show import Element, Loads, Sequence, Shot, Show, WorkCalendar
from planner.pages.files import write_text
from planner.pages.graph_drawing import dot_source, draw_part
from planner.pages.render import render
from planner.pages.shot_drawing import shot_drawings

if TYPE_CHECKING:
    from collections.abc import Callable

HERE = Place("bench.yaml")
# Of each shot: name, kind, phase, and what it needs by role.
PIECES = (
    ("plate", "plate", Phase.LOCATION, ()),
    ("move", "camera_move", Phase.LOCATION, (("camera_of", "plate"),)),
    ("model", "miniature", Phase.STAGE, (("move_from", "move"),)),
    ("heron", "puppet", Phase.STAGE, (("move_from", "move"),)),
    ("shadow", "shadow", Phase.STAGE, (("shadow_of", "heron"), ("falls_on", "model"))),
    ("rods", "roto", Phase.FINISH, (("removes_rods_of", "heron"),)),
    (
        "comp",
        "composite",
        Phase.FINISH,
        (("joins", "plate"), ("joins", "model"), ("joins", "rods")),
    ),
)


def generated(shots: int) -> tuple[Show, nx.DiGraph[str], Estimates]:
    """A show of so many shots in sequences of 25, on ten shared builds."""
    elements: dict[str, Element] = {}
    estimates: dict[str, Estimate] = {}
    arrows: nx.DiGraph[str] = nx.DiGraph()

    def add(id_: str, kind: str, shot: str, phase: Phase) -> None:
        elements[id_] = Element(id_, kind, shot, Facts(HERE), (), HERE)
        work = Work("do", "camera", phase, Hours(8, 8, 8), Quantity("hours", 8, "h"))
        estimates[id_] = Estimate(id_, work=(work,))
        arrows.add_node(id_)

    builds = [f"build_{number}" for number in range(10)]
    for build in builds:
        add(build, "build", "", Phase.BUILD)
    held: dict[str, Shot] = {}
    for number in range(shots):
        sequence, shot = f"s{number // 25:03d}", f"S_{number:05d}"
        own = tuple(f"{shot}.{name}" for name, *_ in PIECES)
        held[shot] = Shot(shot, sequence, "the dam gives way", None, "live", Facts(HERE), own, HERE)
        for name, kind, phase, needs in PIECES:
            add(f"{shot}.{name}", kind, shot, phase)
            for role, needed in needs:
                arrows.add_edge(f"{shot}.{needed}", f"{shot}.{name}", role=role)
        arrows.add_edge(builds[number % 10], f"{shot}.model", role="build")
    names = dict.fromkeys(shot.sequence for shot in held.values())
    sequences = {each: Sequence(each, each, (), Facts(HERE), HERE) for each in names}
    week = WorkCalendar(date(2026, 3, 2), frozenset(range(5)), (), time(8), 8.0)
    loads = Loads(Decimal(0), {}, False)
    show = Show(
        "s", "Bench", "GBP", week, sequences, held, elements, {}, {}, {}, (), loads, Facts(HERE)
    )  # fmt: skip
    return show, arrows, Estimates(estimates, {}, (), ())


def worked() -> float:
    """Seconds of the processor, those of children that have ended among them."""
    return sum(os.times()[:4])


def timed(what: str, task: Callable[[], str]) -> str:
    """Run once, print how much work it was, give back what it gave."""
    begun, at = worked(), monotonic()
    result = task()
    took, passed = (worked() - begun) * 1000, (monotonic() - at) * 1000
    sys.stdout.write(f"{what:<48}{took:10.0f} ms {passed:10.0f} ms by the clock\n")
    return result


def drawn_apart(show: Show, arrows: nx.DiGraph[str], estimates: Estimates) -> str:
    """Every shot's drawing made and written, as the command does once the show is open."""
    with tempfile.TemporaryDirectory() as folder, ThreadPoolExecutor() as hands:
        files = (Path(folder) / f"{shot}.svg" for shot in show.shots)
        list(hands.map(write_text, files, shot_drawings(show, arrows, show.shots, estimates)))
        return str(len(list(Path(folder).iterdir())))


def main() -> None:
    """Print the figures."""
    show, arrows, estimates = generated(1000)

    timed(
        "svg of 1,000 shots, a drawing each",
        lambda: "".join(shot_drawings(show, arrows, show.shots, estimates)),
    )
    timed("the same, written to files", lambda: drawn_apart(show, arrows, estimates))
    one = draw_part(show, arrows, next(iter(show.shots)), estimates)
    collapsed = timed(
        "text of 1,000 shots collapsed in one drawing",
        lambda: dot_source(show, arrows, estimates, title="Bench", collapse=True),
    )
    with tempfile.TemporaryDirectory() as folder:
        for name, dot in (("one shot by Graphviz", one), ("1,000 shots collapsed", collapsed)):
            target = Path(folder) / "drawing.svg"
            timed(f"svg of {name}", lambda dot=dot, target=target: str(render(dot, "svg", target)))


if __name__ == "__main__":
    main()
