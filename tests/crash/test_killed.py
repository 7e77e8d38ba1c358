"""A process is killed at random moments of its work; everything that it confirmed is there."""

from __future__ import annotations

import multiprocessing
import os
import signal
from collections.abc import Callable
from contextlib import closing
from multiprocessing.connection import Connection
from multiprocessing.context import BaseContext
from pathlib import Path

import pytest

from formulary.records.opening import open_store
from tests.crash.busy_house import Kept, by_chance, work, work_until_killed
from tests.crash.reopened import found_again

RUNS = 500 if os.environ.get("MISCE_FULL") else 20
MOST_ACTS = 90
"""A day of so many acts makes, labels and releases several preparations."""

LONGEST_ACT = 0.05
"""Seconds; somewhere within an act the process ends."""


@pytest.fixture(scope="module")
def processes() -> BaseContext:
    """Return what starts processes: copies of one that has loaded everything, where there is."""
    if "forkserver" not in multiprocessing.get_all_start_methods():
        return multiprocessing.get_context("spawn")
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(["tests.crash.busy_house", "formulary.labels.drawing"])
    return context


def killed(processes: BaseContext, house: Path, seed: int) -> Kept:
    """Let a process work in a house, kill it, and return the last act that it confirmed."""
    chance = by_chance(seed)
    ours, theirs = processes.Pipe(duplex=False)
    process = processes.Process(  # type: ignore[attr-defined]  # each context has its own
        target=work_until_killed, args=(house, seed, theirs), daemon=True
    )
    process.start()
    theirs.close()
    last: Kept = ours.recv()
    for _ in range(chance.randrange(MOST_ACTS)):
        last = ours.recv()
    ours.poll(chance.uniform(0, LONGEST_ACT))
    process.kill()
    process.join()
    assert process.exitcode == -signal.SIGKILL
    return last_of(ours, last)


def last_of(pipe: Connection, last: Kept) -> Kept:
    """Return the last act confirmed before the end, which may still lie in the pipe."""
    with pipe:
        while True:
            try:
                last = pipe.recv()
            except EOFError:
                return last


def stands_at(house: Path) -> int:
    """Return how many entries a house's history has."""
    with closing(open_store(house)) as store:
        return store.chain_head()[0]


@pytest.mark.parametrize("seed", range(RUNS))
def test_a_killed_process_loses_at_most_the_act_it_was_at(
    processes: BaseContext,
    house: Path,
    seed: int,
    record_property: Callable[[str, int], None],
) -> None:
    begun = stands_at(house)
    last = killed(processes, house, seed)
    again = found_again(house, last)
    record_property("acts confirmed before a kill and found again", last.number - begun)
    record_property("acts that nobody was told of and that are there", again.number - last.number)
    acts: list[Kept] = []
    day = work(house, seed + 1, acts.append)
    next(day)
    assert acts[-1].number > again.number
    found_again(house, acts[-1], at_most=0)
