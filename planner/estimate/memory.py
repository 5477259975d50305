"""What was worked out of a show before, and what each answer looked at.

Takes a show each time it is worked out, gives it back such that whatever is looked at in it is
noted; an answer is worked out again only where something it looked at is not as it was. Exact for
work that looks at nothing but the show and earlier answers, as kinds must. Knows nothing of kinds
or of agreement.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Set
from contextlib import suppress
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, TypeAlias, TypeVar

from planner.model.show import Show

if TYPE_CHECKING:
    from collections.abc import Callable, ItemsView, Iterable, Iterator, ValuesView

    from planner.kinds import Estimate

Key = str
"""A field of the show or a sort of answer, and an id in it or all of it."""
Id = TypeVar("Id", bound=Hashable)
Answer = TypeVar("Answer")
_Kept: TypeAlias = tuple[Any, tuple[Key, ...]]
"""An answer, and what was looked at for it."""
_ALL = "\n"
"""Stands for all ids, and is none."""
_BY_ID = ("elements", "shots", "sequences", "moves")
_SETS = ("unreadable", "aside")
_WHOLE = frozenset(Show.__dataclass_fields__) - {*_BY_ID, *_SETS}
_LOOKED_AT = frozenset({"estimate", "common"})
"""Sorts of answers that other answers look at."""
_NOTHING: Mapping[str, Any] = MappingProxyType({})


def _key(name: str, id_: Hashable) -> Key:
    # A text, whose hash is reckoned but once: each save of a large show looks at a million of them.
    return f"{name}\n{id_}"


class Memory:
    """Answers of one show that is worked out again and again; what watches a show holds one."""

    def __init__(self) -> None:
        self._before: dict[str, dict[Hashable, _Kept]] = {}
        self._answers: dict[str, dict[Hashable, _Kept]] = {}
        self._looked: set[Key] = set()
        self._changed: set[Key] = set()
        self._guard: object = None
        self._mappings = {
            name: _Noted(name, self._looked.add) for name in (*_BY_ID, "named_by", "estimate")
        }
        self._names: tuple[object, Mapping[str, tuple[str, ...]]] | None = None
        self._was: Show | None = None
        self._noting: Show | None = None

    def begin(self, show: Show, named_by: Mapping[str, tuple[str, ...]], guard: object) -> None:
        """Begin to work out a show; what was not asked since the last beginning is forgotten.

        Args:
            show: as it is now.
            named_by: ids of the elements that name each id.
            guard: whatever else answers depend on; where it is another one, all are forgotten.
        """
        self._before = self._answers if guard == self._guard else {}
        self._answers = {}
        self._guard = guard
        self._changed = _changes(self._was, show) if self._was is not None else set()
        fields = {name: getattr(show, name) for name in _BY_ID} | {"named_by": named_by}
        for name, mapping in fields.items():
            noted = self._mappings[name]
            self._changed |= _differences(name, noted.held, mapping)
            noted.held = mapping
        self._was = show
        self._noting = _noting(show, self._mappings, self._looked.add)

    def names(
        self, graph: object, work: Callable[[], Mapping[str, tuple[str, ...]]]
    ) -> Mapping[str, tuple[str, ...]]:
        """What `work` gives, kept while the arrows of the graph are the very same."""
        if self._names is None or self._names[0] is not graph:
            self._names = graph, work()
        return self._names[1]

    @property
    def show(self) -> Show:
        """The show begun with, noting what is looked at; good until the next beginning."""
        if self._noting is None:
            raise RuntimeError("begin first")
        return self._noting

    @property
    def named_by(self) -> Mapping[str, tuple[str, ...]]:
        """Ids of the elements that name each id, as begun with, noting what is looked at."""
        return self._mappings["named_by"]

    def estimates(self, held: Mapping[str, Estimate]) -> Mapping[str, Estimate]:
        """Estimates by id, noting which are looked at; `held` may still grow."""
        self._mappings["estimate"].held = held
        return self._mappings["estimate"]

    def answers(
        self, sort: str, ids: Iterable[Id], work: Callable[[Id], Answer]
    ) -> Iterator[tuple[Id, Answer]]:
        """Each id with what `work` gives of it, worked out only where what it looked at changed.

        An answer that equals the one before is no change to those that look at it.

        Args:
            sort: of question.
            ids: asked about; what others look at comes before them.
            work: answers; looks at the show, at `named_by` and at `estimates` alone.
        """
        before, now = self._before.get(sort, {}), self._answers.setdefault(sort, {})
        is_as_it_was = self._changed.isdisjoint
        for id_ in ids:
            kept = before.get(id_)
            if kept is None or not is_as_it_was(kept[1]):
                self._looked.clear()
                found = work(id_)
                kept = self._noted(_key(sort, id_), sort, kept, found)
            now[id_] = kept
            yield id_, kept[0]

    def _noted(self, key: Key, sort: str, before: _Kept | None, found: object) -> _Kept:
        """An answer worked out just now; whether it is another than before is noted too."""
        if before is not None and sort in _LOOKED_AT and before[0] == found:
            found = before[0]
        else:
            self._changed |= {key, _key(sort, _ALL)}
        return found, tuple(self._looked)

    def answer(self, sort: str, id_: str, work: Callable[[], Answer]) -> Answer:
        """What `work` gives, in the same way, of one id."""
        ((_id, found),) = self.answers(sort, (id_,), lambda _id: work())
        return found

    def doubt(self, sort: str, id_: str) -> None:
        """Forget an answer that may be another the next time."""
        self._answers[sort].pop(id_, None)
        self._changed |= {_key(sort, id_), _key(sort, _ALL)}

    def look(self, at: tuple[str, str]) -> None:
        """Note that the answer of a sort, to an id, is looked at."""
        self._looked.add(_key(*at))


class _Noted(Mapping[str, Any]):
    """A mapping that notes each id looked up, and that all were where all are."""

    __slots__ = ("_all", "_keys", "_look", "_name", "held")

    def __init__(self, name: str, look: Callable[[Key], None]) -> None:
        self.held: Mapping[str, Any] = _NOTHING
        self._name = name
        self._look = look
        self._keys: dict[str, Key] = {}
        self._all = _key(name, _ALL)

    def _key(self, id_: str) -> Key:
        # The same text each time, as ten thousand shots hold a million of them.
        known = self._keys.get(id_)
        if known is None:
            known = self._keys[id_] = _key(self._name, id_)
        return known

    def __getitem__(self, id_: str) -> Any:
        self._look(self._key(id_))
        return self.held[id_]

    def get(self, id_: str, default: Any = None) -> Any:
        self._look(self._key(id_))
        return self.held.get(id_, default)

    def __contains__(self, id_: object) -> bool:
        self._look(self._key(str(id_)))
        return id_ in self.held

    def __iter__(self) -> Iterator[str]:
        self._look(self._all)
        return iter(self.held)

    def values(self) -> ValuesView[Any]:
        self._look(self._all)
        return self.held.values()

    def items(self) -> ItemsView[str, Any]:
        self._look(self._all)
        return self.held.items()

    def __len__(self) -> int:
        self._look(self._all)
        return len(self.held)


class _NotedSet(Set[str]):
    """A set that notes each id looked for, and that all were where all are."""

    __slots__ = ("_held", "_look", "_name")

    def __init__(self, name: str, held: frozenset[str], look: Callable[[Key], None]) -> None:
        self._held = held
        self._name = name
        self._look = look

    def __contains__(self, id_: object) -> bool:
        self._look(_key(self._name, id_))
        return id_ in self._held

    def __iter__(self) -> Iterator[str]:
        self._look(_key(self._name, _ALL))
        return iter(self._held)

    def __len__(self) -> int:
        self._look(_key(self._name, _ALL))
        return len(self._held)

    @classmethod
    def _from_iterable(cls, it: Iterable[Any]) -> frozenset[Any]:
        return frozenset(it)

    def __getattr__(self, name: str) -> Any:
        self._look(_key(self._name, _ALL))
        return getattr(self._held, name)


class _NotingShow(Show):
    """A show that notes which of its fields are looked at."""

    __slots__ = ("look",)

    def __getattribute__(self, name: str) -> Any:
        if name in _WHOLE:
            # One made of this one by `replace` notes nothing: all of this one was looked at then.
            with suppress(AttributeError):
                object.__getattribute__(self, "look")(_key(name, _ALL))
        return object.__getattribute__(self, name)


def _noting(
    show: Show, mappings: Mapping[str, Mapping[str, Any]], look: Callable[[Key], None]
) -> Show:
    fields = {name: getattr(show, name) for name in Show.__dataclass_fields__}
    fields |= {name: mappings[name] for name in _BY_ID}
    fields |= {name: _NotedSet(name, getattr(show, name), look) for name in _SETS}
    noting = _NotingShow(**fields)
    object.__setattr__(noting, "look", look)
    return noting


def _changes(before: Show, now: Show) -> set[Key]:
    """Fields that are not as they were, and ids that are new or gone in sets."""
    sets = {name: getattr(before, name) ^ getattr(now, name) for name in _SETS}
    apart = {
        _key(name, id_) for name, ids in sets.items() for id_ in (*ids, *([_ALL] if ids else []))
    }
    return apart | {
        _key(name, _ALL)
        for name in _WHOLE
        if (old := getattr(before, name)) is not (new := getattr(now, name)) and old != new
    }


def _differences(name: str, before: Mapping[str, Any], now: Mapping[str, Any]) -> set[Key]:
    """Ids under which something else stands than before; and all, where any does or moved."""
    if before is now:
        return set()
    was, found = before.get, {_key(name, id_) for id_ in before if id_ not in now}
    # Most things are the very ones that were there.
    others = [id_ for id_, new in now.items() if was(id_) is not new]
    found |= {_key(name, id_) for id_ in others if id_ not in before or was(id_) != now[id_]}
    if found or list(before) != list(now):
        found.add(_key(name, _ALL))
    return found
