"""The ways in which one element's work may be done: stages, rigs, cameras, people and crews.

Takes an element with its work and what the show has, gives modes in plain scheduling words. Knows
nothing of dates.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from dataclasses import dataclass, field
from itertools import product
from typing import TYPE_CHECKING

from planner.model.place import Problem, Severity
from planner.order.scarce import Standing, capacity, move_quarters, state_on
from planner.schedule import Mode

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from planner.kinds import Need, Work
    from planner.model.show import Element, Show
    from planner.order.lined_up import LinedUp

MOST_MODES = 16

Choice = tuple[tuple["Need", str], ...]
"""One option for each need."""


@dataclass(slots=True)
class Things:
    """What the ways of all elements share; local to one question.

    Attributes:
        show: the show.
        crews: per craft, its crews with their heads.
        used: resources and builds that some work may hold, in the order met.
        states: what stands, by state of a stage.
        stands: per thing that takes time to move, its state on each stage it may stand on.
        problems: needs that the show cannot meet.
        known: per thing named, how many there are and the quarters to carry it, looked up once.
    """

    show: Show
    crews: Mapping[str, Sequence[tuple[str, int]]]
    used: dict[str, None] = field(default_factory=dict)
    states: dict[str, Standing] = field(default_factory=dict)
    stands: dict[str, dict[str, None]] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    known: dict[str, tuple[int, int]] = field(default_factory=dict)

    def about(self, id_: str) -> tuple[int, int]:
        """How many of a thing there are, and the quarters to carry it from stage to stage."""
        if id_ not in self.known:
            self.known[id_] = capacity(self.show, id_), move_quarters(self.show, id_)
        return self.known[id_]

    @classmethod
    def of(cls, show: Show) -> Things:
        """With the show's crews, and nothing met yet."""
        crews: defaultdict[str, list[tuple[str, int]]] = defaultdict(list)
        for crew in show.resources_of("crew"):
            crews[crew.craft].append((crew.id, crew.capacity))
        return cls(show, crews)


