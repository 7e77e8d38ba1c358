"""Formulas, densities, weighing plans, tablets and drops: what holds for any figures."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from formulary.calculating.outcome import Number, Outcome
from formulary.calculating.reading import calculate
from formulary.calculating.registry import calculation_named
from formulary.calculations.stock_solution import aliquot_plan
from formulary.calculations.tablets_source import from_units
from formulary.calculations.trituration import TriturationPlan, trituration_plan
from formulary.errors import Refusal
from formulary.house import Balance, Measure
from formulary.quantity.amount import Amount
from formulary.quantity.writing import plain_number

sizes = st.integers(1, 10**6).map(lambda number: Fraction(number, 100))
densities = st.integers(500, 2000).map(lambda number: Fraction(number, 1000))
small = st.integers(1, 10**5).map(lambda number: Amount(Fraction(number, 1000), "mg"))


def grams(number: str) -> Amount:
    return Amount(Fraction(number), "g")


def millilitres(number: str) -> Amount:
    return Amount(Fraction(number), "mL")


BALANCES = (
    Balance("Analytical", grams("200"), grams("0.0001"), grams("0.02")),
    Balance("Fine", grams("500"), grams("0.001"), grams("0.1")),
    Balance("Bench", grams("3000"), grams("0.01"), grams("1")),
)
MEASURES = (
    Measure("Pipette", millilitres("1"), millilitres("0.01"), millilitres("0.2")),
    Measure("Cylinder", millilitres("100"), millilitres("1"), millilitres("20")),
)


def work(name: str, **typed: str) -> Outcome:
    return calculate(calculation_named(name), typed)


def text(number: Fraction, unit: str = "") -> str:
    return f"{plain_number(number)} {unit}".strip()


def amount_of(outcome: Outcome, name: str, unit: str) -> Fraction:
    value = outcome.value(name)
    assert isinstance(value, Amount)
    return value.to(unit).number


def number_of(outcome: Outcome, name: str) -> Fraction:
    value = outcome.value(name)
    assert isinstance(value, Number)
    return value.number


@given(st.lists(sizes, min_size=1, max_size=8), sizes)
def test_parts_come_to_the_whole(parts: list[Fraction], total: Fraction) -> None:
    typed = "; ".join(map(text, parts))
    found = work("parts-formula", parts=typed, target=text(total, "g"))
    amounts = [amount_of(found, f"amount_{place}", "g") for place in range(1, len(parts) + 1)]
    assert sum(amounts) == total
    assert amounts[0] * sum(parts) == total * parts[0]


@given(st.lists(sizes, min_size=1, max_size=8), sizes)
def test_a_formula_enlarged_and_reduced_again_is_the_same(
    amounts: list[Fraction], factor: Fraction
) -> None:
    made = sum(amounts, Fraction(0))
    typed = "; ".join(text(each, "g") for each in amounts)
    larger = work(
        "reducing-and-enlarging",
        amounts=typed,
        made=text(made, "g"),
        target=text(made * factor, "g"),
        rest="to weight",
    )
    assert number_of(larger, "factor") == factor
    assert amount_of(larger, "rest", "g") == 0
    assert amount_of(larger, "amount_1", "g") / factor == amounts[0]


@given(sizes, densities)
def test_mass_to_volume_and_back_is_the_same(mass: Fraction, density: Fraction) -> None:
    there = work("mass-and-volume", mass=text(mass, "g"), density=text(density))
    volume = amount_of(there, "volume", "mL")
    assert volume * density == mass


@given(st.integers(1, 10**4), st.integers(1, 500))
def test_a_weight_at_the_least_weighable_has_just_the_permitted_error(
    sensitivity: int, error: int
) -> None:
    permitted = text(Fraction(error, 10))
    found = work(
        "least-weighable-quantity", sensitivity=f"{sensitivity} mg", permitted_error=permitted
    )
    least = amount_of(found, "least_weighable", "mg")
    assert Fraction(100) * sensitivity / least == Fraction(error, 10)


def _plan(active: Amount) -> TriturationPlan:
    return trituration_plan(active, BALANCES).result


@given(small.filter(lambda active: active < BALANCES[0].minimum))
def test_every_weight_of_a_trituration_is_one_that_its_balance_can_do(active: Amount) -> None:
    plan = _plan(active)
    by_name = {balance.name: balance for balance in BALANCES}
    weighed = [each for mixing in plan.mixings for each in (mixing.taken, mixing.diluent)]
    for each in (*weighed, plan.aliquot):
        balance = by_name[each.on]
        assert balance.minimum <= each.amount <= balance.capacity
        assert (each.amount / balance.readability).denominator == 1


@given(small.filter(lambda active: active < BALANCES[0].minimum))
def test_a_trituration_conserves_mass_and_gives_the_amount_to_a_thousandth(active: Amount) -> None:
    plan = _plan(active)
    share = Fraction(1)
    for mixing in plan.mixings:
        assert mixing.taken.amount + mixing.diluent.amount == mixing.total.to(
            mixing.taken.amount.unit
        )
        share *= mixing.taken.amount / mixing.total
    assert plan.contains.to("g") == plan.aliquot.amount.to("g") * share
    assert abs(plan.contains / active - 1) <= Fraction(1, 1000)
    assert plan.aliquot.amount.to("g") + plan.left == plan.mixings[-1].total.to("g")


@given(small.filter(lambda active: active < BALANCES[0].minimum))
def test_a_stock_solution_holds_what_its_aliquot_should(active: Amount) -> None:
    try:
        plan = aliquot_plan(active, BALANCES, MEASURES).result
    except Refusal as refusal:
        assert refusal.message.key == "trituration.no_plan"  # noqa: PT017 - only some have none
        return
    held = plan.drug.amount.to("g").number * (plan.aliquot.amount / plan.stock.amount)
    assert plan.contains.to("g").number == held


@given(st.integers(1, 10**5), st.integers(1, 500), st.integers(500, 2000))
def test_powder_from_tablets_adds_up(active: int, strength: int, mean_mass: int) -> None:
    needed, mean = Amount(Fraction(active), "mg"), Amount(Fraction(mean_mass), "mg")
    found = from_units(needed, Amount(Fraction(strength), "mg"), mean).result
    assert found.powder + found.left == (mean * found.crush).to(found.powder.unit)
    assert found.crush - 1 < found.exact_units <= found.crush
    assert found.excipients.to("mg") + needed == found.powder.to("mg")


@given(st.integers(1, 200), st.integers(5, 100), densities)
def test_drops_to_mass_and_back_are_as_many(drops: int, drop: int, density: Fraction) -> None:
    typed = {"drop": f"{drop} mg", "density": text(density)}
    there = work("drops-and-doses", drops=str(drops), **typed)
    mass = amount_of(there, "mass", "g")
    assert amount_of(there, "volume", "mL") * density == mass
    back = work("drops-and-doses", amount=text(mass, "g"), **typed)
    assert number_of(back, "drops") == drops
