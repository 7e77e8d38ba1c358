"""Ethanol, moulds, capsules, isotonicity, HLB and buffers: what can't be is refused and said."""

from __future__ import annotations

import re

import pytest

from formulary.calculating.describing import Calculation
from formulary.calculating.outcome import Number, Outcome
from formulary.calculating.reading import calculate
from formulary.calculating.registry import calculation_named, every_calculation
from formulary.catalogue import Catalogue
from formulary.errors import BadText, Refusal

STRONG = "stock_strength=96 % v/v"
MOULD = "ordered=6, mould=2 g"
CAPSULES = "capsules=10, doses=325 mg"
REFUSED = [
    ("ethanol-dilution", f"{STRONG}, target_strength=97 % v/v, target=1 L", "ethanol.outside"),
    ("ethanol-dilution", f"{STRONG}, target_strength=96 % v/v, target=1 L", "ethanol.outside"),
    (
        "ethanol-dilution",
        f"{STRONG}, target_strength=40 % v/v, diluent_strength=45 % v/v, target=1 L",
        "ethanol.outside",
    ),
    ("ethanol-dilution", f"{STRONG}, target_strength=70 % v/v", "ethanol.one_of_two"),
    (
        "ethanol-dilution",
        f"{STRONG}, target_strength=70 % v/v, target=1 L, stock=1 L",
        "ethanol.one_of_two",
    ),
    (
        "ethanol-dilution",
        "stock_strength=101 % v/v, target_strength=70 % v/v, target=1 L",
        "ethanol_strength.over_pure",
    ),
    (
        "ethanol-dilution",
        "stock_strength=80 % w/v, target_strength=70 % v/v, target=1 L",
        "ethanol_strength.over_pure",
    ),
    (
        "ethanol-mass-and-volume",
        "amount=1 L, strength=5 units/mL",
        "ethanol_strength.no_strength",
    ),
    ("ethanol-mixture", "amounts=1 L; 1 L, strengths=96 % v/v", "calculating.lists_differ"),
    ("ethanol-strength", "density=0.7", "ethanol_strength.off_density"),
    ("ethanol-strength", "density=1.1", "ethanol_strength.off_density"),
    ("ethanol-strength", "strength=50 % v/v, density=0.93", "ethanol_strength.one_of_two"),
    ("ethanol-strength", "temperature=25 °C", "ethanol_strength.one_of_two"),
    ("ethanol-made-up", f"{STRONG}, stock=1 L, total=900 mL", "ethanol_strength.bigger"),
    ("suppositories", f"{MOULD}, doses=1 g", "suppositories.one_way"),
    (
        "suppositories",
        f"{MOULD}, doses=1 g, displacement_values=2, displacement_factors=0.5",
        "suppositories.one_way",
    ),
    (
        "suppositories",
        f"{MOULD}, doses=1 g; 1 g, displacement_values=2",
        "calculating.lists_differ",
    ),
    ("suppositories", f"{MOULD}, doses=3 g, displacement_factors=1", "suppositories.no_room"),
    ("suppositories", f"{MOULD}, doses=2 g, displacement_factors=1", "suppositories.no_room"),
    ("suppositories", f"{MOULD}, doses=100 %, displacement_factors=1", "suppositories.over_whole"),
    (
        "suppositories",
        f"{MOULD}, doses=5 % w/v, displacement_factors=1",
        "suppositories.not_by_mass",
    ),
    (
        "suppositories",
        f"{MOULD}, doses=1 g, drug_densities=1.2",
        "suppositories.base_density_needed",
    ),
    ("suppositories", f"{MOULD}, doses=0.1 g, substances=menthol", "suppositories.base_needed"),
    (
        "suppositories",
        f"{MOULD}, doses=0.1 g, substances=menthol, base=cocoa butter",
        "calculating.several_rows",
    ),
    (
        "suppositories",
        f"{MOULD}, doses=0.1 g, substances=ibuprofen, base=cocoa butter",
        "calculating.no_row",
    ),
    ("mould-calibration", "total_weight=12 g", "suppository_trials.weights_or_total"),
    ("mould-calibration", "weights=2 g; 2 g, units=2", "suppository_trials.weights_or_total"),
    (
        "mould-calibration",
        "weights=2 g; 2 g, other_density=1.2",
        "suppository_trials.both_densities",
    ),
    (
        "displacement-value",
        "units=6, mould=1 g, total_weight=8 g",
        "suppository_trials.one_active",
    ),
    (
        "displacement-value",
        "units=6, mould=1 g, total_weight=8 g, dose=0.1 g",
        "suppository_trials.nothing_displaced",
    ),
    (
        "displacement-value",
        "units=6, mould=1 g, total_weight=8 g, drug=8 g",
        "suppository_trials.no_base",
    ),
    (
        "displacement-value",
        "units=6, mould=1 g, total_weight=8 g, strength=5 % w/v",
        "suppository_trials.not_by_mass",
    ),
    (
        "capsule-filling",
        f"{CAPSULES}, volume=0.3 mL, drug_densities=0.75",
        "capsules.overfilled",
    ),
    (
        "capsule-filling",
        f"{CAPSULES}, volume=0.3 mL, mixture_density=0.75",
        "capsules.overfilled_by_mass",
    ),
    ("capsule-filling", f"{CAPSULES}, volume=0.5 mL, size=1", "capsules.size_or_volume"),
    (
        "capsule-filling",
        f"{CAPSULES}, volume=0.5 mL, mixture_density=0.75, filler_density=0.8",
        "capsules.mixture_or_parts",
    ),
    (
        "capsule-filling",
        f"{CAPSULES}, volume=0.5 mL, filler_density=0.8",
        "capsules.filler_needs_drugs",
    ),
    ("capsule-filling", f"{CAPSULES}, filler_density=0.8", "capsules.densities_need_size"),
    ("capsule-filling", f"{CAPSULES}, size=00E", "calculating.no_row"),
    ("capsule-size", "fill_volume=2 mL", "capsules.too_big"),
    ("capsule-size", "masses=1 g", "capsules.powder_or_volume"),
    (
        "powder-packing",
        "mass=5 g, bulk_volume=8 mL, tapped_volume=9 mL",
        "capsule_weights.not_tapped",
    ),
    (
        "capsule-filler-by-weight",
        "capsules=10, doses=5 g, full_of_drug=4 g, full_of_filler=4 g",
        "capsule_weights.overfilled",
    ),
    ("fill-weights", "weights=300 mg, shell=76 mg", "capsule_weights.two_weights"),
    ("fill-weights", "weights=300 mg; 76 mg, shell=76 mg", "capsule_weights.shell_heavy"),
    ("isotonicity", "volume=10 mL, masses=1 g, equivalents=0.5", "isotonicity.hypertonic"),
    ("isotonicity", "volume=10 mL, masses=1 g", "isotonicity.one_way"),
    (
        "isotonicity",
        "volume=10 mL, isotonic_part=10 mL, masses=1 g, equivalents=0.01",
        "isotonicity.no_rest",
    ),
    ("isotonicity", "volume=10 mL, masses=1 % w/w, equivalents=0.5", "isotonicity.not_w_v"),
    ("isotonicity", "volume=10 mL, masses=1 g, solutes=boric acid", "calculating.several_rows"),
    (
        "isotonicity-by-freezing-point",
        "volume=10 mL, strengths=5 %, depressions=0.2",
        "isotonicity.hypertonic_by_depression",
    ),
    (
        "isotonicity-by-freezing-point",
        "volume=10 mL, depressions=0.2",
        "isotonicity.no_solutes",
    ),
    (
        "isotonicity-by-freezing-point",
        "volume=10 mL, diluted_to=5 mL",
        "isotonicity.not_diluted",
    ),
    (
        "isotonic-volume",
        "masses=1 g, equivalents=0.5, total=30 mL",
        "isotonicity.hypertonic_volume",
    ),
    ("sodium-chloride-equivalent", "molar_mass=376", "tonicity_estimates.one_dissociation"),
    ("osmolarity", "volume=1 L, masses=9 g, particles=2", "osmolarity.molar_masses_needed"),
    ("osmolality-by-freezing-point", "constant=1.86", "osmolarity.one_of_two"),
    ("emulsifier-ratio", "high_hlb=15, low_hlb=4.3, required_hlb=16", "hlb.outside"),
    ("emulsifier-ratio", "high_hlb=8, low_hlb=8, required_hlb=8", "hlb.high_not_above"),
    ("hlb-of-a-blend", "amounts=5 g; 5, hlbs=15; 4.3", "hlb.mixed"),
    ("hlb-of-a-blend", "amounts=5 g; 5 g", "hlb.one_way"),
    ("required-hlb", "amounts=5 g; 5 g, required_hlbs=12", "calculating.lists_differ"),
    ("buffer-ratio", "ph=5", "buffers.one_pka"),
    ("buffer-ph", "pka=4.76, base=0.1", "buffers.one_ratio"),
    ("buffer-ph", "pka=4.76, base=0.1 g/L, acid=0.1 g/L", "buffers.not_molar"),
    ("buffer-ph", "pka=13.9, ratio=100", "buffers.outside_ph"),
    ("buffer-ph", "ka=weak, ratio=1", "buffers.no_constant"),
    ("ionisation", "form=acid,pka=4.76", "buffers.one_of_ph"),
    ("buffer-capacity", "added=0.1, ph=5", "buffers.one_capacity"),
    (
        "buffer-making",
        "volume=1 L, concentration=0.1, ph=5, pka=4.76, acid_stock=0.1, base_molar_mass=82",
        "buffer_making.one_way",
    ),
    (
        "buffer-making",
        "volume=1 L, concentration=0.2, ph=5, pka=4.76, acid_stock=0.1, base_stock=0.1",
        "buffer_making.too_strong",
    ),
    ("buffer-after-addition", "pka=4.76, base=0.1, acid=0.1", "buffer_additions.one_addition"),
    (
        "buffer-after-addition",
        "pka=4.76, base=0.1, acid=0.1, strong_acid=0.1",
        "buffer_additions.used_up",
    ),
    ("borate-buffer", "volume=1 L, ph=7.3", "buffer_making.not_in_table"),
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
        ("ethanol-strength", "strength=50 %", "strength"),
        ("ethanol-strength", "strength=50 % v/v, temperature=41 °C", "temperature"),
        ("ethanol-strength", "strength=50 % v/v, temperature=-21 °C", "temperature"),
        ("ethanol-strength", "strength=50 % v/v, scale=60 °C", "scale"),
        ("suppositories", "ordered=0, mould=2 g, doses=1 g", "ordered"),
        ("suppositories", "ordered=6, mould=2 mL, doses=1 g", "mould"),
        (
            "suppositories",
            "ordered=6, mould=2 g, doses=1 g, displacement_values=0",
            "displacement_values",
        ),
        ("capsule-filling", "capsules=1.5, doses=1 g", "capsules"),
        ("capsule-filling", "capsules=10, doses=1 g, excess=-1 %", "excess"),
        ("isotonicity", "volume=0 mL, masses=1 g, equivalents=1", "volume"),
        ("isotonicity", "volume=10 g, masses=1 g, equivalents=1", "volume"),
        ("hlb-of-a-blend", "amounts=5; 0, hlbs=15; 4.3", "amounts"),
        ("hlb-of-a-blend", "amounts=5; 5 mL, hlbs=15; 4.3", "amounts"),
        ("buffer-ratio", "ph=15, pka=4", "ph"),
        ("buffer-ph", "ka=-1, ratio=1", "ka"),
    ],
)
def test_nothing_negative_or_of_another_kind_is_taken(name: str, inputs: str, field: str) -> None:
    with pytest.raises(BadText) as refused:
        calculate(calculation_named(name), typed(inputs))
    assert refused.value.field == field


