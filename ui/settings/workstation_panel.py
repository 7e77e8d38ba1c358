"""The section of Settings with what belongs to this workstation alone; kept on this computer."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from formulary.bench.balance_lines import line_pattern
from formulary.bench.port_speed import port_speed
from formulary.desk import Desk
from formulary.labels.stock import LabelStock, label_stocks
from formulary.verbs.stocks_of_house import stocks_of
from formulary.workstation import BalanceHere, Workstation
from ui.context import Context, Topic
from ui.forms.fields import FormField, Kind
from ui.forms.form import Form
from ui.forms.inputs import ChoiceInput
from ui.forms.record_book import RecordBook
from ui.forms.record_model import Row
from ui.labels.stock_size import stock_words
from ui.widgets.quantity_edit import NO_MEANING, Meaning
from ui.widgets.words import action, button, label, spaced

AREA = "ui_settings.workstation"
Pairs = Sequence[tuple[str, str]]
_UNSAID = {"stock": "loaded_stock", "shelf_stock": "usual_stock"}


class WorkstationPanel(QWidget):
    """Edits the profile of this workstation, and keeps it apart from the house's settings."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._edited = False
        text = context.text
        self.form = Form(context, AREA, self._fields())
        name = text(f"{AREA}.balances.name")
        self.balances = RecordBook(context, f"{AREA}.balances", name, self._columns())
        self.keep = action(self, text(f"{AREA}.keep"), "Ctrl+Shift+S", self._keep)
        for part in (self.form, self.balances):
            part.edited.connect(self._mark)
        self._lay_out(name)

    def begin(self) -> None:
        """Show the profile as it stands, unless something typed isn't kept yet."""
        self._context.do(
            lambda desk: stocks_of(desk.store), self._offer_stocks, lane="settings.stocks"
        )
        if self._edited:
            return
        here = self._context.here
        self.form.show_values(form_texts(here))
        self.balances.show_rows([row_of(each) for each in here.balances])

    def _offer_stocks(self, stocks: Sequence[LabelStock]) -> None:
        """Offer the stocks that labels can be printed on, the house's own among them."""
        pairs = [(stock_words(self._context, each), each.code) for each in stocks]
        for name, unsaid in _UNSAID.items():
            made = self.form.inputs[name]
            if isinstance(made, ChoiceInput):
                chosen = made.text() if self._edited else getattr(self._context.here, name)
                made.box.fill([(self._context.text(f"{AREA}.{unsaid}"), ""), *pairs])
                made.set_text(chosen)

    def enter(self) -> None:
        """Go to the first field."""
        self.form.inputs["bench"].setFocus()

    def _fields(self) -> tuple[FormField, ...]:
        return (
            FormField("bench", hint=True),
            self._choice("printer", self._printers, "first_printer"),
            self._choice("stock", self._stocks, _UNSAID["stock"]),
            self._choice("shelf_printer", self._printers, "same_printer"),
            self._choice("shelf_stock", self._stocks, _UNSAID["shelf_stock"]),
        )

    def _choice(self, name: str, offered: Callable[[], Pairs], unsaid: str) -> FormField:
        """Return a choice among what there is, first of all to leave it unsaid."""
        nothing = (self._context.text(f"{AREA}.{unsaid}"), "")
        return FormField(name, Kind.CHOICE, choices=lambda: [nothing, *offered()])

    def _columns(self) -> tuple[FormField, ...]:
        return (
            FormField("name", Kind.CHOICE, choices=self._house_balances, required=True),
            FormField("port"),
            FormField("speed", understand=_speed),
            FormField("pattern", understand=_pattern),
        )

    def _lay_out(self, name: str) -> None:
        box = QVBoxLayout(self)
        spaced(box, inside=8)
        box.addWidget(self.form)
        box.addWidget(label(name, "heading"))
        box.addWidget(label(self._context.text(f"{AREA}.balances.about"), "note"))
        box.addWidget(self.balances)
        box.addWidget(button(self.keep), 0, Qt.AlignmentFlag.AlignLeft)

    def _house_balances(self) -> Pairs:
        choose = (self._context.text(f"{AREA}.balances.choose"), "")
        return [choose, *((each.name, each.name) for each in self._context.house.balances)]

    def _printers(self) -> Pairs:
        return [(each.name, each.name) for each in self._context.house.printers]

    def _stocks(self) -> Pairs:
        return [(stock_words(self._context, each), each.code) for each in label_stocks()]

    def _mark(self) -> None:
        self._edited = True

    def _keep(self) -> None:
        if self.balances.go_to_trouble():
            return
        here = workstation_of(self.form.values(), self.balances.rows())
        self._context.do(lambda desk: _kept(desk, here), self._done)

    def _done(self, at: Desk) -> None:
        """Sit down at the workstation as it now is, whoever sits there by now."""
        self._edited = False
        self._context.seat(self._context.desk.seated_at(at.here))
        self._context.say.tell(f"{AREA}.kept")
        self._context.tell_changed(Topic.HOUSE)
        self.begin()


def form_texts(here: Workstation) -> dict[str, str]:
    """Return the fields of a profile as texts."""
    names = ("bench", "printer", "stock", "shelf_printer", "shelf_stock")
    return {name: getattr(here, name) for name in names}


def row_of(balance: BalanceHere) -> Row:
    """Return a balance as a row."""
    return {
        "name": balance.name,
        "port": balance.port,
        "speed": balance.speed,
        "pattern": balance.pattern,
    }


def workstation_of(texts: Mapping[str, str], rows: Sequence[Row]) -> Workstation:
    """Return the profile that the texts say."""
    balances = tuple(
        BalanceHere(**{name: row.get(name, "").strip() for name in row_of(BalanceHere(""))})
        for row in rows
    )
    return Workstation(balances=balances, **{name: text.strip() for name, text in texts.items()})


def _kept(desk: Desk, here: Workstation) -> Desk:
    from formulary.exchange.workstation_file import keep
    from formulary.verbs.keep_workstation import keep_workstation

    return keep_workstation(desk, here, keep)


def _speed(text: str) -> Meaning:
    port_speed(text)
    return NO_MEANING


def _pattern(text: str) -> Meaning:
    line_pattern(text)
    return NO_MEANING
