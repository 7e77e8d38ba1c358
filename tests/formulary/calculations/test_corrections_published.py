"""Published corrections for assay, water, form and concentrates."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from formulary.calculations.corrections import Basis, Certificate, correction, lot_factor
from tests.formulary.calculations.published import (
    CLOSE,
    CLOSE_WITH_FORMULAS,
    Run,
    expect,
    published,
)

CASES = {
    "potency-004": (
        Run("weight-with-a-factor", {"ordered": "0.5 g", "factor": "1.11"}, {"weigh": "weigh"}),
    ),
    "potency-005": (
        Run(
            "correction-factor",
            {"assay": "98.5 %", "basis": "as is", "threshold": "2 %"},
            {"correct_first": "corrected"},
        ),
        Run(
            "correction-factor",
            {"assay": "97.0 %", "basis": "as is", "threshold": "2 %"},
            {"correct_second": "corrected", "factor_second": "factor"},
        ),
    ),
    "potency-006": (
        Run(
            "salt-or-hydrate-equivalent",
            {"needed": "50 mg", "molar_mass_needed": "192.13", "molar_mass_supplied": "210.14"},
            {"factor": "factor", "weigh": "weigh"},
        ),
    ),
    "potency-009": (
        Run(
            "concentrate-factor",
            {
                "nominal": "2 %",
                "found": "2.06 %",
                "molar_mass_ordered": "C36H62N4",
                "molar_mass_supplied": "C36H62N4.2HCl",
            },
            {
                "factor_stock": "factor_for_stock",
                "factor_salt": "factor_for_substance",
                "factor_base": "factor_for_other_form",
            },
        ),
    ),
}
WITH_FORMULAS = {"potency-009"}
PUBLISHED = published("13-potency")


def test_every_published_case_is_run() -> None:
    assert {case["id"] for case in PUBLISHED} == CASES.keys()


@pytest.mark.parametrize("case", PUBLISHED, ids=lambda case: case["id"])
def test_a_published_case_comes_out_right(case: dict[str, Any]) -> None:
    close = CLOSE_WITH_FORMULAS if case["id"] in WITH_FORMULAS else CLOSE
    expect(case, *CASES[case["id"]], close=close)


def test_a_dried_assay_of_93_5_with_3_68_water_gives_1_110() -> None:
    """Published by the German formulary forum; the figures are those of its worked example."""
    lot = Certificate(Fraction("93.5"), Basis.DRIED, Fraction("3.68"))
    assert round(correction(lot).result, 3) == Fraction("1.110")


def test_an_assay_over_100_counts_as_100_and_1_008_is_under_the_threshold() -> None:
    lot = Certificate(Fraction("101.3"), Basis.DRIED, Fraction("0.8"))
    assert correction(lot).result == 1
    strict = Certificate(Fraction("101.3"), Basis.DRIED, Fraction("0.8"), threshold=Fraction(0))
    assert round(correction(strict).result, 3) == Fraction("1.008")


def test_a_content_of_98_4_is_not_corrected() -> None:
    assert lot_factor(Certificate(Fraction("98.4"))).result == 1
