"""The ingredients as a list, found by name, Latin name or synonym."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QLineEdit, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from formulary.folding import folded_words, sought_words
from formulary.ingredient import Ingredient
from ui.context import Context
from ui.widgets.words import action, button, label, set_role, spaced


class IngredientList(QWidget):
    """A search field over a list; ``chosen`` tells the id of the one come to, "" for none."""

    chosen = Signal(str)
    entered = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._ingredients: tuple[Ingredient, ...] = ()
        self._unsaved: Collection[str] = ()
        self.setObjectName("index")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.search = QLineEdit()
        self.search.setAccessibleName(context.text("ui_ingredients.search"))
        self.search.setPlaceholderText(context.text("ui_ingredients.search"))
        self.search.setClearButtonEnabled(True)
        self.nothing = label(role="quiet")
        self.list = QListWidget()
        self.list.setAccessibleName(context.text("ui_ingredients.name"))
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        set_role(self.list, "words")
        box = QVBoxLayout(self)
        spaced(box, inside=8, around=12)
        self._box = box
        for widget in (self.search, self.nothing, self.list):
            box.addWidget(widget)
        self.search.textEdited.connect(lambda _: self._show(self.current()))
        self.search.returnPressed.connect(self.list.setFocus)
        action(self.search, context.text("ui_register.into_list"), "Down", self.list.setFocus)
        self.list.currentItemChanged.connect(lambda *_: self.chosen.emit(self.current()))
        self.list.itemActivated.connect(lambda _: self.entered.emit())

    def offer(self, act: QAction) -> None:
        """Offer an act below the list."""
        self._box.addWidget(button(act))

    def current(self) -> str:
        """Return the id of the ingredient come to, "" for none."""
        index = self.list.currentIndex()
        return str(index.data(Qt.ItemDataRole.UserRole)) if index.isValid() else ""

    def show_ingredients(
        self, ingredients: Sequence[Ingredient], unsaved: Collection[str], chosen: str
    ) -> None:
        """Show the ingredients by name, marking those with unsaved edits."""
        self._ingredients = tuple(sorted(ingredients, key=lambda each: folded_words(each.name)))
        self._unsaved = unsaved
        self._show(chosen)

    def mark(self, unsaved: Collection[str]) -> None:
        """Mark those with unsaved edits and no others."""
        self._unsaved = unsaved
        names = {each.id: each.name for each in self._ingredients}
        for row in range(self.list.count()):
            item = self.list.item(row)
            record_id = str(item.data(Qt.ItemDataRole.UserRole))
            item.setText(self._said(record_id, names[record_id]))

    def _show(self, chosen: str) -> None:
        words = sought_words(self.search.text())
        found = [each for each in self._ingredients if _fits(each, words)]
        self.list.blockSignals(True)
        self.list.clear()
        for each in found:
            item = QListWidgetItem(self._said(each.id, each.name), self.list)
            item.setData(Qt.ItemDataRole.UserRole, each.id)
            item.setToolTip(", ".join(filter(None, (each.latin, *each.synonyms))))
        ids = [each.id for each in found]
        self.list.setCurrentRow(ids.index(chosen) if chosen in ids else min(0, len(ids) - 1))
        self.list.blockSignals(False)
        self._show_nothing(found=bool(found))
        if self.current() != chosen:
            self.chosen.emit(self.current())

    def _show_nothing(self, *, found: bool) -> None:
        key = "ui_ingredients.not_found" if self._ingredients else "ui_ingredients.nothing"
        self.nothing.setText(self._context.text(key))
        self.nothing.setVisible(not found)

    def _said(self, record_id: str, name: str) -> str:
        if record_id not in self._unsaved:
            return name or self._context.text("ui_ingredients.unnamed")
        named = name or self._context.text("ui_ingredients.unnamed")
        return self._context.text("ui_ingredients.unsaved_row", name=named)


def _fits(ingredient: Ingredient, words: Sequence[str]) -> bool:
    """Tell whether every word sought begins a word of the ingredient's names."""
    names = (ingredient.name, ingredient.latin, *ingredient.synonyms)
    own = [word for name in names for word in folded_words(name)]
    return all(any(each.startswith(word) for each in own) for word in words)
