"""The list of what was started: a search, a stage, an order, and what of the shelf is urgent."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLineEdit, QVBoxLayout, QWidget

from formulary.bench.stages import Stage, named
from formulary.desk import Desk
from formulary.messages import Message, message
from formulary.register.shelf import (
    SOON,
    TO_THROW_AWAY,
    JarOnShelf,
    JarStanding,
    running_out,
    to_throw_away,
)
from formulary.store import RegisterRow, Sorting
from formulary.verbs.list_register import Wanted, list_register
from ui import theme
from ui.context import Context, PageName
from ui.forms.signed_text import SignedText
from ui.register.register_model import PAGE, Column, RegisterModel
from ui.register.register_table import RegisterTable
from ui.signs import Sign
from ui.widgets.choice_box import ChoiceBox
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

AREA = "ui_register"
_RECALLED = "recalled"
_BY_COLUMN = {
    Column.LOT: (Sorting.NEWEST, Sorting.OLDEST),
    Column.MADE_ON: (Sorting.NEWEST, Sorting.OLDEST),
    Column.USE_BY: (Sorting.ENDS_FIRST, Sorting.ENDS_LAST),
    Column.AWAY: (Sorting.ENDS_FIRST, Sorting.ENDS_LAST),
}


class Listing(QWidget):
    """Lists preparations. ``opened`` tells the lot to open, ``typed`` what was typed with Enter.

    ``trace_wanted`` tells what is typed, and the lot come to in case that is none.
    """

    opened = Signal(str)
    typed = Signal(str)
    shelf_wanted = Signal()
    trace_wanted = Signal(str, str)
    recall_wanted = Signal()
    pack_wanted = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._answered = ""
        text = context.text
        self.search = QLineEdit()
        self.search.setAccessibleName(text(f"{AREA}.search"))
        self.search.setPlaceholderText(text(f"{AREA}.search_hint"))
        self.search.setClearButtonEnabled(True)
        self.search.setFixedWidth(theme.px(320))
        self.stage = self._choice("stage_of", [(f"{AREA}.every_stage", "")])
        for stage in Stage:
            self.stage.addItem(context.said(named(stage)), stage.value)
        self.stage.addItem(text(f"{AREA}.only_recalled"), _RECALLED)
        sortings = [(f"{AREA}.sorting.{each.name.lower()}", each.value) for each in Sorting]
        self.sorting = self._choice("sorting.name", sortings)
        self.to_go = SignedText(context, Sign.OCTAGON, "stop", worded=False)
        self.ending = SignedText(context, Sign.TRIANGLE, "thought", worded=False)
        self.model = RegisterModel(context, self)
        self.table = RegisterTable(text(f"{AREA}.name"), self.model)
        self.nothing = label(role="quiet")
        self.shelf = action(self, text(f"{AREA}.shelf.open"), "Ctrl+J", self.shelf_wanted.emit)
        self.trace = action(self, text(f"{AREA}.trace.open"), "Ctrl+T", self._trace)
        self.recall = action(self, text(f"{AREA}.recall.open"), "Ctrl+R", self.recall_wanted.emit)
        self.pack = action(self, text(f"{AREA}.pack.open"), "Ctrl+Shift+P", self.pack_wanted.emit)
        to_formulas = text("ui_labels.choose.formulas")
        self._to_formulas = action(self, to_formulas, "", lambda: context.go(PageName.FORMULAS))
        self.formulas_button = button(self._to_formulas, accent=True)
        self.formulas_button.setAutoDefault(True)
        self._lay_out()
        self._connect()

    def ask(self) -> None:
        """Ask for the first rows anew."""
        typed = self.search.text()

        def arrived(rows: Sequence[RegisterRow]) -> None:
            self._answered = typed
            self._arrived(rows)

        self._context.do(self._question(0), arrived, lane="register.rows")

    def show_shelf(self, jars: Sequence[JarOnShelf]) -> None:
        """Say what has to go and what runs out."""
        gone = to_throw_away(jars)
        kinds = tuple(
            message(f"{AREA}.shelf.counted", n=_count(gone, each), what=_standing(each))
            for each in JarStanding
            if each in TO_THROW_AWAY and _count(gone, each)
        )
        text = self._context.text
        self.to_go.say([text(f"{AREA}.shelf.to_go", n=len(gone), kinds=kinds)] if gone else [])
        n = len(running_out(jars))
        self.ending.say([text(f"{AREA}.shelf.ending", n=n, days=SOON)] if n else [])

    def into_table(self) -> None:
        """Go into the list, where there is one."""
        if self.table.isVisible():
            self.table.setFocus()

    def _choice(self, name: str, choices: Sequence[tuple[str, str]]) -> ChoiceBox:
        made = ChoiceBox(self._context.text(f"{AREA}.{name}"))
        made.setSizeAdjustPolicy(made.SizeAdjustPolicy.AdjustToContents)
        for key, value in choices:
            made.addItem(self._context.text(key), value)
        made.currentIndexChanged.connect(lambda _: self.ask())
        return made

    def _lay_out(self) -> None:
        asked, acts = FlowLayout(), FlowLayout()
        for part in (self.search, self.stage, self.sorting):
            asked.addWidget(part)
        for made in (self.shelf, self.trace, self.recall, self.pack):
            acts.addWidget(button(made))
        self._end = QWidget()
        box = QVBoxLayout(self)
        spaced(box, inside=12, around=24)
        box.addLayout(asked)
        for each in (self.to_go, self.ending, self.nothing):
            box.addWidget(each)
        box.addWidget(self.formulas_button, 0, Qt.AlignmentFlag.AlignLeft)
        box.addWidget(self.table, 1)
        box.addWidget(self._end, 1)
        box.addLayout(acts)
        self.nothing.hide()
        self.formulas_button.hide()

    def _connect(self) -> None:
        text = self._context.text
        action(self.table, text(f"{AREA}.open"), "Return|Enter", self._open_current)
        action(self.table, text(f"{AREA}.labels"), "Ctrl+L", self._label_current)
        action(self.table, text(f"{AREA}.to_search"), "Esc", self.search.setFocus)
        action(self.search, text(f"{AREA}.into_list"), "Down", self.into_table)
        self.table.doubleClicked.connect(lambda _: self._open_current())
        self.table.horizontalHeader().setSectionsClickable(True)
        self.table.horizontalHeader().sectionClicked.connect(self._sort_by)
        self.search.textEdited.connect(lambda _: self.ask())
        self.search.returnPressed.connect(lambda: self.typed.emit(self.search.text().strip()))
        self.model.more_wanted.connect(self._ask_more)

    def _question(self, offset: int) -> Callable[[Desk], Sequence[RegisterRow]]:
        wanted, chosen = self.search.text(), str(self.stage.currentData())
        recalled = chosen == _RECALLED
        stage = Stage(chosen) if chosen and not recalled else None
        asked = Wanted(wanted, stage, recalled, Sorting(self.sorting.currentData()))
        return lambda desk: list_register(desk.store, asked, PAGE, offset)

    def _ask_more(self, offset: int) -> None:
        self._context.do(self._question(offset), self._add, lane="register.rows")

    def _add(self, rows: Sequence[RegisterRow]) -> None:
        self.model.add_rows(rows)
        self.table.fit()

    def _arrived(self, rows: Sequence[RegisterRow]) -> None:
        lot = self.table.current_lot()
        self.model.show_rows(rows)
        empty = not rows
        sought = bool(self.search.text().strip()) or bool(self.stage.currentData())
        key = f"{AREA}.not_found" if sought else f"{AREA}.nothing"
        self.nothing.setText(self._context.text(key))
        self.nothing.setVisible(empty)
        self.formulas_button.setVisible(empty and not sought)
        self.table.setVisible(not empty)
        self.table.fit()
        self._end.setVisible(empty)
        if rows:
            self.table.make_current(max(0, self.model.row_of(lot)))

    def _sort_by(self, column: int) -> None:
        """Sort by a heading; once more turns the order round."""
        first, other = _BY_COLUMN.get(Column(column), (None, None))
        if first is not None and other is not None:
            now = self.sorting.currentData()
            wanted = other if now == first.value else first
            self.sorting.setCurrentIndex(self.sorting.findData(wanted.value))

    def _open_current(self) -> None:
        """Open the row come to, of the answer to what is typed and of no earlier one."""
        lot = self.table.current_lot()
        if lot and self.search.text() == self._answered:
            self.opened.emit(lot)

    def _label_current(self) -> None:
        lot = self.table.current_lot()
        if lot:
            self._context.go(PageName.LABELS, lot)

    def _trace(self) -> None:
        """Trace what is typed; a row stands in for it once somebody went into the list."""
        typed, lot = self.search.text().strip(), self.table.current_lot()
        in_list = not typed or self.table.hasFocus()
        self.trace_wanted.emit(typed, lot if in_list else "")


def _count(jars: Sequence[JarOnShelf], standing: JarStanding) -> int:
    return sum(each.standing is standing for each in jars)


def _standing(standing: JarStanding) -> Message:
    return message(f"register.shelf.{standing.value}")
