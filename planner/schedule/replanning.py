"""A new order that stays close to one already issued.

Takes an `Instance` as it now is, the previous `Answer` and a price on moving; gives a new answer.
Knows nothing of what happened: the caller changes durations, spells and releases first.

Placing activities again by the rank they had leaves most of them where they were; a price on every
activity that changes its day or its mode keeps the improvement from stirring the rest.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from planner.schedule.answer import Budget
from planner.schedule.beginning import First, placed_first
from planner.schedule.decode import NEVER, Decoder, span
from planner.schedule.indexed import Indexed, topological_order
from planner.schedule.instance import Lock
from planner.schedule.lifting import Staying, Surcharge, moved_price
from planner.schedule.ranking import due_waiting, shortest
from planner.schedule.resuming import issued_wish, standing_wish
from planner.schedule.run import MOST_FOR_REPAIR, Issued, Run, index_answerable, left_of
from planner.schedule.search import Search

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterator, Mapping

    from planner.schedule.answer import Answer, Progress
    from planner.schedule.decode import Board, Wish
    from planner.schedule.instance import Activity, Instance

MOST_LEADERS, KEEPING_SHARE, KEEPING_PLACINGS = 8, 0.05, 40_000
"""Of what has to move, how many are tried at once to have the first choice; how much of the
seconds all such trials may take, and how many placings an order of each."""

LONG_DAYS, FEW_DUE = 2, 1
"""Of many activities, what is at work for longer or what more that is due waits for is asked to
keep its day, at the price of moving it, but not its quarter. 500 generated pieces are a tenth less
late for the one, and less late again by a few hundredths for the other: to the quarter, half a
dozen tests held the hands that all later builds went through."""


@dataclass(frozen=True, slots=True)
class Replanned:
    """A new answer, and the question it is to.

    Attributes:
        instance: the question that was asked: what had started is locked, the rest released.
        answer: to check against `instance`; its `thawed` names what could not stay, which is still
            locked in `instance`.
    """

    instance: Instance
    answer: Answer


@dataclass(frozen=True, slots=True)
class MovePrice:
    """What it adds to the total that an activity changes its day or its mode.

    Attributes:
        near: for what was to start within the window.
        far: for what was to start after it.
        window_quarters: length of the window, from the quarter of planning again on; None for no
            end.
        doubling_days: days after which a move adds as much again; 0 where all days are alike.
    """

    near: int
    far: int = 0
    window_quarters: int | None = None
    doubling_days: int = 0

    def of(self, days: int, *, is_near: bool) -> int:
        """What a move over so many days adds."""
        return moved_price(self.near if is_near else self.far, days, self.doubling_days)


def replan(  # noqa: PLR0913 - all of it is asked for by callers, two have usual values
    instance: Instance,
    previous: Answer,
    from_quarter: int,
    price_of_move: int | MovePrice,
    budget: Budget | None = None,
    *,
    progress: Callable[[Progress], None] | None = None,
) -> Replanned:
    """Order again from some quarter on.

    Args:
        instance: the question as it now is; new activities may have come, old ones gone.
        previous: the answer that people work by.
        from_quarter: what started before it stays where it is; the rest, and what cannot stay,
            starts at it or later.
        price_of_move: what each activity that changes its day or its mode adds to the total.
        budget: how long to improve; five seconds by default.
        progress: told about the first order and every improvement, prices of moves included.

    Raises:
        ValueError: the question has no answer on its face.
    """
    price = price_of_move
    if isinstance(price, int):
        price = MovePrice(price, price)
    budget = budget or Budget()
    began = budget.clock()
    thawed: dict[str, None] = {}
    while True:
        frozen = _frozen(instance, previous, from_quarter, thawed)
        indexed = index_answerable(frozen)
        wish = issued_wish(indexed, previous)
        surcharge = _Surcharge(indexed, previous, from_quarter, price)
        issued = Issued(wish, surcharge.adds, surcharge.not_before())
        first = placed_first(indexed, wish)
        given_way = [indexed.ids[i] for i in first.thawed]
        given_way = [name for name in given_way if _has_started(previous, name, from_quarter)]
        if not given_way:
            break
        thawed.update(dict.fromkeys(given_way))
    tied = first.indexed

    def is_late() -> bool:
        seconds = budget.seconds
        return seconds is not None and budget.clock() - began >= KEEPING_SHARE * seconds

    around = _lightest(tied, wish, surcharge, is_late)
    others = (around.keeping.first(wish), standing_wish(tied, previous))
    issued = replace(issued, others=others, around=around.first)
    answer = Run(first, left_of(budget, began), progress, issued).answer()
    answer = replace(answer, thawed=(*thawed, *answer.thawed))
    asked = _frozen(instance, previous, from_quarter, ())
    return Replanned(asked, answer)


def _lock(previous: Answer, name: str) -> Lock:
    return Lock(previous.starts[name], previous.modes[name])


def _has_started(previous: Answer, name: str, from_quarter: int) -> bool:
    return previous.starts.get(name, from_quarter) < from_quarter


class _Bare:
    """The question and the issued order that keepings begin from, with only locked work placed."""

    def __init__(self, indexed: Indexed, wish: Wish, surcharge: _Surcharge) -> None:
        """Place what is locked.

        Args:
            indexed: the question.
            wish: the issued order, nothing sooner than it was.
            surcharge: what it costs to move.
        """
        # What was issued is whole already; each part of it stays or moves by itself.
        self.indexed = replace(indexed, runs=((),) * len(indexed.runs), begun={})
        self.was = wish.not_before or ()
        order = topological_order(indexed.before, indexed.follow, self.was)
        self.wish = replace(wish, order=order, price=0.0)
        self.surcharge = surcharge
        self.decoder = Decoder(self.indexed)
        self.board = self.decoder.blank()


class _Keeping:
    """What can stay where it was, in `placed`, and what of it is dear to move, in `held`.

    In the issued order, what has become late would push all that was called after it. So whatever
    can stay is placed first, and the rest in what that leaves.
    """

    def __init__(self, bare: _Bare, leaders: tuple[int, ...] = ()) -> None:
        """Place them.

        Args:
            bare: what to begin from.
            leaders: what has to move and gets the first choice of where to, in turn.
        """
        self.leaders = leaders
        self.indexed, self.was, self.wish = bare.indexed, bare.was, bare.wish
        self.surcharge, self.decoder = bare.surcharge, bare.decoder
        self.board, order = bare.board.copy(), bare.wish.order
        self.placed = [i for i in order if i in self.indexed.locks]
        self.held: dict[int, tuple[int, int]] = {}
        for i in leaders:
            self._keep_starts(self._waited_for(i))
            # It finds room around what is shorter, which finds none in the middle of it.
            self._keep_starts(self._shorter(i))
            if self._is_ready(i):
                self._place(order.index(i), i)
        self._keep_starts(range(len(order)))
        self._keep_days()
        self.moved = [i for i in order if self.surcharge.is_dear(i) and not self._keeps_its_day(i)]

    def leading(self) -> list[int]:
        """What moves, waits for nothing that does, and takes others with it: the most first."""
        moved, follow = set(self.moved), self.indexed.follow
        taken: dict[int, int] = {}
        for i in reversed(self.moved):
            taken[i] = 1 << i
            for j, _, _ in follow[i]:
                taken[i] |= taken.get(j, 0)
        first = [i for i in moved if not any(j in moved for j, _, _ in self.indexed.before[i])]
        first.sort(key=lambda i: (-taken[i].bit_count(), i))
        return [i for i in first if taken[i].bit_count() > 1 and self._is_ready(i)]

    def first(self, issued: Wish) -> Wish:
        """What is placed first, then the rest as it was issued."""
        placed = dict.fromkeys(self.placed)
        rank = [0.0] * len(issued.order)
        for at, i in enumerate((*placed, *(i for i in issued.order if i not in placed))):
            rank[i] = at
        order = topological_order(self.indexed.before, self.indexed.follow, rank)
        return replace(self.wish, order=order)

    def _keep_starts(self, among: Collection[int]) -> None:
        for at, i in enumerate(self.wish.order):
            if i in among and self.board.starts[i] < 0 and self._can_stay(i):
                self._place(at, i)

    def _waited_for(self, i: int) -> set[int]:
        """All that it waits for, directly or not."""
        found: set[int] = set()
        waiting = [i]
        while waiting:
            new = {j for j, _, _ in self.indexed.before[waiting.pop()]} - found
            found |= new
            waiting.extend(new)
        return found

    def _shorter(self, i: int) -> set[int]:
        """What is dear to move and does not take as long."""
        is_dear, most = self.surcharge.is_dear, shortest(self.indexed, i)
        every = range(len(self.was))
        return {j for j in every if is_dear(j) and shortest(self.indexed, j) < most}

    def _keep_days(self) -> None:
        """What waits for the late, or for what has no place, may still begin on its own day.

        What cannot goes last: before the others it would take the room that they have left.
        """
        wanted = {i for i in self.wish.order if self.surcharge.is_dear(i)}
        wanted.update(*map(self._waited_for, [i for i in wanted if self.board.starts[i] < 0]))
        for fits in (self._can_keep_its_day, self._is_ready):
            for at, i in enumerate(self.wish.order):
                if i in wanted and self.board.starts[i] < 0 and fits(i):
                    self._place(at, i)

    def _place(self, at: int, i: int) -> None:
        board = self.board
        self.decoder.extend(board, self.wish, range(at, at + 1))
        self.placed.append(i)
        if self.surcharge.is_dear(i) and self._keeps_its_day(i):
            self._hold(i)

    def _keeps_its_day(self, i: int) -> bool:
        start, mode = self.board.starts[i], self.board.modes[i]
        return start >= 0 and not self.surcharge(i, start, mode)

    def _hold(self, i: int) -> None:
        """Hold it, and what it waits for."""
        waiting = [i]
        while waiting:
            i = waiting.pop()
            if i not in self.held and i not in self.indexed.locks:
                self.held[i] = self.board.starts[i], self.board.modes[i]
                waiting.extend(j for j, _, _ in self.indexed.before[i])

    def _is_ready(self, i: int) -> bool:
        """Whether all that it waits for has its place."""
        return all(self.board.starts[j] >= 0 for j, _, _ in self.indexed.before[i])

    def _can_keep_its_day(self, i: int) -> bool:
        """Whether it fits, as it was to be done, without leaving its day; true without a day."""
        indexed, board, mode = self.indexed, self.board, self.wish.modes[i]
        if mode < 0 or not self._is_ready(i):
            return False
        waits = (indexed.ready(board.finishes[j], lag, c) for j, lag, c in indexed.before[i])
        ready = max((self.was[i], *waits))
        return not self.surcharge(
            i, self.decoder.earliest(board, indexed.ways[i][mode], ready), mode
        )

    def _can_stay(self, i: int) -> bool:
        """Whether an activity fits where it was; not what is new, or has no place any more."""
        indexed, board = self.indexed, self.board
        mode, was = self.wish.modes[i], self.was[i]
        if mode < 0 or self.surcharge.adds.was[i] is None or not self._is_ready(i):
            return False
        if any(indexed.ready(board.finishes[j], lag, c) > was for j, lag, c in indexed.before[i]):
            return False
        return self.decoder.earliest(board, indexed.ways[i][mode], was) == was


def _calmest(bare: _Bare) -> _Keeping:
    """Which of what has to move gets the first choice, so that the least moves with it."""
    best = _Keeping(bare)
    while True:
        leading = best.leading()[:MOST_LEADERS]
        led = (_Keeping(bare, (*best.leaders, i)) for i in leading)
        calmer = min(led, key=lambda each: len(each.moved), default=best)
        if len(calmer.moved) >= len(best.moved):
            return best
        best = calmer


def _lightest(
    indexed: Indexed, wish: Wish, surcharge: _Surcharge, is_late: Callable[[], bool]
) -> _Around:
    """From the calmest on, who else gets the first choice, so that the whole weighs less.

    What is long and gives way to what is late and urgent may gain more than it costs to move it,
    and no walk finds it: all that waits for either would have to be taken out with it.

    Args:
        indexed: the question.
        wish: the issued order, nothing sooner than it was.
        surcharge: what it costs to move.
        is_late: asked whether to be content with the lightest so far.
    """
    bare, loose = _Bare(indexed, wish, surcharge), _loose(indexed)
    best = _Around(indexed, wish, _calmest(bare), loose)
    left = max(1, KEEPING_PLACINGS // len(indexed.ids))
    while True:
        lighter = best
        for i in best.keeping.leading()[:MOST_LEADERS]:
            each = _Around(indexed, wish, _Keeping(bare, (*best.keeping.leaders, i)), loose)
            lighter = min(lighter, each, key=lambda around: around.weight)
            left -= 1
            if left <= 0 or is_late():
                return lighter
        if lighter is best:
            return best
        best = lighter


def _loose(indexed: Indexed) -> frozenset[int]:
    """What is kept to its day by the price of moving it alone."""
    if len(indexed.ids) <= MOST_FOR_REPAIR:
        return frozenset()
    most, due = LONG_DAYS * indexed.day, due_waiting(indexed)
    every = range(len(indexed.ids))
    return frozenset(
        i for i in every if shortest(indexed, i) > most or due[i].bit_count() > FEW_DUE
    )


class _Around:
    """An order placed around what stays, if it can be, as `first`.

    `weight` is what it comes to, moves counted in; or how much moves, which counts for more.
    """

    def __init__(
        self, indexed: Indexed, wish: Wish, keeping: _Keeping, loose: frozenset[int]
    ) -> None:
        self.keeping = keeping
        whole = _kept_whole(indexed, keeping.held)
        kept = {i: at for i, at in whole.items() if i not in loose}
        locks = {**indexed.locks, **kept}
        held = replace(indexed, locks=locks)
        search = Search(Decoder(held), 0, Staying(keeping.surcharge.adds))
        for each in (replace(wish, not_before=None), keeping.first(wish)):
            search.consider(each)
        best = search.best
        self.first = None if best is None else First(held, (), best.wish, best.board)
        self.weight = (best is None, len(keeping.moved) if best is None else best.total)


def _kept_whole(
    indexed: Indexed, held: Mapping[int, tuple[int, int]]
) -> dict[int, tuple[int, int]]:
    """What is held, without runs that are held in part or that others held break into.

    What is done on what is kept set up for what is begun gives way, and what waits for any of it.
    """
    locks = {**indexed.locks, **held}
    board = Decoder(replace(indexed, runs=((),) * len(indexed.runs), begun={}, locks=locks)).blank()
    lost = set(_broken_runs(indexed, held, board))
    for j, i in indexed.going_on().items():
        end = board.starts[j] if j in held and j not in lost else NEVER
        kept = {r for r, _ in indexed.ways[i][board.modes[i]].states}
        between = (k for k in held if board.finishes[i] <= board.starts[k] < end)
        lost.update(
            k for k in between if not kept.isdisjoint(indexed.ways[k][board.modes[k]].single)
        )
    for i in (i for i in indexed.topological if i in held):
        if i in lost or any(j in lost for j, _, _ in indexed.before[i]):
            lost.update(indexed.runs[i] or (i,))
    return {i: at for i, at in held.items() if i not in lost}


def _broken_runs(indexed: Indexed, held: Collection[int], board: Board) -> Iterator[int]:
    for run in dict.fromkeys(run for run in indexed.runs if run):
        if not all(i in held for i in run):
            yield from run
            continue
        between = 0
        for i, j in pairwise(run):
            between |= span(board.finishes[i], board.starts[j])
        states = indexed.ways[run[0]][board.modes[run[0]]].states
        if any(board.busy[r] & between for r, _ in states):
            yield from run


def _frozen(
    instance: Instance, previous: Answer, from_quarter: int, thawed: Collection[str]
) -> Instance:
    def now(activity: Activity) -> Activity:
        name = activity.id
        if name in thawed or not _has_started(previous, name, from_quarter):
            locked = None if name in thawed else activity.locked
            return replace(activity, release=max(activity.release, from_quarter), locked=locked)
        locked = _lock(previous, name)
        return replace(activity, release=min(activity.release, locked.start), locked=locked)

    return replace(instance, activities=tuple(map(now, instance.activities)))


class _Surcharge:
    """What an activity costs that goes to another day or mode."""

    def __init__(
        self, indexed: Indexed, previous: Answer, from_quarter: int, price: MovePrice
    ) -> None:
        self.releases = tuple(activity.release for activity in indexed.activities)
        self.starts = tuple(previous.starts.get(name, 0) for name in indexed.ids)
        self.near = price.near
        until = None if price.window_quarters is None else from_quarter + price.window_quarters
        was: list[tuple[int, int, int] | None] = []
        for name in indexed.ids:
            if name not in previous.starts:
                was.append(None)
                continue
            start = previous.starts[name]
            cost = price.near if until is None or start < until else price.far
            was.append((start // indexed.day, previous.modes[name], cost))
        self.adds = Surcharge(indexed.day, tuple(was), price.doubling_days)

    def not_before(self) -> tuple[int, ...]:
        """The starts of what costs anything to move, and the releases of the rest."""
        return tuple(
            max(release, start) if was is not None and was[2] else release
            for was, start, release in zip(self.adds.was, self.starts, self.releases, strict=True)
        )

    def is_dear(self, i: int) -> bool:
        """Whether moving an activity costs something, and no less than what is near."""
        was = self.adds.was[i]
        return was is not None and was[2] >= max(1, self.near)

    def __call__(self, i: int, start: int, mode: int) -> int:
        return self.adds(i, start, mode)
