"""What can't be calculated is refused with a sentence, never answered with a number."""

from __future__ import annotations

import pytest

from formulary.calculating.reading import calculate
from formulary.calculating.registry import calculation_named
from formulary.catalogue import Catalogue
from formulary.errors import BadText, Refusal

REFUSED = [
    ("strength-conversion", "strength=120 % w/w", "strengths.over_whole"),
    ("strength-conversion", "strength=5 mg/piece", "strengths.no_unit"),
    ("strength-conversion", "strength=5 mmol/kg", "calculating.no_part_of_a_whole"),
    ("amount-and-strength", "total=100 mL", "active_in_whole.two_of_three"),
    ("amount-and-strength", "total=100 mL, strength=5 %", "active_in_whole.no_kind"),
    ("amount-and-strength", "active=20 g, total=10 g", "active_in_whole.part_of_whole"),
    ("amount-and-strength", "total=100 mL, strength=5 % w/w", "quantity.unit_mismatch"),
    ("dissolving", "active=5 g, strength=10 % w/v", "active_in_whole.ww_needed"),
    ("dissolving", "solvent=5 g, strength=100 % w/w", "active_in_whole.over_whole"),
    ("dissolving", "active=5 g, solvent=100 mL", "quantity.unit_mismatch"),
    ("reducing-and-enlarging", "amounts=5 g, made=100 g", "enlarging.one_way"),
    (
        "reducing-and-enlarging",
        "amounts=5 g; 10 mL, made=100 g, target=50 g, rest=to weight",
        "enlarging.no_mass",
    ),
    (
        "reducing-and-enlarging",
        "amounts=95 g; 10 g, made=100 g, target=50 g, rest=to weight",
        "enlarging.overfilled",
    ),
    (
        "reducing-and-enlarging",
        "amounts=95 mL; 10 mL, made=100 mL, target=50 mL, rest=to volume",
        "enlarging.overfilled",
    ),
    (
        "reducing-and-enlarging",
        "amounts=5 g, made=100 mL, target=50 mL, rest=to weight",
        "enlarging.to_weight",
    ),
    (
        "reducing-and-enlarging",
        "amounts=5 g; 6 g, made=100 g, target=50 g, densities=0.9",
        "enlarging.densities",
    ),
    ("percentage-formula", "percents=60; 50, target=20 g", "enlarging.over_100"),
    ("percentage-formula", "percents=6 % w/v, target=20 g", "enlarging.kind"),
    ("percentage-formula", "percents=6 %, target=20 mL", "enlarging.kind"),
    ("dilution", "stock_strength=2 %, target_strength=5 %, stock=1 mL", "dilution.not_weaker"),
    ("dilution", "stock_strength=2 %, stock=20 mL, target=10 mL", "dilution.more_stock"),
    ("dilution", "stock_strength=2 %, stock=20 mL", "dilution.three_of_four"),
    ("dilution", "target_strength=50 %, stock=1 mL, target=10 mL", "dilution.over_whole"),
    (
        "dilution",
        "stock_strength=2 % w/w, target_strength=1 % w/v, stock=1 mL",
        "calculating.kinds_differ",
    ),
    (
        "dilution",
        "stock_strength=2 % w/w, target_strength=1 % w/w, stock=1 mL",
        "calculating.kind_unfit",
    ),
    (
        "concentrating",
        "stock_strength=5 %, target_strength=2 %, stock=10 g",
        "dilution.not_stronger",
    ),
    (
        "serial-dilution",
        "stock_strength=1 %, target_strength=0.3 %, steps=2, volume=10 mL",
        "dilution.no_whole_root",
    ),
    (
        "serial-dilution",
        "stock_strength=1 %, factor=1, steps=2, volume=10 mL",
        "dilution.factor",
    ),
    ("mixture-strength", "amounts=5 mL, strengths=2 % w/w", "quantity.unit_mismatch"),
    ("mixture-strength", "amounts=5 g; 6 g, strengths=2 %", "alligation.lengths"),
    ("mixture-strength", "amounts=5 g, strengths=0 %", "alligation.nothing_active"),
    ("alligation", "sources=10 %; 20 %, target_strength=25 %", "alligation.outside"),
    ("alligation", "sources=10 %, target_strength=10 %", "alligation.two_sources"),
    ("alligation", "sources=10 %; 120 %, target_strength=25 %", "alligation.over_whole"),
    (
        "adding-to-reach-a-strength",
        "amounts=5 g, strengths=2 %, target_strength=3 %, additive_strength=2.5 %",
        "fortifying.between",
    ),
    (
        "adding-to-reach-a-strength",
        "amounts=5 mL, strengths=2 % w/v, target_strength=3 % w/v",
        "fortifying.solid",
    ),
    (
        "adding-to-reach-a-strength",
        "amounts=5 mL, strengths=2 % w/v, target_strength=3 % w/v, made_up_to=4 mL",
        "fortifying.smaller",
    ),
    (
        "mixing-to-a-total",
        "total=10 g, target_strength=2 %, adjustable=5 %; 5 %",
        "fortifying.alike",
    ),
    (
        "mixing-to-a-total",
        "total=10 g, target_strength=2 %, adjustable=5 %; 0 %, fixed=11 g, fixed_strengths=1 %",
        "fortifying.no_room",
    ),
    (
        "mixing-to-a-total",
        "total=10 g, target_strength=2 %, adjustable=5 %; 0 %, fixed=9 g, fixed_strengths=9 %",
        "fortifying.too_strong",
    ),
    ("least-weighable-quantity", "permitted_error=5", "least_weighable.sensitivity_or_weights"),
    ("minimum-weight-by-repeatability", "weight=1 g", "least_weighable.nothing_known"),
    (
        "minimum-weight-by-repeatability",
        "readings=1 g; 1.1 g; 1 g",
        "least_weighable.few_readings",
    ),
    ("powder-aliquot", "needed=10 mg, aliquot=120 mg", "aliquot.drug"),
    ("powder-aliquot", "needed=10 mg, multiple=12", "aliquot.aliquot_or_mixture"),
    ("powder-aliquot", "needed=10 mg, drug=5 mg, aliquot=1 g", "aliquot.less_than_needed"),
    ("powder-aliquot", "needed=10 mg, drug=120 mg, aliquot=10 mg", "aliquot.no_diluent"),
    (
        "solution-aliquot",
        "needed=20 mg, drug=200 mg, stock=50 mL, solubility=400",
        "aliquot.insoluble",
    ),
    ("trituration-plan", "needed=5 g", "trituration.weigh"),
    ("trituration-plan", "needed=1 nanogram", "trituration.no_plan"),
    ("trituration-plan", "needed=5 mg, minimums=1 g", "trituration.lists"),
    (
        "tablets-as-source",
        "active=5 mg, strength=100 mg, mean_mass=90 mg",
        "tablets_source.too_strong",
    ),
    ("tablets-as-source", "strength=10 mg, mean_mass=90 mg", "tablets_source.active_or_dose"),
    (
        "tablets-as-source",
        "active=5 mg, strength=10 mg, mean_mass=90 mg, shell=95 mg",
        "tablets_source.shell",
    ),
    (
        "tablets-as-source",
        "active=5 mg, strength=10 mg, mean_mass=90 mg, crushed=1 g",
        "tablets_source.powder_lost",
    ),
    (
        "tablets-as-source",
        "dose=5 mg, units=10, strength=10 mg, mean_mass=90 mg, fill=40 mg",
        "tablets_source.overfilled",
    ),
    ("mass-and-volume", "mass=5 g", "density.two_of_three"),
    ("pycnometer", "empty=20 g, with_water=20 g, with_liquid=30 g", "density.not_filled"),
    (
        "density-of-a-solid",
        "solid=1 g, filled=50 g, with_solid=51 g, liquid_density=1",
        "density.nothing_displaced",
    ),
    (
        "concentrated-acid",
        "density=1.19, assay=38, target=1 L, target_strength=50 % w/v",
        "density.stronger",
    ),
    (
        "concentrated-acid",
        "density=1.19, assay=38, target=1 L, target_strength=1 mol/L",
        "density.molar_mass",
    ),
    ("drops-and-doses", "drops=5", "drops.calibration"),
    ("drops-and-doses", "drop=30 mg, drops=5, amount=1 g", "drops.wanted"),
    ("drops-and-doses", "drop=30 mg, amount=1 mL", "drops.density"),
    ("drops-and-doses", "drop=30 mg, dose=1 mg", "drops.strength"),
    ("drops-and-doses", "drop=50 mg, strength=10 mg/g, dose=0.1 mg", "drops.none"),
]


