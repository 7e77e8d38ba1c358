"""The filled containers that are here, the most urgent first; no patient shows."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QTreeWidgetItem, QVBoxLayout, QWidget

from formulary.register.shelf import TO_THROW_AWAY, JarOnShelf, JarStanding
from ui import signs
from ui.context import Context
from ui.forms.days import distance, today
from ui.stock.fitted_tree import FittedTree
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

AREA = "ui_register.shelf"
_COLUMNS = ("jar", "formula", "standing", "use_by", "away")
_GIVEN_UP = (4, 1)


class ShelfView(QWidget):
    """Lists jars; ``opened`` tells the lot to open, ``left`` that the person stepped back."""

    opened = Signal(str)
    left = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._jars: tuple[JarOnShelf, ...] = ()
        text = context.text
        headings = [text(f"{AREA}.{each}") for each in _COLUMNS]
        self.list = FittedTree(text(f"{AREA}.name"), headings, _GIVEN_UP)
        self.list.setRootIsDecorated(False)
        self.nothing = label(text(f"{AREA}.nothing"), "quiet")
        self.open = action(self.list, text("ui_register.open"), "Return|Enter", self._open)
        self.back = action(self, text("ui_register.back"), "Esc", self.left.emit)
        self.list.doubleClicked.connect(lambda _: self._open())
        row = FlowLayout()
        for made in (self.open, self.back):
            row.addWidget(button(made))
        box = QVBoxLayout(self)
        spaced(box, inside=12, around=24)
        box.addWidget(label(text(f"{AREA}.name"), "title"))
        box.addWidget(self.nothing)
        box.addWidget(self.list, 1)
        box.addLayout(row)
        self._end = QWidget()
        box.addWidget(self._end)

    def show_jars(self, jars: Sequence[JarOnShelf]) -> None:
        """Show what is here."""
        self._jars = tuple(jars)
        if self.isVisible():
            self._fill()

    def take_focus(self) -> None:
        """Begin with the list, or with the way back where it is empty."""
        self._fill()
        (self.list if self._jars else self).setFocus()

    def _fill(self) -> None:
        jars = self._jars
        icons = {each: signs.icon(sign_of(each)) for each in {jar.standing for jar in jars}}
        self.list.clear()
        written = self._context.catalogue.written
        for each in self._jars:
            away = self._context.said(distance(today(self._context), each.use_by))
            standing = self._context.text(f"register.shelf.{each.standing.value}")
            cells = [each.jar_id, each.title, standing, written(each.use_by), away]
            item = QTreeWidgetItem(self.list, cells)
            item.setIcon(2, icons[each.standing])
        self.list.setVisible(bool(jars))
        self._end.setVisible(not jars)
        self.nothing.setVisible(not jars)
        self.open.setEnabled(bool(jars))
        if jars:
            self.list.setCurrentIndex(self.list.model().index(0, 0))
        self.list.fit()

    def _open(self) -> None:
        row = self.list.currentIndex().row()
        if 0 <= row < len(self._jars):
            self.opened.emit(self._jars[row].lot)


def sign_of(standing: JarStanding) -> signs.Sign:
    """Return the sign that stands beside how a jar stands."""
    if standing in TO_THROW_AWAY:
        return signs.Sign.OCTAGON
    return signs.Sign.TRIANGLE if standing is JarStanding.ENDING else signs.Sign.TICK
