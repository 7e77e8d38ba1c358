"""What the sample's people find and read: the middle of a window, a target a little off."""

from __future__ import annotations

import re
import zlib
from fractions import Fraction

from formulary.bench import events
from formulary.bench.events import Answer
from formulary.bench.joining import SideTemperature, rule_of
from formulary.bench.quality import units_in
from formulary.bench.temperatures import Window
from formulary.bench.weighing import LineState, weighed
from formulary.desk import Desk
from formulary.formula.content import Ask, Asked
from formulary.formula.kinds import ToEndPoint
from formulary.house import Balance, House, Measure
from formulary.people import Person
from formulary.quantity.amount import Amount
from formulary.quantity.rounding import round_half_even_to
from formulary.quantity.writing import plain_number
from formulary.scaling.masses import mass_of_line
from formulary.scaling.whole import whole_as_written
from formulary.stock.choosing import in_order
from formulary.stock.shelf import Holding
from formulary.verbs.look_up_stock import holdings_of_ingredient
from formulary.verbs.weigh_line import factor_at, wanted_of
from formulary.verbs.weigh_units import units_to_weigh
from formulary.verbs.work_at_bench import AtBench

_RANGE = re.compile(r"([0-9.]+) to ([0-9.]+)")
_LUKEWARM = Fraction(22)


def container(desk: Desk, work: AtBench, line: int) -> Holding:
    """Return the container whose turn it is among those that were in the house by then."""
    wanted = wanted_of(desk, work.state.job.plan.lines[line].line)
    held = holdings_of_ingredient(desk.store, wanted.ingredient_id)
    here = [each for each in held if each.lot.received_on <= desk.today]
    full = [each for each in in_order(here, wanted, desk.today) if each.on_hand.number > 0]
    if not full:
        raise ValueError(f"{work.preparation.lot}: nothing of line {line} on the shelf")
    return full[0]


def factor_of(desk: Desk, work: AtBench, line: LineState, held: Holding) -> Fraction:
    """Return what is weighed of a lot for one of what is declared."""
    return factor_at(desk, work, line.position, held.lot)


def instrument_named(house: House, name: str) -> Balance | Measure:
    """Return a balance or measure of the house."""
    every: tuple[Balance | Measure, ...] = (*house.balances, *house.measures)
    return next(each for each in every if each.name == name)


def as_needed(work: AtBench, line: int) -> Amount:
    """Return what a line to an end point took: what it usually does, for the size made."""
    plan, written = work.state.job.plan, whole_as_written(work.content).amount
    kind = plan.lines[line].line.quantity
    if not isinstance(kind, ToEndPoint) or kind.about is None or written is None:
        raise ValueError(f"line {line} says nothing of how much it takes")
    took = kind.about * (plan.to_make / written)
    return round_half_even_to(took, Amount(Fraction(1, 1000), took.unit))


def off(lot: str, line: int) -> Fraction:
    """Return a little deviation, always the same for one line of one lot: within a fifth."""
    return Fraction(zlib.crc32(f"{lot}/{line}".encode()) % 41 - 20, 100) / 100


def seen(line: LineState) -> events.LineChecked:
    """Return what a second person sees of a line."""
    amount = weighed(line)
    if amount is None:
        raise ValueError("nothing weighed to look at")
    return events.LineChecked(line.position, line.readings[-1].container, amount)


def joining(work: AtBench, step: int) -> events.PhasesJoined:
    """Return phases joined, each side in the middle of its window."""
    job = work.state.job
    rule = rule_of(job.method, step, job.join_difference)
    windows = () if rule is None else rule.windows
    sides = tuple(SideTemperature(side, inside(window)) for side, window in windows)
    return events.PhasesJoined(step, sides)


def inside(window: Window) -> Fraction:
    """Return a number well inside a window."""
    match window:
        case Window(None, None):
            return _LUKEWARM
        case Window(None, highest) if highest is not None:
            return highest - 2
        case Window(lowest, None) if lowest is not None:
            return lowest + 2
        case Window(lowest, highest):
            return ((lowest or Fraction(0)) + (highest or Fraction(0))) / 2


def answer(ask: Ask, checker: Person) -> Answer:
    """Return what a step is answered."""
    if ask.what is Asked.SECOND_PERSON:
        return Answer(ask.what, person_id=checker.id)
    if ask.what in (Asked.TIME, Asked.TEMPERATURE, Asked.PH):
        return Answer(ask.what, inside(Window(ask.lowest, ask.highest)))
    return Answer(ask.what, text="seen")


def within(limits: str) -> str:
    """Return a finding inside limits written as "5 to 7.5", else what is asked for itself."""
    found = _RANGE.search(limits)
    if found is None:
        return limits
    middle = (Fraction(found[1]) + Fraction(found[2])) / 2
    return plain_number(round(middle * 100) / Fraction(100))


def single_masses(work: AtBench) -> tuple[Amount, ...]:
    """Return the masses of the units that are weighed: what one holds, a little more or less."""
    wanted = units_to_weigh(work)
    one = _whole_mass(work) / (units_in(work.job.plan) or wanted)
    step, shares = Amount(Fraction(1, 1000), "g"), (Fraction(99, 100), 1, Fraction(101, 100))
    return tuple(
        round_half_even_to(Amount(one * shares[place % 3], "g"), step) for place in range(wanted)
    )


def _whole_mass(work: AtBench) -> Fraction:
    """Return what all lines weigh together in g."""
    total = Fraction(0)
    for each in work.job.plan.lines:
        if each.to_measure is not None:
            total += mass_of_line(each.line, each.to_measure).result.to("g").number
    return total
