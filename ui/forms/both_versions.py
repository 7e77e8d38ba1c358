"""Two people changed the same record: what the other saved beside what stands here, to choose."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from formulary.messages import Message, message
from ui import signs
from ui.context import Context
from ui.forms.signed_text import SignedText
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

AREA = "ui_forms.both"


@dataclass(frozen=True, slots=True)
class Differing:
    """A field in which two versions differ: its name in words, and what each says."""

    name: str
    theirs: str
    mine: str


def differing(
    names: Mapping[str, str], theirs: Mapping[str, str], mine: Mapping[str, str]
) -> tuple[Differing, ...]:
    """Return the fields that don't say the same, in the order of ``names``."""
    return tuple(
        Differing(name, theirs.get(key, ""), mine.get(key, ""))
        for key, name in names.items()
        if theirs.get(key, "") != mine.get(key, "")
    )


class BothVersions(QWidget):
    """Shows both and asks which one is to stand; takes no room while there is nothing to ask."""

    mine_wanted = Signal()
    theirs_wanted = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        text = context.text
        self.said = SignedText(context, signs.Sign.TRIANGLE, "thought", worded=False)
        self.keep_mine = action(self, text(f"{AREA}.mine"), "", self.mine_wanted.emit)
        self.take_theirs = action(self, text(f"{AREA}.theirs"), "", self.theirs_wanted.emit)
        self._table = QWidget()
        self._rows = QGridLayout(self._table)
        spaced(self._rows, inside=8)
        self._rows.setColumnStretch(1, 1)
        self._rows.setColumnStretch(2, 1)
        acts = FlowLayout(gap=12)
        self.first = button(self.keep_mine)
        for each in (self.first, button(self.take_theirs)):
            each.setAutoDefault(True)
            acts.addWidget(each)
        box = QVBoxLayout(self)
        spaced(box)
        box.addWidget(self.said)
        box.addWidget(self._table)
        box.addLayout(acts)
        self.hide()

    def ask(self, why: Message, found: Iterable[Differing]) -> None:
        """Show what differs and go to the choice."""
        self.said.say([self._context.said(_here(why))])
        # The bar would say to open it again, which the choice spares.
        self._context.say.hush()
        self._clear()
        headings = ("field", "their_text", "my_text")
        self._add_row(0, *(self._context.text(f"{AREA}.{each}") for each in headings), role="quiet")
        for number, each in enumerate(found, start=1):
            self._add_row(number, each.name, each.theirs, each.mine)
        self.show()
        self.first.setFocus()

    def _clear(self) -> None:
        while (item := self._rows.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.deleteLater()

    def _add_row(self, number: int, *texts: str, role: str = "") -> None:
        for column, text in enumerate(texts):
            # Names are quieter than what is to be compared.
            shown = role or ("" if column else "quiet")
            said = label(text or self._context.text(f"{AREA}.nothing"), shown)
            said.setAlignment(Qt.AlignmentFlag.AlignTop)
            self._rows.addWidget(said, number, column)


def _here(why: Message) -> Message:
    """Return what a conflict says where both versions are in view, with the choice below."""
    told = dict(why.parameters)
    known = ("by", "at", "act")
    if not all(each in told for each in known):
        return why
    return message(f"{AREA}.changed", **{each: told[each] for each in known})
