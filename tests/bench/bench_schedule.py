"""How fast the first order comes and how good orders get; run by hand.

    python tests/bench/bench_schedule.py [--seconds S] [--sizes 20 100 500]
    python tests/bench/bench_schedule.py --alone PIECES [--seconds S]
    python tests/bench/bench_schedule.py --again PIECES [--seconds S] [--issued S] [--seeds 1 2 3]

Questions are generated from a seed: pieces of about eight activities each, on stages with set-ups
and rigs, with crafts by the hand, under a calendar. Seconds
are of the processor, so that figures hold on a busy machine; `bench_psplib.py` has published
instances.
"""

from __future__ import annotations

import argparse
import random
import resource
import sys
import time
from dataclasses import dataclass, replace
from datetime import date

from least_moved import least_moved

from planner.schedule import (
    Activity,
    Answer,
    Budget,
    Calendar,
    Changeovers,
    Instance,
    Mode,
    MovePrice,
    Precedence,
    Resource,
    Weights,
    bounds_of,
    replan,
    solve,
    verify,
    working_days,
)
from planner.schedule.beginning import placed_first
from planner.schedule.decode import Decoder
from planner.schedule.indexed import index
from planner.schedule.search import Search

DAY = 40
LENSES = ("28", "50")
TAKES, TAKE = 3, (4, 20)
STAGES_BUSY, CRAFTS_BUSY = 0.72, 0.85
LEAD_DAYS, DUE_SHARE = 14, 0.95


