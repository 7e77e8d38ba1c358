"""Moulds and capsules: base by displacement, filler to a volume, spare units, refusals."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.catalogue import Catalogue
from formulary.errors import Refusal
from formulary.exchange.sample_house import sample_house
from formulary.formula.completing import completed
from formulary.formula.content import Content, Line
from formulary.formula.moulding import Capsule, Convention, Displacement, Mould
from formulary.ingredient import Ingredient
from formulary.scaling.balance_sheet import balance_sheet
from formulary.scaling.plan import Plan
from tests.helpers.formulas import (
    a_formula,
    a_line,
    active,
    amount,
    density,
    is_amount,
    line_of,
    scaled,
)

BASE = a_line("Base", "q.s. to fill")


def displaces(number: str, convention: Convention = Convention.VALUE) -> Displacement:
    """Return a displacement, invented for the test."""
    return Displacement(Fraction(number), "invented for this test", convention)


DRUG = active("Drug", "200 mg per unit", displacement=displaces("2"))


def moulded(*lines: Line, capacity: str = "2 g", spare: int = 2) -> Content:
    """Return a formula for ten units of these lines and the base."""
    return a_formula(*lines, BASE, units=10, mould=Mould(amount(capacity), "cocoa butter", spare))


def encapsulated(*lines: Line, volume: str = "0.68 mL", spare: int = 0) -> Content:
    """Return a formula for ten capsules of these lines and a filler."""
    filler = a_line("Filler", "q.s. to fill", density=density("0.6"))
    return a_formula(*lines, filler, units=10, capsule=Capsule(amount(volume), "0", spare))


def needs(plan: Plan, **wanted: str) -> bool:
    """Tell whether the lines need exactly what is written."""
    return all(is_amount(line_of(plan, name).required, text) for name, text in wanted.items())


def said(plan: Plan) -> str:
    """Return the plan's own working as text."""
    return "\n".join(map(Catalogue().text, plan.working))


def refusal(content: Content, target: str = "12") -> str:
    """Return the key of the refusal, which must have a sentence without holes."""
    with pytest.raises(Refusal) as caught:
        scaled(content, target)
    assert Catalogue().text(caught.value.message)
    return caught.value.message.key


@pytest.mark.parametrize("target", ["12", "12 pieces", "2 x 6 pieces"])
def test_twelve_suppositories_and_two_spare(target: str) -> None:
    """The project's own check value: drug 2.8 g, base 26.6 g."""
    plan = scaled(moulded(DRUG), target)
    assert needs(plan, Drug="2.8 g", Base="26.6 g")
    assert plan.to_make == amount("14 pieces")


def test_six_suppositories_and_one_spare_by_displacement_factor() -> None:
    """The published rule M = N x (E - f x A): N 7, E 2 g, f 0.72, A 0.25 g give 12.74 g."""
    drug = active("Drug", "250 mg per unit", displacement=displaces("0.72", Convention.FACTOR))
    assert needs(scaled(moulded(drug, spare=1), "6"), Drug="1.75 g", Base="12.74 g")


def test_the_spare_units_are_a_line_of_their_own_and_change_no_strength() -> None:
    plan = scaled(moulded(DRUG), "12")
    assert "12 pieces + 2 spare = 14 pieces" in said(plan).replace("\N{NO-BREAK SPACE}", " ")
    assert [each.declared for each in plan.strengths] == [amount("200 mg")]
    assert [each.deviation for each in plan.strengths] == [0]


def test_no_spare_unit_is_made_where_none_is_asked_for() -> None:
    plan = scaled(moulded(DRUG, spare=0), "12")
    assert needs(plan, Drug="2.4 g", Base="22.8 g")
    assert "spare" not in said(plan)


def test_an_excess_comes_on_top_of_the_spare_units() -> None:
    assert needs(scaled(moulded(DRUG), "12", "5 %"), Drug="2.94 g", Base="27.93 g")
    assert needs(scaled(moulded(DRUG), "12", "1 piece"), Drug="3 g", Base="28.5 g")


def test_every_ingredient_displaces_base_by_its_own_figure() -> None:
    other = a_line("Other", "1 g", displacement=displaces("0.5", Convention.FACTOR))
    plan = scaled(moulded(DRUG, other, spare=0), "10")
    assert needs(plan, Drug="2 g", Other="1 g", Base="18.5 g")


