"""Where the window says something: a bar for what can't be done, a quiet line for the rest."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from ui import theme
from ui.context import Context
from ui.messages import Said, Tone
from ui.widgets.words import button, label, spaced


class Speech(QWidget):
    """Shows what the messages say, and that something takes a while."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        box = QVBoxLayout(self)
        spaced(box, inside=0)
        self._bar, self._refusal = self._refusal_bar()
        self._line, self._news = self._quiet_line()
        box.addWidget(self._bar)
        box.addWidget(self._line)
        for said in context.say.history:
            self._show(said)
        context.say.spoken.connect(self._show)
        context.say.quiet.connect(self._bar.hide)
        context.say.outdated.connect(self._news.clear)
        context.operations.slow.connect(self._show_slow)
        context.operations.busy_changed.connect(self._show_busy)

    def refusal(self) -> str:
        """Return the refusal in view, nothing where there is none."""
        return self._refusal.text() if not self._bar.isHidden() else ""

    def news(self) -> str:
        """Return the quiet line."""
        return self._news.text()

    def understand(self) -> None:
        """Take the refusal away: the person has read it."""
        self._bar.hide()

    def _refusal_bar(self) -> tuple[QWidget, QLabel]:
        bar, row, text = _strip("refusals")
        self._sign = QLabel()
        row.insertWidget(0, self._sign, 0, Qt.AlignmentFlag.AlignTop)
        understood = QAction(self._context.text("ui.understood"), bar)
        understood.triggered.connect(self.understand)
        row.addWidget(button(understood, keys="Esc"))
        bar.hide()
        return bar, text

    def _quiet_line(self) -> tuple[QWidget, QLabel]:
        line, row, text = _strip("quiet_line")
        row.setContentsMargins(theme.px(12), theme.px(4), theme.px(12), theme.px(4))
        text.setProperty("role", "note")
        self._working = label(self._context.text("ui.working"), "note", wrap=False)
        self._cancel = QPushButton(self._context.text("ui.cancel"))
        self._cancel.clicked.connect(self._context.operations.cancel_questions)
        for widget in (self._working, self._cancel):
            row.addWidget(widget)
            widget.hide()
        row.addWidget(label(self._context.text("ui.keys_hint"), "note", wrap=False))
        return line, text

    def _show(self, said: Said) -> None:
        text = self._context.said(said.message)
        if said.tone is Tone.NEWS:
            self._news.setText(text)
            self._bar.hide()
            return
        # Drawn at the first refusal only; the first paint doesn't wait for it.
        from ui import signs

        self._sign.setPixmap(signs.pixmap(signs.Sign.OCTAGON, theme.px(20) * 2))
        self._refusal.setText(text)
        self._bar.show()

    def _show_slow(self) -> None:
        self._working.show()
        self._cancel.show()

    def _show_busy(self, busy: bool) -> None:  # noqa: FBT001 - a signal's value
        if not busy:
            self._working.hide()
            self._cancel.hide()


def _strip(name: str) -> tuple[QWidget, QHBoxLayout, QLabel]:
    strip = QWidget()
    strip.setObjectName(name)
    strip.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
    row = QHBoxLayout(strip)
    spaced(row, inside=12, around=8)
    text = label()
    row.addWidget(text, 1)
    return strip, row, text
