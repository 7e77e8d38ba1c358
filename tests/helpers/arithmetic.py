"""Reads a line of a working as a person with a pocket calculator would, and says if it is true."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Iterator
from itertools import pairwise

# To one base each: g and mL alike, since 1 % w/v is 1 g in 100 mL; mmol; day; EUR.
UNITS = {
    **dict.fromkeys(("g", "mL", "mmol", "mEq", "mOsm", "day", "days", "cm", "°C", "EUR"), 1.0),
    **dict.fromkeys(("drop", "drops", "piece", "pieces", "unit", "units", "part", "parts"), 1.0),
    **dict.fromkeys(("inches", "pounds", "ppm", "hands", "grains"), 1.0),
    **dict.fromkeys(("mg", "microlitre", "microlitres"), 1e-3),
    **dict.fromkeys(("microgram", "micrograms", "micromole", "micromoles"), 1e-6),
    "micromole": 1e-3,
    "micromoles": 1e-3,
    "nanogram": 1e-9,
    "nanograms": 1e-9,
    "kg": 1e3,
    "L": 1e3,
    "mol": 1e3,
    "Eq": 1e3,
    "Osm": 1e3,
    "sqm": 1.0,
    "csqm": 1e-4,
    "hour": 1 / 24,
    "hours": 1 / 24,
    "week": 7.0,
    "weeks": 7.0,
    "minute": 1 / 1440,
    "minutes": 1 / 1440,
}
PER_CENT = (0.01, 1.0)
"""5 % is 0.05 of something, but 5 where a rule says 100 x 6 mg / 5 %."""
_READ_AS = (
    ("\N{WORD JOINER}", ""),
    ("m²", "sqm"),
    ("international unit", "unit"),
    (" at 20 °C", ""),
    (" % of ", " % x "),
    (" % w/v of ", " % x "),
)
_NUMBER = r"\d+(?:\.\d+)?(?:/\d+)?"
_TOKEN = re.compile(
    rf"\s*(?:(?P<number>{_NUMBER})|(?P<operator>[-−+x/^()√²])|(?P<word>[^\s\d()^√²+−]+))"
)
Value = tuple[float, float]
"""A figure, and by how much it may be off for the rounding of what it was written from."""


class NotArithmeticError(Exception):
    """The text isn't figures and signs alone."""


def equations(line: str) -> Iterator[tuple[str, float, float]]:
    """Yield each "a op b = c" of a line: its text, what comes out, and by how much it is off.

    The third is measured in the last digit of what is written: up to 0.5 is rounding.
    """
    plain = line.replace("\N{NO-BREAK SPACE}", " ").replace("\N{NARROW NO-BREAK SPACE}", "")
    for written, read in _READ_AS:
        plain = plain.replace(written, read)
    if "√" in plain:  # An empirical formula takes the bare figures of cm and kg.
        plain = plain.replace(" kg", "")
    clauses = re.split(r"[:;] |, (?=[a-z])", plain)
    for clause in clauses:
        sides = clause.split(" = ")
        for left, right in pairwise(sides):
            found = _judged(left, right)
            if found is not None:
                yield f"{left} = {right}", *found


def _judged(left: str, right: str) -> tuple[float, float] | None:
    written = re.match(rf"[−-]?{_NUMBER}", right)
    if written is None:
        return None
    figure, unit = written[0].replace("−", "-"), right[written.end() :]
    last = 10.0 ** -len(figure.partition(".")[2])
    found = []
    for per_cent in PER_CENT:
        came_out = _worked_out(left, per_cent)
        if came_out is not None:
            scale = _unit_at_start(unit, per_cent)
            value, off = came_out
            off = off / scale + abs(value / scale) * FLOAT
            found.append((max(abs(value / scale - float(figure)) - off, 0.0) / last, value))
    return min(found)[::-1] if found else None


def _worked_out(left: str, per_cent: float) -> Value | None:
    """Return what the longest end of a text comes to that is figures and signs alone."""
    for start in _starts(left):
        reader = _Reader(left[start:], per_cent)
        try:
            value = reader.whole()
        except (NotArithmeticError, ZeroDivisionError, ValueError, OverflowError):
            continue
        return value if reader.operators else None
    return None


def _starts(text: str) -> Iterator[int]:
    yield 0
    yield from (found.start() for found in re.finditer(r"(?<![\w.])[\d(√−-]|\b(?:log|ln)\b", text))


def _unit_at_start(text: str, per_cent: float) -> float:
    found = re.match(r" ?(%|[^\s,]+)", text)
    return _unit(found[1], per_cent) or 1.0 if found else 1.0


