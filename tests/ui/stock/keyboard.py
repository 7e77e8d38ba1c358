"""Keys pressed wherever the focus is."""

from __future__ import annotations

from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget


def keys(widget: QWidget, sequence: str) -> None:
    """Press keys, such as Ctrl+E, where the focus is, else on the widget."""
    QTest.keySequence(QApplication.focusWidget() or widget, QKeySequence(sequence))


def typed(text: str) -> None:
    """Type a text where the focus is."""
    focused = QApplication.focusWidget()
    assert focused is not None
    QTest.keyClicks(focused, text)
