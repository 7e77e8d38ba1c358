"""Typed inputs read by their descriptions, or refused with the input's name and a sentence."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Any

from formulary.calculating.chemistry import molar_mass
from formulary.calculating.describing import AMOUNTS, Calculation, Input, Kind
from formulary.calculating.doubting import improbable
from formulary.calculating.outcome import Outcome
from formulary.calculating.parting import SEPARATOR, in_doubt, parted, parted_otherwise
from formulary.calculating.placing import at_its_field
from formulary.calculating.saying import in_house_sign
from formulary.calculating.values import Given
from formulary.errors import BadText, FormularyError, Refusal
from formulary.finding import Finding
from formulary.messages import Message, message
from formulary.quantity import parsing, units
from formulary.quantity.amount import Amount
from formulary.quantity.density import parse_density

MOST_IN_LIST = 50
MOST_OFFERED = 3
_MINUS = ("-", "\N{MINUS SIGN}")
_BARE_RATIO = re.compile(r"1 ?(?:: ?|in )(?P<total>[^:]+)")
_BARE_PERCENT = re.compile(r"(?P<number>[^a-z%]*)(?:%|per ?cent)?", re.IGNORECASE)
_BARE_MILLIONTHS = re.compile(r"(?P<number>[^a-z%]+)ppm", re.IGNORECASE)
# Elsewhere a bare m could be many things; of a length it is a metre.
_METRES = re.compile(r"(?P<number>[^A-Za-z]+) ?m")
_IN_DECILITRE = re.compile(r"(?: ?/ ?| per )dL", re.IGNORECASE)
_IN_CUBIC_METRE = re.compile(r" ?kg ?/ ?m(?:3|\N{SUPERSCRIPT THREE})", re.IGNORECASE)


def calculate(calculation: Calculation, typed: Mapping[str, str], sign: str = ".") -> Outcome:
    """Return what the calculation answers to typed inputs.

    Raises :class:`formulary.errors.BadText` with the input's name as its field, and
    :class:`formulary.errors.Refusal` where the figures can't be calculated.
    """
    return worked(calculation, read_inputs(calculation, typed, sign))


def worked(calculation: Calculation, given: Given) -> Outcome:
    """Return what the calculation answers, and which defaults it took that matter to it."""
    try:
        outcome = calculation.work(given)
    except Refusal as refusal:
        raise at_its_field(refusal, given) from refusal
    more = (*_taken(calculation, given), *improbable(calculation, given))
    return replace(outcome, findings=(*outcome.findings, *more)) if more else outcome


def _taken(calculation: Calculation, given: Given) -> Iterator[Finding]:
    """Yield a finding for each default that isn't neutral and was left to the program."""
    for each in calculation.inputs:
        needed = not each.matters_with or any(given.has(name) for name in each.matters_with)
        if each.assumed is not None and needed and each.name in given.defaulted:
            called = calculation.input_said(each.name)
            default = given.defaulted[each.name]
            said = message("calculating.taken", called=called, default=default)
            yield Finding(each.assumed, said, each.name)


def read_inputs(calculation: Calculation, typed: Mapping[str, str], sign: str = ".") -> Given:
    """Return the inputs read. Raises BadText for unknown, missing or unreadable ones."""
    known = {each.name: each for each in calculation.inputs}
    for name in typed:
        if name not in known:
            raise BadText(
                message("calculating.unknown_input", name=name, known=", ".join(known)), field=name
            )
    values: dict[str, Any] = {}
    defaulted: dict[str, str] = {}
    for name, described in known.items():
        if text := typed.get(name, "").strip():
            values[name] = read_input(described, text, sign)
        elif described.default:
            values[name] = read_input(described, described.default)
            defaulted[name] = in_house_sign(described.default, sign)
        elif described.required:
            raise BadText(message("calculating.missing_input", name=name), field=name)
    titles = {name: calculation.input_said(name) for name in known}
    return Given(values, typed, defaulted, titles)


def read_input(described: Input, text: str, sign: str = ".") -> object:
    """Return one input read: a value, or a tuple of values for a list."""
    try:
        if not described.many:
            return _read_one(described, text, sign)
        if values := in_doubt(text, sign):
            raise BadText(message("calculating.list_or_figure", typed=text, parted=_asked(values)))
        parts = parted(text)
        if not 0 < len(parts) <= MOST_IN_LIST:
            raise BadText(message("calculating.list_length", most=MOST_IN_LIST))
        return tuple(_read_one(described, part, sign) for part in parts)
    except FormularyError as error:
        said = _list_said(described, text, sign) if described.many else None
        raise BadText(said or error.message, field=described.name) from error


def _list_said(described: Input, text: str, sign: str) -> Message | None:
    """Return how to part a list, if its values can be read once parted otherwise."""
    for parts in parted_otherwise(text):
        if all(_readable(described, part, sign) for part in parts):
            return message("calculating.list_separator", typed=text, parted=_asked(parts))
    return None


def _asked(parts: list[str]) -> str:
    return f"{SEPARATOR} ".join(parts)


def _readable(described: Input, text: str, sign: str) -> bool:
    try:
        _read_one(described, text, sign)
    except FormularyError:
        return False
    return True


def _read_one(described: Input, text: str, sign: str) -> object:
    """Return what the first kind that can read the text makes of it."""
    refusals: list[Refusal] = []
    for kind in described.kinds:
        try:
            value = _READERS[kind](described, text, sign)
            _check_range(described, value)
        except Refusal as refusal:
            refusals.append(refusal)
        else:
            return value
    raise _best(refusals)


