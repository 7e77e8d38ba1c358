from __future__ import annotations

from dataclasses import replace

import pytest
from PIL import ImageFont

from formulary.errors import Refusal
from formulary.labels.metrics import FONTS, Weight, require_printable, runs, width_mm, widths
from formulary.labels.page import Field
from formulary.labels.wording import statements
from formulary.resources import resource_path
from tests.formulary.labels.samples import SHELF

NEEDED = "Łőğışñ ΩμέÆ Жщґђ µ×·–≤≥±½⅓℞°‰²₂№€„“"


@pytest.mark.parametrize("weight", Weight)
def test_the_fonts_have_the_signs_that_labels_need(weight: Weight) -> None:
    for character in NEEDED:
        assert any(ord(character) in widths(font) for font in FONTS[weight])


@pytest.mark.parametrize("weight", Weight)
def test_all_digits_are_equally_wide(weight: Weight) -> None:
    assert len({width_mm(digit, weight, 9) for digit in "0123456789"}) == 1


def test_width_grows_with_the_size() -> None:
    assert width_mm("Salbe", Weight.BOLD, 12) == pytest.approx(
        2 * width_mm("Salbe", Weight.BOLD, 6)
    )


def test_runs_in_one_font_make_up_the_whole_text() -> None:
    (run,) = runs("≤ 25 °C", Weight.REGULAR, 9)
    assert run.text == "≤ 25 °C"
    assert run.font == "DejaVuSansCondensed"


@pytest.mark.parametrize(
    ("character", "key"),
    [
        ("💊", "label.no_glyph"),
        ("药", "label.no_glyph"),
        ("\N{COMBINING ACUTE ACCENT}", "label.script_not_set"),
        ("\N{ARABIC FATHA}", "label.script_not_set"),
        ("\N{DEVANAGARI LETTER KA}", "label.no_glyph"),
        ("\N{RIGHT-TO-LEFT OVERRIDE}", "label.script_not_set"),
        ("\N{ZERO WIDTH SPACE}", "label.script_not_set"),
        ("\x07", "label.script_not_set"),
    ],
)
def test_a_character_that_would_vanish_or_be_wrong_is_refused(character: str, key: str) -> None:
    with pytest.raises(Refusal) as refusal:
        require_printable(f"Salbe {character}", Field.NAME)
    said = dict(refusal.value.message.parameters)
    assert refusal.value.message.key == key
    assert said["code_point"] == f"U+{ord(character):04X}"
    assert "label.field.name" in str(said["field"])


def test_the_refusal_reaches_the_whole_label() -> None:
    with pytest.raises(Refusal, match="no_glyph"):
        statements(replace(SHELF, patient="张", directions="Apply."))


def test_an_accent_typed_on_its_own_is_joined_to_its_letter() -> None:
    content = replace(SHELF, name="Cre\N{COMBINING GRAVE ACCENT}me")
    assert statements(content)[Field.NAME] == "Crème"


@pytest.mark.parametrize("weight", Weight)
@pytest.mark.parametrize("text", ["60 g (q.s.)", "Édes", "Ổ", "·", "0123456789", "Ģąç|"])
def test_the_ink_of_a_text_lies_within_what_is_said_of_it(weight: Weight, text: str) -> None:
    (run,) = runs(text, weight, 9)
    drawn = ImageFont.truetype(str(resource_path("fonts", f"{run.font}.ttf")), 1000)
    _, top, _, bottom = drawn.getbbox(text, anchor="ls")
    assert -top / 1000 <= run.ascent + 0.002
    assert bottom / 1000 <= run.descent + 0.002


def test_every_figure_takes_the_same_room() -> None:
    for weight in Weight:
        found = {(run.ascent, run.descent) for n in "0123456789" for run in runs(n, weight, 9)}
        assert len(found) == 1
