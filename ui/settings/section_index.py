"""The index of the settings: sections under the headings of their groups."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QListWidget, QListWidgetItem

from ui import theme
from ui.context import Context
from ui.widgets.words import set_role

AREA = "ui_settings"
HEADING_HEIGHT = 40
_NAME = Qt.ItemDataRole.UserRole


class SectionIndex(QListWidget):
    """Lists the sections; arrows pass over headings, and a letter goes to what begins with it.

    ``chosen`` tells the name of the section come to.
    """

    chosen = Signal(str)

    def __init__(self, context: Context, groups: Mapping[str, Sequence[str]]) -> None:
        super().__init__()
        self._context = context
        self.names = tuple(name for group in groups.values() for name in group)
        set_role(self, "words")
        self.setWordWrap(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName(context.text(f"{AREA}.sections"))
        for group, names in groups.items():
            self._add_group(context.text(f"{AREA}.group.{group}"), names)
        self.currentItemChanged.connect(self._come)

    def current(self) -> str:
        """Return the name of the section come to."""
        return str(self.currentItem().data(_NAME) or "") if self.currentRow() >= 0 else ""

    def come_to(self, name: str) -> None:
        """Come to a section by its name."""
        for row in range(self.count()):
            if self.item(row).data(_NAME) == name:
                self.setCurrentRow(row)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Let Home and End go to the first and the last section; a heading is none."""
        if event.key() == Qt.Key.Key_Home:
            self.come_to(self.names[0])
        elif event.key() == Qt.Key.Key_End:
            self.come_to(self.names[-1])
        else:
            super().keyPressEvent(event)

    def _come(self) -> None:
        if self.current():
            self.chosen.emit(self.current())

    def _add_group(self, heading: str, names: Sequence[str]) -> None:
        """Add a group; a screen reader is told the group with each of its sections."""
        item = QListWidgetItem(heading)
        item.setFlags(Qt.ItemFlag.NoItemFlags)
        font = self.font()
        font.setBold(True)
        item.setFont(font)
        item.setTextAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignBottom)
        item.setSizeHint(QSize(0, theme.px(HEADING_HEIGHT)))
        self.addItem(item)
        for name in names:
            words = self._context.text(f"{AREA}.section.{name}")
            section = QListWidgetItem(words)
            section.setData(_NAME, name)
            said = self._context.text(f"{AREA}.in_group", section=words, group=heading)
            section.setData(Qt.ItemDataRole.AccessibleTextRole, said)
            self.addItem(section)
