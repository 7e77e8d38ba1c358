"""The house's threshold: how far a lot may fall short before its weighing is corrected."""

from __future__ import annotations

from fractions import Fraction

from formulary.errors import BadText
from formulary.messages import message
from formulary.quantity.typed_number import parse_number

MOST = 10
"""In per cent: a lot that holds less than 90 % is always corrected."""


def parse_threshold(text: str, sign: str) -> Fraction:
    """Return a typed threshold in per cent, from 0 to 10. Raises BadText for anything else."""
    number = parse_number(text.strip().removesuffix("%"), sign)
    if not 0 <= number <= MOST:
        raise BadText(message("scaling.bad_threshold", typed=text.strip(), most=MOST))
    return number
