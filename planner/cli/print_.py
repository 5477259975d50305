"""``platewright print``: what is handed out on paper, as a tagged PDF."""

from __future__ import annotations

import sys
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from planner.cli.as_of import DAY
from planner.cli.bid_issuing import CAUSES
from planner.cli.named import did_you_mean
from planner.cli.opening import (
    SHOW,
    arrange_opened,
    effort_options,
    notes_on,
    open_sound,
    tell,
    unwaived,
)
from planner.cli.progress import going_on

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping
    from datetime import date, datetime

    from planner.bid.change_order import ChangeCause
    from planner.cli.opening import Effort, Opened
    from planner.pages.order_text import Notes
    from planner.pages.prints.dated import Dated
    from planner.pages.prints.sheet import Sheet
    from planner.pages.prints.shot import Handed
    from planner.status.judging import Judgement


@dataclass(frozen=True, slots=True)
class Asked:
    """What is to be printed, of what.

    Attributes:
        folder: the show's.
        opened: the show, read.
        about: element, shot, sequence or stage; empty where none was named.
        day: the only day wanted; None for all.
        effort: how to look for an order.
        cause: of a change order; None where nobody says.
    """

    folder: Path
    opened: Opened
    about: str
    day: date | None
    effort: Effort
    cause: ChangeCause | None = None


@click.command("print")
@SHOW
@click.argument("what", metavar="WHAT")
@click.argument("about", metavar="[ABOUT]", default="")
@click.option(
    "--to",
    type=click.Path(path_type=Path, dir_okay=False),
    help="File to write; WHAT.pdf, with ABOUT in its name, where not said.",
)
@click.option("--date", "day", type=DAY, help="Only this day or week.")
@click.option("--cause", type=click.Choice(CAUSES), help="Of a change order: whose it is.")
@effort_options
def command(  # noqa: PLR0913 - one parameter per option
    folder: Path,
    what: str,
    about: str,
    effort: Effort,
    *,
    to: Path | None,
    day: datetime | None,
    cause: ChangeCause | None,
) -> None:
    """Print WHAT of SHOW as a tagged PDF of A4 pages, to be handed out.

    \b
    card SHOT.ELEMENT   set-up card: what the floor dials in
    day [STAGE]         day order, a page for each stage and day
    week                week order
    call                call sheet: crews, what is held, cautions
    shot SHOT|SEQUENCE  shot breakdown
    roto SHOT|SEQUENCE  roto order: outlines, splits and rods
    lineup SHOT[.COMP]  line-up sheet of a composite, back to front
    bid [SHOT]          a page of sums, then every line
    change-order [N]    what has changed since revision N, to be signed
    measure             what the plate unit must measure, and by when

    Days, weeks and calls are those of the last issued order, planned again where it can no longer
    be kept; or of one worked out now where none has been issued.
    """  # noqa: D301 - click wants the character itself
    from planner.model.names import counted
    from planner.pages.files import write_bytes
    from planner.pages.prints.typeset import typeset

    if what not in PRINTS:
        _stop(f"there is no print called {what}; there are {', '.join(PRINTS)}")
    if day and what not in DATED:
        _stop(f"--date is of {', '.join(DATED)} alone")
    if cause and what != "change-order":
        _stop("--cause is of change-order alone")
    opened = open_sound(folder)
    asked = Asked(folder, opened, about, day.date() if day else None, effort, cause)
    sheets = PRINTS[what](asked)
    if not sheets:
        _stop(f"nothing to print: {_nothing(what, asked)}", code=1)
    sheets = tuple(replace(each, foot=_printed(each.foot)) for each in sheets)
    name = "_".join(each for each in (what, about, str(asked.day or "")) if each)
    path = to or Path(f"{name.replace('/', '-')}.pdf")
    title = sheets[0].title if len(sheets) > 1 else f"{sheets[0].title}: {sheets[0].about}"
    count = counted(len(sheets), "sheet")
    try:
        with going_on(f"setting {count} in type"):
            pdf = typeset(opened.show.title, title, sheets, opened.show.facts.word("office"))
        write_bytes(path, pdf)
    except OSError as error:
        _stop(f"{path} cannot be written: {error.strerror}", code=1)
    click.echo(f"{count} written to {path}")


def _printed(foot: str) -> str:
    """The foot with the day, so that of two prints the newer is known."""
    from planner.cli.bid_issuing import today
    from planner.model.names import day_words

    return f"{foot} Printed {day_words(today())}.".lstrip()


