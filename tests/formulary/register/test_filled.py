"""What containers hold is said as it was filled, and as ordered only before that."""

from __future__ import annotations

import pytest

from formulary.catalogue import Catalogue
from formulary.register.filled import contents_said
from tests.helpers.formulas import amount
from tests.helpers.pdf_text import squeezed


@pytest.mark.parametrize(
    ("filled", "said"),
    [
        ((), "3 x 60 g"),
        (("100 g",), "100 g"),
        (("60 g", "60 g"), "2 x 60 g"),
        (("59.4 g", "59.3 g", "59.5 g"), "3, together 178.2 g"),
        (("60 g", "50 mL"), "60 g, 50 mL"),
    ],
)
def test_what_is_filled_is_said(filled: tuple[str, ...], said: str) -> None:
    found = Catalogue().text(contents_said("3 x 60 g", tuple(map(amount, filled))))
    assert squeezed(found) == squeezed(said)
