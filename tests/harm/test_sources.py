"""The wrong bottle, the wrong form of the right substance, and remnants poured together."""

from __future__ import annotations

from fractions import Fraction

from formulary.bench.events import ContainersFilled
from formulary.desk import Desk
from formulary.formula.content import Role
from formulary.quantity.amount import Amount, Concentration
from formulary.stock.container import StockContainer
from formulary.stock.decanting import decanted
from formulary.stock.lot import Source
from formulary.verbs.attach_certificate import attach_certificate
from formulary.verbs.decant_stock import decant_stock
from formulary.verbs.decide_lot import accept_lot
from formulary.verbs.hand_over_jar import hand_over_jars
from formulary.verbs.identify_container import identify_container
from formulary.verbs.recall_lot import recall_lot
from formulary.verbs.review_formula import review_version
from formulary.verbs.work_at_bench import record
from formulary.verbs.write_version import write_version
from tests.harm.conftest import Stopped
from tests.helpers.desks import ADA, PIN, at, in_use
from tests.helpers.formulas import a_formula, a_line, active, amount
from tests.helpers.stocked import PDF, a_lot, received
from tests.helpers.stocked_bench import (
    OIL,
    UREA,
    Job,
    a_job,
    keep_ingredient,
    kept_well,
    lot_of,
    on_shelf,
)

TENTH = Concentration(Fraction(10), "% w/w")
TWENTIETH = Concentration(Fraction(5), "% w/w")


def test_10_1e_bmj_2025_bulk_powder_is_not_weighed_for_tablets(
    desk: Desk, stopped: Stopped
) -> None:
    # A thousandfold overdose: powder was taken where the formula was written for tablets.
    each_tablet = Amount(Fraction(100), "microgram")
    keep_ingredient(desk, "Clonidine tablets", source=Source.UNITS, strength=each_tablet)
    content = kept_well(a_formula(active("Clonidine tablets", "5 g"), a_line("Wax", "95 g")))
    job = a_job(desk, content, source=Source.UNITS, strength=each_tablet)
    job.started("100 g").cleared()
    powder = job.another(0, "POWDER", source=Source.SUBSTANCE, strength=None)
    said = stopped(lambda: job.weighs(0, "5 g", container=powder))
    assert said.key == "stock.mismatch.source"


def test_10_1f_another_kind_of_source_is_another_version_with_a_reason(desk: Desk) -> None:
    keep_ingredient(desk, "Clonidine tablets", source=Source.UNITS)
    keep_ingredient(desk, "Clonidine powder")
    fat = a_line("Wax", "95 g")
    tablets = kept_well(a_formula(active("Clonidine tablets", "5 g"), fat), code="CLO")
    used = in_use(desk, tablets)
    powder = kept_well(a_formula(active("Clonidine powder", "5 g"), fat), code="CLO")
    version = write_version(at(desk, ADA), powder, formula_id=used.formula_id, reason="no tablets")
    found = review_version(desk, version).open
    assert "source_changed" in {each.rule for each in found}


def test_10_4_peppermint_water_1998_a_concentrate_is_not_taken_for_the_dilute_form(
    desk: Desk, stopped: Stopped
) -> None:
    # Chloroform twentyfold: concentrated was taken for double-strength water.
    keep_ingredient(desk, "Chloroform water", source=Source.CONCENTRATE, strength=TWENTIETH)
    content = kept_well(a_formula(a_line("Chloroform water", "50 g"), active("Urea", "50 g")))
    job = a_job(desk, content).started("100 g").cleared()
    strong = job.another(0, "CONC", source=Source.CONCENTRATE, strength=TENTH)
    said = stopped(lambda: job.weighs(0, "50 g", container=strong))
    assert said.key == "stock.mismatch.strength"