def _nothing(what: str, asked: Asked) -> str:
    """Why there is no sheet, in a clause."""
    if asked.day is not None:
        return f"no stage is called or held on {asked.day}"
    if what == "roto":
        return f"nothing of {asked.about} is drawn or painted out by hand"
    return "the show has no such work"


def _stop(says: str, code: int = 2) -> NoReturn:
    click.echo(says, err=True)
    sys.exit(code)


def _card(asked: Asked) -> tuple[Sheet, ...]:
    from planner.cli.card import card_of, known_element
    from planner.pages.prints.set_up_card import set_up_card

    if not asked.about:
        _stop("say a SHOT.ELEMENT as well")
    id_ = known_element(asked.opened.show, asked.about)
    card, foot = card_of(asked.opened, id_), ""
    if asked.effort.is_afresh or _is_issued(asked.folder):
        dated = _dated(asked)
        card = replace(card, calls=tuple(each for each in dated.calls if each.element == id_))
        foot = f"{dated.source}."
    return (set_up_card(card, foot),)


def _day(asked: Asked) -> tuple[Sheet, ...]:
    from planner.pages.prints.days import day_orders

    show = asked.opened.show
    stages = [each.id for each in show.resources_of("stage")]
    stage = _one(asked.about, stages, "a stage") if asked.about else ""
    return day_orders(show, _dated(asked), asked.day, stage, notes_on(asked.opened))


def _week(asked: Asked) -> tuple[Sheet, ...]:
    from planner.pages.prints.days import week_orders

    return week_orders(asked.opened.show, _dated(asked), asked.day, _faults(asked))


def _faults(asked: Asked) -> Notes:
    """Why something cannot be done as planned; hazards are told elsewhere on these sheets."""
    from planner.pages.order_text import notes_of

    return notes_of(asked.opened.findings, asked.opened.show)


def _call(asked: Asked) -> tuple[Sheet, ...]:
    from planner.pages.prints.call_sheet import Known, call_sheets

    opened = asked.opened
    known = Known(_settled(asked), _faults(asked))
    return call_sheets(opened.show, opened.estimates, _dated(asked), asked.day, known)


def _settled(asked: Asked) -> frozenset[str]:
    """What is posted as settled and stands so: leave in hand, whatever the show's files say."""
    from planner.cli.told import told_of_opened
    from planner.status.state import Step, states_of

    states = states_of(told_of_opened(asked.opened, None).events)
    stand = (
        id_
        for id_, state in states.items()
        if state.lost is None and not state.holds and not state.is_refused
    )
    return frozenset(id_ for id_ in stand if states[id_].step >= Step.SETTLED)


def _shot(asked: Asked) -> tuple[Sheet, ...]:
    from planner.pages.prints.shot import breakdown

    opened = asked.opened
    return tuple(
        breakdown(opened.show, opened.estimates, opened.findings, opened.show.shots[each])
        for each in _shots(asked)
    )


def _roto(asked: Asked) -> tuple[Sheet, ...]:
    from planner.pages.prints.roto import roto_orders

    opened = asked.opened
    shots = _shots(asked)
    return roto_orders(opened.show, opened.estimates, _handed(asked), shots)


def _handed(asked: Asked) -> Handed:
    from planner.pages.prints.shot import Handed

    takes, fallen = _posted(asked)
    return Handed(asked.opened.findings, takes, _dated(asked), fallen)


def _posted(asked: Asked) -> tuple[Mapping[str, str], Mapping[str, Judgement]]:
    """By element, the take in use as posted, and what of it no longer serves as it is.

    The show's files may name an older take, or none.
    """
    from planner.cli.told import judged_standing, told_of
    from planner.status.verdicts import Verdict

    told = told_of(asked.folder, asked.opened.show.facts.word("ledger"), None)
    if not told.events:
        return {}, {}
    judged, standing = judged_standing(asked.opened, told)
    takes = {id_: state.in_use for id_, state in standing.states.items() if state.in_use}
    found = judged.wanted.items()
    return takes, {id_: each for id_, each in found if each.verdict is not Verdict.GOOD}


