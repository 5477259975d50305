"""Two herds bred side by side on one plain question, each on a thread of its own.

Takes a plain `Indexed`, gives the best order of either. Knows nothing of budgets. What they give
does not hang on which thread is quicker: both do the same amount before either is looked at.
"""

from __future__ import annotations

from concurrent.futures import Future, ThreadPoolExecutor, wait
from typing import TYPE_CHECKING

from planner.schedule.plain import nets

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from planner.schedule.herds import Herd
    from planner.schedule.indexed import Indexed

LANES = 2
STRIDE = 2_000
"""Placings between two looks: some hundredths of a second."""
LOOK_SECONDS = 0.05


class Herding:
    """The herds, and new ones in place of those that have become stale."""

    def __init__(self, indexed: Indexed, kept: int, seed: int) -> None:
        """Prepare; nothing is compiled or bred yet.

        Args:
            indexed: a plain question.
            kept: orders in each herd.
            seed: of the pseudo-random choices.
        """
        self.order = indexed.topological
        self.kept, self.seed = kept, seed
        self.nets = nets(indexed)
        self.placings = 0
        self.best: tuple[int, tuple[int, ...]] | None = None
        self._herds: list[Herd | None] = [None] * LANES
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
        # Compiling happens here, so that whoever waits can stop waiting.
        from planner.schedule.herds import Herd

        herd = self._herds[lane]
        if herd is None:
            herd = Herd(*self.nets, self.kept, LANES * (self.seed + 1) * 1000 + lane)
        elif herd.is_stale:
            herd = Herd(*self.nets, self.kept, herd.seed + LANES)
        if self._guest is not None:
            herd.invite(*self._guest)
        herd.breed(STRIDE)
        return herd

    def _look(self, lane: int, herd: Herd) -> None:
        self._herds[lane] = herd
        self.placings += STRIDE
        if self.best is None or herd.span < self.best[0]:
            self.best = herd.span, tuple(self.order[k] for k in herd.best())