def test_10_5_baclofen_for_tryptophan_the_wrong_bottle_is_a_hard_stop(
    desk: Desk, stopped: Stopped
) -> None:
    content = kept_well(a_formula(active("Tryptophan", "5 g"), a_line("Wax", "95 g")))
    job = a_job(desk, content).started("100 g").cleared()
    (baclofen,) = on_shelf(desk, keep_ingredient(desk, "Baclofen"), 500)
    said = stopped(lambda: job.weighs(0, "5 g", container=baclofen.number))
    assert said.key == "stock.mismatch.ingredient"
    assert job.work.state.lines[0].readings == ()


def test_10_5b_salt_for_base_the_bottle_of_the_other_form_is_a_hard_stop(
    desk: Desk, stopped: Stopped
) -> None:
    content = kept_well(a_formula(active("Codeine", "5 g"), a_line("Wax", "95 g")))
    job = a_job(desk, content).started("100 g").cleared()
    (salt,) = on_shelf(desk, keep_ingredient(desk, "Codeine phosphate hemihydrate"), 500)
    said = stopped(lambda: job.weighs(0, "5 g", container=salt.number))
    assert said.key == "stock.mismatch.ingredient"


def test_10_6_cologne_2019_no_door_pours_a_remnant_into_another_jar(
    desk: Desk, stopped: Stopped
) -> None:
    # Glucose was poured onto a remnant of lidocaine; a mother and her newborn died.
    job = a_job(desk).started("200 g").cleared()
    glucose, lidocaine = job.container(UREA), job.container(OIL)
    new = decant_stock(desk, glucose.id, amount("100 g"))
    assert new.number not in (glucose.number, lidocaine.number)
    assert (new.lot_id, new.filled_from) == (glucose.lot_id, glucose.number)
    said = stopped(lambda: decanted(glucose, lidocaine, ()))
    assert said.key == "stock.decant.other_lot"
    assert stopped(lambda: decanted(new, glucose, ())).key == "stock.decant.back"


def came_unseen(job: Job, line: int) -> StockContainer:
    """Return a container of a line's ingredient whose papers are right and which nobody tested."""
    wanted = lot_of(job.desk, job.container(line)).ingredient_id
    came = received(job.desk, a_lot("ES-2019", "lot-es", ingredient_id=wanted))
    attach_certificate(job.desk, came.lot.id, "es.pdf", PDF)
    accept_lot(at(job.desk, ADA), came.lot.id, PIN)
    return came.containers[0]


def test_10_7_spain_2019_a_jar_is_identified_before_anything_is_weighed_from_it(
    desk: Desk, stopped: Stopped
) -> None:
    # Jars labelled omeprazole held minoxidil; the certificates were in order.
    job = a_job(desk).started("200 g").cleared()
    container = came_unseen(job, OIL)
    said = stopped(lambda: job.weighs(OIL, "6 g", container=container.number))
    assert said.key == "stock.obstacle.not_identified"
    identify_container(desk, container.id, PIN, "infrared spectrum", passed=False)
    said = stopped(lambda: job.weighs(OIL, "6 g", container=container.number))
    assert said.key == "stock.obstacle.wrong_identity"


def test_10_7b_spain_2019_one_lot_number_reaches_every_patient(desk: Desk) -> None:
    job = a_job(desk).started("2 x 100 g").cleared().released()
    for number, child in ((1, "First Child"), (2, "Second Child")):
        hand_over_jars(job.desk, job.lot, (number,), patient=child)
    lot = lot_of(desk, job.containers[OIL])
    recall = recall_lot(at(desk, ADA), lot.number, PIN, "another substance was in it")
    assert len(recall.contacts) == 2


def test_10_8_capsules_without_the_active_a_line_that_wasnt_weighed_keeps_it_open(
    desk: Desk, stopped: Stopped
) -> None:
    # Hydrocortisone capsules: two batches held none of the active.
    content = kept_well(
        a_formula(active("Hydrocortisone", "5 g"), a_line("Lactose", "95 g", Role.FILLER))
    )
    job = a_job(desk, content).started("100 g").cleared()
    job.weighs(1, "95 g")
    filled = ContainersFilled((amount("95 g"),))
    assert stopped(lambda: record(job.desk, job.lot, filled)).key.startswith("bench.")
