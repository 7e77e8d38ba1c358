"""The page *Register*: everything started, and each jar; no person outside the house shows."""

from __future__ import annotations

from functools import cached_property
from typing import TypeVar

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QStackedLayout, QWidget

from formulary.errors import FormularyError, NotFound
from formulary.labels.jar_code import JAR_SIGN
from formulary.register.shelf import JarOnShelf
from formulary.verbs.list_shelf import JarSeen, list_shelf, look_up_jar
from ui.context import Context, Topic
from ui.register.charts import Charts
from ui.register.details import Details
from ui.register.jar_card import JarCard
from ui.register.listing import Listing
from ui.register.pack_form import PackForm
from ui.register.reading import Made, read_made
from ui.register.recall_form import RecallForm
from ui.register.shelf_view import ShelfView
from ui.register.trace_view import TraceView
from ui.stock.recalls import Recalls

P = TypeVar("P", Details, JarCard, ShelfView, TraceView, Charts, RecallForm, Recalls, PackForm)


class RegisterPage(QWidget):
    """Lists preparations; Enter opens one, a scan shows its jar, and more is one key further."""

    help_page = "register"

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._handed_over = False
        self.listing = Listing(context)
        self.search, self.table = self.listing.search, self.listing.table
        self.model, self.nothing = self.listing.model, self.listing.nothing
        self._stack = QStackedLayout(self)
        self._stack.addWidget(self.listing)
        self._jars: tuple[JarOnShelf, ...] = ()
        self._connect()

    @cached_property
    def details(self) -> Details:
        """The record of one preparation."""
        made = self._added(Details(self._context))
        made.changed.connect(lambda: self.open_lot(made.lot))
        made.trace_wanted.connect(self._trace)
        made.charts_wanted.connect(self._show_charts)
        return made

    @cached_property
    def jar(self) -> JarCard:
        """One jar, for anybody."""
        made = self._added(JarCard(self._context))
        made.record_wanted.connect(self.open_lot)
        made.trace_wanted.connect(self._trace)
        return made

    @cached_property
    def shelf(self) -> ShelfView:
        """The jars that are here."""
        made = self._added(ShelfView(self._context))
        made.show_jars(self._jars)
        made.opened.connect(self.open_lot)
        return made

    @cached_property
    def traced(self) -> TraceView:
        """A trace, drawn."""
        made = self._added(TraceView(self._context))
        made.opened.connect(self.open_lot)
        return made

    @cached_property
    def charts(self) -> Charts:
        """A formula's figures over time."""
        return self._added(Charts(self._context))

    @cached_property
    def recall(self) -> RecallForm:
        """The beginning of a recall."""
        made = self._added(RecallForm(self._context))
        made.begun.connect(self._show_calls)
        made.calls_wanted.connect(self._show_calls)
        return made

    @cached_property
    def pack(self) -> PackForm:
        """The inspection pack of a period."""
        return self._added(PackForm(self._context))

    @cached_property
    def calls(self) -> Recalls:
        """Whom to call for each recall."""
        return self._added(Recalls(self._context))

    def take(self, subject: object) -> None:
        """Show the details of a lot."""
        if isinstance(subject, str):
            self._handed_over = True
            self.open_lot(subject)

    def record_in_view(self) -> str:
        """Return the lot in view, in the list that of the row come to."""
        if self._stack.currentWidget() is self.listing:
            return self.listing.table.current_lot()
        return self.details.lot

    def shown(self) -> None:
        """Show the list, asked for anew, unless a lot was handed over."""
        self._ask()
        if not self._handed_over:
            self._show_list()
        self._handed_over = False

    def open_lot(self, lot: str) -> None:
        """Show the details of a lot."""
        self._context.do(
            lambda desk: read_made(desk, lot), self._show_details, lane="register.details"
        )

    def _added(self, part: P) -> P:
        """Take a part of the page in, which is made when it is first shown."""
        self._stack.addWidget(part)
        part.left.connect(self._step_back)
        return part

    def _connect(self) -> None:
        listing = self.listing
        listing.opened.connect(self.open_lot)
        listing.typed.connect(self._entered)
        listing.shelf_wanted.connect(self._show_shelf)
        listing.trace_wanted.connect(self._trace)
        listing.recall_wanted.connect(self._begin_recall)
        listing.pack_wanted.connect(self._begin_pack)
        self._context.changed.connect(self._changed)

    def _ask(self) -> None:
        self.listing.ask()
        self._context.do(
            lambda desk: list_shelf(desk.store, desk.today), self._shelf, lane="register.shelf"
        )

    def _shelf(self, jars: tuple[JarOnShelf, ...]) -> None:
        self._jars = jars
        self.listing.show_shelf(jars)
        if "shelf" in self.__dict__:
            self.shelf.show_jars(jars)

    def _changed(self, topic: str) -> None:
        if topic in (Topic.PREPARATIONS.value, Topic.STOCK.value):
            self._ask()

    def _entered(self, typed: str) -> None:
        """Show the jar whose label was scanned; other words lead into the list."""
        if not typed:
            self.listing.into_table()
            return

        def failed(error: FormularyError) -> None:
            if isinstance(error, NotFound) and JAR_SIGN not in typed:
                self.listing.into_table()
            else:
                self._context.say.refuse(error)

        self._context.do(
            lambda desk: look_up_jar(desk.store, typed, desk.today),
            self._show_jar,
            failed=failed,
            lane="register.details",
        )

    def _show_jar(self, seen: JarSeen) -> None:
        self._bring(self.jar)
        self.jar.show_jar(seen)
        self.search.selectAll()

    def _show_details(self, made: Made) -> None:
        self._bring(self.details)
        self.details.show_made(made)

    def _show_shelf(self) -> None:
        self._bring(self.shelf)
        self.shelf.take_focus()

    def _trace(self, typed: str, otherwise: str = "") -> None:
        self._bring(self.traced)
        self.traced.trace(typed, otherwise)

    def _show_charts(self, formula_id: str, title: str) -> None:
        self._bring(self.charts)
        self.charts.begin(formula_id, title)

    def _begin_recall(self) -> None:
        self._bring(self.recall)
        self.recall.begin()

    def _begin_pack(self) -> None:
        self._bring(self.pack)
        self.pack.begin()

    def _show_calls(self) -> None:
        self._bring(self.calls)
        self.calls.begin()

    def _show_list(self) -> None:
        self._bring(self.listing)
        self.search.setFocus()

    def _bring(self, part: QWidget) -> None:
        self._stack.setCurrentWidget(part)

    def _step_back(self) -> None:
        self._bring(self.listing)
        if self.table.isVisible():
            self.table.setFocus(Qt.FocusReason.OtherFocusReason)
        else:
            self.search.setFocus()
