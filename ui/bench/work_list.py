"""The open preparations, the next to begin first, found by lot or by a scan."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from formulary.bench.stages import Stage, named
from formulary.preparation import Preparation
from formulary.quantity.writing import held_together
from ui.bench.scan_edit import ScanEdit
from ui.context import Context
from ui.widgets.words import action, label, set_role, spaced

LOT = Qt.ItemDataRole.UserRole


class WorkList(QWidget):
    """Lists what is open; ``chosen`` tells a lot to show, ``sought`` a text that isn't listed."""

    chosen = Signal(str)
    sought = Signal(str)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.setObjectName("index")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._context = context
        self._open: Sequence[Preparation] = ()
        self._in_view = ""
        text = context.text
        self.search = ScanEdit(text("ui_bench.list.find"))
        self.search.setPlaceholderText(text("ui_bench.list.find"))
        self.list = QListWidget()
        self.list.setAccessibleName(text("ui_bench.list.name"))
        self.list.setWordWrap(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setResizeMode(QListWidget.ResizeMode.Adjust)
        set_role(self.list, "words")
        self.nothing = label(role="quiet")
        self._lay_out()
        self._connect()

    def show_work(self, found: Sequence[Preparation]) -> None:
        """Show the open preparations; where the cursor was it stays."""
        self._open = found
        self._fill()

    def mark(self, lot: str) -> None:
        """Put the cursor on the lot in view; on none where that isn't listed."""
        self._in_view = lot
        self._come_to(lot)

    def focus_find(self) -> None:
        """Begin to look for a lot."""
        self.search.setFocus()
        self.search.selectAll()

    def add_below(self, door: QWidget) -> None:
        """Put a door to another part of the page below the list."""
        self._box.addWidget(door)

    def _lay_out(self) -> None:
        self._box = box = QVBoxLayout(self)
        spaced(box, inside=8, around=12)
        box.addWidget(self.search)
        box.addWidget(self.nothing)
        box.addWidget(self.list, 1)

    def _connect(self) -> None:
        text = self._context.text
        self.search.textEdited.connect(lambda _: self._fill())
        self.search.returnPressed.connect(self._entered)
        self.list.itemActivated.connect(self._take)
        self.list.itemClicked.connect(self._take)
        action(self.search, text("ui_bench.list.into"), "Down", self.list.setFocus)

    def _come_to(self, lot: str) -> None:
        rows = range(self.list.count())
        self.list.setCurrentRow(next((at for at in rows if self._lot_at(at) == lot), -1))

    def _fill(self) -> None:
        before = self._current() or self._in_view
        sought = self.search.text().strip().casefold()
        self.list.clear()
        for each in self._open:
            words = f"{each.lot} {each.title} {each.code}".casefold()
            if sought in words:
                item = QListWidgetItem(self._said(each), self.list)
                item.setData(LOT, each.lot)
        self._come_to(before)
        if self.list.currentRow() < 0 and (sought or not self._in_view):
            self.list.setCurrentRow(0)
        self.nothing.setText(
            self._context.text("ui_bench.list.not_found" if self._open else "ui_bench.list.nothing")
        )
        self.nothing.setVisible(not self.list.count())

    def _said(self, each: Preparation) -> str:
        stage = self._context.said(named(each.stage))
        if each.stage is Stage.REQUESTED:
            stage = self._context.text("ui_bench.list.blank")
        place = f" · {each.workstation}" if each.workstation else ""
        return held_together(f"{each.lot} · {each.title}\n{each.target} · {stage}{place}")

    def _current(self) -> str:
        row = self.list.currentRow()
        return self._lot_at(row) if row >= 0 else ""

    def _lot_at(self, row: int) -> str:
        return str(self.list.item(row).data(LOT))

    def _entered(self) -> None:
        """Open the one that is meant: a lot that is typed whole, or the only one found."""
        typed = self.search.text().strip()
        if typed and not self.list.count():
            self.sought.emit(typed)
        elif self._current():
            self._open_lot(self._current())

    def _take(self, item: QListWidgetItem) -> None:
        self._open_lot(str(item.data(LOT)))

    def _open_lot(self, lot: str) -> None:
        self._in_view = lot
        self.search.clear()
        self._fill()
        self.chosen.emit(lot)
