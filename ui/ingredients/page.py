"""The page *Ingredients*: the list on the left, the editor beside it. Unsaved edits are kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QStackedLayout, QVBoxLayout, QWidget

from formulary.desk import Desk
from formulary.errors import BadText, Conflict, FormularyError, Refusal
from formulary.ids import new_id
from formulary.ingredient import Ingredient
from formulary.ingredient_text import ingredient_of, texts_of
from formulary.messages import Message, message
from formulary.verbs.keep_records import save_ingredient
from formulary.verbs.take_over_tables import INGREDIENTS
from ui import theme
from ui.context import Context, Topic
from ui.forms import kept_edits
from ui.forms.both_versions import BothVersions, differing
from ui.forms.form import Form
from ui.forms.leaf import fit_index, leaf
from ui.forms.unsaved import Unsaved
from ui.ingredients.ingredient_fields import ingredient_fields
from ui.ingredients.ingredient_list import IngredientList
from ui.ingredients.sheet_panel import SheetPanel
from ui.tables.table_panel import TablePanel
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, hairline, label, spaced

AREA = "ingredients"
INDEX_WIDTH = 320
REVISION = "revision"
"""Beside the fields: the revision that the edits began on, so that a conflict is seen."""


class IngredientsPage(QWidget):
    """Edits ingredients; going elsewhere loses nothing, only saving changes the formulary."""

    help_page = "ingredients"

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._stored: dict[str, Ingredient] = {}
        self._edits: kept_edits.Edits = {}
        self._chosen = ""
        self._house_id = ""
        self._editing = QWidget()
        self.table = TablePanel(context, INGREDIENTS, AREA, Topic.INGREDIENTS)
        self.index = IngredientList(context)
        self.title = label(role="title")
        self.form = Form(context, "ui_ingredients", ingredient_fields(context))
        self.sheet = SheetPanel(context, self._editing)
        self.both = BothVersions(context)
        self._make_actions()
        self._lay_out()
        self._connect()
        self._show_editor()

    def take(self, subject: object) -> None:
        """Show the ingredient with an id or a name."""
        if isinstance(subject, str):
            self._chosen = subject
            self._stack.setCurrentWidget(self._editing)

    def shown(self) -> None:
        """Read the ingredients anew."""
        self._take_house()
        self._context.do(_ingredients, self._arrived, lane="ingredients.list")
        if self._stack.currentWidget() is self._editing:
            self.index.search.setFocus()

    def record_in_view(self) -> str:
        """Return the name of the ingredient in view, as it is kept."""
        found = self._stored.get(self._chosen)
        return found.name if found is not None else ""

    def keep_draft(self) -> None:
        """Keep the unsaved edits on this computer."""
        if self._house_id:
            kept_edits.keep(self._house_id, AREA, self._edits)

    def _take_house(self) -> None:
        if self._house_id != self._context.house.id:
            self._house_id = self._context.house.id
            self._edits = kept_edits.kept(self._house_id, AREA)

    def _make_actions(self) -> None:
        text, own = self._context.text, self._editing
        self.save = action(own, text("ui_ingredients.save"), "Ctrl+S", self._save)
        self.new = action(own, text("ui_ingredients.new"), "Ctrl+N", self._new)
        self.undo = action(own, text("ui_ingredients.undo"), "Ctrl+Shift+Z", self._undo)
        self.read = action(own, text("ui_tables.read"), "Ctrl+O", self._show_table)
        self.index.offer(self.new)
        self.index.offer(self.read)
        action(own, text("ui_ingredients.to_list"), "Esc", self.index.list.setFocus)

    def _lay_out(self) -> None:
        editor = QWidget()
        box = QVBoxLayout(editor)
        spaced(box, inside=12, around=24)
        box.addWidget(self.title)
        box.addWidget(self.both)
        box.addWidget(self.form)
        box.addWidget(self.sheet)
        box.addStretch(1)
        right = QVBoxLayout()
        spaced(right, inside=0)
        right.addWidget(leaf(editor), 1)
        right.addWidget(hairline())
        right.addWidget(self._save_bar())
        row = QHBoxLayout(self._editing)
        spaced(row, inside=0)
        row.addWidget(self.index)
        row.addLayout(right, 1)
        self._stack = QStackedLayout(self)
        self._stack.addWidget(self._editing)
        self._stack.addWidget(self.table)
        self._editor = editor

    def _save_bar(self) -> QWidget:
        bar = QWidget()
        row = FlowLayout(gap=12)
        save = button(self.save, accent=True)
        save.setAutoDefault(True)
        self.unsaved = Unsaved(self._context)
        for each in (save, button(self.undo), self.unsaved):
            row.addWidget(each)
        box = QVBoxLayout(bar)
        spaced(box)
        box.setContentsMargins(theme.px(24), theme.px(12), theme.px(24), theme.px(12))
        box.addLayout(row)
        return bar

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave the editor enough room."""
        super().resizeEvent(event)
        fit_index(self.index, event.size().width(), INDEX_WIDTH)

    def _connect(self) -> None:
        self.index.chosen.connect(self._choose)
        self.index.entered.connect(self._into_form)
        self.form.edited.connect(self._edited)
        self.sheet.changed.connect(self._sheet_attached)
        self.both.mine_wanted.connect(self._save_over)
        self.both.theirs_wanted.connect(self._undo)
        self.table.left.connect(self._show_list)
        self._context.changed.connect(self._changed)

    def _show_table(self) -> None:
        self._stack.setCurrentWidget(self.table)
        self.table.begin()

    def _show_list(self) -> None:
        self._stack.setCurrentWidget(self._editing)
        self.index.search.setFocus()

    def _changed(self, topic: str) -> None:
        if topic == Topic.INGREDIENTS.value and self._house_id:
            self._context.do(_ingredients, self._renewed, lane="ingredients.list")

    def _renewed(self, ingredients: Sequence[Ingredient]) -> None:
        """List what somebody changed meanwhile; what is being typed here stays."""
        self._stored = {each.id: each for each in ingredients}
        self._list_anew(self._chosen)
        if self._chosen not in self._edits:
            self._show_editor()

    def _arrived(self, ingredients: Sequence[Ingredient]) -> None:
        before = self._chosen
        self._stored = {each.id: each for each in ingredients}
        self._chosen = self._id_of(before)
        self._list_anew(self._chosen)
        self._show_editor()

    def _id_of(self, wanted: str) -> str:
        """Return the id of an ingredient called by its id or name."""
        if wanted in self._stored or wanted in self._edits:
            return wanted
        named = [each.id for each in self._stored.values() if each.name == wanted]
        return named[0] if named else ""

    def _list_anew(self, chosen: str) -> None:
        new = [
            Ingredient(record_id, values.get("name", ""))
            for record_id, values in self._edits.items()
            if record_id not in self._stored
        ]
        self.index.show_ingredients([*self._stored.values(), *new], self._edits, chosen)

    def _choose(self, record_id: str) -> None:
        self._chosen = record_id
        self._show_editor()

    def _show_editor(self) -> None:
        record = self._record()
        self.both.hide()
        self._editor.setVisible(record is not None)
        if record is not None:
            texts = texts_of(record, self._context.catalogue)
            # Edits kept by an older program lack the fields that it didn't have.
            self.form.show_values(texts | self._edits.get(record.id, {}))
            self.sheet.show_record(record, is_stored=record.id in self._stored)
            self.title.setText(record.name or self._context.text("ui_ingredients.unnamed"))
        self._show_state()

    def _record(self) -> Ingredient | None:
        """Return what is stored of the one chosen; a new one is empty."""
        if self._chosen in self._stored:
            return self._stored[self._chosen]
        return Ingredient(self._chosen, "") if self._chosen in self._edits else None

    def _show_state(self) -> None:
        unsaved = self._chosen in self._edits
        self.unsaved.setVisible(unsaved)
        self.save.setEnabled(unsaved)
        self.undo.setEnabled(unsaved)

    def _into_form(self) -> None:
        self.form.inputs["name"].setFocus()

    def _edited(self) -> None:
        record = self._record()
        if record is None:
            return
        values = self.form.values()
        if values == texts_of(record, self._context.catalogue) and record.id in self._stored:
            self._edits.pop(record.id, None)
        else:
            begun_on = self._edits.get(record.id, {}).get(REVISION, str(record.revision))
            self._edits[record.id] = values | {REVISION: begun_on}
        self.keep_draft()
        self.index.mark(self._edits)
        self._show_state()

    def _new(self) -> None:
        record_id = new_id()
        self._edits[record_id] = texts_of(Ingredient(record_id, ""), self._context.catalogue)
        self._chosen = record_id
        self.index.search.clear()
        self._list_anew(record_id)
        self._show_editor()
        self.form.inputs["name"].setFocus()

    def _undo(self) -> None:
        self._edits.pop(self._chosen, None)
        self.keep_draft()
        self._list_anew(self._chosen)
        self._choose(self.index.current())

    def _save(self) -> None:
        record = self._record()
        if record is None or not self.save.isEnabled():
            return
        faulty = self.form.first_trouble()
        if faulty:
            self.form.inputs[faulty].setFocus()
            self._context.say.refuse(message("ui_ingredients.mend_first"))
            return
        try:
            begun_on = replace(record, revision=int(self._edits[record.id].get(REVISION, "0")))
            wanted = ingredient_of(self.form.values(), begun_on, self._context.house.decimal_sign)
        except BadText as error:
            self.form.show_trouble(error.field or "name", error.message)
            return
        self._context.do(
            lambda desk: save_ingredient(desk, wanted),
            self._saved,
            changes=(Topic.INGREDIENTS,),
            failed=self._not_saved,
        )

    def _saved(self, saved: Ingredient) -> None:
        self._edits.pop(saved.id, None)
        self.keep_draft()
        self._stored[saved.id] = saved
        self._list_anew(self._chosen)
        self._show_editor()
        self._context.say.tell("ui_ingredients.saved", name=saved.name)

    def _sheet_attached(self, kept: Ingredient) -> None:
        """Go on from the record with its sheet; what is typed meanwhile stays typed."""
        self._stored[kept.id] = kept
        if kept.id in self._edits:
            self._edits[kept.id][REVISION] = str(kept.revision)
            self.keep_draft()
        self._show_editor()

    def _not_saved(self, error: FormularyError) -> None:
        """Say why; what somebody else saved meanwhile is read, the edits stay."""
        self._context.say.refuse(error)
        if isinstance(error, BadText):
            self.form.show_trouble(error.field or "name", error.message)
        elif isinstance(error, Refusal) and error.message.key == "verbs.ingredient_taken":
            self.form.show_trouble("name", error.message)
        elif isinstance(error, Conflict):
            self._context.do(_ingredients, lambda found: self._ask_which(found, error.message))
        else:
            self._context.do(_ingredients, self._arrived, lane="ingredients.list")

    def _ask_which(self, ingredients: Sequence[Ingredient], why: Message) -> None:
        """Show what somebody else saved beside what is typed here."""
        self._renewed(ingredients)
        stored, typed = self._stored.get(self._chosen), self._edits.get(self._chosen)
        if stored is None or typed is None:
            return
        text = self._context.text
        names = {each: text(f"ui_ingredients.field.{each}") for each in self.form.inputs}
        theirs = texts_of(stored, self._context.catalogue)
        self.both.ask(why, differing(names, theirs, typed))

    def _save_over(self) -> None:
        """Save what is typed here over what somebody else saved, now that both were seen."""
        self._edits[self._chosen][REVISION] = str(self._stored[self._chosen].revision)
        self._save()


def _ingredients(desk: Desk) -> tuple[Ingredient, ...]:
    return tuple(desk.store.every(Ingredient))
