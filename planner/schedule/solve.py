"""An answer at once, then a better one for as long as the budget lasts.

Takes an `Instance` and a `Budget`, gives an `Answer`. Knows nothing of files or of printing.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from planner.schedule.answer import Answer, Budget, Progress
from planner.schedule.bounds import lower_bound
from planner.schedule.decode import Decoder, Wish
from planner.schedule.indexed import Indexed, index
from planner.schedule.ranking import by_latest_start, fmean, gathered
from planner.schedule.search import Found, Search

if TYPE_CHECKING:
    from planner.schedule.instance import Instance

Tell = Callable[[Progress], None]


def solve(instance: Instance, budget: Budget | None = None, progress: Tell | None = None) -> Answer:
    """Order the activities.

    Args:
        instance: the question.
        budget: how long to improve; five seconds by default.
        progress: told about every improvement, on the caller's thread.

    Returns:
        The best answer found. Ctrl-C while it improves returns the best so far.

    Raises:
        ValueError: the question has no answer on its face; `conflicts` says why.
    """
    return _Run(instance, budget or Budget(), progress).answer()


class _Run:
    def __init__(self, instance: Instance, budget: Budget, progress: Tell | None) -> None:
        self.budget = budget
        self.progress = progress
        self.began = budget.clock()
        self.indexed, self.thawed, wish = _thawed(index(instance))
        self.search = Search(Decoder(self.indexed), budget.seed)
        found = self.search.consider(wish)
        if found is None:
            raise ValueError("no order keeps the locked activities")
        self.best: Found = found
        self.bound = lower_bound(self.indexed)
        self.method = "gathered by set-up, most urgent first"

    def answer(self) -> Answer:
        self._tell(self.method)
        try:
            self._improve()
        except KeyboardInterrupt:
            self._take("stopped early")
        return _answer(self.indexed, self.best, self)

    def _improve(self) -> None:
        for wish in _other_firsts(self.indexed):
            if self._is_over():
                return
            self.search.consider(wish)
        self._take("best of several first orders")
        if not self._is_over():
            self.search.walk(self.best, self._is_over)
            self._take("local search")

    def _take(self, method: str) -> None:
        found = self.search.best
        if found is not None and found.total < self.best.total:
            self.best, self.method = found, method
            self._tell(method)

    def _is_over(self) -> bool:
        if self.best.total <= self.bound:
            return True
        limit = self.budget.evaluations
        if limit is not None and self.search.tries >= limit:
            return True
        seconds = self.budget.seconds
        if seconds is None:
            if self.budget.is_repeatable:
                return limit is None
            seconds = 5.0
        return self.budget.clock() - self.began >= seconds

    def _tell(self, doing: str) -> None:
        if self.progress is not None:
            self.progress(Progress(doing, self.best.total, self.bound, self.search.tries))


def _thawed(indexed: Indexed) -> tuple[Indexed, tuple[int, ...], Wish]:
    """The instance without the locks that no longer fit, those locks, and a first wish."""
    thawed: list[int] = []
    while True:
        wish = Wish(gathered(indexed), (-1,) * len(indexed.ids), cost_price=_cost_price(indexed))
        board = Decoder(indexed).decode(wish)
        if not board.broken:
            return indexed, tuple(thawed), wish
        thawed.extend(sorted(set(board.broken)))
        indexed = indexed.without_locks(thawed)


def _cost_price(indexed: Indexed) -> float:
    """Quarters of waiting that one unit of mode cost is worth."""
    weights = indexed.instance.weights
    due = [activity.weight for activity in indexed.activities if activity.due is not None]
    quarter = weights.late * (fmean(due) if due else 0) + weights.finish
    return weights.cost / quarter if quarter else 0.0


def _other_firsts(indexed: Indexed) -> tuple[Wish, ...]:
    free, cost_price = (-1,) * len(indexed.ids), _cost_price(indexed)
    plain, mean = by_latest_start(indexed), gathered(indexed, fmean)
    return tuple(
        Wish(order, free, price, cost_price)
        for order, price in ((mean, 2.0), (plain, 2.0), (plain, 8.0), (mean, 0.5))
    )


def _answer(indexed: Indexed, best: Found, run: _Run) -> Answer:
    ids, board = indexed.ids, best.board
    return Answer(
        starts=dict(zip(ids, board.starts, strict=True)),
        finishes=dict(zip(ids, board.finishes, strict=True)),
        modes=dict(zip(ids, board.modes, strict=True)),
        priorities={ids[i]: rank for rank, i in enumerate(best.wish.order)},
        parts=best.parts,
        lower_bound=min(run.bound, best.total),
        method=run.method,
        proven=best.total <= run.bound,
        thawed=tuple(ids[i] for i in run.thawed),
    )
