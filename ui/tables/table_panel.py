"""A table of ingredients or lots: chosen, looked at row by row, and taken over whole."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QTreeWidgetItem, QVBoxLayout, QWidget

from formulary.desk import Desk
from formulary.errors import FormularyError
from formulary.exchange.table_file import read_table, template
from formulary.messages import message
from formulary.taking_over import Fate, Fated, TableRow, details, is_sound
from formulary.verbs.all_or_nothing import as_seen, only_look
from formulary.verbs.take_over_tables import TableSort
from ui import signs, theme
from ui.context import Context, Topic
from ui.files import CSV, ask_to_open, ask_to_save, writing_to
from ui.forms.leaf import leaf
from ui.stock.fitted_tree import FittedTree
from ui.widgets.column_widths import content_width
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

AREA = "ui_tables"
LEAST_HEIGHT = 240
_COLUMNS = ("line", "name", "fate", "what")
_SIGNS = {
    Fate.NEW: signs.Sign.TICK,
    Fate.CHANGED: signs.Sign.TRIANGLE,
    Fate.UNCHANGED: signs.Sign.DOT,
    Fate.REFUSED: signs.Sign.OCTAGON,
}


@dataclass(frozen=True, slots=True)
class Looked:
    """A table as read from a file, with what would become of its rows."""

    path: Path
    rows: Sequence[TableRow]
    fates: tuple[Fated, ...]


class FateList(FittedTree):
    """Line, name and fate always show; what it says takes the rest, and stands below in full."""

    def fit(self) -> None:
        """Give each column what its content takes, the last what is left."""
        for column in range(self.columnCount() - 1):
            most = self.viewport().width() // 3
            self.setColumnWidth(column, min(content_width(self, column), most))


class TablePanel(QWidget):
    """Shows each row's fate; ``left`` tells that the person stepped back.

    ``called`` is what the table is of in the catalogue, ``topic`` what taking it over changes.
    """

    left = Signal()

    def __init__(self, context: Context, sort: TableSort, called: str, topic: Topic) -> None:
        super().__init__()
        self._context, self._sort, self._topic = context, sort, topic
        self._looked: Looked | None = None
        text = context.text
        self.title = label(text(f"{AREA}.title.{called}"), "title")
        self.hint = label(text(f"{AREA}.hint.{called}"), "note")
        names = [text(f"{AREA}.column.{each}") for each in _COLUMNS]
        self.list = FateList(text(f"{AREA}.name"), names, given_up=())
        self.list.setRootIsDecorated(False)
        self.list.setMinimumHeight(theme.px(LEAST_HEIGHT))
        self.said = label()
        self.summary = label(role="quiet")
        self.take = action(self, text(f"{AREA}.take"), "Ctrl+S", self._take)
        self.choose = action(self, text(f"{AREA}.choose"), "Ctrl+O", self._choose)
        self.empty = action(self, text(f"{AREA}.empty"), "Ctrl+E", self._save_empty)
        self.back = action(self, text("ui_stock.back"), "Esc", self.left.emit)
        self._lay_out()
        self.list.currentItemChanged.connect(lambda *_: self._came_to())
        self._show(None)

    def begin(self) -> None:
        """Begin without a table."""
        self._show(None)
        self.choose_button.setFocus()

    def _lay_out(self) -> None:
        inside = QWidget()
        whole = QVBoxLayout(self)
        spaced(whole, inside=0)
        whole.addWidget(leaf(inside))
        row = FlowLayout()
        self.choose_button = button(self.choose)
        for made in (
            button(self.take, accent=True),
            self.choose_button,
            button(self.empty),
            button(self.back),
        ):
            row.addWidget(made)
        box = QVBoxLayout(inside)
        spaced(box, inside=12, around=24)
        for part in (self.title, self.hint):
            box.addWidget(part)
        box.addWidget(self.list, 1)
        for part in (self.said, self.summary):
            box.addWidget(part)
        box.addLayout(row)
        box.addStretch()

    def _choose(self) -> None:
        text = self._context.text
        ask_to_open(self, self.choose.text(), self._look_at, text(f"{AREA}.kinds"))

    def _look_at(self, path: Path) -> None:
        sort = self._sort
        self._context.do(lambda desk: _look(desk, sort, path), self._show)

    def _show(self, looked: Looked | None) -> None:
        self._looked = looked
        fates = looked.fates if looked is not None else ()
        self.list.clear()
        for each in fates:
            self._add(each)
        self.list.fit()
        self.list.setVisible(bool(fates))
        self.take.setEnabled(is_sound(fates) and any(map(_writes, fates)))
        self.summary.setText(self._counted(fates) if looked is not None else "")
        if fates:
            bad = [number for number, each in enumerate(fates) if each.fate is Fate.REFUSED]
            self.list.setCurrentIndex(self.list.model().index(bad[0] if bad else 0, 0))
            self.list.setFocus()
        self._came_to()

    def _add(self, each: Fated) -> None:
        said = self._details(each)
        fate = self._context.text(f"exchange.fate.{each.fate.value}")
        item = QTreeWidgetItem(self.list, [str(each.line), each.name, fate, "; ".join(said)])
        sign = signs.Sign.TRIANGLE if each.doubts else _SIGNS[each.fate]
        item.setIcon(2, signs.icon(sign))

    def _details(self, each: Fated) -> list[str]:
        return [self._context.said(said) for said in details(each)]

    def _counted(self, fates: Sequence[Fated]) -> str:
        found = Counter(each.fate.value for each in fates)
        counts = {each.value: found[each.value] for each in Fate}
        key = "looked" if is_sound(fates) else "nothing"
        return self._context.said(message(f"exchange.taken.{key}", **counts))

    def _came_to(self) -> None:
        """Say all there is to say of the row; its cell may have no room for it."""
        row = self.list.currentIndex().row()
        fates = self._looked.fates if self._looked is not None else ()
        self.said.setText("\n".join(self._details(fates[row])) if 0 <= row < len(fates) else "")
        self.said.setVisible(bool(self.said.text()))

    def _take(self) -> None:
        looked, sort = self._looked, self._sort
        if looked is None or not self.take.isEnabled():
            return
        self.take.setEnabled(False)
        self._context.do(
            lambda desk: sort.take(desk, looked.rows, as_seen(looked.fates)),
            lambda fates: self._taken(looked, fates),
            changes=(self._topic,),
            failed=self._not_taken,
        )

    def _taken(self, looked: Looked, fates: tuple[Fated, ...]) -> None:
        if fates != looked.fates:
            self._show(Looked(looked.path, looked.rows, fates))
            self._context.say.refuse(message(f"{AREA}.changed_meanwhile"))
            return
        found = Counter(each.fate.value for each in fates)
        self._context.say.tell(
            "exchange.taken.kept",
            new=found[Fate.NEW],
            changed=found[Fate.CHANGED],
            unchanged=found[Fate.UNCHANGED],
        )
        self.left.emit()

    def _not_taken(self, error: FormularyError) -> None:
        self.take.setEnabled(True)
        self._context.say.refuse(error)

    def _save_empty(self) -> None:
        name = f"{self.title.text()}.csv"
        ask_to_save(self, self.empty.text(), name, self._save_empty_to, CSV)

    def _save_empty_to(self, path: Path) -> None:
        self._context.do(
            lambda _: _write_empty(self._sort, path),
            lambda _: self._context.say.tell(f"{AREA}.empty_saved", place=str(path)),
        )


def _writes(each: Fated) -> bool:
    return each.fate in (Fate.NEW, Fate.CHANGED)


def _look(desk: Desk, sort: TableSort, path: Path) -> Looked:
    rows = read_table(path, sort.columns, sort.called_by, desk.house.decimal_sign)
    return Looked(path, rows, sort.take(desk, rows, only_look))


def _write_empty(sort: TableSort, path: Path) -> None:
    with writing_to(path):
        path.write_bytes(template(sort.columns, path.name))
