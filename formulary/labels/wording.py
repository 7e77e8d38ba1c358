"""A label's content in the words of the label's own language, field by field."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from typing import TypeAlias

from formulary.catalogue import Catalogue, UnknownTextError, keys_under, languages
from formulary.errors import BadText, Refusal
from formulary.formula.content import Form, Route, Storage
from formulary.labels.composition import Stated
from formulary.labels.content import LabelContent, Stamp
from formulary.labels.metrics import require_printable
from formulary.labels.page import Field
from formulary.labels.parts import Part, fields_on
from formulary.messages import Message, Parameter, message
from formulary.quantity.writing import NO_BREAK_SPACE, held_together
from formulary.wording.book import is_a_wording
from formulary.wording.directions import Dosing, sentences
from formulary.wording.label_profile import label_profile
from formulary.wording.strength import ONE_ML

Parts: TypeAlias = Iterable[Message | str]

_SPACES = re.compile(r"[ \t\r\n\v\f]+")
# A title, or a word that leads to the next: Dr, St., de, and how several languages call people.
_LEADING = re.compile(
    r"(?<![^\s,])([^\W\d_]{1,2}|[^\W\d_]{1,5}\.|Mrs|Mme|Sra|Prof|Frau|Herr) +(?=\S)"
)
_SHORT = (Field.CONTAINER, Field.TELEPHONE)
# From here on down it is a freezer and not a refrigerator (USP <659>: -25 to -10 degrees).
_FREEZER_BELOW = -5
_REFRIGERATOR = (2, 8)


def statements(content: LabelContent) -> Mapping[Field, str]:
    """Return what each field says, empty ones left out.

    Raises :class:`formulary.errors.Refusal` for a warning that nobody worded and for a character
    that the label's fonts can't show.
    """
    there = fields_of(content)
    said = {field: statement(content, field) for field in _SAYS if field in there}
    return {field: text for field, text in said.items() if text}


def fields_of(content: LabelContent) -> frozenset[Field]:
    """Return the fields that may stand on this label: all, or those of its part."""
    profile = label_profile(content.profile)
    small = profile.small if profile.is_small(content.quantity) else None
    return fields_on(content.part, small.elements if small else None)


def statement(content: LabelContent, field: Field) -> str:
    """Return what one field says, or an empty text."""
    text = tidy(" ".join(sentences_of(content, field)))
    require_printable(text, field)
    return text


def sentences_of(content: LabelContent, field: Field) -> tuple[str, ...]:
    """Return what one field says, sentence by sentence."""
    words = words_for(content)
    parts = (part if isinstance(part, str) else words.text(part) for part in _SAYS[field](content))
    said = filter(None, map(tidy, parts))
    return tuple(map(_in_one_line, said)) if field in _SHORT else tuple(said)


def _in_one_line(text: str) -> str:
    """Return a short text that breaks nowhere."""
    return text.replace(" ", NO_BREAK_SPACE)


def words_for(content: LabelContent) -> Catalogue:
    """Return the texts of a label's language, the house's own wordings among them."""
    return _catalogue(content.language, content.decimal_sign, content.own)


def wordings_said(
    content: LabelContent, only: frozenset[Field] = frozenset(Field)
) -> frozenset[str]:
    """Return the codes of all wordings that a label says, whoever wrote them."""
    there = fields_of(content) & only
    said = (part for field in _SAYS if field in there for part in _SAYS[field](content))
    return frozenset(key for part in said for key in _keys(part) if is_a_wording(key))


def free_texts(content: LabelContent) -> tuple[str, ...]:
    """Return the sentences that somebody typed and that stand there in the label's language."""
    typed = _typed(content) if content.written_in in ("", content.language) else ""
    kept = content.storage.note if content.storage else ""
    return tuple(text.strip() for text in (typed, kept, *content.extra) if text.strip())


def typed_beside(content: LabelContent) -> str:
    """Return what was typed of the directions and stands there in the second language alone."""
    return _typed(content) if content.written_in and content.written_in == content.beside else ""


def _typed(content: LabelContent) -> str:
    """Return the words of directions that somebody typed: all, or what is added to those built."""
    return content.directions if content.dosing is None else content.dosing.note


