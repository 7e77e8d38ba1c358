"""Names looked up in the tables, and those proposed while one types."""

from __future__ import annotations

import pytest

from formulary.calculating.lists import names_in_table, only_row
from formulary.errors import Refusal

EMULSIFIER = "emulsifier HLB"


@pytest.mark.parametrize("typed", ["polysorbate 80", "Polysorbate80", "TWEEN 80", "tween80"])
def test_a_name_counts_whatever_its_capitals_and_spaces(typed: str) -> None:
    row = only_row("hlb", "hlb", substance=typed, kind=EMULSIFIER)
    assert row["substance"] == "polysorbate 80"


def test_a_name_that_no_row_gives_is_refused() -> None:
    with pytest.raises(Refusal):
        only_row("hlb", "hlb", substance="Tween 60", kind=EMULSIFIER)


def test_only_the_names_that_can_be_used_are_proposed() -> None:
    emulsifiers = names_in_table("hlb", kind=EMULSIFIER)()
    assert {"polysorbate 80", "Tween 80", "Span 80"} <= set(emulsifiers)
    assert "lanolin" not in emulsifiers
    assert {"liquid paraffin", "mineral oil"} <= set(names_in_table("hlb")())


def test_the_bases_of_moulds_are_proposed() -> None:
    assert {"cocoa butter", "hard fat"} <= set(names_in_table("displacement-factors", "base")())
