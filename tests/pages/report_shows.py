"""Shows to make reports of: the example, and one whose every text means harm."""

from __future__ import annotations

from datetime import datetime
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from click.testing import CliRunner

from planner.cli import group
from planner.cli.opening import Effort, open_sound, plan_opened
from planner.cli.report import AsOf, followed_of, matter_from

if TYPE_CHECKING:
    from planner.pages.report import Matter

EXAMPLE = Path(__file__).parents[2] / "example_shows" / "nine_bells_under"
MARKUP = "<script>document.title='broken'</script><img src=x onerror=\"document.title='broken'\">"
QUOTES = "\"'`&amp; ]]> --> </style></title></svg> {{ 7*7 }} {% raw %} \\u003c"
RIGHT_TO_LEFT = (
    "\u05e2\u05de\u05e7 \u05d4\u05e0\u05d4\u05e8"
    " (\u0627\u0644\u0648\u0627\u062f\u064a) \u202e turned round"
)
LONG = "Along_the_whole_length_of_the_quay_" * 9  # 315 letters without a place to break
WIDE = "\u9577\u3044\u5d16\u306e\u4e0a\u306e\u753a " * 12
HOSTILE = (MARKUP, QUOTES, RIGHT_TO_LEFT, LONG, WIDE)


@cache
def matter_of_folder(folder: Path) -> Matter:
    """What a report of a show on disk tells of, its first feasible order taken."""
    return matter_from(plan_opened(open_sound(folder), Effort(None, 0, 0)))


def followed_matter(folder: Path, day: str) -> Matter:
    """The same with chances of dates, where things stand on a day, and what changed."""
    opened, effort = open_sound(folder), Effort(None, 0, 0)
    plan = plan_opened(opened, effort)
    as_of = AsOf(datetime.fromisoformat(day))
    return matter_from(plan, followed_of(opened, plan, effort, as_of))


def said_to(folder: Path, command: str, *words: str) -> str:
    """What a command prints of a show; it must end well."""
    result = CliRunner().invoke(group, [command, str(folder), *words])
    assert result.exit_code == 0, result.output
    return result.output


def follow(folder: Path, shot: str, build: str) -> None:
    """Issue order and bid, hold the shot and lose the build, in words that mean harm."""
    said_to(folder, "order", "--issue", "--by", MARKUP, "--tries", "0")
    said_to(folder, "bid", "--issue", "--issued-by", QUOTES, "--tries", "0")
    when = ("--at", "2027-03-02 10:00", "--on", "2027-03-05")
    said_to(folder, "post", "held", shot, "--by", MARKUP, "--why", LONG, *when)
    said_to(folder, "post", "lost", build, "--why", WIDE, *when)


def write_hostile(folder: Path) -> None:
    """A sound show in which everything that may be any text is one of `HOSTILE`."""
    quoted = ["'" + each.replace("'", "''") + "'" for each in HOSTILE]
    (folder / "sequences").mkdir(parents=True)
    files = {
        "show.yaml": f"""\
show: {quoted[0]}
currency: GBP
starts: 2027-03-01
handles: 8
camera: {{format: full-aperture-35, frame_rate: 24 fps, shutter: 180 deg, image_width: 2048 px}}
calendar: {{week: [mon, tue, wed, thu, fri, sat], day_starts: 08:00, day_hours: 10 h}}
overhead: 12 %
contingency: {{ordinary: 10 %}}
deliveries:
  reel: {{date: 2027-03-08, of: [hill]}}
""",
        "resources.yaml": f"""\
stages:
  north: {{title: {quoted[3]}, width: 18 m, depth: 24 m, height: 7 m}}
  south: {{title: {quoted[0]}, width: 18 m, depth: 24 m, height: 7 m}}
cameras:
  cam: {{top_rate: 120 fps}}
lenses:
  prime_35: {{focal_length: 35 mm, smallest_stop: f/22, close_focus: 0.5 m}}
crews:
  stage_crew: {{craft: stage, heads: 6}}
  modellers: {{craft: model_making, heads: 4}}
""",
        "builds.yaml": "builds:\n"
        + "".join(
            f"""\
  {build}:
    makes: miniature
    scale: 1/24
    full_size: {{width: 60 m, depth: 40 m, height: 12 m}}
    drawing: {says}
"""
            for build, says in zip(BUILDS, quoted, strict=True)
        ),
        "rates.yaml": f"""\
rates:
  stage: {{per: hour, account: {quoted[1]}, amounts: [{{from: 2027-01-01, is: 40.00 GBP}}]}}
  model_making: {{per: hour, account: {quoted[3]}, amounts: [{{from: 2027-01-01, is: 35 GBP}}]}}
  north: {{per: day, account: {quoted[2]}, amounts: [{{from: 2027-01-01, is: 2400 GBP}}]}}
""",
        "sequences/hill.yaml": f"sequence: hill\ntitle: {quoted[1]}\nshots:\n"
        + "".join(
            _shot(number, build, says)
            for number, (build, says) in enumerate(zip(BUILDS, quoted, strict=True))
        ),
    }
    for name, text in files.items():
        (folder / name).write_text(text, encoding="utf-8")


BUILDS = ("title", "desc", "a" * 300, "body", "nile_valley")
"""Names that a page might use itself, and one of 300 letters."""


def _shot(number: int, build: str, says: str) -> str:
    return f"""\
  HL{number:03d}:
    says: {says}
    cut: 1-96
    camera: {{lens: prime_35, height: 6 m, stop: f/8}}
    elements:
      {"s" * 300 if number == 1 else "sky"}: {{kind: plate, sort: live, on: location}}
      town:
        kind: miniature
        build: {build}
        action: still
        nearest: 40 m
        holds: {{from: 40 m, to: 90 m}}
        extent: {{width: 50 m, depth: 40 m, height: 12 m}}
        light: 250 fc
      final: {{kind: composite, joins: [{"s" * 300 if number == 1 else "sky"}, town]}}
"""
