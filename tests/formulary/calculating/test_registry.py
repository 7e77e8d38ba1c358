"""A calculation's name on the command line: what is near is offered where it is mistyped."""

from __future__ import annotations

import pytest

from formulary.calculating.registry import calculation_named, every_calculation, near_names
from formulary.catalogue import Catalogue
from formulary.errors import NotFound


def said(name: str) -> str:
    with pytest.raises(NotFound) as caught:
        calculation_named(name)
    return Catalogue().text(caught.value.message)


def test_the_nearest_names_are_offered_and_not_the_whole_list() -> None:
    assert near_names("dilutio")[0] == "dilution"
    assert near_names("alligatoin")[0] == "alligation"
    assert "dilution" in said("dilutio")
    assert "hlb-of-a-blend" not in said("dilutio")


def test_where_none_is_near_the_list_is_named() -> None:
    assert near_names("zeppelin") == ()
    assert "misce calculate --list" in said("zeppelin")


@pytest.mark.parametrize("name", [each.name for each in every_calculation()])
def test_each_name_is_near_itself_without_its_last_letter(name: str) -> None:
    assert name in near_names(name[:-1])
