"""A line for a quantity: as one types, its meaning, its question or what is wrong stands below.

Never a spin box: those take a decimal sign of the other kind for a thousands separator.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QKeyCombination, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLineEdit, QVBoxLayout, QWidget

from formulary.errors import FormularyError
from formulary.messages import Message
from ui.widgets.words import label, set_role, spaced


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a typed text was understood as.

    With ``question`` it is a proposal: Enter confirms it and writes ``rewritten``.
    """

    said: Message | None = None
    question: Message | None = None
    rewritten: str = ""


NO_MEANING = Meaning()
_DELETES = QKeyCombination(Qt.KeyboardModifier.ControlModifier, Qt.Key.Key_D)
Understand = Callable[[str], Meaning]
"""Reads a text; raises :class:`formulary.errors.FormularyError` where it makes no sense."""


class QuantityEdit(QWidget):
    """A line edit with a sentence below it; ``edited`` tells each change by the person.

    ``write`` turns a message into text (``context.said``); while ``waits`` says so, nothing of what
    is being typed is called wrong.
    """

    edited = Signal(str)

    def __init__(self, name: str, understand: Understand, write: Callable[[Message], str]) -> None:
        super().__init__()
        self._understand, self._write = understand, write
        self.meaning = NO_MEANING
        self.trouble: Message | None = None
        self.waits: Callable[[], bool] = lambda: False
        self.line = QLineEdit()
        self.line.setAccessibleName(name)
        self.note = label(role="note")
        self.note.hide()
        box = QVBoxLayout(self)
        spaced(box, inside=2)
        box.addWidget(self.line)
        box.addWidget(self.note)
        self.setFocusProxy(self.line)
        self.line.textChanged.connect(self._read)
        self.line.textEdited.connect(self.edited)
        self.line.installEventFilter(self)

    @property
    def sound(self) -> bool:
        """Whether the text says one thing and nothing is in question."""
        return self.trouble is None and self.meaning.question is None

    def text(self) -> str:
        """Return the text as typed."""
        return self.line.text()

    def set_text(self, text: str) -> None:
        """Show a text without telling anybody."""
        if text != self.line.text():
            self.line.setText(text)
            self.line.setCursorPosition(0)

    def reread(self, understand: Understand | None = None) -> None:
        """Read the text again, since what it means hangs on something that changed."""
        self._understand = understand or self._understand
        self._read(self.line.text())

    def show_trouble(self, trouble: Message | None) -> None:
        """Show what somebody else found wrong with this text, or nothing."""
        self.trouble = trouble
        self._show(trouble)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let Enter confirm a question before it does anything else, and Ctrl+D delete nothing."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            entered = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
            if entered and not event.modifiers() and self.meaning.question is not None:
                self.confirm()
                return True
            # Qt's line deletes by it wherever the act that has this key rests.
            if event.keyCombination() == _DELETES:
                return True
        return super().eventFilter(watched, event)

    def confirm(self) -> None:
        """Take the proposal: the text is rewritten as it is safely written."""
        rewritten = self.meaning.rewritten
        self.line.setText(rewritten)
        self.edited.emit(rewritten)

    def _read(self, text: str) -> None:
        self.meaning, self.trouble = NO_MEANING, None
        if text.strip():
            try:
                self.meaning = self._understand(text)
            except FormularyError as error:
                self.trouble = error.message
        self._show(None if self.waits() else self.trouble)

    def _show(self, trouble: Message | None) -> None:
        meaning = self.meaning
        said = trouble or meaning.question or meaning.said
        role = "stop" if trouble else "thought" if meaning.question else "note"
        set_role(self.note, role)
        set_role(self.line, "stop" if trouble else "")
        text = self._write(said) if said is not None else ""
        self.note.setText(text)
        self.note.setVisible(bool(text))
        self.line.setAccessibleDescription(text)
