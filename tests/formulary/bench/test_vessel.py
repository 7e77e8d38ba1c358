"""The vessel ledger: what went in, what it weighs, and what evaporated."""

from __future__ import annotations

from dataclasses import replace

import pytest

from formulary.bench.state import Vessel, begin
from formulary.bench.vessel import VesselLedger, ledger_of, lost, residue, water_to_add
from formulary.bench.weighing import transfer
from formulary.catalogue import Catalogue
from formulary.errors import NotFound, Refusal
from formulary.quantity.amount import Amount
from tests.formulary.bench.test_weighing import after, read
from tests.helpers.formulas import a_formula, a_line, active, amount, density, scaled

OIL, WATER = 0, 1


def ledger(gross: str = "", *water: Amount, poured_in: tuple[str, ...] = ()) -> VesselLedger:
    content = a_formula(
        a_line("Oil", "40 mL", density=density("0.9")),
        a_line("Water", "60 g"),
        active("Urea", "4 g"),
        total=amount("100 g"),
    )
    plan = scaled(content, "100 g")
    state = begin(content, plan, containers=1)
    oil, aqua, urea = state.lines
    lines = (
        transfer(after(oil, read("40 mL")), "Beaker 2"),
        after(aqua, read("60 g", vessel="Beaker 1")),
        after(urea, read("4 g")),
    )
    vessels = (
        Vessel("Beaker 1", amount("150 g"), (amount(gross),) if gross else (), water),
        Vessel("Beaker 2", amount("80 g")),
    )
    return ledger_of(replace(state, lines=lines, vessels=vessels), plan, "Beaker 1", poured_in)


def test_only_what_is_in_the_vessel_counts() -> None:
    assert ledger().expected == amount("60 g")
    assert ledger(poured_in=("Beaker 2",)).expected == amount("96 g")


def test_what_evaporated_is_what_went_in_less_what_is_there() -> None:
    found = lost(ledger("243 g", poured_in=("Beaker 2",)))
    assert found.result == amount("3 g")
    assert all(Catalogue().text(each) for each in found.steps)


def test_water_restores_what_the_lines_weighed() -> None:
    found = water_to_add(ledger("243 g", poured_in=("Beaker 2",)), [WATER])
    assert found.result == amount("3 g")
    said = [Catalogue().text(each).replace("\N{NO-BREAK SPACE}", " ") for each in found.steps]
    assert "With the water added the balance must show 246 g" in said


def test_water_put_back_and_weighed_again_leaves_nothing_to_add() -> None:
    restored = ledger("246 g", amount("3 g"), poured_in=("Beaker 2",))
    assert water_to_add(restored, [WATER]).result.number == 0
    assert lost(restored).result == amount("3 g")


def test_water_cannot_restore_what_else_may_have_evaporated() -> None:
    with pytest.raises(Refusal):
        water_to_add(ledger("207 g"), [WATER], only_water=False)
    with pytest.raises(Refusal):
        water_to_add(ledger("207 g"), [OIL])


def test_a_vessel_that_is_too_heavy_is_refused() -> None:
    with pytest.raises(Refusal):
        water_to_add(ledger("211 g"), [WATER])


def test_a_vessel_not_weighed_yet_says_so() -> None:
    with pytest.raises(Refusal) as refused:
        lost(ledger())
    assert refused.value.message.key == "bench.vessel.gross_missing"


def test_a_vessel_without_a_tare_has_no_ledger() -> None:
    content = a_formula(a_line("Water", "60 g"), total=amount("60 g"))
    plan = scaled(content, "60 g")
    with pytest.raises(NotFound):
        ledger_of(begin(content, plan, containers=1), plan, "Beaker 1")


def test_the_residue_is_what_the_emptied_vessel_still_holds() -> None:
    assert residue(ledger(), amount("152.4 g")) == amount("2.4 g")
    with pytest.raises(Refusal):
        residue(ledger(), amount("149 g"))
