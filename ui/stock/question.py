"""A few fields that are asked for before something is done."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QApplication, QScrollArea, QVBoxLayout, QWidget

from formulary.errors import BadText
from formulary.messages import message
from ui.context import Context
from ui.forms.fields import FormField, Kind
from ui.forms.form import Form
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.quantity_edit import NO_MEANING, Meaning
from ui.widgets.words import action, button, label, spaced

Run = Callable[[dict[str, str]], None]


def whole_number(text: str) -> Meaning:
    """Take a whole number of pieces, and nothing else."""
    if not text.strip().isdecimal():
        raise BadText(message("ui_stock.no_whole_number", typed=text.strip()))
    return NO_MEANING


class Question(QWidget):
    """Asks one thing at a time; ``dropped`` tells that the person took it back."""

    dropped = Signal()

    def __init__(self, context: Context, keys: str = "Ctrl+Return") -> None:
        super().__init__()
        self._context = context
        self._run: Run | None = None
        self.heading = label(role="heading")
        self.form: Form | None = None
        self.confirm = action(self, context.text("ui_stock.do"), keys, self._confirmed)
        self.never_mind = action(self, context.text("ui_stock.never_mind"), "", self._drop)
        confirm = button(self.confirm, accent=True)
        confirm.setAutoDefault(True)
        row = FlowLayout()
        row.addWidget(confirm)
        row.addWidget(button(self.never_mind, keys="Esc"))
        self._box = QVBoxLayout(self)
        spaced(self._box, inside=8)
        self._box.addWidget(self.heading)
        self._box.addLayout(row)
        self.hide()

    @property
    def asking(self) -> bool:
        """Whether something is being asked for."""
        return self._run is not None

    def ask(
        self, heading: str, words: str, area: str, fields: Sequence[FormField], run: Run
    ) -> None:
        """Ask for fields (their texts are those of ``area``), then run with what they hold."""
        self.ask_nothing()
        self._run = run
        self.heading.setText(heading)
        self.confirm.setText(words)
        self.form = Form(self._context, area, fields)
        self._box.insertWidget(1, self.form)
        for field in fields:
            if field.kind is Kind.LINE:
                self.form.entered(field.name).connect(self._confirmed)
        self.show()
        self.go_to(fields[0].name)

    def ask_nothing(self) -> None:
        """Take the question back."""
        self._run = None
        self.hide()
        if self.form is not None:
            self._box.removeWidget(self.form)
            self.form.hide()
            self.form.deleteLater()
            self.form = None

    def go_to(self, name: str) -> None:
        """Put the cursor into a field, and the field into view once it is laid out."""
        if self.form is not None:
            self.form.inputs[name].setFocus()
            QTimer.singleShot(0, self, self._come_into_view)

    def _come_into_view(self) -> None:
        """Scroll the page to the question, and in one that is long to where the next key goes."""
        around = self.parentWidget()
        while around is not None and not isinstance(around, QScrollArea):
            around = around.parentWidget()
        if around is None:
            return
        around.ensureWidgetVisible(self)
        focus = QApplication.focusWidget()
        if focus is not None and self.isAncestorOf(focus):
            around.ensureWidgetVisible(focus)

    def _drop(self) -> None:
        self.ask_nothing()
        self.dropped.emit()

    def _confirmed(self) -> None:
        if self.form is None or self._run is None:
            return
        faulty = self.form.first_trouble()
        if faulty:
            self.go_to(faulty)
        else:
            self._run(self.form.values())
