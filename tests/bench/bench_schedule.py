"""How fast the first order comes and how good orders get; run by hand.

    python tests/bench/bench_schedule.py [--seconds S] [--sizes 20 100 500]
    python tests/bench/bench_schedule.py --again PIECES [--seconds S]
    python tests/bench/bench_schedule.py --psplib FOLDER [--every N] [--seconds S]

Questions are generated from a seed: pieces of about eight activities each, on stages with set-ups
and rigs, with crafts by the hand, under a calendar. With a PSPLIB folder holding `.sm` files and a
`bounds.csv` (`instance,lb,ub`), the gap to the best known makespan is shown for every n-th file.
Seconds are of the processor, so that figures hold on a busy machine.
"""

from __future__ import annotations

import argparse
import csv
import random
import resource
import sys
import time
from dataclasses import replace
from datetime import date
from pathlib import Path
from statistics import fmean

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
    read_psplib,
    replan,
    solve,
    verify,
    working_days,
)

DAY = 40
LENSES = ("28", "50")


def generated(pieces: int, seed: int = 1) -> Instance:
    """A question of `pieces` pieces: builds, tests, three takes each, lab, two crafts, one sink."""
    rng = random.Random(seed)  # noqa: S311 - repeatable, not secret
    stages = max(3, min(11, pieces // 15 + 2))
    days = 40 + pieces * 4 // stages
    models = max(2, pieces // 8)
    return Instance(
        tuple(_builds(rng, models) + _pieces(rng, pieces, stages, days)),
        tuple(_resources(rng, pieces, stages, days)),
        Calendar(working_days(date(2027, 3, 1), date(2031, 3, 1))[: max(60, days)], DAY),
        _changeovers(models),
        Weights(late=10, changeover=1),
    )


def _resources(rng: random.Random, pieces: int, stages: int, days: int) -> list[Resource]:
    found = [
        Resource(
            f"stage{n}",
            blocked=tuple((d * DAY, (d + 2) * DAY) for d in sorted(rng.sample(range(5, days), 2))),
            held_day_cost=20,
        )
        for n in range(stages)
    ]
    found += [Resource(f"rig{n}") for n in range(max(2, stages * 2 // 3))]
    hands = {
        "shop": max(3, stages),
        "paint": max(2, stages // 2),
        "trace": max(4, pieces // 12),
        "join": max(4, pieces // 12),
    }
    return found + [Resource(name, capacity) for name, capacity in hands.items()]


def _builds(rng: random.Random, models: int) -> list[Activity]:
    found: list[Activity] = []
    for n in range(models):
        build = Mode(rng.randint(40, 240), {"shop": rng.randint(1, 2)})
        found.append(Activity(f"build{n}", (build,), splittable=True))
        test = Mode(rng.randint(4, 12), {"shop": 1})
        found.append(Activity(f"test{n}", (test,), (Precedence(f"build{n}"),)))
    return found


def _pieces(rng: random.Random, pieces: int, stages: int, days: int) -> list[Activity]:
    rigs, models = max(2, stages * 2 // 3), max(2, pieces // 8)
    found: list[Activity] = []
    for n in range(pieces):
        model, lens = rng.randrange(models), rng.choice(LENSES)
        places = list(zip(rng.sample(range(stages), 2), rng.sample(range(rigs), 2), strict=True))
        before = f"test{model}"
        for take in range(3):
            duration = rng.randint(2, 10)
            ways = tuple(
                Mode(
                    duration,
                    {f"stage{s}": 1, f"rig{r}": 1},
                    set_ups={f"stage{s}": f"m{model}-{lens}"},
                )
                for s, r in places
            )
            found.append(Activity(f"take{n}.{take}", ways, (Precedence(before),)))
            before = f"take{n}.{take}"
        lab = Precedence(before, lag_clock_quarters=64)
        after: list[Precedence] = []
        for craft, waits in (("paint", ()), ("trace", (lab,)), ("trace", (lab,))):
            name = f"{craft}{n}.{len(after)}"
            mode = Mode(rng.randint(8, 60), {craft: 1})
            found.append(Activity(name, (mode,), waits, splittable=True))
            after.append(Precedence(name))
        due = int((n + 1) / pieces * days * DAY * 0.3) + 4 * DAY
        found.append(
            Activity(
                f"join{n}",
                (Mode(rng.randint(8, 40), {"join": 1}),),
                tuple(after),
                due=due,
                weight=rng.choice((1, 1, 1, 3)),
                splittable=True,
            )
        )
    return found


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
    """Days of pure work on stages, and of setting each model up once and changing lenses once.

    Models are on more stages than one where their pieces allow no other, so this is out of reach.
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
    return (work + ups + 2 * (len(used) - len(models))) / DAY


def show_planned_again(size: int, seconds: float) -> None:
    """A build four days late: who moves in the next five days, against ordering from scratch."""
    instance = generated(size)
    budget = Budget(seconds=seconds, clock=time.process_time)
    issued = solve(instance, budget)
    now, until = 20 * DAY, 25 * DAY
    builds = (a.id for a in instance.activities if a.id.startswith("build"))
    late = min(builds, key=lambda name: (issued.starts[name] < now, issued.starts[name], name))
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
    price = MovePrice(near=20_000, far=100, window_quarters=until - now)
    again = replan(changed, issued, now, price, budget)
    scratch = replan(changed, issued, now, 0, budget)
    for told, other in (("kept near", again), ("moves free", scratch)):
        moved = sum(other.answer.starts[n] // DAY != issued.starts[n] // DAY for n in near)
        broken = verify(other.instance, other.answer)
        print(
            f"planned again, {told}: {moved} of {len(near)} calls of the next five days change"
            f" day, late {other.answer.parts.lateness}, {'BROKEN' if broken else 'checked'}"
        )


def _first(instance: Instance) -> tuple[Answer, float]:
    """The first order, and the processor seconds until it was told, the least of three."""
    took: list[float] = []
    told: list[float] = []
    for _ in range(3):
        began = time.process_time()
        first = solve(instance, Budget(seconds=0), lambda _: told.append(time.process_time()))
        took.append(told[-1] - began)
    return first, min(took)


def _longer(build: Activity) -> int:
    return build.modes[0].duration_quarters + 4 * DAY


def show_psplib(folder: Path, seconds: float, every: int) -> None:
    """Print the gap to the best known makespan for a sample of a folder."""
    with (folder / "bounds.csv").open(encoding="utf-8") as file:
        known = {row["instance"]: int(row["ub"]) for row in csv.DictReader(file)}
    for group in sorted(path for path in folder.iterdir() if path.is_dir()):
        gaps, own, proven = [], [], 0
        for path in sorted(group.glob("*.sm"))[::every]:
            instance = read_psplib(path.read_text(encoding="latin-1"))
            answer = solve(instance, Budget(seconds=seconds, clock=time.process_time))
            if verify(instance, answer):
                print("BROKEN", path)
            gaps.append(answer.parts.finish / known[path.stem] - 1)
            own.append(answer.gap)
            proven += answer.proven
        print(
            f"{group.name}: {len(gaps)} files at {seconds:g} s, {proven} proven,"
            f" {100 * fmean(gaps):.2f} % over best known, {100 * fmean(own):.2f} % to own bound"
        )


def main() -> int:
    """Run what the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=5.0)
    parser.add_argument("--sizes", type=int, nargs="*", default=[20, 100, 500, 2000])
    parser.add_argument("--again", type=int, metavar="PIECES")
    parser.add_argument("--psplib", type=Path)
    parser.add_argument("--every", type=int, default=10)
    chosen = parser.parse_args()
    if chosen.psplib:
        show_psplib(chosen.psplib, chosen.seconds, chosen.every)
    elif chosen.again:
        show_planned_again(chosen.again, chosen.seconds)
    else:
        show_generated(chosen.sizes, chosen.seconds)
    return 0


if __name__ == "__main__":
    sys.exit(main())
