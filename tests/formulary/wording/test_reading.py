"""How a wording is read by whoever approves it."""

from __future__ import annotations

from formulary.catalogue import shipped_text
from formulary.wording.book import FREE, Submitted, Wording, codes
from formulary.wording.reading import ToRead, in_sentences, to_read


def test_a_plural_is_read_with_a_number_of_each_kind() -> None:
    polish = "one: {n} dzień\nfew: {n} dni\nmany: {n} dni\nother: {n} dnia"
    assert in_sentences(polish, "pl") == ("1 dzień", "2 dni", "5 dni", "1.5 dnia")
    assert in_sentences("one: {n} día\nother: {n} días", "es") == ("1 día", "2 días")


def test_what_is_filled_in_is_left_open() -> None:
    assert in_sentences("Use by {date}", "en") == ("Use by …",)


def test_another_language_has_the_english_with_it() -> None:
    code = "label.warning.sun"
    (read,) = to_read(Submitted("es", (Wording(code, shipped_text("es", code)),)))
    assert read.english == (shipped_text("en", code),)
    (own,) = to_read(Submitted("en", (Wording(code, shipped_text("en", code)),)))
    assert own.english == ()


def test_a_typed_sentence_stays_as_it_is() -> None:
    typed = Wording(FREE, "one: {a brace")
    assert to_read(Submitted("es", (typed,))) == (ToRead(("one: {a brace",)),)


def test_nothing_shipped_shows_a_brace_or_the_name_of_a_plural() -> None:
    for language in ("ar", "de", "en", "es", "fr", "pl"):
        texts = tuple(Wording(code, shipped_text(language, code)) for code in codes())
        lines = [line for each in to_read(Submitted(language, texts)) for line in each.said]
        assert not [line for line in lines if "{" in line or line.startswith(("one:", "other:"))]
