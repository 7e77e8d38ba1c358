"""``misce makegood``: lines on standard input, what is still to add to each on standard output.

The input is JSON: ``{"lines": [{"name": ..., "target": "6 g", "actual": "6.48 g"}, ...]}`` with
``actual`` left out where nothing is weighed yet, and ``ordered`` beside ``lines`` where the surplus
is asked for. An amount is a text or ``{"amount": "6", "unit": "g"}``.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping
from typing import Any, TextIO

from formulary.bench.make_good import Ingoing, MadeGood, make_good
from formulary.catalogue import Catalogue
from formulary.errors import BadText, FormularyError
from formulary.messages import message
from formulary.quantity import units
from formulary.quantity.amount import Amount
from formulary.quantity.parsing import parse_amount
from formulary.quantity.writing import exact_text, from_exact_text, is_finite, plain_number
from formulary.scaling.plan_json import finding_json, quantity_json

MOST_LINES = 1000


def asked(catalogue: Catalogue, stream: TextIO | None = None) -> tuple[Any, list[str]]:
    """Return the answer as data and as lines for people.

    Raises :class:`formulary.errors.BadText` for an input that can't be read, saying where.
    """
    given = _object(_document(sys.stdin if stream is None else stream), "", {"lines", "ordered"})
    lines = _lines(given.get("lines"))
    ordered = _amount(given["ordered"], "ordered") if "ordered" in given else None
    made = make_good(lines, ordered=ordered)
    return _data(made, catalogue), _said(made, catalogue)


def _document(stream: TextIO) -> object:
    """Return the JSON with its numbers as they are written, so that none becomes a float."""
    try:
        return json.loads(stream.read(), parse_float=str, parse_int=str, parse_constant=str)
    except (ValueError, RecursionError):
        raise BadText(message("command.makegood.not_json")) from None


def _lines(given: object) -> list[Ingoing]:
    if not isinstance(given, list) or not 0 < len(given) <= MOST_LINES:
        raise _bad("lines", "command.makegood.lines_missing")
    return [_line(each, f"lines.{i}") for i, each in enumerate(given)]


def _line(given: object, place: str) -> Ingoing:
    line = _object(given, place, {"name", "target", "actual"})
    name = line.get("name")
    if not isinstance(name, str) or not name.strip():
        raise _bad(f"{place}.name", "command.makegood.name_missing")
    actual = line.get("actual")
    return Ingoing(
        name,
        _amount(line.get("target"), f"{place}.target"),
        None if actual is None else _amount(actual, f"{place}.actual"),
    )


def _object(given: object, place: str, known: set[str]) -> Mapping[str, Any]:
    if not isinstance(given, dict):
        raise _bad(place, "command.makegood.not_an_object")
    for name in given:
        if name not in known:
            raise _bad(f"{place}.{name}".lstrip("."), "command.makegood.unknown_field")
    return given


def _amount(given: object, place: str) -> Amount:
    try:
        return _parts(given) if isinstance(given, dict) else parse_amount(_text(given))
    except FormularyError as error:
        raise BadText(error.message, field=place) from error


def _parts(given: Mapping[str, Any]) -> Amount:
    """Return an amount written as the commands write it, exact where that stands beside it."""
    unit = units.canonical(_text(given.get("unit")))
    if unit is None:
        raise BadText(message("command.makegood.no_unit"))
    return Amount(from_exact_text(_text(given.get("exact", given.get("amount")))), unit)


def _text(given: object) -> str:
    if not isinstance(given, str):
        raise BadText(message("command.makegood.no_amount"))
    return given


def _bad(place: str, key: str) -> BadText:
    return BadText(message(key), field=place or None)


def _data(made: MadeGood, catalogue: Catalogue) -> dict[str, Any]:
    rounded = {} if is_finite(made.factor) else {"factor_exact": exact_text(made.factor)}
    return {
        "factor": plain_number(made.factor),
        **rounded,
        "lines": [
            {
                "name": each.name,
                "target": quantity_json(each.target),
                "to_add": quantity_json(each.to_add),
            }
            for each in made.lines
        ],
        "total": None if made.total is None else quantity_json(made.total),
        "surplus": None if made.surplus is None else quantity_json(made.surplus),
        "working": [catalogue.text(each) for each in made.steps],
        "findings": [finding_json(each, catalogue) for each in made.findings],
    }


def _said(made: MadeGood, catalogue: Catalogue) -> list[str]:
    return [catalogue.text(each) for each in made.steps]
