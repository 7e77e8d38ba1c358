"""Hypothesis strategies for what a person can type into a formula's fields."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import strategies as st

from formulary.formula.kinds import (
    Fixed,
    InParts,
    Kind,
    PerUnit,
    Share,
    ToEndPoint,
    ToFill,
    ToTotal,
)
from formulary.quantity import units
from formulary.quantity.amount import Amount, Concentration, OneIn, Parts
from tests.helpers.strategies import texts

SIZES = ("kg", "g", "mg", "L", "mL")
MEASURED = tuple(each for each in units.SYMBOLS if units.dimension(each) in units.IN_FORMULAS)


def said() -> st.SearchStrategy[str]:
    """What a person writes into a field, in any script, or nothing."""
    return texts(20).map(str.strip)


def named() -> st.SearchStrategy[str]:
    """What a person writes into a field that is needed."""
    return said().filter(bool)


def numbers() -> st.SearchStrategy[Fraction]:
    """Numbers over zero as people type them."""
    decimals = st.builds(Fraction, st.integers(1, 10**7), st.sampled_from((1, 10, 1000, 10**6)))
    return decimals | st.fractions(Fraction(1, 1000), 10**6, max_denominator=1000).filter(bool)


def sizes(symbols: tuple[str, ...] = SIZES) -> st.SearchStrategy[Amount]:
    """Amounts of these units."""
    return st.builds(Amount, numbers(), st.sampled_from(symbols))


def kinds() -> st.SearchStrategy[Kind]:
    """Every kind of quantity."""
    strengths = st.sampled_from((*units.PERCENTS, "mg/g", "mg/mL", "international unit/g"))
    one_in = st.builds(OneIn, numbers().map(lambda n: n + 1), st.sampled_from(units.KINDS))
    point = named().map(lambda text: " ".join(text.split())).filter(bool)
    return st.one_of(
        st.builds(Fixed, sizes(MEASURED), st.booleans()),
        st.builds(Share, st.builds(Concentration, numbers(), strengths) | one_in),
        st.builds(InParts, st.builds(Parts, numbers())),
        st.builds(PerUnit, sizes(MEASURED)),
        st.builds(ToTotal, sizes(), st.booleans()),
        st.builds(ToEndPoint, point, st.none() | sizes(MEASURED)),
        st.just(ToFill()),
    )
