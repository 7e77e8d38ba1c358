"""The register of controlled substances: date, in, out, balance and both people; printable."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QTreeWidgetItem, QVBoxLayout, QWidget

from formulary.desk import Desk
from formulary.quantity.amount import Amount
from formulary.stock.controlled_register import Entry
from formulary.verbs.read_controlled import ControlledRegister, read_controlled
from ui import signs, theme
from ui.context import Context
from ui.files import PDF, ask_to_save, writing_to
from ui.forms.leaf import leaf
from ui.stock.fitted_tree import FittedTree
from ui.widgets.choice_box import ChoiceBox
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

AREA = "ui_stock.controlled"
_COLUMNS = ("at", "what", "container", "into", "out", "balance", "people", "what_for")
_FIGURES = (3, 4, 5)
_GIVEN_UP = (7, 2)
LEAST_HEIGHT = 240


class Controlled(QWidget):
    """Shows one substance's register; ``left`` tells that the person stepped back."""

    left = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._registers: tuple[ControlledRegister, ...] = ()
        text = context.text
        self.which = ChoiceBox(text(f"{AREA}.which"))
        self.balance = label(role="title")
        self.nothing = label(text(f"{AREA}.nothing"), "quiet")
        names = [text(f"{AREA}.{each}") for each in _COLUMNS]
        self.list = FittedTree(text(f"{AREA}.name"), names, _GIVEN_UP)
        self.list.setRootIsDecorated(False)
        self.list.setMinimumHeight(theme.px(LEAST_HEIGHT))
        self.save = action(self, text(f"{AREA}.save"), "Ctrl+S", self._save)
        self.back = action(self, text("ui_stock.back"), "Esc", self.left.emit)
        self.which.currentIndexChanged.connect(lambda _: self._show())
        self._lay_out()

    def begin(self) -> None:
        """Read the registers."""
        self._context.do(read_controlled, self._arrived, lane="stock.controlled")

    def _lay_out(self) -> None:
        row = FlowLayout()
        row.addWidget(button(self.save, accent=True))
        row.addWidget(button(self.back))
        inside = QWidget()
        whole = QVBoxLayout(self)
        spaced(whole, inside=0)
        whole.addWidget(leaf(inside))
        box = QVBoxLayout(inside)
        spaced(box, inside=12, around=24)
        box.addWidget(label(self._context.text(f"{AREA}.name"), "title"))
        for part in (self.which, self.balance, self.nothing):
            box.addWidget(part)
        box.addWidget(self.list, 1)
        box.addLayout(row)

    def _arrived(self, registers: Sequence[ControlledRegister]) -> None:
        self._registers = tuple(registers)
        self.which.fill([(each.ingredient, each.ingredient) for each in registers])
        self._show()
        (self.which if registers else self).setFocus()

    def _current(self) -> ControlledRegister | None:
        at = self.which.currentIndex()
        return self._registers[at] if 0 <= at < len(self._registers) else None

    def _show(self) -> None:
        register = self._current()
        there = register is not None
        for part in (self.which, self.balance, self.list):
            part.setVisible(there)
        self.nothing.setVisible(not there)
        self.save.setEnabled(there)
        self.list.clear()
        if register is None:
            return
        self.balance.setText(self._said(register))
        for each in reversed(register.entries):
            self._add(each)
        self.list.fit()

    def _said(self, register: ControlledRegister) -> str:
        if register.balance is None:
            return self._context.text(f"{AREA}.never_came")
        return self._context.text(f"{AREA}.balance_now", balance=register.balance)

    def _add(self, entry: Entry) -> None:
        written = self._context.catalogue.written
        cause = self._context.text(f"stock.cause.{entry.cause.value}")
        what = self._context.text(f"{AREA}.differs", cause=cause) if entry.differs else cause
        texts = (
            written(entry.at),
            what,
            entry.container,
            self._figure(entry.into),
            self._figure(entry.out),
            written(entry.balance),
            " + ".join(entry.people),
            " ".join(filter(None, (entry.what_for, entry.alone_because))),
        )
        item = QTreeWidgetItem(self.list, list(texts))
        if entry.differs:
            item.setIcon(1, signs.icon(signs.Sign.TRIANGLE))
        for column in _FIGURES:
            right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
            item.setTextAlignment(column, right)

    def _figure(self, amount: Amount | None) -> str:
        return "" if amount is None else self._context.catalogue.written(amount)

    def _save(self) -> None:
        register = self._current()
        if register is None:
            return
        proposed = self._context.text(f"{AREA}.file", what=register.ingredient)

        def write(path: Path) -> None:
            self._context.do(
                lambda desk: _write(desk, register, path),
                lambda _: self._context.say.tell(f"{AREA}.saved", name=str(path)),
            )

        ask_to_save(self, self.save.text(), f"{proposed}.pdf", write, PDF)


def _write(desk: Desk, register: ControlledRegister, path: Path) -> None:
    from formulary.labels.drawing import draw
    from formulary.papers.controlled_paper import ControlledSubject, controlled_pages
    from formulary.papers.printed import printed_now

    pages = controlled_pages(ControlledSubject(desk.house, register, printed_now(desk)))
    with writing_to(path):
        draw(pages, path, title=register.ingredient)
