"""A preparation in the middle of its weighings, made by the verbs: what a picture shows."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from formulary.bench.balance_checks import WeightRead
from formulary.bench.events import (
    BenchCleared,
    ContainerStaged,
    PlanChecked,
    StepDone,
    TimerStarted,
    VesselTared,
)
from formulary.bench.reading import Reading
from formulary.bench.weighing import remaining
from formulary.desk import Desk
from formulary.exchange.sample_house import sample_pins
from formulary.formula.version import State
from formulary.people import Person
from formulary.quantity.amount import Amount
from formulary.verbs.check_balance import check_balance
from formulary.verbs.finish_step import finish_step
from formulary.verbs.start_preparation import Order, start_preparation
from formulary.verbs.weigh_line import weigh_line
from formulary.verbs.work_at_bench import AtBench, at_bench, record
from ui.bench.reading import Work, on_shelf

SOUGHT, TARGET = "hydrophilic cream", "3 x 60 g"
NOT_ALL = Fraction(19, 20)
TARE = Amount(Fraction("243.5"), "g")


def begin(desk: Desk) -> str:
    """Start a cream, weigh its first phase and some of the second, and return its lot."""
    hit = desk.store.find_formulas(SOUGHT)[0]
    version = next(
        each for each in desk.store.versions(hit.formula_id) if each.state is State.IN_USE
    )
    lot = start_preparation(desk, version.id, Order(TARGET)).lot
    _check(desk, lot)
    work = record(desk, lot, VesselTared("Beaker 2", TARE, phase="A"))
    first = work.state.job.method.steps[0]
    for line in first.closes:
        work = _weigh(desk, work, line)
    finish_step(desk, lot, StepDone(0))
    record(desk, lot, TimerStarted("Melt kept warm", Fraction(10)))
    second = work.state.job.method.steps[1].closes[0]
    _weigh(desk, at_bench(desk.store, lot), second, NOT_ALL)
    return lot


def _check(desk: Desk, lot: str) -> None:
    """Have the other pharmacist check the plan, clear the bench, and check the balances."""
    people = {each.name: each for each in desk.store.every(Person)}
    name, pin = next((name, pin) for name, _, pin in sample_pins() if name != desk.person.name)
    record(replace(desk, person=people[name]), lot, PlanChecked(), pin=pin)
    record(desk, lot, BenchCleared(at_bench(desk.store, lot).job.clearance))
    for balance in desk.house.balances:
        check_balance(desk, balance, [WeightRead(each, each.nominal) for each in balance.weights])


def _weigh(desk: Desk, work: AtBench, line: int, share: Fraction = Fraction(1)) -> AtBench:
    """Fetch the container whose turn it is, and weigh a share of what is asked for."""
    lot, planned = work.preparation.lot, work.state.job.plan.lines[line]
    held = on_shelf(desk, Work(work), line)[0]
    container = held.container.number
    record(desk, lot, ContainerStaged(line, container, held.lot.number))
    amount = remaining(work.state.lines[line]).result * share
    return weigh_line(desk, lot, line, Reading(amount, planned.instrument, container))
