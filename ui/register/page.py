"""The page *Register*: everything started, newest first; no person outside the house shows."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit, QStackedLayout, QVBoxLayout, QWidget

from formulary.store import RegisterRow
from ui import theme
from ui.context import Context, PageName
from ui.register.details import Details, Made, read_made
from ui.register.register_model import PAGE, RegisterModel
from ui.register.register_table import RegisterTable
from ui.widgets.words import action, button, label, spaced


class RegisterPage(QWidget):
    """Lists preparations; Enter opens one, its labels are one act further."""

    help_page = "register"

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._handed_over = False
        self.search = QLineEdit()
        self.search.setAccessibleName(context.text("ui_register.search"))
        self.search.setPlaceholderText(context.text("ui_register.search_hint"))
        self.search.setClearButtonEnabled(True)
        self.model = RegisterModel(context, self)
        self.table = RegisterTable(context.text("ui_register.name"), self.model)
        self.details = Details(context)
        self.nothing = label(role="quiet")
        self._to_formulas = action(
            self,
            context.text("ui_labels.choose.formulas"),
            "",
            lambda: context.go(PageName.FORMULAS),
        )
        self._formulas_button = button(self._to_formulas, accent=True)
        self._formulas_button.setAutoDefault(True)
        self._lay_out()
        self._connect()

    def take(self, subject: object) -> None:
        """Show the details of a lot."""
        if isinstance(subject, str):
            self._handed_over = True
            self._open(subject)

    def shown(self) -> None:
        """Show the list, asked for anew, unless a lot was handed over."""
        self._ask()
        if not self._handed_over:
            self._stack.setCurrentIndex(0)
            self.search.setFocus()
        self._handed_over = False

    def _lay_out(self) -> None:
        listing = QWidget()
        box = QVBoxLayout(listing)
        spaced(box, inside=12, around=24)
        self.search.setMaximumWidth(theme.px(480))
        box.addWidget(self.search)
        box.addWidget(self.nothing)
        box.addWidget(self._formulas_button, 0, Qt.AlignmentFlag.AlignLeft)
        box.addWidget(self.table, 1)
        self._end = QWidget()
        box.addWidget(self._end, 1)
        self._stack = QStackedLayout(self)
        self._stack.addWidget(listing)
        self._stack.addWidget(self.details)
        self.nothing.hide()
        self._formulas_button.hide()

    def _connect(self) -> None:
        text = self._context.text
        self.open_details = action(
            self.table, text("ui_register.open"), "Return|Enter", self._open_current
        )
        self.labels = action(self.table, text("ui_register.labels"), "Ctrl+L", self._label_current)
        action(self.table, text("ui_register.to_search"), "Esc", self.search.setFocus)
        self.table.doubleClicked.connect(lambda _: self._open_current())
        self.search.textEdited.connect(lambda _: self._ask())
        self.search.returnPressed.connect(self._into_table)
        action(self.search, text("ui_register.into_list"), "Down", self._into_table)
        self.model.more_wanted.connect(self._ask_more)
        self.details.left.connect(self._step_back)

    def _ask(self) -> None:
        wanted = self.search.text()
        self._context.do(
            lambda desk: desk.store.register(wanted, PAGE, 0), self._arrived, lane="register.rows"
        )

    def _ask_more(self, offset: int) -> None:
        wanted = self.search.text()
        self._context.do(
            lambda desk: desk.store.register(wanted, PAGE, offset),
            self.model.add_rows,
            lane="register.rows",
        )

    def _arrived(self, rows: Sequence[RegisterRow]) -> None:
        lot = self.table.current_lot()
        self.model.show_rows(rows)
        empty = not rows
        sought = bool(self.search.text().strip())
        key = "ui_register.not_found" if sought else "ui_register.nothing"
        self.nothing.setText(self._context.text(key))
        self.nothing.setVisible(empty)
        self._formulas_button.setVisible(empty and not sought)
        self.table.setVisible(not empty)
        self._end.setVisible(empty)
        if rows:
            self.table.make_current(max(0, self.model.row_of(lot)))

    def _into_table(self) -> None:
        if self.table.isVisible():
            self.table.setFocus()

    def _open_current(self) -> None:
        lot = self.table.current_lot()
        if lot:
            self._open(lot)

    def _label_current(self) -> None:
        lot = self.table.current_lot()
        if lot:
            self._context.go(PageName.LABELS, lot)

    def _open(self, lot: str) -> None:
        self._context.do(
            lambda desk: read_made(desk, lot), self._show_details, lane="register.details"
        )

    def _show_details(self, made: Made) -> None:
        self._stack.setCurrentIndex(1)
        self.details.show_made(made)

    def _step_back(self) -> None:
        self._stack.setCurrentIndex(0)
        self.table.setFocus()
