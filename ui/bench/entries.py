"""Entries in large type, each under its words; Enter goes on to the next, then does the act."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import chain

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLineEdit, QWidget

from formulary.messages import message
from ui import theme
from ui.bench.scan_edit import ScanEdit
from ui.bench.shown import Entry
from ui.context import Context
from ui.widgets.choice_box import ChoiceBox
from ui.widgets.quantity_edit import QuantityEdit
from ui.widgets.words import label, spaced

WIDEST = 460


class Entries(QWidget):
    """Shows entries and takes what is typed; ``entered`` tells Enter in the last of them.

    ``emptied`` tells that a hand took back all that stood where a scan is awaited.
    """

    entered = Signal()
    emptied = Signal()

    def __init__(self, context: Context, entries: Sequence[Entry]) -> None:
        super().__init__()
        self._context = context
        self._entries = {entry.name: entry for entry in entries}
        self.inputs: dict[str, QuantityEdit | ScanEdit | ChoiceBox] = {}
        self._grid = QGridLayout(self)
        spaced(self._grid, inside=8)
        self._grid.setColumnStretch(1, 1)
        for row, entry in enumerate(entries):
            self._add(row, entry)
        if not entries:
            self.hide()

    def values(self) -> dict[str, str]:
        """Return the texts as they stand; of a scan also how it came in, as ``<name>.scanned``."""
        found: dict[str, str] = {}
        for name, each in self.inputs.items():
            if isinstance(each, ChoiceBox):
                found[name] = str(each.currentData() or "")
                continue
            found[name] = each.text().strip()
            if isinstance(each, ScanEdit):
                found[f"{name}.scanned"] = "yes" if each.scanned else ""
        return found

    def fill(self, texts: Mapping[str, str]) -> None:
        """Put texts in where they belong, as they were typed or chosen before."""
        for name, each in self.inputs.items():
            text = texts.get(name, "")
            if isinstance(each, ChoiceBox):
                each.choose(text)
            elif isinstance(each, QuantityEdit):
                each.set_text(text)

    @property
    def wanted(self) -> QWidget | None:
        """The first entry that lacks something, else an empty one, the one in use, or the first."""
        lacking = (self.inputs[name] for name in self._entries if self._lacks(name))
        empty = (each for each in self.inputs.values() if _is_empty(each))
        at = self.window().focusWidget()
        used = (each for each in self.inputs.values() if at in (each, _line(each)))
        return next(chain(lacking, empty, used, self.inputs.values()), None)

    def in_order(self) -> list[QWidget]:
        """Return what Tab goes through, from the first entry to the last."""
        return [_line(each) or each for each in self.inputs.values()]

    def first_trouble(self) -> str:
        """Return the first entry that lacks something or makes no sense, having said so there."""
        name = next(filter(self._lacks, self._entries), "")
        each = self.inputs.get(name)
        if isinstance(each, QuantityEdit) and _is_empty(each):
            each.show_trouble(message("ui_bench.needed", what=self._entries[name].words))
        return name

    def clear_scan(self) -> None:
        """Empty what is scanned, so that the next scan stands alone."""
        for each in self.inputs.values():
            if isinstance(each, ScanEdit):
                each.clear()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let Enter on a choice do the act."""
        if (
            isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.KeyPress
            and _is_enter(event)
        ):
            self.entered.emit()
            return True
        return super().eventFilter(watched, event)

    def _lacks(self, name: str) -> bool:
        """Whether an entry must be filled in, or makes no sense as it is."""
        each = self.inputs[name]
        if self._entries[name].required and _is_empty(each):
            return True
        return isinstance(each, QuantityEdit) and not each.sound

    def _add(self, row: int, entry: Entry) -> None:
        made = self._input(entry)
        made.setObjectName(entry.name)
        made.setMaximumWidth(theme.px(WIDEST))
        self.inputs[entry.name] = made
        words = label(entry.words)
        words.setBuddy(made)
        self._grid.addWidget(words, 2 * row, 0, 1, 2)
        line = QHBoxLayout()
        line.addWidget(made, 1)
        if entry.unit:
            line.addWidget(_unit_beside(entry.unit, made), 0, Qt.AlignmentFlag.AlignTop)
        line.addStretch(0)
        self._grid.addLayout(line, 2 * row + 1, 0, 1, 2)

    def _input(self, entry: Entry) -> QuantityEdit | ScanEdit | ChoiceBox:
        if entry.choices:
            box = ChoiceBox(entry.words)
            box.fill(list(entry.choices))
            box.choose(entry.at_first)
            box.installEventFilter(self)
            return box
        if entry.scan:
            scan = ScanEdit(entry.words, self._context.house.scan_gap_ms)
            scan.returnPressed.connect(lambda: self._go_on(entry.name))
            scan.textEdited.connect(lambda text: None if text else self.emptied.emit())
            return scan
        edit = QuantityEdit(entry.words, entry.understand, self._context.said)
        edit.set_text(entry.at_first)
        edit.line.returnPressed.connect(lambda: self._go_on(entry.name))
        return edit

    def _after(self, name: str) -> list[str]:
        """Return the entries below one that Enter goes to."""
        names = list(self.inputs)
        later = names[names.index(name) + 1 :]
        return [each for each in later if not self._entries[each].passed_over]

    def _go_on(self, name: str) -> None:
        """Go to the next entry, or tell that all is entered."""
        # What is proposed or chosen already is passed over; Tab goes there.
        following = next(filter(_is_empty, (self.inputs[each] for each in self._after(name))), None)
        if following is None:
            self.entered.emit()
            return
        following.setFocus()
        line = _line(following)
        if line is not None:
            line.selectAll()


def _unit_beside(unit: str, made: QWidget) -> QWidget:
    """Return a unit as high as its line, where it stays when a sentence comes below that."""
    beside = label(unit, wrap=False)
    beside.setMinimumHeight((_line(made) or made).sizeHint().height())
    return beside


def _line(each: QWidget) -> QLineEdit | None:
    if isinstance(each, QuantityEdit):
        return each.line
    return each if isinstance(each, QLineEdit) else None


def _is_empty(each: QuantityEdit | ScanEdit | ChoiceBox) -> bool:
    return not isinstance(each, ChoiceBox) and not each.text().strip()


def _is_enter(event: QKeyEvent) -> bool:
    return event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not event.modifiers()
