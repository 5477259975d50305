"""``platewright recut``: what a new cut does to the show, and making it so."""

from __future__ import annotations

import sys
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from planner.cli.as_of import EVENING, ON, after, told_at
from planner.cli.as_of import author as author_of
from planner.cli.kept_outline import LEDGER, open_known_ledger
from planner.cli.opening import (
    SHOW,
    Held,
    arrange_opened,
    effort_options,
    open_sound,
    tell,
    worked_out,
)
from planner.cli.recut_ground import once_wanted, situation
from planner.cli.told import told_of

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from datetime import datetime

    from planner.cli.opening import Effort, Opened
    from planner.cli.pricing import Priced as PricedAsWanted
    from planner.cli.recut_accept import Signed
    from planner.cli.recut_ground import WorkOut
    from planner.cli.told import Told
    from planner.ledger import Event
    from planner.ledger.store import Ledger
    from planner.model.cut import CutChange
    from planner.model.place import Problem
    from planner.model.show import Show
    from planner.status.cut_differences import Differences
    from planner.status.recut import Planned, Recut

CHANGE_LISTS = (".yaml", ".yml")
CUT_LISTS = (".otio", ".edl")


@click.command("recut")
@SHOW
@click.argument("cut", metavar="CUT", type=click.Path(path_type=Path))
@click.option("--accept", is_flag=True, help="Write it into SHOW's files and its ledger.")
@click.option("--by", help="Who asks for it; else as a change list says.")
@click.option("--why", help="The reason, as a clause; else as a change list says.")
@click.option(
    "--slip",
    type=int,
    default=0,
    show_default=True,
    help="Frames added to every source frame of a cut list that counts from elsewhere.",
)
@click.option("--author", envvar="PLATEWRIGHT_AUTHOR", help="Who accepts it; you unless said.")
@ON
@effort_options
@click.option("--json", "as_json", is_flag=True, help="For machines.")
@LEDGER
def command(  # noqa: PLR0913 - one parameter per option
    folder: Path,
    cut: Path,
    effort: Effort,
    address: str | None,
    *,
    accept: bool,
    by: str | None,
    why: str | None,
    slip: int,
    author: str | None,
    day: datetime | None,
    as_json: bool,
) -> None:
    """Say what CUT does to SHOW: frames, hours, money and days, element by element.

    CUT is a cut list from editorial (.otio, or an edit list .edl in the form of SMPTE 258M) or a
    change list (.yaml). Nothing is changed until --accept.

    A cut list is matched by name: the clip is called as the shot is, or its name begins so
    (NB150_comp_v3). Frames of a source are counted by its timecode, whole hours left out as they
    name the reel, and must be those the shot counts: at 24 fps 01:00:04:05 is frame 101. Where the
    list counts from elsewhere, --slip says by how many frames. Frames that a dissolve or wipe shows
    beyond the cut are part of the shot. A live shot that is absent from a sequence the list holds
    is taken as omitted; a clip numbered as shots are and unknown as added.

    A change list says what was done, shot by shot:

    \b
        by: the editor
        changes:
          - {lengthen: NB150, tail: 12}
          - {shorten: NB250, head: 4, tail: 8}
          - {take: NB110.door_plate, to: "5", frames: 93-228}
          - {split: NB140, at: 245, new: NB145}
          - {join: NB210, with: NB220}
          - {order: NB130, after: NB150}
          - {flop: NB160}
          - {reposition: NB160, push_in: 8 %}
          - {retime: NB060, speed: 50 %}
          - {omit: NB280}
          - {un-omit: NB070}
          - {add: NB155, after: NB150, count: 48, says: A feather falls.}

    A frame is short where the new cut shows it and nobody has it; handles may be eaten into. Frames
    in hand are those posted with the take in use (post --frames), else frames_in_hand, else those
    ordered when it was photographed. What is done by the ledger counts as spent at the bid's price,
    or at what actuals.csv says of it.

    The sums are on the days of the order as it stands; of days held, those are saved that nobody
    else holds. What `platewright bid` comes to once it is accepted stands beneath; where an issued
    order is planned again for it, so does the same without it, planned again from the same day.
    """  # noqa: D301 - click keeps what follows \b as it stands
    from planner.cli.recut_accept import Signed
    from planner.pages.recut_text import recut_json, recut_text
    from planner.status.recut import Asked, recut

    now = told_at(day)
    _known_suffix(cut)
    opened = open_sound(folder, held := Held())
    data = _bytes(cut)
    changes, listed, said = _changes(opened.show, cut, data, slip)
    asked = Asked(now.date(), by or said[0], why or said[1])
    stated = opened.show.facts.word("ledger")
    told = told_of(folder, stated, address)
    opened = replace(opened, told=told)
    work_out = partial(worked_out, opened, held=held)
    once = once_wanted(opened, work_out, changes, asked)
    judged = recut(situation(opened, work_out, effort, (now, once)), changes, asked)
    that_evening = (each.at for each in told.events if now <= each.at < now + EVENING)
    moment = after(now, max(that_evening, default=None)) if day else now
    signed = Signed(_mark(data), cut.name, author_of(author), moment)
    judged = replace(judged, planned=_planned(opened, work_out, (judged, signed), effort))
    if not as_json:
        click.echo(recut_text(judged, listed, opened.show), nl=False)
    accepted: dict[str, object] | None = None
    if accept and (judged.shots or judged.writing.unfit):
        reach = partial(open_known_ledger, folder, stated, address, make=True)
        accepted = _accepted(folder, judged, (told, reach), signed, as_json=as_json)
    elif not as_json and judged.shots:
        click.echo("Nothing was written; --accept writes it.")
    if as_json:
        click.echo(recut_json(judged, listed, accepted))


