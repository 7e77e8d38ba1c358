"""The terms of a prescription: how they are written, and what each is."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any

from formulary.calculating.tables import table

TABLE = "latin-prescribing"

_TOKEN = re.compile(r"\d+(?:[.,/]\d+)+|[^\W_]+\.?|\S")
_ROMAN = re.compile(r"m{0,3}(cm|cd|d?c{0,4})(xc|xl|l?x{0,4})(ix|iv|v?i{0,4})")
_ROMAN_VALUES = {"i": 1, "v": 5, "x": 10, "l": 50, "c": 100, "d": 500, "m": 1000}


@dataclass(frozen=True, slots=True)
class Token:
    """A word as written, from ``start`` to ``end`` in its text; ``word`` is compared."""

    written: str
    start: int

    @property
    def end(self) -> int:
        """Return where it ends."""
        return self.start + len(self.written)

    @property
    def word(self) -> str:
        """Return it without case, accents and final full stop."""
        return plain(self.written)

    @property
    def dotted(self) -> bool:
        """Return whether a full stop says that it is cut short."""
        return self.written.endswith(".")

    @property
    def in_capitals(self) -> bool:
        """Return whether it is written in capitals, as short names of substances are (MgSO4)."""
        return self.written.isupper() or any(sign.isupper() for sign in self.written[1:])

    @property
    def is_word(self) -> bool:
        """Return whether it is a word, and neither a number nor a sign."""
        return any(sign.isalpha() for sign in self.written)


@dataclass(frozen=True, slots=True)
class Term:
    """What one writing stands for; ``kind`` says where it may stand."""

    code: str
    kind: str
    only: str = ""
    form: str = ""
    route: str = ""

    def allows(self, tokens: Sequence[Token]) -> bool:
        """Tell whether these tokens, whose words fit, are written as this term asks."""
        dotted = all(token.dotted for token in tokens)
        capitals = all(token.in_capitals for token in tokens)
        return {"": True, "dotted": dotted, "capitals": capitals}.get(
            self.only, dotted or (capitals and len(tokens) == 1)
        )


@dataclass(frozen=True, slots=True)
class Found:
    """A term found: the tokens from ``first`` up to ``after``."""

    term: Term
    first: int
    after: int


@lru_cache(maxsize=20_000)
def plain(text: str) -> str:
    """Return a text without case, accents and final full stops, for comparing."""
    parted = unicodedata.normalize("NFKD", text.casefold())
    return "".join(sign for sign in parted if not unicodedata.combining(sign)).rstrip(".")


def tokens_of(text: str) -> tuple[Token, ...]:
    """Return the words, numbers and signs of a text, in order."""
    return tuple(Token(found[0], found.start()) for found in _TOKEN.finditer(text))


def term_at(tokens: Sequence[Token], first: int, kinds: Collection[str] = ()) -> Found | None:
    """Return the longest term that begins at a token, of these kinds where some are given."""
    for length in range(min(_longest(), len(tokens) - first), 0, -1):
        found = tokens[first : first + length]
        for term in _terms().get(tuple(token.word for token in found), ()):
            if (not kinds or term.kind in kinds) and term.allows(found):
                return Found(term, first, first + length)
    return None


def terms_in(tokens: Sequence[Token], kinds: Collection[str] = ()) -> Iterator[Found]:
    """Yield the terms among the tokens from left to right, none overlapping another."""
    at = 0
    while at < len(tokens):
        found = term_at(tokens, at, kinds)
        if found is not None:
            yield found
        at = at + 1 if found is None else found.after


def roman(text: str) -> int | None:
    """Return the number that Roman figures write (V, xij, IIII), None for anything else."""
    figures = plain(text).replace("j", "i")
    if not figures or not _ROMAN.fullmatch(figures):
        return None
    values = [_ROMAN_VALUES[figure] for figure in figures]
    following = (*values[1:], 0)
    return sum(-one if one < other else one for one, other in zip(values, following, strict=True))


@cache
def _terms() -> Mapping[tuple[str, ...], tuple[Term, ...]]:
    found: dict[tuple[str, ...], tuple[Term, ...]] = {}
    for row in table(TABLE):
        for written in row["written"]:
            words = tuple(token.word for token in tokens_of(written))
            found[words] = (*found.get(words, ()), _term(row))
    return found


def _term(row: Mapping[str, Any]) -> Term:
    return Term(
        code=row["term"],
        kind=row["class"],
        only=row.get("only", ""),
        form=row.get("form", ""),
        route=row.get("route", ""),
    )


@cache
def _longest() -> int:
    return max(map(len, _terms()))
