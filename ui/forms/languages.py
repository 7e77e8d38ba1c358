"""The languages there are texts in, under their own names."""

from __future__ import annotations

from formulary.catalogue import UnknownTextError, languages
from ui.context import Context


def language_choices(context: Context, area: str) -> tuple[tuple[str, str], ...]:
    """Return the name and code of each language in which an area's texts are."""
    return tuple((_name(context, code), code) for code in languages(area))


def _name(context: Context, code: str) -> str:
    """Return the language's name; one that was added later goes by its code."""
    try:
        return context.text(f"ui_forms.language.{code}")
    except UnknownTextError:
        return code
