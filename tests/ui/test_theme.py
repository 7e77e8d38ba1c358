"""The palette's contrast, measured as WCAG 2.2 defines it, and what wins over it."""

from __future__ import annotations

import math

import pytest
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QApplication

from ui import theme
from ui.theme import DARK, LIGHT, Colours, Size

TEXT, EDGE = 5.4, 3.0
BOTH = pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
GROUNDS = ("paper", "panel")


def luminance(colour: str) -> float:
    """Return the relative luminance of a colour (WCAG 2.2)."""
    measured = QColor(colour)
    parts = (measured.redF(), measured.greenF(), measured.blueF())
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else math.pow((part + 0.055) / 1.055, 2.4) for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours (WCAG 2.2)."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def test_black_on_white_has_the_known_ratio() -> None:
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)


@BOTH
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("ink", ["ink", "quiet", "accent", "inside", "thought", "stop"])
def test_text_is_readable_on_both_grounds(colours: Colours, ground: str, ink: str) -> None:
    assert contrast(getattr(colours, ink), getattr(colours, ground)) >= TEXT


@BOTH
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("edge", ["edge", "accent"])
def test_edges_and_the_focus_ring_are_seen(colours: Colours, ground: str, edge: str) -> None:
    assert contrast(getattr(colours, edge), getattr(colours, ground)) >= EDGE


@BOTH
def test_the_accent_act_is_readable(colours: Colours) -> None:
    assert contrast(colours.on_accent, colours.accent) >= TEXT


def test_high_contrast_takes_the_systems_own_colours() -> None:
    system = QPalette()
    system.setColor(QPalette.ColorRole.Base, QColor("#000000"))
    system.setColor(QPalette.ColorRole.WindowText, QColor("#FFFF00"))
    taken = theme.of_system(system)
    assert (taken.paper, taken.ink, taken.stop) == ("#000000", "#ffff00", "#ffff00")


def test_type_and_grid_grow_together(qapp: QApplication) -> None:
    theme.apply(qapp, type_factor=2.0, dark=False)
    assert theme.font(Size.TITLE).pointSizeF() == 40
    assert theme.px(4) == 8
    theme.apply(qapp, type_factor=1.0)
    assert theme.font(Size.TITLE).pointSizeF() == 20


def test_dark_is_put_in_force_live(qapp: QApplication) -> None:
    theme.apply(qapp, type_factor=1.0, dark=True)
    dark = qapp.palette().color(QPalette.ColorRole.Window).name()
    theme.apply(qapp, type_factor=1.0, dark=False)
    light = qapp.palette().color(QPalette.ColorRole.Window).name()
    assert (dark, light) == (DARK.paper.lower(), LIGHT.paper.lower())
