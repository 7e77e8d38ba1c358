"""Where a preparation is chosen when none is yet: those started last."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from formulary.store import RegisterRow
from formulary.verbs.list_register import Wanted, list_register
from ui.context import Context, PageName
from ui.register.register_model import Column, RegisterModel
from ui.register.register_table import RegisterTable
from ui.widgets.words import action, button, label, spaced

RECENT = 30
_LEFT_OUT = (Column.VERSION, Column.STARTED_BY)


class Chooser(QWidget):
    """One sentence, and the preparations started last, newest first; Enter takes one."""

    chosen = Signal(str)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self.sentence = label()
        self._model = RegisterModel(context, self)
        self.list = RegisterTable(context.text("ui_labels.choose.name"), self._model, _LEFT_OUT)
        self.take = action(
            self.list, context.text("ui_labels.choose.take"), "Return|Enter", self._take
        )
        self.list.doubleClicked.connect(lambda _: self._take())
        self.formulas = action(
            self,
            context.text("ui_labels.choose.formulas"),
            "",
            lambda: context.go(PageName.FORMULAS),
        )
        self._formulas_button = button(self.formulas, accent=True)
        self._formulas_button.setAutoDefault(True)
        box = QVBoxLayout(self)
        spaced(box, inside=12, around=24)
        box.addWidget(label(context.text("ui_labels.choose.heading"), "heading"))
        box.addWidget(self.sentence)
        box.addWidget(self._formulas_button, 0, Qt.AlignmentFlag.AlignLeft)
        box.addWidget(self.list, 1)
        self._end = QWidget()
        box.addWidget(self._end, 1)

    def reload(self) -> None:
        """Ask for the preparations started last."""
        self._context.do(
            lambda desk: list_register(desk.store, Wanted(), RECENT),
            self._show,
            lane="labels.recent",
        )

    def _show(self, rows: Sequence[RegisterRow]) -> None:
        self._model.show_rows(rows)
        key = "ui_labels.choose.which" if rows else "ui_labels.choose.nothing"
        self.sentence.setText(self._context.text(key))
        self.list.setVisible(bool(rows))
        self._formulas_button.setVisible(not rows)
        self._end.setVisible(not rows)
        if not self.isVisible():
            return
        if rows:
            self.list.make_current(0)
            self.list.setFocus()
        else:
            self._formulas_button.setFocus()

    def _take(self) -> None:
        lot = self.list.current_lot()
        if lot:
            self.chosen.emit(lot)
