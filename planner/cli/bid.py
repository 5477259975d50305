"""``platewright bid``: what it costs, what it rests on, and what became of it."""

from __future__ import annotations

import sys
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

import click

from planner.cli.as_of import DAY
from planner.cli.bid_issuing import (
    CAUSES,
    bid_now,
    changed,
    issue_bid,
    last_revision,
    standing_against,
)
from planner.cli.bid_issuing import revision as revision_of
from planner.cli.bid_shown import shown, shown_json, tell_revision
from planner.cli.opening import (
    SHOW,
    arrange_opened,
    effort_options,
    kinds_of,
    open_sound,
    tell,
    unwaived,
)
from planner.cli.told import with_told
from planner.model.place import Severity

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping
    from datetime import date, datetime
    from decimal import Decimal
    from pathlib import Path

    from planner.bid import Bid, By
    from planner.bid.change_order import ChangeCause
    from planner.bid.choosing import Limits
    from planner.bid.revision import Issued
    from planner.cli.opening import Effort, Opened
    from planner.cli.pricing import Priced
    from planner.model.place import Problem

SIDES = ("sequence", "shot", "kind", "craft", "phase", "month", "account", "use")


@click.command("bid")
@SHOW
@click.option(
    "--by",
    type=click.Choice(SIDES),
    default=SIDES[0],
    show_default=True,
    help="What to sum by; `use` splits shared builds over the shots that use them.",
)
@click.option("--lines", "shape", flag_value="lines", help="Every line, with quantity and rate.")
@click.option("--shots", "shape", flag_value="shots", help="One line to a shot.")
@click.option("--summary", "shape", flag_value="summary", help="One page, with what it rests on.")
@click.option(
    "--alternatives",
    "shape",
    flag_value="alternatives",
    help="What is made in one of several ways: each way priced whole, in place of the bid.",
)
@click.option(
    "--choose",
    "shape",
    flag_value="choose",
    help="The cheapest consistent set of ways, candidate builds and scales; why the others lost.",
)
@click.option(
    "--actuals", "shape", flag_value="actuals", help="What was spent by actuals.csv, and is to go."
)
@click.option(
    "--most-days", type=click.FloatRange(min=0), help="With --choose: of any way, on end."
)
@click.option(
    "--without",
    type=click.Choice(("untried", "fire")),
    multiple=True,
    help="With --choose: no way with work of this class of risk.",
)
@click.option("--never", multiple=True, metavar="NAME", help="With --choose: not this one.")
@click.option("--must", multiple=True, metavar="NAME", help="With --choose: this one.")
@click.option(
    "--at-most",
    metavar="SUM",
    help='With --choose: likely, of the whole bid with its loads: "400000 GBP".',
)
@click.option("--reopen", is_flag=True, help="With --choose: set verdicts already given aside.")
@click.option(
    "--revision",
    type=click.IntRange(min=1),
    metavar="N",
    help="Revision N as it was issued, instead of the bid; with --rates-on, at other rates.",
)
@click.option("--xlsx", type=click.Path(dir_okay=False), help="File to write a spreadsheet to.")
@click.option("--csv", "table", type=click.Path(dir_okay=False), help="File to write lines to.")
@click.option("--issue", is_flag=True, help="Keep it under SHOW/issued as the next revision.")
@click.option("--issued-by", default="", metavar="NAME", help="With --issue: who issues it.")
@click.option("--note", default="", help="With --issue: what they say of it.")
@click.option(
    "--change-order",
    type=click.IntRange(min=1),
    metavar="N",
    help="What the change since revision N costs, for somebody to sign.",
)
@click.option("--cause", type=click.Choice(CAUSES), help="With --change-order: whose it is.")
@click.option(
    "--rates-on",
    type=DAY,
    help="Price everything at the rates in force on one day.",
)
@effort_options
@click.option("--json", "as_json", is_flag=True, help="For machines.")
def command(  # noqa: PLR0913 - one parameter per option
    folder: Path,
    effort: Effort,
    *,
    by: By | Literal["use"],
    shape: str | None,
    most_days: float | None,
    without: tuple[str, ...],
    never: tuple[str, ...],
    must: tuple[str, ...],
    at_most: str | None,
    reopen: bool,
    revision: int | None,
    xlsx: str | None,
    table: str | None,
    issue: bool,
    issued_by: str,
    note: str,
    change_order: int | None,
    cause: ChangeCause | None,
    rates_on: datetime | None,
    as_json: bool,
) -> None:
    """Price SHOW at dated rates: low, likely and high, loads apart.

    Labour is hours at the rate in force when the stage order has the work done; stages are paid for
    the days held. Every way of summing comes to the same total to the cent. Methods not taken are
    left out, and shown by --alternatives. An issued revision is never written again: compare it
    with `platewright compare`, or change it with --change-order.
    """
    from planner.cli.pricing import priced

    is_choice = any((most_days is not None, without, never, must, at_most, reopen))
    _refuse_passed_over(
        {
            "--choose": (is_choice, shape == "choose"),
            "--issue": (bool(issued_by or note), issue),
            "--change-order": (cause is not None, change_order is not None),
        },
        apart=shape in {"choose", "alternatives"} and bool(issue or xlsx or table or change_order),
    )
    day = rates_on.date() if rates_on else None
    if revision is not None:
        if issue or change_order:
            raise click.UsageError("--revision prints an issued bid; ask for one thing at a time")
        issued = tell_revision(folder, revision, day, (shape, by), as_json=as_json)
        _write(issued.bid, lambda: _reopened_book(issued), xlsx, table)
        return
    before = revision_of(folder, change_order) if change_order else None
    whole = with_told(open_sound(folder))
    known = priced(whole, arrange_opened(whole, effort), rates_on=day)
    if shape == "alternatives":
        _tell_alternatives(known, day, as_json=as_json)
        return
    if shape == "choose":
        limits = _limits((most_days, at_most), without, (never, must), day, known.bid.currency)
        _tell_choice(known, replace(limits, reopened=reopen), as_json=as_json)
        return
    if before is not None:
        from planner.pages.bid_changes import change_order_json, change_order_text

        found = changed(whole, known, before, cause, effort)
        click.echo(change_order_json(found) if as_json else change_order_text(found), nl=as_json)
    elif shape == "actuals":
        _tell_actuals(known, as_json=as_json)
    else:
        _tell_bid(_with_losses(whole, known), shape, by, as_json=as_json)
    _write(known.bid, lambda: _spreadsheet(known), xlsx, table)
    if issue:
        path = issue_bid(known.opened, known.order, known.bid, folder, (issued_by, note))
        click.echo(f"Issued as {path}", err=True)


