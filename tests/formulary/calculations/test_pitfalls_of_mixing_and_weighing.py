"""What published answers get wrong and these must not, and what is refused with a sentence."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.calculating.outcome import Number, Outcome
from formulary.calculating.reading import calculate
from formulary.calculating.registry import calculation_named
from formulary.errors import BadText
from formulary.quantity.amount import Amount, Concentration
from tests.formulary.calculations.asking import ask, findings, refused


def amount(outcome: Outcome, name: str, unit: str) -> Fraction:
    found = outcome.value(name)
    assert isinstance(found, Amount)
    return found.to(unit).number


def unreadable(name: str, **typed: str) -> tuple[str | None, str]:
    """Return the input that can't be read, and the key of the sentence about it."""
    with pytest.raises(BadText) as caught:
        calculate(calculation_named(name), typed)
    return caught.value.field, caught.value.message.key


def test_nothing_is_rounded_between_the_steps() -> None:
    ratio = ask("alligation", sources="1 %; 0.3 %", target_strength="0.5 %", total="100 g")
    assert amount(ratio, "amount_1", "g") == Fraction(200, 7)
    forms = ask(
        "salt-or-hydrate-equivalent",
        molar_mass_needed="270.8",
        molar_mass_supplied="288.8",
        needed="1/3 g",
    )
    assert amount(forms, "weigh", "g") == Fraction("288.8") / Fraction("270.8") / 3


def test_to_volume_to_weight_and_add_are_different_things() -> None:
    to_weight = ask("amount-and-strength", active="10 g", strength="10 % w/w")
    assert amount(to_weight, "total", "g") == 100
    assert amount(to_weight, "rest", "g") == 90
    to_volume = ask("amount-and-strength", active="10 g", strength="10 % w/v")
    assert amount(to_volume, "total", "mL") == 100
    assert not any(each.name == "rest" for each in to_volume.results)
    assert findings(to_volume) == {"active_in_whole.make_up"}
    added = ask("dissolving", active="10 g", solvent="100 mL", solvent_density="1")
    strength = added.value("strength")
    assert isinstance(strength, Concentration)
    assert strength.number == Fraction(1000, 110)


def test_parts_are_shares_of_their_sum_not_of_a_hundred() -> None:
    parts = ask("parts-formula", parts="1; 9", target="100 g")
    assert amount(parts, "amount_1", "g") == 10
    assert ask("percentage-formula", percents="1; 9", target="100 g").value("rest") == Amount(
        Fraction(90), "g"
    )


def test_a_liquid_goes_through_its_density_before_it_is_subtracted_from_a_weight() -> None:
    formula = {"amounts": "10 g; 20 mL", "made": "100 g", "target": "50 g", "rest": "to weight"}
    found = ask("reducing-and-enlarging", **formula, densities="-; 0.85")
    assert amount(found, "rest", "g") == 50 - 5 - Fraction("8.5")
    assert refused("reducing-and-enlarging", **formula) == "enlarging.no_mass"


def test_a_formula_that_is_no_sum_of_masses_must_say_what_it_makes() -> None:
    assert refused("reducing-and-enlarging", amounts="5 g; 5 mL", target="5 g") == "enlarging.made"
    assert findings(ask("reducing-and-enlarging", amounts="5 g; 5 g", target="5 g")) == {
        "enlarging.by_sum"
    }


def test_the_volumes_of_ethanol_and_water_do_not_add() -> None:
    mixed = ask("ethanol-mixture", amounts="500 mL; 500 mL", strengths="96 % v/v; 0 % v/v")
    assert 960 < amount(mixed, "total_volume", "mL") < 970
    assert "dilution.contraction" in findings(
        ask("dilution", stock_strength="96 % v/v", target_strength="70 % v/v", target="1 L")
    )


