"""A button that opens a menu of acts, each with its own keys."""

from __future__ import annotations

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QPushButton, QWidget

from ui.widgets.words import action, button


class MenuButton(QObject):
    """Acts of ``owner`` behind one ``button``; ``open`` is the act that shows them."""

    def __init__(self, owner: QWidget, words: str, keys: str) -> None:
        super().__init__(owner)
        self._menu = QMenu(owner)
        self._menu.setAccessibleName(words)
        self.open: QAction = action(owner, words, keys, self._open)
        self.button: QPushButton = button(self.open)

    def add(self, act: QAction) -> None:
        """Offer one more act, below the others."""
        self._menu.addAction(act)
        # By its keys, too: an open menu would take all that is typed from then on.
        act.triggered.connect(self._menu.close)

    def _open(self) -> None:
        self._menu.popup(self.button.mapToGlobal(self.button.rect().bottomLeft()))