def _refuse_passed_over(wanting: Mapping[str, tuple[bool, bool]], *, apart: bool) -> None:
    """End the command where an option would change nothing of what is printed or written.

    Args:
        wanting: by option, whether others that serve it alone are given, and it itself.
        apart: whether files of the bid are asked for beside what is printed in its place.
    """
    for option, (is_served, is_given) in wanting.items():
        if is_served and not is_given:
            raise click.UsageError(f"an option is given that serves {option} alone; say {option}")
    if apart:
        raise click.UsageError(
            "--choose and --alternatives are printed in place of the bid; issue or write it alone"
        )


def _with_losses(whole: Opened, known: Priced) -> Priced:
    """The bid with what planning again made dearer: around what is lost, and for want of posts."""
    from planner.cli.losses import with_losses

    return replace(known, bid=with_losses(whole, known))


def _tell_bid(priced: Priced, shape: str | None, by: By | Literal["use"], *, as_json: bool) -> None:
    """The bid in the shape asked for, then what is found in it.

    That is the same whatever it is summed by: the plain bid tells it, and others count it. What is
    an error they all tell.
    """
    if as_json:
        click.echo(shown_json(priced.bid, lambda: _drawn(priced), shape, by))
        return
    click.echo(shown(priced.bid, lambda: _drawn(priced), shape, by), nl=False)
    found = unwaived(priced.opened, priced.bid.problems)
    if (shape, by) == (None, SIDES[0]):
        tell(found, priced.opened.show)
        return
    tell((each for each in found if each.severity is Severity.ERROR), priced.opened.show)
    _count(each for each in found if each.severity is not Severity.ERROR)


def _count(problems: Iterable[Problem]) -> None:
    from planner.pages.problems import counted_text

    held = tuple(problems)
    if held:
        click.echo(counted_text(held, "platewright bid SHOW"), err=True, nl=False)


def _now(priced: Priced) -> Issued:
    return bid_now(priced.opened, priced.order, priced.bid)


def _drawn(priced: Priced) -> Issued:
    """The bid as it stands with its chances, costs of one craft erring as show.yaml says."""
    from planner.bid.revision import drawn

    stated = priced.opened.show.facts.group("bid").number("correlation")
    return drawn(_now(priced), None if stated is None else stated.value)


