"""What moulds, capsules, buffers, doses and decay must not answer, and how prices are written."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.calculating.answer_json import answered
from formulary.calculating.outcome import Outcome
from formulary.calculating.registry import calculation_named
from formulary.catalogue import Catalogue
from formulary.quantity.amount import Amount
from tests.formulary.calculations.asking import ask, findings


def test_actives_without_a_displacement_are_said_to_be_taken_as_base() -> None:
    outcome = ask("suppositories", ordered="6", mould="2 g", doses="5 %")
    assert "suppositories.as_base" in findings(outcome)


def test_a_dose_for_a_day_is_read_from_its_unit() -> None:
    outcome = ask("dose-by-body", dose="40 mg/kg/day", body_weight="10 kg", doses_per_day="2")
    each = ask("dose-by-body", dose="40 mg/kg/dose", body_weight="10 kg", doses_per_day="2")
    assert outcome.value("daily") == each.value("dose") == Amount(Fraction("0.4"), "g")


@pytest.mark.parametrize(
    ("fill", "size"),
    [("130 mg", "5"), ("325 mg", "2"), ("455 mg", "0"), ("520 mg", "00")],
)
def test_the_rule_of_seven_guesses_and_says_so(fill: str, size: str) -> None:
    outcome = ask("capsule-size-by-the-rule-of-seven", fill=fill)
    assert outcome.value("size") == size
    assert findings(outcome) == {"capsule_rules.guess"}


def test_a_count_of_doses_is_never_cut_short() -> None:
    outcome = ask("supply-for-days", dose="10 mg", every="1 week", days="30")
    assert outcome.value("total") == Amount(Fraction(50), "mg")


def test_a_bottle_isnt_said_to_need_dividing() -> None:
    typed = {"dose": "500 mg", "days": "10", "strength": "250 mg/5 mL", "unit_holds": "60 mL"}
    assert findings(ask("supply-for-days", **typed)) == {"supply.rounded_up"}


def test_the_estimate_of_decay_always_warns() -> None:
    outcome = ask("remaining-potency", order="first", rate="0.02/day")
    assert "remaining_potency.estimate" in findings(outcome)


CREAM = {
    "tariff": "germany-section-5",
    "work": "ointment, cream, paste or gel",
    "quantity": "50 g",
    "substances": "19.25",
    "containers": "1.25",
}


def priced() -> tuple[Outcome, dict[str, object]]:
    outcome = ask("price-of-a-preparation", **CREAM)
    data = answered(calculation_named("price-of-a-preparation"), outcome, Catalogue())
    return outcome, data


def test_a_price_is_written_with_its_currency_and_both_decimals() -> None:
    outcome, _ = priced()
    written = Catalogue().text(outcome.steps[-1]).replace("\N{NO-BREAK SPACE}", " ")
    assert written == "53.30 EUR + 10.13 EUR = 63.43 EUR"


def test_prices_on_the_wire_keep_their_decimals_too() -> None:
    _, data = priced()
    results = data["results"]
    assert isinstance(results, list)
    assert {"name": "net", "amount": "53.30", "unit": "EUR"} in results
    assert {"name": "work", "amount": "6.00", "unit": "EUR"} in results
