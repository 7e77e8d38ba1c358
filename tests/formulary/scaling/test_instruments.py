"""Which balance or measure does an amount, and what is read on it."""

from __future__ import annotations

from fractions import Fraction

import pytest

from formulary.catalogue import Catalogue
from formulary.finding import Severity
from formulary.scaling.instruments import ToMeasure, measured
from formulary.scaling.plan import Choices
from tests.helpers.formulas import (
    CYLINDER,
    FINE,
    MIDDLE,
    a_balance,
    a_formula,
    a_house,
    a_line,
    a_measure,
    active,
    amount,
    is_amount,
    line_of,
    scaled,
)

HOUSE = a_house()
STRICT, WIDE = Fraction(1), Fraction(3)


def keys(read: ToMeasure) -> list[str]:
    """Return which findings there are, each with a sentence."""
    assert all(Catalogue().text(each.said) for each in read.findings)
    return [each.said.key.removeprefix("scaling.finding.") for each in read.findings]


@pytest.mark.parametrize(
    ("required", "tolerance", "instrument"),
    [
        ("0.05 g", STRICT, "Fine balance"),
        ("5 g", STRICT, "Fine balance"),  # a tenth of 1 % is 5 mg; 0.01 g is too coarse
        ("10 g", STRICT, "Middle balance"),  # a tenth of 1 % is 0.01 g
        ("50 g", STRICT, "Middle balance"),
        ("100 g", STRICT, "Coarse balance"),  # a tenth of 1 % is 0.1 g
        ("30 g", WIDE, "Middle balance"),
        ("40 g", WIDE, "Coarse balance"),
        ("3 kg", WIDE, "Coarse balance"),
    ],
)
def test_the_coarsest_balance_that_is_fine_enough_does_it(
    required: str, tolerance: Fraction, instrument: str
) -> None:
    assert measured(amount(required), HOUSE, tolerance).instrument == instrument


def test_where_none_is_fine_enough_the_finest_able_one_does_it() -> None:
    read = measured(amount("0.5 g"), HOUSE, STRICT)
    assert read.instrument == "Fine balance"


@pytest.mark.parametrize(
    ("required", "instrument"),
    [("3 mL", "Syringe"), ("50 mL", "Cylinder"), ("1 L", "Large cylinder")],
)
def test_a_measure_is_no_larger_than_needed(required: str, instrument: str) -> None:
    assert measured(amount(required), HOUSE, WIDE).instrument == instrument


@pytest.mark.parametrize(
    ("required", "reading"),
    [
        ("5.0004 g", "5 g"),
        ("5.0006 g", "5.001 g"),
        ("5.0005 g", "5 g"),
        ("5.0015 g", "5.002 g"),
        ("50.004 mL", "50 mL"),
        ("2.36 mL", "2.4 mL"),
        ("123.456 mg", "123 mg"),
    ],
)
def test_a_reading_is_rounded_to_the_readability_half_to_even(required: str, reading: str) -> None:
    assert is_amount(measured(amount(required), HOUSE, STRICT).amount, reading)


def test_a_reading_keeps_the_unit_that_is_weighed() -> None:
    read = measured(amount("123.456 mg"), HOUSE, STRICT).amount
    assert read is not None
    assert read.unit == "mg"


def test_the_working_says_instrument_and_readability() -> None:
    step = measured(amount("5.0006 g"), HOUSE, STRICT).steps[-1]
    said = Catalogue().text(step).replace("\N{NO-BREAK SPACE}", " ")
    assert said == "5.0006 g on Fine balance, readable to 0.001 g = 5.001 g"


@pytest.mark.parametrize(
    ("required", "finding"),
    [
        ("0.01 g", "under_minimum"),
        ("7 kg", "over_capacity"),
        ("0.5 mL", "under_minimum"),
        ("2 L", "over_capacity"),
        ("10 mL", "between_instruments"),
    ],
)
def test_what_no_instrument_can_do_is_a_stop(required: str, finding: str) -> None:
    read = measured(amount(required), HOUSE, STRICT)
    assert read.amount is None
    assert keys(read) == [finding]
    assert read.findings[0].severity is Severity.STOP


def test_the_minimum_and_the_capacity_are_still_done() -> None:
    assert measured(amount("20 mg"), HOUSE, STRICT).instrument == "Fine balance"
    assert measured(amount("6 kg"), HOUSE, STRICT).instrument == "Coarse balance"


def test_a_balance_without_a_minimum_never_reads_nothing_for_something() -> None:
    house = a_house(balances=(a_balance("Kitchen scale", "5 kg", "1 g", "0 g"),))
    read = measured(amount("0.4 g"), house, STRICT)
    assert read.amount is None
    assert keys(read) == ["under_minimum"]


def test_a_house_without_balances_can_weigh_nothing() -> None:
    assert keys(measured(amount("5 g"), a_house(balances=()), STRICT)) == ["no_instrument"]


