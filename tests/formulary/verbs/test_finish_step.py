"""A step that is done empties its boats into the vessel of their phase."""

from __future__ import annotations

from formulary.bench.events import BenchCleared, LineWeighed, PlanChecked, StepDone, VesselTared
from formulary.bench.reading import Reading
from formulary.bench.vessel import ledger_of
from formulary.formula.content import Phase
from formulary.verbs.finish_step import finish_step
from formulary.verbs.start_preparation import Order, start_preparation
from formulary.verbs.work_at_bench import AtBench, record
from tests.helpers.at_bench import a_step
from tests.helpers.desks import ADA, CID, PIN, a_desk, at, furnished, in_use
from tests.helpers.formulas import a_formula, a_line, amount
from tests.helpers.memory_store import MemoryStore
from tests.helpers.stocked_bench import kept_well

CONTENT = kept_well(
    a_formula(
        a_line("Wax", "40 g", phase="A"),
        a_line("Water", "60 g", phase="B"),
        phases=(Phase("A", "Fat"), Phase("B", "Water")),
        steps=(a_step("Melt", "A"), a_step("Heat", "B")),
    )
)


def weighed(*, vessel: str = "") -> tuple[AtBench, AtBench]:
    """Weigh the wax, with a vessel for its phase or without, and return both sides of its step."""
    desk = a_desk(furnished(MemoryStore()), CID)
    lot = start_preparation(desk, in_use(desk, CONTENT).id, Order("100 g")).lot
    record(at(desk, ADA), lot, PlanChecked(), pin=PIN)
    record(desk, lot, BenchCleared())
    if vessel:
        record(desk, lot, VesselTared(vessel, amount("250 g"), phase="A"))
    before = record(desk, lot, LineWeighed(0, Reading(amount("40 g"), "Balance 1")))
    return before, finish_step(desk, lot, StepDone(0))


def test_the_boats_of_a_step_are_emptied_into_its_vessel() -> None:
    before, after = weighed(vessel="Beaker 1")
    assert before.state.lines[0].in_own_boat
    assert after.state.lines[0].vessel == "Beaker 1"
    ledger = ledger_of(after.state, after.state.job.plan, "Beaker 1")
    assert ledger.expected == amount("40 g")


def test_without_a_vessel_on_record_only_the_step_is() -> None:
    _, after = weighed()
    assert after.state.done_steps == {0}
    assert after.state.lines[0].in_own_boat
