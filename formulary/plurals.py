"""Which wording of a plural a number takes in a language.

The rules are those of the Unicode CLDR (cardinal numbers, from memory); a language that isn't here
parts one from all others, as English does.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

CATEGORIES = frozenset({"zero", "one", "two", "few", "many", "other"})


def category(language: str, number: Fraction | int) -> str:
    """Return ``zero``, ``one``, ``two``, ``few``, ``many`` or ``other``."""
    return _RULES.get(language, _english)(Fraction(number))


def _english(number: Fraction) -> str:
    return "one" if number == 1 else "other"


def _french(number: Fraction) -> str:
    return "one" if abs(number) < 2 else "other"  # noqa: PLR2004  0, 1 and 1.5 alike


def _polish(number: Fraction) -> str:
    if number.denominator != 1:
        return "other"
    if number == 1:
        return "one"
    tens, ones = divmod(int(number) % 100, 10)
    return "few" if ones in (2, 3, 4) and tens != 1 else "many"


def _arabic(number: Fraction) -> str:
    if number.denominator != 1:
        return "other"
    if number in (0, 1, 2):
        return ("zero", "one", "two")[int(number)]
    rest = int(number) % 100
    if rest in range(3, 11):
        return "few"
    return "many" if rest in range(11, 100) else "other"


_RULES: Mapping[str, Callable[[Fraction], str]] = {
    "ar": _arabic,
    "fr": _french,
    "pl": _polish,
}
