"""What an issued order called before a day, and nobody posted.

Takes the order, estimates and where every piece stands, gives `Unposted`, which says how such calls
are taken: planning again and telling what blocks take them alike. Knows nothing of ledgers or
solvers.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.kinds.estimate import FLOOR
from planner.ledger import Details, Event, What
from planner.status.remaining import work_left
from planner.status.standing import Standing
from planner.status.state import Step, states_of

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
    from datetime import date

    from planner.estimate import Estimates
    from planner.kinds import Work
    from planner.order import IssuedCall, IssuedOrder
    from planner.status.outline import Outline, Piece
    from planner.status.state import State

MOST_NAMED = 3
_MAKES = {Step.BUILT: What.BUILT, Step.PROVEN: What.PROVEN}
_GIVEN = {"decision": What.SETTLED, "permit": What.SETTLED, "test": What.PROVEN}
"""What is posted of a thing that is given on somebody's word, by its kind."""


@dataclass(frozen=True, slots=True)
class Unposted:
    """Calls that are past, and of which nobody posted what became of them.

    Attributes:
        order: number of the issued order.
        day: the first that is not past.
        calls: their ids, by start; at least one.
        is_taken_as_done: whether they are taken as done. They are only while no work at all is
            posted: once people post it, what they did not post is taken as still to be done.
        going_on: ids of calls not posted either that are taken to go on that day, see `under_way`;
            empty while all is taken as done.
    """

    order: int
    day: date
    calls: tuple[str, ...]
    is_taken_as_done: bool
    going_on: tuple[str, ...] = ()

    @property
    def says(self) -> str:
        """How many are not known of, and how they are taken; a clause."""
        many = len(self.calls)
        calls = "1 call" if many == 1 else f"{many:,} calls"
        said = f"{calls} of order {self.order} before {self.day} not posted"
        if self.is_taken_as_done:
            return f"{said}, nor any other work: taken as done when they were called"
        going_on = f"; under way by it and taken to go on: {_named(self.going_on)}"
        told = f"{said}: taken as still to be done ({_named(self.calls)})"
        return f"{told}{going_on if self.going_on else ''}"

    @property
    def remedy(self) -> str:
        """What to do about it, a clause."""
        if self.is_taken_as_done:
            return "post what was done; what is not is then taken as still to be done"
        return "post what was done of it"


@dataclass(frozen=True, slots=True)
class Wanting:
    """What was called of one piece, is past, and is not posted.

    Attributes:
        element: its id.
        calls: its calls, by start.
        post: what to post where it was done.
        is_choice: whether it is settled as one of several answers.
    """

    element: str
    calls: tuple[IssuedCall, ...]
    post: tuple[What, ...]
    is_choice: bool = False

    @property
    def is_take(self) -> bool:
        """Whether it is a take that is wanted."""
        return What.TAKE in self.post

    @property
    def says(self) -> str:
        """Each call with its days, a clause."""
        said = "; ".join(f"{each.work}, {_days(each)}" for each in self.calls)
        return f"past and not posted, so that it is called again: {said}"

    @property
    def remedy(self) -> str:
        """What to post, a clause."""
        return f"if it was done, {' or '.join(self.posts)}, with its day after `--at`"

    @property
    def posts(self) -> tuple[str, ...]:
        """What to type for each of `post`; what only they know who were there is in capitals."""
        by = {What.APPROVED: " --by NAME", What.TAKE: " --take NUMBER"}
        if self.is_choice:
            by[What.SETTLED] = " --as ANSWER"
        return tuple(
            f"`platewright post SHOW {_word(each)} {self.element}{by.get(each, '')}`"
            for each in self.post
        )


def _days(call: IssuedCall) -> str:
    first, last = call.starts.date(), call.ends.date()
    return str(first) if first == last else f"{first} to {last}"


def _word(what: What) -> str:
    return what.value.replace(" ", "-")


def wanting(known: Unposted, issued: IssuedOrder, outline: Outline) -> Iterator[Wanting]:
    """Piece by piece what is past, not posted and taken as still to be done.

    Args:
        known: what is not posted; where all of it is taken as done nothing is wanting.
        issued: the order that called it.
        outline: tells how far each piece must come.
    """
    ids = frozenset(() if known.is_taken_as_done else known.calls)
    past: defaultdict[str, list[IssuedCall]] = defaultdict(list)
    to_come: set[str] = set()
    for call in sorted(issued.calls, key=lambda each: (each.starts, each.id)):
        if call.id in ids:
            past[call.element].append(call)
        elif call.ends.date() >= known.day:
            to_come.add(call.element)
    for id_, calls in past.items():
        piece = outline.pieces[id_]
        posts = _posts(piece, calls, is_part=id_ in to_come)
        yield Wanting(id_, tuple(calls), posts, is_choice=piece.kind == "decision")


