"""What a new cut does, for the supervisor and for editorial.

Takes a `Recut`, gives text of 80 columns or JSON. Works nothing out.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from planner.model.cut import Act
from planner.model.names import counted, in_names, in_tenths
from planner.pages.wording import columns, folded
from planner.status.recut_frames import Outcome

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
    from datetime import date
    from decimal import Decimal

    from planner.bid.outlook import Moved
    from planner.model.cut import CutChange
    from planner.model.place import Problem
    from planner.model.show import Show
    from planner.status.cut_differences import Differences
    from planner.status.recut import Planned, Recut, ShotAfter
    from planner.status.recut_frames import ElementAfter
    from planner.status.recut_money import Sums

_MOST_FINDINGS = 8
_MOST_NAMES = 6


def recut_text(found: Recut, listed: Differences | None = None, show: Show | None = None) -> str:
    """Shot by shot what is asked of each element, then money, days and findings.

    Args:
        found: the recut.
        listed: how the cut list was matched; None of a change list.
        show: whose things findings name; None leaves them as ids.
    """
    lines = [*_listed(listed)] if listed else []
    for change, why in found.writing.unfit:
        lines += folded(f"left out, {change.act} of {change.shot}: {why}", "", "  ")
    for shot in found.shots:
        lines += ["", *_shot(found, shot)]
    if not found.shots:
        lines.append("Nothing changes.")
        return _joined(lines)
    lines += ["", *_money(found), *_planned(found), "", *_after(found, show)]
    return _joined(lines).lstrip("\n")


def _joined(lines: Iterable[str]) -> str:
    return "".join(f"{line}\n" for line in lines)


def _listed(listed: Differences) -> Iterator[str]:
    if listed.same:
        yield from folded(f"{counted(len(listed.same), 'shot')} as cut: {', '.join(listed.same)}")
    if listed.unplaced:
        names = _some(listed.unplaced)
        yield from folded(f"clips that name no shot, left alone: {names}", "", "  ")
    if listed.unlisted:
        names = ", ".join(listed.unlisted)
        yield from folded(f"the list holds nothing of {names}: left alone", "", "  ")
    for remark in listed.remarks:
        yield from folded(f"look: {remark}", "", "  ")


def _some(names: Iterable[str]) -> str:
    held = list(names)
    more = len(held) - _MOST_NAMES
    return ", ".join(held[:_MOST_NAMES]) + (f" and {more} more" if more > 0 else "")


def _shot(found: Recut, shot: ShotAfter) -> Iterator[str]:
    says = "; ".join(change_words(change, shot) for change in shot.changes) or "is joined"
    yield from folded(f"{shot.shot}  {says}", "", "  ")
    same = [each for each in shot.elements if each.outcome is Outcome.SAME and not each.reasons]
    for each in sorted(shot.elements, key=lambda one: -one.outcome):
        if each not in same:
            yield from _element(found, each)
    if same:
        names = ", ".join(each.id.rpartition(".")[2] for each in same)
        yield from folded(f"same: {names}", "  ", "    ")
    for said in shot.falls:
        yield from folded(f"falls: {said}", "  ", "    ")
    for said in shot.by_hand:
        yield from folded(f"by hand: {said}", "  ", "    ")
    if shot.give_back is not None:
        saves = shot.give_back.saves
        worth = f"; saves {saves:,.2f} {found.currency}" if saves is not None else ""
        is_new = shot.outcome is Outcome.NEW
        spared = "photographed anew" if is_new else "held or slowed"
        said = f"{shot.give_back.says} and nothing of it is {spared}{worth}"
        yield from folded(f"ask editorial: {said}", "  ", "    ")


def _element(found: Recut, each: ElementAfter) -> Iterator[str]:
    name = each.id.rpartition(".")[2]
    sums = found.money.by_element.get(each.id)
    worth = _worth(sums) if sums else ""
    said = ", ".join(part for part in (str(each.outcome), worth) if part)
    reasons = "; ".join(each.reasons)
    yield from folded(f"{name}: {said}{': ' if reasons else ''}{reasons}", "  ", "    ")


def _worth(sums: Sums) -> str:
    parts = []
    if sums.dead:
        parts.append(f"{sums.dead:,.2f} dead")
    if sums.net:
        parts.append(f"{sums.net:+,.2f} to pay")
    return ", ".join(parts)


def change_words(change: CutChange, shot: ShotAfter) -> str:
    """One change in a few words, such as ``12 frames longer at the tail, 101-244 to 101-256``."""
    return _WORDS[change.act](change, shot)


def _length(change: CutChange, shot: ShotAfter) -> str:
    ends = [
        f"{counted(abs(count), 'frame')} {'longer' if count > 0 else 'shorter'} at the {end}"
        for count, end in ((change.head, "head"), (change.tail, "tail"))
        if count
    ]
    return f"{', '.join(ends)}, {shot.was} to {shot.now}"


def _take(change: CutChange, _shot: ShotAfter) -> str:
    return f"take {change.take} of {change.element}"


def _split(change: CutChange, _shot: ShotAfter) -> str:
    return f"split at frame {change.at}" + (f", on as {change.other}" if change.other else "")


def _add(change: CutChange, _shot: ShotAfter) -> str:
    frames = f", {counted(change.frames.count, 'frame')}" if change.frames else ""
    return f"added{f' after {change.other}' if change.other else ''}{frames}"


_WORDS: Mapping[Act, Callable[[CutChange, ShotAfter], str]] = {
    Act.LENGTH: _length,
    Act.TAKE: _take,
    Act.SPLIT: _split,
    Act.JOIN: lambda change, _: f"joined with {change.other}",
    Act.ORDER: lambda change, _: f"moved {change.says or change.other}",
    Act.FLOP: lambda change, _: "flopped" if change.flop else "not flopped any more",
    Act.REPOSITION: lambda change, _: f"enlarged by {change.push_in:.1%}",
    Act.RETIME: lambda change, _: f"shown at {change.speed:.0%} of the speed",
    Act.OMIT: lambda _change, _: "omitted",
    Act.UN_OMIT: lambda _change, _: "wanted again",
    Act.ADD: _add,
}


def _money(found: Recut) -> Iterator[str]:
    sums = found.money.all
    yield from folded(f"Money, {found.currency}; on the days of {found.basis}", "", "  ")
    yield _sum("spent so far on what it touches", sums.spent, sign="")
    yield _sum("of that dead", sums.dead, sign="")
    yield _sum("added", sums.added)
    yield _sum("saved", -sums.saved)
    yield _sum("overhead and contingency", sums.loads)
    yield _net(sums.net)
    if held := found.money.held.net:
        yield _sum("  of it days held, in or out as a whole, with loads", held)
    for name in found.money.unused:
        yield from folded(
            f"{name}: only omitted shots would use it; take it out of builds.yaml, or its cost"
            " stays in the bid",
            "  ",
            "    ",
        )


def _planned(found: Recut) -> Iterator[str]:
    """What the bid will say, which goes by days planned again; and why that is not the net."""
    planned, sums = found.planned, found.money.all
    if planned is None:
        return
    yield from folded(" ".join(_comes_to(planned)), "", "  ")
    if planned.more != sums.net:
        besides = (
            ", and as that bid holds one making of each piece: what is made and dead is paid"
            " besides"
        )
        said = (
            f"It differs from the net by {abs(planned.more - sums.net):,.2f}, as days are held and"
            f" worked by that order{besides if sums.dead else ''}."
        )
        yield from folded(said, "", "  ")
    if planned.is_issued:
        yield from _dates(planned)


def _comes_to(planned: Planned) -> Iterator[str]:
    """What the bid will say, and how much of that is the change's own."""
    comes = f"Once this is accepted, `bid` comes to {planned.then.total:,.2f} likely"
    if planned.is_alike:
        than_now = f"{_more(planned.more)} than now" if planned.more else "as much as now"
        yield f"{comes}, {than_now}, by {planned.order}."
        return
    yield f"{comes}, by {planned.order}."
    without, beside = planned.sides
    own = f"the change makes it {_dearer(planned.more)}"
    if beside == planned.then:
        why = "planning again"
        beside_it = "Without it, planned again from the same day, it comes to"
        yield f"{beside_it} {without.total:,.2f}: {own}."
    else:
        why = "going back to an order by which what is past counts as done"
        yield (
            f"Planned again as it is now, it would come to {beside.total:,.2f}, and without it to"
            f" {without.total:,.2f}: {own}."
        )
    rest = _dearer(planned.more_anyway)
    yield f"It is {planned.now.total:,.2f} now; {why} makes it {rest}, whatever the change."


