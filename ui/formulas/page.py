"""The page of formulas: index, leaf and scaling panel side by side, folding where room is short."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QItemSelectionModel, QObject, Qt, QTimer
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QApplication,
    QHBoxLayout,
    QLineEdit,
    QSplitter,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from formulary.formula.version import State
from formulary.verbs.list_lasting import lasting_otherwise
from ui import theme
from ui.context import Context, Search, Topic
from ui.formulas.comparison import Comparison
from ui.formulas.dossier_panel import DossierPanel
from ui.formulas.index_model import IndexModel
from ui.formulas.index_view import IndexView
from ui.formulas.leaf import Leaf
from ui.formulas.reading import Entry, Shown, formula_shown, search
from ui.formulas.review_note import ReviewNote
from ui.formulas.scaling_panel import ScalingPanel
from ui.formulas.version_acts import VersionActs
from ui.papers.paper_file import save_paper
from ui.waiting import INDEX_WIDTH, PANEL_WIDTH
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, spaced

if TYPE_CHECKING:
    from formulary.desk import Desk
    from formulary.papers.every_paper import Paper
    from ui.formulas.editor.session import Session

AREA = "ui_formulas"
PAUSE_MS = 120
_ANY_WIDTH = 16_777_215
WIDE, MIDDLE = 1280, 960
"""Widths at the type's own size: below the first the index folds, below the second the panel."""


