"""The quantity that stands with an ingredient, as prescriptions write it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from formulary.errors import BadText
from formulary.formula.fields_of import kind_text
from formulary.formula.kind_text import read_kind
from formulary.formula.kinds import Kind
from formulary.messages import Message, message
from formulary.prescription.latin import Token, roman, term_at, tokens_of
from formulary.quantity import units
from formulary.quantity.typed_number import parse_number
from formulary.quantity.writing import exact_text

_NUMBER = re.compile(r"(?P<number>[.,]?\d+(?:[.,]\d+)*(?: ?/ ?\d+)?)\s*(?P<unit>\D.*)?", re.DOTALL)
_LEADING = re.compile(
    r"(?P<number>[.,]?\d+(?:[.,]\d+)*)\s*(?P<unit>%(?:\s*[wv]/[wv])?|[^\W\d_]+\.?)\s+(?P<name>\D.*)"
)
_GROUP = re.compile(r"(?:^|\D)\d{1,3}\Z")
_TRAILING_ZERO = re.compile(r"\d+[.,]\d*0\Z")
_PERCENT = re.compile(r"[%‰](?:\s*\(?[wvm]\s*/\s*[wvm]\)?)?", re.IGNORECASE)
_MILLION = re.compile(r"(?:mio|mill|millions?|millionen)\b\.?\s*", re.IGNORECASE)
_LEADERS = re.compile(r"(?:\s*[.…_]{2,}|[\s:;,…\-–—=])+\Z")
_END_POINT = re.compile(r"p\.?\s*h\b\.?\s*(?P<value>\d.*)", re.IGNORECASE)
_AMOUNT_KINDS = ("each", "up to", "enough")


@dataclass(frozen=True, slots=True)
class Tail:
    """What is written after (or before) an ingredient's name, taken apart.

    ``each``, ``up_to`` and ``enough`` say which words stand before the figure.
    """

    each: bool = False
    up_to: bool = False
    enough: bool = False
    number: str = ""
    unit: str = ""
    end_point: str = ""

    @property
    def measures(self) -> bool:
        """Return whether it says how much, and not only of what sort the quantity is."""
        return bool(self.number or self.end_point)


@dataclass(frozen=True, slots=True)
class ReadQuantity:
    """A quantity proposed: its kind and its text for the parser, or neither and a doubt."""

    kind: Kind | None
    text: str
    doubts: tuple[Message, ...]


def tail_of(text: str) -> tuple[str, Tail] | None:
    """Return an ingredient's name and the quantity after it, or before it; None without one.

    The longest end of the line that reads as one quantity is taken, so a strength in the name
    ("Ethanoli 70 % ad 100,0") stays with the name.
    """
    stripped = text.rstrip(" ;,:_…")
    tokens = tokens_of(stripped)
    for place, token in enumerate(tokens):
        found = _read_tail(stripped, tokens, place)
        if found is not None:
            return _LEADERS.sub("", stripped[: token.start]).strip(), found
    return _leading(stripped)


def _leading(text: str) -> tuple[str, Tail] | None:
    """Return a quantity that stands before its ingredient: "2 g Urea", "gtt. V Olei"."""
    tokens = tokens_of(text)
    if len(tokens) > len(("gtt", "V")) and (unit := _unit_at(tokens, 0)):
        figures = _figures(tokens[1].written)
        if figures is not None:
            return text[tokens[2].start :].strip(), Tail(number=figures, unit=unit)
    found = _LEADING.fullmatch(text)
    if found is None or not _is_unit(found["unit"]):
        return None
    return found["name"].strip(), Tail(number=found["number"], unit=found["unit"])


def _read_tail(text: str, tokens: Sequence[Token], place: int) -> Tail | None:
    """Return the quantity that the text from a token on is, if that is all it is."""
    words: set[str] = set()
    while found := term_at(tokens, place, _AMOUNT_KINDS):
        words.add(found.term.kind)
        place = found.after
    lead = Tail("each" in words, "up to" in words, "enough" in words)
    if place == len(tokens):
        return lead if words & {"each", "enough"} else None
    rest = text[tokens[place].start :]
    if point := _END_POINT.fullmatch(rest):
        return replace(lead, end_point=f"pH {point['value']}") if words else None
    if (unit := _unit_at(tokens, place)) and place + 1 < len(tokens):
        figures = _figures(text[tokens[place + 1].start :])
        return None if figures is None else replace(lead, number=figures, unit=unit)
    measured = _NUMBER.fullmatch(rest)
    in_leader = rest.startswith((".", ",")) and text[: tokens[place].start].endswith((".", "…"))
    if measured is None or in_leader or not _is_unit(measured["unit"] or ""):
        return None
    return replace(lead, number=measured["number"], unit=(measured["unit"] or "").strip())


def _unit_at(tokens: Sequence[Token], place: int) -> str:
    """Return the unit that stands before its figure ("gtt. V", "gr. V"), empty if none does."""
    word = tokens[place].written
    if term_at(tokens, place, ("drops",)) is not None:
        return "drops"
    known = units.canonical(word) is not None or units.refusal(word) is not None
    return word if known and tokens[place].is_word else ""


def _figures(text: str) -> str | None:
    """Return a figure in Arabic, Roman ones turned into it; None for anything else."""
    if re.fullmatch(r"\d+(?:[.,]\d+)?", text):
        return text
    count = roman(text)
    return None if count is None else str(count)


def _is_unit(text: str) -> bool:
    """Tell whether a text after a figure is a unit, known or refused, or nothing."""
    unit = _MILLION.sub("", text.strip(), count=1)
    parts = re.split(r"\s*/\s*\d*\s*|\s+per\s+", unit)
    return (
        not unit
        or _PERCENT.fullmatch(unit) is not None
        or unit in ("part", "parts")
        or all(units.canonical(each) is not None or units.refusal(each) for each in parts)
    )


def read_quantity(
    name: str, tail: Tail, decimal_sign: str, percent: str | None = None
) -> ReadQuantity:
    """Return what a quantity proposes; ``percent`` is what a per cent means if it doesn't say."""
    if tail.end_point:
        return _read(f"q.s. until {tail.end_point}", decimal_sign)
    if not tail.number:
        key = "how_much_is_enough" if tail.enough else "no_quantity"
        return ReadQuantity(None, "", (message(f"prescription.doubt.{key}"),))
    if _GROUP.search(name) and re.fullmatch(r"\d{3}", tail.number):
        said = message("prescription.doubt.two_numbers", number=tail.number)
        return ReadQuantity(None, "", (said,))
    if tail.enough and not tail.up_to:
        said = message("prescription.doubt.enough_of", number=tail.number)
        return ReadQuantity(None, "", (said,))
    return _read_measured(tail, decimal_sign, percent)


