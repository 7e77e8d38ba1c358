"""Directions: whole plain sentences from their parts, in six languages."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formulary.catalogue import Catalogue
from formulary.errors import Refusal
from formulary.formula.content import Period, Span
from formulary.labels.metrics import FONTS, widths
from formulary.plurals import CATEGORIES
from formulary.quantity.amount import Amount, Concentration
from formulary.quantity.writing import write_number
from formulary.resources import resource_path
from formulary.wording.directions import (
    PLACES,
    UNITS,
    DayPart,
    Dosing,
    Food,
    Often,
    Use,
    content_of,
    sentences,
)
from formulary.wording.lint import lint, loud

LANGUAGES = ("en", "de", "es", "fr", "pl", "ar")
CATALOGUES = {language: Catalogue(language) for language in LANGUAGES}
FIVE_ML = Amount(Fraction(5), "mL")
TWO_MG = Concentration(Fraction(2), "mg/mL")


def said(dosing: Dosing, language: str = "en", strength: Concentration | None = None) -> str:
    words = CATALOGUES[language]
    return " ".join(map(words.text, sentences(dosing, strength))).replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("language", "sentence"),
    [
        ("en", "Take 5 mL (10 mg) by mouth 3 times a day after food. Use it for 7 days."),
        ("de", "5 mL (10 mg) 3-mal am Tag nach dem Essen einnehmen. 7 Tage lang anwenden."),
        ("es", ("Tome 5 mL (10 mg) por la boca 3 veces al día después de comer. "
               "Úselo durante 7 días.")),
        ("fr", ("Prendre 5 mL (10 mg) par la bouche 3 fois par jour après le repas. "
               "Utiliser pendant 7 jours.")),
        ("pl", ("Przyjmować doustnie 5 mL (10 mg) 3 razy na dobę po jedzeniu. "
               "Stosować przez 7 dni.")),
        ("ar", ("تناول 5 مليلتر (10 مليغرام) عن طريق الفم 3 مرات يوميا بعد الطعام. "
               "استعمله 7 أيام.")),
    ],
)  # fmt: skip
def test_a_liquid_is_said_in_ml_and_mg(language: str, sentence: str) -> None:
    dosing = Dosing(
        Use.TAKE,
        FIVE_ML,
        place="by_mouth",
        number=3,
        food=Food.AFTER,
        lasts=Period(7, Span.DAYS),
    )
    assert said(dosing, language, TWO_MG) == sentence


@pytest.mark.parametrize(
    ("number", "polish", "arabic"),
    [
        (1, "1 kapsułkę", "كبسولة واحدة (1)"),
        (2, "2 kapsułki", "كبسولتين (2)"),
        (5, "5 kapsułek", "5 كبسولات"),
        (12, "12 kapsułek", "12 كبسولة"),
        (22, "22 kapsułki", "22 كبسولة"),
    ],
)
def test_capsules_are_counted_as_the_language_counts(number: int, polish: str, arabic: str) -> None:
    dosing = Dosing(Use.TAKE, pieces(number), "capsule", "by_mouth", number=1)
    assert polish in said(dosing, "pl")
    assert arabic in said(dosing, "ar")


def test_times_of_the_day_come_in_the_days_order() -> None:
    at = (DayPart.EVENING, DayPart.MORNING)
    dosing = Dosing(Use.INSERT, pieces(2), "suppository", "rectum", Often.AT, at=at)
    assert said(dosing) == (
        "Insert 2 suppositories into the rectum in the morning and in the evening."
    )


def test_what_is_used_when_needed_says_how_often_at_most() -> None:
    dosing = Dosing(Use.APPLY, place="dry_skin", often=Often.NEEDED, number=4, hours_apart=2)
    assert said(dosing) == (
        "Apply a thin layer to dry skin when needed. Not more than 4 times in 24 hours. "
        "Wait at least 2 hours before the next time."
    )
    with pytest.raises(Refusal, match="as_needed_without_limit"):
        Dosing(Use.APPLY, place="dry_skin", often=Often.NEEDED)


@pytest.mark.parametrize(
    ("strength", "content"),
    [
        (Concentration(Fraction(1, 10), "% w/v"), Amount(Fraction(5), "mg")),
        (Concentration(Fraction(10), "microgram/mL"), Amount(Fraction(50), "microgram")),
        (Concentration(Fraction(100_000), "international unit/mL"),
         Amount(Fraction(500_000), "international unit")),
        (Concentration(Fraction(5), "% w/w"), None),
        (Concentration(Fraction(5), "% v/v"), None),
        (Concentration(Fraction(5), "mg/g"), None),
    ],
)  # fmt: skip
def test_what_5_ml_hold_follows_from_a_strength_by_volume_alone(
    strength: Concentration, content: Amount | None
) -> None:
    assert content_of(FIVE_ML, strength) == content


@pytest.mark.parametrize(
    ("parts", "key"),
    [
        ({"use": Use.TAKE, "place": "by_mouth", "number": 1}, "no_amount"),
        ({"use": Use.TAKE, "amount": Amount(Fraction(0), "mL"), "place": "by_mouth"},
         "not_positive"),
        ({"use": Use.TAKE, "amount": Amount(Fraction(1), "hour"), "place": "by_mouth"},
         "wrong_measure"),
        ({"use": Use.TAKE, "amount": Amount(Fraction(1), "piece"), "place": "by_mouth"},
         "no_unit"),
        ({"use": Use.TAKE, "amount": FIVE_ML, "unit": "capsule", "place": "by_mouth"}, "no_unit"),
        ({"use": Use.TAKE, "amount": FIVE_ML, "place": "scalp", "number": 1}, "no_such_place"),
        ({"use": Use.TAKE, "amount": FIVE_ML, "place": "by_mouth"}, "no_number"),
        ({"use": Use.TAKE, "amount": FIVE_ML, "place": "by_mouth", "often": Often.AT},
         "no_periods"),
        ({"use": Use.TAKE, "amount": FIVE_ML, "place": "by_mouth", "number": 1, "hours_apart": 0},
         "no_number"),
    ],
)  # fmt: skip
def test_what_makes_no_sentence_is_refused(parts: dict[str, object], key: str) -> None:
    with pytest.raises(Refusal) as refused:
        Dosing(**parts)  # type: ignore[arg-type]  # each case names its own fields
    assert refused.value.message.key == f"directions.{key}"


def pieces(number: int) -> Amount:
    return Amount(Fraction(number), "piece")


AMOUNTS = st.one_of(
    st.tuples(st.integers(1, 400).map(pieces), st.sampled_from(UNITS)),
    st.builds(
        lambda number, unit: (Amount(number, unit), ""),
        st.fractions(Fraction(1, 100), 500, max_denominator=100).filter(
            lambda number: (number * 100).denominator == 1
        ),
        st.sampled_from(("mL", "g", "mg", "microgram", "drop")),
    ),
)


@st.composite
def dosings(draw: st.DrawFn) -> Dosing:
    use = draw(st.sampled_from(Use))
    amount, unit = draw(AMOUNTS)
    if use is Use.APPLY and draw(st.booleans()):
        return _dosing(draw, use, None, "")
    return _dosing(draw, use, amount, unit)


def _dosing(draw: st.DrawFn, use: Use, amount: Amount | None, unit: str) -> Dosing:
    often = draw(st.sampled_from(Often))
    counts = often not in (Often.AT, Often.ONCE)
    return Dosing(
        use,
        amount,
        unit,
        draw(st.sampled_from(PLACES[use] or ("",))),
        often,
        draw(st.integers(1, 120)) if counts else None,
        tuple(draw(st.sets(st.sampled_from(DayPart), min_size=1))) if often is Often.AT else (),
        draw(st.sampled_from(Food)),
        draw(st.none() | st.integers(1, 48)),
        draw(st.none() | st.builds(Period, st.integers(1, 120), st.sampled_from(Span))),
    )


def figures(dosing: Dosing, strength: Concentration | None) -> Counter[str]:
    """Return every figure that the directions hold; "once" is a word in every language."""
    found: list[Fraction] = []
    if dosing.amount is not None:
        found.append(dosing.amount.number)
        if strength is not None and dosing.amount.unit == "mL":
            content = content_of(dosing.amount, strength)
            assert content is not None
            found.append(content.number)
    if dosing.often not in (Often.AT, Often.ONCE) and dosing.number != 1:
        found.append(Fraction(dosing.number or 0))
    if dosing.often is Often.NEEDED:
        found.append(Fraction(24))
    found += [Fraction(each) for each in (dosing.hours_apart,) if each]
    if dosing.lasts is not None:
        found.append(Fraction(dosing.lasts.number))
    return Counter(write_number(each, ".").replace("\u202f", "") for each in found)


@pytest.mark.parametrize("language", LANGUAGES)
@given(dosing=dosings(), strength=st.none() | st.just(TWO_MG))
def test_every_dosing_is_whole_sentences_with_each_figure_once(
    language: str, dosing: Dosing, strength: Concentration | None
) -> None:
    text = said(dosing, language, strength)
    assert not re.search(r"[{}]|  | [.,]|\.\.|^ | $", text)
    assert text.endswith(".")
    assert Counter(re.findall(r"\d+(?:\.\d+)?", text.replace("\u202f", ""))) == figures(
        dosing, strength
    )
    assert not loud(lint(text, label=True))


def texts(language: str) -> dict[str, str]:
    path = resource_path("translations", language, "directions.toml")
    whole = tomllib.loads(path.read_text(encoding="utf-8"))
    return dict(_flat({name: part for name, part in whole.items() if isinstance(part, dict)}))


def _flat(node: dict[str, Any], place: str = "") -> Iterator[tuple[str, str]]:
    for name, below in node.items():
        if isinstance(below, dict) and not CATEGORIES.issuperset(below):
            yield from _flat(below, f"{place}.{name}")
        else:
            forms = below.values() if isinstance(below, dict) else (below,)
            yield f"{place}.{name}", " ".join(forms)


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_letter_of_every_direction_is_in_the_label_fonts(language: str) -> None:
    letters = set("".join(texts(language).values()))
    for font in (chain[0] for chain in FONTS.values()):
        assert {sign for sign in letters if ord(sign) not in widths(font)} == set()


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_language_falls_back_to_another(language: str) -> None:
    assert texts(language).keys() == texts("en").keys()
