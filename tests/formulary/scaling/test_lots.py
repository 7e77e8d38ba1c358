"""What the certificate of the lot at hand does to a weighing, and never to what is declared."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.calculations.corrections import Basis, Certificate
from formulary.catalogue import Catalogue
from formulary.errors import BadText, Refusal
from formulary.finding import Severity
from formulary.formula.content import Content, Role
from formulary.quantity.amount import Amount
from formulary.scaling.lot_text import parse_lots
from formulary.scaling.plan import Choices, Plan
from formulary.scaling.plan_json import plan_json
from tests.helpers.formulas import a_formula, a_house, a_line, active, is_amount, scaled

CREAM = a_formula(active("Hydrocortisone", "1 % w/w"), a_line("Base", "to 100 g", Role.BASE))
# Practice: dried assay 93.5 %, water 3.68 % gives 1.110.
SHORT = Certificate(Fraction("93.5"), Basis.DRIED, Fraction("3.68"))


def with_lots(content: Content, target: str, *texts: str) -> Plan:
    """Return the plan with lots as people type them, unrounded."""
    lots = parse_lots(texts, content)
    choices = Choices(lots=lots.certificates, potencies=lots.potencies)
    return scaled(content, target, choices=choices)


def said(plan: Plan, position: int) -> str:
    steps = (Catalogue().text(each) for each in plan.lines[position].working)
    return "\n".join(steps).replace("\N{NO-BREAK SPACE}", " ")


def keys(plan: Plan) -> list[str]:
    return [each.said.key.removeprefix("scaling.finding.") for each in plan.findings]


def test_the_published_factor_multiplies_what_is_weighed() -> None:
    plan = scaled(CREAM, "60 g", house=a_house(), choices=Choices(lots={0: SHORT}))
    line = plan.lines[0]
    assert line.correction is not None
    assert round(line.correction.factor, 3) == Fraction("1.110")
    assert is_amount(line.required, "0.6 g")
    assert is_amount(line.to_measure, "0.666 g")
    assert "0.6 g declared x 1.11038072734 for the lot = 0.666228436406 g" in said(plan, 0)


def test_the_extra_is_taken_from_the_line_that_fills_up() -> None:
    plan = scaled(CREAM, "60 g", choices=Choices(lots={0: SHORT}))
    weighed = [each.to_measure for each in plan.lines]
    assert None not in weighed
    assert sum(each.to("g").number for each in weighed if each) == 60
    assert "The corrections of the lots take 66.2284364063 mg from here" in said(plan, 1)
    assert plan.findings == ()


def test_declared_and_true_strength_stay() -> None:
    plan = scaled(CREAM, "60 g", choices=Choices(lots={0: SHORT}))
    assert plan.strengths[0].declared.number == plan.strengths[0].actual.number == 1


@pytest.mark.parametrize(
    "certificate",
    [
        "assay=101.3, basis=dried, loss=0.8",  # capped at 100: 1.008, under the threshold
        "assay=98.4",
        "assay=98",
        "assay=100",
    ],
)
def test_no_correction_within_the_threshold_nor_ever_downwards(certificate: str) -> None:
    plan = with_lots(CREAM, "60 g", f"Hydrocortisone: {certificate}")
    line = plan.lines[0]
    assert line.correction is not None
    assert line.correction.factor == 1
    assert is_amount(line.to_measure, "0.6 g")


def test_the_threshold_is_the_houses() -> None:
    lot = Certificate(Fraction(97))
    wide = a_house(correction_threshold="3")
    plan = scaled(CREAM, "60 g", house=wide, choices=Choices(lots={0: lot}))
    assert is_amount(plan.lines[0].to_measure, "0.6 g")
    plan = scaled(CREAM, "60 g", house=a_house(), choices=Choices(lots={0: lot}))
    assert is_amount(plan.lines[0].to_measure, "0.619 g")


def test_anhydrous_for_a_hydrate_lowers_the_weight() -> None:
    content = a_formula(active("Citric acid monohydrate", "1 g"), a_line("Base", "to 100 g"))
    lot = "Citric acid monohydrate: ordered=210.14, supplied=192.13"
    plan = with_lots(content, "100 g", lot)
    measured = plan.lines[0].to_measure
    assert measured is not None
    assert round(measured.to("g").number, 3) == Fraction("0.914")
    assert "leave" in said(plan, 1)
    assert is_amount(plan.total, "100 g")


def test_a_molar_mass_may_be_a_chemical_formula() -> None:
    lots = parse_lots(["Hydrocortisone: ordered=C6H8O7.H2O, supplied=C6H8O7"], CREAM)
    lot = lots.certificates[0]
    assert lot.ordered is not None
    assert round(lot.ordered, 1) == Fraction("210.1")


def test_a_concentrate_may_be_stronger_than_it_is_called() -> None:
    plan = with_lots(CREAM, "60 g", "Hydrocortisone: assay=105, concentrate=yes")
    correction = plan.lines[0].correction
    assert correction is not None
    assert correction.factor == Fraction(100, 105)


def test_the_potency_of_the_lot_wins() -> None:
    content = a_formula(
        active("Nystatin", "100000 IU/g", potency=Fraction(4000)), a_line("Base", "to 100 g")
    )
    plan = with_lots(content, "60 g", "Nystatin: potency=5000")
    assert "at 5000 units per mg = 1.2 g" in said(plan, 0)
    assert is_amount(plan.lines[0].required, "6000000 IU")


def test_without_a_line_that_fills_up_the_total_grows_and_needs_a_reason() -> None:
    content = a_formula(active("A", "20 g"), a_line("B", "80 g"))
    plan = with_lots(content, "100 g", "A: assay=80")
    assert keys(plan) == ["lots_change_total"]
    assert plan.findings[0].severity is Severity.REASON
    assert is_amount(plan.total, "105 g")
    assert plan.strengths[0].actual.number == Fraction(2000, 105)
    assert plan.strengths[0].declared.number == 20


def test_in_counted_units_the_content_stays_and_the_weight_is_noted() -> None:
    content = a_formula(active("A", "300 mg per unit"), units=10)
    plan = with_lots(content, "10", "A: assay=80")
    assert keys(plan) == ["lots_change_units"]
    assert plan.strengths[0].deviation == 0
    assert is_amount(plan.lines[0].to_measure, "3.75 g")


def test_under_a_mark_the_mark_takes_it() -> None:
    content = a_formula(active("A", "1 % w/v"), a_line("Water", "to 100 mL"))
    plan = with_lots(content, "100 mL", "A: assay=80")
    assert is_amount(plan.lines[0].to_measure, "1.25 g")
    assert is_amount(plan.lines[1].to_measure, "100 mL")
    assert plan.findings == ()


def test_two_lines_that_share_the_rest_share_the_extra() -> None:
    content = a_formula(active("A", "10 g"), a_line("B", "aa ad 100 g"), a_line("C", "aa ad 100 g"))
    plan = with_lots(content, "100 g", "A: assay=80")
    assert [is_amount(each.to_measure, "43.75 g") for each in plan.lines[1:]] == [True, True]


def test_corrections_that_overfill_are_refused() -> None:
    content = a_formula(active("A", "90 g"), a_line("B", "to 100 g"))
    with pytest.raises(Refusal) as caught:
        with_lots(content, "100 g", "A: assay=80")
    assert caught.value.message.key == "scaling.over_filled"


@pytest.mark.parametrize(
    ("lot", "key"),
    [
        ("Hydrocortisone", "form"),
        ("Menthol: assay=97", "no_such_line"),
        ("Hydrocortisone: purity=97", "figure"),
        ("Hydrocortisone: assay=97, assay=98", "figure"),
        ("Hydrocortisone: assay=0", "assay"),
        ("Hydrocortisone: assay=972", "assay"),
        ("Hydrocortisone: assay=97, loss=1", "basis_missing"),
        ("Hydrocortisone: basis=dried, loss=100", "loss"),
        ("Hydrocortisone: basis=wet", "basis"),
        ("Hydrocortisone: potency=0", "potency"),
        ("Hydrocortisone: concentrate=maybe", "yes_or_no"),
        ("Hydrocortisone: ordered=100, supplied=90, count=0", "count"),
    ],
)
def test_what_is_no_lot_is_told(lot: str, key: str) -> None:
    with pytest.raises(BadText) as caught:
        parse_lots([lot], CREAM)
    assert caught.value.message.key == f"scaling.lot.{key}"
    assert Catalogue().text(caught.value.message)


def test_a_dried_basis_asks_for_the_loss() -> None:
    with pytest.raises(Refusal) as caught:
        parse_lots(["Hydrocortisone: assay=97, basis=dried"], CREAM)
    assert caught.value.message.key == "corrections.loss_missing"


@pytest.mark.parametrize(
    ("lot", "key"),
    [
        ("Base: assay=97", "nothing_to_correct"),
        ("Hydrocortisone: potency=100", "potency_of_no_units"),
        ("Nystatin: assay=97", "units_take_potency"),
    ],
)
def test_what_does_not_suit_its_line_is_refused(lot: str, key: str) -> None:
    nystatin = active("Nystatin", "1000 IU/g", potency=Fraction(4000))
    content = a_formula(*CREAM.lines[:1], nystatin, CREAM.lines[1])
    with pytest.raises(Refusal) as caught:
        with_lots(content, "60 g", lot)
    assert caught.value.message.key == f"scaling.{key}"
    assert Catalogue().text(caught.value.message)


def test_a_comma_may_be_the_decimal_sign() -> None:
    lots = parse_lots(["hydrocortisone: assay=97,2 %, basis=dried, loss=1,2"], CREAM, ",")
    lot = lots.certificates[0]
    assert (lot.assay, lot.loss) == (Fraction("97.2"), Fraction("1.2"))


def test_the_plan_as_json_tells_factor_and_steps() -> None:
    plan = with_lots(CREAM, "60 g", "Hydrocortisone: assay=80")
    first, last = plan_json(plan, Catalogue())["lines"]
    assert first["correction"]["factor"] == "1.25"
    assert first["correction"]["amount"] == {"amount": "0.75", "unit": "g"}
    assert first["correction"]["steps"]
    assert last["correction"] is None


@given(
    st.lists(
        st.tuples(st.integers(50, 1200), st.integers(1, 150)).map(
            lambda figures: (Fraction(figures[0], 10), Fraction(figures[1], 10))
        ),
        min_size=1,
        max_size=4,
    ).filter(lambda lines: sum(share * 100 / assay for assay, share in lines) < 99)
)
def test_corrected_masses_still_add_up_and_strengths_hold(
    lines: list[tuple[Fraction, Fraction]],
) -> None:
    content = a_formula(
        *(
            active(f"A{i}", f"{share.numerator}/{share.denominator} g")
            for i, (_, share) in enumerate(lines)
        ),
        a_line("Base", "to 100 g"),
    )
    lots = {i: Certificate(assay) for i, (assay, _) in enumerate(lines)}
    plan = scaled(content, "70 g", choices=Choices(lots=lots))
    together = sum(
        (each.to_measure or Amount(Fraction(0), "g")).to("g").number for each in plan.lines
    )
    assert together == 70
    assert all(each.deviation == 0 for each in plan.strengths)
    factors = [each.correction.factor for each in plan.lines if each.correction]
    assert all(factor >= 1 for factor in factors)


HYDRATE = "Citric acid monohydrate: assay=99.8, basis=anhydrous, loss=8.6"


def test_a_hydrate_isn_t_weighed_heavier_for_its_own_water() -> None:
    content = a_formula(active("Citric acid monohydrate", "1 % w/w"), CREAM.lines[1])
    with pytest.raises(Refusal, match="hydrate_without_formula"):
        with_lots(content, "60 g", HYDRATE)
    plan = with_lots(content, "60 g", f"{HYDRATE}, supplied=C6H8O7.H2O")
    assert is_amount(plan.lines[0].to_measure, "0.6 g")
