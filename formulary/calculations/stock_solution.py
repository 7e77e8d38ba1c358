"""A stock solution planned for the balances and measures at hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Outcome, Result
from formulary.calculating.values import Given
from formulary.calculating.weighing_plan import (
    CLOSE,
    Reach,
    Reading,
    convenient_from,
    finest,
    reaches,
    to_take,
)
from formulary.calculations import trituration
from formulary.calculations.trituration import (
    BALANCES,
    Weighed,
    balances_given,
    figures_given,
    permitted_given,
    rounding_doubt,
    too_little,
    weighed,
)
from formulary.errors import Refusal
from formulary.finding import Severity
from formulary.house import Balance, Measure
from formulary.messages import Message
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.writing import convenient, convenient_strength
from formulary.working import Working

AREA = "stock_solution"
VOLUMES_TRIED = 24
TEXTS = {
    "input": {
        "needed": "Active needed",
        "capacities": "Capacity of each balance",
        "readabilities": "Readability of each balance, in the same order",
        "minimums": "Least net weight on each balance, in the same order",
        "permitted_error": "Permitted weighing error in per cent",
        "most_aliquot": "Most that the preparation takes",
        "measure_capacities": "Capacity of each measure",
        "measure_readabilities": "Readability of each measure, in the same order",
        "measure_minimums": "Least volume on each measure, in the same order",
        "solubility": "Millilitres that dissolve one gram",
    },
    "result": {
        "aliquot": "Aliquot to take",
        "contains": "Active in the aliquot",
        "drug": "Active to weigh",
        "stock": "Make up to",
        "strength": "Strength of the stock",
    },
    "stock_solution_plan": {
        "title": "Stock solution planned for balances and measures",
        "words": "aliquot, stock solution, weigh and dilute, small amount, dilution plan",
        "about": "Convenient weight and volumes that bring a small amount into a liquid.",
        "source": "Active weighed to stock volume as active needed to aliquot; nothing under the "
        "minimum of its balance or measure.",
        "limits": "The stock volume must dissolve what is weighed.",
        "caution": "Check that solvent and volume suit the preparation and the patient.",
    },
    "step": {
        "drug": "Take {drug} of the active (on: {instrument})",
        "dissolve": "Dissolve and make up to {stock} (measure: {measure}): {strength}",
        "make_up": "Make up to {stock} (measure: {measure})",
        "volume": "{stock} x {needed} / {drug} = {aliquot}",
        "measure": "Measure {aliquot} (measure: {measure}): it holds {contains} of active",
    },
    "no_measure": "There is no measure to plan for.",
}
say = speaker(AREA)


@dataclass(frozen=True, slots=True)
class AliquotPlan:
    """How an amount too small to weigh or measure is measured as a part of a stock solution."""

    needed: Amount
    drug: Weighed
    stock: Weighed
    aliquot: Weighed
    contains: Amount
    strength: Concentration | None


def aliquot_plan(
    active: Amount,
    balances: Sequence[Balance],
    measures: Sequence[Measure],
    *,
    permitted_error: Fraction | None = None,
    solubility: Fraction | None = None,
    most_aliquot: Amount | None = None,
) -> Working[AliquotPlan]:
    """Return a stock solution, or a dilution of a liquid active, of convenient amounts.

    ``solubility`` is how many mL dissolve one gram. Raises :class:`formulary.errors.Refusal` where
    the amount can be taken as it is, or nothing serves.
    """
    by_volume = units.dimension(active.unit) == units.VOLUME
    volumes = reaches(measures)
    first = volumes if by_volume else reaches(balances, permitted_error)
    if not volumes or not first:
        raise Refusal(trituration.say("no_balance") if volumes else say("no_measure"))
    base = "mL" if by_volume else "g"
    needed = too_little(active, base, first)
    most = most_aliquot.to("mL").number if most_aliquot else None
    found = _solutions(needed, first, volumes, (solubility, most), by_volume=by_volume)
    best = min(found, key=lambda each: _worse(needed, each), default=None)
    if best is None:
        raise Refusal(trituration.say("no_plan", needed=active))
    plan = _aliquot(active, best, base)
    return Working(plan, _aliquot_steps(plan), say("stock_solution_plan.source"))


Solution = tuple[Reading, Reading, Reading]
"""Active, stock and aliquot."""


def _solutions(
    needed: Fraction,
    first: Sequence[Reach],
    volumes: Sequence[Reach],
    limits: tuple[Fraction | None, Fraction | None],
    *,
    by_volume: bool,
) -> list[Solution]:
    solubility, most = limits
    stocks = _stocks(volumes)
    found = []
    for drug in to_take(needed, first, None):
        least = drug.number if by_volume else drug.number * (solubility or 0)
        for stock in (each for each in stocks if each.number > least or each.number == least != 0):
            exact = finest(stock.number * needed / drug.number, volumes)
            if exact is None or (most is not None and exact.number > most):
                continue
            part = Reading(exact.on.rounded(exact.number), exact.on)
            if exact.on.does(part.number) and stock.number > drug.number * by_volume:
                found.append((drug, stock, part))
    return found


def _stocks(volumes: Sequence[Reach]) -> list[Reading]:
    """Return convenient volumes that the measures read exactly, each on the smallest one."""
    by_size = sorted(volumes, key=lambda each: each.most)
    easy = convenient_from(min(each.least for each in volumes))
    numbers = [next(easy) for _ in range(VOLUMES_TRIED)] + [each.most for each in volumes]
    readings = (finest(number, by_size) for number in sorted(set(numbers)))
    return [each for each in readings if each is not None and each.is_exact]


def _held(solution: Solution) -> Fraction:
    drug, stock, part = solution
    return drug.number * part.number / stock.number


def _worse(needed: Fraction, solution: Solution) -> tuple[bool, Fraction, Fraction]:
    return abs(_held(solution) / needed - 1) > CLOSE, solution[1].number, solution[0].number


def _aliquot(active: Amount, solution: Solution, base: str) -> AliquotPlan:
    drug, stock, part = solution
    per_ml = drug.number / stock.number
    strength = Concentration(per_ml * 1000, "mg/mL") if base == "g" else None
    return AliquotPlan(
        active,
        weighed(drug, base),
        weighed(stock, "mL"),
        weighed(part, "mL"),
        convenient(Amount(_held(solution), base)),
        convenient_strength(strength) if strength else None,
    )


def _aliquot_steps(plan: AliquotPlan) -> tuple[Message, ...]:
    drug, stock, aliquot = plan.drug, plan.stock, plan.aliquot
    made = {"stock": stock.amount, "measure": stock.on}
    said = {"stock": stock.amount, "needed": plan.needed, "drug": drug.amount}
    take = {"aliquot": aliquot.amount, "measure": aliquot.on, "contains": plan.contains}
    return (
        say("step.drug", drug=drug.amount, instrument=drug.on),
        say("step.dissolve", strength=plan.strength, **made)
        if plan.strength
        else say("step.make_up", **made),
        say("step.volume", aliquot=aliquot.amount, **said),
        say("step.measure", **take),
    )


def plan_stock_solution(given: Given) -> Outcome:
    """Return a stock solution for balances and measures given by their figures."""
    names = ("measure_capacities", "measure_readabilities", "measure_minimums")
    working = aliquot_plan(
        given.amount("needed"),
        balances_given(given),
        [Measure(str(place), *figures) for place, figures in figures_given(given, names)],
        permitted_error=permitted_given(given),
        solubility=given.number("solubility") if given.has("solubility") else None,
        most_aliquot=given.amount("most_aliquot") if given.has("most_aliquot") else None,
    )
    plan = working.result
    results = [
        Result("aliquot", plan.aliquot.amount),
        Result("drug", plan.drug.amount),
        Result("stock", plan.stock.amount),
        Result("contains", plan.contains),
    ]
    if plan.strength is not None:
        results.append(Result("strength", plan.strength))
    return Outcome(tuple(results), working.steps, rounding_doubt(plan.needed, plan.contains))


VOLUME = (Kind.VOLUME,)

CALCULATIONS = (
    Calculation(
        "stock-solution-plan",
        AREA,
        (
            Input("needed", (Kind.MASS, Kind.VOLUME)),
            *BALANCES,
            Input("measure_capacities", VOLUME, many=True, default="1 mL; 10 mL; 100 mL"),
            Input("measure_readabilities", VOLUME, many=True, default="0.01 mL; 0.1 mL; 1 mL"),
            Input(
                "measure_minimums",
                VOLUME,
                many=True,
                default="0.2 mL; 2 mL; 20 mL",
                assumed=Severity.NOTE,
            ),
            Input("solubility", (Kind.NUMBER,), optional=True),
            Input("most_aliquot", VOLUME, optional=True),
        ),
        plan_stock_solution,
        (("needed", "13.7 mg"),),
    ),
)
