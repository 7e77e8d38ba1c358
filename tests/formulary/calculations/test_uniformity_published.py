"""Published limits for weights and contents."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from formulary.calculations.uniformity import judge
from formulary.quantity.amount import Amount
from tests.formulary.calculations.published import Run, expect, published

MASS = {
    "mean": "mean",
    "outside_limit": "outside_limit",
    "outside_twice_limit": "outside_twice_limit",
    "complies": "complies",
}
FORMS = {
    "capsules, mean below 300 mg": "capsules, powders, granules",
    "suppositories": "suppositories and pessaries",
}
PUBLISHED = published("18-tolerance")


def _run(case: dict[str, Any]) -> Run:
    """Return the calculation of a case: by its weights, its label or its batch."""
    inputs = case["inputs"]
    if "batch_g" in inputs:
        typed = {
            "batch": f"{_plain(inputs['batch_g'])} g",
            "filled": f"{_plain(inputs['contents_g'])} g",
            "contents": _listed(inputs["contents_mg"]),
        }
        names = ("loss", "mean", "rsd", "complies")
        return Run("capsule-in-process-check", typed, {name: name for name in names})
    weights = _listed(inputs["weights_mg"])
    if "theoretical_mg" in inputs:
        typed = {"label": f"{inputs['theoretical_mg']} mg", "found": weights}
        limits = ("low_limit", "high_limit", "complies")
        return Run("content-limits", typed, {name: name for name in limits})
    results = {name: result for name, result in MASS.items() if name in case["expected"]}
    typed = {"weights": weights, "form": FORMS[inputs["form"]]}
    return Run("uniformity-of-mass", typed, results)


def _listed(weights: list[int]) -> str:
    return "; ".join(f"{each} mg" for each in weights)


def _plain(number: Fraction) -> str:
    return f"{float(number)}"


@pytest.mark.parametrize("case", PUBLISHED, ids=lambda case: case["id"])
def test_a_published_case_comes_out_right(case: dict[str, Any]) -> None:
    case["expected"] = {
        name: {**expected, "unit": "" if expected["unit"] == "units" else expected["unit"]}
        for name, expected in case["expected"].items()
    }
    expect(case, _run(case))


@pytest.mark.parametrize(
    ("beyond", "complies"),
    [((278, 222), True), ((278, 278, 222), False), ((305,), False)],
    ids=["two outside 225 to 275 mg", "three outside", "one outside 200 to 300 mg"],
)
def test_two_of_twenty_may_be_outside_and_none_outside_twice_the_limit(
    beyond: tuple[int, ...], *, complies: bool
) -> None:
    """The rule of Ph. Eur. 2.9.5 at a mean of 250 mg and its limit of 10 %."""
    others = 20 - len(beyond)
    rest = Fraction(20 * 250 - sum(beyond), others)
    weights = [Amount(Fraction(each), "mg") for each in beyond] + [Amount(rest, "mg")] * others
    assert judge(tuple(weights), Fraction(10)).complies(2) is complies
