"""The list of calculations with its search field, and those used last."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QLineEdit, QVBoxLayout, QWidget

from formulary.calculating.search import Entry, found, near
from ui.calculations.entries import entries
from ui.calculations.recent import recent
from ui.context import Context
from ui.formulas.index_model import Role
from ui.formulas.index_view import IndexView
from ui.widgets.choice_box import ChoiceBox
from ui.widgets.words import action, label, spaced

AREA = "ui_calculations"
_NAME = int(Qt.ItemDataRole.UserRole)


class Index(QWidget):
    """``chosen`` tells the name of the one come to, ``entered`` that one goes on into it.

    ``missed`` tells what was looked for in vain.
    """

    chosen = Signal(str)
    entered = Signal()
    missed = Signal(str)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._every = entries(context.catalogue)
        self._names: list[str] = []
        self.setObjectName("index")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        text = context.text
        self.search = QLineEdit()
        self.search.setAccessibleName(text(f"{AREA}.search"))
        self.search.setPlaceholderText(text(f"{AREA}.search"))
        self.search.setClearButtonEnabled(True)
        self.recent = ChoiceBox(text(f"{AREA}.recent"))
        self.nothing = label(text(f"{AREA}.not_found"), "quiet")
        self.nothing.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.list = IndexView(text(f"{AREA}.list"))
        self._model = QStandardItemModel(self)
        self.list.setModel(self._model)
        self._lay_out()
        self._connect()
        self.show_recent()
        self._show()

    def current(self) -> str:
        """Return the name of the entry come to, "" for none."""
        row = self.list.currentIndex().row()
        return self._names[row] if row >= 0 else ""

    def choose(self, name: str) -> None:
        """Come to an entry, looking past the search where that hides it."""
        if name not in self._names:
            self.search.clear()
            self._show()
        if name in self._names:
            self.list.setCurrentIndex(self._model.index(self._names.index(name), 0))

    def titles(self) -> list[str]:
        """Return the titles in view, in their order."""
        rows = range(self._model.rowCount())
        return [self._model.item(row).text() for row in rows]

    def near(self) -> tuple[str, ...]:
        """Return words to try in place of those that find nothing."""
        return near(self._every, self.search.text())

    def look_for(self, words: str) -> None:
        """Look for these words, as if they were typed."""
        self.search.setText(words)
        self._show()
        self.search.setFocus()

    def show_recent(self) -> None:
        """Offer the calculations used last."""
        titles = {each.name: each.title for each in self._every}
        used = [(titles[name], name) for name in recent() if name in titles]
        self.recent.fill([(self._context.text(f"{AREA}.recent"), ""), *used])
        self.recent.choose("")
        self.recent.setEnabled(bool(used))

    def _lay_out(self) -> None:
        box = QVBoxLayout(self)
        spaced(box, inside=8, around=12)
        for widget in (self.search, self.recent, self.nothing):
            box.addWidget(widget)
        box.addWidget(self.list, 1)

    def _connect(self) -> None:
        text = self._context.text
        self.search.textEdited.connect(lambda _: self._show())
        self.search.returnPressed.connect(self._go_on)
        action(self.search, text(f"{AREA}.into_list"), "Down", self.list.setFocus)
        self.list.selectionModel().currentChanged.connect(lambda *_: self._tell())
        self.list.activated.connect(lambda _: self.entered.emit())
        self.recent.activated.connect(self._chosen_recent)

    def _go_on(self) -> None:
        if self.current():
            self.entered.emit()

    def _tell(self) -> None:
        if name := self.current():
            self.chosen.emit(name)

    def _chosen_recent(self) -> None:
        name = str(self.recent.currentData() or "")
        self.recent.choose("")
        if name:
            self.choose(name)
            self.entered.emit()

    def _show(self) -> None:
        before = self.current()
        fitting = found(self._every, self.search.text())
        self.list.selectionModel().blockSignals(True)
        self._model.clear()
        for each in fitting:
            self._model.appendRow(_item(each))
        self.list.selectionModel().blockSignals(False)
        self._names = [each.name for each in fitting]
        self.nothing.setVisible(not fitting)
        self.list.setVisible(bool(fitting))
        if fitting:
            # Enter goes into what fits the words best, whatever was open before.
            searching = bool(self.search.text().strip())
            row = 0 if searching or before not in self._names else self._names.index(before)
            self.list.setCurrentIndex(self._model.index(row, 0))
        else:
            self.missed.emit(self.search.text())


def _item(entry: Entry) -> QStandardItem:
    item = QStandardItem(entry.title)
    item.setEditable(False)
    item.setData(entry.name, _NAME)
    item.setData(entry.about, Role.KEEPING)
    item.setData(f"{entry.title}. {entry.about}", Qt.ItemDataRole.AccessibleTextRole)
    return item
