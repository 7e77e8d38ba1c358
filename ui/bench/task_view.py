"""The middle of the page: one thing to do, in type that is read from a bench away."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction, QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QGridLayout,
    QLayout,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from formulary.errors import FormularyError
from formulary.quantity.writing import held_together
from ui import signs, theme
from ui.bench.entries import Entries
from ui.bench.shown import Other, Shown, Values
from ui.bench.stray_scan import StrayScan
from ui.bench.typed_ahead import TypedAhead
from ui.context import Context
from ui.forms.signed_text import SignedText
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.gauge import GaugeView
from ui.widgets.quantity_edit import QuantityEdit
from ui.widgets.words import action, button, label, spaced

_INK = {
    signs.Sign.TICK: "inside",
    signs.Sign.TRIANGLE: "thought",
    signs.Sign.OCTAGON: "stop",
    signs.Sign.DOT: "quiet",
}
NOTHING = Shown("")
COLUMNS = 2
BESIDE = 560
WEIGHT = "weight"
"""The entry that a balance on a serial line fills."""
_OF_THE_PAPERS_TIME = ("bench.paper.too_early", "bench.paper.to_come")


class TaskView(QWidget):
    """Shows one thing to do, and does it on Enter; nothing twice while it is under way.

    ``wanting`` tells that the next key belongs to what is ``wanted``.
    """

    wanting = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.setObjectName("task")
        self.setAccessibleName(context.text("ui_bench.task"))
        self._context = context
        self.shown = NOTHING
        self.entries = Entries(context, ())
        self._under_way = False
        self._ahead = TypedAhead(self._is_under_way, self)
        self._stray = StrayScan(self)
        self._stray.ended.connect(self._say_stray)
        self.heading = label(role="task")
        self.figure = label(role="figure", wrap=False)
        self.gauge = GaugeView()
        self.trouble = SignedText(context, signs.Sign.OCTAGON, "stop")
        self.working = label(role="quiet")
        self.accent = QAction(self)
        self.accent.triggered.connect(self._act)
        self.accent_button = button(self.accent, accent=True, keys="Return")
        self.accent_button.setAutoDefault(True)
        self._stray.watch(self.accent_button)
        self._others: list[QAction] = []
        self._other_buttons: list[QPushButton] = []
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self._lay_out()

    def show_task(self, shown: Shown) -> None:
        """Show something to do; what was typed for another is gone, what was typed ahead isn't."""
        self.shown = shown
        self._under_way = False
        self.heading.setText(shown.heading)
        self.figure.setText(shown.figure)
        self.figure.setVisible(bool(shown.figure))
        self.trouble.say(())
        self._show_sentences(shown)
        self.gauge.show_gauge(shown.gauge)
        self.working.setText("\n".join(shown.working))
        self.working.setVisible(bool(shown.working))
        self._show_entries(shown)
        self._show_acts(shown)
        self._order_tabs()
        self._put_in(self._ahead.take())

    def show_notes(self, notes: Sequence[str]) -> None:
        """Show other notes; what is typed stays."""
        self._notes.setText(held_together("\n".join(notes)))
        self._notes.setVisible(bool(notes))

    def refuse(self, refusal: FormularyError) -> None:
        """Say why it can't be done, in large type; what was scanned makes room for the next.

        Where it is the paper's time that can't be, the rest of what was typed stands.
        """
        self._under_way = False
        said, ahead = [self._context.said(refusal.message)], self._ahead.take()
        if ahead.strip():
            said.append(self._context.text("ui_bench.not_taken", typed=ahead.strip()))
        self.trouble.say([held_together(each) for each in said])
        if refusal.message.key not in _OF_THE_PAPERS_TIME:
            self.entries.clear_scan()
        self.wanting.emit()
        self._type_over()

    def hear(self, figure: str) -> None:
        """Show a figure that a balance sent, where a weight is asked for."""
        entry = self.entries.inputs.get(WEIGHT)
        if isinstance(entry, QuantityEdit) and not self._is_under_way():
            entry.set_text(figure)

    @property
    def wanted(self) -> QWidget:
        """Where the next key belongs: an entry that lacks something, else the accent act."""
        entry = self.entries.wanted
        if entry is not None:
            return entry
        if self.accent.isVisible():
            return self.accent_button
        return self._other_buttons[0] if self._other_buttons else self

    # Parts

    def _lay_out(self) -> None:
        box = QVBoxLayout(self)
        spaced(box, inside=12)
        self._sentences, self._notes = QVBoxLayout(), label(role="")
        self._columns = QGridLayout()
        spaced(self._columns, inside=16)
        spaced(self._sentences, inside=4)
        self._entries_at = QVBoxLayout()
        self._acts = FlowLayout()
        self._front = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._entries_at.addWidget(self.entries)
        self._front.addWidget(self.figure)
        self._front.setSpacing(theme.px(32))
        self._front.addLayout(self._entries_at, 1)
        box.addWidget(self.heading)
        box.addLayout(self._front)
        box.addWidget(self.trouble)
        box.addLayout(self._sentences)
        box.addWidget(self.gauge)
        box.addLayout(self._columns)
        box.addWidget(self._notes)
        self._acts.addWidget(self.accent_button)
        box.addLayout(self._acts)
        box.addWidget(self.working)
        box.addStretch(1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the entry below the figure where there is no room beside it."""
        super().resizeEvent(event)
        narrow = event.size().width() < theme.px(BESIDE)
        ways = QBoxLayout.Direction
        self._front.setDirection(ways.TopToBottom if narrow else ways.LeftToRight)

    def _show_sentences(self, shown: Shown) -> None:
        self.show_notes(shown.notes)
        _empty(self._sentences)
        _empty(self._columns)
        for place, (heading, lines) in enumerate(shown.columns):
            row, column = divmod(place, COLUMNS)
            self._columns.setColumnStretch(column, 1)
            self._columns.addWidget(label(heading, "heading"), 2 * row, column)
            told = label("\n".join(lines))
            self._columns.addWidget(told, 2 * row + 1, column, Qt.AlignmentFlag.AlignTop)
        for sign, sentence in shown.sentences:
            said = SignedText(self._context, sign, _INK[sign], worded=False)
            self._sentences.addWidget(said)
            said.say([held_together(sentence)])

    def _show_entries(self, shown: Shown) -> None:
        before = self.entries
        self.entries = Entries(self._context, shown.entries)
        self.entries.entered.connect(self._act)
        self.entries.emptied.connect(lambda: self.trouble.say(()))
        self._entries_at.replaceWidget(before, self.entries)
        self.entries.setVisible(bool(shown.entries))
        before.hide()
        before.deleteLater()

    def _show_acts(self, shown: Shown) -> None:
        self.accent.setText(shown.act)
        self.accent.setVisible(shown.run is not None)
        self.accent_button.setVisible(shown.run is not None)
        for each in self._others:
            self.removeAction(each)
            each.deleteLater()
        for position in reversed(range(1, self._acts.count())):
            item = self._acts.takeAt(position)
            gone = item.widget() if item is not None else None
            if gone is not None:
                gone.hide()
                gone.deleteLater()
        self._other_buttons = []
        self._others = [self._made(each) for each in shown.others]
        self._acts.invalidate()
        self.updateGeometry()

    def _order_tabs(self) -> None:
        """Let Tab go from what is asked to the accent act, then to the others."""
        before: QWidget = self
        for each in (*self.entries.in_order(), self.accent_button, *self._other_buttons):
            QWidget.setTabOrder(before, each)
            before = each

    def _put_in(self, typed: str) -> None:
        """Put what was typed ahead where it belongs; without an entry it is said."""
        line = self.wanted.focusProxy() or self.wanted
        if not typed.strip():
            return
        if isinstance(line, QLineEdit):
            line.end(False)
            line.insert(typed)
        else:
            self._context.say.tell("ui_bench.not_taken", typed=typed.strip())

    def _type_over(self) -> None:
        """Let what was refused be typed over where it stands."""
        line = self.window().focusWidget()
        if isinstance(line, QLineEdit) and self.isAncestorOf(line):
            line.selectAll()

    def _say_stray(self, typed: str) -> None:
        """Say that a scan confirmed nothing here."""
        self.trouble.say([self._context.text("ui_bench.nothing_asked", typed=typed)])

    def _made(self, other: Other) -> QAction:
        made = action(self, other.words, other.keys, lambda: self._do_other(other))
        pressed = button(made)
        pressed.setAutoDefault(True)
        self._stray.watch(pressed)
        self._other_buttons.append(pressed)
        self._acts.addWidget(pressed)
        return made

    # Acting

    def _act(self) -> None:
        """Do the accent act, unless an entry lacks something or one is under way."""
        run = self.shown.run
        if run is None or self._is_under_way():
            return
        lacking = self.entries.first_trouble()
        if lacking:
            self.wanting.emit()
            return
        self.trouble.say(())
        self._run(run)

    def _run(self, run: Callable[[Values], None]) -> None:
        """Do something; where its answer is awaited, nothing more is done until that comes.

        What first asks for a signature isn't under way yet.
        """
        shown, begun = self.shown, self._context.operations.begun
        try:
            run(self.entries.values())
        except FormularyError as refusal:
            self.refuse(refusal)
            return
        if self.shown is shown and self._context.operations.begun > begun:
            self._under_way = True
            self._ahead.listen(self.window().focusWidget())

    def _do_other(self, other: Other) -> None:
        """Do another act; where it only asks for more, what was typed stays."""
        if self._is_under_way():
            return
        shown, typed = self.shown, self.entries.values()
        self._run(other.run)
        if self.shown is not shown and _asks_more(shown, self.shown):
            self.entries.fill(typed)
            self.wanting.emit()

    def _is_under_way(self) -> bool:
        """Whether an act isn't at its end; whoever steps back from a signature ended it."""
        return self._under_way and self._context.operations.busy


def _asks_more(before: Shown, now: Shown) -> bool:
    """Tell whether the same is asked for as before, and something beside."""
    asked = {each.name for each in before.entries}
    return before.heading == now.heading and asked < {each.name for each in now.entries}


def _empty(layout: QLayout) -> None:
    """Take everything out of a layout."""
    while (item := layout.takeAt(0)) is not None:
        gone = item.widget()
        if gone is not None:
            gone.hide()
            gone.deleteLater()
