"""Container numbers such as ``B-00042-3``: short to type, and a mistyped one is noticed.

A letter, a running number of at least five digits and a check character by ISO/IEC 7064 MOD 11-2
(0 to 9, or X for ten). The check finds every single wrong digit and every exchange of two. The
letter may be left out; a digit read in its place is one wrong digit more, and found as well.
"""

from __future__ import annotations

import re

from formulary.errors import BadText
from formulary.messages import message

LETTER = "B"
DIGITS = 5

_MODULUS, _RADIX = 11, 2
_CHARACTERS = "0123456789X"
_TYPED = re.compile(rf"{LETTER}?([0-9]{{{DIGITS},}})([0-9X])")


def check_character(digits: str) -> str:
    """Return the check character of ISO/IEC 7064 MOD 11-2 for a text of digits."""
    sum_so_far = 0
    for digit in digits:
        sum_so_far = (sum_so_far + int(digit)) * _RADIX % _MODULUS
    return _CHARACTERS[(1 - sum_so_far) % _MODULUS]


def container_number(number: int) -> str:
    """Return the container number of a running number, which counts from one."""
    if number < 1:
        raise ValueError("containers are numbered from one")
    digits = f"{number:0{DIGITS}d}"
    return f"{LETTER}-{digits}-{check_character(digits)}"


def read_container_number(typed: str) -> str:
    """Return the container number that was typed or scanned, as it stands on the label.

    Case, spaces and dashes don't matter; all digits do. Raises
    :class:`formulary.errors.BadText` for a text of another kind and for a wrong check character.
    """
    found = _TYPED.fullmatch(re.sub(r"[\s\-\N{HYPHEN}-\N{EN DASH}]", "", typed).upper())
    if found is None:
        example = container_number(42)
        raise BadText(message("stock.number.unreadable", typed=typed.strip(), example=example))
    digits, check = found.groups()
    if check != check_character(digits):
        raise BadText(message("stock.number.mistyped", typed=typed.strip()))
    return container_number(int(digits))