def test_the_scale_of_ethanol_is_kept_and_said() -> None:
    at_20, at_60_f = (
        ask("ethanol-strength", strength="50 % v/v", scale=scale).value("weight_percent")
        for scale in ("20 °C", "15.56 °C")
    )
    assert isinstance(at_20, Concentration)
    assert isinstance(at_60_f, Concentration)
    assert at_20.number != at_60_f.number
    assert Fraction("42.42") < at_20.number < Fraction("42.44")
    assert Fraction("42.4") < at_60_f.number < Fraction("42.6")


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("isotonicity", {"volume": "10 mL", "masses": "10 %", "equivalents": "0.2"}),
        ("isotonic-volume", {"masses": "10 %", "equivalents": "0.2", "total": "10 mL"}),
        (
            "isotonicity-by-freezing-point",
            {"volume": "30 mL", "strengths": "10 %", "depressions": "0.13"},
        ),
    ],
)
def test_what_is_already_hypertonic_is_refused(name: str, typed: dict[str, str]) -> None:
    assert refused(name, **typed).startswith("isotonicity.hypertonic")


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("alligation", {"sources": "10 %; 5 %", "target_strength": "12 %"}),
        ("alligation", {"sources": "2 mmol/mL; 1 mmol/mL", "target_strength": "3 mmol/mL"}),
        ("dilution", {"stock_strength": "1 mol/L", "target_strength": "2 mol/L", "target": "1 L"}),
        (
            "adding-to-reach-a-strength",
            {
                "amounts": "45 g",
                "strengths": "2 %",
                "target_strength": "12 %",
                "additive_strength": "10 %",
            },
        ),
        (
            "ethanol-dilution",
            {"stock_strength": "70 % v/v", "target_strength": "96 % v/v", "target": "1 L"},
        ),
        ("emulsifier-ratio", {"high_hlb": "15", "low_hlb": "4", "required_hlb": "16"}),
        ("tablets-as-source", {"active": "1 g", "strength": "100 mg", "taken": "9"}),
        (
            "tablets-as-source",
            {"active": "1 g", "strength": "100 mg", "taken": "9", "crushed": "2 g"},
        ),
    ],
)
def test_an_impossible_mix_is_refused(name: str, typed: dict[str, str]) -> None:
    assert refused(name, **typed)


def test_moles_are_never_mixed_up_with_milligrams() -> None:
    assert (
        refused("dilution", stock_strength="2 mmol/mL", target_strength="1 mg/mL", target="1 L")
        == "calculating.kinds_differ"
    )
    assert refused("strength-conversion", strength="5 mmol/L") == "strengths.no_concentration"


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ("0 %", "calculating.not_positive"),
        ("12 M", "calculating.wrong_kind"),
        ("-1 %", "quantity.number.negative"),
    ],
)
def test_the_sentence_says_what_is_wrong_with_the_figure(typed: str, key: str) -> None:
    given = {"stock_strength": "2 %", "target": "1 L", "target_strength": typed}
    assert unreadable("dilution", **given) == ("target_strength", key)


def test_a_strength_is_answered_in_the_unit_that_was_typed() -> None:
    found = ask("serial-dilution", stock_strength="1 mg/mL", factor="10", steps="2", volume="10 mL")
    assert found.value("strength") == Concentration(Fraction(1, 100), "mg/mL")
    units = ask(
        "dilution",
        stock_strength="10 000 units/mL",
        target_strength="100 units/mL",
        target="50 mL",
    )
    assert not any(each.name == "one_in" for each in units.results)


def test_a_strength_without_its_kind_is_written_only_in_what_needs_none() -> None:
    found = ask("strength-conversion", strength="1:400")
    assert [each.value for each in found.results] == [
        Number(Fraction(1, 4), "%"),
        Number(Fraction(400), "parts"),
        Number(Fraction(2500), "ppm"),
    ]
    assert findings(found) == {"strengths.no_kind"}


def test_a_strength_over_the_whole_is_refused_also_without_its_kind() -> None:
    assert refused("strength-conversion", strength="120 %") == "strengths.over_whole"


def test_crushing_more_units_than_needed_takes_the_same_share_of_active() -> None:
    typed = {"active": "2400 mg", "strength": "500 mg", "mean_mass": "0.6 g"}
    few, many = ask("tablets-as-source", **typed), ask("tablets-as-source", **typed, taken="8")
    assert amount(few, "powder", "g") == amount(many, "powder", "g") == Fraction("2.88")
    assert amount(many, "left", "g") == Fraction("1.92")


def test_drops_of_known_content_need_no_volume_until_one_is_asked_for() -> None:
    drop = {"active_in_drop": "400 units"}
    found = ask("drops-and-doses", **drop, dose="1000 units")
    assert found.value("drops") == Number(Fraction(5, 2), "drops")
    assert findings(found) == {"drops.rounded"}
    assert refused("drops-and-doses", **drop, amount="1 mL") == "drops.strength"


def test_per_cents_of_solutes_need_the_volume_that_they_are_of() -> None:
    assert (
        refused("isotonic-volume", masses="1 %", equivalents="0.2")
        == "isotonicity.per_cent_of_what"
    )
    assert (
        refused("osmolarity", volume="1 L", masses="5 % w/w", molar_masses="180", particles="1")
        == "osmolarity.not_in_volume"
    )
