"""One line of a prescription as written, beside what it is read as, for a person to confirm."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QCompleter, QGridLayout, QLineEdit, QVBoxLayout, QWidget

from formulary.errors import BadText, FormularyError
from formulary.formula.content import Role
from formulary.messages import message
from formulary.prescription.composing import (
    MAY_BE_INGREDIENTS,
    Answer,
    as_proposed,
    confirmed,
)
from formulary.prescription.lines import ReadLine, Sort
from ui import theme
from ui.context import Context
from ui.forms.signed_text import SignedText
from ui.formulas.editor.meanings import quantity
from ui.orders.order_model import AREA
from ui.signs import Sign
from ui.widgets.choice_box import ChoiceBox
from ui.widgets.quantity_edit import NO_MEANING, Meaning, QuantityEdit
from ui.widgets.words import action, button, label, spaced

TEXT_WIDTH, ROOMY, LEAST = 160, 860, 480
_OF_QUANTITY = "prescription.meaning.quantity"


class LineRow(QWidget):
    """Shows a line; Enter confirms it and ``done`` tells so."""

    done = Signal()

    def __init__(
        self, context: Context, position: int, line: ReadLine, known: Mapping[str, str]
    ) -> None:
        super().__init__()
        self._context, self._position, self._line, self._known = context, position, line, known
        text = context.text
        of_line = {"n": position + 1}
        self.is_confirmed = False
        self.ingredient = QuantityEdit(
            text(f"{AREA}.line.ingredient", **of_line), self._is_known, context.said
        )
        self.quantity = QuantityEdit(
            text(f"{AREA}.line.quantity", **of_line),
            quantity(context, lambda: None),
            context.said,
        )
        self.role = ChoiceBox(text(f"{AREA}.line.role", **of_line))
        self.aside = QLineEdit()
        self.aside.setAccessibleName(text(f"{AREA}.line.aside", **of_line))
        self.aside.setPlaceholderText(text(f"{AREA}.line.aside_hint"))
        self._fields = QGridLayout()
        self._narrow = False
        self.doubts = SignedText(context, Sign.TRIANGLE, "thought", worded=False)
        self.trouble = SignedText(context, Sign.OCTAGON, "stop", worded=False)
        self.standing = SignedText(context, Sign.TICK, "inside", worded=False)
        confirm = action(self, text(f"{AREA}.line.confirm"), "", self.confirm)
        self.confirm_button = button(confirm)
        self.confirm_button.setAutoDefault(True)
        self.confirm_button.setAccessibleName(text(f"{AREA}.line.confirm_line", text=line.text))
        self._lay_out()
        self._propose()
        self._connect()

    @property
    def takes_ingredient(self) -> bool:
        """Whether this line could be an ingredient."""
        return self._line.sort in MAY_BE_INGREDIENTS or (
            self._line.sort is Sort.QUANTITY and bool(self._line.doubts)
        )

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the fields below each other where it is narrow."""
        super().resizeEvent(event)
        narrow = event.size().width() < theme.px(ROOMY)
        if narrow != self._narrow and self.takes_ingredient:
            self._narrow = narrow
            self._place_fields(narrow=narrow)

    def minimumSizeHint(self) -> QSize:
        """Ask for little width, since the fields may stand below each other."""
        return QSize(theme.px(LEAST), super().minimumSizeHint().height())

    def answer(self) -> Answer:
        """Return what stands in the fields."""
        name = self.ingredient.text().strip()
        if not self.takes_ingredient or not name:
            return Answer(self._position, aside=self.aside.text().strip())
        return Answer(
            self._position,
            name,
            self._known.get(name, ""),
            self.quantity.text().strip(),
            Role(str(self.role.currentData())),
        )

    def confirm(self) -> None:
        """Confirm what stands here, or say what keeps it from being confirmed."""
        try:
            self._require_sound()
            confirmed(self._line, self.answer(), self._context.house.decimal_sign)
        except FormularyError as error:
            self.trouble.say([self._context.said(error.message)])
            return
        self.trouble.say([])
        self.is_confirmed = True
        self.standing.say([self._context.text(f"{AREA}.line.confirmed")])
        self.done.emit()

    def take_focus(self) -> None:
        """Begin where something is to be decided."""
        first: QWidget = self.confirm_button
        if self.takes_ingredient and not self.ingredient.text().strip():
            first = self.ingredient
        elif self.takes_ingredient and not self.quantity.text().strip():
            first = self.quantity
        first.setFocus(Qt.FocusReason.OtherFocusReason)

    def _require_sound(self) -> None:
        for edit in (self.ingredient, self.quantity):
            if self.takes_ingredient and edit.trouble is not None:
                raise BadText(edit.trouble)
            if self.takes_ingredient and edit.meaning.question is not None:
                raise BadText(edit.meaning.question)

    def _is_known(self, typed: str) -> Meaning:
        if typed.strip() not in self._known:
            raise BadText(message(f"{AREA}.unknown_ingredient", typed=typed.strip()))
        return NO_MEANING

    def _lay_out(self) -> None:
        written = label(self._line.text)
        sort = label(self._context.text(f"prescription.sort.{self._line.sort.value}"), "note")
        left = QVBoxLayout()
        spaced(left, inside=2)
        left.addWidget(written)
        left.addWidget(sort)
        left.addStretch(1)
        # A quantity's own meaning stands below its field.
        beyond = [each for each in self._line.meaning if each.key != _OF_QUANTITY]
        meant = [self._context.said(each) for each in beyond]
        right = QVBoxLayout()
        spaced(right, inside=4)
        if self.takes_ingredient:
            spaced(self._fields, inside=8)
            self._place_fields(narrow=False)
            right.addLayout(self._fields)
        if meant:
            right.addWidget(label("\n".join(meant), "quiet"))
        for part in (self.doubts, self.trouble, self.standing):
            right.addWidget(part)
        whole = QGridLayout(self)
        spaced(whole, inside=12)
        whole.setColumnMinimumWidth(0, theme.px(TEXT_WIDTH))
        whole.setColumnStretch(0, 2)
        whole.setColumnStretch(1, 5)
        whole.addLayout(left, 0, 0)
        whole.addLayout(right, 0, 1)
        whole.addWidget(self.confirm_button, 0, 2, Qt.AlignmentFlag.AlignTop)
        # Only now, since what is shown without a parent is a window of its own.
        self.doubts.say([self._context.said(each) for each in self._line.doubts])

    def _place_fields(self, *, narrow: bool) -> None:
        """Put the fields side by side, or below each other where that would clip them."""
        top = Qt.AlignmentFlag.AlignTop
        for column, (part, stretch) in enumerate(
            ((self.ingredient, 4), (self.quantity, 3), (self.role, 2))
        ):
            self._fields.removeWidget(part)
            self._fields.addWidget(part, *((column, 0) if narrow else (0, column)), top)
            self._fields.setColumnStretch(column, 0 if narrow and column else stretch)
        self._fields.removeWidget(self.aside)
        self._fields.addWidget(self.aside, 3, 0, 1, 1 if narrow else 3)

    def _propose(self) -> None:
        """Fill in what was read; where nothing was, the alternatives are offered."""
        proposed = as_proposed(self._position, self._line)
        roles = [
            (self._context.text(f"formula.role.{role.name.lower()}"), role.value) for role in Role
        ]
        self.role.fill(roles)
        self.role.choose(proposed.role.value)
        likely = [each.name for each in self._line.alternatives]
        names = [*likely, *(name for name in self._known if name not in likely)]
        completer = QCompleter(names, self)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        self.ingredient.line.setCompleter(completer)
        self.ingredient.set_text(proposed.ingredient)
        self.quantity.set_text(proposed.quantity)
        self._show_aside()

    def _connect(self) -> None:
        for line in (self.ingredient.line, self.quantity.line, self.aside):
            line.returnPressed.connect(self.confirm)
            line.textChanged.connect(lambda _: self._edited())
        self.role.currentIndexChanged.connect(lambda _: self._edited())

    def _edited(self) -> None:
        self.is_confirmed = False
        self.standing.say([])
        self.trouble.say([])
        self._show_aside()

    def _show_aside(self) -> None:
        """Ask why it is left out where no ingredient stands."""
        self.aside.setVisible(self.takes_ingredient and not self.ingredient.text().strip())
