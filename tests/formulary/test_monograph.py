"""What is looked up of an ingredient proves itself where it can, and names its source."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.errors import BadText
from formulary.monograph import (
    Handling,
    HazardListing,
    Monograph,
    is_cas,
    parse_listings,
    require_handled,
    require_sound,
    write_listing,
)

NIOSH = HazardListing("NIOSH List of Hazardous Drugs", "December 2024", "table 2")


@pytest.mark.parametrize("number", ["7732-18-5", "58-08-2", "1314-13-2"])
def test_a_registry_number_proves_itself(number: str) -> None:
    """Water, caffeine and zinc oxide, as any supplier's catalogue has them (from memory)."""
    assert is_cas(number)


@given(st.sampled_from(["7732-18-5", "58-08-2", "1314-13-2"]), st.integers(0, 9))
def test_only_one_check_digit_is_right(number: str, digit: int) -> None:
    assert is_cas(number[:-1] + str(digit)) == (str(digit) == number[-1])


@pytest.mark.parametrize("number", ["", "water", "7732-18", "7732 18 5", "7732-18-55"])
def test_what_isn_t_written_as_one_is_none(number: str) -> None:
    assert not is_cas(number)


@pytest.mark.parametrize(
    "known",
    [
        Monograph(solubility="freely soluble in water"),
        Monograph(ph=(Fraction(4), Fraction(6))),
        Monograph(doses=("adults, oral: 4 g daily",)),
        Monograph(concentrations=("skin: 1 to 2 %",)),
        Monograph(molecular_mass=Fraction(60)),
    ],
    ids=["solubility", "pH", "dose", "concentration", "mass"],
)
def test_a_figure_without_its_source_is_refused(known: Monograph) -> None:
    with pytest.raises(BadText) as refused:
        require_sound(known)
    assert refused.value.field == "source_of_facts"


def test_a_tariff_code_and_a_registry_number_need_none() -> None:
    require_sound(Monograph(cas="7732-18-5", tariffs=("PZN 1",)))


def test_a_ph_range_is_the_right_way_round() -> None:
    with pytest.raises(BadText) as refused:
        require_sound(Monograph(ph=(Fraction(7), Fraction(4)), source="a book"))
    assert refused.value.field == "ph"


def test_a_listing_has_its_edition() -> None:
    assert parse_listings(write_listing(NIOSH)) == (NIOSH,)
    with pytest.raises(BadText) as refused:
        parse_listings("NIOSH List of Hazardous Drugs")
    assert refused.value.field == "listings"


def test_what_is_listed_says_how_it_is_handled() -> None:
    require_handled(Handling((NIOSH,), "in the cabinet"))
    with pytest.raises(BadText):
        require_handled(Handling((NIOSH,)))


def test_handling_is_looked_at_again_within_a_year() -> None:
    seen = Handling((NIOSH,), "in the cabinet", date(2026, 3, 10))
    assert not seen.is_due(date(2027, 3, 10))
    assert seen.is_due(date(2027, 3, 11))
    assert Handling((NIOSH,), "in the cabinet").is_due(date(2026, 3, 10))
    assert not Handling().is_due(date(2026, 3, 10))
