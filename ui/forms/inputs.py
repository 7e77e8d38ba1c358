"""The ways to put a value in; to the form each is a text that can be read, set and faulted."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QCompleter,
    QListWidget,
    QListWidgetItem,
    QPlainTextEdit,
    QVBoxLayout,
    QWidget,
)

from formulary.messages import Message
from ui import theme
from ui.forms.fields import NO, YES, FormField, Kind
from ui.widgets.choice_box import ChoiceBox
from ui.widgets.quantity_edit import QuantityEdit
from ui.widgets.words import label, set_role, spaced

Write = Callable[[Message], str]


class Input(QWidget):
    """A way to put a text in; ``edited`` tells each change by the person."""

    edited = Signal()

    def __init__(self, inner: QWidget, write: Write) -> None:
        super().__init__()
        self._inner, self._write = inner, write
        self._trouble: Message | None = None
        self.note = label(role="stop")
        self.note.hide()
        self._rows = QVBoxLayout(self)
        spaced(self._rows, inside=2)
        self._rows.addWidget(inner)
        self._rows.addWidget(self.note)
        self.setFocusProxy(inner)

    @property
    def sound(self) -> bool:
        """Whether nothing is wrong or in question here."""
        return self._trouble is None

    def text(self) -> str:
        """Return the value."""
        raise NotImplementedError

    def set_text(self, text: str) -> None:
        """Show a value without telling anybody."""
        raise NotImplementedError

    def show_trouble(self, trouble: Message | None) -> None:
        """Show what is wrong with the value, or that nothing is."""
        self._trouble = trouble
        text = self._write(trouble) if trouble is not None else ""
        if trouble is not None or self._inner.property("role") == "stop":
            set_role(self._inner, "stop" if trouble else "")
        self._inner.setAccessibleDescription(text)
        self.note.setText(text)
        self.note.setVisible(bool(text))

    def _edited(self) -> None:
        self.show_trouble(None)
        self.edited.emit()


class LineInput(Input):
    """One line, its meaning below."""

    def __init__(self, field: FormField, name: str, write: Write) -> None:
        self.edit = QuantityEdit(name, field.understand, write)
        super().__init__(self.edit, write)
        self.edit.edited.connect(lambda _: self.edited.emit())
        if field.offered is not None:
            self._offer(field.offered())

    @property
    def sound(self) -> bool:
        return self.edit.sound

    def text(self) -> str:
        return self.edit.text()

    def set_text(self, text: str) -> None:
        self.edit.set_text(text)
        self.edit.reread()  # what was wrong with the same text before is wrong with it again

    def show_trouble(self, trouble: Message | None) -> None:
        self.edit.show_trouble(trouble)

    def _offer(self, texts: tuple[str, ...]) -> None:
        completer = QCompleter(list(texts), self)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        completer.activated.connect(lambda _: self.edited.emit())
        self.edit.line.setCompleter(completer)
        self._offered = texts
        self.edit.waits = self._is_half_typed
        self.edit.line.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take the only offered text that fits as the line is left."""
        popup = Qt.FocusReason.PopupFocusReason
        if isinstance(event, QFocusEvent) and event.lostFocus() and event.reason() != popup:
            self._take_only()
        return super().eventFilter(watched, event)

    def _fitting(self) -> list[str]:
        typed = self.text().strip().casefold()
        return [each for each in self._offered if typed and typed in each.casefold()]

    def _is_half_typed(self) -> bool:
        """Tell whether the list below offers how it goes on, so that nothing is wrong yet."""
        return self.edit.line.hasFocus() and bool(self._fitting())

    def _take_only(self) -> None:
        """Take the only offered text that fits, where what is typed isn't one by itself."""
        fitting = self._fitting()
        if self.edit.trouble is None:
            return
        if len(fitting) == 1:
            self.edit.set_text(fitting[0])
            self.edited.emit()
        else:
            self.edit.show_trouble(self.edit.trouble)


