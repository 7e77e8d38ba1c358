"""One folding of text for search, the same on every engine, so that results are the same too."""

from __future__ import annotations

import re
import unicodedata

LONGEST_WORD = 60
MOST_WORDS = 30

# Letters that Unicode doesn't take apart, as a person without them on the keyboard types them.
_PLAIN_LETTERS = str.maketrans(
    {
        "ł": "l",
        "ø": "o",
        "đ": "d",
        "ð": "d",
        "ħ": "h",
        "ŧ": "t",
        "\N{LATIN SMALL LETTER DOTLESS I}": "i",
        "ß": "ss",
        "æ": "ae",
        "œ": "oe",
        "þ": "th",
        "ŋ": "ng",
        "ĸ": "k",
    }
)
_WORD = re.compile(r"[^\W_]+")


def fold(text: str) -> str:
    """Return the text without case, accents and special letters (``Łagodna`` gives ``lagodna``)."""
    taken_apart = unicodedata.normalize("NFKD", text.casefold())
    bare = "".join(sign for sign in taken_apart if unicodedata.category(sign)[0] != "M")
    return bare.casefold().translate(_PLAIN_LETTERS)


def folded_words(text: str) -> list[str]:
    """Return the folded words of a text in order: letters and digits, all else parts them."""
    return [word[:LONGEST_WORD] for word in _WORD.findall(fold(text))]


def sought_words(text: str) -> list[str]:
    """Return the words to look for, each once; nobody types more than 30 in earnest."""
    return list(dict.fromkeys(folded_words(text)))[:MOST_WORDS]


def as_key(text: str) -> str:
    """Return the folded text with single spaces: equal for names that a person calls the same."""
    return " ".join(fold(text).split())


def in_order(text: str) -> str:
    """Return the folded words as one text, to sort by and to find by its beginning."""
    return " ".join(folded_words(text))
