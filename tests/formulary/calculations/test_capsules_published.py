"""Published sums of hard capsules."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from formulary.calculating.outcome import Number
from formulary.calculating.reading import calculate
from formulary.calculating.registry import calculation_named
from formulary.quantity.amount import Amount
from tests.formulary.calculations.published import Run, expect, published

CASES = {
    "capsule-002": (
        Run(
            "capsule-filling",
            {
                "capsules": "10",
                "spare": "1",
                "doses": "325 mg",
                "volume": "0.48 mL",
                "drug_densities": "0.75 g/mL",
                "filler_density": "0.8 g/mL",
            },
            {
                "drug_volume": "drug_volume",
                "diluent_per_capsule": "filler_each",
                "drug_total": "drug_total",
                "diluent_total": "filler",
            },
        ),
    ),
    "capsule-005": (
        Run("capsule-filling", {"capsules": "30", "doses": "0.4 g"}, {"active": "drug_total"}),
    ),
    "capsule-006": (
        Run(
            "capsule-filling",
            {
                "capsules": "50",
                "doses": "20 mg",
                "volume": "0.21 mL",
                "mixture_density": "0.46 g/mL",
            },
            {"drug": "drug_1", "mixture": "mixture", "diluent": "filler"},
        ),
    ),
}


@pytest.mark.parametrize("case", published("09-capsule"), ids=lambda case: case["id"])
def test_a_published_answer_comes_out(case: dict[str, Any]) -> None:
    expect(case, *CASES[case["id"]])


def test_an_excess_for_losses_counts_in_every_powder() -> None:
    typed = {"capsules": "40", "excess": "5 %", "doses": "3 mg"}
    outcome = calculate(calculation_named("capsule-filling"), typed)
    assert outcome.value("powder_for") == Amount(Fraction(42), "piece")
    assert outcome.value("drug_1") == Amount(Fraction("0.126"), "g")


@pytest.mark.parametrize(
    ("volume", "size"),
    [("0.13 mL", "5"), ("0.131 mL", "4"), ("0.5 mL", "1"), ("0.51 mL", "0"), ("1.37 mL", "000")],
)
def test_the_smallest_capsule_that_holds_the_powder_is_chosen(volume: str, size: str) -> None:
    outcome = calculate(calculation_named("capsule-size"), {"fill_volume": volume})
    assert outcome.value("size") == size


def test_a_size_from_the_chart_says_that_makers_differ() -> None:
    typed = {"capsules": "10", "doses": "100 mg", "size": "1", "chart": "2"}
    outcome = calculate(calculation_named("capsule-filling"), typed)
    assert outcome.value("calibrated_volume") == Amount(Fraction("4.8"), "mL")
    keys = [finding.said.key for finding in outcome.findings]
    assert {"capsules.chart_volume", "calculating.row_doubtful"} <= set(keys)


def test_trial_capsules_give_the_same_filler_as_the_densities_do() -> None:
    by_density = {"drug_densities": "0.75", "filler_density": "0.8", "volume": "0.48 mL"}
    typed = {"capsules": "10", "spare": "1", "doses": "325 mg"}
    filled = calculate(calculation_named("capsule-filling"), typed | by_density)
    full = {"full_of_drug": "0.36 g", "full_of_filler": "0.384 g"}
    weighed = calculate(calculation_named("capsule-filler-by-weight"), typed | full)
    assert weighed.value("filler") == filled.value("filler")


def test_fill_weights_are_judged_by_their_mean() -> None:
    weights = "; ".join(["326 mg"] * 17 + ["296 mg", "354 mg", "328 mg"])
    typed = {"weights": weights, "shell": "76 mg"}
    outcome = calculate(calculation_named("fill-weights"), typed)
    assert outcome.value("mean") == Amount(Fraction("0.25"), "g")
    assert outcome.value("limit") == Number(Fraction(10), "%")
    assert outcome.value("outside") == Amount(Fraction(2), "piece")
    assert not outcome.findings


def test_packing_follows_from_poured_and_tapped_volume() -> None:
    typed = {"mass": "50 g", "bulk_volume": "100 mL", "tapped_volume": "80 mL"}
    outcome = calculate(calculation_named("powder-packing"), typed)
    assert outcome.value("tapped_density") == Number(Fraction("0.625"), "g/mL")
    assert outcome.value("compressibility") == Number(Fraction(20), "%")
    assert outcome.value("hausner_ratio") == Number(Fraction("1.25"))
