"""What is typed about a patient says one thing or is refused."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from formulary.errors import BadText
from formulary.orders.patient_text import read_age, read_allergies, read_days, read_patient
from formulary.patient import PatientDetails
from formulary.quantity.amount import Amount

TODAY = date(2026, 3, 10)


@pytest.mark.parametrize(
    ("typed", "months"), [("34 years", 408), ("1 year", 12), ("8 months", 8), ("1950-04-01", 911)]
)
def test_an_age_names_its_unit_or_is_a_birth_date(typed: str, months: int) -> None:
    assert read_age(typed, TODAY).months_old(TODAY) == months


@pytest.mark.parametrize("typed", ["34", "2 weeks", "1950-13-01", "2026-03-11", "old"])
def test_an_age_that_could_be_two_is_refused(typed: str) -> None:
    with pytest.raises(BadText) as caught:
        read_age(typed, TODAY)
    assert caught.value.field == "age"


def test_days_are_a_whole_number_or_not_known() -> None:
    assert (read_days("14"), read_days(" ")) == (14, None)
    for typed in ("0", "1.5", "two", "-3"):
        with pytest.raises(BadText):
            read_days(typed)


def test_no_allergy_is_another_thing_than_nobody_asked() -> None:
    assert read_allergies("Wool fat; penicillin") == (("Wool fat", "penicillin"), False)
    assert read_allergies("None") == ((), True)
    assert read_allergies("") == ((), False)


def test_a_patient_is_read_whole() -> None:
    texts = {"age": "8 months", "weight": "8.2 kg", "allergies": "none", "telephone": "0555 1"}
    weight = Amount(Fraction(41, 5), "kg")
    assert read_patient(texts, ".", TODAY) == PatientDetails(
        age_months=8,
        told_on=TODAY,
        weight=weight,
        weighed_on=TODAY,
        no_allergies=True,
        telephone="0555 1",
    )
    assert read_patient({"age": " "}, ".", TODAY) is None
