"""A label's content in the words of the label's own language, field by field."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache
from typing import TypeAlias

from formulary.catalogue import Catalogue, UnknownTextError, keys_under, languages
from formulary.errors import Refusal
from formulary.formula.content import Storage
from formulary.labels.content import LabelContent, Stamp
from formulary.labels.metrics import require_printable
from formulary.labels.page import Field
from formulary.messages import Message, message
from formulary.quantity.writing import held_together

Parts: TypeAlias = Iterable[Message | str]

_SPACES = re.compile(r"[ \t\r\n\v\f]+")
# From here on down it is a freezer and not a refrigerator (USP <659>: -25 to -10 degrees).
_FREEZER_BELOW = -5
_REFRIGERATOR = (2, 8)


def statements(content: LabelContent) -> Mapping[Field, str]:
    """Return what each field says, empty ones left out.

    Raises :class:`formulary.errors.Refusal` for a warning that nobody worded and for a character
    that the label's fonts can't show.
    """
    said = {field: statement(content, field) for field in _SAYS}
    return {field: text for field, text in said.items() if text}


def statement(content: LabelContent, field: Field) -> str:
    """Return what one field says, or an empty text."""
    words = _catalogue(content.language, content.decimal_sign)
    parts = (part if isinstance(part, str) else words.text(part) for part in _SAYS[field](content))
    text = tidy(" ".join(filter(None, parts)))
    require_printable(text, field)
    return text


def require_warnings(codes: Iterable[str], language: str) -> None:
    """Raise a Refusal that names the first code for which the language has no wording."""
    words = _catalogue(language, ".")
    for code in codes:
        try:
            words.text(f"label.warning.{code}")
        except UnknownTextError as trouble:
            raise Refusal(message("label.unknown_warning", code=code)) from trouble


@lru_cache(maxsize=16)
def _catalogue(language: str, decimal_sign: str) -> Catalogue:
    if language not in languages():
        raise Refusal(message("label.no_language", language=language))
    return Catalogue(language, decimal_sign)


def tidy(text: str) -> str:
    """Return the text with single spaces, composed accents and numbers tied to their units."""
    single = _SPACES.sub(" ", unicodedata.normalize("NFC", text)).strip()
    return held_together(single)


def _stamp(content: LabelContent) -> Parts:
    if content.stamp is not Stamp.NONE:
        yield message(f"label.stamp.{content.stamp}")


def _quantity(content: LabelContent) -> Message:
    """Return the quantity; of dose units by their name, in the plural where it is a known word."""
    quantity, name = content.quantity, content.unit_name
    if quantity.unit != "piece" or not name:
        return message("label.says.quantity", quantity=quantity)
    key = f"label.unit.{name.strip().casefold()}"
    if key in keys_under("label.unit"):
        return message(key, n=quantity.number)
    return message("label.says.units", n=quantity.number, name=name)


def _container(content: LabelContent) -> Parts:
    if content.containers > 1:
        yield message("label.says.container", number=content.container, total=content.containers)


def _patient(content: LabelContent) -> Parts:
    if content.patient:
        yield message("label.says.patient", patient=content.patient)


def _prescriber(content: LabelContent) -> Parts:
    if content.prescriber:
        yield message("label.says.prescriber", prescriber=content.prescriber)


def _after_opening(content: LabelContent) -> Parts:
    period = content.after_opening
    if period:
        yield message(f"label.says.after_opening.{period.span}", n=period.number)


def _storage(content: LabelContent) -> Parts:
    kept = content.storage
    if kept:
        yield from _temperature(kept)
        for condition in ("do_not_freeze", "protect_from_light", "keep_dry"):
            if getattr(kept, condition):
                yield message(f"label.storage.{condition}")
        yield kept.note


def _temperature(kept: Storage) -> Parts:
    """Yield the sentence in numbers: the same word means different degrees in different books."""
    lowest, highest = kept.lowest, kept.highest
    if lowest is not None and highest is not None:
        yield message(f"label.storage.{_place(lowest, highest)}", lowest=lowest, highest=highest)
    elif highest is not None:
        yield message("label.storage.not_above", highest=highest)
    elif lowest is not None:
        yield message("label.storage.not_below", lowest=lowest)


def _place(lowest: int, highest: int) -> str:
    if highest <= _FREEZER_BELOW:
        return "freezer"
    return "refrigerator" if (lowest, highest) == _REFRIGERATOR else "between"


def _warnings(content: LabelContent) -> Parts:
    require_warnings(content.warnings, content.language)
    return (message(f"label.warning.{code}") for code in content.warnings)


_SAYS: dict[Field, Callable[[LabelContent], Parts]] = {
    Field.STAMP: _stamp,
    Field.NAME: lambda content: (content.name,),
    Field.STRENGTH: lambda content: (content.strength,),
    Field.QUANTITY: lambda content: (_quantity(content),),
    Field.PATIENT: _patient,
    Field.DIRECTIONS: lambda content: (content.directions,),
    Field.USE_BY: lambda content: (message("label.says.use_by", date=content.use_by),),
    Field.LOT: lambda content: (message("label.says.lot", lot=content.lot),),
    Field.STORAGE: _storage,
    Field.AFTER_OPENING: _after_opening,
    Field.MADE_ON: lambda content: (message("label.says.made_on", date=content.made_on),),
    Field.CONTAINER: _container,
    Field.PRESCRIBER: _prescriber,
    Field.WARNINGS: _warnings,
    Field.EXTRA: lambda content: content.extra,
    Field.HOUSE: lambda content: (content.house,),
    Field.ADDRESS: lambda content: (", ".join(content.address),),
    Field.TELEPHONE: lambda content: (
        (message("label.says.telephone", telephone=content.telephone),) if content.telephone else ()
    ),
}
