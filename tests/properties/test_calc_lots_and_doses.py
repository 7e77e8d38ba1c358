"""What must hold of forms, lots, electrolytes, doses and batches, whatever the figures."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from formulary.calculating.electrolyte import Counted, Electrolyte
from formulary.calculating.tariffs import marked_up, tariff
from formulary.calculations.body_surface import POWERS, surface_area
from formulary.calculations.corrections import Basis, Certificate, correction
from formulary.calculations.doses import amount_for, dose_in
from formulary.calculations.equivalence import form_factor
from formulary.calculations.evaporation import water_to_restore
from formulary.calculations.reconstitution import diluent_to_add
from formulary.calculations.remaining_potency import Decay
from formulary.calculations.uniformity import judge, mean_of
from formulary.quantity.amount import Amount, Concentration

positive = st.fractions(min_value=Fraction(1, 100), max_value=1000, max_denominator=1000)
percents = st.fractions(min_value=1, max_value=100, max_denominator=100)
losses = st.fractions(min_value=0, max_value=90, max_denominator=100)
grams = st.builds(Amount, positive, st.just("g"))
weights = st.lists(grams, min_size=2, max_size=20).map(tuple)


@given(positive, positive, st.integers(1, 4))
def test_a_form_and_back_is_where_it_began(needed: Fraction, supplied: Fraction, n: int) -> None:
    there = form_factor(needed, supplied, n).result
    back = form_factor(supplied, needed).result
    assert there * n * back == 1


@given(st.fractions(min_value=1, max_value=120, max_denominator=100), losses)
def test_assay_and_water_never_lower_a_weight(assay: Fraction, loss: Fraction) -> None:
    for basis in Basis:
        assert correction(Certificate(assay, basis, loss)).result >= 1


@given(percents, losses)
def test_a_corrected_weight_holds_what_was_ordered(assay: Fraction, loss: Fraction) -> None:
    lot = Certificate(assay, Basis.DRIED, loss, threshold=Fraction(0))
    assert correction(lot).result * assay / 100 * (100 - loss) / 100 == 1


@given(percents, losses, losses)
def test_more_water_never_weighs_less(assay: Fraction, one: Fraction, other: Fraction) -> None:
    less, more = sorted((one, other))
    dry, wet = (Certificate(assay, Basis.ANHYDROUS, loss) for loss in (less, more))
    assert correction(dry).result <= correction(wet).result


@given(grams, positive, st.integers(1, 3), st.integers(1, 3), st.integers(1, 4))
def test_every_measure_of_an_electrolyte_leads_back_to_its_mass(
    mass: Amount, molar_mass: Fraction, ions: int, valence: int, particles: int
) -> None:
    salt = Electrolyte(molar_mass, Counted(ions, valence), particles=particles)
    substance = salt.substance(mass)
    for measure in (salt.equivalents(substance), salt.osmoles(substance), salt.mass(substance)):
        assert salt.mass(salt.substance(measure)).to("g") == mass


@given(grams, st.sampled_from(("mg", "microgram", "kg")), positive)
def test_the_unit_of_a_dose_doesnt_change_its_volume(
    dose: Amount, unit: str, strength: Fraction
) -> None:
    held = Concentration(strength, "mg/mL")
    volume = amount_for(dose, held)
    assert amount_for(dose.to(unit), held).to("mL") == volume.to("mL")
    assert dose_in(volume, held).to("g") == dose


@given(
    st.integers(40, 220),
    st.integers(2, 200),
    st.sampled_from(("Mosteller", *POWERS)),
    st.integers(1, 20),
)
def test_a_taller_or_heavier_body_has_more_surface(
    height: int, weight: int, formula: str, more: int
) -> None:
    def surface(cm: int, kg: int) -> Fraction:
        measured = Amount(Fraction(cm), "cm"), Amount(Fraction(kg), "kg")
        return surface_area(*measured, formula).result.number

    assert surface(height, weight) < surface(height + more, weight)
    assert surface(height, weight) < surface(height, weight + more)


@given(positive, positive)
def test_diluent_and_powder_fill_the_volume(powder: Fraction, more: Fraction) -> None:
    displaced, final = Amount(powder, "mL"), Amount(powder + more, "mL")
    assert (diluent_to_add(final, displaced).result + displaced).to("mL") == final


@given(grams, grams)
def test_water_put_back_restores_the_weight(net: Amount, lost: Amount) -> None:
    expected = net + lost
    assert (net + water_to_restore(expected, net).result).to("g") == expected


@given(weights, percents)
def test_the_order_and_unit_of_weights_dont_change_the_verdict(
    found: tuple[Amount, ...], limit: Fraction
) -> None:
    verdict = judge(found, limit)
    again = judge(tuple(each.to("mg") for each in reversed(found)), limit)
    assert (verdict.outside, verdict.outside_twice) == (again.outside, again.outside_twice)
    assert verdict.outside_twice <= verdict.outside
    assert min(found) <= mean_of(found) <= max(found)


@given(
    st.sampled_from(("zero", "first")),
    st.fractions(min_value=Fraction(1, 1000), max_value=1, max_denominator=1000),
    st.integers(0, 100),
    st.integers(1, 100),
)
def test_what_is_left_only_falls(order: str, rate: Fraction, days: int, more: int) -> None:
    decay = Decay(order, rate)
    early, late = decay.remaining(Fraction(days)), decay.remaining(Fraction(days + more))
    assert 0 <= late <= early <= 100
    assert abs(decay.remaining(decay.days_until(Fraction(90))) - 90) < Fraction(1, 10**10)


@given(positive, positive)
def test_a_dearer_preparation_is_never_marked_up_less(one: Fraction, other: Fraction) -> None:
    tiers = tariff("example").substances
    low, high = sorted((one, other))
    assert 0 <= marked_up(low, tiers) <= marked_up(high, tiers)
