"""How fast the text layer reads, checks and converts; run by hand, prints medians.

    .venv/bin/python tests/bench/bench_text.py

The yardstick for reading is PyYAML's C safe loader, which keeps no positions.
"""

from __future__ import annotations

import statistics
import sys
import timeit
from typing import TYPE_CHECKING

import yaml

from planner.text.located import Node, read_yaml

if TYPE_CHECKING:
    from collections.abc import Callable

SHOT = """\
  BEL{number:03d}:
    title: The heron wades past the belfry
    frames: {first}-{last}
    camera: {{name: A camera, lens: 28 mm, stop: f/8}}
    notes: "Rain, and the bell sways"
    elements:
      plate:
        kind: plate
        place: tank stage
        distance: {{is: 7.88 m, standing: reconstructed, spread: 39 mm}}
        height: {height}
      heron:
        kind: puppet
        build: heron_quarter
        scale: 1/4
        rods: 6
        in_front_of: plate
        lit_with: [plate, mist]
"""


def show_text(shots: int, height: str = "1.6 m") -> str:
    """A sequence file with as many shots, 18 lines each."""
    return "sequence: belfry\ntitle: The belfry drowns\nshots:\n" + "".join(
        SHOT.format(number=n, first=60 + n, last=112 + n, height=height) for n in range(shots)
    )


def report(what: str, action: Callable[[], object], times: int = 300) -> None:
    """Print the median of single runs, milliseconds."""
    median = 1000 * statistics.median(timeit.repeat(action, number=1, repeat=times))
    sys.stdout.write(f"{what:<32} {median:8.3f} ms\n")


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


if __name__ == "__main__":
    bench_reading()
