"""What the certificate of the lot at hand says, typed beside the line it is for."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFormLayout, QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from formulary.errors import FormularyError
from formulary.messages import message
from formulary.scaling.lot_text import Lot, Lots, lots_of, read_lot
from ui import theme
from ui.context import Context
from ui.widgets.choice_box import ChoiceBox
from ui.widgets.words import action, button, label, spaced

AREA = "ui_formulas.lot"
FIGURES = ("assay", "loss", "potency")
BASES = (("not_stated", ""), ("as_is", "as is"), ("dried", "dried"), ("anhydrous", "anhydrous"))


class LotForm(QWidget):
    """The lot of one line at a time; ``edited`` tells each change, ``left`` that it is done.

    ``troubles`` are what can't be read, by line: nothing is scaled while there is one.
    """

    edited = Signal()
    left = Signal(int)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._texts: dict[int, dict[str, str]] = {}
        self._lots: dict[int, Lot] = {}
        self.troubles: dict[int, FormularyError] = {}
        self._line = -1
        self._owner: tuple[str, ...] = ()
        self.heading = label(role="quiet")
        self.note = label(role="stop")
        self.figures = {name: self._figure(name) for name in FIGURES}
        self.basis = ChoiceBox(context.text(f"{AREA}.basis"))
        self.basis.fill([(context.text(f"{AREA}.{key}"), value) for key, value in BASES])
        self.basis.activated.connect(self._read)
        self._lay_out()
        self.hide()

    def open_for(self, line: int, ingredient: str) -> None:
        """Show the lot of a line and take its figures."""
        self._line = line
        self.heading.setText(self._context.said(message(f"{AREA}.heading", ingredient=ingredient)))
        texts = self._texts.get(line, {})
        for name, edit in self.figures.items():
            edit.setText(texts.get(name, ""))
        self.basis.choose(texts.get("basis", ""))
        self._show_trouble()
        self.show()
        self.figures["assay"].setFocus()

    def keep_for(self, owner: tuple[str, ...]) -> None:
        """Drop every lot unless it is of this formula with these lines."""
        if owner == self._owner:
            return
        self._owner = owner
        self._texts, self._lots, self.troubles = {}, {}, {}
        self._line = -1
        self.hide()

    def lots(self) -> Lots:
        """Return the lots of all lines."""
        return lots_of(self._lots)

    def trouble(self) -> FormularyError | None:
        """Return what is wrong with a lot as typed, if anything is."""
        return next(iter(self.troubles.values()), None)

    def _figure(self, name: str) -> QLineEdit:
        edit = QLineEdit()
        edit.setAccessibleName(self._context.text(f"{AREA}.{name}"))
        edit.textEdited.connect(self._read)
        edit.returnPressed.connect(self._leave)
        return edit

    def _lay_out(self) -> None:
        text = self._context.text
        form = QFormLayout()
        form.setSpacing(theme.px(4))
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        rows: dict[str, QWidget] = {"assay": self.figures["assay"], "basis": self.basis}
        rows |= {name: self.figures[name] for name in FIGURES[1:]}
        for name, part in rows.items():
            form.addRow(label(text(f"{AREA}.{name}"), "quiet", wrap=False), part)
        acts = QHBoxLayout()
        acts.addWidget(button(action(self, text(f"{AREA}.done"), "F3", self._leave)))
        acts.addWidget(button(action(self, text(f"{AREA}.clear"), "", self._clear)))
        box = QVBoxLayout(self)
        spaced(box, inside=4)
        box.addWidget(self.heading)
        box.addLayout(form)
        box.addWidget(self.note)
        box.addWidget(label(text(f"{AREA}.empty"), "note"))
        box.addLayout(acts)

    def _read(self) -> None:
        line = self._line
        texts = {name: edit.text() for name, edit in self.figures.items()}
        texts["basis"] = str(self.basis.currentData() or "")
        self._texts[line] = texts
        self._lots.pop(line, None)
        self.troubles.pop(line, None)
        try:
            self._lots[line] = read_lot(texts, self._context.house.decimal_sign)
        except FormularyError as error:
            self.troubles[line] = error
        self._show_trouble()
        self.edited.emit()

    def _show_trouble(self) -> None:
        trouble = self.troubles.get(self._line)
        text = self._context.said(trouble.message) if trouble else ""
        self.note.setText(text)
        self.note.setVisible(bool(text))
        self.figures["assay"].setAccessibleDescription(text)

    def _clear(self) -> None:
        for edit in self.figures.values():
            edit.setText("")
        self.basis.choose("")
        self._read()
        self._leave()

    def _leave(self) -> None:
        """Go back to the lines; with a figure in trouble there are none to go back to."""
        if self._line in self.troubles:
            self.figures["assay"].setFocus()
            return
        self.hide()
        self.left.emit(self._line)