def _planned(
    opened: Opened, work_out: WorkOut, row: tuple[Recut, Signed], effort: Effort
) -> Planned | None:
    """What `bid` says now, and will say once it is accepted; None where nothing is written."""
    from planner.bid.outlook import outlook
    from planner.cli.pricing import priced
    from planner.cli.recut_accept import events_of
    from planner.status.recut import Planned

    (judged, signed), told = row, opened.told
    if told is None or not judged.shots or judged.writing.unfit:
        return None
    events = events_of(judged, told.events, signed)
    changed = work_out(judged.writing.show)
    changed = replace(changed, told=replace(told, events=(*told.events, *events)))
    orders = [arrange_opened(each, effort, is_told=False) for each in (opened, changed)]
    was, then = (priced(*each) for each in zip((opened, changed), orders, strict=True))
    sides = _planned_alike((opened, was), (changed, then), effort)
    order = then.order
    is_known = order.is_issued or order.planned_from is not None
    said = order.method if is_known else "an order arranged from scratch"
    now, will, without, beside = (outlook(each.bid, each.order) for each in (was, then, *sides))
    return Planned(now, will, (without, beside), said, is_known)


def _planned_alike(
    now: tuple[Opened, PricedAsWanted], then: tuple[Opened, PricedAsWanted], effort: Effort
) -> tuple[PricedAsWanted, PricedAsWanted]:
    """A show as it stands and as it would be, both planned on from one day where either is.

    Else what is past and not posted would count as made by the change, or as mended by it.
    """
    from planner.cli.order_issuing import Again, issued_order, order_again
    from planner.cli.pricing import priced

    days = [
        None if each.order.is_issued else each.order.planned_from for _opened, each in (now, then)
    ]
    day = max((each for each in days if each is not None), default=None)
    if day is None:
        return now[1], then[1]
    issued = issued_order(now[0].folder, None)
    found = [
        each
        if mine == day
        else priced(opened, order_again(opened, issued, Again(day, None), effort))
        for mine, (opened, each) in zip(days, (now, then), strict=True)
    ]
    return found[0], found[1]


def _accepted(
    folder: Path,
    judged: Recut,
    ledger: tuple[Told, Callable[[], Ledger | None]],
    signed: Signed,
    *,
    as_json: bool,
) -> dict[str, object]:
    """Write and post it; where that cannot be, the command ends with code 1."""
    from planner.cli.recut_accept import AcceptError, accept

    told, reach = ledger
    try:
        written = accept(folder, judged, told.events, reach, signed)
    except AcceptError as fault:
        click.echo(f"{fault}.", err=True)
        if not fault.is_half:
            click.echo("Nothing was written.", err=True)
        sys.exit(1)
    if not as_json:
        _tell_written(written.files, written.events)
    return {"files": written.files, "events": [each.id for each in written.events]}


def _tell_written(files: Sequence[str], events: Sequence[Event]) -> None:
    from planner.pages.posted import posted_text
    from planner.pages.wording import folded

    said = f"Written: {', '.join(files)}." if files else "No file wanted another value."
    click.echo("\n".join(folded(said, "", "  ")))
    click.echo(posted_text(events, 0), nl=False)


def _mark(data: bytes) -> str:
    """By which a list is known again."""
    import hashlib

    return hashlib.sha256(data).hexdigest()[:16]


def _known_suffix(cut: Path) -> None:
    if cut.suffix.lower() not in (*CHANGE_LISTS, *CUT_LISTS):
        raise click.UsageError(
            f"{cut.name} is neither a cut list (.otio, .edl) nor a change list (.yaml)"
        )


def _bytes(cut: Path) -> bytes:
    from planner.text.cut_list import MAX_BYTES

    try:
        with cut.open("rb") as file:
            return file.read(MAX_BYTES + 1)
    except OSError as fault:
        click.echo(f"{cut} cannot be read: {fault.strerror}", err=True)
        sys.exit(1)


def _changes(
    show: Show, cut: Path, data: bytes, slip: int
) -> tuple[tuple[CutChange, ...], Differences | None, tuple[str, str]]:
    """The changes; how a cut list was matched; who asks and why, as a change list says."""
    from planner.status.cut_differences import differences
    from planner.status.recut_slips import slips
    from planner.text.change_list import read_changes
    from planner.text.cut_list import read_cut

    rate = show.facts.group("camera").number("frame_rate")
    show_fps = rate.value if rate and rate.value > 0 else 24.0
    suffix = cut.suffix.lower()
    if suffix in CHANGE_LISTS:
        listed, problems = read_changes(data, str(cut), show_fps)
        if listed is None:
            _refuse(problems)
        if wrong := slips(show, listed.changes, show_fps):
            _refuse(wrong)
        return listed.changes, None, (listed.by, listed.why)
    read, problems = read_cut(data, str(cut), suffix, show_fps)
    if read is None:
        _refuse(problems)
    found = differences(show, read, slip)
    if wrong := slips(show, found.changes, show_fps):
        _refuse(wrong)
    return found.changes, found, ("", "")


def _refuse(problems: Sequence[Problem]) -> NoReturn:
    tell(problems)
    click.echo("Nothing was written.", err=True)
    sys.exit(1)
