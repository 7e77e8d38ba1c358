"""Triturations, dilutions and stock solutions made beside, of which a line is a part."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from formulary.bench.applying import (
    Now,
    apply,
    at_work,
    deviating,
    exempted,
    line_at,
    refuse,
    require_nothing_over,
)
from formulary.bench.events import Category, MixtureMade
from formulary.bench.reading import Reading, require_alike, require_sound
from formulary.bench.state import State, with_line
from formulary.bench.weighing import LineState, needs_witness, require_witness
from formulary.messages import message
from formulary.quantity.amount import Amount
from formulary.scaling.sub_plan import SubPlan


@apply.register
def mixture_made(event: MixtureMade, now: Now) -> State:
    """A mixture is kept to its plan as the line is; one that isn't stays on record as waste."""
    state = at_work(now)
    require_nothing_over(state)
    line = line_at(state, event.line)
    plan = state.job.plan.lines[event.line].sub_plan
    if plan is None or plan.taken is None or plan.made_with is None:
        refuse("mixture.none", ingredient=line.ingredient)
    _require_sound(event, line, plan.taken, plan.made_with)
    lone = needs_witness(line, event.taken) and not event.taken.witness_id
    if not (lone and now.alone_because):
        require_witness(line, event.taken, now.recorded.person_id)
    state = _kept(state, now, line, event, plan)
    return exempted(state, now, "line_weighed") if lone else state


def require_mixture(state: State, line: LineState) -> None:
    """Refuse a part of a mixture that nobody has made yet."""
    if lacks_mixture(state, line):
        refuse("mixture.first", ingredient=line.ingredient)


def lacks_mixture(state: State, line: LineState) -> bool:
    """Tell whether a line is a part of a mixture that isn't there yet."""
    plan = state.job.plan.lines[line.position].sub_plan
    return plan is not None and plan.taken is not None and line.mixture is None


def _require_sound(event: MixtureMade, line: LineState, taken: Amount, made_with: Amount) -> None:
    for reading, planned in ((event.taken, taken), (event.diluent, made_with)):
        require_sound(reading)
        require_alike(reading.amount, planned, line.ingredient)


def _kept(state: State, now: Now, line: LineState, event: MixtureMade, plan: SubPlan) -> State:
    pairs = ((event.taken, plan.taken), (event.diluent, plan.made_with))
    if all(_is_right(line, reading, planned) for reading, planned in pairs):
        return with_line(state, replace(line, mixture=event.taken))
    said = message(
        "bench.deviation.mixture",
        ingredient=line.ingredient,
        taken=event.taken.amount,
        planned=plan.taken or event.taken.amount,
        diluent=event.diluent.amount,
        made_with=plan.made_with or event.diluent.amount,
    )
    return deviating(state, now, Category.WEIGHING, said)


def _is_right(line: LineState, reading: Reading, planned: Amount | None) -> bool:
    if planned is None or line.percent is None:
        return True
    off = reading.amount / planned - Fraction(1)
    return abs(off) * 100 <= line.percent
