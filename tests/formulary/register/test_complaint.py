"""Complaints and reactions: what may be written, and how they are decided."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from formulary.catalogue import Catalogue
from formulary.errors import BadText, FormularyError, Refusal
from formulary.register.complaint import (
    Complaint,
    Nature,
    Teller,
    decide,
    may_become,
    require_sayable,
)
from formulary.signing import Meaning
from tests.formulary.stock.shelf import signed

TOLD = Complaint(
    "c-1",
    "m-1",
    datetime(2026, 3, 10, 9, tzinfo=UTC),
    Teller.PATIENT,
    Nature.LOOKS_DIFFERENT,
    "It turned green and smells of vinegar.",
    "Ada Berg",
)


def said(error: FormularyError) -> str:
    return Catalogue().text(error.message)


def test_a_cream_that_turned_green_is_no_mrs_green() -> None:
    require_sayable(TOLD, ["Ida Green"], (1, 2))


@pytest.mark.parametrize("text", ["Mrs Green has a rash.", "Ida's skin burns."])
def test_a_text_that_names_the_patient_is_refused_with_what_to_write_instead(text: str) -> None:
    with pytest.raises(BadText) as caught:
        require_sayable(replace(TOLD, what=text), ["Ida Green"], ())
    assert "the patient" in said(caught.value)


def test_nothing_told_is_no_complaint() -> None:
    with pytest.raises(BadText):
        require_sayable(replace(TOLD, what="  "), (), ())


def test_a_jar_that_was_never_filled_is_refused() -> None:
    with pytest.raises(BadText, match=r"no_jar"):
        require_sayable(replace(TOLD, jar=3), (), (1, 2))


def test_a_jar_that_looks_different_is_urgent_until_it_is_decided() -> None:
    assert TOLD.is_urgent
    assert not replace(TOLD, nature=Nature.COMPLAINT).is_urgent
    decided = decide(TOLD, signed(Meaning.DECIDED), " Wrong dye; recalled. ", "The ward by phone.")
    assert not decided.is_urgent
    assert decided.decision == "Wrong dye; recalled."


def test_a_decision_says_something_and_stays() -> None:
    with pytest.raises(BadText):
        decide(TOLD, signed(Meaning.DECIDED), " ", "")
    decided = decide(TOLD, signed(Meaning.DECIDED), "No cause found.", "")
    with pytest.raises(Refusal):
        decide(decided, signed(Meaning.DECIDED), "On second thoughts, no.", "")


def test_what_was_told_is_never_rewritten() -> None:
    decided = decide(TOLD, signed(Meaning.DECIDED), "No cause found.", "")
    assert may_become(decided, TOLD)
    assert not may_become(replace(TOLD, what="Nothing."), TOLD)
    assert not may_become(replace(decided, decision="Other."), decided)
