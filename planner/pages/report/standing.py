"""Where things stand: what is done, held, lost or stale, what blocks each composite, and roots.

Takes the matter of a page, gives a section. Works nothing out but counts.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from planner.model.names import counted
from planner.pages.blocking import cause_words, days_words, root_name
from planner.pages.report.matter import short_day
from planner.pages.report.section import Section, rendered
from planner.status import Step

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.pages.report.followed import Stands
    from planner.pages.report.matter import Matter
    from planner.status.blocking import Blocked, Root
    from planner.status.mending import Stale

_MOST_ROOTS, _MOST_NAMED = 10, 3
_MOST_HERE = 40  # composites told on a page that tells of the whole of a large show
_HEADS = ("done", "under way", "not begun", "on hold", "lost")


def standing(matter: Matter) -> Section | None:
    """By what was posted: counts, what is in the way, and what each composite waits for."""
    stands = matter.followed.stands
    if stands is None:
        return None
    first = matter.is_first
    here = [each for each in stands.blocking.blocked if _is_here(matter, each)]
    told = here[:_MOST_HERE] if matter.is_split and first else here
    stale = [_stale(matter, each) for each in stands.stale] if first else []
    kinds = list(_kinds(stands)) if first else []
    # A head nobody stands under is left out: most shows have nothing lost.
    held = [n for n in range(len(_HEADS)) if any(counts[n] for _, counts in kinds)]
    html = rendered(
        "standing.html",
        about=_about(stands) if first else "",
        kinds=[(kind, [counts[n] for n in held]) for kind, counts in kinds],
        heads=[_HEADS[n] for n in held],
        kept=list(_kept(matter, stands)) if first else [],
        stale=stale,
        is_lost=any(each["lost"] for each in stale),
        unknown=stands.unknown if first else (),
        currency=matter.plan.bid.currency,
        roots=[_root(matter, each) for each in stands.blocking.roots[:_MOST_ROOTS]]
        if first
        else [],
        more=max(len(stands.blocking.roots) - _MOST_ROOTS, 0) if first else 0,
        blocked=[_blocked(matter, each) for each in told],
        left=len(here) - len(told),
    )
    return Section("standing", "Where things stand", html, "Where things stand")


def _is_here(matter: Matter, blocked: Blocked) -> bool:
    return matter.is_first or matter.home(blocked.shot) == matter.page


def _about(stands: Stands) -> str:
    blocking = stands.blocking
    late = sum(1 for each in blocking.blocked if each.late_days)
    composites = len(blocking.blocked) + len(blocking.done)
    return (
        f"By {counted(stands.events, 'event')} posted, the last on {short_day(stands.last)}; as of"
        f" {short_day(blocking.today)}. {len(blocking.done):,} of"
        f" {counted(composites, 'composite')} approved; everything going on from that day,"
        f" {late:,} {'is' if late == 1 else 'are'} late."
    )


def _kinds(stands: Stands) -> Iterator[tuple[str, list[str]]]:
    """How many pieces of each kind are how far, those on hold or lost apart."""
    counts: Counter[tuple[str, str]] = Counter()
    kinds: dict[str, None] = {}
    for id_, piece in stands.standing.outline.pieces.items():
        if stands.standing.is_wanted(id_):
            kinds[piece.kind] = None
            counts[piece.kind, _far(stands, id_)] += 1
    for kind in kinds:
        row = [f"{counts[kind, head]:,}" if counts[kind, head] else "" for head in _HEADS]
        yield kind.replace("_", " "), row


def _far(stands: Stands, id_: str) -> str:
    state = stands.standing.of(id_)
    if state.lost is not None:
        return "lost"
    if state.holds:
        return "on hold"
    if stands.standing.is_done(id_):
        return "done"
    begun = max(state.step, state.made) > Step.BOARDED or state.takes
    return "under way" if begun else "not begun"


def _kept(matter: Matter, stands: Stands) -> Iterator[dict[str, str]]:
    """What is on hold or lost, each as it was posted: a shot once, not all its pieces.

    What is omitted is waited for by nobody, whoever held it before.
    """
    for id_, state in stands.standing.states.items():
        if stands.standing.of(id_).omitted is not None:
            continue
        for hold in (*state.holds, *((state.lost,) if state.lost else ())):
            by = f", {hold.by}" if hold.by else ""
            yield {
                "name": id_,
                "link": matter.link(id_) if matter.is_known(id_) else "",
                "what": "lost" if hold is state.lost else "on hold",
                "since": short_day(hold.since),
                "why": f"{hold.why}{by}" if hold.why else by.removeprefix(", "),
            }


def _stale(matter: Matter, stale: Stale) -> dict[str, object]:
    told = stale.judgement
    return {
        "name": told.id,
        "link": matter.link(told.id) if matter.is_known(told.id) else "",
        "verdict": "dead" if told.is_dead else "good with work",
        "why": "; ".join(told.reasons),
        "lost": f"{stale.lost:,.0f}" if stale.lost is not None else "",
        "act": stale.act,
        "costs": f"{stale.costs.likely:,.0f}" if stale.costs.high else "",
    }


def _root(matter: Matter, root: Root) -> dict[str, object]:
    return {
        "name": _called(matter, root.id),
        "link": matter.link(root.id) if matter.is_known(root.id) else "",
        "says": matter.shortened("; ".join(cause_words(each) for each in root.causes)),
        "behind": f"{len(root.behind):,}",
        "gain": _gain(root),
    }


def _gain(root: Root) -> str:
    if root.gained is None:
        return "not tried"
    return days_words(root.days_lost) if root.days_lost else "nothing"


def _blocked(matter: Matter, blocked: Blocked) -> dict[str, object]:
    names = [(_called(matter, each), _linked(matter, each)) for each in blocked.roots[:_MOST_NAMED]]
    more = len(blocked.roots) - len(names)
    return {
        "name": blocked.composite,
        "link": matter.link(blocked.composite),
        "words": "" if blocked.words == str(Step.BOARDED) else blocked.words,
        "final": short_day(blocked.final) if blocked.final else "no date",
        "late": days_words(blocked.late_days) if blocked.late_days else "",
        "pieces": f"{len(blocked.links) - 1:,}",
        "roots": names,
        "more": f"{more:,}" if more else "",
    }


def _called(matter: Matter, root: str) -> str:
    """By the id of its row where it has one, else as people say it."""
    return root if matter.is_known(root) else root_name(root, matter.plan.show)


def _linked(matter: Matter, id_: str) -> str:
    return matter.link(id_) if matter.is_known(id_) else ""
