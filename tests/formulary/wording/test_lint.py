"""Writing that has led to errors is found, and how it should be written isn't.

The cases are those of the published lists: ISMP's error-prone abbreviations and the Joint
Commission's do-not-use list, with what each was misread as.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator

import pytest

from formulary.catalogue import Catalogue
from formulary.exchange.sample_house import sample_house
from formulary.finding import Severity
from formulary.wording.lint import lint, loud

ENGLISH = Catalogue()

MISLEADING = [
    ("Take .5 mg", "naked_decimal", ".5"),
    ("Take ,5 mg", "naked_decimal", ",5"),
    ("5.0 mg", "trailing_zero", "5.0"),
    ("0.50 g of it", "trailing_zero", "0.50"),
    ("10U of it", "unit_letter", "U"),
    ("100 IU", "unit_letter", " IU"),
    ("20 µg", "greek_micro", "µg"),
    ("20 μg", "greek_micro", "μg"),
    ("5 Mg", "capital_mg", " Mg"),
    ("5 cc", "cubic_centimetre", " cc"),
    ("5mg", "no_space", "5mg"),
    ("Metronidazole500 mg", "run_together", "Metronidazole500 mg"),
    ("4 mg. then wait", "stop_after_unit", " mg."),
    ("100000 units", "ungrouped", "100000"),
    ("1,250 g", "two_ways", "1,250"),
    ("1,000,000 units", "two_ways", "1,000,000"),
    ("if <5", "signs", "<5"),
    ("salt & water", "signs", "&"),
    ("every 6 ° until well", "degree_for_hour", " °"),
    ("q6h", "degree_for_hour", "q6h"),
    ("5 grains", "apothecary", " grains"),
    ("by 03/04/26", "figures_for_month", "03/04/26"),
    ("on 3.4.2026", "figures_for_month", "3.4.2026"),
    ("Store at room temperature", "bare_storage", "room temperature"),
    ("Store cool", "bare_storage", "Store cool"),
    ("1 capsule QD", "abbreviation", "QD"),
    ("1 capsule HS", "abbreviation", "HS"),
    ("2 drops a.d.", "abbreviation", "a.d."),
    ("inject s.c.", "abbreviation", "s.c."),
    ("MgSO4 in water", "abbreviation", "MgSO4"),
    ("2 drops AU", "abbreviation", "AU"),
]
ON_LABELS = [
    ("Take 2 teaspoons", "spoons", "teaspoons"),
    ("1 Esslöffel", "spoons", "Esslöffel"),
    ("As directed", "vague", "As directed"),
    ("2 x daily", "times_without_when", "2 x daily"),
    ("ad 100 g", "ad_on_label", "ad 1"),
    ("1 capsule b.i.d.", "latin", "b.i.d."),
    ("1 capsule p. c.", "latin", "p. c."),
    ("gtt. 2", "latin", "gtt."),
]
SAFE = [
    "Take 5 mL (10 mg) by mouth 3 times a day after food. Use it for 7 days.",
    "Apply 0.5 g thinly.",
    "1 000 000 units",
    "20 micrograms in 1 mL",
    "Store at 15 to 25 °C.",
    "Use by 16 Nov 2026",
    "2026-11-16",
    "pH 7.0 to 7.4",
    "USP <795> (2023)",
    "The end weighs 5 mg.",
    "2 mg/mL",
    "Lot K26-00042",
    "10 to 15 minutes",
]


@pytest.mark.parametrize(("text", "rule", "written"), [*MISLEADING, *ON_LABELS])
def test_what_misleads_is_found_where_it_stands(text: str, rule: str, written: str) -> None:
    (slip,) = lint(text, label=True)
    assert slip.rule == rule
    assert text[slip.start : slip.end] == written
    assert written.strip() in ENGLISH.text(slip.said)
    assert slip.citation


@pytest.mark.parametrize("text", SAFE)
def test_what_is_written_safely_is_left_alone(text: str) -> None:
    assert lint(text, label=True) == ()


@pytest.mark.parametrize("text", [text for text, _, _ in ON_LABELS[:5]])
def test_what_only_a_patient_misreads_is_left_alone_on_a_worksheet(text: str) -> None:
    assert lint(text) == ()


def test_latin_is_explained_to_the_trade_and_stopped_on_a_label() -> None:
    (to_trade,), (on_label,) = lint("1 capsule t.i.d."), lint("1 capsule t.i.d.", label=True)
    assert (to_trade.severity, on_label.severity) == (Severity.NOTE, Severity.STOP)
    assert "three times a day" in ENGLISH.text(on_label.said).casefold()


def test_a_slip_becomes_a_finding_at_its_field() -> None:
    (slip,) = lint("5.0 mg")
    finding = slip.finding("label.directions")
    assert (finding.field, finding.severity) == ("label.directions", Severity.REASON)
    assert finding.source is not None
    assert "ISMP" in ENGLISH.text(finding.source)


def test_the_sample_house_writes_nothing_that_is_more_than_a_note() -> None:
    for version in sample_house().versions:
        for place, text in texts_of(version.content):
            assert not loud(lint(text, label=place.startswith(".label"))), (place, text)


def texts_of(value: object, place: str = "") -> Iterator[tuple[str, str]]:
    if isinstance(value, str):
        yield place, value
    elif dataclasses.is_dataclass(value):
        for field in dataclasses.fields(value):
            yield from texts_of(getattr(value, field.name), f"{place}.{field.name}")
    elif isinstance(value, tuple):
        for each in value:
            yield from texts_of(each, place)
