"""``platewright order``: the dated stage order, issued, compared and planned again."""

from __future__ import annotations

import json
import sys
from typing import TYPE_CHECKING

import click

from planner.cli.as_of import DAY
from planner.cli.kept_outline import LEDGER
from planner.cli.named import did_you_mean
from planner.cli.omitted import still_wanted
from planner.cli.opening import (
    SHOW,
    arrange_opened,
    effort_options,
    notes_on,
    open_sound,
    tell,
    unwaived,
)
from planner.cli.order_issuing import (
    NEAR_DAYS,
    Again,
    issue_order,
    issued_order,
    order_again,
)
from planner.cli.order_lost import Asked, tell_ways_out
from planner.cli.order_must_hold import tell_contradictions

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime
    from pathlib import Path

    from planner.cli.opening import Effort, Opened
    from planner.order import Changes, IssuedOrder, StageOrder

LAST = "last"


@click.command("order")
@SHOW
@click.argument("asked", metavar="[SHOT|SEQUENCE|STAGE]", default="")
@click.option(
    "--from",
    "from_day",
    type=DAY,
    help="Plan again from this day, close to the last issued order; what began before it stays.",
)
@click.option(
    "--hold-days",
    type=click.IntRange(min=0),
    help="With --from: only calls of so many working days move for the whole price, later ones for"
    " a third of it; 0: any may move. All for the whole price unless given.",
)
@click.option(
    "--compare",
    is_flag=False,
    flag_value=LAST,
    metavar="[N]",
    help="Print what is different since the last issued order, or since order N; with --without,"
    " the lines of the bid that make each sum.",
)
@click.option(
    "--without",
    "losses",
    type=(str, str),
    multiple=True,
    metavar="THING DAYS",
    help="The ways out, priced, if a resource or build is lost on DAYS: a date, FIRST..LAST, or"
    " FIRST.. where it never comes back; what else is posted as lost is away in each.",
)
@click.option(
    "--hire",
    default="",
    metavar="[N at] PRICE",
    help="With --without: of another, a day; of a lost crew, of each head a day, and of N heads.",
)
@click.option(
    "--must-hold",
    is_flag=True,
    help="Which deliveries, dues, locks and absences cannot all hold, and how little must give.",
)
@click.option("--issue", is_flag=True, help="Keep it under SHOW/issued as the order to work by.")
@click.option("--by", default="", help="With --issue: who issues it.")
@click.option("--note", default="", help="With --issue: what they say of it.")
@effort_options
@LEDGER
@click.option("--json", "as_json", is_flag=True, help="For machines.")
def command(  # noqa: PLR0913 - one parameter per option
    folder: Path,
    asked: str,
    effort: Effort,
    from_day: datetime | None,
    compare: str | None,
    *,
    address: str | None,
    hold_days: int | None,
    losses: tuple[tuple[str, str], ...],
    hire: str,
    must_hold: bool,
    issue: bool,
    by: str,
    note: str,
    as_json: bool,
) -> None:
    """Print SHOW's work by stage and day, with what is late and why.

    The id of a shot, sequence or stage after SHOW prints only its calls, in order of date.

    The order keeps what waits for what, stages, rigs, cameras, crews, the calendar, absences and
    changes of set-up, and gathers work that shares a set-up. Once one is issued, it is the order
    to work by: it is printed as issued while it can be kept, else planned again close to it, and
    says which. --from plans it again from a day on. Either is done by what is posted as begun and
    around what is posted as lost, so that what people have been called for changes little: calls
    move only where that is worth the price in show.yaml, by the bid and by the days late, and what
    it costs beside letting all wait is said. A loss may be posted with the day it is over, --value
    back=2027-04-16. --afresh arranges it from scratch. What is posted as omitted is called by none
    of them, and told.
    """
    _refuse_passed_over(
        {
            "--must-hold and --without print no order; issue one, or compare it, by itself": (
                (must_hold and (issue or compare)) or (losses and issue)
            ),
            "with --without, --compare opens each sum to its lines, and takes no number": (
                losses and compare not in {None, LAST}
            ),
            "--hire wants --without": hire and not losses,
            "--by and --note want --issue": (by or note) and not issue,
        }
    )
    opened = open_sound(folder)
    _known(opened, asked)
    if must_hold:
        tell_contradictions(still_wanted(opened, address).opened, as_json=as_json)
        return
    first = from_day.date() if from_day else None
    if losses:
        near = NEAR_DAYS if hold_days is None else hold_days
        lost = Asked(losses, hire, first, near, address, lines=compare is not None)
        wanted = still_wanted(opened, address).opened
        tell_ways_out(wanted, folder, lost, effort, as_json=as_json)
        return
    base = issued_order(folder, _number(compare)) if from_day or compare else None
    if base is not None and first is not None:
        order = order_again(opened, base, Again(first, hold_days, address), effort)
    else:
        order = arrange_opened(opened, effort, address)
    if first is not None and not as_json:
        _print_over(order)
    if asked and not as_json:
        _print_asked(opened, order, asked)
    else:
        _print(opened, order, base, is_only_changes=compare is not None, as_json=as_json)
    tell(unwaived(opened, order.problems), opened.show)
    if not order.calls and order.answer is None:
        sys.exit(1)
    if issue:
        path = issue_order(opened, order, (by, note, effort.seed), order.planned_from)
        click.echo(f"Issued as {path}", err=as_json)