class Ways:
    """The ways of one element.

    Work of one element with the same needs goes on where it was begun: its modes are listed alike,
    so that the mode of the same number means the same stage, rig and camera. Work takes along the
    hands of what is done beside it. Another pass of a set is done in a state of its own: it goes on
    for nothing where the set stands, and wants it lined up anew where it was struck.
    """

    def __init__(
        self,
        element: Element,
        works: Sequence[Work],
        things: Things,
        lined_up: LinedUp | None = None,
    ) -> None:
        self.element = element
        self.things = things
        self.lined_up = lined_up
        self.presence = _presence(element)
        self.attended = attended(works).name if self.presence else ""
        crews = {work.name: self._crew_ways(work) for work in works}
        for work in works:
            if work.beside in crews:
                crews[work.beside] = _joined(crews[work.beside], crews[work.name])
        self.crews = crews
        self.choices: dict[tuple[Need, ...], list[Choice]] = {}
        self.widest: dict[tuple[Need, ...], int] = {}
        for work in works:
            if work.needs not in self.choices:
                self.choices[work.needs] = self._choices(work)
            count = len(self.crews[work.name])
            self.widest[work.needs] = max(count, self.widest.get(work.needs, 1))

    def party(self, work: Work) -> str:
        """What the work shares its mode with; empty where it holds nothing scarce."""
        if not work.needs:
            return ""
        return f"{self.element.id}: {list(self.choices).index(work.needs)}"

    def modes(self, work: Work) -> tuple[Mode, ...]:
        """One mode per way of meeting the needs, the best-liked first."""
        crews = self.crews[work.name]
        return tuple(
            self._mode(work, crews[number % len(crews)], chosen)
            for chosen in self.choices[work.needs]
            for number in range(self.widest[work.needs])
        )

    def _choices(self, work: Work) -> list[Choice]:
        """Ways of meeting the needs with what there is; one beyond it where nothing else is."""
        options = _options(_pinned(work.needs, self.element.facts.group("locked").word("stage")))
        every = list(product(*options))
        possible = [chosen for chosen in every if not self._short_of(chosen)]
        if possible:
            return possible
        self._tell_short(work, every[0])
        return every[:1]

    def _short_of(self, chosen: Choice) -> str:
        """The first thing of which a choice takes more than there is; empty where there is none."""
        units: Counter[str] = Counter()
        for need, option in chosen:
            units[option] += need.units
        about = self.things.about
        return next((each for each in units if units[each] > about(each)[0]), "")

    def _tell_short(self, work: Work, chosen: Choice) -> None:
        short = self._short_of(chosen)
        wanted = sum(need.units for need, option in chosen if option == short)
        there, _quarters = self.things.about(short)
        self.things.problems.append(
            Problem(
                Severity.WARNING,
                self.element.place,
                "more-than-there-is",
                f"{work.name} wants {wanted} of {short.replace('_', ' ')}, and there is {there}",
                f"have {wanted - there} more, or name another for one of its uses;"
                " the order goes on with what there is",
                self.element.id,
            )
        )

    def _mode(self, work: Work, crew: Mapping[str, int], chosen: Choice) -> Mode:
        uses = dict(crew)
        for need, option in chosen:
            uses[option] = uses.get(option, 0) + need.units
        if work.name == self.attended:
            uses |= {each: 1 for each in self.presence if each not in uses}
        things = self.things
        things.used.update(dict.fromkeys(uses))
        stages = [option for need, option in chosen if need.sort == "stage" and work.set_up]
        set_ups = {stage: self._state(stage, work.set_up) for stage in stages}
        stands = dict(self._stands(chosen))
        for thing, state in stands.items():
            things.stands.setdefault(thing, {})[state] = None
        return Mode(
            math.ceil(round(work.hours.likely * 4, 6)),
            {each: min(units, things.about(each)[0]) for each, units in uses.items()},
            set_ups={**set_ups, **stands},
            label=", ".join(option for _need, option in chosen),
        )

    def _state(self, stage: str, set_up: str) -> str:
        """How a stage stands for work of this element."""
        state, anew, first = state_on(stage, set_up), 0, self.lined_up
        if first is not None and first.set_up == set_up:
            state, anew = f"{state}, again as for {first.element}", first.quarters
        self.things.states[state] = Standing(stage, set_up, anew)
        return state

    def _stands(self, chosen: Choice) -> Iterator[tuple[str, str]]:
        """What takes time to move from stage to stage, and where it stands in this way."""
        stage = next((option for need, option in chosen if need.sort == "stage"), "")
        for need, option in chosen:
            if stage and need.sort != "stage" and self.things.about(option)[1]:
                yield option, state_on(option, f"on {stage}")

    def _crew_ways(self, work: Work) -> list[Mapping[str, int]]:
        crews = self.things.crews.get(work.craft, [])
        able = [crew for crew, heads in crews if heads >= work.heads]
        if able:
            return [{crew: work.heads} for crew in able]
        if not crews:
            return [{}]
        crew, heads = max(crews, key=lambda pair: pair[1])
        self.things.problems.append(
            Problem(
                Severity.WARNING,
                self.element.place,
                "crew-too-small",
                f"{work.name} wants {work.heads} hands of {work.craft.replace('_', ' ')};"
                f" {crew} has {heads}",
                "hire more hands, or allow longer; the order goes on with what there is",
                self.element.id,
            )
        )
        return [{crew: heads}]


def _joined(
    ways: Sequence[Mapping[str, int]], others: Sequence[Mapping[str, int]]
) -> list[Mapping[str, int]]:
    """Every way together with every other, heads of one crew added up."""
    return [Counter(way) + Counter(other) for way, other in product(ways, others)]


def attended(works: Sequence[Work]) -> Work:
    """Work that those who must be present come for: photographing, else the last of it.

    Of the work that no other follows, what holds scarce things goes before what stands by.
    """
    followed = {name for work in works for name in work.after}
    last = [work for work in works if work.name not in followed] or [works[-1]]
    return next((work for work in last if work.needs), last[-1])


def _presence(element: Element) -> tuple[str, ...]:
    value = element.facts.values.get("presence")
    return (value,) if isinstance(value, str) else element.facts.words("presence")


def _pinned(needs: Iterable[Need], stage: str) -> list[list[tuple[Need, str]]]:
    """Options of each need that has any; on the locked stage alone, where it is one of them."""
    return [
        [
            (need, option)
            for option in need.options
            if not (need.sort == "stage" and stage in need.options and option != stage)
        ]
        for need in needs
        if need.options
    ]


def _options(options: list[list[tuple[Need, str]]]) -> list[list[tuple[Need, str]]]:
    """The least-liked options left out until few enough ways remain.

    Stages are the last to be thinned: a camera is borrowed more easily than a stage.
    """
    while math.prod(map(len, options)) > MOST_MODES:
        most = max(options, key=lambda each: (each[0][0].sort != "stage", len(each)))
        if len(most) == 1:
            most = max(options, key=len)
        most.pop()
    return options
