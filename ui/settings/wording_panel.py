"""What labels say in each language: read, put in the house's own words, approved by signature."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from formulary.catalogue import shipped_text
from formulary.errors import FormularyError
from formulary.messages import message
from formulary.verbs.wordings import (
    WordingSeen,
    approve_wordings,
    change_wording,
    wordings_in,
)
from formulary.wording.book import Submitted
from formulary.wording.reading import to_read
from ui import theme
from ui.context import Context
from ui.forms.fields import FormField, Kind
from ui.forms.inputs import TextInput
from ui.forms.languages import language_choices
from ui.forms.understanding import label_text
from ui.widgets.choice_box import ChoiceBox
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, set_role, spaced

AREA = "ui_wording"
LEAST_LIST = 200


class WordingPanel(QWidget):
    """Lists the wordings of one language; what is approved or changed here is kept at once."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._seen: tuple[WordingSeen, ...] = ()
        text = context.text
        self.language = ChoiceBox(text(f"{AREA}.language"))
        self.waiting_only = QCheckBox(text(f"{AREA}.waiting_only"))
        self.list = set_role(QListWidget(), "field")
        self.list.setAccessibleName(text(f"{AREA}.list"))
        self.list.setWordWrap(True)
        self.list.setMinimumHeight(theme.px(LEAST_LIST))
        self.count = label(role="quiet")
        self.state = label(role="note")
        self.english = label(role="quiet")
        field = FormField("text", Kind.TEXT, label_text)
        self.text = TextInput(field, text(f"{AREA}.text"), context.said)
        self.keep = action(self, text(f"{AREA}.keep"), "Ctrl+Return", self._keep)
        self.shipped = action(self, text(f"{AREA}.shipped"), "", self._take_shipped)
        self.approve = action(self, text(f"{AREA}.approve"), "Ctrl+Shift+I", self._approve)
        self.choose_all = action(self, text(f"{AREA}.choose_all"), "Ctrl+Shift+T", self._choose_all)
        self._lay_out()
        self.language.currentIndexChanged.connect(self.read)
        self.waiting_only.clicked.connect(self._show)
        self.list.currentRowChanged.connect(self._show_current)
        self.list.itemChanged.connect(lambda _: self._count())

    def begin(self) -> None:
        """Offer the languages, the house's own first, and read."""
        self.language.fill(language_choices(self._context, "label"))
        if self.language.currentIndex() <= 0:
            self.language.choose(self._context.house.label_language)
        self.read()

    def read(self) -> None:
        """Ask for the wordings of the chosen language."""
        language = self._language()
        self._context.do(
            lambda desk: wordings_in(desk.store, language), self._arrived, lane="settings.wording"
        )

    def _lay_out(self) -> None:
        box = QVBoxLayout(self)
        spaced(box, inside=8)
        top = FlowLayout(gap=12)
        for part in (self.language, self.waiting_only):
            top.addWidget(part)
        box.addLayout(top)
        box.addWidget(self.list, 1)
        box.addWidget(self.count)
        marking = FlowLayout(gap=12)
        marking.addWidget(button(self.approve, accent=True))
        marking.addWidget(button(self.choose_all))
        box.addLayout(marking)
        box.addWidget(self.state)
        box.addWidget(self.english)
        box.addWidget(self.text)
        writing = FlowLayout(gap=12)
        writing.addWidget(button(self.keep))
        writing.addWidget(button(self.shipped))
        box.addLayout(writing)

    def _arrived(self, seen: Sequence[WordingSeen]) -> None:
        self._seen = tuple(seen)
        self._show()

    def _show(self) -> None:
        """List the wordings; those that wait can be marked."""
        code, before = self._code_come_to(), max(self.list.currentRow(), 0)
        scrolled = self.list.verticalScrollBar().value()
        self.list.blockSignals(True)
        self.list.clear()
        for each in self._seen:
            if each.by is None or not self.waiting_only.isChecked():
                self.list.addItem(self._item(each))
        codes = [self._at(row).wording.code for row in range(self.list.count())]
        # Where what one came to is gone from the list, one goes on at what follows it.
        row = codes.index(code) if code in codes else min(before, len(codes) - 1)
        self.list.setCurrentRow(row)
        self.list.verticalScrollBar().setValue(scrolled)
        self.list.scrollToItem(self.list.item(row))
        self.list.blockSignals(False)
        self._show_current()
        self._count()

    def _item(self, seen: WordingSeen) -> QListWidgetItem:
        key = "waits" if seen.by is None else "approved"
        said = self._context.text(f"{AREA}.{key}", text=" / ".join(seen.wording.text.splitlines()))
        item = QListWidgetItem(said)
        item.setData(Qt.ItemDataRole.UserRole, seen)
        if seen.by is None:
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(Qt.CheckState.Unchecked)
        return item

    def _at(self, row: int) -> WordingSeen:
        seen: WordingSeen = self.list.item(row).data(Qt.ItemDataRole.UserRole)
        return seen

    def _come_to(self) -> WordingSeen | None:
        row = self.list.currentRow()
        return self._at(row) if row >= 0 else None

    def _code_come_to(self) -> str:
        seen = self._come_to()
        return seen.wording.code if seen is not None else ""

    def _show_current(self) -> None:
        seen = self._come_to()
        for each in (self.text, self.state, self.english):
            each.setVisible(seen is not None)
        self.keep.setEnabled(seen is not None)
        self.shipped.setEnabled(seen is not None and seen.is_own)
        if seen is None:
            return
        self.text.show_trouble(None)
        self.text.set_text(seen.wording.text)
        self.state.setText(self._state_of(seen))
        (read,) = to_read(Submitted(self._language(), (seen.wording,)))
        self.english.setText(" / ".join(read.english))
        self.english.setVisible(bool(read.english))

    def _state_of(self, seen: WordingSeen) -> str:
        text = self._context.text
        whose = text(f"{AREA}.own" if seen.is_own else f"{AREA}.came_along")
        if seen.by is None:
            return text(f"{AREA}.state_waits", whose=whose)
        return text(f"{AREA}.state_approved", whose=whose, by=seen.by.person, at=seen.by.at)

    def _count(self) -> None:
        waiting = sum(each.by is None for each in self._seen)
        self.count.setText(self._context.text(f"{AREA}.count", n=waiting, all=len(self._seen)))
        self.approve.setEnabled(bool(self._chosen()))
        self.choose_all.setEnabled(bool(waiting))

    def _chosen(self) -> list[WordingSeen]:
        rows = range(self.list.count())
        ticked = (row for row in rows if self.list.item(row).checkState() is Qt.CheckState.Checked)
        return [each for each in map(self._at, ticked) if each.by is None]

    def _choose_all(self) -> None:
        """Mark everything listed that waits."""
        self.list.blockSignals(True)
        for row in range(self.list.count()):
            if self._at(row).by is None:
                self.list.item(row).setCheckState(Qt.CheckState.Checked)
        self.list.blockSignals(False)
        self._count()

    def _approve(self) -> None:
        language, chosen = self._language(), [each.wording for each in self._chosen()]
        spoken = message(f"wording.language.{language}")
        meaning = self._context.text(f"{AREA}.approving", n=len(chosen), language=spoken)
        self._context.sign(
            "approve_wordings",
            meaning,
            lambda desk, pin: approve_wordings(desk, language, chosen, pin),
            lambda _: self._approved(len(chosen)),
            about=to_read(Submitted(language, tuple(chosen))),
        )

    def _approved(self, count: int) -> None:
        self._context.say.tell(f"{AREA}.approved_now", n=count)
        self.read()

    def _keep(self) -> None:
        seen, language, text = self._come_to(), self._language(), self.text.text()
        if seen is None:
            return
        code = seen.wording.code
        self._context.do(
            lambda desk: change_wording(desk, language, code, text),
            lambda _: self._kept(),
            failed=self._not_kept,
        )

    def _kept(self) -> None:
        self._context.say.tell(f"{AREA}.kept")
        self.read()

    def _not_kept(self, error: FormularyError) -> None:
        self.text.show_trouble(error.message)
        self.text.setFocus()

    def _take_shipped(self) -> None:
        code = self._code_come_to()
        if code:
            self.text.set_text(shipped_text(self._language(), code))
            self._keep()

    def _language(self) -> str:
        return str(self.language.currentData() or self._context.house.label_language)
