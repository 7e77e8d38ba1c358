"""What can't be calculated is refused with a sentence, never answered with a number."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path

import pytest

from formulary.catalogue import Catalogue
from formulary.errors import BadText
from tests.formulary.calculations.asking import ask, refused

CASES = tomllib.loads(Path(__file__).with_name("refusals.toml").read_text("utf-8"))


@pytest.mark.parametrize(("name", "key", "typed"), CASES["refused"])
def test_what_cannot_be_is_refused_with_a_sentence(
    name: str, key: str, typed: Mapping[str, str]
) -> None:
    assert refused(name, **typed) == key


@pytest.mark.parametrize(("name", "field", "typed"), CASES["unreadable"])
def test_what_cant_be_read_is_refused_at_its_input(
    name: str, field: str, typed: Mapping[str, str]
) -> None:
    with pytest.raises(BadText) as caught:
        ask(name, **typed)
    assert caught.value.field == field
    assert Catalogue().text(caught.value.message).strip()