def _keys(said: Parameter) -> Iterator[str]:
    if isinstance(said, Message):
        yield said.key
        for _, value in said.parameters:
            yield from _keys(value)
    elif isinstance(said, tuple):
        for value in said:
            yield from _keys(value)


def require_warnings(codes: Iterable[str], language: str) -> None:
    """Raise a Refusal that names the first code for which the language has no wording."""
    words = _catalogue(language, ".")
    for code in codes:
        try:
            words.text(f"label.warning.{code}")
        except UnknownTextError as trouble:
            raise BadText(
                message("label.unknown_warning", code=code), field="warnings"
            ) from trouble


@lru_cache(maxsize=16)
def _catalogue(
    language: str, decimal_sign: str, own: tuple[tuple[str, str], ...] = ()
) -> Catalogue:
    if language not in languages():
        raise Refusal(message("label.no_language", language=language))
    return Catalogue(language, decimal_sign, dict(own))


def tidy(text: str) -> str:
    """Return the text with single spaces, composed accents and numbers tied to their units."""
    single = _SPACES.sub(" ", unicodedata.normalize("NFC", text)).strip()
    return held_together(single)


def _stamp(content: LabelContent) -> Parts:
    if content.stamp is not Stamp.NONE:
        yield message(f"label.stamp.{content.stamp}")


def _strength(content: LabelContent) -> Parts:
    """Yield what 1 mL and the whole container hold, or one unit does, else what is declared."""
    if not content.held:
        yield content.strength
    for each in content.held:
        if len(content.held) > 1:
            yield each.name
        if each.in_all is None:
            unit = _counted(Fraction(1), content.unit_name)
            yield message("label.says.in_unit", held=each.in_one, unit=unit)
        else:
            amounts = {"in_one": each.in_one, "in_all": each.in_all}
            yield message("label.says.held", one=ONE_ML, all=content.quantity, **amounts)


def _directions(content: LabelContent) -> Parts:
    if content.dosing is not None:
        yield from sentences(content.dosing, content.dose_strength)
    yield _in_own_language(content)


def _in_own_language(content: LabelContent) -> str:
    """Return what was typed in the language it was written in: it passes for no other's."""
    typed = _typed(content)
    if content.written_in in ("", content.language) or not typed.strip():
        return typed
    if typed_beside(content):
        return ""
    said = in_another_language(content.written_in, content.language, content.dosing)
    raise BadText(said, field="directions")


def in_another_language(written: str, wanted: str, dosing: Dosing | None = None) -> Message:
    """Return the sentence that typed directions, or what is added to a dosing, are in another."""
    names = {"written": written, "wanted": wanted}
    said = {name: message(f"wording.language.{each}") for name, each in names.items()}
    what = "directions" if dosing is None else "note"
    return message(f"label.{what}_in_another_language", **said)


def _quantity(content: LabelContent) -> Message:
    """Return the quantity; of dose units by their name, in the plural where it is a known word."""
    quantity, name = content.quantity, content.unit_name
    if quantity.unit != "piece" or not name:
        return message("label.says.quantity", quantity=quantity)
    return _counted(quantity.number, name)


def _counted(number: Fraction, name: str) -> Message:
    key = f"label.unit.{name.strip().casefold()}"
    if key in keys_under("label.unit"):
        return message(key, n=number)
    return message("label.says.units", n=number, name=name or message("quantity.units.piece"))


def _container(content: LabelContent) -> Parts:
    if content.containers > 1:
        yield message("label.says.container", number=content.container, total=content.containers)


def _patient(content: LabelContent) -> Parts:
    if content.patient:
        yield message("label.says.patient", patient=_bound(content.patient))


def _prescriber(content: LabelContent) -> Parts:
    if content.prescriber:
        yield message("label.says.prescriber", prescriber=_bound(content.prescriber))


def _bound(name: str) -> str:
    """Return a name or address in which no title or leading word ends a line."""
    return _LEADING.sub(rf"\1{NO_BREAK_SPACE}", name)


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


_BESIDE = (Field.DIRECTIONS, Field.QUANTITY, Field.USE_BY, Field.LOT, Field.STORAGE)
_ENDED = (".", "!", "?", ":")


