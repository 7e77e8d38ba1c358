"""The certificates that came with a preparation's tests, each to be saved as a file."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QVBoxLayout, QWidget

from formulary.bench.events import QualityTested
from formulary.desk import Desk
from formulary.stock.lot import Attachment
from formulary.verbs.attach_result import result_file
from ui.context import Context
from ui.files import ask_to_save, writing_to
from ui.register.reading import Made
from ui.widgets.choice_box import ChoiceBox
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

AREA = "ui_register.results"


class ResultFiles(QWidget):
    """Offers the certificates; without any it takes no room."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._files: list[Attachment] = []
        self.which = ChoiceBox(context.text(f"{AREA}.name"))
        self.save = action(self, context.text(f"{AREA}.save"), "Ctrl+Shift+S", self._save)
        row = FlowLayout()
        row.addWidget(self.which)
        row.addWidget(button(self.save))
        box = QVBoxLayout(self)
        spaced(box, inside=8)
        box.addWidget(label(context.text(f"{AREA}.name"), "heading"))
        box.addLayout(row)

    def show_made(self, made: Made) -> None:
        """Show what was attached to a preparation's tests, the latest first."""
        tested = [each.event for each in made.happened if isinstance(each.event, QualityTested)]
        named = [(each.test, each.certificate) for each in reversed(tested) if each.certificate]
        self._files = [file for _, file in named]
        self.which.fill(
            [(f"{test}: {file.name}", place) for place, (test, file) in enumerate(named)]
        )
        self.setVisible(bool(named))

    def _save(self) -> None:
        place = self.which.currentIndex()
        if not 0 <= place < len(self._files):
            return
        file = self._files[place]

        def write(path: Path) -> None:
            self._context.do(
                lambda desk: _write(desk, file, path),
                lambda _: self._context.say.tell(f"{AREA}.saved", name=str(path)),
            )

        ask_to_save(self, self.save.text(), file.name, write)


def _write(desk: Desk, file: Attachment, path: Path) -> None:
    data = result_file(desk.store, file)
    with writing_to(path):
        path.write_bytes(data)
