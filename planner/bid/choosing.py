"""The cheapest way of making everything that may be made in several ways.

Takes the show, its estimates and its stage order, gives for each open question the option taken and
why each other one lost. What options share is paid once; what none of the taken wants is not made.
Solved exactly. Knows nothing of dates: everything is priced on one day, and what is held by its own
hours.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field, replace
from decimal import Decimal
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal, TypeAlias

from planner.bid.alternatives import chain_days, lines_by_itself, parts_of
from planner.bid.desk import Desk
from planner.bid.lines import CENT
from planner.bid.rollup import loaded
from planner.bid.scale_options import scale_options
from planner.model.methods import methods_of, verdict_on, wanted_only_by
from planner.model.names import in_tenths, noun

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping
    from datetime import date

    from planner.bid.lines import BidLine
    from planner.bid.scale_options import ScaleCost
    from planner.estimate.estimates import Estimates
    from planner.estimate.scales import Ground
    from planner.kinds import Risk
    from planner.model.show import Element, Show
    from planner.order.stage_order import StageOrder

Sort: TypeAlias = Literal["method", "candidate", "scale"]


@dataclass(frozen=True, slots=True)
class Limits:
    """What an option must keep to.

    Attributes:
        days: most working days its longest chain may take; None for any.
        without: classes of risk it may not carry.
        never: names that may not be taken: an element, a build, or a build at a scale.
        must: names that must be taken.
        at_most: likely, loads included, of everything in question, or of the whole bid where
            `total` is given; None for any sum.
        total: likely total of the bid as it stands; None to count only what is in question.
        reopened: whether verdicts already given are set aside.
        rates_on: day of every rate; None for the first call of anything in question.
    """

    days: float | None = None
    without: frozenset[Risk] = frozenset()
    never: frozenset[str] = frozenset()
    must: frozenset[str] = frozenset()
    at_most: Decimal | None = None
    total: Decimal | None = None
    reopened: bool = False
    rates_on: date | None = None


@dataclass(frozen=True, slots=True)
class Option:
    """One answer to a question.

    Attributes:
        name: id of the element, or a build and its scale.
        parts: ids of what it wants made, itself included.
        cost: likely, loads included, of what is its own apart from `parts`.
        barred: why it may not be taken, a clause; empty where it may.
        names: of what it is made of, where it is several builds at a scale each.
    """

    name: str
    parts: tuple[str, ...]
    cost: Decimal = Decimal(0)
    barred: str = ""
    names: tuple[str, ...] = ()

    @property
    def called(self) -> tuple[str, ...]:
        """Names by which it may be wanted or forbidden."""
        return self.names or (self.name,)


@dataclass(frozen=True, slots=True)
class Question:
    """Something to be settled: one option is taken.

    Attributes:
        sort: of question.
        about: what is to be made: an element, a place, a build.
        options: in the order written.
    """

    sort: Sort
    about: str
    options: tuple[Option, ...]


@dataclass(frozen=True, slots=True)
class Settled:
    """A question with its answer.

    Attributes:
        question: what was asked.
        taken: name of the option.
        lost: why, by name of every other option.
        dearer: by how much the whole would cost more with it; only those that may be taken.
    """

    question: Question
    taken: str
    lost: Mapping[str, str]
    dearer: Mapping[str, Decimal]


@dataclass(frozen=True, slots=True)
class Chosen:
    """The cheapest consistent set.

    Attributes:
        settled: every question, in the order written; empty where nothing fits together.
        cost: likely, loads included, of everything in question, or of the whole bid where its
            total was given.
        day: on which all of it is priced.
        hindrance: why nothing fits together; empty where something does.
        eased: where nothing fits, the cheapest set's cost with one of the limits given up, by that
            limit in words; only of those that alone stand in the way.
        unknown: names forbidden or wanted that are in no question.
    """

    settled: tuple[Settled, ...]
    cost: Decimal
    day: date
    hindrance: str = ""
    eased: Mapping[str, Decimal] = field(default_factory=dict)
    unknown: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Model:
    """Questions, and what everything they may want costs.

    Attributes:
        questions: in the order written.
        costs: of each element in question, in cents, loads included.
        terms: owed to the maker of a candidate that is not taken, in cents.
    """

    questions: tuple[Question, ...]
    costs: Mapping[str, int]
    terms: Mapping[str, int] = field(default_factory=dict)


def choose(
    show: Show,
    estimates: Estimates,
    order: StageOrder,
    limits: Limits,
    ground: Ground | None = None,
) -> Chosen:
    """Settle every open question of the show for the least likely cost.

    Args:
        show: with its rates and loads.
        estimates: of all its elements, those not taken included.
        order: dates the day of the rates alone.
        limits: what an option must keep to.
        ground: for trying candidate scales; without it scales stay as they are.
    """
    desk = _desk(show, order, limits)
    day = desk.rate_day(None)
    scales = scale_options(desk, ground) if ground is not None else {}
    model = _model(desk, estimates, limits, scales)
    known = {name for each in model.questions for o in each.options for name in o.called}
    unknown = tuple(sorted((limits.never | limits.must) - known))
    best = _solved(model, {})
    beside = _beside(show, model, limits)
    limits = replace(limits, at_most=None if limits.at_most is None else limits.at_most - beside)
    if best is None or _is_over(best[0], limits):
        eased = {
            said: cost + beside for said, cost in _eased(desk, estimates, limits, scales).items()
        }
        cheapest = Decimal(0) if best is None else best[0] * CENT + beside
        allowed = (limits.at_most or Decimal(0)) + beside
        hindrance = _hindrance(model) if best is None else _too_dear(cheapest, allowed)
        return Chosen((), cheapest, day, hindrance, MappingProxyType(eased), unknown)
    cost, taken = best
    settled = []
    for number, question in enumerate(model.questions):
        lost, dearer = _losers(model, number, taken[number], cost)
        settled.append(Settled(question, taken[number], lost, dearer))
    return Chosen(tuple(settled), cost * CENT + beside, day, unknown=unknown)


def _beside(show: Show, model: _Model, limits: Limits) -> Decimal:
    """What the bid comes to beside all that is in question; nothing where no total is given."""
    if limits.total is None:
        return Decimal(0)
    stands = sum(cost for name, cost in model.costs.items() if show.is_live(show.elements[name]))
    # A scale that nobody has chosen is reckoned at the first of its candidates.
    scales = (each.options[0].cost for each in model.questions if each.sort == "scale")
    return limits.total - stands * CENT - sum(scales, Decimal(0))


def _is_over(cents: int, limits: Limits) -> bool:
    return limits.at_most is not None and cents * CENT > limits.at_most


def _too_dear(cost: Decimal, allowed: Decimal) -> str:
    return (
        f"the cheapest set costs {cost:,.2f} likely with loads, {cost - allowed:,.2f} more than"
        f" the {allowed:,.2f} allowed"
    )


def _eased(
    desk: Desk,
    estimates: Estimates,
    limits: Limits,
    scales: Mapping[str, tuple[ScaleCost, ...]],
) -> Mapping[str, Decimal]:
    """The cheapest set's cost with one limit given up, of those limits that alone bind."""
    found = {}
    for said, looser in _looser(limits):
        best = _solved(_model(desk, estimates, looser, scales), {})
        if best is not None and not _is_over(best[0], looser):
            found[said] = best[0] * CENT
    return MappingProxyType(found)


