from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from formulary.errors import Refusal
from formulary.formula.content import (
    Content,
    Form,
    LabelText,
    Period,
    Route,
    ShelfLife,
    Span,
    Storage,
)
from formulary.house import House
from formulary.labels.content import (
    Occasion,
    Stamp,
    awaiting_release,
    each_container,
    label_content,
    with_people,
    without_people,
)
from formulary.labels.page import Field
from formulary.labels.wording import statement
from formulary.quantity.amount import Amount
from tests.formulary.labels.samples import SHELF, USUAL

OINTMENT = Content(
    title="Salicylic ointment 5 per cent",
    code="SAL-5",
    form=Form.OINTMENT,
    route=Route.SKIN,
    lines=(),
    storage=Storage(highest=25),
    shelf_life=ShelfLife(Period(3, Span.MONTHS), Period(4, Span.WEEKS)),
    label=LabelText("Salicylic acid ointment", "5 % w/w", "Apply once a day.", ("external_use",)),
)
HOUSE = House("h", "Rowan Street Pharmacy", label_language="de", decimal_sign=",")
BATCH = Occasion(
    "K26-00042", date(2026, 8, 18), date(2026, 11, 16), Amount(Fraction(60), "g"), containers=3
)


def test_the_label_declares_what_the_formula_declares() -> None:
    content = label_content(OINTMENT, HOUSE, BATCH)
    assert (content.name, content.strength) == ("Salicylic acid ointment", "5 % w/w")
    assert content.after_opening == Period(4, Span.WEEKS)
    assert content.quantity == Amount(Fraction(60), "g")
    assert (content.language, content.decimal_sign) == ("de", ",")


def test_a_period_after_opening_is_said_only_if_it_can_end_before_the_last_day() -> None:
    for weeks, said in ((12, True), (13, False), (26, False)):
        opened = Period(weeks, Span.WEEKS)
        content = replace(OINTMENT, shelf_life=ShelfLife(Period(91, Span.DAYS), opened))
        assert (label_content(content, HOUSE, BATCH).after_opening == opened) is said


def test_without_a_label_name_the_title_is_said() -> None:
    plain = replace(OINTMENT, label=LabelText(), shelf_life=None)
    assert label_content(plain, HOUSE, BATCH).name == "Salicylic ointment 5 per cent"


def test_directions_of_the_occasion_take_the_place_of_the_formulas() -> None:
    occasion = replace(BATCH, directions="Apply twice a day.")
    assert label_content(OINTMENT, HOUSE, occasion).directions == "Apply twice a day."


@pytest.mark.parametrize(
    ("house", "occasion", "stamp"),
    [
        (HOUSE, BATCH, Stamp.NONE),
        (replace(HOUSE, sample=True), BATCH, Stamp.SAMPLE),
        (HOUSE, replace(BATCH, trial=True), Stamp.TRIAL),
        (replace(HOUSE, sample=True), replace(BATCH, trial=True), Stamp.SAMPLE_TRIAL),
        (replace(HOUSE, sample=True), replace(BATCH, proof=True), Stamp.SAMPLE_PROOF),
    ],
)
def test_trials_and_the_sample_pharmacy_are_stamped(
    house: House, occasion: Occasion, stamp: Stamp
) -> None:
    assert label_content(OINTMENT, house, occasion).stamp is stamp


@pytest.mark.parametrize(
    ("sample", "trial", "said"),
    [
        (False, False, "AWAITING RELEASE – NOT FOR USE"),
        (True, False, "NOT FOR USE – SAMPLE, AWAITING RELEASE"),
        (False, True, "NOT FOR USE – TRIAL"),
        (True, True, "NOT FOR USE – SAMPLE, TRIAL"),
    ],
)
def test_the_tray_of_a_sample_says_both(sample: bool, trial: bool, said: str) -> None:  # noqa: FBT001
    house = replace(HOUSE, sample=sample, label_language="en")
    content = label_content(OINTMENT, house, replace(BATCH, trial=trial))
    assert statement(awaiting_release(content), Field.STAMP) == said


@pytest.mark.parametrize(
    ("occasion", "field"),
    [
        (replace(BATCH, lot=" "), "lot"),
        (replace(BATCH, use_by=None), "use_by"),
    ],
)
def test_a_label_without_lot_or_last_day_is_refused(occasion: Occasion, field: str) -> None:
    with pytest.raises(Refusal) as refusal:
        label_content(OINTMENT, HOUSE, occasion)
    assert f"label.field.{field}" in str(refusal.value.message)


def test_a_label_without_a_name_is_refused() -> None:
    with pytest.raises(Refusal, match="missing"):
        replace(SHELF, name="")


def test_a_last_day_before_the_day_of_making_is_refused() -> None:
    with pytest.raises(Refusal, match="use_by_before_made"):
        replace(SHELF, use_by=date(2026, 8, 17))


def test_a_patients_label_needs_directions() -> None:
    with pytest.raises(Refusal, match="patient_without_directions"):
        with_people(SHELF, "Anna Example")


def test_people_are_put_in_for_drawing_and_taken_out_for_keeping() -> None:
    kept = without_people(USUAL)
    assert (kept.patient, kept.prescriber) == ("", "")
    assert with_people(kept, "Anna Example", "Dr B. Sample") == USUAL


def test_each_container_has_its_own_number() -> None:
    assert [one.container for one in each_container(USUAL)] == [1, 2, 3]
