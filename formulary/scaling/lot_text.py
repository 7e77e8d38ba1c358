"""A lot's certificate as people type it: "Urea: assay=97.2, basis=dried, loss=1.2"."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from formulary.errors import BadText, Refusal
from formulary.formula.content import Content
from formulary.messages import Parameter, message
from formulary.quantity.parsing import parse_number

if TYPE_CHECKING:
    from formulary.calculations.corrections import Basis, Certificate

FIGURES = ("assay", "basis", "loss", "ordered", "supplied", "count", "potency", "concentrate")
MOST_ASSAY = 120
WHOLE = 100
_NEXT = re.compile(r"[;,]\s*(?=[A-Za-z]+\s*=)")
"""A comma parts two figures only before a name, since it may be a decimal sign too."""
_SAID = {"yes": True, "true": True, "1": True, "no": False, "false": False, "0": False, "": False}


@dataclass(frozen=True, slots=True)
class Lot:
    """What is known of a lot: its certificate, or its international units in one mg, or both."""

    certificate: Certificate | None = None
    potency: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Lots:
    """The certificates and potencies of the lots at hand, by a line's position."""

    certificates: Mapping[int, Certificate]
    potencies: Mapping[int, Fraction]


def lots_of(by_line: Mapping[int, Lot]) -> Lots:
    """Return what scaling takes of the lots of lines."""
    return Lots(
        {i: lot.certificate for i, lot in by_line.items() if lot.certificate is not None},
        {i: lot.potency for i, lot in by_line.items() if lot.potency is not None},
    )


def parse_lots(texts: Iterable[str], content: Content, decimal_sign: str = ".") -> Lots:
    """Return the lots that texts name; one lot stands for every line of its ingredient.

    Raises :class:`formulary.errors.BadText` with a sentence for what can't be read, and for an
    ingredient that the formula doesn't have or that is named twice.
    """
    by_line: dict[int, Lot] = {}
    for text in texts:
        name, colon, rest = text.partition(":")
        if not colon:
            raise _bad("form", text=text)
        lot = read_lot(_figures(rest), decimal_sign)
        for position in _positions(name.strip(), content):
            if position in by_line:
                raise _bad("twice", ingredient=name.strip())
            by_line[position] = lot
    return lots_of(by_line)


def _bad(key: str, **parameters: Parameter) -> BadText:
    return BadText(message(f"scaling.lot.{key}", **parameters), field="lot")


def _positions(name: str, content: Content) -> list[int]:
    names = [line.ingredient for line in content.lines]
    found = [i for i, each in enumerate(names) if each.casefold() == name.casefold()]
    if not found:
        raise _bad("no_such_line", ingredient=name, known=", ".join(dict.fromkeys(names)))
    return found


def _figures(text: str) -> dict[str, str]:
    found: dict[str, str] = {}
    for part in filter(None, (each.strip() for each in _NEXT.split(text))):
        name, equals, value = part.partition("=")
        key = name.strip().casefold()
        if not equals or key not in FIGURES or key in found:
            raise _bad("figure", text=part, known=", ".join(FIGURES))
        found[key] = value.strip()
    return found


def read_lot(figures: Mapping[str, str], decimal_sign: str = ".") -> Lot:
    """Return a lot of its figures as typed; empty ones aren't given.

    Raises :class:`formulary.errors.BadText` for a figure that can't be, and
    :class:`formulary.errors.Refusal` where a certificate lacks one.
    """
    given = {name: value.strip() for name, value in figures.items() if value.strip()}
    potency = _number(given.pop("potency", ""), "potency", decimal_sign)
    if potency is not None and potency <= 0:
        raise _bad("potency")
    return Lot(_certificate(given, decimal_sign) if given else None, potency)


def _number(text: str, name: str, sign: str) -> Fraction | None:
    if not text:
        return None
    try:
        return parse_number(text.removesuffix("%").rstrip(), sign)
    except BadText as error:
        raise BadText(error.message, field=name) from error


def _certificate(given: Mapping[str, str], sign: str) -> Certificate:
    # The sums are loaded only where somebody has a certificate.
    from formulary.calculations.corrections import Basis, Certificate, say, water_by_formula

    basis = _basis(given)
    loss = _number(given.get("loss", ""), "loss", sign)
    if loss is None and basis is not Basis.AS_IS:
        raise Refusal(say("loss_missing", basis=say(f"basis.{basis.value}")))
    if loss is not None and not 0 <= loss < WHOLE:
        raise _bad("loss", loss=loss)
    assay = _number(given.get("assay", ""), "assay", sign)
    if assay is not None and not 0 < assay <= MOST_ASSAY:
        raise _bad("assay", assay=assay)
    ordered, supplied = (_molar_mass(given.get(each, ""), sign) for each in ("ordered", "supplied"))
    water = water_by_formula(given.get("supplied", ""))
    return Certificate(
        assay=Fraction(WHOLE) if assay is None else assay,
        basis=basis,
        loss=loss or Fraction(0),
        own_water=water,
        ordered=ordered,
        # A hydrate supplied as it was ordered is no other form.
        supplied=supplied if ordered is not None or not water else None,
        count=_count(given.get("count", "1")),
        concentrate=_yes(given.get("concentrate", "")),
    )


def _basis(given: Mapping[str, str]) -> Basis:
    from formulary.calculations.corrections import Basis

    text = given.get("basis", "").casefold()
    if not text and given.get("loss"):
        raise _bad("basis_missing")
    for basis in Basis:
        if text == basis.value:
            return basis
    if text:
        raise _bad("basis", text=text, known=", ".join(each.value for each in Basis))
    return Basis.AS_IS


def _molar_mass(text: str, sign: str) -> Fraction | None:
    """Return a molar mass in g/mol: a number, or what a chemical formula comes to."""
    from formulary.calculating.chemistry import molar_mass

    plain = text.removesuffix("g/mol").strip()
    if not plain:
        return None
    is_number = plain[0].isdigit() and not any(each.isalpha() for each in plain)
    found = parse_number(plain, sign) if is_number else molar_mass(plain)
    if found <= 0:
        raise _bad("molar_mass", text=text)
    return found


def _count(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text[:3]) <= 20 or len(text) > 2:  # noqa: PLR2004  as many as a salt can hold
        raise _bad("count", text=text)
    return int(text)


def _yes(text: str) -> bool:
    if text.casefold() not in _SAID:
        raise _bad("yes_or_no", text=text)
    return _SAID[text.casefold()]
