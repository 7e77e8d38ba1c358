"""Adapted to the house, no product on the market, the risk assessed, and permission for it."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from formulary.formula.content import Container, MethodStep, Route, Storage
from formulary.formula.justifying import HIGH_RISK, Risk, SpecialRisk
from formulary.review.case import Facts
from tests.formulary.review.cases import (
    FAT,
    KEPT,
    NOTE,
    REASON,
    STOP,
    a_cream,
    an_ingredient,
    fields,
    loudness,
)
from tests.helpers.formulas import active

UREA = active("Urea", "1 g")
WHOLE = Risk(2, 2, 1, 2, 2, "guide for preparation in pharmacies")


def test_a_formula_from_elsewhere_names_the_houses_own_container_and_equipment() -> None:
    def adapted(**more: Any) -> list[str]:  # noqa: ANN401  of many types
        return fields(a_cream(UREA, FAT, adapted_from="A book, 3rd edition", **more), "adapted")

    own = {"container": Container("Jar of the house")}
    steps = (MethodStep("Stir.", equipment="Mortar"),)
    assert adapted(container=None) == ["container.text", "step.0.equipment"]
    assert adapted(**own) == ["step.0.equipment"]
    assert adapted(**own, steps=steps) == []
    assert loudness(a_cream(UREA, FAT, container=None), "adapted") == []


def test_why_it_is_made_is_asked_and_when_products_were_looked_up() -> None:
    rule = "marketed_alternative"
    assert loudness(a_cream(UREA, FAT), rule) == [NOTE]
    said: dict[str, Any] = {"marketed": "No product without wool fat"}
    assert fields(a_cream(UREA, FAT, **said), rule) == ["marketed_checked"]
    looked_up = said | {"marketed_checked": date(2026, 1, 1)}
    assert loudness(a_cream(UREA, FAT, **looked_up), rule) == []
    base = a_cream(UREA, FAT, route=Route.NOT_A_MEDICINE)
    assert loudness(base, rule) == []


def test_the_risk_is_assessed_and_a_high_one_needs_its_reason() -> None:
    assert loudness(a_cream(UREA, FAT), "risk_assessed") == [NOTE]
    assert WHOLE.score == 16
    assert loudness(a_cream(UREA, FAT, risk=WHOLE), "risk_assessed") == []
    high = Risk(5, 5, 4, 1, 1, "full GMP")
    assert high.score == HIGH_RISK
    assert loudness(a_cream(UREA, FAT, risk=high), "risk_assessed") == [REASON]
    assert loudness(a_cream(UREA, FAT, risk=Risk(5, 5, 3, 1, 1, "x")), "risk_assessed") == []


@pytest.mark.parametrize(
    ("content", "permitted", "found"),
    [
        ({"special_risks": (SpecialRisk.CHILDREN,)}, (SpecialRisk.CMR,), [STOP]),
        ({"special_risks": (SpecialRisk.CMR,)}, (SpecialRisk.CMR,), []),
        ({"special_risks": (SpecialRisk.CMR,)}, (), []),
        ({}, (SpecialRisk.CMR,), []),
    ],
)
def test_a_class_of_special_risk_needs_the_houses_permission(
    content: dict[str, Any], permitted: tuple[SpecialRisk, ...], found: list[str]
) -> None:
    facts = Facts(permissions=permitted)
    assert loudness(a_cream(UREA, FAT, **content), "special_permission", facts) == found


def test_a_listed_hazardous_drug_is_such_a_class_by_itself() -> None:
    tretinoin = active("Tretinoin", "0.05 g")
    facts = Facts(permissions=(SpecialRisk.STERILE,))
    assert loudness(a_cream(tretinoin, FAT), "special_permission", facts) == [STOP]
    allowed = Facts(permissions=(SpecialRisk.CMR,))
    assert loudness(a_cream(tretinoin, FAT), "special_permission", allowed) == []


def test_the_strictest_storage_of_an_ingredient_is_inherited() -> None:
    cold = Facts(ingredients=(an_ingredient("Urea", storage=Storage(2, 8)),))
    assert loudness(a_cream(UREA, FAT), "colder_part", cold) == [REASON]
    assert loudness(a_cream(UREA, FAT, storage=Storage(2, 8)), "colder_part", cold) == []
    assert loudness(a_cream(UREA, FAT, storage=Storage(2)), "colder_part", cold) == [REASON]
    warm = Facts(ingredients=(an_ingredient("Urea", storage=Storage(15, 25)),))
    assert loudness(a_cream(UREA, FAT), "colder_part", warm) == []


def test_the_material_of_the_container_counts_beside_its_name() -> None:
    iodine = active("Iodine", "1 g")
    for material, found in (("polyethylene", [REASON]), ("glass", [])):
        packed = Container("Bottle", protect_from_light=True, material=material)
        content = a_cream(iodine, FAT, **(KEPT | {"container": packed}))
        assert loudness(content, "container") == found