class FormulasPage(QWidget):
    """Find a formula, read it, scale it; edit it in place."""

    help_page = "formulas"

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._shown: Shown | None = None
        self._wanted = self._asked = self._answered = ""
        self._scaling = False
        self._stale = True
        self._make_index()
        self.leaf = Leaf(context)
        self.comparison = Comparison(context, self.leaf, self)
        self.reviews = ReviewNote(context)
        self.acts = VersionActs(context, self._newest_is_read)
        self.dossier = DossierPanel(context)
        self.panel = ScalingPanel(context)
        self.middle = QStackedWidget()
        self.right = QStackedWidget()
        self.session: Session | None = None
        self._make_actions()
        self._lay_out()
        self._connect()

    # What the window asks

    def shown(self) -> None:
        """Come to the front: look again where something changed."""
        if self._stale:
            self._stale = False
            self._search(stay=True)
            self.reviews.ask()
        if not self._has_focus_inside():
            self.search.setFocus()

    def take(self, subject: object) -> None:
        """Take the cursor to the search field, or show the formula of an id."""
        if isinstance(subject, Search):
            self.search.setFocus()
            self.search.selectAll()
            if subject.words:
                self.search.setText(subject.words)
        elif isinstance(subject, str):
            self.show_formula(subject)

    def search_for(self, text: str) -> None:
        """Search for words as if they were typed."""
        self.search.setText(text)
        self._search()

    def show_formula(self, formula_id: str) -> None:
        """Read a formula and show it."""
        self._wanted = formula_id
        self._context.do(lambda desk: formula_shown(desk, formula_id), self._show, lane="formula")

    # Parts

    def _make_index(self) -> None:
        text = self._context.text
        self.search = QLineEdit()
        self.search.setAccessibleName(text("ui.search_name"))
        self.search.setPlaceholderText(text("ui.search_example"))
        self.search.setClearButtonEnabled(True)
        self.search.installEventFilter(self)
        self.model = IndexModel(self._context, self)
        self.index = IndexView(text(f"{AREA}.index.name"))
        self.index.setModel(self.model)
        self.index.setObjectName("index")
        self.index.installEventFilter(self)
        self._pause = QTimer(self, singleShot=True, interval=PAUSE_MS)

    def _make_actions(self) -> None:
        text = self._context.text
        self.to_scaling = action(self, text(f"{AREA}.scale_it"), "Ctrl+L", self._go_scaling)
        signed_in = self._context.when_signed_in
        self.edit = action(self, text(f"{AREA}.edit"), "Ctrl+E", lambda: signed_in(self._edit))
        self.new = action(self, text(f"{AREA}.new"), "Ctrl+N", lambda: signed_in(self._new))
        self.sheet = action(self, text(f"{AREA}.sheet"), "Ctrl+Shift+P", self._save_sheet)
        # Their keys work from the search and the target, too.
        further = (self.panel.start, self.comparison.compare, self.reviews.show_them)
        papers = (self.sheet, self.dossier.add)
        sheets = self.panel.worksheets
        self.addActions([*further, *papers, *self.acts.actions_of.values(), *sheets.actions])
        self.addAction(sheets.menu.open)
        self._back = action(self, text(f"{AREA}.back"), "Esc", self._step_back)

    def _lay_out(self) -> None:
        box = QVBoxLayout(self)
        spaced(box, inside=0)
        box.addWidget(self._strip())
        box.addWidget(self.reviews)
        self.middle.addWidget(self._reading_side())
        self._splitter = QSplitter()
        self._splitter.setChildrenCollapsible(False)
        self._splitter.setHandleWidth(1)
        self.right.addWidget(self.panel)
        for widget, stretch in ((self.index, 0), (self.middle, 1), (self.right, 0)):
            self._splitter.addWidget(widget)
            self._splitter.setStretchFactor(self._splitter.count() - 1, stretch)
        self.index.setMinimumWidth(theme.px(INDEX_WIDTH))
        self.index.setMaximumWidth(theme.px(INDEX_WIDTH * 2))
        box.addWidget(self._splitter, 1)

    def _strip(self) -> QWidget:
        strip = QWidget()
        strip.setObjectName("header")
        strip.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        row = QHBoxLayout(strip)
        spaced(row, inside=16, around=8)
        row.addWidget(self.search, 0, Qt.AlignmentFlag.AlignTop)
        acts = FlowLayout()
        first = (self.to_scaling, self.edit, self.new, self.comparison.compare)
        for each in (*first, self.sheet):
            acts.addWidget(button(each))
        row.addLayout(acts, 1)
        return strip

    def _reading_side(self) -> QWidget:
        side = QWidget()
        side.setObjectName("leaf")
        side.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        box = QVBoxLayout(side)
        spaced(box, inside=0)
        box.addWidget(self.leaf, 1)
        box.addWidget(self.dossier)
        box.addWidget(self.acts)
        self.acts.setContentsMargins(theme.px(24), theme.px(8), theme.px(16), theme.px(8))
        return side

    def _connect(self) -> None:
        self.search.textEdited.connect(lambda _: self._pause.start())
        self.search.returnPressed.connect(self._go_scaling)
        self._pause.timeout.connect(self._search)
        self.model.more_wanted.connect(self._search_more)
        self.index.selectionModel().currentChanged.connect(lambda now, _: self._chosen(now.row()))
        self.index.activated.connect(lambda _: self._go_scaling())
        self.leaf.file_wanted.connect(self.dossier.add.trigger)
        self.acts.moved.connect(self._leave_acts)
        self.reviews.wanted.connect(self._show_reviews)
        self._context.changed.connect(self._changed)

    # Searching

    def _search(self, *, stay: bool = False) -> None:
        """Look for what is typed; asked again for the same words, ``stay`` with the formula."""
        same = not self._pause.isActive() and self.search.text() == self._answered
        self._pause.stop()
        self._asked = text = self.search.text()

        def arrived(entries: tuple[Entry, ...]) -> None:
            self._answered = text
            (self._found_again if stay and same else self._found)(entries)
            self._date(entries)

        self._context.do(lambda desk: search(desk, text, 0), arrived, lane="search")

    def _search_more(self, offset: int) -> None:
        """Add what follows; not to the answer to other words that came meanwhile."""
        text = self._answered

        def arrived(entries: tuple[Entry, ...]) -> None:
            if text == self._answered:
                self.model.add_entries(entries)
                self._date(entries)

        self._context.do(lambda desk: search(desk, text, offset), arrived, lane="search.more")

    def _date(self, entries: tuple[Entry, ...]) -> None:
        """Say in the list where a formula doesn't last as long as it says itself."""
        ids = [each.formula_id for each in entries if each.hit is not None]
        if ids:
            dated = self.model.show_lasting
            self._context.do(lambda desk: lasting_otherwise(desk, ids), dated, lane="search.dates")

    @property
    def _is_behind(self) -> bool:
        """Whether the list doesn't answer what is typed yet, or its formula is still read."""
        shown = self._shown.formula_id if self._shown is not None else ""
        typed = self.search.text()
        return self._pause.isActive() or typed != self._answered or shown != self._wanted

    def _found(self, entries: tuple[Entry, ...]) -> None:
        """Show the answer; the first hit is chosen and read."""
        self.model.show_entries(entries)
        if not entries:
            self._show_nothing()
        elif self._answered.strip():
            self._choose(0)
        else:
            self._stay()

    def _found_again(self, entries: tuple[Entry, ...]) -> None:
        """Show the answer to the same words; what was just written may not have them."""
        self.model.show_entries(entries)
        if self._wanted and self._answered.strip() and self.model.row_of(self._wanted) < 0:
            self.search.clear()
            self._search()
        elif entries:
            self._stay()
        else:
            self._show_nothing()

    def _stay(self) -> None:
        """Read the formula in view again, the first one of the list where none is."""
        row = self.model.row_of(self._wanted)
        if row < 0 and self._wanted:
            self.show_formula(self._wanted)
        else:
            self._choose(max(row, 0))

    def _show_reviews(self, entries: tuple[Entry, ...]) -> None:
        """List what is overdue for review; the next search lists everything again."""
        self.model.show_entries(entries)
        self._date(entries)
        self.index.setFocus()
        self._choose(0)

    def _choose(self, row: int) -> None:
        chosen = self.model.index(row, 0)
        select = QItemSelectionModel.SelectionFlag.ClearAndSelect
        self.index.selectionModel().setCurrentIndex(chosen, select)
        self.index.scrollTo(chosen)

    def record_in_view(self) -> str:
        """Return the code of the formula in view, nothing where there is none."""
        version = self._shown.version if self._shown is not None else None
        return "" if version is None else version.content.code

    def _save_sheet(self) -> None:
        """Write the sheet of the version in view."""
        version = self._shown.version if self._shown is not None else None
        if version is None:
            return

        def sheet(desk: Desk) -> Paper:
            from formulary.papers.every_paper import of_formula

            return of_formula(desk, version)

        save_paper(self, self._context, self.sheet.text(), version.content.code, sheet)

    def _show_nothing(self) -> None:
        text = self.search.text().strip()
        key = "nothing_found" if text else "nothing_yet"
        self._shown = None
        self._wanted = ""
        self.leaf.say(self._context.text(f"{AREA}.index.{key}"))
        self.acts.show_version(None)
        self.comparison.offer(None)
        self.panel.show_nothing()
        self.edit.setEnabled(False)
        self.sheet.setEnabled(False)
        self.dossier.offer("")

    def _chosen(self, row: int) -> None:
        entry = self.model.entry(row)
        if entry is not None:
            self.show_formula(entry.formula_id)

    def _show(self, shown: Shown | None) -> None:
        if shown is None or shown.formula_id != self._wanted:
            return
        if self._is_editing and self.session is not None:
            # Another formula was chosen: what is being edited stays as an open draft.
            if self._shown is not None and self._shown.formula_id == shown.formula_id:
                return
            self.session.close()
        self._shown = shown
        self.leaf.show_formula(shown)
        self.acts.show_version(shown.newest, shown.waiting)
        self.comparison.offer(shown)
        if shown.adds_up:
            self.panel.show_formula(shown.formula_id, shown.content, shown.version)
        else:
            self.panel.show_nothing()
        self.edit.setEnabled(shown.newest is None or shown.newest.state is not State.IN_REVIEW)
        self.sheet.setEnabled(shown.version is not None)
        self.dossier.offer(shown.formula_id if shown.version is not None else "")

    def _changed(self, topic: str) -> None:
        """Read again what changed: at once if in view, else when it comes to the front."""
        if topic in (Topic.PREPARATIONS, Topic.PEOPLE, Topic.EQUIPMENT):
            return
        self._stale = True
        self.model.forget_lasting()
        if self.isVisible():
            self.shown()

    # Going about

    def _go_scaling(self) -> None:
        """Go on to the scaling; if the answer is still to come, for what it will be."""
        if self._is_behind:
            self._await_answer()
        self._scaling = True
        self._fold()
        self.panel.focus_target()

    def _await_answer(self) -> None:
        """Let nothing be started of an earlier row while the list answers what is typed."""
        typed = self.search.text()
        if self._pause.isActive() or typed != self._asked:
            self._search()
        if typed != self._answered:
            self._wanted = ""
        self.panel.await_formula()

    def _newest_is_read(self) -> bool:
        """Whether the newest version is in view; else bring to view what it changes."""
        shown = self._shown
        if shown is None or shown.newest is shown.version or self.comparison.showing:
            return True
        self.comparison.begin()
        return False

    def _leave_acts(self) -> None:
        """Let the focus go from the button of an act to what it did, never to the next act."""
        # While somebody signs, the question has the focus and the window keeps where it was.
        if self.acts.isAncestorOf(self.window().focusWidget()):
            self.leaf.setFocus()

    def _step_back(self) -> None:
        """Esc: take a question back, else end editing, else go back to the search."""
        if self.dossier.asking:
            self.dossier.ask_nothing()
        elif self.acts.asking:
            self.acts.ask_nothing()
        elif self.panel.worksheets.question.asking:
            self.panel.worksheets.ask_nothing()
            self.panel.focus_target()
        elif self.comparison.showing:
            self.comparison.close()
        elif self._is_editing and self.session is not None:
            self.session.close()
        else:
            self._go_searching()

    def _go_searching(self) -> None:
        self._scaling = False
        self._fold()
        self.search.setFocus()
        self.search.selectAll()

    # Editing

    def keep_draft(self) -> None:
        """Keep what is open in the editor."""
        if self.session is not None and self.session.active:
            self.session.keeper.keep()

    def _edit(self) -> None:
        if self._shown is not None and self.edit.isEnabled():
            self._editing().edit(self._shown)

    def _new(self) -> None:
        if self._context.is_open:
            self._editing().new()

    def _editing(self) -> Session:
        """Return the editing session, its editor in view; it is built when first needed."""
        if self.session is None:
            from ui.formulas.editor.session import Session

            self.session = Session(self._context, self)
            self.session.ended.connect(self._edited)
            self.middle.addWidget(self.session.editor)
            self.right.addWidget(self.session.panel)
            panel = self.session.panel
            # Their keys work from the fields of the editor, too.
            self.addActions([panel.confirm, panel.undo, panel.redo, panel.go_to])
        self.middle.setCurrentWidget(self.session.editor)
        self.right.setCurrentWidget(self.session.panel)
        self._set_reading(reading=False)
        self._fold()
        return self.session

    def _edited(self, formula_id: str) -> None:
        """Go back to reading."""
        self.middle.setCurrentIndex(0)
        self.right.setCurrentIndex(0)
        self._set_reading(reading=True)
        self._fold()
        self.show_formula(formula_id)
        self.search.setFocus()

    def _set_reading(self, *, reading: bool) -> None:
        """Let the keys be those of reading or those of the editor."""
        for each in (self.edit, self.new, self.to_scaling):
            each.setEnabled(reading)
        shown = self._shown if reading else None
        if shown is not None:
            self.acts.show_version(shown.newest, shown.waiting)
        else:
            self.acts.show_version(None)
        self.comparison.offer(shown)
        self.panel.pause(editing=not reading)
        if self.session is not None:
            self.session.panel.set_live(live=not reading)

    @property
    def _is_editing(self) -> bool:
        return self.session is not None and self.session.active

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let arrows move in the list and pages turn on the leaf while one types; fold after."""
        if event.type() in (QEvent.Type.FocusIn, QEvent.Type.FocusOut):
            QTimer.singleShot(0, self, self._fold)
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            return watched is self.search and self._moved_in_list(event)
        return super().eventFilter(watched, event)

    def _moved_in_list(self, event: QKeyEvent) -> bool:
        if event.key() in (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown):
            return QApplication.sendEvent(self.leaf, event)
        step = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}.get(Qt.Key(event.key()), 0)
        row = self.index.currentIndex().row() + step
        if step and self.model.entry(row) is not None:
            self.index.setCurrentIndex(self.model.index(row, 0))
        return bool(step)

    def _has_focus_inside(self) -> bool:
        focused = QApplication.focusWidget()
        return focused is not None and self.isAncestorOf(focused)

    # Folding

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fold or unfold at the new width."""
        super().resizeEvent(event)
        self._fold()

    def _fold(self) -> None:
        width = self.width() / theme.factor()
        self.search.setFixedWidth(min(theme.px(INDEX_WIDTH - 16), self.width() // 3))
        searching = (self.search.hasFocus() or self.index.hasFocus()) and not self._is_editing
        self.index.setVisible(width >= WIDE or searching)
        both = width >= WIDE or (width >= MIDDLE and not searching)
        stacked = self._is_editing and width < MIDDLE
        # Beside each other, editor and panel would both be too narrow.
        orientation = Qt.Orientation.Vertical if stacked else Qt.Orientation.Horizontal
        self._splitter.setOrientation(orientation)
        self.right.setVisible(both or self._scaling or self._is_editing)
        self.middle.setVisible(both or not self._scaling)
        self.right.setMinimumWidth(theme.px(PANEL_WIDTH) if both else 0)
        self.right.setMaximumWidth(theme.px(PANEL_WIDTH * 1.5) if both else _ANY_WIDTH)
