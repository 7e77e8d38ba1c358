"""How the window looks: one colour pair per meaning, few sizes of type, a grid of 4 pixels."""

from __future__ import annotations

from dataclasses import dataclass, fields
from enum import Enum

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFont, QPalette
from PySide6.QtWidgets import QApplication

from formulary.resources import resource_path
from ui.style_sheet import style_sheet

REFERENCE_POINTS = 10.0
"""The system's type size at which ours has its own; a larger one enlarges everything with it."""


class Size(Enum):
    """The sizes of type, in points before scaling; the last two are read from a bench away."""

    NOTE = 10.5
    TEXT = 12.0
    HEADING = 14.0
    TITLE = 20.0
    TASK = 28.0
    FIGURE = 48.0


@dataclass(frozen=True, slots=True)
class Colours:
    """One colour per meaning; see the palette tests for their measured contrast."""

    paper: str
    panel: str
    ink: str
    quiet: str
    edge: str
    hairline: str
    accent: str
    on_accent: str
    inside: str
    thought: str
    stop: str


LIGHT = Colours(
    paper="#FBFAF6",
    panel="#F1EFE8",
    ink="#1E2328",
    quiet="#5B6168",
    edge="#827E72",
    hairline="#D8D4C8",
    accent="#1F4F82",
    on_accent="#FFFFFF",
    inside="#2B6637",
    thought="#835400",
    stop="#A3201F",
)
DARK = Colours(
    paper="#1C1F22",
    panel="#25292D",
    ink="#E9E7E1",
    quiet="#A9AEB3",
    edge="#7C848C",
    hairline="#3A4046",
    accent="#8FBBE9",
    on_accent="#1C1F22",
    inside="#86C894",
    thought="#E3B25B",
    stop="#F09088",
)


@dataclass
class _Look:
    """What is in force now; set by :func:`apply` alone."""

    colours: Colours = LIGHT
    factor: float = 1.0
    system_points: float = 0.0
    dark: bool | None = None


_look = _Look()


def colours() -> Colours:
    """Return the palette of the moment."""
    return _look.colours


def factor() -> float:
    """Return how much larger than its own size the type is shown."""
    return _look.factor


def px(length: float) -> int:
    """Return a length of the 4 px grid, grown with the type."""
    return round(length * _look.factor)


def font(size: Size, *, bold: bool = False, italic: bool = False) -> QFont:
    """Return the interface font in one of the sizes, with figures of equal width."""
    made = QFont(QApplication.font())
    made.setPointSizeF(size.value * _look.factor)
    made.setBold(bold)
    made.setItalic(italic)
    made.setFeature(QFont.Tag("tnum"), 1)
    return made


def follow_system(app: QApplication) -> None:
    """Apply the system's look now and whenever it changes."""
    apply(app)
    hints = app.styleHints()
    hints.colorSchemeChanged.connect(lambda _: apply(app))
    accessibility = hints.accessibility()
    accessibility.contrastPreferenceChanged.connect(lambda _: apply(app))


def apply(app: QApplication, *, type_factor: float | None = None, dark: bool | None = None) -> None:
    """Put the look in force: light or dark as the system has it, high contrast before both.

    ``type_factor`` and ``dark`` overrule the system, from then on for ``dark``.
    """
    if dark is not None:
        _look.dark = dark
    if not _look.system_points:
        _look.system_points = app.font().pointSizeF()
        app.setStyle("Fusion")
    _look.factor = type_factor or max(1.0, _look.system_points / REFERENCE_POINTS)
    _look.colours = _chosen(app)
    app.setPalette(palette(_look.colours))
    base = app.font()
    base.setPointSizeF(Size.TEXT.value * _look.factor)
    app.setFont(base)
    app.setStyleSheet(style_sheet(_values()))


def high_contrast(app: QApplication) -> bool:
    """Whether the system asks for high contrast."""
    # Named one by one: the bindings free the second as soon as nobody holds the first.
    hints = app.styleHints()
    accessibility = hints.accessibility()
    return accessibility.contrastPreference() == Qt.ContrastPreference.HighContrast


def of_system(system: QPalette) -> Colours:
    """Return the system's own colours under our meanings; signs and words tell them apart."""
    ink = system.color(QPalette.ColorRole.WindowText).name()
    paper = system.color(QPalette.ColorRole.Base).name()
    accent = system.color(QPalette.ColorRole.Highlight).name()
    on_accent = system.color(QPalette.ColorRole.HighlightedText).name()
    return Colours(paper, paper, ink, ink, ink, ink, accent, on_accent, ink, ink, ink)


def palette(chosen: Colours) -> QPalette:
    """Return Qt's palette for our colours."""
    made = QPalette()
    for role, colour in {
        QPalette.ColorRole.Window: chosen.paper,
        QPalette.ColorRole.WindowText: chosen.ink,
        QPalette.ColorRole.Base: chosen.paper,
        QPalette.ColorRole.AlternateBase: chosen.panel,
        QPalette.ColorRole.Text: chosen.ink,
        QPalette.ColorRole.PlaceholderText: chosen.quiet,
        QPalette.ColorRole.Button: chosen.panel,
        QPalette.ColorRole.ButtonText: chosen.ink,
        QPalette.ColorRole.Highlight: chosen.accent,
        QPalette.ColorRole.HighlightedText: chosen.on_accent,
        QPalette.ColorRole.ToolTipBase: chosen.panel,
        QPalette.ColorRole.ToolTipText: chosen.ink,
        QPalette.ColorRole.Link: chosen.accent,
        QPalette.ColorRole.Mid: chosen.edge,
        QPalette.ColorRole.Midlight: chosen.hairline,
    }.items():
        made.setColor(role, QColor(colour))
    for role in (QPalette.ColorRole.ButtonText, QPalette.ColorRole.Text):
        made.setColor(QPalette.ColorGroup.Disabled, role, QColor(chosen.quiet))
    return made


def _chosen(app: QApplication) -> Colours:
    if high_contrast(app):
        return of_system(app.style().standardPalette())
    dark = app.styleHints().colorScheme() == Qt.ColorScheme.Dark
    if _look.dark is not None:
        dark = _look.dark
    return DARK if dark else LIGHT


def _values() -> dict[str, str]:
    """Return what the style sheet's places are filled with."""
    chosen = {each.name: str(getattr(_look.colours, each.name)) for each in fields(Colours)}
    types = {each.name.lower(): f"{each.value * _look.factor:g}pt" for each in Size}
    grid = {f"px{step}": f"{px(step)}px" for step in (2, 4, 6, 8, 12, 16, 24, 36)}
    light = QColor(_look.colours.on_accent).lightness() > QColor(_look.colours.accent).lightness()
    tick = resource_path("pictures", f"tick_{'light' if light else 'dark'}.png").as_posix()
    return chosen | types | grid | {"tick": tick}
