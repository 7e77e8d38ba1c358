"""What fields of a form and columns of a table share: texts read one at a time, at their place."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from enum import StrEnum
from typing import TypeVar

from formulary.errors import BadText, Refusal
from formulary.messages import message

T = TypeVar("T")
C = TypeVar("C", bound=StrEnum)

YES, NO = "yes", ""


def at_field(field: str, read: Callable[[], T]) -> T:
    """Read one field; what is wrong with it is said at it, as a BadText."""
    try:
        return read()
    except BadText as wrong:
        raise BadText(wrong.message, field=wrong.field or field) from None
    except Refusal as wrong:
        raise BadText(wrong.message, field=field) from None


def optional(texts: Mapping[str, str], field: str, read: Callable[[str], T]) -> T | None:
    """Read one field of the texts, None where nothing is typed."""
    typed = texts[field].strip()
    return at_field(field, lambda: read(typed)) if typed else None


def lines_of(text: str) -> list[str]:
    """Return the lines that hold anything."""
    return [line.strip() for line in text.splitlines() if line.strip()]


def day_in(text: str, field: str) -> date | None:
    """Read a day in ISO 8601, nothing for none. Raises BadText for anything else."""
    typed = text.strip()
    try:
        return date.fromisoformat(typed) if typed else None
    except ValueError:
        raise BadText(message("ingredient.bad_day", typed=typed), field=field) from None


def choice_of(kind: type[C], text: str, field: str) -> C:
    """Read one of the words there are. Raises BadText, which names them, for any other."""
    wanted = text.strip().casefold()
    for each in kind:
        if each.value.casefold() == wanted:
            return each
    words = tuple(each.value for each in kind)
    raise BadText(message("ingredient.no_choice", typed=text.strip(), words=words), field=field)
