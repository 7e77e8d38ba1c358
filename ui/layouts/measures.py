"""The measures of a stock, as they are typed to make one of any size."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from formulary.errors import FormularyError
from formulary.labels.measures import MEASURES, ON_SHEETS, measures_of, stock_by
from formulary.labels.stock import LabelStock
from formulary.verbs.house_layouts import require_own_or_same
from ui.context import Context
from ui.forms.fields import FormField
from ui.forms.form import Form
from ui.layouts.figures import a_number, read, shown
from ui.widgets.words import action, button, label, spaced

_CODE = "code"


class StockMeasures(QWidget):
    """Shows the measures of the open stock, and gives another one by those typed."""

    measured = Signal(object)
    """The stock (a LabelStock) that was typed, when it is another one than is open."""

    def __init__(self, context: Context, area: str) -> None:
        super().__init__()
        self._context = context
        self._open: LabelStock | None = None
        self.form = Form(context, area, self._fields())
        self.take_typed = action(self, context.text(f"{area}.take_measures"), "", self.take)
        box = QVBoxLayout(self)
        spaced(box)
        box.addWidget(label(context.text(f"{area}.measures"), "heading"))
        box.addWidget(label(context.text(f"{area}.about_measures"), "note"))
        box.addWidget(self.form)
        box.addWidget(button(self.take_typed), 0, Qt.AlignmentFlag.AlignLeft)
        for name in self.form.inputs:
            self.form.entered(name).connect(self.take)
            self.form.finished(name).connect(self._left)

    def show_stock(self, stock: LabelStock) -> None:
        """Show the measures of another stock; what was typed and not taken yet stays."""
        if stock != self._open:
            self._open = stock
            said = shown(self._context, measures_of(stock))
            self.form.show_values(said | {_CODE: stock.code})

    def take(self) -> bool:
        """Take the measures typed; return False, with the reason said, where none can be made."""
        if self._open is None or self.form.first_trouble():
            return False
        try:
            stock = self._typed()
        except FormularyError as trouble:
            self._context.say.refuse(trouble)
            return False
        if stock != self._open:
            self.measured.emit(stock)
        return True

    def _fields(self) -> tuple[FormField, ...]:
        understand = a_number(self._context)
        names = (*MEASURES, *ON_SHEETS)
        return (FormField(_CODE), *(FormField(name, understand=understand) for name in names))

    def _typed(self) -> LabelStock:
        """Return the stock of the measures typed. Raises BadText for one that can't be."""
        typed = self.form.values()
        stock = stock_by(typed.pop(_CODE), read(self._context, typed))
        require_own_or_same(stock)
        return stock

    def _left(self) -> None:
        """Take what was typed as a field is left; what isn't whole yet waits for the rest."""
        try:
            self._typed()
        except FormularyError:
            return
        self.take()
