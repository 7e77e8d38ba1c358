"""What harms: hazardous, not tolerated, sensitising, flammable, forming peroxides."""

from __future__ import annotations

from datetime import date
from typing import Any

from formulary.formula.content import LabelText, Route
from formulary.review.case import Facts
from formulary.stock.expiry import Expiry
from formulary.stock.lot import Source, SupplyLot
from tests.formulary.review.cases import (
    FAT,
    NOTE,
    REASON,
    a_cream,
    a_solution,
    an_ingredient,
    loudness,
)
from tests.helpers.formulas import a_line, active


def warns(*codes: str) -> dict[str, Any]:
    return {"label": LabelText(warnings=codes)}


def test_hazardous_drugs_and_statements_are_noted() -> None:
    assert loudness(a_cream(active("Methotrexate", "1 g"), FAT), "hazardous") == [NOTE]
    assert loudness(a_cream(active("Coal tar", "1 g"), FAT), "hazardous") == [NOTE]
    assert loudness(a_cream(active("Urea", "1 g"), FAT), "hazardous") == []


def test_statements_on_a_lots_record_count() -> None:
    urea = an_ingredient("Urea")
    lot = SupplyLot(
        "l-1",
        urea.id,
        "U1",
        Source.SUBSTANCE,
        date(2026, 1, 5),
        Expiry(date(2028, 1, 31)),
        hazards=("H361d",),
    )
    facts = Facts(ingredients=(urea,), lots={urea.id: (lot,)})
    assert loudness(a_cream(active("Urea", "1 g"), FAT), "hazardous", facts) == [NOTE]


def test_peanut_oil_that_the_label_doesnt_name_needs_a_reason() -> None:
    oil = a_line("Arachis oil, refined", "10 g")
    assert loudness(a_cream(oil, FAT), "not_tolerated") == [REASON]
    assert loudness(a_cream(oil, FAT, **warns("contains_peanut_oil")), "not_tolerated") == []
    wool = a_line("Wool fat", "10 g")
    assert loudness(a_cream(wool, FAT), "not_tolerated") == [NOTE]


def test_what_many_become_allergic_to_is_noted_on_the_skin() -> None:
    wool = a_line("Wool fat", "10 g")
    assert loudness(a_cream(wool, FAT), "sensitiser") == [NOTE]
    assert loudness(a_cream(wool, FAT, route=Route.RECTAL), "sensitiser") == []
    assert loudness(a_cream(active("Urea", "1 g"), FAT), "sensitiser") == []


def test_what_burns_is_warned_of() -> None:
    ethanol = a_line("Ethanol 96 %", "50 g")
    assert loudness(a_solution(ethanol), "flammable") == [REASON]
    assert loudness(a_solution(a_line("Ethanol 96 %", "5 g")), "flammable") == [NOTE]
    assert loudness(a_solution(ethanol, **warns("flammable")), "flammable") == []


def test_what_forms_peroxides_is_noted() -> None:
    assert loudness(a_solution(a_line("Ether", "20 g")), "peroxides") == [NOTE]
    assert loudness(a_solution(a_line("Ethanol 96 %", "20 g")), "peroxides") == []
