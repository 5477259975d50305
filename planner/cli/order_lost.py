"""``platewright order --without``: what is lost, and the ways out side by side."""

from __future__ import annotations

import json
import sys
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import click

from planner.cli.as_of import out_of_years
from planner.cli.named import did_you_mean
from planner.cli.opening import arrange_afresh, kinds_of, tell, unwaived
from planner.cli.order_issuing import Again, footing, issued_order, order_on, unissued
from planner.cli.progress import going_on
from planner.cli.sentences import say

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from datetime import date
    from pathlib import Path

    from planner.bid.what_if import Costed
    from planner.cli.opening import Effort, Opened
    from planner.cli.order_issuing import Footing
    from planner.estimate import Estimates
    from planner.model.show import Show
    from planner.order import IssuedOrder, StageOrder
    from planner.order.hired import Offer
    from planner.order.lost import Blow, Loss
    from planner.order.ways_out import WayOut
    from planner.pages.order_lost import Outcome


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked about a loss.

    Attributes:
        losses: name and days of each thing lost, as written.
        hire: price a day of another, and of how many heads, as written; may be empty.
        from_day: first day that may still be planned; the first day lost where not given.
        hold_days: working days that count as near at hand.
        ledger: where the ledger is, as the command line says; None for where the show says.
        lines: whether each sum is opened to the lines of the bid.
    """

    losses: tuple[tuple[str, str], ...]
    hire: str
    from_day: date | None
    hold_days: int
    ledger: str | None
    lines: bool = False


def tell_ways_out(
    opened: Opened, folder: Path, asked: Asked, effort: Effort, *, as_json: bool
) -> None:
    """Print the plain consequence of the losses, and the ways out with their price."""
    from planner.pages.order_lost import lost_json, lost_text

    losses = tuple(_loss(opened.show, name, days) for name, days in asked.losses)
    offer = _offer(opened.show, asked.hire, losses)
    day = asked.from_day or min(loss.days.first for loss in losses)
    again = Again(day, None, asked.ledger, frozenset(loss.id for loss in losses))
    desk = _desk(opened, folder, again, effort)
    for each in desk.on.missed_words:
        say(f"In every way out: {each}")
    blow = desk.blow(losses)
    outcomes, base = desk.outcomes(blow, offer, asked.hold_days) if blow.met else ((), desk.costed)
    against = desk.against(base)
    if as_json:
        told = lost_json(blow, outcomes, against)
        click.echo(json.dumps(told, indent=2, ensure_ascii=False))
    else:
        text = lost_text(blow, outcomes, opened.show, against, opened=asked.lines)
        click.echo(text, nl=False)


def _loss(show: Show, name: str, days: str) -> Loss:
    from planner.order.lost import find_lost

    id_ = find_lost(show, name)
    if not id_:
        builds = (each.id for each in show.elements.values() if not each.shot)
        titles = (each.title for each in show.resources.values())
        hint = did_you_mean(name, (*show.resources, *titles, *builds))
        raise click.BadParameter(
            f"nothing in {show.title} is called {name}{hint}", param_hint="--without"
        )
    lost = _lost_on(id_, days)
    if isinstance(lost, str):
        raise click.BadParameter(lost, param_hint="--without")
    return lost


def _lost_on(id_: str, written: str) -> Loss | str:
    """A thing lost on ``2027-03-01``, ``FIRST..LAST`` or ``FIRST..``; else what is wrong."""
    from planner.model.facts import DateRange
    from planner.order.lost import Loss, lost_for_good
    from planner.text.measures import read_date, read_date_range

    if written.endswith(".."):
        first = read_date(written.removesuffix(".."))
        if isinstance(first, str):
            return first
        return out_of_years(first) or lost_for_good(id_, first)
    read = read_date_range(written)
    if isinstance(read, str):
        return read
    return out_of_years(read[0]) or out_of_years(read[1]) or Loss(id_, DateRange(*read))


def _offer(show: Show, written: str, losses: tuple[Loss, ...]) -> Offer | None:
    """``650 GBP``, or of hands ``3 at 320 GBP``; None where nothing is written."""
    from planner.model.facts import Money
    from planner.order.hired import Offer
    from planner.text.measures import read_money

    if not written:
        return None
    heads, at, price = written.rpartition(" at ")
    read = read_money(price)
    if isinstance(read, str):
        raise click.BadParameter(read, param_hint="--hire")
    paid = Money(*read)
    if paid.currency != show.currency:
        raise click.BadParameter(
            f"{paid} is not in {show.currency}, the show's currency", param_hint="--hire"
        )
    return Offer(paid, _heads(show, heads, losses) if at else None)


def _heads(show: Show, written: str, losses: tuple[Loss, ...]) -> int:
    """How many heads are hired; wrong usage where they are no number, or no crew is lost."""
    number = written.strip()
    if not number.isdecimal() or not int(number):
        raise click.BadParameter(
            f"{number or 'nothing'} is no number of heads; write one such as 3 at 320 GBP",
            param_hint="--hire",
        )
    if not {loss.id for loss in losses} & {crew.id for crew in show.resources_of("crew")}:
        lost = " and ".join(loss.id for loss in losses)
        raise click.BadParameter(
            f"{number} heads are hired for a crew, and {lost} is none; write the price alone",
            param_hint="--hire",
        )
    return int(number)


@dataclass(frozen=True, slots=True)
class _Desk:
    """The order people work by, and how to find others close to it.

    Attributes:
        on: what that and every way out is planned on, around what else is posted as lost.
        effort: how long to look.
        costed: the same order planned again without the loss, and its price: what every sum is
            against.
        issued: the order people work by, from which every way is planned again as `--from` plans
            once the loss is posted.
    """

    on: Footing
    effort: Effort
    costed: Costed
    issued: IssuedOrder

    def blow(self, losses: tuple[Loss, ...]) -> Blow:
        """Whom the losses meet."""
        from planner.order.lost import blow_of

        return blow_of(losses, self.issued, self.on.day, self.on.ground.way.started)

    def outcomes(
        self, blow: Blow, offer: Offer | None, hold_days: int
    ) -> tuple[tuple[Outcome, ...], Costed]:
        """Each way out, ordered and priced; and what their sums are against."""
        found = [(way, self._ordered(way)) for way in self._ways(blow, offer)]
        base = self._lightest_known(found)
        told = (self._outcome(way, base, costed, hold_days) for way, costed in found)
        taken = self._taken(blow, found)
        return tuple(self._with_steps(blow, each, taken) for each in told), base

    def against(self, base: Costed) -> str:
        """What sums are against, a clause."""
        from planner.model.names import day_words
        from planner.order import compare
        from planner.order.working import moves_words

        stamp, calendar = self.issued.stamp, self.on.ground.way.show.calendar
        issued = f"order {stamp.number} as issued on {day_words(stamp.on)}"
        named = issued if stamp.number else "the order worked out now, as none is issued"

        def told(costed: Costed) -> str:
            moves = moves_words(compare(calendar, self.issued, costed.order))
            return f"{moves}, {costed.bid.total.likely:,.2f} likely in all"

        since = f"planned again from {day_words(self.on.day)} without the loss"
        if base is self.costed:
            return f"{named}, {since} ({told(base)})"
        lighter = f"a lighter one found with the ways out ({told(base)})"
        return f"{named}, {since} ({told(self.costed)}), or rather {lighter}"

    def _taken(self, blow: Blow, found: Sequence[tuple[WayOut, Costed]]) -> frozenset[str]:
        """Which of waiting and going on planning again takes, were all that it needs written down.

        Both where what would go on is not stated, as then it is the edit that says which.
        """
        from planner.bid.what_if import lightest
        from planner.order.ways_out import change

        both = {way.name: costed for way, costed in found if way.name in {"wait", "change"}}
        if len(both) < 2:
            return frozenset(both)
        lighter = lightest(both["wait"], both["change"])
        taken = {name for name, costed in both.items() if costed is lighter}
        ground = self.on.ground.way
        if change(ground.show, ground.estimates, ground.estimates, blow) is None:
            taken.add("wait")
        return frozenset(taken)

    def _with_steps(self, blow: Blow, outcome: Outcome, taken: frozenset[str]) -> Outcome:
        """With what people do to take it."""
        from planner.order.taking import steps_of

        way = outcome.way
        is_other = way.name in {"wait", "change"} and way.name not in taken
        held_to = is_other and way.name == "wait"
        steps = steps_of(self.on.wanted.opened.show, blow, way, held_to=held_to)
        instead = ""
        if is_other and not held_to:
            instead = "planning again waits all the same, as with calls moved that weighs less"
        return replace(outcome, steps=steps, instead=instead)

    def _lightest_known(self, found: Iterable[tuple[WayOut, Costed]]) -> Costed:
        """The lightest order known without the loss, those found on the way among them.

        Else a loss would seem to earn what a longer search had found without it. Whoever waits for
        what is lost could be called so if it were not.
        """
        from planner.bid.what_if import difference

        known = [self.costed]
        for way, costed in found:
            if way.name == "wait":
                known.append(costed)
            elif costed.order.answer and difference(self.costed, costed).weight < 0:
                known.append(self._with_the_lost(costed.order))
        return min(known, key=lambda each: difference(self.costed, each).weight)

    def _with_the_lost(self, order: StageOrder) -> Costed:
        """An order found on a way out, as it is with what is lost there; nothing is searched."""
        from planner.cli.weighing import Ground
        from planner.order import issue

        it = self.on.ground
        # Nothing is begun anew there, and nothing held for nothing.
        order = replace(order, spent={}, joined={}, redone=())
        near = replace(it.way, issued=issue(order, self.issued.title, self.issued.stamp))
        ground = Ground.of(near, it.graph)
        return ground.standing(ground.terms(self.on.day, None, self.effort))

    def _ways(self, blow: Blow, offer: Offer | None) -> Iterator[WayOut]:
        from planner.order.hired import hire, with_hired
        from planner.order.ways_out import change, opened_up, rebuild, wait

        ground = self.on.ground.way
        show, estimates = ground.show, ground.estimates
        fitting = self._estimated_anew(opened_up(show, estimates, blow))
        hired = with_hired(show, blow, offer)
        ways = (
            wait(show, estimates, blow),
            hire(hired, self._estimated_anew(hired), blow, show) if hired else None,
            rebuild(show, estimates, blow),
            change(show, estimates, fitting, blow),
        )
        return (way for way in ways if way is not None)

    def _estimated_anew(self, show: Show) -> Estimates:
        """Estimates of the show with some of its facts changed, around what else is lost."""
        from planner.estimate import estimate_show

        opened = self.on.wanted.opened
        with going_on("estimating what other things can do"):
            found = estimate_show(show, opened.graph, kinds_of(show))
        return self.on.with_missed(found)

    def _ordered(self, way: WayOut) -> Costed:
        from planner.cli.weighing import Ground, settled
        from planner.graph import build_graph

        graph = self.on.ground.graph
        if way.show.elements.keys() != self.on.ground.way.show.elements.keys():
            graph, _problems = build_graph(way.show)
        ground = Ground.of(way, graph)
        return settled(ground, ground.terms(self.on.day, None, self.effort))

    def _outcome(self, way: WayOut, base: Costed, costed: Costed, hold_days: int) -> Outcome:
        from planner.bid.made_of import made_of
        from planner.bid.what_if import difference
        from planner.order import compare, working_days_on
        from planner.pages.order_lost import Outcome

        calendar = way.show.calendar
        return Outcome(
            way,
            compare(calendar, self.issued, costed.order),
            difference(base, costed),
            working_days_on(calendar, self.on.day, hold_days),
            tuple(sorted(costed.order.late.keys() - self.costed.order.late.keys())),
            made_of(base, costed),
        )


def _desk(opened: Opened, folder: Path, again: Again, effort: Effort) -> _Desk:
    """The last issued order, brought up to date; or one worked out now where none was issued."""
    from planner.bid import price
    from planner.bid.what_if import Costed
    from planner.order.issued import still_there
    from planner.pages.order_files import numbers

    if numbers(folder):
        base = issued_order(folder, None)
    else:
        base = unissued(opened, _sound(opened, arrange_afresh(opened, effort)), effort.seed)
    # Planned again like every way out, so that what that alone betters is no way's merit.
    on = footing(opened, base, again)
    order = _sound(opened, order_on(on, base, again, effort))
    way = on.ground.way
    with going_on("pricing the order as it is"):
        costed = Costed(order, price(way.show, way.estimates, order))
    return _Desk(on, effort, costed, still_there(base, on.wanted.opened.estimates))


def _sound(opened: Opened, order: StageOrder) -> StageOrder:
    """The order, if there is one; else say what cannot hold together and end with code 1."""
    if order.answer is None:
        tell(unwaived(opened, order.problems), opened.show)
        sys.exit(1)
    return order
