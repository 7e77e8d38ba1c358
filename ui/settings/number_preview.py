"""How quantities are written with a decimal sign, shown while one chooses it."""

from __future__ import annotations

from fractions import Fraction

from formulary.catalogue import Catalogue
from formulary.quantity.amount import Amount

_SHOWN = (
    Amount(Fraction(1, 2), "g"),
    Amount(Fraction(5), "mg"),
    Amount(Fraction(5001, 4), "mL"),
)


def written_examples(language: str, decimal_sign: str) -> str:
    """Return a few quantities as the house would write them."""
    catalogue = Catalogue(language, decimal_sign)
    return "; ".join(catalogue.written(each) for each in _SHOWN)
