"""What went where at which step: a solution is worked into a cream in another vessel."""

from __future__ import annotations

import pytest

from formulary.bench.events import LineTransferred, StepDone, VesselTared
from formulary.bench.pouring import Meeting, meetings, poured_together
from formulary.bench.vessel import ledger_of
from formulary.exchange.sample_house import sample_house
from formulary.formula.content import Phase
from formulary.papers.worksheet import worksheet
from tests.formulary.papers.subjects import of_bench, pdf_of
from tests.helpers.at_bench import NINE, Bench, a_bench, a_step
from tests.helpers.formulas import a_formula, a_line, active, amount, scaled
from tests.helpers.pdf_text import page_texts, squeezed

UREA, WATER, ACID, CREAM = range(4)
FORMULA = a_formula(
    active("Urea", "10 g", phase="A"),
    a_line("Water", "8 g", phase="A"),
    a_line("Lactic acid", "2 g", phase="A"),
    a_line("Cream", "80 g"),
    phases=(Phase("A", "Solution"),),
    steps=(
        a_step("Dissolve the urea in the water", "A"),
        a_step("Stir in the acid", "A", adds=("Lactic acid",)),
        a_step("Work the solution into the cream"),
    ),
)


@pytest.fixture
def bench() -> Bench:
    """Return the solution made in its beaker, and the cream weighed into its bowl."""
    made = a_bench(FORMULA).cleared()
    made.does(VesselTared("Beaker", amount("150 g"), phase="A"))
    made.weighs(UREA, "10 g")
    made.weighs(WATER, "8 g")
    made.does(StepDone(0))
    for line in (UREA, WATER):
        made.does(LineTransferred(line, "Beaker"))
    made.weighs(ACID, "2 g")
    made.does(StepDone(1))
    made.does(LineTransferred(ACID, "Beaker"))
    made.does(VesselTared("Bowl", amount("300 g")))
    made.weighs(CREAM, "80 g", vessel="Bowl")
    return made


def held(bench: Bench, vessel: str) -> str:
    """Return what a vessel holds together with what it was put together with."""
    state = bench.state
    others = poured_together(state, vessel)
    return str(ledger_of(state, scaled(FORMULA, "100 g"), vessel, others).expected.number)


def test_until_the_step_that_brings_them_together_each_vessel_holds_its_own(bench: Bench) -> None:
    assert meetings(bench.state) == ()
    assert (held(bench, "Beaker"), held(bench, "Bowl")) == ("20", "80")


def test_what_was_worked_in_counts_from_its_step_on(bench: Bench) -> None:
    bench.does(StepDone(2))
    assert meetings(bench.state) == (Meeting(2, ("Beaker", "Bowl")),)
    assert poured_together(bench.state, "Bowl") == ("Beaker",)
    assert held(bench, "Bowl") == "100"


def test_the_record_says_what_went_where_at_which_step(bench: Bench) -> None:
    bench.does(StepDone(2))
    text = squeezed("".join(page_texts(pdf_of(worksheet(of_bench(bench, FORMULA))))))
    for said in (
        "Went into Beaker: Urea, Water",
        "Went into Beaker: Lactic acid",
        "Went into Bowl: Cream",
        "Put together at step 3: Beaker, Bowl, 100 g in all.",
    ):
        assert squeezed(said) in text


def test_the_samples_urea_cream_takes_the_acid_only_at_the_step_that_stirs_it_in() -> None:
    house = sample_house(today=NINE.date())
    newest = [each.content for each in house.versions if each.content.code == "CR-003"][-1]
    state = a_bench(newest, "3 x 60 g").state
    names = [
        [state.lines[line].ingredient for line in step.closes] for step in state.job.method.steps
    ]
    assert names == [
        ["Urea", "Purified water", "Sodium lactate solution 50 %"],
        ["Lactic acid 90 %", "Phenoxyethanol"],
        ["Nonionic hydrophilic cream"],
    ]
