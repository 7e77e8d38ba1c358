"""Each name that a list of stock shows has its word."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum

import pytest

from formulary import tracing
from formulary.catalogue import keys_under
from formulary.stock import counting
from formulary.stock.lot import Halt, Source, Status
from formulary.stock.moves import Cause
from formulary.stock.recall import Outcome


@pytest.mark.parametrize(
    ("place", "names"),
    [
        ("stock.source", Source),
        ("stock.status_name", Status),
        ("stock.halt", Halt),
        ("stock.cause", Cause),
        ("stock.sort", counting.Sort),
        ("stock.recall.outcome", Outcome),
        ("stock.trace", tracing.Sort),
    ],
)
def test_each_has_its_word_and_no_word_is_over(place: str, names: Iterable[StrEnum]) -> None:
    assert sorted(keys_under(place)) == sorted(f"{place}.{each.value}" for each in names)
