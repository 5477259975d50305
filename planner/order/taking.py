"""What people write, edit and post to take a way out of a loss.

Takes a show, the blow and a way, gives steps in turn. Once they are done, planning again from the
blow's day comes to what the way says. Knows nothing of files but the places of what is stated, and
nothing of prices but that of a hire.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from itertools import chain
from typing import TYPE_CHECKING, assert_never

from planner.model.names import counted, title_of
from planner.order.hired import HIRED, bound_to, stages_of
from planner.order.ways_out import AGAIN

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.model.place import Place
    from planner.model.show import Show
    from planner.order.lost import Blow, Loss
    from planner.order.ways_out import SetAside, WayOut

_GROUPS = {"person": "people"}
_FACTS = {"stage": "stage", "rig": "rig", "camera": "camera", "person": "presence"}
"""Under what an element names a thing of each sort that it wants; a crew is named by its craft."""


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do.

    Attributes:
        says: what, a clause.
        place: in which line of the show's files; None where it is none of them.
        alike: what several elements are to state, the same for each; empty where it stands alone.
    """

    says: str
    place: Place | None = None
    alike: str = ""


def steps_of(show: Show, blow: Blow, way: WayOut, *, held_to: bool = False) -> tuple[Step, ...]:
    """What to do to take a way, the last of all planning again.

    Args:
        show: as its files have it.
        blow: what is lost.
        way: one of the ways out of it.
        held_to: whether those who are to wait must say so, as planning again would have them go on
            with something else.
    """
    edits = _edits(show, blow, way, held_to=held_to)
    away = (_away(show, blow, loss) for loss in blow.losses)
    return (*edits, *away, Step(f"`platewright order SHOW --from {blow.day} --issue`"))


def _edits(show: Show, blow: Blow, way: WayOut, *, held_to: bool) -> Iterator[Step]:
    lost = blow.losses
    match way.name:
        case "wait":
            return chain.from_iterable(_waited(show, blow, each) for each in lost if held_to)
        case "change":
            return map(_changed, way.set_aside)
        case "hire":
            return chain.from_iterable(_hired(show, blow, way, each) for each in lost)
        case "rebuild":
            return chain.from_iterable(_rebuilt(show, blow, each) for each in lost)
        case _ as never:
            assert_never(never)


def _waited(show: Show, blow: Blow, loss: Loss) -> Iterator[Step]:
    sort = show.resources[loss.id].sort if loss.id in show.resources else ""
    return _named_alone(show, blow, loss, (_FACTS.get(sort, "build"), loss.id))


def _changed(aside: SetAside) -> Step:
    was, now = _listed(aside.stated), _listed(aside.fitting)
    return Step(f"{aside.element}: `{aside.fact}: {now}` in place of {was}", aside.place)


def _rebuilt(show: Show, blow: Blow, loss: Loss) -> Iterator[Step]:
    new = f"{AGAIN}{loss.id}"
    like = title_of(loss.id, show)
    says = f"one more build called `{new}`, written as {like} is, `not_before: {blow.day}`"
    yield Step(says, show.elements[loss.id].place)
    yield from _named_alone(show, blow, loss, ("build", new))


def _hired(show: Show, blow: Blow, way: WayOut, loss: Loss) -> Iterator[Step]:
    """Write down what is hired and what it costs, and name it where the lost one was wanted."""
    known = show.resources[loss.id]
    new = f"{HIRED}{loss.id}"
    group = _GROUPS.get(known.sort, f"{known.sort}s")
    is_crew = known.sort == "crew"
    heads = f" of {counted(way.show.resources[new].capacity, 'head')}" if is_crew else ""
    alike = f"written as {title_of(loss.id, show)} {'are' if is_crew else 'is'}"
    since = loss.days.first if is_crew else way.show.resources[new].facts.day("from")
    from_ = f", from {since or loss.days.first}"
    says = f"under `{group}`, one more called `{new}`{heads}, {alike}{from_}"
    yield Step(says, known.place)
    rate = way.show.rates.get(new)
    if rate is not None:
        paid = rate.on(loss.days.first)
        yield Step(f"in rates.yaml, `{new}` per {rate.per}: {paid}")
    for id_ in bound_to(show, blow, loss) if known.sort == "stage" else ():
        was, now = (_listed(stages_of(each.resources[id_])) for each in (show, way.show))
        place = show.resources[id_].facts.place_of("stages")
        yield Step(f"{id_}: `stages: {now}` in place of {was}", place)
    if known.sort in _FACTS:
        yield from _named_alone(show, blow, loss, (_FACTS[known.sort], new))


def _named_alone(show: Show, blow: Blow, loss: Loss, row: tuple[str, str]) -> Iterator[Step]:
    """Those who are met name one thing, and nothing else that would do."""
    fact, new = row
    states = f"`{fact}: {new}` and nothing else"
    for id_ in dict.fromkeys(call.element for call in blow.met if loss.id in call.holds):
        yield Step(f"{id_}: {states}", show.elements[id_].facts.place_of(fact), states)


def _away(show: Show, blow: Blow, loss: Loss) -> Step:
    """The loss as posted, with the day that it is back; or stated, as a build or days to come."""
    back = loss.days.last + timedelta(days=1)
    if loss.id in show.resources and loss.days.first <= blow.day:
        said = "" if loss.is_for_good else f" --value back={back}"
        return Step(f"`platewright post SHOW lost {loss.id}{said}`")
    known = show.resources.get(loss.id) or show.elements[loss.id]
    return Step(f"{loss.id}: `away: [{loss.days}]`", known.place)


def _listed(ids: tuple[str, ...]) -> str:
    return ids[0] if len(ids) == 1 else f"[{', '.join(ids)}]"
