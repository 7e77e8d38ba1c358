"""What the house says in one language in its own words, and what it approved for patients.

A wording is approved as it stands: changed by one letter it waits for a signature again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from formulary.catalogue import UnknownTextError, keys_under, placeholders, shipped_text
from formulary.errors import BadText
from formulary.messages import message
from formulary.signing import Signature

PLACES = ("label.says", "label.storage", "label.unit", "label.warning", "label.leaflet")
"""What stands on a patient's label and leaflet beside the directions."""

_PARTS = "sentence amount unit where when period list food limit lasts"
DIRECTIONS = tuple(f"directions.{part}" for part in _PARTS.split())
"""What directions are made of."""

_NONE: Mapping[str, str] = MappingProxyType({})

FREE = "free text"
"""The code of a sentence that somebody typed; it is approved as a whole."""


@dataclass(frozen=True, slots=True, order=True)
class Wording:
    """A text under its code, as :func:`formulary.catalogue.template_of` reads it."""

    code: str
    text: str


@dataclass(frozen=True, slots=True)
class Approval:
    """Wordings that a pharmacist approved at once; the signature is bound to their texts."""

    texts: tuple[Wording, ...]
    by: Signature


@dataclass(frozen=True, slots=True)
class Submitted:
    """What a signature under wordings is about."""

    language: str
    texts: tuple[Wording, ...]


@dataclass(frozen=True, slots=True)
class WordingBook:
    """One language's book, kept under its code: the house's own texts, and every approval."""

    id: str
    own: tuple[Wording, ...] = ()
    approvals: tuple[Approval, ...] = ()
    revision: int = 0

    @property
    def own_texts(self) -> Mapping[str, str]:
        """Return the house's own texts by their codes."""
        return {each.code: each.text for each in self.own}

    @property
    def approved(self) -> frozenset[Wording]:
        """Return everything that is approved as it stands there."""
        return frozenset(text for each in self.approvals for text in each.texts)

    def approval_of(self, wording: Wording) -> Signature | None:
        """Return the newest signature under a wording, if it has one."""
        found = (each.by for each in reversed(self.approvals) if wording in each.texts)
        return next(found, None)


def codes() -> tuple[str, ...]:
    """Return the codes of everything that can come onto a patient's label, in order."""
    return tuple(key for place in (*PLACES, *DIRECTIONS) for key in keys_under(place))


def is_a_wording(code: str) -> bool:
    """Tell whether a key of the catalogue is a wording that has to be approved."""
    return code.startswith(tuple(f"{place}." for place in (*PLACES, *DIRECTIONS)))


def wording_of(book: WordingBook, code: str, phrases: Mapping[str, str] = _NONE) -> Wording:
    """Return a wording as it is printed: the house's own, else a phrase of its rules for labels.

    Without either it is the one that comes along.
    """
    own = {**phrases, **book.own_texts}.get(code)
    return Wording(code, shipped_text(book.id, code) if own is None else own)


def with_own(book: WordingBook, code: str, text: str) -> WordingBook:
    """Return the book with the house's text for a code; that which comes along is none.

    Raises :class:`formulary.errors.BadText` for an empty text, and where what is filled in isn't
    the same as before: a figure would be lost.
    """
    said = "\n".join(line.strip() for line in text.splitlines() if line.strip())
    shipped = _shipped_of(book.id, code)
    if not said and shipped:
        raise BadText(message("wording.empty"), field="text")
    try:
        named = placeholders(said)
    except ValueError:
        raise BadText(message("wording.brace"), field="text") from None
    wanted = placeholders(shipped)
    if named != wanted:
        names = tuple(f"{{{name}}}" for name in sorted(wanted))
        key = "other_placeholders" if names else "no_placeholders"
        raise BadText(message(f"wording.{key}", names=names), field="text")
    others = tuple(each for each in book.own if each.code != code)
    own = others if said == shipped else (*others, Wording(code, said))
    return replace(book, own=tuple(sorted(own)))


def with_approval(book: WordingBook, texts: Iterable[Wording], by: Signature) -> WordingBook:
    """Return the book with one approval more."""
    return replace(book, approvals=(*book.approvals, Approval(tuple(texts), by)))


def _shipped_of(language: str, code: str) -> str:
    try:
        return shipped_text(language, code)
    except UnknownTextError:
        raise BadText(message("wording.no_such_code", code=code), field="text") from None
