"""Figures that can hardly be meant are doubted, and a refusal stands at the input it is about."""

from __future__ import annotations

import pytest

from formulary.calculating.reading import calculate
from formulary.calculating.registry import calculation_named
from formulary.catalogue import Catalogue
from formulary.errors import BadText, Refusal


def doubts(name: str, **typed: str) -> str:
    found = calculate(calculation_named(name), typed).findings
    return " ".join(Catalogue().text(each.said) for each in found).replace(
        "\N{NO-BREAK SPACE}", " "
    )


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("mass-and-volume", {"mass": "45 g", "density": "18"}, "mercury"),
        (
            "dilution",
            {"stock_strength": "10 %", "target_strength": "2 %", "target": "999999999999999999 mL"},
            "more than a pharmacy makes",
        ),
        (
            "volume-per-dose",
            {"strength": "1 mg/mL", "single_dose": "200 mg", "dropper": "20"},
            "4000 drops are more",
        ),
        ("body-surface-area", {"height": "110 cm", "weight": "185 kg"}, "body mass index of 152.9"),
    ],
)
def test_what_can_hardly_be_meant_is_doubted(name: str, typed: dict[str, str], said: str) -> None:
    assert said in doubts(name, **typed)


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("mass-and-volume", {"mass": "45 g", "density": "1.84"}),
        ("body-surface-area", {"height": "45 cm", "weight": "2.2 kg"}),
        ("body-surface-area", {"height": "175 cm", "weight": "70 kg"}),
        ("volume-per-dose", {"strength": "100 mg/mL", "single_dose": "50 mg", "dropper": "20"}),
    ],
)
def test_what_a_pharmacy_has_is_not(name: str, typed: dict[str, str]) -> None:
    found = doubts(name, **typed)
    assert "from memory" not in found


@pytest.mark.parametrize(
    ("name", "typed", "field"),
    [
        ("strength-conversion", {"strength": "150 % w/w"}, "strength"),
        ("body-surface-area", {"height": "17.5 m", "weight": "70 kg"}, "height"),
        ("body-surface-area", {"height": "175 cm", "weight": "70 g"}, "weight"),
        ("ethanol-strength", {"strength": "104 % v/v"}, "strength"),
    ],
)
def test_a_refusal_stands_at_the_input_that_it_names(
    name: str, typed: dict[str, str], field: str
) -> None:
    with pytest.raises(BadText) as caught:
        calculate(calculation_named(name), typed)
    assert caught.value.field == field


def test_lists_of_different_length_are_called_by_their_titles() -> None:
    with pytest.raises(Refusal) as caught:
        calculate(
            calculation_named("suppositories"),
            {"ordered": "6", "mould": "2 g", "doses": "0.1 g; 0.2 g", "displacement_values": "2"},
        )
    said = Catalogue().text(caught.value.message)
    assert "displacement_values" not in said
    assert "Displacement values" in said
