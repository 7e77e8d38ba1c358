"""Reviewing the sample house's formulas by every rule, beside only adding them up."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from formulary.exchange.sample_house import sample_house
from formulary.formula.completing import completed
from formulary.formula.version import State
from formulary.review.case import Case, Facts
from formulary.review.registry import review
from formulary.scaling.balance_sheet import balance_sheet
from tests.bench.measuring import Figure, median_time


def figures() -> Iterable[Figure]:
    """Yield the time of one review, as while somebody types."""
    book = sample_house()
    used = [each for each in book.versions if each.state is State.IN_USE]
    contents = [completed(each.content, book.ingredients) for each in used]
    facts = Facts(
        today=date(2026, 3, 10),
        ingredients=book.ingredients,
        balances=book.house.balances,
        made_here={each.label.name: each for each in contents},
        titles=tuple(each.title for each in contents),
    )

    def ours() -> None:
        for content in contents:
            review(Case(content, facts))

    def bare() -> None:
        for content in contents:
            balance_sheet(content)

    count = len(contents)
    name = "reviewing a formula by every rule"
    yield Figure(name, "ms", median_time(ours) / count, median_time(bare) / count, "< 20 ms")
