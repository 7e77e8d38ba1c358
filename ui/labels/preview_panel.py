"""The live preview: the PDF itself at true size, or why there can't be one."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QHBoxLayout, QLabel, QScrollArea, QVBoxLayout, QWidget

from formulary.errors import FormularyError
from formulary.labels.overflow import Overflow
from formulary.labels.stock import LabelStock
from formulary.messages import message
from formulary.quantity.typed_number import parse_number
from ui import signs, theme
from ui.context import Context
from ui.forms.signed_text import SignedText
from ui.labels import screen_scale
from ui.labels.canvas import Canvas
from ui.labels.proof import Proof
from ui.labels.stock_size import size_of
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.quantity_edit import NO_MEANING, Meaning, QuantityEdit
from ui.widgets.words import action, button, label, spaced


class PreviewPanel(QWidget):
    """Shows a proof or a refusal; ``redraw_wanted`` when page, size or screen change."""

    redraw_wanted = Signal()
    stock_wanted = Signal(str)
    way_wanted = Signal(str)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self.page, self._count, self._zoom = 0, 1, 1
        self._fits: LabelStock | None = None
        self.canvas = Canvas(context.text("ui_labels.preview.name"))
        self.caption = label(role="quiet", wrap=False)
        self.refusal = label(role="stop")
        self._sign = QLabel()
        self.notes = SignedText(context, signs.Sign.TRIANGLE, "thought")
        self.why = label(role="note")
        self._make_actions()
        self.measured = self._measuring_line()
        self._lay_out()
        self.show_nothing()

    @property
    def dots_per_inch(self) -> float:
        """Return the dots per inch to draw with: the screen's own device pixels."""
        return self._own_dots() * self.devicePixelRatioF()

    def show_proof(self, proof: Proof) -> None:
        """Show a label as it will be printed."""
        stock = proof.wanted.stock
        self._count, self.page = proof.count, min(self.page, proof.count - 1)
        self.canvas.show_label(
            proof.raster,
            stock.page_mm,
            proof.wanted.dots_per_inch / self.devicePixelRatioF() / screen_scale.MM_PER_INCH,
        )
        self._show_refusal("")
        self._show_caption(stock)

    def show_refusal(self, refusal: FormularyError) -> None:
        """Say why nothing can be printed; ``fits`` of the refusal is offered as the next stock."""
        self.canvas.clear()
        self.caption.clear()
        self._fits = getattr(refusal, "fits", None)
        self._show_refusal(self._context.said(refusal.message))
        if self._fits is not None:
            size = self._context.text("ui_labels.size", **size_of(self._fits))
            self.take_fitting.setText(self._context.text("ui_labels.preview.take", size=size))
        self.take_fitting.setVisible(self._fits is not None)
        ways = getattr(refusal, "ways", ())
        for way, take in self.take_way.items():
            take.setVisible(way in ways)

    def show_notes(self, notes: Sequence[str], why: Sequence[str]) -> None:
        """Say what is to be thought of before printing, and why each warning stands there."""
        self.notes.say(notes)
        self.why.setText("\n".join(why))
        self.why.setVisible(bool(why))

    def show_nothing(self) -> None:
        """Show neither label nor refusal."""
        self.canvas.clear()
        self.caption.clear()
        self._show_refusal("")

    def show_whole(self, whole: bool) -> None:  # noqa: FBT001 - a setter
        """Take the height of the whole label, or scroll inside."""
        self._ground_area.setMinimumHeight(self.canvas.sizeHint().height() if whole else 0)

    def start_over(self) -> None:
        """Begin with the first label of something else."""
        self.page = 0

    def _make_actions(self) -> None:
        text = self._context.text
        self.before = action(self, text("ui_labels.preview.before"), "PgUp", lambda: self._turn(-1))
        self.after = action(self, text("ui_labels.preview.after"), "PgDown", lambda: self._turn(1))
        self.ruler = self._switch(text("ui_labels.preview.ruler"), "R", self._show_ruler)
        self.twice = self._switch(text("ui_labels.preview.twice"), "Z", self._show_twice)
        self.take_fitting = action(self, "", "", self._take_fitting)
        self.take_fitting.setVisible(False)
        self.take_way = {way: self._way(way) for way in Overflow if way is not Overflow.NONE}
        for each in (self.before, self.after, self.ruler, self.twice):
            each.setShortcutContext(Qt.ShortcutContext.WindowShortcut)

    def _way(self, way: Overflow) -> QAction:
        said = self._context.said(way.said)
        text = self._context.text("ui_labels.preview.take_way", way=said)
        made = action(self, text, "", lambda: self.way_wanted.emit(way.value))
        made.setVisible(False)
        return made

    def _switch(self, text: str, keys: str, slot: object) -> QAction:
        made = action(self, text, keys, lambda: None)
        made.setCheckable(True)
        made.toggled.connect(slot)
        return made

    def _measuring_line(self) -> QuantityEdit:
        name = self._context.text("ui_labels.preview.measured")
        line = QuantityEdit(name, self._read_measured, self._context.said)
        line.line.returnPressed.connect(self._correct)
        return line

    def _lay_out(self) -> None:
        box = QVBoxLayout(self)
        spaced(box, inside=12, around=16)
        switches = QWidget()
        row = FlowLayout(switches)
        row.setSpacing(theme.px(8))
        for each in (self.before, self.after, self.twice, self.ruler):
            row.addWidget(button(each))
        box.addWidget(switches)
        box.addWidget(self.caption)
        box.addWidget(self._refusal_row())
        box.addWidget(self.notes)
        box.addWidget(self._ground(), 1)
        box.addWidget(self.why)
        self._measuring = QWidget()
        measuring = QHBoxLayout(self._measuring)
        spaced(measuring)
        measuring.addWidget(label(self._context.text("ui_labels.preview.measure"), "quiet"), 1)
        self.measured.setFixedWidth(theme.px(160))
        measuring.addWidget(self.measured)
        self._measuring.hide()
        box.addWidget(self._measuring)

    def _refusal_row(self) -> QWidget:
        self._refusal_box = QWidget()
        row = QHBoxLayout(self._refusal_box)
        spaced(row)
        row.addWidget(self._sign, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self.refusal, 1)
        ways = QVBoxLayout()
        for each in (self.take_fitting, *self.take_way.values()):
            ways.addWidget(button(each))
        ways.addStretch(1)
        row.addLayout(ways)
        return self._refusal_box

    def _ground(self) -> QScrollArea:
        ground = self._ground_area = QScrollArea()
        ground.setWidget(self.canvas)
        ground.setWidgetResizable(True)
        ground.setAccessibleName(self._context.text("ui_labels.preview.ground"))
        return ground

    def _own_dots(self) -> float:
        return screen_scale.dots_per_inch(self.screen()) * self._zoom

    def _show_caption(self, stock: LabelStock) -> None:
        text = self._context.text
        size = text("ui_labels.size", **size_of(stock))
        key = "number" if stock.sheet is None else "sheet"
        number = text(f"ui_labels.preview.{key}", number=self.page + 1, total=self._count)
        zoom = text(f"ui_labels.preview.zoom_{self._zoom}")
        self.caption.setText(text("ui_labels.preview.caption", number=number, size=size, zoom=zoom))
        self.before.setEnabled(self.page > 0)
        self.after.setEnabled(self.page < self._count - 1)

    def _show_refusal(self, text: str) -> None:
        self._sign.setPixmap(signs.pixmap(signs.Sign.OCTAGON, theme.px(20) * 2))
        self.refusal.setText(self._context.text("ui_labels.preview.stop", why=text) if text else "")
        self._refusal_box.setVisible(bool(text))
        for each in (self.before, self.after):
            each.setEnabled(each.isEnabled() and not text)

    def _turn(self, by: int) -> None:
        self.page = max(0, min(self.page + by, self._count - 1))
        self.redraw_wanted.emit()

    def _show_ruler(self, shown: bool) -> None:  # noqa: FBT001 - a slot
        self.canvas.show_ruler(shown)
        self._measuring.setVisible(shown)

    def _show_twice(self, twice: bool) -> None:  # noqa: FBT001 - a slot
        self._zoom = 2 if twice else 1
        self.redraw_wanted.emit()

    def _take_fitting(self) -> None:
        if self._fits is not None:
            self.stock_wanted.emit(self._fits.code)

    def _read_measured(self, text: str) -> Meaning:
        parse_number(text, self._context.house.decimal_sign)
        return NO_MEANING

    def _correct(self) -> None:
        typed = self.measured.text()
        if not typed.strip() or not self.measured.sound:
            return
        measured = parse_number(typed, self._context.house.decimal_sign)
        if screen_scale.correct(self.screen(), measured / self._zoom):
            self.redraw_wanted.emit()
        else:
            trouble = message("ui_labels.preview.no_measure", typed=typed)
            self.measured.show_trouble(trouble)
