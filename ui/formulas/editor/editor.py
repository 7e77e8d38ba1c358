"""The editor: every field of a formula in place, checked as one types, undone step by step."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import (
    QApplication,
    QLineEdit,
    QPlainTextEdit,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from formulary.errors import BadText
from formulary.formula.fields import default_kind
from formulary.ingredient import Ingredient
from formulary.messages import Message
from ui import theme
from ui.context import Context
from ui.forms.form import Form
from ui.forms.understanding import PLAIN
from ui.formulas.editor import plain, tables
from ui.formulas.editor.checking import Check, check
from ui.formulas.editor.history import History
from ui.formulas.editor.rows_editor import RowsEditor
from ui.formulas.editor.tables import AREA, RowTable, Section
from ui.formulas.editor.values import text_of, value_of
from ui.widgets.quantity_edit import QuantityEdit
from ui.widgets.words import hairline, label, spaced

MISSING = "formula.file.missing_field"
WIDEST, AROUND = 760, 48


class Editor(QScrollArea):
    """A form over the fields of a formula; ``changed`` tells each change by the person."""

    changed = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName(context.text(f"{AREA}.name"))
        self.history = History({})
        self.ingredients: tuple[Ingredient, ...] = ()
        self.check: Check = check({}, (), ".")
        self._parts: list[Form | RowsEditor] = []
        self._tables: dict[str, RowsEditor] = {}
        self._fields: dict[str, tuple[Form, bool]] = {}
        self._strict = False
        self._build()

    # What is edited

    def begin(self, fields: plain.Fields, ingredients: tuple[Ingredient, ...]) -> None:
        """Edit these fields, with nothing to undo yet."""
        self.ingredients = ingredients
        self.history = History(fields)
        self._strict = False
        self._show()
        self._recheck()
        self.verticalScrollBar().setValue(0)

    def undo(self) -> None:
        """Take the last step back."""
        self.history.undo()
        self._shown_anew()

    def redo(self) -> None:
        """Do again what was taken back."""
        self.history.redo()
        self._shown_anew()

    def troubles(self) -> tuple[BadText, ...]:
        """Return what keeps the draft from being confirmed."""
        return self.check.troubles

    def insist(self) -> None:
        """From now on show what is missing, too."""
        self._strict = True
        self._show_troubles()

    def go_to_trouble(self) -> None:
        """Put the cursor where the first thing is wrong."""
        if self.check.troubles:
            self.insist()
            self.go_to(self.check.troubles[0].field or "")

    def go_to(self, place: str) -> None:
        """Put the cursor into the field at a place, such as ``ingredient.2.quantity``."""
        table, _, rest = place.partition(".")
        if table in self._tables:
            position, _, name = rest.partition(".")
            if not position:
                self._tables[table].add_wanted.emit(0)
            else:
                self._tables[table].go_to(int(position), name)
        elif place in self._fields:
            self._fields[place][0].inputs[place].setFocus()
        self._bring_into_view()

    def focus_first(self) -> None:
        """Put the cursor into the first field."""
        self.go_to("title")

    def _bring_into_view(self) -> None:
        """Scroll to the field with the focus, once what came into view has its place."""
        QTimer.singleShot(0, self, self._scroll_to_focus)

    def _scroll_to_focus(self) -> None:
        focused = QApplication.focusWidget()
        if focused is not None and self.isAncestorOf(focused):
            self.ensureWidgetVisible(focused, theme.px(8), theme.px(AROUND))

    # Building

    def _build(self) -> None:
        inner = QWidget()
        inner.setObjectName("leaf")
        inner.setMaximumWidth(theme.px(WIDEST))
        box = QVBoxLayout(inner)
        spaced(box, inside=12, around=16)
        for part in tables.parts(self._context, self._default_kind, self._names):
            box.addWidget(label(self._context.text(f"{AREA}.section.{part.name}"), "heading"))
            self._parts.append(self._rows(part) if isinstance(part, RowTable) else self._form(part))
            box.addWidget(self._parts[-1])
            box.addWidget(hairline())
        box.addStretch(1)
        self.setWidget(inner)

    def _form(self, section: Section) -> Form:
        form = Form(self._context, AREA, section.fields)
        form.edited.connect(lambda: self._form_edited(form))
        for field in section.fields:
            self._fields[field.name] = (form, field.understand in PLAIN)
        self._share_undo(form)
        return form

    def _rows(self, table: RowTable) -> RowsEditor:
        rows = RowsEditor(self._context, table)
        rows.edited.connect(lambda at, name, text: self._row_edited(table.name, at, name, text))
        rows.add_wanted.connect(lambda at: self._add_row(table.name, at))
        rows.remove_wanted.connect(lambda at: self._remove_row(table.name, at))
        rows.move_wanted.connect(lambda at, to: self._move_row(table.name, at, to))
        self._tables[table.name] = rows
        return rows

    def _share_undo(self, part: QWidget) -> None:
        """Take undo and redo from the lines: here they go over the whole draft."""
        for kind in (QLineEdit, QPlainTextEdit):
            for each in part.findChildren(kind):
                each.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Leave the keys for undo and redo to the panel's actions."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.ShortcutOverride:
            undo, redo = QKeySequence.StandardKey.Undo, QKeySequence.StandardKey.Redo
            if event.matches(undo) or event.matches(redo):
                event.ignore()
                return True
        return super().eventFilter(watched, event)

    def _default_kind(self) -> str | None:
        return default_kind(self.check.content.total)

    def _names(self) -> tuple[str, ...]:
        return tuple(each.name for each in self.ingredients)

    # Changes

    def _form_edited(self, form: Form) -> None:
        for name, text in form.values().items():
            path = tuple(name.split("."))
            if text != text_of(name, plain.at(self.history.now, path)):
                fields = plain.put(self.history.now, path, value_of(name, text))
                self._take(fields, path)

    def _row_edited(self, table: str, position: int, name: str, text: str) -> None:
        path = (table, position, name)
        self._take(plain.put(self.history.now, path, value_of(name, text)), path)

    def _add_row(self, table: str, position: int) -> None:
        self._rearrange(plain.with_row(self.history.now, table, position), table, position)

    def _remove_row(self, table: str, position: int) -> None:
        fields = plain.without_row(self.history.now, table, position)
        self._rearrange(fields, table, max(0, position - 1))

    def _move_row(self, table: str, position: int, to: int) -> None:
        self._rearrange(plain.with_row_moved(self.history.now, table, position, to), table, to)

    def _rearrange(self, fields: dict[str, Any], table: str, position: int) -> None:
        self._take(fields)
        self._show()
        self._tables[table].go_to(position)
        self._bring_into_view()

    def _take(self, fields: dict[str, Any], typing: plain.Path = ()) -> None:
        self.history.change(fields, typing)
        self._recheck()
        self.changed.emit()

    # Showing

    def _shown_anew(self) -> None:
        self._show()
        self._recheck()
        self.changed.emit()

    def _show(self) -> None:
        now = self.history.now
        for form in (each for each in self._parts if isinstance(each, Form)):
            places = {name: tuple(name.split(".")) for name in form.inputs}
            form.show_values(
                {name: text_of(name, plain.at(now, place)) for name, place in places.items()}
            )
        for name, rows in self._tables.items():
            rows.show_rows(plain.rows(now, name))
            self._share_undo(rows)
        self._order_tabs()

    def _order_tabs(self) -> None:
        """Let Tab follow the order of reading; Qt puts rows that come later behind everything."""
        stops = [_innermost(stop) for part in self._parts for stop in part.stops()]
        for before, after in pairwise(stops):
            QWidget.setTabOrder(before, after)

    def _recheck(self) -> None:
        before = self._default_kind()
        sign = self._context.house.decimal_sign
        self.check = check(self.history.now, self.ingredients, sign)
        if self._default_kind() != before:
            for row in self._tables["ingredient"].rows:
                for each in row.inputs["quantity"].findChildren(QuantityEdit):
                    each.reread()
        self._show_troubles()

    def _show_troubles(self) -> None:
        """Show troubles at fields that don't read themselves; what is missing only on demand."""
        found = {each.field: each.message for each in self.check.troubles}
        if not self._strict:
            found = {place: said for place, said in found.items() if said.key != MISSING}
        for name, (form, plainly_read) in self._fields.items():
            if plainly_read:
                form.inputs[name].show_trouble(found.get(name))
        for table, rows in self._tables.items():
            self._show_row_troubles(table, rows, found)

    def _show_row_troubles(
        self, table: str, rows: RowsEditor, found: dict[str | None, Message]
    ) -> None:
        fields = (*rows.table.fields, *rows.table.details)
        plainly_read = [field.name for field in fields if field.understand in PLAIN]
        for position in range(len(rows.rows)):
            for name in plainly_read:
                rows.show_trouble(position, name, found.get(f"{table}.{position}.{name}"))


def _innermost(widget: QWidget) -> QWidget:
    """Return the widget that takes the focus for another one."""
    while (inner := widget.focusProxy()) is not None:
        widget = inner
    return widget