def _best(refusals: list[Refusal]) -> Refusal:
    """Return the refusal that says most: on the range, else on the figure, else on the kind."""
    said = [r for r in refusals if r.message.key != "calculating.wrong_kind"] or refusals
    return next((r for r in said if not isinstance(r, BadText)), said[0])


def _check_range(described: Input, value: object) -> None:
    number = value if isinstance(value, Fraction) else getattr(value, "number", None)
    if number is None:
        return
    if described.positive and number <= 0:
        raise Refusal(message("calculating.not_positive"))
    if described.least is not None and number < described.least:
        raise Refusal(message("calculating.under_least", least=described.least))
    if described.most is not None and number > described.most:
        raise Refusal(message("calculating.over_most", most=described.most))


def _amount(kind: Kind) -> Callable[[Input, str, str], object]:
    dimension = units.dimension(AMOUNTS[kind][0])

    def read(described: Input, text: str, sign: str) -> Amount:
        metres = _METRES.fullmatch(text.strip()) if kind is Kind.LENGTH else None
        if metres:
            return Amount(parsing.parse_number(metres["number"], sign) * 100, "cm")
        amount = _with_unit(described, text, sign)
        if units.dimension(amount.unit) != dimension:
            raise BadText(message("calculating.wrong_kind", typed=text, wanted=_wanted(described)))
        return amount

    return read


def _with_unit(described: Input, text: str, sign: str) -> Amount:
    """Read an amount; where its unit is missing, offer those that this input is typed in."""
    try:
        return parsing.parse_amount(text, sign)
    except BadText as refusal:
        if refusal.message.key != "quantity.unit_missing":
            raise
        number = parsing.parse_number(text, sign)
        offered = [unit for unit in described.usual_units if unit in units.SYMBOLS]
        amounts = tuple(Amount(number, unit) for unit in offered[:MOST_OFFERED])
        said = message("calculating.unit_missing", typed=text.strip(), amounts=amounts)
        raise BadText(said) from refusal


def _wanted(described: Input) -> str:
    return ", ".join(kind.value for kind in described.kinds)


def _strength(described: Input, text: str, sign: str) -> object:
    """Read a strength; laboratories and textbooks write mg/dL, which is mg in 100 mL."""
    try:
        return parsing.parse_concentration(_IN_DECILITRE.sub("/100 mL", text), sign)
    except BadText as refusal:
        if refusal.message.key == "quantity.strength_expected":
            said = message("calculating.wrong_kind", typed=text, wanted=_wanted(described))
            raise BadText(said) from refusal
        raise


def _signed(text: str, sign: str) -> Fraction:
    plain = text.strip()
    if plain.startswith(_MINUS):
        return -parsing.parse_number(plain[1:], sign)
    return parsing.parse_number(plain, sign)


def _number(described: Input, text: str, sign: str) -> object:
    return _signed(text, sign) if not described.positive else parsing.parse_number(text, sign)


def _percent(described: Input, text: str, sign: str) -> object:
    """Read a bare per cent, or a ratio or ppm that doesn't say its kind either (1:400, 5 ppm)."""
    if ratio := _BARE_RATIO.fullmatch(text.strip()):
        total = parsing.parse_number(ratio["total"], sign)
        if total < 1:
            raise BadText(message("quantity.ratio", typed=text))
        return 100 / total
    if millionths := _BARE_MILLIONTHS.fullmatch(text.strip()):
        return parsing.parse_number(millionths["number"].strip(), sign) / 10_000
    if percent := _BARE_PERCENT.fullmatch(text.strip()):
        return _number(described, percent["number"].strip(), sign)
    raise BadText(message("calculating.wrong_kind", typed=text, wanted=_wanted(described)))


def _count(_: Input, text: str, sign: str) -> object:
    number = parsing.parse_number(text, sign)
    if number.denominator != 1:
        raise BadText(message("calculating.not_whole", typed=text))
    return number


def _temperature(_: Input, text: str, sign: str) -> object:
    plain = text.strip().removesuffix("C").rstrip().removesuffix("°").rstrip()
    return _signed(plain, sign)


def _density(_: Input, text: str, sign: str) -> object:
    in_grams = _IN_CUBIC_METRE.sub(" g/L", text)
    if any(each.isalpha() for each in in_grams):
        return parse_density(in_grams, sign, "as typed").g_per_mL
    return parsing.parse_number(text, sign)


def _molar_mass(_: Input, text: str, sign: str) -> object:
    plain = text.strip().removesuffix("g/mol").strip()
    if plain and plain[0].isdigit() and not any(each.isalpha() for each in plain):
        return parsing.parse_number(plain, sign)
    return molar_mass(plain)


def _choice(described: Input, text: str, _: str) -> object:
    for choice in described.choices:
        if choice.casefold() == text.strip().casefold():
            return choice
    known = ", ".join(described.choices)
    raise BadText(message("calculating.not_a_choice", typed=text, known=known))


def _text(_: Input, text: str, __: str) -> object:
    return text.strip()


_READERS: dict[Kind, Callable[[Input, str, str], object]] = {
    **{kind: _amount(kind) for kind in AMOUNTS},
    Kind.STRENGTH: _strength,
    Kind.PERCENT: _percent,
    Kind.NUMBER: _number,
    Kind.COUNT: _count,
    Kind.TEMPERATURE: _temperature,
    Kind.DENSITY: _density,
    Kind.MOLAR_MASS: _molar_mass,
    Kind.CHOICE: _choice,
    Kind.TEXT: _text,
}
