"""Every text that can come onto a label, in every language that labels speak."""

from __future__ import annotations

import string
import tomllib
from collections.abc import Iterator

import pytest

from formulary.catalogue import languages
from formulary.labels.metrics import require_printable
from formulary.labels.page import Field
from formulary.plurals import CATEGORIES
from formulary.resources import resource_path

ON_THE_LABEL = ("stamp", "says", "storage", "unit", "warning", "leaflet")


def texts(language: str) -> dict[str, str]:
    path = resource_path("translations", language, "label.toml")
    return dict(_flat("", tomllib.loads(path.read_text(encoding="utf-8"))))


def _flat(key: str, node: object) -> Iterator[tuple[str, str]]:
    if isinstance(node, dict):
        for name, below in node.items():
            yield from _flat(f"{key}.{name}" if key else name, below)
    else:
        yield key, str(node)


def placeholders(text: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name}


@pytest.mark.parametrize("language", languages())
def test_every_character_of_every_label_text_has_a_glyph(language: str) -> None:
    for key, text in texts(language).items():
        if key.startswith(ON_THE_LABEL):
            require_printable(text, Field.NONE)


@pytest.mark.parametrize("language", languages())
def test_months_and_unit_words_have_glyphs(language: str) -> None:
    path = resource_path("translations", language, "quantity.toml")
    written = tomllib.loads(path.read_text(encoding="utf-8"))
    for text in (*written["months"], *dict(_flat("", written["units"])).values()):
        require_printable(text, Field.NONE)


@pytest.mark.parametrize("language", languages())
def test_a_label_never_falls_back_to_another_language(language: str) -> None:
    english, other = texts("en"), texts(language)
    said = {plain(key) for key in english if key.startswith(ON_THE_LABEL)}
    assert said <= {plain(key) for key in other} <= {plain(key) for key in english}
    for key, text in other.items():
        wanted = english.get(key, english.get(f"{plain(key)}.other", ""))
        assert placeholders(text) == placeholders(wanted), key


def plain(key: str) -> str:
    """Return the key without the kind of number, of which languages have more or fewer."""
    return key.rpartition(".")[0] if key.rpartition(".")[2] in CATEGORIES else key


def test_every_field_has_a_name() -> None:
    assert {f"field.{field}" for field in Field} <= texts("en").keys()