class TextInput(Input):
    """Several lines; Tab leaves them."""

    def __init__(self, field: FormField, name: str, write: Write) -> None:
        self._understand = field.understand
        self.meant = label(role="thought")
        self.meant.hide()
        self.box = QPlainTextEdit()
        self.box.setAccessibleName(name)
        self.box.setTabChangesFocus(True)
        self.box.setFixedHeight(self.box.fontMetrics().lineSpacing() * field.lines + theme.px(24))
        super().__init__(self.box, write)
        self._rows.addWidget(self.meant)
        self.box.textChanged.connect(self._edited)
        self.box.textChanged.connect(self._read)

    def text(self) -> str:
        return self.box.toPlainText()

    def set_text(self, text: str) -> None:
        if text != self.box.toPlainText():
            self.box.blockSignals(True)
            self.box.setPlainText(text)
            self.box.blockSignals(False)
            self._read()

    def _read(self) -> None:
        """Say what the text is understood as, or what in it is easily misread."""
        said = self._understand(self.text()).said
        self.meant.setText("" if said is None else self._write(said))
        self.meant.setVisible(said is not None)


class ChoiceInput(Input):
    """One of a list."""

    def __init__(self, field: FormField, name: str, write: Write) -> None:
        self.box = ChoiceBox(name)
        self.box.setMinimumContentsLength(24)
        super().__init__(self.box, write)
        self.box.fill(list(field.choices()))
        self.box.currentIndexChanged.connect(self._edited)

    def text(self) -> str:
        return str(self.box.currentData() or "")

    def set_text(self, text: str) -> None:
        self.box.choose(text)


class FlagInput(Input):
    """Yes or no."""

    def __init__(self, name: str, write: Write) -> None:
        self.box = QCheckBox(name)
        super().__init__(self.box, write)
        self.box.clicked.connect(self._edited)

    def text(self) -> str:
        return YES if self.box.isChecked() else NO

    def set_text(self, text: str) -> None:
        self.box.setChecked(bool(text))


class ChecksInput(Input):
    """Any number out of a list; Space ticks a line."""

    LINES = 6

    def __init__(self, field: FormField, name: str, write: Write) -> None:
        self.list = QListWidget()
        self.list.setAccessibleName(name)
        self.list.setWordWrap(True)
        # Without it lines stay wrapped for the width that the list had first.
        self.list.setResizeMode(QListWidget.ResizeMode.Adjust)
        set_role(self.list, "field")
        self.list.setFixedHeight(self.list.fontMetrics().lineSpacing() * self.LINES + theme.px(28))
        for text, value in field.choices():
            item = QListWidgetItem(text, self.list)
            item.setData(Qt.ItemDataRole.UserRole, value)
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(Qt.CheckState.Unchecked)
        self.list.setCurrentRow(0)
        super().__init__(self.list, write)
        self.list.itemChanged.connect(self._edited)

    def text(self) -> str:
        ticked = (each for each in self._items() if each.checkState() is Qt.CheckState.Checked)
        return "\n".join(str(each.data(Qt.ItemDataRole.UserRole)) for each in ticked)

    def set_text(self, text: str) -> None:
        wanted = set(text.split())
        self.list.blockSignals(True)
        for item in self._items():
            ticked = item.data(Qt.ItemDataRole.UserRole) in wanted
            item.setCheckState(Qt.CheckState.Checked if ticked else Qt.CheckState.Unchecked)
        self.list.blockSignals(False)
        self.list.viewport().update()

    def _items(self) -> list[QListWidgetItem]:
        return [self.list.item(row) for row in range(self.list.count())]


def input_for(field: FormField, name: str, write: Write) -> Input:
    """Return the input that a field asks for."""
    match field.kind:
        case Kind.LINE:
            return LineInput(field, name, write)
        case Kind.TEXT:
            return TextInput(field, name, write)
        case Kind.CHOICE:
            return ChoiceInput(field, name, write)
        case Kind.FLAG:
            return FlagInput(name, write)
        case Kind.CHECKS:
            return ChecksInput(field, name, write)
