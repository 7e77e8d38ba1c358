"""What is under the balance's minimum goes in as an aliquot of something larger."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.calculations.corrections import Certificate
from formulary.catalogue import Catalogue
from formulary.finding import Severity
from formulary.formula.content import Content, Form, Role, Route
from formulary.scaling.plan import Choices, Plan
from formulary.scaling.plan_json import plan_json
from formulary.scaling.sub_plan import Way
from formulary.verbs.start_preparation import stops
from tests.helpers.formulas import (
    FINE,
    a_balance,
    a_formula,
    a_house,
    a_line,
    active,
    amount,
    density,
    is_amount,
    scaled,
)

HOUSE = a_house()
EVEN = a_house(balances=(FINE, a_balance("Wide balance", "6 kg", "0.001 g", "50 g")))
CREAM = a_formula(active("A", "0.002 % w/w"), a_line("Base", "to 100 g", Role.BASE))


def keys(plan: Plan, position: int = 0) -> list[str]:
    found = plan.lines[position].findings
    assert all(Catalogue().text(each.said) for each in found)
    return [each.said.key.removeprefix("scaling.finding.") for each in found]


def test_a_solid_is_triturated_with_the_formulas_own_base() -> None:
    plan = scaled(CREAM, "60 g", house=EVEN)
    line = plan.lines[0]
    assert line.sub_plan is not None
    assert (line.sub_plan.way, line.sub_plan.giver) == (Way.TRITURATION, 1)
    assert is_amount(line.required, "1.2 mg")
    assert line.to_measure == line.sub_plan.aliquot
    assert line.instrument == "Fine balance"
    assert is_amount(line.sub_plan.contains, "1.2 mg")


def test_it_needs_a_reason_and_stops_nothing() -> None:
    plan = scaled(CREAM, "60 g", house=EVEN)
    assert keys(plan) == ["by_aliquot"]
    assert plan.lines[0].findings[0].severity is Severity.REASON
    assert stops(plan) == ()


def test_the_base_in_the_aliquot_is_not_weighed_a_second_time() -> None:
    plan = scaled(CREAM, "60 g", house=EVEN)
    aliquot, base = plan.lines[0].to_measure, plan.lines[1].to_measure
    assert aliquot is not None
    assert base is not None
    assert (aliquot + base).to("g") == amount("60 g")
    assert plan.strengths[0].deviation == 0


def test_a_solid_in_a_solution_goes_in_as_a_stock_solution() -> None:
    content = a_formula(active("A", "0.005 % w/v"), a_line("Water", "to 100 mL", Role.VEHICLE))
    line = scaled(content, "60 mL", house=HOUSE).lines[0]
    assert line.sub_plan is not None
    assert line.sub_plan.way is Way.STOCK_SOLUTION
    assert line.to_measure is not None
    assert line.to_measure.unit == "mL"
    assert is_amount(line.sub_plan.contains, "3 mg")


PINK = a_formula(
    active("Potassium permanganate", "0.02 % w/v"),
    a_line("Purified water", "to 100 mL", Role.VEHICLE),
)


def findings(plan: Plan) -> dict[str, Severity]:
    return {each.said.key.rpartition(".")[2]: each.severity for each in plan.lines[0].findings}


def test_a_stock_solution_is_no_stronger_than_dissolves() -> None:
    """Of potassium permanganate 6.4 g dissolve in 100 mL of water (table of solubilities)."""
    plan = scaled(PINK, "10 mL", house=HOUSE)
    sub_plan = plan.lines[0].sub_plan
    assert sub_plan is not None
    assert sub_plan.taken is not None
    assert sub_plan.made_with is not None
    strength = sub_plan.taken.to("g").number / sub_plan.made_with.to("mL").number
    assert strength <= Fraction(64, 1000)
    assert findings(plan)["dissolves"] is Severity.NOTE


@pytest.mark.parametrize(
    ("ingredient", "diluent"),
    [("Xanthan gum", "Purified water"), ("Potassium permanganate", "Glycerol")],
)
def test_what_isn_t_known_to_dissolve_is_asked(ingredient: str, diluent: str) -> None:
    content = a_formula(
        active(ingredient, "0.005 % w/v"), a_line(diluent, "to 100 mL", Role.VEHICLE)
    )
    assert findings(scaled(content, "60 mL", house=HOUSE))["may_not_dissolve"] is Severity.REASON


def test_a_small_volume_is_measured_as_a_dilution() -> None:
    content = a_formula(active("L", "0.2 mL"), a_line("Water", "to 100 mL", Role.VEHICLE))
    line = scaled(content, "60 mL", house=HOUSE).lines[0]
    assert line.sub_plan is not None
    assert is_amount(line.sub_plan.contains, "0.12 mL")


def test_a_small_volume_is_weighed_where_masses_add_up() -> None:
    content = a_formula(
        active("L", "0.5 mL", density=density("0.9")), a_line("Base", "to 100 g", Role.BASE)
    )
    plan = scaled(content, "100 g", house=HOUSE)
    line = plan.lines[0]
    assert line.sub_plan is None
    assert is_amount(line.to_measure, "0.45 g")
    assert line.instrument == "Fine balance"
    assert stops(plan) == ()


def test_a_fixed_filler_gives_the_powder_for_the_aliquot() -> None:
    powders = a_formula(
        active("A", "0.5 mg per unit"),
        a_line("Lactose", "199.5 mg per unit", Role.FILLER),
        units=10,
    )
    plan = scaled(powders, "20", house=HOUSE)
    assert plan.lines[0].sub_plan is not None
    assert plan.lines[0].sub_plan.giver == 1
    left = plan.lines[1].working
    assert any(step.key == "scaling.step.gives_diluent" for step in left)
    assert plan.strengths[0].deviation == 0


def test_where_no_line_gives_way_the_diluent_is_named_and_added() -> None:
    powders = Content(
        "Powders", "P-1", Form.POWDERS, Route.ORAL, (active("A", "0.5 mg per unit"),), units=10
    )
    line = scaled(powders, "20", house=HOUSE).lines[0]
    assert [each.said.key for each in line.findings] == ["scaling.finding.by_aliquot_adding"]
    assert "lactose" in Catalogue().text(line.findings[0].said)


def test_a_correction_comes_before_the_aliquot() -> None:
    plan = scaled(CREAM, "60 g", house=EVEN, choices=Choices(lots={0: Certificate(Fraction(80))}))
    line = plan.lines[0]
    assert line.sub_plan is not None
    assert is_amount(line.sub_plan.contains, "1.5 mg")
    assert is_amount(line.required, "1.2 mg")
    assert plan.strengths[0].deviation == 0


def test_without_a_plan_it_stays_a_stop_with_a_sentence() -> None:
    plan = scaled(CREAM, "1 mg", house=HOUSE)
    assert keys(plan) == ["under_minimum", "trituration.no_plan"]
    assert stops(plan)
    assert plan.lines[0].to_measure is None


def test_the_plan_as_json_tells_the_aliquot() -> None:
    first, last = plan_json(scaled(CREAM, "60 g", house=EVEN), Catalogue())["lines"]
    told = first["sub_plan"]
    assert told["kind"] == "trituration"
    assert told["amount"] == first["to_measure"]
    assert (told["with"], told["diluent"]) == ("Fine balance", "Base")
    assert len(told["working"]) >= 4
    assert last["sub_plan"] is None


@given(st.integers(1, 199), st.integers(30, 300))
def test_masses_add_up_with_any_aliquot(share: int, grams: int) -> None:
    content = a_formula(
        active("A", f"{share}/100000 % w/w"), active("B", "2 g"), a_line("Base", "to 100 g")
    )
    plan = scaled(content, f"{grams} g", house=EVEN)
    if stops(plan):
        assert plan.lines[0].to_measure is None
        return
    # Each reading is to 1 mg, and the base takes what the others leave.
    assert abs((plan.total - plan.to_make).to("g").number) <= Fraction(1, 1000)
    sub_plan = plan.lines[0].sub_plan
    if sub_plan is not None:
        held, required = sub_plan.contains, plan.lines[0].required
        assert required is not None
        off = held / required / (plan.total / plan.to_make)
        assert plan.strengths[0].deviation == (off - 1) * 100
