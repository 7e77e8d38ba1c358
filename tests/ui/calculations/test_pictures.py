from __future__ import annotations

from fractions import Fraction

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

from formulary.calculating.contraction import contraction_curve
from formulary.calculating.registry import calculation_named
from formulary.catalogue import Catalogue
from tests.ui.at_desk import plain
from ui import theme
from ui.calculations.answer import Question
from ui.calculations.pictures import drawing_of
from ui.calculations.pictures.picture import Drawing

WORDS = {
    "alligation": "For 0.2 %: 1 part of 0.5 %, 3 parts of 0.1 %.",
    "ethanol-dilution": "At 70 % v/v, 2.65 mL are lost for each 100 mL made.",
    "capsule-size": "Capsule size 1 holds 0.5 mL; the powder fills 96.7 % of it.",
    "suppositories": "12 units ordered and 2 spare. Each holds 0.2 g of active and 1.9 g of base.",
}


def drawing(name: str, **changed: str) -> Drawing | None:
    calculation = calculation_named(name)
    typed = dict(calculation.examples) | changed
    return drawing_of(Question(calculation, typed, ".").answered(), Catalogue())


@pytest.mark.parametrize("name", WORDS)
def test_a_picture_says_in_words_what_it_shows(name: str) -> None:
    made = drawing(name)
    assert made is not None
    assert plain(made.said()) == WORDS[name]


@pytest.mark.parametrize("name", WORDS)
def test_a_picture_leaves_ink_on_the_paper(name: str, qapp: QApplication) -> None:
    theme.apply(qapp, type_factor=1.0, dark=False)
    made = drawing(name)
    assert made is not None
    image = QImage(480, made.height, QImage.Format.Format_RGB32)
    image.fill("white")
    blank = image.copy()
    painter = QPainter(image)
    made.paint(painter, QRectF(image.rect()))
    painter.end()
    assert image != blank


def test_a_mixture_of_four_is_drawn_from_the_strongest_down() -> None:
    made = drawing("alligation", sources="1 %; 10 %; 5 %; 20 %", target_strength="8 %")
    assert made is not None
    said = plain(made.said())
    places = [said.index(f" of {strength}") for strength in ("20 %", "10 %", "5 %", "1 %")]
    assert places == sorted(places)


def test_a_capsule_of_a_volume_of_ones_own_has_no_picture() -> None:
    assert drawing("capsule-filling") is None


def test_what_has_no_picture_has_none() -> None:
    assert drawing("pycnometer") is None


def test_the_contraction_is_none_at_both_ends_and_greatest_near_half() -> None:
    curve = contraction_curve(Fraction(1), Fraction(0), Fraction(20), Fraction(20))
    assert abs(curve[0].lost) < Fraction(1, 10**9)
    assert abs(curve[-1].lost) < Fraction(1, 10**9)
    greatest = max(curve, key=lambda each: each.lost)
    assert 48 < greatest.percent < 58
    assert 3 < greatest.lost < 4
