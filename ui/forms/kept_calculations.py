"""Calculations kept with a formula or a preparation, as they are read beside it."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from formulary.catalogue import Catalogue
from formulary.kept_calculation import KeptCalculation
from formulary.messages import message
from ui.context import Context
from ui.widgets.words import label, spaced

LINK = "calculation:"


def html_of(kept: KeptCalculation, catalogue: Catalogue) -> str:
    """Return one calculation as a line with a link that opens it again."""
    signed = message("ui_forms.kept.signed", by=kept.kept_by, on=kept.kept_at.date())
    link = f"<a href='{LINK}{kept.id}'>{escape(kept.title)}</a>"
    note = f": {escape(kept.note)}" if kept.note else ""
    said = escape(catalogue.text(signed))
    return f"{link}: {escape(kept.figure)} <span class='note'>({said})</span>{note}"


def meant_by(link: str, kept: Sequence[KeptCalculation]) -> KeptCalculation | None:
    """Return the calculation that a link stands for."""
    return next((each for each in kept if link == f"{LINK}{each.id}"), None)


class KeptCalculations(QWidget):
    """A heading and a line for each; hidden where none is kept. ``wanted`` tells the one opened."""

    wanted = Signal(object)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._kept: Sequence[KeptCalculation] = ()
        self.lines = QLabel()
        self.lines.setTextFormat(Qt.TextFormat.RichText)
        self.lines.setWordWrap(True)
        flags = Qt.TextInteractionFlag
        self.lines.setTextInteractionFlags(
            flags.LinksAccessibleByKeyboard | flags.LinksAccessibleByMouse
        )
        self.lines.setAccessibleName(context.text("ui_forms.kept.name"))
        self.lines.linkActivated.connect(self._open)
        box = QVBoxLayout(self)
        spaced(box, inside=4)
        box.addWidget(label(context.text("ui_forms.kept.name"), "heading"))
        box.addWidget(self.lines)

    def show_kept(self, kept: Sequence[KeptCalculation]) -> None:
        """Show these and no others."""
        self._kept = kept
        self.lines.setText("<br>".join(html_of(each, self._context.catalogue) for each in kept))
        self.setVisible(bool(kept))

    def _open(self, link: str) -> None:
        found = meant_by(link, self._kept)
        if found is not None:
            self.wanted.emit(found)