def test_without_a_house_nothing_is_rounded() -> None:
    read = measured(amount("5.0006 g"), None, STRICT)
    assert read.amount == amount("5.0006 g")
    assert keys(read) == ["no_house"]
    assert read.findings[0].severity is Severity.NOTE


def test_rounding_beyond_the_tolerance_needs_a_reason() -> None:
    house = a_house(balances=(a_balance("Kitchen scale", "5 kg", "0.1 g", "0.1 g"),))
    read = measured(amount("2.46 g"), house, STRICT)
    assert is_amount(read.amount, "2.5 g")
    assert keys(read) == ["rounded_beyond_tolerance"]
    assert read.findings[0].severity is Severity.REASON
    said = Catalogue().text(read.findings[0].said)
    assert "1.6 % off" in said.replace("\N{NO-BREAK SPACE}", " ")


def test_rounding_within_the_tolerance_needs_none() -> None:
    assert keys(measured(amount("2.3456 g"), HOUSE, STRICT)) == []


@pytest.mark.parametrize(
    ("required", "count"), [("20.2 drops", "20 drops"), ("7 drops", "7 drops")]
)
def test_drops_are_counted_in_whole_numbers(required: str, count: str) -> None:
    read = measured(amount(required), None, WIDE)
    assert is_amount(read.amount, count)
    assert keys(read) == []


def test_half_a_drop_in_two_is_beyond_its_tolerance() -> None:
    assert keys(measured(amount("2.5 drops"), HOUSE, WIDE)) == ["rounded_beyond_tolerance"]


def test_less_than_half_a_piece_cannot_be_counted_out() -> None:
    read = measured(amount("0.4 pieces"), HOUSE, WIDE)
    assert read.amount is None
    assert keys(read) == ["less_than_one"]


def test_activity_without_a_potency_cannot_be_weighed() -> None:
    assert keys(measured(amount("50000 units"), HOUSE, STRICT)) == ["activity_needs_potency"]


def test_activity_is_weighed_through_the_potency() -> None:
    content = a_formula(
        active("Nystatin", "100000 units/g", potency=Fraction(4813)), a_line("Talc", "to 60 g")
    )
    line = line_of(scaled(content, "60 g", house=HOUSE), "Nystatin")
    assert is_amount(line.to_measure, "1.247 g")  # 6 000 000 / 4813 = 1246.6 mg
    assert line.instrument == "Fine balance"


CREAM = a_formula(active("A", "5 % w/w"), a_line("Base", "to 100 g"))


def test_a_chosen_instrument_is_used() -> None:
    plan = scaled(CREAM, "20 g", house=HOUSE, choices=Choices(instruments={0: MIDDLE.name}))
    assert [line.instrument for line in plan.lines] == [MIDDLE.name, MIDDLE.name]
    assert scaled(CREAM, "20 g", house=HOUSE).lines[0].instrument == FINE.name


def test_a_chosen_instrument_that_cannot_do_it_is_a_stop() -> None:
    plan = scaled(CREAM, "2 g", house=HOUSE, choices=Choices(instruments={0: MIDDLE.name}))
    stop, note = plan.lines[0].findings
    assert (stop.severity, stop.said.key) == (Severity.STOP, "scaling.finding.under_minimum")
    assert (note.severity, note.said.key) == (Severity.NOTE, "trituration.weigh")


@pytest.mark.parametrize("name", ["Sold balance", CYLINDER.name])
def test_a_chosen_instrument_that_is_not_there_is_a_stop(name: str) -> None:
    plan = scaled(CREAM, "20 g", house=HOUSE, choices=Choices(instruments={0: name}))
    assert [each.said.key for each in plan.lines[0].findings] == ["scaling.finding.no_instrument"]


def test_the_band_is_around_what_is_to_be_read() -> None:
    line = scaled(CREAM, "33.33 g", house=HOUSE).lines[0]
    assert line.band is not None
    assert is_amount(line.band.target, "1.666 g")  # 1.6665 g on 0.001 g, half to even
    assert line.band.percent == 1


def test_a_line_has_its_own_tolerance() -> None:
    content = a_formula(active("A", "5 % w/w", tolerance=Fraction(2)), a_line("B", "to 100 g"))
    band = scaled(content, "100 g", house=HOUSE).lines[0].band
    assert band is not None
    assert is_amount(band.low, "4.9 g")
    assert is_amount(band.high, "5.1 g")


def test_a_mark_is_read_on_a_measure() -> None:
    content = a_formula(a_line("A", "0.9 % w/v"), a_line("Water", "to 100 mL"))
    house = a_house(measures=(a_measure("Cylinder", "100 mL", "2 mL", "20 mL"),))
    water = scaled(content, "61 mL", house=house).lines[1]
    assert is_amount(water.to_measure, "60 mL")
    assert water.up_to
