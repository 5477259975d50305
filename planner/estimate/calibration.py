"""Rules of thumb fitted to finished shots.

Takes the facts of a show's history and the rules as the show has them, gives new figures by
non-negative least squares, with what they leave unexplained as their range, or says why there are
none. Knows nothing of files or printing, and changes no rule: people do, in show.yaml.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import TYPE_CHECKING

from planner.craft import rod_removal
from planner.kinds import Hours

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from planner.kinds import Rule
    from planner.model.facts import Facts

REMOVAL_RULES = (
    "roto.removal_start",
    "roto.removal_key",
    "roto.removal_background",
    "roto.removal_figure",
    "roto.removal_outline",
)
"""Rules of rod removal, in the order of `rod_removal.RemovalRates`."""
CLEAN_PLATES = {"locked": "locked", "moving": "motion-control", "none": "none"}
TO_SPARE = 2
"""Finished shots wanted beyond the coefficients, so that the residual means something."""
IN_HOURS = {"h": 1.0, "min": 1 / 60, "s": 1 / 3600}


@dataclass(frozen=True, slots=True)
class Fitted:
    """One rule before and after.

    Attributes:
        rule: as the show has it.
        new: figures fitted, in the rule's unit; None where the finished shots say nothing of it.
        why: what is to be said of it, a clause; empty where nothing is.
    """

    rule: Rule
    new: Hours | None
    why: str = ""


@dataclass(frozen=True, slots=True)
class Fit:
    """What finished shots say of one craft.

    Attributes:
        title: in words.
        shots: finished shots it rests on.
        fitted: rules, before and after; empty where nothing could be fitted.
        residual: standard deviation of what they leave unexplained of a shot, hours.
        refused: why nothing was fitted, a sentence; empty where something was.
        left_out: finished shots that say nothing, by name.
    """

    title: str
    shots: int
    fitted: tuple[Fitted, ...] = ()
    residual: float = 0.0
    refused: str = ""
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Ratio:
    """Hours spent over hours estimated, of one technique.

    Attributes:
        technique: in words.
        shots: how many.
        estimated: hours, summed.
        spent: hours, summed.
        low: least of the single ratios.
        high: greatest.
        whys: reasons given, in the order written.
    """

    technique: str
    shots: int
    estimated: float
    spent: float
    low: float
    high: float
    whys: tuple[str, ...]

    @property
    def ratio(self) -> float:
        """Spent over estimated, all shots together."""
        return self.spent / self.estimated


@dataclass(frozen=True, slots=True)
class Calibration:
    """Everything the history says."""

    fits: tuple[Fit, ...]
    ratios: tuple[Ratio, ...]


def calibrate(history: Facts, rules: Mapping[str, Rule]) -> Calibration:
    """Fit rod removal and set-up times, and compare estimates with actuals.

    Args:
        history: as read from history.yaml.
        rules: every rule of every kind, by name, with the figures the show uses now.
    """
    removals = history.groups("rod_removals")
    fits = [_removal_fit(removals, rules)] if removals else []
    by_kind: dict[str, list[Facts]] = defaultdict(list)
    for each in history.groups("set_ups"):
        by_kind[each.word("kind")].append(each)
    fits += [_set_up_fit(kind, each, rules) for kind, each in by_kind.items()]
    return Calibration(tuple(fits), tuple(_ratios(history.groups("techniques"))))


def as_stated(rule: Rule, own: Facts) -> Rule:
    """A rule with the figures a show states in its place, if it states any.

    Args:
        rule: as shipped.
        own: the show's ``rules``.
    """
    stated = own.group(rule.name)
    if not stated.has("likely"):
        return rule
    likely = stated.amount("likely", rule.likely)
    low, high = stated.amount("low", likely), stated.amount("high", likely)
    return replace(rule, low=low, likely=likely, high=high)


def finished_shot(record: Facts) -> rod_removal.FinishedShot:
    """A record as the arithmetic of rod removal takes it, its rods all alike."""
    frames = round(record.amount("frames", 0))
    over = round(frames * min(max(record.amount("crossing", 0), 0), 1))
    size = rod_removal.RodSpan(
        0,
        record.amount("clear", 0),
        record.amount("over", 0),
        blur_px=record.amount("blur", 0),
        width_px=record.amount("width", 0) or rod_removal.USUAL_WIDTH_PX,
    )
    rod = rod_removal.Rod(
        rod_removal.runs(size, frames - over, over),
        rod_removal.PACE_WORDS[record.word("performance", "ordinary")],
    )
    around = rod_removal.Surroundings(
        CLEAN_PLATES[record.word("clean_plate", "none")],
        rod_removal.BACKGROUND_WORDS[record.word("background", "texture")],
        rod_removal.EDGE_WORDS[record.word("edge", "smooth")],
    )
    rods = (rod,) * round(record.amount("rods", 0))
    return rod_removal.FinishedShot(rods, around, record.amount("hours", 0) * 60)


def _removal_fit(records: Sequence[Facts], rules: Mapping[str, Rule]) -> Fit:
    kept, left_out = _sorted_out(records, "rods", "frames", "hours")
    fit = Fit("rod removal", len(kept), left_out=left_out)
    known = [rules[name] for name in REMOVAL_RULES if name in rules]
    if len(known) < len(REMOVAL_RULES):
        return replace(fit, refused="no installed kind estimates rod removal by these rules")
    finished = [finished_shot(each) for each in kept]
    rows = [_amounts(each) for each in finished]
    refused = _too_few(len(rows), len(known), "shots with rods") or _too_alike(rows)
    if refused:
        return replace(fit, refused=refused)
    found = rod_removal.calibrate(finished)
    rates = found.rates
    values = (
        rates.start_minutes,
        rates.key_minutes,
        rates.background_minutes,
        rates.figure_minutes,
        rates.crossing_minutes,
    )
    fitted = _fitted(known, values, rows, found.residual_minutes)
    return replace(fit, fitted=fitted, residual=found.residual_minutes / 60)


def _amounts(finished: rod_removal.FinishedShot) -> tuple[float, ...]:
    """What each coefficient is multiplied by in a finished shot."""
    each = rod_removal.RemovalRates(1.0, 1.0, 1.0, 1.0, 1.0)
    minutes = rod_removal.removal_minutes(finished.rods, finished.surroundings, each)
    return (minutes.start, minutes.keys, minutes.background, minutes.figure, minutes.crossings)


def _set_up_fit(kind: str, records: Sequence[Facts], rules: Mapping[str, Rule]) -> Fit:
    kept, left_out = _sorted_out(records, "hours")
    fit = Fit(f"set-ups, {kind.replace('_', ' ')}", len(kept), left_out=left_out)
    named = dict.fromkeys(name for each in kept for name in each.group("parts").values)
    refused = next(filter(None, (_no_time(f"{kind}.{name}", rules) for name in named)), "")
    rows = [tuple(each.group("parts").amount(name, 0) for name in named) for each in kept]
    refused = refused or _too_few(len(rows), len(named), "set-ups") or _too_alike(rows)
    if refused:
        return replace(fit, refused=refused)
    # The part that goes into most set-ups stands first, to carry the residual once a set-up.
    common = sorted(range(len(named)), key=lambda column: -sum(bool(row[column]) for row in rows))
    rows = [tuple(row[column] for column in common) for row in rows]
    known = [rules[f"{kind}.{tuple(named)[column]}"] for column in common]
    hours = [each.amount("hours", 0) - each.amount("running", 0) for each in kept]
    unit = [IN_HOURS[rule.unit] for rule in known]
    scaled = [tuple(n * u for n, u in zip(row, unit, strict=True)) for row in rows]
    values, residual = _least_squares(scaled, hours)
    fitted = _fitted(known, values, rows, residual / unit[0])
    return replace(fit, fitted=fitted, residual=residual)


def _no_time(name: str, rules: Mapping[str, Rule]) -> str:
    """Why hours cannot be fitted to a rule; empty where they can."""
    if name not in rules:
        near = get_close_matches(name, rules, n=1)
        hint = f"; did you mean {near[0]}?" if near else ""
        return f"no rule is called {name}{hint}"
    unit = rules[name].unit
    return "" if unit in IN_HOURS else f"{name} is in {unit}, which is no time"


def _least_squares(
    rows: Sequence[Sequence[float]], hours: Sequence[float]
) -> tuple[tuple[float, ...], float]:
    """Coefficients, none negative, and the standard deviation of what they leave."""
    # Imported here because they take longer to load than all the rest of a plan.
    import numpy as np
    from scipy.optimize import nnls  # type: ignore[import-untyped, unused-ignore]

    solution, norm = nnls(np.array(rows, float), np.array(hours, float))
    spare = len(rows) - len(rows[0])
    return tuple(float(each) for each in solution), float(norm) / math.sqrt(spare)


def _fitted(
    rules: Sequence[Rule],
    values: Sequence[float],
    rows: Sequence[Sequence[float]],
    residual: float,
) -> tuple[Fitted, ...]:
    """Rules with their new figures; the first carries the residual (in its unit) as its range.

    A shot is off by the residual once, so only one of its parts may carry it.
    """
    fitted = []
    for column, (rule, value) in enumerate(zip(rules, values, strict=True)):
        if not any(row[column] for row in rows):
            fitted.append(Fitted(rule, None, "no finished shot bears on it"))
            continue
        spread = residual if column == 0 else 0.0
        new = Hours(max(value - spread, 0.0), value, value + spread)
        why = "fits best at nought" if value == 0 else ""
        fitted.append(Fitted(rule, new, why))
    return tuple(fitted)


def _too_few(shots: int, coefficients: int, what: str) -> str:
    wanted = coefficients + TO_SPARE
    if shots >= wanted:
        return ""
    return (
        f"{shots} finished {what} are too few to fix {coefficients} rules; write down at least"
        f" {wanted}"
    )


def _too_alike(rows: Sequence[Sequence[float]]) -> str:
    """Whether some parts always go together, so that nothing tells their hours apart."""
    import numpy as np

    table = np.array(rows, float)
    table = table[:, table.any(axis=0)]
    if not table.size:
        return "nothing is stated of what went into them"
    rank = int(np.linalg.matrix_rank(table / np.linalg.norm(table, axis=0)))
    if rank == table.shape[1]:
        return ""
    return (
        f"the finished shots are too alike: {table.shape[1]} rules bear on them and their parts"
        f" tell only {rank} apart; add shots of other lengths and other parts"
    )


def _sorted_out(
    records: Sequence[Facts], *wanted: str
) -> tuple[tuple[Facts, ...], tuple[str, ...]]:
    """Records with something of all that is wanted, and the shots of the rest."""
    sound = {id(each): all(each.amount(name, 0) > 0 for name in wanted) for each in records}
    kept = tuple(each for each in records if sound[id(each)])
    return kept, tuple(each.word("shot") for each in records if not sound[id(each)])


def _ratios(records: Iterable[Facts]) -> Iterator[Ratio]:
    by_technique: dict[str, list[Facts]] = defaultdict(list)
    for each in records:
        if each.amount("estimated", 0) > 0:
            by_technique[each.word("technique")].append(each)
    for technique, group in by_technique.items():
        pairs = [(each.amount("estimated", 0), each.amount("spent", 0)) for each in group]
        single = [spent / estimated for estimated, spent in pairs]
        yield Ratio(
            technique,
            len(group),
            sum(estimated for estimated, _spent in pairs),
            sum(spent for _estimated, spent in pairs),
            min(single),
            max(single),
            tuple(filter(None, (each.word("why") for each in group))),
        )
