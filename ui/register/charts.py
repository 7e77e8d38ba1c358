"""A formula's figures over time, one chart for each measure."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from formulary.register.series import Series
from formulary.verbs.figures_of_formula import figures_of_formula
from ui import theme
from ui.calculations.pictures.picture import Picture
from ui.context import Context
from ui.forms.leaf import leaf
from ui.register.control_chart import ControlChart
from ui.widgets.words import action, button, label, spaced

AREA = "ui_register.charts"
APART = 16


class Charts(QWidget):
    """Shows the charts of one formula; ``left`` when the person steps back."""

    left = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self.title = label(role="title")
        self.note = label(context.text(f"{AREA}.note"), "note")
        self.nothing = label(context.text(f"{AREA}.nothing"), "quiet")
        self.back = action(self, context.text("ui_register.back"), "Esc", self.left.emit)
        self.back_button = button(self.back)
        self.pictures: list[Picture] = []
        self.words: list[QLabel] = []
        self._inside = QWidget()
        whole = QVBoxLayout(self)
        spaced(whole, inside=0)
        self.area = leaf(self._inside)
        self.area.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.area.setAccessibleName(context.text(f"{AREA}.open"))
        whole.addWidget(self.area)
        self._box = QVBoxLayout(self._inside)
        spaced(self._box, inside=8, around=24)
        for part in (self.title, self.note, self.nothing):
            self._box.addWidget(part)
        self._charts = QVBoxLayout()
        spaced(self._charts, inside=8)
        self._box.addLayout(self._charts)
        self._box.addWidget(self.back_button, 0, Qt.AlignmentFlag.AlignLeft)
        self._box.addStretch()

    def begin(self, formula_id: str, title: str) -> None:
        """Read a formula's figures and show them."""
        self.title.setText(self._context.text(f"{AREA}.title", title=title))
        self._context.do(
            lambda desk: figures_of_formula(desk.store, formula_id),
            self.show_series,
            lane="register.charts",
        )

    def show_series(self, found: Sequence[Series]) -> None:
        """Show these series and no others."""
        for each in (*self.pictures, *self.words):
            each.hide()
            each.deleteLater()
        while self._charts.takeAt(0) is not None:
            pass
        self.pictures, self.words = [], []
        self.nothing.setVisible(not found)
        for series in found:
            self._add(series)
        self.area.setFocus()

    def _add(self, series: Series) -> None:
        name = self._context.text(f"register.measure.{series.measure.value}", of=series.of)
        chart = ControlChart(series, self._context.catalogue)
        picture = Picture(name)
        heading, said = label(name, "heading"), label(chart.said(), "quiet")
        for part in (heading, picture, said):
            self._charts.addWidget(part)
        self._charts.addSpacing(theme.px(APART))
        picture.show_drawing(chart)
        self.pictures.append(picture)
        self.words += [heading, said]
