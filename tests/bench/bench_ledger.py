"""Speed and safety of a ledger of 200,000 events on a show of 2,000 shots.

Run ``python tests/bench/bench_ledger.py [FOLDER] [--kills N]``: it writes the show and its ledger
into FOLDER unless they are there, then prints what a post and `blocking` cost as whole processes,
and how long each of eight writers waits. With ``--kills N`` it kills writers in the middle of
posting until N have died, and says what was lost, doubled or damaged.
"""

from __future__ import annotations

import argparse
import os
import resource
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random
from statistics import median

sys.path.insert(0, str(Path(__file__).parents[2]))

from planner.ledger import Details, Event, Verdict, What
from planner.ledger.store import open_ledger
from tests.bench.generated_show import SHOTS_PER_BUILD, write_show

COMPILED = Path(tempfile.gettempdir()) / "platewright_bench_compiled"
SHOTS, EVENTS, WRITERS, POSTS = 2_000, 200_000, 8, 100
START = datetime(2026, 1, 5, 8, tzinfo=UTC)
WRITER = """
import sys, time
from pathlib import Path
sys.path.insert(0, sys.argv[1])
from planner.ledger import Event, What
from planner.ledger.store import open_ledger
from datetime import datetime, UTC

ledger = open_ledger(Path(sys.argv[2]))
for n in range(int(sys.argv[4])):
    event = Event(f"{sys.argv[3]} {n}", What.BUILT, "town_3", datetime.now(UTC), "bench")
    began = time.perf_counter()
    ledger.post([event])
    print(event.client, f"{(time.perf_counter() - began) * 1000:.3f}", sep="\\t", flush=True)
"""


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("folder", nargs="?", type=Path)
    asked.add_argument("--kills", type=int, default=0)
    told = asked.parse_args()
    with tempfile.TemporaryDirectory() as made:
        folder = told.folder or Path(made) / "show"
        if told.kills:
            kill(Path(made) / "ledger.db", told.kills)
            return
        if not (folder / "ledger.db").exists():
            write_show(folder, SHOTS)
            fill(folder / "ledger.db")
        post(folder)
        waits(folder / "ledger.db")
        block(folder)


def fill(path: Path) -> None:
    """As many events as a show of this size has when it is half done."""
    began = time.perf_counter()
    ledger = open_ledger(path)
    assert ledger is not None
    told = [event(n) for n in range(EVENTS)]
    for n in range(0, EVENTS, 5_000):
        ledger.post(told[n : n + 5_000])
    ledger.close()
    print(f"wrote {EVENTS:,} events in {time.perf_counter() - began:.1f} s")


def event(n: int) -> Event:
    """Towns built, then takes of the first half of the shots, over and over."""
    at = START + timedelta(minutes=n)
    builds = SHOTS // SHOTS_PER_BUILD
    if n < builds:
        return Event(f"bench {n}", What.BUILT, f"town_{n}", at, "bench")
    about = f"G{n % (SHOTS // 2):05d}.{'sky' if n % 3 else 'town'}"
    take = Details(take=str(n // SHOTS), verdict=Verdict.GOOD, why="the fog was late")
    return Event(f"bench {n}", What.TAKE, about, at, "bench", take)


def post(folder: Path) -> None:
    """Whole processes, the outline being kept from the first on."""
    costs = [run("post", folder, "built", f"town_{n}") for n in range(12)][1:]
    print(f"post: {said(costs)}")


def block(folder: Path) -> None:
    """By an issued order, as a show that is half done has one."""
    if not (folder / "issued").exists():
        run("order", folder, "--issue", "--tries", "0")
    first = run("blocking", folder)
    again = [run("blocking", folder) for _ in range(3)]
    run("post", folder, "proven", "town_1")
    after = run("blocking", folder)
    print(f"blocking, nothing kept: {said([first])}")
    print(f"blocking, nothing new:  {said(again)}")
    print(f"blocking, after a post: {said([after])}")


def run(*words: object) -> tuple[float, float]:
    """Seconds by the clock and of the processor; compiled modules are kept, as in an install."""
    command = [Path(sys.executable).with_name("platewright"), *map(str, words)]
    kept = {"PYTHONDONTWRITEBYTECODE": "", "PYTHONPYCACHEPREFIX": str(COMPILED)}
    before, began = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, env={**os.environ, **kept})
    took, after = time.perf_counter() - began, resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return took, cpu


def said(costs: list[tuple[float, float]]) -> str:
    clock, cpu = median(each for each, _ in costs), median(each for _, each in costs)
    return f"{clock * 1000:,.0f} ms by the clock, {cpu * 1000:,.0f} ms of the processor (median)"


def writer(path: Path, name: str, posts: int) -> subprocess.Popen[str]:
    root = str(Path(__file__).parents[2])
    words = [sys.executable, "-c", WRITER, root, str(path), name, str(posts)]
    return subprocess.Popen(words, stdout=subprocess.PIPE, text=True)


def waits(path: Path) -> None:
    """Eight processes that post one event after the other, as fast as they can."""
    stamp = time.time_ns()
    writers = [writer(path, f"writer {stamp} {n}", POSTS) for n in range(WRITERS)]
    told = [line.split("\t") for each in writers for line in each.communicate()[0].splitlines()]
    took = sorted(float(each) for _client, each in told)
    p99 = took[int(len(took) * 0.99)]
    print(
        f"{WRITERS} writers, {len(took)} posts: {median(took):.1f} ms median, {p99:.1f} ms p99,"
        f" {took[-1]:.1f} ms at most"
    )


def kill(path: Path, kills: int) -> None:
    """Keep eight writers posting, and kill one after the other at any moment."""
    chance, acknowledged, died = Random(7), list[str](), 0  # noqa: S311 - no secret
    running = [writer(path, f"writer {n}", 10**9) for n in range(WRITERS)]
    while died < kills:
        time.sleep(chance.uniform(0.0, 0.15))
        at = chance.randrange(WRITERS)
        os.kill(running[at].pid, signal.SIGKILL)
        acknowledged += words_of(running[at])
        died += 1
        running[at] = writer(path, f"writer {WRITERS + died}", 10**9)
    for each in running:
        os.kill(each.pid, signal.SIGKILL)
        acknowledged += words_of(each)
    ledger = open_ledger(path)
    assert ledger is not None
    kept = [each.client for each in ledger.events()]
    ledger.close()
    with closing(sqlite3.connect(path)) as connection:
        sound = connection.execute("PRAGMA integrity_check").fetchone()[0]
    lost = len(set(acknowledged) - set(kept))
    print(
        f"{died + WRITERS} kills: {len(acknowledged):,} events acknowledged, {len(kept):,} kept,"
        f" {lost} lost, {len(kept) - len(set(kept))} doubled; integrity: {sound}"
    )


def words_of(dead: subprocess.Popen[str]) -> list[str]:
    """Clients of whole lines; the last one may have been cut short by the kill."""
    lines = dead.communicate()[0].splitlines(keepends=True)
    return [line.split("\t")[0] for line in lines if line.endswith("\n")]


if __name__ == "__main__":
    main()
