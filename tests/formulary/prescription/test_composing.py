"""Only what was confirmed line by line becomes a formula."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from formulary.errors import BadText, Refusal
from formulary.formula.content import Content, Form, Role, Route
from formulary.formula.kinds import Fixed, ToTotal
from formulary.prescription.composing import (
    Answer,
    Chosen,
    as_proposed,
    compose,
    prescribed_amount,
    title_of,
)
from formulary.prescription.lines import Prescription
from formulary.quantity.amount import Amount
from formulary.scaling.plan import scale
from formulary.scaling.target import parse_target
from tests.formulary.prescription.cases import OINTMENT, of, text
from tests.helpers.formulas import a_formula, a_line

WHOLE = Chosen("Salicylic ointment", "O-1", Form.OINTMENT, Route.SKIN)
READ = of(OINTMENT)


def proposed(prescription: Prescription) -> list[Answer]:
    """Return the answers that take every line as it was read."""
    return [as_proposed(place, line) for place, line in enumerate(prescription.lines)]


def composed(prescription: Prescription, *changed: Answer, whole: Chosen = WHOLE) -> Content:
    """Return the formula with every line as proposed but those changed."""
    answers = {each.position: each for each in (*proposed(prescription), *changed)}
    return compose(prescription, tuple(answers.values()), whole, ",")


def test_a_confirmed_prescription_is_a_formula_that_scales() -> None:
    content = composed(READ)
    assert [(line.ingredient, line.quantity) for line in content.lines] == [
        ("Salicylic acid", Fixed(Amount(Fraction(2), "g"))),
        ("White soft paraffin", ToTotal(Amount(Fraction(100), "g"))),
    ]
    assert (content.title, content.form, content.route) == (
        "Salicylic ointment",
        Form.OINTMENT,
        Route.SKIN,
    )
    planned = scale(content, parse_target("50 g")).lines
    assert [line.required for line in planned] == [
        Amount(Fraction(1), "g"),
        Amount(Fraction(49), "g"),
    ]


@pytest.mark.parametrize("position", range(len(READ.lines)))
def test_every_line_is_confirmed_before_there_is_a_formula(position: int) -> None:
    answers = [each for each in proposed(READ) if each.position != position]
    with pytest.raises(Refusal, match="unanswered"):
        compose(READ, answers, WHOLE, ",")


def test_an_ingredient_is_left_out_only_with_a_reason() -> None:
    with pytest.raises(Refusal, match="no_reason"):
        composed(READ, Answer(1))
    assert len(composed(READ, Answer(1, aside="crossed out on the paper")).lines) == 1


@pytest.mark.parametrize("text_of_line", ["lorem ipsum", "10,0"])
def test_what_wasnt_understood_is_set_aside_only_with_a_reason(text_of_line: str) -> None:
    found = of("Ureae 5,0", "M.f. ungt.", text_of_line)
    whole = replace(WHOLE, settled=found.doubts)
    with pytest.raises(Refusal, match="no_reason"):
        composed(found, whole=whole)
    assert len(composed(found, Answer(2, aside="a stamp"), whole=whole).lines) == 1


def test_a_line_isnt_taken_and_set_aside_at_once() -> None:
    both = Answer(1, "Urea", quantity="2 g", aside="crossed out")
    with pytest.raises(Refusal, match="not_an_ingredient"):
        composed(READ, both)


def test_an_ingredient_needs_a_quantity_with_its_unit() -> None:
    with pytest.raises(Refusal, match="no_quantity"):
        composed(READ, Answer(1, "Urea"))
    with pytest.raises(BadText, match="unit_needed"):
        composed(READ, Answer(1, "Urea", quantity="2,0"))


def test_a_person_may_read_a_line_otherwise() -> None:
    content = composed(READ, Answer(1, "Urea", "urea", "5 % w/w", Role.ACTIVE))
    assert (content.lines[0].ingredient, content.lines[0].ingredient_id) == ("Urea", "urea")


def test_doses_scale_by_the_number_of_units() -> None:
    found = of("Paracetamoli 0,25", "Adipis solidi ad 2,0", "M.f. supp. d.t.d. no. XX")
    whole = replace(WHOLE, form=Form.SUPPOSITORIES, route=Route.RECTAL, units=found.units)
    content = composed(found, whole=whole)
    assert prescribed_amount(content) == Amount(Fraction(20), "piece")
    planned = scale(content, parse_target("20")).lines
    assert [line.required for line in planned] == [
        Amount(Fraction(5), "g"),
        Amount(Fraction(35), "g"),
    ]


def test_the_amount_prescribed_is_the_whole_that_was_written() -> None:
    assert prescribed_amount(composed(READ)) == Amount(Fraction(100), "g")
    assert prescribed_amount(a_formula(a_line("Urea", "2 % w/w"))) is None


def test_a_doubt_about_the_whole_is_settled_first() -> None:
    found = of("Hydrocortisoni 0,1", "M.f. caps. No. X", "S. One a day")
    whole = replace(WHOLE, form=Form.CAPSULES, route=Route.ORAL, units=10)
    with pytest.raises(Refusal, match="undecided") as refused:
        composed(found, whole=whole)
    assert "10 units" in text(refused.value.message)
    assert composed(found, whole=replace(whole, settled=found.doubts)).units == 10


def test_missing_directions_are_left_to_the_order() -> None:
    assert composed(of("Ureae 5,0", "M.f. ungt.")).lines


def test_what_has_to_be_sterile_is_never_composed() -> None:
    found = of("Ureae 5,0", "M.f. collyr.", "S. One drop")
    with pytest.raises(Refusal, match="undecided"):
        composed(found)
    with pytest.raises(Refusal, match="sterile"):
        composed(found, whole=replace(WHOLE, settled=found.doubts))


def test_a_title_names_the_actives_and_the_form() -> None:
    content = composed(READ)
    assert text(title_of(content.lines, content.form)) == "Salicylic acid: ointment"
    assert text(title_of(content.lines[1:], content.form)) == "One-off: ointment"
