"""Issued orders for the command line: fetched, planned on from, kept.

The only place of theirs that reads the clock.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING

import click

from planner.cli.omitted import still_wanted
from planner.cli.opening import tell
from planner.cli.progress import going_on
from planner.cli.sentences import say
from planner.ledger.event import BACK, DAYS_AWAY, day_back

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from datetime import date
    from pathlib import Path

    from planner.cli.omitted import Wanted
    from planner.cli.opening import Effort, Opened
    from planner.cli.told import Told
    from planner.cli.weighing import Ground
    from planner.estimate import Estimates
    from planner.model.place import Problem
    from planner.order import IssuedOrder, Question, StageOrder, Started
    from planner.order.around import Missed
    from planner.order.lost import Blow
    from planner.schedule import Answer, Budget, Replay

NEAR_DAYS = 3
"""Working days that count as near at hand unless somebody says how many."""


def issued_order(folder: Path, number: int | None) -> IssuedOrder:
    """The order issued under a number, or the last one; else say why not and end with code 1."""
    from planner.model.place import Problem
    from planner.pages.order_files import fetch

    issued = fetch(folder, number)
    if isinstance(issued, Problem):
        tell([issued])
        sys.exit(1)
    return issued


def working_order(
    opened: Opened, effort: Effort, ledger: str | None = None, *, is_told: bool = True
) -> StageOrder | None:
    """The last issued order while it can be kept, else planned again close to it, and says which.

    None where none is issued, or where it is to be arranged afresh.

    Args:
        opened: the show.
        effort: how to look for an order.
        ledger: where its ledger is, as the command line says; None for where the show says.
        is_told: whether to say which on standard error.
    """
    from planner.order.working import as_issued, ask_since
    from planner.pages.order_files import numbers

    if effort.is_afresh or not numbers(opened.folder):
        return None
    with going_on("holding the show against the last issued order"):
        issued = issued_order(opened.folder, None)
        question = ask_since(opened.show, opened.graph, opened.estimates, issued)
        order = as_issued(opened.show, opened.graph, question, issued)
    if order is None:
        order = order_again(opened, issued, Again(None, None, ledger), effort)
    if is_told:
        say(f"By {order.method}")
    return order


def order_left(folder: Path, effort: Effort) -> IssuedOrder | None:
    """The issued order that what is left goes by, which is said; None where it goes by none."""
    return issued_order(folder, None) if tell_left(folder, effort) else None


def search_left(
    opened: Opened, effort: Effort, issued: IssuedOrder | None
) -> Callable[[Question, Budget], Answer | Replay]:
    """How to order what is left from today on: by the issued order, else in this show's own turns.

    Two days or states of one show then differ by what differs in them, not by what two searches
    happened to find.
    """
    from planner.order.working import left_of

    if issued is None:
        return _in_own_turns(opened, effort)
    return lambda question, _budget: left_of(question, issued)


def _in_own_turns(opened: Opened, effort: Effort) -> Callable[[Question, Budget], Answer]:
    """What is left in the turns of the order that the whole show is given, each as soon as it fits.

    Nobody was called by that order, so that nothing waits for the day it has there.
    """
    from planner.cli.opening import arrange_afresh
    from planner.cli.searching import solved
    from planner.order.issued import reopened
    from planner.schedule import Replay

    order = arrange_afresh(opened, effort)
    if order.answer is None:
        return lambda question, budget: solved(question.instance, budget)
    own = unissued(opened, order, effort.seed)
    return lambda question, _budget: Replay(question.instance, reopened(own, question)).answer()


def unissued(opened: Opened, order: StageOrder, seed: int) -> IssuedOrder:
    """An order to go on from as from an issued one; what it was planned again from is kept."""
    from planner import __version__
    from planner.order import Stamp, issue

    starts, since = opened.show.calendar.starts, order.planned_from
    stamp = Stamp(0, starts, "", "", __version__, seed, "", since)
    return issue(order, opened.show.title, stamp)


def tell_left(folder: Path, effort: Effort) -> bool:
    """Say which issued order what is left goes by; False where it goes by none."""
    from planner.pages.order_files import numbers

    known = () if effort.is_afresh else numbers(folder)
    if known:
        say(f"By order {max(known)}: what is left of it stands as called")
    return bool(known)


@dataclass(frozen=True, slots=True)
class Again:
    """How to plan again.

    Attributes:
        day: the first that may be planned; None for the first that is not past as far as is known.
        hold_days: working days from it whose calls move for the whole price only, later ones for a
            part of it; None for all calls, 0 for none at any price.
        ledger: where the ledger is, as the command line says; None for where the show says.
        asked_about: what is taken to be there though it is posted as lost, by id.
    """

    day: date | None
    hold_days: int | None
    ledger: str | None = None
    asked_about: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Footing:
    """What is planned again from a day on: what is still wanted, around what is posted as lost.

    Attributes:
        wanted: the show without what is posted as omitted.
        ground: the same with what is posted as lost away, and estimates by which those whom that
            meets go on with what else will do.
        waits: the same, but that they wait for it; `ground` itself where there is no choice.
        day: the first that may be planned.
        missed: what is posted as lost, and was not asked about.
        blow: whom that meets.
        told: what is posted.
        problems: of what is posted.
    """

    wanted: Wanted
    ground: Ground
    waits: Ground
    day: date
    missed: tuple[Missed, ...]
    blow: Blow
    told: Told
    problems: tuple[Problem, ...]

    @property
    def missed_words(self) -> Iterator[str]:
        """A clause for each thing missed: since when, and until when it is held to be away."""
        return (_missed_words(self.wanted.opened, each) for each in self.missed)

    def with_missed(self, estimates: Estimates) -> Estimates:
        """Other estimates of the show, those met going on with what else will do by these."""
        from planner.order.around import around

        if not self.missed:
            return estimates
        return around(self.wanted.opened.show, estimates, self.blow, self.missed)[0].estimates


def footing(opened: Opened, issued: IssuedOrder, again: Again) -> Footing:
    """What the order from a day on is planned on."""
    from planner.cli.weighing import grounds

    told = _told(opened, again)
    day, begun = _begun(opened, issued, again, told)
    wanted = still_wanted(opened, again.ledger, day)
    opened = wanted.opened
    missed, unread = _missed(opened, again, day, told)
    on = grounds(opened, issued, (begun, day), missed)
    return Footing(wanted, on.around, on.waits, day, missed, on.blow, told, unread)


def known_of(opened: Opened, in_force: IssuedOrder) -> tuple[date, Started, tuple[Missed, ...]]:
    """What is known of the order in force: the first day to plan, what has begun, what is lost.

    Where none is issued nothing has begun, as nobody was called.
    """
    from planner.order import Started
    from planner.pages.order_files import numbers

    again = Again(None, None)
    if not numbers(opened.folder):
        return opened.show.calendar.starts, Started({}), ()
    told = _told(opened, again)
    day, begun = _begun(opened, in_force, again, told)
    missed, _problems = _missed(opened, again, day, told)
    return day, begun, missed


def order_again(opened: Opened, issued: IssuedOrder, again: Again, effort: Effort) -> StageOrder:
    """The order from a day on, close to the one issued, which says how close."""
    return order_on(footing(opened, issued, again), issued, again, effort)


def order_on(on: Footing, issued: IssuedOrder, again: Again, effort: Effort) -> StageOrder:
    """The same where what it is planned on is known."""
    from planner.cli.weighing import settled_beside
    from planner.order import working_days_on
    from planner.order.around import waiting

    was, day, near = on.wanted.opened, on.day, again.hold_days
    until = None if near is None else working_days_on(was.show.calendar, day, near)
    order = settled_beside(on.waits, on.ground, on.ground.terms(day, until, effort))
    method = "; ".join((order.method, *on.missed_words, *_made_again(on, order)))
    waits = (each for known in on.missed for each in waiting(was.show, order, on.blow, known))
    past = _past(was, issued, day, on.told)
    problems = (*order.problems, *waits, *on.problems, *past)
    order = replace(order, method=method, problems=problems, is_around_lost=True)
    return on.wanted.told_with(order)


def _made_again(on: Footing, order: StageOrder) -> Iterator[str]:
    """A clause for each piece or build that is posted as lost and called anew from the day on."""
    from planner.cli.told import until
    from planner.model.names import name_of
    from planner.status import states_of

    called = {call.element for call in order.calls if call.ends.date() >= on.day}
    for id_, state in states_of(until(on.told, on.day).events).items():
        if state.lost is not None and id_ in called:
            posted = state.lost.since.date()
            yield f"{name_of(id_, on.wanted.opened.show)}: lost, posted {posted}, called again"


def _past(opened: Opened, issued: IssuedOrder, day: date, told: Told) -> Iterator[Problem]:
    """A warning where calls are past and nobody posted what became of them, and one for each piece.

    Pieces are named where their calls are taken as still to be done, as they are called again.
    """
    from planner.cli.told import judged_standing, until
    from planner.model.place import Place, Problem, Severity
    from planner.pages.order_files import path_of
    from planner.status.unposted import unposted, wanting

    _judged, stands = judged_standing(opened, until(told, day))
    known = unposted(issued, day, opened.estimates, stands)
    if known is None:
        return
    place = Place(str(path_of(opened.folder, known.order)))
    yield Problem(Severity.WARNING, place, "past-not-posted", known.says, known.remedy)
    for each in wanting(known, issued, stands.outline):
        code = "take-wanted" if each.is_take else "post-wanted"
        place = opened.show.elements[each.element].place
        yield Problem(Severity.WARNING, place, code, each.says, each.remedy, each.element)


def _missed(
    opened: Opened, again: Again, day: date, told: Told
) -> tuple[tuple[Missed, ...], tuple[Problem, ...]]:
    """Resources posted as lost by a day, not back and not asked about; warnings of their days.

    On the very day for which its return is posted a thing is taken to be there.
    """
    from planner.cli.told import until
    from planner.status import states_of

    missed, problems = [], []
    for id_, state in states_of(until(told, day).events).items():
        is_heeded = id_ in opened.show.resources and id_ not in again.asked_about
        if state.lost is not None and is_heeded:
            posted = state.lost.since.date()
            back, problem = _back(opened, (id_, state.lost.back), day)
            if back == day:
                continue
            missed.append(_missed_until(opened, (id_, posted), back, (again, day)))
            problems += [problem] if problem else []
    return tuple(missed), tuple(problems)


def _back(opened: Opened, row: tuple[str, str], day: date) -> tuple[date | None, Problem | None]:
    """The day that was posted for a thing to be back; and a warning where that is past or none."""
    from planner.model.place import Problem, Severity

    id_, written = row
    back = day_back(written)
    if not written or (back is not None and back >= day):
        return back, None
    said = f"{back} has come, and its return is not posted" if back else f"{written} is not a date"
    known = opened.show.resources[id_]
    return None, Problem(
        Severity.WARNING,
        known.place,
        "return-unknown",
        f"{known.called} was posted as lost with back={written}: {said}",
        f"once it is back, `platewright post SHOW freed {id_}`; until then post it as lost once"
        f" more with `--value {BACK}=` and a day to come",
        id_,
    )


def _missed_until(
    opened: Opened, row: tuple[str, date], back: date | None, asked: tuple[Again, date]
) -> Missed:
    """Until when a thing is held to be away: as posted, else for the days near at hand."""
    from planner.model.names import counted
    from planner.order import working_days_on
    from planner.order.around import Missed

    again, day = asked
    if back is not None:
        return Missed(*row, back, is_stated=True, until=f"back {back} as posted")
    held = DAYS_AWAY if again.hold_days is None else again.hold_days
    days = max(1, held)
    near = working_days_on(opened.show.calendar, day, days)
    whose = "our guess" if again.hold_days is None else "by --hold-days"
    long = counted(days, "working day")
    until = f"no day to come is given: taken to be away for {long}, {whose}, so back {near}"
    return Missed(*row, near, is_stated=False, until=until)


def _missed_words(opened: Opened, missed: Missed) -> str:
    title = opened.show.resources[missed.id].called
    return f"{title}: lost, posted {missed.posted}, {missed.until}"


def _told(opened: Opened, again: Again) -> Told:
    from planner.cli.told import told_of_opened

    return told_of_opened(opened, again.ledger)


def _begun(opened: Opened, issued: IssuedOrder, again: Again, told: Told) -> tuple[date, Started]:
    from planner.cli.order_begun import started
    from planner.order.working import first_day

    posted = max((each.at.date() for each in told.events), default=None)
    day = again.day or first_day(opened.show.calendar, issued, posted)
    return day, started(opened, issued, day, told)


def issue_order(
    opened: Opened, order: StageOrder, said: tuple[str, str, int], day: date | None = None
) -> Path:
    """Keep an order as the next one issued; where the disk refuses, say so and end with code 1.

    Args:
        opened: the show.
        order: to be kept.
        said: who issues it, what they say of it, and the seed of the search.
        day: the first that it was planned again from; None where it was ordered from the first.
    """
    from planner import __version__
    from planner.order import Stamp, issue
    from planner.pages.order_files import fingerprint, keep, numbers

    by, note, seed = said
    folder = opened.folder
    today = datetime.now().astimezone().date()  # noqa: TID251 - the command line reads the clock
    try:
        number = max(numbers(folder), default=0) + 1
        stamp = Stamp(number, today, by, note, __version__, seed, fingerprint(folder), day)
        return keep(folder, issue(order, opened.show.title, stamp))
    except FileExistsError:
        click.echo("another order was issued at the same time; issue this one again", err=True)
    except OSError as error:
        click.echo(f"{folder} cannot keep an issued order: {error.strerror}", err=True)
    sys.exit(1)
