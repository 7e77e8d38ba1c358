"""What happened to a record: a panel over the page, with a filter and a way to paper."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QTextBrowser, QVBoxLayout, QWidget

from formulary.desk import Desk
from formulary.messages import message
from ui import theme
from ui.context import Context
from ui.papers.door import PaperDoor
from ui.papers.paper import Draw
from ui.widgets.words import action, button, label, spaced

if TYPE_CHECKING:
    from formulary.papers.every_paper import Paper
    from formulary.verbs.read_history import Happened, RecordHistory

AREA = "ui_history"
WIDTH = 640


class HistoryViewer(QWidget):
    """Asks which record, unless the page in view says it, and lists its entries, newest first."""

    def __init__(self, context: Context, over: QWidget) -> None:
        super().__init__(over)
        self._over, self._context = over, context
        self._before: QWidget | None = None
        self._history: RecordHistory | None = None
        self.setObjectName("overlay")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        text = context.text
        self.record, self.filter = QLineEdit(), QLineEdit()
        for each, name in ((self.record, "record"), (self.filter, "filter")):
            each.setPlaceholderText(text(f"{AREA}.{name}"))
            each.setAccessibleName(text(f"{AREA}.{name}"))
        self.count = label(role="note")
        self.text = QTextBrowser(openLinks=False)
        self.text.setAccessibleName(text(f"{AREA}.title"))
        self.door = PaperDoor(context, self)
        close = action(self, text("ui.help.close"), "Esc", self.put_away)
        self.print = action(self, text(f"{AREA}.print"), "Ctrl+P", self._print)
        self.save = action(self, text(f"{AREA}.save"), "Ctrl+Shift+P", self._save)
        self._lay_out([button(close)], [button(self.print), button(self.save)])
        self.record.returnPressed.connect(self._read)
        self.filter.textChanged.connect(lambda _: self._show())
        over.installEventFilter(self)
        self.hide()

    def open(self, record: str = "") -> None:
        """Come forward with a record's history, or ask for one."""
        if not self.isVisible():
            self._before = self.window().focusWidget()
        self._settle()
        self.show()
        self.raise_()
        self.record.setFocus()
        if record:
            self.record.setText(record)
            self._read()
        self._show()

    def put_away(self) -> None:
        """Hide, and give the focus back to where it was."""
        self.hide()
        if self._before is not None:
            self._before.setFocus()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Stay at the right side of what this lies over."""
        if event.type() == QEvent.Type.Resize and self.isVisible():
            self._settle()
        return super().eventFilter(watched, event)

    def _lay_out(self, top: list[QWidget], below: list[QWidget]) -> None:
        head, foot = QHBoxLayout(), QHBoxLayout()
        head.addWidget(label(self._context.text(f"{AREA}.title"), "heading"), 1)
        for each in top:
            head.addWidget(each)
        for each in below:
            foot.addWidget(each)
        foot.addStretch(1)
        box = QVBoxLayout(self)
        spaced(box, inside=8, around=12)
        box.addLayout(head)
        for widget in (self.record, self.filter, self.count, self.text):
            box.addWidget(widget)
        box.addLayout(foot)

    def _settle(self) -> None:
        over = self._over
        width = min(theme.px(WIDTH), over.width())
        self.setGeometry(over.width() - width, 0, width, over.height())

    def _read(self) -> None:
        typed = self.record.text()

        def read(desk: Desk) -> RecordHistory:
            from formulary.verbs.read_history import history_of

            return history_of(desk.store, typed)

        self._context.do(read, self._arrived, lane="history")

    def _arrived(self, history: RecordHistory) -> None:
        self._history = history
        self._show()

    def _show(self) -> None:
        history = self._history
        self.print.setEnabled(history is not None)
        self.save.setEnabled(history is not None)
        if history is None:
            self.count.setText(self._context.text(f"{AREA}.ask"))
            self.text.clear()
            return
        found = history.filtered(self.filter.text())
        said = message(
            f"{AREA}.counted", name=history.subject.name, n=len(found), all=len(history.entries)
        )
        self.count.setText(self._context.said(said))
        self.text.setPlainText("\n\n".join(self._said(each) for each in reversed(found)))

    def _said(self, each: Happened) -> str:
        return "\n    ".join(map(self._context.said, (each.row, *each.notes())))

    def _print(self) -> None:
        self.door.print(self._drawn())

    def _save(self) -> None:
        history = self._history
        self.door.save(self._drawn(), f"history-{history.subject.kind}" if history else "history")

    def _drawn(self) -> Draw:
        typed, words = self.record.text(), self.filter.text()

        def draw(desk: Desk) -> Paper:
            from formulary.papers.every_paper import history_named

            return history_named(desk, typed, words)

        return draw
