"""Scaling a ten-line formula with its working, beside the bare Fractions it needs."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from formulary.exchange.sample_house import sample_house
from formulary.formula.content import Content, Form, Line, Role, Route
from formulary.formula.kind_text import parse_kind
from formulary.scaling.plan import scale
from formulary.scaling.target import parse_excess, parse_target
from tests.bench.measuring import Figure, median_time

REPEATS = 50
PERCENTS = ("1", "2.5", "0.1", "5", "12", "3", "0.5", "7", "10")


def ten_lines() -> Content:
    """Return a cream of nine shares and a base to 100 g."""
    shares = [
        Line(f"Ingredient {i}", parse_kind(f"{percent} % w/w"), Role.ACTIVE)
        for i, percent in enumerate(PERCENTS)
    ]
    base = Line("Base", parse_kind("to 100 g"), Role.BASE)
    return Content("Ten lines", "B-010", Form.CREAM, Route.SKIN, (*shares, base))


def _bare() -> list[Fraction]:
    total = Fraction("185.4")
    amounts = [Fraction(percent) * total / 100 for percent in PERCENTS]
    return [*amounts, total - sum(amounts)]


def figures() -> Iterable[Figure]:
    """Yield the time of one scaling."""
    content, house = ten_lines(), sample_house().house
    target, excess = parse_target("3 x 60 g"), parse_excess("3 %")

    def ours() -> None:
        for _ in range(REPEATS):
            scale(content, target, excess, house)

    def bare() -> None:
        for _ in range(REPEATS):
            _bare()

    name = "scaling ten lines with their working"
    yield Figure(name, "ms", median_time(ours) / REPEATS, median_time(bare) / REPEATS, "<= 1 ms")