def _refuse_passed_over(faults: Mapping[str, object]) -> None:
    """End the command at the first fault that is one: an option that would change nothing."""
    for says, is_so in faults.items():
        if is_so:
            raise click.UsageError(says)


def _known(opened: Opened, asked: str) -> None:
    """End the command where something is asked for and nothing is called so."""
    show = opened.show
    stages = [each.id for each in show.resources_of("stage")]
    known = (*show.shots, *show.sequences, *stages)
    if asked and asked not in known:
        hint = did_you_mean(asked, known)
        says = f"{show.title} has no shot, sequence or stage called {asked}{hint}"
        raise click.BadParameter(says)


def _print_over(order: StageOrder) -> None:
    from planner.pages.order_text import over_text

    if order.is_over:
        click.echo(over_text(order))


def _print_asked(opened: Opened, order: StageOrder, asked: str) -> None:
    from planner.pages.order_asked import calls_text

    click.echo(calls_text(order, opened.show, asked, notes_on(opened)), nl=False)


def _number(compare: str | None) -> int | None:
    """Number of the issued order asked for; None for the last one."""
    if compare in {None, LAST}:
        return None
    if compare is None or not compare.isdecimal():
        raise click.BadParameter(
            f"{compare} is not the number of an order, such as 2", param_hint="--compare"
        )
    return int(compare)


def _print(
    opened: Opened,
    order: StageOrder,
    base: IssuedOrder | None,
    *,
    is_only_changes: bool,
    as_json: bool,
) -> None:
    from planner.order import compare

    changes = compare(opened.show.calendar, base, order) if base is not None else None
    text = _json if as_json else _text
    click.echo(text(opened, order, changes, is_only_changes=is_only_changes), nl=as_json)


def _text(
    opened: Opened, order: StageOrder, changes: Changes | None, *, is_only_changes: bool
) -> str:
    from planner.pages.order_asked import index_text
    from planner.pages.order_changes import changes_text
    from planner.pages.order_text import order_text

    told = changes_text(changes, opened.show) if changes is not None else ""
    if is_only_changes:
        return told
    whole = order_text(order, opened.show, notes_on(opened))
    return "\n".join(each for each in (told, whole, index_text(order, opened.show)) if each)


def _json(
    opened: Opened, order: StageOrder, changes: Changes | None, *, is_only_changes: bool
) -> str:
    from planner.pages.machine import order_json
    from planner.pages.order_changes import changes_json

    if changes is None:
        return order_json(order, notes_on(opened, in_ids=True))
    told = {"changes": changes_json(changes)}
    if not is_only_changes:
        told |= json.loads(order_json(order, notes_on(opened, in_ids=True)))
    return json.dumps(told, indent=2, ensure_ascii=False)
