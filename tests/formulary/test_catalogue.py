"""Messages become sentences of one language, safely written."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import cast

import pytest

from formulary import catalogue as under_test
from formulary.catalogue import Catalogue, UnknownTextError, languages
from formulary.messages import Message, Parameter, message
from formulary.quantity.amount import Amount, Concentration, OneIn, Parts
from formulary.resources import resource_path

HALF_GRAM = Amount(Fraction(1, 2), "g")


@pytest.fixture
def own_texts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Serve two small languages from a folder of this test."""
    for language, text in {
        "en": 'greeting = "Good day"\njars = {one = "{n} jar", other = "{n} jars"}\n'
        'nested = "See: {said}"\nrow.first = "First"\nbraces = "{{{n}}}"\n',
        "de": 'greeting = "Guten Tag"\n',
    }.items():
        (tmp_path / "translations" / language).mkdir(parents=True)
        (tmp_path / "translations" / language / "shop.toml").write_text(text, encoding="utf-8")
    (tmp_path / "translations" / "README.md").write_text("no language", encoding="utf-8")
    monkeypatch.setattr(under_test, "resource_path", tmp_path.joinpath)
    under_test._area.cache_clear()
    yield
    under_test._area.cache_clear()


@pytest.mark.usefixtures("own_texts")
def test_a_key_is_the_file_and_the_place_in_it() -> None:
    assert Catalogue("de").text("shop.greeting") == "Guten Tag"
    assert Catalogue("en").text(message("shop.row.first")) == "First"


@pytest.mark.usefixtures("own_texts")
def test_what_a_language_lacks_is_said_in_english() -> None:
    assert Catalogue("de").text("shop.row.first") == "First"


@pytest.mark.usefixtures("own_texts")
@pytest.mark.parametrize(
    ("n", "said"),
    [(1, "1 jar"), (Fraction(1), "1 jar"), (0, "0 jars"), (12000, "12\u202f000 jars")],
)
def test_a_plural_is_chosen_by_n(n: Parameter, said: str) -> None:
    assert Catalogue().text(message("shop.jars", n=n)) == said


@pytest.mark.usefixtures("own_texts")
def test_a_message_may_hold_another_and_braces_are_doubled() -> None:
    said = message("shop.nested", said=message("shop.jars", n=2))
    assert Catalogue().text(said) == "See: 2 jars"
    assert Catalogue().text(message("shop.braces", n=2)) == "{2}"


@pytest.mark.usefixtures("own_texts")
def test_the_disguised_english_changes_sentences_and_not_what_fills_them() -> None:
    disguised = Catalogue("qps")
    assert disguised.text("shop.greeting") == "⟦Ğööd dáý⟧"
    assert disguised.text(message("shop.jars", n=2)) == "⟦2 járš⟧"
    assert disguised.text(message("shop.jars", n=1)) == "⟦1 jár⟧"
    assert disguised.text(message("shop.nested", said="Cream")) == "⟦Šéé: Cream⟧"


@pytest.mark.usefixtures("own_texts")
def test_only_real_languages_are_offered() -> None:
    assert languages() == ("de", "en")


@pytest.mark.parametrize("key", ["quantity.no_such_sentence", "no_such_area.empty", ""])
def test_an_unknown_key_is_a_mistake_of_the_program(key: str) -> None:
    with pytest.raises(UnknownTextError):
        Catalogue("de").text(key)


def test_a_missing_parameter_is_a_mistake_of_the_program() -> None:
    with pytest.raises(KeyError, match="typed"):
        Catalogue().text("quantity.number.unreadable")


def test_an_unknown_language_or_decimal_sign_is_a_mistake_of_the_program() -> None:
    with pytest.raises(ValueError, match="no translations"):
        Catalogue("xx")
    with pytest.raises(ValueError, match="point or a comma"):
        Catalogue("en", "'")


@pytest.mark.parametrize(
    ("value", "english", "german"),
    [
        ("Zinc oxide", "Zinc oxide", "Zinc oxide"),
        (12500, "12\u202f500", "12\u202f500"),
        (Fraction(5, 4), "1.25", "1,25"),
        (Decimal("5.0"), "5", "5"),
        (date(2026, 11, 16), "16 Nov 2026", "16. Nov. 2026"),
        (date(2026, 3, 1), "1 Mar 2026", "1. März 2026"),
        (datetime(2026, 11, 16, 14, 5), "16 Nov 2026 14:05", "16. Nov. 2026 14:05"),  # noqa: DTZ001  a wall clock
        (HALF_GRAM, "0.5\u00a0g", "0,5\u00a0g"),
        (Concentration(Fraction(1, 2), "% w/v"), "0.5\u00a0%\u00a0w/v", "0,5\u00a0%\u00a0m/V"),
        (OneIn(Fraction(50), "w/w"), "1\u00a0in\u00a050\u00a0w/w", "1\u00a0zu\u00a050\u00a0m/m"),
        (Parts(Fraction(3)), "3\u00a0parts", "3\u00a0Teile"),
        (("a", 1, HALF_GRAM), "a, 1, 0.5\u00a0g", "a, 1, 0,5\u00a0g"),
        (Message("quantity.months.1"), "Jan", "Jan."),
    ],
)
def test_every_value_is_written_in_the_readers_way(
    value: Parameter, english: str, german: str
) -> None:
    assert Catalogue("en", ".").written(value) == english
    assert Catalogue("de", ",").written(value) == german


def test_a_float_is_never_written() -> None:
    with pytest.raises(TypeError, match="float"):
        Catalogue().written(cast("Parameter", 0.5))


def test_a_disguised_amount_can_still_be_read_back() -> None:
    assert Catalogue("qps").written(Amount(Fraction(2), "microgram")) == "2\u00a0micrograms"


def test_a_file_holds_only_texts() -> None:
    with pytest.raises(TypeError, match=r"shop\.price is no text but a int"):
        dict(under_test._flat("shop", {"price": 5}))


WRITTEN = tuple(f"quantity.{part}" for part in ("months", "date", "units"))
"""What stands on labels; what is told to whoever types, only a language of the window has."""
AREAS = sorted(path.stem for path in resource_path("translations", "en").glob("*.toml"))
OTHERS = [language for language in languages() if language != "en"]


@pytest.mark.parametrize("language", OTHERS)
@pytest.mark.parametrize("area", ["quantity"])
def test_a_translation_has_the_same_keys_and_parameters(language: str, area: str) -> None:
    english, other = under_test._area("en", area), under_test._area(language, area)
    assert {key for key in english if key.startswith(WRITTEN)} <= other.keys()
    for key, template in other.items():
        if key.startswith("quantity.units."):
            assert _names(template) == {""}, key
        else:
            assert _names(template) == _names(english[key]), key


@pytest.mark.parametrize("area", AREAS)
def test_english_never_shouts_and_is_never_empty(area: str) -> None:
    path = resource_path("translations", "en", f"{area}.toml")
    assert tomllib.loads(path.read_text(encoding="utf-8"))
    for key, template in under_test._area("en", area).items():
        texts = ["".join(text for text, _ in form) for form in template.forms.values()]
        assert all("!" not in text for text in texts), key
        assert all(template.forms.values()), key


def _names(template: under_test.Template) -> set[str]:
    return {name for form in template.forms.values() for _, name in form}


def test_a_language_counts_for_an_area_only_with_its_texts() -> None:
    assert set(languages("ui")) <= set(languages("label")) <= set(languages())
    assert "de" in languages("label")
    assert "de" not in languages("ui")
