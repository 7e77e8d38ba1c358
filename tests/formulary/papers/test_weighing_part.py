"""The cards of the lines: where it came from, how it was read, and what it becomes."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from formulary.bench.events import LineChecked, LineDecided, LineWeighed, Surplus, Way
from formulary.formula.content import Role
from formulary.papers.subject import Subject
from formulary.papers.worksheet import worksheet
from formulary.signing import Meaning
from formulary.stock.expiry import Expiry
from tests.formulary.papers.subjects import blank, of_bench, pdf_of
from tests.helpers.at_bench import BORIS, Bench, a_bench, a_person, reading
from tests.helpers.formulas import a_formula, a_line, active, amount
from tests.helpers.pdf_text import page_texts, squeezed
from tests.helpers.stocked import a_lot

PLAIN = a_formula(active("Zinc oxide", "10 g"), a_line("Base", "to 100 g", Role.BASE))


def read(subject: Subject) -> str:
    """Return all that is read on the pages, without spaces."""
    return squeezed("".join(page_texts(pdf_of(worksheet(subject)))))


@pytest.fixture
def bench() -> Bench:
    """Return a cleared bench for zinc oxide in a base."""
    return a_bench(PLAIN).cleared()


def test_the_record_names_supplier_and_expiry_of_what_was_weighed(bench: Bench) -> None:
    bench.weighs(0, "10 g")
    lot = a_lot(expiry=Expiry(date(2027, 3, 31)))
    text = read(replace(of_bench(bench, PLAIN), lots={"100": lot}))
    assert squeezed("Tidewater Fine Chemicals, Norrland Oxides, to 31 Mar 2027") in text


def test_a_typed_container_and_its_factor_are_marked(bench: Bench) -> None:
    bench.weighs(0, "10 g", typed_container=True, factor=Fraction(101, 100))
    text = read(of_bench(bench, PLAIN))
    assert squeezed("100, typed") in text
    assert squeezed("factor 1.01 by its certificate") in text


def test_a_second_lot_stands_below_the_first(bench: Bench) -> None:
    bench.weighs(0, "6 g")
    bench.does(LineWeighed(0, replace(reading("4 g"), container="101", lot="L2")))
    text = read(of_bench(bench, PLAIN))
    assert text.index(squeezed("lot L1")) < text.index(squeezed("lot L2"))


def test_a_line_made_good_shows_its_new_target_beside_the_old(bench: Bench) -> None:
    bench.weighs(0, "10.8 g")
    way = LineDecided(0, Way.MAKE_GOOD, "Stock allows it", Fraction(27, 25), Surplus.WASTE)
    bench.does(way, BORIS, Meaning.DECIDED)
    text = read(of_bench(bench, PLAIN))
    assert squeezed("made good: 97.2 g") in text
    assert squeezed("9.9 g to 10.1 g (1 %)") in text


def test_a_witness_and_a_checker_are_named() -> None:
    bench = a_bench(PLAIN, high_alert=(0,), needs_check=(0,)).cleared()
    bench.weighs(0, "10 g", manual=True, witness_id="clara")
    bench.does(LineChecked(0, "100", amount("10 g")), BORIS, Meaning.CHECKED)
    subject = replace(of_bench(bench, PLAIN), names={"clara": a_person("Clara")[1]})
    text = read(subject)
    assert "WitnessClara" in text
    assert squeezed("Zinc oxide checked: 10 g from container 100. (Boris,") in text


def test_a_line_that_is_in_has_no_boxes_left_and_the_next_one_has(bench: Bench) -> None:
    before = read(of_bench(bench, PLAIN)).count("Remarks")
    bench.weighs(0, "10 g")
    assert read(of_bench(bench, PLAIN)).count("Remarks") == before - 1


def test_drops_and_what_is_used_as_needed_are_said() -> None:
    content = a_formula(
        active("Peppermint oil", "20 drops", drop=amount("0.02 g")),
        a_line("Base", "to 100 g", Role.BASE),
        a_line("Citric acid", "until pH 5"),
    )
    text = read(blank(content))
    assert squeezed("20 drops (20 to 20 are right)") in text
    assert squeezed("as needed") in text


def test_what_is_too_small_to_weigh_has_its_aliquot_and_how_it_is_made() -> None:
    content = a_formula(active("Zinc oxide", "10 mg"), a_line("Base", "to 100 g", Role.BASE))
    subject = blank(content)
    (first, _) = subject.plan.lines
    assert first.sub_plan is not None
    text = read(subject)
    assert squeezed("of a trituration") in text
    assert "trituration" in text.partition("Zincoxide")[2]