def test_the_formula_as_written_makes_its_units_without_spare_ones() -> None:
    sheet = balance_sheet(moulded(DRUG))
    assert sheet.total == amount("10 pieces")
    assert sheet.closes


@given(st.integers(1, 500), st.integers(0, 20), st.fractions(Fraction(1, 5), 10))
def test_base_and_what_it_gives_way_to_always_fill_the_moulds(
    ordered: int, spare: int, value: Fraction
) -> None:
    drug = replace(DRUG, displacement=Displacement(value, "drawn"))
    plan = scaled(moulded(drug, spare=spare), str(ordered))
    held = [line_of(plan, name).required for name in ("Base", "Drug")]
    base, dose = (each.to("g").number for each in held if each is not None)
    assert base + dose / value == 2 * (ordered + spare)


def test_actives_that_displace_more_than_the_mould_holds() -> None:
    drug = active("Drug", "4.2 g per unit", displacement=displaces("2"))
    assert refusal(moulded(drug)) == "suppositories.no_room"


def test_a_displacement_that_is_missing_is_never_taken_as_one() -> None:
    assert refusal(moulded(active("Drug", "200 mg per unit"))) == "scaling.displacement_missing_for"
    nameless = replace(moulded(replace(DRUG, displacement=None)), mould=Mould(amount("2 g")))
    assert refusal(nameless) == "scaling.displacement_missing"


def test_nothing_to_fill_without_a_mould_or_a_capsule() -> None:
    assert refusal(replace(moulded(DRUG), mould=None)) == "scaling.nothing_to_fill"


def test_what_cannot_stand_beside_a_line_that_fills() -> None:
    content = moulded(DRUG)
    capsule = Capsule(amount("0.68 mL"))
    assert refusal(replace(content, capsule=capsule)) == "scaling.mould_and_capsule"
    assert refusal(replace(content, total=amount("20 g"))) == "scaling.fill_beside_total"
    assert refusal(replace(content, units=None)) == "scaling.units_missing"
    assert refusal(moulded(DRUG, replace(BASE, ingredient="X"))) == "scaling.two_filling_lines"


def test_filler_takes_the_room_that_the_powders_leave() -> None:
    """By hand: 0.68 mL - 0.2 g / 0.8 g/mL = 0.43 mL; x 0.6 g/mL = 0.258 g; 12 of them 3.096 g."""
    drug = active("Drug", "200 mg per unit", density=density("0.8"))
    plan = scaled(encapsulated(drug, spare=2), "10")
    assert needs(plan, Drug="2.4 g", Filler="3.096 g")
    steps = " ".join(map(Catalogue().text, line_of(plan, "Filler").working))
    assert "8.16" in steps  # mL, the calibrated volume for twelve


def test_a_capsule_that_the_actives_fill_needs_no_filler() -> None:
    drug = active("Drug", "340 mg per unit", density=density("0.5"))
    assert needs(scaled(encapsulated(drug), "10"), Filler="0 g")


def test_an_overfilled_capsule() -> None:
    drug = active("Drug", "341 mg per unit", density=density("0.5"))
    assert refusal(encapsulated(drug)) == "capsules.overfilled"


def test_a_tapped_density_that_is_missing() -> None:
    assert refusal(encapsulated(active("D", "1 mg per unit"))) == "scaling.tapped_density_missing"


def test_the_houses_density_never_stands_in_for_a_tapped_one() -> None:
    record = Ingredient("i-1", "Drug", density=density("2"))
    filled = completed(encapsulated(active("Drug", "1 mg per unit")), [record])
    assert filled.lines[0].density is None
    poured = completed(moulded(DRUG), [record])
    assert poured.lines[0].density == density("2")


SAMPLES = {
    version.content.code: version.content
    for version in sample_house().versions
    if version.content.mould or version.content.capsule
}


def test_the_sample_house_pours_and_fills() -> None:
    assert len(SAMPLES) >= 6


@pytest.mark.parametrize("code", sorted(SAMPLES))
def test_every_sample_is_made_on_the_houses_instruments(code: str) -> None:
    house = sample_house()
    content = completed(SAMPLES[code], house.ingredients)
    assert all(line.ingredient_id for line in content.lines)
    plan = scaled(content, "12", house=house.house)
    assert all(line.to_measure for line in plan.lines)
    assert not plan.findings
