"""What each composite waits for, down to the root causes, and what would shorten it most.

Takes a show with the work that is left of it, where every piece stands and what stands in each
piece's way, gives for each composite its chain and for each root how much stands behind it. Knows
nothing of databases or printing.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import TYPE_CHECKING

from planner.status.causes import WITHOUT_HOURS, Cause
from planner.status.dates import FOREVER, back_on
from planner.status.limits import gained_without, limits_of, within

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import date, datetime

    from planner.model.show import Delivery, Show
    from planner.status.causes import Causes
    from planner.status.dates import Dates
    from planner.status.limits import Limit
    from planner.status.standing import Standing
    from planner.status.unposted import Unposted


@dataclass(frozen=True, slots=True)
class Link:
    """One undone piece of a chain.

    Attributes:
        id: of the piece.
        words: its state.
        since: when it came to that; None where nothing has happened.
        causes: what stands in its own way; empty where it only waits for others.
        waits_for: undone pieces it waits for directly.
        room_days: working days it could end later without the composite; None where not known.
    """

    id: str
    words: str
    since: datetime | None
    causes: tuple[Cause, ...]
    waits_for: tuple[str, ...]
    room_days: float | None


@dataclass(frozen=True, slots=True)
class Root:
    """A piece at which waiting begins.

    Attributes:
        id: of the piece.
        causes: what stands in its way.
        behind: composites of live shots that wait for it, directly or not.
        weight: of those composites, by the deliveries that want them.
        gained: per composite, working days it would be done sooner were this done today; None where
            it was not tried.
    """

    id: str
    causes: tuple[Cause, ...]
    behind: tuple[str, ...]
    weight: float
    gained: Mapping[str, float] | None

    @property
    def days_lost(self) -> float:
        """Working days it costs all composites behind it together; 0 where not tried."""
        return sum(self.gained.values()) if self.gained else 0.0


@dataclass(frozen=True, slots=True)
class Blocked:
    """One composite that is not done.

    Attributes:
        composite: its id.
        shot: its shot.
        words: its state.
        links: every undone piece upstream, what it waits for directly first; itself the first.
        roots: ids of those at which the waiting begins.
        final: when it would be done, everything going on from today; None where it cannot be said.
        delivery: the earliest that wants it; None where none does.
        late_days: working days past that delivery.
        shortens: the one root whose being done would bring it forward most, and by how many
            working days; None where no single one does.
    """

    composite: str
    shot: str
    words: str
    links: tuple[Link, ...]
    roots: tuple[str, ...]
    final: datetime | None
    delivery: Delivery | None
    late_days: float
    shortens: tuple[str, float] | None


@dataclass(frozen=True, slots=True)
class Unwanted:
    """A composite that was asked about, and on which no work is wanted.

    Attributes:
        id: of its shot, or its own where the shot is wanted.
        state: ``omitted``, or what else its file says.
        by: who took it out, as posted; empty where it is written in the file alone.
        at: when that was posted.
        why: as posted, or as the file says.
        place: where the file says so; empty where it does not.
    """

    id: str
    state: str
    by: str
    at: datetime | None
    why: str
    place: str


@dataclass(frozen=True, slots=True)
class Blocking:
    """What holds up a part of a show.

    Attributes:
        today: the day it was asked on.
        blocked: composites not done, the latest first.
        roots: the most costly first.
        done: composites that are.
        tried: how many roots were tried for what they would gain.
        unwanted: those on which no work is wanted.
        unposted: past calls of the issued order of which nothing is posted, and how they are
            taken; None where all is known.
        order: number of the issued order that dates go by; None where they go by none.
    """

    today: date
    blocked: tuple[Blocked, ...]
    roots: tuple[Root, ...]
    done: tuple[str, ...]
    tried: int
    unwanted: tuple[Unwanted, ...] = ()
    unposted: Unposted | None = None
    order: int | None = None


class Blocker:
    """Answers what blocks composites of one show on one day."""

    def __init__(self, show: Show, standing: Standing, causes: Causes, dates: Dates | None) -> None:
        self.show = show
        self.standing = standing
        self.causes = causes
        self.dates = dates
        self.ends = dates.ends() if dates else {}
        self.deliveries: dict[str, Delivery] = {}
        for each in sorted(show.deliveries, key=lambda delivery: delivery.day):
            for shot in each.shots:
                self.deliveries.setdefault(shot, each)
        self.members: dict[str, dict[str, None]] = {}
        self.chains: dict[str, tuple[str, ...]] = {}

    def ask(self, composites: Iterable[str], today: date, most: int) -> Blocking:
        """What blocks some composites.

        Args:
            composites: their ids.
            today: nothing is done before it.
            most: how many roots to try for what they would gain; each places all work again.
        """
        known = tuple(each for each in composites if each)
        wanted = [each for each in known if self.standing.is_wanted(each)]
        undone = self.standing.undone(wanted)
        roots = self._roots(undone, most)
        mine: defaultdict[str, list[Root]] = defaultdict(list)
        for root in roots:
            for each in root.behind:
                mine[each].append(root)
        blocked = [self._blocked(each, mine[each], alone=len(undone) == 1) for each in undone]
        blocked.sort(key=lambda each: (-each.late_days, -self.ends.get(each.composite, 0)))
        tried = sum(1 for each in roots if each.gained is not None)
        is_wanted, is_undone = frozenset(wanted), frozenset(undone)
        done = tuple(each for each in wanted if each not in is_undone)
        unwanted = tuple(self._unwanted(each) for each in known if each not in is_wanted)
        return Blocking(today, tuple(blocked), roots, done, tried, unwanted)

    def _unwanted(self, composite: str) -> Unwanted:
        shot = self.show.shots[self.standing.outline.pieces[composite].shot]
        told = self.standing.of(composite).omitted
        by, at, why = (told.by, told.since, told.why) if told else ("", None, "")
        if shot.is_live:
            of_shot = self.standing.states.get(shot.id)
            id_ = shot.id if of_shot and of_shot.omitted else composite
            return Unwanted(id_, "omitted" if told else "not wanted", by, at, why, "")
        place = within(self.show, shot.facts.place_of("state"))
        why = shot.facts.word("why") or why
        return Unwanted(shot.id, shot.state, by, at, why, place)

    def chain(self, composite: str) -> tuple[str, ...]:
        """Undone pieces upstream of a composite, nearest first, itself included."""
        if composite not in self.chains:
            found = {composite: None}
            waiting = [composite]
            for id_ in waiting:
                new = [each for each in self.standing.waits_for(id_) if each not in found]
                found |= dict.fromkeys(new)
                waiting += new
            self.chains[composite] = tuple(found)
        return self.chains[composite]

    def _roots(self, undone: tuple[str, ...], most: int) -> tuple[Root, ...]:
        behind: dict[str, dict[str, None]] = {}
        causes: dict[str, tuple[Cause, ...]] = {}
        self.members.clear()
        for composite in undone:
            for id_ in self.chain(composite):
                for name, mine in self._split(id_):
                    behind.setdefault(name, {})[composite] = None
                    causes.setdefault(name, mine)
                    if name == id_:
                        causes[name] = mine
                    self.members.setdefault(name, {})[id_] = None
        weights = {each: self._weight(each) for each in undone}
        found = [
            Root(id_, causes[id_], tuple(each), sum(weights[c] for c in each), None)
            for id_, each in behind.items()
        ]
        # Nothing is gained beyond the time the thing itself takes, so the longest come first.
        found.sort(key=lambda root: (-root.weight * self.ends.get(root.id, 0), root.id))
        limits = {each.id: each for each in self._limits(undone, most)}
        joined = [self._joined(each, limits.pop(each.id)) for each in found if each.id in limits]
        known = {each.id for each in joined}
        found = [each for each in found if each.id not in known]
        tried = [self._tried(root) for root in found[:most]] if self.dates else []
        rest = found[len(tried) :]
        tried += [*joined, *limits.values()]
        ranked = sorted(tried, key=lambda root: (-self._lost(root, weights), -root.weight, root.id))
        return (*ranked, *sorted(rest, key=lambda root: (-root.weight, root.id)))

    def _joined(self, root: Root, limit: Root) -> Root:
        """One root of a thing lost until a day: what waits for it, and what it is away from."""
        behind = tuple(dict.fromkeys((*root.behind, *limit.behind)))
        return replace(limit, causes=root.causes, behind=behind, weight=self._weights(behind))

    def _weights(self, composites: Iterable[str]) -> float:
        return sum(map(self._weight, composites))

    def _tried(self, root: Root) -> Root:
        if self.dates is None:
            return root
        is_work = any(each.sort not in WITHOUT_HOURS for each in root.causes)
        ids = set(self.members.get(root.id, ()))
        ids = ids - set(root.behind) or ids
        gained = self.dates.gained(tuple(ids)) if is_work else {}
        mine = {each: gained[each] for each in root.behind if each in gained}
        return Root(root.id, root.causes, root.behind, root.weight, mine)

    def _split(self, id_: str) -> list[tuple[str, tuple[Cause, ...]]]:
        """A piece's causes by root: what stands in the way of several is a root of its own."""
        causes = self.causes.of(id_)
        shared = {each.thing: (each,) for each in causes if each.thing}
        own = tuple(each for each in causes if not each.thing)
        if shared and all(each.sort == "work" for each in own):
            own = ()
        return [*shared.items(), *([(id_, own)] if own else [])]

    def _limits(self, undone: tuple[str, ...], most: int) -> list[Root]:
        """Stated days and absences by which some composite would gain, each tried without."""
        if self.dates is None:
            return []
        chains = {each: set(self.chain(each)) for each in undone}
        found = []
        for limit in limits_of(self.dates, set().union(*chains.values()))[:most]:
            sooner = gained_without(self.dates, limit)
            gained = {each: sooner[each] for each in undone if each in sooner}
            if gained:
                id_, cause = self._limit(limit)
                found.append(Root(id_, (cause,), tuple(gained), self._weights(gained), gained))
        return found

    def _limit(self, limit: Limit) -> tuple[str, Cause]:
        """The root that a limit is; an absence posted as a loss is not lifted, but ended."""
        state = self.standing.of(limit.resource) if limit.resource else None
        back = back_on(self.show, state, self.causes.starts)
        if back is not None and limit.days and limit.days.last == back - timedelta(days=1):
            return limit.resource, self.causes.gone((limit.resource,))
        return limit.id, Cause("limit", limit.says, "", None, "ask whether it may be lifted")

    def _lost(self, root: Root, weights: Mapping[str, float]) -> float:
        return sum(weights[each] * days for each, days in (root.gained or {}).items())

    def _weight(self, composite: str) -> float:
        delivery = self._delivery(composite)
        return delivery.weight if delivery else 1.0

    def _delivery(self, composite: str) -> Delivery | None:
        return self.deliveries.get(self.standing.outline.pieces[composite].shot)

    def _blocked(self, composite: str, mine: list[Root], *, alone: bool) -> Blocked:
        """What blocks one composite, by the roots it stands behind."""
        chain = self.chain(composite)
        room = self.dates.room(composite) if self.dates and alone else {}
        binding = [each for each in mine if not (room.get(each.id, 0) and _is_open(each))]
        mine = binding or mine
        gains = {each.id: (each.gained or {}).get(composite, 0.0) for each in mine}
        best = max(gains.items(), key=lambda pair: pair[1], default=("", 0.0))
        final = self.dates.day_of(self.ends[composite]) if self.dates else None
        delivery = self._delivery(composite)
        return Blocked(
            composite,
            self.standing.outline.pieces[composite].shot,
            self.standing.words(composite),
            tuple(self._link(id_, room) for id_ in chain),
            tuple(each.id for each in mine),
            final,
            delivery,
            self._late(composite, delivery),
            best if best[1] > 0 else None,
        )

    def _late(self, composite: str, delivery: Delivery | None) -> float:
        if delivery is None or self.dates is None:
            return 0.0
        ends = self.dates.day_of(self.ends[composite]).date()
        if ends <= delivery.day:
            return 0.0
        return float(self.dates.days_between(delivery.day, ends))

    def _link(self, id_: str, room: Mapping[str, int]) -> Link:
        state = self.standing.of(id_)
        spare = room.get(id_, FOREVER)
        known = self.dates is not None and spare < FOREVER // 2
        return Link(
            id_,
            self.standing.words(id_),
            state.since,
            self.causes.of(id_),
            self.standing.waits_for(id_),
            self.dates.working_days(spare) if self.dates and known else None,
        )


def _is_open(root: Root) -> bool:
    """Whether nothing is wrong with a root but that it is not done yet."""
    return all(each.sort in ("work", "grant", "circled") for each in root.causes)
