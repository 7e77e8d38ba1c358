"""Lists as people part them though semicolons are asked for, to be able to say so."""

from __future__ import annotations

import re
from collections.abc import Iterator

SEPARATOR = ";"
_OTHERS = tuple(
    re.compile(each)
    for each in (
        r"\s*(?:,\s|\||\s/\s|\n)\s*",
        r"\s*,\s*",
        r"(?<=[^\d\s])\s+(?=\d)",
        r"\s+",
    )
)
"""A comma with a space comes before one alone, which may be decimal; so do units before spaces."""
_DECIMAL_COMMA = re.compile(r"0*,\d+|\d*,\d{3}")
_COMMA_ALONE = re.compile(r"\d+,\d+\D*")


def parted(text: str) -> list[str]:
    """Return the values of a list as they are asked for: between semicolons."""
    return [part for each in text.split(SEPARATOR) if (part := each.strip())]


def parted_otherwise(text: str) -> Iterator[list[str]]:
    """Yield each other way in which the text may be a list of two or more values."""
    if SEPARATOR in text:
        return
    for separator in _OTHERS:
        parts = [part for part in separator.split(text.strip()) if part]
        # 1,500 is a matter of the decimal sign, about which the number itself is asked.
        if len(parts) > 1 and not _DECIMAL_COMMA.fullmatch(text.strip()):
            yield parts


def in_doubt(text: str, decimal_sign: str) -> list[str]:
    """Return both values where a house that writes points is given 10,20, else none."""
    if decimal_sign == "," or not _COMMA_ALONE.fullmatch(text) or _DECIMAL_COMMA.match(text):
        return []
    return text.split(",")
