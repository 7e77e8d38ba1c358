"""All sentences of the program: a message becomes text in one language, with one decimal sign.

Each language has one TOML file per area. The first part of a key names the file, the rest the
place in it; a table of ``one``, ``other`` and whatever else its language's plurals need is chosen
from by the parameter ``n``. What a language lacks is said in English.
"""

from __future__ import annotations

import importlib
import importlib.util
import string
import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from functools import cache, cached_property
from types import MappingProxyType
from typing import TypeAlias

from formulary.messages import Message, Parameter
from formulary.plurals import CATEGORIES, category
from formulary.quantity import writing
from formulary.quantity.amount import Amount, AsRead, Concentration, OneIn, Parts
from formulary.quantity.money import Money
from formulary.quantity.typed_number import require_sign
from formulary.resources import resource_path

ENGLISH = "en"
# English made visible, for tests that look for text which bypasses the catalogue.
PSEUDO = "qps"

_ACCENTS = str.maketrans("aceginosuyzACEGINOSUYZ", "áçéğíñöšüýžÁÇÉĞÍÑÖŠÜÝŽ")

_OTHER = "other"

# Text, then the name of the parameter that follows it, or "" at the end.
Pieces: TypeAlias = tuple[tuple[str, str], ...]


class UnknownTextError(KeyError):
    """The program asked for a sentence that no language has: a mistake in the program."""


@dataclass(frozen=True, slots=True)
class Template:
    """A sentence ready to be filled, with its wording for each kind of number of its language."""

    forms: Mapping[str, Pieces]
    language: str = ENGLISH

    def chosen(self, parameters: Mapping[str, Parameter]) -> Pieces:
        """Return the wording for the parameter ``n``; a sentence without plural needs none."""
        if len(self.forms) == 1:
            return self.forms[_OTHER]
        number = parameters["n"]
        if not isinstance(number, int | Fraction | Decimal):
            raise TypeError(f"a plural counts, and not in {type(number).__name__}")
        return self.of(Fraction(number))

    def of(self, number: Fraction | int) -> Pieces:
        """Return the wording for so many."""
        kind = category(self.language, number)
        return self.forms.get(kind, self.forms[_OTHER])


class Catalogue:
    """The sentences of one language, with the decimal sign that the house writes."""

    def __init__(
        self,
        language: str = ENGLISH,
        decimal_sign: str = ".",
        own: Mapping[str, str] = MappingProxyType({}),
    ) -> None:
        """Speak a language; ``own`` are the house's wordings in place of those that come along."""
        if language not in (PSEUDO, *languages()):
            raise ValueError(f"there are no translations for {language!r}")
        require_sign(decimal_sign)
        self.language = language
        # What fills a sentence isn't disguised, or nobody could read back a written amount.
        self._plain_language = ENGLISH if language == PSEUDO else language
        self.decimal_sign = decimal_sign
        self._templates = {key: template_of(text, language) for key, text in own.items()}
        self._writers: dict[type, Callable[..., str]] = {
            str: str,
            Message: self.text,
            tuple: self._listed,
            int: self._number,
            Fraction: self._number,
            Decimal: self._number,
            datetime: self._date_time,
            date: self._date,
            Amount: self._with_words(writing.write_amount),
            AsRead: self._with_words(writing.write_as_read),
            Concentration: self._with_words(writing.write_concentration),
            OneIn: self._with_words(writing.write_one_in),
            Parts: self._with_words(writing.write_parts),
            Money: self._money,
        }

    def text(self, said: Message | str) -> str:
        """Return the sentence for a message, or for the key of one without parameters.

        Raises UnknownTextError for a key that isn't in the catalogue and KeyError for a parameter
        that its sentence names and the message lacks.
        """
        if isinstance(said, str):
            said = Message(said)
        if said.key not in self._templates:
            self._templates[said.key] = _template(self.language, said.key)
        parameters = dict(said.parameters)
        return self._filled(self._templates[said.key].chosen(parameters), parameters)

    def written(self, value: Parameter) -> str:
        """Return a value as it stands in a sentence or a table: 0.5 g, 16 Nov 2026, a list."""
        for kind in type(value).__mro__:
            if kind in self._writers:
                return self._writers[kind](value)
        raise TypeError(f"a sentence can't hold a {type(value).__name__}")

    @cached_property
    def words(self) -> writing.Words:
        """The words of this language for units, for :mod:`formulary.quantity.writing`."""
        prefix = "quantity.units."
        areas = (_area(each, "quantity") for each in (ENGLISH, self._plain_language))
        symbols = {key for area in areas for key in area if key.startswith(prefix)}
        found = {key: _template(self._plain_language, key) for key in symbols}
        return MappingProxyType(
            {key.removeprefix(prefix): self._unit(word) for key, word in found.items()}
        )

    def _unit(self, word: Template) -> writing.UnitWord:
        return lambda number: self._filled(word.of(number), {})

    def _filled(self, pieces: Pieces, parameters: Mapping[str, Parameter]) -> str:
        return "".join(
            before + self.written(parameters[name]) if name else before for before, name in pieces
        )

    def _with_words(self, write: Callable[..., str]) -> Callable[..., str]:
        return lambda value: write(value, self.decimal_sign, self.words)

    def _number(self, number: Fraction | Decimal) -> str:
        return writing.write_number(Fraction(number), self.decimal_sign)

    def _money(self, money: Money) -> str:
        return writing.write_money(money, self.decimal_sign)

    def _listed(self, values: tuple[Parameter, ...]) -> str:
        return "".join(map(self._with_sign, values[:-1])) + "".join(map(self.written, values[-1:]))

    def _with_sign(self, value: Parameter) -> str:
        """Return a part of a list with what parts it from the next; after a sentence no comma."""
        written = self.written(value)
        is_sentence = isinstance(value, Message) and written.endswith(".")
        return f"{written} " if is_sentence else f"{written}, "

    def _date(self, day: date) -> str:
        month = self._plain(f"months.{day.month}")
        return self._plain("date", day=str(day.day), month=month, year=str(day.year))

    def _date_time(self, moment: datetime) -> str:
        return self._plain("date_time", date=self._date(moment), time=f"{moment:%H:%M}")

    def _plain(self, rest: str, **parameters: str) -> str:
        return self._filled(_template(self._plain_language, f"quantity.{rest}").of(1), parameters)


