"""Room on the page: what scrolls downwards only, and an index beside it that leaves it enough."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

from ui import theme

LARGEST_SHARE = 0.36
"""An index takes at most so much of the page's width."""


def leaf(inside: QWidget) -> QScrollArea:
    """Return a part of the page that scrolls downwards where its content is long."""
    made = QScrollArea()
    made.setWidget(inside)
    made.setWidgetResizable(True)
    made.setFrameShape(QFrame.Shape.NoFrame)
    made.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    made.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    inside.setAutoFillBackground(False)
    made.viewport().setAutoFillBackground(False)
    return made


def fit_index(index: QWidget, page_width: int, wanted: int) -> None:
    """Give an index its width, less where the page is narrow for its type."""
    index.setFixedWidth(min(theme.px(wanted), round(page_width * LARGEST_SHARE)))