def _read_measured(tail: Tail, decimal_sign: str, percent: str | None) -> ReadQuantity:
    amount = f"{tail.number} {tail.unit}".strip()
    if million := _MILLION.match(tail.unit):
        return _read_millions(tail, tail.unit[million.end() :], decimal_sign)
    lead = {(True, True): "aa ad ", (True, False): "aa ", (False, True): "to "}
    text = lead.get((tail.each, tail.up_to), "") + amount
    read = _read(text, decimal_sign)
    if read.kind is None and tail.unit == "%" and percent is not None:
        read = _read(f"{text} {percent}", decimal_sign)
        asked = message("prescription.doubt.percent_kind", typed=amount, kind=percent)
        read = ReadQuantity(read.kind, read.text, (*read.doubts, asked))
    if read.kind is None:
        return read
    return ReadQuantity(read.kind, read.text, (*read.doubts, *_of_writing(tail, decimal_sign)))


def _read_millions(tail: Tail, unit: str, decimal_sign: str) -> ReadQuantity:
    try:
        number = exact_text(parse_number(tail.number, decimal_sign) * 10**6)
    except BadText as bad:
        return ReadQuantity(None, "", (bad.message,))
    full = replace(tail, number=number.replace(".", decimal_sign), unit=unit)
    read = _read_measured(full, decimal_sign, None)
    typed = f"{tail.number} {tail.unit}"
    said = message("prescription.doubt.million", typed=typed)
    return ReadQuantity(read.kind, read.text, (*read.doubts, said))


def _read(text: str, decimal_sign: str) -> ReadQuantity:
    try:
        reading = read_kind(text, decimal_sign)
    except BadText as bad:
        return ReadQuantity(None, "", (bad.message,))
    asked = () if reading.question is None else (reading.question,)
    return ReadQuantity(reading.kind, kind_text(reading.kind, decimal_sign), asked)


def _of_writing(tail: Tail, decimal_sign: str) -> tuple[Message, ...]:
    """Return what could be misread in how a figure is written, though it was read."""
    found = []
    number = tail.number
    if any(sign in number for sign in ".," if sign != decimal_sign):
        found.append(message("prescription.doubt.decimal_sign", number=number))
    if number.startswith((".", ",")):
        found.append(message("prescription.doubt.naked_decimal", number=number))
    if tail.unit and _TRAILING_ZERO.fullmatch(number):
        found.append(message("prescription.doubt.trailing_zero", number=number))
    return tuple(found)
