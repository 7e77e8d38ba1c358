"""The paper of the preparation in view: its worksheet, the record so far, or the complete one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from formulary.bench.stages import BEFORE_RELEASE, Stage
from ui.bench.reading import BEFORE_WORK, Work
from ui.context import Context
from ui.widgets.words import action

if TYPE_CHECKING:
    # Papers are loaded with the first one that goes out, not with the page.
    from ui.papers.door import PaperDoor

AREA = "ui_bench.paper"
BLANK, SO_FAR, COMPLETE = "blank", "so_far", "complete"


class BenchPapers(QObject):
    """Prints the paper or saves it as a PDF, as it stands on disk."""

    def __init__(self, context: Context, owner: QWidget) -> None:
        super().__init__(owner)
        self._context, self._owner = context, owner
        self._lot = ""
        self._made: PaperDoor | None = None
        self.print = action(owner, context.text(f"{AREA}.print.{BLANK}"), "Ctrl+P", self._print)
        self.save = action(owner, context.text(f"{AREA}.save.{BLANK}"), "Ctrl+Shift+P", self._save)
        self.offer(None)

    def offer(self, work: Work | None) -> None:
        """Offer the paper of a preparation, called what it is by now."""
        self._lot = "" if work is None else work.lot
        kind = BLANK if work is None else kind_at(work.at.state.stage)
        for made, name in ((self.print, "print"), (self.save, "save")):
            made.setText(self._context.text(f"{AREA}.{name}.{kind}"))
            made.setEnabled(work is not None)

    def _print(self) -> None:
        from ui.papers.worksheets import of_preparation

        self._door().print(of_preparation(self._lot))

    def _save(self) -> None:
        from ui.papers.worksheets import of_preparation

        self._door().save(of_preparation(self._lot), self._lot)

    def _door(self) -> PaperDoor:
        if self._made is None:
            from ui.papers.door import PaperDoor

            self._made = PaperDoor(self._context, self._owner)
        return self._made


def kind_at(stage: Stage) -> str:
    """Return what the paper is at a stage: blank before the work, complete after the release."""
    if stage is Stage.REQUESTED or stage in BEFORE_WORK:
        return BLANK
    return SO_FAR if stage in BEFORE_RELEASE else COMPLETE
