"""First start: open the sample pharmacy, begin a house of one's own, or open what there is."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFormLayout, QLineEdit, QVBoxLayout, QWidget

from formulary.messages import message
from ui.context import Context
from ui.files import ask_to_open
from ui.first_start.column import column
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, hairline, label, spaced

AREA = "ui_first_start"
MEASURE = 640


class FirstStartPage(QWidget):
    """Asks what to open; each answer is a signal."""

    sample_wanted = Signal()
    house_wanted = Signal(str, str)
    file_wanted = Signal(str)
    restore_wanted = Signal()
    help_page = "first-start"

    def __init__(self, context: Context, known: str = "") -> None:
        """Offer a backup in the place of the file that is ``known``, where there is one."""
        super().__init__()
        self.setObjectName("paper")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._context = context
        text = context.text
        self.sample = action(self, text(f"{AREA}.sample"), "Return|Enter", self._sample)
        self.open = action(self, text(f"{AREA}.open"), "Ctrl+O", self._open)
        restoring = text(f"{AREA}.restore", name=Path(known).name)
        self.restore = action(self, restoring, "Ctrl+Shift+R", self.restore_wanted.emit)
        self.restore.setVisible(bool(known))
        self.restore.setEnabled(bool(known))
        self.begin = action(self, text(f"{AREA}.create"), "Ctrl+Return", self._create)
        self.house = QLineEdit()
        self.person = QLineEdit()
        self.address = QLineEdit()
        self._sample_button = button(self.sample, accent=True)
        self._lay_out()

    def shown(self) -> None:
        """Come to the front with the accent act ready."""
        self._sample_button.setFocus()

    def take(self, subject: object) -> None:
        """Nothing is handed over before anything is open."""

    def _lay_out(self) -> None:
        text = self._context.text
        whole, box = column(text(f"{AREA}.title"), MEASURE)
        box.addWidget(label(text(f"{AREA}.title"), "title"))
        box.addWidget(label(text(f"{AREA}.sample_about")))
        box.addLayout(_row(self._sample_button))
        box.addWidget(hairline())
        box.addWidget(label(text(f"{AREA}.house_heading"), "heading"))
        box.addLayout(self._form())
        box.addLayout(_row(button(self.begin)))
        box.addWidget(hairline())
        box.addWidget(label(text(f"{AREA}.open_heading"), "heading"))
        box.addWidget(label(text(f"{AREA}.open_about")))
        box.addLayout(self._address_form())
        box.addLayout(_row(button(self.open), button(self.restore)))
        box.addStretch(1)
        outer = QVBoxLayout(self)
        spaced(outer, inside=0)
        outer.addWidget(whole)

    def _form(self) -> QFormLayout:
        form = QFormLayout()
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        for name, edit in (("house", self.house), ("person", self.person)):
            words = self._context.text(f"{AREA}.{name}")
            edit.setAccessibleName(words)
            edit.returnPressed.connect(self._create)
            form.addRow(label(words, "quiet", wrap=False), edit)
        return form

    def _address_form(self) -> QFormLayout:
        form = QFormLayout()
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        words = self._context.text(f"{AREA}.address")
        self.address.setAccessibleName(words)
        self.address.setPlaceholderText(self._context.text(f"{AREA}.address_example"))
        self.address.returnPressed.connect(self._open_address)
        form.addRow(label(words, "quiet", wrap=False), self.address)
        return form

    def _open_address(self) -> None:
        address = self.address.text().strip()
        if address:
            self.file_wanted.emit(address)

    def _sample(self) -> None:
        """Enter in a form does what that asks for; anywhere else it opens the sample."""
        if self.address.hasFocus():
            self._open_address()
        elif self.house.hasFocus() or self.person.hasFocus():
            self._create()
        else:
            self.sample_wanted.emit()

    def _create(self) -> None:
        house, person = self.house.text().strip(), self.person.text().strip()
        if not (house and person):
            self._context.say.refuse(message(f"{AREA}.names_needed"))
            (self.person if house else self.house).setFocus()
            return
        self.house_wanted.emit(house, person)

    def _open(self) -> None:
        title = self._context.text(f"{AREA}.open")
        kinds = self._context.text(f"{AREA}.kinds")
        ask_to_open(self, title, lambda path: self.file_wanted.emit(str(path)), kinds)


def _row(*widgets: QWidget) -> FlowLayout:
    row = FlowLayout()
    for each in widgets:
        row.addWidget(each)
    return row
