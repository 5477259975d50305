"""Events as plain values that JSON and YAML can hold, and back.

Takes events, gives maps of text; takes maps that anybody may have written, gives events or what is
wrong with them, in sentences. Knows nothing of files or databases.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import fields
from datetime import UTC, datetime
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any, TypeVar

from planner.ledger.event import NEEDED, Details, Event, Note, Verdict, What
from planner.model.facts import FrameRange

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from enum import Enum

MOST_CHARACTERS = 4_000
"""Of one text: more is a document, and belongs in the show's folder."""
_FRAMES = re.compile(r"(-?\d{1,9})(?:-(-?\d{1,9}))?")
_UNFIT = re.compile("[\x00-\x08\x0b-\x1f\x7f\ud800-\udfff]")
_Choice = TypeVar("_Choice", bound="Enum")


class UnreadableError(ValueError):
    """A value that does not read; its text is a sentence for people."""


def plain(event: Event) -> dict[str, object]:
    """All of an event; what it does not say is left out."""
    return {
        "id": event.id,
        "client": event.client,
        "at": event.at.isoformat(),
        **({"told": event.told.isoformat()} if event.told else {}),
        "author": event.author,
        "what": event.what.value,
        "about": event.about,
        **({"against": event.against} if event.against else {}),
        **plain_details(event.details),
    }


def plain_details(details: Details) -> dict[str, object]:
    """What else is known of an event; what is not known is left out."""
    known = {each.name: getattr(details, each.name) for each in fields(details)}
    return {name: _plain(value) for name, value in known.items() if value not in _UNSAID}


_UNSAID: tuple[object, ...] = ("", None, False, (), {})


def _plain(value: object) -> object:
    if isinstance(value, tuple):
        return [_plain_note(each) for each in value]
    if isinstance(value, Mapping):
        return dict(value)
    return value if isinstance(value, bool) else str(value)


def _plain_note(note: Note) -> dict[str, object]:
    known = {each.name: getattr(note, each.name) for each in fields(note)}
    return {name: str(value) for name, value in known.items() if value not in _UNSAID}


def read_event(values: Mapping[str, object]) -> Event:
    """An event as it was written.

    Args:
        values: as JSON or YAML gives them; ``at`` has a zone.

    Raises:
        UnreadableError: what is wrong with them, all of it in one sentence.
    """
    known = {"client", "at", "author", "what", "about"}
    faults: list[str] = [f"no {name} is given" for name in sorted(known - values.keys())]
    read: dict[str, object] = {}
    for name, value in values.items():
        reader = _READERS.get(name)
        if reader is None:
            faults.append(_unknown(name, tuple(_READERS)))
            continue
        try:
            read[name] = reader(value)
        except UnreadableError as fault:
            faults.append(f"{name} {fault}")
    if faults:
        raise UnreadableError("; ".join(faults))
    return _checked(read)


def _checked(read: Mapping[str, object]) -> Event:
    details = Details(**{name: read[name] for name in _DETAILS if name in read})  # type: ignore[arg-type]
    what = read["what"]
    event = Event(
        read["client"],  # type: ignore[arg-type]
        what,  # type: ignore[arg-type]
        read["about"],  # type: ignore[arg-type]
        read["at"],  # type: ignore[arg-type]
        read["author"],  # type: ignore[arg-type]
        details,
        read.get("against", ""),  # type: ignore[arg-type]
        read.get("told"),  # type: ignore[arg-type]
    )
    missing = [name for name in NEEDED.get(event.what, ()) if not getattr(details, name)]
    if missing:
        raise UnreadableError(f"an event {event.what!s} says {' and '.join(missing)}")
    if read.get("id", event.id) != event.id:
        raise UnreadableError(f"the id of client {event.client} is {event.id}, not {read['id']}")
    return event


def kept_details(values: Mapping[str, Any]) -> Details:
    """Details as `plain_details` gave them; who kept them answers for them."""
    read = dict(values)
    if "verdict" in read:
        read["verdict"] = Verdict(read["verdict"])
    if "frames" in read:
        read["frames"] = frames(read["frames"])
    if "notes" in read:
        read["notes"] = _notes(read["notes"])
    return Details(**read)


def word(value: object) -> str:
    """One line of text that is not empty.

    Raises:
        UnreadableError: it is none.
    """
    read = _text(value).strip()
    if not read or "\n" in read:
        raise UnreadableError("wants one line of text")
    return read


