"""Shows of any size, for benchmarks: the same number of shots gives the same files, byte for byte.

Run ``python tests/bench/generated_show.py FOLDER SHOTS`` to write one.
"""

from __future__ import annotations

import sys
from pathlib import Path

SHOTS_PER_SEQUENCE = 40
SHOTS_PER_BUILD = 12
CRAFTS = [
    "stage",
    "camera",
    "puppeteering",
    "model_making",
    "puppet_making",
    "painting",
    "art_department",
    "effects",
    "programming",
    "location",
    "editorial",
    "roto",
    "paint_out",
    "compositing",
    "line_up",
    "computer",
    "supervision",
]


def write_show(folder: Path, shots: int) -> None:
    """Write a show of `shots` shots, four elements each, into `folder`."""
    (folder / "sequences").mkdir(parents=True, exist_ok=True)
    sequences = -(-shots // SHOTS_PER_SEQUENCE)
    (folder / "show.yaml").write_text(_show_yaml(sequences), encoding="utf-8")
    (folder / "resources.yaml").write_text(_resources_yaml(), encoding="utf-8")
    (folder / "rates.yaml").write_text(_rates_yaml(), encoding="utf-8")
    builds = -(-shots // SHOTS_PER_BUILD)
    text = "builds:\n" + "".join(_build_yaml(number) for number in range(builds))
    (folder / "builds.yaml").write_text(text, encoding="utf-8")
    for sequence in range(sequences):
        first = sequence * SHOTS_PER_SEQUENCE
        numbers = range(first, min(first + SHOTS_PER_SEQUENCE, shots))
        text = f"sequence: s{sequence:04d}\ntitle: Sequence {sequence}\nshots:\n"
        text += "".join(_shot_yaml(number) for number in numbers)
        path = folder / "sequences" / f"s{sequence:04d}.yaml"
        path.write_text(text, encoding="utf-8")


def _show_yaml(sequences: int) -> str:
    deliveries = "".join(
        f"  reel_{n}:\n    date: 2029-{1 + n % 12:02d}-28\n    of: [s{n:04d}]\n"
        for n in range(sequences)
    )
    return f"""\
show: A generated show
currency: GBP
starts: 2027-03-01
handles: 8
camera:
  format: full-aperture-35
  frame_rate: 24 fps
  shutter: 180 deg
  image_width: 2048 px
  exposure_index: 200
calendar:
  week: [mon, tue, wed, thu, fri]
  day_starts: 08:00
  day_hours: 10 h
  holidays: [2027-12-25..2028-01-02]
overhead: 12 %
contingency: {{ordinary: 10 %, untried: 20 %, fire: 25 %}}
deliveries:
{deliveries}"""


def _resources_yaml() -> str:
    stages = "".join(
        f"  stage_{n}: {{width: {14 + n} m, depth: {20 + n} m, height: 7 m}}\n" for n in range(5)
    )
    rigs = "".join(
        f"  rig_{n}: {{axes: {{track: {{travel: 12 m, speed: 1.5 m/s, acceleration: 0.8 m/s2}},"
        f" pan: {{turn: 300 deg, speed: 60 deg/s, acceleration: 90 deg/s2}}}},"
        f" lowest_lens: 0.15 m}}\n"
        for n in range(4)
    )
    cameras = "".join(f"  camera_{n}: {{top_rate: 120 fps}}\n" for n in range(4))
    lenses = "".join(
        f"  prime_{f}: {{focal_length: {f} mm, smallest_stop: f/22, close_focus: 0.4 m}}\n"
        for f in (20, 28, 35, 50)
    )
    crews = "".join(f"  {craft}_crew: {{craft: {craft}, heads: 8}}\n" for craft in CRAFTS)
    return (
        f"stages:\n{stages}rigs:\n{rigs}cameras:\n{cameras}lenses:\n{lenses}"
        f"screens:\n  blue: {{width: 12 m, height: 6 m, colour: blue}}\ncrews:\n{crews}"
    )


def _rates_yaml() -> str:
    rows = "".join(
        f"  {craft}: {{per: hour, amounts: [{{from: 2027-01-01, is: {30 + n}.50 GBP}}]}}\n"
        for n, craft in enumerate(CRAFTS)
    )
    rows += "".join(
        f"  {name}: {{per: {per}, amounts: [{{from: 2027-01-01, is: {amount} GBP}}]}}\n"
        for name, per, amount in (
            ("negative", "foot", "0.62"),
            ("processing", "foot", "0.21"),
            ("print", "foot", "0.18"),
            ("scan", "frame", "0.45"),
            ("record", "frame", "0.60"),
            *((f"stage_{n}", "day", "2400") for n in range(5)),
            *((f"rig_{n}", "day", "900") for n in range(4)),
        )
    )
    return f"rates:\n{rows}"


def _build_yaml(number: int) -> str:
    return f"""\
  town_{number}:
    makes: miniature
    scale: 1/{16 + number % 3 * 8}
    full_size: {{width: {80 + number % 7 * 10} m, depth: 90 m, height: 18 m}}
    detail: medium
    drawing: sheet {number} revision b
    materials: {1800 + number % 11 * 100} GBP
"""


def _shot_yaml(number: int) -> str:
    build = number // SHOTS_PER_BUILD
    lens = (20, 28, 35, 50)[number % 4]
    return f"""\
  G{number:05d}:
    says: The town from the ridge, take {number}.
    cut: 1-{72 + number % 5 * 24}
    finish: digital
    camera: {{lens: prime_{lens}, height: 6 m, stop: f/8}}
    elements:
      sky:
        kind: plate
        sort: live
        "on": location
        takes: 3
      town:
        kind: miniature
        build: town_{build}
        action: still
        extent: {{width: 70 m, depth: 80 m, height: 16 m}}
        nearest: {{is: 32 m, standing: measured}}
        holds: {{from: 32 m, to: 110 m}}
        camera_height: 6 m
        light: 250 fc
        passes: [beauty, matte]
      edge:
        kind: roto
        sort: garbage
        roto_of: town
        level: isolated
      final:
        kind: composite
        joins: [sky, town, edge]
        versions: 2
"""


if __name__ == "__main__":
    write_show(Path(sys.argv[1]), int(sys.argv[2]))
