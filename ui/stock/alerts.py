"""What needs thought on the shelf, as words with their count that narrow the list."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtCore import QEvent, Signal
from PySide6.QtWidgets import QButtonGroup, QPushButton, QWidget

from formulary.messages import message
from formulary.stock.listing import Standing
from ui import signs
from ui.context import Context
from ui.stock.stock_model import sign_of
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import set_role


class Alerts(QWidget):
    """One word for each standing that a lot is in; ``chosen`` tells that another one is."""

    chosen = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._group = QButtonGroup(self)
        row = FlowLayout(self, gap=4)
        self.words: dict[Standing | None, QPushButton] = {}
        for standing in (None, *Standing):
            self.words[standing] = self._word(standing)
            row.addWidget(self.words[standing])
        self.standing: Standing | None = None
        self.words[None].setChecked(True)

    def show_counts(self, counts: Mapping[Standing, int]) -> None:
        """Show how many lots stand in each way; what no lot is in isn't shown."""
        self._write(None, sum(counts.values()))
        for standing, count in counts.items():
            self._write(standing, count)
            self.words[standing].setVisible(bool(count))
        if self.standing is not None and not counts[self.standing]:
            self.standing = None
            self.words[None].setChecked(True)

    def changeEvent(self, event: QEvent) -> None:
        """Draw the signs anew when the colours change."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            for standing, word in self.words.items():
                if standing is not None:
                    word.setIcon(signs.icon(sign_of(standing)))

    def _word(self, standing: Standing | None) -> QPushButton:
        word = QPushButton()
        word.setCheckable(True)
        word.setAutoDefault(False)
        if standing is not None:
            word.setIcon(signs.icon(sign_of(standing)))
        word.clicked.connect(self._chooser(standing))
        self._group.addButton(word)
        return set_role(word, "word")

    def _write(self, standing: Standing | None, count: int) -> None:
        key = "ui_stock.all" if standing is None else f"stock.standing.{standing.value}"
        said = self._context.text("ui_stock.counted", what=message(key), n=count)
        self.words[standing].setText(said)
        self.words[standing].setAccessibleName(said)

    def _chooser(self, standing: Standing | None) -> Callable[[], None]:
        def choose() -> None:
            self.standing = standing
            self.chosen.emit()

        return choose
