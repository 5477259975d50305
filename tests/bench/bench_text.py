"""How fast the text layer reads, checks and converts; run by hand, prints medians.

    .venv/bin/python tests/bench/bench_text.py

The yardstick for reading is PyYAML's C safe loader, which keeps no positions. Times are of the
processor, all in one process; those of a whole show are followed by the clock's, for which people
wait. ``--show`` measures the whole show alone.
"""

from __future__ import annotations

import gc
import json
import resource
import statistics
import sys
import tempfile
import timeit
from importlib.resources import files
from pathlib import Path
from time import perf_counter, process_time
from typing import TYPE_CHECKING, Any

import yaml
from generated_show import write_show

from planner.kinds import Registry
from planner.text.checked import Checker
from planner.text.located import read_yaml
from planner.text.measures import read_measure
from planner.text.parts import Shelf
from planner.text.show_folder import load_show

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.text.node import Node

SHOT = """\
  NB{number:04d}:
    says: The heron wades past the belfry
    cut: {first}-{last}
    camera: {{lens: prime_28, stop: f/8, height: {height}}}
    state: live
    why: "Rain, and the bell sways"
    elements:
      yard_plate:
        kind: plate
        sort: live
        distance: {{is: 7.88 m, standing: reconstructed, spread: 39 mm}}
        height: 1.6 m
      heron:
        kind: puppet
        build: heron_quarter
        scale: 1/4
        rods: 6
        in_front_of: [yard_plate, mist]
"""


def show_text(shots: int, height: str = "1.6 m") -> str:
    """A sequence file with as many shots, 18 lines each."""
    return "sequence: belfry\ntitle: The belfry drowns\nshots:\n" + "".join(
        SHOT.format(number=n, first=60 + n, last=112 + n, height=height) for n in range(shots)
    )


def report(what: str, action: Callable[[], object], times: int = 300) -> None:
    """Print the median of single runs, milliseconds."""
    median = 1000 * statistics.median(
        timeit.repeat(action, timer=process_time, number=1, repeat=times)
    )
    sys.stdout.write(f"{what:<32} {median:8.4f} ms\n")


def walk(node: Node) -> None:
    """Visit every node with its places."""
    for _, _, child in node.items():
        walk(child)
    for child in node:
        walk(child)


def bench_reading() -> None:
    """Reading a typical file of 183 lines, with and without positions."""
    text = show_text(10)
    data = text.encode()
    unknown = show_text(10, height="?").encode()
    node, _ = read_yaml(data, "f.yaml")
    assert node is not None
    sys.stdout.write(f"{text.count(chr(10))} lines, {len(data)} bytes\n")
    report("C safe loader, no positions", lambda: yaml.load(text, yaml.CSafeLoader))
    report("read_yaml, with positions", lambda: read_yaml(data, "f.yaml"))
    report("read_yaml, with ten lone `?`", lambda: read_yaml(unknown, "f.yaml"))
    report("walk of all nodes and places", lambda: walk(node))


def shipped_schemas() -> dict[str, dict[str, Any]]:
    """Every schema by its file name."""
    return {
        path.name: json.loads(path.read_text())
        for path in files("planner_schemas").iterdir()
        if path.name.endswith(".json")
    }


def bench_checking() -> None:
    """Checking the same file when it is well, and when one value in it is not."""
    schemas = shipped_schemas()
    checker = Checker(schemas["sequence.json"], schemas)
    well, _ = read_yaml(show_text(10).encode(), "f.yaml")
    ill, _ = read_yaml(show_text(10).replace("state: live", "state: alive", 1).encode(), "f.yaml")
    assert well is not None
    assert ill is not None
    assert checker.check(well) == ()
    assert len(checker.check(ill)) == 1
    report("compile a schema", lambda: Checker(schemas["sequence.json"], schemas))
    report("check a file that is well", lambda: checker.check(well))
    report("check a file with one fault", lambda: checker.check(ill))


def bench_measures() -> None:
    """Converting a measure met before, and one met for the first time."""
    fresh = iter(range(10**6))
    report("a measure met before", lambda: read_measure("28 mm", "length"), 5000)
    report("a measure met first", lambda: read_measure(f"{next(fresh)}.5 mm", "length"), 5000)


def bench_show(shots: int = 10_000) -> None:
    """A whole show with four elements a shot: read cold, once more unchanged, and after a save."""
    # As the command line has it: dead objects are looked for as seldom.
    gc.freeze()
    gc.set_threshold(200_000, 20, 20)
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch, "show")
        write_show(folder, shots)
        shelf = Shelf()
        sys.stdout.write(f"{shots} shots\n")
        bench_load("cold", folder, shelf)
        bench_load("warm", folder, shelf)
        path = folder / "sequences" / "s0001.yaml"
        text = path.read_text(encoding="utf-8")
        path.write_text(text.replace("nearest: {is: 32 m", "nearest: {is: 33 m", 1), "utf-8")
        bench_load("one file saved", folder, shelf)


def bench_load(what: str, folder: Path, shelf: Shelf) -> None:
    """Load a show whose parts are kept on a shelf; print seconds, and memory at its highest."""
    kinds = Registry()
    clock, processor = perf_counter(), process_time()
    show, problems = load_show(folder, kinds, shelf)
    processor, clock = process_time() - processor, perf_counter() - clock
    assert show is not None
    assert problems == ()
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    sys.stdout.write(f"  {what:<16}{processor:6.2f} s  ({clock:.2f} s), peak {peak_mb:.0f} MB\n")


if __name__ == "__main__":
    if "--show" not in sys.argv:
        bench_reading()
        bench_checking()
        bench_measures()
    bench_show()
