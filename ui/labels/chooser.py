"""Where a preparation is chosen when none is yet: those started last."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from formulary.store import RegisterRow
from ui import theme
from ui.context import Context, PageName
from ui.widgets.words import action, button, label, spaced

RECENT = 30
WIDEST = 760


class Chooser(QWidget):
    """One sentence, and the preparations started last, newest first; Enter takes one."""

    chosen = Signal(str)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self.sentence = label()
        self.list = QListWidget()
        self.list.setAccessibleName(context.text("ui_labels.choose.name"))
        self.list.itemActivated.connect(self._take)
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
        self.list.setMaximumWidth(theme.px(WIDEST))

    def reload(self) -> None:
        """Ask for the preparations started last."""
        self._context.do(
            lambda desk: desk.store.register("", RECENT), self._show, lane="labels.recent"
        )

    def _show(self, rows: Sequence[RegisterRow]) -> None:
        self.list.clear()
        for row in rows:
            item = QListWidgetItem(self._said(row), self.list)
            item.setData(Qt.ItemDataRole.UserRole, row.lot)
        key = "ui_labels.choose.which" if rows else "ui_labels.choose.nothing"
        self.sentence.setText(self._context.text(key))
        self.list.setVisible(bool(rows))
        self._formulas_button.setVisible(not rows)
        if not self.isVisible():
            return
        if rows:
            self.list.setCurrentRow(0)
            self.list.setFocus()
        else:
            self._formulas_button.setFocus()

    def _said(self, row: RegisterRow) -> str:
        stage = self._context.text(f"ui_register.stage.{row.stage.value}")
        return self._context.text(
            "ui_labels.choose.row",
            lot=row.lot,
            title=row.title,
            target=row.target,
            made=row.made_on,
            stage=stage,
        )

    def _take(self, item: QListWidgetItem) -> None:
        self.chosen.emit(str(item.data(Qt.ItemDataRole.UserRole)))
