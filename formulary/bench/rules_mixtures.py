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
from formulary.bench.mixtures import Mixture, mixture_of
from formulary.bench.reading import Reading, require_alike, require_sound
from formulary.bench.state import State, with_line
from formulary.bench.weighing import LineState, needs_witness, require_witness, shown
from formulary.messages import message
from formulary.quantity.amount import Amount


@apply.register
def mixture_made(event: MixtureMade, now: Now) -> State:
    """A mixture is kept to its plan as the line is; one that isn't stays on record as waste."""
    state = at_work(now)
    require_nothing_over(state)
    line = line_at(state, event.line)
    wanted = mixture_of(state.job.plan.lines[event.line], event.factor)
    if wanted is None:
        refuse("mixture.none", ingredient=line.ingredient)
    _require_sound(event, line, wanted)
    lone = needs_witness(line, event.taken) and not event.taken.witness_id
    if not (lone and now.alone_because):
        require_witness(line, event.taken, now.recorded.person_id)
    state = _kept(state, now, line, event, wanted)
    return exempted(state, now, "line_weighed") if lone else state


def require_mixture(state: State, line: LineState) -> None:
    """Refuse a part of a mixture that nobody has made yet."""
    if lacks_mixture(state, line):
        refuse("mixture.first", ingredient=line.ingredient)


def lacks_mixture(state: State, line: LineState) -> bool:
    """Tell whether a line is a part of a mixture that isn't there yet."""
    plan = state.job.plan.lines[line.position].sub_plan
    return plan is not None and plan.taken is not None and line.mixture is None


def _require_sound(event: MixtureMade, line: LineState, wanted: Mixture) -> None:
    for reading, planned in ((event.taken, wanted.taken), (event.diluent, wanted.made_with)):
        require_sound(reading)
        require_alike(reading.amount, planned, line.ingredient)


def _kept(state: State, now: Now, line: LineState, event: MixtureMade, wanted: Mixture) -> State:
    pairs = ((event.taken, wanted.taken), (event.diluent, wanted.made_with))
    if all(_is_right(line, reading, planned) for reading, planned in pairs):
        return with_line(state, replace(line, mixture=event.taken))
    said = message(
        "bench.deviation.mixture",
        ingredient=line.ingredient,
        taken=event.taken.amount,
        planned=shown(wanted.taken),
        diluent=event.diluent.amount,
        made_with=shown(wanted.made_with),
    )
    return deviating(state, now, Category.WEIGHING, said)


def _is_right(line: LineState, reading: Reading, planned: Amount) -> bool:
    if line.percent is None:
        return True
    off = reading.amount / planned - Fraction(1)
    return abs(off) * 100 <= line.percent