def _more(amount: Decimal) -> str:
    return f"{abs(amount):,.2f} {'less' if amount < 0 else 'more'}"


def _dearer(amount: Decimal) -> str:
    if not amount:
        return "no dearer"
    return f"{abs(amount):,.2f} {'cheaper' if amount < 0 else 'dearer'}"


def _dates(planned: Planned) -> Iterator[str]:
    """Composites that the change moves, then those that are moved with it or without it."""
    if planned.by_change:
        said = f"Finals moved by this change, both orders searched for: {_moves(planned.by_change)}"
    else:
        said = "Finals moved by this change: none."
    yield from folded(said, "", "  ")
    if planned.anyway:
        yield from folded(f"Finals moved besides: {_moves(planned.anyway)}", "", "  ")


def _moves(moves: Sequence[Moved]) -> str:
    """Each with both days, all of them: somebody waits for each."""
    return "; ".join(map(_move, moves)) + "."


def _move(each: Moved) -> str:
    was = f", else {each.before}" if each.before else ""
    return f"{each.shot} {each.after or 'wanted no more'}{was}"


def _net(amount: Decimal) -> str:
    if amount < 0:
        return _sum("net, less to pay", -amount, sign="")
    return _sum("net, more to pay" if amount else "net, nothing to pay", amount)


def _sum(name: str, amount: Decimal, sign: str = "+") -> str:
    said = f"{amount:{sign if amount else ''},.2f}"
    return f"  {name}{' ' * max(78 - columns(name) - len(said), 1)}{said}"


