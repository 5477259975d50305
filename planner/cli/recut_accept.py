"""Making a recut so: the show's files and its ledger, all or nothing.

Takes a judged recut, writes the sequence files in place and posts what happened. The new files are
read in a copy of the folder first; only what reads back as it was judged is put in place.
"""

from __future__ import annotations

import shutil
import tempfile
from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from planner.cli.watch import FILES
from planner.ledger import Details, Event, What
from planner.ledger.store import LedgerError
from planner.model.cut import Act
from planner.text.cut_edit import NoPlaceError, edited, with_shot, written_value

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping
    from datetime import datetime

    from planner.ledger.store import Ledger
    from planner.model.cut import CutChange, Edit
    from planner.model.show import Show
    from planner.status.recut import Recut, ShotAfter
    from planner.status.recut_edits import Stub, Writing

_LEFT_TO_PEOPLE = frozenset({Act.SPLIT, Act.JOIN, Act.ORDER, Act.ADD})
"""Acts that are not done by writing values, or that move nothing that was approved."""
_OF_TAKES = frozenset({What.TAKE, What.IN_THE_CAN, What.SCANNED})
_BOM = b"\xef\xbb\xbf"


class AcceptError(Exception):
    """It could not be written; its text says why, in a sentence without its stop.

    Attributes:
        is_half: whether files were written that could not be put back.
    """

    def __init__(self, says: str, *, is_half: bool = False) -> None:
        super().__init__(says)
        self.is_half = is_half


class Signed(NamedTuple):
    """Whose list is accepted: its mark and name, who accepts it, and when."""

    mark: str
    name: str
    author: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Accepted:
    """What was done.

    Attributes:
        files: that were written.
        events: that were posted.
    """

    files: tuple[str, ...]
    events: tuple[Event, ...]


def accept(
    folder: Path,
    found: Recut,
    told: Iterable[Event],
    reach: Callable[[], Ledger | None],
    signed: Signed,
) -> Accepted:
    """Write a recut and post it.

    Args:
        folder: of the show.
        found: what was judged.
        told: every event there is.
        reach: opens the ledger where it is posted, and makes it where there is none.
        signed: whose list it is.

    Raises:
        AcceptError: nothing was written, or not all of it could be put back.
    """
    if found.writing.unfit:
        change, why = found.writing.unfit[0]
        raise AcceptError(f"the {change.act} of {change.shot} cannot be made: {why}")
    known = tuple(told)
    events = events_of(found, known, signed)
    if not {each.client for each in known}.isdisjoint(each.client for each in events):
        raise _accepted_before(signed)
    old, new = _texts(folder, found.writing)
    try:
        _check(folder, found.writing, new)
    except OSError as fault:
        raise AcceptError(f"the show cannot be copied to be read: {fault.strerror}") from fault
    return Accepted(tuple(map(str, new)), _kept(reach, events, (old, new), signed))


def events_of(found: Recut, told: Iterable[Event], signed: Signed) -> tuple[Event, ...]:
    """What is posted once a recut is accepted.

    Args:
        found: what was judged.
        told: every event there is.
        signed: whose list it is.
    """
    slated = frozenset(each.about for each in told if each.what in _OF_TAKES)
    return tuple(_events(found, signed, slated))


def _accepted_before(signed: Signed) -> AcceptError:
    return AcceptError(f"{signed.name} was accepted before, as the ledger says")


def _kept(
    reach: Callable[[], Ledger | None],
    events: tuple[Event, ...],
    files: tuple[Mapping[Path, bytes], Mapping[Path, bytes]],
    signed: Signed,
) -> tuple[Event, ...]:
    """The events as they were posted, once the files are in place; neither without the other."""
    old, new = files
    ledger: Ledger | None = None
    try:
        ledger = reach()
        if ledger is None:
            raise AcceptError("no ledger was made")
        _put_in_place(old, new)
        try:
            posted = ledger.post(events)
        except LedgerError:
            _put_back(old, new)
            raise
        if posted.otherwise:
            _put_back(old, new)
            raise _accepted_before(signed)
    except LedgerError as fault:
        raise AcceptError(str(fault)) from fault
    finally:
        if ledger is not None:
            ledger.close()
    return posted.kept


