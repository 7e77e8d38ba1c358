"""Decimal signs, zeros, micro signs and abbreviations: what is typed where a dose depends on it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from formulary.catalogue import Catalogue
from formulary.desk import Desk
from formulary.errors import BadText
from formulary.formula.content import LabelText
from formulary.quantity.parsing import parse_amount
from formulary.verbs.move_version import put_in_use, send_to_review
from formulary.verbs.review_formula import review_version
from formulary.verbs.write_version import write_version
from tests.harm.conftest import Stopped
from tests.helpers.desks import ADA, BEN, PIN, at
from tests.helpers.formulas import amount
from tests.helpers.stocked_bench import four_lines


@pytest.mark.parametrize("typed", ["1,250 mg", "5 Mg", "2 x mg", "mg", "5"])
def test_10_13_a_quantity_that_can_be_read_in_two_ways_is_refused(typed: str) -> None:
    with pytest.raises(BadText):
        parse_amount(typed, ".")


def test_10_13b_no_paper_or_label_writes_a_naked_or_a_trailing_decimal() -> None:
    write = Catalogue().written
    assert plain(write(amount("0.5 mg"))) == "0.5 mg"
    assert plain(write(amount("5.0 mg"))) == "5 mg"
    assert plain(write(amount("50 mcg"))) == "50 micrograms"


def plain(text: str) -> str:
    return text.replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize(
    "directions", ["Take .5 mL", "Take 5.0 mL", "Take 50 µg", "Take 1 teaspoonful", "Take b. i. d."]
)
def test_10_13c_dangerous_writing_in_directions_keeps_a_formula_out_of_use(
    desk: Desk, stopped: Stopped, directions: str
) -> None:
    version = write_version(
        at(desk, ADA), replace(four_lines(), label=LabelText(directions=directions))
    )
    send_to_review(at(desk, ADA), version.id)
    found = [each for each in review_version(desk, version).findings if each.rule == "error_prone"]
    assert [each.field for each in found] == ["label.directions"]
    said = stopped(lambda: put_in_use(at(desk, BEN), version.id, PIN))
    assert said.key in ("review.stopped", "review.needs_reason")


def test_the_cases_are_told_apart_from_harmless_writing(desk: Desk) -> None:
    plain = replace(four_lines(), label=LabelText(directions="Take 0.5 mL in the morning."))
    version = write_version(at(desk, ADA), plain)
    rules = {each.rule for each in review_version(desk, version).findings}
    assert "error_prone" not in rules
