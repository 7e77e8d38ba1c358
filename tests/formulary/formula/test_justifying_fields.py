"""Where a formula is from, its risk sheet and what tells on its life are fields that read back."""

from __future__ import annotations

from datetime import date
from typing import Any

from formulary.formula.fields import read_fields
from formulary.formula.fields_of import fields_of
from formulary.formula.justifying import Risk, SpecialRisk
from formulary.formula.stability import Closure, Factors

PLAIN: dict[str, Any] = {
    "title": "Zinc cream",
    "code": "ZC",
    "form": "cream",
    "route": "skin",
    "ingredient": [{"name": "Zinc oxide", "quantity": "5 g", "role": "active"}],
}
RISK = {"product": 2, "yearly": 3, "hazard": 1, "process": 2, "supply": 1, "decision": "low"}


def troubles(**more: Any) -> list[str]:  # noqa: ANN401  as read from TOML
    return [each.field or "" for each in read_fields(PLAIN | more).troubles]


def test_what_is_stated_is_read_and_written_again() -> None:
    given: dict[str, Any] = {
        "adapted_from": "A book, 3rd edition",
        "marketed_checked": "2026-01-31",
        "special_risks": ["sterile"],
        "risk": RISK,
        "factors": {"unstable": True, "antioxidant": "0.1 % tocopherol"},
        "container": {
            "text": "Bottle",
            "material": "glass",
            "closure": "tight",
            "child_resistant": True,
        },
    }
    reading = read_fields(PLAIN | given)
    assert reading.troubles == ()
    content = reading.content
    assert content.risk == Risk(2, 3, 1, 2, 1, "low")
    assert content.factors == Factors(unstable=True, antioxidant="0.1 % tocopherol")
    assert content.marketed_checked == date(2026, 1, 31)
    assert content.special_risks == (SpecialRisk.STERILE,)
    assert content.container is not None
    assert content.container.closure is Closure.TIGHT
    written = fields_of(content)
    assert {name: written[name] for name in given} == given


def test_a_risk_sheet_has_all_its_factors_and_a_decision() -> None:
    assert troubles(risk={"product": 2, "decision": "low"}) == [
        "risk.yearly",
        "risk.hazard",
        "risk.process",
        "risk.supply",
    ]
    assert troubles(risk=RISK | {"decision": ""}) == ["risk.decision"]
    assert troubles(risk=RISK | {"hazard": 0}) == ["risk.hazard"]
    assert troubles(risk={}) == []


def test_what_is_no_day_and_no_class_is_refused_at_its_place() -> None:
    assert troubles(marketed_checked="last spring") == ["marketed_checked"]
    assert troubles(special_risks=["dangerous"]) == ["special_risks"]
