"""Herds bred on one plain question, one after another on each of two threads.

Takes a plain `Indexed`, gives the best order of any. Knows nothing of budgets. What they give
does not hang on which thread is quicker: both do the same amount before either is looked at.
"""

from __future__ import annotations

from concurrent.futures import Future, ThreadPoolExecutor, wait
from typing import TYPE_CHECKING

from planner.schedule.plain import nets

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from planner.schedule.herds import Heirs, Herd
    from planner.schedule.indexed import Indexed

LANES = 2
KEPT = 300
"""Orders in each herd: soon alike, so that many herds have their turn."""
JOINED = 3
"""Herds that have come to an end, of one rank, whose shortest orders make a new one."""
STRIDE = 2_000
"""Placings between two looks: some hundredths of a second."""
LOOK_SECONDS = 0.05


class Herding:
    """The herds, and new ones in place of those that have become stale.

    Herds end a few per cent from one another, wherever chance led them: many small ones come nearer
    to the best than a big one does, and what some of them left, nearer still at times.
    """

    def __init__(self, indexed: Indexed, seed: int) -> None:
        """Prepare; nothing is compiled or bred yet.

        Args:
            indexed: a plain question.
            seed: of the pseudo-random choices.
        """
        self.order = indexed.topological
        self.seed = seed
        self.nets = nets(indexed)
        self.placings = 0
        self.best: tuple[int, tuple[int, ...]] | None = None
        self._herds: list[Herd | None] = [None] * LANES
        self._ended: list[list[Heirs]] = [[] for _ in range(LANES)]
        self._running: list[Future[Herd]] = []
        self._threads = ThreadPoolExecutor(LANES)
        self._guest: tuple[list[int], int] | None = None

    def invite(self, starts: Sequence[int], span: int) -> None:
        """Let an order found otherwise into each herd before it goes on."""
        self._guest = ([starts[i] for i in self.order], span)

    def step(self, lanes: int, stop: Callable[[], bool]) -> bool:
        """Breed on some lanes; whether it came to an end before `stop()`."""
        if not self._running:
            self._running = [self._threads.submit(self._go, lane) for lane in range(lanes)]
        while wait(self._running, LOOK_SECONDS).not_done:
            if stop():
                return False
        running, self._running = self._running, []
        for lane, future in enumerate(running):
            self._look(lane, future.result())
        self._guest = None
        return True

    def close(self) -> None:
        """Let the threads end with what they are doing."""
        self._threads.shutdown(wait=False, cancel_futures=True)

    def _go(self, lane: int) -> Herd:
        herd = self._herds[lane]
        if herd is None or herd.is_stale:
            herd = self._next(lane, herd)
        if self._guest is not None:
            herd.invite(*self._guest)
        herd.breed(STRIDE)
        return herd

    def _next(self, lane: int, before: Herd | None) -> Herd:
        """A new herd, of what the last ones left if there are enough of one rank."""
        # Compiling happens here, so that whoever waits can stop waiting.
        from planner.schedule.herds import Herd

        if before is None:
            return Herd(*self.nets, KEPT, LANES * (self.seed + 1) * 1000 + lane)
        herd, ended = Herd(*self.nets, KEPT, before.seed + LANES), self._ended[lane]
        ended.append(before.heirs(JOINED))
        last = ended[-JOINED:]
        if len(last) == JOINED and last[0].rank == last[-1].rank:
            del ended[-JOINED:]
            herd.join(last)
        return herd

    def _look(self, lane: int, herd: Herd) -> None:
        self._herds[lane] = herd
        self.placings += STRIDE
        if self.best is None or herd.span < self.best[0]:
            self.best = herd.span, tuple(self.order[k] for k in herd.best())