def typed(inputs: str) -> dict[str, str]:
    return dict(each.strip().split("=", 1) for each in inputs.split(","))


@pytest.mark.parametrize(("name", "inputs", "key"), REFUSED)
def test_what_cannot_be_is_refused_with_a_sentence(name: str, inputs: str, key: str) -> None:
    with pytest.raises(Refusal) as refused:
        calculate(calculation_named(name), typed(inputs))
    assert refused.value.message.key == key
    assert Catalogue().text(refused.value.message).strip()


@pytest.mark.parametrize(
    ("name", "inputs", "field"),
    [
        ("dilution", "stock_strength=-2 %, target_strength=1 %, stock=1 mL", "stock_strength"),
        ("dilution", "stock_strength=2 %, target_strength=0 %, stock=1 mL", "target_strength"),
        ("mass-and-volume", "mass=5 g, density=0", "density"),
        ("mass-and-volume", "mass=5 mL, density=1", "mass"),
        ("least-weighable-quantity", "sensitivity=6 mg, permitted_error=0", "permitted_error"),
        ("parts-formula", "parts=1; 0, target=5 g", "parts"),
        ("alligation", "sources=10 %; -1 %, target_strength=5 %", "sources"),
        ("drops-and-doses", "per_ml=0, drops=5", "per_ml"),
        ("tablets-as-source", "active=5 mg, strength=10 mL, mean_mass=9 mg", "strength"),
    ],
)
def test_nothing_negative_or_of_another_kind_is_taken(name: str, inputs: str, field: str) -> None:
    with pytest.raises(BadText) as refused:
        calculate(calculation_named(name), typed(inputs))
    assert refused.value.field == field
