"""Trituration planned for the balances at hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from formulary.calculating.choosing import numbered
from formulary.calculating.describing import Calculation, Input, Kind, speaker
from formulary.calculating.outcome import Number, Outcome, Result, caution
from formulary.calculating.values import Given
from formulary.calculating.weighing_plan import (
    RATIOS,
    Mixture,
    Reach,
    Reading,
    best_mixture,
    finest,
    reaches,
    to_take,
)
from formulary.errors import Refusal
from formulary.finding import Finding, Severity
from formulary.house import Balance
from formulary.messages import Message
from formulary.quantity.amount import Amount
from formulary.quantity.rounding import round_to_significant
from formulary.quantity.writing import convenient
from formulary.working import Working

AREA = "trituration"
MOST_MIXINGS = 3
TEXTS = {
    "input": {
        "needed": "Active needed",
        "capacities": "Capacity of each balance",
        "readabilities": "Readability of each balance, in the same order",
        "minimums": "Least net weight on each balance, in the same order",
        "permitted_error": "Permitted weighing error in per cent",
        "most_aliquot": "Most that the preparation takes",
    },
    "result": {
        "taken": "To weigh in at each mixing",
        "diluent": "Diluent at each mixing",
        "total": "Mixture made at each mixing",
        "one_in": "One part in",
        "aliquot": "Aliquot to take",
        "contains": "Active in the aliquot",
        "left": "Left over",
    },
    "trituration_plan": {
        "title": "Trituration planned for the balances",
        "words": "triturate, geometric dilution, lactose, small amount, aliquot, dilution plan",
        "about": "Convenient weights that bring an amount too small to weigh into a powder.",
        "source": "Active weighed to whole mixture as active needed to aliquot; no weight under "
        "the minimum of its balance.",
        "limits": "At most 1 in 100 at each mixing, and three mixings.",
        "caution": "Mix by doubling, with a diluent that suits the preparation and the patient. "
        "Label and discard what is left over, or keep it as an intermediate with its own record.",
    },
    "step": {
        "active": "Weigh {taken} of the active (balance: {balance})",
        "mixture": "Weigh {taken} of that mixture (balance: {balance})",
        "diluent": "Add {diluent} of diluent (balance: {balance}) by doubling: {total}, "
        "1 in {one_in}",
        "aliquot": "{total} x {needed} / {taken} = {aliquot}",
        "take": "Weigh {aliquot} of the mixture (balance: {balance}): it holds {contains} "
        "of active",
    },
    "lists": "Give as many capacities as readabilities and minimums.",
    "no_balance": "There is no balance to plan for.",
    "nothing": "An amount of nothing needs no plan.",
    "weigh": "{needed} can be taken as it is: {instrument} does that.",
    "no_plan": "No plan brings {needed} within these instruments and limits.",
    "rounded": "Rounding makes it {contains}, which is {percent} % off.",
}
say = speaker(AREA)


@dataclass(frozen=True, slots=True)
class Weighed:
    """An amount and the balance or measure that it is taken on."""

    amount: Amount
    on: str


@dataclass(frozen=True, slots=True)
class Mixing:
    """One mixing of a trituration: the active, or the mixture before it, with diluent."""

    taken: Weighed
    diluent: Weighed
    total: Amount
    one_in: Fraction


@dataclass(frozen=True, slots=True)
class TriturationPlan:
    """How an amount too small to weigh is weighed as a part of a powder mixture.

    ``contains`` is the active in the aliquot after rounding to what the balances show.
    """

    needed: Amount
    mixings: tuple[Mixing, ...]
    aliquot: Weighed
    contains: Amount
    left: Amount


def trituration_plan(
    active: Amount,
    balances: Sequence[Balance],
    permitted_error: Fraction | None = None,
    most_aliquot: Amount | None = None,
) -> Working[TriturationPlan]:
    """Return a trituration of convenient weights, each one allowed on its balance.

    ``permitted_error`` in per cent raises the minimum of coarse balances (100 steps for 1 %).
    Raises :class:`formulary.errors.Refusal` where the amount can be weighed, or nothing serves.
    """
    reach = reaches(balances, permitted_error)
    if not reach:
        raise Refusal(say("no_balance"))
    needed = too_little(active, "g", reach)
    most = most_aliquot.to("g").number if most_aliquot else None
    mixtures = _mixtures(needed, reach, most)
    if mixtures is None:
        raise Refusal(say("no_plan", needed=active))
    plan = _trituration(active, mixtures)
    return Working(plan, _trituration_steps(plan, needed), say("trituration_plan.source"))


def too_little(active: Amount, base: str, reach: Sequence[Reach]) -> Fraction:
    """Return the amount in the base unit. Raises Refusal for nothing, or for what can be taken."""
    needed = active.to(base).number
    if needed <= 0:
        raise Refusal(say("nothing"))
    if able := finest(needed, reach):
        raise Refusal(say("weigh", needed=active, instrument=able.on.name))
    return needed


def _mixtures(
    needed: Fraction, reach: Sequence[Reach], most: Fraction | None, left: int = MOST_MIXINGS
) -> tuple[Mixture, ...] | None:
    """Return the fewest mixings that do it; each before the last is a tenth to a hundredth."""
    if last := best_mixture(needed, reach, most):
        return (last,)
    if left == 1:
        return None
    for ratio in (each for each in RATIOS if each >= RATIOS[3]):
        rest = _mixtures(needed * ratio, reach, most, left - 1)
        first = _first(needed, ratio, reach, rest[0].taken.number) if rest else None
        if first is not None and rest is not None:
            return (first, *rest)
    return None


def _first(
    needed: Fraction, ratio: Fraction, reach: Sequence[Reach], wanted: Fraction
) -> Mixture | None:
    """Return a mixing of that ratio which yields enough for the next one."""
    for taken in to_take(needed, reach, None):
        diluent = finest(taken.number * (ratio - 1), reach)
        if diluent and diluent.is_exact and taken.number * ratio >= wanted:
            return Mixture(taken, diluent, Reading(wanted, diluent.on))
    return None


def weighed(reading: Reading, base: str = "g") -> Weighed:
    """Return a reading with the name of its instrument."""
    return Weighed(convenient(Amount(reading.number, base)), reading.on.name)


def _trituration(active: Amount, mixtures: Sequence[Mixture]) -> TriturationPlan:
    share = Fraction(1)
    for each in mixtures:
        share *= each.taken.number / each.total
    last = mixtures[-1]
    return TriturationPlan(
        active,
        tuple(
            Mixing(
                weighed(each.taken),
                weighed(each.diluent),
                convenient(Amount(each.total, "g")),
                each.total / each.taken.number,
            )
            for each in mixtures
        ),
        weighed(last.aliquot),
        convenient(Amount(last.aliquot.number * share, "g")),
        convenient(Amount(last.total - last.aliquot.number, "g")),
    )


def _trituration_steps(plan: TriturationPlan, needed: Fraction) -> tuple[Message, ...]:
    steps: list[Message] = []
    before = Fraction(1)
    for place, mixing in enumerate(plan.mixings):
        key = "step.mixture" if place else "step.active"
        steps.append(say(key, taken=mixing.taken.amount, balance=mixing.taken.on))
        said = {"total": mixing.total, "one_in": mixing.one_in}
        diluent = mixing.diluent
        steps.append(say("step.diluent", diluent=diluent.amount, balance=diluent.on, **said))
        needed *= before
        before = mixing.one_in
    last, aliquot = plan.mixings[-1], plan.aliquot
    said_last = {
        "total": last.total,
        "needed": convenient(Amount(needed, "g")),
        "taken": last.taken.amount,
        "aliquot": aliquot.amount,
    }
    take = {"aliquot": aliquot.amount, "balance": aliquot.on, "contains": plan.contains}
    return (*steps, say("step.aliquot", **said_last), say("step.take", **take))


def plan_trituration(given: Given) -> Outcome:
    """Return a trituration for balances given by their figures."""
    most = given.amount("most_aliquot") if given.has("most_aliquot") else None
    working = trituration_plan(
        given.amount("needed"), balances_given(given), permitted_given(given), most
    )
    plan = working.result
    mixings = plan.mixings
    results = (
        Result("aliquot", plan.aliquot.amount),
        *numbered("taken", (each.taken.amount for each in mixings)),
        *numbered("diluent", (each.diluent.amount for each in mixings)),
        *numbered("total", (each.total for each in mixings)),
        *numbered("one_in", (Number(each.one_in, "parts") for each in mixings)),
        Result("contains", plan.contains),
        Result("left", plan.left),
    )
    return Outcome(results, working.steps, rounding_doubt(plan.needed, plan.contains))


def permitted_given(given: Given) -> Fraction | None:
    """Return the permitted error, if one was given."""
    return given.number("permitted_error") if given.has("permitted_error") else None


def balances_given(given: Given) -> list[Balance]:
    """Return the balances that were given by their figures."""
    names = ("capacities", "readabilities", "minimums")
    return [Balance(str(place), *figures) for place, figures in figures_given(given, names)]


def figures_given(
    given: Given, names: tuple[str, str, str]
) -> list[tuple[int, tuple[Amount, Amount, Amount]]]:
    """Return the figures of each instrument. Raises Refusal for lists of unlike length."""
    lists = [given.amounts(name) for name in names]
    if len({len(each) for each in lists}) > 1:
        raise Refusal(say("lists"))
    return list(enumerate(zip(*lists, strict=True), 1))


def rounding_doubt(needed: Amount, contains: Amount) -> tuple[Finding, ...]:
    """Return how far rounding takes the active from what is needed, if it does."""
    percent = abs(contains / needed - 1) * 100
    if not percent:
        return ()
    said = say("rounded", contains=contains, percent=round_to_significant(percent, 2))
    return (caution(said, "needed"),)


MASS, VOLUME = (Kind.MASS,), (Kind.VOLUME,)
BALANCES = (
    Input("capacities", MASS, many=True, default="200 g; 2000 g"),
    Input("readabilities", MASS, many=True, default="1 mg; 0.01 g"),
    Input("minimums", MASS, many=True, default="100 mg; 1 g", assumed=Severity.NOTE),
    Input("permitted_error", (Kind.PERCENT,), optional=True, most=Fraction(100)),
)

CALCULATIONS = (
    Calculation(
        "trituration-plan",
        AREA,
        (Input("needed", MASS), *BALANCES, Input("most_aliquot", MASS, optional=True)),
        plan_trituration,
        (("needed", "13.7 mg"),),
    ),
)