def _tell_alternatives(priced: Priced, day: date | None, *, as_json: bool) -> None:
    from planner.bid import price_methods
    from planner.pages.alternatives import alternatives_json, alternatives_text

    show = priced.opened.show
    choices = price_methods(show, priced.opened.estimates, priced.order, rates_on=day)
    if as_json:
        click.echo(alternatives_json(choices))
    else:
        click.echo(alternatives_text(choices, show.currency), nl=False)


def _limits(
    most: tuple[float | None, str | None],
    without: tuple[str, ...],
    named: tuple[tuple[str, ...], tuple[str, ...]],
    day: date | None,
    currency: str,
) -> Limits:
    from planner.bid.choosing import Limits
    from planner.kinds import Risk

    never, must = named
    return Limits(
        days=most[0],
        without=frozenset(Risk(each) for each in without),
        never=frozenset(never),
        must=frozenset(must),
        at_most=_allowed(most[1], currency),
        rates_on=day,
    )


def _allowed(written: str | None, currency: str) -> Decimal | None:
    from planner.text.measures import read_money

    if written is None:
        return None
    read = read_money(written)
    if isinstance(read, str):
        raise click.BadParameter(read, param_hint="--at-most")
    amount, unit = read
    if unit != currency:
        says = f"{written!r} is in {unit}, and the bid is in {currency}"
        raise click.BadParameter(says, param_hint="--at-most")
    return amount


def _tell_choice(priced: Priced, limits: Limits, *, as_json: bool) -> None:
    """Code 2 where a name is in no question, 1 where nothing fits."""
    from planner.bid.choosing import choose
    from planner.estimate.scales import Ground
    from planner.pages.bid_choice import choice_json, choice_text

    opened, show = priced.opened, priced.opened.show
    ground = Ground(show, opened.graph, kinds_of(show), opened.estimates)
    limits = replace(limits, total=priced.bid.total.likely)
    found = choose(show, opened.estimates, priced.order, limits, ground)
    if found.unknown:
        raise click.UsageError(f"nothing in question is called {', '.join(found.unknown)}")
    click.echo(choice_json(found) if as_json else choice_text(found, show), nl=as_json)
    if found.hindrance:
        sys.exit(1)


def _tell_actuals(priced: Priced, *, as_json: bool) -> None:
    """Against the last revision, or the bid as it stands where none was issued."""
    from planner.pages.bid_actuals import actuals_text
    from planner.pages.bid_json import actuals_json

    folder = priced.opened.folder
    issued = last_revision(folder)
    against = issued or _now(priced)
    wanted = priced.judged.wanted if priced.judged else {}
    dead = {id_ for id_, each in wanted.items() if each.is_dead}
    dead |= {each.element for each in priced.done if each.is_again and each.is_last}
    standing = standing_against(against, folder, priced.omitted, dead)
    name = against.stamp.name if issued else "the bid as it stands"
    currency = priced.bid.currency
    if as_json:
        click.echo(actuals_json(standing, name, currency))
    else:
        click.echo(actuals_text(standing, name, currency), nl=False)


def _write(bid: Bid, book: Callable[[], bytes], xlsx: str | None, table: str | None) -> None:
    """Files asked for; where the disk refuses, say so and end with code 1."""
    from pathlib import Path

    from planner.pages.files import write_bytes

    made = []
    if xlsx is not None:
        made.append((Path(xlsx), book()))
    if table is not None:
        from planner.pages.spreadsheet import bid_csv

        made.append((Path(table), bid_csv(bid).encode("utf-8")))
    for path, data in made:
        try:
            write_bytes(path, data)
        except OSError as error:
            click.echo(f"{path} cannot be written: {error.strerror}", err=True)
            sys.exit(1)
        click.echo(f"wrote {path}", err=True)


def _reopened_book(issued: Issued) -> bytes:
    from planner.pages.spreadsheet import spreadsheet

    return spreadsheet(issued.bid, issued.said)


def _spreadsheet(priced: Priced) -> bytes:
    from planner.bid.conditions import conditions_of
    from planner.bid.escalation import escalation_of
    from planner.bid.revision import said
    from planner.pages.spreadsheet import spreadsheet

    opened, bid = priced.opened, priced.bid
    show = opened.show
    growth = escalation_of(show.facts, show.calendar.starts).share
    return spreadsheet(bid, said(conditions_of(show, opened.estimates, bid)), growth)
