from __future__ import annotations

from datetime import date

import pytest

from formulary.catalogue import Catalogue
from ui.forms.days import distance

TODAY = date(2026, 2, 3)


@pytest.mark.parametrize(
    ("day", "said"),
    [
        (date(2026, 2, 15), "in 12 days"),
        (date(2026, 2, 4), "in 1 day"),
        (date(2026, 2, 3), "today"),
        (date(2026, 2, 2), "1 day ago"),
        (date(2026, 1, 3), "31 days ago"),
    ],
)
def test_a_day_is_so_far_away(day: date, said: str) -> None:
    assert Catalogue().text(distance(TODAY, day)) == said
