"""The open formula file: TOML text to content, and content to TOML text."""

from __future__ import annotations

import tomllib
from pathlib import Path

from formulary.errors import BadText
from formulary.exchange.places import line_of
from formulary.formula.content import Content
from formulary.formula.fields import read_fields
from formulary.formula.fields_of import fields_of
from formulary.messages import message

LARGEST_BYTES = 256 * 1024
"""No formula is longer; a larger file is refused unread."""


def read_formula(text: str) -> Content:
    """Return the content that a formula file says.

    Raises :class:`formulary.errors.BadText` with line, field and sentence for the first trouble
    in the order of the file.
    """
    fields = _toml(text)
    reading = read_fields(fields)
    if reading.troubles:
        placed = [_placed(trouble, text) for trouble in reading.troubles]
        raise min(placed, key=lambda trouble: trouble.line or 0)
    return reading.content


def read_formula_file(path: Path) -> Content:
    """Return the content of a formula file on disk. Raises BadText, also for no text at all."""
    return read_formula(text_of(path))


def text_of(path: Path) -> str:
    """Return a file's text. Raises :class:`formulary.errors.BadText` where that can't be done."""
    try:
        if path.stat().st_size > LARGEST_BYTES:
            raise BadText(message("formula.file.too_large", limit=LARGEST_BYTES // 1024))
        return path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadText(message("formula.file.not_text")) from error
    except OSError as error:
        raise BadText(
            message("formula.file.unreadable", path=str(path), why=error.strerror or "")
        ) from error


def write_formula(content: Content) -> str:
    """Return the formula file that reads back to an equal content."""
    # Imported here since only an export writes TOML.
    import tomli_w

    return tomli_w.dumps(fields_of(content), multiline_strings=False)


def _toml(text: str) -> dict[str, object]:
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:  # a ValueError also for a number of 5000 digits
        detail = str(error) or "nested too deeply"
        raise BadText(
            message("formula.file.not_toml", detail=detail), line=_line_in(detail)
        ) from error


def _line_in(detail: str) -> int | None:
    """Return the line number that the TOML reader names, if it does."""
    _, found, rest = detail.partition("(at line ")
    digits = rest.partition(",")[0]
    return int(digits) if found and digits.isdecimal() else None


def _placed(trouble: BadText, text: str) -> BadText:
    return BadText(trouble.message, line=line_of(text, trouble.field or ""), field=trouble.field)
