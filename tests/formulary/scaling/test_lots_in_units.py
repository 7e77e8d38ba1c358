"""Moulds and capsules made with the lots at hand: what fills gives way to what is weighed more."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.calculations.corrections import Basis, Certificate, lot_factor
from formulary.catalogue import Catalogue
from formulary.errors import Refusal
from formulary.formula.content import Content
from formulary.formula.moulding import Capsule, Displacement, Mould
from formulary.house import House
from formulary.scaling.lot_text import parse_lots
from formulary.scaling.plan import Choices, Plan
from tests.helpers.formulas import (
    a_formula,
    a_house,
    a_line,
    active,
    amount,
    density,
    is_amount,
    line_of,
    scaled,
)

MADE_UP = "invented for this test"
MOULDED = a_formula(
    active("Drug", "200 mg per unit", displacement=Displacement(Fraction(2), MADE_UP)),
    a_line("Base", "q.s. to fill"),
    units=10,
    mould=Mould(amount("2 g"), "cocoa butter", 2),
)
ENCAPSULATED = a_formula(
    active("Drug", "200 mg per unit", density=density("0.8")),
    a_line("Filler", "q.s. to fill", density=density("0.6")),
    units=10,
    capsule=Capsule(amount("0.68 mL"), "0", 2),
)
SHORT = "Drug: assay=80"


def with_lot(content: Content, target: str, lot: str, house: House | None = None) -> Plan:
    """Return the plan with a lot as people type it, unrounded where there is no house."""
    lots = parse_lots([lot], content)
    return scaled(content, target, "", house, Choices(lots=lots.certificates))


def measures(plan: Plan, **wanted: str) -> bool:
    """Tell whether exactly these amounts are measured."""
    return all(is_amount(line_of(plan, name).to_measure, text) for name, text in wanted.items())


def said(plan: Plan, name: str) -> str:
    """Return the working of a line as text."""
    steps = "\n".join(map(Catalogue().text, line_of(plan, name).working))
    return steps.replace("\N{NO-BREAK SPACE}", " ")


def test_base_gives_way_to_the_drug_that_is_weighed_more() -> None:
    """By hand: 2.8 g / 0.8 = 3.5 g; 14 x 2 g - 3.5 g / 2 = 26.25 g, 0.35 g less than 26.6 g."""
    plan = with_lot(MOULDED, "12", SHORT)
    assert measures(plan, Drug="3.5 g", Base="26.25 g")
    assert "The corrections of the lots take 0.35 g from here" in said(plan, "Base")


def test_filler_gives_way_to_the_powder_that_is_weighed_more() -> None:
    """By hand: 2.4 g / 0.8 = 3 g; (12 x 0.68 mL - 3 g / 0.8 g/mL) x 0.6 g/mL = 2.646 g."""
    plan = with_lot(ENCAPSULATED, "10", SHORT)
    assert measures(plan, Drug="3 g", Filler="2.646 g")
    assert "The corrections of the lots take" in said(plan, "Filler")


def test_a_factor_without_a_usual_range_says_so_and_an_uncorrected_lot_has_none_to_say() -> None:
    assert "There is no range on file for this factor." in said(
        with_lot(MOULDED, "12", SHORT), "Drug"
    )
    assert "range" not in said(with_lot(MOULDED, "12", "Drug: assay=99"), "Drug")


def test_the_dose_in_one_unit_stays_as_declared() -> None:
    for content in (MOULDED, ENCAPSULATED):
        (strength,) = with_lot(content, "10", SHORT).strengths
        assert strength.declared == amount("200 mg")
        assert strength.deviation == 0


def test_loss_on_drying_counts_by_the_certificates_basis() -> None:
    """By hand: 95 % of the dried, 5 % lost: 0.9025; 2.8 g / 0.9025."""
    plan = with_lot(MOULDED, "12", "Drug: assay=95, basis=dried, loss=5")
    drug = line_of(plan, "Drug").to_measure
    base = line_of(plan, "Base").to_measure
    assert drug is not None
    assert base is not None
    assert drug.to("g").number == Fraction(28, 10) / Fraction("0.9025")
    assert base.to("g").number == 28 - drug.to("g").number / 2


@pytest.mark.parametrize("lot", ["Drug: assay=98", "Drug: assay=101.5", "Drug: assay=120"])
@pytest.mark.parametrize("content", [MOULDED, ENCAPSULATED], ids=["mould", "capsule"])
def test_within_the_threshold_nothing_is_corrected_nor_ever_downwards(
    content: Content, lot: str
) -> None:
    plain, corrected = scaled(content, "10"), with_lot(content, "10", lot)
    for one, other in zip(plain.lines, corrected.lines, strict=True):
        assert one.to_measure == other.to_measure
    correction = line_of(corrected, "Drug").correction
    assert correction is not None
    assert correction.factor == 1


def test_the_threshold_of_the_house_decides() -> None:
    """By hand: 2.8 g / 0.98 = 2.857 g; on the house's balances 0.001 g is read."""
    lot = "Drug: assay=98"
    assert measures(with_lot(MOULDED, "12", lot, a_house()), Drug="2.8 g")
    strict = a_house(correction_threshold="1.9")
    assert measures(with_lot(MOULDED, "12", lot, strict), Drug="2.857 g")


