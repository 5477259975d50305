"""What posting changed, in a few lines for whoever stands on the floor.

Takes news, gives text of 80 columns. Works nothing out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.ledger import What
from planner.ledger.written import plain
from planner.model.names import counted, day_words
from planner.pages.wording import folded

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from planner.ledger import Event, Note
    from planner.order import IssuedCall
    from planner.status.freed_calls import FreedCall, TakenCalls
    from planner.status.news import Follower, News

MOST_NAMED = 4
MOST_FREED = 12


def news_text(told: Iterable[News]) -> str:
    """For each thing touched its state, then what may go on and what still waits for what."""
    return "".join(f"{line}\n" for each in told for line in _news(each))


def _news(news: News) -> Iterator[str]:
    changed = f", was {news.was}" if news.was != news.now else ""
    yield from folded(f"{news.about}: {news.now}{changed}", "", "  ")
    for remark in news.remarks:
        yield from folded(f"look: {remark}", "  ", "    ")
    if news.freed:
        yield from folded(f"nothing else waits for {', '.join(news.freed)}", "  ", "    ")
    for follower in news.followers:
        yield from folded(_follower(follower), "  ", "    ")


def _follower(follower: Follower) -> str:
    if not follower.waits_for:
        return f"{follower.id} may go on: it waits for nothing more"
    again = " again" if follower.waits and not follower.waited else ""
    still = "waits" if follower.waits else "still waits"
    return f"{follower.id} {still}{again} for {listed(follower.waits_for)}"


def listed(things: tuple[tuple[str, str], ...]) -> str:
    """Things with their states, the first few by name."""
    named = [f"{id_} ({words})" for id_, words in things[:MOST_NAMED]]
    if more := len(things) - MOST_NAMED:
        named += [f"{more} more"] if more > 0 else []
    return ", ".join(named[:-1]) + (" and " if len(named) > 1 else "") + named[-1]


def freed_text(freed: Sequence[FreedCall], number: int) -> str:
    """Calls of an issued order that may be struck, each with its stage and dates."""
    lines = [f"  of order {number}, {counted(len(freed), 'call')} may be struck"] if freed else []
    for each in freed[:MOST_FREED]:
        alone = "; the stage is called for nothing else then" if each.is_stage_free else ""
        lines += folded(f"{_call_words(each.call)}{alone}", "    ", "      ")
    if more := len(freed) - MOST_FREED:
        lines += [f"    and {more} more"] if more > 0 else []
    return "".join(f"{line}\n" for line in lines)


def _call_words(call: IssuedCall) -> str:
    """``north, Mon 5 Apr to Tue 6 Apr: NB110.heron, set up``."""
    first, last = day_words(call.starts), day_words(call.ends)
    days = first if first == last else f"{first} to {last}"
    where = call.stage or call.craft.replace("_", " ") or "off stage"
    return f"{where}, {days}: {call.element}, {call.work}"


def taken_text(taken: Iterable[TakenCalls], number: int, guess: Mapping[str, int]) -> str:
    """Calls of an issued order that want what is lost, each with its stage and dates.

    Args:
        taken: by thing.
        number: of the order.
        guess: working days after which planning takes a thing to be back that nobody gave a day
            for, by its id; not there for what must be made again.
    """
    lines: list[str] = []
    for each in taken:
        many = counted(len(each.calls), "call")
        until = f" until it is back on {each.back}" if each.back else ""
        wants = "wants" if len(each.calls) == 1 else "want"
        head = f"of order {number}, {many} {wants} {each.thing}{until}"
        lines += folded(head, "  ", "    ")
        for call in each.calls[:MOST_FREED]:
            lines += folded(_call_words(call), "    ", "      ")
        if (more := len(each.calls) - MOST_FREED) > 0:
            lines.append(f"    and {more} more")
        around = "`platewright order --from` plans around it"
        if each.back is None and each.thing in guess:
            days = counted(guess[each.thing], "working day")
            around = (
                f"no day is given when it is back: {around} as if away for {days}, our guess;"
                f" `post SHOW lost {each.thing} --value back=DAY` gives one"
            )
        elif each.back is None:
            around = "`platewright order --from` calls it again, and what waits for it after it"
        lines += folded(around, "    ", "      ")
    return "".join(f"{line}\n" for line in lines)


def chosen_text(kept: Iterable[Event]) -> str:
    """Where else a choice is to be written, for the rest to follow it."""
    lines: list[str] = []
    for each in kept:
        if chosen := each.details.values.get("chosen"):
            choice = (
                f"{each.about}: {chosen} was chosen; write chosen: {chosen} where it is stated"
                " (builds.yaml) too, for check and scale to follow."
            )
            lines += folded(choice, "", "  ")
    return "".join(f"{line}\n" for line in lines)


def events_json(events: Iterable[Event]) -> str:
    """Events as they are exported, in one list."""
    from planner.pages.machine import values_json

    return values_json([plain(each) for each in events])


def posted_json(
    told: Iterable[News],
    freed: Iterable[FreedCall],
    taken: Iterable[TakenCalls],
    kept: Iterable[Event],
) -> str:
    """What changed, which calls may be struck or want what is lost, and the ids of what was kept.

    None is kept where it was only tried.
    """
    # Reading what is worked out costs a post more than keeping it.
    from planner.pages.machine import values_json

    return values_json(
        {
            "news": list(told),
            "may_be_struck": [
                {**_call_values(each.call), "is_stage_free": each.is_stage_free} for each in freed
            ],
            "want_what_is_lost": [
                {"lost": each.thing, "back": each.back and each.back.isoformat()}
                | {"calls": [_call_values(call) for call in each.calls]}
                for each in taken
            ],
            "kept": [each.id for each in kept],
        }
    )


def _call_values(call: IssuedCall) -> dict[str, object]:
    return {
        "element": call.element,
        "work": call.work,
        "starts": call.starts.isoformat(),
        "ends": call.ends.isoformat(),
        "stage": call.stage,
    }


def posted_text(kept: Iterable[Event], known: int) -> str:
    """What was kept, with the ids by which it can be corrected."""
    kept = tuple(kept)
    ids = ", ".join(each.id[:8] for each in kept[:MOST_NAMED])
    more = f" and {len(kept) - MOST_NAMED} more" if len(kept) > MOST_NAMED else ""
    said = f"Posted {counted(len(kept), 'event')}" + (f" ({ids}{more})" if kept else "")
    if known:
        said += f"; {counted(known, 'event')} known already"
    return "".join(f"{line}\n" for line in folded(f"{said}.", "", "  "))


def events_text(events: Iterable[Event]) -> str:
    """What happened, a paragraph each, with the id by which it can be corrected."""
    lines = [row for each in events for row in folded(_event(each), "", "    ")]
    return "".join(f"{line}\n" for line in lines or ["Nothing has been posted."])


def _event(event: Event) -> str:
    told = event.details
    parts = [
        f"{event.at:%Y-%m-%d %H:%M} {event.id[:8]} {event.about}: {_what(event)}",
        str(told.verdict or ""),
        "circled" if told.circled else "",
        f"by {told.by}" if told.by else "",
        f"event {told.corrects[:8]}" if told.corrects else "",
        f"frames {told.frames}" if told.frames else "",
        f"checked against {told.plate_take}" if told.plate_take else "",
        f"program {told.program}" if told.program else "",
        *(f"{name} {value}" for name, value in told.values.items()),
    ]
    notes = [_note(each) for each in told.notes]
    said = ", ".join(each for each in parts if each)
    more = "; ".join(each for each in (told.why, *notes, told.words) if each)
    return f"{said}{f': {more}' if more else ''} (told by {event.author})"


def _what(event: Event) -> str:
    take = event.details.take
    if not take:
        return str(event.what)
    return f"take {take}" if event.what is What.TAKE else f"{event.what}, take {take}"


def _note(note: Note) -> str:
    where = f"{note.frames} " if note.frames else ""
    head = " ".join(each for each in (note.direction, note.amount) if each)
    return f"{where}{head}{': ' if head and note.says else ''}{note.says}"
