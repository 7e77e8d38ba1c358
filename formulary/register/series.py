"""The figures of a formula's preparations over time: yield, weighing, true strength, time taken."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from fractions import Fraction

from formulary.bench.events import BenchCleared, ContainersFilled, Recorded
from formulary.bench.stages import Stage, is_earlier
from formulary.bench.state import State
from formulary.bench.true_strength import true_strengths
from formulary.bench.weighing import LineState, judged
from formulary.errors import Refusal
from formulary.quantity import units
from formulary.register.control import ControlLimits, control_limits, outside

WHOLE = Fraction(100)
SECONDS_IN_MINUTE = 60


class Measure(StrEnum):
    """What is followed over time, each with the unit its figures have."""

    YIELD = "yield"
    WEIGHING = "weighing"
    STRENGTH = "strength"
    TIME = "time"


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of one preparation: per cent, or minutes for the time taken.

    ``of`` names the active whose strength it is.
    """

    lot: str
    made_on: date
    measure: Measure
    value: Fraction
    of: str = ""


@dataclass(frozen=True, slots=True)
class Series:
    """One measure's figures in the order in which they were made, with their control limits."""

    measure: Measure
    of: str
    figures: tuple[Figure, ...]
    limits: ControlLimits | None

    @property
    def outside(self) -> tuple[Figure, ...]:
        """The figures beyond the limits."""
        values = [each.value for each in self.figures]
        return tuple(self.figures[place] for place in outside(values, self.limits))


def figures_of(
    lot: str, made_on: date, state: State, happened: Sequence[Recorded]
) -> Iterator[Figure]:
    """Yield what can be said of a preparation that was made to the end, rejected ones among them.

    What wasn't noted of it is left out.
    """
    if state.stage is Stage.CANCELLED or is_earlier(state.stage, Stage.PACKED):
        return
    percent = yield_percent(state)
    if percent is not None:
        yield Figure(lot, made_on, Measure.YIELD, percent)
    furthest = max(_deviations(state.lines), key=abs, default=None)
    if furthest is not None:
        yield Figure(lot, made_on, Measure.WEIGHING, furthest)
    for name, strength in _strengths(state):
        yield Figure(lot, made_on, Measure.STRENGTH, strength, name)
    minutes = minutes_taken(happened)
    if minutes is not None:
        yield Figure(lot, made_on, Measure.TIME, minutes)


def series_of(figures: Iterable[Figure]) -> tuple[Series, ...]:
    """Return the figures sorted into series, each by date and lot."""
    sorts: dict[tuple[Measure, str], list[Figure]] = {}
    for each in figures:
        sorts.setdefault((each.measure, each.of), []).append(each)
    places = list(Measure)
    return tuple(
        _series(measure, of, found)
        for (measure, of), found in sorted(
            sorts.items(), key=lambda each: (places.index(each[0][0]), each[0][1])
        )
    )


def yield_percent(state: State) -> Fraction | None:
    """Return what there was in the end in per cent of the plan's total; None where not taken."""
    taken, total = state.yielded, state.job.plan.total
    if taken is None or units.dimension(taken.unit) is not units.dimension(total.unit):
        return None
    return taken / total * WHOLE


def minutes_taken(happened: Iterable[Recorded]) -> Fraction | None:
    """Return the minutes from the bench being cleared (the last time) to the filled containers."""
    begun = ended = None
    for each in happened:
        match each.event:
            case BenchCleared():
                begun, ended = each.at, None
            case ContainersFilled():
                ended = each.at
    if begun is None or ended is None:
        return None
    return Fraction(int((ended - begun).total_seconds()), SECONDS_IN_MINUTE)


def _series(measure: Measure, of: str, found: list[Figure]) -> Series:
    in_order = sorted(found, key=lambda each: (each.made_on, each.lot))
    limits = control_limits([each.value for each in in_order])
    return Series(measure, of, tuple(in_order), limits)


def _deviations(lines: Iterable[LineState]) -> Iterator[Fraction]:
    """Yield how far each weighed line is from its target, in per cent of it."""
    for line in lines:
        verdict = judged(line)
        if verdict is not None:
            yield verdict.percent


def _strengths(state: State) -> Iterator[tuple[str, Fraction]]:
    """Yield each active's true strength in per cent of the declared one, once all is weighed."""
    try:
        found = true_strengths(state.job.plan, state.lines, state.job.reads)
    except Refusal:
        # An amount that has to become a mass and can't, for want of a density: nothing is said.
        return
    yield from ((each.ingredient, each.percent) for each in found if each.complete)
