"""The window: the row of words, the pages, and the keys that work everywhere."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from importlib import import_module
from typing import TYPE_CHECKING, cast

from PySide6.QtCore import QProcess, QSettings, QTimer, Signal
from PySide6.QtGui import QAction, QCloseEvent, QPaintEvent
from PySide6.QtWidgets import QMainWindow, QStackedWidget, QVBoxLayout, QWidget

from ui.coming_back import ComingBack
from ui.context import Context, Page, PageName, Search, SigningIn
from ui.header import PAGE_KEYS, Header
from ui.keys_in_view import KeysInView
from ui.options import ASK
from ui.sign_in.idle import AutoLock
from ui.speech import Speech
from ui.waiting import WaitingPage
from ui.widgets.words import action, spaced
from ui.window_keys import WindowKeys

if TYPE_CHECKING:
    from formulary.people import Person
    from formulary.store import Hit
    from ui.help_viewer import HelpViewer
    from ui.history_viewer import HistoryViewer
    from ui.keeping.keeper import Keeper
    from ui.sign_in.asking import Asking

# Imported when first shown, so that the first page doesn't wait for the others.
_PAGES = {
    PageName.FORMULAS: ("ui.formulas.page", "FormulasPage"),
    PageName.ORDERS: ("ui.orders.page", "OrdersPage"),
    PageName.BENCH: ("ui.bench.page", "BenchPage"),
    PageName.LABELS: ("ui.labels.page", "LabelsPage"),
    PageName.STOCK: ("ui.stock.page", "StockPage"),
    PageName.REGISTER: ("ui.register.page", "RegisterPage"),
    PageName.INGREDIENTS: ("ui.ingredients.page", "IngredientsPage"),
    PageName.CALCULATIONS: ("ui.calculations.page", "CalculationsPage"),
    PageName.SETTINGS: ("ui.settings.page", "SettingsPage"),
}
LEAST_WIDTH, LEAST_HEIGHT = 800, 560
FIRST_WIDTH, FIRST_HEIGHT = 1280, 800


class Window(QMainWindow):
    """Shows one page at a time; ``context`` tells which, and when a formulary is open."""

    painted = Signal()
    """Once, after the first paint."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.context = context
        self._is_painted = False
        self.setWindowTitle(context.text("ui.title"))
        self.setMinimumSize(LEAST_WIDTH, LEAST_HEIGHT)
        self.resize(FIRST_WIDTH, FIRST_HEIGHT)
        self.pages: dict[str, QWidget] = {}
        self._current = PageName.FORMULAS.value
        self._help: HelpViewer | None = None
        self._history: HistoryViewer | None = None
        self.asking: Asking | None = None
        self._first: QWidget | None = None
        self._keeper: Keeper | None = None
        self._closing = False
        self._opens_another = False
        self.header = Header(context)
        self.stack = QStackedWidget()
        self.speech = Speech(context)
        self._lay_out()
        self._keys_first = WindowKeys(self, self.speech)
        ComingBack(self)
        KeysInView(self, self.stack, self.header)
        self._window_actions = self._make_actions()
        self._connect()

    def page(self, name: str) -> Page:
        """Return a page, built now if it wasn't yet."""
        if name not in self.pages:
            module, class_name = _PAGES[PageName(name)]
            built: QWidget = getattr(import_module(module), class_name)(self.context)
            self.pages[name] = built
            self.stack.addWidget(built)
        return cast("Page", self.pages[name])

    def show_page(self, name: str, subject: object = None) -> None:
        """Bring a page to the front, with something to show if another page handed it over."""
        if self._first is not None:
            return
        page = self.page(name)
        self._current = name
        self.header.show_page(name)
        self.stack.setCurrentWidget(self.pages[name])
        for over in (self._help, self._history):
            if over is not None:
                over.hide()
        self.context.say.hush()
        if self.context.is_open:
            if subject is not None:
                page.take(subject)
            page.shown()

    def show_empty(self) -> None:
        """Show the first page before anything is open, and before it is loaded itself."""
        waiting = WaitingPage(self.context)
        self.pages[PageName.FORMULAS.value] = waiting
        self.stack.addWidget(waiting)
        self.header.show_page(PageName.FORMULAS.value)
        waiting.shown()

    def show_list(self, hits: Sequence[Hit]) -> None:
        """Show the first formulas before the store is open, if nothing else is in view yet."""
        waiting = self.pages.get(PageName.FORMULAS.value)
        if hits and isinstance(waiting, WaitingPage):
            waiting.show_list(hits)

    def show_first(self, page: QWidget) -> None:
        """Show the page that asks what to open, in place of all others."""
        self._drop_first()
        self._first = page
        self.stack.addWidget(page)
        self.stack.setCurrentWidget(page)
        self.header.hide()
        cast("Page", page).shown()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Tell once that the window is there to see."""
        super().paintEvent(event)
        if not self._is_painted:
            self._is_painted = True
            QTimer.singleShot(0, self, self.painted.emit)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Keep open drafts and the window's place before closing."""
        self.keep_drafts()
        if self._keeper is not None and not self._closing:
            self._closing = self._keeper.before_closing(self.close)
            if self._closing:
                event.ignore()
                return
        settings = QSettings()
        settings.setValue("window/geometry", self.saveGeometry())
        self.context.leave()
        super().closeEvent(event)
        if self._opens_another:
            QProcess.startDetached(sys.executable, ["-P", "-m", "ui", ASK])

    def open_another(self) -> None:
        """Close, keeping drafts, and start a window that asks what to open.

        Pages, timers and what is typed belong to one formulary; a new process has none of them.
        """
        self._opens_another = True
        self.close()

    def keep_drafts(self) -> None:
        """Have each page keep what is open and unconfirmed in it."""
        for page in self.pages.values():
            keep: Callable[[], None] | None = getattr(page, "keep_draft", None)
            if keep is not None:
                keep()

    def restore_place(self) -> None:
        """Put the window where it was last time."""
        geometry = QSettings().value("window/geometry")
        if geometry is not None:
            self.restoreGeometry(geometry)

    def _lay_out(self) -> None:
        whole = QWidget()
        box = QVBoxLayout(whole)
        spaced(box, inside=0)
        box.addWidget(self.header)
        self._above = QVBoxLayout()
        box.addLayout(self._above)
        box.addWidget(self.stack, 1)
        box.addWidget(self.speech)
        self.setCentralWidget(whole)

    def _make_actions(self) -> list[QAction]:
        text = self.context.text
        made = [
            action(self, text(f"ui.go.{page.value}"), PAGE_KEYS[page], self._opener(page.value))
            for page in PageName
        ]
        made += [
            action(self, text("ui.search"), "Ctrl+K", self._search),
            action(self, text("ui.who_acts"), "Ctrl+Shift+A", self.header.open_people),
            action(self, text("ui.lock"), "Ctrl+Shift+L", self.context.lock),
            action(self, text("ui_history.open"), "Ctrl+H", self._show_history),
            action(self, text("ui.help.open"), "F1", self._show_help),
            action(self, text("ui.help.keys"), "Shift+F1|?", self._show_keys),
            action(self, text("ui.another"), "Ctrl+Alt+O", self.open_another),
            action(self, text("ui.close"), "Ctrl+Q", self.close),
        ]
        return made

    def _connect(self) -> None:
        self.header.page_chosen.connect(self._turn_to)
        self.header.person_chosen.connect(self._act_as)
        self.header.people_closed.connect(self._go_on_working)
        self.context.page_wanted.connect(self.show_page)
        self.context.opened.connect(self._opened)
        self.context.seated.connect(self._show_people)
        self.context.sign_in_wanted.connect(lambda wanted: self._asking().sign_in(wanted))
        self.context.signature_wanted.connect(lambda wanted: self._asking().sign(wanted))
        self.auto_lock = AutoLock(self.context, self)
        self.context.changed.connect(self._changed)

    def _opener(self, page: str) -> Callable[[], None]:
        return lambda: self._turn_to(page)

    def _turn_to(self, page: str) -> None:
        """Show the page that somebody chose; what was said on another one is over."""
        if page != self._current:
            self.context.say.forget_news()
        self.show_page(page)

    def _opened(self) -> None:
        self._drop_first()
        self.header.show()
        self._show_people()
        self._end_waiting()
        self._show_timers()
        house = self.context.house
        self.setWindowTitle(self.context.text("ui.title_of", house=house.name))
        self.show_page(PageName.FORMULAS.value)

    def _drop_first(self) -> None:
        if self._first is not None:
            self.stack.removeWidget(self._first)
            self._first.deleteLater()
            self._first = None

    def _show_timers(self) -> None:
        """Put the timers above the pages, once there is something to ask for them."""
        if not self._above.count():
            from ui.bench.timer_strip import TimerStrip

            self._above.addWidget(TimerStrip(self.context))
            self._show_keeping()

    def _show_keeping(self) -> None:
        """Let backups be made, and say above the pages when one is missed."""
        from ui.keeping.keeper import Keeper
        from ui.keeping.key_strip import KeyStrip
        from ui.keeping.strip import KeepingStrip

        self._above.addWidget(KeyStrip(self.context, self))
        self._keeper = Keeper.of(self.context)
        self._above.addWidget(KeepingStrip(self.context, self._keeper, self))

    def _end_waiting(self) -> None:
        """Put the page of formulas in place of the empty one; what was typed goes on there."""
        waiting = self.pages.get(PageName.FORMULAS.value)
        if isinstance(waiting, WaitingPage):
            del self.pages[PageName.FORMULAS.value]
            self.page(PageName.FORMULAS.value).take(Search(waiting.search.text()))
            self.stack.removeWidget(waiting)
            waiting.deleteLater()

    def _changed(self, _: str) -> None:
        self._show_people()

    def _show_people(self) -> None:
        at_work = tuple(each for each in self.context.people if not each.gone)
        acting = self.context.desk.person if self.context.signed_in else None
        self.header.show_people(at_work, acting)

    def _act_as(self, person: Person) -> None:
        self.context.sign_in_wanted.emit(SigningIn(person.id, otherwise=self._show_people))

    def _asking(self) -> Asking:
        if self.asking is None:
            from ui.sign_in.asking import Asking

            self.asking = Asking(self.context, self)
        return self.asking

    def _go_on_working(self) -> None:
        """Give the focus back to where it was on the page, so that its keys work again."""
        page = self.stack.currentWidget()
        was_there = page.focusWidget() if page is not None else None
        if was_there is not None:
            was_there.setFocus()

    def _search(self) -> None:
        self.show_page(PageName.FORMULAS.value, Search())

    def _show_history(self) -> None:
        """Show what happened to the record in view, or ask for one."""
        if not self.context.is_open:
            return
        if self._history is None:
            from ui.history_viewer import HistoryViewer

            self._history = HistoryViewer(self.context, self.stack)
        known: Callable[[], str] | None = getattr(self._in_view(), "record_in_view", None)
        self._history.open(known() if known is not None else "")

    def _viewer(self) -> HelpViewer:
        if self._help is None:
            from ui.help_viewer import HelpViewer

            self._help = HelpViewer(self.context, self.stack)
        return self._help

    def _show_help(self) -> None:
        page = self._in_view()
        more: Callable[[], str] | None = getattr(page, "help_in_view", None)
        first = more() if more is not None else ""
        self._viewer().show_help(cast("Page", page).help_page, first)

    def _show_keys(self) -> None:
        page = self._in_view()
        parts = (child for child in page.findChildren(QWidget) if child.isVisible())
        inside = [each for child in parts for each in child.actions()]
        known = dict.fromkeys((*page.actions(), *inside, *self._window_actions))
        self._viewer().show_keys([*known])

    def _in_view(self) -> QWidget:
        return self._first or self.pages[self._current]
