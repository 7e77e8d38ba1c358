"""What a rule asks of a formula, read from its file and written back."""

from __future__ import annotations

from typing import Any

import pytest

from formulary.formula.fields import read_fields
from formulary.formula.fields_of import fields_of
from formulary.formula.stability import Packing, Preserved, WaterClass

BASE: dict[str, Any] = {
    "title": "Cream",
    "code": "C-1",
    "form": "cream",
    "route": "skin",
    "ingredient": [{"name": "Base", "quantity": "100 g"}],
}


def troubles(**fields: object) -> list[str]:
    """Return the places at which something is wrong."""
    return [each.field or "" for each in read_fields(BASE | fields).troubles]


def test_all_that_a_rule_asks_is_read_and_written_back() -> None:
    said = {
        "container": {"text": "Tube", "packing": "tube"},
        "water": {"class": "aqueous", "activity": "0.97", "source": "meter"},
        "preservation": {"state": "effectively preserved", "basis": "pH 4"},
        "evidence": {"period": "90 days", "citation": "Study, page 7", "same_storage": True},
    }
    reading = read_fields(BASE | said)
    content = reading.content
    assert reading.troubles == ()
    assert content.container is not None
    assert content.container.packing is Packing.TUBE
    assert content.water is not None
    assert content.water.water_class is WaterClass.AQUEOUS
    assert content.preservation is not None
    assert content.preservation.state is Preserved.YES
    written = fields_of(content)
    assert {name: written[name] for name in said} == said


@pytest.mark.parametrize("state", ["effectively preserved", "ethanol of 15 % or more"])
def test_what_works_says_what_shows_it(state: str) -> None:
    assert troubles(preservation={"state": state}) == ["preservation.basis"]
    assert troubles(preservation={"state": "no preservative"}) == []


@pytest.mark.parametrize("water", [{"class": "aqueous"}, {"activity": "0.5"}])
def test_a_class_or_a_measured_value_needs_its_source(water: dict[str, str]) -> None:
    assert troubles(water=water) == ["water.source"]


def test_evidence_needs_its_period_and_its_citation() -> None:
    assert troubles(evidence={"period": "90 days"}) == ["evidence.citation"]
    assert troubles(evidence={"citation": "Study"}) == ["evidence.period"]


def test_a_water_activity_lies_between_0_and_1() -> None:
    assert troubles(water={"activity": "1.1", "source": "meter"}) == ["water.activity"]