def _text(value: object) -> str:
    if isinstance(value, int | float) and not isinstance(value, bool):
        value = str(value)
    if not isinstance(value, str):
        raise UnreadableError(f"wants text, not {value!r:.60}")
    if len(value) > MOST_CHARACTERS:
        raise UnreadableError(f"has {len(value):,} characters; {MOST_CHARACTERS:,} are the most")
    if found := _UNFIT.search(value):
        raise UnreadableError(
            f"holds the character U+{ord(found[0]):04X}, which is none of writing"
        )
    return value


def moment(value: object) -> datetime:
    """A time with its zone, such as ``2027-03-17T14:20:00+00:00``.

    Raises:
        UnreadableError: it is none, or has no zone.
    """
    text = _text(value)
    try:
        read = datetime.fromisoformat(text)
        offset = read.utcoffset()
        _ = read.astimezone(UTC)
    except (ValueError, OverflowError):
        wanted = "2027-03-17T14:20:00+00:00"
        raise UnreadableError(f"is {text!r:.40}, and a time is wanted, such as {wanted}") from None
    if offset is None:
        raise UnreadableError(f"{text} has no zone; write one after it, such as +00:00")
    return read


def frames(value: object) -> FrameRange:
    """Frames as ``60-72``, both ends counted, or one as ``60``.

    Raises:
        UnreadableError: it is none, or its ends are the wrong way round.
    """
    text = _text(value).strip()
    found = _FRAMES.fullmatch(text)
    if found is None:
        raise UnreadableError(f"is {text!r:.40}, and frames are wanted, such as 60-72")
    first = int(found[1])
    last = int(found[2] or found[1])
    if last < first:
        raise UnreadableError(f"{text} ends before it begins; did you mean {last}-{first}?")
    return FrameRange(first, last)


def choice(kinds: type[_Choice]) -> Callable[[object], _Choice]:
    """Reader of one of a few words; hyphens and underscores may stand for spaces.

    Raises (the reader):
        UnreadableError: it is none of them; the nearest is named.
    """
    known = {_loose(str(each.value)): each for each in kinds}

    def reader(value: object) -> _Choice:
        asked = _loose(_text(value))
        if asked in known:
            return known[asked]
        near = get_close_matches(asked, known, n=1)
        words = ", ".join(str(each.value) for each in kinds)
        hint = f"did you mean {known[near[0]].value}?" if near else f"it is one of {words}"
        raise UnreadableError(f"is {value!r:.40}; {hint}")

    return reader


def _loose(text: str) -> str:
    return " ".join(re.split(r"[\s_-]+", text.strip().lower()))


def _flag(value: object) -> bool:
    if not isinstance(value, bool):
        raise UnreadableError(f"wants true or false, not {value!r:.40}")
    return value


def note(value: object) -> Note:
    """A note as a map, or as a bare sentence.

    Raises:
        UnreadableError: what is wrong with it.
    """
    if isinstance(value, str):
        return Note(_text(value))
    if not isinstance(value, Mapping):
        raise UnreadableError("wants a sentence, or says with frames, direction and amount")
    for name in value:
        if name not in _NOTE:
            raise UnreadableError(_unknown(str(name), _NOTE))
    known = {name: value.get(name, "") for name in _NOTE}
    if not known["says"] and not known["amount"]:
        raise UnreadableError("says nothing")
    where = frames(known["frames"]) if known["frames"] != "" else None
    return Note(_text(known["says"]), where, _text(known["direction"]), _text(known["amount"]))


_NOTE = ("says", "frames", "direction", "amount")


def _notes(value: object) -> tuple[Note, ...]:
    if not isinstance(value, list):
        raise UnreadableError("wants a list of notes")
    return tuple(note(each) for each in value)


def _values(value: object) -> Mapping[str, str]:
    if not isinstance(value, Mapping):
        raise UnreadableError("wants what was measured, by name")
    return {word(name): _text(each) for name, each in value.items()}


_DETAILS: dict[str, Callable[[object], object]] = {
    "take": word,
    "verdict": choice(Verdict),
    "circled": _flag,
    "notes": _notes,
    "plate_take": word,
    "program": word,
    "frames": frames,
    "by": word,
    "why": _text,
    "values": _values,
    "corrects": word,
    "words": _text,
}
_READERS: dict[str, Callable[[object], object]] = {
    "id": word,
    "client": word,
    "at": moment,
    "told": moment,
    "author": word,
    "what": choice(What),
    "about": word,
    "against": word,
    **_DETAILS,
}


def _unknown(name: str, known: Sequence[str]) -> str:
    near = get_close_matches(name, known, n=1)
    hint = f"did you mean {near[0]}?" if near else "a newer version may have written it"
    return f"{name!r:.40} means nothing here; {hint}"