def _posts(piece: Piece, calls: Iterable[IssuedCall], *, is_part: bool) -> tuple[What, ...]:
    """What tells that what is past of a piece was done; a part of it where more is to come."""
    if piece.is_photographed:
        return (What.SET_UP,) if is_part else (What.TAKE, What.IN_THE_CAN)
    if piece.kind in _GIVEN:
        return (_GIVEN[piece.kind],)
    if piece.made_at is Step.MEASURED and not any(each.stage for each in calls):
        return (What.MEASURED,)  # A move drawn, a place looked at: no camera has seen it.
    return (_whole(piece),)


def _named(calls: Sequence[str]) -> str:
    """The first of them by name, and how many more there are."""
    many = len(calls)
    more = f"; {many - MOST_NAMED} more" if many > MOST_NAMED else ""
    return "; ".join(each.replace("/", ", ", 1) for each in calls[:MOST_NAMED]) + more


def unposted(
    issued: IssuedOrder, day: date, estimates: Estimates, standing: Standing
) -> Unposted | None:
    """Calls that were to be over before a day and of which nothing is posted; None without any.

    What is refused, lost, dead or on hold is not among them: what became of it is known. Nor is,
    once work is posted, what a call that goes on waited for.

    Args:
        issued: the order people work by.
        day: the first that is not past.
        estimates: of the whole show.
        standing: where every piece stands, by what is posted before that day.
    """
    is_told = tells_of_work(standing)
    going_on = under_way(issued, day, estimates, standing) if is_told else frozenset()
    over = done_before(going_on, estimates)
    open_: dict[str, frozenset[str]] = {}
    calls = []
    in_turn = sorted(issued.calls, key=lambda each: (each.starts, each.id))
    for call in in_turn:
        if call.ends.date() >= day or call.id in over:
            continue
        if call.element not in open_:
            open_[call.element] = _open(call.element, estimates, standing)
        if call.work in open_[call.element]:
            calls.append(call.id)
    if not calls:
        return None
    begun = tuple(call.id for call in in_turn if call.id in going_on)
    return Unposted(issued.stamp.number, day, tuple(calls), not is_told, begun)


def tells_of_work(standing: Standing) -> bool:
    """Whether any work was posted; a ruling, a loss, a hold or an omission alone is none."""
    return any(each.is_begun for each in standing.states.values())


def _open(id_: str, estimates: Estimates, standing: Standing) -> frozenset[str]:
    """Names of the work of one piece that nothing posted says anything of."""
    estimate, piece = estimates.by_element.get(id_), standing.outline.pieces.get(id_)
    if estimate is None or piece is None or not standing.is_wanted(id_):
        return frozenset()
    state = standing.of(id_)
    if state.is_refused or state.lost or state.dead or state.work or state.holds:
        return frozenset()
    is_begun = state.step in {Step.ON_STAGE, Step.SHOOTING}
    left = work_left(piece, state, estimate.work)
    return frozenset(each.name for each in left if not (is_begun and each.phase in FLOOR))


def as_taken(standing: Standing, known: Unposted | None, issued: IssuedOrder) -> Standing:
    """Where pieces stand, with past calls as they are taken."""
    if known is None or not known.is_taken_as_done:
        return standing
    events = as_called(untold(issued, standing), known.day, standing.outline)
    taken = states_of(events)
    # What was lost and is called anew since stands as that call leaves it.
    posted = {
        id_: each for id_, each in standing.states.items() if each.lost is None or id_ not in taken
    }
    states = {**taken, **posted}
    return Standing(standing.outline, states, standing.judgements)


def under_way(
    issued: IssuedOrder, day: date, estimates: Estimates, standing: Standing
) -> frozenset[str]:
    """Ids of calls that an order has under way when a day begins, and that are taken to go on.

    Nobody posts that building, joining and the like have begun, so that the order says it; but only
    of what can have begun: all that it waits for is made by what is posted. Photography goes on
    where a take is posted and another wanted. What is lost is begun anew: only what is called since
    it was lost can go on.

    Args:
        issued: the order people work by.
        day: the first that is not past.
        estimates: of the whole show, or of what is left of it.
        standing: where every piece stands, by what is posted.
    """
    found = set()
    can_go_on: dict[str, bool] = {}
    for call in issued.calls:
        id_ = call.element
        if not call.starts.date() < day <= call.ends.date():
            continue
        lost = standing.of(id_).lost
        if lost is not None and not _is_called_since(lost.since.date(), call, issued):
            continue
        if id_ not in can_go_on:
            can_go_on[id_] = _has_what_it_waits_for(id_, estimates, standing)
        left = {each.name: each for each in _left_of(id_, estimates, standing)}
        if can_go_on[id_] and call.work in left and _goes_on(call.work, left, standing.of(id_)):
            found.add(call.id)
    return frozenset(found)


def _is_called_since(lost: date, call: IssuedCall, issued: IssuedOrder) -> bool:
    """Whether a call is of making a thing once more; on the day itself only the order tells."""
    planned, starts = issued.stamp.planned_from, call.starts.date()
    return starts > lost or (starts == lost and planned is not None and planned >= lost)


