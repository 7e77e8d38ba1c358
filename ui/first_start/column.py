"""A page of one column in the middle, which scrolls where the window is too low for it."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from ui import theme
from ui.widgets.words import scrolled, spaced


def column(name: str, measure: int) -> tuple[QScrollArea, QVBoxLayout]:
    """Return the whole and the box of a column that gets no wider than its measure in pixels."""
    inner, middle = QWidget(), QWidget()
    inner.setMaximumWidth(theme.px(measure))
    box = QVBoxLayout(inner)
    spaced(box, inside=12, around=24)
    outer = QHBoxLayout(middle)
    spaced(outer, inside=0)
    outer.addStretch(1)
    outer.addWidget(inner, 100)
    outer.addStretch(1)
    return scrolled(middle, name), box
