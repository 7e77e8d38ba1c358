"""What was attached to a preparation: certificates of its tests, photos of its steps."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QVBoxLayout, QWidget

from formulary.bench.events import QualityTested, StepDone
from formulary.desk import Desk
from formulary.stock.certificate_file import ending, media_type
from formulary.verbs.attach_result import attached_file
from formulary.verbs.finish_step import photos_of
from ui.context import Context
from ui.files import ask_to_save, writing_to
from ui.register.reading import Made
from ui.widgets.choice_box import ChoiceBox
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

AREA = "ui_register.results"


class ResultFiles(QWidget):
    """Offers the files, each to be saved; without any it takes no room."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._files: list[tuple[str, str]] = []
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
        """Show what was attached to a preparation's tests and steps, the latest first."""
        self._files, words = [], []
        for each in reversed(made.happened):
            if isinstance(each.event, QualityTested) and each.event.certificate is not None:
                file = each.event.certificate
                self._files.append((file.name, file.sha256))
                words.append(f"{each.event.test}: {file.name}")
            elif isinstance(each.event, StepDone):
                number = each.event.step + 1
                for digest in photos_of(each.event):
                    self._files.append((f"{made.preparation.lot}-step-{number}", digest))
                    words.append(self._context.text(f"{AREA}.photo", number=number))
        self.which.fill([(said, place) for place, said in enumerate(words)])
        self.setVisible(bool(words))

    def _save(self) -> None:
        place = self.which.currentIndex()
        if not 0 <= place < len(self._files):
            return
        named, digest = self._files[place]

        def write(path: Path) -> None:
            self._context.do(
                lambda desk: _write(desk, named, digest, path),
                lambda written: self._context.say.tell(f"{AREA}.saved", name=str(written)),
            )

        ask_to_save(self, self.save.text(), named, write)


def _write(desk: Desk, named: str, digest: str, path: Path) -> Path:
    """Write the file; a name without ending is given that of its kind. Return where it is."""
    data = attached_file(desk.store, named, digest)
    written = path if path.suffix else path.with_suffix(ending(media_type(data)))
    with writing_to(written):
        written.write_bytes(data)
    return written
