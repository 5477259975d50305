"""What holds each call where it is, at first glance: what came last of all it had to wait for.

Takes a question and its answer, gives one `Reason` a call, each in the time of a look-up, so that
thousands can be told. The whole chain, argued from the rules, is `planner.schedule.why_there`'s.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from typing import TYPE_CHECKING, Literal

from planner.schedule import Reason

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.order.question import Question
    from planner.schedule import Activity, Answer, Mode


class Holds:
    """Look-ups over one answer. Building them costs one pass over its activities."""

    def __init__(self, question: Question, answer: Answer) -> None:
        """Sort what every resource does by when it ends."""
        self.question = question
        self.answer = answer
        self.activities = {activity.id: activity for activity in question.instance.activities}
        ends: defaultdict[str, list[tuple[int, str]]] = defaultdict(list)
        for id_, activity in self.activities.items():
            for resource in self._mode(activity).uses:
                ends[resource].append((answer.finishes[id_], id_))
        self.ends = {resource: sorted(row) for resource, row in ends.items()}

    def reason(self, id_: str) -> Reason:
        """What it waited for longest; what it follows goes before what it shares."""
        activity = self.activities[id_]
        start = self.answer.starts[id_]
        if activity.locked is not None and id_ not in self.answer.thawed:
            return Reason(id_, start, "lock", None, None, start, "")
        return max(
            (each for each in self._candidates(activity, start) if each.ready <= start),
            key=lambda each: (each.ready, each.kind == "after"),
            default=Reason(id_, start, "calendar", None, None, start, ""),
        )

    def _candidates(self, activity: Activity, start: int) -> Iterator[Reason]:
        kind: Literal["release", "calendar"] = "release" if activity.release else "calendar"
        yield Reason(activity.id, start, kind, None, None, activity.release, "")
        for wait in activity.after:
            finish = self.answer.finishes[wait.id]
            ready = self.question.calendar.after_clock(finish, wait.lag_clock_quarters)
            ready = max(ready, finish + wait.lag_quarters)
            yield Reason(activity.id, start, "after", wait.id, None, ready, "")
        for resource in self._mode(activity).uses:
            yield from self._before(activity, resource, start)

    def _before(self, activity: Activity, resource: str, start: int) -> Iterator[Reason]:
        """Who had a resource last; of many units, who gave one back last."""
        row = self.ends[resource]
        at = bisect_right(row, start, key=lambda each: each[0]) - 1
        while at >= 0 and row[at][1] == activity.id:
            at -= 1
        if at < 0:
            return
        finish, other = row[at]
        change = self._change(activity, other, resource)
        kind: Literal["changeover", "resource"] = "changeover" if change else "resource"
        yield Reason(activity.id, start, kind, other, resource, finish + change, "")

    def _change(self, activity: Activity, other: str, resource: str) -> int:
        wanted = self._mode(activity).set_ups.get(resource)
        was = self._mode(self.activities[other]).set_ups.get(resource)
        if wanted is None or was is None:
            return 0
        return self.question.instance.changeovers.quarters(resource, was, wanted)

    def _mode(self, activity: Activity) -> Mode:
        return activity.modes[self.answer.modes[activity.id]]
