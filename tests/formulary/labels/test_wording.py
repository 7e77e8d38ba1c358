from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from formulary.errors import Refusal
from formulary.formula.content import Period, Span, Storage
from formulary.labels.page import Field
from formulary.labels.wording import require_warnings, statement, statements
from formulary.quantity.amount import Amount
from tests.formulary.labels.samples import GERMAN, SAMPLE, SHELF, TRIAL, USUAL


def plain(text: str) -> str:
    return text.replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize(
    ("storage", "said"),
    [
        (Storage(highest=25), "Do not store above 25 °C."),
        (Storage(lowest=15), "Do not store below 15 °C."),
        (Storage(15, 25), "Store at 15 to 25 °C."),
        (Storage(8, 15), "Store at 8 to 15 °C."),
        (Storage(2, 8), "Keep in a fridge, 2 to 8 °C."),
        (Storage(-25, -10), "Store in a freezer, −25 to −10 °C."),
        (Storage(highest=0), "Do not store above 0 °C."),
        (
            Storage(2, 8, do_not_freeze=True, protect_from_light=True, keep_dry=True),
            "Keep in a fridge, 2 to 8 °C. Do not freeze. Protect from light. Keep dry.",
        ),
        (Storage(note="Keep upright."), "Keep upright."),
    ],
)
def test_storage_is_said_in_degrees(storage: Storage, said: str) -> None:
    assert plain(statement(replace(SHELF, storage=storage), Field.STORAGE)) == said


@pytest.mark.parametrize(
    ("field", "said"),
    [
        (Field.USE_BY, "Use by 16 Nov 2026"),
        (Field.MADE_ON, "Made 18 Aug 2026"),
        (Field.QUANTITY, "60 g"),
        (Field.CONTAINER, "Container 1 of 3"),
        (Field.LOT, "Lot K26-00042"),
        (Field.PATIENT, "For Anna Example"),
        (Field.PRESCRIBER, "Prescribed by Dr B. Sample"),
        (Field.AFTER_OPENING, "Once opened, use within 3 months."),
        (Field.ADDRESS, "12 Rowan Street, Northwick"),
        (Field.TELEPHONE, "Tel. 01632 960 113"),
        (Field.WARNINGS, "For the skin only. Keep out of the sight and reach of children."),
    ],
)
def test_an_english_label_says(field: Field, said: str) -> None:
    assert plain(statement(USUAL, field)) == said


@pytest.mark.parametrize(
    ("count", "name", "said"),
    [
        (12, "suppository", "12 suppositories"),
        (1, "Suppository", "1 suppository"),
        (12, "blue paper", "12 x blue paper"),
        (12, "", "12 pieces"),
    ],
)
def test_dose_units_are_counted_by_their_name(count: int, name: str, said: str) -> None:
    content = replace(SHELF, quantity=Amount(Fraction(count), "piece"), unit_name=name)
    assert plain(statement(content, Field.QUANTITY)) == said


def test_an_amount_is_never_counted_in_units() -> None:
    content = replace(SHELF, quantity=Amount(Fraction(60), "g"), unit_name="suppository")
    assert plain(statement(content, Field.QUANTITY)) == "60 g"


@pytest.mark.parametrize(
    ("field", "said"),
    [
        (Field.USE_BY, "Verwendbar bis 16. Nov. 2026"),
        (Field.QUANTITY, "12,5 g"),
        (Field.STORAGE, "Nicht über 25 °C aufbewahren."),
        (Field.AFTER_OPENING, "Nach dem Öffnen innerhalb von 3 Monaten verbrauchen."),
        (Field.LOT, "Charge K26-00042"),
    ],
)
def test_a_german_label_says(field: Field, said: str) -> None:
    assert plain(statement(GERMAN, field)) == said


def test_one_day_after_opening_is_singular() -> None:
    content = replace(SHELF, after_opening=Period(1, Span.DAYS))
    assert plain(statement(content, Field.AFTER_OPENING)) == "Once opened, use within 1 day."


def test_micrograms_are_spelt_out() -> None:
    content = replace(SHELF, quantity=Amount(Fraction(500), "microgram"))
    assert plain(statement(content, Field.QUANTITY)) == "500 micrograms"


def test_trial_and_sample_labels_say_not_for_use() -> None:
    assert "not for use" in statement(SAMPLE, Field.STAMP).lower()
    assert "nicht anwenden" in statement(TRIAL, Field.STAMP).lower()


def test_any_other_label_has_no_stamp_and_one_container_no_number() -> None:
    assert not {Field.STAMP, Field.CONTAINER, Field.PATIENT} & statements(SHELF).keys()


@pytest.mark.parametrize(
    "text",
    ["Apply 2 g", "0.5 mL", "5 % w/w", "2 international units", "2 Internationale Einheiten"],
)
def test_a_number_is_tied_to_its_unit(text: str) -> None:
    said = statement(replace(SHELF, directions=text), Field.DIRECTIONS)
    assert " " not in said.removeprefix("Apply ")
    assert plain(said) == text


def test_line_ends_and_double_spaces_in_typed_text_become_one_space() -> None:
    content = replace(SHELF, directions=" Apply  thinly\n once\ta day. ")
    assert statement(content, Field.DIRECTIONS) == "Apply thinly once a day."


def test_a_warning_nobody_worded_is_refused_by_its_code() -> None:
    with pytest.raises(Refusal) as refusal:
        statements(replace(SHELF, warnings=("external_use", "beware_of_dragons")))
    assert dict(refusal.value.message.parameters)["code"] == "beware_of_dragons"


def test_codes_can_be_checked_before_anything_is_labelled() -> None:
    require_warnings(("external_use",), "de")
    with pytest.raises(Refusal, match="unknown_warning"):
        require_warnings(("beware_of_dragons",), "de")


def test_a_label_language_without_texts_is_refused() -> None:
    with pytest.raises(Refusal, match="no_language"):
        statements(replace(SHELF, language="tlh"))


def test_which_container_and_whom_to_ring_stand_in_one_line() -> None:
    told = replace(USUAL, container=1, containers=2, telephone="01632 960417")
    for field in (Field.CONTAINER, Field.TELEPHONE):
        said = statement(told, field)
        assert said
        assert " " not in said
