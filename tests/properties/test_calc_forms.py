"""Moulds, capsules, isotonicity, HLB and buffers: what holds for any figures."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from formulary.calculating.outcome import Outcome
from formulary.calculating.reading import calculate
from formulary.calculating.registry import calculation_named
from formulary.calculations.buffers import base_to_acid
from formulary.calculations.capsules import Powder, filler_by_mixture, filler_by_volume
from formulary.calculations.hlb import weighted_mean
from formulary.calculations.suppositories import Active, actives_in_unit, base_needed
from formulary.errors import Refusal
from formulary.quantity.amount import Amount
from formulary.quantity.writing import plain_number

factors = st.integers(1, 300).map(lambda number: Fraction(number, 100))
doses = st.integers(1, 400).map(lambda number: Amount(Fraction(number), "mg"))
moulds = st.integers(500, 4000).map(lambda number: Amount(Fraction(number, 1000), "g"))
counts = st.integers(1, 200)
actives = st.lists(st.builds(Active, doses, factors), min_size=1, max_size=4)
densities = st.integers(200, 1500).map(lambda number: Fraction(number, 1000))
powders = st.lists(st.builds(Powder, doses, densities), min_size=1, max_size=4)
volumes = st.integers(100, 1400).map(lambda number: Amount(Fraction(number, 1000), "mL"))


def work(name: str, **typed: str) -> Outcome:
    return calculate(calculation_named(name), typed)


def figure(outcome: Outcome, name: str) -> Fraction:
    value = outcome.value(name)
    if isinstance(value, Amount):
        return value.to("g").number if value.unit.endswith("g") else value.to("mL").number
    return Fraction(getattr(value, "number", 0))


def listed(numbers: list[Fraction]) -> str:
    return "; ".join(map(plain_number, numbers))


@given(counts, moulds, actives)
def test_base_and_what_is_displaced_are_the_plain_units(
    units: int, mould: Amount, found: list[Active]
) -> None:
    gone = sum((each.dose.to("g").number * each.factor for each in found), Fraction(0)) * units
    whole = mould.number * units
    if gone >= whole:
        with pytest.raises(Refusal):
            base_needed(units, mould, found)
        return
    assert base_needed(units, mould, found).result.number + gone == whole


@given(counts, moulds, actives)
def test_no_order_or_unit_of_the_actives_matters(
    units: int, mould: Amount, found: list[Active]
) -> None:
    assume(sum(each.dose.to("g").number * each.factor for each in found) < mould.number)
    other = [Active(each.dose.to("g"), each.factor) for each in reversed(found)]
    milligrams = mould.to("mg")
    expected = base_needed(units, mould, found).result
    assert base_needed(units, milligrams, other).result == expected


@given(moulds, st.integers(1, 60), factors)
def test_a_share_of_the_unit_is_that_share_of_what_is_poured(
    mould: Amount, percent: int, factor: Fraction
) -> None:
    part = Fraction(percent, 100)
    assume(part * factor < 1 - part * (1 - factor))
    (active,) = actives_in_unit(mould, [part], [factor]).result
    base = base_needed(1, mould, [active]).result
    assert active.dose.number / (active.dose.number + base.number) == part


@given(counts, moulds, doses, factors)
def test_a_trial_finds_the_displacement_that_was_used(
    units: int, mould: Amount, dose: Amount, factor: Fraction
) -> None:
    assume(dose.to("g").number * factor < mould.number)
    base = base_needed(units, mould, [Active(dose, factor)]).result
    total = base + dose.to("g") * units
    typed = {"units": str(units), "mould": f"{plain_number(mould.number)} g"}
    typed |= {"dose": f"{dose.number} mg", "total_weight": f"{plain_number(total.number)} g"}
    found = work("displacement-value", **typed)
    assert figure(found, "displacement_factor") == factor
    assert figure(found, "displacement_value") == 1 / factor


@given(volumes, powders, densities)
def test_a_capsule_is_filled_to_the_brim_or_refused(
    capsule: Amount, found: list[Powder], filler: Fraction
) -> None:
    taken = sum((each.volume.number for each in found), Fraction(0))
    if taken > capsule.number:
        with pytest.raises(Refusal):
            filler_by_volume(capsule, found, filler)
        return
    mass = filler_by_volume(capsule, found, filler).result
    assert mass.number / filler + taken == capsule.number


@given(volumes, powders, densities)
def test_a_mixture_of_one_density_gives_the_same_filler_by_either_way(
    capsule: Amount, found: list[Powder], density: Fraction
) -> None:
    alike = [Powder(each.mass, density) for each in found]
    assume(sum((each.volume.number for each in alike), Fraction(0)) <= capsule.number)
    by_volume = filler_by_volume(capsule, alike, density).result
    masses = [each.mass for each in found]
    assert filler_by_mixture(capsule, masses, density).result == by_volume


@given(
    st.integers(1, 1000),
    st.lists(st.tuples(st.integers(1, 500), st.integers(1, 150)), min_size=1, max_size=4),
    st.integers(5, 100),
)
def test_an_adjusted_solution_is_worth_isotonic_saline(
    volume: int, solutes: list[tuple[int, int]], adjuster: int
) -> None:
    grams = [Fraction(mass, 1000) for mass, _ in solutes]
    equivalents = [Fraction(equivalent, 100) for _, equivalent in solutes]
    worth = sum((m * e for m, e in zip(grams, equivalents, strict=True)), Fraction(0))
    needed = Fraction(volume) * 9 / 1000
    typed = {
        "volume": f"{volume} mL",
        "masses": "; ".join(f"{plain_number(each)} g" for each in grams),
        "equivalents": listed(equivalents),
        "adjuster_equivalent": plain_number(Fraction(adjuster, 100)),
    }
    if worth > needed:
        with pytest.raises(Refusal):
            work("isotonicity", **typed)
        return
    found = figure(work("isotonicity", **typed), "adjuster")
    assert worth + found * Fraction(adjuster, 100) == needed


@given(st.lists(st.integers(1, 1000), min_size=1, max_size=5), st.data())
def test_a_blend_lies_between_its_emulsifiers(amounts: list[int], data: st.DataObject) -> None:
    size = len(amounts)
    hlbs = data.draw(st.lists(st.integers(1, 40), min_size=size, max_size=size))
    found = weighted_mean(tuple(map(Fraction, amounts)), tuple(map(Fraction, hlbs))).result
    assert min(hlbs) <= found <= max(hlbs)


@given(st.integers(11, 200), st.integers(1, 190), st.integers(0, 100))
def test_the_ratio_for_an_hlb_gives_that_hlb(high: int, low: int, percent: int) -> None:
    assume(low < high)
    top, bottom = Fraction(high, 10), Fraction(low, 10)
    wanted = bottom + (top - bottom) * percent / 100
    typed = {"high_hlb": top, "low_hlb": bottom, "required_hlb": wanted}
    found = work("emulsifier-ratio", **{name: plain_number(each) for name, each in typed.items()})
    more = figure(found, "high_percent")
    assert more == percent
    parts = (more, figure(found, "low_percent"))
    assert weighted_mean(parts, (top, bottom)).result == wanted


@given(st.integers(0, 1400), st.integers(0, 1400))
def test_ratio_and_ph_lead_back_to_each_other(hundredths: int, constant: int) -> None:
    ph, pka = Fraction(hundredths, 100), Fraction(constant, 100)
    ratio = base_to_acid(ph, pka)
    assume(ratio.denominator < 10**30)
    typed = {"pka": plain_number(pka), "ratio": plain_number(ratio)}
    found = figure(work("buffer-ph", **typed), "ph")
    assert abs(found - ph) < Fraction(1, 10**10)


@given(st.integers(1, 1399), st.integers(1, 1399), st.integers(0, 1400))
def test_a_higher_ph_has_more_of_the_base_form(one: int, other: int, constant: int) -> None:
    assume(one < other)
    pka = Fraction(constant, 100)
    assert base_to_acid(Fraction(one, 100), pka) < base_to_acid(Fraction(other, 100), pka)
