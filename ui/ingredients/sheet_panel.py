"""The safety data sheet of an ingredient: what is attached, and another one to attach."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from formulary.desk import Desk
from formulary.ingredient import Ingredient
from formulary.verbs.attach_sheet import attach_sheet, sheet_file
from ui import signs
from ui.context import Context, Topic
from ui.files import ask_to_open, ask_to_save, read_file, writing_to
from ui.forms.days import today
from ui.forms.fields import FormField
from ui.forms.signed_text import SignedText
from ui.ingredients.ingredient_fields import a_day
from ui.settings.balance_texts import day_of
from ui.stock.question import Question
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

AREA = "ui_ingredients"


class SheetPanel(QWidget):
    """Shows the sheet of one ingredient; ``changed`` gives the record with a new one.

    Its keys are live on all of the ``page``.
    """

    changed = Signal(object)

    def __init__(self, context: Context, page: QWidget) -> None:
        super().__init__()
        self._context = context
        self._record: Ingredient | None = None
        text = context.text
        self.said = label(role="quiet")
        self.due = SignedText(context, signs.Sign.TRIANGLE, "thought", worded=False)
        self.question = Question(context)
        self.attach = action(page, text(f"{AREA}.sheet"), "Ctrl+Shift+J", self._attach)
        self.save = action(page, text(f"{AREA}.sheet_save"), "Ctrl+Shift+S", self._save)
        row = FlowLayout()
        row.addWidget(button(self.attach))
        row.addWidget(button(self.save))
        box = QVBoxLayout(self)
        spaced(box, inside=8)
        for part in (self.due, self.said):
            box.addWidget(part)
        box.addLayout(row)
        box.addWidget(self.question)

    def show_record(self, record: Ingredient, *, is_stored: bool) -> None:
        """Show what is attached to a record; to one that isn't saved yet nothing can be."""
        if self._record is None or self._record.id != record.id:
            self.question.ask_nothing()
        self._record = record
        self.said.setText(self._said(record))
        is_due = record.handling.is_due(today(self._context))
        self.due.say([self._context.text("ingredient.caution.sheet_due")] if is_due else [])
        self.attach.setEnabled(is_stored)
        self.save.setEnabled(record.handling.sheet is not None)

    def _said(self, record: Ingredient) -> str:
        sheet = record.handling.sheet
        if sheet is None:
            return self._context.text(f"{AREA}.sheet_missing")
        return self._context.text(f"{AREA}.sheet_there", name=sheet.file.name, day=sheet.revised_on)

    def _attach(self) -> None:
        text = self._context.text
        ask_to_open(self, text(f"{AREA}.sheet"), self._ask_day, text("ui_stock.documents"))

    def _ask_day(self, path: Path) -> None:
        record = self._record
        if record is None:
            return

        def run(said: dict[str, str]) -> None:
            day = day_of(said["sheet_revised"].strip())
            self._context.do(
                lambda desk: attach_sheet(desk, record.id, path.name, read_file(path), day),
                lambda kept: self._attached(kept, path.name),
                changes=(Topic.INGREDIENTS,),
            )

        field = FormField("sheet_revised", understand=a_day, required=True)
        self.question.ask(self.attach.text(), self.attach.text(), AREA, (field,), run)

    def _attached(self, kept: Ingredient, name: str) -> None:
        self.question.ask_nothing()
        self._context.say.tell(f"{AREA}.sheet_attached", name=name)
        self.changed.emit(kept)

    def _save(self) -> None:
        record = self._record
        sheet = record.handling.sheet if record is not None else None
        if record is None or sheet is None:
            return

        def write(path: Path) -> None:
            self._context.do(
                lambda desk: _write(desk, record, path),
                lambda _: self._context.say.tell(f"{AREA}.sheet_saved", name=str(path)),
            )

        ask_to_save(self, self.save.text(), sheet.file.name, write)


def _write(desk: Desk, record: Ingredient, path: Path) -> None:
    data = sheet_file(desk.store, record)
    with writing_to(path):
        path.write_bytes(data)
