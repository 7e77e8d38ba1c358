"""Findings gathered in one list: stop first, each with its sign, its word and its sentence."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from formulary.finding import Finding, Severity
from formulary.messages import Message, message
from formulary.quantity.writing import unbroken
from ui import signs, theme
from ui.widgets.words import label, spaced

_ORDER = tuple(Severity)


_ROLES = {Severity.STOP: "stop", Severity.REASON: "thought"}


class FindingList(QWidget):
    """Shows findings; empty, it takes no room.

    Where it ``leads`` somewhere, ``wanted`` tells the field of the finding that was asked for.
    """

    wanted = Signal(str)

    def __init__(self, write: Callable[[Message], str], *, leads: bool = False) -> None:
        super().__init__()
        self._write = write
        self._leads = leads
        self._grid = QGridLayout(self)
        spaced(self._grid, inside=4)
        self._grid.setColumnStretch(1, 1)
        self._shown: tuple[Finding, ...] = ()
        self.hide()

    def show_findings(self, findings: Sequence[Finding]) -> None:
        """Show these findings and no others."""
        ordered = tuple(sorted(findings, key=lambda each: _ORDER.index(each.severity)))
        if ordered == self._shown:
            return
        self._shown = ordered
        self._clear()
        for row, finding in enumerate(ordered):
            sign = QLabel()
            sign.setPixmap(signs.pixmap(signs.OF_SEVERITY[finding.severity], theme.px(16) * 2))
            self._grid.addWidget(sign, row, 0, Qt.AlignmentFlag.AlignTop)
            self._grid.addWidget(self._words(finding), row, 1)
        self.setVisible(bool(ordered))

    def texts(self) -> tuple[str, ...]:
        """Return the sentences as shown."""
        return tuple(self._sentence(each) for each in self._shown)

    @property
    def shown(self) -> tuple[Finding, ...]:
        """The findings as shown, the loudest first."""
        return self._shown

    def _words(self, finding: Finding) -> QLabel:
        sentence = unbroken(self._sentence(finding))
        if not (self._leads and finding.field):
            return label(sentence, _ROLES.get(finding.severity, ""))
        words = label()
        words.setTextFormat(Qt.TextFormat.RichText)
        there = self._write(message("ui.finding.go_there"))
        link = f"<a href='{escape(finding.field)}'>{escape(there)}</a>"
        words.setText(f"{escape(sentence)} {link}")
        words.setTextInteractionFlags(Qt.TextInteractionFlag.LinksAccessibleByMouse)
        words.linkActivated.connect(self.wanted)
        if finding.source is not None:
            words.setToolTip(self._write(finding.source))
        return words

    def _sentence(self, finding: Finding) -> str:
        word = self._write(message(f"ui.severity.{finding.severity.name.lower()}"))
        return f"{word}: {self._write(finding.said)}"

    def _clear(self) -> None:
        while (item := self._grid.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.hide()
                widget.deleteLater()
