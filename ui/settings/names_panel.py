"""The part of Settings about the names of patients and prescribers: their key, their end."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from formulary.desk import Desk
from ui.context import Context, Topic
from ui.keeping.names_key import AREA, NamesKey
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced


class NamesPanel(QWidget):
    """Says how names are kept, and offers what can be done about it."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self.key = NamesKey(context, self)
        text = context.text
        self.state = label(role="note")
        self.save = action(self, text(f"{AREA}.save_key"), "", self.key.save)
        self.take = action(self, text(f"{AREA}.take_key"), "", self.key.take_over)
        self.lock = action(self, text(f"{AREA}.lock_names"), "", self.key.lock)
        self.erase = action(self, text(f"{AREA}.erase"), "", self._erase)
        box = QVBoxLayout(self)
        spaced(box, inside=12)
        box.addWidget(label(text(f"{AREA}.names"), "heading"))
        box.addWidget(self.state)
        row = FlowLayout(gap=12)
        for each in (self.save, self.take, self.lock):
            row.addWidget(button(each))
        box.addLayout(row)
        box.addWidget(label(text(f"{AREA}.about_names"), "note"))
        erasing = FlowLayout(gap=12)
        erasing.addWidget(button(self.erase))
        box.addLayout(erasing)
        self.key.changed.connect(self.begin)

    def begin(self) -> None:
        """Show how things stand."""
        key = self.key
        self.state.setText(self._context.text(f"{AREA}.{self._state()}"))
        self.save.setEnabled(key.is_here and key.may("save_names_key"))
        self.take.setEnabled(
            key.is_under_one and not key.is_here and key.may("take_over_names_key")
        )
        sample = self._context.house.sample
        self.lock.setEnabled(not (key.is_under_one or sample) and key.may("lock_names"))

    def _state(self) -> str:
        key = self.key
        if self._context.house.sample:
            return "names_of_sample"
        if not key.is_under_one:
            return "names_readable"
        if not key.is_here:
            return "key_missing"
        return "key_copied" if key.is_saved else "key_alone"

    def _erase(self) -> None:
        meaning = self._context.text(f"{AREA}.erasing")
        self._context.sign("erase_people", meaning, erase, self._erased)

    def _erased(self, count: int) -> None:
        self._context.say.tell(f"{AREA}.erased", n=count)
        for topic in (Topic.ORDERS, Topic.PREPARATIONS):
            self._context.tell_changed(topic)


def erase(desk: Desk, pin: str) -> int:
    """Erase the names whose time has ended, signed by whoever sits at the desk."""
    from formulary.verbs.erase_people import erase_people

    return erase_people(desk, pin)