@dataclass(frozen=True)
class _Plan:
    """What a generated question goes by.

    Attributes:
        pieces: how many there are, in the order in which they are due.
        stages: how many; the work on them fills `STAGES_BUSY` of `days`.
        days: working days until the last piece is due, about.
        models: how many, each in about eight pieces that are due near one another.
        places: of each model the `(stage, rig)` pairs that it may stand on.
    """

    pieces: int
    stages: int
    days: int
    models: int
    places: tuple[tuple[tuple[int, int], ...], ...]

    @property
    def rigs(self) -> int:
        return max(2, self.stages * 2 // 3)


def _plan(rng: random.Random, pieces: int) -> _Plan:
    stages, models = max(3, min(11, pieces // 40 + 3)), max(2, pieces // 8)
    rigs = max(2, stages * 2 // 3)
    hosts = _dealt(rng, stages, 2 * models)
    places = tuple(
        tuple(zip(hosts[2 * n : 2 * n + 2], rng.sample(range(rigs), 2), strict=True))
        for n in range(models)
    )
    work = pieces * TAKES * sum(TAKE) / 2
    days = LEAD_DAYS + round(work / (stages * DAY * STAGES_BUSY))
    return _Plan(pieces, stages, days, models, places)


def _dealt(rng: random.Random, kinds: int, count: int) -> list[int]:
    """Numbers below `kinds`, each as often as any, no two neighbours alike."""
    found: list[int] = []
    while len(found) < count:
        deck = rng.sample(range(kinds), kinds)
        found += deck if deck[0] not in found[-1:] else deck[::-1]
    return found[:count]


def generated(pieces: int, seed: int = 1) -> Instance:
    """A question of `pieces` pieces: builds, tests, three takes each, lab, two crafts, one sink.

    A model stands on at most two stages, and its pieces are due near one another. Hands of each
    craft are as many as leave it `CRAFTS_BUSY`.
    """
    rng = random.Random(seed)  # noqa: S311 - repeatable, not secret
    plan = _plan(rng, pieces)
    activities = (*_builds(rng, plan), *_pieces(rng, plan))
    return Instance(
        activities,
        tuple(_resources(rng, plan, activities)),
        Calendar(working_days(date(2027, 3, 1), date(2031, 3, 1))[: max(60, plan.days)], DAY),
        _changeovers(plan.models),
        Weights(late=10, changeover=10),
    )


def _resources(rng: random.Random, plan: _Plan, activities: tuple[Activity, ...]) -> list[Resource]:
    days = range(5, max(60, plan.days))
    found = [
        Resource(
            f"stage{n}",
            blocked=tuple((d * DAY, (d + 2) * DAY) for d in sorted(rng.sample(days, 2))),
            held_day_cost=800,
        )
        for n in range(plan.stages)
    ]
    found += [Resource(f"rig{n}") for n in range(plan.rigs)]
    for craft in ("shop", "paint", "trace", "join"):
        modes = [activity.modes[0] for activity in activities]
        work = sum(mode.duration_quarters * mode.uses.get(craft, 0) for mode in modes)
        found.append(Resource(craft, max(2, round(work / (CRAFTS_BUSY * plan.days * DAY)))))
    return found


def _builds(rng: random.Random, plan: _Plan) -> list[Activity]:
    found: list[Activity] = []
    for n in range(plan.models):
        build = Mode(rng.randint(40, 240), {"shop": rng.randint(1, 2)})
        found.append(Activity(f"build{n}", (build,), splittable=True))
        test = Mode(rng.randint(4, 12), {"shop": 1})
        found.append(Activity(f"test{n}", (test,), (Precedence(f"build{n}"),)))
    return found


def _pieces(rng: random.Random, plan: _Plan) -> list[Activity]:
    found: list[Activity] = []
    for n in range(plan.pieces):
        model = max(0, min(plan.models - 1, n // 8 + rng.randint(-1, 1)))
        lens, on_rig = rng.choice(LENSES), rng.random() < 0.5
        before = f"test{model}"
        for take in range(TAKES):
            duration = rng.randint(*TAKE)
            ways = tuple(
                Mode(
                    duration,
                    {f"stage{s}": 1} | ({f"rig{r}": 1} if on_rig else {}),
                    set_ups={f"stage{s}": f"m{model}-{lens}"},
                )
                for s, r in plan.places[model]
            )
            found.append(Activity(f"take{n}.{take}", ways, (Precedence(before),)))
            before = f"take{n}.{take}"
        found += _after_takes(rng, n, before, plan)
    return found


def _after_takes(rng: random.Random, n: int, last_take: str, plan: _Plan) -> list[Activity]:
    found: list[Activity] = []
    lab = Precedence(last_take, lag_clock_quarters=64)
    for craft, waits in (("paint", ()), ("trace", (lab,)), ("trace", (lab,))):
        mode = Mode(rng.randint(8, 60), {craft: 1})
        name = f"{craft}{n}.{len(found)}"
        found.append(Activity(name, (mode,), waits, splittable=True))
    due = LEAD_DAYS + (n + 1) / plan.pieces * (plan.days - LEAD_DAYS) * DUE_SHARE
    join = Activity(
        f"join{n}",
        (Mode(rng.randint(8, 40), {"join": 1}),),
        tuple(Precedence(activity.id) for activity in found),
        due=round(due * DAY),
        weight=rng.choice((1, 1, 1, 3)),
        splittable=True,
    )
    return [*found, join]


def _changeovers(models: int) -> Changeovers:
    states = {f"m{n}-{lens}": n for n in range(models) for lens in LENSES}
    return Changeovers(
        set_up={state: 3 + 7 * n % 13 for state, n in states.items()},
        strike={state: 1 + 5 * n % 6 for state, n in states.items()},
        pairs={
            ("", f"m{n}-{one}", f"m{n}-{other}"): 2
            for n in range(models)
            for one, other in (LENSES, LENSES[::-1])
        },
    )


def show_generated(sizes: list[int], seconds: float) -> None:
    """Print the first order and the improved one for each size."""
    print(
        "pieces activities  first s  first total  after s    total  finish/bound  held/least"
        "  late  change   MB"
    )
    for size in sizes:
        instance = generated(size)
        first, first_seconds = _first(instance)
        best = solve(instance, Budget(seconds=seconds, clock=time.process_time))
        broken = verify(instance, first) + verify(instance, best)
        parts = best.parts
        megabytes = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(
            f"{size:6} {len(instance.activities):10} {first_seconds:8.3f} {first.parts.total:12}"
            f" {seconds:8.1f} {parts.total:8} {parts.finish / bounds_of(instance).finish:13.3f}"
            f" {parts.held_days / _least_held(instance):11.2f} {parts.lateness:7}"
            f" {parts.changeover:7} {megabytes:4.0f}"
            f"  {'BROKEN' if broken else 'checked'}; {best.method}"
        )


def _least_held(instance: Instance) -> float:
    """Days of pure work on stages, and of the changing over that no order does without.

    A model's stretch on a stage begins with bringing it up and, unless it is the last there, ends
    with clearing it away. Each model has one such stretch at least, and no more models are last
    than there are stages; those with two lenses change once, which is quicker than any way round.
    All this lies in held days, a day's quarters at most in each.
    """
    changeovers = instance.changeovers
    work = sum(
        min(mode.duration_quarters for mode in activity.modes)
        for activity in instance.activities
        if activity.modes[0].set_ups
    )
    used = {
        state for a in instance.activities for mode in a.modes for state in mode.set_ups.values()
    }
    models = {state.split("-")[0] for state in used}
    ups = sum(
        min(changeovers.set_up[state] for state in used if state.split("-")[0] == model)
        for model in models
    )
    strikes = sorted(
        min(changeovers.strike[state] for state in used if state.split("-")[0] == model)
        for model in models
    )
    stages = sum(resource.held_day_cost > 0 for resource in instance.resources)
    downs = sum(strikes[: max(0, len(strikes) - stages)])
    return (work + ups + downs + 2 * (len(used) - len(models))) / DAY


def show_alone(size: int, seconds: float) -> None:
    """Changing whole orders alone, against all that `solve` does, in the same time."""
    instance = generated(size)
    indexed, _, wish, board = placed_first(index(instance))
    search = Search(Decoder(indexed), 0)
    search.adopt(wish, board)
    end = time.process_time() + seconds
    search.walk(None, lambda: time.process_time() >= end)
    alone = search.best
    solved = solve(instance, Budget(seconds=seconds, clock=time.process_time))
    if alone is not None:
        ratio = solved.parts.total / alone.total
        print(
            f"{size} pieces: local search alone {alone.total}, all {solved.parts.total},"
            f" {ratio:.3f} of it; {'BROKEN' if verify(instance, solved) else 'checked'}"
        )


@dataclass(frozen=True)
class _Again:
    """Processor seconds to plan again, and that the issued order had; what a near call weighs."""

    seconds: float
    issued: float
    price: int


def show_planned_again(size: int, again_in: _Again, seed: int) -> None:
    """The next build to be finished takes four days more, which is known half way through.

    Shows who moves in the five days after that, beside the fewest that any order moves, and what
    it weighs against ordering from scratch.
    """
    instance = generated(size, seed)
    budget = Budget(seconds=again_in.seconds, clock=time.process_time)
    issued = solve(instance, replace(budget, seconds=again_in.issued))
    now = issued.parts.finish // (2 * DAY) * DAY
    until = now + 5 * DAY
    builds = [a.id for a in instance.activities if a.id.startswith("build")]
    late = min(builds, key=lambda name: (issued.finishes[name] <= now, issued.finishes[name], name))
    changed = replace(
        instance,
        activities=tuple(
            replace(a, modes=(replace(a.modes[0], duration_quarters=_longer(a)),))
            if a.id == late
            else a
            for a in instance.activities
        ),
    )
    near = [name for name, start in issued.starts.items() if now <= start < until]
    price = MovePrice(near=again_in.price, window_quarters=until - now)
    again = replan(changed, issued, now, price, budget)
    free = replan(changed, issued, now, 0, budget)
    least = least_moved(again.instance, issued, near)
    print(f"seed {seed}: {late} late; {least} or more of {len(near)} near calls have to move")
    for told, answer in (
        ("kept near", again.answer),
        ("moves free", free.answer),
        ("from scratch", solve(again.instance, budget)),
    ):
        moved = sum(_call(answer, name) != _call(issued, name) for name in near)
        print(
            f"planned again, {told}: {moved} change day or stage, {moved - least} of them"
            f" ({100 * (moved - least) / len(near):.1f} %) without need,"
            f" late {answer.parts.lateness}, total {answer.parts.total},"
            f" {'BROKEN' if verify(again.instance, answer) else 'checked'}"
        )


def _call(answer: Answer, name: str) -> tuple[int, int]:
    """The day and the mode that an activity is called for."""
    return answer.starts[name] // DAY, answer.modes[name]


def _first(instance: Instance) -> tuple[Answer, float]:
    """The first order, and the processor seconds until it was told, the least of three."""
    took: list[float] = []
    told: list[float] = []
    for _ in range(3):
        told.clear()
        began = time.process_time()
        first = solve(instance, Budget(seconds=0), lambda _: told.append(time.process_time()))
        # It is told again once its bound is known, which is later.
        took.append(told[0] - began)
    return first, min(took)


def _longer(build: Activity) -> int:
    return build.modes[0].duration_quarters + 4 * DAY


def main() -> int:
    """Run what the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=5.0)
    parser.add_argument("--sizes", type=int, nargs="*", default=[20, 100, 500, 2000])
    parser.add_argument("--alone", type=int, metavar="PIECES")
    parser.add_argument("--again", type=int, metavar="PIECES")
    parser.add_argument("--issued", type=float, metavar="S", help="seconds the issued order had")
    parser.add_argument("--price", type=int, default=6000, help="what a moved near call weighs")
    parser.add_argument("--seeds", type=int, nargs="*", default=[1])
    chosen = parser.parse_args()
    if chosen.alone:
        show_alone(chosen.alone, chosen.seconds)
    elif chosen.again:
        for seed in chosen.seeds:
            again = _Again(chosen.seconds, chosen.issued or chosen.seconds, chosen.price)
            show_planned_again(chosen.again, again, seed)
    else:
        show_generated(chosen.sizes, chosen.seconds)
    return 0


if __name__ == "__main__":
    sys.exit(main())