def _after(found: Recut, show: Show | None) -> Iterator[str]:
    hours = found.camera_hours
    if abs(hours) >= 0.05:
        more = "more" if hours > 0 else "fewer"
        days = in_tenths(abs(found.stage_days), "day")
        yield f"Before a camera: {in_tenths(abs(hours), 'h', 'h')} {more}, {days}."
    else:
        yield "Before a camera: as many hours as now."
    gone = f", {found.gone_findings} gone" if found.gone_findings else ""
    if found.new_findings or gone:
        yield f"Findings: {len(found.new_findings)} new{gone}."
    for each in found.new_findings[:_MOST_FINDINGS]:
        said = in_names(each.message, show)
        yield from folded(f"{each.about or each.place}: {said}", "  ", "    ")
    if (more_left := len(found.new_findings) - _MOST_FINDINGS) > 0:
        yield f"  and {more_left} more; platewright check tells all once it is accepted"
    for said in found.stray_waivers:
        yield from folded(f"waiver no longer fits, {said}", "", "  ")


def recut_json(found: Recut, listed: Differences | None, accepted: object) -> str:
    """Everything of it; sums are text, so that no cent is lost.

    Args:
        found: the recut.
        listed: how the cut list was matched; None of a change list.
        accepted: files written and events posted; None where nothing was.
    """
    return json.dumps(
        {
            "shots": [_shot_values(found, each) for each in found.shots],
            "left_out": [
                {"shot": change.shot, "what": str(change.act), "why": why}
                for change, why in found.writing.unfit
            ],
            "listed": None
            if listed is None
            else {
                "same": listed.same,
                "unplaced": listed.unplaced,
                "sequences_left_alone": listed.unlisted,
                "remarks": listed.remarks,
            },
            "currency": found.currency,
            "basis": found.basis,
            "money": _sums(found.money.all),
            "bid": found.planned
            and {
                "now": str(found.planned.now.total),
                "without_it": str(found.planned.sides[0].total),
                "with_it": str(found.planned.sides[1].total),
                "once_accepted": str(found.planned.then.total),
                "more": str(found.planned.more),
                "order": found.planned.order,
                "last_call": _day(found.planned.then.last),
                "finals": {shot: _day(day) for shot, day in found.planned.then.finals.items()},
                **(_moves_told(found.planned) if found.planned.is_issued else {}),
            },
            "days_held": _sums(found.money.held),
            "unused": found.money.unused,
            "camera_hours": round(found.camera_hours, 3),
            "stage_days": round(found.stage_days, 3),
            "new_findings": [_finding(each) for each in found.new_findings],
            "gone_findings": found.gone_findings,
            "stray_waivers": found.stray_waivers,
            "edits": [
                {
                    "of": each.owner,
                    "path": [str(step) for step in each.path],
                    "was": None if each.was is None else str(each.was),
                    "now": str(each.now),
                }
                for each in found.writing.edits
            ],
            "accepted": accepted,
        },
        indent=2,
        ensure_ascii=False,
        default=str,
    )


def _shot_values(found: Recut, shot: ShotAfter) -> dict[str, object]:
    give_back = shot.give_back
    return {
        "shot": shot.shot,
        "changes": [
            {
                "what": str(each.act),
                "says": change_words(each, shot),
                "place": str(each.place or ""),
            }
            for each in shot.changes
        ],
        "was": shot.was and str(shot.was),
        "now": shot.now and str(shot.now),
        "outcome": str(shot.outcome),
        "elements": [_element_values(found, each) for each in shot.elements],
        "falls": shot.falls,
        "by_hand": shot.by_hand,
        "ask": give_back
        and {"says": give_back.says, "saves": give_back.saves and str(give_back.saves)},
    }


def _element_values(found: Recut, each: ElementAfter) -> dict[str, object]:
    held = each.in_hand
    sums = found.money.by_element.get(each.id)
    return {
        "element": each.id,
        "kind": each.kind,
        "outcome": str(each.outcome),
        "reasons": each.reasons,
        "in_hand": held and [held.frames.first, held.frames.last],
        "known_by": held.known_by if held else "",
        "wanted": each.wanted and [each.wanted.first, each.wanted.last],
        "short_at_head": each.short_head,
        "short_at_tail": each.short_tail,
        "hours": round(each.hours, 3),
        "money": sums and _sums(sums),
    }


def _sums(sums: Sums) -> dict[str, str]:
    return {
        "spent": str(sums.spent),
        "dead": str(sums.dead),
        "saved": str(sums.saved),
        "added": str(sums.added),
        "loads": str(sums.loads),
        "net": str(sums.net),
    }


def _moves_told(planned: Planned) -> dict[str, object]:
    return {
        "finals_moved": [_moved(each) for each in planned.by_change],
        "finals_moved_anyway": [_moved(each) for each in planned.anyway],
    }


def _moved(each: Moved) -> dict[str, str | None]:
    return {"shot": each.shot, "before": _day(each.before), "after": _day(each.after)}


def _day(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


def _finding(problem: Problem) -> dict[str, str]:
    return {
        "code": problem.code,
        "about": problem.about,
        "says": problem.message,
        "remedy": problem.remedy,
        "place": str(problem.place),
    }