def test_another_salt_may_lower_the_weight_and_leaves_room_to_the_base() -> None:
    """By hand: 2.8 g x 190 / 200 = 2.66 g; 28 g - 1.33 g = 26.67 g."""
    plan = with_lot(MOULDED, "12", "Drug: ordered=200, supplied=190")
    assert measures(plan, Drug="2.66 g", Base="26.67 g")
    assert "leave" in said(plan, "Base")


def test_another_salt_is_counted_below_the_threshold_too() -> None:
    plan = with_lot(MOULDED, "12", "Drug: assay=98, ordered=200, supplied=199")
    assert measures(plan, Drug="2.786 g")


def test_a_drug_so_weak_that_it_overfills_is_refused() -> None:
    for content, key in (
        (MOULDED, "suppositories.no_room"),
        (ENCAPSULATED, "capsules.overfilled"),
    ):
        with pytest.raises(Refusal) as caught:
            with_lot(content, "10", "Drug: assay=2")
        assert caught.value.message.key == key


def test_what_fills_has_no_amount_of_its_own_to_correct() -> None:
    with pytest.raises(Refusal) as caught:
        with_lot(MOULDED, "10", "Base: assay=90")
    assert caught.value.message.key == "scaling.nothing_to_correct"


@given(
    assay=st.fractions(20, 130),
    loss=st.fractions(0, 50),
    threshold=st.fractions(0, 10),
)
def test_assay_and_water_never_lower_a_weight(
    assay: Fraction, loss: Fraction, threshold: Fraction
) -> None:
    for basis in Basis:
        factor = lot_factor(Certificate(assay, basis, loss, threshold=threshold)).result
        assert factor >= 1


@given(ordered=st.integers(1, 400), assay=st.integers(50, 100))
def test_moulds_are_always_full_whatever_the_lot(ordered: int, assay: int) -> None:
    plan = with_lot(MOULDED, str(ordered), f"Drug: assay={assay}")
    drug, base = (line_of(plan, name).to_measure for name in ("Drug", "Base"))
    assert drug is not None
    assert base is not None
    assert base.to("g").number + drug.to("g").number / 2 == 2 * (ordered + 2)


@pytest.mark.parametrize(
    ("usual", "words", "findings"),
    [
        (None, "no range on file", 0),
        ((Fraction(1), Fraction(13, 10)), "inside the usual range of 1 to 1.3", 0),
        ((Fraction(1), Fraction(11, 10)), "outside the usual range of 1 to 1.1", 1),
    ],
)
def test_the_house_s_usual_range_is_looked_into(
    usual: tuple[Fraction, Fraction] | None, words: str, findings: int
) -> None:
    drug, *others = MOULDED.lines
    content = replace(MOULDED, lines=(replace(drug, factor_range=usual), *others))
    plan = with_lot(content, "10", SHORT)
    assert words in said(plan, "Drug")
    keys = [each.said.key for each in line_of(plan, "Drug").findings]
    assert keys.count("corrections.out_of_range") == findings
