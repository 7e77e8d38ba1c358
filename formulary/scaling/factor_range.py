"""The usual range of an ingredient's correction factors, as the house enters it."""

from __future__ import annotations

import re
from fractions import Fraction

from formulary.errors import BadText
from formulary.messages import message
from formulary.quantity.typed_number import parse_number

_BETWEEN = re.compile(r"\s*(?:to|\N{EN DASH}|-)\s*")


def parse_factor_range(text: str, sign: str) -> tuple[Fraction, Fraction]:
    """Return the two ends of a typed range such as "1 to 1.1".

    Raises :class:`formulary.errors.BadText` for anything but two numbers above zero in order.
    """
    ends = _BETWEEN.split(text.strip())
    if len(ends) != 2:  # noqa: PLR2004  two ends
        raise BadText(message("scaling.bad_factor_range", typed=text.strip()))
    least, most = (parse_number(end, sign) for end in ends)
    if not 0 < least <= most:
        raise BadText(message("scaling.bad_factor_range", typed=text.strip()))
    return least, most
