"""Whatever was typed: nothing crashes, no line is lost, and nothing is settled silently."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from formulary.catalogue import Catalogue
from formulary.formula.kind_text import parse_kind
from formulary.prescription.lines import Sort
from formulary.prescription.reading import read
from tests.formulary.prescription.cases import SHELF

SAMPLE = """
Rp. M.f. ungt. d.t.d. no. XX div. in p. aeq. S. D.S. aa ana ad q.s. gtt. V 2,0 100,0 0.5 .5 10 % g
mg 1.250 Acidi salicylici Vaselini albi Ethanoli 70 Aquae Zinci oxidi Talci caps. supp. pH 5 Pro Dr.
b.i.d. cc ss ; : ... 1/2 Mio. IE 3 parts foo
"""
WORDS = st.sampled_from(SAMPLE.split())
WRITTEN = st.lists(WORDS | st.sampled_from((" ", "\n")), max_size=40).map(" ".join)
ANYTHING = WRITTEN | st.text(max_size=120)
SIGNS = st.sampled_from((".", ","))


@given(ANYTHING, SIGNS)
def test_nothing_that_was_written_disappears(text: str, sign: str) -> None:
    found = read(text, SHELF, sign)
    assert "".join("".join(line.text.split()) for line in found.lines) == "".join(text.split())
    numbers = [line.number for line in found.lines]
    assert numbers == sorted(numbers)
    written = {number for number, line in enumerate(text.splitlines(), 1) if line.strip()}
    assert set(numbers) == written


@given(ANYTHING, SIGNS)
def test_a_line_says_what_it_means_or_what_is_in_doubt(text: str, sign: str) -> None:
    catalogue = Catalogue("en", sign)
    found = read(text, SHELF, sign)
    for line in found.lines:
        assert line.meaning or line.doubts
        assert all(catalogue.text(said) for said in (*line.meaning, *line.doubts))
    assert all(catalogue.text(said) for said in found.doubts)


@given(ANYTHING, SIGNS)
def test_an_ingredient_without_a_doubt_is_known_and_measured(text: str, sign: str) -> None:
    for line in read(text, SHELF, sign).lines:
        if line.sort is Sort.INGREDIENT and not line.doubts:
            assert line.ingredient_id
            assert line.kind is not None


@given(WRITTEN, SIGNS)
def test_a_proposed_quantity_reads_back_to_what_was_understood(text: str, sign: str) -> None:
    for line in read(text, SHELF, sign).lines:
        assert (line.kind is None) == (not line.quantity)
        if line.kind is not None:
            assert parse_kind(line.quantity, sign) == line.kind