def _looser(limits: Limits) -> Iterator[tuple[str, Limits]]:
    """The limits with one of them left out, and which."""
    if limits.at_most is not None:
        yield "the most it may cost", replace(limits, at_most=None)
    if limits.days is not None:
        yield (
            f"at most {limits.days:g} {noun(limits.days, 'day')} on end",
            replace(limits, days=None),
        )
    for risk in sorted(limits.without, key=lambda each: each.value):
        yield f"no {risk.value}", replace(limits, without=limits.without - {risk})
    for name in sorted(limits.never):
        yield f"never {name}", replace(limits, never=limits.never - {name})
    for name in sorted(limits.must):
        yield f"{name} must be taken", replace(limits, must=limits.must - {name})
    if not limits.reopened:
        yield "the verdicts given", replace(limits, reopened=True)


def _desk(show: Show, order: StageOrder, limits: Limits) -> Desk:
    if limits.rates_on is not None:
        return Desk.opened(show, order, limits.rates_on, frozenset())
    desk = Desk.opened(show, order, None, frozenset())
    members = {name for group in methods_of(show.elements) for name in group.members}
    days = [call.starts.date() for call in order.calls if call.element in members]
    return Desk.opened(show, order, min(days, default=desk.rate_day(None)), frozenset())


def _model(
    desk: Desk,
    estimates: Estimates,
    limits: Limits,
    scales: Mapping[str, tuple[ScaleCost, ...]],
) -> _Model:
    show = desk.show
    groups = [
        group
        for group in methods_of(show.elements)
        if len(group.members) > 1 and any(_is_wanted(show, name) for name in group.members)
    ]
    members = {name for group in groups for name in group.members}
    places = _places(show)
    rivals = {each.id for builds in places.values() for each in builds}
    theirs = wanted_only_by(show.elements, (*members, *show.aside), candidates=True)
    in_question = theirs | rivals
    lines = {
        name: lines_by_itself(desk, estimates, show.elements[name])
        for name in show.elements
        if name in in_question
    }
    questions: list[Question] = []
    for group in groups:
        options = []
        for name in group.members:
            parts = parts_of(show, in_question, members, name)
            barred = _barred(show, name, limits)
            barred = barred or _over(show, estimates, (parts, lines), limits)
            options.append(Option(name, parts, barred=barred))
        questions.append(Question("method", group.members[0], tuple(options)))
    for place, builds in places.items():
        questions.append(Question("candidate", place, _candidates(builds, limits)))
    questions += _scales(scales, limits)
    questions = [_wanted(each, limits.must) for each in questions]
    costs = {name: _cents(loaded(each, show.loads).likely) for name, each in lines.items()}
    return _Model(tuple(questions), costs, _terms(show, places))