def _unit(word: str, per_cent: float) -> float | None:
    if word == "%":
        return per_cent
    first, *rest = word.split("/")
    factors = [UNITS.get(each) for each in (first, *rest)]
    if None in factors:
        return None
    value = factors[0] or 0.0
    for each in factors[1:]:
        value /= each or 1.0
    return value


class _Reader:
    """Reads sums, products and powers; words that are no unit are passed by."""

    def __init__(self, text: str, per_cent: float) -> None:
        self._per_cent = per_cent
        self._tokens = [found for found in _TOKEN.finditer(text) if found.group().strip()]
        self._place = 0
        self.operators = 0

    def whole(self) -> Value:
        value = self._sum()
        self._pass_words()
        if self._place < len(self._tokens):
            raise NotArithmeticError
        return value

    def _peek(self) -> str:
        return self._tokens[self._place].group().strip() if self._place < len(self._tokens) else ""

    def _take(self, *signs: str) -> str:
        if self._peek() in signs:
            self._place += 1
            self.operators += 1
            return self._tokens[self._place - 1].group().strip()
        return ""

    def _pass_words(self) -> None:
        while self._place < len(self._tokens) and self._tokens[self._place]["word"]:
            if self._peek() in ("x", "of", "sum", "mean"):
                raise NotArithmeticError
            self._place += 1

    def _sum(self) -> Value:
        value, off = self._product()
        while True:
            self._pass_words()
            sign = self._take("+", "−", "-")
            if not sign:
                return value, off
            other, more = self._product()
            value, off = value + other if sign == "+" else value - other, off + more

    def _product(self) -> Value:
        value, off = self._power()
        while True:
            self._pass_units_done()
            sign = self._take("x", "/")
            if not sign:
                return value, off
            other, more = self._power()
            relative = (off / abs(value) if value else 0) + (more / abs(other) if other else 0)
            value = value * other if sign == "x" else value / other
            off = abs(value) * relative

    def _pass_units_done(self) -> None:
        """Pass words between a figure and the next sign of a product."""
        ahead = self._place
        while ahead < len(self._tokens) and self._tokens[ahead]["word"] not in (None, "x", "/"):
            ahead += 1
        if ahead < len(self._tokens) and self._tokens[ahead].group().strip() in ("x", "/"):
            self._place = ahead

    def _power(self) -> Value:
        value, off = self._atom()
        if self._take("²"):
            return value**2, 2 * abs(value) * off
        if self._take("^"):
            exponent, more = self._atom()
            base = value
            result = base**exponent
            return result, abs(result) * more * abs(math.log(base)) if base > 0 else 0.0
        return value, off

    def _atom(self) -> Value:
        if self._take("−", "-"):
            value, off = self._power()
            return -value, off
        if self._take("√"):
            value, off = self._atom()
            return math.sqrt(value), off / math.sqrt(value) if value else 0.0
        if self._peek() in _FUNCTIONS:
            name = self._peek()
            self._place += 1
            self.operators += 1
            value, off = self._atom()
            return _FUNCTIONS[name](value), off / abs(value)
        if self._peek() == "e":
            self._place += 1
            return math.e, 0.0
        if self._take("("):
            value, off = self._sum()
            if not self._take(")"):
                raise NotArithmeticError
            return self._with_unit(value, off)
        return self._figure()

    def _figure(self) -> Value:
        self._pass_leading_words()
        if self._place >= len(self._tokens) or not self._tokens[self._place]["number"]:
            raise NotArithmeticError
        text = self._tokens[self._place]["number"]
        self._place += 1
        number, _, bottom = text.partition("/")
        value = float(number) / float(bottom or 1)
        decimals = len(number.partition(".")[2])
        # A figure of many digits was cut to twelve; a short one is what it says.
        long = len(number.replace(".", "").strip("0")) >= LONG
        return self._with_unit(value, 0.5 * 10.0**-decimals if long else 0.0)

    def _pass_leading_words(self) -> None:
        while self._place < len(self._tokens) and self._tokens[self._place]["word"]:
            if self._peek() in ("x", "/") or self._peek() in _FUNCTIONS:
                raise NotArithmeticError
            self._place += 1

    def _with_unit(self, value: float, off: float) -> Value:
        if self._place < len(self._tokens) and (word := self._tokens[self._place]["word"]):
            factor = _unit(word, self._per_cent)
            if factor is not None and word not in ("x", "/"):
                self._place += 1
                return value * factor, off * factor
        return value, off


LONG = 11
ROUNDING = 0.51
FLOAT = 1e-14
_FUNCTIONS: dict[str, Callable[[float], float]] = {"log": math.log10, "ln": math.log}


def assert_true(lines: Iterable[str]) -> None:
    """Assert that each equation of a working is true within the rounding of its last digit."""
    for line in lines:
        for text, value, off in equations(line):
            assert off <= ROUNDING, f"{text}: {value} comes out"
