"""A container and how many of it: what a target means by its size, or what the person picked."""

from __future__ import annotations

from PySide6.QtCore import QRegularExpression, Signal
from PySide6.QtGui import QRegularExpressionValidator
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QWidget

from formulary.formula.content import Content
from formulary.house import Pack
from ui import theme
from ui.context import Context
from ui.formulas.targets import containers_for, fitting_packs, pack_meant, target_of
from ui.widgets.choice_box import ChoiceBox
from ui.widgets.words import label, spaced

AREA = "ui_formulas.scale"
_COUNT = QRegularExpression("[1-9][0-9]{0,4}")


class PackRow(QWidget):
    """``composed`` tells the target that container and count make, "" where none is chosen."""

    composed = Signal(str)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._target = ""
        self.box = ChoiceBox(context.text(f"{AREA}.pack"))
        self.count = QLineEdit()
        self.count.setAccessibleName(context.text(f"{AREA}.count"))
        self.count.setValidator(QRegularExpressionValidator(_COUNT, self.count))
        self.count.setFixedWidth(theme.px(56))
        row = QHBoxLayout(self)
        spaced(row, inside=8)
        row.addWidget(self.box, 1)
        row.addWidget(label(context.text(f"{AREA}.times"), "quiet", wrap=False))
        row.addWidget(self.count)
        self.setFocusProxy(self.box)
        self.box.activated.connect(self._pick)
        self.count.textEdited.connect(self._compose)

    def offer(self, content: Content) -> None:
        """Offer the containers for a formula; the one chosen stays chosen."""
        none = (self._context.text(f"{AREA}.no_pack"), None)
        packs = fitting_packs(content, self._context.house)
        self.box.fill([none, *((each.name, each) for each in packs)])

    def chosen(self) -> Pack | None:
        """Return the container chosen."""
        found = self.box.currentData()
        return found if isinstance(found, Pack) else None

    def follow(self, target: str) -> None:
        """Choose the container that a typed target means, if it means one alone."""
        self._show(*self._meant(target))

    def choose_none(self, target: str) -> None:
        """Choose no container for a target that nobody typed: its size names none."""
        self._show(self._meant(target)[0], None)

    def _meant(self, target: str) -> tuple[int, Pack | None]:
        self._target = target
        sign = self._context.house.decimal_sign
        every = (self.box.itemData(position) for position in range(self.box.count()))
        packs = tuple(each for each in every if isinstance(each, Pack))
        return pack_meant(target, packs, sign, self.chosen())

    def _show(self, count: int, pack: Pack | None) -> None:
        self.count.setText(str(count) if count else "")
        self.box.choose(pack)

    def _pick(self) -> None:
        """Take so many of the container picked that what was ordered goes in."""
        pack = self.chosen()
        if pack is not None:
            sign = self._context.house.decimal_sign
            self.count.setText(str(containers_for(self._target, pack, sign)))
        self._compose()

    def _compose(self) -> None:
        pack, sign = self.chosen(), self._context.house.decimal_sign
        self.composed.emit(target_of(int(self.count.text() or 1), pack, sign) if pack else "")