def _line_up(asked: Asked) -> tuple[Sheet, ...]:
    from planner.pages.prints.line_up import is_joined, line_up_sheet

    opened = asked.opened
    show = opened.show
    joined = [each.id for each in show.elements.values() if is_joined(each)]
    if asked.about in show.shots or asked.about in show.sequences:
        shots = set(_shots(asked))
        joined = [each for each in joined if show.elements[each].shot in shots]
    else:
        joined = [_one(asked.about, joined, "a composite, or its shot,")]
    handed = _handed(asked)
    return tuple(
        line_up_sheet(show, opened.estimates, handed, show.elements[each]) for each in joined
    )


def _bid(asked: Asked) -> tuple[Sheet, ...]:
    from planner.bid.conditions import conditions_of
    from planner.cli.pricing import priced
    from planner.pages.prints.bid import bid_sheets

    shots = _shots(asked) if asked.about else None
    found = priced(asked.opened, arrange_opened(asked.opened, asked.effort))
    opened, bid = found.opened, found.bid
    conditions = conditions_of(opened.show, opened.estimates, bid)
    return bid_sheets(opened.show, bid, conditions, shots, _last_bid(asked.folder))


def _last_bid(folder: Path) -> str:
    """Which bid it is: priced now, after the last that was issued."""
    from planner.cli.bid_issuing import last_revision
    from planner.model.names import day_words

    issued = last_revision(folder)
    if issued is None:
        return "Priced anew; none has been issued."
    stamp = issued.stamp
    by = f" by {stamp.by}" if stamp.by else ""
    return f"Priced anew; the last issued is {stamp.name} of {day_words(stamp.on)}{by}."


def _change_order(asked: Asked) -> tuple[Sheet, ...]:
    from planner.cli.bid_issuing import changed, revision
    from planner.cli.pricing import priced
    from planner.pages.bid_files import numbers
    from planner.pages.prints.change_order import change_order_sheet

    opened = asked.opened
    known = numbers(asked.folder)
    number = max(known, default=1)
    if asked.about:
        number = int(_one(asked.about, (str(each) for each in known), "a revision of the bid"))
    before = revision(asked.folder, number)
    found = priced(opened, arrange_opened(opened, asked.effort))
    return (change_order_sheet(changed(opened, found, before, asked.cause, asked.effort)),)


def _measure(asked: Asked) -> tuple[Sheet, ...]:
    from planner.pages.prints.measures import measure_list

    return (measure_list(asked.opened.show, asked.opened.estimates),)


PRINTS: Mapping[str, Callable[[Asked], tuple[Sheet, ...]]] = {
    "card": _card,
    "day": _day,
    "week": _week,
    "call": _call,
    "shot": _shot,
    "roto": _roto,
    "lineup": _line_up,
    "bid": _bid,
    "change-order": _change_order,
    "measure": _measure,
}


DATED = ("day", "week", "call")
"""Prints of one day or week."""


def _shots(asked: Asked) -> tuple[str, ...]:
    """The shot named, or those of the sequence named."""
    show = asked.opened.show
    if asked.about in show.sequences:
        return show.sequences[asked.about].shots
    return (_one(asked.about, (*show.shots, *show.sequences), "a shot or sequence"),)


def _one(name: str, known: Iterable[str], wanted: str) -> str:
    """`name` where it is known; else say what is wanted and end with code 2."""
    known = tuple(known)
    if name in known:
        return name
    _stop(
        f"nothing is called {name}{did_you_mean(name, known)}" if name else f"say {wanted} as well"
    )


def _is_issued(folder: Path) -> bool:
    from planner.pages.order_files import numbers

    return bool(numbers(folder))


def _dated(asked: Asked) -> Dated:
    return dated_of(asked.opened, asked.effort)


def dated_of(opened: Opened, effort: Effort) -> Dated:
    """The order people work by, with which it is; what it calls on hold or lost is told."""
    from planner.cli.omitted import still_wanted
    from planner.cli.order_issuing import issued_order, working_order
    from planner.pages.prints.dated import as_issued, worked_out

    wanted = still_wanted(opened)
    working = working_order(wanted.opened, effort)
    order = working or arrange_opened(opened, effort)
    tell(unwaived(opened, wanted.called_all_the_same(order)), opened.show)
    if working is None:
        return worked_out(order)
    if order.is_issued:
        dated = as_issued(issued_order(opened.folder, None), opened.estimates)
        return replace(dated, calls=wanted.with_losses(order, dated.calls))
    order = replace(order, calls=wanted.with_losses(order, order.calls))
    return worked_out(order, f"{order.method[:1].upper()}{order.method[1:]}; not yet issued")