def _texts(folder: Path, writing: Writing) -> tuple[dict[Path, bytes], dict[Path, bytes]]:
    """Every file touched, as it is and as it is to be."""
    show = writing.show
    edits: dict[Path, list[Edit]] = defaultdict(list)
    stubs: dict[Path, list[Stub]] = defaultdict(list)
    for edit in writing.edits:
        edits[_file_of(show, edit.owner)].append(edit)
    for stub in writing.stubs:
        stubs[Path(show.sequences[stub.sequence].place.file)].append(stub)
    old: dict[Path, bytes] = {}
    new: dict[Path, bytes] = {}
    for path in dict.fromkeys((*edits, *stubs)):
        if folder.resolve() not in path.resolve().parents:
            raise AcceptError(f"{path} lies outside {folder}")
        try:
            old[path] = path.read_bytes()
            new[path] = _new(old[path], show, edits[path], stubs[path])
        except OSError as fault:
            raise AcceptError(f"{path} cannot be read: {fault.strerror}") from fault
        except NoPlaceError as fault:
            raise AcceptError(f"{path}: {fault}") from fault
    return old, new


def _file_of(show: Show, owner: str) -> Path:
    thing = show.shots.get(owner) or show.elements[owner]
    return Path(thing.place.file)


def _new(data: bytes, show: Show, edits: Iterable[Edit], stubs: Iterable[Stub]) -> bytes:
    text = data.removeprefix(_BOM).decode("utf-8")
    values = [(_path(show, each), each.now) for each in edits if each.now is not None]
    text = edited(text, values)
    for stub in stubs:
        text = with_shot(text, stub.after, stub.id, _lines(stub))
    return (_BOM if data.startswith(_BOM) else b"") + text.encode("utf-8")


def _path(show: Show, edit: Edit) -> tuple[str | int, ...]:
    element = show.elements.get(edit.owner)
    if edit.owner in show.shots or element is None:
        return ("shots", edit.owner, *edit.path)
    return ("shots", element.shot, "elements", element.name, *edit.path)


def _lines(stub: Stub) -> Iterator[str]:
    # Whoever asks may have a name of several lines; a comment has one.
    yield f"# {' '.join(stub.why.split())}"
    yield f"says: {written_value(stub.says) if stub.says else '?'}"
    yield f"cut: {stub.cut or '?'}"
    if stub.state != "live":
        yield f"state: {stub.state}"


def _check(folder: Path, writing: Writing, new: Mapping[Path, bytes]) -> None:
    """Read a copy of the show with the new files; it must read as the show that was judged."""
    from planner.kinds import Registry
    from planner.text.show_folder import load_show

    with tempfile.TemporaryDirectory() as name:
        copy = Path(name) / folder.name
        for pattern in FILES:
            for path in folder.glob(pattern):
                target = copy / path.relative_to(folder)
                target.parent.mkdir(parents=True, exist_ok=True)
                shutil.copyfile(path, target)
        for path, data in new.items():
            (copy / path.resolve().relative_to(folder.resolve())).write_bytes(data)
        show, problems = load_show(copy, Registry())
    if show is None or any(each.severity == 0 for each in problems):
        said = next((str(each) for each in problems if each.severity == 0), "it cannot be read")
        raise AcceptError(f"the new files would not read: {said}")
    if astray := next(_astray(show, writing), ""):
        raise AcceptError(f"{astray} would not read back as it was judged")


def _astray(show: Show, writing: Writing) -> Iterator[str]:
    """What the new files hold otherwise than was judged."""
    for each in writing.edits:
        if _value(show, each) != _value(writing.show, each):
            yield f"{'.'.join(map(str, each.path))} of {each.owner}"
    for stub in writing.stubs:
        if _stub(show, stub.id) != _stub(writing.show, stub.id):
            yield stub.id


