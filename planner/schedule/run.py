"""An answer at once, then a better one for as long as the budget lasts.

Takes an `Instance` and a `Budget`, gives an `Answer`. Knows nothing of files or of printing.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.schedule.answer import Answer, Budget, Progress
from planner.schedule.appraise import appraise
from planner.schedule.beginning import First, cost_price, other_firsts, placed_first
from planner.schedule.bounds import bounds, without_undercut
from planner.schedule.climb import MOST_BRED, Climb
from planner.schedule.conflicts import fatal_conflicts
from planner.schedule.decode import Decoder, Wish
from planner.schedule.families import Families
from planner.schedule.herding import Herding
from planner.schedule.indexed import Indexed, index, topological_order
from planner.schedule.lifting import Staying
from planner.schedule.moving import sheet_at_once
from planner.schedule.plain import is_plain
from planner.schedule.repair import Neighbourhoods
from planner.schedule.search import PRICES, Found, Search

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.schedule.exact import Outcome
    from planner.schedule.instance import Instance
    from planner.schedule.lifting import Surcharge

    Tell = Callable[[Progress], None]

MOST_FOR_WHOLE = 150
"""Activities up to which the constraint solver is given the whole question."""
LEAST_HERDED = 25
"""Activities from which a plain question is worth compiled code."""
HERDS_FIRST = 0.05
"""Share of the budget before the constraint solver joins in, with their best as its first."""
WHOLE_PLAIN = 32
"""Activities of a plain question that are worth the solver's whole time, with no herd beside it
that would take half of the processor; of more, a share."""
MOST_REPAIRED_BESIDE, MOST_FOR_REPAIR = 250, 1500
"""Activities up to which it is given a part, the rest in order: in turns with what gains, and
where only its own effort is left to spend. It does not see what holding and changing over cost,
and of 50 shots, 360 activities, it took half of the time and found nothing."""
SECONDS = 5.0
TRIED_SHARE, FEW_LATE = 0.25, 0.01
"""Where all but so small a share of the total is for something other than lateness, no more first
orders are tried, which differ in what is late; many activities are placed family by family for so
much of the budget instead. 2,000 generated pieces come to 1.16 of the least days held in ten
seconds; the best of the others, moved for five minutes, to 1.21."""
BRED_SHARE = 0.4
ROUNDS, WORTH = (0.45, 0.5, 0.85), 0.002
"""Shares of the time left, or of all tries, after which an order of many activities, rearranged, is
pushed back and forth, the first once rival walks have raced; and how much lighter, as a share, that
must make it to be done once more. It closes gaps that moves leave, 3 to 6 % of 500 pieces, but they
find more than its last small gains."""
RACED_SHARE, CATCHES_UP = 0.15, 1.05
"""Of what is left, how much an issued order and a first one have each before one goes on alone, and
how much heavier the first one may be then: it is further from the end of what it gains. 500
generated pieces, a build four days late: what was so chosen mostly weighed least in the end."""
WHOLE_SHARE = 0.5
"""Of what is left when the walk has stalled, how much goes to the whole question."""
STALLED_TRIES, STALLED_TRIES_EACH = 300, 4
"""Tries without a better order after which the walk has stalled: fixed, and for each activity."""
SLICE_EFFORT, SLICE_SECONDS = 0.4, 1.0
PLACINGS_AN_EFFORT, PLACINGS_TO_ASK = 250_000, 10
"""Placings that take about as long as a deterministic second of the constraint solver, and, for
each activity, as putting a part to it."""
LEAST_EFFORT = 0.005
PAUSE_SECONDS = 0.05


def solve(instance: Instance, budget: Budget | None = None, progress: Tell | None = None) -> Answer:
    """Order the activities.

    Args:
        instance: the question.
        budget: how long to improve; five seconds by default.
        progress: told about the first order and every improvement, on the caller's thread.

    Returns:
        The best answer found. Ctrl-C while it improves returns the best so far.

    Raises:
        ValueError: the question has no answer on its face; `conflicts` says why.
    """
    budget = budget or Budget()
    began = budget.clock()
    first = placed_first(index_answerable(instance))
    return Run(first, left_of(budget, began), progress).answer()


def left_of(budget: Budget, began: float) -> Budget:
    """A budget without the seconds since it was begun on."""
    if budget.seconds is None:
        return budget
    return replace(budget, seconds=max(0.0, budget.seconds - (budget.clock() - began)))


def index_answerable(instance: Instance) -> Indexed:
    """Number an instance that has an answer.

    Raises:
        ValueError: it has none on its face.
    """
    fatal = fatal_conflicts(instance)
    if fatal:
        raise ValueError("; ".join(conflict.sentence for conflict in fatal))
    return index(instance)


@dataclass(frozen=True, slots=True)
class Issued:
    """An order to stay close to.

    Attributes:
        wish: what it came from.
        surcharge: what departing from it costs.
        not_before: for each activity the start that it had, where leaving it is dear; else its
            release.
        others: more wishes that stay close to it, to begin from the best.
        around: the question with what is dear to move, and need not, locked too, and an order of it
            to begin from; None without any.
    """

    wish: Wish
    surcharge: Surcharge
    not_before: tuple[int, ...] = ()
    others: tuple[Wish, ...] = ()
    around: First | None = None


class _Meter:
    """What is left of a budget."""

    def __init__(self, budget: Budget) -> None:
        self.budget = budget
        self.began = budget.clock()
        self.effort_spent = 0.0
        no_limit = budget.seconds is None and not budget.is_repeatable
        self.seconds = SECONDS if no_limit else budget.seconds

    def time_is_over(self) -> bool:
        return self.seconds is not None and self.budget.clock() - self.began >= self.seconds

    def tries_are_over(self, tries: int) -> bool:
        if self.budget.evaluations is None:
            return self.seconds is None
        return tries >= self.budget.evaluations

    def seconds_left(self) -> float | None:
        return None if self.seconds is None else self.seconds - (self.budget.clock() - self.began)

    def share(self, share: float) -> Budget:
        """A part of the time left and of all tries; all effort, as only the first spends any."""
        left, tries = self.seconds_left(), self.budget.evaluations
        return replace(
            self.budget,
            seconds=None if left is None else left * share,
            evaluations=None if tries is None else int(tries * share),
        )

    def take(self, tries: int) -> None:
        """Leave out tries that something else has made."""
        if self.budget.evaluations is not None:
            left = max(0, self.budget.evaluations - tries)
            self.budget = replace(self.budget, evaluations=left)

    def effort_left(self) -> float:
        if self.budget.effort is None:
            return 0.0 if self.seconds is None else 1e9
        return self.budget.effort - self.effort_spent


class Run:
    """One improvement from a first order to the end of a budget."""

    def __init__(
        self,
        first: First,
        budget: Budget,
        progress: Tell | None = None,
        issued: Issued | None = None,
    ) -> None:
        """Begin from a first order.

        Args:
            first: the order, and the question.
            budget: how long to improve.
            progress: told about improvements.
            issued: an order to stay close to; without one, several first orders are tried.
        """
        self.progress = progress
        self.issued = issued
        self.meter = _Meter(budget)
        self.seed = budget.seed
        self.asked = 0
        self.indexed, self.thawed = first.indexed, first.thawed
        stays = issued is not None and not issued.surcharge.is_nothing
        staying = Staying(issued.surcharge, issued.not_before) if issued and stays else None
        self.search = Search(Decoder(self.indexed), budget.seed, staying)
        self.best: Found = self.search.adopt(first.wish, first.board)
        for other in issued.others if issued else ():
            self.search.consider(other)
        self.best = self.search.best or self.best
        seconds_left, tries = self.meter.seconds_left, budget.evaluations
        self.climb = Climb(self.search, budget.seed, seconds_left, tries)
        self.is_straight = self.indexed.keeps_triangle_rule()
        self.bound = 0
        self.method = "gathered by set-up, most urgent first" if not issued else "as issued"

    def answer(self) -> Answer:
        """Improve until the budget ends or Ctrl-C, and give the best."""
        try:
            self._tell(self.method)
            self._raise_bound(bounds(without_undercut(self.indexed)).total, self.method)
            if self.issued is None or self.issued.surcharge.is_nothing:
                self._improve()
            else:
                self._improve_around(self.issued)
                self._climb()
        except KeyboardInterrupt:
            self._take(self.method)
            self.method += ", stopped early"
        return _answer(self.indexed, self.best, self)

    def _improve_around(self, issued: Issued) -> None:
        """Order anew what may go anywhere, while what is dear to move stays.

        An order that was good before the news is hard to leave step by step; one around what stays,
        begun from the issued one, is soon lighter. If not, the issued one still has the rest of the
        budget. What moving costs is weighed once it is found: what it is dear for stays, or has to
        move anyway.
        """
        around, count = issued.around, len(self.indexed.ids)
        if around is None or self._is_solved() or self.meter.time_is_over():
            return
        free = count - len(around.indexed.locks)
        kept = len(around.indexed.locks) - len(self.indexed.locks)
        if not free or not kept:
            return
        kept_share = kept / (free + kept)
        if count > MOST_FOR_REPAIR and not is_plain(self.indexed):
            # Many activities are only climbed with, which finds little where moving is dear.
            self._race_around(around, issued, 1 - kept_share**2)
            return
        share = 1 - (kept_share**2 if count > MOST_FOR_REPAIR else kept_share)
        inner = Run(around, self.meter.share(share), self._hear)
        inner.bound = self.bound
        fresh = placed_first(around.indexed)
        inner.search.adopt(fresh.wish, fresh.board)
        inner._take(self.method)
        try:
            inner._go_on()
        finally:
            self._take_over(inner)

    def _race_around(self, around: First, issued: Issued, share: float) -> None:
        """Go on, around what stays, from the issued order or from a first one, whichever leads.

        Where the news is small the issued order leads to the end. Where it pushes much about, what
        is left of that order is hard to leave, and one begun afresh passes it.
        """
        near, budget = Issued(around.wish, issued.surcharge), self.meter.share(share)
        afresh = placed_first(around.indexed)
        runs = [Run(first, budget, self._hear, near) for first in (around, afresh)]
        patched, fresh = runs
        try:
            fresh.try_other_firsts()
            for run in runs:
                run.bound = self.bound
                run.race()
            is_near = fresh.best.total <= CATCHES_UP * patched.best.total
            lead, other = (fresh, patched) if is_near else (patched, fresh)
            lead.win(other.search.tries)
        finally:
            runs.sort(key=lambda run: run.best.total)
            self.search.tries += runs[1].search.tries
            self._take_over(runs[0])

    def race(self) -> None:
        """Improve for a share of the budget, to see how light that becomes."""
        self._push_first(WORTH)
        self.climb.go(self._spent_share(RACED_SHARE))
        self._take("local search")

    def win(self, tries: int) -> None:
        """Go on for what is left of the budget, but for the tries of what did not win."""
        self.meter.take(tries)
        self._climb_in_rounds()

    def _take_over(self, inner: Run) -> None:
        """Weigh what was found with more locked, as an order that leads to it without the locks."""
        board = inner.best.board
        wish = replace(
            inner.best.wish,
            order=topological_order(self.indexed.before, self.indexed.follow, board.starts),
            modes=tuple(board.modes),
            price=0.0,
            not_before=self.search.not_before,
        )
        self.search.tries += inner.search.tries
        self.search.adopt(wish, board)
        # Where moving costs something, what went sooner for no gain goes back.
        self.search.consider(wish)
        self._take(inner.method)

    def _improve(self) -> None:
        """Improve the best of several first orders."""
        if not self._is_over():
            self.try_other_firsts()
            self._go_on()

    def _is_over(self) -> bool:
        """Whether nothing is to gain, or there is nothing to gain it with."""
        over = self._is_solved() or self.meter.time_is_over()
        return over or self.meter.budget.evaluations == 0

    def _go_on(self) -> None:
        """Improve the best as suits the question."""
        if self._is_over():
            return
        count = len(self.indexed.ids)
        self._push_first(WORTH if count > MOST_FOR_REPAIR else 0.0)
        if count >= LEAST_HERDED and is_plain(self.indexed):
            self._herd()
            return
        if count > MOST_FOR_REPAIR:
            self._climb_in_rounds()
            return
        if self.meter.effort_left() <= 0:
            self._climb()
            return
        is_bred = count <= MOST_BRED and all(a.due is None for a in self.indexed.activities)
        if is_bred:
            self._breed()
        elif count <= MOST_FOR_WHOLE:
            self._climb(stalled=STALLED_TRIES + STALLED_TRIES_EACH * count)
        if count <= MOST_FOR_WHOLE and (self._whole() or is_bred):
            # Only what the solver does not see, or does not find, is left to gain.
            self._climb()
        else:
            self._climb_and_repair()

    def try_other_firsts(self) -> None:
        """Begin from the best of several first orders."""
        is_large = len(self.indexed.ids) > MOST_FOR_REPAIR
        self._lay_tables()
        for wish in other_firsts(self.indexed):
            if self._is_solved() or self.meter.time_is_over():
                break
            if wish != self.best.wish:
                self.search.consider_weighed(wish)
            self._take("best of several first orders")
            if is_large and self._is_nearly_in_time() and self._place_by_family():
                break

    def _lay_tables(self) -> bool:
        """Lay what compiled code places whole orders on, if it is there; whether it is."""
        return sheet_at_once(self.search, self.meter.seconds_left()) is not None

    def _place_by_family(self) -> bool:
        """Place what is set up family by family, then the rest; false where nothing is set up."""
        families = Families(self.search.decoder, self.seed, cost_price(self.indexed))
        if not families.families:
            return False
        left, count = self.meter.seconds_left(), len(self.indexed.ids)
        tries = self.meter.budget.evaluations or 0

        def spent() -> float:
            now = self.meter.seconds_left()
            if left is None or now is None:
                return families.placed / max(1.0, TRIED_SHARE * tries * count)
            return (left - now) / max(TRIED_SHARE * left, 1e-9)

        for wish in families.wishes(spent):
            self.search.consider(wish)
            self._take("placed family by family")
        self.search.placed += families.placed
        self.search.tries += families.placed // count
        return True

    def _is_nearly_in_time(self) -> bool:
        late = self.indexed.instance.weights.late * self.best.parts.lateness
        return late <= FEW_LATE * self.best.total

    def _push_first(self, worth: float) -> None:
        """Push the first order back and forth, unless a walk by compiled code begins so."""
        if not self._lay_tables():
            self._justify(worth)

    def _justify(self, worth: float = 0.0) -> None:
        """Push the best order back and forth for as long as that makes it so much lighter."""
        helps = True
        while helps and not self._is_solved() and not self.meter.time_is_over():
            before = self.best.total
            self.search.justify(self.best)
            self._take("pushed back and placed again")
            helps = before - self.best.total > worth * before

    def _climb(self, stalled: int | None = None) -> None:
        """Climb until the budget ends, or for `stalled` tries without a better order."""
        stop = self._stop(stalled)
        if not stop():
            self.climb.go(stop)
        self._take("local search")

    def _climb_in_rounds(self) -> None:
        """Climb, and push what that leads to back and forth, in turns until the budget ends.

        Where compiled code climbs it may do both.
        """
        for share in ROUNDS:
            stop = self._spent_share(share)
            if not stop():
                self.climb.go(stop)
            self._take("local search")
            if self.climb.swings:
                break
            self._justify(WORTH)
        self._climb()

    def _breed(self) -> None:
        """Breed orders for a share of the budget: where only the finish counts, that is best."""
        self.climb.breed(self._spent_share(BRED_SHARE))
        self._take("bred from one another")

    def _herd(self) -> None:
        """Breed two herds, the constraint solver beside one of them for a share of the time."""
        herding = Herding(self.indexed, self.seed)
        try:
            first = self._spent_share(HERDS_FIRST)
            while not first() and herding.step(2, first):
                self._heed(herding)
            self._ask_beside(herding)
            stop = self._stop(None)
            while not stop() and herding.step(2, stop):
                self._heed(herding)
        finally:
            herding.close()

    def _heed(self, herding: Herding) -> None:
        """Count what was placed, and take an order that is better."""
        self.search.tries, herding.placings = self.search.tries + herding.placings, 0
        if herding.best is not None and herding.best[0] < self.best.parts.finish:
            self.search.consider(replace(self.best.wish, order=herding.best[1], not_before=None))
            self._take("bred from one another")

    def _ask_beside(self, herding: Herding) -> None:
        """Put the whole question to the solver, and breed one herd meanwhile.

        Where the answer may not hang on the clock, they take turns.
        """
        share = min(1.0, WHOLE_PLAIN / len(self.indexed.ids))
        effort = self.meter.effort_left() * share
        if self._is_solved() or effort <= 0 or self.meter.time_is_over():
            return
        from planner.schedule.exact import Asking, Limits

        left = self.meter.seconds_left()
        # Its share is kept by the budget's clock, which need not be the one on the wall.
        stop = self._spent_share(share)
        asking = Asking(self.indexed, self.best.board, None, Limits(effort, self.seed))
        breeds = left is not None and share < 1
        try:
            while not asking.is_over(0.0 if breeds else PAUSE_SECONDS):
                if left is not None and (stop() or (breeds and not herding.step(1, stop))):
                    break
                self._heed(herding)
        finally:
            asking.stop()
        outcome = asking.outcome()
        self.meter.effort_spent += outcome.effort
        self._raise_bound(outcome.bound, "constraint solver on the whole question")
        if outcome.starts is not None:
            order = topological_order(self.indexed.before, self.indexed.follow, outcome.starts)
            self.search.consider(replace(self.best.wish, order=order, not_before=None))
        self._take("constraint solver on the whole question")
        herding.invite(self.best.board.starts, self.best.parts.finish)

    def _spent_share(self, share: float) -> Callable[[], bool]:
        """Whether a share of the time left, or of all tries, is spent, or nothing is to gain."""
        stop, left = self._stop(None), self.meter.seconds_left()
        tries = self.meter.budget.evaluations

        def enough() -> bool:
            now = self.meter.seconds_left()
            return (
                stop()
                or (left is not None and now is not None and now < left * (1 - share))
                or (tries is not None and self.search.tries >= tries * share)
            )

        return enough

    def _stop(self, stalled: int | None) -> Callable[[], bool]:
        search = self.search

        def stop() -> bool:
            self._take("local search")
            return (
                self.best.total <= self.bound
                or self.meter.tries_are_over(search.tries)
                or self.meter.time_is_over()
                or (stalled is not None and search.tries - search.bettered_at >= stalled)
            )

        return stop

    def _whole(self) -> bool:
        """Ask for the whole question; true if there is no lighter order in the solver's terms."""
        if self._is_solved():
            return True
        left = self.meter.seconds_left()
        limit = None if left is None else left * WHOLE_SHARE
        outcome = self._ask(None, self.meter.effort_left() * WHOLE_SHARE, limit)
        if self.is_straight:
            self._raise_bound(outcome.bound, "constraint solver on the whole question")
        self._take("constraint solver on the whole question")
        return outcome.is_complete

    def _climb_and_repair(self) -> None:
        """Climb, of few activities with parts put to the solver in turns; at last only that."""
        neighbourhoods = Neighbourhoods(self.indexed, self.seed)

        def repair(over: Callable[[], bool]) -> None:
            while not over() and self._repair(neighbourhoods):
                pass

        if len(self.indexed.ids) <= MOST_REPAIRED_BESIDE:
            self.climb.take_also(repair)
        self._climb()
        # Where the solver's effort alone is given, or more of it than the tries needed.
        while self._repair(neighbourhoods):
            pass

    def _repair(self, neighbourhoods: Neighbourhoods) -> bool:
        """Put a part to the constraint solver, the rest in order; false if it may not be asked."""
        left = self.meter.seconds_left()
        effort = min(SLICE_EFFORT, self.meter.effort_left())
        if self._is_solved() or effort <= 0 or (left is not None and left <= 0):
            return False
        free = neighbourhoods.choose(self.best.board)
        outcome = self._ask(free, effort, None if left is None else min(left, SLICE_SECONDS))
        neighbourhoods.learn(finished=outcome.is_complete)
        self.search.placed += PLACINGS_TO_ASK * len(self.indexed.ids)
        self.search.placed += round(PLACINGS_AN_EFFORT * outcome.effort)
        self._take("constraint solver on parts, the rest in order")
        return True

    def _ask(self, free: frozenset[int] | None, effort: float, seconds: float | None) -> Outcome:
        from planner.schedule.exact import Asking, Limits

        self.asked += 1
        limits = Limits(effort, self.seed + self.asked)
        clock, began = self.meter.budget.clock, self.meter.budget.clock()
        asking = Asking(self.indexed, self.best.board, free, limits)
        try:
            # By the budget's clock, which need not be the one on the wall.
            while not asking.is_over(PAUSE_SECONDS):
                if seconds is not None and clock() - began >= seconds:
                    break
        finally:
            asking.stop()
        outcome = asking.outcome()
        self.meter.effort_spent += max(outcome.effort, LEAST_EFFORT)
        if outcome.starts is not None:
            order = topological_order(self.indexed.before, self.indexed.follow, outcome.starts)
            for price in (0.0, *PRICES):
                wish = Wish(order, outcome.modes, price, self.best.wish.cost_price)
                self.search.consider(wish)
        return outcome

    def _take(self, method: str) -> None:
        found = self.search.best
        if found is not None and found.total < self.best.total:
            self.best, self.method = found, method
            self._tell(method)

    def _raise_bound(self, bound: int, doing: str) -> None:
        if bound > self.bound:
            self.bound = bound
            self._tell(doing)

    def _hear(self, news: Progress) -> None:
        """Tell what a run with more locked does; its orders are not weighed with their moves."""
        if self.progress is not None:
            tries = self.search.tries + news.evaluations
            self.progress(Progress(news.doing, self.best.total, self.bound, tries))

    def _is_solved(self) -> bool:
        return self.best.total <= self.bound

    def _tell(self, doing: str) -> None:
        if self.progress is not None:
            self.progress(Progress(doing, self.best.total, self.bound, self.search.tries))


def _answer(indexed: Indexed, best: Found, run: Run) -> Answer:
    ids, board = indexed.ids, best.board
    parts = appraise(indexed, board.starts, board.finishes, board.modes)
    return Answer(
        starts=dict(zip(ids, board.starts, strict=True)),
        finishes=dict(zip(ids, board.finishes, strict=True)),
        modes=dict(zip(ids, board.modes, strict=True)),
        priorities={ids[i]: rank for rank, i in enumerate(best.wish.order)},
        changeover_patience=best.wish.price,
        parts=parts,
        lower_bound=min(run.bound, parts.total),
        method=run.method,
        proven=parts.total <= run.bound,
        thawed=tuple(ids[i] for i in run.thawed),
    )
