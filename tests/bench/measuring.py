"""Medians, fresh processes and the one line that a figure is printed as."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

MILLISECOND = 1e-3


@dataclass(frozen=True, slots=True)
class Figure:
    """A measurement beside its floor and its target, all in ``unit``."""

    name: str
    unit: str
    ours: float
    floor: float
    target: str

    def __str__(self) -> str:
        ratio = self.ours / self.floor
        floor = f"floor {self.floor:9.3f}  ratio {ratio:5.2f}"
        return f"{self.name:<44} {self.ours:9.3f} {self.unit}  {floor}  (aim: {self.target})"


def median_time(work: Callable[[], object], runs: int = 15) -> float:
    """Return the median time of ``work`` in milliseconds after one warm-up."""
    work()
    return statistics.median(timed(work) for _ in range(runs))


def timed(work: Callable[[], object]) -> float:
    """Return how many milliseconds ``work`` takes."""
    start = time.perf_counter()
    work()
    return (time.perf_counter() - start) / MILLISECOND


def percentile(values: Sequence[float], part: float) -> float:
    """Return the value below which ``part`` of the values lie."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, int(len(ordered) * part))]


def child(code: str, *arguments: str) -> str:
    """Run Python code in a fresh process without a screen and return what it printed."""
    environment = {"QT_QPA_PLATFORM": "offscreen", **os.environ}
    # Compiled modules are kept, as on any machine after the first start.
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    done = subprocess.run(
        [sys.executable, "-c", code, *arguments],
        env=environment,
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout


def moments(*programs: tuple[str, ...], runs: int = 9) -> list[list[list[float]]]:
    """Return, for each program and run, the milliseconds from its start to each time it prints.

    The programs take turns, so that a machine that slows down slows all of them.
    """
    for code, *arguments in programs:
        child(code, *arguments)
    found: list[list[list[float]]] = [[] for _ in programs]
    for _ in range(runs):
        for position, (code, *arguments) in enumerate(programs):
            start = time.time()
            printed = child(code, *arguments).split()
            found[position].append([(float(each) - start) / MILLISECOND for each in printed])
    return found