def beside(content: LabelContent) -> LabelContent | None:
    """Return what the label says in its second language, if it has one."""
    if not content.beside:
        return None
    dosing = content.dosing
    if dosing is not None and not typed_beside(content):
        dosing = replace(dosing, note="")
    return replace(
        content, language=content.beside, own=content.beside_own, beside="", dosing=dosing
    )


def wordings_beside(content: LabelContent) -> frozenset[str]:
    """Return the codes of the wordings that stand there in the second language."""
    other = beside(content)
    return frozenset() if other is None else wordings_said(other, frozenset(_beside_fields(other)))


def _beside_fields(content: LabelContent) -> tuple[Field, ...]:
    """Return what stands there; directions that somebody typed are in one language only."""
    there = content.dosing is not None or content.written_in == content.language
    return _BESIDE if there else tuple(f for f in _BESIDE if f is not Field.DIRECTIONS)


def _beside(content: LabelContent) -> Parts:
    other = beside(content)
    if other is not None:
        for field in _beside_fields(other):
            said = statement(other, field)
            yield said if not said or said.endswith(_ENDED) else f"{said}."


def _form(content: LabelContent) -> Parts:
    if content.form is not None and content.form is not Form.OTHER:
        yield message(f"label.says.form.{content.form.name.lower()}")


def _route(content: LabelContent) -> Parts:
    if content.route is not None and content.route is not Route.NOT_A_MEDICINE:
        yield message(f"label.says.route.{content.route.name.lower()}")


def _composition(content: LabelContent) -> Parts:
    found = content.composition
    if found is not None and found.parts:
        parts = tuple(map(_stated, found.parts))
        if found.whole is None:
            yield message("label.says.composition", parts=parts)
        else:
            yield message("label.says.composition_in", whole=found.whole, parts=parts)
    elif content.excipients:
        yield message("label.says.contains", parts=content.excipients)


def _stated(one: Stated) -> Message | str:
    if one.amount is None:
        return one.name
    key = "label.says.part_to" if one.up_to else "label.says.part"
    return message(key, name=one.name, amount=one.amount)


def _target(content: LabelContent) -> Parts:
    if content.target is not None:
        yield message(f"label.says.target.{content.target}")


def _compounded(content: LabelContent) -> Parts:
    if content.compounded:
        yield message("label.says.compounded")


def _copy(content: LabelContent) -> Parts:
    if content.copy > 1:
        yield message("label.says.copy", number=content.copy)


def _part(content: LabelContent) -> Parts:
    """Yield which of two labels this is, or that there is a leaflet with it."""
    if content.part is Part.WITH_LEAFLET:
        yield message("label.says.leaflet")
    elif content.part is not Part.WHOLE:
        number = 1 if content.part is Part.FIRST else 2
        yield message("label.says.label_of", number=number, total=2)


_SAYS: dict[Field, Callable[[LabelContent], Parts]] = {
    Field.STAMP: _stamp,
    Field.NAME: lambda content: (content.name,),
    Field.STRENGTH: _strength,
    Field.QUANTITY: lambda content: (_quantity(content),),
    Field.FORM: _form,
    Field.ROUTE: _route,
    Field.PATIENT: _patient,
    Field.DIRECTIONS: _directions,
    Field.USE_BY: lambda content: (message("label.says.use_by", date=content.use_by),),
    Field.LOT: lambda content: (message("label.says.lot", lot=content.lot),),
    Field.STORAGE: _storage,
    Field.AFTER_OPENING: _after_opening,
    Field.MADE_ON: lambda content: (message("label.says.made_on", date=content.made_on),),
    Field.CONTAINER: _container,
    Field.PRESCRIBER: _prescriber,
    Field.WARNINGS: _warnings,
    Field.COMPOSITION: _composition,
    Field.TARGET: _target,
    Field.COMPOUNDED: _compounded,
    Field.COPY: _copy,
    Field.BESIDE: _beside,
    Field.PART: _part,
    Field.EXTRA: lambda content: content.extra,
    Field.HOUSE: lambda content: (_bound(content.house),),
    Field.ADDRESS: lambda content: (_bound(", ".join(content.address)),),
    Field.TELEPHONE: lambda content: (
        (message("label.says.telephone", telephone=content.telephone),) if content.telephone else ()
    ),
}
