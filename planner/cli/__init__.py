"""The command line: the only room that prints.

Each command lives in a module of its own and is imported when it is asked for, so that ``--help``
and shell completion answer at once. Exit codes: 0 fine, 1 the show has errors, 2 wrong usage, 3 the
tool failed.
"""

from __future__ import annotations

import gc
import sys
from importlib import import_module

import click

from planner.cli.sentences import folded_usage

# name: (module, what `--help` says of it); in the order of a day's work.
COMMANDS = {
    "check": ("planner.cli.check", "Every problem and finding of a show, errors first."),
    "plan": ("planner.cli.plan", "The whole job: graph, stage order, bid and what is missing."),
    "graph": ("planner.cli.graph", "Draw what waits for what, as SVG, PDF or PNG."),
    "order": ("planner.cli.order", "The stage order, by stage and day."),
    "risk": ("planner.cli.risk", "The chance of each date, and what decides it."),
    "loads": ("planner.cli.loads", "Hands called for, craft by craft and week by week."),
    "bid": ("planner.cli.bid", "The cost, line by line or rolled up."),
    "compare": ("planner.cli.compare", "Two revisions of the bid, side by side by cause."),
    "sweep": ("planner.cli.sweep", "Scenarios of a show, ordered and priced side by side."),
    "scale": ("planner.cli.scale", "Scales of a build: what limits them, what each asks."),
    "card": ("planner.cli.card", "The set-up card of one photographed element."),
    "print": ("planner.cli.print_", "Cards, orders, call sheets, bids and lists, as tagged PDF."),
    "calendar": ("planner.cli.calendar", "Calls as calendars: per stage, crew and person."),
    "watch": ("planner.cli.watch", "Check again on every save; tell what is new and gone."),
    "post": ("planner.cli.post", "Tell what happened, and what that changes for whom."),
    "recut": ("planner.cli.recut", "What a new cut costs, and what to ask editorial for."),
    "blocking": ("planner.cli.blocking", "What each composite waits for, down to its roots."),
    "forecast": ("planner.cli.forecast", "When what is left will be done; what moved since."),
    "stale": ("planner.cli.stale", "What was made that changed facts left behind, priced."),
    "ledger": ("planner.cli.ledger", "What happened; as lines for version control, and back."),
    "report": ("planner.cli.report", "The whole plan as a page to read, print and hand out."),
    "why": ("planner.cli.why", "Open any number to its arithmetic."),
    "reckon": ("planner.cli.reckon", "One formula of the trade, for the numbers you type."),
    "new": ("planner.cli.new", "Write a small commented show to begin from."),
    "kinds": ("planner.cli.kinds", "Element kinds, and what each may state."),
    "new-kind": ("planner.cli.new_kind", "Begin an element kind of your own, with its tests."),
    "rules": ("planner.cli.rules", "Rules of thumb, and this show's own figures for them."),
    "calibrate": ("planner.cli.calibrate", "Fit rules of thumb to finished shots."),
    "formats": ("planner.cli.formats", "Frame formats, with their sources."),
    "reference": ("planner.cli.reference", "Every fact a show may state, and every formula."),
    "editor": ("planner.cli.editor", "Write schemas that give completion in text editors."),
}


class _LateGroup(click.Group):
    """A group that knows its commands by name and imports one only to run it."""

    def list_commands(self, _context: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, _context: click.Context, name: str) -> click.Command | None:
        if name not in COMMANDS:
            return None
        command: click.Command = import_module(COMMANDS[name][0]).command
        return command

    def invoke(self, context: click.Context) -> object:
        try:
            return super().invoke(context)
        except click.UsageError as fault:
            raise folded_usage(fault) from fault

    def format_commands(self, _context: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, says) for name, (_module, says) in COMMANDS.items()])


@click.group(cls=_LateGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="platewright", message="platewright %(version)s")
def group() -> None:
    """Plan visual-effects shots made of separately photographed elements.

    SHOW is a folder that holds show.yaml. See README.md for a tour.
    """


def main() -> None:
    """Run the command line; an unforeseen fault ends in one sentence and exit code 3."""
    # A plan is built once and printed: collecting garbage on the way only costs time.
    gc.freeze()
    gc.set_threshold(200_000, 20, 20)
    try:
        group()
    except Exception as error:  # noqa: BLE001 - the last door before the user
        _tell_own_fault(error)
        sys.exit(3)


def _tell_own_fault(error: Exception) -> None:
    from platform import python_version
    from traceback import extract_tb

    from planner import __version__

    frames = extract_tb(error.__traceback__)
    where = f" at {frames[-1].filename}:{frames[-1].lineno}" if frames else ""
    click.echo(
        f"platewright {__version__} failed: {type(error).__name__}: {error}{where}"
        f" (Python {python_version()}); please report this.",
        err=True,
    )
