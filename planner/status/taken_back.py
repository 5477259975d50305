"""A show with its cut as a bid was given on it.

Takes a show and its shots as a revision has them, gives the show with that cut and with all else as
it is now, and the shots whose cut differs. Knows nothing of orders or money.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.ledger import What
from planner.model.cut import Act, CutChange
from planner.status.recut_edits import Asked, written

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Mapping
    from datetime import date

    from planner.bid.revision import ShotSaid
    from planner.ledger import Event
    from planner.model.show import Shot, Show

_OF_THE_CUT = frozenset({What.OMITTED, What.UN_OMITTED, What.RECUT})


@dataclass(frozen=True, slots=True)
class TakenBack:
    """A show with a former cut.

    Attributes:
        show: with that cut.
        shots: ids of those whose cut is another now.
    """

    show: Show
    shots: frozenset[str]

    def without(self, told: Iterable[Event]) -> tuple[Event, ...]:
        """What happened but for what changed the cut of those shots."""
        return tuple(
            each
            for each in told
            if not (each.what in _OF_THE_CUT and each.about.partition(".")[0] in self.shots)
        )


def taken_back(
    show: Show, omitted: Collection[str], was: Mapping[str, ShotSaid], on: date
) -> TakenBack | None:
    """The show with the cut that a revision has.

    A shot goes back to its former frames by what its file says it was cut as, else at the tail.

    Args:
        show: as its files have it.
        omitted: ids of shots that are live in its files and posted as omitted.
        was: shots as the revision has them, by id.
        on: the day it is.

    Returns:
        None where the cut is the same, or where a shot that was wanted stands in no file any more.
    """
    if any(said.state == "live" and id_ not in show.shots for id_, said in was.items()):
        return None
    changes: list[CutChange] = []
    differ = set()
    for id_, shot in show.shots.items():
        said = was.get(id_)
        mine = tuple(_back(shot, said))
        changes += mine
        is_wanted = shot.is_live and id_ not in omitted
        if mine or is_wanted != (said is not None and said.state == "live"):
            differ.add(id_)
    if not differ:
        return None
    found = written(show, changes, Asked(on))
    return None if found.unfit else TakenBack(found.show, frozenset(differ))


def _back(shot: Shot, said: ShotSaid | None) -> Iterator[CutChange]:
    """What gives a shot the state and the length that it had."""
    was_live = said is not None and said.state == "live"
    if shot.is_live and not was_live:
        yield CutChange(Act.OMIT, shot.id)
    elif was_live and not shot.is_live:
        yield CutChange(Act.UN_OMIT, shot.id)
    cut = shot.cut
    if said is None or not said.frames or cut is None or cut.count == said.frames:
        return
    stated = shot.facts.group("recut").frames("was")
    if stated is not None and stated.count == said.frames:
        head, tail = cut.first - stated.first, stated.last - cut.last
        yield CutChange(Act.LENGTH, shot.id, head=head, tail=tail)
    else:
        yield CutChange(Act.LENGTH, shot.id, tail=said.frames - cut.count)
