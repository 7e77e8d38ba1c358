"""What moulds, capsules, buffers, doses and decay must not answer, and how prices are written."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

import pytest

from formulary.calculating.answer_json import answered
from formulary.calculating.outcome import Outcome
from formulary.calculating.registry import calculation_named
from formulary.catalogue import Catalogue
from formulary.errors import BadText
from formulary.quantity.amount import Amount
from tests.formulary.calculations.asking import ask, findings, refused

REFUSED = {
    "suppositories": {
        "suppositories.no_actives": {"ordered": "6", "mould": "2 g", "displacement_values": "2"},
        "suppositories.one_way": {"ordered": "6", "mould": "2 g", "doses": "200 mg"},
        "suppositories.no_room": {
            "ordered": "6",
            "mould": "1 g",
            "doses": "1.2 g",
            "displacement_values": "1",
        },
    },
    "displacement-value": {
        "suppository_trials.one_plain": {"units": "6", "total_weight": "13 g", "dose": "0.3 g"},
    },
    "capsule-filling": {
        "capsules.fill_or_volume": {
            "capsules": "10",
            "doses": "5 mg",
            "fill": "100 mg",
            "size": "1",
        },
        "capsules.overfilled_by_fill": {"capsules": "10", "doses": "150 mg", "fill": "100 mg"},
    },
    "capsule-size-by-the-rule-of-seven": {
        "capsule_rules.outside": {"fill": "900 mg"},
    },
    "buffer-partner": {
        "buffer_partner.one_form": {"ph": "7", "pka": "7.2"},
        "buffer_partner.volume_needed": {"ph": "7", "pka": "7.2", "acid": "0.1 M"},
    },
    "fill-weights": {
        "capsule_weights.shells_differ": {"weights": "371; 366; 375", "shell": "76; 75"},
    },
    "buffer-ph": {
        "buffers.one_pka": {"pka": "4.76", "pkb": "9.24", "ratio": "1"},
        "buffers.both_volumes": {
            "pka": "4.76",
            "base": "0.1 M",
            "acid": "0.1 M",
            "base_volume": "50 mL",
        },
        "buffers.amounts_and_concentrations": {
            "pka": "4.76",
            "base": "0.1 mol",
            "acid": "0.1 M",
        },
    },
    "buffer-capacity": {
        "buffers.amount_needs_volume": {"added": "0.01 mol", "change": "0.2"},
        "buffers.one_capacity": {"wanted": "0.02 M", "concentration": "0.1 M", "ph": "5"},
    },
    "buffer-making": {
        "buffer_making.one_way": {
            "volume": "1 L",
            "concentration": "0.1 M",
            "ph": "5",
            "pka": "4.76",
            "base_stock": "1 M",
            "strong_base": "1 M",
        },
        "buffer_making.too_strong": {
            "volume": "100 mL",
            "concentration": "1 M",
            "ph": "5",
            "pka": "4.76",
            "acid_stock": "1 M",
            "strong_base": "1 M",
        },
    },
    "dose-check": {
        "dose_checks.not_alike": {
            "prescribed": "2.5 mL",
            "usual_most": "10 mg/kg",
            "body_weight": "20 kg",
        },
        "dose_checks.doses_needed": {
            "prescribed": "250 mg",
            "usual_most": "40 mg/kg/day",
            "body_weight": "15 kg",
        },
        "dose_checks.ends_differ": {
            "prescribed": "250 mg",
            "doses_per_day": "3",
            "usual_least": "10 mg/kg",
            "usual_most": "40 mg/kg/day",
            "body_weight": "15 kg",
        },
    },
    "supply-for-days": {
        "supply.steps_differ": {"dose": "5 mg; 10 mg", "days": "3"},
        "supply.steps_have_no_end": {"dose": "5 mg; 10 mg", "total": "1 g"},
        "supply.one_rhythm": {
            "dose": "5 mg",
            "days": "3",
            "doses_per_day": "2",
            "every": "8 hours",
        },
    },
    "powder-displacement": {
        "reconstitution.volume_or_strength": {"label_diluent": "9.6 mL", "active": "1 g"},
    },
    "childs-dose-by-old-rules": {
        "childrens_rules.one_weight": {
            "adult_dose": "325 mg",
            "rule": "Clark",
            "body_weight": "20 kg",
            "body_pounds": "44",
        },
    },
    "remaining-potency": {
        "remaining_potency.start_needed": {"order": "zero", "rate": "0.5 mg/mL/hour"},
        "remaining_potency.first_is_a_part": {
            "order": "first",
            "rate": "0.5 mg/mL/hour",
            "start": "125 mg/mL",
        },
    },
}
CASES = [(name, key, typed) for name, each in REFUSED.items() for key, typed in each.items()]


@pytest.mark.parametrize(("name", "key", "typed"), CASES)
def test_what_makes_no_sense_gets_its_own_sentence(
    name: str, key: str, typed: Mapping[str, str]
) -> None:
    assert refused(name, **typed) == key


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("remaining-potency", {"order": "first", "rate": "2 apples"}),
        ("remaining-potency", {"order": "first", "rate": "0.02/day", "elapsed": "soon"}),
        ("remaining-potency", {"order": "first", "rate": "0.02/day", "elapsed": "0 months"}),
        ("buffer-ph", {"pka": "4.76", "base": "0.1 Q", "acid": "0.1 M"}),
        ("buffer-ph", {"pka": "4.76", "base": "0 M", "acid": "0.1 M"}),
        ("dose-by-body", {"dose": "15 mg/kgs/day", "body_weight": "18 kg"}),
    ],
)
def test_what_cant_be_read_is_refused_at_its_input(name: str, typed: Mapping[str, str]) -> None:
    with pytest.raises(BadText) as caught:
        ask(name, **typed)
    assert caught.value.field in typed
    assert Catalogue().text(caught.value.message)


def test_a_rate_of_nothing_is_refused() -> None:
    with pytest.raises(BadText):
        ask("remaining-potency", order="first", rate="0/day")


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
