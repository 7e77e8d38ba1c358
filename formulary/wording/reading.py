"""Wordings as somebody reads them who approves them: whole sentences, with the English beside."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from formulary.catalogue import ENGLISH, Pieces, UnknownTextError, shipped_text, template_of
from formulary.plurals import category
from formulary.wording.book import FREE, Submitted

_FILLED_IN = "\N{HORIZONTAL ELLIPSIS}"
# Between them they take every kind of plural there is; none at all is the last that is tried.
_NUMBERS = (*range(1, 101), Fraction(3, 2), 0)


@dataclass(frozen=True, slots=True)
class ToRead:
    """A wording in the lines that it is read in, and those of the English one, if it is another."""

    said: tuple[str, ...]
    english: tuple[str, ...] = ()


def to_read(submitted: Submitted) -> tuple[ToRead, ...]:
    """Return every wording that is submitted, in order."""
    language = submitted.language
    return tuple(
        ToRead((each.text,))
        if each.code == FREE
        else ToRead(in_sentences(each.text, language), _english(each.code, language))
        for each in submitted.texts
    )


def in_sentences(text: str, language: str) -> tuple[str, ...]:
    """Return a wording's sentences: a plural once for each kind of number, with one of the kind.

    What else is filled in is left open.
    """
    forms = template_of(text, language).forms
    if len(forms) == 1:
        return tuple(_filled(pieces, _FILLED_IN) for pieces in forms.values())
    return tuple(_filled(pieces, _example(language, kind)) for kind, pieces in forms.items())


def _english(code: str, language: str) -> tuple[str, ...]:
    if language == ENGLISH:
        return ()
    try:
        return in_sentences(shipped_text(ENGLISH, code), ENGLISH)
    except UnknownTextError:
        return ()


def _example(language: str, kind: str) -> str:
    number = next((each for each in _NUMBERS if category(language, each) == kind), None)
    return _FILLED_IN if number is None else f"{float(number):g}"


def _filled(pieces: Pieces, number: str) -> str:
    inserted = {"": "", "n": number}
    return "".join(before + inserted.get(name, _FILLED_IN) for before, name in pieces)
