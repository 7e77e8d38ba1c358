"""What the buffer calculations read alike: dissociation constants, and concentrations in mol/L."""

from __future__ import annotations

import re
from fractions import Fraction

from formulary.calculating.brief import brief_speaker
from formulary.calculating.choosing import given_one
from formulary.calculating.describing import Input, Kind
from formulary.calculating.numeric import common_logarithm
from formulary.calculating.values import Given
from formulary.errors import BadText, Refusal
from formulary.messages import message
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.parsing import parse_number
from formulary.quantity.units import factor
from formulary.working import Working

say = brief_speaker("buffers")
TEN = Fraction(10)
PKW = Fraction(14)
"""−log of the ion product of water at 25 °C, as teaching texts take it."""
LARGEST_EXPONENT = 30
# In scientific writing one digit stands before the sign, so that it can only be a decimal sign.
_SCIENTIFIC = re.compile(
    r"(?P<digits>[1-9](?:[.,][0-9]+)?) ?(?:[eE]|[x×*·] ?10 ?\^? ?)(?P<power>[-−+]?[0-9]{1,2})"
)

MOLAR_SYMBOLS = {"M": Fraction(1), "mM": Fraction(1, 1000)}
_MOLAR = re.compile(r"(?P<number>.+?) ?(?P<unit>m?M)")


def constant_of(given: Given) -> Working[Fraction]:
    """Return the pKa, however it was given; that of a base is its conjugate acid's.

    Raises Refusal unless it was given in one way.
    """
    way = given_one(given, ("pka", "ka", "pkb", "kb"), say("one_pka"))
    if way == "pka":
        return Working(given.number("pka"), ())
    if way == "pkb":
        return _from_base(given.number("pkb"))
    constant = dissociation(given, way)
    exponent = -common_logarithm(constant)
    if way == "ka":
        return Working(exponent, (say("step.pka", ka=constant, pka=exponent),))
    pka = _from_base(exponent)
    return Working(pka.result, (say("step.pkb", kb=constant, pkb=exponent), *pka.steps))


def _from_base(pkb: Fraction) -> Working[Fraction]:
    pka = PKW - pkb
    return Working(pka, (say("step.pka_of_base", pkb=pkb, pka=pka),))


def dissociation(given: Given, name: str) -> Fraction:
    """Return Ka or Kb, typed as a decimal or in scientific writing."""
    typed = given.values[name]
    if isinstance(typed, Fraction):
        return typed
    found = _SCIENTIFIC.fullmatch(str(typed))
    if found is None:
        raise BadText(say("no_constant", typed=str(typed)), field=name)
    exponent = int(found["power"].replace("−", "-"))
    return Fraction(found["digits"].replace(",", ".")) * TEN**exponent


def molar(given: Given, name: str) -> Fraction:
    """Return a concentration in mol/L; a bare number is that already, and 0.1 M is read too."""
    value = given.values[name]
    if isinstance(value, Fraction):
        return value
    if isinstance(value, str):
        return _written_molar(value, name)
    strength = given.strength(name)
    part, _, whole = strength.unit.partition("/")
    if part not in ("mol", "mmol", "micromole") or whole not in ("L", "mL", "microlitre"):
        raise Refusal(say("not_molar", strength=strength))
    return strength.number * factor(part, "mol") / factor(whole, "L")


def _written_molar(typed: str, name: str) -> Fraction:
    """Return mol/L from 0.1 M or 50 mM. Raises BadText with the input's name."""
    found = _MOLAR.fullmatch(typed)
    if found is None:
        raise BadText(say("not_molar", strength=typed), field=name)
    try:
        number = parse_number(found["number"], ".") * MOLAR_SYMBOLS[found["unit"]]
    except BadText as error:
        raise BadText(error.message, field=name) from error
    if number <= 0:
        raise BadText(message("calculating.not_positive"), field=name)
    return number


def as_molar(number: Fraction) -> Concentration:
    """Return a number of mol/L with its unit."""
    return Concentration(number, "mol/L")


def moles(given: Given, *names: str) -> dict[str, Amount] | None:
    """Return the named inputs in mol if all that are given are amounts, None if none is.

    Raises Refusal where amounts and concentrations are mixed.
    """
    present = [name for name in names if given.has(name)]
    amounts = [name for name in present if given.is_amount(name)]
    if not amounts:
        return None
    if len(amounts) != len(present):
        raise Refusal(say("amounts_and_concentrations"))
    return {name: given.amount(name).to("mol") for name in present}


NUMBER = (Kind.NUMBER,)
MOLAR = (Kind.STRENGTH, Kind.NUMBER, Kind.TEXT)
AMOUNT_OR_MOLAR = (Kind.STRENGTH, Kind.SUBSTANCE, Kind.NUMBER, Kind.TEXT)
MOLAR_UNITS = ("mol/L", "mmol/L")
AMOUNT_OR_MOLAR_UNITS = (*MOLAR_UNITS, "mol", "mmol", "micromole")


def molar_input(name: str, *, optional: bool = False) -> Input:
    """Return an input for a concentration by amount of substance; a bare number is mol/L."""
    return Input(name, MOLAR, optional=optional, units=MOLAR_UNITS)


def amount_or_molar_input(name: str, *, optional: bool = False) -> Input:
    """Return an input that also takes an amount of substance; a bare number is mol/L."""
    return Input(name, AMOUNT_OR_MOLAR, optional=optional, units=AMOUNT_OR_MOLAR_UNITS)


def _exponent(name: str) -> Input:
    least, most = Fraction(-10), Fraction(LARGEST_EXPONENT)
    return Input(name, NUMBER, optional=True, positive=False, least=least, most=most)


def _constant(name: str) -> Input:
    return Input(name, (Kind.NUMBER, Kind.TEXT), optional=True)


CONSTANT = (_exponent("pka"), _constant("ka"), _exponent("pkb"), _constant("kb"))
"""The ways to give a dissociation constant."""
