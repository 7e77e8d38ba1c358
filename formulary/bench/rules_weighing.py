"""Staging, vessels, readings, drops, and the second look at a line."""

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
    require_signed,
    require_stage,
    require_text,
)
from formulary.bench.drops import add_group
from formulary.bench.events import (
    Category,
    ContainerRefused,
    ContainerStaged,
    DropsAdded,
    EndReached,
    LineChecked,
    LineTransferred,
    LineWeighed,
    Way,
)
from formulary.bench.method import closing_step, opening_step
from formulary.bench.reading import Reading, Taking
from formulary.bench.rules_mixtures import require_mixture
from formulary.bench.rules_vessels import tared_vessel
from formulary.bench.second_look import doubt_about
from formulary.bench.stages import Stage
from formulary.bench.state import Staged, State, with_line
from formulary.bench.weighing import (
    LineState,
    check_again,
    dispute,
    end,
    is_finished,
    needs_witness,
    transfer,
    weigh,
)
from formulary.messages import message
from formulary.quantity.amount import Amount
from formulary.signing import Meaning


@apply.register
def container_staged(event: ContainerStaged, now: Now) -> State:
    """A container is fetched for a line of the formula."""
    state = at_work(now)
    line_at(state, event.line)
    require_text(event.container, "container_missing")
    staged = Staged(event.line, event.container, event.lot, event.typed)
    return replace(state, staged=(*state.staged, staged))


@apply.register
def container_refused(event: ContainerRefused, now: Now) -> State:
    """A wrong container is only noted: nothing was done with it, and the boat stays as it is."""
    require_stage(now.state, Stage.BENCH_CLEARED, Stage.IN_WORK)
    line_at(now.state, event.line)
    require_text(event.container, "container_missing")
    require_text(event.why, "container_why_missing")
    return now.state


@apply.register
def line_weighed(event: LineWeighed, now: Now) -> State:
    """A line is weighed inside the steps that need it; waste only after it was decided."""
    state = at_work(now)
    line = line_at(state, event.line)
    _require_way(state, event)
    require_mixture(state, line)
    return _taken(state, now, line, event.reading)


@apply.register
def drops_added(event: DropsAdded, now: Now) -> State:
    """Drops are counted in groups, and stand on record as a reading of the line."""
    state = at_work(now)
    require_nothing_over(state)
    line = line_at(state, event.line)
    count = next((each for each in state.drops if each.line == event.line), None)
    if count is None:
        refuse("drops.not_counted", ingredient=line.ingredient)
    counted = add_group(count, event.drops)
    reading = Reading(
        Amount(Fraction(event.drops), "drop"),
        "",
        event.container,
        event.lot,
        event.factor,
        vessel=event.vessel,
        witness_id=event.witness_id,
    )
    taken = _taken(state, now, line, reading)
    drops = tuple(counted if each.line == event.line else each for each in taken.drops)
    return replace(taken, drops=drops)


@apply.register
def line_transferred(event: LineTransferred, now: Now) -> State:
    """A boat is emptied into a vessel only once what it holds is right, or was accepted."""
    state = at_work(now)
    require_nothing_over(state)
    line = line_at(state, event.line)
    if not line.in_own_boat:
        refuse("line.transferred", ingredient=line.ingredient, vessel=line.vessel)
    tared_vessel(state, event.vessel)
    return with_line(state, transfer(line, event.vessel))


@apply.register
def line_checked(event: LineChecked, now: Now) -> State:
    """The checker signs and isn't the weigher, unless working alone for a signed reason.

    Whoever saw something else leaves the line unchecked: what both saw stays as a deviation.
    """
    state = at_work(now)
    require_signed(now, Meaning.CHECKED)
    line, person = line_at(state, event.line), now.recorded.done_by
    alone = bool(line.readings and person in line.weighed_by and now.alone_because)
    checked = replace(line, checked_by=person) if alone else check_again(line, person)
    doubt = doubt_about(line, event, state.job.reads)
    if doubt is not None:
        disputed = with_line(state, dispute(line, doubt.told))
        return deviating(disputed, now, Category.CHECK, doubt.on_record)
    state = with_line(state, checked)
    return exempted(state, now, "line_checked") if alone else state


@apply.register
def end_reached(event: EndReached, now: Now) -> State:
    """A line used as needed needs nothing more, or nothing at all; what was found is said."""
    state = at_work(now)
    require_text(event.found, "line.end_unsaid")
    return with_line(state, end(line_at(state, event.line)))


def _taken(state: State, now: Now, line: LineState, reading: Reading) -> State:
    """Return the state with a reading added to its line."""
    _require_open(state, line)
    if reading.vessel:
        tared_vessel(state, reading.vessel)
    lone = needs_witness(line, reading) and not reading.witness_id and bool(now.alone_because)
    seen = replace(line, high_alert=False, controlled=False) if lone else line
    after = replace(
        weigh(seen, reading, now.recorded.done_by),
        high_alert=line.high_alert,
        controlled=line.controlled,
        weighed_at=now.recorded.done_at,
    )
    ways = tuple(each for each in state.ways if each[0] != line.position)
    state = with_line(replace(state, ways=ways), after)
    return exempted(state, now, "line_weighed") if lone else state


def _require_way(state: State, event: LineWeighed) -> None:
    if event.reading.taking is Taking.ADDED:
        require_nothing_over(state)
    elif (event.line, Way.WASTE) not in state.ways:
        refuse("line.waste_undecided", ingredient=state.lines[event.line].ingredient)


def _require_open(state: State, line: LineState) -> None:
    """Refuse a line whose step isn't open yet, or is done with the line as it should be."""
    method = state.job.method
    first, last = opening_step(method, line.position), closing_step(method, line.position)
    if first is None or last is None:
        return
    if first not in state.open_steps and first not in state.done_steps:
        text = method.steps[first].step.text
        refuse("line.later", ingredient=line.ingredient, step=message("bench.words", text=text))
    if last in state.done_steps and is_finished(line):
        refuse("line.closed", ingredient=line.ingredient)
