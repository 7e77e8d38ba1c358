"""Powders made up, water put back, checks of batches, decay and prices."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.calculating.outcome import Number
from formulary.calculating.tariffs import Tier, marked_up, tariff, tariff_names
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.money import Money
from tests.formulary.calculations.asking import ask, findings, refused

PRICE = "price-of-a-preparation"
CREAM = "ointment, cream, paste or gel"
GERMANY = {"tariff": "germany-section-5", "work": CREAM, "substances": "12; 7.25"}


def test_the_powders_own_volume_is_left_out_of_the_diluent() -> None:
    outcome = ask("reconstitution", active="500 mg", displaced="0.4 mL", final_volume="5 mL")
    assert outcome.value("diluent") == Amount(Fraction("4.6"), "mL")
    assert outcome.value("strength") == Concentration(Fraction(100), "mg/mL")


def test_a_displacement_for_an_amount_is_worked_out_for_the_container() -> None:
    outcome = ask(
        "reconstitution", active="5 g", displaced="0.2 mL/250 mg", final_strength="250 mg/5 mL"
    )
    assert outcome.value("displaced") == Amount(Fraction(4), "mL")
    assert outcome.value("diluent") == Amount(Fraction(96), "mL")


def test_a_powder_that_fills_the_volume_is_refused() -> None:
    typed = {"active": "5 g", "displaced": "5 mL"}
    assert refused("reconstitution", final_volume="5 mL", **typed) == "reconstitution.no_room"
    assert refused("reconstitution", **typed) == "reconstitution.one_of_three"


def test_what_a_label_leaves_unsaid_is_the_powders_volume() -> None:
    outcome = ask("powder-displacement", label_diluent="78 mL", label_volume="100 mL")
    assert outcome.value("displaced") == Amount(Fraction(22), "mL")


def test_evaporated_water_is_what_is_missing_after_recorded_losses() -> None:
    outcome = ask(
        "evaporated-water", should_weigh="100 g", weighs="244.3 g", tare="150 g", losses="2 g"
    )
    assert outcome.value("water") == Amount(Fraction("3.7"), "g")
    assert outcome.value("target_reading") == Amount(Fraction(248), "g")


def test_water_cant_mend_too_much_or_more_than_the_formula_holds() -> None:
    typed = {"should_weigh": "100 g"}
    assert refused("evaporated-water", weighs="101 g", **typed) == "evaporation.too_heavy"
    said = refused("evaporated-water", weighs="80 g", water_in_formula="10 g", **typed)
    assert said == "evaporation.more_than_its_water"


def test_fewer_than_twenty_weights_are_judged_by_the_houses_rule_named_as_such() -> None:
    few = {"weights": "250; 251; 249", "form": "capsules, powders, granules"}
    assert refused("uniformity-of-mass", **few) == "uniformity.twenty_needed"
    outcome = ask("uniformity-of-a-small-batch", **few)
    assert outcome.value("complies") is True
    assert "uniformity.house_rule" in findings(outcome)
    twenty = "; ".join(["250"] * 20)
    said = refused("uniformity-of-a-small-batch", weights=twenty, form="tablets")
    assert said == "uniformity.enough_for_twenty"


@pytest.mark.parametrize(
    ("form", "weight", "limit"),
    [
        ("tablets", "80 mg", "10"),
        ("tablets", "80.1 mg", "7.5"),
        ("tablets", "250 mg", "5"),
        ("capsules, powders, granules", "299.9 mg", "10"),
        ("capsules, powders, granules", "300 mg", "7.5"),
        ("suppositories and pessaries", "2 g", "5"),
        ("powders for parenteral use", "41 mg", "10"),
    ],
)
def test_the_limit_is_that_of_the_form_and_mean(form: str, weight: str, limit: str) -> None:
    outcome = ask("uniformity-of-mass", weights="; ".join([weight] * 20), form=form)
    assert outcome.value("limit") == Number(Fraction(limit), "%")


def test_where_the_pharmacopoeia_has_no_limit_none_is_invented() -> None:
    weights = "; ".join(["40 mg"] * 20)
    said = refused("uniformity-of-mass", weights=weights, form="powders for parenteral use")
    assert said == "uniformity.no_limit"


def test_contents_are_compared_in_their_own_kind() -> None:
    assert ask("content-limits", label="10 mg/mL", found="9 mg/mL; 1.1 % w/v").value("complies")
    said = refused("content-limits", label="10 mg/mL", found="10 mg")
    assert said == "uniformity.not_comparable"
    assert refused("content-limits", label="400 mg", found="398") == "uniformity.unit_missing"


def test_capsules_heavier_than_their_mixture_are_refused() -> None:
    said = refused("capsule-in-process-check", batch="10 g", filled="11 g", contents="1; 2")
    assert said == "capsule_checks.gained"


def test_one_half_life_leaves_half_and_the_caution_is_always_there() -> None:
    typed = {"elapsed": "8 days", "half_life": "8 days", "start": "10 mg"}
    for order in ("zero", "first"):
        outcome = ask("remaining-potency", order=order, **typed)
        assert outcome.value("left") == Amount(Fraction(5), "mg")
        assert "remaining_potency.estimate" in findings(outcome)


def test_zero_order_never_leaves_less_than_nothing() -> None:
    outcome = ask("remaining-potency", order="zero", elapsed="300 days", rate="0.5")
    assert outcome.value("remaining") == Number(Fraction(0), "%")
    assert outcome.value("time_to_least") == Amount(Fraction(20), "day")


def test_a_measurement_without_loss_gives_no_rate() -> None:
    typed = {"elapsed": "1 day", "measured": "100 %", "measured_after": "30 days"}
    said = refused("remaining-potency", order="first", **typed)
    assert said == "remaining_potency.nothing_lost"


def test_the_published_cream_costs_53_30_and_63_43_with_tax() -> None:
    """Worked example of the German pharmacy press: materials 20.50 EUR, cream up to 200 g."""
    outcome = ask(PRICE, quantity="50 g", containers="1.25", **GERMANY)
    assert outcome.value("net") == Money(Fraction("53.30"), "EUR")
    assert outcome.value("price") == Money(Fraction("63.43"), "EUR")
    assert not findings(outcome)


def test_each_started_base_quantity_adds_half_the_fee_and_its_doubt_is_shown() -> None:
    outcome = ask(PRICE, quantity="401 g", **GERMANY)
    assert outcome.value("work") == Money(Fraction(12), "EUR")
    assert "pricing.doubtful" in findings(outcome)


def test_shares_of_packs_are_priced_and_an_invented_tariff_says_so() -> None:
    packs = {"pack_prices": "30; 10", "pack_sizes": "100 g; 1000 g", "used": "20 g; 100 g"}
    outcome = ask(PRICE, tariff="example", work="capsules", quantity="60 pieces", **packs)
    assert outcome.value("substances") == Money(Fraction(7), "EUR")
    assert outcome.value("price") == Money(Fraction("40.70"), "EUR")
    assert "pricing.invented" in findings(outcome)


def test_a_quantity_that_the_tariff_doesnt_count_is_refused() -> None:
    assert refused(PRICE, quantity="50 mL", **GERMANY) == "pricing.other_measure"
    typed = {"tariff": "germany-section-5", "work": CREAM, "quantity": "50 g"}
    assert refused(PRICE, **typed) == "pricing.no_prices"


def test_a_mark_up_in_tiers_takes_each_part_of_the_sum_by_its_own_tier() -> None:
    tiers = (Tier(Fraction(100), Fraction(20)), Tier(Fraction(50)))
    assert marked_up(Fraction(10), tiers) == 10
    assert marked_up(Fraction(50), tiers) == 35


def test_every_tariff_reads_and_one_at_least_is_published() -> None:
    rules = [tariff(name) for name in tariff_names()]
    assert all(each.source and each.work for each in rules)
    assert {each.invented for each in rules} == {True, False}
