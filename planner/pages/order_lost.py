"""A thing lost and the ways out, side by side, as text of 80 columns or JSON.

Takes the blow and each way with its changes and its difference in cost, gives text. Works nothing
out.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import chain, groupby, repeat
from typing import TYPE_CHECKING

from planner.model.names import counted, day_words, in_names, title_of
from planner.pages.order_changes import changes_json, shift_words
from planner.pages.wording import folded, name_said

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence
    from datetime import date

    from planner.bid.lines import Figures
    from planner.bid.made_of import Part
    from planner.bid.what_if import Difference
    from planner.model.show import Show
    from planner.order import Changes
    from planner.order.lost import Blow, Loss
    from planner.order.taking import Step
    from planner.order.ways_out import WayOut

_MOST_NAMED = 12
_MOST_ALIKE = 6


@dataclass(frozen=True, slots=True)
class Outcome:
    """One way out and what comes of it.

    Attributes:
        way: what is done.
        changes: against the order people work by.
        differs: in cost.
        near: the day before which a moved call counts as near at hand.
        now_late: shots late that were not.
        parts: what its sum is made of.
        steps: what to write, edit and post to take it.
        instead: what planning again takes all the same once that is done; empty where it is this.
    """

    way: WayOut
    changes: Changes
    differs: Difference
    near: date
    now_late: tuple[str, ...]
    parts: tuple[Part, ...] = ()
    steps: tuple[Step, ...] = ()
    instead: str = ""


def lost_text(
    blow: Blow, outcomes: Sequence[Outcome], show: Show, against: str, *, opened: bool = False
) -> str:
    """The plain consequence, then each way out, the lightest first by money and lateness.

    Args:
        blow: what is lost, and whom it meets.
        outcomes: each way out with what comes of it.
        show: whose things they are.
        against: the order that every sum is against, a clause.
        opened: whether each sum is told line by line.
    """
    blocks = [[row for loss in blow.losses for row in folded(_loss(loss, show))]]
    blocks[0] += folded(_met(blow))
    if not blow.met:
        return "\n".join(blocks[0]) + "\n"
    ranked = sorted(outcomes, key=lambda each: each.differs.weight)
    for number, each in enumerate(ranked, 1):
        lines = list(_lines(each)) if opened else []
        blocks.append([*_way(number, each, show), *lines])
    blocks.append(folded(_closing(show, blow, ranked, against)))
    return "\n\n".join("\n".join(lines) for lines in blocks) + "\n"


def _loss(loss: Loss, show: Show) -> str:
    days = loss.days
    if loss.is_for_good:
        return f"Without {title_of(loss.id, show)} from {day_words(days.first)} on, for good."
    until = "" if days.first == days.last else f" to {day_words(days.last)}"
    return f"Without {title_of(loss.id, show)} {day_words(days.first)}{until}."


def _met(blow: Blow) -> str:
    if not blow.met:
        return "No call holds it on those days; nothing moves."
    elements = list(dict.fromkeys(call.element for call in blow.met))
    more = len(elements) - _MOST_NAMED
    names = ", ".join(map(name_said, elements[:_MOST_NAMED])) + (
        f" and {more} more" if more > 0 else ""
    )
    verb = "holds" if len(blow.met) == 1 else "hold"
    return (
        f"{counted(len(blow.met), 'call')} {verb} it on those days, of"
        f" {counted(len(elements), 'element')}: {names}."
    )


def _way(number: int, outcome: Outcome, show: Show) -> Iterator[str]:
    says = outcome.way.says
    yield from folded(f"{says[0].upper()}{says[1:]}", f"{number}. ", "   ")
    for name, said in _rows(outcome, show.currency):
        yield from folded(said, f"   {name:<12}", " " * 15)
    for name, said in zip(chain(("to take it",), repeat("")), _steps(outcome), strict=False):
        yield from folded(said, f"   {name:<12}", " " * 17)


def _steps(outcome: Outcome) -> Iterator[str]:
    """Each step; of many that are alike the first, and how many more there are."""
    for alike, steps in groupby(outcome.steps, key=lambda each: each.alike):
        run = list(steps)
        shown = run[:_MOST_ALIKE] if alike else run
        for step in shown:
            yield f"{step.place}: {step.says}" if step.place else step.says
        if more := len(run) - len(shown):
            wants = "wants" if more == 1 else "want"
            yield f"the same for {counted(more, 'more element')} that {wants} it; --json names all"
    if outcome.instead:
        yield outcome.instead


def _lines(outcome: Outcome) -> Iterator[str]:
    """Each part of a sum, with the lines it is made of."""
    for part in outcome.parts:
        yield f"   {part.name:57}{part.likely:>+20,.2f}"
        for row in part.rows:
            says = in_names(row.says, outcome.way.show)
            who = name_said(row.element)
            head, *rest = folded(f"{who}: {says}" if who else says, "     ", "       ", width=59)
            yield f"{head:60}{row.likely:>+20,.2f}"
            yield from rest


def _rows(outcome: Outcome, currency: str) -> Iterator[tuple[str, str]]:
    money = outcome.differs.money
    if 0 < max(map(abs, (money.low, money.likely, money.high))) < 1:
        # Days shared out between two of a kind are rounded to the cent twice.
        yield "cost", f"nothing more, to the nearest {currency}"
    else:
        yield "cost", _cost(money, currency)
        said = (f"{each.name} {each.likely:+,.2f}" for each in outcome.parts if each.likely)
        if of_which := "; ".join(said):
            yield "of which", of_which
    if outcome.differs.lateness:
        yield "lateness", f"{outcome.differs.lateness:+,} {currency} by the show's own weight"
    yield "displaced", _displaced(outcome)
    yield "composites", "; ".join(_slips(outcome)) or "none slips"
    if redone := outcome.way.redone:
        named = [name_said(each).replace("/", ", ", 1) for each in redone[:_MOST_ALIKE]]
        named += [f"{len(redone) - len(named):,} more"] if len(redone) > len(named) else []
        calls = counted(len(redone), "call")
        yield "done again", f"{calls}, in the cost, called by planning again: {'; '.join(named)}"


def _cost(money: Figures, currency: str) -> str:
    # A way may cost less where all goes badly than where all goes well.
    low, high = sorted((money.low, money.high))
    said = f" ({low:+,.2f} to {high:+,.2f})" if high - low >= 1 else ""
    return f"{money.likely:+,.2f} {currency} likely{said}"


def _displaced(outcome: Outcome) -> str:
    moved = outcome.changes.moved
    others = sum(each.days != 0 for each in moved)
    near = sum(each.days != 0 and each.was.starts.date() < outcome.near for each in moved)
    said = f"{counted(len(moved), 'call')}, {others:,} to another day"
    return f"{said}, {near:,} of these from before {day_words(outcome.near)}" if near else said


def _slips(outcome: Outcome) -> Iterator[str]:
    by_days: dict[int, list[str]] = {}
    for each in sorted(outcome.changes.finals, key=lambda final: (-final.days, final.shot)):
        by_days.setdefault(each.days, []).append(each.shot)
    for days, shots in by_days.items():
        yield f"{', '.join(shots)} {shift_words(days)}"
    if outcome.now_late:
        yield f"late now: {', '.join(outcome.now_late)}"


def _closing(show: Show, blow: Blow, ranked: Sequence[Outcome], against: str) -> str:
    costs = f"Costs are in {show.currency}, against {against}."
    if len(ranked) <= 1:
        no = "There is no other way" if ranked else "There is no way out"
        why = "; ".join(_shut(show, blow, {each.way.name for each in ranked}))
        return f"{no}: {why}. {costs}" if ranked else f"{no}: {why}."
    return (
        "The lightest stands first: money and lateness together, a day late at the price in"
        f" show.yaml. {costs}"
    )


def _shut(show: Show, blow: Blow, open_ways: Collection[str]) -> Iterator[str]:
    """Why the other ways are none, a clause each; nobody is made again as a thing is."""
    known = [show.resources.get(each) for each in blow.ids]
    is_person = all(each is not None and each.sort == "person" for each in known)
    if "wait" not in open_ways:
        yield "the loss is for good" if is_person else "it never comes back"
    if not {"hire", "rebuild"} & {*open_ways}:
        thing = "nothing like it can be hired or made again"
        yield "nobody is named to stand in" if is_person else thing
    if "change" not in open_ways:
        yield "nobody else fits" if is_person else "nothing else fits"


def lost_json(blow: Blow, outcomes: Sequence[Outcome], against: str) -> dict[str, object]:
    """The same for other programs, as plain values; sums are text, so that no cent is lost."""
    return {
        "without": [
            {
                "id": each.id,
                "first": str(each.days.first),
                "last": None if each.is_for_good else str(each.days.last),
            }
            for each in blow.losses
        ],
        "met": [call.id for call in blow.met],
        "against": against,
        "ways": [
            {
                "way": each.way.name,
                "says": each.way.says,
                "cost": {
                    "low": str(each.differs.money.low),
                    "likely": str(each.differs.money.likely),
                    "high": str(each.differs.money.high),
                },
                "of_which": [_part(part) for part in each.parts],
                "lateness": each.differs.lateness,
                "to_take_it": [
                    {"says": step.says, "place": str(step.place) if step.place else None}
                    for step in each.steps
                ],
                "instead": each.instead or None,
                "redone": list(each.way.redone),
                "now_late": list(each.now_late),
                "changes": changes_json(each.changes),
            }
            for each in sorted(outcomes, key=lambda each: each.differs.weight)
        ],
    }


def _part(part: Part) -> dict[str, object]:
    rows = [
        {"element": row.element or None, "says": row.says, "likely": str(row.likely)}
        for row in part.rows
    ]
    return {"name": part.name, "likely": str(part.likely), "lines": rows}