def languages(area: str = "") -> tuple[str, ...]:
    """Return the codes of the languages that have translations, in order.

    With an area (``ui`` for the window, ``label``), only those that have its texts.
    """
    folders = (folder for folder in resource_path("translations").iterdir() if folder.is_dir())
    having = (f for f in folders if not area or (f / f"{area}.toml").is_file())
    return tuple(sorted(folder.name for folder in having))


def keys_under(place: str) -> tuple[str, ...]:
    """Return the whole keys below a place, in order, such as those of ``label.warning``."""
    area = place.partition(".")[0]
    return tuple(sorted(key for key in _area(ENGLISH, area) if key.startswith(f"{place}.")))


def _template(language: str, key: str) -> Template:
    if language == PSEUDO:
        template = _template(ENGLISH, key)
        return Template({kind: _disguised(text) for kind, text in template.forms.items()})
    area = key.partition(".")[0]
    found = _area(language, area).get(key) or _area(ENGLISH, area).get(key)
    if found is None:
        raise UnknownTextError(key)
    return found


def _disguised(pieces: Pieces) -> Pieces:
    """Return a sentence with accents and between brackets, its parameters untouched."""
    accented = ((before.translate(_ACCENTS), name) for before, name in pieces)
    return (("⟦", ""), *accented, ("⟧", ""))


def _beside_the_sum(area: str) -> Mapping[str, object]:
    """Return the English texts that a calculation keeps in its own file, so that it is one file."""
    name = f"formulary.calculations.{area}"
    if not area.isidentifier() or importlib.util.find_spec(name) is None:
        return {}
    texts: Mapping[str, object] = importlib.import_module(name).TEXTS
    return texts


@cache
def _area(language: str, area: str) -> Mapping[str, Template]:
    """Return the templates of one file by their whole keys; a language may lack the file."""
    path = resource_path("translations", language, f"{area}.toml")
    if not path.is_file():
        found: Mapping[str, object] = _beside_the_sum(area) if language == ENGLISH else {}
    else:
        found = tomllib.loads(path.read_text(encoding="utf-8"))
    return dict(_flat(area, found, language))


def _flat(key: str, node: object, language: str = ENGLISH) -> Iterator[tuple[str, Template]]:
    """Yield each sentence under ``node``; those of a list are numbered from 1."""
    if isinstance(node, str):
        yield key, Template({_OTHER: _pieces(node)}, language)
    elif isinstance(node, dict) and _is_plural(node):
        yield key, Template({kind: _pieces(text) for kind, text in node.items()}, language)
    elif isinstance(node, dict | list):
        items = node.items() if isinstance(node, dict) else enumerate(node, 1)
        for name, below in items:
            yield from _flat(f"{key}.{name}", below, language)
    else:
        raise TypeError(f"{key} is no text but a {type(node).__name__}")


def _is_plural(node: Mapping[str, object]) -> bool:
    texts_only = all(isinstance(text, str) for text in node.values())
    return texts_only and len(node) > 1 and _OTHER in node and node.keys() <= CATEGORIES


def template_of(text: str, language: str) -> Template:
    """Return the template of a house's wording; a plural has a line for each kind of number.

    Such a line is ``one: 1 day``; a text of one line without is the same for every number.
    """
    parted = [line.partition(":") for line in text.splitlines() if line.strip()]
    kinds = [kind.strip() for kind, _, _ in parted]
    if len(parted) > 1 and _OTHER in kinds and CATEGORIES.issuperset(kinds):
        forms = {kind.strip(): _pieces(said.strip()) for kind, _, said in parted}
        return Template(forms, language)
    return Template({_OTHER: _pieces(text)}, language)


def shipped_text(language: str, key: str) -> str:
    """Return a wording as it comes with Misce, as :func:`template_of` reads it.

    Raises :class:`UnknownTextError` where the language lacks it.
    """
    template = _area(language, key.partition(".")[0]).get(key)
    if template is None:
        raise UnknownTextError(key)
    if len(template.forms) == 1:
        return _as_text(template.forms[_OTHER])
    return "\n".join(f"{kind}: {_as_text(form)}" for kind, form in template.forms.items())


def placeholders(text: str) -> frozenset[str]:
    """Return the names of what is filled into a wording. Raises ValueError for a lone brace."""
    return frozenset(name for _, name in _pieces(text) if name)


def _as_text(pieces: Pieces) -> str:
    braced = ((_braces_doubled(text), name) for text, name in pieces)
    return "".join(f"{text}{{{name}}}" if name else text for text, name in braced)


def _braces_doubled(text: str) -> str:
    return text.replace("{", "{{").replace("}", "}}")


def _pieces(text: str) -> Pieces:
    return tuple((before, name or "") for before, name, _, _ in string.Formatter().parse(text))