def _is_wanted(show: Show, name: str) -> bool:
    shot = show.shots.get(show.elements[name].shot)
    return shot is None or shot.is_live


def _places(show: Show) -> dict[str, list[Element]]:
    """Builds that compete, by their place; those of which one is already chosen are settled."""
    places: defaultdict[str, list[Element]] = defaultdict(list)
    for element in show.elements.values():
        if place := element.facts.values.get("candidate_for"):
            places[str(place)].append(element)
    return {place: builds for place, builds in places.items() if len(builds) > 1}


def _candidates(builds: Iterable[Element], limits: Limits) -> tuple[Option, ...]:
    held = tuple(builds)
    chosen = [each.id for each in held if each.facts.values.get("chosen") is True]
    is_settled = bool(chosen) and not limits.reopened
    return tuple(
        Option(
            each.id,
            (each.id,),
            barred="may not be taken"
            if each.id in limits.never
            else f"{chosen[0]} is chosen"
            if is_settled and each.id not in chosen
            else "",
        )
        for each in held
    )


def _barred(show: Show, name: str, limits: Limits) -> str:
    if name in limits.never:
        return "may not be taken"
    if limits.reopened:
        return ""
    verdict = verdict_on(show.elements[name])
    if verdict == "rejected":
        by = show.elements[name].facts.group("method").word("by")
        return f"rejected{f' by {by}' if by else ''}"
    rivals = next(g for g in methods_of(show.elements) if name in g.members).members
    chosen = [each for each in rivals if verdict_on(show.elements[each]) == "chosen"]
    return f"{chosen[0]} is chosen" if chosen and name not in chosen else ""


def _over(
    show: Show,
    estimates: Estimates,
    made: tuple[tuple[str, ...], Mapping[str, tuple[BidLine, ...]]],
    limits: Limits,
) -> str:
    """Which limit it passes."""
    parts, lines = made
    days = chain_days(show, estimates, parts).value
    if limits.days is not None and days > limits.days:
        return f"takes {in_tenths(days, 'working day')} on end, {limits.days:g} allowed"
    risks = {line.risk for name in parts for line in lines.get(name, ())} & limits.without
    return f"it is {' and '.join(sorted(risk.value for risk in risks))}" if risks else ""