def _goes_on(name: str, left: Mapping[str, Work], state: State) -> bool:
    """Whether some of the work left of a piece goes on, as far as that piece tells."""
    if left[name].phase in FLOOR:
        return state.wants_take
    return not any(left[each].phase in FLOOR for each in waited_for(left.values(), {name}))


def wants_lost(id_: str, standing: Standing) -> bool:
    """Whether a piece waits for a thing that is lost: what of it had begun does not go on."""
    pieces = standing.outline.pieces
    before = pieces[id_].waits if id_ in pieces else ()
    return any(standing.is_wanted(each) and standing.of(each).lost for each in before)


def _has_what_it_waits_for(id_: str, estimates: Estimates, standing: Standing) -> bool:
    """Whether no work is left of what comes before a piece; what has none is looked through."""
    pieces = standing.outline.pieces
    if wants_lost(id_, standing):
        return False
    if id_ not in pieces or standing.of(id_).takes:
        return True  # A take or a version of it cannot be without what it waited for.
    seen: set[str] = set()
    ahead = [*pieces[id_].waits]
    while ahead:
        each = ahead.pop()
        if each in seen or not standing.is_wanted(each):
            continue
        seen.add(each)
        if _left_of(each, estimates, standing):
            return False
        if pieces[each].is_settled:
            ahead += pieces[each].waits
    return True


def _left_of(id_: str, estimates: Estimates, standing: Standing) -> tuple[Work, ...]:
    estimate, piece = estimates.by_element.get(id_), standing.outline.pieces.get(id_)
    if estimate is None or piece is None or not standing.is_wanted(id_):
        return ()
    return work_left(piece, standing.of(id_), estimate.work)


def waited_for(works: Iterable[Work], names: Collection[str]) -> frozenset[str]:
    """Names of all that some work of a piece waits for in it, directly or not."""
    after = {work.name: work.after for work in works}
    found: set[str] = set()
    ahead = list(names)
    while ahead:
        new = set(after.get(ahead.pop(), ())) - found
        found |= new
        ahead += new
    return frozenset(found)


def done_before(going_on: Collection[str], estimates: Estimates) -> frozenset[str]:
    """Ids of what calls that go on waited for in their own pieces, and of what went beside it."""
    found: set[str] = set()
    for id_ in {each.partition("/")[0] for each in going_on}:
        works = estimates.by_element[id_].work
        names = {each.name for each in works if f"{id_}/{each.name}" in going_on}
        before = waited_for(works, names)
        found |= {f"{id_}/{each.name}" for each in works if {each.name, each.beside} & before}
    return frozenset(found)


def untold(issued: IssuedOrder, standing: Standing) -> IssuedOrder:
    """An order's calls of pieces of which nothing is posted, be it a hold or a loss.

    What an order was planned again for after its loss is called anew by it, and told of no more.
    """
    since = issued.stamp.planned_from

    def is_untold(call: IssuedCall) -> bool:
        state = standing.states.get(call.element)
        if state is None:
            return True
        if state.lost is None or since is None or _stands_otherwise(state):
            return False
        return state.lost.since.date() <= since <= call.starts.date()

    return replace(issued, calls=tuple(filter(is_untold, issued.calls)))


def _stands_otherwise(state: State) -> bool:
    """Whether more is posted of a thing than that it is lost."""
    return bool(state.is_begun or state.holds or state.omitted)


def as_called(issued: IssuedOrder, day: date, outline: Outline) -> tuple[Event, ...]:
    """What would be posted by a day, had everything been done when an order called it.

    Args:
        issued: the order people work by, of what is `untold`.
        day: calls that end before it are past.
        outline: tells how far each piece must come.
    """
    by_element: defaultdict[str, list[IssuedCall]] = defaultdict(list)
    for call in issued.calls:
        by_element[call.element].append(call)
    return tuple(
        _event(issued, *told)
        for id_, calls in by_element.items()
        if id_ in outline.pieces
        for told in _done(outline.pieces[id_], calls, day)
    )


def _done(
    piece: Piece, calls: Sequence[IssuedCall], day: date
) -> Iterator[tuple[IssuedCall, What]]:
    """The last call of a piece that is past, and what was then done; of building, its end only."""
    past = [each for each in calls if each.ends.date() < day]
    if not past:
        return
    last = max(past, key=lambda each: each.ends)
    if len(past) == len(calls):
        yield last, _whole(piece)
    elif piece.shot_at is Step.APPROVED:
        yield last, What.TAKE
    elif piece.is_photographed:
        yield last, What.SET_UP


def _whole(piece: Piece) -> What:
    if piece.shot_at is Step.APPROVED:
        return What.APPROVED
    return _MAKES.get(piece.made_at, What.IN_THE_CAN) if piece.made_at else What.IN_THE_CAN


def _event(issued: IssuedOrder, call: IssuedCall, what: What) -> Event:
    by = f"order {issued.stamp.number}"
    details = Details(by=by, take="1" if what is What.TAKE else "")
    return Event(f"{by} {call.element}", what, call.element, call.ends.astimezone(), by, details)
