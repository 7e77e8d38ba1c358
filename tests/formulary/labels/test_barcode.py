from __future__ import annotations

import pytest
from barcode.charsets.code128 import CODES
from barcode.codex import Code128
from hypothesis import given
from hypothesis import strategies as st

from formulary.errors import Refusal
from formulary.labels.barcode import bars, code_width_mm, dots_per_module, modules_of

# Published check values: start value, values, check value.
# 1 http://www.barcodeisland.com/code128.phtml
# 2 https://barcoderesource.com/images/code128_check_character.html
# 3 The rule of ISO/IEC 15417 for GS1-128, described at
#   https://onbarcode.com/kb/barcode-faq/code-128/check-digit-calculator.html
PUBLISHED = [
    (103, [40, 41, 99, 34, 56, 78], 67),
    (104, [65, 66, 67, 68, 69, 70], 97),
    (105, [102, 1, 6, 29, 10, 41, 50, 2, 13], 92),
]
SYMBOL = 11
STOP = 13
LOTS = st.text(st.characters(min_codepoint=32, max_codepoint=126), min_size=1, max_size=14)


def check_value(values: list[int]) -> int:
    start, *rest = values
    return (start + sum(place * value for place, value in enumerate(rest, 1))) % 103


def values_of(modules: str) -> list[int]:
    symbols = modules[:-STOP]
    return [CODES.index(symbols[at : at + SYMBOL]) for at in range(0, len(symbols), SYMBOL)]


@pytest.mark.parametrize(("start", "values", "check"), PUBLISHED)
def test_the_check_value_rule_gives_the_published_values(
    start: int, values: list[int], check: int
) -> None:
    assert check_value([start, *values]) == check


def test_abcdef_is_coded_as_published() -> None:
    assert values_of(modules_of("abcdef")) == [104, 65, 66, 67, 68, 69, 70, 97]


@pytest.mark.parametrize(
    ("lot", "values"),
    [
        ("123456", [105, 12, 34, 56]),
        ("GS26-00001", [104, 39, 51, 18, 22, 13, 16, 99, 0, 1]),
        ("K26-000123", [104, 43, 18, 22, 13, 99, 0, 1, 23]),
        ("A123", [104, 33, 17, 18, 19]),
    ],
)
def test_pairs_of_digits_share_a_symbol_where_that_is_shorter(lot: str, values: list[int]) -> None:
    assert values_of(modules_of(lot)) == [*values, check_value(values)]


@given(LOTS)
def test_no_code_is_longer_than_the_librarys_own(lot: str) -> None:
    assert len(modules_of(lot)) <= len(Code128(lot).build()[0])


@given(LOTS)
def test_every_code_carries_its_own_check_value(lot: str) -> None:
    *values, check = values_of(modules_of(lot))
    assert check_value(values) == check


@pytest.mark.parametrize(("dots_per_inch", "dots"), [(203, 2), (300, 3), (600, 6)])
def test_the_narrowest_bar_is_whole_dots_and_a_quarter_of_a_millimetre(
    dots_per_inch: int, dots: int
) -> None:
    assert dots_per_module(dots_per_inch) == dots


@given(LOTS, st.sampled_from([203, 300, 600]), st.floats(0, 50))
def test_bars_begin_on_whole_dots_inside_their_quiet_zones(
    lot: str, dots_per_inch: int, left: float
) -> None:
    run = bars(lot, left, 3, 8, dots_per_inch)
    dot = {203: 1 / 8}.get(dots_per_inch, 25.4 / dots_per_inch)
    quiet = 10 * dots_per_module(dots_per_inch) * dot
    first, last = run.bars[0], run.bars[-1]
    assert run.x_mm >= left - 0.02 * dot
    assert first[0] - run.x_mm == pytest.approx(quiet)
    assert run.x_mm + run.width_mm - sum(last) == pytest.approx(quiet)
    for start, width in run.bars:
        assert start / dot == pytest.approx(round(start / dot), abs=1e-6)
        assert width / dot == pytest.approx(round(width / dot), abs=1e-6)


def test_the_longest_lot_fits_on_the_narrowest_stock() -> None:
    assert code_width_mm("K2026-12345678", 203) <= 62 - 2 * 1.5


@pytest.mark.parametrize("lot", ["Ü26-00042", "K26\n1", ""])
def test_what_code_128_cannot_hold_is_refused(lot: str) -> None:
    with pytest.raises(Refusal) as refusal:
        modules_of(lot)
    assert refusal.value.message.key == "label.lot_not_codable"
