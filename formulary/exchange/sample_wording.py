"""The wordings that the sample pharmacy's pharmacist has approved, in two of its languages."""

from __future__ import annotations

from datetime import datetime

from formulary.canonical import content_hash
from formulary.people import Person
from formulary.signing import Meaning, Signature
from formulary.wording.book import Submitted, WordingBook, codes, with_approval, wording_of

APPROVED = ("en", "de")


def approved_books(pharmacist: Person, at: datetime) -> tuple[WordingBook, ...]:
    """Return the books of the languages whose wordings were read and approved."""
    return tuple(_approved(WordingBook(language), pharmacist, at) for language in APPROVED)


def _approved(book: WordingBook, by: Person, at: datetime) -> WordingBook:
    texts = tuple(sorted(wording_of(book, code) for code in codes()))
    bound = content_hash(Submitted(book.id, texts), "submitted wordings")
    signature = Signature(by.id, by.name, by.post.value, Meaning.APPROVED, at, bound)
    return with_approval(book, texts, signature)
