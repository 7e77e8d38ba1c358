"""Which vessels' contents came together, and at which step.

The method says which phases meet at a step, not out of which vessel into which other one; so what
met is told of both.
"""

from __future__ import annotations

from dataclasses import dataclass

from formulary.bench.method import BenchStep
from formulary.bench.state import State


@dataclass(frozen=True, slots=True)
class Meeting:
    """The vessels whose contents are in one of them since a step, by its position."""

    step: int
    vessels: tuple[str, ...]


def meetings(state: State) -> tuple[Meeting, ...]:
    """Return where the contents of vessels came together so far, in the order of the method."""
    return _followed(state)[0]


def poured_together(state: State, name: str) -> tuple[str, ...]:
    """Return the other vessels whose content is together with this one's by now."""
    vessel = state.vessel(name)
    phase = vessel.phase if vessel is not None else ""
    united = next((each for each in _followed(state)[1] if phase in each), frozenset({phase}))
    return tuple(each for each in _of_phases(state, united) if each != name)


def _followed(state: State) -> tuple[tuple[Meeting, ...], list[frozenset[str]]]:
    """Return the meetings, and the phases that are together by now."""
    groups = [frozenset({each}) for each in dict.fromkeys(v.phase for v in state.vessels)]
    found: list[Meeting] = []
    for step in state.job.method.steps:
        if not _is_past(state, step):
            continue
        here = _phases_at(state, step)
        meeting = [each for each in groups if each & here]
        united = here.union(*meeting)
        groups = [*(each for each in groups if each not in meeting), united]
        if sum(bool(_of_phases(state, each)) for each in meeting) > 1:
            found.append(Meeting(step.position, _of_phases(state, united)))
    return tuple(found), groups


def _is_past(state: State, step: BenchStep) -> bool:
    return step.position in state.done_steps or state.is_joined(step.position)


def _phases_at(state: State, step: BenchStep) -> frozenset[str]:
    """Return the phases of what comes from the steps before, and of what goes in at this one."""
    lines = state.job.plan.lines
    own = {step.step.phase} if step.step.phase else set()
    return frozenset({*step.brings, *own, *(lines[each].line.phase for each in step.closes)})


def _of_phases(state: State, phases: frozenset[str]) -> tuple[str, ...]:
    return tuple(each.name for each in state.vessels if each.phase in phases)