def _stub(show: Show, id_: str) -> object:
    """What a show holds of a shot that is left for people to fill."""
    shot = show.shots.get(id_)
    return shot and (shot.sequence, shot.says, shot.cut, shot.state)


def _value(show: Show, edit: Edit) -> object:
    """What a show holds where an edit was made, places left aside."""
    from planner.model.quantity import Quantity

    thing = show.shots.get(edit.owner) or show.elements.get(edit.owner)
    value: object = thing.facts if thing else None
    for step in edit.path:
        if isinstance(step, int):
            value = value[step] if isinstance(value, tuple) and step < len(value) else None
        else:
            value = getattr(value, "values", {}).get(step)
    return (round(value.value, 9), value.unit) if isinstance(value, Quantity) else value


def _put_in_place(old: Mapping[Path, bytes], new: Mapping[Path, bytes]) -> None:
    """Every file, or none: where one cannot be had, those before it are put back."""
    from planner.pages.files import write_bytes

    done: list[Path] = []
    for path, data in new.items():
        fault = ""
        try:
            if path.read_bytes() == old[path]:
                write_bytes(path, data)
                done.append(path)
            else:
                fault = "it was changed meanwhile; look at the recut again"
        except OSError as refusal:
            fault = str(refusal.strerror)
        if fault:
            _put_back(old, done)
            raise AcceptError(f"{path}: {fault}")


def _put_back(old: Mapping[Path, bytes], written: Iterable[Path]) -> None:
    """Files as they were; those that cannot be are named."""
    from planner.pages.files import write_bytes

    stuck = []
    for path in written:
        try:
            write_bytes(path, old[path])
        except OSError as refusal:
            stuck.append(f"{path} ({refusal.strerror})")
    if stuck:
        says = f"nothing was posted, and what was written could not be put back: {', '.join(stuck)}"
        raise AcceptError(says, is_half=True)


def _events(found: Recut, signed: Signed, slated: frozenset[str]) -> Iterator[Event]:
    """One for each shot whose values are written, and for each plate whose take is swapped.

    Of a plate in `slated`, whose takes the ledger knows, the other take is circled: it is the one
    in use from now on.
    """
    from planner.pages.recut_text import change_words

    mark, name, author, now = signed
    existing = found.writing.show.shots
    for shot in found.shots:
        made = [each for each in shot.changes if each.act not in _LEFT_TO_PEOPLE]
        if shot.shot not in existing or not made:
            continue
        words = "; ".join(change_words(each, shot) for each in made)
        details = Details(frames=shot.now, words=f"{words} ({name})")
        for what in _whats(made):
            client = f"recut {mark} {shot.shot} {what}{_cut_words(shot)}"
            yield Event(client, what, shot.shot, now, author, details, told=now)
        for each in made:
            if each.act is Act.TAKE:
                said = f"{change_words(each, shot)} ({name})"
                what = What.TAKE if each.element in slated else What.RECUT
                swapped = Details(
                    take=each.take, circled=what is What.TAKE, frames=each.frames, words=said
                )
                client = f"recut {mark} {each.element} take {each.take}"
                yield Event(client, what, each.element, now, author, swapped, told=now)


def _cut_words(shot: ShotAfter) -> str:
    """A cut list may be returned to later; a change list holds once."""
    is_listed = any(each.place is not None and each.place.column == 0 for each in shot.changes)
    absent = any(each.place is None for each in shot.changes)
    return f" {shot.was} {shot.now}" if is_listed or absent else ""


def _whats(changes: Iterable[CutChange]) -> Iterator[What]:
    acts = {each.act for each in changes}
    if Act.OMIT in acts:
        yield What.OMITTED
        return
    if Act.UN_OMIT in acts:
        yield What.UN_OMITTED
    if acts - {Act.UN_OMIT}:
        yield What.RECUT
