"""What balances send, read exactly or refused with a sentence."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.bench.balance_lines import LONGEST_LINE, ReadLine, line_pattern, read_line
from formulary.catalogue import Catalogue
from formulary.errors import BadText, FormularyError, Refusal
from formulary.quantity.amount import Amount


def grams(text: str) -> Amount:
    return Amount(Fraction(text), "g")


def refused(line: bytes, pattern: str = "") -> FormularyError:
    with pytest.raises(Refusal) as refusal:
        read_line(line, "Middle bench", pattern)
    Catalogue().text(refusal.value.message)  # fails for an unknown key or a missing parameter
    return refusal.value


@pytest.mark.parametrize(
    ("line", "amount", "stable"),
    [
        (b"+   12.345 g  ", "12.345", True),
        (b"S S     12.345 g", "12.345", True),
        (b"S D     12.345 g", "12.345", False),
        (b"12,345 g ?", "12.345", False),
        (b"ST,+0012.345  g", "12.345", True),
        (b"ST,GS,+  12.345 g", "12.345", True),
        (b"US,NT,-   0.020 g", "-0.020", False),
        (b"N     +   10.00 g", "10", True),
        (b"\x02  0.5g\x03\r\n", "0.5", True),
        (b"+ 12.34[5] g", "12.345", True),
        (b"12. g", "12", True),
        (b"- 0.003 g", "-0.003", True),
    ],
)
def test_common_lines_are_read_without_a_pattern(line: bytes, amount: str, stable: bool) -> None:  # noqa: FBT001
    read = read_line(line, "Middle bench")
    assert (read.amount, read.stable) == (grams(amount), stable)


@pytest.mark.parametrize(
    ("line", "unit"),
    [(b"1.5 kg", "kg"), (b"7 mg", "mg"), ("7 µg".encode("latin-1"), "microgram")],
)
def test_every_unit_of_mass_is_known(line: bytes, unit: str) -> None:
    assert read_line(line, "B").amount.unit == unit


def test_digits_and_decimal_sign_of_the_balance_are_kept() -> None:
    assert read_line(b"  10,00 g\r", "B") == ReadLine(grams("10"), True, "10,00 g", "  10,00 g")


@given(st.integers(-(10**9), 10**9), st.integers(0, 6), st.sampled_from(".,"))
def test_no_figure_is_changed_on_the_way(digits: int, decimals: int, sign: str) -> None:
    number = Fraction(digits, 10**decimals)
    text = f"{'-' if digits < 0 else '+'}{abs(digits):0{decimals + 1}d}"
    text = f"{text[: len(text) - decimals]}{sign}{text[len(text) - decimals :]}"
    assert read_line(f"{text} g".encode(), "B").amount == Amount(number, "g")


@pytest.mark.parametrize("unit", ["oz", "ct", "pcs", "%", "G", "mL", "GN"])
def test_another_unit_than_a_mass_is_refused(unit: str) -> None:
    assert refused(f"12.345 {unit}".encode()).message.key == "balance.line.other_unit"


@pytest.mark.parametrize("line", [b"S +", b"S -", b"OL", b"+ OL g", b"------", b"^^^^^", b"  H  "])
def test_an_overloaded_or_empty_pan_is_said(line: bytes) -> None:
    assert refused(line).message.key == "balance.line.out_of_range"


def test_an_overload_stands_even_beside_a_figure() -> None:
    assert refused(b"OL,GS,+9999.999 g").message.key == "balance.line.out_of_range"


def test_a_line_without_unit_is_not_read() -> None:
    assert refused(b"+ 12.345").message.key == "balance.line.no_unit"


@pytest.mark.parametrize(
    "line",
    [
        b"G     +  112.345 g",
        b"T       100.00 g",
        b"1.234,5 g",
        b"12.3 45 g",
        b"12.345 g 3",
        b"12.345 g 1 g",
        b"\x00\xff\x80 12 g",
        b"12.\x0045 g",
        "٣ g".encode(),
        b"g",
        b"ES",
        b" " * LONGEST_LINE + b"1 g",
    ],
)
def test_what_is_no_net_weight_is_refused(line: bytes) -> None:
    assert refused(line).message.key == "balance.line.gibberish"


@given(st.binary(max_size=120))
def test_noise_is_read_as_a_weight_or_refused_but_never_fails(noise: bytes) -> None:
    try:
        read_line(noise, "B")
    except Refusal as refusal:
        said = dict(refusal.message.parameters).get("raw", "")
        assert str(said).isprintable()


HOUSE_PATTERN = r"\d+;(?P<stable>OK)?;(?P<unit>\w+);(?P<number>-?[\d.]+)"


@pytest.mark.parametrize(("line", "stable"), [(b"17;OK;g;2.50", True), (b"17;;g;2.50", False)])
def test_a_house_can_set_its_own_pattern(line: bytes, stable: bool) -> None:  # noqa: FBT001
    read = read_line(line, "B", HOUSE_PATTERN)
    assert (read.amount, read.stable, read.shown) == (grams("2.5"), stable, "2.50 g")


def test_a_pattern_that_takes_no_number_as_one_is_caught() -> None:
    assert refused(b"2.5.0 g", r"(?P<number>\S+) (?P<unit>g)").message.key.endswith("gibberish")


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ("(", "unreadable"),
        (r"(?P<number>\d+)", "no_group"),
        (r"(?P<number>(\d+)+) (?P<unit>g)", "repeated_group"),
        ("x" * 300, "too_long"),
    ],
)
def test_a_pattern_that_cannot_be_is_refused_where_it_is_set(typed: str, key: str) -> None:
    with pytest.raises(BadText) as refusal:
        line_pattern(typed)
    assert refusal.value.message.key == f"balance.pattern.{key}"
    assert Catalogue().text(refusal.value.message)
