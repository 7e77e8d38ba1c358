"""An ingredient's name as prescribed, held against those of the house: genitives, abbreviations.

Endings of Latin, English and German are taken off rather than declined: "Acidi salicylici",
"Acidum salicylicum" and "salicylic acid" leave the same stems. What fits only in part, or fits two
ingredients equally well, is never chosen.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import IntEnum
from functools import lru_cache

from formulary.ingredient import Ingredient
from formulary.prescription.latin import Token, tokens_of

MOST = 5
"""How many alternatives a person is shown."""


class Fit(IntEnum):
    """How well a name fits, the best first."""

    SAME = 0
    INFLECTED = 1
    ABBREVIATED = 2
    SHORT = 3
    """The prescription has fewer words than the house's name."""
    PARTIAL = 4
    """Some of what is prescribed stands in no name of the house."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """An ingredient that could be meant; ``beyond`` is what its name says and the other doesn't."""

    ingredient_id: str
    name: str
    fit: Fit
    beyond: tuple[str, ...] = ()


_IRREGULAR = {
    "adipis": "adeps",
    "picis": "pix",
    "saponis": "sapo",
    "radicis": "radix",
    "corticis": "cortex",
    "simplicis": "simplex",
    "oxydatum": "oxidum",
    "oxydati": "oxidum",
    "oxydi": "oxidum",
    "bicarbonas": "hydrogenocarbonas",
    "bicarbonatis": "hydrogenocarbonas",
    "destillata": "purificata",
    "destillatae": "purificata",
    "dest": "purificata",
}
"""Words whose stem changes, and old names of what is still used (from memory)."""

_ENDINGS = ("orum", "arum", "ibus", "is", "um", "us", "ae", "em", "am", "os", "a", "i", "o", "e")
_ENDING_OF_SALT = "as"
_SHORTEST_STEM = 2
_SHORTEST_WORD_ALONE = 4
_WITHOUT_MEANING = frozenset({"per", "centum", "cum", "et", "and", "of", "the"})


def candidates(prescribed: str, ingredients: Iterable[Ingredient]) -> tuple[Candidate, ...]:
    """Return the ingredients that could be meant, the best fit first, at most :data:`MOST`."""
    words = _words(prescribed)
    if not words:
        return ()
    fitting = [each for each in (_best(words, one) for one in ingredients) if each is not None]
    fitting.sort(key=lambda each: (each.fit, len(each.beyond), each.name))
    whole = [each for each in fitting if each.fit is not Fit.PARTIAL]
    return tuple((whole or fitting)[:MOST])


def chosen(found: Sequence[Candidate]) -> Candidate | None:
    """Return the one candidate that fits better than every other, if it fits whole."""
    if not found or found[0].fit is Fit.PARTIAL:
        return None
    alone = len(found) == 1 or found[1].fit > found[0].fit
    return found[0] if alone else None


def _best(words: tuple[Token, ...], ingredient: Ingredient) -> Candidate | None:
    names = (ingredient.name, ingredient.latin, *ingredient.synonyms)
    # Most of a shelf begins otherwise; a large one is read several times as fast.
    if _beginnings(words).isdisjoint(_beginnings_of(names)):
        return None
    fits = [fit for fit in (_fit(words, _words(name)) for name in names if name) if fit is not None]
    if not fits:
        return None
    fit, beyond = min(fits, key=lambda each: (each[0], len(each[1])))
    unsaid = _numbers(ingredient.name) - {word.word for word in words} - set(beyond)
    if unsaid:
        fit, beyond = max(fit, Fit.SHORT), (*beyond, *sorted(unsaid))
    return Candidate(ingredient.id, ingredient.name, fit, beyond)


@lru_cache(maxsize=20_000)
def _beginnings_of(names: tuple[str, ...]) -> frozenset[str]:
    return frozenset().union(*(_beginnings(_words(name)) for name in names))


@lru_cache(maxsize=20_000)
def _beginnings(words: tuple[Token, ...]) -> frozenset[str]:
    """Return how the words and their stems begin, so far that nothing else could match."""
    return frozenset(
        _folded(each)[:_SHORTEST_STEM] for word in words for each in (word.word, _stem(word))
    )


def _numbers(name: str) -> set[str]:
    """Return the figures of a name: a strength or grade that the prescription has to say too."""
    return {token.written for token in _words(name) if not token.is_word}


def _fit(words: tuple[Token, ...], name: tuple[Token, ...]) -> tuple[Fit, tuple[str, ...]] | None:
    """Return how a prescribed name fits one of the house, each word used once."""
    if [word.word for word in words] == [word.word for word in name]:
        return Fit.SAME, ()
    left, worst, missed = list(name), Fit.INFLECTED, 0
    for word in words:
        match = next((each for each in left if _same_stem(word, each)), None)
        if match is None:
            match = next((each for each in left if _abbreviates(word, each, words)), None)
            worst = Fit.ABBREVIATED
        if match is None:
            missed += 1
        else:
            left.remove(match)
    if missed * 2 > len(words):
        return None
    # Without its first word, a name is of something else: salicylate, and methyl salicylate.
    if missed or name[0] in left:
        return Fit.PARTIAL, ()
    return (Fit.SHORT if left else worst), tuple(each.written for each in left)


def _same_stem(one: Token, other: Token) -> bool:
    return _stem(one) == _stem(other)


def _abbreviates(short: Token, long: Token, words: Sequence[Token]) -> bool:
    """Tell whether a word is another cut short; alone it needs more letters than among others."""
    if not short.is_word:
        return False
    least = _SHORTEST_WORD_ALONE if len(words) == 1 else _SHORTEST_STEM
    start = _folded(short.word)
    return len(start) >= least and _folded(long.word).startswith(start)


@lru_cache(maxsize=20_000)
def _words(name: str) -> tuple[Token, ...]:
    return tuple(
        token
        for token in tokens_of(name)
        if token.written[0].isalnum() and token.word not in _WITHOUT_MEANING
    )


@lru_cache(maxsize=20_000)
def _stem(token: Token) -> str:
    """Return a word without its ending, old and irregular spellings made regular first."""
    if not token.is_word:
        return token.word
    word = _folded(_IRREGULAR.get(token.word, token.word))
    if word.endswith(_ENDING_OF_SALT) and len(word) > len(_ENDING_OF_SALT) + _SHORTEST_STEM:
        return word[: -len("s")] + "t"
    for ending in _ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= _SHORTEST_STEM:
            return word.removesuffix(ending)
    return word


def _folded(word: str) -> str:
    """Return a word in one spelling of what old and new Latin write two ways (oxydum, oxidum)."""
    return word.replace("y", "i")
