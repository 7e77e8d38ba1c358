"""How many dots a millimetre has on this screen, corrected by a ruler held against it."""

from __future__ import annotations

from fractions import Fraction

from PySide6.QtCore import QSettings
from PySide6.QtGui import QScreen

MM_PER_INCH = 25.4
RULED_MM = 100
LEAST_SENSIBLE, MOST_SENSIBLE = Fraction(1, 3), Fraction(3)
"""A screen that is off by more than this was mistyped, not measured."""


def dots_per_inch(screen: QScreen) -> float:
    """Return the screen's real dots per inch in the window's own pixels, corrected."""
    return screen.physicalDotsPerInch() * float(correction(screen))


def correction(screen: QScreen) -> Fraction:
    """Return what the screen's own figure is multiplied by; 1 where nobody measured."""
    try:
        kept = Fraction(str(QSettings().value(_place(screen), "1")))
    except (ValueError, ZeroDivisionError):
        return Fraction(1)
    return kept if LEAST_SENSIBLE <= kept <= MOST_SENSIBLE else Fraction(1)


def correct(screen: QScreen, measured_mm: Fraction) -> bool:
    """Take what a real ruler says of 100 mm on the screen; False where that can't be."""
    if measured_mm <= 0:
        return False
    wanted = correction(screen) * RULED_MM / measured_mm
    if not LEAST_SENSIBLE <= wanted <= MOST_SENSIBLE:
        return False
    QSettings().setValue(_place(screen), str(wanted.limit_denominator(10000)))
    return True


def _place(screen: QScreen) -> str:
    return f"screen/{screen.name()}/correction"
