"""Prints the labels of containers: on which stock, and by which printer or into a file."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from formulary.desk import Desk
from formulary.house import Printer
from formulary.labels.shelf import ShelfLabel
from formulary.labels.stock import LabelStock
from formulary.verbs.issue_labels import Deliver
from formulary.verbs.issue_shelf_labels import issue_shelf_labels
from formulary.verbs.stocks_of_house import stocks_of
from ui.context import Context
from ui.files import PDF, ask_to_save
from ui.labels.delivery import to_file, to_printer
from ui.labels.queues import printers_here
from ui.labels.stock_size import stock_words
from ui.widgets.choice_box import ChoiceBox
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, label, spaced

AREA = "ui_stock.label"
_USUAL = "62x29"
_Offered: TypeAlias = tuple[tuple[LabelStock, ...], tuple[Printer, ...]]


@dataclass(frozen=True, slots=True)
class Labelled:
    """What is labelled: the ingredient, the lot's or the container's number, and which ones."""

    title: str
    lot: str
    container_ids: tuple[str, ...]


class LabelPanel(QWidget):
    """Asks where labels go; ``closed`` tells that it is done."""

    closed = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._labelled = Labelled("", "", ())
        self._printers: tuple[Printer, ...] = ()
        self.heading = label(role="heading")
        self.stock = ChoiceBox(context.text(f"{AREA}.stock"))
        self.printer = ChoiceBox(context.text(f"{AREA}.printer"))
        self.print = action(self, "", "Ctrl+Return", self._print)
        self._lay_out()
        self.hide()

    def begin(self, labelled: Labelled) -> None:
        """Ask where the labels of these containers go."""
        self._labelled = labelled
        text = self._context.text
        self.heading.setText(text(f"{AREA}.heading", title=labelled.title, lot=labelled.lot))
        self.print.setText(text(f"{AREA}.print", n=len(labelled.container_ids)))
        self._context.do(_offered, self._offer, lane="stock.printers")

    def _lay_out(self) -> None:
        box = QVBoxLayout(self)
        spaced(box, inside=8)
        row = FlowLayout()
        print_button = button(self.print, accent=True)
        print_button.setAutoDefault(True)
        for name, widget in (("stock", self.stock), ("printer", self.printer)):
            words = label(self._context.text(f"{AREA}.{name}"), "quiet", wrap=False)
            words.setBuddy(widget)
            row.addWidget(words)
            row.addWidget(widget)
        row.addWidget(print_button)
        box.addWidget(self.heading)
        box.addLayout(row)

    def _offer(self, offered: _Offered) -> None:
        stocks, printers = offered
        self._printers = printers
        self.stock.fill([(stock_words(self._context, each), each.code) for each in stocks])
        self.stock.choose(self._context.here.shelf_stock or _USUAL)
        into_file = (self._context.text(f"{AREA}.file"), "")
        self.printer.fill([*((each.name, each.name) for each in printers), into_file])
        here = self._context.here
        self.printer.choose(here.shelf_printer or here.printer)
        self.show()
        self.stock.setFocus()

    def _print(self) -> None:
        name, stock = self.printer.currentData(), str(self.stock.currentData())
        printer = next((each for each in self._printers if each.name == name), None)
        what = self._labelled
        if printer is None:
            title = self._context.text(f"{AREA}.save_as")
            name = f"{what.lot}.pdf"
            ask_to_save(
                self, title, name, lambda path: self._issue(what, stock, to_file(what, path)), PDF
            )
        else:
            self._issue(what, stock, to_printer(what, printer), printer)

    def _issue(
        self, what: Labelled, stock: str, deliver: Deliver, printer: Printer | None = None
    ) -> None:
        def issue(desk: Desk) -> tuple[ShelfLabel, ...]:
            ids = what.container_ids
            return issue_shelf_labels(desk, ids, stock, deliver, printer=printer)

        self._context.do(issue, self._issued)

    def _issued(self, labels: tuple[ShelfLabel, ...]) -> None:
        self._context.say.tell(f"{AREA}.printed", n=len(labels))
        self.hide()
        self.closed.emit()


def _offered(desk: Desk) -> _Offered:
    return stocks_of(desk.store), printers_here(desk.house)
