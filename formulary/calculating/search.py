"""How a calculation is found: by beginnings of words, one or many, joined or apart, or initials."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cached_property
from itertools import pairwise

from formulary.calculating.describing import Calculation
from formulary.calculating.registry import every_calculation
from formulary.catalogue import Catalogue
from formulary.folding import folded_words, in_order, sought_words

NEAR_WORDS = 6
NEARNESS = 0.7
LEAST_NEAR = 3
"""Shorter words are near to anything."""
_UNFOUND = 3
_NO_PLURAL = ("ss", "us", "is")


@dataclass(frozen=True)
class Entry:
    """What is looked for: ``names`` are further names of it, ``more`` is what else finds it."""

    name: str
    title: str
    about: str
    names: tuple[str, ...] = ()
    more: str = ""

    @cached_property
    def title_words(self) -> frozenset[str]:
        """Words of the title alone."""
        return frozenset(_forms(self.title))

    @cached_property
    def name_words(self) -> frozenset[str]:
        """Words of the title and of its other names."""
        named = (self.title, self.name, *self.names)
        return frozenset(form for each in named for form in _forms(each))

    @cached_property
    def initials(self) -> frozenset[str]:
        """Initials of its title; they count as much, but only when they are typed whole."""
        return frozenset(each for named in (self.title, self.name) for each in _initials(named))

    @cached_property
    def words(self) -> frozenset[str]:
        """Every word it is found by."""
        return self.name_words | frozenset(_forms(f"{self.about} {self.more}"))

    def has(self, word: str) -> bool:
        """Whether a word finds it at all."""
        return word in self.initials or _begun(self.words, word)


def entries(catalogue: Catalogue) -> tuple[Entry, ...]:
    """Return every calculation as it is found, in the order of titles."""
    listed = (_entry(each, catalogue) for each in every_calculation())
    return tuple(sorted(listed, key=lambda each: in_order(each.title)))


def _entry(calculation: Calculation, catalogue: Catalogue) -> Entry:
    title, about, words = (
        catalogue.text(calculation.text(part)) for part in ("title", "about", "words")
    )
    return Entry(calculation.name, title, about, tuple(words.split(", ")))


def found(every: Sequence[Entry], text: str) -> list[Entry]:
    """Return the entries that a search finds: by title first, then by another name, then by text.

    What is called exactly so leads those that it is found among. A word is also looked for in the
    singular, and words that are typed apart as one.
    """
    ways = [_singular_words(text), ["".join(sought_words(text))]]
    exact = {"-".join(folded_words(text))}
    ranked = [
        ((min(_rank(each, way) for way in ways), each.name not in exact), each) for each in every
    ]
    ranked.sort(key=lambda pair: pair[0])
    return [each for (rank, _), each in ranked if rank < _UNFOUND]


def near(every: Sequence[Entry], text: str) -> tuple[str, ...]:
    """Return words to try where a search finds nothing.

    They are like those that stand nowhere; those that find something alone come after them.
    """
    typed = _singular_words(text)
    known = [word for word in typed if any(each.has(word) for each in every)]
    spelt = sorted({word for each in every for word in _spelt(each)})
    likes = [like for word in typed if word not in known for like in _likes(word, spelt)]
    return tuple(dict.fromkeys(likes))[:NEAR_WORDS] + tuple(known)


def _likes(word: str, spelt: Sequence[str]) -> list[str]:
    """Return the words that have one inside, then those that are spelt nearly like it."""
    inside = [each for each in spelt if word in each] if len(word) > LEAST_NEAR else []
    return inside + get_close_matches(word, spelt, NEAR_WORDS, NEARNESS)


def _rank(entry: Entry, sought: Sequence[str]) -> int:
    kinds = (entry.title_words, entry.name_words, entry.words)
    fitting = (
        all(each in entry.initials or _begun(words, each) for each in sought) for words in kinds
    )
    return next((rank for rank, fits in enumerate(fitting) if fits), _UNFOUND)


def _begun(words: frozenset[str], sought: str) -> bool:
    return any(word.startswith(sought) for word in words)


def _singular_words(text: str) -> list[str]:
    return list(dict.fromkeys(map(_singular, sought_words(text))))


def _forms(text: str) -> Iterator[str]:
    """Yield the words of a text as they stand, in the singular, and each with the next as one."""
    words = folded_words(text)
    for word in words:
        yield word
        yield _singular(word)
    yield from (first + second for first, second in pairwise(words))


def _singular(word: str) -> str:
    if word.endswith("ies"):
        return f"{word[:-3]}y"
    return word.removesuffix("s") if not word.endswith(_NO_PLURAL) else word


def _initials(text: str) -> Iterator[str]:
    """Yield the initials of the first words, two and more: BSA for body surface area."""
    letters = "".join(word[0] for word in folded_words(text))
    yield from (letters[:end] for end in range(2, len(letters) + 1))


def _spelt(entry: Entry) -> Iterator[str]:
    named = f"{entry.title} {entry.about} {' '.join(entry.names)}"
    return (word for word in folded_words(named) if len(word) >= LEAST_NEAR)
