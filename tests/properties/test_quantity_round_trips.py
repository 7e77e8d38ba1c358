"""Whatever is written can be read back, and nothing that is typed is misread in silence."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from formulary.catalogue import Catalogue
from formulary.errors import BadText
from formulary.messages import Message
from formulary.quantity import rounding, units, writing
from formulary.quantity.amount import Amount, Concentration, OneIn, Parts
from formulary.quantity.parsing import (
    parse_amount,
    parse_concentration,
    parse_multiple,
    parse_number,
    parse_quantity,
    read_amount,
)

SIGNS = (".", ",")
CATALOGUES = [Catalogue(language, sign) for language in ("en", "de") for sign in SIGNS]

catalogues = st.sampled_from(CATALOGUES)
signs = st.sampled_from(SIGNS)
# Up to a tonne in micrograms, down to a thousandth of a nanogram: no pharmacy leaves this.
finite = st.builds(
    lambda whole, places: Fraction(whole, 10**places),
    st.integers(0, 10**12),
    st.integers(0, 6),
)
symbols = st.sampled_from(units.SYMBOLS)
amounts = st.builds(Amount, finite, symbols)
concentrations = st.builds(
    Concentration,
    finite,
    st.sampled_from(units.PERCENTS)
    | st.builds("{}/{}".format, st.sampled_from(["g", "mg", "microgram"]), symbols),
)
ratios = st.builds(OneIn, finite.filter(lambda n: n >= 1), st.sampled_from(units.KINDS))
quantities = amounts | concentrations | ratios | st.builds(Parts, finite)
# Texts close to quantities find more than arbitrary ones.
near_quantities = st.text(
    st.sampled_from("0123456789.,  /:%-+eExwvmgµμLIUin()zu×½٣\u202f\u00a0\n"), max_size=42
)
texts = st.text(max_size=45) | near_quantities


def other(sign: str) -> str:
    return "," if sign == "." else "."


@given(quantities, catalogues)
def test_a_written_quantity_reads_back_the_same(
    quantity: Amount | Concentration | OneIn | Parts, catalogue: Catalogue
) -> None:
    written = catalogue.written(quantity)
    assume(len(written) <= 40)
    assert parse_quantity(written, catalogue.decimal_sign) == quantity


@given(amounts, catalogues)
def test_what_is_written_needs_no_rewriting(amount: Amount, catalogue: Catalogue) -> None:
    written = catalogue.written(amount)
    assume(len(written) <= 40)
    reading = read_amount(written, catalogue.decimal_sign, catalogue.words)
    assert (reading.amount, reading.rewritten, reading.question) == (amount, None, None)


@given(finite, signs)
def test_a_written_number_has_no_naked_point_and_no_empty_zeros(
    number: Fraction, sign: str
) -> None:
    written = writing.write_number(number, sign)
    assert written[0].isdigit()
    assert written[-1].isdigit()
    assert not (sign in written and written.endswith("0"))
    assert other(sign) not in written


@given(st.fractions())
def test_storage_and_back_is_exact(number: Fraction) -> None:
    assert writing.from_exact_text(writing.exact_text(number)) == number


@given(st.fractions())
def test_a_shown_number_is_within_half_of_its_twelfth_figure(number: Fraction) -> None:
    shown = Fraction(writing.plain_number(number))
    assert abs(shown - number) <= abs(number) * Fraction(1, 2 * 10**11)


@given(amounts, symbols)
def test_a_change_of_unit_never_changes_the_amount(amount: Amount, unit: str) -> None:
    assume(units.dimension(unit) is units.dimension(amount.unit))
    assert amount.to(unit).to(amount.unit) == amount
    assert amount.to(unit) - amount == Amount(Fraction(0), unit)


@given(amount=amounts, large=st.booleans())
def test_the_convenient_unit_never_changes_the_amount(*, amount: Amount, large: bool) -> None:
    assert writing.convenient(amount, large=large).to(amount.unit) == amount


masses = st.builds(Amount, st.fractions(0, 10**6), st.sampled_from(["g", "mg", "kg", "microgram"]))
steps = st.builds(
    Amount,
    st.sampled_from([Fraction(1, 10000), Fraction(1, 100), Fraction(1, 5), Fraction(1)]),
    st.sampled_from(["g", "mg"]),
)


@pytest.mark.parametrize("nearest", [rounding.round_half_even_to, rounding.round_half_up_to])
@given(amount=masses, step=steps)
def test_the_residue_of_rounding_is_at_most_half_a_step(
    nearest: Callable[[Amount, Amount], Amount], amount: Amount, step: Amount
) -> None:
    rounded = nearest(amount, step)
    assert abs((rounded - amount) / step) <= Fraction(1, 2)
    assert (rounded / step).denominator == 1


@given(masses, steps)
def test_rounding_down_and_up_enclose_the_amount(amount: Amount, step: Amount) -> None:
    down, up = rounding.round_down_to(amount, step), rounding.round_up_to(amount, step)
    assert down <= amount <= up
    assert (up - down) / step in (0, 1)


@given(st.integers(1, 10**9), st.integers(0, 999), signs)
def test_the_other_sign_before_three_figures_is_always_refused(
    whole: int, decimals: int, sign: str
) -> None:
    with pytest.raises(BadText) as refused:
        parse_number(f"{whole}{other(sign)}{decimals:03}", sign)
    assert refused.value.message.key == "quantity.number.two_ways"


@given(st.integers(0, 10**9), st.text("0123456789", min_size=1, max_size=9), signs)
def test_a_decimal_sign_is_never_dropped(whole: int, decimals: str, sign: str) -> None:
    """1,5 g is 1.5 g or refused; it is never 15 g."""
    expected = Fraction(f"{whole}.{decimals}")
    assert parse_number(f"{whole}{sign}{decimals}", sign) == expected
    if len(decimals) != 3 or not whole:
        assert parse_number(f"{whole}{other(sign)}{decimals}", sign) == expected


READERS: tuple[Callable[[str, str], object], ...] = (
    parse_number,
    parse_amount,
    read_amount,
    parse_concentration,
    parse_quantity,
    parse_multiple,
)


@given(st.sampled_from(READERS), texts, catalogues)
def test_any_text_is_read_or_refused_with_a_sentence(
    reader: Callable[[str, str], object], text: str, catalogue: Catalogue
) -> None:
    said = refusal(reader, text, catalogue.decimal_sign)
    assert said is None or catalogue.text(said).endswith(".")


def refusal(reader: Callable[[str, str], object], text: str, sign: str) -> Message | None:
    try:
        reader(text, sign)
    except BadText as refused:
        return refused.message
    return None


@given(amounts, signs)
def test_an_amount_reads_the_same_without_spaces_and_groups(amount: Amount, sign: str) -> None:
    tight = writing.plain_number(amount.number).replace(".", sign) + amount.unit
    assume(len(tight) <= 40)
    assert parse_amount(tight, sign) == amount