def _scales(scales: Mapping[str, tuple[ScaleCost, ...]], limits: Limits) -> Iterator[Question]:
    for build, costs in scales.items():
        options = tuple(
            Option(
                each.name,
                (),
                each.cost,
                "may not be taken" if limits.never & {each.name, *each.parts} else each.broken,
                (each.name, *each.parts),
            )
            for each in costs
        )
        yield Question("scale", build, options)


def _wanted(question: Question, must: frozenset[str]) -> Question:
    """The question with every option barred that is not what must be taken."""
    wanted = sorted(must & {name for each in question.options for name in each.called})
    options = (
        each
        if each.barred or set(wanted) <= set(each.called)
        else replace(each, barred=f"{' and '.join(wanted)} must be taken")
        for each in question.options
    )
    return replace(question, options=tuple(options))


def _terms(show: Show, places: Mapping[str, list[Element]]) -> dict[str, int]:
    terms = {}
    for builds in places.values():
        for build in builds:
            money = build.facts.money("terms")
            if money is not None and money.currency == show.currency:
                terms[build.id] = _cents(money.amount)
    return terms


def _cents(amount: Decimal) -> int:
    return int((amount / CENT).to_integral_value())


def _solved(model: _Model, forced: Mapping[int, str]) -> tuple[int, tuple[str, ...]] | None:
    """Least cost in cents and the option of each question; None where nothing fits together.

    Args:
        model: questions and costs.
        forced: options that must be taken, by number of the question.
    """
    from ortools.sat.python import cp_model

    solver, problem = cp_model.CpSolver(), cp_model.CpModel()
    is_made = {name: problem.new_bool_var(name) for name in model.costs}
    is_taken = []
    # Of equals the first written is taken: its place counts for less than a cent.
    cent = 1 + sum(len(question.options) for question in model.questions)
    total: list[cp_model.LinearExprT] = [
        cent * cost * is_made[name] for name, cost in model.costs.items()
    ]
    for number, question in enumerate(model.questions):
        mine = {each.name: problem.new_bool_var(each.name) for each in question.options}
        problem.add_exactly_one(mine.values())
        for place, option in enumerate(question.options):
            taken = mine[option.name]
            if option.barred or forced.get(number, option.name) != option.name:
                problem.add(taken == 0)
            for part in option.parts:
                problem.add_implication(taken, is_made[part])
            if question.sort == "candidate":
                # A candidate that is not taken is not made, and nothing may want it.
                problem.add_implication(is_made[option.name], taken)
                total.append(cent * model.terms.get(option.name, 0) * (1 - taken))
            total.append((cent * _cents(option.cost) + place) * taken)
        is_taken.append(mine)
    problem.minimize(sum(total))
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 0
    if solver.solve(problem) != cp_model.OPTIMAL:
        return None
    answers = tuple(
        next(name for name, taken in mine.items() if solver.value(taken)) for mine in is_taken
    )
    return round(solver.objective_value) // cent, answers


def _losers(
    model: _Model, number: int, taken: str, cost: int
) -> tuple[Mapping[str, str], Mapping[str, Decimal]]:
    lost, dearer = {}, {}
    for option in model.questions[number].options:
        if option.name == taken:
            continue
        if option.barred:
            lost[option.name] = option.barred
            continue
        forced = _solved(model, {number: option.name})
        if forced is None:
            lost[option.name] = "it fits with no answer to the other questions"
            continue
        more = (forced[0] - cost) * CENT
        dearer[option.name] = more
        lost[option.name] = (
            f"dearer by {more:,.2f} with everything else at its best"
            if more
            else "costs the same; the first written is taken"
        )
    return MappingProxyType(lost), MappingProxyType(dearer)


def _hindrance(model: _Model) -> str:
    for question in model.questions:
        if all(option.barred for option in question.options):
            told = "; ".join(f"{each.name}: {each.barred}" for each in question.options)
            return f"no way is left for {question.about}: {told}"
    return "each question has a way left, and no set of them fits together"