AREAS = {
    "buffer_additions",
    "buffer_making",
    "buffers",
    "capsule_weights",
    "capsules",
    "ethanol",
    "ethanol_strength",
    "hlb",
    "isotonicity",
    "osmolarity",
    "suppositories",
    "suppository_trials",
    "tonicity_estimates",
}
OURS = [each for each in every_calculation() if each.area in AREAS]
PARTS = ("title", "about", "source", "limits", "caution")


@pytest.mark.parametrize("calculation", OURS, ids=lambda each: each.name)
def test_a_calculation_works_with_its_example_and_says_all_in_words(
    calculation: Calculation,
) -> None:
    said = Catalogue()
    assert all(said.text(calculation.text(part)).strip() for part in PARTS)
    assert all(said.text(calculation.input_said(each.name)) for each in calculation.inputs)
    outcome = calculate(calculation, dict(calculation.examples))
    assert all(said.text(f"{calculation.area}.result.{name}") for name in names(outcome))
    assert all(said.text(step) for step in outcome.steps)
    assert all(said.text(finding.said) for finding in outcome.findings)


def names(outcome: Outcome) -> set[str]:
    """Return the names of results, those of a list without their number."""
    return {re.sub(r"_[0-9]+$", "", result.name) for result in outcome.results}


def test_the_sums_that_are_no_routine_stay_exact() -> None:
    typed = {"ordered": "3", "mould": "1 g", "doses": "0.1 g", "displacement_values": "3"}
    outcome = calculate(calculation_named("suppositories"), typed)
    assert not any(isinstance(r.value, Number) and r.value.rounded for r in outcome.results)
